package prove

import (
	"encoding/json"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"quiltwright/internal/plan"
)

// Harmless lists the keys of which a change does not make cloth come out otherwise, each with the reason. Everything else
// that stands in a plan must not change unnoticed.
var Harmless = []struct{ Path, Why string }{
	{`^\.(quilt|designer|version|date|rights|contact|note)$`, "the document's head is text"},
	{`^\.findings|^\.proof`, "what was found is about the document; prove passes an old proof over"},
	{`^\.(blocks|units|months|fabrics)\[\d+\]\.(name|note|title|opens|color|swatch|value|assorted|key|kind|rules|sold)$`, "names, colours and words"},
	{`^\.pieces\[\d+\]\.(key|grain|turnable)$`, "grain and turning limit the layout, they do not change what is cut"},
	{`^\.blocks\[\d+\]\.(recolor|mirror|upright)`, "how the drawn block came from the document's; drawn says what it is"},
	{`^\.months\[\d+\]\.finish$`, "when it is quilted is the writer's choice"},
	{`^\.units\[\d+\]\.joins\[\d+\]\.(usual|forced)$`, "names of methods"},
	{`^\.press\.unmet\[\d+\]\.(why|ring)`, "why a meeting cannot nest is told to a person"},
	{`^\.recipes\[\d+\]\.method$|^\.choices`, "a method's name is a word to the proof, as is why it was chosen"},
	{`^\.recipes\[0\]\.do\[[67]\]\.toward$`, "of the star's geese: the seam sews both small squares, toward either is the same side"},
	{`^\.finish\.backing\.width$`, "how wide the backing is sold; one panel is wide enough either way"},
	{`^\.steps\[\d+\]\.(stage|says)`, "words and grouping"},
	{`^\.fabrics\[\d+\]\.buy\.(squaring|miscut|shrink)$`, "margins are advice, within what is bought"},
	{`^\.finish\.backing\.name$`, "a name"},
	{`^\.(fabrics\[\d+\]|finish\.backing)\.instead|^\.fabrics\[\d+\]\.precuts`, "how it might be cut otherwise is advice; those layouts are not in the plan"},
	{`^\.ruler$`, "a coarser ruler still has a half mark where these figures need one"},
	{`^\.pieces\[\d+\]\.trimmed$`, "not to say that something is trimmed only makes the rules stricter"},
}

// Visit calls do with every value of a JSON value, and a function that puts another in its place.
func Visit(path string, v any, set func(any), do func(path string, v any, set func(any))) {
	switch x := v.(type) {
	case map[string]any:
		for k, e := range x {
			Visit(path+"."+k, e, func(n any) { x[k] = n }, do)
		}
	case []any:
		for i, e := range x {
			Visit(fmt.Sprintf("%s[%d]", path, i), e, func(n any) { x[i] = n }, do)
		}
		if len(x) > 0 {
			do(path+" shortened", v, func(n any) {
				if n == nil {
					set(x[:len(x)-1])
				} else {
					set(x)
				}
			})
		}
	default:
		do(path, v, set)
	}
}

// Others are the values that stand in for one.
func Others(v any) []any {
	switch x := v.(type) {
	case float64:
		if x == float64(int(x)) {
			return []any{x + 1, x - 1}
		}
		return []any{x + .125, x - .125}
	case string:
		switch x {
		case "A":
			return []any{"B"}
		case "B":
			return []any{"A"}
		}
		return []any{x + "x"}
	case bool:
		return []any{!x}
	case []any:
		return []any{nil}
	}
	return nil
}

func TestAnyFigureChangedFails(t *testing.T) {
	var mayChange []*regexp.Regexp
	for _, h := range Harmless {
		mayChange = append(mayChange, regexp.MustCompile(h.Path))
	}
	for name, p := range map[string]*plan.Plan{"nine-patch": ninePatch(), "spun nine-patch": spunNinePatch(), "star": star()} {
		src, err := json.Marshal(p)
		if err != nil {
			t.Fatal(err)
		}
		var root any
		if err := json.Unmarshal(src, &root); err != nil {
			t.Fatal(err)
		}
		changes := 0
		Visit("", root, nil, func(path string, v any, set func(any)) {
			for _, h := range mayChange {
				if h.MatchString(path) {
					return
				}
			}
			for _, o := range Others(v) {
				set(o)
				changed, err := json.Marshal(root)
				set(v)
				if err != nil {
					t.Fatal(err)
				}
				q, err := plan.Decode(changed)
				if err != nil {
					continue
				}
				changes++
				if proof := Prove(q); proof.Holds {
					t.Errorf("%s holds with %s changed from %.60s to %.60s", name, path, fmt.Sprint(v), fmt.Sprint(o))
				} else if strings.Contains(proof.Findings[0].Says, "broke off") {
					t.Errorf("%s: with %s changed to %v the proof broke off: %s", name, path, o, proof.Findings[0].Says)
				}
			}
		})
		t.Logf("%s: %d changes", name, changes)
	}
}

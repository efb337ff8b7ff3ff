package figure

import (
	"testing"

	"quiltwright/internal/plan"
	"quiltwright/internal/words"
)

// block is a patch of the top: a rectangle of a fabric.
func block(fabric string, x, y, w, h plan.Num) plan.Drawn {
	return plan.Drawn{Of: "top", Fabric: fabric, Outline: []plan.Vertex{{X: x, Y: y}, {X: x + w, Y: y}, {X: x + w, Y: y + h}, {X: x, Y: y + h}}}
}

// Only fabrics that meet and are alike in grey get a texture, the later ones of the plan.
func TestTexturesOnlyWhereTheyAreNeeded(t *testing.T) {
	grey := []plan.Fabric{{Letter: "A", Color: "#808080"}, {Letter: "B", Color: "#8a8080"}, {Letter: "C", Color: "#808a80"}, {Letter: "D", Color: "#ffffff"}}
	for name, c := range map[string]struct {
		drawn []plan.Drawn
		want  string // for each fabric whether it is plain or which texture it has
	}{
		"apart":                     {[]plan.Drawn{block("A", 0, 0, 1, 1), block("D", 1, 0, 1, 1), block("B", 2, 0, 1, 1)}, "...."},
		"side by side":              {[]plan.Drawn{block("A", 0, 0, 1, 1), block("B", 1, 0, 1, 1)}, ".1.."},
		"beside a part of a side":   {[]plan.Drawn{block("A", 0, 0, 1, 3), block("B", 1, 1, 1, 1)}, ".1.."},
		"at a corner":               {[]plan.Drawn{block("A", 0, 0, 1, 1), block("B", 1, 1, 1, 1)}, ".1.."},
		"on one line, not together": {[]plan.Drawn{block("A", 0, 0, 1, 1), block("B", 1, 2, 1, 1)}, "...."},
		"all three":                 {[]plan.Drawn{block("A", 0, 0, 1, 1), block("B", 1, 0, 1, 1), block("C", 0, 1, 2, 1)}, ".12."},
		"in a row":                  {[]plan.Drawn{block("A", 0, 0, 1, 1), block("B", 1, 0, 1, 1), block("C", 2, 0, 1, 1)}, ".1.."},
	} {
		p := &plan.Plan{Format: 1, Measure: "inch", Fabrics: grey, Drawn: c.drawn}
		d := Of(p, words.Of(p))
		got := ""
		for _, f := range grey {
			h := d.Look(f.Letter).Texture
			for n := range textures {
				if h.Same(textures[n]) {
					got += string(".1234567"[n])
				}
			}
		}
		if got != c.want {
			t.Errorf("%s: %s, want %s", name, got, c.want)
		}
	}
}

package compile

import (
	"bytes"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"quiltwright/internal/plan"
	"quiltwright/internal/quilt"
)

// changes are what may be changed in the text of a quilt: a fabric, a point of a line, a whole line or row, a turn, a size, the kind of a
// print, a block's name. What results may be wrong, and is compiled as well.
var changes = []struct {
	find *regexp.Regexp
	to   func(found string, random *rand.Rand) string
}{
	{regexp.MustCompile(`\b[A-F]\b`), func(_ string, random *rand.Rand) string { return "ABCDEF"[random.IntN(6):][:1] }},
	{regexp.MustCompile(`(?m)^      - \d+,\d+ \d+,\d+`), func(s string, random *rand.Rand) string {
		numbers := regexp.MustCompile(`\d+`).FindAllStringIndex(s, -1)
		at := numbers[random.IntN(len(numbers))]
		return s[:at[0]] + fmt.Sprint(random.IntN(13)) + s[at[1]:]
	}},
	{regexp.MustCompile(`(?m)^      - .*\n`), func(string, *rand.Rand) string { return "" }},
	{regexp.MustCompile(`@\d+`), func(_ string, random *rand.Rand) string { return fmt.Sprint("@", 90*random.IntN(4)) }},
	{regexp.MustCompile(`size: 12`), func(_ string, random *rand.Rand) string { return fmt.Sprint("size: ", 6+random.IntN(8)) }},
	{regexp.MustCompile(`print: one-way`), func(string, *rand.Rand) string { return "print: two-way" }},
	{regexp.MustCompile(`Beam|Window|Churn Dash|Log Cabin`), nil},
}

// edit makes one change.
func edit(src string, random *rand.Rand) string {
	c := changes[random.IntN(len(changes))]
	found := c.find.FindAllStringIndex(src, -1)
	if len(found) == 0 {
		return src
	}
	at := found[random.IntN(len(found))]
	word := src[at[0]:at[1]]
	if c.to == nil { // a name is changed wherever it stands
		return strings.ReplaceAll(src, word, word+" Again")
	}
	return src[:at[0]] + c.to(word, random) + src[at[1]:]
}

// What is remembered of earlier compilations never changes a plan: neither of a quilt that is edited, nor of other quilts between, nor where
// the document was read before, as an editor does.
func TestMemory(t *testing.T) {
	paths, err := filepath.Glob("../../examples/*.yaml")
	if err != nil || len(paths) < 4 {
		t.Fatal("no examples: ", err)
	}
	sources := map[string]string{}
	for _, path := range paths {
		src, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		sources[filepath.Base(path)] = string(src)
	}
	const edited = "lantern-row.yaml"
	others := slices.DeleteFunc(slices.Sorted(maps.Keys(sources)), func(name string) bool { return name == edited })
	random := rand.New(rand.NewPCG(2027, 1))
	encode := func(r *Result) []byte {
		b, err := plan.Encode(r.Plan)
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	var memory Memory
	complete := 0
	now := maps.Clone(sources)
	const edits = 80
	for k := range edits {
		name := edited
		if k%3 == 1 {
			name = others[k/3%len(others)]
		}
		if random.IntN(4) == 0 {
			now[name] = sources[name]
		}
		now[name] = edit(now[name], random)
		doc, found := quilt.Read(name, []byte(now[name]))
		warm := Document(doc, found, Options{Effort: Quick, Memory: &memory})
		cold := Compile(name, []byte(now[name]), Options{Effort: Quick})
		if !bytes.Equal(encode(warm), encode(cold)) {
			t.Fatalf("edit %d: the plans differ for\n%s", k, now[name])
		}
		if cold.Plan.Complete {
			complete++
		}
	}
	if complete < edits/3 {
		t.Errorf("only %d of %d edited quilts were complete", complete, edits)
	}
}

package compile

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"regexp"
	"strings"
	"testing"

	"quiltwright/internal/plan"
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

// What is remembered of earlier compilations never changes a plan.
func TestMemory(t *testing.T) {
	src, err := os.ReadFile("../../examples/lantern-row.yaml")
	if err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(2027, 1))
	encode := func(r *Result) []byte {
		b, err := plan.Encode(r.Plan)
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	var memory Memory
	now, complete := string(src), 0
	const edits = 50
	for k := range edits {
		if k%3 == 0 {
			now = string(src)
		}
		now = edit(now, random)
		warm := Compile("lantern-row", []byte(now), Options{Effort: Quick, Memory: &memory})
		cold := Compile("lantern-row", []byte(now), Options{Effort: Quick})
		if !bytes.Equal(encode(warm), encode(cold)) {
			t.Fatalf("edit %d: the plans differ for\n%s", k, now)
		}
		if cold.Plan.Complete {
			complete++
		}
	}
	if complete < edits/3 {
		t.Errorf("only %d of %d edited quilts were complete", complete, edits)
	}
}

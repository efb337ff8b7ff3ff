package compile

import (
	"flag"
	"fmt"
	"math/rand"
	"strings"
	"testing"
)

var manyQuilts = flag.Int("any", 120, "how many random quilts are compiled and sewn")

// anyQuilt is a quilt of blocks of cells of all the trade's words, of sizes that suit them well and badly, turned, with and
// without sashing and a border, made in several ways.
func anyQuilt(seed int64) string {
	words := []string{"half square A B", "half square B C", "goose A B", "goose B C A", "hourglass A B A B", "three triangles A B C",
		"square in square A B", "snowball A B", "four-patch A B", "nine-patch A B", "rail A B", "rail A B C", "half rectangle A B",
		"log cabin A B C B C", "A", "B", "C"}
	r := rand.New(rand.NewSource(seed))
	list := func(n int, one func() string) string {
		all := make([]string, n)
		for i := range all {
			all[i] = one()
		}
		return "[" + strings.Join(all, ", ") + "]"
	}
	var b strings.Builder
	b.WriteString("blocks:\n")
	kinds, size := 1+r.Intn(3), []string{"6", "7", "8", "9", "10", "12", "10 1/2"}[r.Intn(7)]
	for k := range kinds {
		n := 1 + r.Intn(4)
		fmt.Fprintf(&b, "  B%d: {size: %s, rows: %s}\n", k, size, list(n, func() string {
			return list(n, func() string {
				w := words[r.Intn(len(words))]
				if len(w) > 1 {
					w += fmt.Sprintf("@%d", 90*r.Intn(4))
				}
				return w
			})
		}))
	}
	columns := 1 + r.Intn(3)
	fmt.Fprintf(&b, "set:\n  rows: %s\n", list(1+r.Intn(3), func() string {
		return list(columns, func() string { return fmt.Sprintf("B%d@%d", r.Intn(kinds), 90*r.Intn(4)) })
	}))
	if r.Intn(2) == 0 {
		b.WriteString("  sashing: {width: 2, fabric: B, posts: C}\n")
	}
	if r.Intn(2) == 0 {
		b.WriteString("  borders: [{width: 4, fabric: B}]\n")
	}
	text := threeFabrics + b.String()
	switch seed % 3 { // as it comes; and with pieces that have points to trim, and squares that lie both ways
	case 1:
		text += "make: {corners: trimmed, geese: singles, half squares: singles}\n"
	case 2:
		text = strings.ReplaceAll(text, "three triangles A B C@90", "three triangles A B C@90m") + "make: {corners: trimmed, three triangles: pairs}\n"
	}
	return text
}

// What is compiled without an error is sewn without one.
func TestRandomQuiltsHold(t *testing.T) {
	t.Logf("seeds 0 to %d", *manyQuilts-1)
	for seed := range *manyQuilts {
		text := anyQuilt(int64(seed))
		r := Compile("random.yaml", []byte(text), Options{Proof: true, Effort: Quick})
		if !r.Plan.Complete {
			t.Fatalf("seed %d: %v\n%s", seed, r.Findings, text)
		}
		if !r.Plan.Proof.Holds {
			t.Errorf("seed %d: %s\n%s", seed, r.Plan.Proof.Findings[0].Says, text)
		}
	}
}

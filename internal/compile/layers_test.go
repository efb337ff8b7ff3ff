package compile

import (
	"math"
	"os"
	"testing"

	"quiltwright/internal/plan"
)

// Layers at a crossing, by folding cloth: a seam that ends on another pressed toward it or away, four squares pressed the same way, nested and open. 9,
// 7 and 4 are also what teachers count (S65, S68); docs/craft.md#pressing.
func TestLayersAtACrossing(t *testing.T) {
	four := "blocks:\n  Four:\n    size: 2\n    rows: [[A, B], [C, D]]\n    press:\n"
	step := "blocks:\n  Step:\n    size: 2\n    grid: 2\n    lines: [\"0,1 2,1\", \"1,0 1,1\"]\n    fill: {A: \"1/2,1/2\", B: \"3/2,1/2\", C: \"1,3/2\"}\n    press:\n"
	fabrics := threeFabrics + "  D: {name: Fourth, color: \"#777777\"}\n"
	for name, c := range map[string]struct {
		src  string
		want int
	}{
		"the same way":      {four + "      - 1/2,1/2 3/2,1/2\n      - 1/2,3/2 3/2,3/2\n      - 1/2,1/2 1/2,3/2\n", 9},
		"nested":            {four + "      - 1/2,1/2 3/2,1/2\n      - 3/2,3/2 1/2,3/2\n      - 1/2,1/2 1/2,3/2\n", 7},
		"open":              {four + "      - 1/2,1/2 3/2,1/2 open\n      - 3/2,3/2 1/2,3/2 open\n      - 1/2,1/2 1/2,3/2 open\n", 4},
		"open across":       {four + "      - 1/2,1/2 3/2,1/2\n      - 3/2,3/2 1/2,3/2\n      - 1/2,1/2 1/2,3/2 open\n", 6},
		"toward the pair":   {step + "      - 1/2,1/2 3/2,1/2\n      - 1,3/2 1/2,1/2\n", 7},
		"toward the single": {step + "      - 1/2,1/2 3/2,1/2\n      - 1/2,1/2 1,3/2\n", 5},
	} {
		r := Compile(name, []byte(fabrics+c.src), Options{Proof: true})
		if !r.Plan.Complete || !r.Plan.Proof.Holds {
			t.Fatal(name, r.Findings)
		}
		at := plan.Point{1, 1}
		got := 0
		for _, u := range r.Plan.Units {
			for _, x := range u.Bulk {
				if math.Abs(float64(x.At[0]-at[0])) < 1e-6 && math.Abs(float64(x.At[1]-at[1])) < 1e-6 {
					got = max(got, x.Layers)
				}
			}
		}
		if got != c.want {
			t.Errorf("%s: %d layers, not %d", name, got, c.want)
		}
	}
}

// Round a centre the seam that is left open is sewn and pressed last, with what closes the ring: where it
// ends, the seam of the last part ends on it, and it is pressed toward that pair: 7 layers (counted by hand).
func TestLayersInARing(t *testing.T) {
	src, err := os.ReadFile("../../blocks/bright-hopes.yaml")
	if err != nil {
		t.Fatal(err)
	}
	p := Compile("ring", src, Options{Proof: true}).Plan
	u := p.Index().Units[p.Blocks[0].Unit]
	want := map[plan.Point]int{u.Joins[0].Seam[1]: 7} // where the open half ends
	for _, c := range u.Bulk {
		if n, is := want[c.At]; is && c.Layers != n {
			t.Errorf("at %v: %d layers, not %d", c.At, c.Layers, n)
		}
		delete(want, c.At)
	}
	if len(want) > 0 {
		t.Errorf("nothing is said of %v", want)
	}
}

package prove_test

import (
	"testing"

	"quiltwright/internal/plan"
	"quiltwright/internal/prove"
)

// The layers at crossings are counted again: a number that is wrong, a point that is missing and one too many are found, at straight crossings, in a ring and
// where a block is pressed both ways.
func TestLayersAreCountedAgain(t *testing.T) {
	for _, file := range []string{"../../blocks/bright-hopes.yaml", "../../blocks/friendship-star.yaml", "../../examples/scrappy.yaml"} {
		p := compiled(t, file)
		if proof := prove.Prove(p); !proof.Holds {
			t.Fatalf("%s: %v", file, proof.Findings[0])
		}
		tried := 0
		wrong := func(what string, c *plan.Crossing, to plan.Crossing) {
			t.Helper()
			was := *c
			*c = to
			if prove.Prove(p).Holds {
				t.Errorf("%s: the proof holds with %s: %v for %v", file, what, to, was)
			}
			*c = was
			tried++
		}
		for i := range p.Units {
			u := &p.Units[i]
			for k := range min(3, len(u.Bulk)) {
				c := &u.Bulk[k]
				for _, n := range []int{-1, 1} {
					wrong("another number", c, plan.Crossing{At: c.At, Layers: c.Layers + n, Other: c.Other})
				}
				if c.Other > 0 {
					wrong("another number the other way", c, plan.Crossing{At: c.At, Layers: c.Layers, Other: c.Other - 1})
				}
				wrong("another place", c, plan.Crossing{At: plan.Point{c.At[0] + 0.1, c.At[1]}, Layers: c.Layers, Other: c.Other})
			}
			if all := u.Bulk; len(all) > 1 {
				u.Bulk = all[1:]
				if prove.Prove(p).Holds {
					t.Errorf("%s: the proof holds without a crossing", file)
				}
				u.Bulk = all
			}
		}
		if tried == 0 {
			t.Errorf("%s has no crossing", file)
		}
	}
}

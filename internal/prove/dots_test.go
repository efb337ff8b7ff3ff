package prove_test

import (
	"fmt"
	"testing"

	"quiltwright/internal/plan"
	"quiltwright/internal/prove"
)

// Where a part is set in, seams stop at dots: of a plan that holds, every dot taken out and every one put in elsewhere is found.
func TestDotsStandWhereSomethingIsSetIn(t *testing.T) {
	const head = "quilt: Lantern Row\nfabrics: {A: {name: Fog}, B: {name: Slate}, C: {name: Ember}}\nblocks: {Odd: {size: 8, "
	for name, c := range map[string]struct {
		block string
		dots  int // in all recipes
	}{
		// The seam along either side of the corner, and nothing else.
		"an ell in one piece": {`grid: 2, lines: ["1,0 1,1 2,1"], fill: {A: "1/2,1/2", B: "3/2,1/2"}`, 2},
		// Of two arms whose ends meet slantwise: their seam too.
		"an ell of two arms": {`grid: 2, lines: ["0,2 1,1", "1,0 1,1 2,1"], fill: {A: "1/2,1/2", C: "1,3/2", B: "3/2,1/2"}`, 3},
		// Three sides of the bar, two of them from dot to the raw edge, one from dot to dot.
		"a bar in a U": {`grid: 3, lines: ["1,0 1,2 2,2 2,0"], fill: {A: "1/2,1/2", B: "3/2,1/2"}`, 4},
		// Four corners, at each of which three seams stop.
		"a frame with mitred corners": {`grid: 4, symmetry: quarter turns, lines: ["0,0 1,1", "1,1 3,1"], fill: {A: "2,2", B: "2,1/2"}`, 12},
		// A ring with a partial seam only pauses.
		"a ring":         {`grid: 3, symmetry: quarter turns, lines: ["0,1 2,1"], fill: {A: "1/2,1/2", B: "3/2,3/2"}`, 0},
		"a plain row":    {`grid: 2, lines: ["1,0 1,2"], fill: {A: "1/2,1"}, ground: B`, 0},
		"half triangles": {`grid: 2, lines: ["0,0 2,2", "2,0 0,2"], fill: {A: "1,1/2 1,3/2"}, ground: B`, 0},
	} {
		t.Run(name, func(t *testing.T) {
			p := compiledText(t, head+c.block+"}}\nmake: {half squares: singles, hourglass: singles}\n")
			dots := 0
			eachStitch(p, func(op *plan.Op) { dots += len(op.Dots) })
			if dots != c.dots {
				t.Errorf("%d dots, want %d", dots, c.dots)
			}
			eachStitch(p, func(op *plan.Op) {
				was := op.Dots
				wrong := [][]int{{2}, {0, 0}, {-1}}
				for _, other := range [][]int{nil, {0}, {1}, {0, 1}} {
					if op.Allowance > 0 && !op.Partial && fmt.Sprint(other) != fmt.Sprint(was) {
						wrong = append(wrong, other)
					}
				}
				for _, other := range wrong {
					op.Dots = other
					if got := prove.Prove(p); got.Holds {
						t.Errorf("a seam along %v stops at %v, not at %v, and nothing is found", *op.Along, other, was)
					}
				}
				op.Dots = was
			})
		})
	}
}

func eachStitch(p *plan.Plan, do func(op *plan.Op)) {
	for i := range p.Recipes {
		for k := range p.Recipes[i].Do {
			if op := &p.Recipes[i].Do[k]; op.Op == "stitch" {
				do(op)
			}
		}
	}
}

package prove_test

import (
	"slices"
	"testing"

	"quiltwright/internal/plan"
	"quiltwright/internal/prove"
)

// Four-patches set edge to edge are pressed both ways, like a chessboard. As many are made of each as the rows take.
func TestWaysAreCounted(t *testing.T) {
	p := compiledText(t, fabrics+"blocks:\n  Four: {size: 6, rows: [[B, A], [A, B]]}\nset: {rows: [[Four, Four, Four], [Four, Four, Four], [Four, Four, Four]]}\n")
	n := map[string]int{}
	for _, r := range p.Recipes {
		n[r.Unit]++
	}
	both, at := -1, -1
	for i := range p.Units {
		for k, part := range p.Units[i].Parts {
			if n[part.Unit] == 2 {
				both, at = i, k
			}
		}
	}
	if both < 0 {
		t.Fatal("nothing is made both ways")
	}
	found := func(what string) {
		t.Helper()
		if !slices.ContainsFunc(prove.Prove(p).Findings, func(f plan.Finding) bool { return f.Code == "way" }) {
			t.Errorf("%s is not found", what)
		}
	}
	part := &p.Units[both].Parts[at]
	part.Way ^= 1
	found("a part of the other way")
	part.Way ^= 1
	for i := range p.Recipes {
		r := &p.Recipes[i]
		if r.Way != 1 {
			continue
		}
		r.Way = 2
		found("a third way")
		r.Way = 0
		found("a way that two recipes have")
		r.Way = 1
	}
	if proof := prove.Prove(p); !proof.Holds {
		t.Errorf("it does not hold any more: %v", proof.Findings)
	}
}

// What the second of two recipes presses is what the join says of the second way, not of either.
func TestEachWayIsPressedAsItIsSaid(t *testing.T) {
	p := compiledText(t, fabrics+"blocks:\n  Four: {size: 6, rows: [[B, A], [A, B]]}\nset: {rows: [[Four, Four, Four], [Four, Four, Four], [Four, Four, Four]]}\n")
	turned := 0
	for i := range p.Recipes {
		r := &p.Recipes[i]
		for k := range r.Do {
			o := &r.Do[k]
			if r.Way != 1 || o.Op != "press" || o.Toward == nil {
				continue
			}
			was := *o.Toward
			for other := range 4 {
				if other == was {
					continue
				}
				o.Toward = &other
				if prove.Prove(p).Holds {
					t.Errorf("%s, operation %d: pressed toward %d for %d", r.ID, k, other, was)
				}
				turned++
			}
			o.Toward = &was
		}
	}
	if turned == 0 {
		t.Error("nothing is pressed a second way")
	}
}

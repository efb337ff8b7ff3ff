package compile

import (
	"maps"
	"os"
	"slices"
	"testing"

	"quiltwright/internal/plan"
)

// Within a block all that can be is sewn of one kind before the next begins: units, rows, the block; what two kinds of unit have in common is done
// for both, one after the other; and rows are one chain.
func TestStepsAreOrderedForChains(t *testing.T) {
	src, err := os.ReadFile("../../examples/lantern-row.yaml")
	if err != nil {
		t.Fatal(err)
	}
	p := Compile("lantern-row.yaml", src, Options{Effort: Quick}).Plan
	of := func(month int) (stages []string, chains [][]int) {
		var all []plan.Step
		for _, s := range p.Steps {
			if s.Month == month {
				all = append(all, s)
			}
		}
		for i, s := range all {
			stages = append(stages, s.Stage)
			if i == 0 || all[i-1].Chain != s.Chain {
				chains = append(chains, nil)
			}
			n := len(chains) - 1
			chains[n] = append(chains[n], s.First)
		}
		return stages, chains
	}
	// Two kinds of geese, four at a time: sew, cut, sew, trim; three rows; the block.
	_, chains := of(3)
	want := [][]int{{0, 0}, {5}, {5}, {8, 8}, {22}, {22}, {0, 0, 0}, {0}}
	if !slices.EqualFunc(chains, want, slices.Equal) {
		t.Errorf("month 3 feeds %v, want %v", chains, want)
	}
	// Two stars: the second is begun when the first is done.
	stages, _ := of(4)
	if want := []string{"unit", "unit", "unit", "unit", "row", "row", "block", "unit", "unit", "unit", "unit", "row", "row", "block"}; !slices.Equal(stages, want) {
		t.Errorf("month 4 goes %v, want %v", stages, want)
	}
	// Blocks whose seams all run through are webs, if they nest: Beacon's seams run through, but its beams are halved.
	webs := map[string]plan.Web{}
	for _, b := range p.Blocks {
		for _, u := range p.Units {
			if u.ID == b.Unit && u.Web != nil {
				webs[b.Name] = *u.Web
			}
		}
	}
	three := plan.Web{Rows: 3, Columns: 3}
	if want := map[string]plan.Web{"Churn Dash": three, "Jacob's Ladder": three, "Net Floats": three, "Sawtooth Star": three, "Ohio Star": three, "Ferry Light": {Rows: 5, Columns: 5},
		"Spring Tide": {Rows: 4, Columns: 4}, "Quay Windows": {Rows: 2, Columns: 2}, "Bright Hopes": {Rows: 2, Columns: 2}}; !maps.Equal(webs, want) {
		t.Errorf("webs: %v, want %v", webs, want)
	}
	// A log cabin has nothing to chain.
	if stages, chains := of(7); len(chains) != len(stages) {
		t.Errorf("month 7 feeds %v", chains)
	}
}

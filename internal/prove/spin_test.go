package prove

import (
	"strings"
	"testing"

	"quiltwright/internal/plan"
)

// A seam that is spun where it cannot be is found, even where join and recipe agree.
func TestSpinsThatCannotBeAreFound(t *testing.T) {
	mustHold(t, "spun", spunNinePatch())
	type both func(spun []plan.Point) []plan.Point
	turn := func(change both) func(p *plan.Plan) {
		return func(p *plan.Plan) {
			p.Units[4].Joins[0].Spun = change(p.Units[4].Joins[0].Spun)
			p.Recipes[2].Do[2].Spun = change(p.Recipes[2].Do[2].Spun)
		}
	}
	for name, c := range map[string]struct {
		do   func(p *plan.Plan)
		says string
	}{
		"at one crossing less, and the other way": {turn(func(s []plan.Point) []plan.Point { return s[1:] }), "do not turn one way round"},
		"from the other side":                     {func(p *plan.Plan) { p.Units[4].Joins[0].Press, p.Recipes[2].Do[2].Toward = "toward 1", ptr(1) }, "do not turn one way round"},
		"where nothing crosses":                   {turn(func(s []plan.Point) []plan.Point { return []plan.Point{xy(1, 2), s[0]} }), "no seam was sewn there before"},
		"the other crossing first":                {turn(func(s []plan.Point) []plan.Point { return []plan.Point{s[1], s[0]} }), "in order"},
		"at its end":                              {turn(func(s []plan.Point) []plan.Point { return append(s[:2:2], xy(6, 2)) }), "in order"},
		"beside it":                               {turn(func(s []plan.Point) []plan.Point { return []plan.Point{s[0], xy(4, 2.5)} }), "in order"},
		"a row's seam is pressed the other way":   {func(p *plan.Plan) { p.Units[2].Joins[0].Press, p.Recipes[0].Do[2].Toward = "toward 0", ptr(0) }, "do not turn one way round"},
		"a row's seam is pressed open":            {func(p *plan.Plan) { p.Units[2].Joins[0].Press, p.Recipes[0].Do[2].Toward = "open", nil }, "pressed open"},
		"the seam is pressed open":                {func(p *plan.Plan) { p.Units[4].Joins[0].Press, p.Recipes[2].Do[2].Toward = "open", nil }, "cannot be spun"},
		"the recipe does not spin it":             {func(p *plan.Plan) { p.Recipes[2].Do[2].Spun = nil }, "does not spin"},
		"the join does not say so":                {func(p *plan.Plan) { p.Units[4].Joins[0].Spun = nil }, "does not spin"},
		"as thick as if it were not":              {func(p *plan.Plan) { p.Units[4].Bulk[0].Layers = 7 }, "4 layers lie at"},
		"its parts are not what the recipe joins": {func(p *plan.Plan) {
			p.Recipes[2].Do = append(p.Recipes[2].Do, plan.Op{Op: "mark", Work: 0, Line: &[2]plan.Point{xy(0, 0), xy(1, 1)}})
		}, "as they are made"},
		"a row's seam lies two ways at its ends": {func(p *plan.Plan) {
			p.Units[2].Joins[0].Spun, p.Recipes[0].Do[2].Spun = []plan.Point{xy(2, 1)}, []plan.Point{xy(2, 1)}
		}, "no seam was sewn there before"},
		"neither crossing is spun, as thick as so": {turn(func([]plan.Point) []plan.Point { return nil }), "7 layers lie at"},
	} {
		p := spunNinePatch()
		c.do(p)
		proof := Prove(p)
		found := false
		for _, f := range proof.Findings {
			found = found || strings.Contains(f.Says, c.says)
		}
		if proof.Holds || !found {
			t.Errorf("%s: %v", name, proof.Findings)
		}
	}
}

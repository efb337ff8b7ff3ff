package app

import (
	"net/url"

	"quiltwright/internal/compile"
	"quiltwright/internal/figure"
	"quiltwright/internal/plan"
	"quiltwright/internal/words"
)

// planView is what the places of the plan have in common.
type planView struct {
	litView
	Ready bool     `json:"ready"` // false: there is no complete plan, or not yet
	Why   string   `json:"why"`   // not
	Cost  costView `json:"cost"`  // of the last change
	Terms []term   `json:"terms"` // what the place lets one set for the whole quilt
}

// common is what the places have in common, and the compilation: nil where there is no complete plan.
func (s *state) common(q url.Values) (planView, *compile.Result) {
	v := planView{litView: unlit(), Terms: []term{}, Cost: s.cost()}
	r := s.result()
	switch {
	case r == nil:
		v.Why = "planning …"
		return v, nil
	case !r.Plan.Complete:
		v.Why = "There is no plan until what is wrong is mended."
		return v, nil
	}
	v.Ready = true
	v.litView = lit(r, q.Get("piece"))
	return v, r
}

// drawer draws the plan; it serves one request.
func drawer(p *plan.Plan) (*words.Teller, *figure.Drawer) {
	say := words.Of(p)
	return say, figure.Of(p, say)
}

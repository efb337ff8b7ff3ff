package prove_test

import (
	"encoding/json"
	"testing"

	"quiltwright/internal/plan"
	"quiltwright/internal/prove"
)

// A segment that is cut again is proven too: in how many stages, from how much of the strip, and how often.
func TestSegmentsCutAgainAreProven(t *testing.T) {
	whole := compiled(t, "../../examples/on-point.yaml")
	src, err := json.Marshal(whole)
	if err != nil {
		t.Fatal(err)
	}
	// fabric is the one that is cut in three stages, strip one of its strips with a stack, at where the stack begins.
	find := func(p *plan.Plan) (f *plan.Fabric, s *plan.Strip, at int) {
		for i := range p.Fabrics {
			f = &p.Fabrics[i]
			for j := range f.Strips {
				for k, c := range f.Strips[j].Cuts {
					if c.Below {
						return f, &f.Strips[j], k - 1
					}
				}
			}
		}
		t.Fatal("nothing of the example is cut again")
		return nil, nil, 0
	}
	for name, change := range map[string]func(f *plan.Fabric, s *plan.Strip, at int){
		"two stages":             func(f *plan.Fabric, _ *plan.Strip, _ int) { f.Stages = 2 },
		"no stages":              func(f *plan.Fabric, _ *plan.Strip, _ int) { f.Stages = 0 },
		"not below":              func(_ *plan.Fabric, s *plan.Strip, at int) { s.Cuts[at+1].Below = false },
		"the first below":        func(_ *plan.Fabric, s *plan.Strip, _ int) { s.Cuts[0].Below = true },
		"another height":         func(_ *plan.Fabric, s *plan.Strip, at int) { s.Cuts[at].Height += 0.125 },
		"no height":              func(_ *plan.Fabric, s *plan.Strip, at int) { s.Cuts[at].Height, s.Cuts[at+1].Height = 0, 0 },
		"oftener below":          func(_ *plan.Fabric, s *plan.Strip, at int) { s.Cuts[at+1].Count++ },
		"narrower below":         func(_ *plan.Fabric, s *plan.Strip, at int) { s.Cuts[at+1].Width -= 0.125 },
		"a lower strip":          func(_ *plan.Fabric, s *plan.Strip, _ int) { s.Height = s.Cuts[0].Height },
		"a height where not cut": func(_ *plan.Fabric, s *plan.Strip, at int) { s.Cuts = s.Cuts[:at+1] },
	} {
		var p plan.Plan
		if err := json.Unmarshal(src, &p); err != nil {
			t.Fatal(err)
		}
		if f, s, at := find(&p); prove.Prove(&p).Holds {
			if change(f, s, at); prove.Prove(&p).Holds {
				t.Errorf("it holds with %s", name)
			}
		} else {
			t.Fatal("the example does not hold")
		}
	}
}

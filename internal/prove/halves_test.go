package prove_test

import (
	"strings"
	"testing"

	"quiltwright/internal/prove"
)

// A ring's partial seam is one seam: what closes it is not pressed otherwise than what was sewn first, even where joins and recipe agree.
func TestHalvesOfAPartialSeamAreOne(t *testing.T) {
	p := compiled(t, "../../blocks/bright-hopes.yaml")
	tried := 0
	for i := range p.Units {
		u := &p.Units[i]
		for k := range u.Joins {
			j := &u.Joins[k]
			if j.Kind != "partial" || k == 0 {
				continue
			}
			j.Press = "open"
			for n := range p.Recipes {
				if r := &p.Recipes[n]; r.Unit == u.ID {
					last := &r.Do[len(r.Do)-1]
					if last.Op != "press" {
						t.Fatalf("recipe %s does not end with a press", r.ID)
					}
					last.Toward = nil
				}
			}
			tried++
		}
		u.Bulk = nil // the layers are not what is asked about
	}
	if tried == 0 {
		t.Fatal("no ring")
	}
	proof := prove.Prove(p)
	if proof.Holds || !strings.Contains(proof.Findings[0].Says, "one half of its partial seam") {
		t.Errorf("%v", proof.Findings)
	}
}

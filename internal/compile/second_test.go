package compile

import "testing"

// A row that stands only where the second way is pressed, in a quilt in which what it takes is made both ways, takes the second ones: seams that the
// pressing has nested are sewn so, 7 layers and not 9. (The rail square in the second row of seed 31 was taken the first way.)
func TestPartsOfWhatIsUsedTheSecondWay(t *testing.T) {
	r := Compile("random.yaml", []byte(anyQuilt(31)), Options{Proof: true})
	if !r.Plan.Proof.Holds {
		t.Fatal(r.Plan.Proof.Findings[0])
	}
	tried := 0
	for i, second := range r.Press.Second {
		for k, part := range r.Units[i].Parts {
			if !second || !r.Units[i].Made || !r.Units[part.Unit].BothWays() {
				continue
			}
			tried++
			id := r.UnitIDs()
			want := 1
			if r.Ways.Other[i] != nil {
				want ^= r.Ways.Other[i][k]
			}
			if got := r.Plan.Index().Units[id[i]].Parts[k].Way; got != want {
				t.Errorf("part %d of %s is taken way %d, pressed was way %d", k, id[i], got, want)
			}
		}
	}
	if tried == 0 {
		t.Error("nothing is used the second way only")
	}
	for _, m := range r.Press.Meetings {
		if m.Is != "nested" || len(r.Units[m.Unit].Parts) != 3 {
			continue
		}
		for _, c := range r.Plan.Index().Units[r.UnitIDs()[m.Unit]].Bulk {
			if dx, dy := float64(c.At[0])-m.X, float64(c.At[1])-m.Y; dx*dx+dy*dy < 1e-6 && c.Layers > 7 && c.Other == 0 {
				t.Errorf("unit %s: seams that nest at %v lie %d layers thick", r.UnitIDs()[m.Unit], c.At, c.Layers)
			}
		}
	}
}

package compile

import (
	"os"
	"strings"
	"testing"

	"quiltwright/internal/piecing"
	"quiltwright/internal/press"
	"quiltwright/internal/words"
)

// TestOddRingsAreTold names the seams that ask one of them to lie both ways, where a meeting cannot nest, and what was done about it.
func TestOddRingsAreTold(t *testing.T) {
	// One seam in every block, and the block beside itself in all turns: three seams round a corner cannot all lie against each other.
	const odd = `
blocks:
  Two: {size: 6, rows: [[A, B]]}
  Wheel: {size: 6, rows: [[half square A B, B], [A, goose A B]]}
set: {rows: [[Two, Wheel@90, Two@90], [Two@90, Two, Wheel], [Wheel, Two@180, Two]]}
`
	r := Compile("odd", []byte(threeFabrics+odd), Options{Proof: true})
	if !r.Plan.Complete || !r.Plan.Proof.Holds {
		t.Fatal(r.Findings, r.Plan.Proof)
	}
	if len(r.Plan.Press.Unmet) == 0 || !r.Plan.Press.Optimal {
		t.Fatalf("%+v", r.Plan.Press)
	}
	for k, m := range r.Press.Meetings {
		if m.Is == "nested" {
			continue
		}
		if m.Why != press.Ring || len(m.Ring) < 1 {
			t.Errorf("meeting %d: %+v", k, m)
		}
	}
	said := words.Press(r.Plan)
	for _, want := range []string{"back to where they began", "lie both ways", "It is pressed open here."} {
		if !strings.Contains(said, want) {
			t.Errorf("%q is not said in\n%s", want, said)
		}
	}
	// An arrow of the writer's closes a ring that is none by itself.
	rows := `
blocks:
  Nine:
    size: 9
    rows: [[B, A, B], [A, B, A], [B, A, B]]
    press:
      - 1/2,1/2 3/2,1/2
      - 1/2,3/2 3/2,3/2
`
	r = Compile("arrows", []byte(threeFabrics+rows), Options{})
	if len(r.Plan.Press.Unmet) == 0 {
		t.Fatal("rows pressed alike nest")
	}
	for _, m := range r.Plan.Press.Unmet {
		if m.Why != press.Writer {
			t.Errorf("%+v", m)
		}
	}
}

// A partial seam is one seam on the cloth: what is sewn of it at first and what closes the ring lie on one line, and are pressed to one side.
func TestHalvesOfAPartialSeamArePressedAlike(t *testing.T) {
	rings := 0
	for _, file := range []string{"../../examples/lantern-row.yaml", "../../blocks/bright-hopes.yaml"} {
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		r := Compile(file, src, Options{})
		for i := range r.Units {
			for way, toward := range r.Press.Toward[i] {
				var partial []int
				for k, j := range r.Units[i].Joins {
					if j.Kind == piecing.Partial && toward != nil {
						partial = append(partial, k)
					}
				}
				if len(partial) == 0 {
					continue
				}
				rings++
				first, rest := partial[0], partial[1]
				if a, b := r.Units[i].Joins[first], r.Units[i].Joins[rest]; len(partial) != 2 || a.B != b.B { // B, which both hold, lies on one side of the line
					t.Fatalf("%s: the halves of unit %d are joins %v", file, i, partial)
				}
				if toward[first] != toward[rest] {
					t.Errorf("%s: unit %d, made way %d: one half is pressed %d, the other %d", file, i, way, toward[first], toward[rest])
				}
			}
		}
	}
	if rings < 3 {
		t.Errorf("%d rings tell little", rings)
	}
}

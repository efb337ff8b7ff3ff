package compile

import (
	"strings"
	"testing"

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

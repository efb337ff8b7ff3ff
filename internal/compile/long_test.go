package compile

import (
	"fmt"
	"strings"
	"testing"

	"quiltwright/internal/plan"
)

// longBorders is a quilt whose borders are longer than its cloth is wide, made as a line of make says.
func longBorders(make string) string {
	return fmt.Sprintf(`
quilt: Long borders
fabrics:
  A: {name: Fog}
  B: {name: Slate, print: one-way, upright: quilt}
  C: {name: Ember}
blocks:
  Square:
    size: 12
    rows:
      - [A, C]
      - [C, A]
set:
  rows:
    - [Square, Square, Square, Square]
    - [Square, Square, Square, Square]
    - [Square, Square, Square, Square]
    - [Square, Square, Square, Square]
  borders:
    - {width: 2, fabric: C}
    - {width: 6, fabric: B}
%s`, make)
}

// The writer says how long strips are cut; the proof holds every way, and what is bought the other way is said.
func TestLongStrips(t *testing.T) {
	for way, want := range map[string]string{"along": "", "straight": "straight", "diagonal": "diagonal"} {
		r := Compile("long", []byte(longBorders("make: {long strips: "+way+"}")), Options{Proof: true})
		if !r.Plan.Complete || !r.Plan.Proof.Holds {
			t.Fatalf("%s: %v %+v", way, r.Findings, r.Plan.Proof)
		}
		for _, p := range r.Plan.Pieces {
			if p.Fabric == "C" && p.Height > 40 {
				if p.JoinedBy != want || (p.JoinedFrom > 1) != (want != "") || (p.Shape == "strip") != (want == "") || (p.Grain == "along") != (want == "") {
					t.Errorf("%s: %s is a %s from %d, grain %s", way, p.Label, p.Shape, p.JoinedFrom, p.Grain)
				}
			}
		}
	}
	r := Compile("long", []byte(longBorders("")), Options{Proof: true})
	for _, f := range r.Plan.Fabrics {
		if f.Letter != "C" {
			continue
		}
		if len(f.Instead) != 1 || f.Instead[0].Amount < f.Buy.Amount || f.Instead[0].Unit != f.Buy.Unit {
			t.Errorf("bought %v %s, otherwise %+v", f.Buy.Amount, f.Buy.Unit, f.Instead)
		}
	}
	bad := Compile("long", []byte(strings.Replace(longBorders(""), "    size: 12\n", "    size: 12\n    make: {long strips: along}\n", 1)), Options{})
	if bad.Plan.Complete {
		t.Error("a block says how borders are cut")
	}
}

// The print of a border that runs with its length is along the cloth, and the proof asks for it.
func TestPrintsOfLongBorders(t *testing.T) {
	r := Compile("long", []byte(longBorders("")), Options{Proof: true})
	if !r.Plan.Complete || !r.Plan.Proof.Holds {
		t.Fatalf("%v %+v", r.Findings, r.Plan.Proof)
	}
	var b *plan.Fabric
	for i := range r.Plan.Fabrics {
		if f := &r.Plan.Fabrics[i]; f.Letter == "B" {
			b = f
		}
	}
	if b.Length > 80 {
		t.Errorf("two borders along the print and two across take %g in", float64(b.Length))
	}
	joined := 0
	for _, p := range r.Plan.Pieces {
		if p.Fabric == "B" && p.JoinedFrom > 1 {
			joined++
			if p.Width < p.Height {
				t.Errorf("%s, %g by %g, is joined though its print runs along it", p.Label, float64(p.Width), float64(p.Height))
			}
		}
	}
	if joined == 0 {
		t.Error("no border with its print across is joined")
	}
}

package compile

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"quiltwright/internal/plan"
	"quiltwright/internal/prove"
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

// A binding is cut along the selvage where a border is and no more is bought for it, or where less is: fewer strips, fewer joins. What the
// other way costs is said.
func TestBindingAlongTheSelvage(t *testing.T) {
	finish := "finish:\n  binding: {fabric: C, strip: 2 1/2, cut: straight}\n"
	wide := strings.NewReplacer("    - {width: 2, fabric: C}\n", "", "width: 6, fabric: B", "width: 7, fabric: C", "[A, C]", "[A, B]", "[C, A]", "[B, A]", "size: 12", "size: 11")
	for _, c := range []struct{ make, is string }{{"", "along"}, {"make: {long strips: along}\n", "along"}, {"make: {long strips: straight}\n", "across"}} {
		r := Compile("long", []byte(wide.Replace(longBorders(c.make+finish))), Options{Proof: true})
		if !r.Plan.Complete || !r.Plan.Proof.Holds {
			t.Fatalf("%q: %v %+v", c.make, r.Findings, r.Plan.Proof)
		}
		b := r.Plan.Finish.Binding
		if along := b.Along > 0; along != (c.is == "along") || b.Joins != b.Strips-1 || along && b.Strips > 6 || !along && b.Strips < 7 {
			t.Errorf("%q: %+v", c.make, b)
		}
		f := r.Plan.Fabrics[2]
		other := slices.IndexFunc(f.Instead, func(x plan.Instead) bool { return x.Way == "binding across" })
		if other >= 0 != (c.is == "along") || other >= 0 && (f.Instead[other].Joins <= b.Joins || f.Instead[other].Amount < f.Buy.Amount) {
			t.Errorf("%q: bought %+v, otherwise %+v", c.make, f.Buy, f.Instead)
		}
		// A strip more or less, or a shorter one, is found.
		b.Strips++
		if prove.Prove(r.Plan).Holds {
			t.Errorf("%q: it holds with %d strips of binding", c.make, b.Strips)
		}
		b.Strips, b.Joins = b.Strips-1, b.Joins+1
		if prove.Prove(r.Plan).Holds {
			t.Errorf("%q: it holds with %d joins", c.make, b.Joins)
		}
	}
}

// A border that costs more along the selvage, or whole, than joined from strips is said to.
func TestBordersThatCostLessPieced(t *testing.T) {
	said := func(doc, way string) (is, other float64) {
		t.Helper()
		r := Compile("borders", []byte(doc), Options{})
		r.Otherwise(Options{})
		if !r.Plan.Complete {
			t.Fatal(r.Findings)
		}
		f := r.Plan.Fabrics[len(r.Plan.Fabrics)-1]
		k := slices.IndexFunc(f.Instead, func(x plan.Instead) bool { return x.Way == way })
		if k < 0 {
			return float64(f.Buy.Amount), 0
		}
		return float64(f.Buy.Amount), float64(f.Instead[k].Amount)
	}
	wide := longBorders("make: {long strips: along}")
	along, joined := said(wide, "joined")
	if bought, _ := said(strings.Replace(wide, "along", "straight", 1), "joined"); joined >= along || joined != bought {
		t.Errorf("along %g, joined is said to be %g and is %g", along, joined, bought)
	}
	if bought, other := said(strings.Replace(wide, "along", "straight", 1), "along"); bought != joined || other != along {
		t.Errorf("joined %g, along is said to be %g and is %g", bought, other, along)
	}
	small := `
quilt: Small
fabrics:
  A: {name: Fog}
  C: {name: Ember}
blocks:
  Plain: {size: %s, rows: [[A]]}
set:
  rows: [[Plain]]
  borders: [{width: %s, fabric: C}]
`
	// Four strips of 21 1/2 to 29 1/2 in each take one of their own, or less than three of them together; 9 in ones lie two to a strip.
	if whole, joined := said(fmt.Sprintf(small, "21", "4"), "pieced"); joined == 0 || joined >= whole {
		t.Errorf("whole %g, pieced %g", whole, joined)
	}
	if whole, joined := said(fmt.Sprintf(small, "9", "4"), "pieced"); joined != 0 {
		t.Errorf("whole %g, and pieced %g is said though it saves nothing", whole, joined)
	}
}

// Where nothing else is cut along the selvage, a binding is only where less is bought for it: of cloth that two squares side by side leave a
// quarter of, unused, and not where they fill it.
func TestBindingAlongTheSelvageForLessCloth(t *testing.T) {
	for size, want := range map[string]string{"14 1/2": "binding across", "19 1/2": "binding along"} {
		r := Compile("wide", []byte(fmt.Sprintf(`
quilt: Wide
fabrics:
  A: {name: Fog}
  C: {name: Ember}
blocks:
  Plain: {size: %s, rows: [[A]]}
  Other: {size: %[1]s, rows: [[C]]}
set:
  rows:
    - [Plain, Other, Plain, Other]
    - [Other, Plain, Other, Plain]
    - [Plain, Other, Plain, Other]
    - [Other, Plain, Other, Plain]
finish:
  binding: {fabric: C, strip: 2 1/2, cut: straight}
`, size)), Options{Proof: true})
		if !r.Plan.Complete || !r.Plan.Proof.Holds {
			t.Fatalf("%s: %v %+v", size, r.Findings, r.Plan.Proof)
		}
		b, f := r.Plan.Finish.Binding, r.Plan.Fabrics[1]
		if len(f.Instead) != 1 || f.Instead[0].Way != want || (b.Along > 0) != (want == "binding across") {
			t.Fatalf("%s: %+v, otherwise %+v", size, b, f.Instead)
		}
		if more := f.Instead[0].Amount - f.Buy.Amount; more < 0 || more == 0 && b.Along > 0 {
			t.Errorf("%s: %+v bought, otherwise %+v", size, f.Buy, f.Instead)
		}
	}
}

// A bias binding comes from a square, and the proof has a rule of its own for it.
func TestBiasBindingHolds(t *testing.T) {
	for _, strip := range []string{"2", "2 1/4", "2 1/2"} {
		r := Compile("bias", []byte(longBorders("finish:\n  binding: {fabric: C, strip: "+strip+", cut: bias}\n")), Options{Proof: true})
		if !r.Plan.Complete || !r.Plan.Proof.Holds {
			t.Fatalf("%s: %v %+v", strip, r.Findings, r.Plan.Proof)
		}
		b := r.Plan.Finish.Binding
		if b.Square--; prove.Prove(r.Plan).Holds {
			t.Errorf("%s: it holds with a square of %g", strip, float64(b.Square))
		}
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

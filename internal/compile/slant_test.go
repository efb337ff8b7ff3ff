package compile

import (
	"strings"
	"testing"

	"quiltwright/internal/plan"
	"quiltwright/internal/prove"
)

// slants is a quilt of nine blocks with a shape of the second fabric in each.
func slants(lines, ground string) string {
	return `
quilt: Slants
fabrics:
  A: {name: Fog}
  C: {name: Ember}
blocks:
  Slant:
    size: 8
    grid: 4
    lines: [` + lines + `]
    fill:
      C: 2,1/2
      A: ` + ground + `
set:
  rows:
    - [Slant, Slant, Slant]
    - [Slant, Slant, Slant]
    - [Slant, Slant, Slant]
`
}

// Parallelograms and trapezoids are cut end to end where that takes less cloth than the rectangles that hold them; the proof lays their outlines
// side by side, and finds a row that is said to be shorter, or pieces that would overlap.
func TestSlantedPiecesAreCutEndToEnd(t *testing.T) {
	for name, c := range map[string]struct {
		lines, ground string
		round         bool
		boxes         float64 // how long as many strips of rectangles would be
	}{
		"parallelogram": {"2,0 0,2, 4,0 2,2, 0,2 4,2", "1/2,1/2 7/2,3/2 2,3", false, 3 * 3.375},
		"trapezoid":     {"1,0 0,1, 3,0 4,1, 0,1 4,1", "1/8,1/8 31/8,1/8 2,3", true, 3 * 2.5},
	} {
		lines := strings.NewReplacer(", ", "\", \"").Replace(c.lines)
		r := Compile(name, []byte(slants("\""+lines+"\"", c.ground)), Options{Proof: true})
		if !r.Plan.Complete || !r.Plan.Proof.Holds {
			t.Fatalf("%s: %v %+v", name, r.Findings, r.Plan.Proof)
		}
		f := &r.Plan.Fabrics[1]
		if float64(f.Length) > c.boxes*2/3+1e-6 || !strings.Contains(f.Rules, "full rows") {
			t.Errorf("%s: %g long (%s), as rectangles %g", name, float64(f.Length), f.Rules, c.boxes)
		}
		row := &f.Strips[0].Cuts[0]
		if row.Row == 0 || row.Round != c.round || f.Layout[0].First.Parts[0].Cut != "nested" {
			t.Fatalf("%s: %+v", name, row)
		}
		nested := &f.Layout[0].First.Parts[0]
		if nested.Parts[1].Round != c.round {
			t.Errorf("%s: the second of a row: %+v", name, nested.Parts[1])
		}
		left := &f.Layout[0].First.Parts[1]
		for what, change := range map[string]func() func(){
			"a shorter row": func() func() {
				row.Row, f.Strips[0].Left = row.Row-0.25, f.Strips[0].Left+0.25
				return func() { row.Row, f.Strips[0].Left = row.Row+0.25, f.Strips[0].Left-0.25 }
			},
			"a narrower rectangle": func() func() {
				by := func(x plan.Num) {
					nested.Width, left.Width, left.Left[0] = nested.Width-x, left.Width+x, left.Left[0]+x
				}
				by(0.25)
				return func() { by(-0.25) }
			},
			"another turn": func() func() {
				nested.Parts[1].Round = !nested.Parts[1].Round
				return func() { nested.Parts[1].Round = !nested.Parts[1].Round }
			},
			"another turn in the strip": func() func() { row.Round = !row.Round; return func() { row.Round = !row.Round } },
			"one more":                  func() func() { row.Count++; return func() { row.Count-- } },
		} {
			back := change()
			if prove.Prove(r.Plan).Holds {
				t.Errorf("%s: it holds with %s", name, what)
			}
			back()
		}
		if proof := prove.Prove(r.Plan); !proof.Holds {
			t.Errorf("%s: it does not hold any more: %v", name, proof.Findings)
		}
	}
}

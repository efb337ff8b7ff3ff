package compile

import (
	"fmt"
	"math"
	"math/rand"
	"slices"
	"strings"
	"testing"

	"quiltwright/internal/plan"
)

// A patch that a circle of the motif's size lies in, about its centre of gravity, is cut by itself about a motif: no batch is offered. Any other is cut as from
// plain cloth.
func TestMotifsDecideTheMethod(t *testing.T) {
	const head = `quilt: Lantern Row
fabrics:
  A: {name: Fog, motif: {size: %s, every: 12}}
  B: {name: Slate}
blocks:
  Trial: {size: %s, rows: [%s]}
set: {rows: [[Trial, Trial], [Trial, Trial]]}
`
	for _, c := range []struct {
		name, motif, size, rows, kind, want string
		refused                             int
		at                                  [2]float64 // of the motif in the piece; 0, 0: it is not centred
	}{
		// A right triangle with legs of 6 in: 6/3 in to its legs, 6/(3√2) = 1.4142 to its long side; cut by a template with its corner a seam out.
		{"half squares with room", "2 3/4", "12", "[half square A B, half square A B], [half square A B, half square A B]", "half square", "joined", 2, [2]float64{2.25, 2.25}},
		{"half squares too small", "2 7/8", "12", "[half square A B, half square A B], [half square A B, half square A B]", "half square", "pairs", 0, [2]float64{}},
		// A triangle with a long side of 12 in and a height of 6: a third of that above the long side.
		{"geese", "2 3/4", "[12, 6]", "[goose A B]", "flying geese", "joined", 2, [2]float64{6 + 0.25*(1+math.Sqrt2), 2.25}},
		{"skies of geese", "1", "[12, 6]", "[goose B A]", "flying geese", "joined", 2, [2]float64{2.25, 2.25}},
		{"hourglass", "1", "6", "[hourglass A B]", "hourglass", "joined", 1, [2]float64{3 + 0.25*(1+math.Sqrt2), 1.25}},
		{"square in a square", "4", "6", "[square in square A B]", "square in a square", "joined", 1, [2]float64{4.75 / 2, 4.75 / 2}}, // 3√2 + 1/2 = 4.7426, up to a mark
		{"square in a square too small", "4 1/4", "6", "[square in square A B]", "square in a square", "joined", 1, [2]float64{}},
		{"snowball", "5", "6", "[snowball A B]", "snowball", "joined", 1, [2]float64{3.25, 3.25}},
		{"strip set", "2", "6", "[A], [B], [A]", "rail fence", "joined", 1, [2]float64{1.25, 3.25}},
		{"strip set too small", "2 1/8", "6", "[A], [B], [A]", "rail fence", "strip set", 0, [2]float64{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := Compile("motif.yaml", fmt.Appendf(nil, head, c.motif, c.size, c.rows), Options{Proof: true})
			if !r.Plan.Complete || !r.Plan.Proof.Holds {
				t.Fatal(r.Findings, r.Plan.Proof)
			}
			for i := range r.Units {
				u := &r.Units[i]
				if !u.Made || string(u.Shape.Kind) != c.kind {
					continue
				}
				refused := 0
				for _, no := range u.Refused {
					if no.Why == "motif" {
						refused++
					}
				}
				centred := c.at != [2]float64{}
				if u.Method != c.want || centred && (refused != c.refused || u.Why != "motif") || !centred && refused > 0 {
					t.Errorf("%s is made by %s (%s), refused %v", u.Shape.Kind, u.Method, u.Why, u.Refused)
				}
			}
			found := false
			for _, x := range r.Plan.Pieces {
				if x.Motif == nil {
					continue
				}
				found = true
				if x.Fabric != "A" || math.Abs(float64(x.Motif[0])-c.at[0]) > 1e-5 || math.Abs(float64(x.Motif[1])-c.at[1]) > 1e-5 {
					t.Errorf("piece %s has its motif at %v, want %v", x.Label, *x.Motif, c.at)
				}
			}
			warned := slices.ContainsFunc(r.Plan.Findings, func(f plan.Finding) bool {
				return f.Severity == "warning" && f.Code == "motif" && strings.Contains(f.Says, "a motif of "+c.motif)
			})
			if found != (c.at != [2]float64{}) || warned != !found {
				t.Errorf("centred %v, warned %v", found, warned)
			}
		})
	}
}

// Worked by hand: 16 squares cut 4 1/2 in, 5 to a width of 40 in (35 1/2 in hold 5 motifs 6 in apart), in 4 rows 8 in apart, and a repeat before the first. In the shop
// come an inch for squaring up and for a miscut one more row: 36 1/2 + 1 + 8 = 45 1/2 in, up to 11/8 yd.
func TestMotifsAreBought(t *testing.T) {
	const doc = `quilt: Lantern Row
fabrics:
  A: {name: Harbour, motif: {size: 4, every: [6, 8]}%s}
  B: {name: Slate}
blocks:
  Lamp: {size: 8, rows: [[A, B], [B, A]]}
set: {rows: [[Lamp, Lamp], [Lamp, Lamp], [Lamp, Lamp], [Lamp, Lamp]], borders: [{width: 2, fabric: B}]}
`
	for _, c := range []struct {
		name, more, months   string
		length, bound, motif float64
		miscut, monthly      float64
		amount               float64
		unit                 string
		strips, sheets       int
	}{
		{"bolt", "", "", 36.5, 36.5, 8, 8, 0, 1.375, "yd", 2, 0},
		{"narrow", ", width: 22", "", 60.5 + 8, 68.5, 8, 8, 0, 2.25, "yd", 1, 0}, // floor(17 1/2 / 6) = 2 in each of 8 rows
		{"fat quarters", ", sold: fat quarter", "", 0, 0, 0, 0, 0, 8, "fat quarter", 1, 8},
		// Each month begins with a repeat: 4 squares are a row, 12 are three: 4 1/2 + 8 and 2 x 8 + 4 1/2 + 8, 4 1/2 in more than all at once.
		{"months", "", "months: [{title: One, blocks: {Lamp: 2}}, {title: Two, blocks: {Lamp: 6}, set: true}]\n", 36.5, 36.5, 8, 8, 4.5, 1.5, "yd", 2, 0},
	} {
		r := Compile("motif.yaml", []byte(fmt.Sprintf(doc, c.more)+c.months), Options{Proof: true})
		if !r.Plan.Complete || !r.Plan.Proof.Holds {
			t.Fatal(c.name, r.Findings, r.Plan.Proof)
		}
		f := r.Plan.Fabrics[0]
		got := [8]float64{float64(f.Length), float64(f.Bound), float64(f.Buy.Motif), float64(f.Buy.Miscut), float64(f.Buy.Monthly), float64(f.Buy.Amount), float64(len(f.Strips)), float64(f.Sheets)}
		want := [8]float64{c.length, c.bound, c.motif, c.miscut, c.monthly, c.amount, float64(c.strips), float64(c.sheets)}
		if got != want || f.Buy.Unit != c.unit || !f.Optimal {
			t.Errorf("%s: length, bound, motif, miscut, monthly, amount, strips, sheets %v, want %v, in %s", c.name, got, want, f.Buy.Unit)
		}
	}
}

// Where no motif is sure to stand where a piece would be cut there is no plan, and the finding says what would be right.
func TestMotifsThatAreNotSure(t *testing.T) {
	r := Compile("motif.yaml", []byte("quilt: Lantern Row\nfabrics: {A: {name: Harbour, motif: {size: 12, every: [30, 30]}}}\nblocks: {Sail: {size: 12, rows: [[A]]}}\n"), Options{})
	if r.Plan.Complete || !slices.ContainsFunc(r.Plan.Findings, func(f plan.Finding) bool {
		return f.Severity == "error" && f.Code == "motif" && strings.Contains(strings.ReplaceAll(f.Says, "\u00a0", " "), "40 in wide") && f.Remedy != ""
	}) {
		t.Errorf("complete %v: %v", r.Plan.Complete, r.Findings)
	}
}

// Random quilts with a cloth with motifs or stripes of any kind, sold in any way, are sewn without an error, and in many of them something is centred.
func TestRandomQuiltsAboutMotifsHold(t *testing.T) {
	const quilts = 100
	t.Logf("seeds 0 to %d", quilts-1)
	centred := 0
	for seed := range int64(quilts) {
		r := rand.New(rand.NewSource(seed))
		of := func(list ...string) string { return list[r.Intn(len(list))] }
		text := anyQuilt(seed)
		f := []string{"A: {", "C: {"}[seed%2]
		cloth := of("motif: {size: 1, every: [5, 7 1/2]}", "motif: {size: 2, every: 6}, print: one-way", "motif: {size: 3, every: [3, 9]}, print: two-way, upright: quilt",
			"motif: {size: 1/2, every: [0, 4]}, print: one-way", "motif: {size: 1, every: [2 1/4, 0]}, print: two-way", "motif: {size: 1 1/8, every: [2, 3 5/8]}")
		sold := of("", "", ", have: [[18, 30]]", ", assorted: 2", ", sold: {sheet: [42, 36]}", ", width: 30")
		text = strings.Replace(text, f, f+cloth+sold+", ", 1)
		got := Compile("random.yaml", []byte(text), Options{Proof: true, Effort: Quick})
		if !got.Plan.Complete {
			t.Fatalf("seed %d: %v\n%s", seed, got.Findings, text)
		}
		if !got.Plan.Proof.Holds {
			t.Errorf("seed %d: %s\n%s", seed, got.Plan.Proof.Findings[0].Says, text)
		}
		if slices.ContainsFunc(got.Plan.Pieces, func(x plan.Piece) bool { return x.Motif != nil }) {
			centred++
		}
	}
	if centred < quilts/2 {
		t.Errorf("in %d of %d quilts something is centred", centred, quilts)
	}
}

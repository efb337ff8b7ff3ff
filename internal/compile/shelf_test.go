package compile

import (
	"math"
	"strings"
	"testing"

	"quiltwright/internal/plan"
)

// shelf is a quilt of forty-eight squares of 4 1/2 in, half of each of two fabrics, cut singly.
func shelf(a, b string) string {
	return `quilt: Shelf
fabrics:
  A: {name: Pale, color: "#f4efe2"` + a + `}
  B: {name: Deep, color: "#2b3a45"` + b + `}
make: {strip sets: never}
blocks:
  Four: {size: 8, rows: [[A, B], [B, A]]}
set:
  rows: [[Four, Four, Four], [Four, Four, Four], [Four, Four, Four], [Four, Four, Four]]
`
}

// from counts the blanks that each kind of cloth gives.
func from(f *plan.Fabric) map[string]int {
	out := map[string]int{}
	var count func(n *plan.Node) int
	count = func(n *plan.Node) int {
		if n.Piece != "" {
			return 1
		}
		sum := 0
		for i := range n.Parts {
			sum += count(&n.Parts[i])
		}
		return sum
	}
	for i := range f.Layout {
		out[f.Layout[i].Stock] += count(f.Layout[i].First)
	}
	return out
}

// What is on the shelf is cut before anything is bought, and less is bought for it; the proof holds with it.
func TestClothOnTheShelfIsUsedFirst(t *testing.T) {
	for _, c := range []struct {
		name, how   string
		shelf       int // squares from the shelf
		other       int // squares from what is bought
		kind        string
		amount      plan.Num
		unit        string
		firstStocks string
	}{
		// 24 squares of 4 1/2 in, eight to a strip across 40 in: three strips, 13 1/2 in, one for squaring up and a strip for a miscut.
		{"bolt", "", 0, 24, "bolt", 0.625, "yd", "bolt bolt bolt"},
		// A piece of 12 by 20 in gives 2 by 4: sixteen are left, two strips.
		{"bolt and a piece", ", have: [[12, 20]]", 8, 16, "bolt", 0.5, "yd", "shelf bolt bolt"},
		// Two pieces give 8 and 16: nothing is bought.
		{"two pieces", ", have: [[12, 20], [20, 20]]", 24, 0, "bolt", 0, "yd", "shelf shelf"},
		// A piece that is too small for a square stays on the shelf.
		{"a scrap", ", have: [[4, 30]]", 0, 24, "bolt", 0.625, "yd", "bolt bolt bolt"},
		// A fat quarter of 18 by 21 in gives 4 by 4.
		{"fat quarters", ", sold: fat quarter", 0, 24, "sheet", 2, "fat quarter", "sheet sheet"},
		{"a fat quarter and a piece", ", sold: fat quarter, have: [[12, 20]]", 8, 16, "sheet", 1, "fat quarter", "shelf sheet"},
		{"a fat quarter and a wide piece", ", sold: fat quarter, have: [[40, 5]]", 8, 16, "sheet", 1, "fat quarter", "shelf sheet"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := Compile("shelf.yaml", []byte(shelf(c.how, "")), Options{Proof: true})
			if !r.Plan.Complete {
				t.Fatal(r.Findings)
			}
			if !r.Plan.Proof.Holds {
				t.Errorf("the proof fails: %v", r.Plan.Proof.Findings)
			}
			f := &r.Plan.Fabrics[0]
			if got := from(f); got["shelf"] != c.shelf || got[c.kind] != c.other || got["shelf"]+got[c.kind] != 24 {
				t.Errorf("blanks are cut from %v, want %d from the shelf and %d from what is bought", got, c.shelf, c.other)
			}
			var stocks []string
			for _, s := range f.Layout {
				stocks = append(stocks, s.Stock)
			}
			if got := strings.Join(stocks, " "); got != c.firstStocks {
				t.Errorf("cut from %s, want %s", got, c.firstStocks)
			}
			if math.Abs(float64(f.Buy.Amount-c.amount)) > 1e-9 || f.Buy.Unit != c.unit {
				t.Errorf("buy %g %s, want %g %s", f.Buy.Amount, f.Buy.Unit, c.amount, c.unit)
			}
		})
	}
}

// A strip set is no longer than the pieces that its fabrics are sold in.
func TestStripSetsFitPieces(t *testing.T) {
	doc := strings.Replace(shelf("", ", sold: fat quarter"), "strip sets: never", "strip sets: always", 1)
	r := Compile("shelf.yaml", []byte(doc), Options{Proof: true})
	if !r.Plan.Complete || !r.Plan.Proof.Holds {
		t.Fatalf("%v %v", r.Findings, r.Plan.Proof)
	}
	strips := 0
	for _, p := range r.Plan.Pieces {
		if p.Shape == "strip" {
			strips++
			if p.Width > 21 || p.Height > 21 {
				t.Errorf("%s is %g by %g", p.Label, p.Width, p.Height)
			}
		}
	}
	if strips == 0 {
		t.Error("no strip set")
	}
}

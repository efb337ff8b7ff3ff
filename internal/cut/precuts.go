package cut

import (
	"math"
	"slices"

	"quiltwright/internal/guillotine"
	"quiltwright/internal/measure"
	"quiltwright/internal/plan"
	"quiltwright/internal/quilt"
)

// precut is cloth as it is sold ready cut. Pinked edges are no straight ones: what is cut anew along them loses the pinking, but a piece as
// wide as the strip keeps it (common practice; docs/craft.md#cloth).
type precut struct {
	of     string
	size   [2]float64 // across and along the cloth; 0 across: as wide as the cloth is
	pinked bool
}

// precuts are those that are asked for, in inches; fat quarters are the document's.
var precuts = []precut{{"strip", [2]float64{0, 2.5}, true}, {"square", [2]float64{10, 10}, true}, {"fat quarter", [2]float64{21, 18}, false}}

// Precuts says of the pieces of each fabric that is sold off the bolt how many precuts of each kind they come out of, or which piece is too
// large for them. The binding is not counted.
func Precuts(doc *quilt.Document, pieces []Piece) [][]plan.Precut {
	rules := rulesOf(doc)
	out := make([][]plan.Precut, len(doc.Fabrics))
	listed := Listed(pieces)
	for i, f := range doc.Fabrics {
		c := clothOf(doc, f)
		var blanks []Blank
		for _, p := range listed {
			if pieces[p].Blank.Fabric == i && pieces[p].Cut() > 0 {
				blanks = append(blanks, blankOf(&pieces[p]))
			}
		}
		if c.inSheets() || len(blanks) == 0 || slices.ContainsFunc(blanks, func(b Blank) bool { return b.Centred }) {
			continue
		}
		for _, k := range precuts {
			out[i] = append(out[i], k.count(c, blanks, rules))
		}
	}
	return out
}

// count is how many of a precut the blanks come out of.
func (k precut) count(c Cloth, blanks []Blank, rules Rules) plan.Precut {
	pinking := 0.0
	size := k.size
	if rules.Unit == measure.Centimetre {
		size = [2]float64{size[0] * 2.54, size[1] * 2.54}
		if !k.pinked {
			size = [2]float64{55, 50}
		}
	}
	if k.pinked {
		pinking = rules.inch(0.25, 0.6) // both edges together
	}
	usable := [2]float64{size[0] - pinking, size[1] - pinking}
	if size[0] == 0 {
		size[0], usable[0] = c.Width, c.Width // between the selvages
	}
	out := plan.Precut{Of: k.of, Size: [2]plan.Num{plan.Num(size[0]), plan.Num(size[1])}, Usable: [2]plan.Num{plan.Num(usable[0]), plan.Num(usable[1])}}
	g := grid{step: rules.Ruler / 8}
	var items []guillotine.Item
	for _, b := range blanks {
		for _, x := range bits(b, Cloth{Width: size[0], Sheet: size}, rules, map[string]int{}) {
			w, h, turn := x.w, x.h, x.turn
			if k.size[0] == 0 { // a strip may keep its pinked edges
				switch keeps := func(v float64) bool { return math.Abs(v-size[1]) < 1e-6 }; {
				case keeps(h):
					h, turn = usable[1], false
				case keeps(w) && turn:
					w, h, turn = h, usable[1], false
				}
			}
			if fits := func(w, h float64) bool { return w <= usable[0]+1e-6 && h <= usable[1]+1e-6 }; !fits(w, h) && !(turn && fits(h, w)) {
				out.TooLarge = b.Label
				return out
			}
			items = append(items, guillotine.Item{W: g.up(w), H: g.up(h), Count: x.count, Turn: turn})
		}
	}
	sheets, err := rules.Memory.LaySheets(guillotine.SheetProblem{Width: g.down(usable[0]), Length: g.down(usable[1]), Items: items, Effort: guillotine.Quick})
	if err != nil {
		out.TooLarge = blanks[0].Label
		return out
	}
	out.Count = sheets.Count
	return out
}

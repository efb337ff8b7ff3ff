package prove

import (
	"slices"

	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// longestRow is how many pieces a row may have.
const longestRow = 256

// nested checks a row of pieces that lie end to end, slant beside slant: their outlines, each pushed against those before it, fit into the
// rectangle and overlap nowhere.
func (v *prover) nested(f *plan.Fabric, n *plan.Node, got *counted, depth int) {
	if !v.expect(len(n.Parts) <= longestRow) {
		v.fault("layout", "", n.Parts[0].Piece, "", "fabric %s: a row of %d pieces", f.Letter, len(n.Parts))
		return
	}
	round := make([]bool, len(n.Parts))
	for i := range n.Parts {
		part := &n.Parts[i]
		round[i] = part.Round
		if !v.expect(part.Piece != "" && part.Piece == n.Parts[0].Piece && len(part.Parts) == 0 && !part.Turned) {
			v.fault("layout", "", part.Piece, "", "fabric %s: a row of %s has something else in it", f.Letter, n.Parts[0].Piece)
			return
		}
		v.node(f, part, got, depth+1)
	}
	x := v.pieces[n.Parts[0].Piece]
	if x == nil {
		return // said
	}
	if slices.Contains(round, true) {
		got.round[x.Label] = true
		if !v.expect(x.Turnable && x.Motif == nil) {
			v.fault("layout", "", x.Label, "", "fabric %s: piece %s lies half a turn round, which its grain or print forbids", f.Letter, x.Label)
		}
	}
	long, high := flat.EndToEnd(flat.Raw(x), flat.Beside(flat.Raw(x), round))
	if !v.expect(long <= float64(n.Width)+1e-3 && high <= float64(n.Height)+1e-4) {
		v.fault("layout", "", x.Label, v.long(long), "fabric %s: a row of %d of piece %s takes %s of a strip of %s", f.Letter, len(round), x.Label, v.long(float64(n.Width)), v.long(float64(n.Height)))
	}
}

// rowOf says whether so many pieces fit end to end into a row of a strip, every second one half a turn round where they lie so in the layout.
func (v *prover) rowOf(x *plan.Piece, c plan.Cuts, alternate bool, room float64) bool {
	if c.Count < 1 || c.Count > longestRow || c.Turned {
		return false
	}
	row := flat.Row(flat.Raw(x), c.Count, c.Round)
	long, high := flat.EndToEnd(flat.Raw(x), row)
	return c.Round == (alternate && c.Count > 1) && long <= float64(c.Row)+1e-3 && high <= room+1e-4 && same(float64(c.Width), float64(x.Width), 1e-4)
}

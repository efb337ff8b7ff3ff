package compile

import (
	"quiltwright/internal/diag"
	"quiltwright/internal/draft"
	"quiltwright/internal/plane"
	"quiltwright/internal/press"
)

// fixed is the state of the joins that the writer's arrows choose, by unit and join. An arrow that crosses no seam, or that says otherwise
// than an earlier one about a seam of the same unit, is left out with a warning: everyone presses a batch alike.
func (r *Result) fixed() (map[[2]int]int, diag.List) {
	out := map[[2]int]int{}
	var found diag.List
	said := map[diag.Pos]bool{} // a block is drawn in several colourings
	for b, block := range r.Blocks {
		for _, a := range block.Press {
			unit, joins, state := r.Seam(b, a)
			f := diag.Finding{Severity: diag.Warning, At: a.At, Block: block.Name}
			switch {
			case unit < 0:
				f.Code, f.Says = "press-nothing", "this arrow is not drawn from one patch over a seam into the next, so nothing is pressed by it"
				f.Remedy = "begin it inside one patch and end it inside a neighbour, or take it out"
			case contrary(out, unit, joins, state):
				f.Code, f.Says = "press-twice", "this seam is pressed otherwise by an earlier arrow, in the same unit: everyone presses a batch alike"
				f.Remedy = "take one of the two out"
			default:
				for _, k := range joins {
					out[[2]int{unit, k}] = state
				}
				continue
			}
			if !said[a.At] {
				said[a.At] = true
				found = append(found, f)
			}
		}
	}
	return out, found
}

// contrary reports whether one of the joins is pressed otherwise already.
func contrary(fixed map[[2]int]int, unit int, joins []int, state int) bool {
	for _, k := range joins {
		if s, ok := fixed[[2]int{unit, k}]; ok && s != state {
			return true
		}
	}
	return false
}

// UnitIDs are the ids of the units in the plan, "" for those that it does not list.
func (r *Result) UnitIDs() []string { return r.ids() }

// Toward is the part of a unit, made one way, that a join is pressed toward: -1 where it is pressed open. ok is false where the unit is not made.
func (r *Result) Toward(unit, way, join int) (part int, ok bool) {
	toward := r.Press.Toward[unit][way]
	if toward == nil { // it is made the other way only
		toward = r.Press.Toward[unit][1-way]
	}
	if join >= len(toward) {
		return 0, false
	}
	switch j := r.Units[unit].Joins[join]; toward[join] {
	case press.TowardA:
		return j.A, true
	case press.TowardB:
		return j.B, true
	}
	return -1, true
}

// Leaf is the part numbers from the unit of block b down to a patch of it, through units as they are sewn.
func (r *Result) Leaf(b, patch int) []int {
	return r.leaf(r.Pieced.Blocks[b].Unit, r.Pieced.BlockLeaves[b][patch])
}

// Seam finds the joins, of one unit, between the patches of block b that an arrow goes from and to, and the state that it asks for; unit is -1
// where there are none.
func (r *Result) Seam(b int, a draft.Arrow) (unit int, joins []int, state int) {
	from, to := patchAt(r.Blocks[b], a.From), patchAt(r.Blocks[b], a.To)
	if from < 0 || to < 0 || from == to || r.Pieced.Blocks[b].Unit < 0 {
		return -1, nil, 0
	}
	one, two := r.Leaf(b, from), r.Leaf(b, to)
	unit = r.Pieced.Blocks[b].Unit
	for len(one) > 0 && len(two) > 0 && one[0] == two[0] {
		unit = r.Units[unit].Parts[one[0]].Unit
		one, two = one[1:], two[1:]
	}
	if len(one) == 0 || len(two) == 0 {
		return -1, nil, 0
	}
	for k, j := range r.Units[unit].Joins {
		switch {
		case j.A == one[0] && j.B == two[0]:
			joins, state = append(joins, k), press.TowardB
		case j.A == two[0] && j.B == one[0]:
			joins, state = append(joins, k), press.TowardA
		}
	}
	if len(joins) == 0 {
		return -1, nil, 0
	}
	if a.Open {
		state = press.Open
	}
	return unit, joins, state
}

// patchAt is the patch of a block that holds the point, -1 where none does.
func patchAt(b *draft.Block, p plane.Point) int {
	for i, patch := range b.Patches {
		if patch.Outline.Contains(p) > 0 {
			return i
		}
	}
	return -1
}

package compile

import (
	"quiltwright/internal/diag"
	"quiltwright/internal/draft"
	"quiltwright/internal/method"
	"quiltwright/internal/plane"
	"quiltwright/internal/press"
)

// fixed is the state of the joins that the writer's arrows choose, by unit and join. An arrow that crosses no seam, or that says otherwise
// than an earlier one about a seam of the same unit, is left out with a warning: everyone presses a batch alike.
func (r *Result) fixed() (map[[2]int]int, diag.List) {
	out := map[[2]int]int{}
	var found diag.List
	said := map[diag.Pos]bool{} // a block is drawn in several colourings
	say := func(of int, block string, arrows []draft.Arrow) {
		for _, a := range arrows {
			unit, joins, state := r.Seam(of, a)
			f := diag.Finding{Severity: diag.Warning, At: a.At, Block: block}
			switch {
			case unit < 0:
				f.Code, f.Says = "press-nothing", "this arrow is not drawn from one patch over a seam into the next, so nothing is pressed by it"
				f.Remedy = "begin it inside one patch and end it inside a neighbour, or take it out"
				if of == Whole {
					f.Says = "this arrow is not drawn from one block or patch of the top over a seam into the next, so nothing is pressed by it"
					f.Remedy = "begin it inside one and end it inside a neighbour, in finished lengths from the upper left corner, or take it out"
				}
			case r.contrary(out, unit, joins, state):
				f.Code, f.Says = "press-twice", "this seam is pressed otherwise by an earlier arrow, in the same unit: everyone presses a batch alike"
				f.Remedy = "take one of the two out"
			default:
				for _, k := range joins {
					out[method.Pressed(r.Units, unit, k)] = state
				}
				continue
			}
			if !said[a.At] {
				said[a.At] = true
				found = append(found, f)
			}
		}
	}
	for b, block := range r.Blocks {
		say(b, block.Name, block.Press)
	}
	if r.Doc.Set != nil {
		say(Whole, "", r.Doc.Set.Press)
	}
	return out, found
}

// contrary reports whether one of the joins is pressed otherwise already.
func (r *Result) contrary(fixed map[[2]int]int, unit int, joins []int, state int) bool {
	for _, k := range joins {
		if s, ok := fixed[method.Pressed(r.Units, unit, k)]; ok && s != state {
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

// Whole stands for the top where the number of a block is asked for.
const Whole = -1

// Seam finds the joins, of one unit, between the patches of block b that an arrow goes from and to, and the state that it asks for; of the Whole,
// between its blocks and its own patches. unit is -1 where there are none.
func (r *Result) Seam(b int, a draft.Arrow) (unit int, joins []int, state int) {
	var one, two []int
	if b == Whole {
		unit, one, two = r.Pieced.Top, r.topLeaf(a.From), r.topLeaf(a.To)
	} else if from, to := patchAt(r.Blocks[b], a.From), patchAt(r.Blocks[b], a.To); from >= 0 && to >= 0 && r.Pieced.Blocks[b].Unit >= 0 {
		unit, one, two = r.Pieced.Blocks[b].Unit, r.Leaf(b, from), r.Leaf(b, to)
	}
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

// TopLeaves are the part numbers from the top down to each block that is placed in it, and to each patch of its own.
func (r *Result) TopLeaves() (placed, patches [][]int) {
	all := func(paths [][]int) (out [][]int) {
		for _, path := range paths {
			out = append(out, r.leaf(r.Pieced.Top, path))
		}
		return out
	}
	return all(r.Pieced.PlacedLeaves), all(r.Pieced.TopLeaves)
}

// topLeaf is the part numbers from the top down to the block, or to the patch of its own, that holds the point; nil where none does.
func (r *Result) topLeaf(p plane.Point) []int {
	if r.Pieced.Top < 0 {
		return nil
	}
	for i, placed := range r.Top.Placed {
		if b := r.Blocks[placed.Block]; placed.Pose.ApplyPolygon(plane.Rectangle(b.Width, b.Height)).Contains(p) > 0 {
			return r.leaf(r.Pieced.Top, r.Pieced.PlacedLeaves[i])
		}
	}
	for i, patch := range r.Top.Patches {
		if patch.Outline.Contains(p) > 0 {
			return r.leaf(r.Pieced.Top, r.Pieced.TopLeaves[i])
		}
	}
	return nil
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

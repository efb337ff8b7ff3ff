package compile

import (
	"math"
	"slices"

	"quiltwright/internal/diag"
	"quiltwright/internal/draft"
	"quiltwright/internal/method"
	"quiltwright/internal/piecing"
	"quiltwright/internal/plane"
	"quiltwright/internal/press"
)

// saying gathers how the writer wants joins pressed.
type saying struct {
	r     *Result
	said  press.Said
	spins [][][]press.Point // where joins can be spun
}

// say reads what the writer says of joins. An arrow that crosses no seam, or that says otherwise
// than an earlier one about a seam of the same unit, is left out with a warning: everyone presses a batch alike. So is a crossing at which no seam can be spun.
func (r *Result) say() (press.Said, diag.List) {
	s := &saying{r, press.Said{State: map[[2]int]int{}, Spin: map[[2]int][]press.Point{}}, press.Spins(r.Units)}
	var found diag.List
	r.eachArrow(func(of int, block string, a draft.Arrow) {
		f := diag.Finding{Severity: diag.Warning, At: a.At, Block: block}
		if a.Spun {
			f.Code, f.Says, f.Remedy = s.spin(of, a)
		} else {
			f.Code, f.Says, f.Remedy = s.arrow(of, a)
		}
		if f.Code != "" && !slices.ContainsFunc(found, func(o diag.Finding) bool { return o.At == a.At }) { // a block is drawn in several colourings
			found = append(found, f)
		}
	})
	return s.said, found
}

// eachArrow calls do with every arrow of the blocks and of the set.
func (r *Result) eachArrow(do func(of int, block string, a draft.Arrow)) {
	for b, block := range r.Blocks {
		for _, a := range block.Press {
			do(b, block.Name, a)
		}
	}
	if r.Doc.Set != nil {
		for _, a := range r.Doc.Set.Press {
			do(Whole, "", a)
		}
	}
}

// arrow takes down an arrow over a seam, or says what is wrong with it.
func (s *saying) arrow(of int, a draft.Arrow) (code, says, remedy string) {
	unit, joins, state := s.r.Seam(of, a)
	switch {
	case unit < 0 && of == Whole:
		return "press-nothing", "this arrow is not drawn from one block or patch of the top over a seam into the next, so nothing is pressed by it",
			"begin it inside one and end it inside a neighbour, in finished lengths from the upper left corner, or take it out"
	case unit < 0:
		return "press-nothing", "this arrow is not drawn from one patch over a seam into the next, so nothing is pressed by it",
			"begin it inside one patch and end it inside a neighbour, or take it out"
	}
	for _, k := range joins {
		at := method.Pressed(s.r.Units, unit, k)
		if was, ok := s.said.State[at]; ok && was != state {
			return "press-twice", "this seam is pressed otherwise by an earlier arrow, in the same unit: everyone presses a batch alike", "take one of the two out"
		}
		if len(s.said.Spin[at]) > 0 {
			return spunTwice()
		}
	}
	for _, k := range joins {
		s.said.State[method.Pressed(s.r.Units, unit, k)] = state
	}
	return "", "", ""
}

// spin takes down a crossing at which a seam is spun.
func (s *saying) spin(of int, a draft.Arrow) (code, says, remedy string) {
	unit, join, at := s.r.Crossing(of, a.From, s.spins)
	if unit < 0 {
		return "press-nothing", "no seam can be spun at this point",
			"name a point at which four parts meet: where two seams end, one on either side of a seam that is sewn after both, and square to it"
	}
	k := [2]int{unit, join}
	if _, ok := s.said.State[k]; ok {
		return spunTwice()
	}
	if !slices.Contains(s.said.Spin[k], at) {
		s.said.Spin[k] = append(s.said.Spin[k], at)
	}
	return "", "", ""
}

func spunTwice() (code, says, remedy string) {
	return "press-twice", "an arrow presses the whole of this seam to one side, and at a crossing it is to be spun: its halves turn opposite ways there", "take one of the two out"
}

// unspun are the crossings that the writer wants spun and that are not: their seams could not all turn one way round.
func (r *Result) unspun(said press.Said) (found diag.List) {
	spins := press.Spins(r.Units)
	r.eachArrow(func(of int, block string, a draft.Arrow) {
		unit, join, at := -1, 0, press.Point{}
		if a.Spun {
			unit, join, at = r.Crossing(of, a.From, spins)
		}
		if unit < 0 || !slices.Contains(said.Spin[[2]int{unit, join}], at) || slices.ContainsFunc(found, func(o diag.Finding) bool { return o.At == a.At }) {
			return
		}
		for _, spun := range r.Press.Spun[unit] {
			if spun != nil && !slices.Contains(spun[join], at) {
				found = append(found, diag.Finding{Severity: diag.Warning, Code: "press-unspun", At: a.At, Block: block,
					Says:   "this crossing is not spun: its allowances cannot all turn one way round, as the seams that end there are pressed, or the seam is spun beside it",
					Remedy: "of crossings side by side along a seam, one turns clockwise and the next anticlockwise; take out an arrow over one of these seams, or take this out"})
				return
			}
		}
	})
	return found
}

// Crossing finds the join of a unit that can be spun at a point of block b; of the Whole, one of the top's own. unit is -1 where there is none.
func (r *Result) Crossing(b int, p plane.Point, spins [][][]press.Point) (unit, join int, at press.Point) {
	i, pose := r.Pieced.Top, plane.Pose{}
	if b != Whole {
		i, pose = r.Pieced.Blocks[b].Unit, r.Pieced.Blocks[b].Pose
	}
	for i >= 0 {
		p = pose.Inverse().Apply(p)
		for k, all := range spins[i] {
			for _, at := range all {
				if math.Hypot(at.X-p.X.Float(), at.Y-p.Y.Float()) < 1e-6 {
					return i, k, at
				}
			}
		}
		u := &r.Units[i]
		i = -1
		for _, part := range u.Parts {
			q := part.Pose.Inverse().Apply(p)
			if v := &r.Units[part.Unit]; v.Outline.Contains(q) > 0 && (b != Whole || v.Role >= piecing.Setting) {
				i, pose = part.Unit, part.Pose
			}
		}
	}
	return -1, 0, press.Point{}
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

// Spun are the crossings at which a join of a unit, made one way, is spun, in order along it.
func (r *Result) Spun(unit, way, join int) []press.Point {
	spun := r.Press.Spun[unit][way]
	if spun == nil { // it is made the other way only
		spun = r.Press.Spun[unit][1-way]
	}
	if join >= len(spun) {
		return nil
	}
	return spun[join]
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
	if all := r.Units[unit].Joins; all[joins[0]].Kind == piecing.Partial { // both halves are one seam, and what both hold is B
		joins = joins[:0]
		for k, j := range all {
			if j.Kind == piecing.Partial {
				joins = append(joins, k)
			}
		}
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

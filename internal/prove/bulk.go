package prove

import (
	"math"
	"slices"

	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// near is how far from a seam a crossing on it may be said to lie.
const near = 1e-3

// checkBulk counts the layers of cloth at every crossing again: each patch's cloth, allowances and all, is folded about the seams that hold it, in the
// order of sewing, and the sheets that come to lie over a point are counted. That the seams are sewn and pressed as the joins say, the recipes have
// shown.
func (v *prover) checkBulk() {
	given := false
	for i := range v.units {
		given = given || len(v.units[i].Bulk) > 0
	}
	if !given {
		return // a plan made in haste, or too large
	}
	for i := range v.units {
		v.bulk(i)
	}
}

// bulk checks the crossings of one unit.
func (v *prover) bulk(i int) {
	u := &v.units[i]
	said := map[[2]int]plan.Crossing{}
	for _, c := range u.Bulk {
		said[cell(flat.At(c.At))] = c
	}
	for _, x := range v.crossings(i) {
		if v.dot(i, x) {
			continue // the allowances lie loose there, folded about no line
		}
		at, ok := found(said, x)
		if !v.expect(ok) {
			v.fault("bulk", u.ID, "", "", "unit %s: nothing is said of the layers at %s", u.ID, v.point(x))
			continue
		}
		c := said[at]
		delete(said, at)
		ways := v.waysMade(i)
		layers := [2]int{c.Layers, c.Other}
		if !ways[0] {
			layers = [2]int{0, c.Layers}
		}
		for way, made := range ways {
			if !made {
				continue
			}
			if n := v.layersAt(i, way, x); !v.expect(layers[way] == n) {
				v.fault("bulk", u.ID, "", "", "unit %s: %d layers lie at %s, not %d", u.ID, n, v.point(x), layers[way])
			}
		}
	}
	if !v.expect(len(said) == 0) {
		v.fault("bulk", u.ID, "", "", "unit %s: layers are said of %d points at which no seams cross, or which are dots", u.ID, len(said))
	}
}

// cell is a place, near enough to find it again.
func cell(p pt) [2]int { return [2]int{int(math.Round(p[0] / near)), int(math.Round(p[1] / near))} }

// found is the cell in which a place is kept: its own, or one beside it where it was rounded otherwise.
func found[T any](kept map[[2]int]T, p pt) ([2]int, bool) {
	at := cell(p)
	for k := range 9 {
		beside := [2]int{at[0] + (k+4)%9/3 - 1, at[1] + (k+4)%9%3 - 1} // its own first
		if _, ok := kept[beside]; ok {
			return beside, true
		}
	}
	return at, false
}

// waysMade says which ways a unit is pressed that is made.
func (v *prover) waysMade(i int) [2]bool {
	var ways [2]bool
	for _, k := range v.units[i].recipes {
		ways[v.p.Recipes[k].Way&1] = true
	}
	return ways
}

// crossings are the points inside a unit and on its own joins at which seams end: corners of patches.
func (v *prover) crossings(i int) []pt {
	u := &v.units[i]
	seen := map[[2]int]bool{}
	var out []pt
	v.leaves(i, plan.Pose{}, nil, func(leaf *unit, m plan.Pose, _ []int) {
		for _, q := range flat.Simple(leaf.outline) {
			p := flat.Apply(m, q)
			if _, known := found(seen, p); known || outside(u.outline, p) > -near || !slices.ContainsFunc(u.Joins, func(j plan.Join) bool { return alongside(j.Seam, p) }) {
				continue
			}
			seen[cell(p)] = true
			out = append(out, p)
		}
	})
	return out
}

// dot reports whether a seam of a unit, or of one in it, that is set into a corner ends at a point.
func (v *prover) dot(i int, x pt) bool {
	u := &v.units[i]
	if outside(u.outline, x) > near {
		return false
	}
	for _, j := range u.Joins {
		if j.Kind == "set in" && math.Min(flat.Distance(flat.At(j.Seam[0]), x), flat.Distance(flat.At(j.Seam[1]), x)) < near {
			return true
		}
	}
	return slices.ContainsFunc(u.parts, func(p part) bool { return v.dot(p.unit, flat.Apply(flat.Inverse(p.pose), x)) })
}

// alongside reports whether a point lies on a seam.
func alongside(seam [2]plan.Point, p pt) bool {
	a, b := flat.At(seam[0]), flat.At(seam[1])
	d := flat.Direction(a, b)
	t := flat.Dot(flat.Sub(p, a), d)
	return math.Abs(flat.Cross(d, flat.Sub(p, a))) < near && t > -near && t < flat.Distance(a, b)+near
}

// fold is a seam that holds a sheet: the line, and the unit vector from it to the side on which the sheet lies.
type fold struct {
	at, own pt
	toward  int // 1: both allowances lie on that side, -1: on the other, 0: open
	on      pt  // of a seam that is spun at the point: the direction in which it is walked. Toward is of what lies before the point, beyond it is turned over
}

// folded is a patch with its allowances, flat as it was cut, and the folds that are laid in it, in the order of sewing.
type folded struct {
	raw   []pt
	folds []fold
}

// layersAt is the most layers that lie on one another just beside a point, in any direction from it.
func (v *prover) layersAt(i, way int, x pt) int {
	sheets := v.sheets(i, way, x, plan.Pose{}, x, nil)
	// The layers change only at the seams and at their mirror images in those sewn later.
	var lines []float64
	for _, s := range sheets {
		var own []float64
		for _, f := range s.folds {
			along := math.Mod(math.Atan2(f.own[0], -f.own[1])+2*math.Pi, math.Pi)
			for _, o := range own {
				own = append(own, math.Mod(2*along-o+2*math.Pi, math.Pi))
			}
			own = distinct(append(own, along))
		}
		lines = distinct(append(lines, own...))
	}
	most := 0
	for k, a := range lines {
		b := lines[(k+1)%len(lines)]
		if k+1 == len(lines) {
			b += math.Pi
		}
		for _, t := range []float64{(a + b) / 2, (a+b)/2 + math.Pi} {
			n := 0
			for _, s := range sheets {
				n += s.over(flat.Add(x, pt{0.01 * v.seam * math.Cos(t), 0.01 * v.seam * math.Sin(t)}), len(s.folds))
			}
			most = max(most, n)
		}
	}
	return most
}

// distinct sorts angles and drops those that are there already.
func distinct(as []float64) []float64 {
	for k := range as {
		if as[k] > math.Pi-1e-6 {
			as[k] = 0
		}
	}
	slices.Sort(as)
	return slices.CompactFunc(as, func(a, b float64) bool { return math.Abs(a-b) < 1e-6 })
}

// over is how often a sheet lies over a point once the first n of its folds are laid: what came there is taken back, the last fold first.
func (s *folded) over(p pt, n int) int {
	if n == 0 {
		if outside(s.raw, p) < 0 {
			return 1
		}
		return 0
	}
	f := s.folds[n-1]
	d := flat.Dot(flat.Sub(p, f.at), f.own)
	switch {
	case d < 0 && f.toward < 0: // its allowance runs on under the other side
		return s.over(p, n-1)
	case d < 0:
		return 0
	case f.toward < 0:
		return s.over(p, n-1)
	}
	return s.over(p, n-1) + s.over(flat.Sub(p, flat.Scale(f.own, 2*d)), n-1)
}

// sheets are the patches of a unit that meet at a point x of its frame, as they lie by pose m, with their folds about the point at: those of the unit and
// then those of what it is in.
func (v *prover) sheets(i, way int, x pt, m plan.Pose, at pt, outer []fold) []*folded {
	u := &v.units[i]
	if outside(u.outline, x) > near {
		return nil
	}
	if len(u.parts) == 0 {
		raw := make([]pt, 0, len(u.outline))
		for _, p := range grown(u.outline, v.seam) {
			raw = append(raw, flat.Apply(m, p))
		}
		return []*folded{{raw, turnedOver(outer, flat.Posed(u.outline, m), at)}}
	}
	own := make([][]fold, len(u.parts)) // of each part
	for _, t := range v.stitches(u, way) {
		if !alongside(t.seam, x) {
			continue
		}
		n := flat.Outward(flat.Direction(flat.At(t.seam[0]), flat.At(t.seam[1])))
		for k := range u.parts {
			side := v.liesBeside(u, k, x, n)
			if !t.holds[k] || side == 0 {
				continue // not there yet, or the seam ends at it
			}
			f := flat.Scale(n, side)
			fold := fold{at: at, own: carried(m, f)}
			toward, spun := t.lies(x)
			if fold.toward = int(side) * toward; spun {
				fold.on = carried(m, flat.Direction(flat.At(t.seam[0]), flat.At(t.seam[1])))
			}
			own[k] = append(own[k], fold)
		}
	}
	var out []*folded
	for k, p := range u.parts {
		w := u.Unit.Parts[k].Way
		if ways := v.waysMade(i); ways[0] && ways[1] || ways[1] {
			w ^= way
		}
		out = append(out, v.sheets(p.unit, w, flat.Apply(flat.Inverse(p.pose), x), flat.Then(p.pose, m), at, append(own[k][:len(own[k]):len(own[k])], outer...))...)
	}
	return out
}

// stitched is a seam of a unit, in its frame.
type stitched struct {
	seam   [2]plan.Point
	holds  []bool // parts that are sewn to one another by then
	toward int    // 1: pressed to the left, walking along it, -1: to the right, 0: open
	spun   []plan.Point
}

// stitches are the seams of a unit in the order in which they are sewn: its joins, each of which holds all that has been joined by then. Of a ring's
// first seam the second half is sewn with the join that closes the ring.
func (v *prover) stitches(u *unit, way int) []stitched {
	group := make([]int, len(u.parts))
	for k := range group {
		group[k] = k
	}
	var out []stitched
	open := -1 // the ring's first seam
	for n, j := range u.Joins {
		a, b := j.Parts[0], j.Parts[1]
		if min(a, b) < 0 || max(a, b) >= len(group) {
			continue
		}
		t := stitched{seam: j.Seam, holds: make([]bool, len(group))}
		ga, gb := group[a], group[b]
		for k := range group {
			if group[k] == ga || group[k] == gb {
				group[k], t.holds[k] = ga, true
			}
		}
		t.toward, t.spun = v.stitchedToward(u, n, way), spunAt(&u.Joins[n], way)
		if j.Kind == "partial" && open < 0 {
			open = n
			for k := range 2 {
				t.seam[1][k] = (j.Seam[0][k] + j.Seam[1][k]) / 2
			}
		} else if j.Kind == "partial" {
			rest := t
			for k := range 2 {
				rest.seam[0][k] = (u.Joins[open].Seam[0][k] + u.Joins[open].Seam[1][k]) / 2
			}
			rest.seam[1] = u.Joins[open].Seam[1]
			if flat.Dot(flat.Sub(flat.At(rest.seam[1]), flat.At(rest.seam[0])), flat.Sub(flat.At(t.seam[1]), flat.At(t.seam[0]))) < 0 {
				rest.toward = -t.toward // it is walked the other way
			}
			out = append(out, rest)
		}
		out = append(out, t)
	}
	return out
}

// stitchedToward says to which side of a join it is pressed, made one way: 1 to the left, walking along it, -1 to the right, 0 open.
func (v *prover) stitchedToward(u *unit, n, way int) int {
	j := u.Joins[n]
	press := j.Press
	if len(j.Split) > way {
		press = j.Split[way].Press
	}
	for _, k := range j.Parts {
		if press == toward(k) {
			return v.sideOf(u, k, j.Seam)
		}
	}
	return 0
}

// sideOf says on which side of a seam a part of a unit lies that is sewn there: 1 on the left, -1 on the right.
func (v *prover) sideOf(u *unit, part int, seam [2]plan.Point) int {
	a, b := flat.At(seam[0]), flat.At(seam[1])
	n := flat.Outward(flat.Direction(a, b))
	for k := range 64 { // somewhere along the seam, the part is beside it
		p := flat.Add(a, flat.Scale(flat.Sub(b, a), (float64(k)+0.5)/64))
		for _, side := range []int{1, -1} {
			q := flat.Add(p, flat.Scale(n, float64(side)*2*near))
			if outside(v.units[u.parts[part].unit].outline, flat.Apply(flat.Inverse(u.parts[part].pose), q)) < 0 {
				return side
			}
		}
	}
	return 0
}

// liesBeside says on which side of a line through x, to which n is square, a part of a unit lies just there: 1 where n points, -1, or 0 on both or on
// neither.
func (v *prover) liesBeside(u *unit, part int, x, n pt) float64 {
	back := flat.Inverse(u.parts[part].pose)
	return besideAt(v.units[u.parts[part].unit].outline, flat.Apply(back, x), carried(back, n))
}

// besideAt says the same of an outline.
func besideAt(o []pt, x, n pt) float64 {
	side := 0.0
	for k := range 16 {
		s, c := math.Sincos((float64(k) + 0.37) * math.Pi / 8)
		d := pt{c, s}
		if outside(o, flat.Add(x, flat.Scale(d, 5*near))) >= 0 {
			continue
		}
		now := math.Copysign(1, flat.Dot(d, n))
		if side != 0 && now != side {
			return 0
		}
		side = now
	}
	return side
}

// grown is an outline with a seam round it.
func grown(p []pt, seam float64) []pt {
	var out []pt
	for i, b := range p {
		u, w := flat.Direction(p[(i+len(p)-1)%len(p)], b), flat.Direction(b, p[(i+1)%len(p)])
		q := flat.Add(b, flat.Scale(flat.Outward(u), seam))
		if k := flat.Cross(u, w); math.Abs(k) > 1e-9 {
			r := flat.Add(b, flat.Scale(flat.Outward(w), seam))
			q = flat.Add(q, flat.Scale(u, flat.Cross(flat.Sub(r, q), w)/k))
		}
		out = append(out, q)
	}
	return out
}

package method

import (
	"math"

	"quiltwright/internal/piecing"
	"quiltwright/internal/plane"
	"quiltwright/internal/unit"
)

// flatten makes the patches of a unit that a batch makes whole its own parts, in the order of the kind's roles, with one
// join for each seam between two patches.
func (c *chooser) flatten(i int) {
	u := &c.units[i]
	flat := true
	for _, p := range u.Parts {
		flat = flat && c.units[p.Unit].Leaf != nil
	}
	var leaves []piecing.Part
	var joins []piecing.Join
	c.gather(i, plane.Pose{}, &leaves, &joins)
	place := make([]int, len(leaves)) // where each leaf goes
	var order []int
	for _, r := range u.Shape.Roles {
		if r >= 0 {
			place[r] = len(order)
			order = append(order, r)
		}
	}
	if len(order) != len(leaves) {
		if !flat {
			panic("method: the roles of a " + string(u.Shape.Kind) + " do not name all its patches")
		}
		return
	}
	parts := make([]piecing.Part, len(leaves))
	for to, from := range order {
		parts[to] = leaves[from]
	}
	for k := range joins {
		j := &joins[k]
		j.A, j.B = place[j.A], place[j.B]
		if j.A > j.B { // the larger patch first: the goose, the base, the triangle at the top left
			j.A, j.B = j.B, j.A
		}
	}
	u.Parts, u.Joins = parts, joins
}

// gather collects the patches under unit i in the order of its parts, and the seams between them, in the order of sewing.
func (c *chooser) gather(i int, pose plane.Pose, leaves *[]piecing.Part, joins *[]piecing.Join) {
	u := &c.units[i]
	if u.Leaf != nil {
		*leaves = append(*leaves, piecing.Part{Unit: i, Pose: pose})
		return
	}
	span := make([][2]int, len(u.Parts))
	for k, p := range u.Parts {
		from := len(*leaves)
		c.gather(p.Unit, p.Pose.Then(pose), leaves, joins)
		span[k] = [2]int{from, len(*leaves)}
	}
	for _, j := range u.Joins {
		seam := pose.ApplySegment(j.Seam)
		on := func(part int) int {
			for l := span[part][0]; l < span[part][1]; l++ {
				leaf := (*leaves)[l]
				for _, e := range leaf.Pose.ApplyPolygon(c.units[leaf.Unit].Outline).Edges() {
					if shares(e, seam) {
						return l
					}
				}
			}
			return span[part][0]
		}
		*joins = append(*joins, piecing.Join{A: on(j.A), B: on(j.B), Kind: j.Kind, Seam: seam})
	}
}

// outward finds, for every triangle with two equal legs and a square corner, whether its long side lies outward: on the edge of
// the quilt, else of the block. Straight grain goes there; inside the block it runs with the block's sides. Source: docs/craft.md#grain.
func (c *chooser) outward() {
	c.long = make([]bool, len(c.units))
	has := make([]bool, len(c.units)) // such a triangle is under it
	for i := range c.units {
		u := &c.units[i]
		has[i] = u.Leaf != nil && u.Shape.Kind == unit.Triangle && longest(u.Outline) >= 0
		for _, p := range u.Parts {
			has[i] = has[i] || has[p.Unit]
		}
	}
	type votes struct{ long, leg [piecing.Top + 1]int }
	tally := make([]*votes, len(c.units))
	type above struct {
		unit int
		pose plane.Pose // from this unit's frame to that of the unit looked at
	}
	// What lies inside a unit away from its edges lies alike wherever the unit is: it is looked at once, and counts so often.
	often := make([]int, len(c.units))
	var walk func(i int, chain []above)
	top := 0
	walk = func(i int, chain []above) {
		u := &c.units[i]
		if !has[i] {
			return
		}
		if u.Leaf == nil {
			for _, p := range u.Parts {
				next := make([]above, 0, len(chain)+1)
				keep := func(a above) {
					if c.touches(a.unit, p.Unit, a.pose) {
						next = append(next, a)
					}
				}
				for _, a := range chain {
					keep(above{a.unit, p.Pose.Then(a.pose)})
				}
				keep(above{i, p.Pose})
				if len(next) == 0 {
					often[p.Unit] += often[top]
					continue
				}
				walk(p.Unit, next)
			}
			return
		}
		v := tally[i]
		if v == nil {
			v = &votes{}
			tally[i] = v
		}
		l := longest(u.Outline)
		for _, a := range chain { // from the outermost
			long, leg := false, false
			m := of(a.pose)
			for k := range u.Outline {
				if c.rim(a.unit, i, k, a.pose, m) {
					if k == l {
						long = true
					} else {
						leg = true
					}
				}
			}
			role := c.units[a.unit].Role
			if long {
				v.long[role] += often[top]
			}
			if leg {
				v.leg[role] += often[top]
			}
			if long || leg {
				return
			}
		}
	}
	if c.Pieced.Top >= 0 {
		often[c.Pieced.Top]++
	}
	seen := map[int]bool{}
	for _, use := range c.Pieced.Blocks {
		if use.Unit >= 0 && !seen[use.Unit] {
			seen[use.Unit] = true
			often[use.Unit]++
		}
	}
	for top = len(c.units) - 1; top >= 0; top-- { // a unit stands behind its parts
		if often[top] > 0 {
			walk(top, nil)
		}
	}
	for i, v := range tally {
		if v == nil {
			continue
		}
		for role := piecing.Top; role >= piecing.Patch; role-- {
			if v.long[role]+v.leg[role] > 0 {
				c.long[i] = v.long[role] >= v.leg[role]
				if role < piecing.Block { // inside the block: with the block's sides
					fin := c.units[i].fin
					l := longest(c.units[i].Outline)
					d := fin[(l+1)%3].sub(fin[l])
					c.long[i] = math.Abs(d.x*d.y) < 1e-9
				}
				break
			}
		}
	}
}

// touches reports whether an edge of unit k, which lies in unit i, lies on the outline of unit i.
func (c *chooser) touches(i, k int, pose plane.Pose) bool {
	m := of(pose)
	for e := range c.units[k].Outline {
		if c.rim(i, k, e, pose, m) {
			return true
		}
	}
	return false
}

// rim reports whether edge e of unit k, which lies in unit i, lies on the outline of unit i. m is the pose's motion.
func (c *chooser) rim(i, k, e int, pose plane.Pose, m move) bool {
	u, v := &c.units[i], &c.units[k]
	end := (e + 1) % len(v.fin)
	a, b := m.apply(v.fin[e]), m.apply(v.fin[end])
	for n, p := range u.fin {
		next := (n + 1) % len(u.fin)
		d := u.fin[next].sub(p)
		if far := 1e-6 * (math.Abs(d.x) + math.Abs(d.y)); math.Abs(a.sub(p).cross(d)) > far || math.Abs(b.sub(p).cross(d)) > far {
			continue // not on its line: most are not, and this is seen without exact numbers
		}
		s := pose.ApplySegment(plane.Segment{A: v.Outline[e], B: v.Outline[end]})
		if shares(plane.Segment{A: u.Outline[n], B: u.Outline[next]}, s) {
			return true
		}
	}
	return false
}

// shares reports whether two segments have more than a point in common.
func shares(s, t plane.Segment) bool {
	both, ok := plane.Common(s, t)
	return ok && !both.A.Equal(both.B)
}

// longest is the number of the long side of a right isosceles triangle, as plane.Polygon.Edges counts; -1 for any other.
func longest(pg plane.Polygon) int {
	if len(pg) != 3 {
		return -1
	}
	fin := floats(pg)
	for k := range fin {
		a, b := fin[(k+1)%3], fin[(k+2)%3] // corner opposite edge k is vertex k+2
		x, y := fin[k].sub(b), a.sub(b)
		if d := x.dot(y); d < 1e-9 && d > -1e-9 && x.length()-y.length() < 1e-9 && y.length()-x.length() < 1e-9 {
			return k
		}
	}
	return -1
}

package unit

import (
	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
)

// Kinds that have a varying number of patches. Each method returns the roles and measures, or nil.

// railFence is a square of equal rails that lie across. Three or more of one width, or a two-rail unit.
func (v *view) railFence() ([]int, []exact.Num) {
	n := len(v.patches)
	if n < 2 || !v.w.Equal(v.h) {
		return nil, nil
	}
	roles := make([]int, n)
	at := func(i int) exact.Num { return v.h.Mul(exact.Frac(int64(i), int64(n))) }
	for i := range n {
		var ok bool
		if roles[i], ok = v.find(box(exact.Num{}, at(i), v.w, at(i+1))); !ok {
			return nil, nil
		}
	}
	return roles, []exact.Num{v.w}
}

// snowball is a square or rectangle of which one to four corners are cut off by equal right triangles with equal legs,
// each leg less than half the shorter side. Among the ways to look at it that one is taken whose first cut corners come first.
func (v *view) snowball() ([]int, []exact.Num) {
	n := len(v.patches)
	if n < 2 || n > 5 || v.w.Less(v.h) {
		return nil, nil
	}
	var leg exact.Num
	for _, p := range v.patches {
		if len(p) == 3 {
			least, most := p.Box()
			leg = most.X.Sub(least.X)
			break
		}
	}
	if leg.Sign() <= 0 || !leg.Add(leg).Less(v.h) {
		return nil, nil
	}
	w, h, zero := v.w, v.h, exact.Num{}
	right, low := w.Sub(leg), h.Sub(leg)
	corners := [4]plane.Polygon{ // the corner, then the legs' ends, clockwise
		{plane.Pt(zero, zero), plane.Pt(leg, zero), plane.Pt(zero, leg)},
		{plane.Pt(w, zero), plane.Pt(w, leg), plane.Pt(right, zero)},
		{plane.Pt(w, h), plane.Pt(right, h), plane.Pt(w, low)},
		{plane.Pt(zero, h), plane.Pt(zero, low), plane.Pt(leg, h)},
	}
	roles := []int{-1, -1, -1, -1, -1}
	var base plane.Polygon
	var cut [4]bool
	found := 0
	for i, c := range corners {
		if r, ok := v.find(c); ok {
			roles[i+1], cut[i] = r, true
			base = append(base, c[2], c[1])
			found++
			continue
		}
		base = append(base, c[0])
	}
	var ok bool
	if roles[0], ok = v.find(base); !ok || found != n-1 || !first(cut, w.Equal(h)) {
		return nil, nil
	}
	return roles, []exact.Num{w, h, leg}
}

// first reports whether no turn of the corners puts a cut one where an earlier corner is not cut.
func first(cut [4]bool, quarters bool) bool {
	step := 2
	if quarters {
		step = 1
	}
	for turn := step; turn < 4; turn += step {
		for i := range cut {
			if turned := cut[(i+turn)%4]; turned != cut[i] {
				if turned {
					return false
				}
				break
			}
		}
	}
	return true
}

// core is a rectangle from which strips are peeled, outermost first.
type core struct{ x0, y0, x1, y1 exact.Num }

// Sides in the order of a clockwise spiral.
const (
	onTop = iota
	onRight
	atBottom
	onLeft
)

// peel takes off the strip that lies along the whole of one side and returns its patch and width, ok false without one.
func (v *view) peel(c *core, side int) (patch int, width exact.Num, ok bool) {
	for i, p := range v.patches {
		if len(p) != 4 || !p[0].Y.Equal(p[1].Y) || !p[1].X.Equal(p[2].X) {
			continue
		}
		a, b := p[0], p[2]
		full, width := a.X.Equal(c.x0) && b.X.Equal(c.x1), b.Y.Sub(a.Y)
		length := b.X.Sub(a.X)
		if side == onRight || side == onLeft {
			full, width, length = a.Y.Equal(c.y0) && b.Y.Equal(c.y1), length, width
		}
		if !full || length.Less(width) {
			continue
		}
		switch {
		case side == onTop && a.Y.Equal(c.y0):
			c.y0 = b.Y
		case side == atBottom && b.Y.Equal(c.y1):
			c.y1 = a.Y
		case side == onLeft && a.X.Equal(c.x0):
			c.x0 = b.X
		case side == onRight && b.X.Equal(c.x1):
			c.x1 = a.X
		default:
			continue
		}
		return i, width, true
	}
	return 0, exact.Num{}, false
}

// peelAll peels the strips on the given sides, the last of them first, and returns roles and measures if the centre
// is then left.
func (v *view) peelAll(sides []int) ([]int, []exact.Num) {
	c := core{x1: v.w, y1: v.h}
	roles := make([]int, len(sides)+1)
	measures := make([]exact.Num, len(sides)+2)
	for i := len(sides) - 1; i >= 0; i-- {
		var ok bool
		if roles[i+1], measures[i+2], ok = v.peel(&c, sides[i]); !ok {
			return nil, nil
		}
	}
	var ok bool
	if roles[0], ok = v.find(box(c.x0, c.y0, c.x1, c.y1)); !ok {
		return nil, nil
	}
	measures[0], measures[1] = c.x1.Sub(c.x0), c.y1.Sub(c.y0)
	return roles, measures
}

// logCabin is a spiral of strips round a centre, at least once round, the first strip on top, then clockwise. A strip is
// no shorter than it is wide.
func (v *view) logCabin() ([]int, []exact.Num) {
	logs := len(v.patches) - 1
	if logs < 4 {
		return nil, nil
	}
	sides := make([]int, logs)
	for i := range sides {
		sides[i] = i % 4
	}
	return v.peelAll(sides)
}

// courthouseSteps is pairs of equally wide strips on opposite sides of a centre, left and right first, then top and
// bottom, at least once round.
func (v *view) courthouseSteps() ([]int, []exact.Num) {
	logs := len(v.patches) - 1
	if logs < 4 || logs%2 != 0 {
		return nil, nil
	}
	sides := make([]int, logs)
	for i := range sides {
		sides[i] = [4]int{onLeft, onRight, onTop, atBottom}[i%4]
	}
	roles, measures := v.peelAll(sides)
	for i := 2; i < len(measures); i += 2 {
		if !measures[i].Equal(measures[i+1]) {
			return nil, nil
		}
	}
	return roles, measures
}

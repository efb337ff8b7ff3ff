package method

import (
	"math"
	"slices"

	"quiltwright/internal/piecing"
	"quiltwright/internal/plane"
	"quiltwright/internal/unit"
)

// Hourglasses in pairs: two half squares laid right sides together, their seams crossing, sewn either side of the other diagonal and cut on it.
//
// One of the two comes out as it is laid, the other with its triangles the other way round; where two triangles that face each other are of one fabric
// a quarter turn makes them alike. What differs is which seam was sewn first, so that all four seams are pressed as one: open, for to a
// side they would not nest where they cross.

// Crossed reports whether u is an hourglass made in pairs: its joins are tied, and the first and the third cross in the middle.
func (u *Unit) Crossed() bool { return u.Method == "pairs" && u.Shape.Kind == unit.Hourglass }

// crossing is how the second hourglass of a pair is turned to be the same unit as the first.
type crossing struct {
	quarters int  // clockwise
	two      bool // two squares are enough: each fabric lies at both ends
}

// crossed finds how hourglass u, flattened, comes out in pairs; false where the second is its mirror image only.
func (c *chooser) crossed(u *Unit) (crossing, bool) {
	var f [4]int // top, right, bottom, left
	for k := range f {
		f[k] = c.units[u.Parts[k].Unit].Leaf.Fabric
	}
	switch {
	case f[1] == f[3]:
		return crossing{1, f[0] == f[2]}, true
	case f[0] == f[2]:
		return crossing{3, false}, true
	}
	return crossing{}, false
}

// crossJoins are the four seams of an hourglass, in the order in which the first of a pair is sewn. Toward part B of all of them, or part A of all, is
// what one way of pressing the half squares and the last seam comes to in both.
func (c *chooser) crossJoins(u *Unit, x crossing) []piecing.Join {
	pairs := [4][2]int{{0, 1}, {3, 2}, {0, 3}, {1, 2}}
	if x.quarters == 3 {
		pairs[2], pairs[3] = [2]int{3, 0}, [2]int{2, 1}
	}
	lo, hi := u.Outline.Box()
	middle := plane.Segment{A: lo, B: hi}.Mid()
	outer := func(a, b int) plane.Point { return c.shared(u, a, b, middle) }
	out := make([]piecing.Join, 4)
	for k, ab := range pairs {
		out[k] = piecing.Join{A: ab[0], B: ab[1], Seam: plane.Segment{A: outer(ab[0], ab[1]), B: middle}}
		if k%2 == 1 {
			out[k].OneGo = k == 3 // the last seam is sewn in one go
			out[k].Seam.A, out[k].Seam.B = middle, out[k].Seam.A
		}
	}
	return out
}

// shared is the corner that two triangles of a square have in common, apart from its middle.
func (c *chooser) shared(u *Unit, a, b int, middle plane.Point) plane.Point {
	p := u.Parts[a].Pose.ApplyPolygon(c.units[u.Parts[a].Unit].Outline)
	q := u.Parts[b].Pose.ApplyPolygon(c.units[u.Parts[b].Unit].Outline)
	for _, v := range p {
		if !v.Equal(middle) && slices.ContainsFunc(q, v.Equal) {
			return v
		}
	}
	panic("method: two triangles of a " + string(u.Shape.Kind) + " do not meet")
}

// hourglasses makes two hourglasses from two squares of side w, or four from four. Exact side: f + s(2+2√2). Blank a becomes the triangle at the
// top of the kind's frame, b that on the right, c the bottom and d the left one; of two squares they serve for those as well.
func hourglasses(squares []Blank, f, seam, degrees float64, x crossing, trim bool) Recipe {
	var from []Source
	var blanks []Blank
	for _, b := range squares {
		k := slices.IndexFunc(blanks, func(have Blank) bool { return have.Fabric == b.Fabric })
		if k < 0 {
			k = len(blanks)
			blanks = append(blanks, b)
		}
		from = append(from, Source{Blank: k, Count: 1})
	}
	w := squares[0].Width
	p := newProgram("pairs", seam, from, blanks...)
	d := seam * math.Sqrt2
	s := w - d // side of a half square, raw
	type half struct{ work, stitch, a, b int }
	var early, late [2]half // of each two squares: the half at the top left, and the other
	sets := len(squares) / 2
	for k := range sets {
		if k > 0 {
			p.stop()
		}
		a, b := 2*k, 2*k+1
		p.lay(b, a, move{u: pt{-1, 0}, v: pt{0, 1}, t: pt{w, 0}})
		p.mark(a, pt{w, 0}, pt{0, w})
		early[k] = half{stitch: p.stitch(a, pt{w, 0}, pt{0, w}, seam), a: a, b: b}
		late[k] = half{work: a, stitch: p.stitch(a, pt{w, 0}, pt{0, w}, -seam), a: a, b: b}
	}
	p.stop()
	for k := range sets {
		early[k].work = p.cut(late[k].work, pt{w, 0}, pt{0, w})
		// Square a is the top or the bottom triangle, square b the right or the left one.
		for _, h := range []half{early[k], late[k]} {
			if k == 0 && (sets == 2 || h == early[0]) {
				p.press(h.work, h.stitch, 0, h.a, h.b)
			} else {
				p.press(h.work, h.stitch, 1, h.b, h.a)
			}
		}
	}
	p.stop()
	type cross struct {
		below, above half
		at           pt      // where the half square below begins
		turn         float64 // how it lies
	}
	crosses := []cross{{early[0], late[sets-1], pt{}, 0}}
	if sets == 2 {
		crosses = append(crosses, cross{late[0], early[1], pt{d, d}, 180})
	}
	var high, low []int
	for _, c := range crosses {
		over := mirrored(pt{0, 0}, pt{1, 1})
		if c.turn == 0 {
			over.t = pt{-d, -d}
		} else {
			over.t = pt{d, d}
		}
		p.lay(c.above.work, c.below.work, over)
		a, b := c.at, c.at.add(pt{s, s})
		p.mark(c.below.work, a, b)
		low = append(low, p.stitch(c.below.work, a, b, seam))
		high = append(high, p.stitch(c.below.work, a, b, -seam))
	}
	p.stop()
	kind := within(f, f, degrees)
	type done struct {
		work   int
		lo, hi pt
		turn   float64
	}
	var all []done
	for k, c := range crosses {
		a, b := c.at, c.at.add(pt{s, s})
		southWest := p.cut(c.below.work, a, b)
		// A seam to be pressed toward part B is pressed toward what was laid, or, where the last is turned the other way, toward what lay below.
		one, two := c.below.a, c.above.b
		if x.quarters == 3 {
			one, two = two, one
		}
		north, south := done{c.below.work, a.add(pt{d, 0}), a.add(pt{s, s - d}), c.turn}, done{southWest, a.add(pt{0, d}), a.add(pt{s - d, s}), c.turn}
		first, second := &north, &south
		if c.turn != 0 {
			first, second = &south, &north
		}
		second.turn += float64(90 * x.quarters)
		p.press(c.below.work, high[k], 2, one, two)
		p.press(southWest, low[k], 2, one, two)
		all = append(all, *first, *second)
	}
	if trim {
		p.stop()
	}
	for _, h := range all {
		lo, hi := h.lo, h.hi
		if trim {
			mid, r := lo.add(hi).scale(0.5), pt{f/2 + seam, f/2 + seam}
			p.trim(h.work, mid.sub(r), mid.add(r))
		}
		p.give(h.work, centred(lo, hi, math.Mod(h.turn, 360), f, f).then(kind))
	}
	p.r.Yield = 2 * sets
	return p.r
}

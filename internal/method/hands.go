package method

import (
	"math"

	"quiltwright/internal/piecing"
	"quiltwright/internal/plane"
	"quiltwright/internal/unit"
)

// Three-triangles squares in pairs: a plain square of the large fabric is laid on a half square of the two small ones, sewn either side of the diagonal that
// crosses its seam, and cut on it. Of the two that come out one is the mirror image of the other: another unit of the quilt, or none of it. A batch
// makes two half squares, and of them two of each hand.
//
// The two units are mates: one has the recipe, and both have their parts and joins in the same order, cloth for cloth. The first join is the same seam in
// both: the half square is pressed before it is cut apart.

// couple finds the three-triangles squares that are made together with their mirror images. That depends on how many are used of both, which is known
// before anything else is decided: what holds such a square is sewn from parts.
func (c *chooser) couple() {
	var used [][][2]int // of each unit, month and way
	for i := range c.units {
		u := &c.units[i]
		if u.Shape.Kind != unit.ThreeTriangles || u.Twin > i {
			continue // the second of two says it
		}
		if used == nil {
			used = c.wanted()
		}
		if u.Twin < 0 {
			c.alone[i] = "print" // of plain cloth it has one
			continue
		}
		c.alone[i], c.alone[u.Twin] = c.together(i, u.Twin, used)
	}
}

// wanted is how many are used of each unit in each month, each way, where everything is sewn from parts, and whatever may be is pressed both ways.
func (c *chooser) wanted() [][][2]int {
	used := make([][][2]int, len(c.units))
	for i := range used {
		used[i] = make([][2]int, len(c.Months))
	}
	use := func(u, month, way, n int) { used[u][month][way] += n }
	c.ask(use)
	for i := len(c.units) - 1; i >= 0; i-- {
		c.takes(i, func(month int) [2]int { return used[i][month] }, use)
	}
	return used
}

// together makes mates of two units that are mirror images, or says of each why not.
func (c *chooser) together(i, k int, used [][][2]int) (string, string) {
	both := func(why string) (string, string) { return why, why }
	if i == k {
		return both("small")
	}
	asked := false
	for _, n := range [2]int{i, k} {
		switch p := (picker{chooser: c, i: n, u: &c.units[n]}); {
		case p.showsMotif(n):
			return both("motif")
		case total(used[n]) == 0: // it has no say
		case c.makes[n].Three == "singles":
			return both("make")
		case p.u.Shape.Turn%90 != 0:
			return both("turn")
		case !p.holds(quarterSquareSide(p.u.side(), c.seam)):
			return both("cloth")
		default:
			asked = asked || c.makes[n].Three == "pairs"
		}
	}
	first := c.firstMonth(used[i], used[k])
	switch {
	case first < 0:
		return "", ""
	case asked:
	case total(used[i][:first+1]) == 0 || total(used[k][:first+1]) == 0:
		return both("hands")
	case tooMany(used[i][:first+1], used[k][:first+1]) || tooMany(used[i], used[k]):
		return both("surplus")
	}
	owner, mate := min(i, k), max(i, k)
	if total(used[owner][:first+1]) == 0 {
		owner, mate = mate, owner
	}
	c.makes[mate] = c.makes[owner] // cut and trimmed alike
	c.mates(owner, mate)
	why := "count"
	if asked {
		why = "make"
	}
	for _, n := range [2]int{owner, mate} {
		u := &c.units[n]
		u.Method, u.Why, u.Maker, u.Mate, u.OneWay = "pairs", why, owner, owner+mate-n, uneven(used[owner], used[mate])
	}
	c.units[owner].Recipe = &Recipe{Method: "pairs", Yield: 2}
	return "", ""
}

// total is how many are used in all.
func total(used [][2]int) int {
	n := 0
	for _, m := range used {
		n += m[0] + m[1]
	}
	return n
}

// firstMonth is the first month that uses any, -1 where none does: a later month must not change how an earlier one is made.
func (c *chooser) firstMonth(one, two [][2]int) int {
	for m := range one {
		if total(one[m:m+1])+total(two[m:m+1]) > 0 {
			return m
		}
	}
	return -1
}

// tooMany reports whether more than half as many as are used would be left over of both hands.
func tooMany(one, two [][2]int) bool {
	a, b := total(one), total(two)
	made := 2 * ((max(a, b) + 1) / 2)
	return 2*(2*made-a-b) > a+b
}

// uneven reports whether it would take more batches to press the two hands both ways.
func uneven(one, two [][2]int) bool {
	batches := func(n int) int { return (n + 1) / 2 }
	ways, n := 0, [2]int{}
	for way := range 2 {
		var each [2]int
		for m := range one {
			each[0], each[1] = each[0]+one[m][way], each[1]+two[m][way]
		}
		n[0], n[1] = n[0]+each[0], n[1]+each[1]
		ways += batches(max(each[0], each[1]))
	}
	return ways > batches(max(n[0], n[1]))
}

// threeTriangles says why a three-triangles square is sewn from triangles; what has a mate was chosen before.
func (p picker) threeTriangles() {
	why := p.alone[p.i]
	p.refuse("pairs", why)
	if why == "make" || why == "print" {
		p.u.Why = why
	}
}

// mates gives two mirror images their parts and joins. The triangles on the right and at the bottom of the owner come first, then the large one; the mate
// has the same cloth in the same order.
func (c *chooser) mates(owner, mate int) {
	for _, n := range [2]int{owner, mate} {
		c.flatten(n)
		u := &c.units[n]
		large, right, bottom := u.Parts[0], u.Parts[1], u.Parts[2]
		if n == mate {
			right, bottom = bottom, right
		}
		u.Parts = []piecing.Part{right, bottom, large}
		lo, hi := u.Outline.Box()
		middle := plane.Segment{A: lo, B: hi}.Mid()
		u.Joins = []piecing.Join{
			{A: 0, B: 1, Seam: plane.Segment{A: c.shared(u, 0, 1, middle), B: middle}},
			{A: 0, B: 2, Seam: plane.Segment{A: c.shared(u, 0, 2, middle), B: middle}},
			{A: 1, B: 2, Seam: plane.Segment{A: middle, B: c.shared(u, 1, 2, middle)}, OneGo: true},
		}
	}
}

// threeTriangles makes two three-triangles squares and two of their mirror images, from one square of each of the small fabrics, f + s(2+2√2), and two of
// the large one, f + s(2+√2). In the frame of the kind, which lies in that of the unit turned by degrees[0], of the mate by degrees[1], the large triangle
// has its square corner at the top left; in the unit cloth 0 is on the right and cloth 1 at the bottom.
func threeTriangles(right, bottom, large Blank, f, seam float64, degrees [2]float64, trim bool) Recipe {
	p := newProgram("pairs", seam, []Source{{Blank: 0, Count: 1}, {Blank: 1, Count: 1}, {Blank: 2, Count: 2}}, right, bottom, large)
	w, a := right.Width, large.Width
	d := seam * math.Sqrt2
	s := w - d // side of a half square, raw
	p.lay(1, 0, move{u: pt{-1, 0}, v: pt{0, 1}, t: pt{w, 0}})
	p.mark(0, pt{w, 0}, pt{0, w})
	upper := p.stitch(0, pt{w, 0}, pt{0, w}, seam) // to the right of the line: the top left half
	lower := p.stitch(0, pt{w, 0}, pt{0, w}, -seam)
	p.stop()
	other := p.cut(0, pt{w, 0}, pt{0, w})
	p.press(other, upper, 0, 0, 1)
	p.press(0, lower, 0, 0, 1)
	p.stop()
	// A plain square on each half square, middle on middle, sewn along the diagonal from the top left. In the half at the top left cloth 0 kept the top left corner.
	type half struct {
		work     int
		at       pt // where it begins
		one, two int
	}
	halves := []half{{work: other}, {work: 0, at: pt{d, d}}}
	for k := range halves {
		h := &halves[k]
		p.lay(2+k, h.work, move{u: pt{-1, 0}, v: pt{0, 1}, t: h.at.add(pt{(s + a) / 2, (s - a) / 2})})
		from, to := h.at, h.at.add(pt{s, s})
		p.mark(h.work, from, to)
		h.one, h.two = p.stitch(h.work, from, to, -seam), p.stitch(h.work, from, to, seam)
	}
	p.stop()
	type done struct {
		work   int
		lo, hi pt
		middle pt // of the last seam
		turn   float64
		mate   bool
	}
	var all []done
	raw := (s+a)/2 - d // each half reaches so far from the corner that the half square gave it
	for k, h := range halves {
		southWest := p.cut(h.work, h.at, h.at.add(pt{s, s}))
		for _, w := range []struct {
			work, stitch int
			mate         bool
		}{{h.work, h.one, k == 1}, {southWest, h.two, k == 0}} {
			p.press(w.work, w.stitch, 1, 0, 2+k)
			p.r.Press[len(p.r.Press)-1].Mate = w.mate
		}
		east, south := h.at.x+s, h.at.y+s
		middle, off := h.at.add(pt{s / 2, s / 2}), pt{seam / math.Sqrt2, -seam / math.Sqrt2}
		all = append(all, done{h.work, pt{east - raw, h.at.y}, pt{east, h.at.y + raw}, middle.add(off), 90, k == 1},
			done{southWest, pt{h.at.x, south - raw}, pt{h.at.x + raw, south}, middle.sub(off), 270, k == 0})
	}
	if trim {
		p.stop()
	}
	for _, h := range all {
		lo, hi := h.lo, h.hi
		if trim { // by the seam: the two kinds of square may be larger than exact by unlike amounts
			r := pt{f/2 + seam, f/2 + seam}
			lo, hi = h.middle.sub(r), h.middle.add(r)
			p.trim(h.work, lo, hi)
		}
		of := 0
		if h.mate {
			of = 1
		}
		p.give(h.work, centred(lo, hi, h.turn, f, f).then(within(f, f, degrees[of])))
		p.r.Gives[len(p.r.Gives)-1].Mate = h.mate
	}
	p.r.Yield = 2
	return p.r
}

package method

import (
	"math"

	"quiltwright/internal/plan"
	"quiltwright/internal/unit"
)

// Recipe is how one batch of a unit is made, in terms of blanks and of units not yet named.
type Recipe struct {
	Method string
	Yield  int // units from a batch, and so many of its mate
	Blanks []Blank
	From   []Source // counted out in order: parts 0, 1, 2 ...
	Do     []plan.Op
	Gives  []Give
	Press  []PressOp
	Stops  []int // a step of the work ends before each of these operations
}

// Source is what a batch takes: Count of a blank of the recipe, or of a unit.
type Source struct {
	Blank int // index into Recipe.Blanks, or -1
	Unit  int // index of a unit, where Blank is -1
	Count int
}

// Give is a finished work: where its frame lies in the frame of the unit.
type Give struct {
	Work int
	Mate bool // it is the unit's mate
	Pose plan.Pose
}

// PressOp ties an operation to the join that it presses. Toward[k] is the recipe's part to press toward where the join is
// pressed toward its part A (k 0) or its part B (k 1).
type PressOp struct {
	Op     int
	Stitch int // the operation that sews it
	Join   int
	Mate   bool // of the unit's mate
	Toward [2]int
}

// program is a recipe being written.
type program struct {
	r        Recipe
	seam     float64
	stitches int
	works    int // the number the next cut gives out
}

func newProgram(method string, seam float64, from []Source, blanks ...Blank) *program {
	p := &program{r: Recipe{Method: method, Blanks: blanks, From: from}, seam: seam}
	for _, f := range from {
		p.works += f.Count
	}
	return p
}

// stop ends a step of the work.
func (p *program) stop() { p.r.Stops = append(p.r.Stops, len(p.r.Do)) }

func (p *program) do(op plan.Op) { p.r.Do = append(p.r.Do, op) }

// lay lays a work face down: m is where its frame goes, in the frame of the work below.
func (p *program) lay(part, on int, m move) {
	pose := m.pose()
	p.do(plan.Op{Op: "lay", Part: part, Work: on, At: &pose.At, Turn: pose.Turn, Face: "down"})
}

func (p *program) mark(work int, a, b pt) { p.do(plan.Op{Op: "mark", Work: work, Line: line(a, b)}) }

// stitch sews by a drawn line, offset to its right, and returns the number of the stitch.
func (p *program) stitch(work int, a, b pt, offset float64) int {
	p.do(plan.Op{Op: "stitch", Work: work, Along: line(a, b), Offset: plan.Num(offset)})
	p.stitches++
	return p.stitches - 1
}

// edge sews by the raw edge and returns the number of the stitch.
func (p *program) edge(work int, a, b pt, s seamLine) int {
	p.do(plan.Op{Op: "stitch", Work: work, Along: line(a, b), Allowance: plan.Num(p.seam), Partial: s.partial, Dots: s.dots, Fold: s.finish})
	p.stitches++
	return p.stitches - 1
}

// cut keeps what lies to the left of a to b as work, and returns the number of what lies to the right.
func (p *program) cut(work int, a, b pt) int {
	p.do(plan.Op{Op: "cut", Work: work, Line: line(a, b)})
	p.works++
	return p.works - 1
}

// press opens a seam; which way is filled in when the pressing is known.
func (p *program) press(work, seam, join, towardA, towardB int) {
	stitch := -1
	for k, n := 0, 0; n <= seam; k++ {
		if stitch = k; p.r.Do[k].Op == "stitch" {
			n++
		}
	}
	p.r.Press = append(p.r.Press, PressOp{Op: len(p.r.Do), Stitch: stitch, Join: join, Toward: [2]int{towardA, towardB}})
	p.do(plan.Op{Op: "press", Work: work, Seam: seam})
}

// trim cuts a work down to a rectangle in its frame.
func (p *program) trim(work int, lo, hi pt) {
	p.do(plan.Op{Op: "trim", Work: work, To: []plan.Point{lo.plan(), pt{hi.x, lo.y}.plan(), hi.plan(), pt{lo.x, hi.y}.plan()}})
}

func (p *program) give(work int, m move) {
	p.r.Gives = append(p.r.Gives, Give{Work: work, Pose: m.pose()})
}

// within moves a kind's own frame, a box of w by h, turned by degrees, into the box at 0,0.
func within(w, h, degrees float64) move {
	m := turned(degrees, pt{})
	lo, _ := box([]pt{m.apply(pt{}), m.apply(pt{w, 0}), m.apply(pt{w, h}), m.apply(pt{0, h})})
	m.t = pt{}.sub(lo)
	return m
}

// centred is the motion that turns a work's frame by degrees and lays the middle of its raw box lo..hi on the middle of a finished box of w by h.
func centred(lo, hi pt, degrees, w, h float64) move {
	m := turned(degrees, pt{})
	m.t = pt{w / 2, h / 2}.sub(m.apply(lo.add(hi).scale(0.5)))
	return m
}

// pairs makes two half squares from two squares of side w, right sides together: sewn either side of the diagonal and cut on it.
// f is the finished side; part A of the unit has its square corner at the top left of the kind's frame, which lies turned by
// degrees in the unit's. Exact side: f + s(2+√2).
// The squares are first turned by spin, in degrees clockwise: a print.
func pairs(a, b Blank, f, seam, degrees float64, spin [2]float64, trim bool) Recipe {
	w := a.Width
	p := newProgram("pairs", seam, []Source{{Blank: 0, Count: 1}, {Blank: 1, Count: 1}}, a, b)
	// The first square lies as it is: what is told turns the other way instead.
	in := spun(-spin[0], w, move{u: pt{1, 0}, v: pt{0, 1}})
	p.lay(1, 0, spun(spin[1], w, move{u: pt{-1, 0}, v: pt{0, 1}, t: pt{w, 0}}).then(in))
	from, to := in.apply(pt{w, 0}), in.apply(pt{0, w})
	p.mark(0, from, to)
	upper := p.stitch(0, from, to, seam) // to the right of the line: the top left half
	lower := p.stitch(0, from, to, -seam)
	p.stop()
	other := p.cut(0, from, to) // the top left half becomes the new work
	p.press(other, upper, 0, 0, 1)
	p.press(0, lower, 0, 0, 1)
	d := seam * math.Sqrt2
	kind := within(f, f, degrees)
	if trim {
		p.stop()
	}
	// In the half at the top left cloth 0 keeps the top left corner; in the other it keeps the bottom right, so that one is turned.
	for _, h := range []struct {
		work   int
		lo, hi pt
		turn   float64
	}{{other, pt{0, 0}, pt{w - d, w - d}, 0}, {0, pt{d, d}, pt{w, w}, 180}} {
		lo, hi := box([]pt{in.apply(h.lo), in.apply(h.hi)})
		if trim {
			mid := lo.add(hi).scale(0.5)
			r := pt{f/2 + seam, f/2 + seam}
			p.trim(h.work, mid.sub(r), mid.add(r))
		}
		p.give(h.work, centred(lo, hi, h.turn+spin[0], f, f).then(kind))
	}
	p.r.Yield = 2
	return p.r
}

// eights makes eight half squares from two squares of side w, right sides together: sewn either side of both diagonals and cut in four ways, down
// and across through the middle and on both lines. f is the finished side. Exact side: twice that of pairs, 2f + 2s(2+√2).
//
// Each line of stitches is written up to the cut that ends it, four on either diagonal. A needle that goes on over the middle sews only
// what falls off with the tips.
func eights(a, b Blank, f, seam, degrees float64, trim bool) Recipe {
	w := a.Width
	p := newProgram("eights", seam, []Source{{Blank: 0, Count: 1}, {Blank: 1, Count: 1}}, a, b)
	p.lay(1, 0, move{u: pt{-1, 0}, v: pt{0, 1}, t: pt{w, 0}})
	p.mark(0, pt{0, 0}, pt{w, w})
	p.mark(0, pt{w, 0}, pt{0, w})
	middle, d := pt{w / 2, w / 2}, seam*math.Sqrt2
	outer := []pt{{0, 0}, {w, 0}, {w, w}, {0, w}} // clockwise from the top left
	var right, left [4]int                        // stitches, walking in from each corner
	for k, o := range outer {
		in := middle.sub(middle.sub(o).unit().scale(seam)) // beside it the seam meets the cut through the middle
		right[k] = p.stitch(0, o, in, seam)
		left[k] = p.stitch(0, o, in, -seam)
	}
	p.stop()
	east := p.cut(0, pt{w / 2, w}, pt{w / 2, 0})
	southWest := p.cut(0, pt{0, w / 2}, pt{w, w / 2})
	southEast := p.cut(east, pt{0, w / 2}, pt{w, w / 2})
	type half struct{ work, corner, stitch int } // the corner of the kind's box that is square: 0 top left, then clockwise
	var halves []half
	for k, quarter := range []int{0, east, southEast, southWest} {
		other := p.cut(quarter, outer[k], middle)
		halves = append(halves, half{quarter, (k + 1) % 4, left[k]}, half{other, (k + 3) % 4, right[k]})
	}
	for _, h := range halves {
		p.press(h.work, h.stitch, 0, 0, 1)
	}
	kind := within(f, f, degrees)
	if trim {
		p.stop()
	}
	for n, h := range halves {
		// The square corner of cloth 0 lies in the middle of a side of the square that was.
		q := outer[n/2]
		corner := pt{w / 2, q.y}
		if (n%2 == 0) == (n/2%2 == 1) {
			corner = pt{q.x, w / 2}
		}
		to := turned(float64(90*h.corner), pt{}) // from the box of a square corner at the top left
		lo, hi := box([]pt{corner, corner.add(to.turnOnly(pt{w/2 - d, w/2 - d}))})
		if trim {
			mid, r := lo.add(hi).scale(0.5), pt{f/2 + seam, f/2 + seam}
			p.trim(h.work, mid.sub(r), mid.add(r))
		}
		p.give(h.work, centred(lo, hi, float64((360-90*h.corner)%360), f, f).then(kind))
	}
	p.r.Yield = 8
	return p.r
}

// fours makes four flying geese w by w/2 from one large and four small squares. Exact sides: w + s(2+2√2) and w/2 + s(2+√2).
// In the unit part A of each join is the goose; the joins are numbered as the unit has them.
func fours(goose, sky Blank, w, seam, degrees float64, left, right int, trim bool) Recipe {
	h := w / 2
	W, q, d := goose.Width, sky.Width, seam*math.Sqrt2
	p := newProgram("fours", seam, []Source{{Blank: 0, Count: 1}, {Blank: 1, Count: 4}}, goose, sky)
	down := func(t pt) move { return move{u: pt{-1, 0}, v: pt{0, 1}, t: t} }
	p.lay(1, 0, down(pt{q, 0}))
	p.lay(2, 0, down(pt{W, W - q}))
	p.mark(0, pt{0, 0}, pt{W, W})
	low := p.stitch(0, pt{0, 0}, pt{W, W}, seam)
	high := p.stitch(0, pt{0, 0}, pt{W, W}, -seam)
	p.stop()
	other := p.cut(0, pt{0, 0}, pt{W, W}) // the half at the bottom left
	p.press(0, high, right, 0, 1)
	p.press(other, low, right, 0, 1)
	kind := within(w, h, degrees)
	finish := func(work int, lo, hi, apex pt, turn float64) {
		if trim {
			// By the point: it lies one seam below the trimmed edge, in the middle.
			m := turned(turn, pt{})
			back := m.back()
			a := m.apply(apex)
			lo2, hi2 := pt{a.x - h - seam, a.y - seam}, pt{a.x + h + seam, a.y + h + seam}
			c0, c1 := back.apply(lo2), back.apply(hi2)
			tlo, thi := box([]pt{c0, c1})
			p.trim(work, tlo, thi)
			lo, hi = tlo, thi
		}
		p.give(work, centred(lo, hi, turn, w, h).then(kind))
	}
	p.stop()
	// The half at the top right: its square corner is at W,0.
	p.lay(3, 0, down(pt{W, 0}))
	p.mark(0, pt{W, 0}, pt{W - q, q})
	s1 := p.stitch(0, pt{W, 0}, pt{0, W}, seam)
	s2 := p.stitch(0, pt{W, 0}, pt{0, W}, -seam)
	upper := p.cut(0, pt{W, 0}, pt{0, W}) // right of the line: the top
	p.press(upper, s1, left, 0, 3)
	p.press(0, s2, left, 0, 3)
	// The half at the bottom left: its square corner is at 0,W.
	p.lay(4, other, down(pt{q, W - q}))
	p.mark(other, pt{0, W}, pt{q, W - q})
	s3 := p.stitch(other, pt{0, W}, pt{W, 0}, seam)
	s4 := p.stitch(other, pt{0, W}, pt{W, 0}, -seam)
	lower := p.cut(other, pt{0, W}, pt{W, 0}) // right of the line: the bottom
	p.press(lower, s3, left, 0, 4)
	p.press(other, s4, left, 0, 4)
	if trim {
		p.stop()
	}
	r := q - d // how deep the unit is, raw
	finish(0, pt{W - r, d}, pt{W, W - d}, pt{W/2 + d, W / 2}, 90)
	finish(upper, pt{d, 0}, pt{W - d, r}, pt{W / 2, W/2 - d}, 180)
	finish(other, pt{0, d}, pt{r, W - d}, pt{W/2 - d, W / 2}, 270)
	finish(lower, pt{d, W - r}, pt{W - d, W}, pt{W / 2, W/2 + d}, 0)
	p.r.Yield = 4
	return p.r
}

// corner is a corner of a rectangle at which a square is flipped: 0 top left, then clockwise.
type corner struct {
	at   int
	leg  float64 // finished leg of the triangle
	join int     // of the unit; its part B is the triangle
	turn float64 // of the square in degrees, before it is laid: a print
}

// flips sews squares on the corners of a rectangle, each along its own diagonal, cuts the corner away one seam beyond and opens the
// triangle. The base is w+2s by h+2s, the squares leg+2s: exact on the ruler wherever the finished sizes are.
func flips(base Blank, squares []Blank, corners []corner, w, h, seam float64, unit move) Recipe {
	from := []Source{{Blank: 0, Count: 1}}
	for i := range corners {
		from = append(from, Source{Blank: i + 1, Count: 1})
	}
	p := newProgram("flips", seam, from, append([]Blank{base}, squares...)...)
	W, H := base.Width, base.Height
	d := seam * math.Sqrt2
	for i, c := range corners {
		if i > 0 {
			p.stop()
		}
		q := squares[i].Width
		// The square's box on the base, and its diagonal walked with the corner on the right.
		var lo, a, b, cut0, cut1 pt
		switch c.at {
		case 0:
			lo, a, b = pt{0, 0}, pt{q, 0}, pt{0, q}
			cut0, cut1 = pt{q - d, 0}, pt{0, q - d}
		case 1:
			lo, a, b = pt{W - q, 0}, pt{W, q}, pt{W - q, 0}
			cut0, cut1 = pt{W, q - d}, pt{W - q + d, 0}
		case 2:
			lo, a, b = pt{W - q, H - q}, pt{W - q, H}, pt{W, H - q}
			cut0, cut1 = pt{W - q + d, H}, pt{W, H - q + d}
		case 3:
			lo, a, b = pt{0, H - q}, pt{0, H - q}, pt{q, H}
			cut0, cut1 = pt{0, H - q + d}, pt{q - d, H}
		}
		p.lay(i+1, 0, spun(c.turn, q, move{u: pt{-1, 0}, v: pt{0, 1}, t: pt{lo.x + q, lo.y}}))
		p.mark(0, a, b)
		n := p.stitch(0, a, b, 0)
		p.cut(0, cut0, cut1)
		p.press(0, n, c.join, 0, i+1)
	}
	p.give(0, move{u: pt{1, 0}, v: pt{0, 1}, t: pt{-seam - (W-w-2*seam)/2, -seam - (H-h-2*seam)/2}}.then(unit))
	p.r.Yield = 1
	return p.r
}

// stripSet sews strips side by side and cuts the set into segments: one row of rectangles each. The strips lie one below the other in
// the order of the row; cross is the finished height of the row, square what is cut off first to square the end.
// joins[i] is the unit's join between strip i and strip i+1; degrees is 0 for a column, 270 for a row.
func stripSet(strips []Blank, cross, square float64, times int, seam float64, joins []int, unit move) Recipe {
	var from []Source
	var blanks []Blank
	for _, b := range strips {
		same := -1
		for i, have := range blanks {
			if have.Fabric == b.Fabric && have.Height == b.Height {
				same = i
			}
		}
		if same < 0 {
			blanks = append(blanks, b)
			same = len(blanks) - 1
		}
		from = append(from, Source{Blank: same, Count: 1})
	}
	p := newProgram("strip set", seam, from, blanks...)
	L, H := strips[0].Width, strips[0].Height
	for i := 1; i < len(strips); i++ {
		h := strips[i].Height
		// Mirrored, then turned half round: its first edge lies at the raw edge of what is sewn so far, and opening swings it below.
		p.lay(i, 0, move{u: pt{1, 0}, v: pt{0, -1}, t: pt{0, H}})
		n := p.edge(0, pt{0, H - seam}, pt{L, H - seam}, seamLine{})
		p.press(0, n, joins[i-1], i-1, i)
		H += h - 2*seam
	}
	p.stop()
	if square > 0 {
		p.cut(0, pt{square, 0}, pt{square, H})
	}
	seg := cross + 2*seam
	p.do(plan.Op{Op: "cut", Work: 0, Line: line(pt{square + seg, H}, pt{square + seg, 0}), Every: plan.Num(seg), Times: times})
	p.give(0, move{u: pt{1, 0}, v: pt{0, 1}, t: pt{-square - seam, -seam}}.then(unit))
	p.r.Yield = times
	return p.r
}

// Price is what a region saves by being a unit of the trade, for package piecing: what a batch saves over cutting and sewing
// its patches one by one, where a half square made in pairs saves 100.
func Price(shape unit.Shape, fabrics []int) int {
	switch shape.Kind {
	case unit.HalfSquare, unit.HalfRectangle:
		return 100
	case unit.FlyingGeese:
		if fabrics[1] == fabrics[2] {
			return 260
		}
		return 210
	case unit.Snowball:
		return 150
	case unit.Hourglass, unit.SquareInSquare:
		return 240
	case unit.ThreeTriangles:
		return 160
	case unit.RailFence:
		return 10 // squares in a grid are as well sewn in rows
	}
	return 0
}

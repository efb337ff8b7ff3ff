package method

import (
	"math"

	"quiltwright/internal/measure"
	"quiltwright/internal/quilt"
)

// Shape words of a blank: how it comes off the cutting mat. docs/plan.md draws the frame of each.
const (
	Rectangle     = "rectangle"
	HalfSquare    = "half square"
	QuarterSquare = "quarter square"
	HalfRectangle = "half rectangle"
	Parallelogram = "parallelogram"
	Strip         = "strip"
	JoinedStrip   = "joined strip"
	Template      = "template"
)

// Blank is cloth as cut: what one batch of a method, or one patch sewn singly, begins with.
type Blank struct {
	Fabric   int
	Shape    string
	Hand     string     // "R": the mirror image of the shape
	Exact    [2]float64 // width and height that geometry asks for
	Width    float64    // as printed: up to a mark of the ruler
	Height   float64
	Each     int          // pieces from a blank
	Outline  [][2]float64 // raw outline in the piece's frame, where the shape's word does not fix it
	Use      string       // "" for a patch; else the method that cuts it up later, so that labels stay apart
	Grain    string       // either | along | bias
	Turnable bool
	Up       int  // for a print with a direction: degrees the print is turned in the piece's frame
	Directed bool // the print has a direction
	Trimmed  bool // a later step trims what it makes
	Measured bool // a border whose length is measured through one's own top
	Centred  bool // on a motif, which stands at Motif in the piece's frame
	Motif    [2]float64
	Joined   bool // longer than the cloth is wide: joined from strips
}

// bind holds an upright blank to its print.
func (b *Blank) bind(p quilt.Print) {
	if p != quilt.Plain {
		b.Directed, b.Turnable, b.Grain = true, false, "along"
	}
}

// ruler rounds what geometry asks for to what a person can cut.
type ruler struct {
	seam, mark, ease float64
	unit             measure.Unit
}

// up is the next mark of the ruler.
func (r ruler) up(x float64) float64 { return measure.Ceil(x, r.mark) }

// near is the next mark that leaves an excess of at most the ease, first on the ruler as given, then halfway
// between its marks; false where there is none.
func (r ruler) near(x float64) (float64, bool) { return r.upTo(x, r.ease) }

// upTo is near with another limit.
func (r ruler) upTo(x, most float64) (float64, bool) {
	for _, m := range []float64{r.mark, r.mark / 2} {
		if c := measure.Ceil(x, m); c-x <= most+1e-9 {
			return c, true
		}
	}
	return r.up(x), false
}

// patchForm is what a patch is, as far as cutting goes.
type patchForm struct {
	shape string
	base  move    // exact piece frame -> unit frame, before any rounding
	w, h  float64 // exact raw size
	hand  string
	fin   []pt
}

// form classifies a patch by its finished outline. long says that its long side lies outward (docs/craft.md, grain).
func (r ruler) form(fin []pt, long bool) patchForm {
	s := r.seam
	n := len(fin)
	f := patchForm{shape: Template, fin: fin}
	edge := func(i int) pt { return fin[(i+1)%n].sub(fin[i%n]) }
	square := func(i int) bool { // the corner at vertex i
		a, b := edge(i+n-1), edge(i)
		return math.Abs(a.unit().dot(b.unit())) < 1e-9 && a.cross(b) > 0
	}
	switch {
	case n == 4 && square(0) && square(1) && square(2) && square(3):
		// The shorter side first, so that equal rectangles are one however they lie.
		first := 0
		if edge(0).length() > edge(1).length()+1e-9 {
			first = 1
		}
		x, y := edge(first), edge(first+1)
		f.shape, f.w, f.h = Rectangle, x.length()+2*s, y.length()+2*s
		f.base = frame(fin[first].sub(x.unit().scale(s)).sub(y.unit().scale(s)), x)
	case n == 3 && (square(0) || square(1) || square(2)):
		c := 0
		for !square(c) {
			c++
		}
		x, y := edge(c), edge(c+2).scale(-1) // legs from the square corner: the next one and the one before
		a, b := x.length(), y.length()
		hyp := math.Hypot(a, b)
		switch {
		case math.Abs(a-b) < 1e-9 && long:
			h := edge(c + 1) // the long side; its frame runs backwards along it, inside to the right
			f.shape = QuarterSquare
			f.w = hyp + s*(2+2*math.Sqrt2)
			f.h = f.w
			dir := h.unit()
			tip := fin[(c+1)%n].sub(dir.scale(s * (1 + math.Sqrt2))).sub(dir.right().scale(s))
			f.base = frame(tip, dir)
		case math.Abs(a-b) < 1e-9:
			f.shape = HalfSquare
			f.w = a + s*(2+math.Sqrt2)
			f.h = f.w
			f.base = frame(fin[c].sub(x.unit().scale(s)).sub(y.unit().scale(s)), x)
		default:
			f.shape = HalfRectangle
			w, h := a+s*(1+(a+hyp)/b), b+s*(1+(b+hyp)/a)
			corner := fin[c].sub(x.unit().scale(s)).sub(y.unit().scale(s))
			if a < b { // the short leg runs along the piece's width
				f.w, f.h = w, h
				f.base = frame(corner, x)
			} else {
				f.hand = "R"
				f.w, f.h = h, w
				f.base = frame(corner.add(y.unit().scale(h)), y.scale(-1))
			}
		}
	case n == 4 && edge(0).add(edge(2)).length() < 1e-9 && edge(1).add(edge(3)).length() < 1e-9:
		f.shape = Parallelogram
		raw := evenly(fin, s)
		x := raw[1].sub(raw[0])
		if e := edge(1); e.length() > edge(0).length()+1e-9 {
			x = raw[2].sub(raw[1]) // the long sides run along the strip
		}
		dir := x.unit()
		lo, _ := box(along(raw, dir))
		f.base = frame(dir.scale(lo.x).add(dir.right().scale(lo.y)), dir)
		sin := math.Abs(edge(0).unit().cross(edge(1).unit()))
		l0, l1 := edge(0).length(), edge(1).length()
		long, short := math.Max(l0, l1), math.Min(l0, l1)
		f.h, f.w = short*sin+2*s, long*sin+2*s // strip height; distance between the slanted cuts
	default:
		raw := evenly(fin, s)
		lo, hi := box(raw)
		f.w, f.h = hi.x-lo.x, hi.y-lo.y
		f.base = move{u: pt{1, 0}, v: pt{0, 1}, t: lo}
	}
	return f
}

// frame is the motion of a piece's frame whose corner lies at t and whose width runs along x.
func frame(t, x pt) move {
	d := x.unit()
	d = pt{tidy(d.x), tidy(d.y)}
	return move{u: d, v: d.right(), t: t}
}

// along is the polygon in the frame whose x axis is dir.
func along(pg []pt, dir pt) []pt {
	out := make([]pt, len(pg))
	for i, p := range pg {
		out[i] = pt{p.dot(dir), p.dot(dir.right())}
	}
	return out
}

// single is the blank of a patch that is cut as a piece of its own, and how the piece's frame lies in the patch's.
// trimmed says that what it is sewn into is trimmed afterwards, so that a generous mark does no harm; without it a mark
// that leaves more than the ease is refused and the piece is cut by a template of the exact size.
//
// Where a blank is larger than exact, the excess is shared out: half on each side of a rectangle, none on the seam that a
// triangle's unit is built on (the long side of a half square, the legs of a quarter square).
func (r ruler) single(fin []pt, long, trimmed bool) (Blank, move) {
	f := r.form(fin, long)
	b := Blank{Shape: f.shape, Hand: f.hand, Exact: [2]float64{f.w, f.h}, Each: 1, Turnable: true, Grain: "either", Trimmed: trimmed}
	w, okW := r.near(f.w)
	h, okH := r.near(f.h)
	if trimmed {
		w, h, okW, okH = r.up(f.w), r.up(f.h), true, true
	}
	switch f.shape {
	case Rectangle:
		if okW && okH {
			b.Width, b.Height = w, h
			return b, shift(f.base, -(w-f.w)/2, -(h-f.h)/2)
		}
	case HalfSquare:
		if w, ok := r.upTo(f.w, 2*r.ease); ok || trimmed {
			b.Width, b.Height, b.Each = w, w, 2
			return b, shift(f.base, -(w-f.w)/2, -(w-f.w)/2)
		}
	case QuarterSquare:
		if w, ok := r.upTo(f.w, 1.5*r.ease); ok || trimmed {
			b.Width, b.Height, b.Each = w, w, 4
			return b, shift(f.base, -(w-f.w)/2, -(w-f.w)/(2+2*math.Sqrt2)) // as far out on the legs as on the long side
		}
	case HalfRectangle:
		if okW && okH {
			b.Width, b.Height, b.Each = w, h, 2
			return b, f.alongSide(&b)
		}
	case Parallelogram:
		if okW && okH {
			b.Width, b.Height, b.Grain = w, h, "along"
			by := make([]float64, 4)
			for i := range by {
				by[i] = r.seam + (w-f.w)/2
				if math.Abs(fin[(i+1)%4].sub(fin[i]).unit().cross(f.base.u)) < 1e-9 {
					by[i] = r.seam + (h-f.h)/2
				}
			}
			raw := offset(fin, by)
			local := along(raw, f.base.u)
			lo, _ := box(local)
			base := f.base
			base.t = f.base.u.scale(lo.x).add(f.base.v.scale(lo.y))
			b.Outline = corners(raw, base)
			return b, base
		}
	}
	return r.template(fin, f.base.u)
}

// alongSide lays a half rectangle whose sides are not in the ratio of the patch's, for they were rounded: its long side lies on the
// patch's, middle on middle, because that seam decides where the corners come.
func (f patchForm) alongSide(b *Blank) move {
	exact := Blank{Shape: f.shape, Hand: f.hand, Width: f.w, Height: f.h}
	ends := func(b *Blank) (a, z pt) {
		raw := b.raw()
		if b.Hand == "R" {
			return raw[0], raw[2]
		}
		return raw[1], raw[2]
	}
	a, z := ends(&exact)
	p, q := ends(b)
	a, z = f.base.apply(a), f.base.apply(z)
	d, e := z.sub(a).unit(), q.sub(p).unit()
	u := pt{d.dot(e), e.cross(d)} // the turn that takes e to d
	m := move{u: u, v: u.right()}
	m.t = a.add(z).scale(0.5).sub(m.turnOnly(p.add(q).scale(0.5)))
	return m
}

// template is the blank of a patch cut by a template of its exact size.
func (r ruler) template(fin []pt, dir pt) (Blank, move) {
	raw := evenly(fin, r.seam)
	lo, hi := box(along(raw, dir))
	base := frame(dir.scale(lo.x).add(dir.right().scale(lo.y)), dir)
	w, h := hi.x-lo.x, hi.y-lo.y
	return Blank{Shape: Template, Exact: [2]float64{w, h}, Width: r.up(w), Height: r.up(h), Each: 1, Turnable: true, Grain: "along",
		Outline: corners(raw, base)}, base
}

// shift moves a frame's origin by dx, dy in its own directions.
func shift(m move, dx, dy float64) move {
	m.t = m.apply(pt{dx, dy})
	return m
}

// flush lays a triangle of four from a square so that its square corner is flush with what its legs are sewn to, and all that it is larger than
// exact is on its long side. So setting triangles lie along the edge of a top: the raw edges at the square corner are what one lays them by,
// and what they were off there would add up from one to the next.
func (b *Blank) flush(lie move) move {
	more := b.Width - b.Exact[0]
	return shift(lie, 0, more/(2+2*math.Sqrt2)-more/2)
}

// corners are the points of the unit's frame as seen from the piece's.
func corners(pg []pt, base move) [][2]float64 {
	inv := base.back()
	out := make([][2]float64, len(pg))
	for i, p := range pg {
		q := inv.apply(p)
		out[i] = [2]float64{q.x, q.y}
	}
	return out
}

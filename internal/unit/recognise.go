package unit

import (
	"slices"

	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
)

// mostPatches is more than any unit of the trade has: the largest is a log cabin of many rounds.
const mostPatches = 128

// Recognise returns what the region with that outline is, given the patches that fill it. Vertices in the middle of
// straight sides and the place of the region do not matter.
//
// Properties: (1) turning the region by a multiple of 45 degrees changes Turn and the order of Roles at most; (2) so
// does mirroring it, and Mirror for kinds that have a hand; (3) of several answers (a half square looks upright either
// way up) the one with the least Turn is given, not mirrored before mirrored; (4) scaling changes Measures only.
// No patches, or patches that do not fill the outline, give the name of the outline's shape or Piecework.
func Recognise(outline plane.Polygon, patches []Patch) Shape {
	outline = simple(outline)
	if base, ok := rightAngled(outline); ok && len(patches) > 0 && len(patches) <= mostPatches {
		if s, ok := trade(outline, patches, base); ok {
			return s
		}
	}
	least, most := outline.Box()
	size := most.Sub(least)
	return Shape{Kind: shapeName(outline, len(patches) != 1), Measures: []exact.Num{size.X, size.Y}}
}

// simple is Simplify without a copy of what is simple already.
func simple(pg plane.Polygon) plane.Polygon {
	for i := range pg {
		if plane.Orient(pg[i], pg[(i+1)%len(pg)], pg[(i+2)%len(pg)]) == 0 {
			return pg.Simplify()
		}
	}
	if len(pg) < 3 {
		return nil
	}
	return pg
}

// trade looks at a rectangle from all sides, from where it lies along the axes first.
func trade(outline plane.Polygon, patches []Patch, base plane.Turn) (Shape, bool) {
	whole := make([]plane.Polygon, len(patches))
	for i, p := range patches {
		whole[i] = simple(p.Outline)
	}
	likely := candidatesFor(whole)
	if likely.none() {
		return Shape{}, false
	}
	first := newView(outline, whole, base)
	if likely.cabins = likely.cabins && first.reached(); likely.none() {
		return Shape{}, false
	}
	for _, mirror := range []bool{false, true} {
		for quarter := range 4 {
			if s, ok := first.look(likely, quarter, mirror); ok {
				s.Turn += base
				return s, true
			}
		}
	}
	return Shape{}, false
}

// rightAngled reports whether the outline is a rectangle along the axes (0) or along the diagonals (45).
func rightAngled(outline plane.Polygon) (plane.Turn, bool) {
	if len(outline) != 4 {
		return 0, false
	}
	a, b := outline[1].Sub(outline[0]), outline[2].Sub(outline[1])
	if !dot(a, b).IsZero() || !outline[2].Sub(outline[3]).Equal(a) {
		return 0, false
	}
	switch {
	case a.X.IsZero() || a.Y.IsZero():
		return 0, true
	case a.X.Equal(a.Y) || a.X.Equal(a.Y.Neg()):
		return 45, true
	}
	return 0, false
}

func dot(a, b plane.Point) exact.Num { return a.X.Mul(b.X).Add(a.Y.Mul(b.Y)) }

// candidates are the kinds that patches of so many corners may be.
type candidates struct {
	templates               []*template
	rails, snowball, cabins bool
}

func (c candidates) none() bool { return len(c.templates) == 0 && !c.rails && !c.snowball && !c.cabins }

// candidatesFor counts corners: most regions are no unit of the trade, and that alone says so of most of them.
func candidatesFor(patches []plane.Polygon) candidates {
	n := len(patches)
	var three, four int
	for _, p := range patches {
		switch len(p) {
		case 3:
			three++
		case 4:
			four++
		}
	}
	var c candidates
	for i := range templates {
		if t := &templates[i]; len(t.patches) == n && t.three == three && n-t.three == four {
			c.templates = append(c.templates, t)
		}
	}
	c.rails = n >= 2 && four == n
	c.cabins = n >= 5 && four == n
	c.snowball = n >= 2 && n <= 5 && three == n-1
	return c
}

// view is a region seen in an upright frame, its box at 0,0.
type view struct {
	w, h    exact.Num
	patches []plane.Polygon // simplified and canonical
}

// newView returns the region turned back by turn.
func newView(outline plane.Polygon, patches []plane.Polygon, turn plane.Turn) *view {
	back := plane.Pose{Turn: turn}.Inverse()
	least, most := back.ApplyPolygon(outline).Box()
	back.At = plane.Point{}.Sub(least)
	size := most.Sub(least)
	v := &view{w: size.X, h: size.Y, patches: make([]plane.Polygon, len(patches))}
	for i, p := range patches {
		v.patches[i] = canonical(back.ApplyPolygon(p))
	}
	return v
}

// from returns the view turned back by so many quarters and then mirrored.
func (v *view) from(quarters int, mirror bool) *view {
	if quarters == 0 && !mirror {
		return v
	}
	out := &view{w: v.w, h: v.h, patches: make([]plane.Polygon, len(v.patches))}
	if quarters%2 == 1 {
		out.w, out.h = v.h, v.w
	}
	n := 0
	for _, p := range v.patches {
		n += len(p)
	}
	points := make(plane.Polygon, n)
	for i, p := range v.patches {
		pg := points[:len(p):len(p)]
		points = points[len(p):]
		for k, q := range p {
			switch quarters {
			case 1:
				q = plane.Point{X: q.Y, Y: v.w.Sub(q.X)}
			case 2:
				q = plane.Point{X: v.w.Sub(q.X), Y: v.h.Sub(q.Y)}
			case 3:
				q = plane.Point{X: v.h.Sub(q.Y), Y: q.X}
			}
			if mirror {
				q.X = out.w.Sub(q.X)
				pg[len(p)-1-k] = q
			} else {
				pg[k] = q
			}
		}
		out.patches[i] = canonical(pg)
	}
	return out
}

// canonical turns the list so that it begins at its least vertex.
func canonical(pg plane.Polygon) plane.Polygon {
	if first := least(pg); first > 0 {
		slices.Reverse(pg[:first])
		slices.Reverse(pg[first:])
		slices.Reverse(pg)
	}
	return pg
}

// least is the number of the least vertex.
func least(pg plane.Polygon) int {
	first := 0
	for i := range pg {
		if pg[i].Cmp(pg[first]) < 0 {
			first = i
		}
	}
	return first
}

// reached reports whether a patch reaches from side to side of the region, as the last log of a cabin does.
func (v *view) reached() bool {
	return slices.ContainsFunc(v.patches, func(p plane.Polygon) bool {
		least, most := p.Box()
		size := most.Sub(least)
		return size.X.Equal(v.w) || size.Y.Equal(v.h)
	})
}

// look tries every likely kind with the region turned back by quarters and then mirrored.
func (v *view) look(likely candidates, quarters int, mirror bool) (Shape, bool) {
	s := Shape{Turn: plane.Turn(90 * quarters), Mirror: mirror}
	w, h := v.w, v.h
	if quarters%2 == 1 {
		w, h = h, w
	}
	even := w.Equal(h)
	fits := likely.templates[:0:0]
	for _, t := range likely.templates {
		if (t.hand || !mirror) && t.fits(w, h) {
			fits = append(fits, t)
		}
	}
	rails, snowball := likely.rails && even && !mirror, likely.snowball && !mirror && !w.Less(h)
	if len(fits) == 0 && !rails && !snowball && !likely.cabins {
		return s, false
	}
	v = v.from(quarters, mirror)
	for _, t := range fits {
		if s.Roles = v.match(t); s.Roles != nil {
			s.Kind, s.Measures = t.kind, measured(t.kind, v)
			return s, true
		}
	}
	for _, kind := range []struct {
		is     Kind
		likely bool
		find   func() ([]int, []exact.Num)
	}{{RailFence, rails, v.railFence}, {Snowball, snowball, v.snowball}, {LogCabin, likely.cabins, v.logCabin},
		{CourthouseSteps, likely.cabins && !mirror, v.courthouseSteps}} {
		if !kind.likely {
			continue
		}
		if s.Roles, s.Measures = kind.find(); s.Roles != nil {
			s.Kind = kind.is
			return s, true
		}
	}
	return s, false
}

func measured(k Kind, v *view) []exact.Num {
	switch k {
	case Rectangle, HalfRectangle, FlyingGeese:
		return []exact.Num{v.w, v.h}
	}
	return []exact.Num{v.w}
}

// template is a kind whose patches always divide its box in the same way.
type template struct {
	kind    Kind
	fits    func(w, h exact.Num) bool
	hand    bool       // differs from its mirror image
	parts   int64      // the box is so many steps wide and high
	patches [][]corner // in the order of roles, each clockwise from its least corner
	three   int        // so many of the patches are triangles; the others have four corners
}

type corner struct{ x, y int64 }

func square(w, h exact.Num) bool   { return w.Equal(h) }
func lying(w, h exact.Num) bool    { return h.Less(w) }
func standing(w, h exact.Num) bool { return w.Less(h) }
func double(w, h exact.Num) bool   { return w.Equal(h.Add(h)) }

var templates = counted([]template{
	{kind: Square, fits: square, parts: 1, patches: grid(1)},
	{kind: Rectangle, fits: lying, parts: 1, patches: grid(1)},
	{kind: HalfSquare, fits: square, parts: 2, patches: halves},
	{kind: HalfRectangle, fits: standing, hand: true, parts: 2, patches: halves},
	{kind: ThreeTriangles, fits: square, parts: 2, patches: [][]corner{{{0, 0}, {2, 0}, {0, 2}}, {{2, 0}, {2, 2}, {1, 1}},
		{{1, 1}, {2, 2}, {0, 2}}}},
	{kind: FlyingGeese, fits: double, parts: 2, patches: [][]corner{{{1, 0}, {2, 2}, {0, 2}}, {{0, 0}, {1, 0}, {0, 2}},
		{{1, 0}, {2, 0}, {2, 2}}}},
	{kind: Hourglass, fits: square, parts: 2, patches: [][]corner{{{0, 0}, {2, 0}, {1, 1}}, {{2, 0}, {2, 2}, {1, 1}},
		{{1, 1}, {2, 2}, {0, 2}}, {{0, 0}, {1, 1}, {0, 2}}}},
	{kind: FourPatch, fits: square, parts: 2, patches: grid(2)},
	{kind: SquareInSquare, fits: square, parts: 2, patches: [][]corner{{{1, 0}, {2, 1}, {1, 2}, {0, 1}}, {{0, 0}, {1, 0}, {0, 1}},
		{{1, 0}, {2, 0}, {2, 1}}, {{2, 1}, {2, 2}, {1, 2}}, {{0, 1}, {1, 2}, {0, 2}}}},
	{kind: NinePatch, fits: square, parts: 3, patches: grid(3)},
})

func counted(all []template) []template {
	for i := range all {
		for _, p := range all[i].patches {
			if len(p) == 3 {
				all[i].three++
			}
		}
	}
	return all
}

var halves = [][]corner{{{0, 0}, {2, 0}, {0, 2}}, {{2, 0}, {2, 2}, {0, 2}}}

// grid returns n by n squares, row by row.
func grid(n int64) [][]corner {
	var all [][]corner
	for y := range n {
		for x := range n {
			all = append(all, []corner{{x, y}, {x + 1, y}, {x + 1, y + 1}, {x, y + 1}})
		}
	}
	return all
}

// match returns the patch of each role, or nil.
func (v *view) match(t *template) []int {
	steps := exact.Int(t.parts)
	var xs, ys [4]exact.Num
	for i := range t.parts + 1 {
		xs[i], ys[i] = v.w.Mul(exact.Int(i)).Div(steps), v.h.Mul(exact.Int(i)).Div(steps)
	}
	roles := make([]int, 0, len(t.patches))
	var corners [4]plane.Point
	for _, p := range t.patches {
		for k, c := range p {
			corners[k] = plane.Pt(xs[c.x], ys[c.y])
		}
		i, ok := v.find(corners[:len(p)])
		if !ok {
			return nil
		}
		roles = append(roles, i)
	}
	return roles
}

// find returns the patch that is the outline, which may begin at any of its corners.
func (v *view) find(outline plane.Polygon) (int, bool) {
	start := least(outline)
	for i := len(v.patches) - 1; i >= 0; i-- {
		if same(v.patches[i], outline, start) {
			return i, true
		}
	}
	return 0, false
}

// same reports whether p is the outline q as read from its vertex start.
func same(p, q plane.Polygon, start int) bool {
	if len(p) != len(q) {
		return false
	}
	for i := range p {
		if !p[i].Equal(q[(start+i)%len(q)]) {
			return false
		}
	}
	return true
}

// box returns the outline of a rectangle along the axes.
func box(x0, y0, x1, y1 exact.Num) plane.Polygon {
	return plane.Polygon{plane.Pt(x0, y0), plane.Pt(x1, y0), plane.Pt(x1, y1), plane.Pt(x0, y1)}
}

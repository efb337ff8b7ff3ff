package unit

import (
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
	outline = outline.Simplify()
	if base, ok := rightAngled(outline); ok && len(patches) > 0 && len(patches) <= mostPatches {
		for _, mirror := range []bool{false, true} {
			for turn := base; turn < 360; turn += 90 {
				if s, ok := look(outline, patches, turn, mirror); ok {
					return s
				}
			}
		}
	}
	least, most := outline.Box()
	size := most.Sub(least)
	return Shape{Kind: shapeName(outline, len(patches) != 1), Measures: []exact.Num{size.X, size.Y}}
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

// view is a region seen in an upright frame, its box at 0,0.
type view struct {
	w, h    exact.Num
	patches []plane.Polygon // simplified and canonical
	byKey   map[string]int
	mirror  bool
}

// look tries every kind with the region turned back by turn and then mirrored.
func look(outline plane.Polygon, patches []Patch, turn plane.Turn, mirror bool) (Shape, bool) {
	back := plane.Pose{Turn: turn, Mirror: mirror}.Inverse()
	least, most := back.ApplyPolygon(outline).Box()
	back.At = plane.Point{}.Sub(least)
	size := most.Sub(least)
	v := &view{w: size.X, h: size.Y, byKey: map[string]int{}, mirror: mirror}
	for i, p := range patches {
		pg := back.ApplyPolygon(p.Outline.Simplify()).Canonical()
		v.patches = append(v.patches, pg)
		v.byKey[string(pg.AppendKey(nil))] = i
	}
	s := Shape{Turn: turn, Mirror: mirror}
	for _, t := range templates {
		if mirror && !t.hand || len(t.patches) != len(patches) || !t.fits(v.w, v.h) {
			continue
		}
		if s.Roles = v.match(t); s.Roles != nil {
			s.Kind, s.Measures = t.kind, measured(t.kind, v)
			return s, true
		}
	}
	if mirror {
		if s.Roles, s.Measures = v.logCabin(); s.Roles != nil {
			s.Kind = LogCabin
		}
		return s, s.Roles != nil
	}
	for _, kind := range []struct {
		is   Kind
		find func() ([]int, []exact.Num)
	}{{RailFence, v.railFence}, {Snowball, v.snowball}, {LogCabin, v.logCabin}, {CourthouseSteps, v.courthouseSteps}} {
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
}

type corner struct{ x, y int64 }

func square(w, h exact.Num) bool   { return w.Equal(h) }
func lying(w, h exact.Num) bool    { return h.Less(w) }
func standing(w, h exact.Num) bool { return w.Less(h) }
func double(w, h exact.Num) bool   { return w.Equal(h.Add(h)) }

var templates = []template{
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
func (v *view) match(t template) []int {
	steps := exact.Int(t.parts)
	var roles []int
	for _, p := range t.patches {
		var pg plane.Polygon
		for _, c := range p {
			pg = append(pg, plane.Pt(v.w.Mul(exact.Int(c.x)).Div(steps), v.h.Mul(exact.Int(c.y)).Div(steps)))
		}
		i, ok := v.find(pg)
		if !ok {
			return nil
		}
		roles = append(roles, i)
	}
	return roles
}

// find returns the patch that is the outline, which may begin at any of its corners.
func (v *view) find(outline plane.Polygon) (int, bool) {
	i, ok := v.byKey[string(outline.Canonical().AppendKey(nil))]
	return i, ok
}

// box returns the outline of a rectangle along the axes.
func box(x0, y0, x1, y1 exact.Num) plane.Polygon {
	return plane.Polygon{plane.Pt(x0, y0), plane.Pt(x1, y0), plane.Pt(x1, y1), plane.Pt(x0, y1)}
}

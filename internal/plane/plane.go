// Package plane has one job: points, segments and polygons of the plane with exact coordinates, and cutting a rectangle
// up by lines. It knows no cloth and no seams.
//
// The axes are a page's: x to the right, y down. "Clockwise" always means as seen. Every answer about what crosses,
// touches, lies on or equals what is exact; floats only decide which exact questions need not be asked.
//
//	lines := []plane.Segment{{A: p(0, 1), B: p(2, 1)}, {A: p(1, 0), B: p(1, 2)}}
//	got, err := plane.Arrange(exact.Int(2), exact.Int(2), lines) // four faces, nothing loose
package plane

import (
	"slices"

	"quiltwright/internal/exact"
)

// Point is a place in the plane. The zero value is the origin.
type Point struct{ X, Y exact.Num }

// Pt returns the point x, y.
func Pt(x, y exact.Num) Point { return Point{x, y} }

// Add returns the sum of p and q as vectors.
func (p Point) Add(q Point) Point { return Point{p.X.Add(q.X), p.Y.Add(q.Y)} }

// Sub returns the vector from q to p.
func (p Point) Sub(q Point) Point { return Point{p.X.Sub(q.X), p.Y.Sub(q.Y)} }

// Equal reports whether p and q are the same point.
func (p Point) Equal(q Point) bool { return p.X.Equal(q.X) && p.Y.Equal(q.Y) }

// Cmp orders points from the top down, and from left to right on one height: -1 for p first, 0 for equal, 1 for q first.
func (p Point) Cmp(q Point) int {
	if c := p.Y.Cmp(q.Y); c != 0 {
		return c
	}
	return p.X.Cmp(q.X)
}

// AppendKey appends a text that is the same for equal points and different for others; it contains no space.
func (p Point) AppendKey(b []byte) []byte {
	b = p.X.AppendKey(b)
	b = append(b, ',')
	return p.Y.AppendKey(b)
}

// String returns the point as "x,y".
func (p Point) String() string { return p.X.String() + "," + p.Y.String() }

// Cross returns twice the signed area of the triangle o, a, b: above 0 where the way from a to b turns clockwise about o,
// 0 where the three are in line.
func Cross(o, a, b Point) exact.Num { return crossed(a.Sub(o), b.Sub(o)) }

// crossed returns the cross product of two vectors.
func crossed(u, v Point) exact.Num { return u.X.Mul(v.Y).Sub(u.Y.Mul(v.X)) }

// dotted returns the scalar product of two vectors.
func dotted(u, v Point) exact.Num { return u.X.Mul(v.X).Add(u.Y.Mul(v.Y)) }

// Orient returns the sign of Cross: 1 clockwise, -1 counter-clockwise, 0 in line.
func Orient(o, a, b Point) int { return Cross(o, a, b).Sign() }

// Segment is the straight line from A to B, ends included.
type Segment struct{ A, B Point }

// Contains reports whether p lies on s, ends included.
func (s Segment) Contains(p Point) bool {
	return Orient(s.A, s.B, p) == 0 && dotted(s.A.Sub(p), s.B.Sub(p)).Sign() <= 0
}

// Mid returns the point halfway.
func (s Segment) Mid() Point { return Point{s.A.X.Add(s.B.X).Half(), s.A.Y.Add(s.B.Y).Half()} }

// Reverse returns the segment from B to A.
func (s Segment) Reverse() Segment { return Segment{s.B, s.A} }

// ordered returns s with its first end first in the order of points.
func (s Segment) ordered() Segment {
	if s.A.Cmp(s.B) > 0 {
		return s.Reverse()
	}
	return s
}

// Meeting says how two segments meet.
type Meeting int

// How two segments meet.
const (
	Apart    Meeting = iota // nowhere
	Touching                // in one point, which is an end of at least one of them
	Crossing                // in one point inside both
	Along                   // along a stretch of one line
)

// Meet returns how s and t meet, and the point where they do; for Along, the first point of the common stretch in the
// order of points; for Apart, the origin. A segment may have length 0.
func Meet(s, t Segment) (Point, Meeting) {
	r, u, between := s.B.Sub(s.A), t.B.Sub(t.A), t.A.Sub(s.A)
	denominator := crossed(r, u)
	if denominator.Sign() == 0 {
		common, ok := Common(s, t)
		if !ok {
			return Point{}, Apart
		}
		if common.A.Equal(common.B) {
			return common.A, Touching
		}
		return common.A, Along
	}
	along := crossed(between, u).Div(denominator) // how far along s
	aside := crossed(between, r).Div(denominator) // how far along t
	one := exact.Int(1)
	if along.Sign() < 0 || aside.Sign() < 0 || one.Less(along) || one.Less(aside) {
		return Point{}, Apart
	}
	switch {
	case along.IsZero():
		return s.A, Touching
	case along.Equal(one):
		return s.B, Touching
	case aside.IsZero():
		return t.A, Touching
	case aside.Equal(one):
		return t.B, Touching
	}
	return Point{s.A.X.Add(r.X.Mul(along)), s.A.Y.Add(r.Y.Mul(along))}, Crossing
}

// Common returns what two segments on one line have in common, in the order of points; its ends are equal where that is
// a single point. ok is false where they are not on one line or have no point in common.
func Common(s, t Segment) (common Segment, ok bool) {
	s, t = s.ordered(), t.ordered()
	if s.A.Equal(s.B) {
		return s, t.Contains(s.A)
	}
	if Orient(s.A, s.B, t.A) != 0 || Orient(s.A, s.B, t.B) != 0 {
		return Segment{}, false
	}
	common = s
	if common.A.Cmp(t.A) < 0 {
		common.A = t.A
	}
	if common.B.Cmp(t.B) > 0 {
		common.B = t.B
	}
	return common, common.A.Cmp(common.B) <= 0
}

// Polygon is the outline of a simple polygon: clockwise, the first point not repeated at the end.
type Polygon []Point

// Rectangle returns the rectangle from the origin to w, h, from its top left corner.
func Rectangle(w, h exact.Num) Polygon {
	zero := exact.Num{}
	return Polygon{{zero, zero}, {w, zero}, {w, h}, {zero, h}}
}

// Edges returns the sides in order, one from each vertex to the next.
func (pg Polygon) Edges() []Segment {
	edges := make([]Segment, len(pg))
	for i, p := range pg {
		edges[i] = Segment{p, pg[(i+1)%len(pg)]}
	}
	return edges
}

// Area2 returns twice the area, 0 for fewer than three points; below 0 where the outline runs counter-clockwise.
func (pg Polygon) Area2() exact.Num {
	var area exact.Num
	for i := 2; i < len(pg); i++ {
		area = area.Add(Cross(pg[0], pg[i-1], pg[i]))
	}
	return area
}

// Box returns the least and the greatest coordinates; the origin twice for an empty outline.
func (pg Polygon) Box() (least, most Point) {
	for i, p := range pg {
		if i == 0 {
			least, most = p, p
			continue
		}
		least = Point{exact.Min(least.X, p.X), exact.Min(least.Y, p.Y)}
		most = Point{exact.Max(most.X, p.X), exact.Max(most.Y, p.Y)}
	}
	return least, most
}

// Contains returns 1 where p is inside, 0 on the outline, -1 outside.
func (pg Polygon) Contains(p Point) int {
	inside := -1
	for i, a := range pg {
		b := pg[(i+1)%len(pg)]
		ca, cb := a.Y.Cmp(p.Y), b.Y.Cmp(p.Y)
		if ca > 0 && cb > 0 || ca < 0 && cb < 0 {
			continue
		}
		if (Segment{a, b}).Contains(p) {
			return 0
		}
		// A ray to the right: an edge counts its upper end and not its lower one.
		if ca <= 0 && cb > 0 && Orient(a, b, p) > 0 || cb <= 0 && ca > 0 && Orient(b, a, p) > 0 {
			inside = -inside
		}
	}
	return inside
}

// IsConvex reports whether the polygon has an area and no corner of more than 180 degrees.
func (pg Polygon) IsConvex() bool {
	turned := false
	for i := range pg {
		switch Orient(pg[i], pg[(i+1)%len(pg)], pg[(i+2)%len(pg)]) {
		case -1:
			return false
		case 1:
			turned = true
		}
	}
	return turned
}

// Simplify returns the polygon without repeated points and without vertices in the middle of a straight side. What has
// no area becomes empty.
func (pg Polygon) Simplify() Polygon {
	out := make(Polygon, 0, len(pg))
	for _, p := range pg {
		out = append(out, p)
		for len(out) >= 2 && out[len(out)-1].Equal(out[len(out)-2]) {
			out = out[:len(out)-1]
		}
		for len(out) >= 3 && Orient(out[len(out)-3], out[len(out)-2], out[len(out)-1]) == 0 {
			out[len(out)-2] = out[len(out)-1]
			out = out[:len(out)-1]
			if len(out) >= 2 && out[len(out)-1].Equal(out[len(out)-2]) {
				out = out[:len(out)-1]
			}
		}
	}
	for len(out) >= 3 {
		last := len(out) - 1
		switch {
		case Orient(out[last-1], out[last], out[0]) == 0:
			out = out[:last]
		case Orient(out[last], out[0], out[1]) == 0:
			out = out[1:]
		default:
			return out
		}
	}
	return nil
}

// Canonical returns the same outline beginning at its least vertex in the order of points.
func (pg Polygon) Canonical() Polygon {
	least := 0
	for i := range pg {
		if pg[i].Cmp(pg[least]) < 0 {
			least = i
		}
	}
	return slices.Concat(pg[least:], pg[:least])
}

// AppendKey appends a text that is the same for outlines of the same points in the same order, and different for others.
func (pg Polygon) AppendKey(b []byte) []byte {
	for i, p := range pg {
		if i > 0 {
			b = append(b, ' ')
		}
		b = p.AppendKey(b)
	}
	return b
}

// Translate returns the polygon moved by v.
func (pg Polygon) Translate(v Point) Polygon {
	out := make(Polygon, len(pg))
	for i, p := range pg {
		out[i] = p.Add(v)
	}
	return out
}

// Overlap reports whether the interiors of two simple polygons have a point in common. Touching sides and corners do not count.
func Overlap(a, b Polygon) bool {
	aLeast, aMost := a.Box()
	bLeast, bMost := b.Box()
	if len(a) < 3 || len(b) < 3 || aMost.X.Cmp(bLeast.X) <= 0 || bMost.X.Cmp(aLeast.X) <= 0 ||
		aMost.Y.Cmp(bLeast.Y) <= 0 || bMost.Y.Cmp(aLeast.Y) <= 0 {
		return false
	}
	return enters(a, b) || enters(b, a)
}

// enters reports whether the outline of a runs inside b somewhere, or along a side of b with both interiors on the same side.
func enters(a, b Polygon) bool {
	bEdges := b.Edges()
	for _, e := range a.Edges() {
		stops := []Point{e.A, e.B}
		for _, f := range bEdges {
			at, how := Meet(e, f)
			switch how {
			case Crossing:
				return true
			case Touching:
				stops = append(stops, at)
			case Along:
				if dotted(e.B.Sub(e.A), f.B.Sub(f.A)).Sign() > 0 {
					return true
				}
				common, _ := Common(e, f)
				stops = append(stops, common.A, common.B)
			}
		}
		slices.SortFunc(stops, Point.Cmp)
		for i := 1; i < len(stops); i++ {
			if !stops[i].Equal(stops[i-1]) && b.Contains(Segment{stops[i-1], stops[i]}.Mid()) > 0 {
				return true
			}
		}
	}
	return false
}

package plane

import (
	"cmp"
	"fmt"
	"slices"

	"quiltwright/internal/exact"
)

// Arrangement is a rectangle cut up by lines.
type Arrangement struct {
	// Faces cover the rectangle, each clockwise from its least vertex. A vertex in the middle of a straight side stands
	// where another line ends on the side from either hand. Ordered by least vertex, then by the vertices after it.
	Faces []Polygon
	// Loose is in the order of Segment, then of At.
	Loose []Loose
}

// Loose is an end of a line that divides nothing: it hangs in the middle of a face.
type Loose struct {
	At      Point
	Segment int // which of the lines has this end; the first of several
}

// Error is why a rectangle cannot be cut up as told.
type Error struct {
	At      Point // where
	Segment int   // which of the lines, or -1
	Says    string
}

// Error returns what is wrong and where.
func (e *Error) Error() string { return fmt.Sprintf("%s at %v", e.Says, e.At) }

// Bounds on the work, counted, so that no drawing takes for ever.
const (
	mostVertices = 500_000 // five times those of the largest grid
	mostTests    = 200_000_000
)

// Arrange cuts the rectangle from the origin to w, h up by lines: it splits them at every crossing and returns the faces
// between them. Lines may cross, touch, overlap, repeat each other and lie on the rectangle's sides; one of length 0 is
// loose. Without lines the rectangle is the one face.
//
// The error is an *Error: a rectangle without area, a line that leaves it, more crossings than can be handled, or a face
// that is no simple polygon because it has a hole. In the last case the rest of the arrangement is there: a face round a
// hole is given with the hole filled in, and left out where the hole touches its outline in a point. Else it is empty.
//
// Properties: (1) the areas of the faces add up to the rectangle's, unless there is an error; (2) no two faces overlap;
// (3) the result does not depend on the order or direction of the lines, but for Loose.Segment; (4) the time is near
// linear in lines and crossings, for lines of few directions or few neighbours.
func Arrange(w, h exact.Num, lines []Segment) (Arrangement, error) {
	if w.Sign() <= 0 || h.Sign() <= 0 {
		return Arrangement{}, &Error{At: Pt(w, h), Segment: -1, Says: "the rectangle has no area"}
	}
	for i, s := range lines {
		for _, p := range []Point{s.A, s.B} {
			if p.X.Sign() < 0 || p.Y.Sign() < 0 || w.Less(p.X) || h.Less(p.Y) {
				return Arrangement{}, &Error{At: p, Segment: i, Says: "the line leaves the rectangle"}
			}
		}
	}
	merged, slopes := merge(append(slices.Clone(lines), Rectangle(w, h).Edges()...))
	m := &mesh{stretches: merged, byKey: map[string]int32{}}
	if err := m.cross(w.Float(), h.Float()); err != nil {
		return Arrangement{}, err
	}
	m.rank()
	m.connect(slopes)
	ends := m.prune()
	faces, err := m.faces()
	return Arrangement{Faces: faces, Loose: loose(ends, lines)}, err
}

// loose names the line that has each of the hanging ends, and adds the lines without length.
func loose(ends []Point, lines []Segment) []Loose {
	var found []Loose
	owner := map[string]int{}
	for i, s := range slices.Backward(lines) {
		if s.A.Equal(s.B) {
			found = append(found, Loose{s.A, i})
			continue
		}
		owner[string(s.A.AppendKey(nil))] = i
		owner[string(s.B.AppendKey(nil))] = i
	}
	for _, p := range ends {
		found = append(found, Loose{p, owner[string(p.AppendKey(nil))]})
	}
	slices.SortFunc(found, func(a, b Loose) int {
		if c := cmp.Compare(a.Segment, b.Segment); c != 0 {
			return c
		}
		return a.At.Cmp(b.At)
	})
	return found
}

// stretch is lines on one line that overlap or touch, as one: from A to B in the order of points.
type stretch struct {
	Segment
	ax, ay, bx, by float64
	slope          int32   // which direction, as a rank: from east clockwise to just short of west
	vertices       []int32 // on it
}

// merge returns the stretches that lines make up, in a fixed order, and the number of different slopes.
func merge(lines []Segment) ([]stretch, int) {
	type placed struct {
		Segment
		level bool
		run   exact.Num // x per y; 0 where level
		start exact.Num // where the line meets y = 0; where level, its y
	}
	var all []placed
	for _, s := range lines {
		s = s.ordered()
		d := s.B.Sub(s.A)
		switch {
		case !d.Y.IsZero():
			run := d.X.Div(d.Y)
			all = append(all, placed{s, false, run, s.A.X.Sub(run.Mul(s.A.Y))})
		case !d.X.IsZero():
			all = append(all, placed{s, true, exact.Num{}, s.A.Y})
		}
	}
	slope := func(a, b placed) int { // level first, then falling to the right, then to the left
		if a.level != b.level {
			if a.level {
				return -1
			}
			return 1
		}
		return b.run.Cmp(a.run)
	}
	slices.SortFunc(all, func(a, b placed) int {
		if c := slope(a, b); c != 0 {
			return c
		}
		if c := a.start.Cmp(b.start); c != 0 {
			return c
		}
		if c := a.A.Cmp(b.A); c != 0 {
			return c
		}
		return a.B.Cmp(b.B)
	})
	var out []stretch
	slopes := 0
	for i, s := range all {
		if i > 0 && slope(all[i-1], s) == 0 {
			last := &out[len(out)-1]
			if all[i-1].start.Equal(s.start) && s.A.Cmp(last.B) <= 0 {
				if s.B.Cmp(last.B) > 0 {
					last.B = s.B
				}
				continue
			}
		} else {
			slopes++
		}
		out = append(out, stretch{Segment: s.Segment, slope: int32(slopes - 1)})
	}
	for i := range out {
		s := &out[i]
		s.ax, s.ay, s.bx, s.by = s.A.X.Float(), s.A.Y.Float(), s.B.X.Float(), s.B.Y.Float()
	}
	return out, slopes
}

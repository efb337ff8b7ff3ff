package plane

import "quiltwright/internal/exact"

// Turn is an angle in degrees clockwise as seen, a multiple of 45 in 0..315.
type Turn int

// Norm returns the same turn within 0..359.
func (t Turn) Norm() Turn { return (t%360 + 360) % 360 }

// Pose is where a thing lies: mirrored left to right first (x becomes -x), then turned about the origin, then moved by
// At. The zero value leaves everything in place.
type Pose struct {
	At     Point
	Turn   Turn
	Mirror bool
}

// Apply returns where p comes to lie.
func (p Pose) Apply(q Point) Point { return p.direct(q).Add(p.At) }

// direct mirrors and turns a vector.
func (p Pose) direct(q Point) Point {
	if p.Mirror {
		q.X = q.X.Neg()
	}
	switch t := p.Turn.Norm(); t {
	case 0:
		return q
	case 90:
		return Point{q.Y.Neg(), q.X}
	case 180:
		return Point{q.X.Neg(), q.Y.Neg()}
	case 270:
		return Point{q.Y, q.X.Neg()}
	case 45, 135, 225, 315:
		half := exact.Sqrt2().Half() // cosine and sine of 45 degrees
		eighth := Point{q.X.Sub(q.Y).Mul(half), q.X.Add(q.Y).Mul(half)}
		return Pose{Turn: t - 45}.direct(eighth)
	}
	panic("plane: a turn is a multiple of 45 degrees")
}

// ApplyPolygon returns where the outline comes to lie, still clockwise and beginning at the same vertex: a mirrored one
// lists the others in reverse.
func (p Pose) ApplyPolygon(pg Polygon) Polygon {
	out := make(Polygon, len(pg))
	for i, q := range pg {
		if p.Mirror && i > 0 {
			i = len(pg) - i
		}
		out[i] = p.Apply(q)
	}
	return out
}

// ApplySegment returns where s comes to lie.
func (p Pose) ApplySegment(s Segment) Segment { return Segment{p.Apply(s.A), p.Apply(s.B)} }

// Then returns the pose that does p first and q after it.
func (p Pose) Then(q Pose) Pose {
	turn := q.Turn + p.Turn
	if q.Mirror {
		turn = q.Turn - p.Turn // seen in a mirror, a turn goes the other way
	}
	return Pose{At: q.Apply(p.At), Turn: turn.Norm(), Mirror: p.Mirror != q.Mirror}
}

// Inverse returns the pose that undoes p.
func (p Pose) Inverse() Pose {
	back := Pose{Turn: (-p.Turn).Norm(), Mirror: p.Mirror}
	if p.Mirror {
		back.Turn = p.Turn.Norm()
	}
	at := back.direct(p.At)
	back.At = Point{at.X.Neg(), at.Y.Neg()}
	return back
}

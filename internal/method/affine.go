package method

import (
	"math"

	"quiltwright/internal/plan"
	"quiltwright/internal/plane"
)

// pt is a point in floating point. Incidence is decided exactly before; here lengths leave for cloth.
type pt struct{ x, y float64 }

func (p pt) add(q pt) pt          { return pt{p.x + q.x, p.y + q.y} }
func (p pt) sub(q pt) pt          { return pt{p.x - q.x, p.y - q.y} }
func (p pt) scale(k float64) pt   { return pt{k * p.x, k * p.y} }
func (p pt) dot(q pt) float64     { return p.x*q.x + p.y*q.y }
func (p pt) cross(q pt) float64   { return p.x*q.y - p.y*q.x }
func (p pt) length() float64      { return math.Hypot(p.x, p.y) }
func (p pt) unit() pt             { return p.scale(1 / p.length()) }
func (p pt) right() pt            { return pt{-p.y, p.x} } // a quarter turn clockwise as seen, y running down
func (p pt) plan() plan.Point     { return plan.Point{plan.Num(p.x), plan.Num(p.y)} }
func float(p plane.Point) pt      { return pt{p.X.Float(), p.Y.Float()} }
func line(a, b pt) *[2]plan.Point { return &[2]plan.Point{a.plan(), b.plan()} }
func floats(pg plane.Polygon) []pt {
	out := make([]pt, len(pg))
	for i, p := range pg {
		out[i] = float(p)
	}
	return out
}

// move is a rigid motion: columns u and v are where the unit vectors go, t where the origin goes.
type move struct{ u, v, t pt }

func (m move) apply(p pt) pt    { return m.t.add(m.u.scale(p.x)).add(m.v.scale(p.y)) }
func (m move) turnOnly(p pt) pt { return m.u.scale(p.x).add(m.v.scale(p.y)) }

// then is m first, n after it.
func (m move) then(n move) move {
	return move{u: n.turnOnly(m.u), v: n.turnOnly(m.v), t: n.apply(m.t)}
}

// back is the inverse of m. Rotations and reflections are orthogonal, so it is the transpose.
func (m move) back() move {
	u, v := pt{m.u.x, m.v.x}, pt{m.u.y, m.v.y}
	inv := move{u: u, v: v}
	inv.t = inv.turnOnly(m.t).scale(-1)
	return inv
}

// turned is a turn by degrees clockwise as seen about the origin, then a shift to t.
func turned(degrees float64, t pt) move {
	s, c := math.Sincos(degrees * math.Pi / 180)
	// Quarter turns are exact, so that plans print no noise.
	s, c = tidy(s), tidy(c)
	return move{u: pt{c, s}, v: pt{-s, c}, t: t}
}

func tidy(x float64) float64 {
	if r := math.Round(x); math.Abs(x-r) < 1e-12 {
		return r
	}
	return x
}

// mirrored is the reflection in the line through a and b.
func mirrored(a, b pt) move {
	d := b.sub(a).unit()
	m := move{u: pt{2*d.x*d.x - 1, 2 * d.x * d.y}, v: pt{2 * d.x * d.y, 2*d.y*d.y - 1}}
	m.t = a.sub(m.turnOnly(a))
	return m
}

// eighths are the turns of 0, 45 .. 315 degrees.
var eighths = func() (all [8]move) {
	for k := range all {
		all[k] = turned(float64(45*k), pt{})
	}
	return all
}()

// of is the motion of a pose.
func of(p plane.Pose) move {
	m := eighths[p.Turn.Norm()/45]
	m.t = float(p.At)
	if p.Mirror {
		m.u = m.u.scale(-1)
	}
	return m
}

// pose writes m as mirror, turn and shift.
func (m move) pose() plan.Pose {
	p := plan.Pose{At: m.t.plan()}
	u := m.u
	if m.u.cross(m.v) < 0 {
		p.Mirror = true
		u = u.scale(-1)
	}
	deg := math.Atan2(u.y, u.x) * 180 / math.Pi
	if deg < -1e-9 {
		deg += 360
	}
	p.Turn = plan.Num(tidy(deg))
	if p.Turn == 360 {
		p.Turn = 0
	}
	return p
}

// offset moves every edge of a clockwise polygon outward by its distance and meets neighbours in mitred corners.
// len(by) == len(pg); a single edge is the one that leaves the vertex of the same number.
func offset(pg []pt, by []float64) []pt {
	n := len(pg)
	out := make([]pt, n)
	for i := range pg {
		h := (i + n - 1) % n
		d0, d1 := pg[i].sub(pg[h]).unit(), pg[(i+1)%n].sub(pg[i]).unit()
		// Clockwise as seen: the inside is to the right, so outward is to the left.
		a := pg[i].sub(d0.right().scale(by[h]))
		b := pg[i].sub(d1.right().scale(by[i]))
		// a + t d0 = b + u d1
		k := d0.cross(d1)
		if math.Abs(k) < 1e-12 {
			out[i] = b
			continue
		}
		t := b.sub(a).cross(d1) / k
		out[i] = a.add(d0.scale(t))
	}
	return out
}

func evenly(pg []pt, by float64) []pt {
	d := make([]float64, len(pg))
	for i := range d {
		d[i] = by
	}
	return offset(pg, d)
}

// box is the least and the greatest corner of the points.
func box(pg []pt) (lo, hi pt) {
	lo, hi = pg[0], pg[0]
	for _, p := range pg[1:] {
		lo = pt{math.Min(lo.x, p.x), math.Min(lo.y, p.y)}
		hi = pt{math.Max(hi.x, p.x), math.Max(hi.y, p.y)}
	}
	return lo, hi
}

// LiePose is how the frame of the patch's piece lies in the unit's frame.
func (u *Unit) LiePose() plan.Pose { return u.Lie.pose() }

package prove

import (
	"math"
	"slices"

	"quiltwright/internal/cloth"
	"quiltwright/internal/plan"
)

type pt = cloth.Pt

func add(a, b pt) pt             { return pt{a[0] + b[0], a[1] + b[1]} }
func sub(a, b pt) pt             { return pt{a[0] - b[0], a[1] - b[1]} }
func scale(a pt, k float64) pt   { return pt{a[0] * k, a[1] * k} }
func dot(a, b pt) float64        { return a[0]*b[0] + a[1]*b[1] }
func cross(a, b pt) float64      { return a[0]*b[1] - a[1]*b[0] }
func norm(a pt) float64          { return math.Hypot(a[0], a[1]) }
func distance(a, b pt) float64   { return norm(sub(a, b)) }
func at(p plan.Point) pt         { return pt{float64(p[0]), float64(p[1])} }
func outward(u pt) pt            { return pt{u[1], -u[0]} } // out of a clockwise outline
func same(a, b, by float64) bool { return math.Abs(a-b) <= by }

func direction(a, b pt) pt {
	d := sub(b, a)
	if n := norm(d); n > 0 {
		return scale(d, 1/n)
	}
	return pt{}
}

// outlineOf is a plan's outline without corners that are none. It is empty where an edge is an arc or a number is not one.
func outlineOf(vs []plan.Vertex) []pt {
	out := make([]pt, 0, len(vs))
	for _, v := range vs {
		x, y := float64(v.X), float64(v.Y)
		if v.Bulge != 0 || math.IsNaN(x) || math.IsNaN(y) || math.Abs(x) > 1e6 || math.Abs(y) > 1e6 {
			return nil
		}
		out = append(out, pt{x, y})
	}
	return simple(out)
}

// simple drops repeated points and corners on a straight line.
func simple(p []pt) []pt {
	out := slices.Clone(p)
	for i := 0; i < len(out) && len(out) > 2; {
		a, b, c := out[(i+len(out)-1)%len(out)], out[i], out[(i+1)%len(out)]
		if distance(a, b) < 1e-7 || math.Abs(cross(direction(a, b), sub(c, b))) < 1e-7 && dot(sub(b, a), sub(c, b)) > 0 {
			out = slices.Delete(out, i, i+1)
			i = max(0, i-1)
			continue
		}
		i++
	}
	return out
}

// area is positive for an outline that runs clockwise as seen.
func area(p []pt) float64 {
	a := 0.0
	for i := range p {
		a += cross(p[i], p[(i+1)%len(p)])
	}
	return a / 2
}

func perimeter(p []pt) float64 {
	l := 0.0
	for i := range p {
		l += distance(p[i], p[(i+1)%len(p)])
	}
	return l
}

func box(p []pt) (lo, hi pt) {
	lo, hi = pt{math.Inf(1), math.Inf(1)}, pt{math.Inf(-1), math.Inf(-1)}
	for _, q := range p {
		lo = pt{math.Min(lo[0], q[0]), math.Min(lo[1], q[1])}
		hi = pt{math.Max(hi[0], q[0]), math.Max(hi[1], q[1])}
	}
	return lo, hi
}

func centre(p []pt) pt {
	lo, hi := box(p)
	return scale(add(lo, hi), 0.5)
}

// posed moves an outline and keeps it clockwise.
func posed(p []pt, m plan.Pose) []pt {
	out := make([]pt, len(p))
	for i, q := range p {
		out[i] = cloth.Apply(m, q)
	}
	if m.Mirror {
		slices.Reverse(out)
	}
	return out
}

// then is the pose that does p first and q afterwards.
func then(p, q plan.Pose) plan.Pose {
	o := cloth.Apply(q, at(p.At))
	turn := float64(q.Turn + p.Turn)
	if q.Mirror {
		turn = float64(q.Turn - p.Turn)
	}
	return plan.Pose{At: plan.Point{plan.Num(o[0]), plan.Num(o[1])}, Turn: plan.Num(math.Mod(math.Mod(turn, 360)+360, 360)), Mirror: p.Mirror != q.Mirror}
}

// inverse undoes a pose.
func inverse(p plan.Pose) plan.Pose {
	q := plan.Pose{Turn: -p.Turn, Mirror: p.Mirror}
	if p.Mirror {
		q.Turn = p.Turn
	}
	o := cloth.Apply(q, at(p.At))
	q.At = plan.Point{plan.Num(-o[0]), plan.Num(-o[1])}
	return q
}

func poseOf(p plan.Part) plan.Pose { return plan.Pose{At: p.At, Turn: p.Turn, Mirror: p.Mirror} }

// turns reports whether two turns are the same within some degrees, modulo period degrees. What is sewn of blanks that were rounded may
// lie a little askew; what is only named may not.
func turns(a, b, period, by float64) bool {
	d := math.Mod(math.Mod(a-b, period)+period, period)
	return d < by || period-d < by
}

// moved is an outline with each edge i moved outward by by(i), mitred.
func moved(p []pt, by func(i int) float64) []pt {
	n := len(p)
	out := make([]pt, n)
	for i := range p {
		a, b, c := p[(i+n-1)%n], p[i], p[(i+1)%n]
		u, v := direction(a, b), direction(b, c)
		p0, p1 := add(a, scale(outward(u), by((i+n-1)%n))), add(b, scale(outward(v), by(i)))
		k := cross(u, v)
		if math.Abs(k) < 1e-9 {
			out[i] = p1
			continue
		}
		out[i] = add(p0, scale(u, cross(sub(p1, p0), v)/k))
	}
	return out
}

// coincide reports whether two outlines have the same corners in the same order.
func coincide(p, q []pt, by float64) bool {
	if len(p) != len(q) || len(p) == 0 {
		return false
	}
	for k := range q {
		if distance(p[0], q[k]) > by {
			continue
		}
		ok := true
		for i := range p {
			ok = ok && distance(p[i], q[(k+i)%len(q)]) <= by
		}
		if ok {
			return true
		}
	}
	return false
}

// outside is how far a point lies outside an outline; 0 or less within it.
func outside(p []pt, q pt) float64 {
	near, in := math.Inf(1), false
	for i, a := range p {
		b := p[(i+1)%len(p)]
		d := sub(b, a)
		t := 0.0
		if l := dot(d, d); l > 0 {
			t = math.Max(0, math.Min(1, dot(sub(q, a), d)/l))
		}
		near = math.Min(near, distance(q, add(a, scale(d, t))))
		if (a[1] > q[1]) != (b[1] > q[1]) && q[0] < a[0]+(q[1]-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
			in = !in
		}
	}
	if in {
		return -near
	}
	return near
}

// shared returns how much of the segment a b lies along edges of the outline that run the given way (1: as a to b, -1:
// against it), within by of it.
func shared(p []pt, a, b pt, way, by float64) float64 {
	u, run := direction(a, b), distance(a, b)
	total := 0.0
	for i, c := range p {
		d := p[(i+1)%len(p)]
		v := direction(c, d)
		if math.Abs(cross(u, v)) > 1e-4 || dot(u, v)*way < 0 || math.Abs(cross(u, sub(c, a))) > by || math.Abs(cross(u, sub(d, a))) > by {
			continue
		}
		s, t := dot(sub(c, a), u), dot(sub(d, a), u)
		if s > t {
			s, t = t, s
		}
		total += math.Max(0, math.Min(t, run)-math.Max(s, 0))
	}
	return total
}

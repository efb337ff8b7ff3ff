package prove

import (
	"math"

	"quiltwright/internal/flat"
)

type pt = flat.Pt

func same(a, b, by float64) bool { return math.Abs(a-b) <= by }

func perimeter(p []pt) float64 {
	l := 0.0
	for i := range p {
		l += flat.Distance(p[i], p[(i+1)%len(p)])
	}
	return l
}

func centre(p []pt) pt {
	lo, hi := flat.Box(p)
	return flat.Scale(flat.Add(lo, hi), 0.5)
}

// turns reports whether two turns are the same within some degrees, modulo period degrees. What is sewn of blanks that were rounded may
// lie a little askew; what is only named may not.
func turns(a, b, period, by float64) bool {
	d := math.Mod(math.Mod(a-b, period)+period, period)
	return d < by || period-d < by
}

// coincide reports whether two outlines have the same corners in the same order.
func coincide(p, q []pt, by float64) bool {
	if len(p) != len(q) || len(p) == 0 {
		return false
	}
	for k := range q {
		if flat.Distance(p[0], q[k]) > by {
			continue
		}
		ok := true
		for i := range p {
			ok = ok && flat.Distance(p[i], q[(k+i)%len(q)]) <= by
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
		d := flat.Sub(b, a)
		t := 0.0
		if l := flat.Dot(d, d); l > 0 {
			t = math.Max(0, math.Min(1, flat.Dot(flat.Sub(q, a), d)/l))
		}
		near = math.Min(near, flat.Distance(q, flat.Add(a, flat.Scale(d, t))))
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
	u, run := flat.Direction(a, b), flat.Distance(a, b)
	total := 0.0
	for i, c := range p {
		d := p[(i+1)%len(p)]
		v := flat.Direction(c, d)
		if math.Abs(flat.Cross(u, v)) > 1e-4 || flat.Dot(u, v)*way < 0 || math.Abs(flat.Cross(u, flat.Sub(c, a))) > by || math.Abs(flat.Cross(u, flat.Sub(d, a))) > by {
			continue
		}
		s, t := flat.Dot(flat.Sub(c, a), u), flat.Dot(flat.Sub(d, a), u)
		if s > t {
			s, t = t, s
		}
		total += math.Max(0, math.Min(t, run)-math.Max(s, 0))
	}
	return total
}

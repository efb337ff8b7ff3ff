package words

import (
	"math"

	"quiltwright/internal/plan"
)

// pt is a place in some frame. Words needs places only to say which corner or side is meant, so
// floats do and near places count as one.
type pt [2]float64

const slack = 0.02 // of the measure: nearer than this is the same place

func (a pt) sub(b pt) pt             { return pt{a[0] - b[0], a[1] - b[1]} }
func (a pt) add(b pt) pt             { return pt{a[0] + b[0], a[1] + b[1]} }
func (a pt) times(k float64) pt      { return pt{a[0] * k, a[1] * k} }
func (a pt) dot(b pt) float64        { return a[0]*b[0] + a[1]*b[1] }
func (a pt) length() float64         { return math.Hypot(a[0], a[1]) }
func (a pt) near(b pt) bool          { return a.sub(b).length() < slack }
func middle(a, b pt) pt              { return a.add(b).times(0.5) }
func fromPlan(p plan.Point) pt       { return pt{float64(p[0]), float64(p[1])} }
func segment(s *[2]plan.Point) [2]pt { return [2]pt{fromPlan(s[0]), fromPlan(s[1])} }

// pose moves a frame as plan.Pose does: mirrored, turned clockwise as seen, moved.
type pose struct {
	at     pt
	turn   float64
	mirror bool
}

func (m pose) apply(p pt) pt {
	if m.mirror {
		p[0] = -p[0]
	}
	s, c := math.Sincos(m.turn * math.Pi / 180)
	return pt{p[0]*c - p[1]*s + m.at[0], p[0]*s + p[1]*c + m.at[1]}
}

// then is first m, then n.
func (m pose) then(n pose) pose {
	turn := m.turn
	if n.mirror {
		turn = -turn
	}
	return pose{n.apply(m.at), math.Mod(turn+n.turn+720, 360), m.mirror != n.mirror}
}

func (m pose) all(ps []pt) []pt {
	out := make([]pt, len(ps))
	for i, p := range ps {
		out[i] = m.apply(p)
	}
	return out
}

func outline(vs []plan.Vertex) []pt {
	out := make([]pt, len(vs))
	for i, v := range vs {
		out[i] = pt{float64(v.X), float64(v.Y)}
	}
	return out
}

func areaOf(ps []pt) float64 {
	sum := 0.0
	for i, p := range ps {
		q := ps[(i+1)%len(ps)]
		sum += p[0]*q[1] - p[1]*q[0]
	}
	return math.Abs(sum) / 2
}

func centre(ps []pt) pt {
	var c pt
	for _, p := range ps {
		c = c.add(p.times(1 / float64(len(ps))))
	}
	return c
}

func box(ps []pt) (lo, hi pt) {
	for i, p := range ps {
		if i == 0 {
			lo, hi = p, p
		}
		lo = pt{math.Min(lo[0], p[0]), math.Min(lo[1], p[1])}
		hi = pt{math.Max(hi[0], p[0]), math.Max(hi[1], p[1])}
	}
	return lo, hi
}

// corner is the number of the vertex at p, or -1.
func corner(ps []pt, p pt) int {
	for i, q := range ps {
		if q.near(p) {
			return i
		}
	}
	return -1
}

// fromLine is how far p lies to the right of the line, walking along it as seen.
func fromLine(l [2]pt, p pt) float64 {
	d := l[1].sub(l[0])
	return (d[0]*(p[1]-l[0][1]) - d[1]*(p[0]-l[0][0])) / d.length()
}

// inside says whether p lies within the polygon, its edge counted by chance.
func inside(ps []pt, p pt) bool {
	in := false
	for i, a := range ps {
		b := ps[(i+1)%len(ps)]
		if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(p[1]-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
			in = !in
		}
	}
	return in
}

// longest is the length of the longest edge.
func longest(ps []pt) float64 {
	most := 0.0
	for i, p := range ps {
		most = math.Max(most, ps[(i+1)%len(ps)].sub(p).length())
	}
	return most
}

// shorter is the length of the shorter of the two parallel edges of a trapezium; false of any other outline.
func shorter(ps []pt) (float64, bool) {
	if len(ps) != 4 {
		return 0, false
	}
	var edges [4]pt
	for i := range edges {
		edges[i] = ps[(i+1)%4].sub(ps[i])
	}
	alike := func(i int) bool { return math.Abs(edges[i][0]*edges[i+2][1]-edges[i][1]*edges[i+2][0]) < slack*slack }
	switch {
	case alike(0) == alike(1):
		return 0, false
	case alike(0):
		return min(edges[0].length(), edges[2].length()), true
	}
	return min(edges[1].length(), edges[3].length()), true
}

// side names a direction: right, lower right, bottom ... in eight steps.
func side(d pt) string {
	names := [...]string{"right", "lower right", "bottom", "lower left", "left", "upper left", "top", "upper right"}
	a := math.Atan2(d[1], d[0]) / (math.Pi / 4)
	return names[(int(math.Round(a))+8)%8]
}

// grow moves every edge of a polygon (clockwise as seen) outward by s: the raw edge of a unit whose
// finished outline it is. Edges that lie in one line with the next are skipped.
func grow(ps []pt, s float64) []pt {
	var out []pt
	n := len(ps)
	for i := range ps {
		a, b, c := ps[(i+n-1)%n], ps[i], ps[(i+1)%n]
		u, v := b.sub(a), c.sub(b)
		if u.length() == 0 || v.length() == 0 {
			continue
		}
		u, v = u.times(1/u.length()), v.times(1/v.length())
		cross := u[0]*v[1] - u[1]*v[0]
		if math.Abs(cross) < 1e-9 {
			continue
		}
		// The outward normal of a clockwise edge d is (d.y, -d.x); meet both moved lines.
		p, q := b.add(pt{u[1], -u[0]}.times(s)), b.add(pt{v[1], -v[0]}.times(s))
		t := ((q[0]-p[0])*v[1] - (q[1]-p[1])*v[0]) / cross
		out = append(out, p.add(u.times(t)))
	}
	return out
}

func places(ps [][2]float64) []pt {
	out := make([]pt, len(ps))
	for i, p := range ps {
		out[i] = pt(p)
	}
	return out
}

// turnsInward reports whether an outline has a corner at a place, and turns inward there.
func turnsInward(ps []pt, at pt) bool {
	around, here := 0.0, 0.0 // twice the area, walked round; the turn at the place
	for i, p := range ps {
		q := ps[(i+1)%len(ps)]
		around += p[0]*q[1] - p[1]*q[0]
		if p.near(at) {
			in, out := p.sub(ps[(i+len(ps)-1)%len(ps)]), q.sub(p)
			here = in[0]*out[1] - in[1]*out[0]
		}
	}
	return here*around < 0
}

package words

import (
	"math"

	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// pt is a place in some frame. Words needs places only to say which corner or side is meant, so
// floats do and near places count as one.
type pt = flat.Pt

const slack = 0.02 // of the measure: nearer than this is the same place

// meet reports whether two places count as one.
func meet(a, b pt) bool              { return flat.Distance(a, b) < slack }
func middle(a, b pt) pt              { return flat.Scale(flat.Add(a, b), 0.5) }
func segment(s *[2]plan.Point) [2]pt { return [2]pt{flat.At(s[0]), flat.At(s[1])} }

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
		c = flat.Add(c, flat.Scale(p, 1/float64(len(ps))))
	}
	return c
}

// corner is the number of the vertex at p, or -1.
func corner(ps []pt, p pt) int {
	for i, q := range ps {
		if meet(q, p) {
			return i
		}
	}
	return -1
}

// fromLine is how far p lies to the right of the line, walking along it as seen.
func fromLine(l [2]pt, p pt) float64 {
	d := flat.Sub(l[1], l[0])
	return (d[0]*(p[1]-l[0][1]) - d[1]*(p[0]-l[0][0])) / flat.Length(d)
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
		most = math.Max(most, flat.Length(flat.Sub(ps[(i+1)%len(ps)], p)))
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
		edges[i] = flat.Sub(ps[(i+1)%4], ps[i])
	}
	alike := func(i int) bool { return math.Abs(edges[i][0]*edges[i+2][1]-edges[i][1]*edges[i+2][0]) < slack*slack }
	switch {
	case alike(0) == alike(1):
		return 0, false
	case alike(0):
		return min(flat.Length(edges[0]), flat.Length(edges[2])), true
	}
	return min(flat.Length(edges[1]), flat.Length(edges[3])), true
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
		u, v := flat.Sub(b, a), flat.Sub(c, b)
		if flat.Length(u) == 0 || flat.Length(v) == 0 {
			continue
		}
		u, v = flat.Scale(u, 1/flat.Length(u)), flat.Scale(v, 1/flat.Length(v))
		cross := u[0]*v[1] - u[1]*v[0]
		if math.Abs(cross) < 1e-9 {
			continue
		}
		// The outward normal of a clockwise edge d is (d.y, -d.x); meet both moved lines.
		p, q := flat.Add(b, flat.Scale(pt{u[1], -u[0]}, s)), flat.Add(b, flat.Scale(pt{v[1], -v[0]}, s))
		t := ((q[0]-p[0])*v[1] - (q[1]-p[1])*v[0]) / cross
		out = append(out, flat.Add(p, flat.Scale(u, t)))
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
		if meet(p, at) {
			in, out := flat.Sub(p, ps[(i+len(ps)-1)%len(ps)]), flat.Sub(q, p)
			here = in[0]*out[1] - in[1]*out[0]
		}
	}
	return here*around < 0
}

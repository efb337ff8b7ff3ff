// Package flat is the plane in floating point, for what reads a plan: points, outlines and poses.
//
// x runs right, y runs down; outlines run clockwise as seen. Incidence is decided before a plan is made, in package plane, and
// never here.
package flat

import (
	"math"
	"slices"

	"quiltwright/internal/plan"
)

// Pt is a point, or a vector, in the measure of the plan.
type Pt = [2]float64

func Add(a, b Pt) Pt           { return Pt{a[0] + b[0], a[1] + b[1]} }
func Sub(a, b Pt) Pt           { return Pt{a[0] - b[0], a[1] - b[1]} }
func Scale(a Pt, k float64) Pt { return Pt{a[0] * k, a[1] * k} }
func Dot(a, b Pt) float64      { return a[0]*b[0] + a[1]*b[1] }
func Cross(a, b Pt) float64    { return a[0]*b[1] - a[1]*b[0] }
func Length(a Pt) float64      { return math.Hypot(a[0], a[1]) }
func Distance(a, b Pt) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }

// At is a point of a plan.
func At(p plan.Point) Pt { return Pt{float64(p[0]), float64(p[1])} }

// Outward is the side out of a clockwise outline whose edge runs along u.
func Outward(u Pt) Pt { return Pt{u[1], -u[0]} }

// Unit is the direction of a; a zero vector has none and gives 0, 0.
func Unit(a Pt) Pt {
	if n := Length(a); n > 0 {
		return Scale(a, 1/n)
	}
	return Pt{}
}

// Direction is the direction from a to b; 0, 0 where they are one point.
func Direction(a, b Pt) Pt { return Unit(Sub(b, a)) }

// Area2 is twice the area of an outline, positive where it runs clockwise as seen.
func Area2(p []Pt) float64 {
	a := 0.0
	for i := range p {
		a += Cross(p[i], p[(i+1)%len(p)])
	}
	return a
}

// Outline is a plan's outline without corners that are none. It is empty where an edge is an arc or a number is not one, or is
// beyond all cloth.
func Outline(vs []plan.Vertex) []Pt {
	out := make([]Pt, 0, len(vs))
	for _, v := range vs {
		x, y := float64(v.X), float64(v.Y)
		if v.Bulge != 0 || math.IsNaN(x) || math.IsNaN(y) || math.Abs(x) > 1e6 || math.Abs(y) > 1e6 {
			return nil
		}
		out = append(out, Pt{x, y})
	}
	return Simple(out)
}

// Simple drops repeated points and corners on a straight line.
func Simple(p []Pt) []Pt {
	out := slices.Clone(p)
	for i := 0; i < len(out) && len(out) > 2; {
		a, b, c := out[(i+len(out)-1)%len(out)], out[i], out[(i+1)%len(out)]
		if Distance(a, b) < 1e-7 || math.Abs(Cross(Direction(a, b), Sub(c, b))) < 1e-7 && Dot(Sub(b, a), Sub(c, b)) > 0 {
			out = slices.Delete(out, i, i+1)
			i = max(0, i-1)
			continue
		}
		i++
	}
	return out
}

// Raw is the outline of one piece in its frame, allowances included; empty where its shape or its size is not known.
func Raw(x *plan.Piece) []Pt {
	if w, h := float64(x.Width), float64(x.Height); !(w > 0 && h > 0 && w < 1e5 && h < 1e5) {
		return nil
	}
	switch x.Shape {
	case "parallelogram", "triangle 60", "template":
		p := Outline(x.Outline)
		if len(p) < 3 || Area2(p) < 2e-6 {
			return nil
		}
		return p
	case "rectangle", "strip", "joined strip", "half square", "quarter square", "half rectangle":
		return x.Raw()
	}
	return nil
}

// Moved is an outline with each edge i moved outward by by(i), its corners mitred.
func Moved(p []Pt, by func(i int) float64) []Pt {
	n := len(p)
	out := make([]Pt, n)
	for i := range p {
		a, b, c := p[(i+n-1)%n], p[i], p[(i+1)%n]
		u, v := Direction(a, b), Direction(b, c)
		p0, p1 := Add(a, Scale(Outward(u), by((i+n-1)%n))), Add(b, Scale(Outward(v), by(i)))
		k := Cross(u, v)
		if math.Abs(k) < 1e-9 {
			out[i] = p1
			continue
		}
		out[i] = Add(p0, Scale(u, Cross(Sub(p1, p0), v)/k))
	}
	return out
}

// SinCos is exact for quarter turns, so that a turned square keeps its coordinates.
func SinCos(degrees float64) (s, c float64) {
	switch math.Mod(math.Mod(degrees, 360)+360, 360) {
	case 0:
		return 0, 1
	case 90:
		return 1, 0
	case 180:
		return 0, -1
	case 270:
		return -1, 0
	}
	return math.Sincos(degrees * math.Pi / 180)
}

// Apply returns the point moved by the pose.
func Apply(m plan.Pose, p Pt) Pt {
	s, c := SinCos(float64(m.Turn))
	x := p[0]
	if m.Mirror {
		x = -x
	}
	return Pt{c*x - s*p[1] + float64(m.At[0]), s*x + c*p[1] + float64(m.At[1])}
}

// Each returns the points moved by the pose.
func Each(m plan.Pose, ps []Pt) []Pt {
	out := make([]Pt, len(ps))
	for i, p := range ps {
		out[i] = Apply(m, p)
	}
	return out
}

// Then is the pose that does m first and n afterwards.
func Then(m, n plan.Pose) plan.Pose {
	o := Apply(n, At(m.At))
	turn := float64(n.Turn + m.Turn)
	if n.Mirror {
		turn = float64(n.Turn - m.Turn)
	}
	return plan.Pose{At: plan.Point{plan.Num(o[0]), plan.Num(o[1])}, Turn: plan.Num(math.Mod(math.Mod(turn, 360)+360, 360)), Mirror: m.Mirror != n.Mirror}
}

// Inverse is the pose that undoes m.
func Inverse(m plan.Pose) plan.Pose {
	back := plan.Pose{Turn: -m.Turn, Mirror: m.Mirror}
	if m.Mirror {
		back.Turn = m.Turn
	}
	o := Apply(back, At(m.At))
	back.At = plan.Point{plan.Num(-o[0]), plan.Num(-o[1])}
	return back
}

// Shifted is the pose moved on by d.
func Shifted(m plan.Pose, d Pt) plan.Pose {
	m.At[0] += plan.Num(d[0])
	m.At[1] += plan.Num(d[1])
	return m
}

// Over is the pose that turns cloth over about the line from a to b.
func Over(a, b Pt) plan.Pose {
	d := Sub(b, a)
	m := plan.Pose{Turn: plan.Num(2*math.Atan2(d[1], d[0])*180/math.Pi + 180), Mirror: true}
	at := Sub(a, Apply(m, a))
	m.At = plan.Point{plan.Num(at[0]), plan.Num(at[1])}
	return m
}

// Posed moves an outline and keeps it clockwise.
func Posed(p []Pt, m plan.Pose) []Pt {
	out := Each(m, p)
	if m.Mirror {
		slices.Reverse(out)
	}
	return out
}

// Box is the least box that holds all of some points; of none it is empty, and turned inside out.
func Box(ps []Pt) (lo, hi Pt) {
	lo, hi = Pt{math.Inf(1), math.Inf(1)}, Pt{math.Inf(-1), math.Inf(-1)}
	for _, p := range ps {
		lo = Pt{math.Min(lo[0], p[0]), math.Min(lo[1], p[1])}
		hi = Pt{math.Max(hi[0], p[0]), math.Max(hi[1], p[1])}
	}
	return lo, hi
}

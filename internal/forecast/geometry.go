package forecast

import (
	"math"
	"slices"

	"quiltwright/internal/cloth"
	"quiltwright/internal/plan"
)

type pt = cloth.Pt

func add(a, b pt) pt           { return pt{a[0] + b[0], a[1] + b[1]} }
func sub(a, b pt) pt           { return pt{a[0] - b[0], a[1] - b[1]} }
func scale(a pt, k float64) pt { return pt{a[0] * k, a[1] * k} }
func dot(a, b pt) float64      { return a[0]*b[0] + a[1]*b[1] }
func cross(a, b pt) float64    { return a[0]*b[1] - a[1]*b[0] }
func distance(a, b pt) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }
func at(p plan.Point) pt       { return pt{float64(p[0]), float64(p[1])} }
func outward(u pt) pt          { return pt{u[1], -u[0]} } // out of a clockwise outline

func direction(a, b pt) pt {
	if n := distance(a, b); n > 0 {
		return scale(sub(b, a), 1/n)
	}
	return pt{}
}

// outlineOf is a plan's outline, clockwise, without corners that are none; nothing where an edge is an arc or there is no area.
func outlineOf(vs []plan.Vertex) []pt {
	var out []pt
	for _, v := range vs {
		if v.Bulge != 0 {
			return nil
		}
		out = append(out, pt{float64(v.X), float64(v.Y)})
	}
	for i := 0; i < len(out) && len(out) > 2; {
		a, b, c := out[(i+len(out)-1)%len(out)], out[i], out[(i+1)%len(out)]
		if distance(a, b) < 1e-7 || math.Abs(cross(direction(a, b), sub(c, b))) < 1e-7 && dot(sub(b, a), sub(c, b)) > 0 {
			out = slices.Delete(out, i, i+1)
			i = max(0, i-1)
			continue
		}
		i++
	}
	area := 0.0
	for i := range out {
		area += cross(out[i], out[(i+1)%len(out)])
	}
	if len(out) < 3 || math.Abs(area) < 1e-9 {
		return nil
	}
	if area < 0 {
		slices.Reverse(out)
	}
	return out
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

// rawOutline is a piece as it comes off the cutting mat, in its frame, by docs/plan.md, "Frames and poses".
func rawOutline(x *plan.Piece) []pt {
	w, h := float64(x.Width), float64(x.Height)
	if !(w > 0 && h > 0) {
		return nil
	}
	switch x.Shape {
	case "rectangle", "strip", "joined strip":
		return []pt{{0, 0}, {w, 0}, {w, h}, {0, h}}
	case "half square":
		return []pt{{0, 0}, {w, 0}, {0, w}}
	case "quarter square":
		return []pt{{0, 0}, {w, 0}, {w / 2, w / 2}}
	case "half rectangle":
		if x.Hand == "R" {
			return []pt{{0, 0}, {w, 0}, {w, h}}
		}
		return []pt{{0, 0}, {w, 0}, {0, h}}
	}
	return outlineOf(x.Outline)
}

// beside returns the edge of the outline beside which an edge from a to b runs, the same way round, and how far out of it, in the mean;
// -1 where there is none within most.
func beside(outline []pt, a, b pt, most float64) (edge int, off float64) {
	edge = -1
	best := most
	mid := scale(add(a, b), 0.5)
	for i, p := range outline {
		q := outline[(i+1)%len(outline)]
		u := direction(p, q)
		if v := direction(a, b); math.Abs(cross(u, v)) > 0.02 || dot(u, v) < 0 {
			continue
		}
		if t := dot(sub(mid, p), u); t < -most || t > distance(p, q)+most {
			continue
		}
		if o := dot(sub(mid, p), outward(u)); math.Abs(o) < best {
			edge, off, best = i, o, math.Abs(o)
		}
	}
	return edge, off
}

// opposite returns for every edge of an outline the one that lies against it, as in a rectangle, or -1.
func opposite(p []pt) []int {
	out := make([]int, len(p))
	for i := range p {
		out[i] = -1
		u := direction(p[i], p[(i+1)%len(p)])
		for j := range p {
			if v := direction(p[j], p[(j+1)%len(p)]); j != i && math.Abs(cross(u, v)) < 1e-6 && dot(u, v) < 0 {
				out[i] = j
				break
			}
		}
	}
	for i, j := range out {
		if j >= 0 && out[j] != i {
			out[i] = -1
		}
	}
	return out
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

package forecast

import (
	"math"
	"quiltwright/internal/flat"
)

type pt = flat.Pt

// beside returns the edge of the outline beside which an edge from a to b runs, the same way round, and how far out of it, in the mean;
// -1 where there is none within most.
func beside(outline []pt, a, b pt, most float64) (edge int, off float64) {
	edge = -1
	best := most
	mid := flat.Scale(flat.Add(a, b), 0.5)
	for i, p := range outline {
		q := outline[(i+1)%len(outline)]
		u := flat.Direction(p, q)
		if v := flat.Direction(a, b); math.Abs(flat.Cross(u, v)) > 0.02 || flat.Dot(u, v) < 0 {
			continue
		}
		if t := flat.Dot(flat.Sub(mid, p), u); t < -most || t > flat.Distance(p, q)+most {
			continue
		}
		if o := flat.Dot(flat.Sub(mid, p), flat.Outward(u)); math.Abs(o) < best {
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
		u := flat.Direction(p[i], p[(i+1)%len(p)])
		for j := range p {
			if v := flat.Direction(p[j], p[(j+1)%len(p)]); j != i && math.Abs(flat.Cross(u, v)) < 1e-6 && flat.Dot(u, v) < 0 {
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

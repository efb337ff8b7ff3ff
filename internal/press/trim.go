package press

import (
	"math"
	"slices"

	"quiltwright/internal/method"
)

// Trim is how a unit that comes out large is trimmed: what it measures before, raw edge to raw edge, and where its seams must lie for the rest to come out.
type Trim struct {
	From   [2]float64
	Turned bool // a seam misses the corners: its blanks, rounded to the ruler, do not keep its slope, and From is not sure
	Meets  []Meet
	Points [][2]float64 // finished places on the outline where seams cross: they lie one seam in from the trimmed edge
}

// Meet is where a seam meets the trimmed edge, and how far that is from the nearest corner of it.
type Meet struct {
	X, Y float64
	From float64
}

// Trimming is the chart of every rectangular unit that is trimmed, nil for the others. A seam that ends on the finished outline goes straight on through the
// allowance, so that where it meets the trimmed edge follows from its slope: a half square's in the corner, of a half rectangle one by two half a seam from it.
func Trimming(units []method.Unit, seam float64) []*Trim {
	out := make([]*Trim, len(units))
	ends := seamEnds(units)
	for i := range units {
		u := &units[i]
		lo, hi := u.Outline.Box()
		if !u.Trim || !u.Made || len(u.Outline) != 4 || !u.Outline.Area2().Equal(hi.X.Mul(hi.Y).Add(hi.X.Mul(hi.Y))) {
			continue
		}
		w, h := hi.X.Sub(lo.X).Float(), hi.Y.Sub(lo.Y).Float()
		t := &Trim{From: [2]float64{w + 2*seam + u.Loose[0], h + 2*seam + u.Loose[1]}}
		for k, e := range ends[i] {
			alike := func(f end) bool { return math.Hypot(f.x-e.x, f.y-e.y) < near }
			corner := (e.x < near || e.x > w-near) && (e.y < near || e.y > h-near)
			if !corner && (slices.ContainsFunc(ends[i][:k], alike) || slices.ContainsFunc(ends[i][k+1:], alike)) {
				if !slices.ContainsFunc(ends[i][:k], alike) {
					t.Points = append(t.Points, [2]float64{e.x, e.y})
				}
				continue
			}
			run := math.Min(until(e.x, -e.dx, -seam, w+seam), until(e.y, -e.dy, -seam, h+seam))
			m := Meet{X: e.x - e.dx*run, Y: e.y - e.dy*run}
			m.From = math.Hypot(math.Min(m.X+seam, w+seam-m.X), math.Min(m.Y+seam, h+seam-m.Y))
			t.Meets, t.Turned = append(t.Meets, m), t.Turned || m.From > near
		}
		out[i] = t
	}
	return out
}

// until is how far it is from x in a direction of which d is the part along x, to the nearer of two bounds.
func until(x, d, lo, hi float64) float64 {
	switch {
	case d > near:
		return (hi - x) / d
	case d < -near:
		return (lo - x) / d
	}
	return math.Inf(1)
}

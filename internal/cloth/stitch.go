package cloth

import (
	"fmt"
	"math"
	"slices"

	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

const (
	parallel = 0.02 // the largest sine of the angle between lines that count as running alongside
	reach    = 0.9  // raw edges count as beside a seam up to so many allowances off their place
	tail     = 6.0  // so many allowances past the seam's end, an edge is another seam's
	tailPart = 1.5  // the same where the seam stops short on purpose
)

// found is an edge that runs beside a seam.
type found struct {
	layer, edge int
	off         float64 // how far its middle lies out from the line it is meant to be sewn along
	run         float64 // how long it will be once all edges are sewn
}

// beside returns the raw edges that run beside the line on its side n (a unit vector square to
// it), of the layers that want names. Places are judged without drift, distances with it.
func (w *Work) beside(a, b, n Pt, allowance float64, want func(l *Layer) bool) []found {
	u := flat.Direction(a, b)
	run := flat.Length(flat.Sub(b, a))
	var fs []found
	for i := range w.Layers {
		l := &w.Layers[i]
		if !want(l) {
			continue
		}
		if l.radius == 0 {
			for _, p := range l.Cloth {
				l.radius = math.Max(l.radius, flat.Length(flat.Sub(p, l.Cloth[0])))
			}
		}
		base := flat.Add(a, l.Drift) // the line, carried along with the drift
		if math.Abs(flat.Dot(flat.Sub(l.Cloth[0], base), n)-allowance) > 2*allowance+l.radius {
			continue
		}
		for k, p := range l.Cloth {
			off0 := flat.Dot(flat.Sub(p, base), n)
			if math.Abs(off0-allowance) > 2*allowance {
				continue
			}
			q := l.Cloth[(k+1)%len(l.Cloth)]
			off := (off0 + flat.Dot(flat.Sub(q, base), n)) / 2
			if l.Edges[k].Sewn || math.Abs(off-allowance) > reach*allowance {
				continue
			}
			v := flat.Direction(p, q)
			if math.Abs(flat.Cross(u, v)) > parallel || flat.Dot(flat.Outward(v), n) < 0.5 {
				continue
			}
			t0, t1, ok := finishedSpan(l, k, allowance)
			if !ok {
				continue
			}
			s0, s1 := flat.Dot(flat.Sub(t0, base), u), flat.Dot(flat.Sub(t1, base), u)
			if s0 > s1 {
				s0, s1 = s1, s0
			}
			if math.Min(s1, run)-math.Max(s0, 0) < math.Min(allowance/4, (s1-s0)/2) {
				continue
			}
			fs = append(fs, found{i, k, off + flat.Dot(l.Drift, n), s1 - s0})
		}
	}
	return fs
}

// finishedSpan returns the two ends that edge k of a layer will have once all its edges are sewn.
func finishedSpan(l *Layer, k int, seam float64) (a, b Pt, ok bool) {
	at, edge := Finished(l, seam)
	for i, e := range edge {
		from, to := at[i], at[(i+1)%len(at)]
		if e == k && flat.Length(flat.Sub(to, from)) > 1e-9 {
			return from, to, true
		}
	}
	return a, b, false
}

// stitchEdge sews what is laid to what it lies on, the allowance in from the raw edges.
func (w *Work) stitchEdge(n int, op plan.Op, guide Guide) error {
	along := line(op.Along)
	a, b := along[0], along[1]
	if flat.Length(flat.Sub(b, a)) < Tolerance {
		return fmt.Errorf("the seam has no length")
	}
	allowance := float64(op.Allowance)
	u := flat.Direction(a, b)
	var side Pt
	var below, above []found
	for _, side = range []Pt{flat.Outward(u), flat.Scale(flat.Outward(u), -1)} {
		if above = w.beside(a, b, side, allowance, func(l *Layer) bool { return l.group != 0 }); len(above) == 0 {
			continue
		}
		below = w.beside(a, b, side, allowance, func(l *Layer) bool { return l.group == 0 })
		if len(below) > 0 {
			break
		}
	}
	switch {
	case len(above) == 0:
		return fmt.Errorf("no raw edge of the laid cloth runs beside the seam from %s to %s", show(a), show(b))
	case len(below) == 0:
		return fmt.Errorf("no raw edge of what it is laid on runs beside the seam from %s to %s", show(a), show(b))
	}
	edge := outermost(below, guide)
	// A single edge below says which way the seam runs, even where rounding turned it a little.
	along[0], along[1] = flat.Add(a, flat.Scale(side, edge-allowance)), flat.Add(b, flat.Scale(side, edge-allowance))
	if len(below) == 1 {
		l := &w.Layers[below[0].layer]
		p, q := l.Cloth[below[0].edge], l.Cloth[(below[0].edge+1)%len(l.Cloth)]
		v := flat.Direction(p, q)
		p = flat.Sub(p, flat.Scale(flat.Outward(v), allowance))
		along[0], along[1] = foot(a, p, v), foot(b, p, v)
	}
	slid := map[int]bool{}
	for _, f := range above {
		g := w.Layers[f.layer].group
		if slid[g] {
			continue
		}
		slid[g] = true
		if w.sewnGroup(g) {
			continue
		}
		var own []found
		for _, o := range above {
			if w.Layers[o.layer].group == g {
				own = append(own, o)
			}
		}
		w.slide(g, flat.Scale(side, edge-outermost(own, guide)))
	}
	ends := w.ends(below, above, along, allowance)
	sewn := func(fs []found, laid int) {
		for i := len(fs) - 1; i >= 0; i-- { // from the back: splitting an edge moves the later ones
			f := fs[i]
			w.sew(f.layer, f.edge, n, laid, along[0], along[1], allowance, op.Partial)
		}
	}
	sewn(below, 0)
	sewn(above, 1)
	w.Seams = append(w.Seams, Seam{N: n, A: along[0], B: along[1], Meant: [2]Pt{a, b}, State: "sewn", Ends: ends, Dots: op.Dots, shift: flat.Sub(along[0], flat.Add(a, flat.Scale(u, flat.Dot(flat.Sub(along[0], a), u))))})
	return nil
}

// ends compares how far the raw edges below and above reach past both ends of a seam.
func (w *Work) ends(below, above []found, along [2]Pt, allowance float64) (out [2]End) {
	for e := range out {
		u := flat.Direction(along[1-e], along[e])
		on := false // an edge goes on beyond the end of the seam
		reach := func(fs []found) (far float64, part int) {
			far = math.Inf(-1)
			for _, f := range fs {
				l := &w.Layers[f.layer]
				if a, b, ok := finishedSpan(l, f.edge, allowance); ok {
					on = on || math.Max(flat.Dot(flat.Sub(a, along[e]), u), flat.Dot(flat.Sub(b, along[e]), u)) > allowance
				}
				for _, p := range []Pt{l.Cloth[f.edge], l.Cloth[(f.edge+1)%len(l.Cloth)]} {
					if d := flat.Dot(flat.Sub(p, along[e]), u); d > far {
						far, part = d, l.Part
					}
				}
			}
			return far, part
		}
		low, under := reach(below)
		high, over := reach(above)
		if on || math.IsInf(low, 0) || math.IsInf(high, 0) {
			continue
		}
		if out[e] = (End{low - high, under}); high > low {
			out[e] = End{high - low, over}
		}
	}
	return out
}

// stitchFold sews the raw edges beside the line together, both of which lie in place already.
func (w *Work) stitchFold(n int, op plan.Op) error {
	along := line(op.Along)
	a, b := along[0], along[1]
	if flat.Length(flat.Sub(b, a)) < Tolerance {
		return fmt.Errorf("the seam has no length")
	}
	allowance := float64(op.Allowance)
	side := flat.Outward(flat.Direction(a, b))
	lying := func(l *Layer) bool { return l.group == 0 }
	right := w.beside(a, b, side, allowance, lying)
	left := w.beside(a, b, flat.Scale(side, -1), allowance, lying)
	if len(left) == 0 || len(right) == 0 {
		return fmt.Errorf("there are no two raw edges beside the line from %s to %s to bring together", show(a), show(b))
	}
	if slices.ContainsFunc(left, func(f found) bool {
		return slices.ContainsFunc(right, func(o found) bool { return o.layer == f.layer })
	}) {
		return fmt.Errorf("both raw edges beside the line from %s to %s are of one layer", show(a), show(b))
	}
	for k, fs := range [][]found{left, right} {
		n0 := side
		if k == 0 {
			n0 = flat.Scale(side, -1)
		}
		for i := len(fs) - 1; i >= 0; i-- {
			f := fs[i]
			d := flat.Scale(n0, f.off-allowance)
			w.sew(f.layer, f.edge, n, k, flat.Add(a, d), flat.Add(b, d), allowance, op.Partial)
		}
	}
	w.Seams = append(w.Seams, Seam{N: n, A: a, B: b, Meant: [2]Pt{a, b}, State: "sewn", Fold: true, Dots: op.Dots, opened: true})
	return nil
}

// sew marks the edge of a layer as sewn along the line a b, and only that part of it where it
// runs on past the seam's end.
func (w *Work) sew(layer, edge, n, side int, a, b Pt, allowance float64, partial bool) {
	l := &w.Layers[layer]
	u, run := flat.Direction(a, b), flat.Length(flat.Sub(b, a))
	most := tail * allowance
	if partial {
		most = tailPart * allowance
	}
	p, q := l.Cloth[edge], l.Cloth[(edge+1)%len(l.Cloth)]
	s0, s1 := flat.Dot(flat.Sub(p, a), u), flat.Dot(flat.Sub(q, a), u)
	split := func(at float64) { // the edge ends there, and a raw one goes on
		l.split = true
		c := lerp(p, q, (at-s0)/(s1-s0))
		l.Cloth = slices.Insert(l.Cloth, edge+1, c)
		l.Edges = slices.Insert(l.Edges, edge+1, Edge{})
	}
	lo, hi := math.Min(s0, s1), math.Max(s0, s1)
	first, last := lo < -most, hi > run+most
	forward := s1 > s0
	if first && forward || last && !forward {
		if forward {
			split(0)
		} else {
			split(run)
		}
		edge++
		p = l.Cloth[edge]
		s0 = flat.Dot(flat.Sub(p, a), u)
	}
	if last && forward {
		split(run)
	} else if first && !forward {
		split(0)
	}
	q = l.Cloth[(edge+1)%len(l.Cloth)]
	out := flat.Outward(flat.Direction(p, q))
	depth := func(c Pt) float64 { return flat.Dot(flat.Sub(c, foot(c, a, u)), out) }
	l.Edges[edge] = Edge{Sewn: true, Seam: n, Side: side, D0: depth(p), D1: depth(q)}
}

// stitchLine sews through all layers that the line, moved by the offset, meets.
func (w *Work) stitchLine(n int, op plan.Op) error {
	along := line(op.Along)
	u := flat.Direction(along[0], along[1])
	if u == (Pt{}) {
		return fmt.Errorf("the seam has no length")
	}
	right := Pt{-u[1], u[0]}
	a, b := flat.Add(along[0], flat.Scale(right, float64(op.Offset))), flat.Add(along[1], flat.Scale(right, float64(op.Offset)))
	below, above := false, false
	for i := range w.Layers {
		l := &w.Layers[i]
		if meets(l.Cloth, a, b) {
			l.through = append(l.through, n)
			below, above = below || l.group == 0, above || l.group != 0
		}
	}
	switch {
	case !above:
		return fmt.Errorf("the seam from %s to %s meets no laid cloth", show(a), show(b))
	case !below:
		return fmt.Errorf("the seam from %s to %s meets nothing below what is laid", show(a), show(b))
	}
	w.Seams = append(w.Seams, Seam{N: n, A: a, B: b, Meant: [2]Pt{a, b}, State: "sewn"})
	return nil
}

// meets reports whether the segment runs through the inside of a polygon.
func meets(p []Pt, a, b Pt) bool {
	u, run := flat.Direction(a, b), flat.Length(flat.Sub(b, a))
	n := flat.Outward(u)
	var at []float64
	for i := range p {
		q := p[(i+1)%len(p)]
		dp, dq := flat.Dot(flat.Sub(p[i], a), n), flat.Dot(flat.Sub(q, a), n)
		if (dp < -Tolerance) != (dq < -Tolerance) {
			at = append(at, flat.Dot(flat.Sub(lerp(p[i], q, dp/(dp-dq)), a), u))
		}
	}
	slices.Sort(at)
	for i := 0; i+1 < len(at); i += 2 {
		if math.Min(at[i+1], run)-math.Max(at[i], 0) > Tolerance {
			return true
		}
	}
	return false
}

// outermost is the distance of the edge that guides the seam.
func outermost(fs []found, guide Guide) float64 {
	off := fs[0].off
	if guide == Middle && len(fs) > 1 {
		sum, run := 0.0, 0.0
		for _, f := range fs {
			sum, run = sum+f.off*f.run, run+f.run
		}
		return sum / run
	}
	for _, f := range fs {
		if guide == Outermost && f.off > off || guide == Innermost && f.off < off {
			off = f.off
		}
	}
	return off
}

// sewnGroup reports whether something of a laid group is sewn to what it lies on already.
func (w *Work) sewnGroup(g int) bool {
	for i := range w.Layers {
		l := &w.Layers[i]
		if l.group == g && (len(l.through) > 0 || slices.ContainsFunc(l.Edges, func(e Edge) bool { return e.Sewn && e.Side == 1 && w.closed(e.Seam) })) {
			return true
		}
	}
	return false
}

// closed reports whether a seam of this work is not opened yet.
func (w *Work) closed(n int) bool {
	return n >= 0 && slices.ContainsFunc(w.Seams, func(s Seam) bool { return s.N == n && !s.opened })
}

// slide moves a laid group.
func (w *Work) slide(g int, by Pt) {
	if by == (Pt{}) {
		return
	}
	for i := range w.Layers {
		if l := &w.Layers[i]; l.group == g {
			for k, p := range l.Cloth {
				l.Cloth[k] = flat.Add(p, by)
			}
			l.Drift = flat.Add(l.Drift, by)
		}
	}
	for i := range w.Seams {
		if s := &w.Seams[i]; s.group == g && g != 0 {
			s.A, s.B = flat.Add(s.A, by), flat.Add(s.B, by)
		}
	}
}

// foot is the point of the line through a along u that is nearest to p.
func foot(p, a, u Pt) Pt { return flat.Add(a, flat.Scale(u, flat.Dot(flat.Sub(p, a), u))) }

// sameLine reports whether two seams lie on one line.
func sameLine(s, t Seam) bool {
	u := flat.Direction(t.A, t.B)
	return math.Abs(flat.Cross(u, flat.Sub(s.A, t.A))) < 1e-4 && math.Abs(flat.Cross(u, flat.Sub(s.B, t.A))) < 1e-4
}

func show(p Pt) string {
	return fmt.Sprintf("%.4g, %.4g", p[0]+0, p[1]+0)
}

package cloth

import (
	"fmt"
	"math"
	"slices"

	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// cut cuts all layers of w along a whole line.
func (t *Table) cut(w *Work, op plan.Op) error {
	if op.Line == nil {
		return fmt.Errorf("no line to cut along")
	}
	l := line(op.Line)
	u := flat.Direction(l[0], l[1])
	if u == (Pt{}) {
		return fmt.Errorf("the line has no length")
	}
	if op.Times != 0 || op.Every != 0 {
		return w.segments(l[0], u, float64(op.Every), op.Times)
	}
	// The interior of what clip keeps lies to the right of the way it walks.
	left, right := w.half(l[1], flat.Scale(u, -1)), w.half(l[0], u)
	if len(left.Layers) == 0 || len(right.Layers) == 0 {
		return fmt.Errorf("the line from %s to %s has cloth on one side only", show(l[0]), show(l[1]))
	}
	*w = *left
	t.works[t.next] = right
	t.next++
	return nil
}

// segments cuts a strip set into equal segments and keeps the first, as a bundle.
func (w *Work) segments(a, u Pt, every float64, times int) error {
	if times < 1 || every <= Tolerance {
		return fmt.Errorf("segments need a width above nothing and a number above nothing")
	}
	right := Pt{-u[1], u[0]}
	lo, hi := w.extent(a, right)
	if math.Abs(-lo-every) > 1e-4 {
		return fmt.Errorf("the first segment would be %.4f wide, the others %.4f", -lo, every)
	}
	if hi < float64(times-1)*every-1e-4 {
		return fmt.Errorf("the strip set is %.4f long, too short for %d segments of %.4f", hi-lo, times, every)
	}
	first := w.half(a, flat.Scale(u, -1))
	if len(first.Layers) == 0 {
		return fmt.Errorf("the first cut has no cloth to its left")
	}
	first.Count = w.Count * times
	*w = *first
	return nil
}

// extent returns how far the cloth reaches from a in direction n, lowest and highest, as far as
// all its layers reach.
func (w *Work) extent(a, n Pt) (lo, hi float64) {
	lo, hi = math.Inf(-1), math.Inf(1)
	for i := range w.Layers {
		l, h := math.Inf(1), math.Inf(-1)
		for _, p := range w.Layers[i].Cloth {
			d := flat.Dot(flat.Sub(p, a), n)
			l, h = math.Min(l, d), math.Max(h, d)
		}
		lo, hi = math.Max(lo, l), math.Min(hi, h)
	}
	return lo, hi
}

// half returns what of a work lies on the right of the line through a along u, walking along it.
func (w *Work) half(a, u Pt) *Work {
	h := &Work{Count: w.Count}
	for i := range w.Layers {
		for _, l := range w.cutLayer(&w.Layers[i], a, u) {
			if !w.nothingShows(&l) {
				h.Layers = append(h.Layers, l)
			}
		}
	}
	out := flat.Outward(u)
	for _, s := range w.Seams {
		if !h.has(s.N) && s.N >= 0 {
			continue
		}
		da, db := flat.Dot(flat.Sub(s.A, a), out), flat.Dot(flat.Sub(s.B, a), out)
		if da > Tolerance && db > Tolerance {
			continue
		}
		if da > Tolerance {
			a := s.A
			s.A = lerp(s.A, s.B, da/(da-db))
			s.begins(flat.Distance(a, s.A))
		} else if db > Tolerance {
			s.B = lerp(s.A, s.B, da/(da-db))
		}
		if flat.Length(flat.Sub(s.A, s.B)) > Tolerance {
			h.Seams = append(h.Seams, s)
		}
	}
	for _, m := range w.Marks {
		da, db := flat.Dot(flat.Sub(m[0], a), out), flat.Dot(flat.Sub(m[1], a), out)
		if da > Tolerance {
			m[0] = lerp(m[0], m[1], math.Min(1, da/(da-db)))
		} else if db > Tolerance {
			m[1] = lerp(m[0], m[1], math.Max(0, da/(da-db)))
		}
		if (da < -Tolerance || db < -Tolerance) && flat.Length(flat.Sub(m[0], m[1])) > Tolerance {
			h.Marks = append(h.Marks, m)
		}
	}
	return h
}

// has reports whether a layer of w is held by seam n.
func (w *Work) has(n int) bool {
	for i := range w.Layers {
		l := &w.Layers[i]
		if slices.Contains(l.through, n) || slices.ContainsFunc(l.Edges, func(e Edge) bool { return e.Sewn && e.Seam == n }) {
			return true
		}
	}
	return false
}

// nothingShows reports whether a layer is all seam allowance once its seams are opened.
func (w *Work) nothingShows(l *Layer) bool {
	at, _ := inset(l.Cloth, func(i int) (float64, float64) {
		if e := l.Edges[i]; e.Sewn {
			return e.D0, e.D1
		}
		return 0, 0
	})
	return len(at) == 0
}

// cutLayer returns what of a layer lies to the right of the line: nothing, one piece, or several
// of a layer that is not convex. Where a seam runs beside the new edge, the edge is sewn by it.
func (w *Work) cutLayer(l *Layer, a, u Pt) []Layer {
	out := flat.Outward(u)
	in, beyond := false, false
	for _, p := range l.Cloth {
		d := flat.Dot(flat.Sub(p, a), out)
		in, beyond = in || d < -Tolerance, beyond || d > Tolerance
	}
	if !in {
		return nil
	}
	if !beyond {
		c := *l
		c.Cloth, c.Edges, c.through = slices.Clone(l.Cloth), slices.Clone(l.Edges), slices.Clone(l.through)
		return []Layer{c}
	}
	var pieces []Layer
	for _, c := range pieceRight(l.Cloth, a, u) {
		n := *l
		n.Cloth, n.Edges, n.radius = c.at, make([]Edge, len(c.at)), 0
		for i, k := range c.edge {
			p, q := c.at[i], c.at[(i+1)%len(c.at)]
			if k >= 0 {
				n.Edges[i] = part(l, k, p, q)
			}
		}
		var pending []int
		for _, s := range l.through {
			if k := slices.IndexFunc(w.Seams, func(o Seam) bool { return o.N == s }); k >= 0 && meets(n.Cloth, w.Seams[k].A, w.Seams[k].B) {
				pending = append(pending, s)
			}
		}
		n.through = nil
		best, depth := -1, math.Inf(1)
		for _, s := range pending {
			o := w.Seams[slices.IndexFunc(w.Seams, func(o Seam) bool { return o.N == s })]
			d := -(flat.Dot(flat.Sub(o.A, a), out) + flat.Dot(flat.Sub(o.B, a), out)) / 2
			if math.Abs(flat.Cross(u, flat.Direction(o.A, o.B))) < parallel && d > Tolerance && d < depth {
				best, depth = s, d
			}
		}
		for i, k := range c.edge {
			if k >= 0 || best < 0 {
				continue
			}
			o := w.Seams[slices.IndexFunc(w.Seams, func(o Seam) bool { return o.N == best })]
			v := flat.Direction(o.A, o.B)
			far := func(p Pt) float64 { return flat.Length(flat.Sub(p, foot(p, o.A, v))) }
			e := Edge{Sewn: true, Seam: best, D0: far(c.at[i]), D1: far(c.at[(i+1)%len(c.at)])}
			if l.group != 0 {
				e.Side = 1
			}
			n.Edges[i] = e
		}
		for _, s := range pending {
			if s != best {
				n.through = append(n.through, s)
			}
		}
		pieces = append(pieces, n)
	}
	return pieces
}

// part is edge k of a layer, from p to q only.
func part(l *Layer, k int, p, q Pt) Edge {
	e := l.Edges[k]
	a, b := l.Cloth[k], l.Cloth[(k+1)%len(l.Cloth)]
	n := flat.Length(flat.Sub(b, a))
	if !e.Sewn || n == 0 || e.D0 == e.D1 {
		return e
	}
	t0, t1 := flat.Length(flat.Sub(p, a))/n, flat.Length(flat.Sub(q, a))/n
	e.D0, e.D1 = e.D0+(e.D1-e.D0)*t0, e.D0+(e.D1-e.D0)*t1
	return e
}

// pieceRight returns the parts of a polygon to the right of the line through a along u; edges on
// the line have the number -1.
func pieceRight(p []Pt, a, u Pt) []clipped {
	c := clipped{at: p, edge: make([]int, len(p))}
	for i := range c.edge {
		c.edge[i] = i
	}
	if convex(p) {
		if c = c.clip(a, u, -1); len(c.at) < 3 || flat.Area2(c.at) < 1e-9 {
			return nil
		}
		return []clipped{c}
	}
	// Runs of the outline on the right side, joined along the line in the order they meet it.
	out := flat.Outward(u)
	side := func(q Pt) float64 {
		if d := flat.Dot(flat.Sub(q, a), out); math.Abs(d) > Tolerance {
			return d
		}
		return 0
	}
	type run struct {
		at       []Pt
		edge     []int // of each point of at, the edge that follows; the last is -1
		from, to float64
		used     bool
	}
	var runs []run
	n := len(p)
	start := slices.IndexFunc(p, func(q Pt) bool { return side(q) > 0 })
	var cur *run
	for i := 0; i < n; i++ {
		k := (start + i) % n
		q, r := p[k], p[(k+1)%n]
		dq, dr := side(q), side(r)
		if cur == nil && dq >= 0 && dr < 0 {
			enter := q
			if dq > 0 {
				enter = lerp(q, r, dq/(dq-dr))
			}
			cur = &run{at: []Pt{enter}, edge: []int{k}, from: flat.Dot(flat.Sub(enter, a), u)}
			continue
		}
		if cur == nil {
			continue
		}
		cur.at, cur.edge = append(cur.at, q), append(cur.edge, k)
		if dq == 0 && dr >= 0 {
			cur.edge[len(cur.edge)-1] = -1
			cur.to = flat.Dot(flat.Sub(q, a), u)
			runs, cur = append(runs, *cur), nil
		} else if dr > 0 {
			exit := lerp(q, r, dq/(dq-dr))
			cur.at, cur.edge = append(cur.at, exit), append(cur.edge, -1)
			cur.to = flat.Dot(flat.Sub(exit, a), u)
			runs, cur = append(runs, *cur), nil
		}
	}
	// The inside lies to the right of the line: from where a run leaves it, the cut runs back to
	// the nearest run that enters.
	var pieces []clipped
	for i := range runs {
		if runs[i].used {
			continue
		}
		var c clipped
		for k := i; !runs[k].used; {
			runs[k].used = true
			c.at, c.edge = append(c.at, runs[k].at...), append(c.edge, runs[k].edge...)
			best, gap := i, math.Inf(1)
			for j := range runs {
				if d := runs[j].from - runs[k].to; d > -Tolerance && d < gap && (!runs[j].used || j == i) {
					best, gap = j, d
				}
			}
			k = best
		}
		if len(c.at) >= 3 && flat.Area2(c.at) > 1e-9 {
			pieces = append(pieces, c)
		}
	}
	return pieces
}

// trim cuts a work down to a polygon.
func (w *Work) trim(op plan.Op) error {
	to := make([]Pt, len(op.To))
	for i, p := range op.To {
		to[i] = flat.At(p)
	}
	if flat.Area2(to) < 0 {
		slices.Reverse(to)
	}
	if len(to) < 3 || flat.Area2(to) < 1e-9 {
		return fmt.Errorf("nothing to trim to")
	}
	if !convex(to) {
		return fmt.Errorf("a ruler trims straight across: the outline turns back on itself")
	}
	h := cloneWork(w)
	for i, p := range to {
		u := flat.Direction(p, to[(i+1)%len(to)])
		h = h.half(p, u)
	}
	if len(h.Layers) == 0 {
		return fmt.Errorf("no cloth lies within the outline")
	}
	*w = *h
	return nil
}

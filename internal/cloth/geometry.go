package cloth

import (
	"math"
	"slices"

	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

func lerp(a, b Pt, t float64) Pt  { return Pt{a[0] + (b[0]-a[0])*t, a[1] + (b[1]-a[1])*t} }
func line(l *[2]plan.Point) [2]Pt { return [2]Pt{flat.At(l[0]), flat.At(l[1])} }

// transform is x -> M x + at.
type transform struct {
	xx, xy, yx, yy float64
	at             Pt
	mirror         bool
}

func (m transform) linear(p Pt) Pt {
	return Pt{m.xx*p[0] + m.xy*p[1], m.yx*p[0] + m.yy*p[1]}
}

func (m transform) apply(p Pt) Pt { return flat.Add(m.linear(p), m.at) }

// poseOf is a plan's pose as a transform.
func poseOf(p plan.Pose) transform {
	s, c := flat.SinCos(float64(p.Turn))
	m := transform{xx: c, xy: -s, yx: s, yy: c, at: flat.At(p.At), mirror: p.Mirror}
	if p.Mirror {
		m.xx, m.yx = -m.xx, -m.yx
	}
	return m
}

// reflection mirrors in the line through a and b.
func reflection(a, b Pt) transform {
	u := flat.Direction(a, b)
	m := transform{xx: u[0]*u[0] - u[1]*u[1], xy: 2 * u[0] * u[1], yx: 2 * u[0] * u[1], yy: u[1]*u[1] - u[0]*u[0], mirror: true}
	m.at = flat.Sub(a, m.linear(a))
	return m
}

// move carries a layer along; a mirroring turns it over.
func move(l *Layer, m transform) {
	for i, p := range l.Cloth {
		l.Cloth[i] = m.apply(p)
	}
	l.Drift = m.linear(l.Drift)
	if l.Up != nil {
		s, c := flat.SinCos(*l.Up)
		d := m.linear(Pt{s, -c})
		up := math.Mod(math.Atan2(d[0], -d[1])*180/math.Pi+360, 360)
		if up > 360-1e-7 {
			up = 0
		}
		l.Up = &up
	}
	if m.mirror {
		l.FaceUp = !l.FaceUp
		reverse(l)
	}
}

// reverse runs the outline the other way round and keeps its first point.
func reverse(l *Layer) {
	slices.Reverse(l.Cloth[1:])
	slices.Reverse(l.Edges)
	for i, e := range l.Edges {
		l.Edges[i].D0, l.Edges[i].D1 = e.D1, e.D0
	}
}

// Place returns a copy of the layer, moved by the pose.
func Place(l Layer, p plan.Pose) Layer {
	l.Cloth, l.Edges = slices.Clone(l.Cloth), slices.Clone(l.Edges)
	move(&l, poseOf(p))
	return l
}

// clipped is a polygon with the number of the line that each edge lies on.
type clipped struct {
	at   []Pt
	edge []int
}

// clip keeps what lies on the inner side of the line through a along u (the left side of a
// counterclockwise walk does not matter here: inner is opposite to outward(u)). The new edge is n.
func (c clipped) clip(a, u Pt, n int) clipped {
	out := flat.Outward(u)
	r := clipped{at: make([]Pt, 0, len(c.at)+1), edge: make([]int, 0, len(c.at)+1)}
	for i, p := range c.at {
		q := c.at[(i+1)%len(c.at)]
		dp, dq := flat.Dot(flat.Sub(p, a), out), flat.Dot(flat.Sub(q, a), out)
		if dp <= 1e-12 {
			if dq > 1e-12 && dp >= -1e-12 {
				r.at, r.edge = append(r.at, p), append(r.edge, n)
				continue
			}
			r.at, r.edge = append(r.at, p), append(r.edge, c.edge[i])
			if dq > 1e-12 {
				r.at, r.edge = append(r.at, lerp(p, q, dp/(dp-dq))), append(r.edge, n)
			}
		} else if dq < -1e-12 {
			r.at, r.edge = append(r.at, lerp(p, q, dp/(dp-dq))), append(r.edge, c.edge[i])
		}
	}
	return r
}

// convex reports whether the outline never turns back.
func convex(p []Pt) bool {
	n := len(p)
	for i := range p {
		a, b, c := p[i], p[(i+1)%n], p[(i+2)%n]
		if flat.Cross(flat.Sub(b, a), flat.Sub(c, b)) < -1e-9 {
			return false
		}
	}
	return true
}

// inset moves every edge i inward by d0 where it begins and d1 where it ends, mitres the corners
// and drops the edges that vanish. It returns the outline and for each of its edges the number of
// the edge it came from; nothing where nothing is left.
func inset(p []Pt, d func(i int) (d0, d1 float64)) ([]Pt, []int) {
	n := len(p)
	if n < 3 {
		return nil, nil
	}
	if at, edge, ok := mitred(p, d); ok {
		return at, edge
	}
	type guide struct {
		a, u   Pt
		source int
	}
	guides := make([]guide, 0, n)
	moved := false
	for i := range p {
		q := p[(i+1)%n]
		u := flat.Direction(p[i], q)
		if u == (Pt{}) {
			continue
		}
		d0, d1 := d(i)
		moved = moved || d0 != 0 || d1 != 0
		out := flat.Outward(u)
		a, b := flat.Sub(p[i], flat.Scale(out, d0)), flat.Sub(q, flat.Scale(out, d1))
		guides = append(guides, guide{a, flat.Direction(a, b), i})
	}
	if convex(p) {
		c := clipped{at: p, edge: make([]int, n)}
		for i := range c.edge {
			c.edge[i] = i
		}
		if moved {
			for _, g := range guides {
				if d0, d1 := d(g.source); d0 != 0 || d1 != 0 {
					if c = c.clip(g.a, g.u, g.source); len(c.at) < 3 {
						return nil, nil
					}
				}
			}
		}
		if flat.Area2(c.at) < 1e-9 {
			return nil, nil
		}
		return c.at, c.edge
	}
	for len(guides) >= 3 {
		var at []Pt
		var edge []int
		first := make([]int, len(guides)) // where each guide's edge begins in at
		for i, g := range guides {
			prev := guides[(i+len(guides)-1)%len(guides)]
			turn := flat.Cross(prev.u, g.u)
			if math.Abs(turn) > 1e-9 {
				t := flat.Cross(flat.Sub(g.a, prev.a), g.u) / turn
				first[i] = len(at)
				at, edge = append(at, flat.Add(prev.a, flat.Scale(prev.u, t))), append(edge, g.source)
				continue
			}
			corner := p[g.source]
			on := func(l guide) Pt { return flat.Add(l.a, flat.Scale(l.u, flat.Dot(flat.Sub(corner, l.a), l.u))) }
			a, b := on(prev), on(g)
			if flat.Length(flat.Sub(a, b)) > 1e-9 { // one edge sewn, the next of the same line raw: a step
				at, edge = append(at, a), append(edge, g.source)
			}
			first[i] = len(at)
			at, edge = append(at, b), append(edge, g.source)
		}
		worst, backward := -1, -1e-9
		for i, g := range guides {
			from := at[first[i]]
			to := at[(first[i]+1)%len(at)]
			if along := flat.Dot(flat.Sub(to, from), g.u); along < backward {
				worst, backward = i, along
			}
		}
		if worst < 0 {
			if flat.Area2(at) < 1e-9 {
				return nil, nil
			}
			return at, edge
		}
		guides = slices.Delete(guides, worst, worst+1)
	}
	return nil, nil
}

// mitred is inset for the common case: a small outline that never turns back, of which no edge vanishes. It reports whether it is.
func mitred(p []Pt, d func(i int) (d0, d1 float64)) ([]Pt, []int, bool) {
	const most = 8
	n := len(p)
	if n > most {
		return nil, nil, false
	}
	var from, along [most]Pt
	for i := range p {
		q := p[(i+1)%n]
		d0, d1 := d(i)
		u := flat.Direction(p[i], q)
		if d0 != d1 {
			return nil, nil, false
		}
		from[i], along[i] = flat.Sub(p[i], flat.Scale(flat.Outward(u), d0)), u
	}
	at, edge := make([]Pt, n), make([]int, n)
	for i := range p {
		k := (i + n - 1) % n
		turn := flat.Cross(along[k], along[i])
		if turn < 1e-6 {
			return nil, nil, false
		}
		at[i], edge[i] = flat.Add(from[k], flat.Scale(along[k], flat.Cross(flat.Sub(from[i], from[k]), along[i])/turn)), i
	}
	for i := range at {
		if flat.Dot(flat.Sub(at[(i+1)%n], at[i]), along[i]) < 1e-9 {
			return nil, nil, false
		}
	}
	return at, edge, true
}

// shown is what shows of a layer: a layer that is still laid on top shows its whole cloth.
func (w *Work) shown(l *Layer) ([]Pt, []int) {
	opened := func(e Edge) bool {
		if !e.Sewn || l.group != 0 {
			return false
		}
		if e.Seam < 0 {
			return true
		}
		k := slices.IndexFunc(w.Seams, func(s Seam) bool { return s.N == e.Seam })
		return k >= 0 && w.Seams[k].opened
	}
	at, edge := inset(l.Cloth, func(i int) (float64, float64) {
		if e := l.Edges[i]; opened(e) {
			return e.D0, e.D1
		}
		return 0, 0
	})
	return slices.Clone(at), edge
}

// Finished is what will show of a layer when every edge that is still raw is sewn with the given
// seam: its outline, clockwise, and for each edge of it the number of the edge of Cloth that it
// came from. It is empty where nothing of the layer will show.
func Finished(l *Layer, seam float64) ([]Pt, []int) {
	at, edge := inset(l.Cloth, func(i int) (float64, float64) {
		if e := l.Edges[i]; e.Sewn {
			return e.D0, e.D1
		}
		return seam, seam
	})
	if l.split {
		return resplit(l, at, edge)
	}
	return at, edge
}

// resplit gives every part of a split edge its own part of the finished one: mitring lets the first part stand for them all.
func resplit(l *Layer, at []Pt, edge []int) ([]Pt, []int) {
	n := len(l.Cloth)
	along := func(k int) Pt { k = (k + n) % n; return flat.Direction(l.Cloth[k], l.Cloth[(k+1)%n]) }
	straight := func(j, k int) bool {
		return flat.Cross(along(j), along(k)) < 1e-6 && flat.Cross(along(j), along(k)) > -1e-6 && flat.Dot(along(j), along(k)) > 0
	}
	var outAt []Pt
	var outEdge []int
	for i, e := range edge {
		p, q := at[i], at[(i+1)%len(at)]
		first, last := e, e
		for last-first < n && straight(first-1, first) {
			first--
		}
		for last-first < n && straight(last, last+1) {
			last++
		}
		u, run := flat.Direction(p, q), flat.Length(flat.Sub(q, p))
		from := 0.0
		for k := first; k <= last; k++ {
			to := run
			if k < last {
				to = math.Min(flat.Dot(flat.Sub(l.Cloth[(k+1+n)%n], p), u), run)
			}
			if to-from > 1e-9 {
				outAt, outEdge = append(outAt, flat.Add(p, flat.Scale(u, from))), append(outEdge, (k+n)%n)
				from = to
			}
		}
	}
	return outAt, outEdge
}

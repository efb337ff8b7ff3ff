package figure

import (
	"math"

	"quiltwright/internal/cloth"
	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// patch is a finished patch of a unit, in some frame.
type patch struct {
	outline []pt
	fabric  string
	up      *float64
	path    []int // part numbers down to it
}

// patches are the finished patches of a unit, placed by m, in the order of its parts.
func (d *Drawer) patches(id string, m plan.Pose) []patch {
	var out []patch
	var walk func(id string, m plan.Pose, path []int)
	walk = func(id string, m plan.Pose, path []int) {
		u := d.units[id]
		if u == nil || len(path) > 64 {
			return
		}
		if len(u.Parts) == 0 {
			p := patch{outline: flat.Each(m, chorded(u.Outline)), fabric: u.Fabric, path: append([]int(nil), path...)}
			if u.Up != nil {
				up := turned(float64(*u.Up), m)
				p.up = &up
			}
			if m.Mirror {
				reverse(p.outline)
			}
			out = append(out, p)
			return
		}
		for i, q := range u.Parts {
			walk(q.Unit, flat.Then(q.Pose(), m), append(path, i))
		}
	}
	walk(id, m, nil)
	return out
}

func turned(up float64, m plan.Pose) float64 {
	if m.Mirror {
		up = -up
	}
	return math.Mod(up+float64(m.Turn)+720, 360)
}

func reverse(ps []pt) {
	for i, j := 0, len(ps)-1; i < j; i, j = i+1, j-1 {
		ps[i], ps[j] = ps[j], ps[i]
	}
}

// pieceWork is a cut piece as a work of one layer.
func (d *Drawer) pieceWork(label string) cloth.Work {
	p := d.pieces[label]
	if p == nil {
		return cloth.Work{}
	}
	return cloth.Work{Layers: []cloth.Layer{{Cloth: p.Raw(), Fabric: p.Fabric, Label: label}}}
}

// unitWork is a sewn unit as it comes to the table: its patches with the allowance on every side,
// seams inside it opened, its own edge raw.
func (d *Drawer) unitWork(id string) cloth.Work {
	u := d.units[id]
	if u == nil {
		return cloth.Work{}
	}
	seam := float64(d.p.Seam)
	if x := d.pieces[u.Piece]; x != nil && x.Trimmed && u.Lie != nil { // cut larger than it will be
		w := d.pieceWork(u.Piece)
		l := &w.Layers[0]
		m := *u.Lie
		l.Cloth, l.Edges = flat.Each(m, l.Cloth), make([]cloth.Edge, len(l.Cloth))
		if u.Up != nil {
			up := float64(*u.Up)
			l.Up = &up
		}
		return w
	}
	edge := chorded(u.Outline)
	raw := grow(simple(edge), seam)
	seams := d.seamsIn(id)
	w := cloth.Work{}
	label := u.Piece
	for _, q := range d.patches(id, plan.Pose{}) {
		ps := simple(q.outline)
		l := cloth.Layer{Cloth: grow(ps, seam), Fabric: q.fabric, Label: label, Up: q.up, Leaf: q.path}
		for i := range ps {
			e := cloth.Edge{Seam: -1}
			if !onEdge(edge, mid(ps[i], ps[(i+1)%len(ps)])) {
				e = cloth.Edge{Sewn: true, Seam: -1, D0: seam, D1: seam}
			}
			l.Edges = append(l.Edges, e)
		}
		if len(l.Cloth) != len(l.Edges) {
			continue
		}
		for _, s := range seams {
			if s.holds(q.path) {
				d.tuck(&l, ps, s.line)
			}
		}
		if convex(raw) {
			clip(&l, raw)
		}
		if len(l.Cloth) > 2 {
			w.Layers = append(w.Layers, l)
		}
	}
	return w
}

// inner is a seam inside a unit: the part numbers down to the unit it joins parts of, and those of
// its parts that are sewn together once it is sewn.
type inner struct {
	line   [2]pt
	path   []int
	joined map[int]bool
}

// holds says whether the leaf that a path of part numbers leads to can be caught in the seam.
func (s *inner) holds(path []int) bool {
	if len(path) <= len(s.path) {
		return false
	}
	for i, n := range s.path {
		if path[i] != n {
			return false
		}
	}
	return s.joined[path[len(s.path)]]
}

// seamsIn are all seams inside a unit, in its frame.
func (d *Drawer) seamsIn(id string) []inner {
	var out []inner
	var walk func(id string, m plan.Pose, path []int)
	walk = func(id string, m plan.Pose, path []int) {
		u := d.units[id]
		if u == nil || len(path) > 64 {
			return
		}
		group := map[int]int{} // of a part: the least part it is sewn to so far
		for i := range u.Parts {
			group[i] = i
		}
		for _, j := range u.Joins {
			a, b := group[j.Parts[0]], group[j.Parts[1]]
			joined := map[int]bool{}
			for i := range u.Parts {
				if group[i] == a || group[i] == b {
					group[i] = min(a, b)
					joined[i] = true
				}
			}
			out = append(out, inner{[2]pt{flat.Apply(m, flat.At(j.Seam[0])), flat.Apply(m, flat.At(j.Seam[1]))}, append([]int(nil), path...), joined})
		}
		for i, q := range u.Parts {
			walk(q.Unit, flat.Then(q.Pose(), m), append(path, i))
		}
	}
	walk(id, plan.Pose{}, nil)
	return out
}

// tuck cuts the tip of a patch off that reaches over a seam which it meets in a point only: it is
// caught in that seam and lies folded under. finished is the patch's finished outline.
func (d *Drawer) tuck(l *cloth.Layer, finished []pt, seam [2]pt) {
	u := flat.Unit(flat.Sub(seam[1], seam[0]))
	left, right, touches := false, false, false
	for _, p := range finished {
		x := flat.Cross(u, flat.Sub(p, seam[0]))
		left, right = left || x < -1e-4, right || x > 1e-4
		touches = touches || distance(p, seam[0], seam[1]) < 1e-4
	}
	if !touches || left == right {
		return
	}
	if left {
		u = flat.Scale(u, -1)
	}
	by := float64(d.p.Seam)
	at := flat.Sub(seam[0], flat.Scale(square(u), by))
	before := len(l.Edges)
	was := append([]cloth.Edge(nil), l.Edges...)
	cutBy(l, at, u)
	if len(l.Edges) == before && sameEdges(l.Edges, was) {
		return
	}
	for i, p := range l.Cloth {
		q := l.Cloth[(i+1)%len(l.Cloth)]
		if math.Abs(flat.Cross(u, flat.Sub(p, at))) < 1e-6 && math.Abs(flat.Cross(u, flat.Sub(q, at))) < 1e-6 && !l.Edges[i].Sewn {
			l.Edges[i] = cloth.Edge{Sewn: true, Seam: -1, D0: by, D1: by}
		}
	}
}

func sameEdges(a, b []cloth.Edge) bool {
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

// clip cuts off what of a layer lies outside a convex outline: the mitred corners of a patch that
// reach past the raw edge of its unit. The new edges are raw.
func clip(l *cloth.Layer, to []pt) {
	for i, a := range to {
		cutBy(l, a, flat.Unit(flat.Sub(to[(i+1)%len(to)], a)))
	}
}

// cutBy keeps what of a layer lies to the right of the line through a along u; the new edge is raw.
func cutBy(l *cloth.Layer, a, u pt) {
	var ps []pt
	var es []cloth.Edge
	for k, p := range l.Cloth {
		q := l.Cloth[(k+1)%len(l.Cloth)]
		dp, dq := flat.Cross(u, flat.Sub(p, a)), flat.Cross(u, flat.Sub(q, a)) // above 0 is inside
		if dp >= -1e-9 {
			ps, es = append(ps, p), append(es, l.Edges[k])
		}
		if (dp >= -1e-9) != (dq >= -1e-9) && math.Abs(dp-dq) > 1e-12 {
			at := flat.Add(p, flat.Scale(flat.Sub(q, p), dp/(dp-dq)))
			e := l.Edges[k]
			if dq < dp {
				e = cloth.Edge{Seam: -1}
			}
			ps, es = append(ps, at), append(es, e)
		}
	}
	l.Cloth, l.Edges = tidy(ps, es)
}

// tidy drops edges without a length.
func tidy(ps []pt, es []cloth.Edge) ([]pt, []cloth.Edge) {
	var outP []pt
	var outE []cloth.Edge
	for i, p := range ps {
		if flat.Length(flat.Sub(ps[(i+1)%len(ps)], p)) > 1e-7 {
			outP, outE = append(outP, p), append(outE, es[i])
		}
	}
	return outP, outE
}

func convex(ps []pt) bool {
	for i, p := range ps {
		q, r := ps[(i+1)%len(ps)], ps[(i+2)%len(ps)]
		if flat.Cross(flat.Sub(q, p), flat.Sub(r, q)) < -1e-9 {
			return false
		}
	}
	return len(ps) > 2
}

// simple drops vertices that lie within a straight edge, as grow does.
func simple(ps []pt) []pt {
	var out []pt
	for i, p := range ps {
		a, b := ps[(i+len(ps)-1)%len(ps)], ps[(i+1)%len(ps)]
		if math.Abs(flat.Cross(flat.Unit(flat.Sub(p, a)), flat.Unit(flat.Sub(b, p)))) > 1e-9 {
			out = append(out, p)
		}
	}
	return out
}

func onEdge(ps []pt, p pt) bool {
	for i, a := range ps {
		if distance(p, a, ps[(i+1)%len(ps)]) < 1e-4 {
			return true
		}
	}
	return false
}

// parts are the works that a recipe counts out, each with the unit or piece it is.
func (d *Drawer) parts(r *plan.Recipe) (works []cloth.Work, ids []string) {
	for _, f := range r.From {
		for range min(f.Count, 4096) {
			if f.Piece != "" {
				works, ids = append(works, d.pieceWork(f.Piece)), append(ids, f.Piece)
			} else {
				works, ids = append(works, d.unitWork(f.Unit)), append(ids, f.Unit)
			}
		}
	}
	return works, ids
}

// lying is a work as it lies on the table, nil where there is none. Slivers of a sewn unit that reach
// over a seam of this recipe are cut off: they are the tips of patches that meet the seam in a point,
// and lie folded under with the rest of the allowance.
func (d *Drawer) lying(t *cloth.Table, n int) *cloth.Work {
	w := t.Work(n)
	if w == nil {
		return nil
	}
	sliver := 1.3 * float64(d.p.Seam)
	for _, s := range w.Seams {
		if s.N < 0 || s.State == "sewn" {
			continue
		}
		u, run := flat.Unit(flat.Sub(s.B, s.A)), flat.Length(flat.Sub(s.B, s.A))
		for i := range w.Layers {
			l := &w.Layers[i]
			if len(l.Shown) < 3 || l.Laid {
				continue
			}
			hand := 1.0
			if flat.Cross(u, flat.Sub(centre(l.Shown), s.A)) < 0 {
				hand = -1
			}
			over := 0.0
			for _, p := range l.Shown {
				if k := flat.Dot(flat.Sub(p, s.A), u); k > -2*sliver && k < run+2*sliver {
					over = math.Max(over, -hand*flat.Cross(u, flat.Sub(p, s.A)))
				} else if -hand*flat.Cross(u, flat.Sub(p, s.A)) > 1e-6 {
					over = math.Inf(1)
				}
			}
			if over > 1e-6 && over < sliver {
				l.Shown = half(l.Shown, s.A, flat.Scale(u, hand))
			}
		}
	}
	return w
}

// half is what of a polygon lies to the right of the line through a along u.
func half(ps []pt, a, u pt) []pt {
	l := cloth.Layer{Cloth: ps, Edges: make([]cloth.Edge, len(ps))}
	cutBy(&l, a, u)
	return l.Cloth
}

// covered is the outline that a layer shows, its whole cloth while it is laid on top.
func covered(l *cloth.Layer) []pt {
	if len(l.Shown) > 2 {
		return l.Shown
	}
	return nil
}

// visible is the part of the segment that lies on the work's cloth.
func visible(w *cloth.Work, a, b pt) (pt, pt, bool) {
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := range w.Layers {
		ps := covered(&w.Layers[i])
		// The ends of the line within this layer, found by crossing its edges.
		for k, p := range ps {
			q := ps[(k+1)%len(ps)]
			if t, ok := meet(a, b, p, q); ok {
				lo, hi = math.Min(lo, t), math.Max(hi, t)
			}
		}
	}
	lo, hi = math.Max(lo, 0), math.Min(hi, 1)
	if hi-lo < 1e-6 {
		return a, b, false
	}
	d := flat.Sub(b, a)
	return flat.Add(a, flat.Scale(d, lo)), flat.Add(a, flat.Scale(d, hi)), true
}

// meet is where the line a b (0 at a, 1 at b) crosses the segment p q.
func meet(a, b, p, q pt) (float64, bool) {
	d, e := flat.Sub(b, a), flat.Sub(q, p)
	turn := flat.Cross(d, e)
	if math.Abs(turn) < 1e-12 {
		return 0, false
	}
	t, u := flat.Cross(flat.Sub(p, a), e)/turn, flat.Cross(flat.Sub(p, a), d)/turn
	return t, u > -1e-6 && u < 1+1e-6
}

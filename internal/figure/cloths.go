package figure

import (
	"math"

	"quiltwright/internal/cloth"
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
func (d *Drawer) patches(id string, m pose) []patch {
	var out []patch
	var walk func(id string, m pose, path []int)
	walk = func(id string, m pose, path []int) {
		u := d.units[id]
		if u == nil || len(path) > 64 {
			return
		}
		if len(u.Parts) == 0 {
			p := patch{outline: m.all(flat(u.Outline)), fabric: u.Fabric, path: append([]int(nil), path...)}
			if u.Up != nil {
				up := turned(float64(*u.Up), m)
				p.up = &up
			}
			if m.mirror {
				reverse(p.outline)
			}
			out = append(out, p)
			return
		}
		for i, q := range u.Parts {
			walk(q.Unit, poseOfPart(q).then(m), append(path, i))
		}
	}
	walk(id, m, nil)
	return out
}

func turned(up float64, m pose) float64 {
	if m.mirror {
		up = -up
	}
	return math.Mod(up+m.turn+720, 360)
}

func reverse(ps []pt) {
	for i, j := 0, len(ps)-1; i < j; i, j = i+1, j-1 {
		ps[i], ps[j] = ps[j], ps[i]
	}
}

// rawPiece is the raw outline of a piece in its own frame, as docs/plan.md fixes it.
func rawPiece(p *plan.Piece) []pt {
	w, h := float64(p.Width), float64(p.Height)
	switch p.Shape {
	case "half square":
		return []pt{{0, 0}, {w, 0}, {0, w}}
	case "quarter square":
		return []pt{{0, 0}, {w, 0}, {w / 2, w / 2}}
	case "half rectangle":
		if p.Hand == "R" {
			return []pt{{0, 0}, {w, 0}, {w, h}}
		}
		return []pt{{0, 0}, {w, 0}, {0, h}}
	case "rectangle", "strip", "joined strip":
		return rectangle(w, h)
	}
	return flat(p.Outline)
}

// pieceWork is a cut piece as a work of one layer.
func (d *Drawer) pieceWork(label string) cloth.Work {
	p := d.pieces[label]
	if p == nil {
		return cloth.Work{}
	}
	return cloth.Work{Layers: []cloth.Layer{{Cloth: rawPiece(p), Fabric: p.Fabric, Label: label}}}
}

// unitWork is a sewn unit as it comes to the table: its patches with the allowance on every side,
// seams inside it opened, its own edge raw.
func (d *Drawer) unitWork(id string) cloth.Work {
	u := d.units[id]
	if u == nil {
		return cloth.Work{}
	}
	seam := float64(d.p.Seam)
	edge := flat(u.Outline)
	w := cloth.Work{}
	label := u.Piece
	for _, q := range d.patches(id, pose{}) {
		ps := simple(q.outline)
		l := cloth.Layer{Cloth: grow(ps, seam), Fabric: q.fabric, Label: label, Up: q.up, Leaf: q.path}
		for i := range ps {
			e := cloth.Edge{Seam: -1}
			if !onEdge(edge, mid(ps[i], ps[(i+1)%len(ps)])) {
				e = cloth.Edge{Sewn: true, Seam: -1, D0: seam, D1: seam}
			}
			l.Edges = append(l.Edges, e)
		}
		if len(l.Cloth) == len(l.Edges) {
			w.Layers = append(w.Layers, l)
		}
	}
	return w
}

// simple drops vertices that lie within a straight edge, as grow does.
func simple(ps []pt) []pt {
	var out []pt
	for i, p := range ps {
		a, b := ps[(i+len(ps)-1)%len(ps)], ps[(i+1)%len(ps)]
		if math.Abs(cross(unitOf(sub(p, a)), unitOf(sub(b, p)))) > 1e-9 {
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
	d := sub(b, a)
	return add(a, times(d, lo)), add(a, times(d, hi)), true
}

// meet is where the line a b (0 at a, 1 at b) crosses the segment p q.
func meet(a, b, p, q pt) (float64, bool) {
	d, e := sub(b, a), sub(q, p)
	turn := cross(d, e)
	if math.Abs(turn) < 1e-12 {
		return 0, false
	}
	t, u := cross(sub(p, a), e)/turn, cross(sub(p, a), d)/turn
	return t, u > -1e-6 && u < 1+1e-6
}

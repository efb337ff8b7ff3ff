package figure

import (
	"math"
	"sort"
	"strconv"

	"quiltwright/internal/cloth"
	"quiltwright/internal/plan"
	"quiltwright/internal/scene"
)

func itoa(n int) string { return strconv.Itoa(n) }

// assembly is the telling of a span that only joins parts to one work by the raw edge, two seams or
// more: the parts set apart in their places, and what is joined.
func (d *Drawer) assembly(r *plan.Recipe, first, last int, works []cloth.Work, ids []string) (telling, bool) {
	joins := 0
	for _, op := range r.Do[first : last+1] {
		switch {
		case op.Op == "stitch" && op.Allowance > 0 && !op.Fold && !op.Partial:
			joins++
		case op.Op != "lay" && op.Op != "press":
			return telling{}, false
		}
	}
	g := givesOf(r, 0)
	if joins < 2 && !(joins == 1 && d.allUnits(ids)) || len(r.Gives) != 1 || g == nil || first > 0 {
		return telling{}, false
	}
	table := cloth.New(works)
	for _, op := range r.Do[:last+1] {
		if table.Do(op) != nil {
			return telling{}, false
		}
	}
	u := d.units[r.Unit]
	if u == nil || len(u.Parts) != len(ids) {
		return telling{}, false
	}
	view := pose{turn: float64(g.Turn), mirror: g.Mirror}
	before := panel{apart: d.setApart(u, float64(d.p.Seam)*2+0.3*d.gap(u))}
	after := panel{work: table.Work(0), view: view, pressed: map[int]bool{}, labels: map[int]string{}}
	for _, s := range after.work.Seams {
		if s.State != "sewn" {
			after.pressed[s.N] = true
		}
	}
	t := telling{panels: []panel{before, after}}
	t.alt = d.alt(t.panels)
	return t, true
}

func (d *Drawer) allUnits(ids []string) bool {
	for _, id := range ids {
		if u := d.units[id]; u == nil || u.Piece != "" {
			return false
		}
	}
	return true
}

// gap is a measure that grows with a unit: a tenth of its longer side.
func (d *Drawer) gap(u *plan.Unit) float64 {
	return math.Max(float64(u.Size.Width), float64(u.Size.Height)) / 10
}

// setApart stands the parts of a unit in their places, moved apart by a gap: along one direction
// where all joins are parallel, else away from the middle.
func (d *Drawer) setApart(u *plan.Unit, gap float64) []apart {
	out := make([]apart, len(u.Parts))
	hearts := make([]pt, len(u.Parts))
	for i, p := range u.Parts {
		m := poseOfPart(p)
		w := d.unitWork(p.Unit)
		t := cloth.New([]cloth.Work{w})
		out[i] = apart{work: t.Work(0), move: m, id: p.Unit}
		if x := d.units[p.Unit]; x != nil {
			lo, hi := box(m.all(flat(x.Outline)))
			hearts[i] = mid(lo, hi)
		}
	}
	if n, ok := oneWay(u); ok {
		order := make([]int, len(out))
		for i := range order {
			order[i] = i
		}
		sort.SliceStable(order, func(i, k int) bool { return dot(hearts[order[i]], n) < dot(hearts[order[k]], n)-1e-9 })
		for k, i := range order {
			out[i].move.at = add(out[i].move.at, times(n, gap*float64(k)))
		}
		return out
	}
	heart := pt{float64(u.Size.Width) / 2, float64(u.Size.Height) / 2}
	reach := math.Max(heart[0], heart[1])
	for i := range out {
		away := sub(hearts[i], heart)
		out[i].move.at = add(out[i].move.at, times(away, 2*gap/reach))
	}
	return out
}

// oneWay is the direction square to all joins of a unit, where they are parallel.
func oneWay(u *plan.Unit) (pt, bool) {
	if len(u.Joins) == 0 {
		return pt{}, false
	}
	first := unitOf(sub(fromPlan(u.Joins[0].Seam[1]), fromPlan(u.Joins[0].Seam[0])))
	for _, j := range u.Joins[1:] {
		if math.Abs(cross(first, unitOf(sub(fromPlan(j.Seam[1]), fromPlan(j.Seam[0]))))) > 1e-3 {
			return pt{}, false
		}
	}
	n := square(first)
	if n[0] < -1e-9 || math.Abs(n[0]) < 1e-9 && n[1] < 0 {
		n = times(n, -1)
	}
	return n, true
}

// drawApart draws parts set apart, each with its label.
func (d *Drawer) drawApart(c *canvas, parts []apart) {
	view := c.view
	for _, a := range parts {
		if a.work == nil {
			continue
		}
		c.view = a.move.then(view)
		d.drawWork(c, a.work)
	}
	for _, a := range parts {
		c.view = a.move.then(view)
		s := d.partLabel(a.id)
		if s == "" || a.work == nil {
			continue
		}
		for i := range a.work.Layers {
			ps := covered(&a.work.Layers[i])
			if ps == nil {
				continue
			}
			for _, size := range []scene.Pt{labelSize, smallSize} {
				if at, ok := c.place(ps, nil, nil, size, s); ok && c.label(at, size, s) {
					break
				}
			}
		}
	}
	c.view = view
}

// Assembly draws a unit's parts set apart in their places, with the pressing of the seams within
// each part and of those between them: how a block is put together from rows, a top from its rows.
// It is at most w wide and h high.
func (d *Drawer) Assembly(id string, w, h scene.Pt) scene.Drawing {
	u := d.units[id]
	if u == nil || len(u.Parts) == 0 {
		return scene.Drawing{}
	}
	parts := d.setApart(u, 1.2*d.gap(u))
	lo, hi := pt{math.Inf(1), math.Inf(1)}, pt{math.Inf(-1), math.Inf(-1)}
	for _, a := range parts {
		if a.work == nil {
			continue
		}
		for i := range a.work.Layers {
			l, k := box(a.move.all(a.work.Layers[i].Cloth))
			lo, hi = pt{math.Min(lo[0], l[0]), math.Min(lo[1], l[1])}, pt{math.Max(hi[0], k[0]), math.Max(hi[1], k[1])}
		}
	}
	scale := math.Min(float64(w-6)/(hi[0]-lo[0]), float64(h-6)/(hi[1]-lo[1]))
	c := &canvas{scale: scale}
	d.drawApart(c, parts)
	var names []string
	for _, a := range parts {
		names = append(names, d.say.Name(a.id))
		x := d.units[a.id]
		if x == nil {
			continue
		}
		c.view = a.move
		for _, j := range x.Joins {
			d.drawJoinPressing(c, x, j)
		}
	}
	c.view = pose{}
	hearts := func(i int) pt { return d.middleOf(parts[i]) }
	for _, j := range u.Joins {
		if j.Parts[0] >= len(parts) || j.Parts[1] >= len(parts) {
			continue
		}
		// The arrow stands in the gap, half way between where the two sides of the seam have gone.
		m := mid(fromPlan(j.Seam[0]), fromPlan(j.Seam[1]))
		s0 := sub(parts[j.Parts[0]].move.at, fromPlan(u.Parts[j.Parts[0]].At))
		s1 := sub(parts[j.Parts[1]].move.at, fromPlan(u.Parts[j.Parts[1]].At))
		m = add(m, mid(s0, s1))
		half := times(unitOf(sub(fromPlan(j.Seam[1]), fromPlan(j.Seam[0]))), 14/scale)
		if toward, ok := towardPart(j.Press); ok && toward < len(parts) {
			c.pressed(sub(m, half), add(m, half), hearts(toward), false)
		} else if j.Press == "open" {
			c.pressed(sub(m, half), add(m, half), m, true)
		}
	}
	return c.drawing(d.say.AltAssembly(id, names))
}

func (d *Drawer) middleOf(a apart) pt {
	u := d.units[a.id]
	if u == nil {
		return a.move.at
	}
	lo, hi := box(a.move.all(flat(u.Outline)))
	return mid(lo, hi)
}

// towardPart reads "toward 3".
func towardPart(press string) (int, bool) {
	const word = "toward "
	if len(press) <= len(word) || press[:len(word)] != word {
		return 0, false
	}
	n, err := strconv.Atoi(press[len(word):])
	return n, err == nil && n >= 0
}

// drawJoinPressing draws the arrow of a join of a unit, in the unit's frame.
func (d *Drawer) drawJoinPressing(c *canvas, u *plan.Unit, j plan.Join) {
	a, b := fromPlan(j.Seam[0]), fromPlan(j.Seam[1])
	if toward, ok := towardPart(j.Press); ok && toward < len(u.Parts) {
		if x := d.units[u.Parts[toward].Unit]; x != nil {
			lo, hi := box(poseOfPart(u.Parts[toward]).all(flat(x.Outline)))
			c.pressed(a, b, mid(lo, hi), false)
		}
	} else if j.Press == "open" {
		c.pressed(a, b, a, true)
	}
}

package figure

import (
	"math"
	"slices"
	"sort"
	"strconv"

	"quiltwright/internal/cloth"
	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
	"quiltwright/internal/scene"
)

func itoa(n int) string { return strconv.Itoa(n) }

// assembly is the telling of a span that only joins parts to one work by the raw edge, in one
// direction: the parts set apart in their places, and what is joined.
func (d *Drawer) assembly(r *plan.Recipe, do []plan.Op, first, last int, works []cloth.Work, ids []string, torn bool) (telling, bool) {
	var seams [][2]pt
	main := do[first].Work
	poses := make([]plan.Pose, len(works)) // of each part, in the frame of the work it is in
	in := make([]int, len(works))
	for i := range in {
		in[i] = i
	}
	works = slices.Clone(works)
	for i, op := range do[:last+1] {
		switch {
		case op.Op == "trim" && i < first && op.Work < len(works) && in[op.Work] == op.Work: // of a part that is sewn to nothing yet
			t, n := cloth.New(works[op.Work:op.Work+1]), op.Work
			if op.Work = 0; t.Do(op) != nil {
				return telling{}, false
			}
			works[n] = *t.Work(0)
		case op.Op == "lay" && op.At != nil && op.Face != "up":
			m := plan.Pose{At: *op.At, Turn: op.Turn, Mirror: true}
			for p := range in {
				if in[p] == op.Part {
					in[p], poses[p] = op.Work, flat.Then(poses[p], m)
				}
			}
		case op.Op == "stitch" && op.Allowance > 0 && !op.Fold && !op.Partial && len(op.Dots) == 0 && op.Along != nil:
			a, b := flat.At(op.Along[0]), flat.At(op.Along[1])
			over := flat.Over(a, b)
			for p := range in {
				if in[p] == op.Work && poses[p].Mirror {
					poses[p] = flat.Then(poses[p], over)
				}
			}
			if i >= first && op.Work == main {
				seams = append(seams, [2]pt{a, b})
			}
		case op.Op != "press":
			return telling{}, false
		}
		if i >= first && op.Work != main {
			return telling{}, false
		}
	}
	n, parallel := across(seams)
	if !parallel || len(seams) < 2 && !(len(seams) == 1 && d.anySewn(ids) && len(ids) == 2) {
		return telling{}, false
	}
	var parts []apart
	var hearts []pt
	for p := range in {
		if in[p] != main {
			continue
		}
		t := cloth.New([]cloth.Work{works[p]})
		w := t.Work(0)
		parts, hearts = append(parts, apart{work: w, move: poses[p], id: ids[p], torn: torn}), append(hearts, heart(w, poses[p]))
	}
	if len(parts) != len(seams)+1 {
		return telling{}, false
	}
	area := 0.0
	for _, a := range parts {
		for i := range a.work.Layers {
			area += math.Abs(areaOf(covered(&a.work.Layers[i])))
		}
	}
	spread(parts, hearts, n, 2*float64(d.p.Seam)+0.05*math.Sqrt(area))
	table := cloth.New(works)
	after := panel{view: viewOf(r, main, last), pressed: map[int]bool{}, labels: map[int]string{}, torn: torn}
	for i, op := range do[:last+1] {
		if table.Do(op) != nil {
			return telling{}, false
		}
		if i >= first && op.Op == "press" {
			after.pressed[op.Seam] = true
		}
	}
	after.work = d.lying(table, main)
	after.watch = d.crossings(r, main, do[first:last+1])
	t := telling{panels: []panel{{apart: parts, view: after.view}, after}}
	t.alt = d.alt(t.panels)
	return t, true
}

// trimming is the telling of a span that does nothing but trim points of parts: all parts set apart in their places, the cuts drawn.
func (d *Drawer) trimming(r *plan.Recipe, first, last int) (telling, bool) {
	u := d.units[r.Unit]
	if u == nil || len(u.Tips) == 0 || first > 0 || slices.ContainsFunc(r.Do[:last+1], func(op plan.Op) bool { return op.Op != "trim" }) {
		return telling{}, false
	}
	parts := d.setApart(u, d.gap(u)+2*float64(d.p.Seam))
	for _, t := range u.Tips {
		if t.Part < len(parts) {
			back := flat.Inverse(u.Parts[t.Part].Pose())
			parts[t.Part].cuts = append(parts[t.Part].cuts, line{flat.Apply(back, flat.At(t.Line[0])), flat.Apply(back, flat.At(t.Line[1])), true})
		}
	}
	t := telling{panels: []panel{{apart: parts}}}
	t.alt = d.alt(t.panels)
	return t, true
}

// crossings are the places of a work, once it is sewn, where the needle must hit a crossing of seams.
func (d *Drawer) crossings(r *plan.Recipe, n int, ops []plan.Op) []pt {
	var out []pt
	for _, op := range ops {
		if op.Op == "stitch" && op.Along != nil {
			out = append(out, d.pointsOn(r, n, flat.At(op.Along[0]), flat.At(op.Along[1]))...)
		}
	}
	return out
}

// pointsOn are the places on a seam a b of work n, sewn by the raw edge, where seams of the upper part cross.
func (d *Drawer) pointsOn(r *plan.Recipe, n int, a, b pt) []pt {
	j, g := d.joinAt(r, n, a, b), givesOf(r, n)
	if j == nil || g == nil {
		return nil
	}
	m := g.Pose
	from, to := flat.At(j.Seam[0]), flat.At(j.Seam[1])
	if flat.Length(flat.Sub(flat.Apply(m, a), from)) > flat.Length(flat.Sub(flat.Apply(m, b), from)) {
		a, b = b, a
	}
	var out []pt
	for _, q := range j.Watch {
		out = append(out, flat.Add(a, flat.Scale(flat.Sub(b, a), flat.Length(flat.Sub(flat.At(q), from))/flat.Length(flat.Sub(to, from)))))
	}
	return out
}

// across is the direction square to all the seams, where they are parallel.
func across(seams [][2]pt) (pt, bool) {
	if len(seams) == 0 {
		return pt{}, false
	}
	first := flat.Unit(flat.Sub(seams[0][1], seams[0][0]))
	for _, s := range seams[1:] {
		if math.Abs(flat.Cross(first, flat.Unit(flat.Sub(s[1], s[0])))) > 1e-3 {
			return pt{}, false
		}
	}
	n := square(first)
	if n[0] < -1e-9 || math.Abs(n[0]) < 1e-9 && n[1] < 0 {
		n = flat.Scale(n, -1)
	}
	return n, true
}

// spread moves parts apart by a gap along the direction n, in the order in which they stand.
func spread(parts []apart, hearts []pt, n pt, gap float64) {
	order := make([]int, len(parts))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(i, k int) bool { return flat.Dot(hearts[order[i]], n) < flat.Dot(hearts[order[k]], n)-1e-9 })
	for k, i := range order {
		parts[i].move = flat.Shifted(parts[i].move, flat.Scale(n, gap*float64(k)))
	}
}

// anySewn says whether one of the parts is a sewn unit: laid face down it would be nothing but hatch.
func (d *Drawer) anySewn(ids []string) bool {
	for _, id := range ids {
		if u := d.units[id]; u != nil && u.Piece == "" {
			return true
		}
	}
	return false
}

// heart is the middle of what shows of a work, weighed by area.
func heart(w *cloth.Work, m plan.Pose) pt {
	var sum pt
	area := 0.0
	for i := range w.Layers {
		if ps := covered(&w.Layers[i]); ps != nil {
			a := math.Abs(areaOf(ps))
			sum, area = flat.Add(sum, flat.Scale(centre(ps), a)), area+a
		}
	}
	if area == 0 {
		return flat.At(m.At)
	}
	return flat.Apply(m, flat.Scale(sum, 1/area))
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
		m := p.Pose()
		w := d.unitWork(p.Unit)
		t := cloth.New([]cloth.Work{w})
		out[i] = apart{work: t.Work(0), move: m, id: p.Unit}
		hearts[i] = heart(out[i].work, m)
	}
	var seams [][2]pt
	for _, j := range u.Joins {
		seams = append(seams, [2]pt{flat.At(j.Seam[0]), flat.At(j.Seam[1])})
	}
	if n, ok := across(seams); ok {
		spread(out, hearts, n, gap)
		return out
	}
	middle := pt{float64(u.Size.Width) / 2, float64(u.Size.Height) / 2}
	reach := math.Max(middle[0], middle[1])
	for i := range out {
		away := flat.Sub(hearts[i], middle)
		out[i].move = flat.Shifted(out[i].move, flat.Scale(away, 2*gap/reach))
	}
	return out
}

// drawApart draws parts set apart, each piece with its label: in it where there is room, else beside
// it where it stands at the edge of the drawing.
func (d *Drawer) drawApart(c *canvas, parts []apart) {
	view := c.view
	var all []pt
	for _, a := range parts {
		if a.work == nil {
			continue
		}
		c.view = flat.Then(a.move, view)
		d.drawWork(c, a.work)
		for _, l := range a.cuts {
			if p, q, ok := visible(a.work, l.a, l.b); ok { // short as it is, it is drawn on past the cloth
				on := flat.Scale(flat.Unit(flat.Sub(q, p)), 5/c.scale)
				c.cutLine([]pt{flat.Sub(p, on), flat.Add(q, on)})
			}
		}
		if a.torn {
			c.tear(a.work)
		}
		for i := range a.work.Layers {
			all = append(all, c.paper(covered(&a.work.Layers[i]))...)
		}
	}
	lo, hi := flat.Box(all)
	for _, a := range parts {
		c.view = flat.Then(a.move, view)
		s := d.partLabel(a.id)
		if s == "" || a.work == nil {
			continue
		}
		for i := range a.work.Layers {
			if ps := covered(&a.work.Layers[i]); ps != nil && !c.labelIn(ps, s) {
				c.labelBeside(c.paper(ps), lo, hi, s)
			}
		}
	}
	c.view = view
}

// labelIn writes a label in a polygon; it says whether there was room.
func (c *canvas) labelIn(ps []pt, s string) bool {
	for _, size := range []scene.Pt{labelSize, smallSize} {
		if at, ok := c.place(ps, nil, nil, size, s); ok && c.label(at, size, s) {
			return true
		}
	}
	return false
}

// labelBeside writes a label beside a polygon on paper, on the side on which it stands at the edge of
// the box lo..hi of the whole drawing; nothing where it stands at no edge, or at both of two.
func (c *canvas) labelBeside(ps []pt, lo, hi pt, s string) {
	l, h := flat.Box(ps)
	m := mid(l, h)
	away := float64(scene.Width(scene.Bold, smallSize, s))/2 + 6
	const near = 0.5
	left, right := l[0]-lo[0] < near, hi[0]-h[0] < near
	top, bottom := l[1]-lo[1] < near, hi[1]-h[1] < near
	switch {
	case right && !left:
		m[0] = h[0] + away
	case left && !right:
		m[0] = l[0] - away
	case bottom && !top:
		m[1] = h[1] + 8
	case top && !bottom:
		m[1] = l[1] - 8
	default:
		return
	}
	c.label(scene.Point{X: scene.Pt(m[0]), Y: scene.Pt(m[1])}, smallSize, s)
}

// Assembly draws a unit's parts set apart in their places, with the pressing of the seams within
// each part and of those between them: how a block is put together from rows, a top from its rows.
// It is at most w wide and h high.
func (d *Drawer) Assembly(id string, w, h scene.Pt) scene.Drawing {
	return d.once(request{what: "assembly", of: id, w: w, h: h}, func() scene.Drawing { return d.drawAssembly(id, w, h) })
}

func (d *Drawer) drawAssembly(id string, w, h scene.Pt) scene.Drawing {
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
			l, k := flat.Box(flat.Each(a.move, a.work.Layers[i].Cloth))
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
	c.view = plan.Pose{}
	if u.Web != nil {
		d.numberWeb(c, u, parts)
	}
	hearts := func(i int) pt { return d.middleOf(parts[i]) }
	drawn := map[[2]int]bool{} // a partial seam is two joins of the same parts
	for _, j := range u.Joins {
		if j.Parts[0] >= len(parts) || j.Parts[1] >= len(parts) || drawn[j.Parts] {
			continue
		}
		drawn[j.Parts] = true
		// The arrow stands in the gap, half way between where the two sides of the seam have gone.
		m := mid(flat.At(j.Seam[0]), flat.At(j.Seam[1]))
		s0 := flat.Sub(flat.At(parts[j.Parts[0]].move.At), flat.At(u.Parts[j.Parts[0]].At))
		s1 := flat.Sub(flat.At(parts[j.Parts[1]].move.At), flat.At(u.Parts[j.Parts[1]].At))
		m = flat.Add(m, mid(s0, s1))
		half := flat.Scale(flat.Unit(flat.Sub(flat.At(j.Seam[1]), flat.At(j.Seam[0]))), 14/scale)
		if toward, ok := towardPart(j.Press); ok && toward < len(parts) && len(j.Spun) > 0 {
			gap := flat.Sub(m, mid(flat.At(j.Seam[0]), flat.At(j.Seam[1])))
			c.spun(flat.Add(flat.At(j.Seam[0]), gap), flat.Add(flat.At(j.Seam[1]), gap), hearts(toward), moved(j.Spun, gap))
		} else if ok && toward < len(parts) {
			c.pressed(flat.Sub(m, half), flat.Add(m, half), hearts(toward), false, 0)
		} else if j.Press == "open" {
			c.pressed(flat.Sub(m, half), flat.Add(m, half), m, true, 0)
		}
	}
	return c.drawing(d.say.AltAssembly(id, names))
}

// numberWeb numbers the rows and columns of a web beside it: each line by its number in the steps, the parts across by their places.
func (d *Drawer) numberWeb(c *canvas, u *plan.Unit, parts []apart) {
	const away = 9
	first, start := 0, math.Inf(1) // the line above or to the left of all others
	axis := 1                      // along which the lines follow one another
	if s := u.Joins[0].Seam; math.Abs(float64(s[0][0]-s[1][0])) < 1e-6 {
		axis = 0
	}
	beside := func(at pt, n int) {
		c.write(scene.Point{X: scene.Pt(at[0]), Y: scene.Pt(at[1])}, smallSize, scene.Bold, scene.Grey, itoa(n))
	}
	for i, a := range parts {
		var all []pt
		for k := range a.work.Layers {
			all = append(all, c.paper(flat.Each(a.move, covered(&a.work.Layers[k])))...)
		}
		lo, hi := flat.Box(all)
		at := mid(lo, hi)
		at[1-axis] = lo[1-axis] - away
		if n := d.say.Line(a.id); n > 0 {
			beside(at, n)
		}
		if lo[axis] < start {
			first, start = i, lo[axis]
		}
	}
	var across []pt
	for _, p := range d.units[parts[first].id].Parts {
		across = append(across, c.paper([]pt{flat.Apply(parts[first].move, centre(flat.Each(p.Pose(), chorded(d.units[p.Unit].Outline))))})[0])
	}
	sort.Slice(across, func(i, k int) bool { return across[i][1-axis] < across[k][1-axis] })
	for i, at := range across {
		at[axis] = start - away
		beside(at, i+1)
	}
}

// moved is places of a unit, moved.
func moved(all []plan.Point, by pt) []pt {
	out := make([]pt, len(all))
	for i, p := range all {
		out[i] = flat.Add(flat.At(p), by)
	}
	return out
}

func (d *Drawer) middleOf(a apart) pt {
	if a.work == nil {
		return flat.At(a.move.At)
	}
	return heart(a.work, a.move)
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
	a, b := flat.At(j.Seam[0]), flat.At(j.Seam[1])
	if toward, ok := towardPart(j.Press); ok && toward < len(u.Parts) {
		if x := d.units[u.Parts[toward].Unit]; x != nil {
			ps := flat.Each(u.Parts[toward].Pose(), chorded(x.Outline))
			if len(j.Spun) > 0 {
				c.spun(a, b, centre(ps), moved(j.Spun, pt{}))
				return
			}
			n, deep := flat.Unit(square(flat.Sub(b, a))), 0.0
			for _, p := range ps {
				deep = math.Max(deep, math.Abs(flat.Dot(flat.Sub(p, a), n)))
			}
			c.pressed(a, b, centre(ps), false, deep)
		}
	} else if j.Press == "open" {
		c.pressed(a, b, a, true, 0)
	}
}

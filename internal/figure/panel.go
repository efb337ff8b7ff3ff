package figure

import (
	"math"
	"slices"

	"quiltwright/internal/cloth"
	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
	"quiltwright/internal/scene"
)

// panels draws what a telling shows, side by side with an arrow between.
// Without labels it is as large, and drawn sooner: only the room that the cloth takes.
func (d *Drawer) panels(t telling, scale float64, labels bool) scene.Drawing {
	var ds []scene.Drawing
	for i := range t.panels {
		f := d.panel(&t.panels[i], scale, labels)
		switch n := len(ds); {
		case f.W == 0:
		case t.panels[i].with && n > 0:
			ds[n-1] = beside([]scene.Drawing{ds[n-1], f}, panelGap/4, false, "")
		default:
			ds = append(ds, f)
		}
	}
	return beside(ds, panelGap, true, t.alt)
}

// panelGap is the room between two panels, with an arrow in it.
const panelGap = 34

// panel draws one state.
func (d *Drawer) panel(p *panel, scale float64, labels bool) scene.Drawing {
	c := &canvas{view: p.view, scale: scale}
	if p.apart != nil {
		d.drawApart(c, p.apart)
		return c.drawing("")
	}
	if p.work == nil {
		return scene.Drawing{}
	}
	lines := d.linesOf(p)
	if labels {
		d.drawWork(c, p.work)
	} else {
		lo, hi := p.extent()
		c.add(scene.Line(c.flat(lo), c.flat(hi)))
	}
	back := d.turnBack(c, p)
	d.drawLines(c, p)
	for _, q := range p.watch { // arrows keep off them
		c.reserve(c.at(q), 5)
	}
	for i, l := range p.seams() {
		if s := p.work.Seams[i]; l.ok && s.State != "sewn" && p.pressed[s.N] {
			d.drawPressing(c, p.work, s, l.a, l.b)
		}
	}
	if p.trim != nil {
		c.cutLine(p.trim)
	}
	for _, l := range p.apartAt {
		if a, b, ok := visible(p.work, l.a, l.b); ok {
			c.cutLine([]pt{a, b})
		}
	}
	if p.torn {
		c.tear(p.work)
	}
	if p.cuts != nil {
		d.drawSegments(c, p.cuts)
	}
	for _, q := range p.watch {
		c.circle(q)
	}
	if labels {
		d.drawLabels(c, p, lines, back)
	}
	d.labelBelow(c, p, back)
	if p.size != (pt{}) {
		d.drawSize(c, p)
	}
	f := c.drawing("")
	if p.caption != "" {
		says := scene.Label(scene.Point{X: f.W / 2, Y: f.H + labelSize}, labelSize, scene.Bold, scene.Ink, scene.Middle, p.caption)
		f.Add(says)
		f.H += 1.5 * labelSize
		f.W = max(f.W, says.Width())
	}
	if p.alike > 1 {
		says := scene.Label(scene.Point{X: f.W + 5, Y: f.H/2 + 3}, labelSize, scene.Bold, scene.Ink, scene.Left, d.say.Alike(p.alike))
		f.Add(says)
		f.W += 7 + says.Width()
	}
	return f
}

// cutLine draws where cloth is cut by a ruler.
func (c *canvas) cutLine(ps []pt) {
	c.add(c.path(ps).Stroked(scene.White, 1.9), c.path(ps).Stroked(scene.Ember, 0.9).Dashed(5, 2, 1, 2))
}

// linesOf are the drawn lines and seams that a panel shows, as far as they lie on cloth.
func (d *Drawer) linesOf(p *panel) [][2]pt {
	lines := d.marksOf(p)
	for _, l := range p.seams() {
		if l.ok {
			lines = append(lines, [2]pt{l.a, l.b})
		}
	}
	return lines
}

// marksOf are the drawn lines still in use: those that no opened seam runs beside.
func (d *Drawer) marksOf(p *panel) [][2]pt {
	var out [][2]pt
	for _, m := range p.work.Marks {
		live := true
		u := flat.Unit(flat.Sub(m[1], m[0]))
		for _, s := range p.work.Seams {
			opened := s.N >= 0 && s.State != "sewn"
			beside := math.Abs(flat.Cross(u, flat.Sub(s.A, m[0]))) < 1.5*float64(d.p.Seam) && math.Abs(flat.Cross(u, flat.Sub(s.B, m[0]))) < 1.5*float64(d.p.Seam)
			live = live && !(opened && beside)
		}
		if a, b, ok := visible(p.work, m[0], m[1]); ok && live {
			out = append(out, [2]pt{a, b})
		}
	}
	return out
}

func (d *Drawer) drawLines(c *canvas, p *panel) {
	for _, m := range d.marksOf(p) {
		c.dashed(m[0], m[1])
	}
	for i, l := range p.seams() {
		if l.ok && p.work.Seams[i].State == "sewn" {
			c.dotted(l.a, l.b)
			for _, e := range p.work.Seams[i].Dots {
				c.dot([2]pt{p.work.Seams[i].A, p.work.Seams[i].B}[e&1])
			}
		}
	}
}

// drawWork draws the layers of a work from the bottom up.
func (d *Drawer) drawWork(c *canvas, w *cloth.Work) {
	width := c.thin(w)
	for i := range w.Layers {
		l := &w.Layers[i]
		ps := covered(l)
		if ps == nil {
			continue
		}
		if l.FaceUp {
			c.polygon(ps, d.Look(l.Fabric), width)
		} else {
			c.wrongSide(ps, d.color(l.Fabric))
		}
	}
}

// thin is the width of outlines on a work: full on large patches, finer on small ones, so that a
// whole top is its colours and not its lines.
func (c *canvas) thin(w *cloth.Work) scene.Pt {
	sum, n := 0.0, 0
	for i := range w.Layers {
		if ps := covered(&w.Layers[i]); ps != nil {
			sum, n = sum+math.Sqrt(math.Abs(areaOf(ps))), n+1
		}
	}
	if n == 0 {
		return outlineWidth
	}
	return max(0.12, min(outlineWidth, scene.Pt(sum/float64(n)*c.scale*0.03)))
}

// turnBack folds a corner of what lies on top back where it hides all that lies below, so that both
// right sides can be seen. It returns what must not be written on, nil where nothing is turned back.
func (d *Drawer) turnBack(c *canvas, p *panel) [][]pt {
	w := p.work
	lines := d.marksOf(p)
	for i, l := range p.seams() {
		above := func(l cloth.Layer) bool { return !l.FaceUp && sewnBy(&l, w.Seams[i].N) }
		if l.ok && (w.Seams[i].State == "sewn" || slices.ContainsFunc(w.Layers, above)) { // those of what lies below are hidden
			lines = append(lines, [2]pt{l.a, l.b})
		}
	}
	hidden, below := true, -1
	for i := range w.Layers {
		if l := &w.Layers[i]; l.FaceUp {
			below = i
			ps := covered(l)
			for k, q := range ps { // a tip that sticks out at the end of a seam shows little
				r := ps[(k+1)%len(ps)]
				for _, t := range []float64{0.2, 0.5, 0.8} {
					hidden = hidden && onTop(w, flat.Add(q, flat.Scale(flat.Sub(r, q), t)))
				}
			}
		}
	}
	if !hidden || below < 0 {
		return nil
	}
	best, most := [3]pt{}, 0.0
	var outline []pt
	var fabric string
	for i := range w.Layers {
		l := &w.Layers[i]
		if l.FaceUp {
			continue
		}
		ps := covered(l)
		for k, q := range ps {
			a, b := ps[(k+len(ps)-1)%len(ps)], ps[(k+1)%len(ps)]
			side := math.Min(flat.Length(flat.Sub(a, q)), flat.Length(flat.Sub(b, q)))
			size := math.Min(side*0.36, 20/c.scale)
			if flat.Dot(flat.Unit(flat.Sub(a, q)), flat.Unit(flat.Sub(b, q))) > 0.3 || !cornerBelow(w, q) {
				continue // too sharp a corner, or what is below has none there
			}
			clear := math.Inf(1)
			for _, m := range lines {
				clear = math.Min(clear, distance(q, m[0], m[1]))
			}
			if clear > most && clear > size*0.8 {
				if size*c.scale < 8 {
					continue
				}
				best, most = [3]pt{q, flat.Add(q, flat.Scale(flat.Unit(flat.Sub(a, q)), size)), flat.Add(q, flat.Scale(flat.Unit(flat.Sub(b, q)), size))}, clear
				outline, fabric = ps, l.Fabric
			}
		}
	}
	if outline == nil {
		return nil
	}
	q, a, b := best[0], best[1], best[2]
	over := reflect(q, a, b)
	tri := []pt{q, b, a}
	if areaOf(tri)*areaOf(covered(&w.Layers[below])) < 0 {
		tri = []pt{q, a, b}
	}
	c.polygon(tri, d.Look(w.Layers[below].Fabric), outlineWidth)
	for i := range w.Layers {
		l := cloth.Layer{Cloth: covered(&w.Layers[i])}
		if !w.Layers[i].FaceUp || i == below || l.Cloth == nil {
			continue
		}
		l.Edges = make([]cloth.Edge, len(l.Cloth))
		if clip(&l, tri); len(l.Cloth) > 2 {
			c.polygon(l.Cloth, d.Look(w.Layers[i].Fabric), outlineWidth)
		}
	}
	c.polygon([]pt{over, a, b}, d.Look(fabric), outlineWidth)
	return [][]pt{{q, b, a}, {over, a, b}}
}

// reflect mirrors q in the line through a and b.
func reflect(q, a, b pt) pt {
	u := flat.Unit(flat.Sub(b, a))
	foot := flat.Add(a, flat.Scale(u, flat.Dot(flat.Sub(q, a), u)))
	return flat.Add(q, flat.Scale(flat.Sub(foot, q), 2))
}

func cornerBelow(w *cloth.Work, q pt) bool {
	for i := range w.Layers {
		if l := &w.Layers[i]; l.FaceUp {
			for _, p := range covered(l) {
				if flat.Length(flat.Sub(p, q)) < 0.05 {
					return true
				}
			}
		}
	}
	return false
}

// onTop says whether a layer that lies face down covers the place.
func onTop(w *cloth.Work, q pt) bool {
	for i := range w.Layers {
		l := &w.Layers[i]
		if l.FaceUp {
			continue
		}
		ps := covered(l)
		if len(ps) > 2 && (inside(ps, q) || nearEdge(ps, q, 0.05)) {
			return true
		}
	}
	return false
}

func nearEdge(ps []pt, p pt, by float64) bool {
	for i, a := range ps {
		if distance(p, a, ps[(i+1)%len(ps)]) < by {
			return true
		}
	}
	return false
}

// drawPressing draws the arrows of a pressed seam over the visible part a b of it: one for each
// part it presses toward, over the middle of where that part lies along the seam.
func (d *Drawer) drawPressing(c *canvas, w *cloth.Work, s cloth.Seam, a, b pt) {
	if s.State == "open" {
		c.pressed(a, b, a, true, 0)
		return
	}
	u, run := flat.Unit(flat.Sub(b, a)), flat.Length(flat.Sub(b, a))
	hand, label := 0.0, ""
	for i := range w.Layers {
		if l := &w.Layers[i]; l.Part == s.Toward && len(covered(l)) > 0 {
			if x := flat.Cross(u, flat.Sub(centre(covered(l)), a)); math.Abs(x) > math.Abs(hand) {
				hand, label = x, l.Label
			}
		}
	}
	if len(s.Spun) > 0 {
		var at []pt
		way := flat.Direction(s.A, s.B)
		for _, t := range s.Spun {
			at = append(at, flat.Add(s.A, flat.Scale(way, t)))
		}
		toward := flat.Add(mid(a, b), flat.Scale(square(u), hand))
		if flat.Dot(way, u) < 0 { // the visible part is walked the other way
			a, b = b, a
		}
		c.spun(a, b, toward, at)
		return
	}
	type span struct{ lo, hi, deep float64 }
	spans := map[int]span{}
	var order []int
	for i := range w.Layers {
		l := &w.Layers[i]
		ps := covered(l)
		alike := label != "" && l.Label == label && sewnBy(l, s.N)
		if ps == nil || l.Part != s.Toward && !alike || flat.Cross(u, flat.Sub(centre(ps), a))*hand <= 0 {
			continue
		}
		p, q, ok := along(ps, a, b)
		if !ok {
			continue
		}
		lo, hi := flat.Dot(flat.Sub(p, a), u), flat.Dot(flat.Sub(q, a), u)
		have, known := spans[l.Part]
		if !known {
			order = append(order, l.Part)
			have = span{lo: lo, hi: hi}
		}
		for _, v := range ps {
			have.deep = math.Max(have.deep, math.Abs(flat.Cross(u, flat.Sub(v, a))))
		}
		spans[l.Part] = span{math.Min(have.lo, lo), math.Max(have.hi, hi), have.deep}
	}
	for _, part := range order {
		if x := spans[part]; x.hi-x.lo > 0.25*run || part == s.Toward {
			c.pressed(flat.Add(a, flat.Scale(u, x.lo)), flat.Add(a, flat.Scale(u, x.hi)), flat.Add(mid(a, b), flat.Scale(square(u), hand)), false, x.deep)
		}
	}
	if len(order) == 0 {
		c.pressed(a, b, flat.Add(mid(a, b), flat.Scale(square(u), hand)), false, 0)
	}
}

func sewnBy(l *cloth.Layer, n int) bool {
	for _, e := range l.Edges {
		if e.Sewn && e.Seam == n {
			return true
		}
	}
	return false
}

// along is the part of the segment a b that runs along an edge of the polygon.
func along(ps []pt, a, b pt) (pt, pt, bool) {
	u := flat.Unit(flat.Sub(b, a))
	run := flat.Length(flat.Sub(b, a))
	lo, hi := math.Inf(1), math.Inf(-1)
	for i, p := range ps {
		q := ps[(i+1)%len(ps)]
		if math.Abs(flat.Cross(u, flat.Sub(p, a))) > 0.06 || math.Abs(flat.Cross(u, flat.Sub(q, a))) > 0.06 || flat.Length(flat.Sub(q, p)) < 1e-6 {
			continue
		}
		s, t := flat.Dot(flat.Sub(p, a), u), flat.Dot(flat.Sub(q, a), u)
		lo, hi = math.Min(lo, math.Min(s, t)), math.Max(hi, math.Max(s, t))
	}
	lo, hi = math.Max(lo, 0), math.Min(hi, run)
	if hi-lo < 1e-3 {
		return a, b, false
	}
	return flat.Add(a, flat.Scale(u, lo)), flat.Add(a, flat.Scale(u, hi)), true
}

// drawSegments draws the cuts of a strip set and the width of a segment.
func (d *Drawer) drawSegments(c *canvas, op *plan.Op) {
	if op.Line == nil {
		return
	}
	a, b := flat.At(op.Line[0]), flat.At(op.Line[1])
	right := flat.Unit(square(flat.Sub(b, a)))
	for k := range op.Times {
		m := flat.Scale(right, float64(op.Every)*float64(k))
		c.dashed(flat.Add(a, m), flat.Add(b, m))
	}
	c.measure(flat.Sub(a, flat.Scale(right, float64(op.Every))), a, flat.Sub(b, flat.Scale(right, float64(op.Every))), d.say.Length(op.Every))
}

// drawSize writes the measures of a work that is a rectangle: its width below, its height on the
// right where it differs.
func (d *Drawer) drawSize(c *canvas, p *panel) {
	ps := p.trim
	if ps == nil {
		for i := range p.work.Layers {
			ps = append(ps, covered(&p.work.Layers[i])...)
		}
	}
	lo, hi := flat.Box(flat.Each(c.view, ps))
	was := c.view
	c.view = plan.Pose{}
	c.measure(pt{lo[0], hi[1]}, hi, lo, d.say.Length(plan.Num(p.size[0])))
	if math.Abs(p.size[0]-p.size[1]) > 1e-3 {
		c.measure(pt{hi[0], lo[1]}, hi, lo, d.say.Length(plan.Num(p.size[1])))
	}
	c.view = was
}

// measure writes a measure outside the span from p to q of cloth, on the side away from inner.
func (c *canvas) measure(p, q, inner pt, s string) {
	a, b, in := c.paper([]pt{p})[0], c.paper([]pt{q})[0], c.paper([]pt{inner})[0]
	n := flat.Unit(square(flat.Sub(b, a)))
	if flat.Dot(flat.Sub(in, a), n) > 0 {
		n = flat.Scale(n, -1)
	}
	put := func(v pt) scene.Point { return scene.Point{X: scene.Pt(v[0]), Y: scene.Pt(v[1])} }
	a, b = flat.Add(a, flat.Scale(n, 5)), flat.Add(b, flat.Scale(n, 5))
	tick := func(v pt) scene.Path {
		return scene.Line(put(flat.Add(v, flat.Scale(n, -2.2))), put(flat.Add(v, flat.Scale(n, 2.2)))).Stroked(scene.Grey, 0.5)
	}
	c.add(scene.Line(put(a), put(b)).Stroked(scene.Grey, 0.5), tick(a), tick(b))
	away := 8.0 + math.Abs(n[0])*float64(scene.Width(scene.Body, smallSize, s))/2
	c.write(put(flat.Add(mid(a, b), flat.Scale(n, away-math.Abs(n[0])*4))), smallSize, scene.Body, scene.Grey, s)
}

// tear covers the right end of a work with a torn edge: it goes on.
func (c *canvas) tear(w *cloth.Work) {
	var ps []pt
	for i := range w.Layers {
		ps = append(ps, covered(&w.Layers[i])...)
	}
	c.tearAt(ps)
}

func (c *canvas) tearAt(ps []pt) {
	lo, hi := flat.Box(ps)
	const teeth = 6
	deep := 5 / c.scale
	var edge []pt
	for k := range teeth + 1 {
		x := hi[0] - deep
		if k%2 == 1 {
			x = hi[0] - 2*deep
		}
		edge = append(edge, pt{x, lo[1] + (hi[1]-lo[1])*float64(k)/teeth})
	}
	pad := 1 / c.scale
	edge[0][1] -= pad
	edge[teeth][1] += pad
	cover := append(append([]pt{}, edge...), pt{hi[0] + pad, hi[1] + pad}, pt{hi[0] + pad, lo[1] - pad})
	c.add(c.path(cover).Filled(scene.White))
	qs := make([]scene.Point, len(edge))
	for i, p := range edge {
		qs[i] = c.at(p)
	}
	c.add(scene.Polyline(qs...).Stroked(scene.Grey, 0.5))
}

// drawLabels writes the labels of pieces where there is room for them; a piece that already has two
// labels in the drawing needs no more.
func (d *Drawer) drawLabels(c *canvas, p *panel, lines [][2]pt, back [][]pt) {
	written := map[string]int{}
	for i := len(p.work.Layers) - 1; i >= 0; i-- {
		l := &p.work.Layers[i]
		s := p.labels[l.Part]
		ps := covered(l)
		if s == "" || ps == nil || written[s] >= 2 {
			continue
		}
		covers := append([][]pt(nil), back...)
		for k := i + 1; k < len(p.work.Layers); k++ {
			if o := covered(&p.work.Layers[k]); o != nil {
				covers = append(covers, o)
			}
		}
		for _, size := range []scene.Pt{labelSize, smallSize} {
			if at, ok := c.place(ps, covers, lines, size, s); ok && c.label(at, size, s) {
				written[s]++
				break
			}
		}
	}
}

// labelBelow names what only shows under a corner turned back, beside that corner.
func (d *Drawer) labelBelow(c *canvas, p *panel, back [][]pt) {
	if back == nil {
		return
	}
	below := map[string]bool{}
	for _, l := range p.work.Layers {
		below[p.labels[l.Part]] = below[p.labels[l.Part]] || l.FaceUp
	}
	if len(below) > 2 {
		return // which of them would be meant
	}
	for i := len(p.work.Layers) - 1; i >= 0; i-- {
		l := &p.work.Layers[i]
		s := p.labels[l.Part]
		if !l.FaceUp || s == "" {
			continue
		}
		at := c.paper([]pt{back[0][0], mid(back[0][1], back[0][2])})
		out := flat.Unit(flat.Sub(at[0], at[1]))
		q := flat.Add(at[0], pt{out[0] * (float64(scene.Width(scene.Bold, labelSize, s))/2 + 5), out[1] * 9})
		c.label(scene.Point{X: scene.Pt(q[0]), Y: scene.Pt(q[1])}, labelSize, s)
		return
	}
}

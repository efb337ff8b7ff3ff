package figure

import (
	"math"

	"quiltwright/internal/cloth"
	"quiltwright/internal/plan"
	"quiltwright/internal/scene"
	"quiltwright/internal/words"
)

// Step draws the step with this number in the plan at a scale in points: what lies on the table
// before, and after where the step cuts, presses or trims. A step without a recipe has an empty
// drawing.
func (d *Drawer) Step(i int, scale float64) scene.Drawing {
	s := &d.p.Steps[i]
	r := d.recipes[s.Recipe]
	if r == nil {
		return scene.Drawing{}
	}
	t := d.telling(r, s.First, min(s.Last, len(r.Do)-1))
	return d.panels(t, scale)
}

// StepScale is the largest scale at which each of the steps is at most w wide and h high, and at
// most most: the one scale for the drawings of a page. Steps without a drawing do not count.
func (d *Drawer) StepScale(steps []int, w, h scene.Pt, most float64) float64 {
	scale := most
	for _, i := range steps {
		for range 6 { // labels and arrows do not grow with the scale: close in on it
			f := d.Step(i, scale)
			if f.W <= w && f.H <= h || f.W == 0 {
				break
			}
			scale *= math.Min(0.98, math.Min(float64(w/f.W), float64(h/f.H)))
		}
	}
	return scale
}

// panel is one state of the table, or parts set out side by side before they are joined.
type panel struct {
	work     *cloth.Work
	view     pose
	apart    []apart
	pressed  map[int]bool // seams whose pressing this step is about
	watch    []pt         // places to circle, in the work's frame
	trim     []pt         // outline it is trimmed to
	segments *plan.Op     // cuts into segments
	labels   map[int]string
}

// apart is a part as it stands before it is joined.
type apart struct {
	work *cloth.Work
	move pose // to the frame of the panel
	id   string
}

// telling is what the drawing of a step shows.
type telling struct {
	panels []panel
	alt    string
}

// telling runs a recipe and picks what to draw for the operations first..last: the table before the
// first that cuts, presses or trims, and after the last.
func (d *Drawer) telling(r *plan.Recipe, first, last int) telling {
	works, ids := d.parts(r)
	table := cloth.New(works)
	main := d.mainWork(r, first, last)
	var out telling
	if t, ok := d.assembly(r, first, last, works, ids); ok {
		return t
	}
	labels := map[int]string{}
	for i, id := range ids {
		labels[i] = d.partLabel(id)
	}
	begin := beginsChange(r.Do, first, last)
	pressed := map[int]bool{}
	trims := []pt(nil)
	for i := range r.Do[:last+1] {
		op := r.Do[i]
		if i == begin {
			out.panels = append(out.panels, panel{work: d.state(table, main), labels: labels, watch: d.watch(r, table, main, first, i), trim: trimOf(r.Do, first, last, main)})
		}
		if op.Op == "cut" && op.Times > 0 && i >= first {
			if w := d.state(table, op.Work); w != nil {
				out.panels = []panel{{work: w, labels: labels, segments: &r.Do[i]}}
			}
		}
		if err := table.Do(op); err != nil {
			break
		}
		if i >= first && op.Op == "press" {
			pressed[op.Seam] = true
		}
		if i >= first && op.Op == "trim" {
			trims = append(trims, pt{})
		}
	}
	after := panel{work: d.state(table, main), labels: labels, pressed: pressed}
	if begin > last {
		after.watch = d.watch(r, table, main, first, last+1)
	}
	out.panels = append(out.panels, after)
	for i := range out.panels {
		p := &out.panels[i]
		p.view = d.view(r, main, last, out.panels[len(out.panels)-1].work)
		if i < len(out.panels)-1 && len(r.Gives) > 1 {
			p.view = d.view(r, main, first-1, p.work)
		}
	}
	out.alt = d.alt(out.panels)
	return out
}

// state is a copy of the work as it lies on the table, nil where there is none.
func (d *Drawer) state(t *cloth.Table, n int) *cloth.Work { return t.Work(n) }

// beginsChange is the first operation of the span at which the drawing before ends: the first cut,
// press or trim after something was laid, or after the cuts the span begins with.
func beginsChange(ops []plan.Op, first, last int) int {
	i := first
	for i <= last && (ops[i].Op == "lay" || ops[i].Op == "mark" || ops[i].Op == "stitch") {
		i++
	}
	if i > first {
		return i
	}
	for i <= last && ops[i].Op == "cut" && ops[i].Times == 0 {
		i++
	}
	return i
}

// mainWork is the work that stands for all that a span works on: of those that are given in the end
// the first one touched, else the first one touched that is not waste.
func (d *Drawer) mainWork(r *plan.Recipe, first, last int) int {
	given := map[int]bool{}
	for _, g := range r.Gives {
		given[g.Work] = true
	}
	main := -1
	for _, op := range r.Do[first : last+1] {
		if given[op.Work] {
			return op.Work
		}
		if main < 0 {
			main = op.Work
		}
	}
	return max(main, 0)
}

// view turns a work as its unit stands once it is not cut any more; before that so that it takes the
// least room, lying rather than standing.
func (d *Drawer) view(r *plan.Recipe, n, done int, w *cloth.Work) pose {
	cutLater := false
	made := 0
	for _, f := range r.From {
		made += f.Count
	}
	given := map[int]plan.Gives{}
	for _, g := range r.Gives {
		given[g.Work] = g
	}
	for i, op := range r.Do {
		if op.Op == "cut" && op.Times == 0 {
			if _, used := given[made]; used && i > done && op.Work == n {
				cutLater = true
			}
			made++
		}
	}
	if g, ok := given[n]; ok && !cutLater {
		return pose{turn: float64(g.Turn), mirror: g.Mirror}
	}
	if w == nil {
		return pose{}
	}
	best, area, high := 0.0, math.Inf(1), math.Inf(1)
	for turn := 0.0; turn < 360; turn += 45 {
		m := pose{turn: turn}
		var ps []pt
		for i := range w.Layers {
			ps = append(ps, m.all(covered(&w.Layers[i]))...)
		}
		lo, hi := box(ps)
		a, h := (hi[0]-lo[0])*(hi[1]-lo[1]), hi[1]-lo[1]
		if a < area*0.999 || a < area*1.001 && h < high*0.999 {
			best, area, high = turn, a, h
		}
	}
	return pose{turn: best}
}

// partLabel is what is written on a part: the label of its piece, or nothing for a sewn unit.
func (d *Drawer) partLabel(id string) string {
	if d.pieces[id] != nil {
		return id
	}
	if u := d.units[id]; u != nil {
		return u.Piece
	}
	return ""
}

// watch are the places to circle: where the raw edge of one piece passes the other's at the ends of
// a seam, and where a line that is sewn now crosses a seam that was pressed before.
func (d *Drawer) watch(r *plan.Recipe, t *cloth.Table, n, first, end int) []pt {
	w := t.Work(n)
	if w == nil {
		return nil
	}
	var out []pt
	for _, op := range r.Do[first:min(end, len(r.Do))] {
		if op.Op != "stitch" || op.Work != n || op.Along == nil {
			continue
		}
		a, b := fromPlan(op.Along[0]), fromPlan(op.Along[1])
		if op.Allowance > 0 {
			if j := d.joinAt(r, n, a, b); j != nil {
				for _, al := range j.Align {
					g := givesOf(r, n)
					if al.End < 0 || al.End > 1 || g == nil {
						continue
					}
					m := pose{fromPlan(g.At), float64(g.Turn), g.Mirror}
					e := a
					if length(sub(m.apply(a), fromPlan(j.Seam[al.End]))) > length(sub(m.apply(b), fromPlan(j.Seam[al.End]))) {
						e = b
					}
					out = append(out, e)
				}
			}
			continue
		}
		for _, s := range w.Seams {
			if s.State == "sewn" {
				continue
			}
			if at, ok := meet(a, b, s.A, s.B); ok && at > 0.02 && at < 0.98 {
				q := add(a, times(sub(b, a), at))
				if dup := len(out) > 0 && length(sub(out[len(out)-1], q)) < 2*float64(d.p.Seam); !dup {
					out = append(out, q)
				}
			}
		}
	}
	return out
}

func givesOf(r *plan.Recipe, n int) *plan.Gives {
	for i := range r.Gives {
		if r.Gives[i].Work == n {
			return &r.Gives[i]
		}
	}
	return nil
}

// joinAt is the join of the recipe's unit that lies along a b of work n, or nil.
func (d *Drawer) joinAt(r *plan.Recipe, n int, a, b pt) *plan.Join {
	g, u := givesOf(r, n), d.units[r.Unit]
	if g == nil || u == nil {
		return nil
	}
	m := pose{fromPlan(g.At), float64(g.Turn), g.Mirror}
	a, b = m.apply(a), m.apply(b)
	for i := range u.Joins {
		p, q := fromPlan(u.Joins[i].Seam[0]), fromPlan(u.Joins[i].Seam[1])
		if length(sub(p, a))+length(sub(q, b)) < 0.08 || length(sub(p, b))+length(sub(q, a)) < 0.08 {
			return &u.Joins[i]
		}
	}
	return nil
}

// trimOf is the outline that the span trims a work to; nil where it does not.
func trimOf(ops []plan.Op, first, last, n int) []pt {
	for _, op := range ops[first : last+1] {
		if op.Op == "trim" && op.Work == n {
			var to []pt
			for _, p := range op.To {
				to = append(to, fromPlan(p))
			}
			return to
		}
	}
	return nil
}

// panels draws what a telling shows, side by side with an arrow between.
func (d *Drawer) panels(t telling, scale float64) scene.Drawing {
	var ds []scene.Drawing
	for i := range t.panels {
		f := d.panel(&t.panels[i], scale)
		if f.W > 0 {
			ds = append(ds, f)
		}
	}
	return beside(ds, 34, true, t.alt)
}

// panel draws one state.
func (d *Drawer) panel(p *panel, scale float64) scene.Drawing {
	c := &canvas{view: p.view, scale: scale}
	if p.apart != nil {
		d.drawApart(c, p.apart)
		return c.drawing("")
	}
	if p.work == nil {
		return scene.Drawing{}
	}
	d.drawWork(c, p.work)
	var lines [][2]pt
	for _, m := range p.work.Marks {
		if p.pressed != nil && len(p.pressed) > 0 {
			break
		}
		if a, b, ok := visible(p.work, m[0], m[1]); ok {
			c.dashed(a, b)
			lines = append(lines, [2]pt{a, b})
		}
	}
	for _, s := range p.work.Seams {
		if s.N < 0 {
			continue
		}
		a, b, ok := visible(p.work, s.A, s.B)
		if !ok {
			continue
		}
		lines = append(lines, [2]pt{a, b})
		switch {
		case s.State == "sewn":
			c.dotted(a, b)
		case p.pressed[s.N]:
			d.drawPressing(c, p.work, s, a, b)
		}
	}
	if p.trim != nil {
		c.add(c.path(p.trim).Stroked(scene.Ember, 0.8).Dashed(5, 2, 1, 2))
	}
	if p.segments != nil {
		d.drawSegments(c, p.work, p.segments)
	}
	for _, q := range p.watch {
		c.circle(q)
		c.reserve(c.at(q), 5)
	}
	d.drawLabels(c, p, lines)
	return c.drawing("")
}

// drawWork draws the layers of a work from the bottom up.
func (d *Drawer) drawWork(c *canvas, w *cloth.Work) {
	for i := range w.Layers {
		l := &w.Layers[i]
		ps := covered(l)
		if ps == nil {
			continue
		}
		if l.FaceUp {
			c.polygon(ps, d.color(l.Fabric), outlineWidth)
		} else {
			c.wrongSide(ps, d.color(l.Fabric))
		}
	}
}

// drawPressing draws the arrow of a pressed seam over the visible part a b of it.
func (d *Drawer) drawPressing(c *canvas, w *cloth.Work, s cloth.Seam, a, b pt) {
	if s.State == "open" {
		c.pressed(a, b, a, true)
		return
	}
	// Where the seam holds several pieces (two geese's sides in one seam), each has its arrow.
	for i := range w.Layers {
		l := &w.Layers[i]
		ps := covered(l)
		if ps == nil || l.Part != s.Toward && !d.sewnTo(w, l, s) {
			continue
		}
		if p, q, ok := along(ps, a, b); ok && (l.Part == s.Toward || alikePart(w, l, s.Toward)) {
			c.pressed(p, q, centre(ps), false)
		}
	}
}

func (d *Drawer) sewnTo(w *cloth.Work, l *cloth.Layer, s cloth.Seam) bool {
	for _, e := range l.Edges {
		if e.Sewn && e.Seam == s.N {
			return true
		}
	}
	return false
}

// alikePart says whether a layer is the same piece as the part pressed toward, so that one seam
// presses toward both.
func alikePart(w *cloth.Work, l *cloth.Layer, part int) bool {
	for i := range w.Layers {
		if o := &w.Layers[i]; o.Part == part {
			return o.Label != "" && o.Label == l.Label
		}
	}
	return false
}

// along is the part of the segment a b that runs along an edge of the polygon.
func along(ps []pt, a, b pt) (pt, pt, bool) {
	u := unitOf(sub(b, a))
	run := length(sub(b, a))
	lo, hi := math.Inf(1), math.Inf(-1)
	for i, p := range ps {
		q := ps[(i+1)%len(ps)]
		if math.Abs(cross(u, sub(p, a))) > 0.06 || math.Abs(cross(u, sub(q, a))) > 0.06 || length(sub(q, p)) < 1e-6 {
			continue
		}
		s, t := dot(sub(p, a), u), dot(sub(q, a), u)
		lo, hi = math.Min(lo, math.Min(s, t)), math.Max(hi, math.Max(s, t))
	}
	lo, hi = math.Max(lo, 0), math.Min(hi, run)
	if hi-lo < 1e-3 {
		return a, b, false
	}
	return add(a, times(u, lo)), add(a, times(u, hi)), true
}

// drawSegments draws the cuts of a strip set; where there are many, the first few and a break.
func (d *Drawer) drawSegments(c *canvas, w *cloth.Work, op *plan.Op) {
	if op.Line == nil {
		return
	}
	a, b := fromPlan(op.Line[0]), fromPlan(op.Line[1])
	right := unitOf(square(sub(b, a)))
	for k := range op.Times {
		m := times(right, float64(op.Every)*float64(k))
		c.add(scene.Line(c.at(add(a, m)), c.at(add(b, m))).Stroked(scene.White, 1.8), scene.Line(c.at(add(a, m)), c.at(add(b, m))).Stroked(scene.Ink, lineWidth).Dashed(4, 2.4))
	}
	p, q := c.at(sub(a, times(right, float64(op.Every)))), c.at(a)
	low := math.Max(float64(c.at(a).Y), float64(c.at(b).Y))
	c.measure(scene.Point{X: p.X, Y: scene.Pt(low)}, scene.Point{X: q.X, Y: scene.Pt(low)}, d.say.Length(op.Every))
}

// measure writes a measure below the span from p to q.
func (c *canvas) measure(p, q scene.Point, s string) {
	y := max(p.Y, q.Y) + 5
	line := scene.Line(scene.Point{X: p.X, Y: y}, scene.Point{X: q.X, Y: y}).Stroked(scene.Grey, 0.5)
	tick := func(x scene.Pt) scene.Path {
		return scene.Line(scene.Point{X: x, Y: y - 2}, scene.Point{X: x, Y: y + 2}).Stroked(scene.Grey, 0.5)
	}
	at := scene.Point{X: (p.X + q.X) / 2, Y: y + 8}
	c.add(line, tick(p.X), tick(q.X))
	c.write(at, smallSize, scene.Body, scene.Grey, s)
}

// drawLabels writes the labels of pieces where there is room for them: each layer's first, else a
// line to it from outside; a piece that already has three labels in the drawing needs no more.
func (d *Drawer) drawLabels(c *canvas, p *panel, lines [][2]pt) {
	written := map[string]int{}
	for i := len(p.work.Layers) - 1; i >= 0; i-- {
		l := &p.work.Layers[i]
		s := p.labels[l.Part]
		ps := covered(l)
		if s == "" || ps == nil || written[s] >= 3 {
			continue
		}
		var covers [][]pt
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

// said is the sentence of a step, for alternative texts.
func (d *Drawer) said(i int) words.Text { return d.say.Step(i).Do }

package figure

import (
	"math"
	"slices"

	"quiltwright/internal/cloth"
	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
	"quiltwright/internal/scene"
)

// Step draws the step with this number in the plan at a scale in points: what lies on the table
// before, and after where the step cuts, presses or trims. A step without a recipe has an empty
// drawing.
func (d *Drawer) Step(i int, scale float64) scene.Drawing {
	s := &d.p.Steps[i]
	r := d.recipes[s.Recipe]
	if r == nil || s.First < 0 || s.First >= len(r.Do) {
		return scene.Drawing{}
	}
	return d.panels(d.step(i), scale, true)
}

// After draws what lies on the table after each of the steps, all to the largest scale at which each is at most w wide and h high, and at most
// most. A step without a recipe has an empty drawing.
func (d *Drawer) After(steps []int, w, h scene.Pt, most float64) []scene.Drawing {
	all := make([]telling, len(steps))
	for k, i := range steps {
		if ps := d.step(i).panels; len(ps) > 0 {
			all[k].panels = ps[len(ps)-1:]
			all[k].alt = d.alt(all[k].panels)
		}
	}
	scale := d.scaleOf(all, w, h, most)
	out := make([]scene.Drawing, len(steps))
	for k := range all {
		out[k] = d.panels(all[k], scale, true)
	}
	return out
}

// step is what the drawing of a step shows; it is worked out once.
func (d *Drawer) step(i int) telling {
	t, done := d.told[i]
	if s := &d.p.Steps[i]; !done {
		if r := d.recipes[s.Recipe]; r != nil && s.First >= 0 && s.First < len(r.Do) {
			t = d.telling(r, s.First, min(s.Last, len(r.Do)-1))
		}
		d.told[i] = t
	}
	return t
}

// StepScale is the largest scale at which each of the steps is at most w wide and h high, and at
// most most: the one scale for the drawings of a page. Steps without a drawing do not count.
func (d *Drawer) StepScale(steps []int, w, h scene.Pt, most float64) float64 {
	all := make([]telling, len(steps))
	for k, i := range steps {
		all[k] = d.step(i)
	}
	return d.scaleOf(all, w, h, most)
}

// scaleOf is the largest scale at which each of the tellings is at most w wide and h high, and at most most.
func (d *Drawer) scaleOf(all []telling, w, h scene.Pt, most float64) float64 {
	scale := most
	for _, t := range all {
		scale = min(scale, t.permits(w, h))
	}
	for _, t := range all {
		for range 24 { // labels and arrows do not grow with the scale: close in on it
			f := d.panels(t, scale, false)
			if f.W <= w && f.H <= h || f.W == 0 {
				break
			}
			scale *= math.Min(0.98, math.Min(float64(w/f.W), float64(h/f.H)))
		}
	}
	return scale
}

// permits is the scale at which the cloth alone fits into w by h; what is drawn and written beside it needs more room.
func (t telling) permits(w, h scene.Pt) float64 {
	wide, high, n := 0.0, 0.0, 0
	for i := range t.panels {
		if lo, hi := t.panels[i].extent(); hi[0] > lo[0] {
			wide, high, n = wide+hi[0]-lo[0], math.Max(high, hi[1]-lo[1]), n+1
		}
	}
	if n == 0 {
		return math.Inf(1)
	}
	free := w - panelGap*scene.Pt(n-1) - 2*margin*scene.Pt(n)
	return math.Max(0.01, math.Min(float64(free)/wide, float64(h-2*margin)/high))
}

// extent is the box of a panel's cloth as looked at, 0, 0 of no cloth.
func (p *panel) extent() (lo, hi pt) {
	var ps []pt
	put := func(w *cloth.Work, view plan.Pose) {
		if w == nil {
			return
		}
		for i := range w.Layers {
			ps = append(ps, flat.Each(view, covered(&w.Layers[i]))...)
		}
	}
	put(p.work, p.view)
	for _, a := range p.apart {
		put(a.work, flat.Then(a.move, p.view))
	}
	return flat.Box(ps)
}

// panel is one state of the table, or parts set out side by side before they are joined.
type panel struct {
	work    *cloth.Work
	view    plan.Pose
	apart   []apart
	pressed map[int]bool // seams whose pressing this step is about
	watch   []pt         // places to circle, in the work's frame
	trim    []pt         // outline it is trimmed to
	cuts    *plan.Op     // cuts into segments
	apartAt []line       // where it is cut into several, with a ruler and not by a drawn line
	torn    bool         // the work is longer than drawn: its right end is torn off
	alike   int          // so many of it lie there
	size    pt           // write these measures beside it; 0, 0: none
	caption string       // write this below it
	with    bool         // it stands beside the panel before it: no time has passed
	labels  map[int]string
	shown   []line // the seams as far as they lie on cloth, once worked out
}

// line is what can be seen of a line, if anything.
type line struct {
	a, b pt
	ok   bool
}

// seams are the work's seams as far as they lie on its cloth, in their order.
func (p *panel) seams() []line {
	if p.shown == nil {
		p.shown = make([]line, len(p.work.Seams))
		for i, s := range p.work.Seams {
			if s.N >= 0 {
				l := &p.shown[i]
				l.a, l.b, l.ok = visible(p.work, s.A, s.B)
			}
		}
	}
	return p.shown
}

// apart is a part as it stands before it is joined.
type apart struct {
	work *cloth.Work
	move plan.Pose // to the frame of the panel
	id   string
	torn bool
	cuts []line // in its frame: points are trimmed there
}

// telling is what the drawing of a step shows.
type telling struct {
	panels []panel
	alt    string
}

// telling runs a recipe and picks what to draw for the operations first..last: the table before the
// first that cuts, presses or trims, and after the last.
func (d *Drawer) telling(r *plan.Recipe, first, last int) telling {
	if t, ok := d.trimming(r, first, last); ok {
		return t
	}
	works, ids := d.parts(r)
	do, torn := shorten(r, works)
	if t, ok := d.assembly(r, do, first, last, works, ids, torn); ok {
		return t
	}
	table := cloth.New(works)
	main := mainWork(r, first, last)
	labels := map[int]string{}
	for i, id := range ids {
		labels[i] = d.partLabel(id)
	}
	t := telling{}
	begin := beginsChange(do, first, last)
	quarters := cutsApart(do, first, last)
	if quarters != nil {
		begin = first
	}
	pressed := map[int]bool{}
	segments, trimmed := false, false
	for i := range do[:last+1] {
		op := do[i]
		if i == begin {
			p := panel{work: d.lying(table, main), labels: labels, torn: torn && !cutUp(do[:i]),
				watch: d.watch(r, table, main, first, i), trim: trimOf(do, first, last, main)}
			if p.trim != nil {
				p.watch = append(p.watch, d.trimMarks(r, main)...)
			}
			p.view = viewOf(r, main, i-1)
			if quarters != nil {
				p.work, p.view, p.apartAt = d.lying(table, op.Work), viewOf(r, op.Work, i-1), quarters
			}
			t.panels = append(t.panels, p)
		}
		if op.Op == "cut" && op.Times > 0 && i >= first {
			if w := d.lying(table, op.Work); w != nil {
				t.panels = []panel{{work: w, labels: labels, cuts: &do[i], torn: torn, view: viewOf(r, op.Work, len(do))}}
				segments = true
			}
		}
		if table.Do(op) != nil {
			break
		}
		if i >= first && op.Op == "press" {
			pressed[op.Seam] = true
		}
		trimmed = trimmed || i >= first && op.Op == "trim" && op.Work == main
	}
	after := panel{work: d.lying(table, main), labels: labels, pressed: pressed, view: viewOf(r, main, last), torn: torn && !cutUp(do[:last+1])}
	if trimmed {
		after.size = sizeOf(trimOf(do, first, last, main), after.view)
	}
	if begin > last {
		after.watch = d.watch(r, table, main, first, last+1)
	}
	if segments {
		for _, op := range r.Do[first : last+1] {
			after.alike = max(after.alike, op.Times)
		}
		if after.work != nil {
			var ps []pt
			for i := range after.work.Layers {
				ps = append(ps, covered(&after.work.Layers[i])...)
			}
			after.size = sizeOf(ps, after.view)
		}
	}
	if begin == first && len(t.panels) == 1 && t.panels[0].trim != nil && len(pressed) == 0 {
		t.panels[0].size = after.size // nothing but a trim: its line says it all
	} else {
		t.panels = append(t.panels, after)
	}
	for _, n := range hands(r, do, first, last, main) {
		if t.panels[len(t.panels)-1].trim != nil {
			break // the step before has shown them
		}
		p := panel{work: d.lying(table, n), labels: labels, pressed: pressed, view: viewOf(r, n, last), size: t.panels[len(t.panels)-1].size, with: true}
		p.caption = d.say.Hand(givesOf(r, n).Unit)
		t.panels[len(t.panels)-1].caption = d.say.Hand(givesOf(r, main).Unit)
		t.panels = append(t.panels, p)
	}
	t.alt = d.alt(t.panels)
	return t
}

// hands are, of a recipe that gives several units, the works that stand for those that the main work is none of, where the span works on them and none is cut
// apart any more.
func hands(r *plan.Recipe, do []plan.Op, first, last, main int) (works []int) {
	if slices.ContainsFunc(do[last+1:], func(op plan.Op) bool { return op.Op == "cut" }) || givesOf(r, main) == nil {
		return nil
	}
	shown := map[string]bool{givesOf(r, main).Unit: true}
	for _, op := range do[first : last+1] {
		if g := givesOf(r, op.Work); g != nil && !shown[g.Unit] && op.Op != "cut" {
			shown[g.Unit] = true
			works = append(works, op.Work)
		}
	}
	return works
}

func cutUp(ops []plan.Op) bool {
	for _, op := range ops {
		if op.Op == "cut" && op.Times > 0 {
			return true
		}
	}
	return false
}

// shorten shortens long strips that a recipe cuts into segments, so that they can be drawn as high
// as everything else: the first few segments stand for all. The works are changed, the operations
// are a copy.
func shorten(r *plan.Recipe, works []cloth.Work) ([]plan.Op, bool) {
	const segments = 4
	var every, first float64
	for _, op := range r.Do {
		if op.Op == "cut" && op.Times > segments && op.Line != nil {
			every, first = float64(op.Every), math.Max(float64(op.Line[0][0]), float64(op.Line[1][0]))
		}
	}
	if every == 0 {
		return r.Do, false
	}
	long := first + (segments-0.4)*every
	for i := range works {
		for k := range works[i].Layers {
			ps := works[i].Layers[k].Cloth
			for j := range ps {
				ps[j][0] = math.Min(ps[j][0], long)
			}
		}
	}
	do := append([]plan.Op(nil), r.Do...)
	for i := range do {
		if op := &do[i]; op.Op == "cut" && op.Times > segments {
			op.Times = segments - 1
		}
		if do[i].Along != nil {
			l := *do[i].Along
			for k := range l {
				l[k][0] = plan.Num(math.Min(float64(l[k][0]), long))
			}
			do[i].Along = &l
		}
	}
	return do, true
}

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

// cutsApart are the lines along which a span cuts a work into more than two before it does anything else, but for those that are drawn on the
// cloth; nil where it does not.
func cutsApart(ops []plan.Op, first, last int) []line {
	var out []line
	n := 0
	for i := first; i <= last && ops[i].Op == "cut" && ops[i].Times == 0 && ops[i].Line != nil; i++ {
		a, b := flat.At(ops[i].Line[0]), flat.At(ops[i].Line[1])
		n++
		drawn := slices.ContainsFunc(ops[:i], func(m plan.Op) bool {
			if m.Op != "mark" || m.Line == nil {
				return false
			}
			p, q := flat.At(m.Line[0]), flat.At(m.Line[1])
			u := flat.Unit(flat.Sub(q, p))
			return math.Abs(flat.Cross(u, flat.Sub(a, p))) < 1e-3 && math.Abs(flat.Cross(u, flat.Sub(b, p))) < 1e-3
		})
		if !drawn && ops[i].Work == ops[first].Work {
			out = append(out, line{a, b, true})
		}
	}
	if n < 3 || len(out) == 0 {
		return nil
	}
	return out
}

// used are the works of a recipe that are given or laid on another: the rest is waste.
func used(r *plan.Recipe) map[int]bool {
	out := map[int]bool{}
	for _, g := range r.Gives {
		out[g.Work] = true
	}
	for _, op := range r.Do {
		if op.Op == "lay" {
			out[op.Part] = true
		}
	}
	return out
}

// mainWork is the work that stands for all that a span works on: of those that are given in the end
// the first one touched, else the first one touched.
func mainWork(r *plan.Recipe, first, last int) int {
	for _, op := range r.Do[first : last+1] {
		if givesOf(r, op.Work) != nil {
			return op.Work
		}
	}
	return r.Do[first].Work
}

// viewOf turns a work, after operation done, as its unit stands once it is not cut into several any
// more; before that so that the edge it was cut along last is on top; as it lies while it is whole.
func viewOf(r *plan.Recipe, n, done int) plan.Pose {
	made := 0
	for _, f := range r.From {
		made += f.Count
	}
	keep := used(r)
	cutLater := false
	turn := 0.0
	for i, op := range r.Do {
		if op.Op != "cut" || op.Times > 0 {
			continue
		}
		both := keep[made] && op.Line != nil
		if both && i > done && op.Work == n {
			cutLater = true
		}
		if both && i <= done && (op.Work == n || made == n) {
			d := flat.Sub(flat.At(op.Line[1]), flat.At(op.Line[0]))
			turn = 180 - math.Atan2(d[1], d[0])*180/math.Pi // what is kept lies to the left of the line
			if made == n {
				turn += 180
			}
			turn = math.Mod(turn+720, 360)
		}
		made++
	}
	if g := givesOf(r, n); g != nil && !cutLater {
		return plan.Pose{Turn: g.Turn, Mirror: g.Mirror}
	}
	return plan.Pose{Turn: plan.Num(turn)}
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
// a seam, where seams of the upper part cross on it, and where a line that is sewn now crosses a seam that was pressed before.
func (d *Drawer) watch(r *plan.Recipe, t *cloth.Table, n, first, end int) []pt {
	w := t.Work(n)
	if w == nil {
		return nil
	}
	var out []pt
	near := func(q pt) bool {
		for _, p := range out {
			if flat.Length(flat.Sub(p, q)) < 2.5*float64(d.p.Seam) {
				return true
			}
		}
		return false
	}
	for _, op := range r.Do[first:min(end, len(r.Do))] {
		if op.Op != "stitch" || op.Work != n || op.Along == nil {
			continue
		}
		a, b := flat.At(op.Along[0]), flat.At(op.Along[1])
		if op.Allowance > 0 {
			j, g := d.joinAt(r, n, a, b), givesOf(r, n)
			if j == nil || g == nil {
				continue
			}
			m := g.Pose
			for _, al := range j.Align {
				if al.End < 0 || al.End > 1 {
					continue
				}
				e := a
				if to := flat.At(j.Seam[al.End]); flat.Length(flat.Sub(flat.Apply(m, a), to)) > flat.Length(flat.Sub(flat.Apply(m, b), to)) {
					e = b
				}
				out = append(out, e)
			}
			out = append(out, d.pointsOn(r, n, a, b)...)
			continue
		}
		a, b, ok := visible(w, a, b)
		if !ok {
			continue
		}
		for _, s := range w.Seams {
			if s.State == "sewn" || s.N < 0 {
				continue
			}
			if at, ok := meet(a, b, s.A, s.B); ok && at > -0.02 && at < 1.02 {
				if q := flat.Add(a, flat.Scale(flat.Sub(b, a), at)); !near(q) {
					out = append(out, q)
				}
			}
		}
	}
	return out
}

// trimMarks are the places to watch when a work is trimmed: its points, and where its seams meet the trimmed edge beside a corner.
func (d *Drawer) trimMarks(r *plan.Recipe, n int) []pt {
	g := givesOf(r, n)
	if g == nil || d.units[g.Unit] == nil || d.units[g.Unit].Trim == nil {
		return nil
	}
	u := d.units[g.Unit]
	inverse := flat.Inverse(g.Pose)
	back := func(p plan.Point) pt { return flat.Apply(inverse, flat.At(p)) }
	var out []pt
	for _, q := range u.Trim.Points {
		out = append(out, back(q))
	}
	for _, q := range u.Trim.Meets {
		if q.From > 1e-3 {
			out = append(out, back(q.At))
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
	g := givesOf(r, n)
	if g == nil || d.units[g.Unit] == nil {
		return nil
	}
	u := d.units[g.Unit]
	m := g.Pose
	a, b = flat.Apply(m, a), flat.Apply(m, b)
	for i := range u.Joins {
		p, q := flat.At(u.Joins[i].Seam[0]), flat.At(u.Joins[i].Seam[1])
		if flat.Length(flat.Sub(p, a))+flat.Length(flat.Sub(q, b)) < 0.08 || flat.Length(flat.Sub(p, b))+flat.Length(flat.Sub(q, a)) < 0.08 {
			return &u.Joins[i]
		}
	}
	return nil
}

// sizeOf is the width and height of places as looked at.
func sizeOf(ps []pt, view plan.Pose) pt {
	lo, hi := flat.Box(flat.Each(view, ps))
	return flat.Sub(hi, lo)
}

// trimOf is the outline that the span trims a work to; nil where it does not.
func trimOf(ops []plan.Op, first, last, n int) []pt {
	for _, op := range ops[first : last+1] {
		if op.Op == "trim" && op.Work == n {
			var to []pt
			for _, p := range op.To {
				to = append(to, flat.At(p))
			}
			return to
		}
	}
	return nil
}

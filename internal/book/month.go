package book

import (
	"fmt"
	"strings"
	"sync"

	"quiltwright/internal/plan"
	"quiltwright/internal/scene"
)

// monthOf is a month's pages: what is made, what to cut now and what waits, then every step.
func (m *maker) monthOf(mo *plan.Month) {
	m.flow.open(chunk{fresh: true})
	m.monthHead(mo)
	if len(m.p.Months) > 1 {
		m.needed(mo)
	}
	if m.month > 0 {
		m.monthCutting(mo)
	}
	laid := false
	for _, s := range m.told(m.sections(mo.Number)) {
		if !laid && m.setting(s) {
			m.layout()
			laid = true
		}
		if s.stage == "finish" && m.month > 0 { // the whole pattern names it among the materials
			m.finishing()
		}
		m.section(s)
	}
}

// monthHead is the month's name and blocks, with their drawings at the right.
func (m *maker) monthHead(mo *plan.Month) {
	const thumb scene.Pt = 116
	title := mo.Title
	if title == "" {
		title = m.monthName(mo.Number)
	}
	if title == "" {
		title = "Sewing"
	}
	over := ""
	if name := m.monthName(mo.Number); name != "" && name != title {
		over = name
	}
	if mo.Opens != "" {
		over = join(" · ", over, "opens "+longDate(mo.Opens))
	}
	level := title
	if over != "" && m.month == 0 && m.monthName(mo.Number) != "" {
		level = m.monthName(mo.Number) + ": " + title
	}
	mark := m.mark(1, level)

	var blocks []plan.MonthBlock
	for _, b := range mo.Blocks {
		if m.blocks[b.Block] != nil {
			blocks = append(blocks, b)
		}
	}
	width := m.width
	if len(blocks) == 1 {
		width -= thumb + 20
	}
	var items []scene.Item
	y := scene.Pt(0)
	if over != "" {
		items = append(items, scene.Group{Tag: scene.Paragraph, Items: []scene.Item{label(0, sizeBody, sizeBody, scene.Body, scene.Grey, scene.Left, over)}})
		y = 14
	}
	h := heading(width, 1, title, "", mark)
	items = append(items, moved(0, y, h.item))
	y += h.h
	for _, b := range blocks {
		k := m.blocks[b.Block]
		raw := 2 * m.p.Seam
		name := k.Name
		if len(blocks) == 1 && name == title {
			name = ""
		} else {
			name = "**" + name + "**"
		}
		says := join(" · ", name, fmt.Sprintf("makes %d", b.Count), "finished "+m.square(k.Finished.Width, k.Finished.Height),
			"before joining "+m.square(k.Finished.Width+raw, k.Finished.Height+raw))
		ls, lh := block(0, width, sizeBody, scene.Grey, scene.Rich(says))
		items = append(items, scene.Group{Tag: scene.Paragraph, At: scene.Point{Y: y}, Items: ls})
		y += lh
	}
	notes := quoted(width, 12, m.p.Designer, mo.Note)
	for _, b := range blocks {
		if n := m.blocks[b.Block].Note; n != "" && n != mo.Note {
			notes = append(notes, quoted(width, 12, m.p.Designer, n)...)
		}
	}
	if len(blocks) == 1 && y+height(notes, false) <= thumb+40 {
		// A short note stands beside the drawing.
		for _, b := range notes {
			y += b.gap
			items = append(items, moved(0, y, b.item))
			y += b.h
		}
		notes = nil
	}
	if len(blocks) == 1 {
		d := m.fig.Block(blocks[0].Block, thumb)
		items = append(items, d.Placed(m.width-d.W, 0))
		y = max(y, d.H)
	}
	m.flow.put(box{item: scene.Group{Tag: scene.Section, Items: items}, h: y + 4, stick: true})
	if len(blocks) > 1 {
		m.flow.put(m.thumbs(blocks, thumb))
	}
	m.flow.put(notes...)
}

// thumbs shows several blocks side by side with their names, in rows.
func (m *maker) thumbs(blocks []plan.MonthBlock, size scene.Pt) box {
	const gap scene.Pt = 16
	per := int((m.width + gap) / (size + gap))
	if len(blocks) > 2*per {
		per = int((m.width + gap) / (72 + gap))
		size = 72
	}
	var items []scene.Item
	var y scene.Pt
	for i := 0; i < len(blocks); i += per {
		var rowH scene.Pt
		for j, b := range blocks[i:min(i+per, len(blocks))] {
			d := m.fig.Block(b.Block, size)
			x := scene.Pt(j) * (size + gap)
			name := fit(scene.Body, sizeSmall, size+gap-4, m.blocks[b.Block].Name)
			items = append(items, d.Placed(x, y),
				scene.Group{Tag: scene.Paragraph, Items: []scene.Item{label(x, y+d.H+13, sizeNote, scene.Body, scene.Grey, scene.Left, name)}})
			rowH = max(rowH, d.H)
		}
		y += rowH + 26
	}
	return box{item: scene.Group{Tag: scene.Section, Items: items}, h: y - 6, gap: 10}
}

// needed is the table of the pieces that are cut for a month, and what waits since before.
func (m *maker) needed(mo *plan.Month) {
	var rows [][]cell
	for i := range m.p.Pieces {
		q := &m.p.Pieces[i]
		n := cutIn(q, mo.Number)
		if n == 0 {
			continue
		}
		rows = append(rows, []cell{
			{text: m.t.Fabric(q.Fabric), chip: m.cloths[q.Fabric]},
			{text: counted(q.Label, n)}, {text: string(m.t.CutSize(q))}, {text: string(m.t.Becomes(q, n, mo.Number)), color: scene.Grey},
		})
	}
	if len(rows) > 0 {
		m.flow.put(table(m.width, 16, columns(m.width, 2, 1.4, 2.4, 3.4), []string{"Cut now", "Piece", "Size", "Becomes"}, rows)...)
	}
	if w := m.waiting(mo.Number); w != "" {
		b := paraOf(m.width, 4, sizeNote, scene.Grey, scene.Rich(w))
		m.flow.put(b)
	}
}

func cutIn(q *plan.Piece, month int) int {
	for _, pm := range q.Months {
		if pm.Month == month {
			return pm.Cut
		}
	}
	return 0
}

// waiting names the pieces and units of months before that are used in this month.
func (m *maker) waiting(month int) string {
	used := map[string]int{}
	before := map[string]int{}
	for _, r := range m.p.Recipes {
		for _, b := range r.Months {
			for _, f := range r.From {
				if f.Piece == "" {
					continue
				}
				if b.Month == month {
					used[f.Piece] += f.Count * b.Batches
				} else if b.Month < month {
					before[f.Piece] += f.Count * b.Batches
				}
			}
		}
	}
	var list []string
	for i := range m.p.Pieces {
		q := &m.p.Pieces[i]
		had := 0
		for _, pm := range q.Months {
			if pm.Month < month {
				had += pm.Cut * max(q.Each, 1)
			}
		}
		if left := had - before[q.Label]; left > 0 && used[q.Label] > 0 {
			list = append(list, counted(q.Label, min(left, used[q.Label])))
		}
	}
	for i := range m.p.Units {
		u := &m.p.Units[i]
		if u.Piece != "" {
			continue
		}
		had, now := 0, 0
		for _, um := range u.Months {
			if um.Month < month {
				had += um.Made - um.Used
			} else if um.Month == month {
				now = um.Used
			}
		}
		if had > 0 && now > 0 {
			list = append(list, fmt.Sprintf("%d\u00a0× %s", min(had, now), m.t.Name(u.ID)))
		}
	}
	if len(list) == 0 {
		return ""
	}
	return "Waiting since earlier months: " + strings.Join(list, ", ")
}

// monthCutting is how the pieces of this month are cut, from what earlier months have left and from new cloth.
func (m *maker) monthCutting(mo *plan.Month) {
	first := true
	for i := range m.p.Fabrics {
		f := &m.p.Fabrics[i]
		lines := m.cutLines(f, mo.Number)
		if len(lines) == 0 {
			continue
		}
		m.flow.open(chunk{whole: true})
		if first {
			m.warn(cautionCutter)
			if mo.Number < len(m.p.Months) {
				m.flow.put(para(m.width, 10, keepLeft))
			}
			first = false
		}
		title := "Cutting " + m.t.Fabric(f.Letter)
		m.flow.put(ruled(m.width, heading(m.width, 2, title, "", m.mark(2, title))))
		if says := m.t.Motifs(f, mo.Number); says != "" {
			m.flow.put(para(m.width, 4, string(says)))
		}
		m.flow.put(lines...)
		m.flow.put(m.strips(f, mo.Number)...)
	}
}

// steps of one section: a unit with its recipe, or the rows and the block they make.
type section struct {
	stage string
	unit  string // what the section makes in the end
	steps []int  // indices into the plan's steps
	grows bool   // each step adds a part to what the one before has made

	labels []string   // in its sentences
	like   []likeness // what is made in the same way
}

// sections groups the steps of a month: the steps of one recipe stand together, and the rows of a block
// stand with the block.
func (m *shared) sections(month int) []section {
	var out []section
	for _, i := range m.t.Reading(month) {
		if m.p.Steps[i].Stage == "cut" {
			continue
		}
		if n := len(out); n > 0 && m.goesOn(&out[n-1], i) {
			last := &out[n-1]
			last.steps, last.unit = append(last.steps, i), m.p.Steps[i].Unit
			continue
		}
		next := section{stage: m.p.Steps[i].Stage, unit: m.p.Steps[i].Unit, steps: []int{i}}
		out = m.gather(out, &next)
		out = append(out, next)
	}
	return out
}

// goesOn reports that step i goes on with what the last section makes.
func (m *shared) goesOn(last *section, i int) bool {
	s, prev := &m.p.Steps[i], &m.p.Steps[last.steps[len(last.steps)-1]]
	switch {
	case s.Recipe != "" && prev.Recipe == s.Recipe, s.Stage == "finish" && last.stage == "finish", s.Stage == "top" && last.stage == "top",
		assembled(s.Stage) && assembled(last.stage) && m.owner(s.Unit) == m.owner(last.unit):
		return true
	case m.t.AddsTo(s.Recipe) != last.unit:
		return false
	}
	// A log cabin grows by one unit after the other.
	if h := m.t.Title(s.Recipe).Head; !assembled(s.Stage) && !assembled(last.stage) && h != "" && h == m.t.Title(prev.Recipe).Head {
		last.grows = true
		return true
	}
	// Its first strips may be rows, and they begin it.
	if u := m.units[s.Unit]; u != nil && u.Kind == "log cabin" && !assembled(s.Stage) && last.stage == "row" && m.chain(append(last.steps[:len(last.steps):len(last.steps)], i)) {
		last.stage, last.grows = s.Stage, true
		return true
	}
	if last.grows && s.Stage == "block" {
		last.stage = s.Stage
		return true
	}
	return false
}

// chain reports that each step's unit stands in the next one's.
func (m *shared) chain(steps []int) bool {
	for n, i := range steps[1:] {
		if !m.within(m.p.Steps[i].Unit, m.p.Steps[steps[n]].Unit, 0) {
			return false
		}
	}
	return true
}

// gather moves the rows of a block that were sewn before, with other units in between, to where the block is put
// together: nothing in between may need them.
func (m *shared) gather(out []section, next *section) []section {
	id := m.owner(next.unit)
	if !assembled(next.stage) || id == "top" {
		return out
	}
	for k := len(out) - 1; k >= 0; k-- {
		if o := m.owner(out[k].unit); o == "top" {
			return out
		}
		if !assembled(out[k].stage) || m.owner(out[k].unit) != id {
			continue
		}
		for _, i := range out[k].steps {
			for _, between := range out[k+1:] {
				if m.within(between.unit, m.p.Steps[i].Unit, 0) {
					return out
				}
			}
		}
		next.steps = append(append([]int{}, out[k].steps...), next.steps...)
		return append(out[:k], out[k+1:]...)
	}
	return out
}

// within reports that a unit is another or stands in it.
func (m *shared) within(outer, unit string, depth int) bool {
	if outer == unit {
		return true
	}
	u := m.units[outer]
	if u == nil || depth > 64 {
		return false
	}
	for _, p := range u.Parts {
		if m.within(p.Unit, unit, depth+1) {
			return true
		}
	}
	return false
}

func assembled(stage string) bool { return stage == "row" || stage == "block" }

// owner is the first block that a unit stands in, else "top".
func (m *shared) owner(unit string) string {
	if m.owners == nil {
		m.owners = map[string]string{}
		var claim func(id, block string)
		claim = func(id, block string) {
			u := m.units[id]
			if u == nil || m.owners[id] != "" {
				return
			}
			m.owners[id] = block
			for _, p := range u.Parts {
				claim(p.Unit, block)
			}
		}
		for i := range m.p.Blocks {
			claim(m.p.Blocks[i].Unit, m.p.Blocks[i].ID)
		}
	}
	if o := m.owners[unit]; o != "" {
		return o
	}
	return "top"
}

// setting reports that a section sews blocks together.
func (m *maker) setting(s section) bool {
	if len(m.p.Placed) < 2 {
		return false
	}
	switch s.stage {
	case "top", "border":
		return true
	case "row":
		return m.owner(s.unit) == "top"
	}
	return false
}

// section puts one unit's steps, with a heading, on one page or on facing pages.
func (m *maker) section(s section) {
	m.flow.open(chunk{whole: true})
	if m.presses(s) {
		m.warn(cautionIron)
	}
	title, aside := m.sectionTitle(s)
	aside = andOthers(aside, s)
	mark := m.mark(2, title)
	if b := m.blocks[m.owner(s.unit)]; b != nil {
		m.chief[mark] = b.Unit == s.unit
	}
	m.flow.put(ruled(m.width, heading(m.width, 2, title, aside, mark)))
	// What needs little more room than there is is drawn smaller.
	c := &m.flow.chunks[len(m.flow.chunks)-1]
	for _, size := range sectionSizes {
		if size < 1 && scene.Pt(len(s.steps))*leastStep > m.sheet.depth() {
			break // no size fits a page
		}
		c.sizes = append(c.sizes, sync.OnceValue(func() []box { return m.sectionAt(s, size) }))
	}
	if n := len(s.steps); n >= twoLeast && scene.Pt((n+1)/2)*leastStep <= m.sheet.depth() {
		c.sizes = append(c.sizes, sync.OnceValue(func() []box { return m.inTwo(s) }))
	}
}

// sectionSizes are the parts of the usual size at which a section may be drawn.
var sectionSizes = []float64{1, 0.85, 0.75, 0.65}

// sectionAt is how the parts of a section lie and its steps, drawn at a part of the usual size.
func (m *maker) sectionAt(s section, size float64) []box {
	out := m.parts(s, size)
	g := m.grid(s.steps, size)
	f := &frame{tag: scene.List}
	for n, i := range s.steps {
		b := m.step(i, n+1, g, m.called(s, n))
		b.in = f
		out = append(out, b)
	}
	return append(out, m.others(s)...)
}

// parts shows how the parts of a section lie, where it joins several.
func (m *maker) parts(s section, size float64) []box {
	u := m.units[s.unit]
	if u == nil || !assembled(s.stage) || len(u.Parts) < 2 || len(s.steps) < 2 || s.grows {
		return nil
	}
	d := m.fig.Assembly(s.unit, drawnWidth*0.6, scene.Pt(180*size))
	if d.W == 0 {
		return nil
	}
	out := []box{{item: d.Placed((m.width-d.W)/2, 0), h: d.H, gap: 10, stick: true}}
	for _, i := range s.steps {
		if web := m.t.Step(i).Web; web != "" {
			says := paraOf(m.width, 8, sizeBody, scene.Ink, scene.Rich(string(web)))
			says.stick = true
			out = append(out, says)
		}
	}
	return out
}

func (m *maker) presses(s section) bool {
	for _, i := range s.steps {
		st := &m.p.Steps[i]
		r := m.recipes[st.Recipe]
		if r == nil {
			continue
		}
		for k := st.First; k <= st.Last && k < len(r.Do); k++ {
			if k >= 0 && r.Do[k].Op == "press" {
				return true
			}
		}
	}
	return false
}

func (m *maker) sectionTitle(s section) (title, aside string) {
	if s.stage == "finish" {
		return "Finishing", ""
	}
	if assembled(s.stage) {
		if id := m.owner(s.unit); id != "top" {
			k := m.blocks[id]
			raw := 2 * m.p.Seam
			made := 0
			for _, i := range s.steps {
				if m.p.Steps[i].Unit == k.Unit {
					made += m.p.Steps[i].Makes
				}
			}
			makes := ""
			if made > 0 {
				makes = fmt.Sprintf("makes %d", made)
			}
			return k.Name, join(" · ", makes, "finished "+m.square(k.Finished.Width, k.Finished.Height),
				"before joining "+m.square(k.Finished.Width+raw, k.Finished.Height+raw))
		}
	}
	if s.stage == "top" && len(s.steps) > 1 {
		return headTop, m.by(m.p.Finished.Width, m.p.Finished.Height) + " finished"
	}
	t := m.t.Title(m.p.Steps[s.steps[0]].Recipe)
	if t.Head == "" {
		return upper(m.t.Name(s.unit)), ""
	}
	return upper(t.Head), t.Of
}

func upper(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// layout shows where every block lies and which way up: as large as the page lets it be, but not so that most of a page before it stays white.
func (m *maker) layout() {
	var sizes []func() []box
	for _, part := range []scene.Pt{1, 0.85, 0.7, 0.6} {
		sizes = append(sizes, func() []box { return m.laidOut(part * (m.sheet.depth() - 130)) })
	}
	m.flow.open(chunk{whole: true, sizes: sizes})
	m.flow.put(heading(m.width, 2, headLayout, m.by(m.p.Finished.Width, m.p.Finished.Height)+" finished", m.mark(2, headLayout)))
	m.flow.put(paraOf(m.width, 2, sizeBody, scene.Ink, scene.Rich(
		"Lay all blocks out before you join any. The number names the block; the small pointer is its top.")))
}

// laidOut is the drawing of the layout, no deeper than said, and the names under it.
func (m *maker) laidOut(depth scene.Pt) []box {
	d := m.fig.Layout(m.width, depth)
	out := []box{{item: d.Placed((m.width-d.W)/2, 0), h: d.H, gap: 10}}
	var names []string
	for i, b := range m.p.Blocks {
		names = append(names, fmt.Sprintf("**%d**\u00a0%s", i+1, strings.ReplaceAll(b.Name, " ", "\u00a0")))
	}
	if len(names) > 0 {
		out = append(out, paraOf(m.width, 8, sizeNote, scene.Ink, scene.Rich(strings.Join(names, "  · "))))
	}
	return out
}

// finishing is binding, backing and batting, a sentence each.
func (m *maker) finishing() {
	fin := m.t.Finish()
	if len(fin) == 0 {
		return
	}
	m.flow.open(chunk{whole: true})
	m.flow.put(ruled(m.width, heading(m.width, 2, "Backing, batting, binding", "", m.mark(2, "Backing, batting, binding"))))
	var ss []string
	for _, s := range fin {
		ss = append(ss, string(s))
	}
	m.flow.put(bullets(m.width, 4, ss)...)
}

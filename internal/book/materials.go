package book

import (
	"fmt"

	"quiltwright/internal/plan"
	"quiltwright/internal/scene"
)

// materials is what to buy.
func (m *maker) materials() {
	m.flow.open(chunk{whole: true, tight: true}) // a list to carry to the shop
	w := m.width
	m.flow.put(ruled(w, heading(w, 1, headMaterials, "", m.mark(1, headMaterials))))
	var rows [][]cell
	for i := range m.p.Fabrics {
		f := &m.p.Fabrics[i]
		if !m.p.Cuts(f.Letter) {
			continue
		}
		about := string(m.t.Uses(f))
		if f.Print == "one-way" || f.Print == "two-way" {
			about = f.Print + " print; " + about
		}
		rows = append(rows, []cell{
			{text: m.t.Fabric(f.Letter), chip: m.cloths[f.Letter]}, {text: f.Letter, bold: true},
			{text: string(m.t.Buy(f)), bold: true}, {text: about, color: scene.Grey},
		})
	}
	m.flow.put(table(w, 8, columns(w, 2.2, 0.7, 1.3, 5), []string{"Cloth", "Letter", "Buy", ""}, rows)...)
	if fin := m.t.Finish(); len(fin) > 0 {
		m.flow.put(heading(w, 2, "For the finishing", "", ""))
		var ss []string
		for _, s := range fin {
			ss = append(ss, string(s))
		}
		m.flow.put(bullets(w, 2, ss)...)
	}
}

// cutting is how every fabric is cut, all months together.
func (m *maker) cutting() {
	m.flow.open(chunk{fresh: true})
	m.flow.put(heading(m.width, 1, headCutting, "", m.mark(1, headCutting)))
	m.warn(cautionCutter)
	first := true
	for i := range m.p.Fabrics {
		f := &m.p.Fabrics[i]
		var rows []box
		lines := m.cutLines(f, 0)
		if len(lines) == 0 && len(f.Strips) == 0 {
			continue
		}
		title := "Cutting " + m.t.Fabric(f.Letter)
		aside := join(" · ", "buy "+string(m.t.Buy(f)), string(m.t.Uses(f)))
		h := heading(m.width, 2, title, aside, m.mark(2, title))
		if !first {
			h = ruled(m.width, h)
		}
		first = false
		rows = append(rows, h)
		if says := m.t.Motifs(f, 0); says != "" {
			rows = append(rows, para(m.width, 4, string(says)))
		}
		rows = append(rows, lines...)
		rows = append(rows, m.strips(f, 0)...)
		m.flow.open(chunk{whole: true})
		m.flow.put(rows...)
	}
}

// cutLines is the cutting list of a fabric in its fixed form, for one month or, for 0, all. A long one stands in two columns, but
// for the lines that need the whole width.
func (m *maker) cutLines(f *plan.Fabric, month int) []box {
	const indent, gutter = chipSize + 8, 14
	var lines []string
	for i := range m.p.Pieces {
		q := &m.p.Pieces[i]
		if q.Fabric != f.Letter || q.Cut == 0 {
			continue
		}
		says := string(m.t.CutLine(q))
		if month > 0 {
			says = string(m.t.CutIn(q, month))
		}
		if says != "" {
			lines = append(lines, says)
		}
	}
	half := (m.width - gutter) / 2
	short := func(n int) bool {
		return len(lines) > 6 && n < len(lines) && scene.Measure(sizeBody, scene.Rich(lines[n])) <= half-indent
	}
	line := func(says string, x scene.Pt) (scene.Group, scene.Pt) {
		items, h := block(indent, m.width-indent, sizeBody, scene.Ink, scene.Rich(says))
		return scene.Group{Tag: scene.ListItem, At: scene.Point{X: x}, Items: []scene.Item{
			scene.Group{Tag: scene.ListBody, Items: append([]scene.Item{m.cloths[f.Letter].chip(0, 1.5, chipSize)}, items...)}}}, h
	}
	fr := &frame{tag: scene.List}
	var out []box
	for n := 0; n < len(lines); n++ {
		g, h := line(lines[n], 0)
		b := box{item: g, h: h, gap: 3, in: fr}
		if short(n) && short(n+1) {
			n++
			beside, _ := line(lines[n], half+gutter)
			b.item = scene.Group{Items: []scene.Item{g, beside}}
		}
		if len(out) == 0 {
			b.gap = 4
		}
		out = append(out, b)
	}
	return out
}

// strips draws how the strips of a fabric are cut, to one scale: all, or those of a month.
func (m *maker) strips(f *plan.Fabric, month int) []box {
	var out []box
	strips := f.StripsOf(month)
	for j := range strips {
		does, _ := m.t.Strip(f, &strips[j])
		says := para(m.width, 12, string(does))
		says.stick = true
		d := m.fig.Strip(f, month, j, drawnWidth)
		if d.W == 0 {
			out = append(out, says)
			continue
		}
		out = append(out, says, box{item: d.Placed(0, 0), h: d.H, gap: 3})
	}
	return out
}

// warn puts a caution where it is first due in this document.
func (m *maker) warn(s string) {
	if m.warned[s] {
		return
	}
	m.warned[s] = true
	const pad scene.Pt = 9
	items, h := block(pad, m.width-2*pad, sizeNote, scene.Ink, scene.Rich(s))
	ground := scene.Group{Tag: scene.Artifact, Items: []scene.Item{scene.RoundRect(0, 0, m.width, h+2*pad-3, 4).Filled(scene.Mist)}}
	g := scene.Group{Items: []scene.Item{ground, scene.Group{Tag: scene.Paragraph, At: scene.Point{Y: pad - 2}, Items: items}}}
	m.flow.put(box{item: g, h: h + 2*pad - 3, gap: 10, stick: true})
}

// counted is "3 squares" and the like for a table.
func counted(label string, n int) string { return fmt.Sprintf("**%s**\u00a0×\u00a0%d", label, n) }

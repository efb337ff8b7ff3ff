package book

import (
	"fmt"
	"math"
	"strings"

	"quiltwright/internal/plan"
	"quiltwright/internal/scene"
)

// cover is the first page: the quilt, its name, what it measures, whose it is.
func (m *maker) cover() {
	m.flow.open(chunk{fresh: true})
	p := m.p
	words, wordsH := m.coverWords()
	notes := quoted(m.width, 14, p.Designer, p.Note)
	beside := height(notes, false) <= 130 // a longer note has a page of its own
	room := m.sheet.depth() - wordsH - 26
	if beside {
		room -= height(notes, false)
	}
	d := m.fig.Quilt(m.width, max(room, 200))
	m.flow.put(box{item: scene.Group{Tag: scene.Section, Items: []scene.Item{d.Placed(0, 0), moved(0, d.H+22, words...)}}, h: d.H + 22 + wordsH})
	if len(notes) > 0 {
		if !beside {
			m.flow.open(chunk{fresh: true})
			m.flow.put(heading(m.width, 2, headWriter, "", m.mark(1, headWriter)))
		}
		m.flow.put(notes...)
	}
	m.contents()
}

// coverWords are the title and what stands below it, from 0,0, and their height.
func (m *maker) coverWords() ([]scene.Item, scene.Pt) {
	p := m.p
	mark := m.mark(1, p.Quilt)
	size := scene.Pt(40)
	lines := scene.Break(size, m.width, []scene.Run{{Font: scene.Heading, Text: p.Quilt}})
	if len(lines) > 2 {
		size = 30
		lines = scene.Break(size, m.width, []scene.Run{{Font: scene.Heading, Text: p.Quilt}})
	}
	var title []scene.Item
	y := scene.Pt(0)
	for _, l := range lines {
		y += size * 1.12
		title = append(title, scene.Text{At: scene.Point{Y: y - size*0.3}, Size: size, Color: scene.Ink, Runs: l})
	}
	items := []scene.Item{scene.Group{Tag: scene.Heading1, Mark: mark, Items: title}}
	y += 4
	line := func(s string, c scene.Color) {
		if s == "" {
			return
		}
		ls, h := block(0, m.width, 12.5, c, []scene.Run{{Text: s}})
		items = append(items, scene.Group{Tag: scene.Paragraph, At: scene.Point{Y: y}, Items: ls})
		y += h + 1
	}
	if !p.Complete {
		line(incomplete, scene.Ember)
	}
	line(join(" · ", p.Designer, m.by(p.Finished.Width, p.Finished.Height)+" finished", m.madeOf()), scene.Grey)
	var version string
	if p.Version != "" {
		version = "Version " + p.Version
	}
	line(join(" · ", version, longDate(p.Date), p.Rights), scene.Grey)
	line(p.Contact, scene.Grey)
	return items, y
}

// madeOf counts the blocks: "12 blocks".
func (m *maker) madeOf() string {
	n := 0
	for _, b := range m.p.Blocks {
		n += b.Made
	}
	switch n {
	case 0:
		return ""
	case 1:
		return "one block"
	}
	return fmt.Sprintf("%d\u00a0blocks", n)
}

func join(sep string, parts ...string) string {
	var some []string
	for _, s := range parts {
		if s != "" {
			some = append(some, s)
		}
	}
	return strings.Join(some, sep)
}

// contents is the place of the list of contents, which is written when all else has been composed.
func (m *maker) contents() {
	m.flow.open(chunk{fresh: true})
	m.flow.put(heading(m.width, 1, headContents, "", m.mark(1, headContents)))
	m.list = len(m.flow.chunks) - 1
}

// listContents lists the parts of the pattern with their pages, as far as they are known: on one page, with the blocks
// where there is room for them.
func (m *maker) listContents() {
	c := &m.flow.chunks[m.list]
	room := m.sheet.depth() - 50
	for _, deepest := range []int{2, 1} {
		if boxes := m.contentLines(deepest); height(boxes, false) <= room || deepest == 1 {
			c.boxes = append(c.boxes[:1:1], boxes...)
			return
		}
	}
}

func (m *maker) contentLines(deepest int) []box {
	var out []box
	f := &frame{tag: scene.List}
	for _, e := range m.listed(deepest) {
		x := scene.Pt(0)
		size, gap := sizeBody+1, scene.Pt(5)
		if e.Level > 1 {
			x, size, gap = 16, sizeBody, 1
		}
		title := fit(scene.Body, size, m.width-60-x, e.Title)
		var page string
		if n := m.pageOf[e.Mark]; n > 0 {
			page = fmt.Sprint(n)
		}
		from := x + scene.Width(scene.Body, size, title) + 6
		to := m.width - scene.Width(scene.Body, size, page) - 6
		link := scene.Group{Tag: scene.Link, Link: "#" + e.Mark, Items: []scene.Item{
			label(x, size, size, scene.Body, scene.Ink, scene.Left, title),
			label(m.width, size, size, scene.Body, scene.Grey, scene.Right, page),
		}}
		dots := scene.Group{Tag: scene.Artifact, Items: []scene.Item{
			scene.Line(scene.Point{X: from, Y: size - 1.5}, scene.Point{X: to, Y: size - 1.5}).Stroked(scene.Soft, 0.7).Dotted(4)}}
		g := scene.Group{Tag: scene.ListItem, Items: []scene.Item{scene.Group{Tag: scene.ListBody, Items: []scene.Item{link}}, dots}}
		out = append(out, box{item: g, h: size * leading, gap: gap, in: f})
	}
	return out
}

// listed are the bookmarks down to a level, without the cover and the list itself; of the second
// level only the blocks.
func (m *maker) listed(deepest int) []scene.Bookmark {
	var out []scene.Bookmark
	for _, b := range m.marks {
		if b.Title != headContents && b.Mark != "s1" && (b.Level == 1 || deepest > 1 && m.chief[b.Mark]) {
			out = append(out, b)
		}
	}
	return out
}

// before is what to know before the first cut.
func (m *maker) before() {
	m.flow.open(chunk{fresh: true, below: 0.4})
	w := m.width
	m.flow.put(ruled(w, heading(w, 1, headBefore, "", m.mark(1, headBefore))))

	m.flow.put(heading(w, 2, "Try your seam", "", ""))
	m.flow.put(m.seamTest())
	m.flow.put(heading(w, 2, "Make one first", "", ""), para(w, 2, oneFirst+" "+string(m.t.SizeHelp())))

	m.flow.open(chunk{whole: true})
	m.flow.put(heading(w, 2, "How to read the drawings", "", ""), para(w, 2, readIntro))
	m.flow.put(m.legend()...)

	m.flow.open(chunk{whole: true})
	m.flow.put(heading(w, 2, "What you need", "", ""))
	m.flow.put(bullets(w, 2, m.tools())...)
	if s := m.skills(); len(s) > 0 {
		m.flow.open(chunk{whole: true})
		m.flow.put(heading(w, 2, "What you will do", "", ""))
		m.flow.put(bullets(w, 2, s)...)
	}
	m.flow.open(chunk{whole: true})
	m.flow.put(heading(w, 2, "What the sizes assume", "", ""))
	m.flow.put(bullets(w, 2, m.assumptions())...)
	m.flow.open(chunk{whole: true})
	m.flow.put(heading(w, 2, "Words and signs", "", ""))
	m.flow.put(bullets(w, 2, m.signs())...)
}

// seamTest is the three strips, drawn beside what they must measure.
func (m *maker) seamTest() box {
	says := fmt.Sprintf(seamOther, m.length(m.p.Seam), m.length(2*m.p.Seam))
	strip, seam, total, mid := 1.5, 0.25, "3\u00a01/2\u00a0in", "1\u00a0in"
	known := true
	switch {
	case m.p.Measure == "inch" && m.p.Seam == 0.25:
		says = seamInch
	case m.p.Measure == "cm" && m.p.Seam == 0.75:
		says = seamCentimetre
		strip, seam, total, mid = 4, 0.75, "9\u00a0cm", "2.5\u00a0cm"
	default:
		known = false
	}
	says = bindMeasures(says)
	if !known {
		return para(m.width, 2, says)
	}
	d := threeStrips(strip, seam, total, mid)
	items, h := block(d.W+20, m.width-d.W-20, sizeBody, scene.Ink, scene.Rich(says))
	g := scene.Group{Items: []scene.Item{d.Placed(0, 0), scene.Group{Tag: scene.Paragraph, Items: items}}}
	return box{item: g, h: max(h, d.H), gap: 4}
}

// bindMeasures puts no-break spaces within measures that are written with plain ones.
func bindMeasures(s string) string {
	r := strings.NewReplacer(" in**", "\u00a0in**", " cm**", "\u00a0cm**", "1 1/2", "1\u00a01/2", "3 1/2", "3\u00a01/2")
	return r.Replace(s)
}

// tools are what to have at hand.
func (m *maker) tools() []string {
	big := plan.Num(0)
	for _, q := range m.p.Pieces {
		if q.Cut > 0 && q.Shape != "template" && math.Abs(float64(q.Width-q.Height)) < 1e-6 {
			big = max(big, q.Width)
		}
	}
	out := []string{"A rotary cutter with a new blade and a mat"}
	long := "6\u00a0×\u00a024\u00a0in"
	if m.p.Measure == "cm" {
		long = "15\u00a0×\u00a060\u00a0cm"
	}
	if big > 0 {
		out = append(out, "A long ruler, such as "+long+", and a square one: the largest square to cut is **"+m.length(big)+"**")
	} else {
		out = append(out, "A long ruler, such as "+long)
	}
	if m.does("mark") {
		out = append(out, "A pencil or marker that shows on the wrong side of the cloth and washes out")
	}
	out = append(out, "A sewing machine with straight stitch, a new needle of size 70 to 80, and thread in a middle grey or beige",
		"Pins, an iron and a firm pressing board",
		"Labels or bags: every piece has a label here, such as **"+m.someLabel()+"**")
	for _, q := range m.p.Pieces {
		if q.Shape == "template" {
			out = append(out, "Card or template plastic for the templates at the end")
			break
		}
	}
	return out
}

// labelOf is the label of a piece of a fabric, or its letter.
func (m *maker) labelOf(letter string) string {
	for i := range m.p.Pieces {
		if q := &m.p.Pieces[i]; q.Fabric == letter && m.cuts(q) {
			return q.Label
		}
	}
	return letter
}

func (m *maker) someLabel() string {
	for i := range m.p.Pieces {
		if q := &m.p.Pieces[i]; m.cuts(q) {
			return q.Label
		}
	}
	return "A1"
}

// cuts reports whether the document has a piece cut: a handout speaks of none of another month's.
func (m *maker) cuts(q *plan.Piece) bool { return m.month == 0 || cutIn(q, m.month) > 0 }

func (m *maker) does(op string) bool {
	for _, r := range m.p.Recipes {
		for _, o := range r.Do {
			if o.Op == op {
				return true
			}
		}
	}
	return false
}

// skills names what the pattern asks for.
func (m *maker) skills() []string {
	var out []string
	seen := map[string]bool{}
	add := func(s string) {
		if s != "" && !seen[s] {
			seen[s] = true
			out = append(out, s)
		}
	}
	shapes := map[string]string{
		"half square": "Cutting squares once corner to corner", "quarter square": "Cutting squares twice corner to corner",
		"half rectangle": "Cutting rectangles corner to corner, all the same way up", "parallelogram": "Cutting strips at a slant",
		"triangle 60": "Cutting triangles of 60° from strips", "template": "Cutting with templates",
	}
	for _, q := range m.p.Pieces {
		add(shapes[q.Shape])
	}
	for _, r := range m.p.Recipes {
		if u := m.units[r.Unit]; u != nil && u.Name == "" {
			if t := m.t.Title(r.ID); strings.Contains(t.Head, ",") {
				add(t.Head)
			}
		}
	}
	kinds := map[string]string{
		"partial": "Partial seams: a seam begun, left open and finished later",
		"set in":  "Set-in seams: sewing into an inner corner",
		"curved":  "Curved seams",
	}
	for _, u := range m.p.Units {
		for _, j := range u.Joins {
			add(kinds[j.Kind])
		}
	}
	if m.p.Layout.Style == "on point" {
		add("Setting blocks on point")
	}
	if m.p.Press.Nested > 0 {
		add("Nesting seams")
	}
	if b := m.p.Finish.Binding; b != nil && b.Cut == "bias" {
		add("Bias binding")
	}
	return out
}

// assumptions are the widths, seam and washing behind the sizes.
func (m *maker) assumptions() []string {
	widths := map[string]bool{}
	var list []string
	shrink := plan.Num(0)
	for _, f := range m.p.Fabrics {
		if w := m.length(f.Width); f.Width > 0 && !widths[w] {
			widths[w] = true
			list = append(list, w)
		}
		shrink = max(shrink, f.Buy.Shrink)
	}
	out := []string{"Every seam is **" + m.length(m.p.Seam) + "** wide. Cut sizes include it; finished sizes do not. " +
		"A size beside a step is from raw edge to raw edge"}
	if len(list) > 0 {
		out = append(out, "Cloth is **"+strings.Join(list, "** or **")+"** wide between the selvages")
	}
	if shrink > 0 {
		out = append(out, "Cloth is washed before it is cut; what to buy includes the shrinking")
	} else {
		out = append(out, "Cloth is not washed before it is cut")
	}
	out = append(out, "The drawings show right-handed cutting; turn the page round in your mind, not the pieces, if you cut with the left hand")
	return out
}

// signs are the abbreviations in use.
func (m *maker) signs() []string {
	var out []string
	if m.p.Measure == "cm" {
		out = append(out, "**cm** centimetre")
	} else {
		out = append(out, "**in** inch; **yd** yard, 36\u00a0in")
	}
	out = append(out, "**×** by: the width stands first, then the height; after a label, how many",
		"**"+m.someLabel()+"** a piece: the letter is its cloth, the number its kind")
	for _, q := range m.p.Pieces {
		if q.Hand == "R" {
			label := q.Label
			if !m.cuts(&q) {
				label = "R" // a later month has it
			}
			out = append(out, "**"+label+"** the mirror image of the piece without R")
			break
		}
	}
	for _, q := range m.p.Pieces {
		if len(q.Bias) > 0 && m.cuts(&q) {
			out = append(out, "**bias edge** an edge cut across the threads: it stretches. Lift the piece by its straight edges, let the machine feed it, and press it by lifting the iron, without steam")
			break
		}
	}
	out = append(out, "**finished** without seam allowances, as in the sewn quilt",
		"**chain** feed so many through the machine one after the other, without cutting the thread",
		"**right side** the printed side of the cloth; **wrong side** its back")
	return out
}

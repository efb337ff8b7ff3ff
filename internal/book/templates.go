package book

import (
	"fmt"
	"math"
	"slices"

	"quiltwright/internal/plan"
	"quiltwright/internal/scene"
)

// template is a piece that is cut by a template: its cutting line and its seam in the piece's frame.
type template struct {
	piece *plan.Piece
	seam  []plan.Vertex
	lie   pose    // from the seam's frame to the piece's
	w, h  float64 // of the cutting line, in points
}

// The largest template on one sheet: 7 1/2 by 10 in.
const (
	sheetW = 7.5 * scene.Inch
	sheetH = 10 * scene.Inch
	bandH  = 92 // the strip of a template page that holds the test squares
)

// perUnit is the points of paper to one of the measure, at true size.
func (m *maker) perUnit() float64 {
	if m.p.Measure == "cm" {
		return float64(scene.Centimetre)
	}
	return float64(scene.Inch)
}

func (m *maker) allTemplates() []template {
	var out []template
	for i := range m.p.Pieces {
		q := &m.p.Pieces[i]
		if q.Shape != "template" || len(q.Outline) < 3 || m.month > 0 && cutIn(q, m.month) == 0 {
			continue
		}
		t := template{piece: q, w: float64(q.Width) * m.perUnit(), h: float64(q.Height) * m.perUnit()}
		for j := range m.p.Units {
			if u := &m.p.Units[j]; u.Piece == q.Label && u.Lie != nil {
				t.seam = u.Outline
				t.lie = poseOf(u.Lie.At, u.Lie.Turn, u.Lie.Mirror).inverse()
				break
			}
		}
		out = append(out, t)
	}
	return out
}

// inverse undoes a pose, which neither stretches nor shrinks.
func (p pose) inverse() pose {
	det := p.a*p.d - p.b*p.c
	q := pose{a: p.d / det, b: -p.b / det, c: -p.c / det, d: p.a / det}
	q.dx = -(q.a*p.dx + q.b*p.dy)
	q.dy = -(q.c*p.dx + q.d*p.dy)
	return q
}

// templates are the pages of templates at true size.
func (m *maker) templates() {
	ts := m.allTemplates()
	if len(ts) == 0 {
		return
	}
	room := m.sheet.depth() - bandH
	first := true
	intro := func() scene.Pt {
		m.flow.open(chunk{fresh: true})
		if !first {
			return 0
		}
		first = false
		h := heading(m.width, 1, headTemplates, "", m.mark(1, headTemplates))
		b := paraOf(m.width, 2, sizeNote, scene.Ink, scene.Rich(templateNote))
		m.flow.put(h, b)
		return h.h + b.h + b.gap
	}
	for i := 0; i < len(ts); {
		head := m.introHeight(first)
		// As many as fit below each other go on a page; a large one has its own sheet or sheets.
		var items []scene.Item
		y := scene.Pt(0)
		j := i
		for ; j < len(ts); j++ {
			t := ts[j]
			need := scene.Pt(t.h) + 16
			if scene.Pt(t.w) > m.width || y+need > room-head-12 {
				break
			}
			items = append(items, moved(0, y+12, m.templateItems(t, true)...))
			y += need + 8
		}
		if j > i {
			head = intro()
			items = append(items, moved(0, room-head, m.testSquares(0)...))
			m.flow.put(box{item: scene.Group{Tag: scene.Section, Items: items}, h: m.sheet.depth() - head - 13, gap: 12})
			i = j
			continue
		}
		if first {
			intro()
			m.flow.put(m.overview(ts)...)
		}
		m.large(ts[i])
		i++
	}
}

// overview shows all templates small, to one scale, on the page that tells how they are used.
func (m *maker) overview(ts []template) []box {
	const most, gap scene.Pt = 130, 22
	var largest scene.Pt
	for _, t := range ts {
		largest = max(largest, scene.Pt(max(t.w, t.h)))
	}
	scale := float64(most / largest)
	o := onPaper{scale: m.perUnit() * scale}
	says := paraOf(m.width, 14, sizeNote, scene.Grey, scene.Rich(overviewNote))
	says.stick = true
	out := []box{says}
	for i := 0; i < len(ts); {
		var items []scene.Item
		var x, high scene.Pt
		for ; i < len(ts); i++ {
			t := ts[i]
			w, h := scene.Pt(t.w*scale), scene.Pt(t.h*scale)
			wide := max(w, 110)
			if x > 0 && x+wide > m.width {
				break
			}
			drawn := []scene.Item{m.fig.Look(t.piece.Fabric).Fill(o.path(t.piece.Outline, still)).Stroked(scene.Ink, 0.7)}
			items = append(items, scene.Group{Tag: scene.Figure, Alt: "what template " + t.piece.Label + " looks like, not to size", At: scene.Point{X: x}, Items: drawn},
				moved(x, 0, m.templateSays(t, 0, h+16, scene.Left)...))
			x, high = x+wide+gap, max(high, h+56)
		}
		out = append(out, box{item: scene.Group{Tag: scene.Section, Items: items}, h: high, gap: 10})
	}
	return out
}

func (m *maker) introHeight(first bool) scene.Pt {
	if !first {
		return 0
	}
	return heading(m.width, 1, headTemplates, "", "").h + paraOf(m.width, 2, sizeNote, scene.Ink, scene.Rich(templateNote)).h + 2
}

// large prints one template on sheets of its own: one where it fits 7 1/2 by 10 in, else several with match lines.
func (m *maker) large(t template) {
	nx := int(math.Ceil(t.w/float64(sheetW) - 1e-9))
	ny := int(math.Ceil(t.h/float64(sheetH) - 1e-9))
	tw, th := scene.Pt(t.w)/scene.Pt(nx), scene.Pt(t.h)/scene.Pt(ny)
	left := -(sheetW - m.width) / 2
	top := -(head - 26)
	for r := range ny {
		for c := range nx {
			m.flow.open(chunk{fresh: true})
			clip := scene.Rect(0, 0, tw, th)
			part := scene.Group{At: scene.Point{X: left, Y: top}, Clip: &clip,
				Items: []scene.Item{moved(-scene.Pt(c)*tw, -scene.Pt(r)*th, m.templateItems(t, false)...)}}
			fig := scene.Group{Tag: scene.Figure, Alt: fmt.Sprintf("template %s, part %d of %d", t.piece.Label, r*nx+c+1, nx*ny), Items: []scene.Item{part}}
			fig.Items = append(fig.Items, m.matchLines(left, top, tw, th, c, r, nx, ny)...)
			fig.Items = append(fig.Items, grain(t.piece.Grain, scene.Point{X: left + tw/2, Y: top + th/4}, 40)...)
			says := []scene.Item{fig}
			sheets := ""
			if nx*ny > 1 {
				sheets = fmt.Sprintf("Sheet %d of %d. %s", r*nx+c+1, nx*ny, tileNote)
			}
			arrow := scene.Point{X: left + tw/2, Y: top + th/4}
			lines := append(box4(left, top, left+tw, top+th), m.sheetLines(t, left-scene.Pt(c)*tw, top-scene.Pt(r)*th, [2]scene.Point{{X: arrow.X - 12, Y: arrow.Y - 44}, {X: arrow.X + 12, Y: arrow.Y + 44}})...)
			says = append(says, m.sheetSays(t, sheets, left, top, tw, th, lines)...)
			m.flow.put(box{item: scene.Group{Tag: scene.Section, Items: says}, h: m.sheet.depth()})
		}
	}
}

// sheetSays puts the label and the test squares of a sheet below the template where there is room, else on it where no line of it
// runs; lines are all that is drawn there.
func (m *maker) sheetSays(t template, sheets string, x, y, w, h scene.Pt, lines [][2]scene.Point) []scene.Item {
	if below := m.sheet.depth() - bandH - 18; y+h+8 <= below {
		out := []scene.Item{moved(0, below, m.testSquares(0)...), moved(375, below+20, m.templateSays(t, 0, 0, scene.Left)...)}
		if sheets != "" {
			out = append(out, scene.Group{Tag: scene.Section, Items: []scene.Item{
				label(0, below+bandH+8, sizeSmall, scene.Body, scene.Grey, scene.Left, sheets)}})
		}
		return out
	}
	const wide, deep = 165, 230
	at := scene.Point{X: x + w/2 - wide/2, Y: y + h/2 - deep/2}
search:
	for py := y + h - deep - 20; py > y+20; py -= 8 {
		for px := x + 24; px+wide < max(x+w-14, m.width); px += 8 {
			// A seam runs beside the line that is cut.
			if !slices.ContainsFunc(lines, func(l [2]scene.Point) bool { return meetsBox(l, px-22, py-22, px+wide+22, py+deep+22) }) {
				at = scene.Point{X: px, Y: py}
				break search
			}
		}
	}
	out := []scene.Item{moved(at.X, at.Y, m.testSquares(wide)...), moved(at.X, at.Y+150, m.templateSays(t, 0, 0, scene.Left)...)}
	if sheets != "" {
		words, _ := block(0, wide, sizeSmall, scene.Grey, scene.Rich(sheets))
		out = append(out, scene.Group{Tag: scene.Section, At: scene.Point{X: at.X, Y: at.Y + 184}, Items: words})
	}
	return out
}

// box4 are the sides of a box.
func box4(x0, y0, x1, y1 scene.Pt) [][2]scene.Point {
	a, b, c, d := scene.Point{X: x0, Y: y0}, scene.Point{X: x1, Y: y0}, scene.Point{X: x1, Y: y1}, scene.Point{X: x0, Y: y1}
	return [][2]scene.Point{{a, b}, {b, c}, {c, d}, {d, a}}
}

// meetsBox reports whether a segment has a point in a box.
func meetsBox(l [2]scene.Point, x0, y0, x1, y1 scene.Pt) bool {
	from, to := 0.0, 1.0
	for _, c := range [2][4]scene.Pt{{l[0].X, l[1].X - l[0].X, x0, x1}, {l[0].Y, l[1].Y - l[0].Y, y0, y1}} {
		p, d, lo, hi := float64(c[0]), float64(c[1]), float64(c[2]), float64(c[3])
		if math.Abs(d) < 1e-9 {
			if p < lo || p > hi {
				return false
			}
			continue
		}
		a, b := (lo-p)/d, (hi-p)/d
		from, to = max(from, min(a, b)), min(to, max(a, b))
	}
	return from <= to
}

// sheetLines are the lines of a template as they run on a sheet, and its arrow for the grain.
func (m *maker) sheetLines(t template, dx, dy scene.Pt, grain [2]scene.Point) [][2]scene.Point {
	o := onPaper{scale: m.perUnit()}
	out := [][2]scene.Point{grain}
	for i, v := range t.piece.Outline {
		n := t.piece.Outline[(i+1)%len(t.piece.Outline)]
		a, b := o.point(float64(v.X), float64(v.Y)), o.point(float64(n.X), float64(n.Y))
		out = append(out, [2]scene.Point{{X: a.X + dx, Y: a.Y + dy}, {X: b.X + dx, Y: b.Y + dy}})
	}
	return out
}

// matchLines are the edges of a sheet along which the next one is taped, with the letter that both show.
func (m *maker) matchLines(x, y, w, h scene.Pt, c, r, nx, ny int) []scene.Item {
	var out []scene.Item
	edge := func(a, b scene.Point, n int, dx, dy scene.Pt) {
		out = append(out, scene.Line(a, b).Stroked(scene.Ember, 0.8).Dashed(6, 3))
		out = append(out, label((a.X+b.X)/2+dx, (a.Y+b.Y)/2+dy, 11, scene.Bold, scene.Ember, scene.Middle, letters(n)))
	}
	if c > 0 {
		edge(scene.Point{X: x, Y: y}, scene.Point{X: x, Y: y + h}, r*(nx-1)+c-1, 10, 0)
	}
	if c+1 < nx {
		edge(scene.Point{X: x + w, Y: y}, scene.Point{X: x + w, Y: y + h}, r*(nx-1)+c, -10, 0)
	}
	across := ny * (nx - 1)
	if r > 0 {
		edge(scene.Point{X: x, Y: y}, scene.Point{X: x + w, Y: y}, across+(r-1)*nx+c, 0, 14)
	}
	if r+1 < ny {
		edge(scene.Point{X: x, Y: y + h}, scene.Point{X: x + w, Y: y + h}, across+r*nx+c, 0, -6)
	}
	return out
}

// letters counts a, b ... z, aa, ab ...
func letters(n int) string {
	s := string(rune('a' + n%26))
	if n >= 26 {
		return letters(n/26-1) + s
	}
	return s
}

// templateItems draws a template at true size from 0,0: cutting line, seam, grain, and what it says.
func (m *maker) templateItems(t template, says bool) []scene.Item {
	o := onPaper{scale: m.perUnit()}
	w, h := scene.Pt(t.w), scene.Pt(t.h)
	var in []scene.Item
	in = append(in, o.path(t.piece.Outline, still).Stroked(scene.Ink, 1))
	if len(t.seam) > 2 {
		in = append(in, o.path(t.seam, t.lie).Stroked(scene.Ink, 0.6).Dashed(4, 3))
	}
	in = append(in, m.motifCircle(t, o)...)
	if !says {
		return in
	}
	c := middle(t.piece.Outline, o)
	in = append(in, grain(t.piece.Grain, scene.Point{X: c.X - min(w, 120)/5, Y: c.Y}, min(w, h, 130)/4)...)
	return []scene.Item{scene.Group{Tag: scene.Figure, Alt: "template " + t.piece.Label, Items: in},
		moved(0, 0, m.templateSays(t, c.X-min(w, 120)/5+9, c.Y-10, scene.Left)...)}
}

// motifCircle is where the motif stands that a template is centred on.
func (m *maker) motifCircle(t template, o onPaper) []scene.Item {
	k := slices.IndexFunc(m.p.Fabrics, func(f plan.Fabric) bool { return f.Letter == t.piece.Fabric && f.Motif != nil })
	if t.piece.Motif == nil || k < 0 {
		return nil
	}
	f := &m.p.Fabrics[k]
	c, r := o.point(float64(t.piece.Motif[0]), float64(t.piece.Motif[1])), scene.Pt(float64(f.Motif.Size)/2*o.scale)
	out := []scene.Item{scene.Circle(c, r).Stroked(scene.Ember, 0.7).Dashed(3, 2)}
	for _, d := range []scene.Point{{X: 1}, {Y: 1}, {X: -1}, {Y: -1}} {
		out = append(out, scene.Line(scene.Point{X: c.X + d.X*(r-5), Y: c.Y + d.Y*(r-5)}, scene.Point{X: c.X + d.X*(r+5), Y: c.Y + d.Y*(r+5)}).Stroked(scene.Ember, 0.7))
	}
	return out
}

// middle is the centre of gravity of an outline on paper, its arcs taken as straight.
func middle(vs []plan.Vertex, o onPaper) scene.Point {
	var a, x, y float64
	for i, v := range vs {
		n := vs[(i+1)%len(vs)]
		k := float64(v.X)*float64(n.Y) - float64(n.X)*float64(v.Y)
		a += k
		x += k * float64(v.X+n.X)
		y += k * float64(v.Y+n.Y)
	}
	if a == 0 {
		return o.point(0, 0)
	}
	return o.point(x/3/a, y/3/a)
}

// grain is a double arrow along the straight grain.
func grain(g string, at scene.Point, r scene.Pt) []scene.Item {
	dx, dy := scene.Pt(0), r
	switch g {
	case "across":
		dx, dy = r, 0
	case "bias":
		dx, dy = r*0.7, -r*0.7
	}
	return []scene.Item{
		scene.Arrow(at, scene.Point{X: at.X + dx, Y: at.Y + dy}, 6, scene.Ink, 0.9),
		scene.Arrow(at, scene.Point{X: at.X - dx, Y: at.Y - dy}, 6, scene.Ink, 0.9),
	}
}

// templateSays is the label of a template: pattern, piece, cloth, how many, and which hand.
func (m *maker) templateSays(t template, x, y scene.Pt, a scene.Anchor) []scene.Item {
	q := t.piece
	n := q.Cut
	if m.month > 0 {
		n = cutIn(q, m.month)
	}
	lines := []string{m.p.Quilt, fmt.Sprintf("cut %d of %s", n, m.t.Fabric(q.Fabric))}
	if q.Hand == "R" {
		lines = append(lines, "mirror image")
	}
	if q.Motif != nil {
		lines = append(lines, m.t.Centre(q))
	}
	out := []scene.Item{label(x, y, 12, scene.Bold, scene.Ink, a, q.Label)}
	for i, s := range lines {
		out = append(out, label(x, y+12*scene.Pt(i+1), sizeSmall, scene.Body, scene.Ink, a, fit(scene.Body, sizeSmall, 140, s)))
	}
	return []scene.Item{scene.Group{Tag: scene.Section, Items: out}}
}

// testSquares are the squares that must measure 1 in and 2.5 cm, what to do with them beside them, or below in a column so wide.
func (m *maker) testSquares(wide scene.Pt) []scene.Item {
	var out []scene.Item
	x := scene.Pt(0)
	for _, s := range []struct {
		side scene.Pt
		says string
	}{{scene.Inch, "1\u00a0in"}, {2.5 * scene.Centimetre, "2.5\u00a0cm"}} {
		out = append(out, scene.Rect(x, 10, s.side, s.side).Stroked(scene.Ink, 0.7),
			label(x+s.side/2, 10+s.side/2+4, 11, scene.Body, scene.Ink, scene.Middle, s.says))
		x += s.side + 12
	}
	fig := scene.Group{Tag: scene.Figure, Alt: "test squares: 1 in and 2.5 cm", Items: out}
	if wide > 0 {
		words, _ := block(0, wide, sizeNote, scene.Grey, scene.Rich(testNote))
		return []scene.Item{fig, scene.Group{Tag: scene.Paragraph, At: scene.Point{Y: 18 + scene.Inch}, Items: words}}
	}
	words, h := block(x+4, 190, sizeNote, scene.Grey, scene.Rich(testNote))
	return []scene.Item{fig, scene.Group{Tag: scene.Paragraph, At: scene.Point{Y: 10 + (scene.Inch-h)/2}, Items: words}}
}

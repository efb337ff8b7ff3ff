package book

import (
	"strings"

	"quiltwright/internal/figure"
	"quiltwright/internal/scene"
)

// Sizes of type.
const (
	sizeTitle scene.Pt = 30
	sizeH1    scene.Pt = 26
	sizeH2    scene.Pt = 17
	sizeH3    scene.Pt = 13
	sizeBody  scene.Pt = 11
	sizeNote  scene.Pt = 10.5
	sizeSmall scene.Pt = 9.5
	sizeFoot  scene.Pt = 8.5

	leading = 1.36 // of body type, as a part of its size
)

// label returns a line at x, its baseline at y.
func label(x, y, size scene.Pt, f scene.Font, c scene.Color, a scene.Anchor, s string) scene.Text {
	return scene.Label(scene.Point{X: x, Y: y}, size, f, c, a, s)
}

// block sets runs into lines from x, 0 and returns the lines and their height.
func block(x, width, size scene.Pt, c scene.Color, runs []scene.Run) ([]scene.Item, scene.Pt) {
	var out []scene.Item
	step := size * leading
	y := size * 1.02
	lines := scene.Break(size, width, runs)
	for _, l := range lines {
		if len(l) > 0 {
			out = append(out, scene.Text{At: scene.Point{X: x, Y: y}, Size: size, Color: c, Runs: l})
		}
		y += step
	}
	return out, step * scene.Pt(len(lines))
}

// moved returns items moved by x, y.
func moved(x, y scene.Pt, items ...scene.Item) scene.Group {
	return scene.Group{At: scene.Point{X: x, Y: y}, Items: items}
}

// para returns a paragraph over the width, as one box; long ones are given as several paragraphs.
func para(width scene.Pt, gap scene.Pt, s string) box {
	return paraOf(width, gap, sizeBody, scene.Ink, scene.Rich(s))
}

func paraOf(width, gap, size scene.Pt, c scene.Color, runs []scene.Run) box {
	items, h := block(0, width, size, c, runs)
	return box{item: scene.Group{Tag: scene.Paragraph, Items: items}, h: h, gap: gap}
}

// heading returns a heading of level 1 to 3 with what is said beside it in grey, small. mark may be empty.
func heading(width scene.Pt, level int, s, aside, mark string) box {
	tag := [...]scene.Tag{scene.Heading1, scene.Heading2, scene.Heading3}[level-1]
	size := [...]scene.Pt{sizeH1, sizeH2, sizeH3}[level-1]
	gap := [...]scene.Pt{26, 20, 14}[level-1]
	font := scene.Heading
	var items []scene.Item
	y := size
	lines := scene.Break(size, width, []scene.Run{{Font: font, Text: s}})
	for i, l := range lines {
		if i > 0 {
			y += size * 1.15
		}
		items = append(items, scene.Text{At: scene.Point{Y: y}, Size: size, Color: scene.Ink, Runs: l})
	}
	h := y + size*0.42
	g := scene.Group{Tag: tag, Mark: mark, Items: items}
	if aside != "" {
		last := scene.Measure(size, lines[len(lines)-1])
		small := sizeBody
		if last+8+scene.Width(scene.Body, small, aside) <= width {
			g.Items = append(g.Items, label(last+8, y, small, scene.Body, scene.Grey, scene.Left, aside))
		} else {
			more, dh := block(0, width, small, scene.Grey, []scene.Run{{Text: aside}})
			g.Items = append(g.Items, moved(0, h-2, more...))
			h += dh
		}
	}
	return box{item: g, h: h, gap: gap, stick: true}
}

// ruled puts a thin line across the column above a heading.
func ruled(width scene.Pt, b box) box {
	line := scene.Line(scene.Point{Y: -4}, scene.Point{X: width, Y: -4}).Stroked(scene.Ink, 0.7)
	b.item = scene.Group{Items: []scene.Item{line, moved(0, 6, b.item)}}
	b.h += 6
	b.gap += 6
	return b
}

// hairline returns a rule across the column at y.
func hairline(width, y scene.Pt) scene.Path {
	return scene.Line(scene.Point{Y: y}, scene.Point{X: width, Y: y}).Stroked(scene.Hair, 0.6)
}

// bullets returns a list. An item "Term: text" may have its term between asterisks.
func bullets(width, gap scene.Pt, items []string) []box {
	f := &frame{tag: scene.List}
	var out []box
	for i, s := range items {
		body, h := block(14, width-14, sizeBody, scene.Ink, scene.Rich(s))
		g := scene.Group{Tag: scene.ListItem, Items: []scene.Item{
			scene.Group{Tag: scene.ListLabel, Items: []scene.Item{label(2, sizeBody*1.02, sizeBody, scene.Body, scene.Ember, scene.Left, "·")}},
			scene.Group{Tag: scene.ListBody, Items: body},
		}}
		b := box{item: g, h: h, gap: 3, in: f}
		if i == 0 {
			b.gap = gap
		}
		out = append(out, b)
	}
	return out
}

// cell is a cell of a table: rich text, with a chip of cloth before it.
type cell struct {
	text  string
	chip  *cloth
	color scene.Color // none: ink
	bold  bool

	drawing *scene.Drawing // before the text
}

// cloth is how a fabric is shown: its photograph or its colour.
type cloth struct {
	look    figure.Look
	picture []byte
}

// chip returns a square of cloth.
func (c cloth) chip(x, y, size scene.Pt) scene.Item {
	frame := scene.Rect(x, y, size, size).Stroked(scene.Ink, 0.5)
	if len(c.picture) > 0 {
		return scene.Group{Items: []scene.Item{scene.Image{X: x, Y: y, W: size, H: size, Data: c.picture}, frame}}
	}
	return c.look.Fill(frame)
}

// col is a column of a table: where it begins and how wide it is.
type col struct{ x, w scene.Pt }

// columns divides a width by proportions, with a gutter between.
func columns(width scene.Pt, parts ...float64) []col {
	var sum float64
	for _, p := range parts {
		sum += p
	}
	const gutter scene.Pt = 10
	free := width - gutter*scene.Pt(len(parts)-1)
	var out []col
	var x scene.Pt
	for _, p := range parts {
		w := free * scene.Pt(p/sum)
		out = append(out, col{x, w})
		x += w + gutter
	}
	return out
}

const chipSize scene.Pt = 11.5

// table returns the rows of a table under grey headings.
func table(width, gap scene.Pt, cols []col, heads []string, rows [][]cell) []box {
	f := &frame{tag: scene.Table}
	var hs []cell
	for _, h := range heads {
		hs = append(hs, cell{text: h, color: scene.Grey})
	}
	hb := tableRow(width, cols, hs, scene.TableHead, sizeSmall)
	hb.stick, hb.gap = true, gap
	f.head = []box{hb}
	out := []box{hb}
	for _, r := range rows {
		out = append(out, tableRow(width, cols, r, scene.TableCell, sizeBody))
	}
	for i := range out {
		out[i].in = f
	}
	return out
}

func tableRow(width scene.Pt, cols []col, cells []cell, tag scene.Tag, size scene.Pt) box {
	const pad scene.Pt = 3.2
	var items []scene.Item
	var h scene.Pt
	for _, c := range cells {
		if c.drawing != nil {
			h = max(h, c.drawing.H)
		}
	}
	drawn := h // beside a drawing, lines stand at its middle
	for i, c := range cells {
		x, w := cols[i].x, cols[i].w
		var its []scene.Item
		if d := c.drawing; d != nil {
			its = append(its, d.Placed(x, pad))
			x, w = x+d.W+6, w-d.W-6
		}
		down := pad + max(0, (drawn-size*leading)/2)
		if c.chip != nil {
			its = append(its, c.chip.chip(x, down+1, chipSize))
			x, w = x+chipSize+6, w-chipSize-6
		}
		k := c.color
		if !k.Set {
			k = scene.Ink
		}
		runs := scene.Rich(c.text)
		if c.bold {
			runs = []scene.Run{{Font: scene.Bold, Text: c.text}}
		}
		text, th := block(x, w, size, k, runs)
		its = append(its, moved(0, down, text...))
		h = max(h, th+down-pad)
		items = append(items, scene.Group{Tag: tag, Items: its})
	}
	h += 2 * pad
	items = append(items, scene.Group{Tag: scene.Artifact, Items: []scene.Item{hairline(width, h)}})
	return box{item: scene.Group{Tag: scene.TableRow, Items: items}, h: h}
}

// quoted returns the writer's own words, set apart as hers.
func quoted(width, gap scene.Pt, who, note string) []box {
	note = strings.TrimSpace(note)
	if note == "" {
		return nil
	}
	var out []box
	paras := strings.Split(note, "\n\n")
	for i, p := range paras {
		p = strings.Join(strings.Fields(p), " ")
		items, h := block(14, width*0.8-14, sizeBody+0.5, scene.Ink, []scene.Run{{Font: scene.Italic, Text: p}})
		g := scene.Group{Tag: scene.BlockQuote, Items: []scene.Item{scene.Group{Tag: scene.Paragraph, Items: items}}}
		if i == len(paras)-1 && who != "" {
			g.Items = append(g.Items, scene.Group{Tag: scene.Paragraph, Items: []scene.Item{
				label(14, h+sizeNote, sizeNote, scene.Body, scene.Grey, scene.Left, "— "+who)}})
			h += sizeNote * 1.5
		}
		g.Items = append(g.Items, scene.Line(scene.Point{X: 3, Y: 1}, scene.Point{X: 3, Y: h - 1}).Stroked(scene.Ember, 1.2))
		b := box{item: g, h: h, gap: 5}
		if i == 0 {
			b.gap = gap
		}
		out = append(out, b)
	}
	return out
}

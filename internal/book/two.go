package book

import (
	"fmt"

	"quiltwright/internal/scene"
)

// Steps that stand two beside each other: their drawings are small, and what comes out stands below the sentence.
const (
	twoGutter scene.Pt = 18
	twoDrawn  scene.Pt = 134 // the widest drawing
	twoHigh   scene.Pt = 84
	twoNumber scene.Pt = 20 // room for the number
	twoLeast           = 6  // fewer steps stand one below the other
)

// inTwo is a section of many small steps with two of them beside each other; as sectionAt where they are too large for that.
func (m *maker) inTwo(s section) []box {
	g := m.smallGrid(s.steps)
	if g.drawn == nil {
		return m.sectionAt(s, 1)
	}
	w := (m.width - twoGutter) / 2
	out := m.parts(s, 0.75)
	f := &frame{tag: scene.List}
	for n := 0; n < len(s.steps); n += 2 {
		var items []scene.Item
		var h scene.Pt
		for k, i := range s.steps[n:min(n+2, len(s.steps))] {
			item, high := m.narrow(i, n+k+1, g, m.called(s, n+k), w)
			item.At.X = scene.Pt(k) * (w + twoGutter)
			items = append(items, item)
			h = max(h, high)
		}
		items = append(items, scene.Group{Tag: scene.Artifact, Items: []scene.Item{hairline(m.width, h)}})
		out = append(out, box{item: scene.Group{Items: items}, h: h, in: f})
	}
	return append(out, m.others(s)...)
}

// smallGrid draws steps small enough to stand two beside each other, all to one scale; nothing where one would be too small to read.
func (m *shared) smallGrid(steps []int) grid {
	key := sized{first: steps[0], two: true}
	if g, ok := m.fits[key]; ok {
		return g
	}
	most := m.most() * 0.75
	g := grid{pad: 7}
	if scale := m.fig.StepScale(steps, twoDrawn, twoHigh, most); scale > tiny*most/14 {
		g.drawn = map[int]placed{}
		for _, i := range steps {
			g.drawn[i] = placed{d: m.fig.Step(i, scale)}
		}
	}
	m.fits[key] = g
	return g
}

// narrow is one of two steps beside each other, and its height.
func (m *maker) narrow(i, n int, g grid, called string, w scene.Pt) (scene.Group, scene.Pt) {
	said := m.t.Step(i)
	d := g.drawn[i].d
	do := string(said.Do)
	if called != "" {
		do = "**" + called + ".** " + do
	}
	from := twoNumber
	if d.W > 0 {
		from += twoDrawn + 6
	}
	text, textH := sentences(from, w-from, string(said.Together), do)
	below := scene.Pt(0)
	var check []scene.Item
	if said.Check != "" {
		ls, h := block(from, w-from, sizeBody+0.5, scene.Ink, []scene.Run{{Font: scene.Bold, Text: said.Check.String()}})
		check, below = append(check, ls...), h
	}
	for _, note := range said.Notes {
		ls, h := block(from, w-from, sizeSmall, scene.Grey, scene.Rich(string(note)))
		check = append(check, moved(0, below, ls...))
		below += h
	}
	h := max(d.H, textH+below) + 2*g.pad
	top := (h - textH - below) / 2
	body := []scene.Item{scene.Group{At: scene.Point{Y: top}, Items: text}}
	if d.W > 0 {
		body = append([]scene.Item{d.Placed(twoNumber+(twoDrawn-d.W)/2, (h-d.H)/2)}, body...)
	}
	if len(check) > 0 {
		body = append(body, scene.Group{Tag: scene.Section, At: scene.Point{Y: top + textH}, Items: []scene.Item{scene.Group{Tag: "Span", Items: check}}})
	}
	return scene.Group{Tag: scene.ListItem, Items: []scene.Item{
		scene.Group{Tag: scene.ListLabel, Items: []scene.Item{label(0, h/2+6, 17, scene.Heading, scene.Ember, scene.Left, fmt.Sprint(n))}},
		scene.Group{Tag: scene.ListBody, Items: body},
	}}, h
}

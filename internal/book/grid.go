package book

import (
	"fmt"
	"strings"

	"quiltwright/internal/measure"
	"quiltwright/internal/scene"
	"quiltwright/internal/words"
)

// The grid of a step: its number, before and after, the sentence, the check.
const (
	gridDraw  = 0.045 // where the drawings begin, as a part of the column
	gridLeast = 0.24  // where the sentences begin at least
	gridText  = 0.425 // and at most
	gridCheck = 0.835
	drawPad   = 10
)

// grid is how the steps of one section stand on the page.
type grid struct {
	pad    scene.Pt // above and below a step
	widest scene.Pt // of the drawings beside their sentences
	drawn  map[int]placed
}

// sized names a section, by its first step, at a size.
type sized struct {
	first int
	size  float64
	two   bool // steps stand two beside each other
}

// placed is the drawing of a step and where it stands.
type placed struct {
	d     scene.Drawing
	above bool // long and low: over the sentence, where it can be twice as wide
}

// asideMost is the longest note, in letters, that stands beside a step; a longer one stands under its sentence.
const asideMost = 44

// leastStep is the height of a step at least.
const leastStep scene.Pt = 40

// long is how many times as wide as high a drawing is that stands above its sentence.
const long = 3.6

// tiny is the number of points to an inch below which a drawing stands above its sentence as well: a quilt's.
const tiny = 3

// drawnWidth is the column that everything is drawn for: the narrower one, so that the papers share their drawings.
var drawnWidth = min(scene.Letter[0], scene.A4[0]) - 2*side

// grid draws the steps of a section: all to one scale, those that are long and low to another, larger one. It is
// worked out once for a plan. size is a part of the usual size, at most 1.
func (m *shared) grid(steps []int, size float64) grid {
	key := sized{first: steps[0], size: size}
	if g, ok := m.fits[key]; ok {
		return g
	}
	most, highest := m.most()*size, scene.Pt(118*size)
	g := grid{pad: drawPad * scene.Pt(size), drawn: map[int]placed{}}
	narrow := (drawnWidth*(gridText-gridDraw) - drawPad) * scene.Pt(size)
	scale := m.fig.StepScale(steps, narrow, highest, most)
	var low, rest []int
	for _, i := range steps {
		d := m.fig.Step(i, scale)
		g.drawn[i] = placed{d: d}
		if d.H > 0 && d.W > long*d.H {
			low = append(low, i)
		} else {
			rest = append(rest, i)
		}
	}
	whole := (drawnWidth*(gridCheck-gridDraw) - 2*drawPad) * scene.Pt(size)
	if len(low) > 0 {
		// A row that is drawn larger by little would only look uneven.
		if wide := m.fig.StepScale(low, whole, highest, most); wide > 1.25*scale {
			for _, i := range low {
				g.drawn[i] = placed{m.fig.Step(i, wide), true}
			}
			scale = max(scale, m.fig.StepScale(rest, narrow, highest, min(most, wide)))
			for _, i := range rest {
				g.drawn[i] = placed{d: m.fig.Step(i, scale)}
			}
		}
	}
	if len(rest) > 0 && scale < tiny*most/(14*size) {
		if wide := m.fig.StepScale(rest, whole, scene.Pt(172*size), most); wide > 1.25*scale {
			for _, i := range rest {
				g.drawn[i] = placed{m.fig.Step(i, wide), true}
			}
		}
	}
	for _, i := range steps {
		if p := g.drawn[i]; !p.above {
			g.widest = max(g.widest, p.d.W)
		}
	}
	m.fits[key] = g
	return g
}

// text is where the sentences begin: small drawings leave their room to the words.
func (m *maker) text(g grid) scene.Pt {
	if g.widest == 0 {
		return m.width * gridDraw
	}
	return min(m.width*gridText, max(m.width*gridDraw+g.widest+2*drawPad, m.width*gridLeast))
}

// most is the largest scale of a step, in points to one of the measure.
func (m *shared) most() float64 {
	if m.unit == measure.Centimetre {
		return 14 / 2.54
	}
	return 14
}

// called is the name of what the steps from here on make, where a section makes several things that later
// steps name: "Row 2", or "Row 2, second pressing". Empty where the name stands there already.
func (m *maker) called(s section, n int) string {
	st := &m.p.Steps[s.steps[n]]
	u := m.units[st.Unit]
	if len(s.steps) < 2 || u == nil || n > 0 && m.p.Steps[s.steps[n-1]].Recipe == st.Recipe {
		return ""
	}
	name := m.t.Name(st.Unit)
	if b := m.blocks[m.owner(st.Unit)]; b != nil {
		name = strings.TrimSuffix(name, " of "+b.Name)
	}
	if way := m.t.Way(st.Recipe); way != "" {
		name += ", " + way
	}
	plain := strings.ReplaceAll(name, "\u00a0", " ")
	if s.stage == "top" || strings.HasPrefix(plain, "row ") || strings.HasPrefix(plain, "column ") {
		return upper(name)
	}
	return ""
}

// sentences sets what goes before a step, where there is anything, and the step below it, from x on.
func sentences(x, w scene.Pt, before, do string) ([]scene.Item, scene.Pt) {
	var out []scene.Item
	y := scene.Pt(0)
	if before != "" {
		text, h := block(x, w, sizeBody, scene.Grey, scene.Rich(before))
		out, y = append(out, scene.Group{Tag: scene.Paragraph, Items: text}), h+4
	}
	text, h := block(x, w, sizeBody, scene.Ink, scene.Rich(do))
	return append(out, scene.Group{Tag: scene.Paragraph, At: scene.Point{Y: y}, Items: text}), y + h
}

// step is one step of the grid; called is the name of what it makes, or empty.
func (m *maker) step(i, n int, g grid, called string) box {
	said := m.t.Step(i)
	w := m.width
	drawing := g.drawn[i]

	beside := m.text(g)
	from, to := beside, w*gridCheck-14
	if drawing.above {
		from = w * gridDraw
	}
	var aside, under []words.Text
	for _, note := range said.Notes {
		if len([]rune(note.String())) > asideMost {
			under = append(under, note)
		} else {
			aside = append(aside, note)
		}
	}
	if said.Check == "" && len(aside) == 0 {
		to = w
	}
	do := string(said.Do)
	if called != "" {
		do = "**" + called + ".** " + do
	}
	text, textH := sentences(from, to-from, string(said.Together), do)
	for _, note := range under {
		ls, h := block(from, to-from, sizeSmall, scene.Grey, scene.Rich(string(note)))
		text = append(text, scene.Group{Tag: scene.Paragraph, At: scene.Point{Y: textH + 3}, Items: ls})
		textH += h + 3
	}
	var check []scene.Item
	var checkH scene.Pt
	if said.Check != "" {
		ls, h := block(w*gridCheck, w*(1-gridCheck), sizeBody+0.5, scene.Ink, []scene.Run{{Font: scene.Bold, Text: said.Check.String()}})
		check, checkH = append(check, ls...), h
	}
	for _, note := range aside {
		ls, h := block(w*gridCheck, w*(1-gridCheck), sizeSmall, scene.Grey, scene.Rich(string(note)))
		check = append(check, moved(0, checkH, ls...))
		checkH += h
	}
	left := max(drawing.d.H, textH)
	if drawing.above {
		left = drawing.d.H + g.pad + textH
	}
	h := max(left, checkH, leastStep-2*g.pad) + 2*g.pad
	mid := h / 2
	items := []scene.Item{scene.Group{Tag: scene.ListLabel, Items: []scene.Item{
		label(0, mid+6, 17, scene.Heading, scene.Ember, scene.Left, fmt.Sprint(n))}}}
	var body []scene.Item
	textY := mid - textH/2
	switch {
	case drawing.above:
		body = append(body, drawing.d.Placed(from, mid-left/2))
		textY = mid - left/2 + drawing.d.H + g.pad
	case drawing.d.W > 0:
		room := beside - w*gridDraw - drawPad
		body = append(body, drawing.d.Placed(w*gridDraw+(room-drawing.d.W)/2, mid-drawing.d.H/2))
	}
	body = append(body, scene.Group{At: scene.Point{Y: textY}, Items: text})
	if len(check) > 0 {
		body = append(body, scene.Group{Tag: scene.Section, At: scene.Point{Y: mid - checkH/2}, Items: []scene.Item{
			scene.Group{Tag: "Span", Items: check}}})
	}
	items = append(items, scene.Group{Tag: scene.ListBody, Items: body},
		scene.Group{Tag: scene.Artifact, Items: []scene.Item{hairline(w, h)}})
	return box{item: scene.Group{Tag: scene.ListItem, Items: items}, h: h}
}

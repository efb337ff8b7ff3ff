package book

import (
	"quiltwright/internal/plan"
	"quiltwright/internal/scene"
	"quiltwright/internal/words"
)

// samples shows, month by month, what the teacher of a class makes to hold up, where the document asks for it. It is for the whole pattern only:
// handouts go without.
func (m *maker) samples() {
	first := true
	brief := words.Brief(m.p)
	for i := range m.p.Months {
		mo := &m.p.Months[i]
		for k := range mo.Samples {
			m.flow.open(chunk{whole: true, fresh: first})
			if first {
				m.flow.put(heading(m.width, 1, headSamples, "", m.mark(1, headSamples)), para(m.width, 4, samplesNote))
				first = false
			}
			if name := m.monthName(mo.Number); k == 0 && name != "" {
				m.flow.put(ruled(m.width, heading(m.width, 2, join(": ", name, mo.Title), "", "")))
			}
			m.flow.put(m.sample(mo.Number, &mo.Samples[k], brief)...)
		}
	}
}

// sample is one unit at every stage side by side, each with what was done, and what is cut for them.
func (m *maker) sample(month int, s *plan.Sample, brief *words.Teller) []box {
	const gutter scene.Pt = 14
	out := []box{heading(m.width, 3, upper(m.t.Name(s.Unit)), "", "")}
	steps := m.t.SampleSteps(month, s)
	per := scene.Pt(max(4, len(steps)))
	w := (m.width - gutter*(per-1)) / per
	var items []scene.Item
	var deep, most scene.Pt
	drawings := m.fig.After(steps, w, 84, m.most())
	for _, d := range drawings {
		deep = max(deep, d.H)
	}
	for n, i := range steps {
		x, d := scene.Pt(n)*(w+gutter), drawings[n]
		text, h := block(x, w, sizeSmall, scene.Grey, scene.Rich(string(brief.Step(i).Do)))
		items = append(items, scene.Group{Tag: scene.ListItem, Items: []scene.Item{
			d.Placed(x, (deep-d.H)/2), scene.Group{Tag: scene.Paragraph, At: scene.Point{Y: deep + 6}, Items: text}}})
		most = max(most, h)
	}
	out = append(out, box{item: scene.Group{Tag: scene.List, Items: items}, h: deep + 6 + most, gap: 8, stick: true})
	return append(out, paraOf(m.width, 4, sizeNote, scene.Ink, scene.Rich(string(m.t.SampleTakes(s)))))
}

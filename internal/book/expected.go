package book

import (
	"fmt"

	"quiltwright/internal/measure"
	"quiltwright/internal/scene"
)

// expected tells the teacher and the editor what size the blocks come out when people sew them, and what would help. It says what is assumed. No
// handout has it.
func (m *maker) expected() {
	f := m.expect
	if f == nil || len(f.Blocks) == 0 {
		return
	}
	o := f.Options
	m.flow.open(chunk{whole: true})
	m.flow.put(ruled(m.width, heading(m.width, 1, headExpected, "", m.mark(1, headExpected))))
	m.flow.put(para(m.width, 4, string(m.t.Expected(thousands(o.Sewings), o.Cutting, o.SeamScatter, o.TakeUp))))
	if f.Scant > 0 {
		m.flow.put(para(m.width, 2, string(m.t.ExpectedSeam(f.Scant))))
	}
	near := measure.FormatWith(o.Near, m.unit)
	of100 := func(x float64) string { return fmt.Sprintf("%.0f", 100*x) }
	var rows [][]cell
	for _, b := range f.Blocks {
		if b.Failed != "" {
			rows = append(rows, []cell{{text: b.Name, bold: true}, {text: b.Failed, color: scene.Grey}})
			continue
		}
		row := []cell{{text: b.Name, bold: true},
			{text: fmt.Sprintf("%.2f × %s", b.Width.Mean, m.hundredths(b.Height.Mean))},
			{text: of100(b.Within)}, {text: of100(b.WithScant)}, {}, {color: scene.Grey}}
		if len(b.Steps) > 0 {
			e := b.Steps[0]
			row[4].text = string(m.t.Work(string(e.Does), e.Unit, e.Piece, e.Seams, b.Unit))
		}
		for i, l := range b.MakeLarge {
			if i == 2 {
				break
			}
			row[5].text = join("; ", row[5].text, fmt.Sprintf("%s: %s", m.t.Name(l.Unit), of100(l.Within)))
		}
		rows = append(rows, row)
	}
	m.flow.put(table(m.width, 10, columns(m.width, 1.7, 1.9, 1, 1, 2.4, 2.6),
		[]string{"Block", "Comes out, mean", "Of 100 within " + near, "With that seam", "What matters most", "Made large and trimmed, of 100"}, rows)...)
}

// hundredths is a length that no ruler shows.
func (m *maker) hundredths(x float64) string { return fmt.Sprintf("%.2f\u00a0%s", x, m.unit.Abbrev()) }

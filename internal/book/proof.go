package book

import (
	"fmt"
	"math"

	"quiltwright/internal/measure"
	"quiltwright/internal/plan"
	"quiltwright/internal/scene"
)

// proof is the summary of the virtual sewing at the end of the pattern.
func (m *maker) proof() {
	m.flow.open(chunk{whole: true})
	w := m.width
	m.flow.put(ruled(w, heading(w, 1, headProof, "", m.mark(1, headProof))))
	pr := m.p.Proof
	if pr == nil {
		m.flow.put(para(w, 4, "This pattern has not been proven yet."))
	} else if pr.Holds {
		m.flow.put(para(w, 4, proofHolds))
		m.flow.put(bullets(w, 6, []string{
			fmt.Sprintf("**%s** checks, all of them kept", thousands(pr.Checked)),
			"The two sides of a seam differ by at most **" + m.small(pr.Ease) + "**, which is eased in",
			"No edge is short by more than **" + m.small(pr.Short) + "**",
			"No unit comes out larger than drawn by more than **" + m.small(pr.Excess) + "**",
		})...)
	} else {
		m.flow.put(para(w, 4, "**The proof does not hold. Do not cut from these pages.**"))
	}
	if pr != nil {
		var ss []string
		for _, f := range pr.Findings {
			ss = append(ss, f.Says)
		}
		m.flow.put(bullets(w, 6, ss)...)
	}
	if m.p.Press.Meetings > 0 {
		m.flow.put(heading(w, 3, "Seams that meet", "", ""))
		var ss []string
		for _, s := range m.t.Meetings() {
			ss = append(ss, string(s))
		}
		m.flow.put(bullets(w, 2, ss)...)
	}
	m.bulk()
	m.expected()
	var ss []string
	for _, f := range m.p.Findings {
		if f.Severity != "hint" {
			ss = append(ss, f.Says)
		}
	}
	if len(ss) > 0 {
		m.flow.put(heading(w, 3, "To know", "", ""))
		m.flow.put(bullets(w, 2, ss)...)
	}
	if m.p.Contact != "" {
		m.flow.put(paraOf(w, 14, sizeNote, scene.Grey, scene.Rich("Corrections: "+m.p.Contact)))
	}
}

// bulk shows how thick the cloth lies at the crossings of each block and of the top, where the plan knows it.
func (m *maker) bulk() {
	const gutter, deep scene.Pt = 20, 190
	type mapped struct {
		name, says string
		d          scene.Drawing
	}
	var all []mapped
	w := (m.width - 2*gutter) / 3
	for _, b := range m.p.Blocks {
		if d := m.fig.Bulk(b.Unit, w, deep); d.W > 0 {
			all = append(all, mapped{b.Name, string(m.t.Bulk(b.Unit)), d})
		}
	}
	if d := m.fig.Bulk(m.p.Top, w, deep); d.W > 0 && len(m.p.Placed) > 1 {
		all = append(all, mapped{upper(m.t.Name(m.p.Top)), string(m.t.Bulk(m.p.Top)), d})
	}
	for i := 0; i < len(all); i += 3 {
		var items []scene.Item
		var high, most scene.Pt
		row := all[i:min(i+3, len(all))]
		for _, k := range row {
			high = max(high, k.d.H)
		}
		for n, k := range row {
			x := scene.Pt(n) * (w + gutter)
			text, h := block(x, w, sizeSmall, scene.Grey, scene.Rich("**"+k.name+".** "+k.says))
			items = append(items, k.d.Placed(x, high-k.d.H), scene.Group{Tag: scene.Paragraph, At: scene.Point{Y: high + 6}, Items: text})
			most = max(most, h)
		}
		b := box{item: scene.Group{Tag: scene.Section, Items: items}, h: high + 6 + most, gap: 10}
		if i == 0 {
			m.flow.open(chunk{})
			m.flow.put(heading(m.width, 3, "How thick the cloth lies", "", ""), para(m.width, 2, bulkNote))
		}
		m.flow.put(b)
	}
}

// small is a length that may be finer than any ruler.
func (m *maker) small(x plan.Num) string {
	if x == 0 {
		return "nothing"
	}
	if x < 0.001 {
		return "0.001\u00a0" + m.unit.Abbrev()
	}
	return measure.FormatWith(math.Ceil(float64(x)*1000-1e-6)/1000, m.unit)
}

func thousands(n int) string {
	if n < 1000 {
		return fmt.Sprint(n)
	}
	return thousands(n/1000) + fmt.Sprintf(",%03d", n%1000)
}

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

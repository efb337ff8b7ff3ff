package book

import (
	"fmt"
	"reflect"
	"strings"

	"quiltwright/internal/plan"
	"quiltwright/internal/scene"
)

// likeness is a section that is sewn as another one is, word for word, from other pieces.
type likeness struct {
	section
	from   []string // its labels, in place of those of the section that is told
	toward string   // the piece that all its seams are pressed toward, where there is one
}

// told gathers the sections that need not be told one after the other: where a unit is made as the one before it is, in other cloth, a
// table says which pieces take the place of which.
func (m *shared) told(sections []section) []section {
	var out []section
	for _, s := range sections {
		if n := len(out); n > 0 {
			if l, ok := m.sameWay(&out[n-1], s); ok {
				out[n-1].like = append(out[n-1].like, l)
				continue
			}
		}
		s.labels = m.labelsOf(s)
		out = append(out, s)
	}
	return out
}

// labelsOf are the labels in the sentences of a section, in the order in which they first stand there.
func (m *shared) labelsOf(s section) []string {
	var out []string
	seen := map[string]bool{}
	for _, i := range s.steps {
		for k, word := range strings.Split(string(m.t.Step(i).Do), "**") {
			if k%2 == 1 && !seen[word] {
				seen[word] = true
				out = append(out, word)
			}
		}
	}
	return out
}

// sameWay reports that s is sewn as told is: the same operations on pieces of the same size, in sentences that differ in the labels
// only. Where either is pressed to one side only, that may differ too.
func (m *shared) sameWay(told *section, s section) (l likeness, ok bool) {
	l.section = s
	if s.stage != "unit" || told.stage != "unit" || told.grows || s.grows || len(s.steps) != len(told.steps) || len(told.labels) == 0 {
		return l, false
	}
	to, presses := map[string]string{}, map[[2]string]bool{}
	for n := range s.steps {
		a, b := &m.p.Steps[told.steps[n]], &m.p.Steps[s.steps[n]]
		ra, rb := m.recipes[a.Recipe], m.recipes[b.Recipe]
		if ra == nil || rb == nil || m.t.Title(a.Recipe).Head != m.t.Title(b.Recipe).Head ||
			a.First != b.First || a.Last != b.Last || !sameWork(ra.Do, rb.Do) || !m.alike(ra.From, rb.From) {
			return l, false
		}
		sa, sb := m.t.Step(told.steps[n]), m.t.Step(s.steps[n])
		wa, wb := strings.Split(string(sa.Do), "**"), strings.Split(string(sb.Do), "**")
		if sa.Check != sb.Check || len(wa) != len(wb) {
			return l, false
		}
		for k := range wa {
			if k%2 == 0 {
				if wa[k] != wb[k] {
					return l, false
				}
			} else if strings.HasSuffix(wa[k-1], "Press toward ") {
				presses[[2]string{wa[k], wb[k]}] = true
				l.toward = wb[k]
			} else if have, known := to[wa[k]]; known && have != wb[k] {
				return l, false
			} else {
				to[wa[k]] = wb[k]
			}
		}
	}
	for _, label := range told.labels {
		l.from = append(l.from, to[label])
	}
	// One press, and the table can say it; several must turn with the pieces.
	for p := range presses {
		if len(presses) > 1 && to[p[0]] != p[1] {
			return l, false
		}
	}
	if len(presses) > 1 {
		l.toward = ""
	}
	return l, true
}

// sameWork reports that two recipes do the same, whichever part they press toward.
func sameWork(a, b []plan.Op) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		x, y := a[i], b[i]
		if x.Op == "press" {
			if (x.Toward == nil) != (y.Toward == nil) {
				return false
			}
			x.Toward, y.Toward = nil, nil
		}
		if !reflect.DeepEqual(x, y) {
			return false
		}
	}
	return true
}

// alike reports that two recipes begin with as many pieces of the same sizes.
func (m *shared) alike(a, b []plan.From) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		p, q := m.pieces[a[i].Piece], m.pieces[b[i].Piece]
		if p == nil || q == nil || a[i].Count != b[i].Count || p.Shape != q.Shape || p.Hand != q.Hand || p.Width != q.Width || p.Height != q.Height {
			return false
		}
	}
	return true
}

// others is the table of what is made in the same way.
func (m *maker) others(s section) []box {
	if len(s.like) == 0 {
		return nil
	}
	const size scene.Pt = 30
	heads := []string{""}
	parts := []float64{0.75}
	for _, l := range s.labels {
		heads = append(heads, "In place of **"+l+"**")
		parts = append(parts, 2)
	}
	pressed := s.like[0].toward != ""
	if pressed {
		heads, parts = append(heads, "Press toward"), append(parts, 1.2)
	}
	heads, parts = append(heads, "Makes"), append(parts, 2.6)
	var rows [][]cell
	for _, o := range s.like {
		row := []cell{{}}
		if u := m.units[o.unit]; u != nil && u.Size.Width > 0 {
			d := m.fig.Unit(o.unit, float64(size)/max(float64(u.Size.Width), float64(u.Size.Height)), true)
			row[0].drawing = &d
		}
		for _, l := range o.from {
			c := cell{text: "**" + l + "**"}
			if q := m.pieces[l]; q != nil {
				c.text += " " + m.t.Fabric(q.Fabric)
				c.chip = m.cloths[q.Fabric]
			}
			row = append(row, c)
		}
		if pressed {
			row = append(row, cell{text: "**" + o.toward + "**"})
		}
		rows = append(rows, append(row, cell{text: m.t.Title(m.p.Steps[o.steps[0]].Recipe).Of, color: scene.Grey}))
	}
	says := para(m.width, 8, "Make these in the same way, from other pieces:")
	says.stick = true
	out := append([]box{says}, table(m.width, 2, columns(m.width, parts...), heads, rows)...)
	for i := range out[:len(out)-1] {
		out[i].stick = true
	}
	return out
}

// andOthers says beside the title how many more kinds are made in the same way.
func andOthers(aside string, s section) string {
	switch n := len(s.like); n {
	case 0:
		return aside
	case 1:
		return join(", ", aside, "then one more kind")
	default:
		return join(", ", aside, fmt.Sprintf("then %d more kinds", n))
	}
}

package words

import (
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"quiltwright/internal/plan"
)

// Draft is what the command draft prints: the size of the quilt, for each block its size, patches
// and joins of each kind, and the findings.
func Draft(p *plan.Plan) string {
	t := Of(p)
	var b strings.Builder
	line(&b, t.in.say("draft.head", "quilt", p.Quilt, "size", t.by(p.Finished.Width, p.Finished.Height)))
	if !p.Complete {
		line(&b, t.in.say("draft.part", "quilt", p.Quilt))
	}
	line(&b, "")
	rows := [][]string{columns(t.in.say("draft.columns"))}
	for _, k := range p.Blocks {
		rows = append(rows, []string{k.Name + recolored(&k), t.by(k.Finished.Width, k.Finished.Height), strconv.Itoa(k.Patches),
			strconv.Itoa(k.Straight), strconv.Itoa(k.Partial), strconv.Itoa(k.SetIn), strconv.Itoa(k.Curved), strconv.Itoa(k.Made)})
	}
	b.WriteString(table(rows, 2))
	line(&b, "")
	if len(p.Findings) == 0 {
		line(&b, t.in.say("draft.none"))
	} else {
		line(&b, t.in.say("draft.findings"))
	}
	for _, f := range p.Findings {
		says := t.in.say("find.plain", "says", f.Says)
		if f.At != nil {
			says = t.in.say("find.place", "line", f.At.Line, "column", f.At.Column, "says", f.Says)
		}
		line(&b, "  "+t.in.say("find.severity", "severity", t.in.noun(1, f.Severity), "finding", says))
		if f.Remedy != "" {
			line(&b, "    "+t.in.say("find.remedy", "remedy", f.Remedy))
		}
	}
	return Text(b.String()).Plain()
}

func recolored(k *plan.Block) string {
	s := ""
	for _, from := range sorted(k.Recolor) {
		s += " " + from + ">" + k.Recolor[from]
	}
	if k.Mirror {
		s += " m"
	}
	return s
}

// Cut is what the command cut prints: for each fabric what to buy, its cutting list and its strips.
func Cut(p *plan.Plan) string {
	t := Of(p)
	var b strings.Builder
	for i := range p.Fabrics {
		f := &p.Fabrics[i]
		if !p.Cuts(f.Letter) {
			continue
		}
		if b.Len() > 0 {
			line(&b, "")
		}
		head := t.in.say("cut.head", "fabric", t.Fabric(f.Letter), "letter", f.Letter)
		if f.Buy.Amount > 0 {
			head += t.in.say("cut.head.buy", "amount", string(t.Buy(f)), "uses", string(t.Uses(f)))
		}
		line(&b, head)
		if f.Rules != "" && f.Length > 0 {
			line(&b, "  "+t.bound(f))
		}
		if says := t.Motifs(f, 0); says != "" {
			line(&b, "  "+string(says))
		}
		for _, says := range t.Instead(f.Instead) {
			line(&b, "  "+string(says))
		}
		for _, x := range f.Precuts {
			line(&b, "  "+string(t.Precut(&x)))
		}
		for j := range p.Pieces {
			if q := &p.Pieces[j]; q.Fabric == f.Letter && q.Cut > 0 {
				line(&b, "  "+string(t.CutLine(q)))
			}
		}
		if len(f.Strips) == 0 {
			continue
		}
		line(&b, "  "+t.in.say("cut.strips.head"))
		for j := range f.Strips {
			does, left := t.Strip(f, &f.Strips[j])
			if left != "" {
				does += "; " + left
			}
			line(&b, "    "+string(does))
		}
		if left := t.LeftOver(f); left != "" {
			line(&b, "  "+string(left))
		}
	}
	if p.Finish.Backing != nil && len(p.Finish.Backing.Instead) > 0 {
		line(&b, "")
		line(&b, string(t.backing(p.Finish.Backing)))
		for _, says := range t.Instead(p.Finish.Backing.Instead) {
			line(&b, "  "+string(says))
		}
	}
	if slices.ContainsFunc(p.Fabrics, func(f plan.Fabric) bool { return len(f.Precuts) > 0 }) {
		line(&b, "")
		line(&b, t.in.say("precut.note"))
	}
	// The fixed form of the list is typed with a plain x.
	return strings.ReplaceAll(Text(b.String()).Plain(), "×", "x")
}

func (t *Teller) bound(f *plan.Fabric) string {
	if f.Optimal {
		return t.in.say("bound.optimal", "rules", f.Rules)
	}
	return t.in.say("bound.open", "bound", t.length(f.Bound), "rules", f.Rules)
}

// Press is what the command press prints: how many seams meet and nest, each unit's seams, and
// what cannot nest.
func Press(p *plan.Plan) string {
	t := Of(p)
	var b strings.Builder
	for _, s := range t.Meetings() {
		line(&b, string(s))
	}
	for i := range p.Units {
		u := &p.Units[i]
		if len(u.Joins) == 0 {
			continue
		}
		line(&b, "")
		line(&b, capital(t.marked(u.ID)))
		for n, s := range t.Pressing(u.ID) {
			line(&b, "  "+strconv.Itoa(n+1)+"  "+string(s))
		}
		if u.Kind == "block" || u.ID == p.Top {
			if s := t.Bulk(u.ID); s != "" {
				line(&b, "  "+string(s))
			}
		}
	}
	return Text(b.String()).Plain()
}

// Meetings sums the pressing up: how many seams meet, how many nest, whether better is possible, and
// every meeting that cannot nest by name.
func (t *Teller) Meetings() []Text {
	r := &t.p.Press
	if r.Meetings == 0 {
		return []Text{Text(t.in.say("press.none"))}
	}
	out := []Text{Text(t.in.say("press.sum", "meetings", r.Meetings, "nested", r.Nested, "open", r.Open, "same", r.Same))}
	if r.Optimal {
		out = append(out, Text(t.in.say("press.best")))
	} else {
		out = append(out, Text(t.in.say("press.bound", "cost", r.Cost, "bound", r.Bound)))
	}
	for _, m := range r.Unmet {
		out = append(out, Text(t.in.say("press.unmet", "join", t.in.say("press.unmet.join", "number", m.Join+1),
			"unit", t.marked(m.Unit), "x", t.bare(m.Point[0]), "y", t.length(m.Point[1]), "why", t.why(&m))))
	}
	return out
}

// why says what keeps a meeting from nesting, and what was done about it.
func (t *Teller) why(m *plan.Meeting) string {
	taken := t.in.say("press.taken.left")
	if m.Is == "open" {
		taken = t.in.say("press.taken.open")
	}
	var seams []string
	for _, s := range m.Ring {
		if len(seams) == longestRing {
			break
		}
		seams = append(seams, t.in.say("press.ring.seam", "number", s.Join+1, "unit", t.marked(s.Unit)))
	}
	switch {
	case m.Why == "":
		return taken
	case len(m.Ring) == 0:
		return t.in.say("press.why.dearer", "taken", taken)
	case len(m.Ring) == 1 && m.Why == "ring":
		return t.in.say("press.why.itself", "seam", seams[0], "taken", taken)
	}
	short, long := "press.why.ring", "press.why.ring.long"
	if m.Why == "writer" {
		short, long = "press.why.writer", "press.why.writer.long"
	}
	if len(m.Ring) > longestRing {
		return t.in.say(long, "seams", t.list(seams), "count", len(m.Ring), "taken", taken)
	}
	return t.in.say(short, "seams", t.list(seams), "taken", taken)
}

// longestRing is of how many seams a ring is named in full.
const longestRing = 6

// Sew is what the command sew prints: month by month every step with its check size and remarks.
func Sew(p *plan.Plan) string { return Of(p).sew() }

// SewBrief is the same for those who sew a lot.
func SewBrief(p *plan.Plan) string { return Brief(p).sew() }

func (t *Teller) sew() string {
	p := t.p
	var b strings.Builder
	line(&b, string(t.SizeHelp()))
	for i := range p.Months {
		m := &p.Months[i]
		if i >= 0 {
			line(&b, "")
		}
		if h := t.Month(m); h != "" {
			line(&b, string(h))
		}
		head, number := "", 0
		for _, k := range t.Reading(m.Number) {
			if h := t.stepHead(k); h != head && h != "" {
				line(&b, "")
				line(&b, h)
				head = h
			}
			number++
			said := t.Step(k)
			for _, before := range []Text{said.Web, said.Together} {
				if before != "" {
					line(&b, "      "+string(before))
				}
			}
			line(&b, right(strconv.Itoa(number), 4)+"  "+string(said.Do))
			var asides []string
			if said.Check != "" {
				asides = append(asides, string(said.Check))
			}
			for _, n := range said.Notes {
				asides = append(asides, string(n))
			}
			if len(asides) > 0 {
				line(&b, "      "+strings.Join(asides, " · "))
			}
		}
	}
	return Text(b.String()).Plain()
}

// stepHead is the heading that step k stands under. What is measured is measured for the step after it.
func (t *Teller) stepHead(k int) string {
	s := &t.p.Steps[k]
	if s.Stage == "finish" {
		return t.in.say("finishing")
	}
	if s.Recipe == "" && s.Says.Verb == "measure" && k+1 < len(t.p.Steps) {
		s = &t.p.Steps[k+1]
	}
	h := t.Title(s.Recipe)
	if h.Of == "" {
		return h.Head
	}
	return h.Head + " · " + h.Of
}

func line(b *strings.Builder, s string) {
	b.WriteString(strings.TrimRight(s, " "))
	b.WriteByte('\n')
}

func columns(s string) []string {
	out := strings.Split(s, "|")
	for i := range out {
		out[i] = strings.TrimSpace(out[i])
	}
	return out
}

// table sets rows in columns, the first so many to the left and the others to the right.
func table(rows [][]string, left int) string {
	var widths []int
	for _, r := range rows {
		for i, s := range r {
			if i == len(widths) {
				widths = append(widths, 0)
			}
			widths[i] = max(widths[i], utf8.RuneCountInString(Text(s).String()))
		}
	}
	var b strings.Builder
	for _, r := range rows {
		var cells []string
		for i, s := range r {
			pad := strings.Repeat(" ", widths[i]-utf8.RuneCountInString(Text(s).String()))
			if i < left {
				cells = append(cells, s+pad)
			} else {
				cells = append(cells, pad+s)
			}
		}
		line(&b, strings.Join(cells, "  "))
	}
	return b.String()
}

func right(s string, width int) string {
	return strings.Repeat(" ", max(0, width-utf8.RuneCountInString(s))) + s
}

package book

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"

	"quiltwright/internal/forecast"
	"quiltwright/internal/measure"
	"quiltwright/internal/plan"
	"quiltwright/internal/scene"
	"quiltwright/internal/scene/pdf"
	"quiltwright/internal/scene/svg"
	"quiltwright/internal/words"
)

// Options are what is wanted besides the plan.
type Options struct {
	Papers   []string           // "letter", "a4"; empty: the one that suits the measure first, then the other
	Brief    bool               // the steps in fewer words, for those who sew a lot
	Expect   *forecast.Forecast // what size the blocks come out, for the teacher and the editor; nil: not said
	Pictures map[string][]byte  // swatches by the name that the plan gives; a swatch that is missing is its colour
}

// File is a file to write: a path with forward slashes, and its bytes.
type File struct {
	Name string
	Data []byte
}

// Write returns the files of a plan, in this order: pattern.pdf and a handout for each month, the same on
// the second paper (named -a4 or -letter), drawings/*.svg, cutting.csv and plan.json. A plan that is not
// complete gives the pages as far as it goes. The error names the file that could not be made.
func Write(p *plan.Plan, o Options) ([]File, error) {
	papers, err := sheets(p, o.Papers)
	if err != nil {
		return nil, err
	}
	k := share(p, o)
	w := newWriters()
	for i, s := range papers {
		suffix := ".pdf"
		if i > 0 {
			suffix = "-" + s.name + ".pdf"
		}
		for _, month := range k.months() {
			d := k.maker(s, month).document()
			w.write(d.Name+suffix, func() ([]byte, error) { return pdf.Write(d.Pages) })
		}
	}
	for _, d := range k.drawings() {
		w.write("drawings/"+d.Name+".svg", func() ([]byte, error) { return svg.Write(d.Drawing), nil })
	}
	w.write("cutting.csv", func() ([]byte, error) { return cuttingList(p) })
	w.write("plan.json", func() ([]byte, error) { return plan.Encode(p) })
	return w.files()
}

func sheets(p *plan.Plan, names []string) ([]sheet, error) {
	if len(names) == 0 {
		names = []string{"letter", "a4"}
		if p.Measure == "cm" {
			names = []string{"a4", "letter"}
		}
	}
	var out []sheet
	for _, n := range names {
		switch n {
		case "letter":
			out = append(out, sheet{n, scene.Letter[0], scene.Letter[1]})
		case "a4":
			out = append(out, sheet{n, scene.A4[0], scene.A4[1]})
		default:
			return nil, fmt.Errorf("paper “%s” is not known; letter and a4 are", n)
		}
	}
	return out, nil
}

// Named is a document of the book: "pattern" or "month-03".
type Named struct {
	Name  string
	Pages scene.Document
}

// Documents returns the whole pattern and, where the plan has more than one month, a handout for each,
// on one paper ("letter" or "a4").
func Documents(p *plan.Plan, o Options, paper string) []Named {
	s, err := sheets(p, []string{paper})
	if err != nil {
		return nil
	}
	k := share(p, o)
	var out []Named
	for _, month := range k.months() {
		out = append(out, k.maker(s[0], month).document())
	}
	return out
}

// maker makes one document.
type maker struct {
	*shared
	sheet  sheet
	width  scene.Pt // of the column
	month  int      // the only month, or 0 for the whole pattern
	flow   flow
	list   int // the chunk that lists the contents
	marks  []scene.Bookmark
	pageOf map[string]int  // of marks, once the pages are laid
	chief  map[string]bool // marks of second level that the list of contents names: blocks
	warned map[string]bool
}

func (k *shared) maker(s sheet, month int) *maker {
	return &maker{shared: k, sheet: s, width: s.column(), month: month, chief: map[string]bool{}, warned: map[string]bool{}}
}

// document lays one document.
func (m *maker) document() Named {
	m.compose()
	if m.month > 0 {
		return Named{fmt.Sprintf("month-%02d", m.month), m.onPaper(m.flow.lay(m.sheet.depth()))}
	}
	// The list of contents is as long without its pages as with them: where everything stands is known before they are.
	m.listContents()
	m.pageOf = where(m.flow.lay(m.sheet.depth()))
	m.listContents()
	return Named{"pattern", m.onPaper(m.flow.lay(m.sheet.depth()))}
}

// compose puts the whole document into the flow.
func (m *maker) compose() {
	if m.month == 0 {
		m.cover()
		m.before()
		m.materials()
		m.cutting()
		for i := range m.p.Months {
			m.monthOf(&m.p.Months[i])
		}
		m.samples()
		m.templates()
		m.proof()
		return
	}
	for i := range m.p.Months {
		if mo := &m.p.Months[i]; mo.Number == m.month {
			m.monthOf(mo)
			if i == 0 {
				m.before()
			}
		}
	}
	m.templates()
}

// where returns the page of every mark, counted from 1.
func where(pages []*paged) map[string]int {
	out := map[string]int{}
	var walk func(n int, items []scene.Item)
	walk = func(n int, items []scene.Item) {
		for _, it := range items {
			if g, ok := it.(scene.Group); ok && g.Tag != scene.Figure {
				if g.Mark != "" {
					if _, taken := out[g.Mark]; !taken {
						out[g.Mark] = n
					}
				}
				walk(n, g.Items)
			}
		}
	}
	for i, p := range pages {
		for _, b := range p.boxes {
			walk(i+1, []scene.Item{b.item})
		}
	}
	return out
}

// onPaper puts the laid pages on paper, each with its foot.
func (m *maker) onPaper(pages []*paged) scene.Document {
	title := m.p.Quilt
	if m.month > 0 {
		title += ", " + m.monthName(m.month)
	}
	d := scene.Document{Title: title, Author: m.p.Designer, Subject: subject, Lang: "en", Date: m.p.Date, Contents: m.marks}
	for i, p := range pages {
		items := p.items(side, head)
		items = append(items, m.foot(i+1, len(pages)))
		d.Pages = append(d.Pages, scene.Page{W: m.sheet.w, H: m.sheet.h, Items: items})
	}
	return d
}

// foot is what stands at the foot of every page: title and month; version, date and rights; page x of y.
func (m *maker) foot(n, of int) scene.Item {
	left := m.p.Quilt
	if m.month > 0 && m.monthName(m.month) != "" {
		left += " · " + m.monthName(m.month)
	} else if m.p.Designer != "" {
		left += " · " + m.p.Designer
	}
	mid := []string{}
	if m.p.Proof != nil && m.p.Proof.Holds {
		mid = append(mid, "proven")
	}
	if m.p.Version != "" {
		mid = append(mid, "version "+m.p.Version)
	}
	if m.p.Date != "" {
		mid = append(mid, longDate(m.p.Date))
	}
	y := m.sheet.h - footAt
	page := fmt.Sprintf("page %d of %d", n, of)
	line := func(x, y scene.Pt, a scene.Anchor, s string) scene.Item {
		return label(x, y, sizeFoot, scene.Body, scene.Grey, a, s)
	}
	l := fit(scene.Body, sizeFoot, m.width*0.4, left)
	items := []scene.Item{
		line(side, y, scene.Left, l),
		line(m.sheet.w-side, y, scene.Right, page),
		line(m.sheet.w/2, y, scene.Middle, fit(scene.Body, sizeFoot, m.width*0.34, strings.Join(mid, " · "))),
	}
	if m.p.Rights != "" {
		items = append(items, line(side, y+12, scene.Left, fit(scene.Body, sizeFoot, m.width, m.p.Rights)))
	}
	return scene.Group{Tag: scene.Artifact, Items: items}
}

// fit cuts text that is too wide for its place, at a word, and marks the cut.
func fit(f scene.Font, size, width scene.Pt, s string) string {
	if scene.Width(f, size, s) <= width {
		return s
	}
	ws := strings.Fields(s)
	for n := len(ws) - 1; n > 0; n-- {
		if t := strings.Join(ws[:n], " ") + " …"; scene.Width(f, size, t) <= width {
			return t
		}
	}
	return "…"
}

// mark names a place of the document and lists it in the outline.
func (m *maker) mark(level int, title string) string {
	id := fmt.Sprintf("s%d", len(m.marks)+1)
	m.marks = append(m.marks, scene.Bookmark{Title: title, Mark: id, Level: level})
	return id
}

func (m *maker) monthName(n int) string {
	if len(m.p.Months) < 2 {
		return ""
	}
	return "Month " + strconv.Itoa(n)
}

// length is a measure with its unit.
func (m *maker) length(x plan.Num) string { return measure.FormatWith(float64(x), m.unit) }

// by is "12 1/2 × 12 1/2 in", or "12 in" for a square where short.
func (m *maker) by(w, h plan.Num) string {
	return measure.Format(float64(w), m.unit) + "\u00a0×\u00a0" + m.length(h)
}

func (m *maker) square(w, h plan.Num) string {
	if d := w - h; d < 1e-6 && d > -1e-6 {
		return m.length(w)
	}
	return m.by(w, h)
}

// cuttingList is the list of pieces as comma separated values, in the order of the plan.
func cuttingList(p *plan.Plan) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	names := map[string]string{}
	for _, f := range p.Fabrics {
		names[f.Letter] = f.Name
	}
	num := func(x plan.Num) string { return strconv.FormatFloat(round6(float64(x)), 'f', -1, 64) }
	rows := [][]string{{"label", "fabric", "name", "shape", "hand", "width", "height", "measure", "cut", "each", "pieces", "spare", "samples", "surplus", "months", "turn", "join", "motif", "angle"}}
	for _, q := range p.Pieces {
		turn := "no"
		if q.Turnable {
			turn = "yes"
		}
		motif := "no"
		if q.Motif != nil {
			motif = "yes"
		}
		var months []string
		for _, m := range q.Months {
			months = append(months, fmt.Sprintf("%d:%d", m.Month, m.Cut))
		}
		angle := ""
		if _, a := words.Slant(&q); a > 0 {
			angle = num(plan.Num(a))
		}
		rows = append(rows, []string{q.Label, q.Fabric, names[q.Fabric], q.Shape, q.Hand, num(q.Width), num(q.Height), p.Measure,
			strconv.Itoa(q.Cut), strconv.Itoa(q.Each), strconv.Itoa(q.Yields), strconv.Itoa(q.Spare), strconv.Itoa(q.Samples), strconv.Itoa(q.Surplus), strings.Join(months, " "), turn, q.JoinedBy, motif, angle})
	}
	if err := w.WriteAll(rows); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

func round6(x float64) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(x, 'f', 6, 64), 64)
	if err != nil {
		return x
	}
	return r
}

// longDate turns 2027-01-08 into 8 January 2027; anything else stands as it is.
func longDate(s string) string {
	months := strings.Fields("January February March April May June July August September October November December")
	part := strings.Split(s, "-")
	if len(part) != 3 {
		return s
	}
	mo, err1 := strconv.Atoi(part[1])
	day, err2 := strconv.Atoi(part[2])
	if err1 != nil || err2 != nil || mo < 1 || mo > 12 {
		return s
	}
	return fmt.Sprintf("%d\u00a0%s\u00a0%s", day, months[mo-1], part[0])
}

package book

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"image"
	_ "image/jpeg" // the pictures that can be printed
	_ "image/png"
	"strconv"
	"strings"

	"quiltwright/internal/figure"
	"quiltwright/internal/measure"
	"quiltwright/internal/plan"
	"quiltwright/internal/scene"
	"quiltwright/internal/scene/pdf"
	"quiltwright/internal/scene/svg"
	"quiltwright/internal/words"
)

// Options are what is wanted besides the plan.
type Options struct {
	Papers   []string          // "letter", "a4"; empty: the one that suits the measure first, then the other
	Pictures map[string][]byte // swatches by the name that the plan gives; a swatch that is missing is its colour
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
	var files []File
	papers, err := sheets(p, o.Papers)
	if err != nil {
		return nil, err
	}
	for i, s := range papers {
		suffix := ""
		if i > 0 {
			suffix = "-" + s.name
		}
		for _, d := range Documents(p, o, s.name) {
			data, err := pdf.Write(d.Pages)
			if err != nil {
				return nil, fmt.Errorf("%s%s.pdf: %w", d.Name, suffix, err)
			}
			files = append(files, File{d.Name + suffix + ".pdf", data})
		}
	}
	for _, d := range Drawings(p, o) {
		files = append(files, File{"drawings/" + d.Name + ".svg", svg.Write(d.Drawing)})
	}
	list, err := cuttingList(p)
	if err != nil {
		return nil, fmt.Errorf("cutting.csv: %w", err)
	}
	files = append(files, File{"cutting.csv", list})
	data, err := plan.Encode(p)
	if err != nil {
		return nil, fmt.Errorf("plan.json: %w", err)
	}
	return append(files, File{"plan.json", data}), nil
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
	out := []Named{{"pattern", produce(p, o, s[0], 0)}}
	if len(p.Months) > 1 {
		for _, m := range p.Months {
			out = append(out, Named{fmt.Sprintf("month-%02d", m.Number), produce(p, o, s[0], m.Number)})
		}
	}
	return out
}

// maker makes one document.
type maker struct {
	p       *plan.Plan
	t       *words.Teller
	art     artist
	fig     *figure.Drawer
	sheet   sheet
	width   scene.Pt // of the column
	unit    measure.Unit
	month   int // the only month, or 0 for the whole pattern
	flow    flow
	marks   []scene.Bookmark
	pageOf  map[string]int   // of marks, from the laying before
	former  []scene.Bookmark // of the laying before
	chief   map[string]bool  // marks of second level that the list of contents names: blocks
	brief   bool             // the list of contents leaves most of its page to what follows
	warned  map[string]bool
	units   map[string]*plan.Unit
	pieces  map[string]*plan.Piece
	recipes map[string]*plan.Recipe
	fabrics map[string]*plan.Fabric
	blocks  map[string]*plan.Block
	cloths  map[string]*cloth
	owners  map[string]string // the block that each unit stands in

	// What was found in the laying before: drawings cost more than all the rest.
	fits map[sized]grid
}

func produce(p *plan.Plan, o Options, s sheet, month int) scene.Document {
	m := newMaker(p, o, s, month)
	m.compose()
	pages := m.flow.lay(s.depth())
	// The list of contents needs the places of what follows it, and its own length moves them: the second laying has
	// the list, the third its pages.
	for range 2 {
		m.pageOf = where(pages)
		m.former = m.marks
		m.flow, m.marks, m.warned = flow{}, nil, map[string]bool{}
		m.compose()
		pages = m.flow.lay(s.depth())
	}
	return m.document(pages)
}

func newMaker(p *plan.Plan, o Options, s sheet, month int) *maker {
	m := &maker{p: p, t: words.Of(p), sheet: s, width: s.column(), unit: measure.Inch, month: month,
		chief: map[string]bool{}, warned: map[string]bool{}, units: map[string]*plan.Unit{}, pieces: map[string]*plan.Piece{},
		recipes: map[string]*plan.Recipe{}, fabrics: map[string]*plan.Fabric{}, blocks: map[string]*plan.Block{},
		cloths: map[string]*cloth{}, fits: map[sized]grid{}}
	if p.Measure == "cm" {
		m.unit = measure.Centimetre
	}
	for i := range p.Units {
		m.units[p.Units[i].ID] = &p.Units[i]
	}
	for i := range p.Pieces {
		m.pieces[p.Pieces[i].Label] = &p.Pieces[i]
	}
	for i := range p.Recipes {
		m.recipes[p.Recipes[i].ID] = &p.Recipes[i]
	}
	for i := range p.Blocks {
		m.blocks[p.Blocks[i].ID] = &p.Blocks[i]
	}
	for i := range p.Fabrics {
		f := &p.Fabrics[i]
		m.fabrics[f.Letter] = f
		c := &cloth{color: scene.Hex(f.Color)}
		if !c.color.Set {
			c.color = scene.Mist
		}
		if f.Swatch != "" {
			c.picture = shown(o.Pictures[f.Swatch])
		}
		m.cloths[f.Letter] = c
	}
	m.art = newArtist(p)
	m.fig = figure.Of(p, m.t)
	return m
}

// shown is a picture that can be printed, or none.
func shown(file []byte) []byte {
	_, kind, err := image.DecodeConfig(bytes.NewReader(file))
	if err != nil || kind != "jpeg" && kind != "png" {
		return nil
	}
	return file
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
			if g, ok := it.(scene.Group); ok {
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

// document puts the laid pages on paper, each with its foot.
func (m *maker) document(pages []*paged) scene.Document {
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
	rows := [][]string{{"label", "fabric", "name", "shape", "hand", "width", "height", "measure", "cut", "each", "pieces", "spare", "surplus", "months"}}
	for _, q := range p.Pieces {
		var months []string
		for _, m := range q.Months {
			months = append(months, fmt.Sprintf("%d:%d", m.Month, m.Cut))
		}
		rows = append(rows, []string{q.Label, q.Fabric, names[q.Fabric], q.Shape, q.Hand, num(q.Width), num(q.Height), p.Measure,
			strconv.Itoa(q.Cut), strconv.Itoa(q.Each), strconv.Itoa(q.Yields), strconv.Itoa(q.Spare), strconv.Itoa(q.Surplus), strings.Join(months, " ")})
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

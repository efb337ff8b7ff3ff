package app

import (
	"fmt"
	"net/url"
	"slices"

	"quiltwright/internal/diag"
	"quiltwright/internal/draft"
	"quiltwright/internal/exact"
	"quiltwright/internal/measure"
	"quiltwright/internal/method"
	"quiltwright/internal/piecing"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
)

// draftView is the sheet on which a block is drawn. Lengths on the sheet are steps of the grid, or for a block of cells finished lengths.
type draftView struct {
	litView
	Blocks  []blockName   `json:"blocks"`
	Fabrics []fabricView  `json:"fabrics"`
	Measure string        `json:"measure"` // in | cm
	Block   *blockView    `json:"block"`   // null where the quilt has none yet
	Wrong   []findingView `json:"wrong"`   // why there is none, where the file cannot be read
}

// blockName is a block in the list of blocks.
type blockName struct {
	Name   string `json:"name"`
	Cells  bool   `json:"cells"`  // laid out of cells, not drawn by lines
	Wrong  bool   `json:"wrong"`  // has errors
	Placed int    `json:"placed"` // how many of it the quilt has, in cells of other blocks too
}

// fabricView is a fabric to fill with.
type fabricView struct {
	Letter string `json:"letter"`
	Name   string `json:"name"`
	Color  string `json:"color"`
}

// blockView is the block on the sheet.
type blockView struct {
	Name     string         `json:"name"`
	Cells    bool           `json:"cells"`
	Size     string         `json:"size"`  // "12 in", as one reads it
	Width    string         `json:"width"` // as one types it: "12"; "" where no size is said
	Height   string         `json:"height"`
	Across   float64        `json:"across"` // the sheet, in its own lengths
	Down     float64        `json:"down"`
	Shape    float64        `json:"shape"` // width by height, finished
	Grid     string         `json:"grid"`
	Columns  int            `json:"columns"`
	Rows     int            `json:"rows"`
	Symmetry []string       `json:"symmetry"`
	Repeats  string         `json:"repeats"` // the symmetry in words
	Offered  []symmetryName `json:"offered"` // symmetries that suit the shape
	Motions  []draft.Motion `json:"motions"`
	Lines    []lineView     `json:"lines"`
	Meets    []spot         `json:"meets"` // where lines meet off the grid
	Patches  []patchView    `json:"patches"`
	Ground   string         `json:"ground"`
	Seams    []seamView     `json:"seams"` // that are not straight from edge to edge
	Joins    string         `json:"joins"` // "36 seams, 36 straight"; "" where that is not known
	Findings []findingView  `json:"findings"`
	Sizes    []sizeView     `json:"sizes"`
	Layout   [][]cellView   `json:"layout,omitempty"` // of a block of cells
	Month    int            `json:"month"`            // whose pages it is on
	Lit      []int          `json:"lit,omitempty"`    // patches that come from the piece that is lit
}

type symmetryName struct {
	Words []string `json:"words"`
	Says  string   `json:"says"`
}

// lineView is a run of the writer's own.
type lineView struct {
	Points [][2]float64 `json:"points"`
	At     []string     `json:"at"` // the points as the document writes them
}

// spot is a point to snap to.
type spot struct {
	X  float64 `json:"x"`
	Y  float64 `json:"y"`
	At string  `json:"at"`
}

type patchView struct {
	Points [][2]float64 `json:"points"`
	Fabric string       `json:"fabric"` // "" where it has none
	At     string       `json:"at"`     // a point well inside, to fill it by
	X      float64      `json:"x"`
	Y      float64      `json:"y"`
	Images []int        `json:"images,omitempty"` // patches that are filled with it
	Fills  []string     `json:"fills,omitempty"`  // the fill points that speak for it now
}

// seamView is a seam that is more than a straight line from edge to edge.
type seamView struct {
	From [2]float64 `json:"from"`
	To   [2]float64 `json:"to"`
	Kind string     `json:"kind"` // partial | set in
}

type findingView struct {
	Severity string      `json:"severity"`
	Code     string      `json:"code"`
	Says     string      `json:"says"`
	Remedy   string      `json:"remedy,omitempty"`
	Point    *[2]float64 `json:"point,omitempty"`
	Line     int         `json:"line"` // of the document; 0 where it is about no place
}

// sizeView is a size to choose.
type sizeView struct {
	Value string `json:"value"`
	Says  string `json:"says"`
	Good  bool   `json:"good"` // the steps of the grid lie on the ruler's marks
}

type cellView struct {
	X      float64 `json:"x"`
	Y      float64 `json:"y"`
	Width  float64 `json:"width"`
	Height float64 `json:"height"`
	Says   string  `json:"says"` // what stands there, as the document writes it
}

// piecedBlock is how a block comes apart, as far as the sheet shows it.
type piecedBlock struct {
	seams []seamView
	joins string
}

// viewDraft makes the view; the query names the block.
func viewDraft(s *state, q url.Values) any {
	lit, compiled := s.lit(q)
	s.mu.Lock()
	defer s.mu.Unlock()
	v := draftView{litView: lit, Blocks: []blockName{}, Fabrics: []fabricView{}, Wrong: []findingView{}, Measure: s.doc.Measure.Abbrev()}
	for _, f := range s.doc.Fabrics {
		v.Fabrics = append(v.Fabrics, fabricView{f.Letter, f.Name, f.Color})
	}
	placed := uses(s.doc)
	var shown *quilt.Block
	for _, b := range s.doc.Blocks {
		v.Blocks = append(v.Blocks, blockName{Name: b.Name, Cells: !b.Drawn(), Wrong: b.Broken, Placed: placed[b.Name]})
		if shown == nil || b.Name == q.Get("block") {
			shown = b
		}
	}
	if shown != nil {
		v.Block = s.block(shown)
		if compiled != nil {
			v.Block.Lit = litPatches(compiled, shown, lit.Piece.Label)
		}
	} else {
		for _, f := range s.found {
			if f.Severity == diag.Error && f.Code != "missing" {
				v.Wrong = append(v.Wrong, found(f))
			}
		}
	}
	return v
}

// about is the block that the view is about, or "".
func (v draftView) about() string {
	if v.Block == nil {
		return ""
	}
	return v.Block.Name
}

// uses counts how often each block stands in the set or in a cell of another block.
func uses(doc *quilt.Document) map[string]int {
	out := map[string]int{}
	count := func(rows [][]quilt.Cell) {
		for _, row := range rows {
			for _, c := range row {
				out[c.Block]++
			}
		}
	}
	for _, b := range doc.Blocks {
		count(b.Cells)
	}
	if doc.Set != nil {
		count(doc.Set.Rows)
	} else if b := doc.Sole(); b != nil {
		out[b.Name]++
	}
	return out
}

// block is the view of a block. The caller holds mu.
func (s *state) block(def *quilt.Block) *blockView {
	unit := s.doc.Measure
	v := &blockView{Name: def.Name, Cells: !def.Drawn(), Columns: def.Columns, Rows: def.Rows, Ground: def.Ground,
		Symmetry: []string{}, Motions: []draft.Motion{}, Lines: []lineView{}, Meets: []spot{}, Patches: []patchView{},
		Seams: []seamView{}, Findings: []findingView{}, Sizes: []sizeView{}, Offered: []symmetryName{}, Month: monthOf(s.doc, def.Name)}
	v.Shape = 1
	if def.Height.Sign() > 0 && def.Width.Sign() > 0 {
		v.Shape = def.Width.Float() / def.Height.Float()
	}
	if !def.SizeAt.IsZero() {
		v.Width, v.Height = measure.Format(def.Width.Float(), unit), measure.Format(def.Height.Float(), unit)
		v.Size = measure.FormatWith(def.Width.Float(), unit)
		if !def.Width.Equal(def.Height) {
			v.Size = measure.Format(def.Width.Float(), unit) + " × " + measure.FormatWith(def.Height.Float(), unit)
		}
	}
	n := s.drafter.Draw(draft.Use{Block: def.Name, At: def.At})
	drawn := s.drafter.Blocks()[n]
	if def.Drawn() {
		s.lines(def, v)
	} else {
		v.Across, v.Down = def.Width.Float(), def.Height.Float()
		for _, p := range drawn.Patches {
			v.Patches = append(v.Patches, patchView{Points: corners(p.Outline), Fabric: s.doc.Fabrics[p.Fabric].Letter})
		}
		v.Layout = layout(def)
		v.Grid = fmt.Sprintf("%d × %d cells", len(def.ColumnSizes), len(def.RowSizes))
		s.comeApart(drawn, v)
	}
	for _, f := range s.doc.Fresh(s.found, append(slices.Clone(s.found), s.drafter.Findings()...)) {
		if f.Block == def.Name || f.Block == "" && s.within(def, f.At) {
			v.Findings = append(v.Findings, found(f))
		}
	}
	v.Sizes = sizes(s.doc, def)
	return v
}

// within reports whether a place of the document lies in the text of a block: after its name and before the next one's.
func (s *state) within(def *quilt.Block, at diag.Pos) bool {
	if at.Compare(def.At) < 0 {
		return false
	}
	for _, b := range s.doc.Blocks {
		if b.At.Compare(def.At) > 0 && b.At.Compare(at) <= 0 {
			return false
		}
	}
	return true
}

func found(f diag.Finding) findingView {
	return findingView{Severity: f.Severity.String(), Code: f.Code, Says: f.Says, Remedy: f.Remedy, Point: f.Point, Line: f.At.Line}
}

// lines fills in what a block drawn by lines has.
func (s *state) lines(def *quilt.Block, v *blockView) {
	v.Across, v.Down = float64(def.Columns), float64(def.Rows)
	v.Grid = fmt.Sprintf("%d × %d grid", def.Columns, def.Rows)
	for _, w := range def.Symmetry {
		v.Symmetry = append(v.Symmetry, string(w))
	}
	v.Offered = offered(def.Columns == def.Rows && def.Width.Equal(def.Height))
	v.Repeats = repeats(v.Symmetry)
	sheet := s.drafter.Sheet(def)
	v.Motions = append(v.Motions, sheet.Motions...)
	for _, run := range def.Lines {
		l := lineView{Points: [][2]float64{}, At: []string{}}
		for _, p := range run.Points {
			l.Points = append(l.Points, pair(p))
			l.At = append(l.At, draft.GridPoint(p))
		}
		v.Lines = append(v.Lines, l)
	}
	for _, p := range sheet.Inner {
		v.Meets = append(v.Meets, spot{p.X.Float(), p.Y.Float(), draft.GridPoint(p)})
	}
	whole := &draft.Block{Name: def.Name, Def: def, Recolor: map[string]string{}, Make: &s.doc.Make,
		Width: exact.Int(int64(def.Columns)), Height: exact.Int(int64(def.Rows))}
	for _, f := range sheet.Faces {
		p := patchView{Points: corners(f.Outline), Fabric: f.Fabric, At: draft.GridPoint(f.Inside), X: f.Inside.X.Float(), Y: f.Inside.Y.Float(), Images: f.Images}
		for _, own := range f.Fills {
			p.Fills = append(p.Fills, draft.GridPoint(own))
		}
		v.Patches = append(v.Patches, p)
		fabric := slices.IndexFunc(s.doc.Fabrics, func(g quilt.Fabric) bool { return g.Letter == f.Fabric })
		whole.Patches = append(whole.Patches, draft.Patch{Outline: f.Outline, Fabric: max(fabric, 0)}) // how it comes apart shows before it is filled
	}
	if len(s.doc.Fabrics) > 0 {
		s.comeApart(whole, v)
	}
}

// mostPieced is how many patches a block may have that is taken apart while one waits for the sheet; a larger one is by the plan only.
const mostPieced = 1500

// comeApart fills in the seams that are not straight.
func (s *state) comeApart(b *draft.Block, v *blockView) {
	if b.Broken || len(b.Patches) == 0 || len(b.Patches) > mostPieced {
		return
	}
	known := s.pieced[b.Name]
	if known == nil {
		known = takeApart(s.doc, b)
		s.pieced[b.Name] = known
	}
	v.Seams, v.Joins = known.seams, known.joins
}

// takeApart takes a block apart. A mistake of ours there costs the sheet these seams and nothing else; the driver reports it.
func takeApart(doc *quilt.Document, b *draft.Block) (out *piecedBlock) {
	out = &piecedBlock{seams: []seamView{}}
	defer func() {
		if recover() != nil {
			out = &piecedBlock{seams: []seamView{}}
		}
	}()
	r, _ := piecing.Take(doc, []*draft.Block{b}, nil, method.Price, piecing.Quick)
	use := r.Blocks[0]
	if use.Unit < 0 {
		return out
	}
	all, straight := 0, 0
	var walk func(unit int, pose plane.Pose)
	walk = func(unit int, pose plane.Pose) {
		u := &r.Units[unit]
		for _, j := range u.Joins {
			if j.Kind != piecing.Straight {
				out.seams = append(out.seams, seamView{pair(pose.Apply(j.Seam.A)), pair(pose.Apply(j.Seam.B)), j.Kind.String()})
			}
			if j.OneGo || j.Finish && j.Kind == piecing.Partial {
				continue
			}
			all++
			if j.Kind == piecing.Straight {
				straight++
			}
		}
		for _, p := range u.Parts {
			walk(p.Unit, p.Pose.Then(pose))
		}
	}
	walk(use.Unit, use.Pose)
	out.joins = seams(all, straight)
	return out
}

func pair(p plane.Point) [2]float64 { return [2]float64{p.X.Float(), p.Y.Float()} }

func corners(pg plane.Polygon) [][2]float64 {
	out := make([][2]float64, len(pg))
	for i, p := range pg {
		out[i] = pair(p)
	}
	return out
}

// layout is the cells of a block, each with what stands in it.
func layout(def *quilt.Block) [][]cellView {
	total := func(sizes []exact.Num) float64 {
		t := 0.0
		for _, x := range sizes {
			t += x.Float()
		}
		return t
	}
	wide, high := total(def.ColumnSizes), total(def.RowSizes)
	out := make([][]cellView, 0, len(def.Cells))
	y := 0.0
	for r, row := range def.Cells {
		if r >= len(def.RowSizes) || wide == 0 || high == 0 {
			break
		}
		h := def.RowSizes[r].Float() / high * def.Height.Float()
		x := 0.0
		cells := make([]cellView, 0, len(row))
		for c, cell := range row {
			if c >= len(def.ColumnSizes) {
				break
			}
			w := def.ColumnSizes[c].Float() / wide * def.Width.Float()
			cells = append(cells, cellView{x, y, w, h, spell(cell)})
			x += w
		}
		out = append(out, cells)
		y += h
	}
	return out
}

// monthOf is the number of the first month that makes a block, by itself or in another block; 1 without months.
func monthOf(doc *quilt.Document, name string) int {
	if len(doc.Months) == 0 {
		return 1
	}
	holds := map[string]bool{name: true}
	for range doc.Blocks { // as deep as blocks can be nested
		for _, b := range doc.Blocks {
			for _, row := range b.Cells {
				for _, c := range row {
					if holds[c.Block] {
						holds[b.Name] = true
					}
				}
			}
		}
	}
	last := 1
	for i, m := range doc.Months {
		for _, b := range m.Blocks {
			if holds[b.Block] {
				return i + 1
			}
		}
		if m.Set {
			last = i + 1
		}
	}
	return last
}

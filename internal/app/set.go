package app

import (
	"fmt"
	"net/url"
	"slices"

	"quiltwright/internal/diag"
	"quiltwright/internal/draft"
	"quiltwright/internal/exact"
	"quiltwright/internal/measure"
	"quiltwright/internal/quilt"
	"quiltwright/internal/set"
)

// setView is the quilt: what lies where, and what its parts are made of.
type setView struct {
	litView
	Fabrics   []laidFabric  `json:"fabrics"`
	Measure   string        `json:"measure"` // in | cm
	Blocks    []layView     `json:"blocks"`  // that can be laid
	Laid      bool          `json:"laid"`    // false: there is no set yet, the quilt is one block
	Top       topView       `json:"top"`
	Size      string        `json:"size"` // finished; "" where it is not known
	Style     string        `json:"style"`
	Rows      int           `json:"rows"` // as they are written
	Columns   int           `json:"columns"`
	Across    int           `json:"across"` // repeated
	Down      int           `json:"down"`
	Fields    [][]setField  `json:"fields"` // as they are written
	Sashing   *sashingView  `json:"sashing"`
	Triangles *triangleView `json:"triangles"`
	Borders   []borderView  `json:"borders"`
	Binding   *bindingView  `json:"binding"`
	Backing   *behindView   `json:"backing"`
	Batting   *behindView   `json:"batting"`
	Findings  []setFinding  `json:"findings"` // about the set
	Mend      []string      `json:"mend"`     // blocks with something to mend
	Month     int           `json:"month"`    // that sews the blocks together; 0 where there are no months

	Lit [][][2]float64 `json:"lit,omitempty"` // patches of the quilt that come from the piece that is lit
}

// laidFabric is a fabric, and its photograph's name; "" without.
type laidFabric struct {
	fabricView
	pictured
}

// layView is a block in the list of blocks to lay.
type layView struct {
	Name   string    `json:"name"`
	Size   string    `json:"size"` // "" where it has none, and so cannot be laid
	Drawn  drawnView `json:"drawn"`
	Placed int       `json:"placed"` // in the rows, repeats counted
}

// setField is what stands in a cell of the rows.
type setField struct {
	Block   string            `json:"block"` // "" for a fabric or a unit
	Cell    string            `json:"cell"`  // as the document writes it
	Recolor map[string]string `json:"recolor"`
	Letters []string          `json:"letters"` // before it is recoloured
}

type sashingView struct {
	Width   string `json:"width"` // as one types it
	Says    string `json:"says"`  // as one reads it
	Fabric  string `json:"fabric"`
	Posts   string `json:"posts"`
	Outside bool   `json:"outside"`
}

type triangleView struct {
	Fabric string `json:"fabric"`
	Float  string `json:"float"` // as one types it; "" without
	Says   string `json:"says"`
}

type borderView struct {
	Width   string `json:"width"`
	Says    string `json:"says"`
	Fabric  string `json:"fabric"`
	Corners string `json:"corners"` // butted | mitred | square
	Corner  string `json:"corner"`  // the fabric of squares
}

type bindingView struct {
	Fabric string `json:"fabric"`
	Strip  string `json:"strip"`
	Says   string `json:"says"`
	Cut    string `json:"cut"`
}

// behindView is the backing or the batting; lengths as one types them.
type behindView struct {
	Name     string `json:"name"`
	Width    string `json:"width"` // "" of batting
	Overhang string `json:"overhang"`
	Over     string `json:"over"` // as one reads it
}

// setFinding is a finding, and the row and column of the text that it is about: zeros where it is about none, a column of 0 for a row.
type setFinding struct {
	findingView
	Row    int `json:"row"`
	Column int `json:"column"`
}

// viewSet makes the view.
func viewSet(s *state, q url.Values) any {
	compiled := s.result()
	lit, shining := s.lit(q)
	s.mu.Lock()
	defer s.mu.Unlock()
	unit := s.doc.Measure
	top, found := s.topOf()
	v := setView{litView: lit, Fabrics: []laidFabric{}, Measure: unit.Abbrev(), Blocks: []layView{}, Top: top, Across: 1, Down: 1, Style: set.OneBlock,
		Fields: [][]setField{}, Borders: []borderView{}, Findings: []setFinding{}, Mend: []string{}}
	for _, f := range s.doc.Fabrics {
		v.Fabrics = append(v.Fabrics, laidFabric{fabricView{f.Letter, f.Name, f.Color}, picture(f, "")})
	}
	if top.Fits && top.Width > 0 {
		v.Size = sizeSays(top.Width, top.Height, unit)
	}
	placed := map[string]int{}
	for _, p := range top.Placed {
		if c := s.cell(p.Of); c != nil {
			placed[c.Block]++
		}
	}
	for _, b := range s.doc.Blocks {
		l := layView{Name: b.Name, Drawn: drawing(s.draw(draft.Use{Block: b.Name, At: b.At})), Placed: placed[b.Name]}
		if !b.SizeAt.IsZero() {
			l.Size = sizeSays(b.Width.Float(), b.Height.Float(), unit)
		}
		v.Blocks = append(v.Blocks, l)
	}
	v.Month = slices.IndexFunc(s.doc.Months, func(m quilt.Month) bool { return m.Set }) + 1
	if s.doc.Set != nil {
		s.parts(&v)
	}
	s.finish(&v)
	if shining != nil {
		v.Lit = litOutlines(shining, lit.Piece.Label)
	}
	all := slices.Concat(s.found, s.doc.Fresh(s.found, slices.Concat(s.drafter.Findings(), found)))
	if compiled != nil {
		all = append(all, compiled.Findings...)
	}
	s.setFindings(&v, all)
	return v
}

// parts fills in what the set says.
func (s *state) parts(v *setView) {
	is, unit := s.doc.Set, s.doc.Measure
	length := func(x float64) (string, string) { return measure.Format(x, unit), measure.FormatWith(x, unit) }
	v.Laid, v.Style, v.Rows, v.Across, v.Down = len(is.Rows) > 0, is.Style, len(is.Rows), max(1, is.Across), max(1, is.Down)
	for _, row := range is.Rows {
		fields := []setField{}
		for _, c := range row {
			f := setField{Block: c.Block, Cell: spell(c), Recolor: c.Recolor, Letters: s.lettersOf(c)}
			if f.Recolor == nil {
				f.Recolor = map[string]string{}
			}
			fields = append(fields, f)
		}
		v.Columns = max(v.Columns, len(row))
		v.Fields = append(v.Fields, fields)
	}
	if x := is.Sashing; x != nil {
		v.Sashing = &sashingView{Fabric: x.Fabric, Posts: x.Posts, Outside: x.Outside}
		v.Sashing.Width, v.Sashing.Says = length(x.Width.Float())
	}
	if x := is.Triangles; x != nil {
		v.Triangles = &triangleView{Fabric: x.Fabric}
		if x.Float.Sign() > 0 {
			v.Triangles.Float, v.Triangles.Says = length(x.Float.Float())
		}
	}
	for _, b := range is.Borders {
		is := borderView{Fabric: b.Fabric, Corners: b.Corners, Corner: spell(b.Corner)}
		is.Width, is.Says = length(b.Width.Float())
		v.Borders = append(v.Borders, is)
	}
}

// finish fills in what makes the top a quilt.
func (s *state) finish(v *setView) {
	unit := s.doc.Measure
	if b := s.doc.Finish.Binding; b != nil {
		v.Binding = &bindingView{b.Fabric, measure.Format(b.Strip.Float(), unit), measure.FormatWith(b.Strip.Float(), unit), b.Cut}
	}
	length := func(x exact.Num) string { return measure.Format(x.Float(), unit) }
	if b := s.doc.Finish.Backing; b != nil {
		v.Backing = &behindView{b.Name, length(b.Width), length(b.Overhang), measure.FormatWith(b.Overhang.Float(), unit)}
	}
	if b := s.doc.Finish.Batting; b != nil {
		v.Batting = &behindView{Overhang: length(b.Overhang), Over: measure.FormatWith(b.Overhang.Float(), unit)}
	}
}

// setFindings sorts findings: those about the set are said here, each once; of the rest only which blocks they are about.
func (s *state) setFindings(v *setView, all diag.List) {
	said := map[string]bool{}
	for _, f := range all {
		where := ""
		if !f.At.IsZero() {
			where = s.sectionOf(f.At)
		}
		block := f.Block
		if block == "" && where == "blocks" {
			for _, b := range s.doc.Blocks {
				if s.within(b, f.At) {
					block = b.Name
				}
			}
		}
		here := where == "set" || where == "finish" || where == "months" && f.Code == "programme"
		if block != "" && !here {
			if f.Severity == diag.Error && !slices.Contains(v.Mend, block) {
				v.Mend = append(v.Mend, block)
			}
			continue
		}
		if key := fmt.Sprint(f.Says, f.At); !here && where != "" || said[key] {
			continue
		} else {
			said[key] = true
		}
		out := setFinding{findingView: found(f)}
		if where == "set" {
			out.Row, out.Column = s.fieldAt(f.At)
		}
		v.Findings = append(v.Findings, out)
	}
}

// fieldAt is the row and column that is written at a place; a column of 0 for a row, zeros for neither.
func (s *state) fieldAt(at diag.Pos) (row, column int) {
	if s.doc.Set == nil {
		return 0, 0
	}
	is := func(c quilt.Cell) bool { return c.At == at }
	for r, cells := range s.doc.Set.Rows {
		if c := slices.IndexFunc(cells, is); c > 0 || c == 0 && (r >= len(s.doc.Set.RowPlaces) || s.doc.Set.RowPlaces[r] != at) {
			return r + 1, c + 1
		}
		if r < len(s.doc.Set.RowPlaces) && s.doc.Set.RowPlaces[r] == at {
			return r + 1, 0
		}
	}
	return 0, 0
}

package prove

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// Sheet is what a technical editor checks a pattern against: every number with how it comes about, every label with where it is cut
// and where it is used, counts by fabric and month. It holds values only; names of units are their ids.
type Sheet struct {
	Sizes  []SizeRow  `json:"sizes"`
	Labels []LabelRow `json:"labels"`
	Counts []CountRow `json:"counts"`
	Units  []UnitRow  `json:"units"`
	Others []OtherRow `json:"otherwise"`
}

// SizeRow is a printed size: finished + seams = exact -> printed.
type SizeRow struct {
	Label    string   `json:"label"`
	Side     string   `json:"side"`     // width | height
	Finished plan.Num `json:"finished"` // 0 where the piece is cut up later and has no finished size of its own
	Added    plan.Num `json:"added"`    // exact - finished
	Seams    plan.Num `json:"seams"`    // added, in seams: 2 for a rectangle, 3.414214 for a half square, 4.828427 for a quarter square
	Exact    plan.Num `json:"exact"`
	Printed  plan.Num `json:"printed"`
	Over     plan.Num `json:"over"` // printed - exact
	Formula  string   `json:"formula"`
}

// LabelRow says where a piece is cut and where it goes.
type LabelRow struct {
	Label   string            `json:"label"`
	Fabric  string            `json:"fabric"`
	Shape   string            `json:"shape"`
	Strips  []int             `json:"strips"`  // numbers of the fabric's strips, from 1
	Recipes []string          `json:"recipes"` // that take it, or take the patch that it is
	Units   []string          `json:"units"`   // that it goes into
	Yields  int               `json:"yields"`
	Used    int               `json:"used"` // by recipes
	Spare   int               `json:"spare"`
	Samples int               `json:"samples"`
	Over    int               `json:"over"` // yields - used - spare - samples
	Months  []plan.PieceMonth `json:"months"`
}

// CountRow sums up a fabric in a month.
type CountRow struct {
	Fabric string   `json:"fabric"`
	Month  int      `json:"month"`
	Blanks int      `json:"blanks"`
	Pieces int      `json:"pieces"`
	Area   plan.Num `json:"area"` // of the blanks
}

// UnitRow is a unit's size at every stage and its counts.
type UnitRow struct {
	Unit     string    `json:"unit"`
	Kind     string    `json:"kind"`
	Finished plan.Size `json:"finished"`
	Raw      plan.Size `json:"raw"` // finished and a seam on every side
	Excess   plan.Size `json:"excess"`
	Recipe   string    `json:"recipe,omitempty"`
	Steps    []int     `json:"steps"` // numbers of the steps that make it, from 1
	UsedIn   []string  `json:"usedIn"`
	Needed   int       `json:"needed"`
	Made     int       `json:"made"`
	Spare    int       `json:"spare"`
	Surplus  int       `json:"surplus"`
}

// OtherRow is what would be bought if a fabric, or the backing, were cut or made otherwise, beside what is bought.
type OtherRow struct {
	Of     string   `json:"of"` // a fabric's letter, or backing
	Way    string   `json:"way"`
	Is     plan.Num `json:"is"`
	Amount plan.Num `json:"amount"` // that way
	Unit   string   `json:"unit"`
}

// MakeSheet returns the technical editor's sheet of a plan, in the order of its lists. Finished sizes are measured on the units' outlines,
// used counts on the recipes, so that a slip in the plan shows; a nil plan gives an empty sheet.
func MakeSheet(p *plan.Plan) Sheet {
	s := Sheet{Sizes: []SizeRow{}, Labels: []LabelRow{}, Counts: []CountRow{}, Units: []UnitRow{}, Others: []OtherRow{}}
	if p == nil {
		return s
	}
	units := map[string]*plan.Unit{}
	of := map[string][]*plan.Unit{} // by label, the patches that are this piece
	for i := range p.Units {
		u := &p.Units[i]
		units[u.ID] = u
		if u.Piece != "" {
			of[u.Piece] = append(of[u.Piece], u)
		}
	}
	for i := range p.Pieces {
		x := &p.Pieces[i]
		s.Sizes = append(s.Sizes, sizeRows(x, of[x.Label], float64(p.Seam))...)
		s.Labels = append(s.Labels, labelRow(p, x, of[x.Label]))
	}
	s.Counts = countRows(p)
	for i := range p.Units {
		s.Units = append(s.Units, unitRow(p, &p.Units[i]))
	}
	for _, f := range p.Fabrics {
		s.Others = append(s.Others, otherRows(f.Letter, f.Buy.Amount, f.Instead)...)
	}
	if b := p.Finish.Backing; b != nil {
		s.Others = append(s.Others, otherRows("backing", b.Amount, b.Instead)...)
	}
	return s
}

func otherRows(of string, is plan.Num, ways []plan.Instead) []OtherRow {
	var rows []OtherRow
	for _, x := range ways {
		way := x.Way
		switch {
		case x.Make != "":
			way = x.Make
		case x.Width > 0:
			way = fmt.Sprintf("%s %g", x.Way, float64(x.Width))
		}
		rows = append(rows, OtherRow{Of: of, Way: way, Is: is, Amount: x.Amount, Unit: x.Unit})
	}
	return rows
}

// sizeRows is a piece's width and height.
func sizeRows(x *plan.Piece, patches []*plan.Unit, seam float64) []SizeRow {
	var finished [2]float64
	if len(patches) > 0 && patches[0].Lie != nil {
		lo, hi := flat.Box(flat.Posed(flat.Outline(patches[0].Outline), flat.Inverse(*patches[0].Lie)))
		finished = [2]float64{hi[0] - lo[0], hi[1] - lo[1]}
		if x.Shape == "quarter square" {
			finished[1] = finished[0]
		}
	}
	printed := [2]plan.Num{x.Width, x.Height}
	rows := make([]SizeRow, 2)
	for k := range rows {
		r := SizeRow{Label: x.Label, Side: [2]string{"width", "height"}[k], Exact: x.Exact[k], Printed: printed[k], Over: printed[k] - x.Exact[k]}
		if f := finished[k]; f > 0 && !math.IsInf(f, 0) && seam > 0 {
			r.Finished, r.Added = plan.Num(f), x.Exact[k]-plan.Num(f)
			r.Seams = plan.Num(float64(r.Added) / seam)
			r.Formula = fmt.Sprintf("%.6g + %.6g × %.6g = %.6g", f, float64(r.Seams), seam, float64(r.Exact))
		} else {
			r.Formula = fmt.Sprintf("%.6g", float64(r.Exact))
		}
		rows[k] = r
	}
	return rows
}

// labelRow follows a piece from the strips to the recipes.
func labelRow(p *plan.Plan, x *plan.Piece, patches []*plan.Unit) LabelRow {
	r := LabelRow{Label: x.Label, Fabric: x.Fabric, Shape: x.Shape, Strips: []int{}, Recipes: []string{}, Units: []string{}, Yields: x.Yields, Samples: x.Samples, Months: x.Months}
	for i := range p.Fabrics {
		if p.Fabrics[i].Letter != x.Fabric {
			continue
		}
		for k, s := range p.Fabrics[i].Strips {
			for _, c := range s.Cuts {
				if c.Label == x.Label {
					r.Strips = append(r.Strips, k+1)
					break
				}
			}
		}
	}
	patch := map[string]bool{}
	for _, u := range patches {
		patch[u.ID] = true
		r.Spare += u.Spare
	}
	for i := range p.Recipes {
		q := &p.Recipes[i]
		takes := 0
		for _, f := range q.From {
			if f.Piece == x.Label || f.Unit != "" && patch[f.Unit] {
				takes += f.Count
			}
		}
		if takes > 0 {
			r.Recipes, r.Units = append(r.Recipes, q.ID), append(r.Units, q.Unit)
			r.Used += takes * q.Batches
		}
	}
	r.Over = r.Yields - r.Used - r.Spare - r.Samples
	return r
}

// countRows sums up blanks and pieces by fabric and month.
func countRows(p *plan.Plan) []CountRow {
	rows := []CountRow{}
	for i := range p.Fabrics {
		by := map[int]*CountRow{}
		var months []int
		for k := range p.Pieces {
			x := &p.Pieces[k]
			if x.Fabric != p.Fabrics[i].Letter {
				continue
			}
			for _, m := range x.Months {
				if by[m.Month] == nil {
					by[m.Month] = &CountRow{Fabric: x.Fabric, Month: m.Month}
					months = append(months, m.Month)
				}
				c := by[m.Month]
				c.Blanks += m.Cut
				c.Pieces += m.Cut * x.Each
				c.Area += plan.Num(float64(m.Cut) * float64(x.Width) * float64(x.Height))
			}
		}
		sort.Ints(months)
		for _, m := range months {
			rows = append(rows, *by[m])
		}
	}
	return rows
}

// unitRow is a unit with its counts and where it goes.
func unitRow(p *plan.Plan, u *plan.Unit) UnitRow {
	grown := plan.Size{Width: u.Size.Width + 2*p.Seam, Height: u.Size.Height + 2*p.Seam}
	r := UnitRow{Unit: u.ID, Kind: u.Kind, Finished: u.Size, Raw: grown, Excess: u.Excess, Recipe: u.Recipe, Steps: []int{}, UsedIn: []string{},
		Needed: u.Needed, Made: u.Made, Spare: u.Spare, Surplus: u.Surplus}
	for i := range p.Steps {
		if p.Steps[i].Unit == u.ID {
			r.Steps = append(r.Steps, i+1)
		}
	}
	for i := range p.Recipes {
		for _, f := range p.Recipes[i].From {
			if f.Unit == u.ID {
				r.UsedIn = append(r.UsedIn, p.Recipes[i].Unit)
				break
			}
		}
	}
	return r
}

// Tables returns the sheet as tables for print or a spreadsheet: a title, a head and rows of text each.
func (s Sheet) Tables() []Table {
	num := func(n plan.Num) string {
		t := strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.6f", float64(n)), "0"), ".")
		if t == "-0" {
			return "0"
		}
		return t
	}
	size := func(z plan.Size) string { return num(z.Width) + " × " + num(z.Height) }
	sizes := Table{Title: "sizes", Head: []string{"label", "side", "finished", "added", "in seams", "exact", "printed", "over", "formula"}}
	for _, r := range s.Sizes {
		sizes.Rows = append(sizes.Rows, []string{r.Label, r.Side, num(r.Finished), num(r.Added), num(r.Seams), num(r.Exact), num(r.Printed), num(r.Over), r.Formula})
	}
	labels := Table{Title: "labels", Head: []string{"label", "fabric", "shape", "strips", "recipes", "units", "yields", "used", "spare", "samples", "over", "months"}}
	for _, r := range s.Labels {
		var months []string
		for _, m := range r.Months {
			months = append(months, fmt.Sprintf("%d: %d", m.Month, m.Cut))
		}
		labels.Rows = append(labels.Rows, []string{r.Label, r.Fabric, r.Shape, strings.Trim(fmt.Sprint(r.Strips), "[]"), strings.Join(r.Recipes, " "), strings.Join(r.Units, " "),
			fmt.Sprint(r.Yields), fmt.Sprint(r.Used), fmt.Sprint(r.Spare), fmt.Sprint(r.Samples), fmt.Sprint(r.Over), strings.Join(months, ", ")})
	}
	counts := Table{Title: "counts", Head: []string{"fabric", "month", "blanks", "pieces", "area"}}
	for _, r := range s.Counts {
		counts.Rows = append(counts.Rows, []string{r.Fabric, fmt.Sprint(r.Month), fmt.Sprint(r.Blanks), fmt.Sprint(r.Pieces), num(r.Area)})
	}
	units := Table{Title: "units", Head: []string{"unit", "kind", "finished", "raw", "excess", "recipe", "steps", "used in", "needed", "made", "spare", "surplus"}}
	for _, r := range s.Units {
		units.Rows = append(units.Rows, []string{r.Unit, r.Kind, size(r.Finished), size(r.Raw), size(r.Excess), r.Recipe, strings.Trim(fmt.Sprint(r.Steps), "[]"), strings.Join(r.UsedIn, " "),
			fmt.Sprint(r.Needed), fmt.Sprint(r.Made), fmt.Sprint(r.Spare), fmt.Sprint(r.Surplus)})
	}
	others := Table{Title: "otherwise", Head: []string{"of", "way", "is", "would be", "unit"}}
	for _, r := range s.Others {
		others.Rows = append(others.Rows, []string{r.Of, r.Way, num(r.Is), num(r.Amount), r.Unit})
	}
	return []Table{sizes, labels, counts, units, others}
}

// Table is rows of text under a head.
type Table struct {
	Title string
	Head  []string
	Rows  [][]string
}

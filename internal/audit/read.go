package audit

import (
	"fmt"
	"strconv"
	"strings"

	"quiltwright/internal/diag"
	"quiltwright/internal/measure"
	"quiltwright/internal/rows"
)

// Line is a line of a cutting list: Count equal blanks of a fabric.
type Line struct {
	At      diag.Pos `json:"at"`
	Label   string   `json:"label,omitempty"`
	Fabric  string   `json:"fabric"` // the list's own word
	Shape   string   `json:"shape,omitempty"`
	Width   float64  `json:"width"`
	Height  float64  `json:"height"`
	Count   int      `json:"count"`
	places  [numColumns]diag.Pos
	letter  string // the fabric of the plan
	outside bool   // of no fabric of the plan
}

// Limits of a list.
const (
	MostLines  = 2_000
	mostCount  = 1 << 20
	mostLength = 10_000
)

// The columns that are read.
const (
	colFabric = iota
	colShape
	colWidth
	colHeight
	colCount
	colLabel
	colMeasure
	numColumns
)

// columns are the names that a list may give them, in small letters; the first is the usual one.
var columns = [numColumns][]string{
	colFabric:  {"fabric", "cloth", "colour", "color"},
	colShape:   {"shape"},
	colWidth:   {"width", "width_in", "width_cm"},
	colHeight:  {"height", "height_in", "height_cm", "length"},
	colCount:   {"count", "cut", "quantity", "number"},
	colLabel:   {"label"},
	colMeasure: {"measure"},
}

const headerRemedy = "write a first line “fabric,shape,width,height,count”; further columns are passed over"

// Read reads a cutting list: comma separated values (or semicolons), of which the first line names the columns, in any order. Fabric,
// width, height and count have to be there; a column that is not known is passed over, and so are empty lines and those that begin
// with #. Everything that is wrong is an error with its place. unit is the measure in which the plan is; a list that says that it is
// in another is wrong.
func Read(src []byte, unit measure.Unit) ([]Line, diag.List) {
	var out []Line
	var found diag.List
	var at *[numColumns]int
	rows.Read(src, &found, func(row []string, place func(int) diag.Pos) bool {
		if at == nil {
			at = header(row, place, &found)
			return at != nil
		}
		if len(out) >= MostLines {
			found.Errorf(place(0), "list", "the list has more than %d lines", MostLines)
			return false
		}
		if l, ok := readLine(row, at, place, unit, &found); ok {
			out = append(out, l)
		}
		return true
	})
	if len(out) == 0 && !found.HasErrors() {
		found.Errorf(diag.Pos{Line: 1, Column: 1}, "list", "the list is empty").Remedy = headerRemedy
	}
	return out, found
}

// header finds the columns; nil where one that is needed is not there.
func header(rec []string, field func(int) diag.Pos, found *diag.List) *[numColumns]int {
	at := [numColumns]int{}
	for c := range at {
		at[c] = -1
	}
	var names []string
	for i, name := range rec {
		name = strings.ToLower(strings.TrimSpace(name))
		names = append(names, name)
		for c, known := range columns {
			for _, n := range known {
				if n != name {
					continue
				}
				if at[c] >= 0 {
					found.Errorf(field(i), "column", "there are two columns for the %s, “%s” and “%s”", known[0], rec[at[c]], rec[i]).Remedy = "leave one of them out"
					return nil
				}
				at[c] = i
			}
		}
	}
	for _, c := range []int{colFabric, colWidth, colHeight, colCount} {
		if at[c] >= 0 {
			continue
		}
		e := found.Errorf(field(0), "column", "the first line names no column “%s”", columns[c][0])
		e.Remedy = headerRemedy
		if s := diag.Suggest(columns[c][0], names); s != "" {
			e.Remedy = fmt.Sprintf("is “%s” meant to be “%s”?", s, columns[c][0])
		}
		return nil
	}
	return &at
}

// readLine reads a record.
func readLine(rec []string, at *[numColumns]int, field func(int) diag.Pos, unit measure.Unit, found *diag.List) (Line, bool) {
	was := found.Count(diag.Error)
	var l Line
	get := func(c int) string {
		if at[c] < 0 || at[c] >= len(rec) {
			return ""
		}
		return strings.TrimSpace(rec[at[c]])
	}
	for c := range l.places {
		l.places[c] = field(max(0, at[c]))
	}
	l.At, l.Label, l.Fabric, l.Shape = l.places[colWidth], get(colLabel), get(colFabric), strings.ToLower(get(colShape))
	if len(rec) <= max(at[colFabric], at[colWidth], at[colHeight], at[colCount]) {
		found.Errorf(field(0), "list", "the line has %d values, too few for the columns of the first line", len(rec)).Remedy = "leave no value out"
		return l, false
	}
	if l.Fabric == "" {
		found.Errorf(l.places[colFabric], "fabric", "the line names no fabric").Remedy = "write the letter or the name of the fabric"
	}
	for k, side := range []*float64{&l.Width, &l.Height} {
		c := colWidth + k
		text := get(c)
		x, err := measure.Parse(strings.TrimSpace(strings.TrimRight(text, "\"″”")))
		switch {
		case err != nil:
			found.Errorf(l.places[c], "size", "%s: %v", columns[c][0], err)
		case x.Sign() <= 0 || x.Float() > mostLength:
			found.Errorf(l.places[c], "size", "a %s of %s cannot be cut", columns[c][0], text).Remedy = fmt.Sprintf("sizes are more than 0 and at most %d", mostLength)
		default:
			*side = x.Float()
		}
	}
	n, err := strconv.Atoi(get(colCount))
	if err != nil || n < 0 || n > mostCount {
		found.Errorf(l.places[colCount], "count", "“%s” is not a count", get(colCount)).Remedy = fmt.Sprintf("write how many are cut, 0 to %d", mostCount)
	}
	l.Count = n
	if word := strings.ToLower(get(colMeasure)); word != "" {
		wants := map[string]measure.Unit{"inch": measure.Inch, "inches": measure.Inch, "in": measure.Inch, "cm": measure.Centimetre}
		u, known := wants[word]
		switch {
		case !known:
			found.Errorf(l.places[colMeasure], "measure", "“%s” is not a measure", get(colMeasure)).Remedy = "write inch or cm"
		case u != unit:
			found.Errorf(l.places[colMeasure], "measure", "the line is in %s, the plan in %s", u, unit).Remedy = "compare a list with a plan in the same measure; a pattern is drafted anew for another measure, not multiplied"
		}
	}
	return l, found.Count(diag.Error) == was
}

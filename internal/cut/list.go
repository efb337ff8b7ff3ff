package cut

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"quiltwright/internal/diag"
	"quiltwright/internal/measure"
	"quiltwright/internal/method"
	"quiltwright/internal/rows"
)

// List is a cutting list that someone has written, or that a book came with.
type List struct {
	Unit  measure.Unit
	Lines []Line
}

// Line is Count equal blanks of one fabric.
type Line struct {
	Label         string
	Fabric, Name  string
	Shape         string
	Width, Height float64 // across the cloth and along the selvage, unless turned
	Count         int
	Turn          bool    // it may also lie a quarter turn round
	Diagonal      bool    // where it is joined from strips, by diagonal seams
	Angle         float64 // of its slanted ends to the strip, in degrees; 0: it has none, or they follow from its shape
	At            diag.Pos
	TurnAt        diag.Pos // zero where the list does not say whether it may turn

	run   int        // blanks in it, end to end in a row; 0: one rectangle
	row   row        // of a run
	piece [2]float64 // of a run: the width and height of each
}

// Limits of a list.
const (
	mostListed = 1 << 20 // blanks of a line
	mostLength = 10_000  // of a side
)

// column is a column of a list: its names, the usual one first, and whether a list has to have it.
type column struct {
	names  []string
	needed bool
}

// The columns that are read; those of cutting.csv that say nothing about the cloth are passed over.
var (
	columns = []column{
		{names: []string{"fabric"}}, {names: []string{"shape"}}, {names: []string{"width", "width_in"}, needed: true},
		{names: []string{"height", "height_in"}, needed: true}, {names: []string{"count", "cut"}, needed: true},
		{names: []string{"turn", "rotatable"}}, {names: []string{"label"}}, {names: []string{"name"}}, {names: []string{"measure"}}, {names: []string{"join"}},
		{names: []string{"motif"}}, {names: []string{"angle"}},
	}
	passed = []string{"hand", "each", "pieces", "spare", "samples", "surplus", "months"}
)

// ReadList reads a cutting list as comma separated values. The first line names the columns: width, height and count, and if wanted
// fabric, shape, turn (yes or no; without it everything may turn), label, name, measure (inch or cm), join (straight or diagonal: how a
// joined strip is joined), motif (yes: it is centred on one, which is a hint, for a list does not say how they stand) and angle (degrees between the slanted ends and
// the strip: of a parallelogram or diamond, whose width is the distance of those ends and whose height that of the strip, and of a trapezoid, whose width is its longer
// side). Of a bias strip, width and height are how wide it is and how long all of it. The cutting.csv of a book is such a list; its column cut is the count. Lines that begin with # are passed over. A line of which none is
// cut is a warning; everything else that is wrong is an error with its place, and its line is left out.
func ReadList(src []byte) (List, diag.List) {
	var out List
	var found diag.List
	var at []int // of each of columns in a row, -1 where it is not there
	labels := map[string]*Line{}
	each := map[string]int{} // lines of each fabric
	var motifs []diag.Pos    // of lines that are centred on one
	rows.Read(src, &found, func(row []string, place func(int) diag.Pos) bool {
		if at == nil {
			at = header(row, place, &found)
			return !found.HasErrors()
		}
		l, ok := line(row, at, place, len(out.Lines) == 0, &out.Unit, &found)
		if !ok {
			return true
		}
		each[l.Fabric]++
		if l.Label == "" {
			l.Label = fmt.Sprintf("%s%d", l.Fabric, each[l.Fabric])
		}
		if was := labels[l.Fabric+"\x00"+l.Label]; was != nil && !was.agrees(l, &found) {
			return true
		}
		out.Lines = append(out.Lines, l)
		if i := at[10]; i >= 0 && i < len(row) && strings.EqualFold(strings.TrimSpace(row[i]), "yes") {
			motifs = append(motifs, place(i))
		}
		if labels[l.Fabric+"\x00"+l.Label] == nil {
			first := l
			labels[l.Fabric+"\x00"+l.Label] = &first
		}
		return true
	})
	if n := len(motifs); n > 0 {
		found.Hintf(motifs[0], "motif", "%d of its lines are centred on motifs, and laid as plain pieces here: that takes less cloth", n).Remedy = "lay the document itself: cut FILE"
	}
	if len(out.Lines) == 0 && !found.HasErrors() {
		found.Errorf(diag.Pos{}, "list", "the list has no line that is cut").Remedy = "write a first line “fabric,shape,width,height,count,turn” and a line for each size under it"
	}
	return out, found
}

// header finds the columns in the first record.
func header(rec []string, place func(int) diag.Pos, found *diag.List) []int {
	at := make([]int, len(columns))
	known := append([]string(nil), passed...)
	for c := range columns {
		at[c] = -1
		known = append(known, columns[c].names[0])
	}
	for i, name := range rec {
		name = strings.ToLower(strings.TrimSpace(name))
		hit := -1
		for c, col := range columns {
			for _, n := range col.names {
				if n == name {
					hit = c
				}
			}
		}
		switch {
		case hit >= 0 && at[hit] >= 0:
			found.Errorf(place(i), "column", "the column “%s” is there twice", columns[hit].names[0]).Remedy = "leave one of them out"
		case hit >= 0:
			at[hit] = i
		case !contains(passed, name):
			e := found.Errorf(place(i), "column", "a column “%s” is not known", rec[i])
			e.Remedy = "the columns are fabric, shape, width, height, count, turn, join, angle, motif, label, name and measure"
			if s := diag.Suggest(name, known); s != "" {
				e.Remedy = "did you mean “" + s + "”?"
			}
		}
	}
	for c, col := range columns {
		if col.needed && at[c] < 0 && !found.HasErrors() {
			found.Errorf(place(0), "column", "the first line names no column “%s”", col.names[0]).Remedy = "write a first line such as “fabric,shape,width,height,count,turn”"
		}
	}
	return at
}

func contains(words []string, word string) bool {
	for _, w := range words {
		if w == word {
			return true
		}
	}
	return false
}

// line reads a record; the first one's measure is that of the list.
func line(rec []string, at []int, place func(int) diag.Pos, first bool, unit *measure.Unit, found *diag.List) (Line, bool) {
	get := func(c int) string {
		if at[c] < 0 || at[c] >= len(rec) {
			return ""
		}
		return strings.TrimSpace(rec[at[c]])
	}
	was := found.Count(diag.Error)
	l := Line{Fabric: get(0), Shape: strings.ToLower(get(1)), Label: get(6), Name: get(7), Turn: true, At: place(max(0, at[2]))}
	if l.Fabric == "" {
		l.Fabric = "A"
	}
	for n, side := range []*float64{&l.Width, &l.Height} {
		c := n + 2
		x, err := measure.Parse(get(c))
		switch {
		case err != nil:
			found.Errorf(place(at[c]), "size", "%s: %v", columns[c].names[0], err)
		case x.Sign() == 0 || x.Float() > mostLength:
			found.Errorf(place(at[c]), "size", "a %s of %s cannot be cut", columns[c].names[0], get(c)).Remedy = fmt.Sprintf("sizes are more than 0 and at most %d", mostLength)
		default:
			*side = x.Float()
		}
	}
	if l.Shape == "square" && l.Width != l.Height && l.Width > 0 && l.Height > 0 {
		found.Errorf(place(at[1]), "shape", "a square of %s by %s", get(2), get(3)).Remedy = "call it a rectangle, or make its sides equal"
	}
	count, err := strconv.Atoi(get(4))
	switch {
	case err != nil || count < 0 || count > mostListed:
		found.Errorf(place(at[4]), "count", "“%s” is not a count", get(4)).Remedy = fmt.Sprintf("write how many are cut, 1 to %d", mostListed)
	case count == 0:
		found.Warnf(place(at[4]), "count", "none of this blank are cut").Remedy = "leave the line out, or write how many are cut"
	}
	l.Count = count
	switch word := strings.ToLower(get(5)); word {
	case "":
	case "yes", "y", "true", "1":
		l.TurnAt = place(at[5])
	case "no", "n", "false", "0":
		l.Turn, l.TurnAt = false, place(at[5])
	default:
		found.Errorf(place(at[5]), "turn", "“%s” does not say whether it may turn", get(5)).Remedy = "write yes or no"
	}
	switch word := strings.ToLower(get(9)); word {
	case "", "straight":
	case "diagonal":
		l.Diagonal = true
	default:
		found.Errorf(place(at[9]), "join", "“%s” is not a way to join strips", get(9)).Remedy = "write straight or diagonal"
	}
	l.slant(get(11), place(max(0, at[11])), place(max(0, at[1])), found)
	switch word := strings.ToLower(get(8)); word {
	case "", "inch", "in":
		if first {
			*unit = measure.Inch
		} else if word != "" && *unit != measure.Inch {
			found.Errorf(place(at[8]), "measure", "a line in inches in a list in centimetres").Remedy = "write all sizes in one measure"
		}
	case "cm":
		if first {
			*unit = measure.Centimetre
		} else if *unit != measure.Centimetre {
			found.Errorf(place(at[8]), "measure", "a line in centimetres in a list in inches").Remedy = "write all sizes in one measure"
		}
	default:
		found.Errorf(place(at[8]), "measure", "“%s” is not a measure", get(8)).Remedy = "write inch or cm"
	}
	return l, found.Count(diag.Error) == was && count > 0
}

// slant reads the angle of slanted ends, which some shapes need.
func (l *Line) slant(text string, at, shape diag.Pos, found *diag.List) {
	const remedy = "write the degrees between the slanted ends and the strip, from 10 to 90, such as 45"
	if text != "" {
		angle, err := strconv.ParseFloat(text, 64)
		if err != nil || !(angle >= 10 && angle <= 90) {
			found.Errorf(at, "angle", "“%s” is not an angle of slanted ends", text).Remedy = remedy
			return
		}
		l.Angle = angle
	}
	switch l.Shape {
	case method.Parallelogram, diamond, trapezoid:
		if l.Angle == 0 {
			found.Errorf(shape, "angle", "a %s of %g by %g, at which angle?", l.Shape, l.Width, l.Height).Remedy = "add a column “angle”: " + remedy
		} else if lean := l.Height / math.Tan(l.Angle*math.Pi/180); l.Shape == trapezoid && 2*lean > l.Width+1e-6 {
			found.Errorf(shape, "angle", "a trapezoid %g wide and %g high, whose ends lean at %g°, comes to a point below its top", l.Width, l.Height, l.Angle).Remedy = "its width is the longer of its two sides along the strip"
		}
	}
}

// agrees says whether a later line of the same label is of the same blank.
func (l *Line) agrees(later Line, found *diag.List) bool {
	note := []diag.Note{{At: l.At, Says: "it was named here first"}}
	switch {
	case l.Width != later.Width || l.Height != later.Height:
		e := found.Errorf(later.At, "label", "%s has two sizes", later.Label)
		e.Notes, e.Remedy = note, "give each size a label of its own"
		return false
	case l.Angle != later.Angle:
		e := found.Errorf(later.At, "label", "%s has two angles", later.Label)
		e.Notes, e.Remedy = note, "give each shape a label of its own"
		return false
	case l.Turn != later.Turn:
		e := found.Errorf(later.At, "turn", "%s may turn in one line and not in another", later.Label)
		e.Notes, e.Remedy = note, "its grain is one or the other: write the same in both"
		return false
	}
	return true
}

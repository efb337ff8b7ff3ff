// Package words turns a plan into sentences.
//
// Every value in a sentence comes out of the plan: what is cut, which piece lies on which, where
// the needle goes and what size comes out are read from the recipes' operations, not from canned
// text about a method. The sentences themselves stand in one catalogue (en.txt), full and brief; the
// tests read every one back and try it on a table of cloth (hear_test.go, judge_test.go).
//
// Before it comes compile, after it book and the commands that print text. It does no geometry
// beyond finding out which corner or side an operation is about.
package words

import (
	"math"
	"sort"
	"strconv"
	"strings"

	"quiltwright/internal/measure"
	"quiltwright/internal/plan"
)

// Text is a sentence in which the labels of pieces stand between pairs of asterisks: "Sew **B3**
// to the right of **A1**." scene.Rich prints those bold.
type Text string

// String is the text without marks. No-break spaces stay.
func (t Text) String() string { return strings.ReplaceAll(string(t), labelMark, "") }

// Plain is the text for a terminal: without marks, plain spaces only.
func (t Text) Plain() string { return strings.ReplaceAll(t.String(), "\u00a0", " ") }

const labelMark = "**"

func label(s string) string { return labelMark + s + labelMark }

// Teller tells one plan. It only reads the plan; make a new one when the plan has changed.
type Teller struct {
	p        *plan.Plan
	in       catalogue
	unit     measure.Unit
	units    map[string]*plan.Unit
	pieces   map[string]*plan.Piece
	recipes  map[string]*plan.Recipe
	fabrics  map[string]*plan.Fabric
	names    map[string]string // of units that have no piece
	bases    map[string]string // their names without size and number
	sizes    map[string]string // what tells them apart, where that is needed
	numbers  map[string]int    // likewise
	rows     map[string]string // of rows: "row 2", as they stand in their block
	readings map[int][]int     // of months: see Reading
}

// Of is a teller for the plan, in English.
func Of(p *plan.Plan) *Teller { return tell(p, ofEnglish()) }

// Brief is a teller for those who sew a lot: it says the same in fewer words.
func Brief(p *plan.Plan) *Teller { return tell(p, ofEnglish().brief()) }

// ofEnglish is the catalogue that comes with this package.
func ofEnglish() catalogue {
	c, err := readCatalogue(english)
	if err != nil {
		panic("words: " + err.Error())
	}
	return c
}

func tell(p *plan.Plan, in catalogue) *Teller {
	by := p.Index()
	t := &Teller{
		p: p, in: in, unit: measure.Inch, units: by.Units, pieces: by.Pieces, recipes: by.Recipes, fabrics: by.Fabrics,
		names: map[string]string{}, bases: map[string]string{}, sizes: map[string]string{}, numbers: map[string]int{}, rows: map[string]string{}, readings: map[int][]int{},
	}
	if p.Measure == "cm" {
		t.unit = measure.Centimetre
	}
	t.nameUnits()
	return t
}

// length is a measure with its unit: "3 7/8 in", with a no-break space between the two.
func (t *Teller) length(x plan.Num) string { return measure.FormatWith(t.onRuler(x), t.unit) }

// bare is a measure without its unit.
func (t *Teller) bare(x plan.Num) string { return measure.Format(t.onRuler(x), t.unit) }

// onRuler is a length that a ruler shows: as it is where it lies on a mark, else the nearest
// thirty-second of an inch or half a millimetre, which is less than anyone eases in. Sizes that come
// of diagonals lie on no mark; what is cut always does.
func (t *Teller) onRuler(x plan.Num) float64 {
	fine, mark := 1.0/64, 1.0/32
	if t.unit == measure.Centimetre {
		fine, mark = 0.05, 0.05
	}
	if f := measure.Nearest(float64(x), fine); math.Abs(f-float64(x)) < 1e-5 {
		return f
	}
	return measure.Nearest(float64(x), mark)
}

// Size is "3 1/2 in square" or "4 1/2 × 2 1/2 in".
func (t *Teller) Size(w, h plan.Num) string {
	if near(w, h) {
		return t.in.say("size.square", "side", t.length(w))
	}
	return t.by(w, h)
}

// by is "4 1/2 × 2 1/2 in", also where both are equal.
func (t *Teller) by(w, h plan.Num) string {
	return t.in.say("size.by", "width", t.bare(w), "height", t.length(h))
}

// About is a measure as the eye sees it.
func (t *Teller) About(x plan.Num) string {
	return t.in.say("about", "length", t.length(t.roughly(x)))
}

// roughly is a measure to the nearest sixteenth of an inch, or the nearest thirty-second where that is clearly closer, or the nearest
// millimetre.
func (t *Teller) roughly(x plan.Num) plan.Num {
	mark := 1.0 / 16
	if t.unit == measure.Centimetre {
		mark = 0.1
	} else if math.Abs(measure.Nearest(float64(x), mark)-float64(x)) > 1.0/40 {
		mark = 1.0 / 32
	}
	return plan.Num(measure.Nearest(float64(x), mark))
}

// count is a number and its noun: "12 squares".
func (t *Teller) count(n int, noun string) string {
	return strconv.Itoa(n) + " " + t.in.noun(n, noun)
}

// list is "A1, B2 and A3".
func (t *Teller) list(items []string) string {
	switch n := len(items); n {
	case 0:
		return ""
	case 1:
		return items[0]
	default:
		return strings.Join(items[:n-1], ", ") + " " + t.in.say("and") + " " + items[n-1]
	}
}

// number is a small number as a word, larger ones in figures.
func (t *Teller) number(n int) string {
	if _, ok := t.in["number."+strconv.Itoa(n)]; ok {
		return t.in.say("number." + strconv.Itoa(n))
	}
	return strconv.Itoa(n)
}

// Fabric is the name of a fabric, or its letter where it has none.
func (t *Teller) Fabric(letter string) string {
	if f := t.fabrics[letter]; f != nil && f.Name != "" {
		return f.Name
	}
	return letter
}

func near(a, b plan.Num) bool { return math.Abs(float64(a-b)) < 1e-4 }

// capital makes the first letter of a sentence a capital; a label at the front stays as it is.
func capital(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

func sorted(m map[string]string) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

// Package method decides how every distinct unit is made, and writes the recipe of one batch.
//
// In: the units of package piecing and how many blocks each month makes. Out: for every unit its method, the
// blanks and the recipe of a batch, how many batches each month sews, and what is left over. Press fills in the
// directions, sew orders the work, cut names the pieces.
//
// A method is data and one function: which kind of unit it makes, how many at once, the blanks as a function of
// finished size and seam, and a recipe in the coordinates of the blanks. "joined" (parts sewn one to another) always
// exists. Sizes come from moving the sides of the finished patch outward by the seam; tables are only tests.
package method

import (
	"math"
	"slices"

	"quiltwright/internal/diag"
	"quiltwright/internal/draft"
	"quiltwright/internal/measure"
	"quiltwright/internal/piecing"
	"quiltwright/internal/quilt"
	"quiltwright/internal/unit"
)

// Input is what the choice depends on.
type Input struct {
	Doc      *quilt.Document
	Pieced   *piecing.Result
	Blocks   []*draft.Block
	Months   [][][2]int // Months[m][b]: how many of block b month m makes, each way; at least one month
	SetMonth int        // the month in which the top is put together
	Ways     Ways
	Outward  []bool // what Outward gives, where it is known: nil has it found out
	Former   []Unit // what Choose gave for the same with other Ways: nil for none. What is as it was there is not worked out again
}

// Ways says that a unit is sewn twice over, pressed one way and the other, so that neighbours nest.
type Ways struct {
	Split  []bool  // of each unit: it is made both ways. What holds a split unit is split too. nil: none is
	Second []bool  // of each unit: it is used the second way only, and its one recipe, the first, is of that way. nil: none is
	Other  [][]int // Other[u][k]: 1 where part k of unit u, in the setting, is pressed the other way than u itself
}

func (w Ways) split(u int) bool { return w.Split != nil && w.Split[u] }

// Of is the way of part k of unit u where u is made the given way. A batch that makes u whole has patches for parts, more than u was taken apart
// into: they have no way.
func (w Ways) Of(u, k, way int) int {
	if w.Second != nil && w.Second[u] {
		way = 1
	}
	if w.Other == nil || k >= len(w.Other[u]) {
		return way
	}
	return way ^ w.Other[u][k]
}

// Unit is a unit as it will be made. Units stand in the order of piecing.Result.Units.
type Unit struct {
	piecing.Unit        // parts and joins: of a unit that a batch makes whole, down to its patches
	Made         bool   // it is sewn, or cut, as itself; false: it exists only inside a batch, or not at all
	Method       string // "single" for a patch, else the method's name
	Why          string // code of the reason: count, make, only, print, motif, fit
	Refused      []Refused
	Single       *Blank // of a patch
	Lie          move   // of the patch's piece
	Recipe       *Recipe
	Usual        []int // for each join: -1, or 0 or 1 where those who teach the method press toward part A or B
	Tied         bool  // the method presses all its seams in one go: all toward part A or all toward part B
	Excess       [2]float64
	Loose        [2]float64 // how much larger it comes out before it is trimmed
	Out          []float64  // how far each raw edge lies beyond its place, by the edges of the outline
	grown        pt
	uneven       float64       // how far the raw edges of its parts lie apart on one of its edges
	fin          []pt          // the outline
	tips         bool          // it is cut as the whole of a triangle that the set leaves less of
	between      *diag.Finding // it falls between the marks of the ruler
	mitred       bool          // it is a strip of a border, cut square; its ends are trimmed for the corners before anything is sewn to them
	Trim         bool
	Tips         []Tip   // points of its parts that are trimmed before they are sewn
	Split        bool    // made both ways, in batches of their own
	Mate         int     // its mirror image, which the same batches make; -1: none
	Maker        int     // the unit whose batches make it: itself, or its mate
	OneWay       bool    // it is pressed one way only: its batches could not be shared out between two
	Months       []Count // one a month
	Spare        int
}

// Refused is a method that would make the unit but was not taken.
type Refused struct{ Method, Why string }

// Count is what a month sews of a unit, each way: batches, units made, and units used by what is sewn from them. A unit that is not
// split has the first way only.
type Count struct{ Batches, Made, Used [2]int }

// Needed is how many units are used in all.
func (u *Unit) Needed() int {
	n := 0
	for _, c := range u.Months {
		n += c.Used[0] + c.Used[1]
	}
	return n
}

// MadeInAll is how many units are made in all.
func (u *Unit) MadeInAll() int {
	n := 0
	for _, c := range u.Months {
		n += c.Made[0] + c.Made[1]
	}
	return n
}

// MadeWay is how many units are made one way, BatchesWay how many batches.
func (u *Unit) MadeWay(way int) int {
	n := 0
	for _, c := range u.Months {
		n += c.Made[way]
	}
	return n
}

// BatchesWay is how many batches are sewn one way.
func (u *Unit) BatchesWay(way int) int {
	n := 0
	for _, c := range u.Months {
		n += c.Batches[way]
	}
	return n
}

// Over is how many units made one way are left in the end.
func (u *Unit) Over(way int) int {
	n := u.MadeWay(way)
	for _, c := range u.Months {
		n -= c.Used[way]
	}
	if way == 0 {
		n -= u.Spare
	}
	return max(0, n)
}

// mostAtFirst is atFirst for the way that needs more.
func (u *Unit) mostAtFirst() int {
	for _, c := range u.Months {
		if n := max(c.Used[0], c.Used[1]); n > 0 {
			return n
		}
	}
	return 0
}

// Pressed is the unit and join by which join k of unit i is pressed: the first seam of mates is the same one, cut apart later.
func Pressed(units []Unit, i, k int) [2]int {
	if k == 0 {
		i = units[i].Maker
	}
	return [2]int{i, k}
}

// BothWays reports whether it is made both ways.
func (u *Unit) BothWays() bool { return u.MadeWay(0) > 0 && u.MadeWay(1) > 0 }

// Measures reports whether a part of the unit is cut to a length that is measured on one's own top.
func (u *Unit) Measures(units []Unit) bool {
	return slices.ContainsFunc(u.Parts, func(p piecing.Part) bool { s := units[p.Unit].Single; return s != nil && s.Measured })
}

// atFirst is how many units are used in the first month that uses any.
func (u *Unit) atFirst() int {
	for _, c := range u.Months {
		if n := c.Used[0] + c.Used[1]; n > 0 {
			return n
		}
	}
	return 0
}

// Batches is how many batches are sewn in all.
func (u *Unit) Batches() int {
	n := 0
	for _, c := range u.Months {
		n += c.Batches[0] + c.Batches[1]
	}
	return n
}

// chooser carries the work of Choose.
type chooser struct {
	Input
	ruler
	width    float64
	units    []Unit
	makes    []*quilt.Make // the choices that hold for each unit: those of the first block that uses it
	long     []bool        // a triangle whose long side lies outward
	squaring float64       // cut off to square the end of a strip set

	scheduled          map[int]bool   // units of blocks, which are made in their own months
	alone              map[int]string // why a three-triangles square is not made together with its mirror image
	trimmed, inSetting []bool         // of each patch: see uses
	centred            []bool         // of each patch: see centre
	fits               []bool         // of each unit: nothing in it differs too much, as far as it was sized
	found              diag.List
}

// Choose decides how every unit is made.
func Choose(in Input) ([]Unit, diag.List) {
	c := begin(in)
	doc := in.Doc
	c.ruler = ruler{seam: doc.Seam.Float(), mark: doc.Ruler.Float(), ease: Ease(doc.Measure), unit: doc.Measure}
	c.width = doc.Width.Float()
	c.squaring = 0.5
	if doc.Measure == measure.Centimetre {
		c.squaring = 1
	}
	c.inherit()
	if c.long = in.Outward; c.long == nil {
		c.outward()
	}
	c.centre()
	c.choose()
	if c.asBefore() {
		c.takeOver()
	} else {
		c.Former = nil
		c.sizes()
	}
	c.recipes()
	for i := range c.units {
		if f := c.units[i].between; f != nil {
			c.found.Add(*f)
		}
	}
	return c.units, c.found
}

// asBefore reports whether every unit is made as it was formerly, so that all sizes are what they were: they do not depend on numbers.
func (c *chooser) asBefore() bool {
	for i := range c.Former {
		if u, v := &c.units[i], &c.Former[i]; u.Made != v.Made || u.Method != v.Method {
			return false
		}
	}
	return c.Former != nil
}

// takeOver takes the sizes over.
func (c *chooser) takeOver() {
	for i := range c.units {
		u, v := &c.units[i], &c.Former[i]
		u.Single, u.Lie, u.Excess, u.Loose, u.Out, u.Trim = v.Single, v.Lie, v.Excess, v.Loose, v.Out, v.Trim
		u.grown, u.uneven, u.tips, u.mitred, u.between = v.grown, v.uneven, v.tips, v.mitred, v.between
	}
}

func begin(in Input) *chooser {
	c := &chooser{Input: in, units: make([]Unit, len(in.Pieced.Units)), scheduled: map[int]bool{}, alone: map[int]string{}}
	for i := range c.units {
		u := &in.Pieced.Units[i]
		c.units[i] = Unit{Unit: *u, Split: in.Ways.split(i), Months: make([]Count, len(in.Months)), fin: floats(u.Outline), Mate: -1, Maker: i}
	}
	return c
}

// Outward says of every unit whether it is a triangle whose long side lies outward. It depends on the pieces alone, not on ways or months.
func Outward(pieced *piecing.Result) []bool {
	c := begin(Input{Pieced: pieced})
	c.outward()
	return c.long
}

// Ease is the largest difference between two edges that is eased in: 1/32 in, 0.08 cm. Common practice.
func Ease(u measure.Unit) float64 {
	if u == measure.Centimetre {
		return 0.08
	}
	return 1.0 / 32
}

// inherit gives every unit the choices of construction of the first block that uses it.
func (c *chooser) inherit() {
	c.makes = make([]*quilt.Make, len(c.units))
	var give func(u int, m *quilt.Make)
	give = func(u int, m *quilt.Make) {
		if c.makes[u] != nil {
			return
		}
		c.makes[u] = m
		for _, p := range c.units[u].Parts {
			give(p.Unit, m)
		}
	}
	for b, block := range c.Blocks {
		if use := c.Pieced.Blocks[b]; use.Unit >= 0 && block.Make != nil {
			give(use.Unit, block.Make)
		}
	}
	for i := range c.makes {
		if c.makes[i] == nil {
			c.makes[i] = &c.Doc.Make
		}
	}
}

// choose walks from the top down: what a unit takes is needed of its parts, in the month in which it is sewn.
func (c *chooser) choose() {
	c.couple()
	use := func(u, month, way, n int) {
		if !c.units[u].Split {
			way = 0
		}
		c.units[u].Months[month].Used[way] += n
	}
	c.ask(use)
	for i := len(c.units) - 1; i >= 0; i-- {
		u := &c.units[i]
		switch {
		case u.Mate >= 0:
			u.Made = true
			if i < u.Mate { // by now it is known how many are used of either
				c.batches(&c.units[u.Maker], &c.units[c.units[u.Maker].Mate])
			}
			continue
		case u.Needed() == 0:
			continue
		}
		u.Made = true
		c.pick(i)
		c.batches(u)
		if u.Method == "joined" {
			c.takes(i, func(month int) [2]int { return u.Months[month].Batches }, use)
		}
	}
}

// ask tells how many of the units of blocks, and of the top, are used in each month, each way.
func (c *chooser) ask(use func(u, month, way, n int)) {
	for b := range c.Blocks {
		if in := c.Pieced.Blocks[b]; in.Unit >= 0 {
			c.scheduled[in.Unit] = true
			for m := range c.Months {
				for way, n := range c.Months[m][b] {
					use(in.Unit, m, way, n)
				}
			}
		}
	}
	if top := c.Pieced.Top; top >= 0 && !c.scheduled[top] {
		use(top, c.SetMonth, 0, 1)
	}
}

// takes tells how many of its parts unit i takes, sewn so often each way in a month.
func (c *chooser) takes(i int, sewn func(month int) [2]int, use func(u, month, way, n int)) {
	u := &c.units[i]
	for m := range u.Months {
		for way, n := range sewn(m) {
			for k, p := range u.Parts {
				if n > 0 && !(c.scheduled[p.Unit] && u.Role >= piecing.Setting) { // blocks are made in their own months
					use(p.Unit, m, c.Ways.Of(i, k, way), n)
				}
			}
		}
	}
}

// batches rounds what each month needs up to whole batches; what is over is used by a later month. Spare is made with
// the first month, of what is cut or sewn in batches. Of units that the same batches make, the first has the recipe.
func (c *chooser) batches(us ...*Unit) {
	yield := us[0].yield()
	extra := make([]int, len(us))
	for k, u := range us {
		if spare := c.makes[0].Spare.Float(); spare > 0 && u.Method != "joined" {
			u.Spare = int(math.Ceil(float64(u.Needed())*spare - 1e-9))
		}
		extra[k] = u.Spare
	}
	for way := range 2 {
		over := make([]int, len(us))
		for m := range us[0].Months {
			most := 0
			for k, u := range us {
				n := u.Months[m].Used[way]
				want := n - over[k]
				if n > 0 {
					want, extra[k] = want+extra[k], 0
				}
				most = max(most, want)
			}
			batches := (most + yield - 1) / yield
			us[0].Months[m].Batches[way] = batches
			for k, u := range us {
				u.Months[m].Made[way] = batches * yield
				over[k] += batches*yield - u.Months[m].Used[way]
			}
		}
	}
}

func (u *Unit) yield() int {
	if u.Recipe != nil {
		return u.Recipe.Yield
	}
	return 1
}

// pick chooses the method of a unit. The recipe it leaves has its yield only; recipes writes it out.
func (c *chooser) pick(i int) {
	u := &c.units[i]
	if u.Leaf != nil {
		u.Method, u.Why = "single", "only"
		return
	}
	u.Method, u.Why, u.Recipe = "joined", "only", &Recipe{Method: "joined", Yield: 1}
	if c.showsMotif(i) {
		c.patchwise(i)
		return
	}
	n := u.atFirst() // a later month must not change how an earlier one is made
	take := func(method, why string, yield int) {
		u.Method, u.Why, u.Recipe = method, why, &Recipe{Method: method, Yield: yield}
	}
	refuse := func(method, why string) { u.Refused = append(u.Refused, Refused{method, why}) }
	m := c.makes[i]
	switch u.Shape.Kind {
	case unit.HalfSquare:
		c.flatten(i)
		picker{c, i, u, m.HalfSquares, n}.halfSquare()
	case unit.FlyingGeese:
		c.flatten(i)
		fours := c.units[u.Parts[1].Unit].Leaf.Fabric == c.units[u.Parts[2].Unit].Leaf.Fabric
		surplus := (4 - n%4) % 4
		onRuler := c.onRuler(u.Shape.Measures[0].Float()) && c.onRuler(u.Shape.Measures[1].Float())
		switch {
		case m.Geese == "singles":
			u.Why = "make"
		case !c.prints(i, "flips"):
			u.Why = "print"
			refuse("fours", "print")
			refuse("flips", "print")
		case c.directed(i) && onRuler:
			take("flips", "print", 1)
			refuse("fours", "print")
		case c.directed(i):
			refuse("fours", "print")
			refuse("flips", "ruler")
		case m.Geese == "fours" && fours:
			take("fours", "make", 4)
		case m.Geese != "flips" && fours && n >= 3 && surplus*2 <= n:
			take("fours", "count", 4)
		case !onRuler:
			picker{c, i, u, m.Geese, n}.refuse("flips", "ruler")
			if !fours {
				refuse("fours", "fabrics")
			} else {
				refuse("fours", "surplus")
			}
		default:
			why := "count"
			if m.Geese == "flips" {
				why = "make"
			}
			take("flips", why, 1)
			if !fours {
				refuse("fours", "fabrics")
			} else if why == "count" {
				refuse("fours", "surplus")
			}
		}
	case unit.Hourglass:
		picker{c, i, u, m.Hourglass, n}.hourglass()
	case unit.ThreeTriangles:
		picker{c, i, u, m.Three, n}.threeTriangles()
	case unit.SquareInSquare:
		picker{c, i, u, m.InSquare, n}.squareInSquare()
	case unit.Snowball:
		c.flatten(i)
		if !c.prints(i, "flips") {
			u.Why = "print"
			refuse("flips", "print")
		} else if !c.onRuler(u.Shape.Measures[0].Float()) || !c.onRuler(u.Shape.Measures[1].Float()) ||
			2*c.excess(u.Shape.Measures[2].Float()) > c.ease+1e-9 { // a side loses from both ends
			refuse("flips", "ruler")
		} else {
			take("flips", "only", 1)
		}
	case unit.HalfRectangle:
		c.flatten(i)
	default:
		c.pickStrips(i, n)
	}
}

// directed reports whether a patch under unit i has a print with a direction.
func (c *chooser) directed(i int) bool {
	u := &c.units[i]
	if u.Leaf != nil {
		return c.Doc.Fabrics[u.Leaf.Fabric].Print != quilt.Plain
	}
	for _, p := range u.Parts {
		if c.directed(p.Unit) {
			return true
		}
	}
	return false
}

// stripsFrom is how many equal rows make a strip set worth sewing.
const stripsFrom = 4

// pickStrips makes a row of rectangles from a strip set where that pays.
func (c *chooser) pickStrips(i, n int) {
	u := &c.units[i]
	m := c.makes[i]
	if u.Role == piecing.Setting || u.Role == piecing.Top {
		return
	}
	r, ok := c.row(i)
	if !ok {
		return
	}
	refuse := func(why string) { u.Refused = append(u.Refused, Refused{"strip set", why}) }
	seg := r.cross + 2*c.seam
	width := c.width
	for _, p := range u.Parts {
		width = math.Min(width, c.Doc.Longest(c.Doc.Fabrics[c.units[p.Unit].Leaf.Fabric]).Float())
	}
	per := int(math.Floor((width-c.squaring)/seg + 1e-9))
	switch {
	case m.StripSets == "never":
		refuse("make")
	case !c.prints(i, "strip set"):
		refuse("print")
	case per < 2:
		refuse("width")
	case m.StripSets != "always" && n < stripsFrom:
		refuse("count")
	default:
		for _, w := range r.widths {
			if _, ok := c.near(w + 2*c.seam); !ok {
				refuse("ruler")
				return
			}
		}
		u.Method, u.Why = "strip set", "count"
		if m.StripSets == "always" {
			u.Why = "make"
		}
		u.Recipe = &Recipe{Method: "strip set", Yield: segments(u.mostAtFirst(), per)}
	}
}

// segments is how many segments a strip set is cut into where n rows are needed and the cloth is wide enough for per: as
// few sets as will do, of equal length.
func segments(n, per int) int {
	sets := (n + per - 1) / per
	return (n + sets - 1) / sets
}

// row is a unit that is a row of rectangle patches, all of one height.
type row struct {
	widths []float64 // finished, in the order of the parts
	cross  float64   // finished height of the row
	column bool      // the patches stand one below the other
}

// turn is by how much a strip set, its strips one below the other, is turned to lie as the row.
func (r row) turn() float64 {
	if r.column {
		return 0
	}
	return 270
}

// made takes directions in a strip to the row.
func (r row) made() move { return turned(r.turn(), pt{}) }

// row reads unit i as a row of rectangles; false where it is not.
func (c *chooser) row(i int) (row, bool) {
	u := &c.units[i]
	var r row
	_, size := u.Outline.Box()
	if len(u.Parts) < 2 || len(u.Joins) != len(u.Parts)-1 || len(u.Outline) != 4 {
		return r, false
	}
	for k, j := range u.Joins {
		upright := j.Seam.A.X.Equal(j.Seam.B.X)
		if !upright && !j.Seam.A.Y.Equal(j.Seam.B.Y) || j.Kind != piecing.Straight || j.A != k || j.B != k+1 {
			return r, false
		}
		if k == 0 {
			r.column = !upright
		} else if r.column == upright {
			return r, false
		}
	}
	r.cross = size.Y.Float()
	if r.column {
		r.cross = size.X.Float()
	}
	for _, p := range u.Parts {
		leaf := &c.units[p.Unit]
		if leaf.Leaf == nil || len(leaf.Outline) != 4 || p.Pose.Turn%90 != 0 {
			return r, false
		}
		lo, hi := box(floats(p.Pose.ApplyPolygon(leaf.Outline)))
		w, h := hi.x-lo.x, hi.y-lo.y
		if r.column {
			w, h = h, w
		}
		if math.Abs(h-r.cross) > 1e-9 || leaf.Shape.Kind != unit.Square && leaf.Shape.Kind != unit.Rectangle {
			return r, false
		}
		r.widths = append(r.widths, w)
	}
	return r, true
}

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
	Months   [][]int // Months[m][b]: how many of block b month m makes; at least one month
	SetMonth int     // the month in which the top is put together
}

// Unit is a unit as it will be made. Units stand in the order of piecing.Result.Units.
type Unit struct {
	piecing.Unit        // parts and joins: of a unit that a batch makes whole, down to its patches
	Made         bool   // it is sewn, or cut, as itself; false: it exists only inside a batch, or not at all
	Method       string // "single" for a patch, else the method's name
	Why          string // code of the reason: count, make, only, print, fit
	Refused      []Refused
	Single       *Blank // of a patch
	Lie          move   // of the patch's piece
	Recipe       *Recipe
	Forced       []int // for each join: -1, or 0 or 1 where the method leaves no choice but to press toward part A or B
	Excess       [2]float64
	Trim         bool
	Months       []Count // one a month
	Spare        int
}

// Refused is a method that would make the unit but was not taken.
type Refused struct{ Method, Why string }

// Count is what a month sews of a unit: batches, and units used by what is sewn from them.
type Count struct{ Batches, Made, Used int }

// Needed is how many units are used in all.
func (u *Unit) Needed() int {
	n := 0
	for _, c := range u.Months {
		n += c.Used
	}
	return n
}

// MadeInAll is how many units are made in all.
func (u *Unit) MadeInAll() int {
	n := 0
	for _, c := range u.Months {
		n += c.Made
	}
	return n
}

// atFirst is how many units are used in the first month that uses any.
func (u *Unit) atFirst() int {
	for _, c := range u.Months {
		if c.Used > 0 {
			return c.Used
		}
	}
	return 0
}

// Batches is how many batches are sewn in all.
func (u *Unit) Batches() int {
	n := 0
	for _, c := range u.Months {
		n += c.Batches
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
	found    diag.List
}

// Choose decides how every unit is made.
func Choose(in Input) ([]Unit, diag.List) {
	c := &chooser{Input: in}
	doc := in.Doc
	c.ruler = ruler{seam: doc.Seam.Float(), mark: doc.Ruler.Float(), ease: Ease(doc.Measure), unit: doc.Measure}
	c.width = doc.Width.Float()
	c.squaring = 0.5
	if doc.Measure == measure.Centimetre {
		c.squaring = 1
	}
	c.units = make([]Unit, len(in.Pieced.Units))
	for i := range c.units {
		c.units[i] = Unit{Unit: in.Pieced.Units[i], Months: make([]Count, len(in.Months))}
	}
	c.inherit()
	c.outward()
	c.choose()
	c.sizes()
	c.recipes()
	return c.units, c.found
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
	if c.Pieced.Top >= 0 {
		c.units[c.Pieced.Top].Months[c.SetMonth].Used = 1
	}
	scheduled := map[int]bool{}
	for b := range c.Blocks {
		if use := c.Pieced.Blocks[b]; use.Unit >= 0 {
			scheduled[use.Unit] = true
			for m := range c.Months {
				c.units[use.Unit].Months[m].Used += c.Months[m][b]
			}
		}
	}
	if c.Pieced.Top >= 0 && scheduled[c.Pieced.Top] {
		c.units[c.Pieced.Top].Months[c.SetMonth].Used-- // the quilt is one block: it is needed once, not twice
	}
	for i := len(c.units) - 1; i >= 0; i-- {
		u := &c.units[i]
		if u.Needed() == 0 {
			continue
		}
		u.Made = true
		c.pick(i)
		c.batches(u)
		for m := range u.Months {
			n := u.Months[m].Batches
			if n == 0 {
				continue
			}
			for _, p := range c.takes(u) {
				if scheduled[p] && u.Role >= piecing.Setting {
					continue // the blocks of the top are made in their own months
				}
				c.units[p].Months[m].Used += n
			}
		}
	}
}

// takes lists the units that one batch takes, one entry a piece.
func (c *chooser) takes(u *Unit) []int {
	if u.Method != "joined" {
		return nil
	}
	out := make([]int, len(u.Parts))
	for i, p := range u.Parts {
		out[i] = p.Unit
	}
	return out
}

// batches rounds what each month needs up to whole batches; what is over is used by a later month. Spare is made with
// the first month, of what is cut or sewn in batches.
func (c *chooser) batches(u *Unit) {
	yield := u.yield()
	if spare := c.makes[0].Spare.Float(); spare > 0 && u.Method != "joined" {
		u.Spare = int(math.Ceil(float64(u.Needed())*spare - 1e-9))
	}
	over, extra := 0, u.Spare
	for m := range u.Months {
		k := &u.Months[m]
		want := k.Used - over
		if k.Used > 0 {
			want, extra = want+extra, 0
		}
		if want > 0 {
			k.Batches = (want + yield - 1) / yield
			k.Made = k.Batches * yield
		}
		over += k.Made - k.Used
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
	directed := c.directed(i)
	n := u.atFirst() // a later month must not change how an earlier one is made
	take := func(method, why string, yield int) {
		c.flatten(i)
		u.Method, u.Why, u.Recipe = method, why, &Recipe{Method: method, Yield: yield}
	}
	refuse := func(method, why string) { u.Refused = append(u.Refused, Refused{method, why}) }
	m := c.makes[i]
	switch u.Shape.Kind {
	case unit.HalfSquare:
		c.flatten(i)
		switch {
		case m.HalfSquares == "singles":
			u.Why = "make"
			refuse("pairs", "make")
		case directed:
			u.Why = "print"
			refuse("pairs", "print")
		case m.HalfSquares == "pairs":
			take("pairs", "make", 2)
		case n >= 2:
			take("pairs", "count", 2)
		default:
			u.Why = "count"
			refuse("pairs", "surplus")
		}
	case unit.FlyingGeese:
		c.flatten(i)
		fours := c.units[u.Parts[1].Unit].Leaf.Fabric == c.units[u.Parts[2].Unit].Leaf.Fabric
		surplus := (4 - n%4) % 4
		switch {
		case m.Geese == "singles":
			u.Why = "make"
		case directed:
			u.Why = "print"
			refuse("fours", "print")
			refuse("flips", "print")
		case m.Geese == "fours" && fours:
			take("fours", "make", 4)
		case m.Geese != "flips" && fours && n >= 3 && surplus*2 <= n:
			take("fours", "count", 4)
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
	case unit.Snowball:
		c.flatten(i)
		if directed {
			u.Why = "print"
			refuse("flips", "print")
		} else {
			take("flips", "only", 1)
		}
	case unit.HalfRectangle:
		c.flatten(i)
	default:
		c.pickStrips(i, n, directed)
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
func (c *chooser) pickStrips(i, n int, directed bool) {
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
		width = math.Min(width, c.Doc.Fabrics[c.units[p.Unit].Leaf.Fabric].Width.Float())
	}
	per := int(math.Floor((width-c.squaring)/seg + 1e-9))
	switch {
	case m.StripSets == "never":
		refuse("make")
	case directed:
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
		u.Recipe = &Recipe{Method: "strip set", Yield: segments(n, per)}
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

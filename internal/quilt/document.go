package quilt

import (
	"quiltwright/internal/diag"
	"quiltwright/internal/exact"
	"quiltwright/internal/measure"
	"quiltwright/internal/plane"
)

// Document is a quilt as its designer describes it: only decisions, nothing computed. Every default is filled in.
type Document struct {
	Title    string
	Designer string
	Version  string
	Date     string // as written, YYYY-MM-DD
	Rights   string
	Contact  string
	Note     string
	Measure  measure.Unit
	Seam     exact.Num
	Ruler    exact.Num
	Width    exact.Num // usable width of cloth
	Shrink   exact.Num // prewash: the part of its length that cloth loses, 0 without
	Fabrics  []Fabric  // in the order written
	Palettes []Palette // other sets of fabrics, in the order written
	Blocks   []*Block  // in the order written
	Set      *Set      // nil: the quilt is the first block that no other block uses
	Finish   Finish
	Make     Make
	Months   []Month
}

// Fabric is one cloth of the quilt.
type Fabric struct {
	At       diag.Pos
	Letter   string
	Name     string
	Color    string // #rrggbb
	Value    Value  // as written, or from the colour
	Swatch   string
	Shows    exact.Num // how much cloth the swatch shows from side to side; 0: as it says itself
	Width    exact.Num // its own usable width, or the document's
	Print    Print
	Upright  Upright
	Sold     Sold
	Have     [][2]exact.Num
	Assorted int
	Motif    *Motif // nil: none that its pieces are centred on
}

// Motif is a figure of a print that stands in rows and columns all over the cloth.
type Motif struct {
	Size  exact.Num    // of a circle that holds it
	Every [2]exact.Num // from one to the next across the cloth and along it; 0: it runs on that way, as a stripe does
}

// Value is how dark a fabric is.
type Value string

// Values of a fabric.
const (
	Light  Value = "light"
	Medium Value = "medium"
	Dark   Value = "dark"
)

// Print says whether the figure of a cloth has a direction.
type Print string

// Kinds of print.
const (
	Plain  Print = "plain"
	TwoWay Print = "two-way"
	OneWay Print = "one-way"
)

// Upright says what a print with a direction stays upright in.
type Upright string

// What a print stays upright in.
const (
	UprightBlock Upright = "block"
	UprightQuilt Upright = "quilt"
)

// Sold is how the shop sells a fabric.
type Sold struct {
	Form  string // bolt | fat quarter | fat eighth | sheet
	Sheet [2]exact.Num
}

// Symmetry repeats lines and fills of a drawn block.
type Symmetry string

// The symmetries of a block.
const (
	QuarterTurns    Symmetry = "quarter turns"
	HalfTurn        Symmetry = "half turn"
	LeftRight       Symmetry = "left-right"
	TopBottom       Symmetry = "top-bottom"
	FallingDiagonal Symmetry = "falling diagonal"
	RisingDiagonal  Symmetry = "rising diagonal"
)

// Block is a block's description: drawn by lines on a grid, or laid out of cells.
type Block struct {
	At     diag.Pos
	Name   string
	Note   string
	Width  exact.Num // finished
	Height exact.Num
	SizeAt diag.Pos // zero: no size given, Width and Height are its steps; it then cannot stand in the set
	Broken bool     // it has errors; what is here is what could be read
	Make   *Make    // nil: as the quilt's
	Press  []Arrow  // which way the writer wants seams pressed

	// Drawn by lines; in grid steps, x right, y down.
	Columns  int // of the grid; 0 for a block of cells
	Rows     int
	Symmetry []Symmetry
	Lines    []Run
	Arcs     []Arc
	Fill     []Fill
	Ground   string // letters, or ""
	GroundAt diag.Pos
	First    []Run

	// Laid out of cells.
	Cells       [][]Cell
	ColumnSizes []exact.Num // proportions, one a column
	RowSizes    []exact.Num
	CellsAt     diag.Pos
}

// Drawn reports whether the block is drawn by lines.
func (b *Block) Drawn() bool { return b.Columns > 0 }

// Run is a line of one or more segments from point to point.
type Run struct {
	At     diag.Pos
	Points []plane.Point
	Places []diag.Pos // of each point
}

// Arc is an arc of a circle, the shorter one from From to To around Centre.
type Arc struct {
	At               diag.Pos
	From, To, Centre plane.Point
}

// Fill gives the patches that hold the points a fabric.
type Fill struct {
	At     diag.Pos
	Fabric string
	Points []plane.Point
	Places []diag.Pos
}

// Cell is what stands in a cell of a block or of the set.
type Cell struct {
	At      diag.Pos
	Fabric  string   // a plain patch of this fabric
	Block   string   // a block's name
	Unit    string   // a unit in the trade's words: goose, half square, ...
	Fabrics []string // of the unit, in the order that docs/format.md gives for it
	Turn    plane.Turn
	Mirror  bool
	Recolor map[string]string
}

// Set is how blocks make the top.
type Set struct {
	At        diag.Pos
	Style     string // straight | on point
	Rows      [][]Cell
	RowPlaces []diag.Pos
	Across    int // repeat
	Down      int
	Sashing   *Sashing
	Triangles *Triangles
	Borders   []Border
	Press     []Arrow // which way the writer wants seams of the top pressed
}

// Sashing is strips between the blocks.
type Sashing struct {
	At      diag.Pos
	Width   exact.Num
	Fabric  string
	Posts   string // "" without posts
	Outside bool
}

// Triangles square up a top that is set on point.
type Triangles struct {
	At     diag.Pos
	Fabric string
	Float  exact.Num
	Block  string // reserved until built
}

// Border is a frame round what is inside it.
type Border struct {
	At      diag.Pos
	Width   exact.Num
	Fabric  string
	Block   string // a pieced border; reserved until built
	Corners string // butted | mitred | square
	Corner  Cell   // what stands in the corner where Corners is square
}

// Finish is what turns a top into a quilt.
type Finish struct {
	Binding *Binding
	Backing *Backing
	Batting *Batting
}

// Binding covers the raw edge.
type Binding struct {
	At     diag.Pos
	Fabric string
	Strip  exact.Num
	Cut    string // straight | bias
}

// Backing is the cloth behind.
type Backing struct {
	At       diag.Pos
	Name     string
	Width    exact.Num
	Overhang exact.Num
}

// Batting is the filling.
type Batting struct {
	At       diag.Pos
	Overhang exact.Num
}

// Make is the choices of construction. In a block "" (and -1 for Spare) means: as the quilt's.
type Make struct {
	At          diag.Pos
	HalfSquares string // auto | singles | pairs | eights
	Hourglass   string // auto | singles | pairs
	Three       string // three-triangle squares: auto | singles | pairs
	Geese       string // auto | singles | fours | flips
	InSquare    string // squares in a square: auto | singles | flips
	StripSets   string // auto | always | never
	LongStrips  string // longer than the cloth is wide: auto | along | straight | diagonal
	Corners     string // of pieces whose points pass what they are sewn to: passing | trimmed
	Fit         string // exact | trim
	FitBy       map[string]string
	Press       string    // nest | dark | open
	Spare       exact.Num // part of the count, 0.05 for 5 %
	Squaring    exact.Num // added to the cloth, a length
	MiscutStrip bool      // the largest strip once more
	Miscut      exact.Num // or a length
	Samples     bool      // cut as well what is shown in a class
}

// Month is one part of the programme.
type Month struct {
	At     diag.Pos
	Title  string
	Opens  string
	Note   string
	Blocks []MonthBlock
	Set    bool
	Finish bool
}

// MonthBlock is a block that a month makes.
type MonthBlock struct {
	At      diag.Pos
	Block   string
	Recolor map[string]string
	Mirror  bool
	Count   int
}

// Sheet is the size of the pieces that a fabric is sold in, width across and height down; ok is false for cloth off the bolt. A fat
// quarter is 18 by 21 in (50 by 55 cm), a fat eighth 9 by 21 (25 by 55); a width that the writer gives the fabric replaces the 21.
// Source: docs/craft.md#cloth.
func (d *Document) Sheet(f Fabric) (w, h exact.Num, ok bool) {
	quarter, eighth, across, most := exact.Int(18), exact.Int(9), exact.Int(21), exact.Int(30)
	if d.Measure == measure.Centimetre {
		quarter, eighth, across, most = exact.Int(50), exact.Int(25), exact.Int(55), exact.Int(75)
	}
	if !f.Width.Equal(d.Width) && f.Width.Less(most) {
		across = f.Width
	}
	switch f.Sold.Form {
	case "fat quarter":
		return across, quarter, true
	case "fat eighth":
		return across, eighth, true
	case "sheet":
		return f.Sold.Sheet[0], f.Sold.Sheet[1], true
	}
	return exact.Num{}, exact.Num{}, false
}

// Longest is how long a strip of a fabric can be: across the cloth, or along the longer side of a piece that is bought.
func (d *Document) Longest(f Fabric) exact.Num {
	w, h, ok := d.Sheet(f)
	if !ok {
		return f.Width
	}
	return exact.Max(w, h)
}

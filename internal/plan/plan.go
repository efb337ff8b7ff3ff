// Package plan is the result of compiling a quilt document: one value, complete enough that
// another program can check it, draw it or sew it without this one.
//
// It holds data only: types, their JSON form and the JSON Schema (Schema). What comes before it
// (draft, set, piecing, method, press, sew, cut) fills it in; what comes after it (prove, words,
// figure, book) reads it and nothing else. docs/plan.md explains every key and the meaning of
// every operation of a recipe.
//
// Lengths are numbers in the measure of the document. x runs right, y runs down.
package plan

// Plan is the root value.
type Plan struct {
	Format   int    `json:"format"`
	Complete bool   `json:"complete"` // false: the document has errors; the plan holds what came out well
	Quilt    string `json:"quilt"`
	Designer string `json:"designer,omitempty"`
	Version  string `json:"version,omitempty"`
	Date     string `json:"date,omitempty"`
	Rights   string `json:"rights,omitempty"`
	Contact  string `json:"contact,omitempty"`
	Note     string `json:"note,omitempty"`
	Measure  string `json:"measure"` // inch | cm
	Seam     Num    `json:"seam"`
	Ruler    Num    `json:"ruler"`
	Ease     Num    `json:"ease"` // the largest difference that is eased in: 1/32 in, 0.08 cm
	Finished Size   `json:"finished"`

	Findings []Finding `json:"findings"`
	Blocks   []Block   `json:"blocks"`
	Drawn    []Drawn   `json:"drawn"`
	Top      string    `json:"top"` // unit id of the sewn top
	Placed   []Placed  `json:"placed"`
	Layout   Layout    `json:"layout"`
	Units    []Unit    `json:"units"`
	Recipes  []Recipe  `json:"recipes"`
	Pieces   []Piece   `json:"pieces"`
	Fabrics  []Fabric  `json:"fabrics"`
	Finish   Finish    `json:"finish"`
	Press    Press     `json:"press"`
	Months   []Month   `json:"months"`
	Steps    []Step    `json:"steps"`
	Choices  []Choice  `json:"choices"` // which method made what, and why others were not offered
	Proof    *Proof    `json:"proof,omitempty"`
}

// Num is a length, printed with at most six decimals.
type Num float64

// Point is [x, y].
type Point [2]Num

// Vertex is [x, y], or [x, y, bulge] where the edge that follows is an arc.
type Vertex struct{ X, Y, Bulge Num }

// Size is a width and a height.
type Size struct {
	Width  Num `json:"width"`
	Height Num `json:"height"`
}

// Place is a position in the document, both counted from one.
type Place struct {
	Line   int `json:"line"`
	Column int `json:"column"`
}

// Finding is something a person should know: an error, a warning or a hint.
type Finding struct {
	Severity string `json:"severity"` // error | warning | hint
	Code     string `json:"code"`
	At       *Place `json:"at,omitempty"`
	Block    string `json:"block,omitempty"`
	Point    *Point `json:"point,omitempty"`
	Unit     string `json:"unit,omitempty"`
	Piece    string `json:"piece,omitempty"`
	Says     string `json:"says"`
	Remedy   string `json:"remedy,omitempty"`
}

// Block is a block as it is made: one name, one size, one set of fabrics, one hand.
type Block struct {
	ID       string            `json:"id"`
	Name     string            `json:"name"`
	Recolor  map[string]string `json:"recolor"`
	Mirror   bool              `json:"mirror"`
	Upright  int               `json:"upright"` // degrees the print is turned in the block so that it stays up in the quilt
	Finished Size              `json:"finished"`
	Made     int               `json:"made"`
	Patches  int               `json:"patches"`
	Straight int               `json:"straight"` // joins of each kind, in one block
	Partial  int               `json:"partial"`
	SetIn    int               `json:"setIn"`
	Curved   int               `json:"curved"`
	Unit     string            `json:"unit"`
	Lie      *Pose             `json:"lie,omitempty"` // how the unit's frame lies in the block's, where they differ
	Note     string            `json:"note,omitempty"`
}

// Drawn is one patch as the document draws it: the target of the proof.
type Drawn struct {
	Of      string   `json:"of"` // "block b3", or "top" for sashing, posts, borders and triangles
	Fabric  string   `json:"fabric"`
	Outline []Vertex `json:"outline"`      // clockwise as seen, in the frame of the block or of the top
	Up      *int     `json:"up,omitempty"` // where the print points: degrees clockwise from up; absent for a plain print
	Leaf    []int    `json:"leaf"`         // part numbers from the root unit of the block, or of the top, down to the patch
}

// Placed is a block in the top.
type Placed struct {
	Block  string `json:"block"`
	At     Point  `json:"at"`
	Turn   int    `json:"turn"`
	Mirror bool   `json:"mirror"`
	Row    int    `json:"row"` // counted from 1, as printed on the layout
	Column int    `json:"column"`
	Leaf   []int  `json:"leaf"` // part numbers from the unit of the top to the unit of the block
}

// Pose is where the block lies in the frame of the top.
func (p *Placed) Pose() Pose { return Pose{p.At, Num(p.Turn), p.Mirror} }

// Layout says how the blocks are set.
type Layout struct {
	Style   string `json:"style"` // straight | on point | one block
	Rows    int    `json:"rows"`
	Columns int    `json:"columns"`
}

// Unit is a distinct sewn thing. Leaves come first: a part always stands before the unit it is in.
type Unit struct {
	ID      string   `json:"id"`
	Key     string   `json:"key"`            // of its content: equal in every plan that holds an equal unit
	Kind    string   `json:"kind"`           // patch, half square, ..., row, block, top, or a shape's name
	Name    string   `json:"name,omitempty"` // a block's name, "row 3", "border 1"
	Outline []Vertex `json:"outline"`        // finished, clockwise as seen, its box at 0,0
	Size    Size     `json:"finished"`

	Fabric string `json:"fabric,omitempty"` // of a patch
	Up     *int   `json:"up,omitempty"`     // of a patch with a print that has a direction
	Piece  string `json:"piece,omitempty"`  // of a patch that is cut as a piece of its own
	Lie    *Pose  `json:"lie,omitempty"`    // how that piece's frame lies in this unit's

	Parts []Part `json:"parts,omitempty"`
	Joins []Join `json:"joins,omitempty"`
	Tips  []Tip  `json:"tips,omitempty"` // points of its parts that are trimmed before anything is sewn

	Needed  int         `json:"needed"`
	Made    int         `json:"made"`
	Spare   int         `json:"spare"`
	Surplus int         `json:"surplus"`
	Recipe  string      `json:"recipe,omitempty"`
	Months  []UnitMonth `json:"months,omitempty"`
	Trim    *Trim       `json:"trim,omitempty"` // of a rectangle that its recipe trims
	Web     *Web        `json:"web,omitempty"`  // of a block: it can be sewn as a web of so many rows and columns
	Bulk    []Crossing  `json:"bulk,omitempty"`
	Excess  Size        `json:"excess"` // how much wider and higher than finished it comes out, after any trim
}

// Tip is a point that is cut off a part, so that its raw edge ends where that of what it is sewn to does.
type Tip struct {
	Part  int      `json:"part"`
	Line  [2]Point `json:"line"`  // the cut, in the unit's frame: what lies to its left is kept
	In    Num      `json:"in"`    // from the point, along the raw edge that is sewn
	Angle Num      `json:"angle"` // degrees between that edge and the cut
}

// Crossing is a point inside a unit where seams end on one of its joins, and the most layers of cloth there. Those inside its parts stand with the
// parts.
type Crossing struct {
	At     Point `json:"at"`
	Layers int   `json:"layers"`
	Other  int   `json:"other,omitempty"` // where the unit is made the other way
}

// Trim is how a unit is trimmed to its finished size and the seams round it.
type Trim struct {
	From   *Size   `json:"from,omitempty"`   // raw edge to raw edge, as sewn; absent where rounding has turned its seams, and its edges with them
	Meets  []Meet  `json:"meets"`            // where seams meet the trimmed edge
	Points []Point `json:"points,omitempty"` // finished places on the outline where seams cross, a seam in from the trimmed edge
}

// Meet is where a seam meets a trimmed edge, in the unit's frame, and how far that is from the nearest corner of what is trimmed.
type Meet struct {
	At   Point `json:"at"`
	From Num   `json:"from"`
}

// Web is how many rows and columns a block has whose seams all run through, each pressed against the next.
type Web struct {
	Rows    int `json:"rows"`
	Columns int `json:"columns"`
}

// UnitMonth is how many of a unit are made and used in a month. Carried = made so far - used so far.
type UnitMonth struct {
	Month int `json:"month"`
	Made  int `json:"made"`
	Used  int `json:"used"`
}

// Pose moves a frame: mirrored left to right first (x becomes -x), then turned clockwise as seen
// about the frame's origin, then moved by At.
type Pose struct {
	At     Point `json:"at"`
	Turn   Num   `json:"turn"`
	Mirror bool  `json:"mirror"`
}

// Part is a use of a unit in another.
type Part struct {
	Unit   string `json:"unit"`
	At     Point  `json:"at"`
	Turn   Num    `json:"turn"`
	Mirror bool   `json:"mirror"`
	Way    int    `json:"way,omitempty"` // 1: where the part is made both ways, it is of the other way than what it is in
}

// Pose is where the part lies in the frame of the unit that it is in.
func (p *Part) Pose() Pose { return Pose{p.At, p.Turn, p.Mirror} }

// Join is one seam between two parts of a unit. Joins stand in the order of sewing.
type Join struct {
	Parts   [2]int   `json:"parts"`
	Kind    string   `json:"kind"`           // straight | partial | set in | curved
	Seam    [2]Point `json:"seam"`           // finished seam line in the unit's frame
	Press   string   `json:"press"`          // "toward 3" (a part of this unit), "open"
	Spun    []Point  `json:"spun,omitempty"` // the crossings at which it is spun, in order along it: it lies as Press says up to the first, and turns over at each
	Split   []Split  `json:"split,omitempty"`
	Top     int      `json:"top"`               // the part that lies on top at the machine
	Watched string   `json:"watched,omitempty"` // why that one: it has points | seams on the seam line, the other has none; "": as it was laid
	Watch   []Point  `json:"watch,omitempty"`   // those points, finished places: seams of the top meet there, and the needle must hit them
	Align   []Align  `json:"align,omitempty"`
	Usual   string   `json:"usual,omitempty"` // the method whose teachers press toward the second part
}

// Split says that a unit is made in two batches pressed opposite ways.
type Split struct {
	Press string  `json:"press"`
	Spun  []Point `json:"spun,omitempty"`
	Made  int     `json:"made"`
}

// Align says that at one end of a seam (0 where it begins, 1 where it ends) the raw edge of a part passes the other's.
type Align struct {
	End  int `json:"end"`
	Part int `json:"part"`
	Past Num `json:"past"`
}

// Recipe is how one batch is made. See docs/plan.md for the machine that it is a program of.
type Recipe struct {
	ID      string       `json:"id"`
	Method  string       `json:"method"`
	Unit    string       `json:"unit"`          // the unit it is a recipe for
	Way     int          `json:"way,omitempty"` // 1: the second of two recipes that differ in pressing only
	Batches int          `json:"batches"`
	Makes   []Makes      `json:"makes"`
	From    []From       `json:"from"`
	Do      []Op         `json:"do"`
	Gives   []Gives      `json:"gives"`
	Months  []BatchMonth `json:"months,omitempty"`
}

// BatchMonth is how many batches of a recipe are sewn in a month.
type BatchMonth struct {
	Month   int `json:"month"`
	Batches int `json:"batches"`
}

// Makes is how many of a unit one batch yields.
type Makes struct {
	Unit  string `json:"unit"`
	Count int    `json:"count"`
}

// From is what one batch takes: so many of a piece or of a unit. Counted out in order they are parts 0, 1, 2 ...
type From struct {
	Piece string `json:"piece,omitempty"`
	Unit  string `json:"unit,omitempty"`
	Count int    `json:"count"`
}

// Gives names a work that is finished when the recipe ends, and where the work's frame lies in the unit's frame.
type Gives struct {
	Work int    `json:"work"`
	Unit string `json:"unit"`
	Pose
}

// Op is one operation of a recipe. Which fields it has depends on Op; docs/plan.md lists them.
type Op struct {
	Op        string    `json:"op"` // lay | mark | stitch | cut | press | trim
	Work      int       `json:"work"`
	Part      int       `json:"part,omitempty"`      // lay: the work that is laid on Work
	At        *Point    `json:"at,omitempty"`        // lay
	Turn      Num       `json:"turn,omitempty"`      // lay
	Face      string    `json:"face,omitempty"`      // lay: down
	Line      *[2]Point `json:"line,omitempty"`      // mark, cut
	Along     *[2]Point `json:"along,omitempty"`     // stitch
	Offset    Num       `json:"offset,omitempty"`    // stitch by a line: how far to the right of it, walking along it
	Allowance Num       `json:"allowance,omitempty"` // stitch by the raw edge: how far in from it
	Partial   bool      `json:"partial,omitempty"`   // stitch: stops before the end of the raw edges on purpose
	Dots      []int     `json:"dots,omitempty"`      // stitch by the raw edge: ends of Along (0, 1) at which the needle stops at the crossing of the seams, not at the raw edge
	Fold      bool      `json:"fold,omitempty"`      // stitch: both sides already lie in place; their raw edges are brought together
	Every     Num       `json:"every,omitempty"`     // cut: Times equal segments, each so wide, the first ending at Line
	Times     int       `json:"times,omitempty"`
	Seam      int       `json:"seam,omitempty"`   // press: the number of the stitch
	Toward    *int      `json:"toward,omitempty"` // press: part number; absent: open
	Spun      []Point   `json:"spun,omitempty"`   // press: crossings on the seam, in order along it: the allowance lies toward Toward up to the first, and turns over at each
	To        []Point   `json:"to,omitempty"`     // trim
}

// Piece is a line of the cutting list.
type Piece struct {
	Label      string       `json:"label"`
	Key        string       `json:"key"`
	Fabric     string       `json:"fabric"`
	Shape      string       `json:"shape"` // rectangle | half square | quarter square | half rectangle | parallelogram | triangle 60 | strip | joined strip | template
	Hand       string       `json:"hand"`  // "" or "R": the mirror image of the shape
	Width      Num          `json:"width"`
	Height     Num          `json:"height"`
	Exact      [2]Num       `json:"exact"`
	Cut        int          `json:"cut"`    // blanks
	Each       int          `json:"each"`   // pieces from a blank
	Yields     int          `json:"yields"` // Cut × Each
	Needed     int          `json:"needed"`
	Spare      int          `json:"spare"`
	Samples    int          `json:"samples,omitempty"` // pieces for the samples to show
	Surplus    int          `json:"surplus"`
	Months     []PieceMonth `json:"months"`
	Outline    []Vertex     `json:"outline"`              // raw outline of one piece in its frame, where the shape's word does not fix it
	Grain      string       `json:"grain"`                // along | across | either | bias: the side that is Height, on the straight grain
	Turnable   bool         `json:"turnable"`             // may the blank be cut a quarter turn round
	ForUnits   []string     `json:"for"`                  // units that use it
	JoinedFrom int          `json:"joinedFrom,omitempty"` // strips joined end to end for one "joined strip"
	JoinedBy   string       `json:"joinedBy,omitempty"`   // straight | diagonal: the seams that join them
	Trimmed    bool         `json:"trimmed,omitempty"`    // a later step trims what it makes, so it may be cut generously
	Bias       []int        `json:"bias,omitempty"`       // edges off the straight grain, which stretch: number k of them runs from corner k of the piece's outline to the next
	Up         *int         `json:"up,omitempty"`         // of a print with a direction: where it points in the piece's frame
	Motif      *Point       `json:"motif,omitempty"`      // it is centred on a motif, which stands here in the piece's frame
	Measured   bool         `json:"measured,omitempty"`   // its length is measured through one's own top; what is laid is longer
}

// PieceMonth is the number of blanks cut in a month.
type PieceMonth struct {
	Month int `json:"month"`
	Cut   int `json:"cut"`
}

// Fabric is one fabric's materials and cutting.
type Fabric struct {
	Letter   string  `json:"letter"`
	Name     string  `json:"name"`
	Color    string  `json:"color"`
	Swatch   string  `json:"swatch,omitempty"`
	Value    string  `json:"value"`
	Print    string  `json:"print"`
	Width    Num     `json:"width"`
	Length   Num     `json:"length"`
	Bound    Num     `json:"bound"`
	Optimal  bool    `json:"optimal"`
	Rules    string  `json:"rules"`
	Stages   int     `json:"stages,omitempty"` // of Layout: 2 strips and cross-cuts, 3 a segment is cut again; not said, 2
	Assorted int     `json:"assorted,omitempty"`
	Motif    *Motif  `json:"motif,omitempty"` // that some of its pieces are centred on
	Buy      Buy     `json:"buy"`
	Sheets   int     `json:"sheets,omitempty"`
	Layout   []Stock `json:"layout"`
	Strips   []Strip `json:"strips"`

	Instead []Instead      `json:"instead,omitempty"` // what would be bought if it were cut otherwise
	Precuts []Precut       `json:"precuts,omitempty"` // whether it comes out of precuts; only where that was asked for
	Monthly []MonthCutting `json:"monthly,omitempty"` // of a programme: how it is cut by those who learn of one month after the other
}

// Motif is a figure that stands in rows and columns all over a cloth.
type Motif struct {
	Size  Num    `json:"size"`  // of a circle that holds it
	Every [2]Num `json:"every"` // from one to the next across the cloth and along it; 0: it runs on that way
}

// Instead is what would be bought if a fabric were cut otherwise.
type Instead struct {
	Way    string `json:"way"`             // along: strips longer than the cloth is wide are cut along the selvage | joined: from strips across | pieced: borders that would be whole are joined, too | binding along | binding across | width | make
	Joins  int    `json:"joins,omitempty"` // of a way of cutting the binding: how often it is joined then
	Width  Num    `json:"width,omitempty"` // of way width: of the cloth
	Make   string `json:"make,omitempty"`  // of way make: the choice of construction, as a document has it
	Amount Num    `json:"amount"`
	Unit   string `json:"unit"`
}

// Precut says whether a fabric's pieces come out of cloth that is sold ready cut: Count of them, or TooLarge names a piece that does not fit.
type Precut struct {
	Of       string `json:"of"`     // strip | square | fat quarter
	Size     [2]Num `json:"size"`   // across and along the cloth
	Usable   [2]Num `json:"usable"` // without pinked edges
	Count    int    `json:"count,omitempty"`
	TooLarge string `json:"tooLarge,omitempty"`
}

// MonthCutting is how a month's pieces are cut from what earlier months have left, then from new cloth.
type MonthCutting struct {
	Month  int     `json:"month"`
	Length Num     `json:"length"` // off the bolt
	Layout []Stock `json:"layout"`
	Strips []Strip `json:"strips"`
}

// Buy is what to ask for in a shop, and the margins in it.
type Buy struct {
	Amount   Num    `json:"amount"`
	Unit     string `json:"unit"` // yd | cm | fat quarter | ...
	Squaring Num    `json:"squaring"`
	Miscut   Num    `json:"miscut"`
	Shrink   Num    `json:"shrink"`
	Monthly  Num    `json:"monthly,omitempty"` // what cutting month by month takes more: a length, or sheets
	Binding  Num    `json:"binding"`           // part of Length that is binding strips
	Motif    Num    `json:"motif,omitempty"`   // part of Length for where the first row of motifs stands: a repeat for each stretch with pieces centred on motifs
}

// Stock is a cut of the layout: a rectangle taken off the bolt, a sheet that is bought, or a piece from the shelf.
type Stock struct {
	Stock string `json:"stock"`           // bolt | sheet | shelf: a piece at hand | left: what an earlier month has left over
	Cut   string `json:"cut"`             // across | along
	At    Num    `json:"at"`              // the strip's height
	Motif bool   `json:"motif,omitempty"` // all that is cut of it is centred on motifs
	First *Node  `json:"first"`
}

// Node is a rectangle of the layout and how it is cut up.
type Node struct {
	Cut    string  `json:"cut,omitempty"`
	Parts  []Node  `json:"parts,omitempty"`
	Piece  string  `json:"piece,omitempty"`
	Month  int     `json:"month,omitempty"`
	Turned bool    `json:"turned,omitempty"`
	Round  bool    `json:"round,omitempty"` // in a nested row: it lies half a turn round
	Left   *[2]Num `json:"left,omitempty"`
	Width  Num     `json:"width"`
	Height Num     `json:"height"`
}

// Strip is the layout read as a person cuts it: Count strips alike.
type Strip struct {
	Along  string `json:"along"` // width | length
	Height Num    `json:"height"`
	Length Num    `json:"length"`
	Count  int    `json:"count"`
	Cuts   []Cuts `json:"cuts"`
	Left   Num    `json:"left"` // what is left at the end of each strip

	Month int      `json:"month,omitempty"` // of a programme that is cut all at once: the first month that needs anything of it
	Later []string `json:"later,omitempty"` // labels of what of it waits for later months

	From string  `json:"from,omitempty"` // the cloth it is cut from, where that is not the bolt: sheet | shelf | left, as in Stock
	Of   *[2]Num `json:"of,omitempty"`   // the size of that cloth
}

// StripsOf is the strips of a month as those cut them who learn of one month after the other; of the whole quilt where month
// is 0.
func (f *Fabric) StripsOf(month int) []Strip {
	if month == 0 {
		return f.Strips
	}
	for i := range f.Monthly {
		if f.Monthly[i].Month == month {
			return f.Monthly[i].Strips
		}
	}
	return nil
}

// Cuts is a run of equal blanks along a strip.
type Cuts struct {
	Label  string `json:"label"`
	Count  int    `json:"count"`
	Turned bool   `json:"turned"`
	Width  Num    `json:"width"`            // along the strip
	Height Num    `json:"height,omitempty"` // across the strip, of what is cut from a segment that is cut again
	Row    Num    `json:"row,omitempty"`    // of pieces that lie end to end with their slants side by side: how much of the strip all of them take
	Round  bool   `json:"round,omitempty"`  // of such a row: every second one lies half a turn round
	Gap    Num    `json:"gap,omitempty"`    // cloth passed over after each of them, to what is cut about the next motif
	Below  bool   `json:"below,omitempty"`  // under the run before it, in the same segments: it takes no more of the strip
}

// Takes is how much of a strip they take.
func (c Cuts) Takes() Num {
	if c.Row > 0 {
		return c.Row
	}
	return Num(c.Count) * (c.Width + c.Gap)
}

// Segments are the cuts of a strip side by side, each with what is cut below it from the same segments.
func (s *Strip) Segments() [][]Cuts {
	var out [][]Cuts
	first := 0
	for i := 1; i <= len(s.Cuts); i++ {
		if i == len(s.Cuts) || !s.Cuts[i].Below {
			out = append(out, s.Cuts[first:i])
			first = i
		}
	}
	return out
}

// Runs are the parts of a segment, equal ones that follow one another together.
func Runs(segment []Cuts) [][]Cuts {
	var out [][]Cuts
	first := 0
	for i := 1; i <= len(segment); i++ {
		if i == len(segment) || segment[i].Label != segment[first].Label || segment[i].Turned != segment[first].Turned {
			out = append(out, segment[first:i])
			first = i
		}
	}
	return out
}

// Finish is binding, backing and batting.
type Finish struct {
	Binding *Binding `json:"binding,omitempty"`
	Backing *Backing `json:"backing,omitempty"`
	Batting *Batting `json:"batting,omitempty"`
}

// Binding is the strips that bind the edge.
type Binding struct {
	Fabric string `json:"fabric"`
	Cut    string `json:"cut"` // straight | bias
	Strip  Num    `json:"strip"`
	Length Num    `json:"length"` // needed, extra included
	Extra  Num    `json:"extra"`
	Strips int    `json:"strips"`
	Joins  int    `json:"joins"`
	Square Num    `json:"square,omitempty"` // bias: side of the square it is cut from
	Along  Num    `json:"along,omitempty"`  // straight, cut along the selvage: how long each strip is; else as long as the cloth is wide
}

// Backing is the cloth behind the quilt.
type Backing struct {
	Name     string `json:"name"`
	Width    Num    `json:"width"` // usable
	Overhang Num    `json:"overhang"`
	Size     Size   `json:"size"`
	Panels   int    `json:"panels"`
	Seams    string `json:"seams"` // vertical | horizontal | none
	Panel    Num    `json:"panel"` // length of each panel
	Length   Num    `json:"length"`
	Amount   Num    `json:"amount"`
	Unit     string `json:"unit"`

	Instead []Instead `json:"instead,omitempty"` // as of a fabric
}

// Batting is the filling.
type Batting struct {
	Overhang Num  `json:"overhang"`
	Size     Size `json:"size"`
}

// Press sums up the pressing.
type Press struct {
	Meetings int       `json:"meetings"`
	Nested   int       `json:"nested"`
	Open     int       `json:"open"`
	Same     int       `json:"same"` // cannot nest: named in Unmet
	Cost     int       `json:"cost"`
	Bound    int       `json:"bound"`
	Optimal  bool      `json:"optimal"`
	Unmet    []Meeting `json:"unmet"`
}

// Meeting is a point of a join where seams of both sides end.
type Meeting struct {
	Unit  string `json:"unit"`
	Join  int    `json:"join"`
	Point Point  `json:"point"`
	Is    string `json:"is"`             // nested | open | same
	Why   string `json:"why,omitempty"`  // ring | writer: a ring that the writer's arrows close | dearer: something else would cost more
	Ring  []Seam `json:"ring,omitempty"` // seams that meet one after the other, the last the first again, an odd number of which cannot all nest
}

// Seam is a join of a unit.
type Seam struct {
	Unit string `json:"unit"`
	Join int    `json:"join"`
}

// Month is a part of the programme; a quilt without one has one month with Number 1 and no title.
type Month struct {
	Number int          `json:"number"`
	Title  string       `json:"title"`
	Opens  string       `json:"opens,omitempty"`
	Note   string       `json:"note,omitempty"`
	Blocks []MonthBlock `json:"blocks"`
	Set    bool         `json:"set"`
	Finish bool         `json:"finish"`

	Samples []Sample `json:"samples,omitempty"` // to show in a class, where the document asks for them
}

// Sample is what is shown of a unit: one as it is after each of these operations of its recipe. What a batch is cut into is shown at
// different stages.
type Sample struct {
	Unit    string        `json:"unit"`
	Recipe  string        `json:"recipe"`
	After   []int         `json:"after"`
	Batches int           `json:"batches"`
	Pieces  []SamplePiece `json:"pieces"` // that these batches take, also what their parts are made of
}

// SamplePiece is so many of a piece.
type SamplePiece struct {
	Piece string `json:"piece"`
	Count int    `json:"count"`
}

// MonthBlock is how many of a block a month makes.
type MonthBlock struct {
	Block string `json:"block"`
	Count int    `json:"count"`
}

// Step is one thing to do at table, machine or iron, in the order of work.
type Step struct {
	Month   int     `json:"month"`
	Chain   int     `json:"chain"` // steps of one chain are fed through together
	Stage   string  `json:"stage"` // cut | unit | row | block | top | border | finish
	Unit    string  `json:"unit"`  // what is being made
	Recipe  string  `json:"recipe,omitempty"`
	First   int     `json:"op"`    // first operation of the recipe that this step carries out
	Last    int     `json:"last"`  // and the last
	Count   int     `json:"count"` // how many times: batches
	Makes   int     `json:"makes"` // units finished by this step
	Says    Says    `json:"says"`
	Size    *[2]Num `json:"size,omitempty"` // afterwards, raw edge to raw edge, where the work is a rectangle
	Out     Num     `json:"out"`            // it may be out by so much
	Surplus int     `json:"surplus,omitempty"`
	Also    []Also  `json:"also,omitempty"` // other units that the last step of a recipe finishes
}

// Also is another unit that a step finishes: so many, and so many of them are left over in the end.
type Also struct {
	Unit    string `json:"unit"`
	Makes   int    `json:"makes"`
	Surplus int    `json:"surplus,omitempty"`
}

// Says is what words turn into a sentence: a verb and what it is about. Every value is computed.
type Says struct {
	Verb   string   `json:"verb"`             // of the first operation; without a recipe: measure, and for the finishing back, layer, even, lengthen, bind
	Parts  []string `json:"parts,omitempty"`  // labels of pieces or ids of units, in the order laid
	Toward string   `json:"toward,omitempty"` // label or unit id; "open"
	Width  Num      `json:"width,omitempty"`
	Count  int      `json:"count,omitempty"`
	Form   string   `json:"form,omitempty"` // which sentence of the verb
}

// Choice says which method makes a unit, and why the others do not.
type Choice struct {
	Unit    string    `json:"unit"`
	Method  string    `json:"method"`
	Why     string    `json:"why"` // code: count, make, only, print, motif, fit, surplus
	Refused []Refused `json:"refused,omitempty"`
}

// Refused is a method not taken.
type Refused struct {
	Method string `json:"method"`
	Why    string `json:"why"`
}

// Proof is what prove found. prove itself ignores it.
type Proof struct {
	Holds    bool      `json:"holds"`
	Ease     Num       `json:"ease"`
	Short    Num       `json:"short"`
	Excess   Num       `json:"excess"`
	Checked  int       `json:"checked"`
	Findings []Finding `json:"findings"`
}

// Package scene is a display list: what stands on a page or in a drawing, independent of any
// device. book and figure make scenes; scene/svg and scene/pdf write them. It knows paths, hatches,
// lines of text and pictures, the structure a screen reader follows, and nothing about quilts.
//
// Lengths are points on paper (Pt, 1/72 in), x to the right, y down, the origin at the top left.
// A value of any type here may be copied and reused freely; writers never change what they are given.
//
//	d := scene.Drawing{W: 100, H: 60, Alt: "a square"}
//	d.Add(scene.Rect(10, 10, 40, 40).Filled(scene.Hex("#46525f")).Stroked(scene.Ink, 0.6))
//	d.Add(scene.Label(scene.Point{X: 30, Y: 33}, 9, scene.Bold, scene.White, scene.Middle, "A4"))
package scene

import "strconv"

// Pt is a length on paper: a point, 1/72 in. It is never a length of cloth; whoever draws cloth
// multiplies by a scale and says so.
type Pt float64

// Lengths of paper in points.
const (
	Inch       Pt = 72
	Centimetre Pt = 72 / 2.54
)

// Point is a place on a page or in a drawing.
type Point struct{ X, Y Pt }

// Color is opaque RGB. The zero value is no colour: nothing is painted.
type Color struct {
	R, G, B uint8
	Set     bool
}

// RGB returns the colour of the three parts.
func RGB(r, g, b uint8) Color { return Color{r, g, b, true} }

// Hex returns the colour written #rrggbb or #rgb, and no colour for anything else.
func Hex(s string) Color {
	if len(s) == 4 && s[0] == '#' {
		s = string([]byte{'#', s[1], s[1], s[2], s[2], s[3], s[3]})
	}
	if len(s) != 7 || s[0] != '#' {
		return Color{}
	}
	v, err := strconv.ParseUint(s[1:], 16, 32)
	if err != nil {
		return Color{}
	}
	return RGB(uint8(v>>16), uint8(v>>8), uint8(v))
}

// Luma returns how light a colour looks, 0 (black) to 1 (white).
func (c Color) Luma() float64 {
	return (0.2126*float64(c.R) + 0.7152*float64(c.G) + 0.0722*float64(c.B)) / 255
}

// Mix returns the colour that lies t of the way from c to d.
func (c Color) Mix(d Color, t float64) Color {
	m := func(a, b uint8) uint8 { return uint8(float64(a) + (float64(b)-float64(a))*t + 0.5) }
	return RGB(m(c.R, d.R), m(c.G, d.G), m(c.B, d.B))
}

// The ink of the pages and drawings: nearly black, warm greys, and one accent.
var (
	Ink   = Hex("#1f2328") // text and outlines
	Grey  = Hex("#6b6660") // what is secondary
	Soft  = Hex("#a39c93") // leftovers, dashed outlines, hatches
	Hair  = Hex("#d9d4cd") // hairlines
	Mist  = Hex("#f2efea") // a soft ground
	White = Hex("#ffffff")
	Ember = Hex("#c8502a") // needle lines, numbers of steps, what to watch
)

// Item is anything that can stand in a drawing: Path, Text, Image or Group.
type Item interface{ item() }

func (Path) item()  {}
func (Text) item()  {}
func (Image) item() {}
func (Group) item() {}

// Drawing is a scene in a box from 0,0 to W,H. Items are painted in order.
type Drawing struct {
	W, H  Pt
	Items []Item
	Alt   string // what it shows, for those who do not see it
}

// Add appends items.
func (d *Drawing) Add(items ...Item) { d.Items = append(d.Items, items...) }

// Placed returns the drawing as a figure whose top left corner stands at x, y.
func (d Drawing) Placed(x, y Pt) Group {
	return Group{At: Point{x, y}, Items: d.Items, Tag: Figure, Alt: d.Alt, W: d.W, H: d.H}
}

// Group is items that move, are clipped or are read out together.
type Group struct {
	At    Point   // where the group's origin stands in the frame around it
	Scale float64 // 0 means 1
	Clip  *Path   // in the group's frame; nil: no clip
	Items []Item

	Tag  Tag    // what it is for a reader; "" is no structure of its own
	Alt  string // of a figure
	W, H Pt     // the frame that the group's text must not leave; 0: no frame

	Link string // of Tag Link: "#mark" or a full address
	Mark string // a place that links and bookmarks can name; unique within a document
}

// Tag is a part of a document's structure, in PDF's own words.
type Tag string

// The tags in use. Artifact marks what is not read out: feet, rules, repeated headers.
const (
	Section    Tag = "Sect"
	Heading1   Tag = "H1"
	Heading2   Tag = "H2"
	Heading3   Tag = "H3"
	Paragraph  Tag = "P"
	List       Tag = "L"
	ListItem   Tag = "LI"
	ListBody   Tag = "LBody"
	ListLabel  Tag = "Lbl"
	Table      Tag = "Table"
	TableRow   Tag = "TR"
	TableHead  Tag = "TH"
	TableCell  Tag = "TD"
	Figure     Tag = "Figure"
	Link       Tag = "Link"
	BlockQuote Tag = "BlockQuote"
	Artifact   Tag = "Artifact"
)

// Image is a picture, drawn to fill its box.
type Image struct {
	X, Y, W, H Pt
	Data       []byte // a JPEG or PNG file
	Alt        string
}

// Document is pages with what stands in a file beside them. It holds no clock: Date is the
// caller's, as printed ("2027-01-08").
type Document struct {
	Title    string
	Author   string
	Subject  string
	Lang     string // "en" where empty
	Date     string // year-month-day, or empty
	Pages    []Page
	Contents []Bookmark
}

// Page is one page of a document.
type Page struct {
	W, H  Pt
	Items []Item
}

// Bookmark is an entry of the outline beside the pages. Level counts from 1.
type Bookmark struct {
	Title string
	Mark  string // the Mark of a group on some page
	Level int
}

// Paper sizes.
var (
	Letter = [2]Pt{612, 792}
	A4     = [2]Pt{595.276, 841.89}
)

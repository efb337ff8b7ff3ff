// Package unit recognises the units of the trade from geometry alone: given the outline of a region and the patches in
// it, Recognise says that it is a half square, a flying goose, a nine-patch, or, where it is none of these, which plane
// shape it has.
//
// It is asked by piecing, for every region that a block can be taken apart into, and by method, which knows how each
// kind is made. It knows neither fabrics nor seams: whether two patches are of one cloth is the caller's business.
//
// Each kind has an upright frame of its own, its box at 0,0, x to the right and y down, in which its patches have a
// fixed order, the roles:
//
//	square              the patch.                                          Measures: side
//	rectangle           the patch; lying, wider than high.                  Measures: width, height
//	half square         top left, bottom right; the seam rises to the       Measures: side
//	                    top right corner
//	hourglass           top, right, bottom, left                            Measures: side
//	three triangles     the large one top left; right; bottom.              Measures: side
//	                    Its hand is in the fabrics of the small ones.
//	half rectangle      top left, bottom right; higher than wide, the seam  Measures: width, height
//	                    rises to the top right corner; Mirror: the seam
//	                    falls
//	flying geese        the goose, its point at the middle of the top;      Measures: width, height
//	                    the sky on the left, on the right
//	square in a square  the centre, then the corners: top left, top right,  Measures: side
//	                    bottom right, bottom left
//	snowball            the base, then the corners as before, -1 where one  Measures: width, height, leg
//	                    is not cut off; lying where it is no square
//	four-patch          row by row                                          Measures: side
//	nine-patch          row by row                                          Measures: side
//	rail fence          rails that lie across, from the top                 Measures: side
//	log cabin           the centre, then at least four logs from the        Measures: width and height of
//	                    inside: the first on top, then clockwise; Mirror:   the centre, width of each log
//	                    anticlockwise
//	courthouse steps    the centre, then pairs from the inside: left,       Measures: width and height of
//	                    right, top, bottom, left ...                        the centre, width of each log
//
// Four-patch, nine-patch and rail fence stand as they were given (Turn 0, 45 or, for rails, 90), for any fabrics.
//
// Example: a 4 by 2 region of three triangles whose large one points to the left is
// {Kind: FlyingGeese, Turn: 270, Roles: goose, sky, sky, Measures: 4, 2}.
package unit

import (
	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
)

// Kind names a unit of the trade, or a plane shape.
type Kind string

// Units of the trade.
const (
	Square          Kind = "square"
	Rectangle       Kind = "rectangle"
	HalfSquare      Kind = "half square"
	Hourglass       Kind = "hourglass"
	ThreeTriangles  Kind = "three triangles"
	HalfRectangle   Kind = "half rectangle"
	FlyingGeese     Kind = "flying geese"
	SquareInSquare  Kind = "square in a square"
	Snowball        Kind = "snowball"
	FourPatch       Kind = "four-patch"
	NinePatch       Kind = "nine-patch"
	RailFence       Kind = "rail fence"
	LogCabin        Kind = "log cabin"
	CourthouseSteps Kind = "courthouse steps"
)

// Plane shapes, for patches and pieced regions that are no unit of the trade. A pieced square or rectangle, and a shape
// without a name, is Piecework.
const (
	Triangle      Kind = "triangle"
	Trapezoid     Kind = "trapezoid"
	Diamond       Kind = "diamond"
	Parallelogram Kind = "parallelogram"
	Kite          Kind = "kite"
	Quadrilateral Kind = "quadrilateral"
	Pentagon      Kind = "pentagon"
	Hexagon       Kind = "hexagon"
	Heptagon      Kind = "heptagon"
	Octagon       Kind = "octagon"
	Polygon       Kind = "polygon"
	Piecework     Kind = "piecework"
)

// Trade reports whether the kind is a unit of the trade made of several patches.
func (k Kind) Trade() bool {
	switch k {
	case HalfSquare, Hourglass, ThreeTriangles, HalfRectangle, FlyingGeese, SquareInSquare, Snowball, FourPatch,
		NinePatch, RailFence, LogCabin, CourthouseSteps:
		return true
	}
	return false
}

// Patch is one patch of a region.
type Patch struct {
	Outline plane.Polygon
}

// Shape is what a region is. The kind's own upright frame, mirrored left to right if Mirror, then turned by Turn, is the
// region (but for its place).
type Shape struct {
	Kind     Kind
	Turn     plane.Turn
	Mirror   bool
	Roles    []int       // patch numbers in the kind's own order; nil for shapes that are no unit of the trade
	Measures []exact.Num // finished, in the upright frame; for other shapes the width and height of the region's box
}

package unit

import (
	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
)

// shapeName names a simplified outline. A square or rectangle comes here when it is pieced, or when it stands at an angle
// that is no multiple of 45 degrees.
func shapeName(outline plane.Polygon, pieced bool) Kind {
	if len(outline) < 3 {
		return Piecework
	}
	if _, ok := rightAngled(outline); ok && pieced {
		return Piecework
	}
	if len(outline) == 3 {
		return Triangle
	}
	if !outline.IsConvex() {
		if pieced {
			return Piecework
		}
		return Polygon
	}
	switch len(outline) {
	case 4:
		return fourSided(outline)
	case 5:
		return Pentagon
	case 6:
		return Hexagon
	case 7:
		return Heptagon
	case 8:
		return Octagon
	}
	return Polygon
}

// fourSided names a convex outline of four corners.
func fourSided(outline plane.Polygon) Kind {
	var side [4]plane.Point
	var length [4]exact.Num // squared
	for i, e := range outline.Edges() {
		side[i] = e.B.Sub(e.A)
		length[i] = dot(side[i], side[i])
	}
	parallel := func(i, j int) bool { return plane.Orient(plane.Point{}, side[i], side[j]) == 0 }
	first, second := parallel(0, 2), parallel(1, 3)
	switch {
	case first && second && length[0].Equal(length[1]):
		return Diamond
	case first && second:
		return Parallelogram
	case first || second:
		return Trapezoid
	case length[0].Equal(length[1]) && length[2].Equal(length[3]), length[1].Equal(length[2]) && length[3].Equal(length[0]):
		return Kite
	}
	return Quadrilateral
}

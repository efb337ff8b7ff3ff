package figure

import (
	"math"

	"quiltwright/internal/flat"
	"quiltwright/internal/scene"
)

// spun draws how a seam from a to b is pressed that is spun: an arrow on each stretch from crossing to crossing, each the other way than the last, and a small
// pinwheel at each crossing. The first lies on the side of toward.
func (c *canvas) spun(a, b, toward pt, at []pt) {
	n := flat.Unit(square(flat.Sub(b, a)))
	if flat.Dot(flat.Sub(toward, mid(a, b)), n) < 0 {
		n = flat.Scale(n, -1)
	}
	stretches := append(append([]pt{}, at...), b)
	from, turned, r := a, n, 5.2
	for _, to := range stretches {
		from, r = to, math.Min(r, math.Max(3, 0.18*flat.Distance(to, from)*c.scale))
	}
	for _, p := range at { // arrows keep off the marks
		c.reserve(c.at(p), scene.Pt(r)+1)
	}
	from = a
	for _, to := range stretches {
		c.pressed(from, to, flat.Add(mid(from, to), turned), false, 0)
		from, turned = to, flat.Scale(turned, -1)
	}
	back := flat.Direction(b, a)
	for k, p := range at {
		c.pinwheel(p, back, flat.Scale(n, float64(1-2*(k%2))), r)
	}
}

// pinwheel marks a crossing that is spun: the allowance of the seam that comes from back lies toward n.
func (c *canvas) pinwheel(p, back, n pt, r float64) {
	onPaper := func(d pt) pt { return flat.Direction(flat.Apply(c.view, p), flat.Apply(c.view, flat.Add(p, d))) }
	c.add(Pinwheel(c.at(p), onPaper(back), onPaper(n), r))
}

// Pinwheel is the mark of a crossing that is spun: four vanes that turn as the allowances do. Of the vane that points in the direction arm the allowance lies
// toward bend; r is how long it is.
func Pinwheel(q scene.Point, arm, bend [2]float64, r float64) scene.Group {
	at := func(d pt, k float64) scene.Point {
		return scene.Point{X: q.X + scene.Pt(d[0]*k), Y: q.Y + scene.Pt(d[1]*k)}
	}
	var g scene.Group
	g.Items = append(g.Items, scene.Circle(q, scene.Pt(r)+1.3).Filled(scene.White).Stroked(scene.Ember, 0.8))
	for range 4 {
		g.Items = append(g.Items, scene.Polygon(q, at(arm, r), at(flat.Add(arm, bend), r/2)).Filled(scene.Ink))
		arm, bend = bend, flat.Scale(arm, -1)
	}
	return g
}

package book

import (
	"math"

	"quiltwright/internal/plan"
	"quiltwright/internal/scene"
)

// pose is a plan's pose as a matrix: x' = a x + b y + dx, y' = c x + d y + dy.
type pose struct{ a, b, c, d, dx, dy float64 }

var still = pose{a: 1, d: 1}

// poseOf mirrors left to right first, then turns clockwise as seen, then moves.
func poseOf(at plan.Point, turn plan.Num, mirror bool) pose {
	r := float64(turn) * math.Pi / 180
	cos, sin := math.Cos(r), math.Sin(r)
	p := pose{cos, -sin, sin, cos, float64(at[0]), float64(at[1])}
	if mirror {
		p.a, p.c = -p.a, -p.c
	}
	return p
}

func (p pose) mirrored() bool { return p.a*p.d-p.b*p.c < 0 }

func (p pose) at(x, y float64) (float64, float64) {
	return p.a*x + p.b*y + p.dx, p.c*x + p.d*y + p.dy
}

// onPaper maps cloth to paper: a scale in points to a unit of measure, and a place.
type onPaper struct {
	scale  float64
	dx, dy scene.Pt
}

func (o onPaper) point(x, y float64) scene.Point {
	return scene.Point{X: o.dx + scene.Pt(x*o.scale), Y: o.dy + scene.Pt(y*o.scale)}
}

// path returns an outline in a pose on paper, its arcs as curves.
func (o onPaper) path(vs []plan.Vertex, p pose) scene.Path {
	var out scene.Path
	for i, v := range vs {
		x, y := p.at(float64(v.X), float64(v.Y))
		q := o.point(x, y)
		if i == 0 {
			out.Move(q.X, q.Y)
		}
		n := vs[(i+1)%len(vs)]
		nx, ny := p.at(float64(n.X), float64(n.Y))
		bulge := float64(v.Bulge)
		if p.mirrored() {
			bulge = -bulge
		}
		if bulge == 0 {
			if i+1 < len(vs) {
				r := o.point(nx, ny)
				out.To(r.X, r.Y)
			}
			continue
		}
		o.arc(&out, x, y, nx, ny, bulge)
	}
	return out.Closed()
}

// arc draws from x0,y0 to x1,y1 with a bulge: the tangent of a quarter of the arc's angle, above zero
// where the arc turns clockwise as seen.
func (o onPaper) arc(out *scene.Path, x0, y0, x1, y1, bulge float64) {
	angle := 4 * math.Atan(bulge)
	dx, dy := x1-x0, y1-y0
	chord := math.Hypot(dx, dy)
	if chord == 0 {
		return
	}
	// The centre lies off the middle of the chord, to the right of it (as seen, y down) for a clockwise arc.
	h := chord / 2 / math.Tan(angle/2)
	cx, cy := (x0+x1)/2-dy/chord*h, (y0+y1)/2+dx/chord*h
	n := int(math.Ceil(math.Abs(angle) / (math.Pi / 2)))
	step := angle / float64(n)
	k := 4.0 / 3 * math.Tan(step/4)
	rx, ry := x0-cx, y0-cy
	for range n {
		cos, sin := math.Cos(step), math.Sin(step)
		ex, ey := rx*cos-ry*sin, rx*sin+ry*cos
		out.Bend(o.point(cx+rx-k*ry, cy+ry+k*rx), o.point(cx+ex+k*ey, cy+ey-k*ex), o.point(cx+ex, cy+ey))
		rx, ry = ex, ey
	}
}

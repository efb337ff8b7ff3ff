package scene

import "math"

// HatchLines returns the lines of the path's hatch, long enough to cover the box of the path; the
// writer clips them to the path. They lie on one raster for all paths of a drawing, so that the
// hatches of neighbours meet. Without a hatch, none.
func (p Path) HatchLines() [][2]Point {
	lo, hi, ok := p.box()
	if p.Hatch == nil || p.Hatch.Gap <= 0 || !ok {
		return nil
	}
	out := lines(lo, hi, p.Hatch.Angle, p.Hatch.Gap)
	if p.Hatch.Weave == Crossed {
		out = append(out, lines(lo, hi, p.Hatch.Angle+90, p.Hatch.Gap)...)
	}
	return out
}

// HatchPen returns the path that a writer strokes the lines of a hatch as.
func (h Hatch) HatchPen() Path {
	p := Path{}.Stroked(h.Color, h.Width)
	if h.Weave == Dotted {
		p = p.Dotted(h.Gap)
	}
	return p
}

// lines are parallel lines at an angle that cover a box, on the raster of the gap; each begins on the raster across as well.
func lines(lo, hi Point, angle float64, gap Pt) [][2]Point {
	a := angle * math.Pi / 180
	ux, uy := Pt(math.Cos(a)), Pt(math.Sin(a))
	nx, ny := -uy, ux
	along := func(q Point) Pt { return q.X*ux + q.Y*uy }
	across := func(q Point) Pt { return q.X*nx + q.Y*ny }
	corners := [4]Point{lo, {hi.X, lo.Y}, hi, {lo.X, hi.Y}}
	s0, s1, t0, t1 := along(lo), along(lo), across(lo), across(lo)
	for _, c := range corners {
		s0, s1 = min(s0, along(c)), max(s1, along(c))
		t0, t1 = min(t0, across(c)), max(t1, across(c))
	}
	s0 = Pt(math.Floor(float64(s0/gap))) * gap
	var out [][2]Point
	for k := math.Ceil(float64(t0 / gap)); Pt(k)*gap <= t1; k++ {
		t := Pt(k) * gap
		out = append(out, [2]Point{{s0*ux + t*nx, s0*uy + t*ny}, {s1*ux + t*nx, s1*uy + t*ny}})
	}
	return out
}

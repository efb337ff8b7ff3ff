package scene

import "math"

// Path is an outline that is filled, hatched and stroked, in this order.
type Path struct {
	Steps  []Step
	Fill   Color
	Hatch  *Hatch
	Stroke Color
	Width  Pt   // of the stroke
	Dash   []Pt // on, off, ...; nil: unbroken
	Round  bool // round caps and joins: with Dash {0, n} a dotted line
}

// Step is one step of a pen. C1 and C2 are the controls of a Curve.
type Step struct {
	Kind   StepKind
	To     Point
	C1, C2 Point
}

// StepKind says how the pen moves.
type StepKind uint8

// The pen's moves.
const (
	MoveTo StepKind = iota
	LineTo
	CurveTo
	Close
)

// Hatch is parallel lines clipped to a path. Angle is in degrees clockwise as seen from the x axis.
type Hatch struct {
	Angle float64
	Gap   Pt
	Width Pt
	Color Color
	Weave Weave
}

// Weave is what the lines of a hatch are.
type Weave uint8

// The weaves.
const (
	Lines   Weave = iota
	Dotted        // dots of the lines' width, as far from each other as the lines
	Crossed       // lines both ways
)

// Same reports that two hatches, either of which may be none, cannot be told apart but by their colour.
func (h *Hatch) Same(k *Hatch) bool {
	if h == nil || k == nil {
		return h == k
	}
	return h.Angle == k.Angle && h.Gap == k.Gap && h.Weave == k.Weave
}

// WrongSide is the hatch of the wrong side of cloth.
var WrongSide = Hatch{Angle: -45, Gap: 3.2, Width: 0.45, Color: Soft}

// Line returns a straight line.
func Line(a, b Point) Path { return Polyline(a, b) }

// Polyline returns an open path through the points; of no points, an empty path.
func Polyline(ps ...Point) Path {
	var p Path
	for i, q := range ps {
		k := LineTo
		if i == 0 {
			k = MoveTo
		}
		p.Steps = append(p.Steps, Step{Kind: k, To: q})
	}
	return p
}

// Polygon returns a closed path through the points.
func Polygon(ps ...Point) Path { return Polyline(ps...).Closed() }

// Rect returns a rectangle.
func Rect(x, y, w, h Pt) Path {
	return Polygon(Point{x, y}, Point{x + w, y}, Point{x + w, y + h}, Point{x, y + h})
}

// RoundRect returns a rectangle with corners of radius r, at most half of its shorter side.
func RoundRect(x, y, w, h, r Pt) Path {
	r = min(r, w/2, h/2)
	k := r * (1 - kappa)
	var p Path
	p.Move(x+r, y).To(x+w-r, y)
	p.Bend(Point{x + w - k, y}, Point{x + w, y + k}, Point{x + w, y + r}).To(x+w, y+h-r)
	p.Bend(Point{x + w, y + h - k}, Point{x + w - k, y + h}, Point{x + w - r, y + h}).To(x+r, y+h)
	p.Bend(Point{x + k, y + h}, Point{x, y + h - k}, Point{x, y + h - r}).To(x, y+r)
	p.Bend(Point{x, y + k}, Point{x + k, y}, Point{x + r, y})
	return p.Closed()
}

// kappa is the length of the controls of a quarter circle of radius 1 as one cubic: 4/3 (√2 − 1).
const kappa = 0.5522847498307936

// Circle returns a circle.
func Circle(c Point, r Pt) Path { return RoundRect(c.X-r, c.Y-r, 2*r, 2*r, r) }

// Arc returns an open arc about c from angle a to angle b, in degrees clockwise as seen from the x axis.
func Arc(c Point, r Pt, a, b float64) Path {
	n := int(math.Ceil(math.Abs(b-a)/90)) + 1
	d := (b - a) / float64(n) * math.Pi / 180
	k := 4.0 / 3 * math.Tan(d/4)
	at := func(t float64) (x, y float64) { return math.Cos(t), math.Sin(t) }
	put := func(x, y float64) Point { return Point{c.X + r*Pt(x), c.Y + r*Pt(y)} }
	t := a * math.Pi / 180
	x, y := at(t)
	p := Path{Steps: []Step{{Kind: MoveTo, To: put(x, y)}}}
	for range n {
		x0, y0 := at(t)
		t += d
		x1, y1 := at(t)
		p.Bend(put(x0-k*y0, y0+k*x0), put(x1+k*y1, y1-k*x1), put(x1, y1))
	}
	return p
}

// Move lifts the pen to x, y.
func (p *Path) Move(x, y Pt) *Path {
	p.Steps = append(p.Steps, Step{Kind: MoveTo, To: Point{x, y}})
	return p
}

// To draws a line to x, y.
func (p *Path) To(x, y Pt) *Path {
	p.Steps = append(p.Steps, Step{Kind: LineTo, To: Point{x, y}})
	return p
}

// Bend draws a cubic curve to q with the controls c1 and c2.
func (p *Path) Bend(c1, c2, q Point) *Path {
	p.Steps = append(p.Steps, Step{Kind: CurveTo, C1: c1, C2: c2, To: q})
	return p
}

// Closed returns the path with its last part closed.
func (p Path) Closed() Path {
	p.Steps = append(p.Steps[:len(p.Steps):len(p.Steps)], Step{Kind: Close})
	return p
}

// And returns both outlines as one path, painted as p is. Filling is by non-zero winding.
func (p Path) And(q Path) Path {
	p.Steps = append(p.Steps[:len(p.Steps):len(p.Steps)], q.Steps...)
	return p
}

// Filled returns the path with a fill.
func (p Path) Filled(c Color) Path { p.Fill = c; return p }

// Stroked returns the path with a stroke.
func (p Path) Stroked(c Color, width Pt) Path { p.Stroke, p.Width = c, width; return p }

// Dashed returns the path with a broken stroke.
func (p Path) Dashed(onOff ...Pt) Path { p.Dash = onOff; return p }

// Dotted returns the path with a dotted stroke, gap from dot to dot.
func (p Path) Dotted(gap Pt) Path { p.Dash, p.Round = []Pt{0, gap}, true; return p }

// Rounded returns the path with round caps and joins.
func (p Path) Rounded() Path { p.Round = true; return p }

// Hatched returns the path with a hatch over its fill.
func (p Path) Hatched(h Hatch) Path { p.Hatch = &h; return p }

// Arrow returns a short arrow from a to b: a shaft and a filled head of the given length.
func Arrow(a, b Point, head Pt, c Color, width Pt) Group {
	dx, dy := float64(b.X-a.X), float64(b.Y-a.Y)
	l := math.Hypot(dx, dy)
	if l == 0 {
		return Group{}
	}
	ux, uy := Pt(dx/l), Pt(dy/l)
	back := Point{b.X - ux*head, b.Y - uy*head}
	w := head * 0.45
	return Group{Items: []Item{
		Line(a, back).Stroked(c, width),
		Polygon(b, Point{back.X - uy*w, back.Y + ux*w}, Point{back.X + uy*w, back.Y - ux*w}).Filled(c),
	}}
}

// box returns the box of a path's points and controls, which holds the path. ok is false where there are none.
func (p Path) box() (lo, hi Point, ok bool) {
	for _, s := range p.Steps {
		if s.Kind == Close {
			continue
		}
		qs := []Point{s.To}
		if s.Kind == CurveTo {
			qs = append(qs, s.C1, s.C2)
		}
		for _, q := range qs {
			if !ok {
				lo, hi, ok = q, q, true
				continue
			}
			lo.X, lo.Y = min(lo.X, q.X), min(lo.Y, q.Y)
			hi.X, hi.Y = max(hi.X, q.X), max(hi.Y, q.Y)
		}
	}
	return lo, hi, ok
}

func hypot(x, y Pt) Pt { return Pt(math.Hypot(float64(x), float64(y))) }

package scene

import "math"

// Box is a rectangle from Lo to Hi.
type Box struct{ Lo, Hi Point }

// Width and Height return the sides of the box.
func (b Box) Width() Pt  { return b.Hi.X - b.Lo.X }
func (b Box) Height() Pt { return b.Hi.Y - b.Lo.Y }

func (b Box) union(c Box) Box {
	return Box{
		Point{min(b.Lo.X, c.Lo.X), min(b.Lo.Y, c.Lo.Y)},
		Point{max(b.Hi.X, c.Hi.X), max(b.Hi.Y, c.Hi.Y)},
	}
}

// Frame maps the coordinates of nested groups to those of the page: first scaled, then moved.
type Frame struct {
	At    Point
	Scale float64
}

// Outer is the frame of a page or drawing itself.
var Outer = Frame{Scale: 1}

// Into returns the frame of a group that stands in f.
func (f Frame) Into(g Group) Frame {
	s := g.Scale
	if s == 0 {
		s = 1
	}
	return Frame{f.Point(g.At), f.Scale * s}
}

// Point maps a point outward.
func (f Frame) Point(p Point) Point {
	return Point{f.At.X + p.X*Pt(f.Scale), f.At.Y + p.Y*Pt(f.Scale)}
}

// Len maps a length outward.
func (f Frame) Len(l Pt) Pt { return l * Pt(f.Scale) }

// Bounds returns the box of all that the items paint, in frame f; ok is false where they paint
// nothing. A clipped group counts as far as its clip. Widths of strokes are not counted.
func Bounds(f Frame, items []Item) (b Box, ok bool) {
	add := func(c Box) {
		if ok {
			c = b.union(c)
		}
		b, ok = c, true
	}
	for _, it := range items {
		switch it := it.(type) {
		case Path:
			if lo, hi, some := it.box(); some {
				add(Box{f.Point(lo), f.Point(hi)})
			}
		case Text:
			for _, q := range it.corners() {
				p := f.Point(q)
				add(Box{p, p})
			}
		case Image:
			add(Box{f.Point(Point{it.X, it.Y}), f.Point(Point{it.X + it.W, it.Y + it.H})})
		case Group:
			in := f.Into(it)
			if it.Clip != nil {
				if lo, hi, some := it.Clip.box(); some {
					add(Box{in.Point(lo), in.Point(hi)})
				}
			} else if c, some := Bounds(in, it.Items); some {
				add(c)
			}
		}
	}
	return b, ok
}

// start returns where the line begins, on its baseline, and its direction.
func (t Text) start() (p Point, cos, sin Pt) {
	r := t.Turn * math.Pi / 180
	cos, sin = Pt(math.Cos(r)), Pt(math.Sin(r))
	var back Pt
	switch t.Anchor {
	case Middle:
		back = t.Width() / 2
	case Right:
		back = t.Width()
	}
	return Point{t.At.X - back*cos, t.At.Y - back*sin}, cos, sin
}

// Start returns where the line begins, on its baseline, whatever its anchor and turn.
func (t Text) Start() Point { p, _, _ := t.start(); return p }

// corners returns the corners of what the line covers.
func (t Text) corners() [4]Point {
	p, cos, sin := t.start()
	w, up, down := t.Width(), t.Size*Ascent, t.Size*Descent
	at := func(x, y Pt) Point { return Point{p.X + x*cos - y*sin, p.Y + x*sin + y*cos} }
	return [4]Point{at(0, -up), at(w, -up), at(w, down), at(0, down)}
}

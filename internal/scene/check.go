package scene

import "fmt"

// The least sizes of type on paper.
const (
	LeastBody Pt = 10.5 // of paragraphs
	LeastAny  Pt = 8    // of anything
)

// Check returns what is wrong with the type on a page or drawing of this size, in the order painted;
// nil where all is well. Each is one sentence.
//
//  1. No two texts overlap.
//  2. No text leaves the page, its clip, or the frame of a group that has one.
//  3. Paragraphs are at least LeastBody, and nothing is under LeastAny.
//  4. Every character has a glyph.
func Check(w, h Pt, items []Item) []string {
	c := checker{}
	c.walk(Outer, Box{Hi: Point{w, h}}, "", items)
	c.overlaps()
	return c.wrong
}

// Check returns what is wrong with the type of a drawing.
func (d Drawing) Check() []string { return Check(d.W, d.H, d.Items) }

// Check returns what is wrong with the type of a page.
func (p Page) Check() []string { return Check(p.W, p.H, p.Items) }

type checker struct {
	texts []placedText
	wrong []string
}

type placedText struct {
	quad [4]Point
	says string
}

// slack is how far text may touch its neighbour or frame: less than shows.
const slack Pt = 0.35

func (c *checker) sayf(format string, args ...any) {
	c.wrong = append(c.wrong, fmt.Sprintf(format, args...))
}

func (c *checker) walk(f Frame, frame Box, tag Tag, items []Item) {
	for _, it := range items {
		switch it := it.(type) {
		case Group:
			in, box, t := f.Into(it), frame, tag
			if it.Tag != "" {
				t = it.Tag
			}
			if it.W > 0 && it.H > 0 {
				box = meet(box, Box{in.At, in.Point(Point{it.W, it.H})})
			}
			if it.Clip != nil {
				if lo, hi, ok := it.Clip.box(); ok {
					box = meet(box, Box{in.Point(lo), in.Point(hi)})
				}
			}
			c.walk(in, box, t, it.Items)
		case Text:
			c.text(f, frame, tag, it)
		}
	}
}

func meet(a, b Box) Box {
	return Box{
		Point{max(a.Lo.X, b.Lo.X), max(a.Lo.Y, b.Lo.Y)},
		Point{min(a.Hi.X, b.Hi.X), min(a.Hi.Y, b.Hi.Y)},
	}
}

func (c *checker) text(f Frame, frame Box, tag Tag, t Text) {
	says := t.String()
	size := f.Len(t.Size)
	if size < LeastAny-0.001 {
		c.sayf("“%s” is %.1f pt, under %g pt", says, float64(size), float64(LeastAny))
	} else if tag == Paragraph && size < LeastBody-0.001 {
		c.sayf("the paragraph “%s” is %.1f pt, under %g pt", says, float64(size), float64(LeastBody))
	}
	for _, r := range t.Runs {
		for _, g := range Shape(r.Font, r.Text) {
			if g.ID == 0 {
				c.sayf("“%s”: %s has no glyph for %q", says, r.Font.Name(), g.Text)
			}
		}
	}
	var q [4]Point
	for i, p := range t.tight() {
		q[i] = f.Point(p)
		if q[i].X < frame.Lo.X-slack || q[i].Y < frame.Lo.Y-slack || q[i].X > frame.Hi.X+slack || q[i].Y > frame.Hi.Y+slack {
			c.sayf("“%s” leaves its frame at %.1f, %.1f", says, float64(q[i].X), float64(q[i].Y))
			break
		}
	}
	if says != "" {
		c.texts = append(c.texts, placedText{q, says})
	}
}

// tight returns the corners of what figures and capitals cover; they decide whether texts collide,
// for the tail of a g may hang beside the head of a d below.
func (t Text) tight() [4]Point {
	p, cos, sin := t.start()
	w, up, down := t.Width(), t.Size*CapHeight, t.Size*0.1
	at := func(x, y Pt) Point { return Point{p.X + x*cos - y*sin, p.Y + x*sin + y*cos} }
	return [4]Point{at(0, -up), at(w, -up), at(w, down), at(0, down)}
}

func (c *checker) overlaps() {
	for i, a := range c.texts {
		for _, b := range c.texts[:i] {
			if quadsMeet(a.quad, b.quad) {
				c.sayf("“%s” and “%s” overlap", b.says, a.says)
			}
		}
	}
}

// quadsMeet reports whether two rectangles, turned or not, overlap by more than slack.
func quadsMeet(a, b [4]Point) bool {
	for _, q := range [2][4]Point{a, b} {
		for _, e := range [2][2]Point{{q[0], q[1]}, {q[1], q[2]}} {
			dx, dy := e[1].X-e[0].X, e[1].Y-e[0].Y
			l := hypot(dx, dy)
			if l == 0 {
				return false
			}
			a0, a1 := spread(a, dx/l, dy/l)
			b0, b1 := spread(b, dx/l, dy/l)
			if a1-slack <= b0 || b1-slack <= a0 {
				return false
			}
		}
	}
	return true
}

func spread(q [4]Point, ux, uy Pt) (lo, hi Pt) {
	lo = q[0].X*ux + q[0].Y*uy
	hi = lo
	for _, p := range q[1:] {
		v := p.X*ux + p.Y*uy
		lo, hi = min(lo, v), max(hi, v)
	}
	return lo, hi
}

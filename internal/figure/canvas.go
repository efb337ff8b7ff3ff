package figure

import (
	"math"
	"quiltwright/internal/flat"
	"quiltwright/internal/plan"

	"quiltwright/internal/scene"
)

// canvas is a drawing in the making: places of cloth are mapped to paper by a pose and a scale.
type canvas struct {
	view  plan.Pose // first the cloth is turned
	scale float64   // points for one of the measure
	items []scene.Item
	texts []textBox
}

// textBox is the room that a text takes.
type textBox struct{ lo, hi scene.Point }

func (c *canvas) at(p pt) scene.Point { return c.flat(flat.Apply(c.view, p)) }

// flat is where a place stands that has been turned already.
func (c *canvas) flat(p pt) scene.Point {
	return scene.Point{X: scene.Pt(p[0] * c.scale), Y: scene.Pt(p[1] * c.scale)}
}

func (c *canvas) add(items ...scene.Item) { c.items = append(c.items, items...) }

func (c *canvas) path(ps []pt) scene.Path {
	qs := make([]scene.Point, len(ps))
	for i, p := range ps {
		qs[i] = c.at(p)
	}
	return scene.Polygon(qs...)
}

func (c *canvas) polygon(ps []pt, look Look, width scene.Pt) {
	c.add(look.Fill(c.path(ps)).Stroked(scene.Ink, width).Rounded())
}

// wrongSide draws cloth that lies face down: white, hatched, with a little of its colour in the lines.
func (c *canvas) wrongSide(ps []pt, color scene.Color) {
	h := scene.WrongSide
	h.Color = color.Mix(scene.Grey, 0.5)
	if h.Color.Luma() > 0.72 {
		h.Color = scene.Soft
	}
	c.add(c.path(ps).Filled(scene.White).Hatched(h).Stroked(scene.Ink, outlineWidth).Rounded())
}

func (c *canvas) dashed(a, b pt) {
	c.add(scene.Line(c.at(a), c.at(b)).Stroked(scene.White, 1.8), scene.Line(c.at(a), c.at(b)).Stroked(scene.Ink, lineWidth).Dashed(4, 2.4))
}

func (c *canvas) dotted(a, b pt) {
	c.add(scene.Line(c.at(a), c.at(b)).Stroked(scene.White, 2.2), scene.Line(c.at(a), c.at(b)).Stroked(scene.Ember, 1.35).Dotted(2.6))
}

// arrow is a short arrow across a seam, ink on a thin white rim so that it reads on any cloth.
func (c *canvas) arrow(from, to scene.Point) {
	halo := scene.Arrow(from, to, 5.4, scene.White, 2.8)
	if len(halo.Items) == 2 {
		if head, ok := halo.Items[1].(scene.Path); ok {
			halo.Items[1] = head.Stroked(scene.White, 1.8)
		}
	}
	c.add(halo, scene.Arrow(from, to, 5, scene.Ink, 1.05))
}

// pressed draws how a seam is pressed: an arrow over its middle toward the side of the place toward,
// or for open two short ones away from it. deep is how far the cloth reaches on that side, 0 where it
// does not matter. Where another arrow stands already it moves along the seam.
func (c *canvas) pressed(a, b, toward pt, open bool, deep float64) {
	m, n := mid(a, b), flat.Unit(square(flat.Sub(b, a)))
	if flat.Dot(flat.Sub(toward, m), n) < 0 {
		n = flat.Scale(n, -1)
	}
	run := flat.Length(flat.Sub(b, a)) * c.scale
	if run < 4 {
		return // shorter than an arrow is wide
	}
	reach := math.Min(9, math.Max(5.5, run/5))
	if deep > 0 {
		reach = math.Max(5, math.Min(reach, deep*c.scale*0.75))
	}
	dir := flat.Sub(flat.Apply(c.view, flat.Add(m, n)), flat.Apply(c.view, m))
	var p scene.Point
	at := func(k float64) scene.Point {
		return scene.Point{X: p.X + scene.Pt(dir[0]*k), Y: p.Y + scene.Pt(dir[1]*k)}
	}
	for _, k := range []float64{0, 0.16, -0.16, 0.3, -0.3} {
		p = c.at(flat.Add(m, flat.Scale(flat.Sub(b, a), k)))
		lo, hi := at(-reach*0.75), at(reach)
		if c.free(textBox{
			scene.Point{X: min(lo.X, hi.X) - 2, Y: min(lo.Y, hi.Y) - 2},
			scene.Point{X: max(lo.X, hi.X) + 2, Y: max(lo.Y, hi.Y) + 2},
		}) {
			break
		}
	}
	if open {
		c.arrow(at(0), at(reach))
		c.arrow(at(0), at(-reach))
	} else {
		c.arrow(at(-reach*0.75), at(reach))
	}
	c.reserve(at(-reach*0.7), 2.5)
	c.reserve(at(0), 2.5)
	c.reserve(at(reach*0.7), 2.5)
}

// dot marks where a seam stops at the crossing of seams.
func (c *canvas) dot(p pt) {
	q := c.at(p)
	c.add(scene.Circle(q, 2.6).Filled(scene.Ember).Stroked(scene.White, 0.7))
}

// circle marks the place to watch.
func (c *canvas) circle(p pt) {
	q := c.at(p)
	c.add(scene.Circle(q, 5.5).Stroked(scene.White, 2.2), scene.Circle(q, 5.5).Stroked(scene.Ember, 1))
}

// reserve keeps texts off a place.
func (c *canvas) reserve(p scene.Point, r scene.Pt) {
	c.texts = append(c.texts, textBox{scene.Point{X: p.X - r, Y: p.Y - r}, scene.Point{X: p.X + r, Y: p.Y + r}})
}

// free says whether a text's room does not touch another's.
func (c *canvas) free(b textBox) bool {
	for _, t := range c.texts {
		if b.lo.X < t.hi.X && t.lo.X < b.hi.X && b.lo.Y < t.hi.Y && t.lo.Y < b.hi.Y {
			return false
		}
	}
	return true
}

// roomOf is the room a line of text takes when its middle stands at p.
func roomOf(p scene.Point, size scene.Pt, f scene.Font, s string, pad scene.Pt) textBox {
	w, h := scene.Width(f, size, s)/2+pad, size*(scene.Ascent+scene.Descent)/2
	return textBox{scene.Point{X: p.X - w, Y: p.Y - h}, scene.Point{X: p.X + w, Y: p.Y + h}}
}

// write puts a line of text with its middle at p, if there is room; it says whether there was.
func (c *canvas) write(p scene.Point, size scene.Pt, f scene.Font, color scene.Color, s string) bool {
	b := roomOf(p, size, f, s, 1)
	if s == "" || !c.free(b) {
		return false
	}
	c.texts = append(c.texts, b)
	c.add(scene.Label(scene.Point{X: p.X, Y: p.Y + size*scene.CapHeight/2}, size, f, color, scene.Middle, s))
	return true
}

// label writes a label in bold on a soft ground with its middle at p, if there is room.
func (c *canvas) label(p scene.Point, size scene.Pt, s string) bool {
	b := roomOf(p, size, scene.Bold, s, 3)
	if s == "" || !c.free(b) {
		return false
	}
	c.texts = append(c.texts, b)
	h := size * 1.16
	c.add(scene.RoundRect(b.lo.X, p.Y-h/2, b.hi.X-b.lo.X, h, h/2).Filled(scene.Mist),
		scene.Label(scene.Point{X: p.X, Y: p.Y + size*scene.CapHeight/2}, size, scene.Bold, scene.Ink, scene.Middle, s))
	return true
}

// place finds the middle of the widest free room for a label in a polygon, off the lines and out
// from under what covers it. ok is false where it does not fit at the size.
func (c *canvas) place(ps []pt, covers [][]pt, lines [][2]pt, size scene.Pt, s string) (scene.Point, bool) {
	wide, high := float64(scene.Width(scene.Bold, size, s)/2+3.4), float64(size*0.62)
	qs := c.paper(ps)
	lo, hi := flat.Box(qs)
	if hi[0]-lo[0] < 2*wide || hi[1]-lo[1] < 2*high {
		return scene.Point{}, false
	}
	var over [][]pt
	for _, cover := range covers {
		q := c.paper(cover)
		if l, h := flat.Box(q); l[0] < hi[0] && lo[0] < h[0] && l[1] < hi[1] && lo[1] < h[1] {
			over = append(over, q)
		}
	}
	var away [][2]pt
	for _, l := range lines {
		q := c.paper(l[:])
		away = append(away, [2]pt{q[0], q[1]})
	}
	best, most, found := pt{}, 0.0, false
	heart := centre(qs)
	const n = 18
	for i := 0; i <= n; i++ {
		for k := 0; k <= n; k++ {
			p := pt{lo[0] + wide + (hi[0]-lo[0]-2*wide)*float64(i)/n, lo[1] + high + (hi[1]-lo[1]-2*high)*float64(k)/n}
			// Prefer room, then the middle; nothing has more than this room.
			less := flat.Length(flat.Sub(p, heart)) * 0.02
			if found && 6-less <= most {
				continue
			}
			if !c.free(textBox{scene.Point{X: scene.Pt(p[0] - wide), Y: scene.Pt(p[1] - high)}, scene.Point{X: scene.Pt(p[0] + wide), Y: scene.Pt(p[1] + high)}}) {
				continue
			}
			least := 0.0
			if found {
				least = most + less
			}
			clear := room(qs, over, away, p, wide, high, least)
			if score := math.Min(clear, 6) - less; clear > 0 && (!found || score > most) {
				best, most, found = p, score, true
			}
		}
	}
	return scene.Point{X: scene.Pt(best[0]), Y: scene.Pt(best[1])}, found
}

func (c *canvas) paper(ps []pt) []pt {
	out := make([]pt, len(ps))
	for i, p := range ps {
		q := c.at(p)
		out[i] = pt{float64(q.X), float64(q.Y)}
	}
	return out
}

// room is how far a box about p stays from the polygon's edges, from what covers it and from lines;
// 0 or less where it touches one of them, or where that is less than least.
func room(ps []pt, covers [][]pt, lines [][2]pt, p pt, wide, high, least float64) float64 {
	if !inside(ps, p) {
		return 0
	}
	clear := math.Inf(1)
	meets := func(a, b pt) bool {
		if crosses(a, b, p, wide, high) {
			return true
		}
		clear = math.Min(clear, distance(p, a, b)-high)
		return clear < least-1e-9
	}
	for i, a := range ps {
		if meets(a, ps[(i+1)%len(ps)]) {
			return 0
		}
	}
	for _, cover := range covers {
		if inside(cover, p) {
			return 0
		}
		for i, a := range cover {
			if meets(a, cover[(i+1)%len(cover)]) {
				return 0
			}
		}
	}
	for _, l := range lines {
		if meets(l[0], l[1]) {
			return 0
		}
	}
	return clear
}

// crosses says whether the segment a b meets the box of half sides wide, high about p.
func crosses(a, b, p pt, wide, high float64) bool {
	t0, t1 := 0.0, 1.0
	d := flat.Sub(b, a)
	for axis, half := range [2]float64{wide, high} {
		lo, hi := p[axis]-half-a[axis], p[axis]+half-a[axis]
		if math.Abs(d[axis]) < 1e-12 {
			if lo > 0 || hi < 0 {
				return false
			}
			continue
		}
		u, v := lo/d[axis], hi/d[axis]
		if u > v {
			u, v = v, u
		}
		t0, t1 = math.Max(t0, u), math.Min(t1, v)
	}
	return t0 < t1
}

// drawing is all that was drawn, with a small margin and the alternative text.
func (c *canvas) drawing(alt string) scene.Drawing {
	return frame(c.items, alt)
}

// margin is the free room round a drawing.
const margin = 1.5

// frame moves items so that their box begins one margin in from 0,0.
func frame(items []scene.Item, alt string) scene.Drawing {
	b, ok := scene.Bounds(scene.Outer, items)
	if !ok {
		return scene.Drawing{Alt: alt}
	}
	g := scene.Group{At: scene.Point{X: margin - b.Lo.X, Y: margin - b.Lo.Y}, Items: items}
	return scene.Drawing{W: b.Width() + 2*margin, H: b.Height() + 2*margin, Items: []scene.Item{g}, Alt: alt}
}

// beside sets drawings side by side, middles level, with the gap given; between two of them an
// arrow where arrows is true.
func beside(ds []scene.Drawing, gap scene.Pt, arrows bool, alt string) scene.Drawing {
	out := scene.Drawing{Alt: alt}
	for _, d := range ds {
		out.H = max(out.H, d.H)
	}
	for i, d := range ds {
		if i > 0 {
			if arrows {
				y := out.H / 2
				out.Add(scene.Arrow(scene.Point{X: out.W + gap*0.22, Y: y}, scene.Point{X: out.W + gap*0.78, Y: y}, 5, scene.Grey, 0.8))
			}
			out.W += gap
		}
		out.Add(scene.Group{At: scene.Point{X: out.W, Y: (out.H - d.H) / 2}, Items: d.Items})
		out.W += d.W
	}
	return out
}

package method

import (
	"math"

	"quiltwright/internal/piecing"
)

// raw is the outline of one piece in its frame, as cut.
func (b *Blank) raw() []pt {
	w, h := b.Width, b.Height
	switch {
	case b.Outline != nil:
		out := make([]pt, len(b.Outline))
		for i, p := range b.Outline {
			out[i] = pt{p[0], p[1]}
		}
		return out
	case b.Shape == HalfSquare:
		return []pt{{0, 0}, {w, 0}, {0, w}}
	case b.Shape == QuarterSquare:
		return []pt{{0, 0}, {w, 0}, {w / 2, w / 2}}
	case b.Shape == HalfRectangle && b.Hand == "R":
		return []pt{{0, 0}, {w, 0}, {w, h}}
	case b.Shape == HalfRectangle:
		return []pt{{0, 0}, {w, 0}, {0, h}}
	}
	return []pt{{0, 0}, {w, 0}, {w, h}, {0, h}}
}

// Bias lists the edges of a piece that are off the grain of the cloth: its frame lies as it is cut, along the threads, so those that run with neither side of
// it. Edge k runs from corner k to the next.
func (b *Blank) Bias() []int {
	var out []int
	raw := b.raw()
	for k, p := range raw {
		d := raw[(k+1)%len(raw)].sub(p).unit()
		if math.Min(math.Abs(d.x), math.Abs(d.y)) > offGrain {
			out = append(out, k)
		}
	}
	return out
}

// offGrain is the sine of the angle up to which an edge runs along the grain: what rounding to the ruler turns it by.
const offGrain = 0.02

// settle finds how far each raw edge of a unit comes to lie beyond its place, when its parts are sewn one to another by their raw
// edges, and how far the middle of it lies from where finished places put it, its first part being where it belongs.
//
// A part that is laid is slid square to the seam until raw edges coincide: by what both edges lie beyond their places.
func (c *chooser) settle(u *Unit) (out []float64, grown pt) {
	at := make([]pt, len(u.Parts)) // how far each part was slid
	g := together(len(u.Parts))
	for _, j := range u.Joins {
		a, b := g.leader[j.A], g.leader[j.B]
		if a == b {
			continue
		}
		from, to := float(j.Seam.A), float(j.Seam.B)
		n := to.sub(from).unit().right()
		if c.middle(u.Parts[j.B]).sub(from).dot(n) < 0 {
			n = n.scale(-1)
		}
		slide := c.outAt(u.Parts[j.A], from, to) + at[j.A].dot(n) + c.outAt(u.Parts[j.B], from, to) - at[j.B].dot(n)
		above, move := b, n.scale(slide)
		if a > b {
			above, move = a, n.scale(-slide)
		}
		for _, k := range g.merge(above, a+b-above) {
			at[k] = at[k].add(move)
		}
	}
	fin := u.fin
	out = make([]float64, len(fin))
	u.uneven = 0
	for e, p := range fin {
		q := fin[(e+1)%len(fin)]
		away := q.sub(p).unit().right().scale(-1)
		out[e] = math.Inf(-1)
		least := math.Inf(1)
		for k, part := range u.Parts {
			if i := c.edgeAt(part, p, q); i >= 0 {
				o := at[k].dot(away)
				if v := &c.units[part.Unit]; !v.tips { // tips are cut off at their place, and the rest stays where it is
					o += v.Out[i]
				}
				out[e], least = math.Max(out[e], o), math.Min(least, o)
			}
		}
		u.uneven = math.Max(u.uneven, out[e]-least)
		if math.IsInf(out[e], -1) {
			out[e] = 0
		}
	}
	lo, hi := box(fin)
	lo2, hi2 := box(offset(fin, out))
	grown = lo2.add(hi2).sub(lo).sub(hi).scale(0.5)
	for e, p := range fin {
		away := fin[(e+1)%len(fin)].sub(p).unit().right().scale(-1)
		out[e] = tidy(out[e] - grown.dot(away))
	}
	return out, grown
}

// outAt is how far the raw edge of a part lies beyond its place, beside the seam from a to b of the unit.
func (c *chooser) outAt(part piecing.Part, a, b pt) float64 {
	if e := c.edgeAt(part, a, b); e >= 0 {
		return c.units[part.Unit].Out[e]
	}
	return 0
}

// edgeAt is the number of the edge of a part that runs along the line from a to b of the unit, -1 where none does.
func (c *chooser) edgeAt(part piecing.Part, a, b pt) int {
	m := of(part.Pose)
	fin := c.units[part.Unit].fin
	d := b.sub(a)
	l := d.length()
	for e := range fin {
		p, q := m.apply(fin[e]).sub(a), m.apply(fin[(e+1)%len(fin)]).sub(a)
		if math.Abs(p.cross(d)) > 1e-6*l || math.Abs(q.cross(d)) > 1e-6*l {
			continue
		}
		s, t := p.dot(d)/l, q.dot(d)/l
		if math.Min(math.Max(s, t), l)-math.Max(math.Min(s, t), 0) > 1e-6 {
			return e
		}
	}
	return -1
}

// middle is a point inside the box of a part.
func (c *chooser) middle(part piecing.Part) pt {
	sum := pt{}
	fin := c.units[part.Unit].fin
	for _, p := range fin {
		sum = sum.add(p)
	}
	return of(part.Pose).apply(sum.scale(1 / float64(len(fin))))
}

// larger is how much wider and higher than finished a unit comes out.
func (u *Unit) larger() [2]float64 {
	fin := u.fin
	lo, hi := box(fin)
	lo2, hi2 := box(offset(fin, u.Out))
	return [2]float64{tidy(hi2.x - lo2.x - hi.x + lo.x), tidy(hi2.y - lo2.y - hi.y + lo.y)}
}

// evenOut shares a rectangular unit's excess out, half on each side.
func (u *Unit) evenOut() []float64 {
	fin := u.fin
	out := make([]float64, len(fin))
	for e, p := range fin {
		d := fin[(e+1)%len(fin)].sub(p).unit()
		out[e] = math.Abs(d.y)*u.Excess[0]/2 + math.Abs(d.x)*u.Excess[1]/2
	}
	return out
}

package method

import (
	"math"
	"slices"
)

// dots finds where the needle stops at a dot, at the crossing of finished seams, and not at the raw edge: at an end about which what the
// seams there hold together takes more than a straight angle. There a part is set in, or the outline turns inward and waits for one; stitches
// that ran on through the allowances would hold them where they have to part. Where a partial seam is left open it only pauses.
func (c *chooser) dots(u *Unit, seams []seamLine) {
	type sewn struct {
		a, b   int
		from   pt
		along  pt      // its direction
		length float64 // and how far it is sewn
	}
	var all []sewn
	open, pauses := u.open()
	for i := range seams {
		s := &seams[i]
		for _, k := range append([]int{s.join}, s.also...) {
			j := u.Joins[k]
			from, to := float(j.Seam.A), float(j.Seam.B)
			if s.partial {
				to = open
			}
			d := to.sub(from)
			all = append(all, sewn{j.A, j.B, from, d.unit(), d.length()})
		}
		for e, p := range [2]pt{s.from, s.to} {
			if pauses && p.sub(open).length() < 1e-6 {
				continue
			}
			var here []sewn
			for _, o := range all {
				d := p.sub(o.from)
				if t := d.dot(o.along); math.Abs(d.cross(o.along)) < 1e-6 && t > -1e-6 && t < o.length+1e-6 {
					here = append(here, o)
				}
			}
			held := []int{here[len(here)-1].a}
			for grown := true; grown; {
				grown = false
				for _, o := range here {
					if a, b := slices.Contains(held, o.a), slices.Contains(held, o.b); a != b {
						held, grown = append(held, o.a), true
						if a {
							held[len(held)-1] = o.b
						}
					}
				}
			}
			angle := 0.0
			for _, k := range held {
				angle += angleAt(c.units, u, k, p)
			}
			if angle > math.Pi+1e-6 {
				s.dots = append(s.dots, e)
			}
		}
	}
}

// angleAt is the angle that part k of a unit takes about a point: nothing where it only lies elsewhere.
func angleAt(units []Unit, u *Unit, k int, p pt) float64 {
	m, fin := of(u.Parts[k].Pose), units[u.Parts[k].Unit].fin
	n := len(fin)
	for i := range fin {
		a, b := m.apply(fin[i]), m.apply(fin[(i+1)%n])
		in, out := p.sub(a), b.sub(p)
		if out.length() < 1e-6 { // the next corner
			next := m.apply(fin[(i+2)%n]).sub(b)
			return math.Pi - math.Atan2(in.cross(next), in.dot(next))
		}
		if in.length() > 1e-6 && math.Abs(in.unit().cross(out.unit())) < 1e-9 && in.dot(out) > 0 {
			return math.Pi
		}
	}
	return 0
}

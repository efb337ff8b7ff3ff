package method

import "math"

// dots finds where the needle stops at a dot, at the crossing of finished seams, and not at the raw edge: at an end about which what the
// seams there hold together takes more than a straight angle. There a part is set in, or the outline turns inward and waits for one; stitches
// that ran on through the allowances would hold them where they have to part. Where a partial seam is left open it only pauses.
func (c *chooser) dots(u *Unit, seams []seamLine) {
	type sewn struct {
		a, b     int
		from, to pt
	}
	var all []sewn
	open, pauses := u.open()
	for i := range seams {
		s := &seams[i]
		for _, k := range append([]int{s.join}, s.also...) {
			j := u.Joins[k]
			now := sewn{j.A, j.B, float(j.Seam.A), float(j.Seam.B)}
			if s.partial {
				now.to = open
			}
			all = append(all, now)
		}
		for e, p := range [2]pt{s.from, s.to} {
			if pauses && p.sub(open).length() < 1e-6 {
				continue
			}
			var here []sewn
			for _, o := range all {
				if d := o.to.sub(o.from); math.Abs(p.sub(o.from).cross(d.unit())) < 1e-6 && p.sub(o.from).dot(d.unit()) > -1e-6 && p.sub(o.to).dot(d.unit()) < 1e-6 {
					here = append(here, o)
				}
			}
			held := map[int]bool{here[len(here)-1].a: true}
			for grown := true; grown; {
				grown = false
				for _, o := range here {
					if held[o.a] != held[o.b] {
						held[o.a], held[o.b], grown = true, true, true
					}
				}
			}
			angle := 0.0
			for k := range u.Parts {
				if held[k] {
					angle += c.angleAt(u, k, p)
				}
			}
			if angle > math.Pi+1e-6 {
				s.dots = append(s.dots, e)
			}
		}
	}
}

// angleAt is the angle that part k of a unit takes about a point: nothing where it only lies elsewhere.
func (c *chooser) angleAt(u *Unit, k int, p pt) float64 {
	m, fin := of(u.Parts[k].Pose), c.units[u.Parts[k].Unit].fin
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

package method

import (
	"math"

	"quiltwright/internal/piecing"
)

// Past says that at one end of a seam (0 where it begins, 1 where it ends) the raw edge of a part passes that of what it is sewn to.
type Past struct {
	End, Part int
	By        float64
}

// Aligned says how the raw edges of join k of unit i are set off at its ends, when it is sewn after the joins before it. Where the
// edge beside the seam and the next one round the corner meet at an angle of a, the cloth passes the end of the seam by the seam's
// allowance times cot(a/2): two corners of different angle are not flush. By more than the ease it has to be said. Seams that
// stop at a mark are aligned by the mark.
func Aligned(units []Unit, i, k int, seam, ease float64) []Past {
	u := &units[i]
	j := u.Joins[k]
	if u.Method != "joined" || j.Kind != piecing.Straight || j.Finish {
		return nil
	}
	g := together(len(u.Parts))
	for _, before := range u.Joins[:k] {
		if a, b := g.leader[before.A], g.leader[before.B]; a != b {
			g.merge(max(a, b), min(a, b))
		}
	}
	var out []Past
	ends := [2]pt{float(j.Seam.A), float(j.Seam.B)}
	for e := range ends {
		p := ends[e]
		beyond := p.sub(ends[1-e]).unit()
		a, longA, okA := furthest(units, u, g.parts[g.leader[j.A]], p, beyond, seam)
		b, longB, okB := furthest(units, u, g.parts[g.leader[j.B]], p, beyond, seam)
		switch d := longA - longB; {
		case !okA || !okB:
		case d > ease:
			out = append(out, Past{e, a, d})
		case -d > ease:
			out = append(out, Past{e, b, -d})
		}
	}
	return out
}

// furthest finds, among the parts, the corner at p whose one side runs back from beyond: its part, and how far its raw corner
// lies beyond p. ok is false where no part has such a corner: the edge goes on.
func furthest(units []Unit, u *Unit, parts []int, p, beyond pt, seam float64) (part int, far float64, ok bool) {
	for _, k := range parts {
		v := &units[u.Parts[k].Unit]
		m := of(u.Parts[k].Pose)
		by := make([]float64, len(v.fin))
		for e := range by {
			by[e] = seam + v.Out[e]
		}
		var raw []pt
		for c, q := range v.fin {
			if m.apply(q).sub(p).length() > 1e-6 {
				continue
			}
			n := len(v.fin)
			next, last := m.apply(v.fin[(c+1)%n]).sub(p).unit(), m.apply(v.fin[(c+n-1)%n]).sub(p).unit()
			if math.Min(next.add(beyond).length(), last.add(beyond).length()) > 1e-6 {
				continue
			}
			if raw == nil {
				raw = offset(v.fin, by)
			}
			if v.mitred || v.tips && v.asCut(raw[c]).sub(raw[c]).length() > seam {
				continue // the cloth goes on, and is trimmed
			}
			if d := m.apply(v.asCut(raw[c])).sub(p).dot(beyond); !ok || d > far {
				part, far, ok = k, d, true
			}
		}
	}
	return part, far, ok
}

// asCut is the corner of the cloth nearest to one that lies square out from finished edges: a blank rounded to the ruler's marks need not
// keep the angles.
func (u *Unit) asCut(corner pt) pt {
	if u.Single == nil || u.Single.Measured {
		return corner
	}
	best, near := corner, math.Inf(1)
	for _, p := range u.Single.raw() {
		p = u.Lie.apply(p)
		if d := p.sub(corner).length(); d < near {
			best, near = p, d
		}
	}
	return best
}

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

// Aligned says, for each join of unit i, how the raw edges are set off at its ends when it is sewn after the joins before it. Where the
// edge beside the seam and the next one round the corner meet at an angle of a, the cloth passes the end of the seam by the seam's
// allowance times cot(a/2): two corners of different angle are not flush. By more than the ease it has to be said. Seams that
// stop at a mark are aligned by the mark.
func Aligned(units []Unit, i int, seam, ease float64) [][]Past {
	u := &units[i]
	out := make([][]Past, len(u.Joins))
	if u.Method == "joined" {
		newTable(units, u, seam).align(ease, func(join int, e passing) { out[join] = append(out[join], e.Past) })
	}
	return out
}

// align finds the ends of the seams, in the order of sewing, at which a raw edge passes the other by more than the ease.
func (t *table) align(ease float64, found func(join int, e passing)) {
	u := t.u
	g := together(len(u.Parts))
	for k, j := range u.Joins {
		a, b := g.leader[j.A], g.leader[j.B]
		if j.Kind == piecing.Straight && !j.Finish {
			ends := [2]pt{float(j.Seam.A), float(j.Seam.B)}
			for e, p := range ends {
				beyond := p.sub(ends[1-e]).unit()
				a, longA, okA := t.furthest(g.parts[a], p, beyond)
				b, longB, okB := t.furthest(g.parts[b], p, beyond)
				switch d := longA - longB; {
				case !okA || !okB:
				case d > ease:
					found(k, passing{Past{e, a, d}, p, beyond, longB, b})
				case -d > ease:
					found(k, passing{Past{e, b, -d}, p, beyond, longA, a})
				}
			}
		}
		if a != b {
			g.merge(max(a, b), min(a, b))
		}
	}
}

// boxes are the least and the greatest corner of each part, as it lies in the unit.
func (u *Unit) boxes(units []Unit) [][2]pt {
	out := make([][2]pt, len(u.Parts))
	for k, part := range u.Parts {
		m := of(part.Pose)
		all := make([]pt, len(units[part.Unit].fin))
		for c, q := range units[part.Unit].fin {
			all[c] = m.apply(q)
		}
		out[k][0], out[k][1] = box(all)
	}
	return out
}

// holds reports whether the point lies in the box or on its edge.
func holds(box [2]pt, p pt) bool {
	const near = 1e-6
	return p.x > box[0].x-near && p.y > box[0].y-near && p.x < box[1].x+near && p.y < box[1].y+near
}

// table is the parts of a unit before they are sewn.
type table struct {
	units []Unit
	u     *Unit
	seam  float64
	boxes [][2]pt // of the parts: a unit may have hundreds, and few of them are near a point
	cut   []bool  // of the parts: tips of it are trimmed
}

func newTable(units []Unit, u *Unit, seam float64) *table {
	t := &table{units: units, u: u, seam: seam, boxes: u.boxes(units), cut: make([]bool, len(u.Parts))}
	for _, tip := range u.Tips {
		t.cut[tip.Part] = true
	}
	return t
}

// furthest finds, among the parts, the corner at p whose one side runs back from beyond: its part, and how far its raw corner
// lies beyond p. ok is false where no part has such a corner: the edge goes on.
func (t *table) furthest(parts []int, p, beyond pt) (part int, far float64, ok bool) {
	for _, k := range parts {
		if !holds(t.boxes[k], p) {
			continue
		}
		v := &t.units[t.u.Parts[k].Unit]
		m := of(t.u.Parts[k].Pose)
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
				by := make([]float64, len(v.fin))
				for e := range by {
					by[e] = t.seam + v.Out[e]
				}
				raw = offset(v.fin, by)
			}
			if v.mitred || v.tips && v.asCut(raw[c]).sub(raw[c]).length() > t.seam {
				continue // the cloth goes on, and is trimmed
			}
			d := m.apply(v.asCut(raw[c])).sub(p).dot(beyond)
			if t.cut[k] {
				d = t.end(k, p, beyond)
			}
			if !ok || d > far {
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

package method

import (
	"math"

	"quiltwright/internal/plan"
)

// Trimmed corners: where a piece's point would pass the raw edge of what it is sewn to, its tip is cut off before, so that both ends are flush.
//
// The cut goes through the place on the piece's raw edge where the other's ends, square to that edge. Where the corner of the other is wider than square, its
// raw edge ends less than a seam beyond the finished corner: then the cut goes along its edge, so that it lies a seam from that corner all the same.

// Tip is a point that is cut off a part before it is sewn.
type Tip struct {
	Part  int
	In    float64 // from the point, along the raw edge that is sewn
	Angle float64 // degrees between that edge and the cut
	a, b  pt      // the cut, in the unit's frame: cloth stays on its left
}

// Line is the cut in the frame of the unit; cloth stays on its left.
func (t *Tip) Line() [2][2]float64 { return [2][2]float64{{t.a.x, t.a.y}, {t.b.x, t.b.y}} }

// tips finds the points of the parts of unit i that are trimmed so that nothing passes; what cannot be trimmed passes.
func (c *chooser) tips(i int) []Tip {
	u := &c.units[i]
	u.Tips = nil
	if c.makes[i].Corners != "trimmed" {
		return nil
	}
	for range 4 * len(u.Joins) { // a cut may leave another piece passing; each is made once
		t := newTable(c.units, u, c.seam)
		before := len(u.Tips)
		t.align(c.ease, func(_ int, e passing) {
			if tip, ok := t.tip(e); ok && len(u.Tips) == before {
				u.Tips = append(u.Tips, tip)
			}
		})
		if len(u.Tips) == before {
			break
		}
	}
	return u.Tips
}

// passing is an end of a seam at which the raw edge of a part passes.
type passing struct {
	Past
	at, beyond pt      // the finished end, and the direction in which the edge passes it
	far        float64 // how far beyond the end what the part is sewn to reaches
	other      int     // and the part of that
}

// tip is the cut that makes the edge of a part end where the other does; false where it would leave less than a seam anywhere.
func (t *table) tip(e passing) (Tip, bool) {
	cloth := t.cloth(e.Part)
	v := &t.units[t.u.Parts[e.Part].Unit]
	if v.mitred || v.tips || !convex(cloth) {
		return Tip{}, false
	}
	m := of(t.u.Parts[e.Part].Pose)
	inward := e.beyond.right() // square to the seam, toward the part
	if t.middle(e.Part).sub(e.at).dot(inward) < 0 {
		inward = inward.scale(-1)
	}
	out := t.edge(e.Part, e.at, e.beyond) // how far the raw edge lies beyond the seam
	q := e.at.add(e.beyond.scale(e.far)).sub(inward.scale(out))
	angle := math.Max(math.Pi/2, angleAt(t.units, t.u, e.other, e.at))
	dir := e.beyond.scale(-tidy(math.Cos(angle))).add(inward.scale(math.Sin(angle)))
	tip := Tip{Part: e.Part, In: e.By, Angle: tidy(angle * 180 / math.Pi), a: q, b: q.add(dir.scale(4 * t.seam))}
	if d := tip.b.sub(tip.a); d.right().dot(t.middle(e.Part).sub(q)) > 0 {
		tip.a, tip.b = tip.b, tip.a
	}
	left := tip.b.sub(tip.a).unit().right().scale(-1)
	for _, p := range v.fin {
		if m.apply(p).sub(tip.a).dot(left) < t.seam-1e-6 {
			return Tip{}, false
		}
	}
	return tip, true
}

// middle is a point inside part k.
func (t *table) middle(k int) pt {
	var sum pt
	all := t.cloth(k)
	for _, p := range all {
		sum = sum.add(p.scale(1 / float64(len(all))))
	}
	return sum
}

// cloth is the raw outline of part k in the frame of the unit, as it is cut and as its tips are trimmed.
func (t *table) cloth(k int) []pt {
	v := &t.units[t.u.Parts[k].Unit]
	m := of(t.u.Parts[k].Pose)
	var raw []pt
	if v.Single != nil && !v.Single.Measured {
		for _, p := range v.Single.raw() {
			raw = append(raw, m.apply(v.Lie.apply(p)))
		}
	} else {
		by := make([]float64, len(v.fin))
		for e := range by {
			by[e] = t.seam + v.Out[e]
		}
		for _, p := range offset(v.fin, by) {
			raw = append(raw, m.apply(p))
		}
	}
	for i := range t.u.Tips {
		if tip := &t.u.Tips[i]; tip.Part == k {
			raw = leftOf(raw, tip.a, tip.b)
		}
	}
	return raw
}

// end is how far beyond a place the raw edge of part k that is sewn there reaches: of the edges that run so, the one about a seam from it.
func (t *table) end(k int, p, beyond pt) float64 {
	far, _ := t.beside(k, p, beyond)
	return far
}

// edge is how far that raw edge lies from the seam.
func (t *table) edge(k int, p, beyond pt) float64 {
	_, off := t.beside(k, p, beyond)
	return off
}

func (t *table) beside(k int, p, beyond pt) (far, off float64) {
	raw, near := t.cloth(k), math.Inf(1)
	for i, a := range raw {
		b := raw[(i+1)%len(raw)]
		if d := b.sub(a); d.length() < 1e-9 || math.Abs(d.unit().cross(beyond)) > offGrain {
			continue
		}
		by := math.Abs(a.sub(p).cross(beyond))
		if d := math.Abs(by - t.seam); d < near {
			near, off, far = d, by, math.Max(a.sub(p).dot(beyond), b.sub(p).dot(beyond))
		}
	}
	return far, off
}

// leftOf is what of a convex outline lies to the left of a line.
func leftOf(ps []pt, a, b pt) []pt {
	n := b.sub(a).right()
	var out []pt
	for i, p := range ps {
		q := ps[(i+1)%len(ps)]
		dp, dq := p.sub(a).dot(n), q.sub(a).dot(n)
		if dp <= 0 {
			out = append(out, p)
		}
		if dp < 0 && dq > 0 || dp > 0 && dq < 0 {
			out = append(out, p.add(q.sub(p).scale(dp/(dp-dq))))
		}
	}
	return out
}

func convex(ps []pt) bool {
	sign := 0.0
	for i, p := range ps {
		q, r := ps[(i+1)%len(ps)], ps[(i+2)%len(ps)]
		if c := q.sub(p).cross(r.sub(q)); c*sign < -1e-12 {
			return false
		} else if c != 0 {
			sign = c
		}
	}
	return true
}

// trimTips writes the trims of a unit's tips, part by part: to an outline a seam wider than the cloth, but for the cuts, so that nothing else falls.
func (c *chooser) trimTips(u *Unit) (trims []plan.Op) {
	t := newTable(c.units, u, c.seam)
	for k, p := range u.Parts {
		var wide []pt
		for _, tip := range u.Tips {
			if tip.Part != k {
				continue
			}
			if wide == nil {
				wide = evenly(c.units[p.Unit].fin, 3*c.seam)
				for n := range wide {
					wide[n] = of(p.Pose).apply(wide[n])
				}
			}
			wide = leftOf(wide, tip.a, tip.b)
		}
		if wide == nil {
			continue
		}
		op := plan.Op{Op: "trim", Work: k}
		for _, q := range wide {
			op.To = append(op.To, of(t.u.Parts[k].Pose).back().apply(q).plan())
		}
		trims = append(trims, op)
	}
	return trims
}

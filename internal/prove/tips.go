package prove

import (
	"math"

	"quiltwright/internal/cloth"
	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// checkTips checks what a recipe cuts off its parts before it sews them: a tip that the unit names, at the place and the angle that it says, or the slanted end of a
// strip that was cut square, a seam from the finished edge. Whatever is cut off, every finished corner has a whole seam of cloth about it still.
func (v *prover) checkTips(r *plan.Recipe, works []cloth.Work) {
	u := &v.units[v.byID[r.Unit]]
	cut := make([]bool, len(u.Tips))
	for i, op := range r.Do {
		if op.Op != "trim" || len(works) != len(u.parts) || op.Work < 0 || op.Work >= len(u.parts) {
			break // the parts are trimmed first
		}
		part := u.parts[op.Work]
		before := works[op.Work].Layers[0].Cloth
		t := cloth.New([]cloth.Work{works[op.Work]})
		op.Work = 0
		if len(works[r.Do[i].Work].Layers) > 1 || t.Do(op) != nil {
			break // said before
		}
		after, fin := t.Look(0).Layers[0].Cloth, v.units[part.unit].outline
		for _, c := range fin {
			if out := outside(after, c); !v.expect(out <= -v.seam+v.ease+1e-6) {
				v.fault("tip", u.ID, "", "", "operation %d of recipe %s leaves %s of cloth about the corner at %s of part %d", i, r.ID, v.long(-out), v.point(c), r.Do[i].Work)
			}
		}
		for k, a := range after {
			b := after[(k+1)%len(after)]
			if along(before, a, b) {
				continue // an edge that was there
			}
			named := false
			for n := range u.Tips {
				if tip := &u.Tips[n]; tip.Part == r.Do[i].Work && !cut[n] && v.isTip(tip, part, before, a, b) {
					cut[n], named = true, true
					break
				}
			}
			if !named && !v.expect(v.besideEdge(fin, a, b)) {
				v.fault("tip", u.ID, "", "", "operation %d of recipe %s cuts part %d from %s to %s, which is not said", i, r.ID, r.Do[i].Work, v.point(a), v.point(b))
			}
		}
	}
	for n, ok := range cut {
		if !v.expect(ok) {
			v.fault("tip", u.ID, "", "", "recipe %s does not cut tip %d of unit %s off part %d as it says", r.ID, n, u.ID, u.Tips[n].Part)
		}
	}
}

// along reports whether a segment lies on an edge of an outline.
func along(outline []pt, a, b pt) bool {
	for i, p := range outline {
		q := outline[(i+1)%len(outline)]
		if onLine(a, p, q) && onLine(b, p, q) {
			return true
		}
	}
	return false
}

// isTip reports whether the cut from a to b of a part, which had the outline before, is the tip: on its line, with one point of the outline beyond it, so far
// from the end of the cut and at the angle to that edge that is said.
func (v *prover) isTip(tip *plan.Tip, p part, before []pt, a, b pt) bool {
	back := flat.Inverse(p.pose)
	from, to := flat.Apply(back, flat.At(tip.Line[0])), flat.Apply(back, flat.At(tip.Line[1]))
	d := flat.Direction(from, to)
	if math.Abs(flat.Cross(d, flat.Sub(a, from))) > exactly*10 || math.Abs(flat.Cross(d, flat.Sub(b, from))) > exactly*10 {
		return false
	}
	var point pt
	beyond := 0
	for _, c := range before {
		if flat.Dot(flat.Sub(c, from), flat.Outward(d)) < -exactly { // what lies to the left is kept
			beyond++
			point = c
		}
	}
	if beyond != 1 {
		return false
	}
	for _, e := range [2][2]pt{{a, b}, {b, a}} {
		edge, off := flat.Direction(point, e[0]), flat.Direction(e[0], e[1])
		angle := math.Acos(math.Max(-1, math.Min(1, flat.Dot(edge, off)))) * 180 / math.Pi
		if same(flat.Distance(point, e[0]), float64(tip.In), v.ease) && same(angle, float64(tip.Angle), 0.75) {
			return true
		}
	}
	return false
}

// besideEdge reports whether a cut runs along an edge of the finished outline, a seam from it.
func (v *prover) besideEdge(fin []pt, a, b pt) bool {
	for i, p := range fin {
		d := flat.Direction(p, fin[(i+1)%len(fin)])
		out := flat.Outward(d)
		if same(flat.Dot(flat.Sub(a, p), out), v.seam, v.ease) && same(flat.Dot(flat.Sub(b, p), out), v.seam, v.ease) {
			return true
		}
	}
	return false
}

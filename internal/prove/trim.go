package prove

import (
	"math"

	"quiltwright/internal/cloth"
	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// checkChart checks the chart of how the unit that a work is given as is trimmed: what it measures before, as it lies on the table without its trims, and where seams meet the trimmed
// edge or cross a seam in from it. Whatever its recipe trims to a rectangle has one, and nothing else.
func (v *prover) checkChart(r *plan.Recipe, g plan.Gives, works []cloth.Work, trimmed bool) {
	u := &v.units[v.byID[g.Unit]]
	w, h := float64(u.Size.Width), float64(u.Size.Height)
	trimmed = trimmed && len(u.outline) == 4 && same(flat.Area2(u.outline)/2, w*h, 1e-6)
	if !v.expect(trimmed == (u.Trim != nil)) {
		v.fault("trim", u.ID, "", "", "unit %s is trimmed: %t; it has a chart for that: %t", u.ID, trimmed, u.Trim != nil)
	}
	if !trimmed || u.Trim == nil {
		return
	}
	t := cloth.New(works)
	for _, op := range r.Do {
		if op.Op != "trim" && t.Do(op) != nil {
			return // said before
		}
	}
	is := t.Look(g.Work)
	if is == nil {
		return
	}
	from := v.rawSize(is, g.Pose)
	sure := true // rounding to the ruler has turned no seam, and no edge with it
	for _, m := range u.Trim.Meets {
		sure = sure && m.From <= 1e-3
	}
	said := u.Trim.From
	if !v.expect((said != nil) == sure) {
		v.fault("trim", u.ID, "", "", "unit %s says what it measures before it is trimmed: %t; its seams keep their slope: %t", u.ID, said != nil, sure)
	}
	if said != nil && !v.expect(same(float64(said.Width), from[0], v.ease) && same(float64(said.Height), from[1], v.ease)) {
		v.fault("trim", u.ID, "", v.long(from[0])+" by "+v.long(from[1]), "unit %s is said to measure %s by %s before it is trimmed", u.ID, v.long(float64(said.Width)), v.long(float64(said.Height)))
	}
	v.checkMeets(u, w, h)
}

// rawSize is how wide and high a rectangle of sewn cloth is, raw edge to raw edge: by the furthest of those on each side.
func (v *prover) rawSize(w *cloth.Work, pose plan.Pose) (size [2]float64) {
	var lo, hi [2]float64
	for axis := range 2 {
		lo[axis], hi[axis] = math.Inf(1), math.Inf(-1)
	}
	for i := range w.Layers {
		l := cloth.Place(w.Layers[i], pose)
		for k, a := range l.Cloth {
			b := l.Cloth[(k+1)%len(l.Cloth)]
			if l.Edges[k].Sewn || flat.Distance(a, b) < v.seam {
				continue
			}
			out, mid := flat.Outward(flat.Direction(a, b)), flat.Scale(flat.Add(a, b), 0.5)
			for axis := range 2 {
				switch {
				case out[axis] > 0.99:
					hi[axis] = math.Max(hi[axis], mid[axis])
				case out[axis] < -0.99:
					lo[axis] = math.Min(lo[axis], mid[axis])
				}
			}
		}
	}
	return [2]float64{hi[0] - lo[0], hi[1] - lo[1]}
}

// checkMeets finds where the seams of a rectangle go on to through its allowances.
func (v *prover) checkMeets(u *unit, w, h float64) {
	var meets, points []pt
	ends := v.seamEnds(v.byID[u.ID])
	for i, e := range ends {
		alike, first := 0, true
		for k, o := range ends {
			if flat.Distance(o.at, e.at) <= exactly {
				alike++
				first = first && k >= i
			}
		}
		onX, onY := e.at[0] <= exactly || e.at[0] >= w-exactly, e.at[1] <= exactly || e.at[1] >= h-exactly
		if alike > 1 && !(onX && onY) {
			if first {
				points = append(points, e.at)
			}
			continue
		}
		// Walk out along the seam until the first raw edge.
		far := math.Inf(1)
		for axis, size := range []float64{w, h} {
			if d := -e.into[axis]; math.Abs(d) > exactly {
				edge := -v.seam
				if d > 0 {
					edge = size + v.seam
				}
				far = math.Min(far, (edge-e.at[axis])/d)
			}
		}
		meets = append(meets, flat.Sub(e.at, flat.Scale(e.into, far)))
	}
	t := u.Trim
	left := append([]pt(nil), meets...)
	ok := len(t.Meets) == len(meets)
	for _, m := range t.Meets {
		at, found := flat.At(m.At), false
		for k, q := range left {
			if flat.Distance(q, at) <= 10*exactly {
				left = append(left[:k:k], left[k+1:]...)
				found = true
				break
			}
		}
		corner := math.Inf(1)
		for _, x := range []float64{-v.seam, w + v.seam} {
			for _, y := range []float64{-v.seam, h + v.seam} {
				corner = math.Min(corner, flat.Distance(at, pt{x, y}))
			}
		}
		ok = ok && found && same(float64(m.From), corner, 1e-4)
	}
	if !v.expect(ok) {
		v.fault("trim", u.ID, "", "", "unit %s is trimmed, but its %d seams do not meet the trimmed edge where it says", u.ID, len(meets))
	}
	ok = len(t.Points) == len(points)
	for _, q := range t.Points {
		found := false
		for _, o := range points {
			found = found || flat.Distance(o, flat.At(q)) <= exactly
		}
		ok = ok && found
	}
	if !v.expect(ok) {
		v.fault("trim", u.ID, "", "", "unit %s is trimmed, but its %d points do not lie where it says", u.ID, len(points))
	}
}

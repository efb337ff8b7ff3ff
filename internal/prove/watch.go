package prove

import (
	"math"
	"slices"

	"quiltwright/internal/flat"
)

// seamEnd is where a seam ends, and which way it goes from there.
type seamEnd struct{ at, into pt }

// seamEnds are the places on the outline of a unit where its seams end, those within its parts too: one for each seam.
func (v *prover) seamEnds(k int) []seamEnd {
	if v.ends == nil {
		v.ends = make([][]seamEnd, len(v.units))
		for i := range v.units { // parts stand before what they are in
			u := &v.units[i]
			put := func(q seamEnd) {
				for e, a := range u.outline {
					if onLine(q.at, a, u.outline[(e+1)%len(u.outline)]) {
						v.ends[i] = append(v.ends[i], q)
						return
					}
				}
			}
			for _, p := range u.parts {
				if p.unit >= i {
					continue // said before
				}
				for _, q := range v.ends[p.unit] {
					at := flat.Apply(p.pose, q.at)
					put(seamEnd{at, flat.Sub(flat.Apply(p.pose, flat.Add(q.at, q.into)), at)})
				}
			}
			for _, j := range u.Joins {
				a, b := flat.At(j.Seam[0]), flat.At(j.Seam[1])
				put(seamEnd{a, flat.Direction(a, b)})
				put(seamEnd{b, flat.Direction(b, a)})
			}
		}
	}
	return v.ends[k]
}

// onLine reports whether a place lies on a segment, its ends included.
func onLine(q, a, b pt) bool {
	d := flat.Direction(a, b)
	t := flat.Dot(flat.Sub(q, a), d)
	return math.Abs(flat.Cross(d, flat.Sub(q, a))) <= exactly && t >= -exactly && t <= flat.Distance(a, b)+exactly
}

// watched is which side of join k must be watched, 0 or 1: that which has a point, where seams of it meet on the line between its ends, if the other has none; else
// that which has seams on the line at all, if the other has none; -1 otherwise. With it the points of that side.
func (f *fitting) watched(k int) (side int, points []pt) {
	j := &f.u.Joins[k]
	a, b := flat.At(j.Seam[0]), flat.At(j.Seam[1])
	var at [2][]pt
	var ends [2]int
	for s, n := range j.Parts {
		p := f.u.parts[n]
		var on []float64 // how far along
		for _, e := range f.seamEnds(p.unit) {
			if q := flat.Apply(p.pose, e.at); onLine(q, a, b) {
				on = append(on, flat.Distance(q, a))
			}
		}
		ends[s] = len(on)
		slices.Sort(on)
		d, run := flat.Direction(a, b), flat.Distance(a, b)
		for i := 0; i < len(on); {
			k := i + 1
			for k < len(on) && on[k]-on[i] <= exactly {
				k++
			}
			if k > i+1 && on[i] > exactly && on[i] < run-exactly {
				at[s] = append(at[s], flat.Add(a, flat.Scale(d, on[i])))
			}
			i = k
		}
	}
	for s := range at {
		if len(at[s]) > 0 && len(at[1-s]) == 0 {
			return s, at[s]
		}
	}
	for s := range ends {
		if len(at[0])+len(at[1]) == 0 && ends[s] > 0 && ends[1-s] == 0 {
			return s, nil
		}
	}
	return -1, nil
}

// top checks which part a join has on top at the machine and what of it is to be watched. laid is the part that the recipe lays, -1 where it does not matter;
// alone says that the seam is a whole join, and nothing else.
func (f *fitting) top(k, laid int, alone bool) {
	j := &f.u.Joins[k]
	side, points := -1, []pt(nil)
	if alone && j.Kind == "straight" && f.panels {
		side, points = f.watched(k)
	}
	switch {
	case side >= 0:
		if !f.expect(j.Top == j.Parts[side]) {
			f.fault("join", f.u.ID, "", "", "join %d of unit %s has part %d on top, but the seams of part %d must be watched", k, f.u.ID, j.Top, j.Parts[side])
		}
	case laid >= 0:
		if !f.expect(j.Top == laid) {
			f.fault("join", f.u.ID, "", "", "recipe %s lays part %d of unit %s on top, join %d says part %d", f.r.ID, laid, f.u.ID, k, j.Top)
		}
	}
	why := ""
	switch {
	case len(points) > 0:
		why = "points"
	case side >= 0:
		why = "seams"
	}
	said := len(j.Watch) == len(points) && j.Watched == why
	for _, w := range j.Watch {
		near := false
		for _, q := range points {
			near = near || flat.Distance(q, flat.At(w)) <= exactly
		}
		said = said && near
	}
	for _, q := range points {
		near := false
		for _, w := range j.Watch {
			near = near || flat.Distance(q, flat.At(w)) <= exactly
		}
		said = said && near
	}
	if !f.expect(said) {
		f.fault("join", f.u.ID, "", "", "join %d of unit %s is watched for its %s, at %d points: it says %s, at %d points, or others", k, f.u.ID, why, len(points), j.Watched, len(j.Watch))
	}
}

package press

import (
	"math"
	"sort"

	"quiltwright/internal/method"
	"quiltwright/internal/piecing"
)

// Watched says which part of a join lies on top at the machine, facing the needle, because its seams must be watched, and the points of it that the
// needle must hit.
type Watched struct {
	Top    int // a part of the join; -1 where neither has to
	Points [][2]float64
}

// Watch finds for every join of every unit that is sewn by itself which part must be watched: a part with a point, where two or more of its seams meet on the
// seam line between its ends, before one that has none; else a part whose seams cross the line, and could be turned over unseen, before one without. Common
// practice.
func Watch(units []method.Unit) [][]Watched {
	ends := seamEnds(units)
	out := make([][]Watched, len(units))
	for i := range units {
		u := &units[i]
		parts := make([][]end, len(u.Parts))
		for k, part := range u.Parts {
			parts[k] = moved(ends[part.Unit], part)
		}
		for k, j := range u.Joins {
			w := Watched{Top: -1}
			goesOn := j.OneGo || k+1 < len(u.Joins) && u.Joins[k+1].OneGo
			if u.Method == "joined" && j.Kind == piecing.Straight && !j.Finish && !goesOn {
				w = watched(j, parts[j.A], parts[j.B])
			}
			out[i] = append(out[i], w)
		}
	}
	return out
}

// seamEnds lists, for every unit, where its seams end on its outline, those of its parts too.
func seamEnds(units []method.Unit) [][]end {
	ends := make([][]end, len(units))
	for i := range units {
		u := &units[i]
		rim := outline(u)
		put := func(e end) {
			if rim.on(e.x, e.y) {
				ends[i] = append(ends[i], e)
			}
		}
		for _, part := range u.Parts {
			for _, e := range moved(ends[part.Unit], part) {
				put(e)
			}
		}
		for _, j := range u.Joins {
			ax, ay, bx, by := j.Seam.A.X.Float(), j.Seam.A.Y.Float(), j.Seam.B.X.Float(), j.Seam.B.Y.Float()
			l := math.Hypot(bx-ax, by-ay)
			put(end{x: ax, y: ay, dx: (bx - ax) / l, dy: (by - ay) / l, loose: j.Kind == piecing.SetIn})
			put(end{x: bx, y: by, dx: (ax - bx) / l, dy: (ay - by) / l, loose: j.Kind == piecing.SetIn})
		}
	}
	return ends
}

// watched chooses between the parts of one join.
func watched(j piecing.Join, a, b []end) Watched {
	pointsA, endsA := onSeam(j, a)
	pointsB, endsB := onSeam(j, b)
	switch {
	case len(pointsA) > 0 && len(pointsB) == 0:
		return Watched{j.A, pointsA}
	case len(pointsB) > 0 && len(pointsA) == 0:
		return Watched{j.B, pointsB}
	case len(pointsA) > 0: // both must be hit: they meet, or the writer has to choose
		return Watched{Top: -1}
	case endsA > 0 && endsB == 0:
		return Watched{Top: j.A}
	case endsB > 0 && endsA == 0:
		return Watched{Top: j.B}
	}
	return Watched{Top: -1}
}

// onSeam counts the ends of seams that lie on a join, and lists the points between its ends where two or more lie.
func onSeam(j piecing.Join, ends []end) (points [][2]float64, n int) {
	seam := [4]float64{j.Seam.A.X.Float(), j.Seam.A.Y.Float(), j.Seam.B.X.Float(), j.Seam.B.Y.Float()}
	run := math.Hypot(seam[2]-seam[0], seam[3]-seam[1])
	var on []placed
	for _, e := range ends {
		if within(seam, e.x, e.y) {
			on = append(on, placed{e, math.Hypot(e.x-seam[0], e.y-seam[1])})
		}
	}
	sort.SliceStable(on, func(x, y int) bool { return on[x].t < on[y].t })
	for k := 1; k < len(on); k++ {
		again := on[k].t-on[k-1].t < near
		if known := k > 1 && on[k-1].t-on[k-2].t < near; again && !known && on[k].t > near && on[k].t < run-near {
			points = append(points, [2]float64{on[k].x, on[k].y})
		}
	}
	return points, len(on)
}

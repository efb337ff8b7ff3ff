package sew

import (
	"slices"

	"quiltwright/internal/exact"
	"quiltwright/internal/method"
	"quiltwright/internal/piecing"
	"quiltwright/internal/plane"
	"quiltwright/internal/press"
)

// Web is a block whose rows, or columns, all come apart at the same places: sewn column by column with the thread left between the rows, it hangs together like a
// web, and no row can be mistaken for another.
type Web struct{ Rows, Columns int }

// across is a seam of a line of a web: where it crosses the line, and to which side it is pressed: -1 back, 1 on.
type across struct {
	at exact.Num
	to int
}

// AsWeb reports whether unit i can be sewn as a web: its parts are lines one after the other, each joined from as many parts at the same places, and wherever
// seams of two lines meet they are pressed opposite ways, so that none is turned over when the lines are sewn together.
func AsWeb(units []method.Unit, i int, ways method.Ways, pressed *press.Result) (Web, bool) {
	u := &units[i]
	if u.Method != "joined" || len(u.Parts) < 2 || len(u.Joins) != len(u.Parts)-1 {
		return Web{}, false
	}
	rows := u.Joins[0].Seam.A.Y.Equal(u.Joins[0].Seam.B.Y)
	for _, j := range u.Joins {
		if !plain(j) || !(along(j.Seam.A, rows).Equal(along(j.Seam.B, rows))) {
			return Web{}, false
		}
	}
	n := 0
	for way := range 2 {
		if u.BatchesWay(way) == 0 {
			continue
		}
		type standing struct {
			at   exact.Num
			seam []across
		}
		var lines []standing
		for k, p := range u.Parts {
			v := &units[p.Unit]
			w := ways.Of(i, k, way)
			if v.BatchesWay(w) == 0 {
				w = 1 - w
			}
			seams, ok := crossing(units, v, p.Pose, rows, pressed.Toward[p.Unit][w])
			if !ok || slices.ContainsFunc(pressed.Spun[p.Unit][w], func(at []press.Point) bool { return len(at) > 0 }) { // a seam that is spun lies one way above and another below
				return Web{}, false
			}
			lo, _ := p.Pose.ApplyPolygon(v.Outline).Box()
			lines = append(lines, standing{along(lo, rows), seams})
		}
		slices.SortFunc(lines, func(a, b standing) int { return a.at.Cmp(b.at) })
		for k := range lines[1:] {
			a, b := lines[k].seam, lines[k+1].seam
			if !slices.EqualFunc(a, b, func(s, t across) bool { return s.at.Equal(t.at) && s.to == -t.to && s.to != 0 }) {
				return Web{}, false
			}
		}
		n = len(lines[0].seam) + 1
	}
	if n < 2 {
		return Web{}, false
	}
	if rows {
		return Web{len(u.Parts), n}, true
	}
	return Web{n, len(u.Parts)}, true
}

// plain reports whether a join is one straight seam from end to end.
func plain(j piecing.Join) bool { return j.Kind == piecing.Straight && !j.Finish && !j.OneGo }

// along is how far down a point lies where lines are rows, how far to the right where they are columns.
func along(p plane.Point, rows bool) exact.Num {
	if rows {
		return p.Y
	}
	return p.X
}

// crossing are the seams of a line, in order; false where it is not a run of parts joined square to it.
func crossing(units []method.Unit, v *method.Unit, pose plane.Pose, rows bool, toward []int) ([]across, bool) {
	if v.Method != "joined" || len(v.Joins) == 0 || len(v.Joins) != len(v.Parts)-1 || len(toward) != len(v.Joins) {
		return nil, false
	}
	var out []across
	for k, j := range v.Joins {
		a, b := along(pose.Apply(j.Seam.A), !rows), along(pose.Apply(j.Seam.B), !rows)
		if !plain(j) || !a.Equal(b) {
			return nil, false
		}
		part := v.Parts[j.A]
		lo, _ := pose.ApplyPolygon(part.Pose.ApplyPolygon(units[part.Unit].Outline)).Box()
		s := across{at: a}
		if side := along(lo, !rows).Cmp(a); toward[k] != press.Open { // side: -1 where part A lies before the seam, 0 where it begins there
			s.to = 1
			if (side < 0) == (toward[k] == press.TowardA) {
				s.to = -1
			}
		}
		out = append(out, s)
	}
	slices.SortFunc(out, func(s, t across) int { return s.at.Cmp(t.at) })
	return out, true
}

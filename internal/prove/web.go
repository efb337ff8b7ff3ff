package prove

import (
	"math"
	"sort"

	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// checkWebs checks which blocks are said to be sewn as a web: those whose parts are lines, one after the other, that are joined of parts at the same
// places, with seams that are pressed opposite ways wherever two lines meet.
func (v *prover) checkWebs() {
	blocks := map[string]bool{}
	for i := range v.p.Blocks {
		blocks[v.p.Blocks[i].Unit] = true
	}
	for k := range v.units {
		u := &v.units[k]
		var want, is plan.Web
		if blocks[u.ID] {
			want = v.web(u)
		}
		if u.Web != nil {
			is = *u.Web
		}
		if !v.expect(is == want && (u.Web == nil) == (want.Rows == 0)) {
			v.fault("web", u.ID, "", "", "unit %s is a web of %d rows and %d columns, not of %d and %d; 0 where it is none", u.ID, want.Rows, want.Columns, is.Rows, is.Columns)
		}
	}
}

// web is the web that a unit is; of no rows where it is none.
func (v *prover) web(u *unit) plan.Web {
	n := len(u.parts)
	if n < 2 || !v.onlyJoins(u) {
		return plan.Web{}
	}
	axis := 1 // lines are rows: they follow one another down
	if s := u.Joins[0].Seam; math.Abs(float64(s[0][0]-s[1][0])) < exactly {
		axis = 0
	}
	if seams := v.upright(u, plan.Pose{}, axis, nil); len(seams) != n-1 {
		return plan.Web{}
	}
	columns := 0
	for _, r := range u.recipes {
		way := v.p.Recipes[r].Way
		type line struct {
			at    float64
			seams [][2]float64
		}
		var lines []line
		for i, p := range u.parts {
			q := &v.units[p.unit]
			if !v.onlyJoins(q) {
				return plan.Web{}
			}
			at := math.Inf(1)
			for _, c := range q.outline {
				at = math.Min(at, flat.Apply(p.pose, c)[axis])
			}
			press := v.pressedWay(q, u.Unit.Parts[i].Way^way)
			lines = append(lines, line{at, v.upright(q, p.pose, 1-axis, press)})
		}
		sort.Slice(lines, func(i, j int) bool { return lines[i].at < lines[j].at })
		columns = len(lines[0].seams) + 1
		for i := range lines {
			s := lines[i].seams
			if len(s) == 0 || len(s) != columns-1 {
				return plan.Web{}
			}
			for c := range s {
				if s[c][1] == 0 || i > 0 && (math.Abs(s[c][0]-lines[i-1].seams[c][0]) > exactly || s[c][1] != -lines[i-1].seams[c][1]) {
					return plan.Web{}
				}
			}
		}
	}
	switch {
	case columns == 0:
		return plan.Web{}
	case axis == 1:
		return plan.Web{Rows: n, Columns: columns}
	}
	return plan.Web{Rows: columns, Columns: n}
}

// onlyJoins reports whether a unit is made by joining its parts, each to the next.
func (v *prover) onlyJoins(u *unit) bool {
	if len(u.recipes) == 0 || len(u.Joins) != len(u.parts)-1 {
		return false
	}
	for _, r := range u.recipes {
		for _, op := range v.p.Recipes[r].Do {
			if op.Op == "cut" || op.Op == "mark" {
				return false
			}
		}
	}
	return true
}

// pressedWay is how the joins of a unit are pressed that is made the given way, if it is made both ways.
func (v *prover) pressedWay(u *unit, way int) []string {
	out := make([]string, len(u.Joins))
	for k, j := range u.Joins {
		if out[k] = j.Press; len(j.Split) > way && way >= 0 {
			out[k] = j.Split[way].Press
		}
		if len(spunAt(&u.Joins[k], way)) > 0 {
			out[k] = "" // one way at its one end, another at the other
		}
	}
	return out
}

// upright are the joins of a unit that lies by a pose, each square to an axis: where it crosses the axis, and -1 or 1 for the side to which it is pressed, 0
// for open; in order. Nil where one is no whole seam square to the axis.
func (v *prover) upright(u *unit, pose plan.Pose, axis int, press []string) [][2]float64 {
	var out [][2]float64
	for k, j := range u.Joins {
		a, b := flat.Apply(pose, flat.At(j.Seam[0])), flat.Apply(pose, flat.At(j.Seam[1]))
		if j.Kind != "straight" || math.Abs(a[axis]-b[axis]) > exactly {
			return nil
		}
		s := [2]float64{a[axis], 0}
		for _, part := range j.Parts {
			if press == nil || part < 0 || part >= len(u.parts) || press[k] != toward(part) {
				continue
			}
			p := u.parts[part]
			mid := centre(flat.Posed(v.units[p.unit].outline, flat.Then(p.pose, pose)))
			s[1] = 1
			if mid[axis] < a[axis] {
				s[1] = -1
			}
		}
		out = append(out, s)
	}
	sort.Slice(out, func(i, j int) bool { return out[i][0] < out[j][0] })
	return out
}

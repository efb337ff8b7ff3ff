package prove

import (
	"math"
	"slices"

	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// A seam is spun at a crossing of four where its two halves turn opposite ways. The few stitches of the seams that cross it, inside its allowance, are opened
// for it, so that each of the four quarters can be folded about one seam only: about its own, or about the last.

// spunAt are the crossings at which a join is spun in a unit that is made the given way.
func spunAt(j *plan.Join, way int) []plan.Point {
	if way >= 0 && len(j.Split) > way {
		return j.Split[way].Spun
	}
	return j.Spun
}

// checkSpins checks that every seam that is spun can be.
func (v *prover) checkSpins() {
	for i := range v.units {
		u := &v.units[i]
		for way, made := range v.waysMade(i) {
			for k := range u.Joins {
				j := &u.Joins[k]
				spun := spunAt(j, way)
				switch {
				case !made || len(spun) == 0:
				case !v.expect(v.spunLine(u, k, spun)):
					v.fault("spin", u.ID, "", "", "join %d of unit %s is not spun at points between its ends, in order", k, u.ID)
				case !v.expect(v.takesParts(u)):
					v.fault("spin", u.ID, "", "", "join %d of unit %s is spun; but its recipe does not sew the two sides of it together as they are made, with the seams in them that cross it", k, u.ID)
				default:
					for _, p := range spun {
						v.spin(i, k, way, flat.At(p))
					}
				}
			}
		}
	}
}

// spunLine reports whether points lie on a join that is sewn from end to end, between its ends and in order.
func (v *prover) spunLine(u *unit, k int, spun []plan.Point) bool {
	j := &u.Joins[k]
	a, b := flat.At(j.Seam[0]), flat.At(j.Seam[1])
	last := 0.0
	for _, p := range spun {
		t := flat.Distance(a, flat.At(p))
		if !alongside(j.Seam, flat.At(p)) || t < last+near || t > flat.Distance(a, b)-near {
			return false
		}
		last = t
	}
	return j.Kind == "straight"
}

// takesParts reports whether every recipe of a unit joins its parts as they are made: what is sewn within them is sewn before.
func (v *prover) takesParts(u *unit) bool {
	var parts []string
	for _, p := range u.Unit.Parts {
		parts = append(parts, p.Unit)
	}
	slices.Sort(parts)
	for _, r := range u.recipes {
		var from []string
		for _, f := range v.p.Recipes[r].From {
			for range f.Count {
				from = append(from, f.Unit)
			}
		}
		if slices.Sort(from); !slices.Equal(from, parts) {
			return false
		}
	}
	return v.onlyJoins(u)
}

// spin checks that join k can be spun at a point: round it lie four quarters, each with a seam of its own side square to the join; the join is the last of the
// seams there; and the allowances turn one way round, so that each quarter is folded about one of its two seams and lies flat at the other.
func (v *prover) spin(i, k, way int, x pt) {
	u := &v.units[i]
	quarters := map[[2]bool]bool{}
	says := ""
	for _, s := range v.sheets(i, way, x, plan.Pose{}, x, nil) {
		n := len(s.folds)
		if n < 2 || s.folds[n-1].on == (pt{}) {
			says = "a later seam runs there, or no seam was sewn there before"
			break
		}
		last, own := s.folds[n-1], s.folds[n-2]
		switch {
		case math.Abs(flat.Dot(last.own, own.own)) > near:
			says = "the seam sewn before it does not cross it square"
		case slices.ContainsFunc(s.folds[:n-1], func(f fold) bool { return f.on != (pt{}) }):
			says = "two seams are spun there"
		case last.toward == 0 || own.toward == 0:
			says = "a seam is pressed open there"
		case last.toward == own.toward:
			says = "the allowances do not turn one way round it"
		}
		along := flat.Direction(flat.At(u.Joins[k].Seam[0]), flat.At(u.Joins[k].Seam[1]))
		quarters[[2]bool{flat.Dot(last.own, flat.Outward(along)) > 0, flat.Dot(own.own, along) > 0}] = true
	}
	if says == "" && len(quarters) != 4 {
		says = "no two seams cross there"
	}
	if says == "" && v.dot(i, x) {
		says = "a seam that is set in ends there"
	}
	if !v.expect(says == "") {
		v.fault("spin", u.ID, "", "", "unit %s: join %d cannot be spun at %s: %s", u.ID, k, v.point(x), says)
	}
}

// lies says to which side a seam is pressed at a point of it, as toward does, and whether it is spun there; then it is the side before the point.
func (t *stitched) lies(x pt) (toward int, spun bool) {
	toward = t.toward
	for _, p := range t.spun {
		switch d := flat.Dot(flat.Sub(x, flat.At(p)), flat.Direction(flat.At(t.seam[0]), flat.At(t.seam[1]))); {
		case math.Abs(d) < near:
			return toward, true
		case d > 0:
			toward = -toward
		}
	}
	return toward, false
}

// turnedOver are the folds of a patch at a point: of a seam that is spun there they are turned over where the patch lies beyond the point. Where it lies on
// both sides of it the seam is as good as open.
func turnedOver(folds []fold, outline []pt, at pt) []fold {
	out := slices.Clone(folds)
	for k := range out {
		if out[k].on == (pt{}) {
			continue
		}
		switch besideAt(outline, at, out[k].on) {
		case 1:
			out[k].toward = -out[k].toward
		case 0:
			out[k].toward = 0
		}
	}
	return out
}

// carried is a direction of a frame that lies by a pose.
func carried(m plan.Pose, d pt) pt { return flat.Sub(flat.Apply(m, d), flat.Apply(m, pt{})) }

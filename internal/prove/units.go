package prove

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// checkUnits proves every distinct unit once, parts first.
func (v *prover) checkUnits() {
	for i := range v.units {
		u := &v.units[i]
		if !v.checkShape(u) {
			continue
		}
		if len(u.Parts) == 0 {
			v.checkPatch(u)
			continue
		}
		if !v.checkParts(i) {
			continue
		}
		v.checkJoins(u)
	}
	for i := range v.p.Placed {
		v.markSetting(v.p.Placed[i].Leaf)
	}
	for _, i := range v.order() {
		v.sew(i)
	}
	for i := range v.units {
		u := &v.units[i]
		named := u.Recipe != ""
		if k, ok := v.recipes[u.Recipe]; named && !v.expect(ok && slices.Contains(u.recipes, k)) {
			v.fault("recipe", u.ID, "", "", "unit %s names recipe “%s”, which does not make it", u.ID, u.Recipe)
		}
		if !named && len(u.recipes) > 0 && !v.expect(false) {
			v.fault("recipe", u.ID, "", v.p.Recipes[u.recipes[0]].ID, "unit %s does not name the recipe that makes it", u.ID)
		}
	}
}

// order is the recipes in an order in which each comes after those that make what it takes. Where there is none, the
// rest follows as it stands, and sew finds what is missing.
func (v *prover) order() []int {
	done := make([]bool, len(v.p.Recipes))
	var out []int
	for progress := true; progress; {
		progress = false
		for i := range v.p.Recipes {
			if done[i] {
				continue
			}
			ready := true
			for _, f := range v.p.Recipes[i].From {
				if k, ok := v.byID[f.Unit]; f.Unit != "" && ok {
					for _, r := range v.units[k].recipes {
						ready = ready && (done[r] || r == i)
					}
				}
			}
			if ready {
				done[i], progress = true, true
				out = append(out, i)
			}
		}
	}
	for i := range done {
		if !done[i] {
			out = append(out, i)
		}
	}
	return out
}

// markSetting marks the units that hold placed blocks, from the top down.
func (v *prover) markSetting(path []int) {
	i, ok := v.byID[v.p.Top]
	for _, k := range path {
		if !ok || k < 0 || k >= len(v.units[i].parts) {
			return
		}
		v.units[i].setting = true
		i = v.units[i].parts[k].unit
	}
}

// checkShape checks the outline by itself.
func (v *prover) checkShape(u *unit) bool {
	if !v.expect(len(u.outline) >= 3 && flat.Area2(u.outline) > 2e-6) {
		v.fault("outline", u.ID, "", "", "unit %s has no outline of straight edges that runs clockwise", u.ID)
		u.outline = nil
		return false
	}
	lo, hi := flat.Box(u.outline)
	if !v.expect(flat.Length(lo) < exactly) {
		v.fault("outline", u.ID, "", "0, 0", "unit %s: the box of its outline begins at %.4f, %.4f", u.ID, lo[0], lo[1])
	}
	if !v.expect(same(hi[0], float64(u.Size.Width), exactly) && same(hi[1], float64(u.Size.Height), exactly)) {
		v.fault("outline", u.ID, "", v.long(hi[0])+" by "+v.long(hi[1]), "unit %s is said to be %s by %s finished, its outline is not", u.ID, v.long(float64(u.Size.Width)), v.long(float64(u.Size.Height)))
	}
	return true
}

// checkPatch proves a patch: the piece that it is cut as, laid as the plan says, covers its outline and the seams round it.
func (v *prover) checkPatch(u *unit) {
	u.leaves = 1
	f := v.fabrics[u.Fabric]
	if !v.expect(f != nil) {
		v.fault("fabric", u.ID, "", "", "patch %s is of fabric “%s”, which the plan does not have", u.ID, u.Fabric)
		return
	}
	directed := f.Print != "plain" && f.Print != ""
	if !v.expect(directed == (u.Up != nil)) {
		v.fault("print", u.ID, "", "", "patch %s: fabric %s is %s, the patch says otherwise", u.ID, f.Letter, f.Print)
	}
	if u.Piece == "" {
		if !v.expect(u.Lie == nil && u.Excess == plan.Size{}) {
			v.fault("piece", u.ID, "", "", "patch %s says how a piece lies or how large it comes out, but names none", u.ID)
		}
		return
	}
	x := v.pieces[u.Piece]
	if !v.expect(x != nil && u.Lie != nil) {
		v.fault("piece", u.ID, u.Piece, "", "patch %s is cut as piece “%s”, which the plan does not have or does not lay", u.ID, u.Piece)
		return
	}
	if !v.expect(x.Fabric == u.Fabric) {
		v.fault("fabric", u.ID, x.Label, u.Fabric, "patch %s is of fabric %s, piece %s of %s", u.ID, u.Fabric, x.Label, x.Fabric)
	}
	raw := flat.Raw(x)
	if raw == nil {
		return // said before
	}
	if !v.expect(!u.Lie.Mirror) {
		v.fault("hand", u.ID, x.Label, "", "patch %s: piece %s would lie face down", u.ID, x.Label)
		return
	}
	if up, ok := v.printUp(x); ok && u.Up != nil && !v.expect(turns(up+float64(u.Lie.Turn), float64(*u.Up), v.period(u.Fabric), 1e-5)) {
		v.fault("print", u.ID, x.Label, "", "patch %s: the print of piece %s points %g° from up, not %d°", u.ID, x.Label, math.Mod(up+float64(u.Lie.Turn)+360, 360), *u.Up)
	}
	raw = flat.Posed(raw, *u.Lie)
	u.panel = &panel{lo: raw, hi: raw, rounding: rounding(x)}
	v.checkReach(u, raw, x)
	v.checkExact(u, x)
	v.patchMotif(u, x)
}

// checkReach compares the raw edges of a patch with its finished outline.
func (v *prover) checkReach(u *unit, raw []pt, x *plan.Piece) {
	by := make([]float64, len(u.outline))
	for i, a := range u.outline {
		b := u.outline[(i+1)%len(u.outline)]
		d := flat.Direction(a, b)
		reach, slant, found := 0.0, 0.0, false
		for k, p := range raw {
			q := raw[(k+1)%len(raw)]
			e := flat.Direction(p, q)
			if math.Abs(flat.Cross(d, e)) > 0.02 || flat.Dot(d, e) < 0 {
				continue
			}
			// How far out the raw edge lies where the finished edge begins and ends.
			line := func(c pt) float64 { return -flat.Dot(flat.Sub(c, p), flat.Outward(e)) }
			at0, at1 := line(a), line(b)
			// Where the outline turns inward several edges run alike: the one beside this edge is where a seam has it.
			if r := math.Min(at0, at1); !found || math.Abs(r-v.seam) < math.Abs(reach-v.seam) {
				reach, slant, found = r, math.Abs(at0-at1), true
			}
		}
		if x.Trimmed && (!found || reach < v.seam-v.ease) && v.inside(raw, a, b) {
			by[i] = v.seam // the cloth goes on; it is trimmed with what it is sewn into
			continue
		}
		if !v.expect(found) {
			v.fault("outline", u.ID, x.Label, "", "patch %s: piece %s has no edge beside its edge from %s to %s", u.ID, x.Label, v.point(a), v.point(b))
			by[i] = v.seam
			continue
		}
		by[i] = reach + slant
		short := v.seam - reach
		v.proof.Short = plan.Num(math.Max(float64(v.proof.Short), short))
		if !v.expect(short <= v.ease+1e-6) {
			v.fault("short", u.ID, x.Label, v.long(v.seam), "patch %s: piece %s leaves a seam of %s beyond its edge from %s to %s", u.ID, x.Label, v.long(reach), v.point(a), v.point(b))
		}
		if over := by[i] - v.seam; !x.Trimmed && !v.expect(over <= v.ease+1e-6) {
			v.fault("generous", u.ID, x.Label, v.long(v.seam), "patch %s: piece %s leaves %s beyond its edge from %s to %s", u.ID, x.Label, v.long(by[i]), v.point(a), v.point(b))
		}
	}
	// The corners of the finished patch lie in the cloth, tips included.
	for _, c := range u.outline {
		if out := outside(raw, c); !v.expect(out <= -v.seam+v.ease+1e-6) {
			v.fault("short", u.ID, x.Label, "", "patch %s: the corner at %s lies %s from the raw edge of piece %s", u.ID, v.point(c), v.long(-out), x.Label)
		}
	}
	v.checkExcess(u, func(i int) float64 { return by[i] - v.seam })
}

// inside reports whether the seam beside a finished edge lies in the cloth.
func (v *prover) inside(raw []pt, a, b pt) bool {
	out := flat.Outward(flat.Direction(a, b))
	for _, p := range []pt{a, b} {
		if outside(raw, flat.Add(p, flat.Scale(out, v.seam))) > v.ease {
			return false
		}
	}
	return true
}

// checkExact compares the exact size on the cutting list with what geometry asks: the finished outline and a seam round it.
func (v *prover) checkExact(u *unit, x *plan.Piece) {
	ask := flat.Posed(flat.Moved(u.outline, func(int) float64 { return v.seam }), flat.Inverse(*u.Lie))
	lo, hi := flat.Box(ask)
	w, h := hi[0]-lo[0], hi[1]-lo[1]
	switch x.Shape {
	case "quarter square":
		// The least one that holds it all; the set may leave less than all of it.
		least, low, most := math.Inf(1), math.Inf(1), math.Inf(-1)
		for _, c := range ask {
			least, low, most = math.Min(least, c[0]-c[1]), math.Min(low, c[1]), math.Max(most, c[0]+c[1])
		}
		w = most - least - 2*low
		h = w
	case "half rectangle":
		// The piece may lie aslant, its sides being rounded: the legs are what is cut.
		for i, c := range ask {
			p, q := ask[(i+2)%3], ask[(i+1)%3]
			if math.Abs(flat.Dot(flat.Sub(p, c), flat.Sub(q, c))) < 1e-6 {
				w, h = math.Min(flat.Distance(p, c), flat.Distance(q, c)), math.Max(flat.Distance(p, c), flat.Distance(q, c))
				if x.Width > x.Height {
					w, h = h, w
				}
			}
		}
	case "parallelogram":
		// Strips are cut slantwise: Width is the distance of the slanted cuts.
		w = math.Inf(1)
		for i, a := range ask {
			d := flat.Direction(a, ask[(i+1)%len(ask)])
			if math.Abs(d[1]) > 1e-6 {
				reach := 0.0
				for _, c := range ask {
					reach = math.Max(reach, -flat.Dot(flat.Sub(c, a), flat.Outward(d)))
				}
				w = reach
			}
		}
	case "triangle 60":
		w = float64(x.Exact[0])
	}
	if !v.expect(same(w, float64(x.Exact[0]), 1e-4) && same(h, float64(x.Exact[1]), 1e-4)) {
		v.fault("exact", u.ID, x.Label, v.long(w)+" by "+v.long(h), "piece %s: its exact size is given as %s by %s", x.Label, v.long(float64(x.Exact[0])), v.long(float64(x.Exact[1])))
	}
}

// checkExcess compares what a unit is said to come out larger with what it does. out is how far the finished edge i lies out of its place.
func (v *prover) checkExcess(u *unit, out func(i int) float64) {
	lo, hi := flat.Box(flat.Moved(u.outline, out))
	w, h := hi[0]-lo[0]-float64(u.Size.Width), hi[1]-lo[1]-float64(u.Size.Height)
	v.proof.Excess = plan.Num(math.Max(float64(v.proof.Excess), math.Max(w, h)))
	if !v.expect(same(w, float64(u.Excess.Width), 2e-3) && same(h, float64(u.Excess.Height), 2e-3)) {
		v.fault("excess", u.ID, "", v.long(w)+" by "+v.long(h), "unit %s is said to come out %s wider and %s higher than finished", u.ID, v.long(float64(u.Excess.Width)), v.long(float64(u.Excess.Height)))
	}
}

// checkParts checks that the parts cover the unit, and nothing else.
func (v *prover) checkParts(i int) bool {
	u := &v.units[i]
	if !v.expect(u.Fabric == "" && u.Piece == "" && u.Lie == nil && u.Up == nil) {
		v.fault("parts", u.ID, "", "", "unit %s has parts, and a fabric or a piece of its own", u.ID)
	}
	sum := 0.0
	for k, p := range u.Parts {
		j, ok := v.byID[p.Unit]
		if !v.expect(ok && j < i) {
			v.fault("parts", u.ID, "", "", "part %d of unit %s is unit “%s”, which does not stand before it", k, u.ID, p.Unit)
			return false
		}
		w := &v.units[j]
		if w.outline == nil || w.leaves == 0 {
			return false
		}
		if !v.expect(!p.Mirror) {
			v.fault("hand", u.ID, "", "", "part %d of unit %s is mirrored: sewn cloth cannot be", k, u.ID)
		}
		m := p.Pose()
		u.parts = append(u.parts, part{j, m})
		u.leaves += w.leaves
		sum += flat.Area2(w.outline) / 2
		for _, c := range flat.Posed(w.outline, m) {
			if !v.expect(outside(u.outline, c) <= exactly) {
				v.fault("parts", u.ID, "", "", "part %d of unit %s, unit %s, reaches out of it at %s", k, u.ID, w.ID, v.point(c))
				break
			}
		}
	}
	if whole := flat.Area2(u.outline) / 2; !v.expect(same(sum, whole, exactly*(perimeter(u.outline)+whole*1e-3))) {
		v.fault("parts", u.ID, "", "", "the parts of unit %s cover %.4f square, the unit has %.4f", u.ID, sum, whole)
	}
	return true
}

// checkJoins checks that the joins are the lines between parts, all of them, and that each brings two parts together.
func (v *prover) checkJoins(u *unit) {
	leader := make([]int, len(u.parts))
	for i := range leader {
		leader[i] = i
	}
	find := func(i int) int {
		for leader[i] != i {
			leader[i] = leader[leader[i]]
			i = leader[i]
		}
		return i
	}
	total := 0.0
	for k, j := range u.Joins {
		a, b := j.Parts[0], j.Parts[1]
		if !v.expect(a >= 0 && b >= 0 && a < len(u.parts) && b < len(u.parts) && a != b) {
			v.fault("join", u.ID, "", "", "join %d of unit %s is between parts %d and %d", k, u.ID, a, b)
			continue
		}
		s, e := flat.At(j.Seam[0]), flat.At(j.Seam[1])
		run := flat.Distance(s, e)
		total += run
		pa, pb := flat.Posed(v.units[u.parts[a].unit].outline, u.parts[a].pose), flat.Posed(v.units[u.parts[b].unit].outline, u.parts[b].pose)
		fit := run > exactly && (same(shared(pa, s, e, 1, exactly), run, 2*exactly) && same(shared(pb, s, e, -1, exactly), run, 2*exactly) ||
			same(shared(pa, s, e, -1, exactly), run, 2*exactly) && same(shared(pb, s, e, 1, exactly), run, 2*exactly))
		if !v.expect(fit) {
			v.fault("join", u.ID, "", "", "join %d of unit %s: the seam from %s to %s does not run between parts %d and %d", k, u.ID, v.point(s), v.point(e), a, b)
		}
		if !v.expect(slices.Contains([]string{"straight", "partial", "set in", "curved"}, j.Kind)) {
			v.fault("join", u.ID, "", "", "join %d of unit %s is “%s”", k, u.ID, j.Kind)
		}
		presses := []string{j.Press}
		for _, way := range j.Split {
			presses = append(presses, way.Press)
		}
		for _, press := range presses {
			if press == "open" {
				continue
			}
			n, err := strconv.Atoi(strings.TrimPrefix(press, "toward "))
			if !v.expect(err == nil && strings.HasPrefix(press, "toward ") && (n == a || n == b)) {
				v.fault("press", u.ID, "", "", "join %d of unit %s, between parts %d and %d, is pressed “%s”", k, u.ID, a, b, press)
			}
		}
		if !v.expect(j.Top == a || j.Top == b) {
			v.fault("join", u.ID, "", "", "join %d of unit %s: part %d lies on top, which is not one of its two", k, u.ID, j.Top)
		}
		leader[find(b)] = find(a)
	}
	v.checkHalves(u)
	inner := -perimeter(u.outline)
	for i, p := range u.parts {
		inner += perimeter(v.units[p.unit].outline)
		if !v.expect(find(i) == find(0)) {
			v.fault("join", u.ID, "", "", "part %d of unit %s is joined to nothing", i, u.ID)
		}
	}
	if !v.expect(same(total, inner/2, exactly*float64(4+len(u.Joins)))) {
		v.fault("join", u.ID, "", v.long(inner/2), "the seams of unit %s are %s long, the lines between its parts %s", u.ID, v.long(total), v.long(inner/2))
	}
}

// checkHalves checks that the two halves of a partial seam, which lie on one line, are pressed to one side of it.
func (v *prover) checkHalves(u *unit) {
	var halves []int
	for k, j := range u.Joins {
		if j.Kind == "partial" && min(j.Parts[0], j.Parts[1]) >= 0 && max(j.Parts[0], j.Parts[1]) < len(u.parts) {
			halves = append(halves, k)
		}
	}
	if len(halves) != 2 {
		return
	}
	for way := range 2 {
		var sides []int
		for _, k := range halves {
			side := v.stitchedToward(u, k, way)
			if a, b := u.Joins[halves[0]].Seam, u.Joins[k].Seam; flat.Dot(flat.Sub(flat.At(a[1]), flat.At(a[0])), flat.Sub(flat.At(b[1]), flat.At(b[0]))) < 0 {
				side = -side // it is walked the other way
			}
			sides = append(sides, side)
		}
		if !v.expect(sides[0] == sides[1]) {
			v.fault("press", u.ID, "", "", "unit %s: one half of its partial seam, join %d, is pressed otherwise than the other, join %d", u.ID, halves[0], halves[1])
			return
		}
	}
}

// point prints a place.
func (v *prover) point(p pt) string {
	num := func(x float64) string {
		if math.Abs(x) < 5e-5 {
			x = 0
		}
		return strconv.FormatFloat(math.Round(x*1e4)/1e4, 'f', -1, 64)
	}
	return num(p[0]) + ", " + num(p[1])
}

func toward(part int) string { return "toward " + strconv.Itoa(part) }

package prove

import (
	"cmp"
	"math"
	"slices"

	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// checkFinish checks binding, backing and batting against the finished size.
func (v *prover) checkFinish() {
	p := v.p
	w, h := float64(p.Finished.Width), float64(p.Finished.Height)
	if b := p.Finish.Binding; b != nil {
		f := v.fabrics[b.Fabric]
		if !v.expect(f != nil) {
			v.fault("finish", "", "", "", "the binding is of fabric “%s”, which the plan does not have", b.Fabric)
		}
		v.checkEnds(b)
		if around := 2*(w+h) + float64(b.Extra); !v.expect(b.Extra >= 0 && same(float64(b.Length), around, 1e-3)) {
			v.fault("finish", "", "", v.long(around), "the binding is %s long", v.long(float64(b.Length)))
		}
		if !v.expect(b.Strip > 0 && float64(b.Strip) < 24*v.seam) {
			v.fault("finish", "", "", "", "strips of binding %s wide", v.long(float64(b.Strip)))
		}
	}
	grown := func(what string, s plan.Size, by plan.Num) {
		if !v.expect(by >= 0 && same(float64(s.Width), w+2*float64(by), 1e-3) && same(float64(s.Height), h+2*float64(by), 1e-3)) {
			v.fault("finish", "", "", v.long(w+2*float64(by))+" by "+v.long(h+2*float64(by)), "the %s is %s by %s", what, v.long(float64(s.Width)), v.long(float64(s.Height)))
		}
	}
	if b := p.Finish.Batting; b != nil {
		grown("batting", b.Size, b.Overhang)
	}
	if b := p.Finish.Backing; b != nil {
		grown("backing", b.Size, b.Overhang)
		v.checkBacking(b)
	}
	v.checkFinishing()
}

// checkEnds checks how many strips a binding is and how often they are joined: straight ones end to end. A square cut on its diagonal, its halves
// sewn leg to leg, is a parallelogram. The seam brings its two bias edges nearer: they are (square - 2 seams)/√2 apart. It is sewn to a tube by
// its straight edges, square - 2 seams apart; so each strip round it is √2 times that long, and is sewn on to the next.
func (v *prover) checkEnds(b *plan.Binding) {
	if !v.expect(b.Strips > 0 && (b.Cut == "straight" && b.Square == 0 && b.Joins == b.Strips-1 || b.Cut == "bias" && b.Square > 0 && b.Along == 0 && b.Joins == b.Strips)) {
		v.fault("finish", "", "", "", "%d strips of “%s” binding from a square of %s, joined %d times", b.Strips, b.Cut, v.long(float64(b.Square)), b.Joins)
	}
	if b.Square == 0 {
		return
	}
	leg, n := float64(b.Square)-2*v.seam, float64(b.Strips)
	if !v.expect(n*float64(b.Strip) <= leg/math.Sqrt2+1e-4 && n*leg*math.Sqrt2 > float64(b.Length)-1e-4) {
		v.fault("finish", "", "", "", "%d strips of bias binding from a square of %s for %s", b.Strips, v.long(float64(b.Square)), v.long(float64(b.Length)))
	}
}

// checkFinishing checks the steps that no recipe makes: what is measured is measured before it is sewn; after the top, and in an
// order that can be done, come backing, layers and binding, as far as the plan has them.
func (v *prover) checkFinishing() {
	p := v.p
	topDone := false
	if k, ok := v.byID[p.Top]; ok {
		topDone = v.units[k].Recipe == "" // a top of one piece
	}
	at := map[string]int{} // the last step of each verb
	measured := map[string]bool{}
	uses := map[string][]string{} // pieces to be measured, by recipe
	for i := range p.Recipes {
		for _, f := range p.Recipes[i].From {
			label := f.Piece
			if k, ok := v.byID[f.Unit]; ok && label == "" {
				label = v.units[k].Piece
			}
			if x := v.pieces[label]; x != nil && x.Measured {
				uses[p.Recipes[i].ID] = append(uses[p.Recipes[i].ID], x.Label)
			}
		}
	}
	for i := range p.Steps {
		s := &p.Steps[i]
		if s.Recipe != "" {
			for _, label := range uses[s.Recipe] {
				if !v.expect(measured[label]) {
					v.fault("order", s.Unit, label, "", "step %d sews %s, which no step has measured", i+1, label)
				}
			}
			if s.Unit == p.Top && s.Makes > 0 {
				topDone = true
			}
			continue
		}
		if !v.expect(s.First == 0 && s.Last == 0 && s.Count == 0 && s.Makes == 0 && s.Out == 0 && s.Surplus == 0) {
			v.fault("order", s.Unit, "", "", "step %d carries out no recipe and has operations, counts or units", i+1)
		}
		_, known := v.byID[s.Unit]
		if s.Stage == "finish" {
			known = s.Unit == ""
		}
		if !v.expect(known) {
			v.fault("order", s.Unit, "", "", "step %d is for unit “%s”: a step of the finishing is for none, any other for one", i+1, s.Unit)
		}
		if s.Says.Verb == "measure" {
			for _, label := range s.Says.Parts {
				measured[label] = true
			}
			continue
		}
		if s.Stage == "finish" {
			if !v.expect(topDone) {
				v.fault("order", p.Top, "", "", "step %d finishes a top that is not sewn yet", i+1)
			}
			at[s.Says.Verb] = i + 1
		}
	}
	need := func(verb string, wanted bool, after ...string) {
		if !wanted {
			if !v.expect(at[verb] == 0) {
				v.fault("finish", "", "", "", "step %d has nothing to %s", at[verb], verb)
			}
			return
		}
		if !v.expect(at[verb] > 0) {
			v.fault("finish", "", "", "", "no step says to %s", verb)
			return
		}
		for _, a := range after {
			if !v.expect(at[a] < at[verb]) {
				v.fault("order", "", "", "", "step %d (%s) comes after step %d (%s)", at[a], a, at[verb], verb)
			}
		}
	}
	f := p.Finish
	need("back", f.Backing != nil && f.Backing.Panels > 1)
	need("layer", f.Backing != nil || f.Batting != nil, "back")
	need("even", f.Backing != nil || f.Batting != nil, "layer")
	need("lengthen", f.Binding != nil && f.Binding.Joins > 0)
	need("bind", f.Binding != nil, "even", "lengthen")
}

// checkBacking checks that the panels, joined, are as large as the backing.
func (v *prover) checkBacking(b *plan.Backing) {
	across, along := float64(b.Size.Width), float64(b.Size.Height)
	switch b.Seams {
	case "vertical", "none":
	case "horizontal":
		across, along = along, across
	default:
		v.fault("finish", "", "", "vertical, horizontal or none", "the backing has “%s” seams", b.Seams)
		return
	}
	n := float64(b.Panels)
	wide := n*float64(b.Width) - 2*v.seam*(n-1)
	if !v.expect(b.Panels >= 1 && (b.Panels == 1) == (b.Seams == "none")) {
		v.fault("finish", "", "", "", "%d panels of backing with “%s” seams", b.Panels, b.Seams)
	}
	// One panel may also lie across.
	fits := wide >= across-1e-3 && float64(b.Panel) >= along-1e-3
	if b.Panels == 1 {
		fits = fits || wide >= along-1e-3 && float64(b.Panel) >= across-1e-3
	}
	if !v.expect(fits) {
		v.fault("finish", "", "", "", "%d panels of %s by %s do not cover a backing of %s by %s", b.Panels, v.long(float64(b.Width)), v.long(float64(b.Panel)), v.long(float64(b.Size.Width)), v.long(float64(b.Size.Height)))
	}
	if !v.expect(same(float64(b.Length), n*float64(b.Panel), 1e-3)) {
		v.fault("finish", "", "", v.long(n*float64(b.Panel)), "the backing takes %s of cloth", v.long(float64(b.Length)))
	}
	per := v.shop(b.Unit)
	if !v.expect(per > 0 && same(float64(b.Amount), v.shopped(float64(b.Length), per), 1e-6)) {
		v.fault("finish", "", "", "", "%g %s of backing are bought, it takes %s", float64(b.Amount), b.Unit, v.long(float64(b.Length)))
	}
}

// checkPress checks the sums of the pressing.
func (v *prover) checkPress() {
	s := &v.p.Press
	count := map[string]int{}
	ends := map[int][]pt{}
	for _, m := range s.Unmet {
		count[m.Is]++
		k, ok := v.byID[m.Unit]
		if !v.expect(ok && m.Join >= 0 && m.Join < len(v.units[k].Joins) && (m.Is == "open" || m.Is == "same")) {
			v.fault("press", m.Unit, "", "", "a meeting at join %d of unit “%s” that is “%s”", m.Join, m.Unit, m.Is)
			continue
		}
		j := &v.units[k].Joins[m.Join]
		a, b := flat.At(j.Seam[0]), flat.At(j.Seam[1])
		d := flat.Direction(a, b)
		t := flat.Dot(flat.Sub(flat.At(m.Point), a), d)
		if !v.expect(math.Abs(flat.Cross(d, flat.Sub(flat.At(m.Point), a))) < 1e-3 && t > -1e-3 && t < flat.Distance(a, b)+1e-3) {
			v.fault("press", m.Unit, "", "", "a meeting at %s, which is not on join %d of unit %s", v.point(flat.At(m.Point)), m.Join, m.Unit)
		}
		if !v.expect(v.endsAt(k, flat.At(m.Point), ends) >= 2) {
			v.fault("press", m.Unit, "", "", "a meeting at %s of unit %s, where no two seams end", v.point(flat.At(m.Point)), m.Unit)
		}
	}
	if !v.expect(s.Meetings == s.Nested+s.Open+s.Same && s.Nested >= 0 && s.Open == count["open"] && s.Same == count["same"]) {
		v.fault("press", "", "", "", "%d meetings are not %d nested, %d open and %d the same way, of which %d open and %d the same way are named",
			s.Meetings, s.Nested, s.Open, s.Same, count["open"], count["same"])
	}
	if !v.expect(s.Bound <= s.Cost && s.Optimal == (s.Bound == s.Cost)) {
		v.fault("press", "", "", "", "the pressing costs %d, proven is %d, optimal %v", s.Cost, s.Bound, s.Optimal)
	}
}

// endsAt is how many seams end at a place of a unit: its joins, and seams of its parts. all holds those of each unit, once asked for, from the left.
func (v *prover) endsAt(k int, at pt, all map[int][]pt) int {
	ends, known := all[k]
	if !known {
		for _, j := range v.units[k].Joins {
			ends = append(ends, flat.At(j.Seam[0]), flat.At(j.Seam[1]))
		}
		for _, p := range v.units[k].parts {
			for _, e := range v.seamEnds(p.unit) {
				ends = append(ends, flat.Apply(p.pose, e.at))
			}
		}
		slices.SortFunc(ends, func(a, b pt) int { return cmp.Compare(a[0], b[0]) })
		all[k] = ends
	}
	const near = 1e-3
	n, _ := slices.BinarySearchFunc(ends, at[0]-near, func(e pt, x float64) int { return cmp.Compare(e[0], x) })
	here := 0
	for ; n < len(ends) && ends[n][0] <= at[0]+near; n++ {
		if flat.Distance(ends[n], at) < near {
			here++
		}
	}
	return here
}

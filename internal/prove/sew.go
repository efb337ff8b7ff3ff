package prove

import (
	"math"
	"slices"

	"quiltwright/internal/cloth"
	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// mostLeaves is how many patches of a unit are laid out one by one where a recipe cuts the unit up again.
const mostLeaves = 4096

// sew carries out a recipe and compares every work that it gives with the unit that it is to be.
func (v *prover) sew(i int) {
	r := &v.p.Recipes[i]
	if !v.checkYield(r) {
		return
	}
	low, round, ok := v.parts(r, false)
	if !ok {
		return
	}
	t, ok := v.run(r, low, cloth.Innermost)
	if !ok {
		return
	}
	high := t
	if round > 1e-9 {
		// Sewn once more, every raw edge where it reaches most: what comes out largest.
		works, _, _ := v.parts(r, true)
		if high, ok = v.run(r, works, cloth.Outermost); !ok {
			return
		}
	}
	for _, m := range r.Makes {
		n := 0
		for _, g := range r.Gives {
			if w := t.Look(g.Work); g.Unit == m.Unit && w != nil {
				n += w.Count
			}
		}
		if !v.expect(n == m.Count) {
			v.fault("count", m.Unit, "", "", "a batch of recipe %s gives %d of unit %s, not %d", r.ID, n, m.Unit, m.Count)
		}
	}
	v.checkTips(r, low)
	v.checkTrims(r, low)
	v.checkBlanks(r, low)
	for k, g := range r.Gives {
		v.compare(r, k, g, t.Look(g.Work), high.Look(g.Work), round)
	}
}

// checkYield checks what a recipe says it makes against what it gives; sew counts the works.
func (v *prover) checkYield(r *plan.Recipe) bool {
	if !v.expect(len(r.Do) > 0 && len(r.Gives) > 0 && len(r.From) > 0 && len(r.Do) < 1<<20) {
		v.fault("recipe", r.Unit, "", "", "recipe %s takes nothing, does nothing or gives nothing", r.ID)
		return false
	}
	if _, ok := v.byID[r.Unit]; !v.expect(ok) {
		v.fault("recipe", r.Unit, "", "", "recipe %s makes unit “%s”, which the plan does not have", r.ID, r.Unit)
		return false
	}
	seen := map[string]bool{}
	own := false
	for _, m := range r.Makes {
		if !v.expect(!seen[m.Unit] && m.Count > 0) {
			v.fault("recipe", r.Unit, "", "", "recipe %s makes %d of unit “%s”", r.ID, m.Count, m.Unit)
		}
		seen[m.Unit] = true
		own = own || m.Unit == r.Unit
	}
	if !v.expect(own) {
		v.fault("recipe", r.Unit, "", "", "recipe %s is for unit %s but does not make it", r.ID, r.Unit)
	}
	works := map[int]bool{}
	for _, g := range r.Gives {
		if !v.expect(seen[g.Unit] && !works[g.Work]) {
			v.fault("recipe", r.Unit, "", "", "recipe %s gives work %d as unit “%s”: twice, or not among what it makes", r.ID, g.Work, g.Unit)
		}
		works[g.Work] = true
		if u, ok := v.byID[g.Unit]; !v.expect(ok && v.units[u].outline != nil) {
			return false
		}
	}
	return true
}

// parts lays out what one batch takes, with the raw edges where they reach least or most. round is how much of it is larger than exact.
func (v *prover) parts(r *plan.Recipe, most bool) (works []cloth.Work, round float64, ok bool) {
	cuts := slices.ContainsFunc(r.Do, func(o plan.Op) bool { return o.Op == "cut" || o.Op == "stitch" && o.Allowance == 0 })
	for _, f := range r.From {
		if !v.expect(f.Count > 0 && f.Count < 1<<16 && (f.Piece == "") != (f.Unit == "")) {
			v.fault("recipe", r.Unit, f.Piece, "", "recipe %s takes %d of piece “%s”, unit “%s”", r.ID, f.Count, f.Piece, f.Unit)
			return nil, 0, false
		}
		var w cloth.Work
		by := 0.0
		if f.Piece != "" {
			x := v.pieces[f.Piece]
			if !v.expect(x != nil) {
				v.fault("recipe", r.Unit, f.Piece, "", "recipe %s takes piece “%s”, which the cutting list does not have", r.ID, f.Piece)
				return nil, 0, false
			}
			if w, ok = v.pieceWork(x); !ok {
				return nil, 0, false
			}
			by = rounding(x)
		} else {
			k, known := v.byID[f.Unit]
			if !v.expect(known && v.units[k].panel != nil) {
				v.fault("recipe", r.Unit, "", "", "recipe %s takes unit “%s”, which is not made or does not come out", r.ID, f.Unit)
				return nil, 0, false
			}
			w = v.unitWork(k, most, cuts)
			by = v.units[k].panel.rounding
		}
		round += by * float64(f.Count)
		for range f.Count {
			works = append(works, w)
		}
	}
	return works, round, true
}

// unitWork is a proven unit on the table: one sheet, or its patches where it will be cut up.
func (v *prover) unitWork(k int, most, cuts bool) cloth.Work {
	u := &v.units[k]
	raw := u.panel.lo
	if most {
		raw = u.panel.hi
	}
	up := 0.0
	if !cuts || len(u.parts) == 0 || u.leaves > mostLeaves {
		return cloth.Work{Layers: []cloth.Layer{{Cloth: raw, Label: u.ID, Fabric: u.Fabric, Up: &up}}, Count: 1}
	}
	var w cloth.Work
	v.leaves(k, plan.Pose{}, nil, func(l *unit, m plan.Pose, path []int) {
		fin := flat.Posed(l.outline, m)
		edges := make([]cloth.Edge, len(fin))
		cloths := flat.Moved(fin, func(i int) float64 {
			a, b := fin[i], fin[(i+1)%len(fin)]
			for e, p := range u.outline {
				q := u.outline[(e+1)%len(u.outline)]
				if d := flat.Direction(p, q); math.Abs(flat.Cross(d, flat.Sub(a, p))) < exactly && math.Abs(flat.Cross(d, flat.Sub(b, p))) < exactly && flat.Dot(d, flat.Sub(b, a)) > 0 {
					return flat.Dot(flat.Sub(raw[e%len(raw)], p), flat.Outward(d))
				}
			}
			edges[i] = cloth.Edge{Sewn: true, D0: v.seam, D1: v.seam}
			return v.seam
		})

		layer := cloth.Layer{Cloth: cloths, Edges: edges, Label: u.ID, Fabric: l.Fabric, Leaf: slices.Clone(path), Piece: "leaf"}
		if l.Up != nil {
			up := float64(*l.Up) + float64(m.Turn)
			layer.Up = &up
		}
		w.Layers = append(w.Layers, layer)
	})
	return w
}

// leaves calls do for every patch under a unit that lies by pose m.
func (v *prover) leaves(k int, m plan.Pose, path []int, do func(l *unit, m plan.Pose, path []int)) {
	u := &v.units[k]
	if len(u.parts) == 0 {
		do(u, m, path)
		return
	}
	for i, p := range u.parts {
		v.leaves(p.unit, flat.Then(p.pose, m), append(path, i), do)
	}
}

// run carries out the operations.
func (v *prover) run(r *plan.Recipe, works []cloth.Work, guide cloth.Guide) (*cloth.Table, bool) {
	t := cloth.New(works)
	t.Guide = guide
	for i, op := range r.Do {
		if op.Op == "stitch" && op.Allowance != 0 && !v.expect(same(float64(op.Allowance), v.seam, 1e-6)) {
			v.fault("seam", r.Unit, "", v.long(v.seam), "operation %d of recipe %s sews %s in from the raw edge", i, r.ID, v.long(float64(op.Allowance)))
		}
		if op.Op == "mark" && !v.expect(op.Line != nil && usedLine(r.Do[i:], op)) {
			v.fault("recipe", r.Unit, "", "", "operation %d of recipe %s draws a line along which nothing is sewn or cut", i, r.ID)
		}
		if err := t.Do(op); !v.expect(err == nil) {
			v.fault("recipe", r.Unit, "", "", "operation %d of recipe %s: %v", i, r.ID, err)
			return nil, false
		}
	}
	return t, true
}

// usedLine reports whether one of the operations sews or cuts along a drawn line.
func usedLine(do []plan.Op, mark plan.Op) bool {
	a, b := flat.At(mark.Line[0]), flat.At(mark.Line[1])
	d := flat.Direction(a, b)
	for _, op := range do {
		o := op.Line
		if op.Op == "stitch" {
			o = op.Along
		}
		if op.Op != "mark" && op.Work == mark.Work && o != nil && d != (pt{}) && math.Abs(flat.Cross(d, flat.Sub(flat.At(o[0]), a))) < exactly && math.Abs(flat.Cross(d, flat.Sub(flat.At(o[1]), a))) < exactly {
			return true
		}
	}
	return false
}

// compare checks a work that a recipe gives against the unit that it is said to be.
func (v *prover) compare(r *plan.Recipe, gives int, g plan.Gives, w, high *cloth.Work, round float64) {
	u := &v.units[v.byID[g.Unit]]
	if !v.expect(w != nil && high != nil) {
		v.fault("recipe", u.ID, "", "", "recipe %s gives work %d, which does not lie on the table at its end", r.ID, g.Work)
		return
	}
	if !v.expect(!g.Mirror) {
		v.fault("hand", u.ID, "", "", "recipe %s gives unit %s mirrored", r.ID, u.ID)
		return
	}
	for _, s := range w.Seams {
		if s.State == "sewn" && s.N >= 0 && !v.expect(false) {
			v.fault("press", u.ID, "", "", "recipe %s: seam %d of unit %s is never pressed", r.ID, s.N, u.ID)
			return
		}
	}
	m := plan.Pose{At: g.At, Turn: g.Turn}
	lo, ok := v.fit(r, u, w, m, gives, round, true)
	if !ok {
		return
	}
	hi := lo
	if high != w {
		if hi, ok = v.fit(r, u, high, m, gives, round, false); !ok {
			return
		}
	}
	v.checkExcess(u, func(i int) float64 { return hi[i].hi - v.seam })
	p := &panel{
		lo: flat.Moved(u.outline, func(i int) float64 { return lo[i].lo }),
		hi: flat.Moved(u.outline, func(i int) float64 { return hi[i].hi }),
	}
	for i := range u.outline {
		p.rounding = math.Max(p.rounding, math.Max(math.Abs(lo[i].lo-v.seam), math.Abs(hi[i].hi-v.seam)))
	}
	p.rounding *= 2
	if u.panel == nil {
		u.panel = p
	} else if u.panel.rounding < p.rounding {
		u.panel = p
	}
	for i := range u.outline {
		d := v.seam - lo[i].lo
		v.proof.Short = plan.Num(math.Max(float64(v.proof.Short), d))
		if !v.expect(d <= v.eased(u)+1e-6) {
			v.fault("short", u.ID, "", "", "unit %s: the raw edge beside its edge from %s to %s is %s short of a seam", u.ID, v.point(u.outline[i]), v.point(u.outline[(i+1)%len(u.outline)]), v.long(d))
		}
	}
	if gives == 0 {
		v.checkWidest(u)
	}
}

// checkTrims checks that what is trimmed last is trimmed to the unit and the seams round it.
func (v *prover) checkTrims(r *plan.Recipe, works []cloth.Work) {
	last := map[int]int{} // the last operation on every work that moves cloth
	for i, op := range r.Do {
		last[op.Work] = i
	}
	charted := map[string]bool{}
	for _, g := range r.Gives {
		i, ok := last[g.Work]
		trims := ok && r.Do[i].Op == "trim"
		if !charted[g.Unit] { // by the first of each unit
			charted[g.Unit] = true
			v.checkChart(r, g, works, trims)
		}
		if !trims {
			continue
		}
		u := &v.units[v.byID[g.Unit]]
		to := make([]pt, len(r.Do[i].To))
		for k, p := range r.Do[i].To {
			to[k] = flat.At(p)
		}
		if flat.Area2(to) < 0 {
			slices.Reverse(to)
		}
		if want := flat.Moved(u.outline, func(int) float64 { return v.seam }); !v.expect(coincide(flat.Posed(to, g.Pose), want, 1e-3)) {
			v.fault("trim", u.ID, "", "", "operation %d of recipe %s does not trim unit %s to its outline and a seam", i, r.ID, u.ID)
		}
	}
}

// checkBlanks compares the exact size that the blanks of a batch are said to have with what geometry asks. Of strips, what they are larger than exact adds up to
// how much larger the units come out before they are trimmed. A square that is cut up is as wide as an edge of a patch that it becomes, its seams included,
// or as two in a row. What makes a single unit of other blanks is compared with its outline.
func (v *prover) checkBlanks(r *plan.Recipe, works []cloth.Work) {
	strips, squares := true, len(r.Gives) > 1
	sum := 0.0
	for _, f := range r.From {
		x := v.pieces[f.Piece]
		strips = strips && x != nil && x.Shape == "strip"
		squares = squares && x != nil && x.Shape == "rectangle"
		if x != nil {
			sum += float64(f.Count) * float64(x.Height-x.Exact[1])
		}
	}
	switch {
	case strips:
		v.checkStripSet(r, works, sum)
	case squares:
		for _, f := range r.From {
			v.checkSquare(r, v.pieces[f.Piece])
		}
	}
}

// checkStripSet compares how much larger than exact strips are in all with how much larger what they make comes out.
func (v *prover) checkStripSet(r *plan.Recipe, works []cloth.Work, sum float64) {
	t := cloth.New(works)
	for _, op := range r.Do {
		if op.Op != "trim" && t.Do(op) != nil {
			return // said before
		}
	}
	g := r.Gives[0]
	u, w := &v.units[v.byID[g.Unit]], t.Look(g.Work)
	if w == nil {
		return
	}
	var all []pt
	for i := range w.Layers {
		l := cloth.Place(w.Layers[i], g.Pose)
		fin, _ := cloth.Finished(&l, v.seam)
		all = append(all, fin...)
	}
	lo, hi := flat.Box(all)
	if by := math.Max(hi[0]-lo[0]-float64(u.Size.Width), hi[1]-lo[1]-float64(u.Size.Height)); !v.expect(same(by, sum, 2e-3)) {
		v.fault("exact", u.ID, r.From[0].Piece, v.long(by), "the strips of recipe %s are said to be %s wider than exact in all", r.ID, v.long(sum))
	}
}

// checkSquare compares the exact size of a square that a recipe cuts up with the patches of its cloth.
func (v *prover) checkSquare(r *plan.Recipe, x *plan.Piece) {
	ok, ask := false, 0.0
	v.leaves(v.byID[r.Unit], plan.Pose{}, nil, func(l *unit, _ plan.Pose, _ []int) {
		if l.Fabric != x.Fabric {
			return
		}
		raw := flat.Moved(l.outline, func(int) float64 { return v.seam })
		for i, a := range raw {
			edge := flat.Distance(a, raw[(i+1)%len(raw)])
			ok = ok || same(float64(x.Exact[0]), edge, 1e-4) || same(float64(x.Exact[0]), 2*edge, 1e-4)
			ask = math.Max(ask, edge)
		}
	})
	if !v.expect(ok && same(float64(x.Exact[0]), float64(x.Exact[1]), 1e-4) && same(float64(x.Width), float64(x.Height), 1e-4)) {
		v.fault("exact", r.Unit, x.Label, "", "piece %s is said to be %s by %s exactly; the longest edge of a patch that it becomes is %s", x.Label, v.long(float64(x.Exact[0])), v.long(float64(x.Exact[1])), v.long(ask))
	}
}

// eased is how much an edge of a unit may be short. A strip that is measured on one's own top is cut as long as that comes out, which the
// computed length does not know: what the unit is larger than drawn comes on top.
func (v *prover) eased(u *unit) float64 {
	if !v.ownTop(u) {
		return v.ease
	}
	return v.ease + math.Max(float64(u.Excess.Width), float64(u.Excess.Height))
}

// ownTop reports whether a strip in the unit is measured on one's own top. Only the top's own units have such.
func (v *prover) ownTop(u *unit) bool {
	if x := v.pieces[u.Piece]; x != nil && x.Measured {
		return true
	}
	return u.setting && slices.ContainsFunc(u.parts, func(p part) bool { return v.ownTop(&v.units[p.unit]) })
}

// checkWidest refuses a block that grows by more than a sixteenth of an inch.
func (v *prover) checkWidest(u *unit) {
	most := 1.0 / 16
	if v.unit == 1 {
		most = 0.16
	}
	for _, b := range v.p.Blocks {
		if b.Unit == u.ID && !v.expect(float64(u.Excess.Width) <= most+1e-6 && float64(u.Excess.Height) <= most+1e-6) {
			v.fault("excess", u.ID, "", "trim the units that come out large", "block %s comes out %s wider and %s higher than finished", b.Name, v.long(float64(u.Excess.Width)), v.long(float64(u.Excess.Height)))
			return
		}
	}
}

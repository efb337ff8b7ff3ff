package prove

import (
	"fmt"
	"math"
	"slices"

	"quiltwright/internal/plan"
)

// checkSteps carries the steps out in their order, counting: every operation of every recipe is done once for every batch, in
// order, and takes only what was cut or made before.
func (v *prover) checkSteps() {
	p := v.p
	pieces := map[string]int{}
	stock := map[string]int{}
	done := map[string][]int{}
	for i := range p.Recipes {
		done[p.Recipes[i].ID] = make([]int, len(p.Recipes[i].Do))
	}
	month := 0
	advance := func(to int) {
		for month < to {
			if month > 0 {
				v.monthDone(month, done)
			}
			month++
			for _, s := range p.Months[month-1].Samples { // cut for the samples, and laid aside
				for _, x := range s.Pieces {
					pieces[x.Piece] -= x.Count
				}
			}
			for i := range p.Pieces {
				for _, m := range p.Pieces[i].Months {
					if m.Month == month {
						pieces[p.Pieces[i].Label] += m.Cut * p.Pieces[i].Each
					}
				}
			}
		}
	}
	last := 0
	if n := len(p.Months); n > 0 {
		last = n
	}
	for i := range p.Steps {
		s := &p.Steps[i]
		if !v.expect(s.Month >= month && s.Month >= 1 && s.Month <= last) {
			v.fault("order", s.Unit, "", "", "step %d is in month %d, after a step of month %d", i+1, s.Month, month)
			continue
		}
		advance(s.Month)
		if s.Recipe == "" {
			continue // cutting, measuring, finishing: nothing is sewn
		}
		k, ok := v.recipes[s.Recipe]
		if !v.expect(ok) {
			v.fault("order", s.Unit, "", "", "step %d carries out recipe “%s”, which the plan does not have", i+1, s.Recipe)
			continue
		}
		r := &p.Recipes[k]
		if !v.expect(s.Unit == r.Unit) {
			v.fault("order", s.Unit, "", r.Unit, "step %d is for unit %s, recipe %s for unit %s", i+1, s.Unit, r.ID, r.Unit)
		}
		v.step(i, s, r, done[r.ID], pieces, stock)
	}
	advance(last)
	v.monthDone(month, done)
	v.checkOver()
	v.checkChains()
}

// checkOver compares what the steps say is left over of each unit that is sewn with what the unit says.
func (v *prover) checkOver() {
	over := map[string]int{}
	for i := range v.p.Steps {
		s := &v.p.Steps[i]
		over[s.Unit] += s.Surplus
		for _, a := range s.Also {
			over[a.Unit] += a.Surplus
		}
	}
	for i := range v.units {
		if u := &v.units[i]; len(u.recipes) > 0 && !v.expect(over[u.ID] == u.Surplus) {
			v.fault("count", u.ID, "", fmt.Sprint(u.Surplus), "the steps leave %d of unit %s over", over[u.ID], u.ID)
		}
	}
}

// checkChains checks what is said to be fed through the machine together: chains are numbered in the order of work; the steps of one stand
// side by side, are sewn in the same way and need none of one another; and a chain ends only where the next step could not be fed with it.
func (v *prover) checkChains() {
	p := v.p
	var in map[string]bool // recipes of the chain before a step, and the units they make
	last := 0
	for i := range p.Steps {
		s := &p.Steps[i]
		if s.Recipe == "" {
			if !v.expect(s.Chain == 0) {
				v.fault("chain", s.Unit, "", "0", "step %d sews nothing, but is in chain %d", i+1, s.Chain)
			}
			continue
		}
		if i == 0 || !v.fedAlike(&p.Steps[i-1], s) || in["recipe "+s.Recipe] || v.takes(s, in) {
			last++
			in = map[string]bool{}
		}
		in["recipe "+s.Recipe], in["unit "+s.Unit] = true, true
		for _, a := range v.alsoMade(s) {
			in["unit "+a] = true
		}
		if !v.expect(s.Chain == last) {
			v.fault("chain", s.Unit, "", fmt.Sprint(last), "step %d is in chain %d", i+1, s.Chain)
		}
	}
}

// alsoMade are the other units that the recipe of a step makes.
func (v *prover) alsoMade(s *plan.Step) (others []string) {
	if k, ok := v.recipes[s.Recipe]; ok {
		for _, m := range v.p.Recipes[k].Makes {
			if m.Unit != s.Unit {
				others = append(others, m.Unit)
			}
		}
	}
	return others
}

// fedAlike reports whether two steps of a month and stage do the same before they leave the machine.
func (v *prover) fedAlike(a, b *plan.Step) bool {
	x, y := v.fed(a), v.fed(b)
	return a.Month == b.Month && a.Stage == b.Stage && slices.Equal(x, y) && slices.Contains(x, "stitch")
}

// fed are the kinds of operation of a step up to the first that is not of the machine.
func (v *prover) fed(s *plan.Step) []string {
	k, ok := v.recipes[s.Recipe]
	if !ok {
		return nil
	}
	var kinds []string
	do := v.p.Recipes[k].Do
	for op := max(s.First, 0); op <= s.Last && op < len(do); op++ {
		switch do[op].Op {
		case "lay", "mark", "stitch":
			kinds = append(kinds, do[op].Op)
		default:
			return kinds
		}
	}
	return kinds
}

// takes reports whether the recipe of a step takes what one of a chain makes.
func (v *prover) takes(s *plan.Step, in map[string]bool) bool {
	k, ok := v.recipes[s.Recipe]
	return ok && slices.ContainsFunc(v.p.Recipes[k].From, func(f plan.From) bool { return in["unit "+f.Unit] })
}

// monthDone checks that by the end of a month every operation of every recipe was done for all its batches so far.
func (v *prover) monthDone(month int, done map[string][]int) {
	for i := range v.p.Recipes {
		r := &v.p.Recipes[i]
		want := 0
		for _, m := range r.Months {
			if m.Month <= month {
				want += m.Batches
			}
		}
		for op, n := range done[r.ID] {
			if !v.expect(n == want) {
				v.fault("order", r.Unit, "", "", "by the end of month %d operation %d of recipe %s is done for %d batches, not %d", month, op, r.ID, n, want)
				break
			}
		}
	}
}

func (v *prover) step(i int, s *plan.Step, r *plan.Recipe, done []int, pieces, stock map[string]int) {
	if !v.expect(s.First >= 0 && s.First <= s.Last && s.Last < len(r.Do) && s.Count > 0) {
		v.fault("order", s.Unit, "", "", "step %d does operations %d to %d of recipe %s, %d times", i+1, s.First, s.Last, r.ID, s.Count)
		return
	}
	if s.First > 0 && !v.expect(done[s.First-1]-done[s.First] >= s.Count) {
		v.fault("order", s.Unit, "", "", "step %d does operation %d of recipe %s before the one before it", i+1, s.First, r.ID)
	}
	for op := s.First; op <= s.Last; op++ {
		done[op] += s.Count
	}
	if s.First == 0 {
		for _, f := range r.From {
			n := f.Count * s.Count
			if f.Piece != "" {
				if pieces[f.Piece] -= n; !v.expect(pieces[f.Piece] >= 0) {
					v.fault("order", s.Unit, f.Piece, "", "step %d takes %d of piece %s, more than are cut by then", i+1, n, f.Piece)
				}
				continue
			}
			if k, ok := v.byID[f.Unit]; ok && v.units[k].Piece != "" {
				l := v.units[k].Piece
				if pieces[l] -= n; !v.expect(pieces[l] >= 0) {
					v.fault("order", s.Unit, l, "", "step %d takes %d of piece %s, more than are cut by then", i+1, n, l)
				}
				continue
			}
			if stock[f.Unit] -= n; !v.expect(stock[f.Unit] >= 0) {
				v.fault("order", s.Unit, "", "", "step %d takes %d of unit %s before they are made", i+1, n, f.Unit)
			}
		}
	}
	makes, also := 0, map[string]int{}
	if s.Last == len(r.Do)-1 {
		for _, m := range r.Makes {
			stock[m.Unit] += m.Count * s.Count
			if m.Unit == r.Unit {
				makes = m.Count * s.Count
			} else {
				also[m.Unit] = m.Count * s.Count
			}
		}
		v.checkSize(i, s)
	} else if !v.expect(s.Out >= 0 && float64(s.Out) <= v.ease+1e-6 && s.Surplus == 0) {
		v.fault("size", s.Unit, "", "", "step %d finishes nothing, but may be out by %s", i+1, v.long(float64(s.Out)))
	}
	if !v.expect(s.Makes == makes) {
		v.fault("order", s.Unit, "", fmt.Sprint(makes), "step %d finishes %d of unit %s, it says %d", i+1, makes, s.Unit, s.Makes)
	}
	for _, a := range s.Also {
		if !v.expect(a.Makes > 0 && a.Makes == also[a.Unit]) {
			v.fault("order", a.Unit, "", fmt.Sprint(also[a.Unit]), "step %d finishes %d of unit %s, it says %d", i+1, also[a.Unit], a.Unit, a.Makes)
		}
		delete(also, a.Unit)
	}
	if !v.expect(len(also) == 0) {
		v.fault("order", s.Unit, "", "", "step %d does not say all that it finishes", i+1)
	}
}

// checkSize compares what a step says a finished unit measures, raw edge to raw edge, with the unit.
func (v *prover) checkSize(i int, s *plan.Step) {
	k, ok := v.byID[s.Unit]
	if !ok {
		return
	}
	u := &v.units[k]
	w, h := float64(u.Size.Width)+2*v.seam, float64(u.Size.Height)+2*v.seam
	if s.Size != nil && !v.expect(same(float64(s.Size[0]), w, 1e-4) && same(float64(s.Size[1]), h, 1e-4)) {
		v.fault("size", u.ID, "", v.long(w)+" by "+v.long(h), "step %d: unit %s is said to measure %s by %s, raw edge to raw edge", i+1, u.ID, v.long(float64(s.Size[0])), v.long(float64(s.Size[1])))
	}
	out := math.Max(float64(u.Excess.Width), float64(u.Excess.Height))
	if !v.expect(float64(s.Out) >= out-1e-4 && float64(s.Out) <= out+v.ease+1e-4) {
		v.fault("size", u.ID, "", v.long(out), "step %d: unit %s may be out by %s, its excess is %s", i+1, u.ID, v.long(float64(s.Out)), v.long(out))
	}
}

package prove

import (
	"slices"

	"quiltwright/internal/plan"
)

// checkSamples counts what the samples of each month take, of every piece, month by month, and checks what is said of each: that it is of a
// recipe sewn in its month, is kept wherever a step of that recipe ends, and that its batches are begun and its pieces cut, no fewer and no more.
func (v *prover) checkSamples(months int) map[string][]int {
	taken := map[string][]int{}
	for i := range v.p.Pieces {
		taken[v.p.Pieces[i].Label] = make([]int, months+1)
	}
	for _, m := range v.p.Months {
		for i := range m.Samples {
			s := &m.Samples[i]
			k, ok := v.recipes[s.Recipe]
			if !v.expect(ok && v.p.Recipes[k].Unit == s.Unit) {
				v.fault("sample", s.Unit, "", "", "month %d: a sample of unit %s by recipe “%s”, which does not make it", m.Number, s.Unit, s.Recipe)
				continue
			}
			r := &v.p.Recipes[k]
			var ends []int
			for _, t := range v.p.Steps {
				if t.Month == m.Number && t.Recipe == r.ID {
					ends = append(ends, t.Last)
				}
			}
			if !v.expect(len(ends) > 0 && slices.Equal(ends, s.After)) {
				v.fault("sample", s.Unit, "", "", "month %d: samples of unit %s after the operations %v, its steps end with %v", m.Number, s.Unit, s.After, ends)
				continue
			}
			if want := batchesShown(r, ends); !v.expect(s.Batches == want) {
				v.fault("sample", s.Unit, "", "", "month %d: %d batches begun for the samples of unit %s, they take %d", m.Number, s.Batches, s.Unit, want)
			}
			want := map[string]int{}
			if !v.expect(v.cutFor(r, s.Batches, want, 0)) {
				v.fault("sample", s.Unit, "", "", "month %d: what the samples of unit %s are made of is not known", m.Number, s.Unit)
			}
			for _, x := range s.Pieces {
				if !v.expect(x.Count > 0 && want[x.Piece] == x.Count) {
					v.fault("sample", s.Unit, x.Piece, "", "month %d: %d of piece %s for the samples of unit %s, they take %d", m.Number, x.Count, x.Piece, s.Unit, want[x.Piece])
				}
				delete(want, x.Piece)
				if t := taken[x.Piece]; t != nil && m.Number <= months {
					t[m.Number] += x.Count
				}
			}
			if !v.expect(len(want) == 0) {
				v.fault("sample", s.Unit, "", "", "month %d: the samples of unit %s take pieces that are not listed with them", m.Number, s.Unit)
			}
		}
	}
	return taken
}

// batchesShown is how many batches it takes to keep one work after each of these operations. Every work that is kept is gone; the others
// of its batch go on, and come apart further by cuts.
func batchesShown(r *plan.Recipe, ends []int) int {
	batches, on, of := 0, 0, 1 // works that go on, of so many in a whole batch
	for _, last := range ends {
		alike := 0
		made := 0
		for _, f := range r.From {
			made += f.Count
		}
		segments := 1
		for _, op := range r.Do[:min(last+1, len(r.Do))] {
			if op.Op == "cut" && op.Times > 0 {
				segments *= op.Times
			} else if op.Op == "cut" {
				made++
			}
		}
		for _, g := range r.Gives {
			if g.Work < made {
				alike += segments
			}
		}
		alike = max(alike, segments)
		on = on * alike / of
		of = alike
		if on == 0 {
			batches, on = batches+1, alike
		}
		on--
	}
	return batches
}

// cutFor adds the pieces of so many batches of a recipe, with those of the units that it takes; false where one is made by no recipe.
func (v *prover) cutFor(r *plan.Recipe, batches int, pieces map[string]int, deep int) bool {
	if deep > len(v.units) || batches < 0 || batches > 1<<20 {
		return false
	}
	for _, f := range r.From {
		n := f.Count * batches
		if f.Piece != "" {
			pieces[f.Piece] += n
			continue
		}
		k, ok := v.byID[f.Unit]
		if !ok {
			return false
		}
		if l := v.units[k].Piece; l != "" {
			pieces[l] += n
			continue
		}
		of, ok := v.recipes[v.units[k].Recipe]
		if !ok {
			return false
		}
		made := 0
		for _, m := range v.p.Recipes[of].Makes {
			if m.Unit == f.Unit {
				made += m.Count
			}
		}
		if made < 1 || !v.cutFor(&v.p.Recipes[of], (n+made-1)/made, pieces, deep+1) {
			return false
		}
	}
	return true
}

package prove

import (
	"quiltwright/internal/plan"
	"slices"
)

// checkCounts balances what is made and what is used, of every unit and piece, in all and month by month.
func (v *prover) checkCounts() {
	p := v.p
	last := 0
	for _, m := range p.Months {
		if !v.expect(m.Number == last+1) {
			v.fault("month", "", "", "", "month %d follows month %d", m.Number, last)
		}
		last = m.Number
	}
	if !v.expect(last > 0) {
		v.fault("month", "", "", "", "the plan has no month")
		return
	}
	made, used := make([][]int, len(v.units)), make([][]int, len(v.units))
	for i := range v.units {
		made[i], used[i] = make([]int, last+1), make([]int, last+1)
	}
	taken := map[string][]int{} // pieces, by label, that recipes take themselves
	for l := range v.pieces {
		taken[l] = make([]int, last+1)
	}
	for i := range p.Recipes {
		r := &p.Recipes[i]
		sum, before := 0, 0
		for _, m := range r.Months {
			if !v.expect(m.Batches > 0 && m.Month > before && m.Month <= last) {
				v.fault("count", r.Unit, "", "", "recipe %s: %d batches in month %d", r.ID, m.Batches, m.Month)
				continue
			}
			before = m.Month
			sum += m.Batches
			for _, x := range r.Makes {
				if k, ok := v.byID[x.Unit]; ok {
					made[k][m.Month] += m.Batches * x.Count
				}
			}
			k, ok := v.byID[r.Unit]
			setting := ok && v.units[k].setting
			for _, f := range r.From {
				if t := taken[f.Piece]; f.Piece != "" && t != nil {
					t[m.Month] += m.Batches * f.Count
				}
				if j, ok := v.byID[f.Unit]; f.Unit != "" && ok && !(setting && v.ofBlock(f.Unit)) {
					used[j][m.Month] += m.Batches * f.Count
				}
			}
			if setting && !v.expect(v.setsIn(m.Month)) {
				v.fault("month", r.Unit, "", "", "recipe %s puts blocks together in month %d, in which the top is not set", r.ID, m.Month)
			}
		}
		if !v.expect(sum == r.Batches && sum > 0) {
			v.fault("count", r.Unit, "", "", "recipe %s: %d batches in all, %d in its months", r.ID, r.Batches, sum)
		}
	}
	// Blocks are used in the months that make them; the top once.
	blocks := map[string]int{}
	for _, m := range p.Months {
		for _, x := range m.Blocks {
			b := v.blocks[x.Block]
			if !v.expect(b != nil && x.Count > 0) {
				v.fault("month", "", "", "", "month %d makes %d of block “%s”", m.Number, x.Count, x.Block)
				continue
			}
			blocks[x.Block] += x.Count
			if k, ok := v.byID[b.Unit]; ok && b.Unit != p.Top {
				used[k][m.Number] += x.Count
			}
		}
	}
	for i := range p.Blocks {
		if b := &p.Blocks[i]; !v.expect(blocks[b.ID] == b.Made) {
			v.fault("month", b.Unit, "", "", "%d of block %s are made, the months make %d", b.Made, b.Name, blocks[b.ID])
		}
	}
	if k, ok := v.byID[p.Top]; ok {
		month := 0
		for m := 1; m <= last; m++ {
			if made[k][m] > 0 || len(v.units[k].parts) == 0 && v.setsIn(m) { // a top of one patch is only cut
				month = m
			}
		}
		if month > 0 {
			used[k][month]++
		}
	}
	pieceNeeds := map[string]int{}
	pieceMonths := map[string][]int{}
	for l, t := range taken {
		pieceMonths[l] = append([]int{}, t...)
		for _, n := range t {
			pieceNeeds[l] += n
		}
	}
	for i := range v.units {
		v.balance(i, made[i], used[i])
		v.pressings(&v.units[i])
		if u := &v.units[i]; u.Piece != "" && pieceMonths[u.Piece] != nil {
			for m, n := range used[i] {
				pieceNeeds[u.Piece] += n
				pieceMonths[u.Piece][m] += n
			}
		}
	}
	samples := v.checkSamples(last)
	for i := range p.Pieces {
		l := p.Pieces[i].Label
		v.balancePiece(&p.Pieces[i], pieceNeeds[l], pieceMonths[l], samples[l])
	}
	set := 0
	for _, m := range p.Months {
		if m.Set {
			set++
		}
	}
	if !v.expect(set == 1) {
		v.fault("month", "", "", "", "the top is set in %d months", set)
	}
}

// ofBlock reports whether a unit is that of a block.
func (v *prover) ofBlock(id string) bool {
	for i := range v.p.Blocks {
		if v.p.Blocks[i].Unit == id {
			return true
		}
	}
	return false
}

func (v *prover) setsIn(month int) bool {
	for _, m := range v.p.Months {
		if m.Number == month {
			return m.Set
		}
	}
	return false
}

// pressings checks how many of a unit are pressed each way: as many as the recipe of that way makes.
func (v *prover) pressings(u *unit) {
	if !slices.ContainsFunc(u.Joins, func(j plan.Join) bool { return len(j.Split) > 0 }) {
		return
	}
	ways := [2]int{}
	for i := range v.p.Recipes {
		r := &v.p.Recipes[i]
		for _, x := range r.Makes {
			if x.Unit == u.ID && r.Way >= 0 && r.Way < len(ways) {
				ways[r.Way] += r.Batches * x.Count
			}
		}
	}
	for k := range u.Joins {
		split := u.Joins[k].Split
		if !v.expect(len(split) == 0 || len(split) == len(ways)) {
			v.fault("press", u.ID, "", "", "join %d of unit %s is pressed in %d ways, not in two", k, u.ID, len(split))
			continue
		}
		for way, s := range split {
			if !v.expect(s.Made == ways[way]) {
				v.fault("count", u.ID, "", "", "join %d of unit %s: %d are pressed %s, the recipes make %d so", k, u.ID, s.Made, s.Press, ways[way])
			}
		}
	}
}

// balance checks the counts of a unit.
func (v *prover) balance(i int, made, used []int) {
	u := &v.units[i]
	need, make := 0, 0
	for m := range used {
		need += used[m]
		make += made[m]
	}
	if !v.expect(u.Needed == need) {
		v.fault("count", u.ID, "", "", "unit %s: %d are used, %d said to be needed", u.ID, need, u.Needed)
	}
	patch := len(u.parts) == 0
	if patch && u.Piece == "" {
		if !v.expect(u.Made == 0 && u.Spare == 0 && u.Surplus == 0 && len(u.Months) == 0) {
			v.fault("count", u.ID, "", "", "patch %s is made only within a batch, and cannot be counted by itself", u.ID)
		}
		return
	}
	if !v.expect(u.Spare >= 0 && u.Surplus >= 0 && u.Needed+u.Spare+u.Surplus == u.Made) {
		v.fault("count", u.ID, "", "", "unit %s: needed %d, spare %d and surplus %d are not the %d that are made", u.ID, u.Needed, u.Spare, u.Surplus, u.Made)
	}
	if !patch && !v.expect(u.Made == make) {
		v.fault("count", u.ID, "", "", "unit %s: the recipes make %d, not %d", u.ID, make, u.Made)
	}
	months := map[int]plan.UnitMonth{}
	before := 0
	for _, m := range u.Months {
		if !v.expect(m.Month > before && m.Month < len(used)) {
			v.fault("count", u.ID, "", "", "unit %s is counted in month %d", u.ID, m.Month)
			return
		}
		before = m.Month
		months[m.Month] = m
	}
	sum, stock := 0, 0
	for m := 1; m < len(used); m++ {
		x := months[m]
		sum += x.Made
		stock += x.Made - x.Used
		if !v.expect(x.Used == used[m] && (patch || x.Made == made[m])) {
			v.fault("count", u.ID, "", "", "unit %s, month %d: %d made and %d used by the recipes, %d and %d by the counts", u.ID, m, made[m], used[m], x.Made, x.Used)
		}
		if !v.expect(stock >= 0) {
			v.fault("count", u.ID, "", "", "unit %s: by month %d more are used than made", u.ID, m)
		}
	}
	if !v.expect(sum == u.Made) {
		v.fault("count", u.ID, "", "", "unit %s: its months make %d, in all %d", u.ID, sum, u.Made)
	}
}

// balancePiece checks the counts of a piece: used are those that patches and recipes take, month by month, shown those of the samples.
func (v *prover) balancePiece(x *plan.Piece, need int, used, shown []int) {
	spare := 0
	units := map[string]bool{}
	for i := range v.units {
		if u := &v.units[i]; u.Piece == x.Label {
			spare += u.Spare
			units[u.ID] = true
		}
	}
	for i := range v.p.Recipes {
		r := &v.p.Recipes[i]
		for _, f := range r.From {
			if f.Piece == x.Label {
				units[r.Unit] = true
			}
		}
	}
	if !v.expect(x.Needed == need && x.Spare == spare) {
		v.fault("count", "", x.Label, "", "piece %s: %d are used and %d spare, the cutting list says %d and %d", x.Label, need, spare, x.Needed, x.Spare)
	}
	samples := 0
	for _, n := range shown {
		samples += n
	}
	if !v.expect(x.Samples == samples) {
		v.fault("count", "", x.Label, "", "piece %s: the samples take %d, the cutting list says %d", x.Label, samples, x.Samples)
	}
	for _, id := range x.ForUnits {
		if !v.expect(units[id]) {
			v.fault("count", id, x.Label, "", "piece %s is said to be for unit %s, which does not take it", x.Label, id)
		}
		delete(units, id)
	}
	if !v.expect(len(units) == 0) {
		v.fault("count", "", x.Label, "", "piece %s does not name every unit that takes it", x.Label)
	}
	cut := make([]int, len(used))
	for _, m := range x.Months {
		if m.Month > 0 && m.Month < len(cut) {
			cut[m.Month] += m.Cut * x.Each
		}
	}
	stock := 0
	for m := 1; m < len(used); m++ {
		stock += cut[m] - used[m] - shown[m]
		if !v.expect(stock >= 0) {
			v.fault("count", "", x.Label, "", "piece %s: by month %d, %d more are used than cut", x.Label, m, -stock)
			return
		}
	}
}

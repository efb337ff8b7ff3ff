package prove

// checkWays checks that of a unit that is pressed both ways as many are made of each as the units that it is a part of take. A part with
// way 1 is of the other way than what it is in.
func (v *prover) checkWays() {
	p := v.p
	recipes := make([][]int, len(v.units)) // that make the unit
	made := make([][2]int, len(v.units))
	for i := range p.Recipes {
		r := &p.Recipes[i]
		if !v.expect(r.Way == 0 || r.Way == 1) {
			v.fault("way", r.Unit, "", "", "recipe %s is for way %d: 0 or 1", r.ID, r.Way)
			return
		}
		for _, m := range r.Makes {
			k, ok := v.byID[m.Unit]
			if !ok {
				continue
			}
			for _, j := range recipes[k] {
				if !v.expect(p.Recipes[j].Way != r.Way) {
					v.fault("way", m.Unit, "", "", "recipes %s and %s make unit %s the same way", p.Recipes[j].ID, r.ID, m.Unit)
				}
			}
			recipes[k] = append(recipes[k], i)
			made[k][r.Way] += m.Count * r.Batches
		}
	}
	used := make([][2]int, len(v.units))
	known := make([]bool, len(v.units)) // every recipe that takes it takes its unit's parts as they stand
	for k := range recipes {
		known[k] = len(recipes[k]) == 2
	}
	for i := range p.Recipes {
		r := &p.Recipes[i]
		k, ok := v.byID[r.Unit]
		var from []string
		for _, f := range r.From {
			for range f.Count {
				from = append(from, f.Unit)
			}
		}
		asParts := ok && len(from) == len(v.units[k].Unit.Parts)
		for n := range from {
			asParts = asParts && v.units[k].Unit.Parts[n].Unit == from[n]
		}
		for n, id := range from {
			j, ok := v.byID[id]
			if !ok || !known[j] {
				continue
			}
			if !asParts {
				known[j] = false
				continue
			}
			used[j][(v.units[k].Unit.Parts[n].Way^r.Way)&1] += r.Batches
		}
	}
	for k := range v.units {
		if u := &v.units[k]; known[k] && !v.expect(used[k][0] <= made[k][0] && used[k][1] <= made[k][1]) {
			v.fault("way", u.ID, "", "", "unit %s: %d and %d are used of its two ways, %d and %d are made", u.ID, used[k][0], used[k][1], made[k][0], made[k][1])
		}
	}
}

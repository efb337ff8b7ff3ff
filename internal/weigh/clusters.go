package weigh

import "slices"

// clusters shifts costs so that the least entries of its tables bound the sum well, also where choices go round in cycles that cannot
// all be had at their cheapest. The sum for any choice stays what it was.
//
// Its tables are those that variables are taken out of, one after the other, where no table may have more than room entries: a
// variable with more around it than that has several. Neighbours are a table and the one that takes it up when its variable is
// gone, and the tables of one variable. Costs are shifted to and fro between neighbours, so that every entry of what they share costs the
// same at best in both.
type clusters struct {
	tables []*table
	joints []joint
	round  int64 // work of one round
}

// joint is two tables and where the entries of what they share lie.
type joint struct {
	t    [2]*table
	look [2][]int32 // nil: what they share comes last, so its entries repeat
	best [2][]int64
}

func newClusters(size []int, tables []*table, o *order, room int64) *clusters {
	type scope struct {
		over []int
		t    *table // what is given, or the table that is to be taken up
		up   bool
	}
	c := &clusters{}
	bucket := make([][]scope, len(size))
	put := func(s scope) {
		if len(s.over) > 0 {
			bucket[s.over[0]] = append(bucket[s.over[0]], s)
		}
	}
	for _, t := range tables {
		if len(t.over) == 0 {
			c.tables = append(c.tables, t)
			continue
		}
		put(scope{union([]*table{t}, o.rank), t, false})
	}
	for _, x := range o.vars {
		slices.SortStableFunc(bucket[x], func(a, b scope) int { return len(b.over) - len(a.over) })
		var groups [][]scope
		var overs [][]int
	next:
		for _, s := range bucket[x] {
			for g := range groups {
				over := union([]*table{{over: overs[g]}, {over: s.over}}, o.rank)
				if entries(over, size) <= max(room, entries(overs[g], size)) {
					groups[g], overs[g] = append(groups[g], s), over
					continue next
				}
			}
			groups, overs = append(groups, []scope{s}), append(overs, s.over)
		}
		var last *table
		for g, group := range groups {
			t := &table{over: overs[g], cost: make([]int64, entries(overs[g], size))}
			c.tables = append(c.tables, t)
			for _, s := range group {
				if s.up {
					c.join(s.t, t, s.over, size)
				} else {
					s.t.addTo(t, size)
				}
			}
			if last != nil {
				c.join(last, t, slices.DeleteFunc(slices.Clone(t.over), func(v int) bool { return !slices.Contains(last.over, v) }), size)
			}
			last = t
			put(scope{overs[g][1:], t, true})
		}
	}
	return c
}

// join lets costs be shifted between two tables.
func (c *clusters) join(a, b *table, over, size []int) {
	key := &table{over: over, cost: make([]int64, entries(over, size))}
	j := joint{t: [2]*table{a, b}}
	for k, t := range j.t {
		j.best[k] = make([]int64, len(key.cost))
		c.round += int64(len(t.cost))
		if slices.Equal(t.over[len(t.over)-len(over):], over) {
			continue
		}
		look := make([]int32, len(t.cost))
		walk(t.over, size, []*table{key}, func(e int, place []int) { look[e] = int32(place[0]) })
		j.look[k] = look
	}
	c.joints = append(c.joints, j)
}

func (j *joint) level() {
	for k, t := range j.t {
		best, look := j.best[k], j.look[k]
		for e := range best {
			best[e] = infinite
		}
		if look == nil {
			for at := 0; at < len(t.cost); at += len(best) {
				for e, c := range t.cost[at : at+len(best)] {
					best[e] = min(best[e], c)
				}
			}
			continue
		}
		for e, c := range t.cost {
			at := look[e]
			best[at] = min(best[at], c)
		}
	}
	one, two := j.best[0], j.best[1]
	for e, a := range one {
		d := (two[e] - a) / 2
		one[e], two[e] = d, -d
	}
	for k, t := range j.t {
		best, look := j.best[k], j.look[k]
		if look == nil {
			for at := 0; at < len(t.cost); at += len(best) {
				row := t.cost[at : at+len(best)]
				for e, d := range best {
					row[e] += d
				}
			}
			continue
		}
		for e := range t.cost {
			t.cost[e] += best[look[e]]
		}
	}
}

// run levels in rounds, forth and back, and returns the work. It stops when the work is spent, when the bound reaches goal (in grains), and
// where it rises so slowly that many rounds would not bring it there.
func (c *clusters) run(limit, goal int64) (work int64) {
	const many = 64
	floor := least(c.tables)
	for each := c.work(); work+each <= limit && floor < goal; {
		for k := range c.joints {
			c.joints[k].level()
		}
		for k := range slices.Backward(c.joints) {
			c.joints[k].level()
		}
		work += each
		now := least(c.tables)
		if (now-floor)*many < goal-now {
			break
		}
		floor = now
	}
	return work
}

// work is what one round counts: its steps are plain ones, in order, and eight of them take about as long as one of the search.
func (c *clusters) work() int64 { return c.round / 4 }

package weigh

import "slices"

// clusters shifts costs so that the least entries of its tables bound the sum well, also where choices go round in cycles that cannot
// all be had at their cheapest. The sum for any choice stays what it was.
//
// Its tables are those that variables are taken out of, the last first, where no table may have more than room entries: a
// variable with more around it than that has several. Neighbours are a table and the one that takes it up when its variable is
// gone, and the tables of one variable. What a table costs at best beyond what it shares with a neighbour is handed on from neighbour to neighbour, forth
// and back: to the one that has neighbours still to come, or in equal parts to both.
type clusters struct {
	of     [][]*table // of[v]: the tables of variable v, which comes last in them
	tables []*table   // all of them
	joints []joint
	round  int64 // work of one round
	floor  int64 // what every choice costs beside the tables
	room   [2][]int64
}

// joint is two tables and how they are folded to what they share.
type joint struct {
	t    [2]*table
	fold [2]fold
	best [2][]int64
	to   [2]int // which of the two gets all, forth and back; both: equal parts
}

const both = 2

// newClusters sums the tables up into new ones. Variables ascend in each table.
func newClusters(size []int, tables []*table, room int64) *clusters {
	type scope struct {
		over []int
		t    *table // what is given, or the table that is to be taken up
		up   bool
	}
	c := &clusters{of: make([][]*table, len(size))}
	bucket := make([][]scope, len(size))
	put := func(s scope) {
		if n := len(s.over); n > 0 {
			bucket[s.over[n-1]] = append(bucket[s.over[n-1]], s)
		}
	}
	for _, t := range tables {
		put(scope{t.over, t, false})
	}
	for x := len(size) - 1; x >= 0; x-- {
		slices.SortStableFunc(bucket[x], func(a, b scope) int { return len(b.over) - len(a.over) })
		var groups [][]scope
		var overs [][]int
	next:
		for _, s := range bucket[x] {
			for g := range groups {
				over := merged(overs[g], s.over)
				if entries(over, size) <= max(room, entries(overs[g], size)) {
					groups[g], overs[g] = append(groups[g], s), over
					continue next
				}
			}
			groups, overs = append(groups, []scope{s}), append(overs, s.over)
		}
		for g, group := range groups {
			t := &table{over: overs[g], cost: make([]int64, entries(overs[g], size))}
			for _, s := range group {
				if s.up {
					c.join(s.t, t, s.over, size)
				} else {
					s.t.addTo(t, size)
				}
			}
			if g > 0 {
				last := c.of[x][g-1]
				c.join(last, t, common(last.over, t.over), size)
			}
			c.of[x] = append(c.of[x], t)
			c.tables = append(c.tables, t)
			put(scope{t.over[:len(t.over)-1], t, true})
		}
	}
	c.direct()
	return c
}

// join lets costs be shifted between two tables.
func (c *clusters) join(a, b *table, over, size []int) {
	j := joint{t: [2]*table{a, b}}
	for k, t := range j.t {
		j.fold[k] = newFold(t.over, over, size)
		j.best[k] = make([]int64, entries(over, size))
		c.round += int64(len(t.cost))
	}
	c.joints = append(c.joints, j)
}

// direct says which of two neighbours has others still to come, forth and back.
func (c *clusters) direct() {
	first, last := map[*table]int{}, map[*table]int{}
	for k, j := range c.joints {
		for _, t := range j.t {
			if _, ok := first[t]; !ok {
				first[t] = k
			}
			last[t] = k
		}
	}
	for k := range c.joints {
		j := &c.joints[k]
		for way, end := range []map[*table]int{last, first} {
			switch one, two := end[j.t[0]] == k, end[j.t[1]] == k; {
			case one == two:
				j.to[way] = both
			case one:
				j.to[way] = 1
			}
		}
	}
}

// shift hands costs on, forth or back.
func (c *clusters) shift(j *joint, way int) {
	for k, t := range j.t {
		j.fold[k].least(t.cost, j.best[k], &c.room)
	}
	one, two := j.best[0], j.best[1]
	for e, a := range one {
		d := two[e] // what the first gets
		switch j.to[way] {
		case 1:
			d = -a
		case both:
			d = (d - a) / 2
		}
		one[e], two[e] = d, -d
	}
	for k, t := range j.t {
		j.fold[k].add(t.cost, j.best[k], &c.room)
	}
}

// run shifts in rounds, forth and back and forth, and returns the work. It stops when the work is spent, when the bound reaches goal (in grains), and
// where a round closes little of the gap. In the end no table has an entry less than 0, nor less to hand on.
func (c *clusters) run(limit, goal int64) (work int64) {
	const many = 16
	forth := func() int64 {
		for k := range c.joints {
			c.shift(&c.joints[k], 0)
		}
		work += c.work() / 2
		var floor int64
		for _, t := range c.tables {
			floor += slices.Min(t.cost)
		}
		return floor
	}
	floor := forth()
	for work+c.work() <= limit && floor < goal {
		for k := range slices.Backward(c.joints) {
			c.shift(&c.joints[k], 1)
		}
		work += c.work() / 2
		now := forth()
		if (now-floor)*many < goal-now {
			break
		}
		floor = now
	}
	c.floor = 0
	for _, t := range c.tables {
		least := slices.Min(t.cost)
		c.floor += least
		for k := range t.cost {
			t.cost[k] -= least
		}
	}
	return work
}

// work is what one round counts: its steps are plain ones, in order, and 32 of them take about as long as one of the search.
func (c *clusters) work() int64 { return c.round / 8 }

package weigh

import "slices"

// times returns the table with all costs multiplied.
func (t *table) times(k int64) *table {
	out := &table{over: t.over, cost: make([]int64, len(t.cost))}
	for i, c := range t.cost {
		out.cost[i] = c * k
	}
	return out
}

// balance shifts costs between tables that share x, so that each state of what all of them share
// costs the same at best in each; their sum stays what it was.
func balance(joint []*table, x int, size []int) {
	if len(joint) < 2 {
		return
	}
	var shared []int
	for _, v := range joint[0].over {
		all := true
		for _, j := range joint[1:] {
			all = all && slices.Contains(j.over, v)
		}
		if all && v != x {
			shared = append(shared, v)
		}
	}
	shared = append(shared, x)
	level(joint, shared, size)
}

// level shifts costs between tables that share some variables, so that each combination of those
// costs the same at best in each.
func level(joint []*table, shared []int, size []int) {
	best := make([][]int64, len(joint))
	for g, j := range joint {
		m := make([]int64, entries(shared, size))
		for k := range m {
			m[k] = infinite
		}
		key := &table{over: shared, cost: m}
		walk(j.over, size, []*table{key}, func(k int, place []int) {
			m[place[0]] = min(m[place[0]], j.cost[k])
		})
		best[g] = m
	}
	n := int64(len(joint))
	for k := range best[0] {
		var sum int64
		for g := range best {
			sum += best[g][k]
		}
		each, rest := sum/n, sum%n
		for g := range best {
			want := each
			if int64(g) < rest {
				want++
			}
			best[g][k] = want - best[g][k] // from here on: what is to be added
		}
	}
	for g, j := range joint {
		key := &table{over: shared, cost: best[g]}
		walk(j.over, size, []*table{key}, func(k int, place []int) {
			j.cost[k] += best[g][place[0]]
		})
	}
}

// tighten shifts costs between tables variable by variable, forth and back, so that the least entries
// of all tables together bound the sum better. The sum for any choice stays what it was. It stops
// when a round gains little or the work is spent, and returns the work.
func tighten(size []int, tables []*table, limit int64) int64 {
	at := make([][]*table, len(size))
	var round int64
	for _, t := range tables {
		for _, v := range t.over {
			at[v] = append(at[v], t)
			round += int64(2 * len(t.cost))
		}
	}
	var work int64
	floor := least(tables)
	for work+2*round <= limit {
		for i := range 2 * len(size) {
			v := i
			if i >= len(size) {
				v = 2*len(size) - 1 - i
			}
			if len(at[v]) > 1 {
				level(at[v], []int{v}, size)
			}
		}
		work += 2 * round
		now := least(tables)
		if now-floor <= grain/8 {
			break
		}
		floor = now
	}
	return work
}

// least is the sum of the least entries of all tables: a bound from below.
func least(tables []*table) int64 {
	var sum int64
	for _, t := range tables {
		sum += slices.Min(t.cost)
	}
	return sum
}

package weigh

import "slices"

// table is a Table whose variables ascend in the order its owner works in.
type table struct {
	over []int
	cost []int64
}

// constant says whether all entries are equal.
func (t *table) constant() bool {
	for _, c := range t.cost {
		if c != t.cost[0] {
			return false
		}
	}
	return true
}

// stride returns how far apart two neighbouring states of each variable lie in cost.
func (t *table) stride(size []int) []int {
	s := make([]int, len(t.over))
	k := 1
	for i := len(t.over) - 1; i >= 0; i-- {
		s[i] = k
		k *= size[t.over[i]]
	}
	return s
}

// fix returns the table with variable x held at a state, and without x.
func (t *table) fix(x, state int, size []int) *table {
	i := slices.Index(t.over, x)
	if i < 0 {
		return t
	}
	inner := 1
	for _, v := range t.over[i+1:] {
		inner *= size[v]
	}
	out := &table{over: slices.Delete(slices.Clone(t.over), i, i+1), cost: make([]int64, 0, len(t.cost)/size[x])}
	block := inner * size[x]
	for at := 0; at < len(t.cost); at += block {
		out.cost = append(out.cost, t.cost[at+state*inner:at+(state+1)*inner]...)
	}
	return out
}

// keep returns the table with only the given states of x left, in that order.
func (t *table) keep(x int, states []int, size []int) *table {
	i := slices.Index(t.over, x)
	inner := 1
	for _, v := range t.over[i+1:] {
		inner *= size[v]
	}
	out := &table{over: t.over, cost: make([]int64, 0, len(t.cost)/size[x]*len(states))}
	block := inner * size[x]
	for at := 0; at < len(t.cost); at += block {
		for _, s := range states {
			out.cost = append(out.cost, t.cost[at+s*inner:at+(s+1)*inner]...)
		}
	}
	return out
}

// union returns the variables of all tables, ascending by rank.
func union(tables []*table, rank []int) []int {
	var over []int
	for _, t := range tables {
		for _, v := range t.over {
			if !slices.Contains(over, v) {
				over = append(over, v)
			}
		}
	}
	slices.SortFunc(over, func(a, b int) int { return rank[a] - rank[b] })
	return over
}

// entries is the number of combinations of the variables, at most infinite.
func entries(over []int, size []int) int64 {
	n := int64(1)
	for _, v := range over {
		n *= int64(size[v])
		if n > 1<<50 {
			return 1 << 50
		}
	}
	return n
}

// add returns the sum of tables, over the given variables (which hold all of theirs).
func add(over []int, size []int, tables []*table) *table {
	out := &table{over: over, cost: make([]int64, entries(over, size))}
	for _, t := range tables {
		t.addTo(out, size)
	}
	return out
}

// addTo adds the table to one that has all of its variables.
func (t *table) addTo(sum *table, size []int) {
	if slices.Equal(t.over, sum.over) {
		for k, c := range t.cost {
			sum.cost[k] += c
		}
		return
	}
	// The trailing variables that both have, or that only the sum has, are run through in one go.
	n, run, had := len(sum.over), 1, len(t.over)
	for had > 0 && t.over[had-1] == sum.over[n-1] {
		n, had = n-1, had-1
		run *= size[sum.over[n]]
	}
	same := run == 1
	for same && n > 0 && !slices.Contains(t.over, sum.over[n-1]) {
		n--
		run *= size[sum.over[n]]
	}
	var room [2][16]int
	step, state := room[0][:0], room[1][:0] // step[i]: how the place in t grows with the state of sum.over[i]
	for range n {
		step, state = append(step, 0), append(state, 0)
	}
	stride := 1
	for i := len(t.over) - 1; i >= 0; i-- {
		if at := slices.Index(sum.over, t.over[i]); at < n {
			step[at] = stride
		}
		stride *= size[t.over[i]]
	}
	place := 0
	for at := 0; at < len(sum.cost); at += run {
		row := sum.cost[at : at+run]
		if same {
			c := t.cost[place]
			for k := range row {
				row[k] += c
			}
		} else {
			for k, c := range t.cost[place : place+run] {
				row[k] += c
			}
		}
		for i := len(step) - 1; i >= 0; i-- {
			state[i]++
			if state[i] < size[sum.over[i]] {
				place += step[i]
				break
			}
			place -= step[i] * (state[i] - 1)
			state[i] = 0
		}
	}
}

// least returns the table without its last variable, at that variable's cheapest state.
func (t *table) least(size []int) *table {
	n := len(t.over) - 1
	s := size[t.over[n]]
	out := &table{over: t.over[:n], cost: make([]int64, len(t.cost)/s)}
	for k := range out.cost {
		row := t.cost[k*s : k*s+s]
		m := row[0]
		for _, c := range row[1:] {
			m = min(m, c)
		}
		out.cost[k] = m
	}
	return out
}

// merged is the ascending a and b in one.
func merged(a, b []int) []int {
	out := make([]int, 0, len(a)+len(b))
	for len(a) > 0 && len(b) > 0 {
		switch {
		case a[0] < b[0]:
			out, a = append(out, a[0]), a[1:]
		case b[0] < a[0]:
			out, b = append(out, b[0]), b[1:]
		default:
			out, a, b = append(out, a[0]), a[1:], b[1:]
		}
	}
	return append(append(out, a...), b...)
}

// common is what the ascending a and b share.
func common(a, b []int) []int {
	var out []int
	for len(a) > 0 && len(b) > 0 {
		switch {
		case a[0] < b[0]:
			a = a[1:]
		case b[0] < a[0]:
			b = b[1:]
		default:
			out, a, b = append(out, a[0]), a[1:], b[1:]
		}
	}
	return out
}

// times returns the table with all costs multiplied.
func (t *table) times(k int64) *table {
	out := &table{over: t.over, cost: make([]int64, len(t.cost))}
	for i, c := range t.cost {
		out.cost[i] = c * k
	}
	return out
}

package weigh

import (
	"math/bits"
	"slices"
)

// solution is what is found for a part.
type solution struct {
	value   []int
	bound   int64
	optimal bool
	width   int
	nodes   int64
	work    int64
}

// order is an order in which the variables of a part can be taken out.
type order struct {
	vars  []int   // first out first
	rank  []int   // rank[v]: place of v in vars
	near  [][]int // near[v]: the variables v hangs together with when it goes, ascending by rank
	width int     // the most of them
	most  int64   // combinations of v and near[v], the largest
	work  int64   // and half their sum: its steps are plain ones
}

// minFill takes the variables out one by one: always the one whose neighbours need the fewest new
// connections, then the one with the fewest combinations, then the first.
func minFill(size []int, tables []*table) *order {
	n := len(size)
	words := (n + 63) / 64
	row := make([][]uint64, n)
	room := make([]uint64, n*words)
	for v := range row {
		row[v] = room[v*words : (v+1)*words : (v+1)*words]
	}
	for _, t := range tables {
		for _, a := range t.over {
			for _, b := range t.over {
				if a != b {
					row[a][b/64] |= 1 << (b % 64)
				}
			}
		}
	}
	neighbours := func(out []int, v int) []int {
		for i, w := range row[v] {
			for ; w != 0; w &= w - 1 {
				out = append(out, i*64+bits.TrailingZeros64(w))
			}
		}
		return out
	}
	fill := func(v int, near []int) int {
		missing := 0
		for _, a := range near {
			for i, w := range row[v] {
				missing += bits.OnesCount64(w &^ row[a][i])
			}
			missing-- // a itself
		}
		return missing / 2
	}
	o := &order{rank: make([]int, n), near: make([][]int, n)}
	fills := make([]int, n)
	weight := make([]int64, n)
	gone := make([]bool, n)
	var near []int
	queue := make(firstOut, 0, n)
	renew := func(v int) {
		near = neighbours(near[:0], v)
		fills[v] = fill(v, near)
		near = append(near, v)
		weight[v] = entries(near, size)
		queue.push(candidate{fills[v], weight[v], v})
	}
	for v := range n {
		renew(v)
	}
	var touched []uint64
	for len(o.vars) < n {
		c := queue.pop()
		best := c.v
		if gone[best] || c.fill != fills[best] || c.weight != weight[best] {
			continue // it has changed since
		}
		near := neighbours(nil, best)
		o.rank[best] = len(o.vars)
		o.vars = append(o.vars, best)
		o.near[best] = near
		o.width = max(o.width, len(near))
		o.most = max(o.most, weight[best])
		o.work = min(o.work+(weight[best]+1)/2, infinite)
		gone[best] = true
		touched = append(touched[:0], row[best]...)
		for _, a := range near {
			for i := range row[a] {
				row[a][i] |= row[best][i]
			}
			row[a][a/64] &^= 1 << (a % 64)
			row[a][best/64] &^= 1 << (best % 64)
			for i := range touched {
				touched[i] |= row[a][i]
			}
		}
		for i, w := range touched {
			for ; w != 0; w &= w - 1 {
				if v := i*64 + bits.TrailingZeros64(w); !gone[v] {
					renew(v)
				}
			}
		}
	}
	for v := range o.near {
		slices.SortFunc(o.near[v], func(a, b int) int { return o.rank[a] - o.rank[b] })
	}
	return o
}

// candidate is a variable that may be taken out next.
type candidate struct {
	fill   int
	weight int64
	v      int
}

func (a candidate) before(b candidate) bool {
	if a.fill != b.fill {
		return a.fill < b.fill
	}
	if a.weight != b.weight {
		return a.weight < b.weight
	}
	return a.v < b.v
}

// firstOut is a heap of candidates.
type firstOut []candidate

func (h *firstOut) push(c candidate) {
	*h = append(*h, c)
	q := *h
	for i := len(q) - 1; i > 0; {
		up := (i - 1) / 2
		if !q[i].before(q[up]) {
			break
		}
		q[i], q[up] = q[up], q[i]
		i = up
	}
}

func (h *firstOut) pop() candidate {
	q := *h
	first, last := q[0], len(q)-1
	q[0] = q[last]
	q = q[:last]
	*h = q
	for i := 0; ; {
		down := 2*i + 1
		if down >= last {
			return first
		}
		if down+1 < last && q[down+1].before(q[down]) {
			down++
		}
		if !q[down].before(q[i]) {
			return first
		}
		q[i], q[down] = q[down], q[i]
		i = down
	}
}

// mostEntries is the largest table that is ever made, 32 MB.
const mostEntries = 1 << 22

// easy says whether the variables can be taken out one after the other within the counted work.
func (o *order) easy(work int64) bool { return o.most <= mostEntries && o.work <= max(work, 1<<12) }

// solve finds a cheapest choice for the part within the counted work.
func (p *part) solve(o *order, work int64) solution {
	if o.easy(work) {
		ties := p.withTies()
		value := eliminate(p.size, ties, o)
		cost := p.cost(value)
		return solution{value: value, bound: cost, optimal: true, width: o.width, work: o.work}
	}
	s := newSearch(p, o, work)
	return s.run()
}

// cost is what a choice costs.
func (p *part) cost(value []int) int64 {
	var sum int64
	for _, t := range p.tables {
		k := 0
		for _, v := range t.over {
			k = k*p.size[v] + value[v]
		}
		sum += t.cost[k]
	}
	return sum
}

// withTies returns the part's tables with each cost moved up and a small charge for states below
// it, so that equally cheap choices differ: exactly in the order of their states where the spare bits
// are enough, else with earlier variables weighing more.
func (p *part) withTies() []*table {
	var span int64 = 1
	for _, t := range p.tables {
		lo, hi := slices.Min(t.cost), slices.Max(t.cost)
		span += max(hi, -lo, hi-lo)
	}
	spare := 61 - bits.Len64(uint64(span))
	charge := make([]int64, len(p.size)) // of one state up
	var most int64
	if exact := entries(p.all(), p.size); exact < 1<<50 && bits.Len64(uint64(exact)) <= spare {
		charge, most = chargeExact(p.size)
	} else {
		for v := range charge {
			charge[v] = int64(len(p.size) - v)
			most += charge[v] * int64(p.size[v]-1)
		}
	}
	up := bits.Len64(uint64(most))
	if up > spare {
		return p.tables
	}
	costs := 0
	for _, t := range p.tables {
		costs += len(t.cost)
	}
	for _, s := range p.size {
		costs += s
	}
	room, tables := make([]int64, 0, costs), make([]table, 0, len(p.tables)+len(p.size))
	for _, t := range p.tables {
		at := len(room)
		for _, c := range t.cost {
			room = append(room, c<<up)
		}
		tables = append(tables, table{over: t.over, cost: room[at:len(room):len(room)]})
	}
	all := p.all()
	for v, s := range p.size {
		at := len(room)
		for k := range s {
			room = append(room, charge[v]*int64(k))
		}
		tables = append(tables, table{over: all[v : v+1 : v+1], cost: room[at:len(room):len(room)]})
	}
	out := make([]*table, len(tables))
	for i := range tables {
		out[i] = &tables[i]
	}
	return out
}

// all is all variables of the part, by its own numbers.
func (p *part) all() []int {
	out := make([]int, len(p.size))
	for v := range out {
		out[v] = v
	}
	return out
}

// chargeExact makes a choice a number whose digits are the states, the first variable's first.
func chargeExact(size []int) (charge []int64, most int64) {
	charge = make([]int64, len(size))
	k := int64(1)
	for v := len(size) - 1; v >= 0; v-- {
		charge[v] = k
		most += k * int64(size[v]-1)
		k *= int64(size[v])
	}
	return charge, most
}

// eliminate returns the cheapest choice, exactly, by taking variables out in the given order: what a
// variable costs at best becomes a table over those it hung together with.
func eliminate(size []int, tables []*table, o *order) []int {
	bucket := make([][]*table, len(size))
	put := func(t *table) {
		if len(t.over) == 0 {
			return
		}
		first := t.over[0]
		for _, v := range t.over[1:] {
			if o.rank[v] < o.rank[first] {
				first = v
			}
		}
		bucket[first] = append(bucket[first], t)
	}
	for _, t := range tables {
		put(t)
	}
	joint := make([]*table, len(size))
	for _, x := range o.vars {
		// The others come in the order in which they are taken out, x last.
		over := union(bucket[x], o.rank)
		over = append(slices.DeleteFunc(over, func(v int) bool { return v == x }), x)
		joint[x] = add(over, size, bucket[x])
		put(joint[x].least(size))
		bucket[x] = nil
	}
	value := make([]int, len(size))
	for i := len(o.vars) - 1; i >= 0; i-- {
		t := joint[o.vars[i]]
		k := 0
		for _, v := range t.over[:len(t.over)-1] {
			k = k*size[v] + value[v]
		}
		s := size[o.vars[i]]
		row := t.cost[k*s : k*s+s]
		best := 0
		for j, c := range row {
			if c < row[best] {
				best = j
			}
		}
		value[o.vars[i]] = best
	}
	return value
}

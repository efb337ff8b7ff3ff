package weigh

import (
	"slices"
)

// reduced is a net on its way to being split into parts: what is decided without search is taken out.
type reduced struct {
	size     []int
	state    [][]int // state[v]: the states of the net's variable v that are left, ascending
	tables   []*table
	at       [][]int // at[v]: numbers of the tables over v
	constant int64
}

// newReduced copies the net, with ascending variables in each table. Costs of Never are brought down
// to just more than everything else together, so that sums stay small.
func newReduced(n *Net) *reduced {
	r := &reduced{size: slices.Clone(n.Size), state: make([][]int, len(n.Size))}
	var all []int // shared: narrowing a variable makes a list of its own
	for v, s := range n.Size {
		for len(all) < s {
			all = append(all, len(all))
		}
		r.state[v] = all[:s:s]
	}
	never := int64(1)
	for _, t := range n.Tables {
		var most int64
		for _, c := range t.Cost {
			if c < Never {
				most = max(most, c, -c)
			}
		}
		never += 2 * most
	}
	never = min(never, Never)
	costs := 0
	for _, t := range n.Tables {
		costs += len(t.Cost)
	}
	// There may be a million tables of a few entries: they stand side by side.
	room, tables := make([]int64, 0, costs), make([]table, len(n.Tables))
	r.tables = make([]*table, len(n.Tables))
	for i, t := range n.Tables {
		at := len(room)
		for _, c := range t.Cost {
			if c >= Never {
				c = never
			}
			room = append(room, c)
		}
		tables[i] = table{over: t.Over, cost: room[at:len(room):len(room)]}
		r.tables[i] = &tables[i]
		if !slices.IsSorted(t.Over) {
			over := slices.Clone(t.Over)
			slices.Sort(over)
			r.tables[i] = add(over, r.size, []*table{&tables[i]})
		}
	}
	return r
}

// run takes out all that is decided by looking at one variable and the tables over it.
func (r *reduced) run() {
	r.merge()
	queue := make([]int, len(r.size))
	queued := make([]bool, len(r.size))
	for v := range queue {
		queue[v], queued[v] = v, true
	}
	for len(queue) > 0 {
		v := queue[0]
		queue, queued[v] = queue[1:], false
		left := r.undominated(v)
		if len(left) == r.size[v] && r.size[v] > 1 {
			continue
		}
		r.narrow(v, left)
		for _, t := range r.at[v] {
			for _, w := range r.tables[t].over {
				if w != v && !queued[w] && len(r.state[w]) > 1 {
					queue, queued[w] = append(queue, w), true
				}
			}
		}
		if len(left) == 1 {
			r.settle(v)
		}
	}
	r.merge()
}

// merge adds up tables over the same variables, adds a table to one that has all its variables, and
// counts tables that are all one cost as that cost.
func (r *reduced) merge() {
	order := make([]int, len(r.tables))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return len(r.tables[b].over) - len(r.tables[a].over) })
	var kept []*table
	at := make([][]int, len(r.size))
	for _, i := range order {
		t := r.tables[i]
		if t.constant() {
			r.constant += t.cost[0]
			continue
		}
		host := -1
		for _, k := range at[t.over[0]] {
			if contains(kept[k].over, t.over) {
				host = k
				break
			}
		}
		if host >= 0 {
			kept[host] = add(kept[host].over, r.size, []*table{kept[host], t})
			continue
		}
		for _, v := range t.over {
			at[v] = append(at[v], len(kept))
		}
		kept = append(kept, t)
	}
	r.tables, r.at = kept, at
}

// contains says whether ascending a has all of ascending b.
func contains(a, b []int) bool {
	i := 0
	for _, v := range a {
		if i < len(b) && b[i] == v {
			i++
		}
	}
	return i == len(b)
}

// undominated returns the states of v that may be needed: a state goes when another is cheaper
// whatever the rest, or as cheap and smaller.
func (r *reduced) undominated(v int) []int {
	s := r.size[v]
	gone, worst := make([]bool, s), make([]int64, s*s) // worst[a*s+b]: the most that b can cost more than a
	for _, t := range r.at[v] {
		tb := r.tables[t]
		inner := 1
		for _, w := range tb.over[slices.Index(tb.over, v)+1:] {
			inner *= r.size[w]
		}
		for a := range s {
			for b := range s {
				if a == b {
					continue
				}
				m := int64(-infinite)
				for at := 0; at < len(tb.cost); at += inner * s {
					for i := at; i < at+inner; i++ {
						m = max(m, tb.cost[i+b*inner]-tb.cost[i+a*inner])
					}
				}
				worst[a*s+b] += m
			}
		}
	}
	for a := s - 1; a >= 0; a-- {
		for b := range s {
			if a == b || gone[b] {
				continue
			}
			if w := worst[a*s+b]; w < 0 || w == 0 && b < a {
				gone[a] = true
				break
			}
		}
	}
	var left []int
	for a := range s {
		if !gone[a] {
			left = append(left, a)
		}
	}
	return left
}

// narrow keeps only the given states of v.
func (r *reduced) narrow(v int, left []int) {
	if len(left) == r.size[v] {
		return
	}
	for _, t := range r.at[v] {
		r.tables[t] = r.tables[t].keep(v, left, r.size)
	}
	state := make([]int, len(left))
	for i, k := range left {
		state[i] = r.state[v][k]
	}
	r.state[v], r.size[v] = state, len(left)
}

// settle takes v, which has one state left, out of its tables.
func (r *reduced) settle(v int) {
	for _, t := range r.at[v] {
		r.tables[t] = r.tables[t].fix(v, 0, r.size)
	}
	r.at[v] = nil
}

// part is a piece of a net that hangs together, with its variables numbered from 0.
type part struct {
	vars   []int // the net's number of each variable, ascending
	size   []int
	tables []*table
}

// parts splits what is left into pieces that have no table in common, in the order of their first
// variables. Decided variables are in none.
func (r *reduced) parts() []*part {
	group := make([]int, len(r.size))
	for v := range group {
		group[v] = v
	}
	find := func(v int) int {
		for group[v] != v {
			group[v] = group[group[v]]
			v = group[v]
		}
		return v
	}
	for _, t := range r.tables {
		for _, v := range t.over[1:] {
			a, b := find(t.over[0]), find(v)
			group[max(a, b)] = min(a, b)
		}
	}
	number := make([]int, len(r.size))
	index := make([]int, len(r.size))
	var parts []*part
	for v := range r.size {
		if len(r.state[v]) == 1 {
			continue
		}
		g := find(v)
		if g == v {
			number[v] = len(parts)
			parts = append(parts, &part{})
		}
		p := parts[number[g]]
		index[v] = len(p.vars)
		p.vars = append(p.vars, v)
		p.size = append(p.size, r.size[v])
	}
	overs := 0
	for _, t := range r.tables {
		overs += len(t.over)
	}
	room, tables := make([]int, 0, overs), make([]table, len(r.tables))
	for k, t := range r.tables {
		at := len(room)
		for _, v := range t.over {
			room = append(room, index[v])
		}
		tables[k] = table{over: room[at:len(room):len(room)], cost: t.cost}
		p := parts[number[find(t.over[0])]]
		p.tables = append(p.tables, &tables[k])
	}
	return parts
}

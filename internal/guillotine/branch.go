package guillotine

import (
	"math"
	"slices"
)

// branchNode is a set of limits yet to be looked into, with what is proven about it.
type branchNode struct {
	lim   limits
	bound int64
	depth int
}

// search is branching on the number of strips of a height or more: what is open, and what is known.
type search struct {
	s      *stock
	need   []int
	best   plan
	length int64
	bound  int64
	pool   []column
	open   []branchNode
	closed int64 // least bound of what branching cannot split further
	goal   int64 // nothing longer is of use
	nodes  int
}

// cut is the length that a layout must not reach to be of use.
func (q *search) cut() int64 { return min(q.length, q.goal+1) }

// generate improves a layout and its bound by column generation, dives, branching and laying parts anew, in so much counted work.
func (s *stock) generate(need []int, best plan, bound, goal, all int64) (plan, int64) {
	q := &search{s: s, need: need, best: best, length: best.length(), bound: bound, closed: math.MaxInt64, goal: goal}
	q.open = []branchNode{{lim: s.limits(need), bound: bound}}
	begin := s.work
	if all < 1_000_000 {
		q.branch(begin + all)
		return q.best, q.proven()
	}
	q.branch(begin + all/4)
	if s.stages == 3 {
		// Branching proves little where a strip may hold what it likes.
		q.improve(begin + all)
		return q.best, q.proven()
	}
	q.improve(begin + all/2)
	q.branch(begin + all*3/4)
	q.improve(begin + all)
	return q.best, q.proven()
}

// proven is the bound that holds for all that is open and closed.
func (q *search) proven() int64 {
	low := q.closed
	for _, n := range q.open {
		low = min(low, n.bound)
	}
	q.bound = max(q.bound, min(low, q.cut()))
	return q.bound
}

func (q *search) done() bool { return q.proven() >= q.cut() }

// branch looks into what is open until that is all or work is spent.
func (q *search) branch(until int64) {
	s := q.s
	for len(q.open) > 0 && s.work < until && !q.done() {
		// The least bound first; among equals the deepest.
		at := 0
		for i, n := range q.open {
			if n.bound < q.open[at].bound || n.bound == q.open[at].bound && n.depth > q.open[at].depth {
				at = i
			}
		}
		node := q.open[at]
		m := newMaster(s, q.need, node.lim, q.pool)
		m.bound = node.bound
		done := m.solve(q.cut(), until, exact)
		q.pool = s.remember(q.pool, m)
		if m.bound >= q.cut() {
			q.open = slices.Delete(q.open, at, at+1)
			continue
		}
		if q.nodes%8 == 0 || q.nodes < 4 {
			q.dive(node, m, until)
		}
		q.nodes++
		if done && s.stages == 3 {
			done = m.solve(q.cut(), until, loose)
		}
		q.open[at].bound = max(q.open[at].bound, m.bound)
		if !done {
			return
		}
		q.open = slices.Delete(q.open, at, at+1)
		laid := m.solution()
		level := splitLevel(m.counts(laid))
		if level < 0 {
			if q.nodes > 4 && q.nodes%8 != 1 {
				q.dive(node, m, until)
			}
			q.closed = min(q.closed, m.bound)
			continue
		}
		n := int(math.Floor(m.counts(laid)[level]))
		fewer, more := node.lim.clone(), node.lim.clone()
		for k := level; k < len(s.heights); k++ {
			fewer.most[k] = min(fewer.most[k], n)
		}
		for k := 0; k <= level; k++ {
			more.least[k] = max(more.least[k], n+1)
		}
		q.open = append(q.open, branchNode{fewer, m.bound, node.depth + 1}, branchNode{more, m.bound, node.depth + 1})
	}
}

// dive rounds the program of a node.
func (q *search) dive(node branchNode, m *master, until int64) {
	if p := q.s.dive(q.need, node.lim, m, q.pool, q.cut(), until, nil); p != nil && p.length() < q.length {
		q.best, q.length = *p, p.length()
	}
}

// splitLevel returns the level whose count is furthest from whole, high levels before low ones because more depends on them,
// or -1 where all are whole.
func splitLevel(counts []float64) int {
	best, far := -1, 0.0
	for level, n := range counts {
		f := n - math.Floor(n)
		if f = min(f, 1-f); f < 1e-5 {
			continue
		}
		if f *= float64(level + 1); f > far+1e-9 {
			best, far = level, f
		}
	}
	return best
}

// remember adds the patterns that a program used to the pool.
func (s *stock) remember(pool []column, m *master) []column {
	for _, u := range m.solution() {
		if !slices.ContainsFunc(pool, u.column.same) {
			pool = append(pool, u.column)
		}
	}
	return pool
}

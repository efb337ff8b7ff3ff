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

// allowance is the counted work of an effort, about 120 million a second.
func allowance(e Effort) int64 {
	switch e {
	case Quick:
		return 100_000
	case Normal:
		return 60_000_000
	}
	return 2_400_000_000
}

// generate improves a layout and its bound by column generation, dives and branching.
func (s *stock) generate(need []int, best plan, bound int64, effort Effort) (plan, int64) {
	length := best.length()
	until := s.work + allowance(effort)
	root := limits{least: s.stripsAtLeast(need), most: make([]int, len(s.heights))}
	for level := range root.most {
		root.most[level] = unlimited
	}
	var pool []column
	open := []branchNode{{lim: root, bound: bound}}
	closed := int64(math.MaxInt64) // least bound of what branching cannot split further
	for len(open) > 0 && s.work < until {
		// The least bound first; among equals the deepest.
		at := 0
		for i, n := range open {
			if n.bound < open[at].bound || n.bound == open[at].bound && n.depth > open[at].depth {
				at = i
			}
		}
		node := open[at]
		bound = max(bound, min(node.bound, closed))
		if bound >= length {
			return best, length
		}
		open = slices.Delete(open, at, at+1)
		m := newMaster(s, need, node.lim, pool)
		m.bound = node.bound
		done := m.solve(length, until)
		pool = s.remember(pool, m)
		if m.bound >= length {
			continue
		}
		if !done {
			open = append(open, node)
			break
		}
		laid := m.solution()
		if p := s.dive(need, node.lim, m, pool, until); p != nil && p.length() < length {
			best, length = *p, p.length()
		}
		level := splitLevel(m.counts(laid))
		if level < 0 {
			closed = min(closed, m.bound)
			continue
		}
		n := int(math.Floor(m.counts(laid)[level]))
		fewer := limits{least: node.lim.least, most: slices.Clone(node.lim.most)}
		for k := level; k < len(s.heights); k++ {
			fewer.most[k] = min(fewer.most[k], n)
		}
		more := limits{least: slices.Clone(node.lim.least), most: node.lim.most}
		for k := 0; k <= level; k++ {
			more.least[k] = max(more.least[k], n+1)
		}
		open = append(open, branchNode{fewer, m.bound, node.depth + 1}, branchNode{more, m.bound, node.depth + 1})
	}
	low := closed
	for _, n := range open {
		low = min(low, n.bound)
	}
	bound = max(bound, min(low, length))
	return best, bound
}

// splitLevel returns the level whose count is furthest from whole, or -1 where all are whole.
func splitLevel(counts []float64) int {
	best, far := -1, 1e-5
	for level, n := range counts {
		f := n - math.Floor(n)
		if f = min(f, 1-f); f > far+1e-9 {
			best, far = level, f
		}
	}
	return best
}

// remember adds the patterns that a program used to the pool.
func (s *stock) remember(pool []column, m *master) []column {
	laid := m.solution()
	for _, u := range laid {
		same := slices.ContainsFunc(pool, func(c column) bool {
			return c.level == u.level && slices.Equal(c.many, u.many)
		})
		if !same {
			pool = append(pool, u.column)
		}
	}
	return pool
}

// dive rounds a program's solution to whole strips: whole ones first, then the pattern nearest to the
// next whole number, and prices again for what is still needed.
func (s *stock) dive(need []int, lim limits, m *master, pool []column, until int64) *plan {
	need = slices.Clone(need)
	lim = limits{least: slices.Clone(lim.least), most: slices.Clone(lim.most)}
	var p plan
	var best *plan
	length := int64(math.MaxInt64)
	for {
		laid := m.solution()
		moved := false
		lay := func(c column, count int) {
			many := slices.Clone(c.many)
			s.within(many, need)
			if slices.Max(many) == 0 {
				return
			}
			count = min(count, s.often(many, need))
			s.take(many, count, need)
			st := s.strip(many, count)
			p.strips = append(p.strips, st)
			for level := range lim.most {
				if s.heights[level] <= st.height {
					lim.least[level] = max(lim.least[level]-count, 0)
					if lim.most[level] < unlimited {
						lim.most[level] = max(lim.most[level]-count, 0)
					}
				}
			}
			moved = true
		}
		for _, u := range laid {
			if n := int(math.Floor(u.x + 1e-6)); n > 0 {
				lay(u.column, n)
			}
		}
		if slices.Max(need) > 0 {
			// The rest by building is a layout already; the dive goes on for a better one.
			done := plan{strips: append(slices.Clone(p.strips), s.build(need).strips...)}
			if l := done.length(); l < length {
				best, length = &done, l
			}
			next := -1
			for i, u := range laid {
				f := u.x - math.Floor(u.x+1e-6)
				if f < 1e-6 {
					continue
				}
				if next < 0 || f > laid[next].x-math.Floor(laid[next].x+1e-6)+1e-9 {
					next = i
				}
			}
			if next >= 0 {
				lay(s.topUp(laid[next].column, need), 1)
			}
		}
		if slices.Max(need) == 0 {
			if p.length() < length {
				best = &p
			}
			return best
		}
		if !moved || s.work > until {
			return best
		}
		for level, n := range s.stripsAtLeast(need) {
			lim.least[level] = max(lim.least[level], n)
			lim.most[level] = max(lim.most[level], lim.least[level])
		}
		m = newMaster(s, need, lim, pool)
		if !m.solve(math.MaxInt64, until) {
			return best
		}
	}
}

// topUp takes out of a pattern what is no longer needed and fills the width that gives with area.
func (s *stock) topUp(c column, need []int) column {
	many := slices.Clone(c.many)
	s.within(many, need)
	rest := slices.Clone(need)
	free := s.width
	for k, n := range many {
		free -= int64(n) * s.kinds[k].w
		rest[s.kinds[k].item] -= n
	}
	worth := make([]int64, len(s.items))
	for i, it := range s.items {
		worth[i] = it.W * it.H
	}
	extra := s.fill(free, worth, rest, c.level, nil).best(c.level, free)
	s.within(extra, rest)
	for k, n := range extra {
		many[k] += n
	}
	return column{level: c.level, many: many}
}

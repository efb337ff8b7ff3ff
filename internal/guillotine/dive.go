package guillotine

import (
	"math"
	"slices"
)

// dive rounds a program's solution to whole strips: whole ones first, then the pattern nearest to the
// next whole number, and prices again for what is still needed. It gives up where that will be no shorter than cut.
func (s *stock) dive(need []int, lim limits, m *master, pool []column, cut, until int64) *plan {
	need = slices.Clone(need)
	lim = lim.clone()
	var p plan
	var best *plan
	length := int64(math.MaxInt64)
	for {
		laid := m.solution()
		moved := false
		lay := func(c column, count int) {
			c = s.clip(c, need)
			if c.empty() {
				return
			}
			if count == 1 {
				c = s.topUp(c, need)
			}
			count = min(count, max(c.often(need), 1))
			c.take(count, need)
			p.strips = append(p.strips, c.strip(count))
			for level, h := range s.heights {
				if h <= c.height {
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
			if s.stages == 2 {
				// The rest by building is a layout already; the dive goes on for a better one.
				done := plan{strips: append(slices.Clone(p.strips), s.build(need).strips...)}
				if l := done.length(); l < length {
					best, length = &done, l
				}
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
				lay(laid[next].column, 1)
			}
		}
		if slices.Max(need) == 0 {
			if p.length() < length {
				best = &p
			}
			return best
		}
		sofar := p.length()
		if !moved || s.work > until || sofar+s.areaBound(need) >= cut {
			if s.stages == 3 && sofar+s.areaBound(need) < cut {
				done := plan{strips: append(slices.Clone(p.strips), s.buildThree(need).strips...)}
				return &done
			}
			return best
		}
		rest := s.limits(need)
		lim.wide = rest.wide
		for level, n := range rest.least {
			lim.least[level] = max(lim.least[level], n)
			lim.most[level] = max(lim.most[level], lim.least[level])
		}
		m = newMaster(s, need, lim, pool)
		if m.solve(cut-sofar, until, false); m.bound >= cut-sofar {
			return best
		}
	}
}

// topUp fills the width of a pattern that nothing is cut from with area, within what is needed beyond it.
func (s *stock) topUp(c column, need []int) column {
	rest := slices.Clone(need)
	c.take(1, rest)
	_, free := s.area(c)
	worth := make([]int64, len(s.items))
	for i, it := range s.items {
		worth[i] = it.W * it.H
	}
	if s.stages == 3 {
		cuts := s.compose(nil, c.height, free, worth, rest)
		if len(cuts) == 0 {
			return c
		}
		return s.column(append(slices.Clone(c.cuts), cuts...))
	}
	top := len(s.heights) - 1
	for top >= 0 && s.heights[top] > c.height {
		top--
	}
	many := s.fill(free, worth, rest, top, nil).best(top, free)
	s.within(many, rest)
	for _, g := range c.cuts {
		many[g.stack[0]] += g.count
	}
	return s.row(many)
}

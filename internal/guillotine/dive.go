package guillotine

import (
	"math"
	"slices"
)

// dive rounds a program's solution to whole strips: whole ones first, then the pattern nearest to the
// next whole number, and prices again for what is still needed. It gives up where that will be no shorter than cut.
// With dice it rounds now this, now that.
func (s *stock) dive(need []int, lim limits, m *master, pool []column, cut, until int64, dice *dice) *plan {
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
			order := s.nearest(laid, dice)
			for n, u := range order {
				// The first in any case, the others where nothing of them is lost.
				if n > 0 && (s.stages == 2 || u.x < 0.7 || !u.within(need)) {
					break
				}
				lay(u.column, 1)
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
		if m.solve(cut-sofar, until, rough); m.bound >= cut-sofar {
			return best
		}
	}
}

// nearest returns the patterns that are laid in part with that part as x, the largest first; dice shuffle them a little.
func (s *stock) nearest(laid []used, dice *dice) []used {
	var out []used
	for _, u := range laid {
		if u.x -= math.Floor(u.x + 1e-6); u.x >= 1e-6 {
			if dice != nil {
				u.x *= 0.5 + float64(dice.below(1000))/1000
			}
			out = append(out, u)
		}
	}
	slices.SortStableFunc(out, func(a, b used) int {
		switch {
		case a.x > b.x+1e-9:
			return -1
		case b.x > a.x+1e-9:
			return 1
		}
		return 0
	})
	return out
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
	b := s.fill(free, worth, rest, top, nil)
	many := b.best(top, free)
	b.giveBack()
	s.within(many, rest)
	for _, g := range c.cuts {
		many[g.stack[0]] += g.count
	}
	return s.row(many)
}

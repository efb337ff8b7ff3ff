package guillotine

import (
	"slices"
)

// column is a pattern of a strip: what is cut from one of the given height.
type column struct {
	height int64
	cuts   []segment
	used   []int // by item
}

// column makes a pattern of segments; a strip is as high as its highest stack unless it has to be higher.
func (s *stock) column(cuts []segment) column {
	c := column{cuts: cuts, used: make([]int, len(s.items))}
	for _, g := range cuts {
		var high int64
		for _, k := range g.stack {
			high += s.kinds[k].h
			c.used[s.kinds[k].item] += g.count
		}
		c.height = max(c.height, high)
	}
	return c
}

// row makes a pattern of kinds side by side, many[k] of kind k.
func (s *stock) row(many []int) column {
	var cuts []segment
	for k, n := range many {
		if n > 0 {
			cuts = append(cuts, segment{width: s.kinds[k].w, count: n, stack: []int{k}})
		}
	}
	return s.column(cuts)
}

func (c column) same(d column) bool {
	return c.height == d.height && slices.EqualFunc(c.cuts, d.cuts, func(a, b segment) bool {
		return a.width == b.width && a.count == b.count && slices.Equal(a.stack, b.stack)
	})
}

// empty says whether nothing is cut from it.
func (c column) empty() bool { return len(c.cuts) == 0 }

// within says whether the pattern makes no more of an item than is needed.
func (c column) within(need []int) bool {
	for i, n := range c.used {
		if n > need[i] {
			return false
		}
	}
	return true
}

// often is how many times the pattern can be used before an item is used up.
func (c column) often(need []int) int {
	count := mostCount
	for i, n := range c.used {
		if n > 0 {
			count = min(count, need[i]/n)
		}
	}
	return count
}

// take counts the pattern's items off.
func (c column) take(count int, need []int) {
	for i, n := range c.used {
		need[i] -= n * count
	}
}

func (c column) strip(count int) strip {
	return strip{height: c.height, count: count, cuts: c.cuts}
}

// area is that of the items cut from it, and free the width that no segment takes.
func (s *stock) area(c column) (area, free int64) {
	for i, n := range c.used {
		area += s.items[i].W * s.items[i].H * int64(n)
	}
	free = s.width
	for _, g := range c.cuts {
		free -= g.width * int64(g.count)
	}
	return area, free
}

// clip takes out of a pattern what is no longer needed: whole segments, and of one more segment a part.
func (s *stock) clip(c column, need []int) column {
	if c.within(need) {
		return c
	}
	rest := slices.Clone(need)
	var cuts []segment
	for _, g := range c.cuts {
		n := min(g.count, s.stacks(g.stack, rest))
		if n > 0 {
			for _, k := range g.stack {
				rest[s.kinds[k].item] -= n
			}
			cuts = append(cuts, segment{width: g.width, count: n, stack: g.stack})
		}
		if n < g.count && len(g.stack) > 1 {
			var stack []int
			var wide int64
			for _, k := range g.stack {
				if kd := s.kinds[k]; rest[kd.item] > 0 {
					rest[kd.item]--
					stack = append(stack, k)
					wide = max(wide, kd.w)
				}
			}
			if len(stack) > 0 {
				cuts = append(cuts, segment{width: wide, count: 1, stack: stack})
			}
		}
	}
	return s.column(cuts)
}

// stacks is how many stacks of the kinds can be made of what is left.
func (s *stock) stacks(stack, left []int) int {
	used := make([]int, len(left))
	for _, k := range stack {
		used[s.kinds[k].item]++
	}
	n := mostCount
	for _, k := range stack {
		i := s.kinds[k].item
		n = min(n, left[i]/used[i])
	}
	return n
}

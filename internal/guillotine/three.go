package guillotine

import (
	"cmp"
	"slices"
)

// buildThree lays the needed counts in three stages: like build, but a segment of a strip may be a stack.
func (s *stock) buildThree(need []int) plan {
	need = slices.Clone(need)
	low := s.lowest()
	var p plan
	for {
		lead := -1
		for i, n := range need {
			if n > 0 && (lead < 0 || s.kinds[low[i]].h > s.kinds[low[lead]].h) {
				lead = i
			}
		}
		if lead < 0 {
			return p
		}
		var best strip
		var bestShare float64
		for k, kd := range s.kinds {
			if kd.item != lead {
				continue
			}
			st := s.stacked(k, need)
			var area int64
			for _, c := range st.cuts {
				for _, j := range c.stack {
					it := s.items[s.kinds[j].item]
					area += it.W * it.H * int64(c.count)
				}
			}
			if share := float64(area) / float64(st.height); share > bestShare {
				best, bestShare = st, share
			}
		}
		used := make([]int, len(need))
		for _, c := range best.cuts {
			for _, j := range c.stack {
				used[s.kinds[j].item] += c.count
			}
		}
		best.count = mostCount
		for i, n := range used {
			if n > 0 {
				best.count = min(best.count, need[i]/n)
			}
		}
		for i, n := range used {
			need[i] -= n * best.count
		}
		p.strips = append(p.strips, best)
	}
}

// stacked fills a strip as high as kind lead, which comes first, with stacks: again and again the one
// with the greatest share of its segment out of the best mixture for the width left.
func (s *stock) stacked(lead int, need []int) strip {
	kd := s.kinds[lead]
	st := strip{height: kd.h, count: 1}
	rest := slices.Clone(need)
	free := s.width
	put := func(width int64, stack []int) {
		used := make(map[int]int)
		for _, k := range stack {
			used[s.kinds[k].item]++
		}
		count := int(free / width)
		for _, k := range stack {
			count = min(count, rest[s.kinds[k].item]/used[s.kinds[k].item])
		}
		for _, k := range stack {
			rest[s.kinds[k].item] -= count
		}
		free -= width * int64(count)
		st.cuts = append(st.cuts, segment{width: width, count: count, stack: stack})
	}
	put(kd.w, []int{lead})
	for {
		width, stack := s.bestStack(kd.h, free, rest)
		if width == 0 {
			return st
		}
		put(width, stack)
	}
}

// bestStack returns the segment to cut next from a strip of the given height with so much width free:
// its width and its kinds from the top, the widest first; width 0 where nothing fits.
func (s *stock) bestStack(height, free int64, need []int) (int64, []int) {
	order := make([]int, 0, len(s.kinds)) // kinds that fit, by width
	for k, kd := range s.kinds {
		if kd.w <= free && kd.h <= height && need[kd.item] > 0 {
			order = append(order, k)
		}
	}
	if len(order) == 0 {
		return 0, nil
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(s.kinds[a].w, s.kinds[b].w) })
	high := height / s.step
	table := make([]int64, high+1)
	var lots []lot
	var took [][]bool
	type choice struct {
		width, worth int64
		lots         int
	}
	var choices []choice
	for i, k := range order {
		kd := s.kinds[k]
		h, area := kd.h/s.step, s.items[kd.item].W*s.items[kd.item].H
		most := min(int64(need[kd.item]), high/h)
		for many := int64(1); most > 0; many *= 2 {
			n := min(many, most)
			most -= n
			t := make([]bool, high+1)
			for at := high; at >= n*h; at-- {
				if v := table[at-n*h] + n*area; v > table[at] {
					table[at], t[at] = v, true
				}
			}
			s.work += high
			lots, took = append(lots, lot{kind: k, many: int(n), w: n * h}), append(took, t)
		}
		if i+1 == len(order) || s.kinds[order[i+1]].w > kd.w {
			choices = append(choices, choice{kd.w, table[high], len(lots)})
		}
	}
	// The best mixture of segments for the free width, as if needs had no end.
	mix := make([]int64, free+1)
	with := make([]int, free+1)
	for at := int64(1); at <= free; at++ {
		mix[at], with[at] = mix[at-1], -1
		for c, ch := range choices {
			if ch.width <= at && mix[at-ch.width]+ch.worth > mix[at] {
				mix[at], with[at] = mix[at-ch.width]+ch.worth, c
			}
		}
	}
	s.work += free * int64(len(choices))
	best := -1
	for at := free; at > 0; {
		c := with[at]
		if c < 0 {
			at--
			continue
		}
		at -= choices[c].width
		if best < 0 || float64(choices[c].worth)*float64(choices[best].width) > float64(choices[best].worth)*float64(choices[c].width) {
			best = c
		}
	}
	var stack []int
	at := high
	for l := choices[best].lots - 1; l >= 0; l-- {
		if took[l][at] {
			for range lots[l].many {
				stack = append(stack, lots[l].kind)
			}
			at -= lots[l].w
		}
	}
	// Both ways of lying share a need.
	left := slices.Clone(need)
	stack = slices.DeleteFunc(stack, func(k int) bool {
		left[s.kinds[k].item]--
		return left[s.kinds[k].item] < 0
	})
	slices.SortStableFunc(stack, func(a, b int) int { return cmp.Compare(s.kinds[b].w, s.kinds[a].w) })
	return choices[best].width, stack
}

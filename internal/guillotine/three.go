package guillotine

import (
	"slices"
)

// split takes strips that hold nothing but equal stacks apart: each part of the stack is a strip of its own, which saves a cut.
func (s *stock) split(p plan) plan {
	var out plan
	for _, st := range p.strips {
		if len(st.cuts) != 1 || len(st.cuts[0].stack) < 2 {
			out.strips = append(out.strips, st)
			continue
		}
		for _, k := range st.cuts[0].stack {
			one := s.column([]segment{{width: s.kinds[k].w, count: st.cuts[0].count, stack: []int{k}}})
			out.strips = append(out.strips, one.strip(st.count))
		}
	}
	return out
}

// buildThree lays the needed counts in three stages: like build, but a segment of a strip may be a stack.
func (s *stock) buildThree(need []int) plan {
	need = slices.Clone(need)
	low := s.lowest()
	worth := make([]int64, len(s.items))
	for i, it := range s.items {
		worth[i] = it.W * it.H
	}
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
		var best column
		var bestShare float64
		for k, kd := range s.kinds {
			if kd.item != lead {
				continue
			}
			rest := slices.Clone(need)
			n := int(min(s.width/kd.w, int64(rest[lead])))
			rest[lead] -= n
			cuts := []segment{{width: kd.w, count: n, stack: []int{k}}}
			c := s.column(append(cuts, s.compose(nil, kd.h, s.width-kd.w*int64(n), worth, rest)...))
			area, _ := s.area(c)
			if share := float64(area) / float64(c.height); share > bestShare {
				best, bestShare = c, share
			}
		}
		count := best.often(need)
		best.take(count, need)
		p.strips = append(p.strips, best.strip(count))
	}
}

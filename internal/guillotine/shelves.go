package guillotine

import (
	"cmp"
	"slices"
)

// Beyond these a list is laid by shelves only: the programs and tables would grow out of proportion.
const (
	mostKinds = 250
	mostCells = 1 << 28 // width in units by the tallest height; keeps sums of worths far within 64 bits
)

// large says that the problem is laid by shelves only.
func (s *stock) large() bool {
	return len(s.kinds) > mostKinds || s.width*s.tallest > mostCells || s.width*(s.tallest/s.step) > mostCells/4
}

// shelves lays items from high to low, each as low as it can lie, in the first strip that has room.
func (s *stock) shelves(need []int) plan {
	low := s.lowest()
	var order []int
	for i, n := range need {
		if n > 0 {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		ka, kb := s.kinds[low[a]], s.kinds[low[b]]
		return cmp.Or(cmp.Compare(kb.h, ka.h), cmp.Compare(kb.w, ka.w))
	})
	type shelf struct {
		cuts []segment
		free int64
	}
	var open []shelf
	var p plan
	for _, i := range order {
		k := s.kinds[low[i]]
		left := need[i]
		put := func(sh *shelf) {
			n := int(min(sh.free/k.w, int64(left)))
			sh.cuts = append(sh.cuts, segment{width: k.w, count: n, stack: []int{low[i]}})
			sh.free -= k.w * int64(n)
			left -= n
		}
		for n := 0; n < len(open) && left > 0; n++ {
			if open[n].free >= k.w {
				put(&open[n])
			}
		}
		full := int(s.width / k.w)
		if n := left / full; n > 0 {
			p.strips = append(p.strips, s.column([]segment{{width: k.w, count: full, stack: []int{low[i]}}}).strip(n))
			left -= n * full
		}
		if left > 0 {
			open = append(open, shelf{free: s.width})
			put(&open[len(open)-1])
		}
		s.work += int64(len(open) + 1)
	}
	for _, sh := range open {
		p.strips = append(p.strips, s.column(sh.cuts).strip(1))
	}
	return p
}

// shelves lays everything on sheets of the first size: the shelves of each way of seeing it, each on the first sheet that has
// room. It returns nil where an item does not fit on that size.
func (d *desk) shelves(need []int) []sheet {
	var best []sheet
	for n, w := range d.ways {
		if w.size != 0 || slices.ContainsFunc(d.items, func(it Item) bool { return it.Count > 0 && !it.fits(d.ways[0].full, d.ways[0].length) }) {
			continue
		}
		p := w.stock.shelves(need)
		slices.SortStableFunc(p.strips, func(a, b strip) int { return cmp.Compare(b.height, a.height) })
		var laid []sheet
		var free []int64
		first := 0 // sheets before it have no room for strips this high
		for _, st := range p.strips {
			for left := st.count; left > 0; {
				for first < len(laid) && free[first] < p.strips[len(p.strips)-1].height {
					first++
				}
				at := first
				for at < len(laid) && free[at] < st.height {
					at++
				}
				if at == len(laid) {
					laid, free = append(laid, sheet{way: n, count: 1}), append(free, w.length)
				}
				one := st
				one.count = int(min(int64(left), free[at]/st.height))
				laid[at].strips = append(laid[at].strips, one)
				free[at] -= st.height * int64(one.count)
				left -= one.count
			}
		}
		for k := range laid {
			laid[k].used = w.used(laid[k].strips)
		}
		if best == nil || len(laid) < len(best) {
			best = laid
		}
	}
	return best
}

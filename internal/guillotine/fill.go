package guillotine

import (
	"cmp"
	"slices"
)

// offered is what strips of some heights are worth, and how to make them.
type offered struct {
	s       *stock
	heights []int64 // in steps, ascending
	worth   []int64
	rows    *sack // in two stages
	stacks  *pile // in three
}

// offers prices strips of every height up to a length.
func (s *stock) offers(length int64, worth []int64, need []int) offered {
	o := offered{s: s}
	if s.stages == 2 {
		top := len(s.heights) - 1
		for top >= 0 && s.heights[top] > length {
			top--
		}
		o.rows = s.fill(s.width, worth, need, top, func(level int, w int64) {
			o.heights, o.worth = append(o.heights, s.heights[level]/s.step), append(o.worth, w)
		})
		return o
	}
	o.stacks = s.pile(length/s.step, s.width, worth, need)
	for h := int64(1); h <= o.stacks.high; h++ {
		if !o.stacks.same(h) {
			o.heights, o.worth = append(o.heights, h), append(o.worth, o.stacks.mix(h, s.width))
		}
	}
	return o
}

func (o offered) giveBack() {
	if o.rows != nil {
		o.rows.giveBack()
	}
	o.stacks.giveBack()
}

// strip makes the strip of a height, the n-th of heights, within the needs; loosely each of its parts for itself.
func (o offered) strip(n int, worth []int64, need []int, loose bool) column {
	s := o.s
	if o.rows != nil {
		many := o.rows.best(n, s.width)
		if !loose {
			s.within(many, need)
		}
		return s.row(many)
	}
	h := o.heights[n]
	if !loose {
		return s.column(s.compose(o.stacks, h*s.step, s.width, worth, slices.Clone(need)))
	}
	o.stacks.mix(h, s.width)
	var cuts []segment
	for c, n := range o.stacks.mixture(s.width) {
		if n > 0 {
			cuts = append(cuts, segment{width: o.stacks.widths[c], count: n, stack: o.stacks.stack(c, h, need)})
		}
	}
	return s.column(cuts)
}

// mix returns the most worth of strips in a length, and how many of each height make it, as if needs had no end.
func (o offered) mix(length int64) (int64, []int) {
	many := make([]int, len(o.worth))
	n := length / o.s.step
	best := make([]int64, n+1)
	with := make([]int, n+1)
	for at := range with {
		with[at] = -1
	}
	var lower int64
	for level, w := range o.worth {
		h := o.heights[level]
		if w <= lower || h > n { // a lower strip is worth as much
			continue
		}
		lower = w
		for at := h; at <= n; at++ {
			if v := best[at-h] + w; v > best[at] {
				best[at], with[at] = v, level
			}
		}
		o.s.work += (n - h + 1) / 2
	}
	for at := n; with[at] >= 0; at -= o.heights[with[at]] {
		many[with[at]]++
	}
	return best[n], many
}

// fillLength lays strips on a length: again and again the highest one of the best mixture.
func (s *stock) fillLength(length int64, need []int, worth []int64) []strip {
	rest := slices.Clone(need)
	if s.large() {
		return s.shelve(length, rest)
	}
	var strips []strip
	for length > 0 {
		o := s.offers(length, worth, rest)
		_, mix := o.mix(length)
		laid := false
		for level := len(mix) - 1; level >= 0; level-- {
			if mix[level] == 0 {
				continue
			}
			c := o.strip(level, worth, rest, false)
			var got int64
			for i, n := range c.used {
				got += worth[i] * int64(n)
			}
			// What is used up makes a strip worth less than was thought; then the rest is mixed anew.
			if c.empty() || laid && got*50 < o.worth[level]*49 {
				break
			}
			count := max(min(c.often(rest), mix[level]), 1)
			c.take(count, rest)
			length -= c.height * int64(count)
			strips = append(strips, c.strip(count))
			laid = true
			if count < mix[level] {
				break
			}
		}
		o.giveBack()
		if !laid {
			break
		}
	}
	return strips
}

// shelve lays shelves on a length, high ones first.
func (s *stock) shelve(length int64, need []int) []strip {
	p := s.shelves(need)
	slices.SortStableFunc(p.strips, func(a, b strip) int {
		return cmp.Compare(b.height, a.height)
	})
	var strips []strip
	for _, st := range p.strips {
		if st.count = int(min(int64(st.count), length/st.height)); st.count > 0 {
			strips = append(strips, st)
			length -= st.height * int64(st.count)
		}
	}
	return strips
}

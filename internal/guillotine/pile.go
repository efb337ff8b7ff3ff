package guillotine

import (
	"cmp"
	"slices"
)

// pile is a table of the best stacks: for each width of segment and every height what can be cut from it, one above the
// other. Kinds are offered in ascending width, so that one bounded knapsack over the height answers for all of them.
type pile struct {
	s      *stock
	high   int64     // highest stack, in steps
	widths []int64   // of segments, ascending
	worth  [][]int64 // by width, then by height
	lots   []lot
	took   []bool // by lot, then by height
	after  []int  // by width: how many lots were offered
	table  []int64
	best   []int64
	with   []int32 // of the last mixture: the width taken last, -1 where none is
}

// pile makes the table for kinds no wider than width and stacks no higher than high steps, each item up to need times.
func (s *stock) pile(high, width int64, worth []int64, need []int) *pile {
	b := s.spare()
	b.high = high
	b.table = grown(b.table, int(high)+1)
	clear(b.table)
	table := b.table
	for at, k := range s.byWidth {
		kd := s.kinds[k]
		if kd.w > width {
			break
		}
		if v, h := worth[kd.item], kd.h/s.step; v > 0 && h <= high {
			most := min(int64(need[kd.item]), high/h)
			if most > 1 && most == high/h {
				t := b.lot(lot{kind: k, many: 1, w: h, more: true})
				above, took := table[h:], t[h:]
				for at, sum := range table[:len(above)] {
					if sum += v; sum > above[at] {
						above[at], took[at] = sum, true
					}
				}
				most = 0
			}
			for many := int64(1); most > 0; many *= 2 {
				n := min(many, most)
				most -= n
				t := b.lot(lot{kind: k, many: int(n), w: n * h})
				for at := high; at >= n*h; at-- {
					if sum := table[at-n*h] + n*v; sum > table[at] {
						table[at], t[at] = sum, true
					}
				}
			}
		}
		last := at+1 == len(s.byWidth) || s.kinds[s.byWidth[at+1]].w > kd.w
		if n := len(b.after); last && len(b.lots) > 0 && (n == 0 || b.after[n-1] < len(b.lots)) {
			b.widths = append(b.widths, kd.w)
			b.keep(table)
			b.after = append(b.after, len(b.lots))
		}
	}
	return b
}

// lot adds a lot that is taken nowhere yet.
func (b *pile) lot(l lot) []bool {
	b.s.work += b.high / 2
	b.lots = append(b.lots, l)
	from := len(b.took)
	b.took = grown(b.took, from+int(b.high)+1)
	took := b.took[from:]
	clear(took)
	return took
}

// keep keeps a copy of the table for the next width.
func (b *pile) keep(table []int64) {
	n := len(b.worth)
	if n < cap(b.worth) {
		b.worth = b.worth[:n+1]
	} else {
		b.worth = append(b.worth, nil)
	}
	b.worth[n] = append(b.worth[n][:0], table...)
}

// spare is an empty pile, with the memory of one that was given back.
func (s *stock) spare() *pile {
	if n := len(s.piles); n > 0 {
		b := s.piles[n-1]
		s.piles = s.piles[:n-1]
		b.widths, b.worth, b.lots, b.took, b.after = b.widths[:0], b.worth[:0], b.lots[:0], b.took[:0], b.after[:0]
		return b
	}
	return &pile{s: s}
}

// giveBack says that the table is no longer used.
func (b *pile) giveBack() {
	if b != nil {
		b.s.piles = append(b.s.piles, b)
	}
}

// grown is a slice of n elements, those of s first.
func grown[T any](s []T, n int) []T {
	if n <= cap(s) {
		return s[:n]
	}
	return append(make([]T, 0, 2*n), s...)[:n]
}

// same says whether stacks h steps high are worth no more than those a step lower.
func (b *pile) same(h int64) bool {
	for _, worth := range b.worth {
		if worth[h] != worth[h-1] {
			return false
		}
	}
	return true
}

// mix returns the worth of the best mixture of segments h steps high for a width, as if needs had no end.
func (b *pile) mix(h, width int64) int64 {
	b.best, b.with = grown(b.best, int(width)+1), grown(b.with, int(width)+1)
	clear(b.best)
	for i := range b.with {
		b.with[i] = -1
	}
	var narrower int64
	for c, w := range b.widths {
		v := b.worth[c][h]
		if v <= narrower { // a narrower segment is worth as much
			continue
		}
		narrower = v
		best, with := b.best[w:], b.with[w:]
		for at, sum := range b.best[:len(best)] {
			if sum += v; sum > best[at] {
				best[at], with[at] = sum, int32(c)
			}
		}
		b.s.work += (width - w + 1) / 2
	}
	return b.best[width]
}

// mixture is how many segments of each width the last mixture takes.
func (b *pile) mixture(width int64) []int {
	many := make([]int, len(b.widths))
	for at := width; b.with[at] >= 0; at -= b.widths[b.with[at]] {
		many[b.with[at]]++
	}
	return many
}

// stack returns the kinds of the best stack h steps high of a width, the widest first, within what is left; kinds that
// share an item may have to do with fewer.
func (b *pile) stack(c int, h int64, left []int) []int {
	var stack []int
	left = slices.Clone(left)
	for l := b.after[c] - 1; l >= 0; l-- {
		took := b.took[int64(l)*(b.high+1):]
		for again := true; again && took[h]; again = b.lots[l].more {
			for range b.lots[l].many {
				k := b.lots[l].kind
				if i := b.s.kinds[k].item; left[i] > 0 {
					left[i]--
					stack = append(stack, k)
				}
			}
			h -= b.lots[l].w
		}
	}
	slices.SortStableFunc(stack, func(x, y int) int { return cmp.Compare(b.s.kinds[y].w, b.s.kinds[x].w) })
	return stack
}

// compose fills a width of a strip of some height with stacks of great worth within what is left, and counts them off.
// b, where given, is the table for that and is used as long as nothing of it is used up.
func (s *stock) compose(b *pile, height, width int64, worth []int64, left []int) []segment {
	h := height / s.step
	var cuts []segment
	var own *pile
	defer func() { own.giveBack() }()
	for width > 0 {
		if b == nil {
			own.giveBack()
			own = s.pile(h, width, worth, left)
			b = own
		}
		if len(b.widths) == 0 || b.mix(h, width) == 0 {
			return cuts
		}
		many := b.mixture(width)
		order := make([]int, 0, len(many))
		for c, n := range many {
			if n > 0 {
				order = append(order, c)
			}
		}
		slices.SortStableFunc(order, func(x, y int) int {
			return cmp.Compare(float64(b.worth[y][h])/float64(b.widths[y]), float64(b.worth[x][h])/float64(b.widths[x]))
		})
		short := false
		for _, c := range order {
			stack := b.stack(c, h, left)
			if len(stack) == 0 {
				short = true
				continue
			}
			var wide, got int64
			for _, k := range stack {
				wide = max(wide, s.kinds[k].w)
				got += worth[s.kinds[k].item]
			}
			if got*10 < b.worth[c][h]*9 && len(cuts) > 0 && short {
				continue // too much of it is used up: another stack will be better
			}
			n := min(many[c], s.stacks(stack, left))
			for _, k := range stack {
				left[s.kinds[k].item] -= n
			}
			width -= wide * int64(n)
			cuts = append(cuts, segment{width: wide, count: n, stack: stack})
			short = short || n < many[c] || got < b.worth[c][h]
		}
		if !short {
			return cuts
		}
		b = nil
	}
	return cuts
}

package cut

import (
	"cmp"
	"math"
	"slices"

	"quiltwright/internal/guillotine"
)

// stretches cuts what runs along the selvage from stretches of the bolt, the longest first, and lays what fits beside it. It counts
// all that off, and returns the length that is taken.
func (l *laid) stretches(g grid, c Cloth, count []int, cloth int, rules Rules) (length float64) {
	var long []int // bits, one by one
	for i, b := range l.bits {
		if b.along {
			for range count[i] {
				long = append(long, i)
			}
			count[i] = 0
		}
	}
	slices.SortStableFunc(long, func(a, b int) int {
		return cmp.Or(cmp.Compare(l.bits[b].h, l.bits[a].h), cmp.Compare(l.bits[b].w, l.bits[a].w))
	})
	from := len(l.stocks)
	for _, i := range long {
		b := l.bits[i]
		s := slip{bit: i, turned: b.turned, w: b.h, h: b.w, wide: b.h}
		if !l.beside(from, s) {
			size := [2]float64{c.Width, b.h}
			l.stocks = append(l.stocks, stock{sheet: &size, along: true, bolt: true, cloth: cloth, bought: true, bands: []band{{height: b.w, length: b.h, along: true, slips: []slip{s}}}})
			length += b.h
		}
	}
	keep := rules.remnant()
	for k := from; k < len(l.stocks); k++ {
		s := &l.stocks[k]
		if free := s.free(); free > keep && s.sheet[1] > keep {
			s.rest = l.fill(g, [2]float64{free, s.sheet[1]}, count, true, rules)
		}
	}
	return length
}

// beside puts a slip into a stretch, those from a number on, where there is room for it: in a band as high, or in a new one.
func (l *laid) beside(from int, s slip) bool {
	for k := from; k < len(l.stocks); k++ {
		st := &l.stocks[k]
		for n := range st.bands {
			b := &st.bands[n]
			left := b.length - s.w
			for _, other := range b.slips {
				left -= other.w
			}
			if math.Abs(b.height-s.h) < sliver && left > -sliver {
				b.slips = append(b.slips, s)
				return true
			}
		}
		if st.free() > s.h-sliver {
			st.bands = append(st.bands, band{height: s.h, length: st.sheet[1], along: true, slips: []slip{s}})
			return true
		}
	}
	return false
}

// free is what the bands of a stretch leave of its width.
func (s *stock) free() float64 {
	free := s.sheet[0]
	for _, b := range s.bands {
		free -= b.height
	}
	return free
}

// alongBound is a length that no layout takes less than whose strips along the selvage are cut from stretches of the bolt, side by side or
// one after the other, with what else there is in strips across what they leave of the width, and in strips across the rest of the bolt.
//
// If all strips along the selvage lie side by side, there is one stretch, as long as the longest, and what is wider than they leave lies in
// strips behind it. If not, two of them lie one after the other, for intervals that all overlap each other have a place in common; and what is
// wider than the narrowest leaves lies in strips behind them. Of strips that are wider together than the cloth, two lie one after the other in any case.
func (l *laid) alongBound(g grid, c Cloth, count []int, rules Rules) (float64, error) {
	area, wide, narrow := 0.0, 0.0, math.Inf(1)
	var long []bit // one by one, the longest first
	for i, b := range l.bits {
		area += b.w * b.h * float64(count[i])
		if b.along && count[i] > 0 {
			wide, narrow = wide+b.w*float64(count[i]), math.Min(narrow, b.w)
			for range count[i] {
				long = append(long, b)
			}
		}
	}
	slices.SortStableFunc(long, func(a, b bit) int { return cmp.Compare(b.h, a.h) })
	n := len(long)
	// behind is how long the strips are at least that hold what does not fit into so much of the width.
	behind := func(room float64) (float64, error) {
		items := l.items(g, count)
		for i, it := range items {
			if across := g.down(math.Max(0, room)); it.W <= across || it.Turn && it.H <= across {
				items[i].Count = 0
			}
		}
		got, err := rules.Memory.Lay(guillotine.Problem{Width: g.down(c.Width), Items: items, Stages: rules.stages})
		return float64(got.Bound) * g.step, err
	}
	least := math.Inf(1)
	if wide <= c.Width+sliver {
		more, err := behind(c.Width - wide)
		if err != nil {
			return 0, err
		}
		least = long[0].h + more
	}
	if n > 1 {
		stretch := math.Max(long[0].h, long[n-2].h+long[n-1].h)
		sum := 0.0
		for k, b := range long {
			if sum += b.w; sum > c.Width+sliver {
				stretch = math.Max(stretch, long[k-1].h+b.h)
				break
			}
		}
		more, err := behind(c.Width - narrow)
		if err != nil {
			return 0, err
		}
		least = math.Min(least, stretch+more)
	}
	return math.Max(least, area/c.Width), nil
}

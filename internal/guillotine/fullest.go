package guillotine

import (
	"cmp"
	"math"
	"slices"
)

// fullest finds the strips of two stages that are worth most on a length, given some that are worth less or as much, and says
// whether that is proven. It prices strips until the bound on the worth is known, makes all strips that lose no more
// against it than what is missing, and tries all their mixtures.
func (w way) fullest(need []int, worth []int64, best []strip, until int64) ([]strip, bool) {
	f := &fuller{s: w.stock, need: need, worth: worth, best: best, until: until}
	for i, n := range w.used(best) {
		f.most += worth[i] * int64(n)
	}
	f.length = w.length
	if !f.price() {
		return best, false
	}
	if f.gap() < 0 {
		return best, true
	}
	f.enumerate()
	f.mix(0, f.length, f.gap(), slices.Clone(need), nil, 0)
	return f.best, w.work <= until
}

// fuller is that search. All worths and losses are multiplied by fine.
type fuller struct {
	s      *stock
	length int64
	need   []int
	worth  []int64
	best   []strip
	most   int64
	until  int64

	item  []int64 // what one more of an item would bring, rounded down
	along int64   // what one more of the length would bring, rounded up until no strip is worth more than it takes
	bound int64
	all   []lossy
}

// lossy is a strip and what it loses.
type lossy struct {
	column
	loss int64
}

// gap is how much may be lost where more is to be reached.
func (f *fuller) gap() int64 { return f.bound - (f.most+1)*fine }

// price solves the program over strips, and sets the bound.
func (f *fuller) price() bool {
	s := f.s
	right := []float64{float64(f.length)}
	atMost := []bool{true}
	for _, n := range f.need {
		right, atMost = append(right, float64(n)), append(atMost, true)
	}
	lp := newLinear(right, atMost, 0)
	for s.work < f.until {
		was := lp.work
		y := lp.run(2000)
		s.work += (lp.work - was) / 4
		f.item = make([]int64, len(f.need))
		net := make([]int64, len(f.need))
		f.bound = 0
		for i, n := range f.need {
			f.item[i] = int64(math.Floor(max(0, -y[1+i]) * fine))
			net[i] = f.worth[i]*fine - f.item[i]
			f.bound += f.item[i] * int64(n)
		}
		f.along = 0
		level, gain := -1, -y[0]*fine+1
		b := s.fill(s.width, net, f.need, len(s.heights)-1, func(l int, v int64) {
			h := s.heights[l]
			if h > f.length {
				return
			}
			f.along = max(f.along, ceil(v, h))
			if g := float64(v) / float64(h); g > gain+fine*1e-9 {
				level, gain = l, g
			}
		})
		if level < 0 {
			b.giveBack()
			f.bound += f.along * f.length
			return true
		}
		c := s.row(b.best(level, s.width))
		b.giveBack()
		lc := linearColumn{row: []int{0}, value: []float64{float64(c.height)}}
		for i, n := range c.used {
			if n > 0 {
				lc.cost -= float64(f.worth[i] * int64(n))
				lc.row, lc.value = append(lc.row, 1+i), append(lc.value, float64(n))
			}
		}
		lp.add(lc)
	}
	return false
}

// enumerate makes all strips that lose no more than the gap.
func (f *fuller) enumerate() {
	s := f.s
	gap := f.gap()
	// reach[k][w] is the most that kinds before k bring in a width.
	reach := make([][]int64, len(s.kinds)+1)
	reach[0] = make([]int64, s.width+1)
	gain := make([]int64, len(s.kinds))
	for k, kd := range s.kinds {
		gain[k] = f.worth[kd.item]*fine - f.item[kd.item]
		row := slices.Clone(reach[k])
		for range min(int64(f.need[kd.item]), s.width/kd.w) {
			for at := s.width; at >= kd.w; at-- {
				row[at] = max(row[at], row[at-kd.w]+gain[k])
			}
			s.work += s.width
		}
		reach[k+1] = row
	}
	many := make([]int, len(s.kinds))
	left := slices.Clone(f.need)
	var put func(k int, free, loss int64)
	put = func(k int, free, loss int64) {
		if s.work++; s.work > f.until || loss-reach[k][free] > gap {
			return
		}
		if k == 0 {
			f.all = append(f.all, lossy{s.row(many), loss})
			return
		}
		kd := s.kinds[k-1]
		for n := 0; ; n++ {
			put(k-1, free-int64(n)*kd.w, loss-int64(n)*gain[k-1])
			if left[kd.item] == 0 || free < int64(n+1)*kd.w {
				break
			}
			many[k-1]++
			left[kd.item]--
			defer func() { many[k-1]--; left[kd.item]++ }()
		}
	}
	for k, kd := range s.kinds {
		if kd.h > f.length {
			break
		}
		// The strips whose last kind, and so highest, is this one.
		for n := 1; n <= f.need[kd.item] && int64(n)*kd.w <= s.width; n++ {
			many[k], left[kd.item] = n, f.need[kd.item]-n
			put(k, s.width-int64(n)*kd.w, f.along*kd.h-int64(n)*gain[k])
		}
		many[k], left[kd.item] = 0, f.need[kd.item]
	}
	slices.SortStableFunc(f.all, func(a, b lossy) int {
		return cmp.Or(cmp.Compare(a.loss, b.loss), cmp.Compare(b.height, a.height))
	})
}

// mix tries all mixtures of the strips from the n-th on, in what is left of the length, the needs and the gap.
func (f *fuller) mix(n int, length, gap int64, left []int, laid []int, got int64) {
	if got > f.most {
		gap -= (got - f.most) * fine
		f.most = got
		f.best = nil
		for _, k := range laid {
			f.best = append(f.best, f.all[k].strip(1))
		}
	}
	for ; n < len(f.all); n++ {
		c := &f.all[n]
		if f.s.work++; f.s.work > f.until {
			return
		}
		if c.loss > gap { // as do all that follow
			return
		}
		if c.height > length || !c.within(left) {
			continue
		}
		var more int64
		for i, u := range c.used {
			more += f.worth[i] * int64(u)
		}
		c.take(1, left)
		before := f.most
		f.mix(n, length-c.height, gap-c.loss, left, append(laid, n), got+more)
		gap -= (f.most - before) * fine
		c.take(-1, left)
	}
}

package guillotine

// areaBound is the area of all needed items over the width, on the grid of heights.
func (s *stock) areaBound(need []int) int64 {
	var area int64
	for i, n := range need {
		area += s.items[i].W * s.items[i].H * int64(n)
	}
	return s.onGrid(ceil(area, s.width*s.unit))
}

func ceil(a, b int64) int64 {
	return (a + b - 1) / b
}

// onGrid rounds a length up to a multiple of what all heights are multiples of.
func (s *stock) onGrid(length int64) int64 {
	return ceil(length, s.step) * s.step
}

// stripBound is the larger of the area bound and the sum over heights of how many strips must be at
// least that high.
func (s *stock) stripBound(need []int) int64 {
	var sum, last int64
	for k, n := range s.stripsAtLeast(need) {
		sum += int64(n) * (s.heights[k] - last)
		last = s.heights[k]
	}
	return max(s.onGrid(sum), s.areaBound(need))
}

// stripsAtLeast returns for each height how many strips of that height or more there must be: the
// items that cannot lie lower, each as narrow as it can lie, have to fit into them.
func (s *stock) stripsAtLeast(need []int) []int {
	low := s.lowest()
	narrow := make([]int64, len(s.items))
	for _, k := range s.kinds {
		if n := narrow[k.item]; n == 0 || k.w < n {
			narrow[k.item] = k.w
		}
	}
	out := make([]int, len(s.heights))
	for level := range s.heights {
		var widths []int64
		var counts []int
		for i, n := range need {
			if n > 0 && s.kinds[low[i]].level >= level {
				widths, counts = append(widths, narrow[i]), append(counts, n)
			}
		}
		out[level] = s.binBound(widths, counts)
	}
	for level := len(out) - 2; level >= 0; level-- {
		out[level] = max(out[level], out[level+1])
	}
	return out
}

// binBound is a lower bound for the bins of the stock's width that the lengths need: the best of some
// functions that never let a full bin count for more than one. Sources: Martello and Toth 1990 (L2);
// Fekete and Schepers 2001, u^(k).
func (s *stock) binBound(widths []int64, counts []int) int {
	w := s.width
	best := int64(0)
	for i := -1; i < len(widths); i++ {
		small := int64(0)
		if i >= 0 {
			small = widths[i]
		}
		if 2*small > w {
			continue
		}
		var sum int64
		for j, v := range widths {
			switch {
			case v > w-small:
				sum += w * int64(counts[j])
			case v >= small:
				sum += v * int64(counts[j])
			}
		}
		best = max(best, ceil(sum, w))
	}
	for k := int64(1); k <= 40; k++ {
		// Counted in units of 1/(k w): u(x) = x where (k+1) x is whole, else floor((k+1) x) / k.
		var sum int64
		for j, v := range widths {
			if (k+1)*v%w == 0 {
				sum += v * k * int64(counts[j])
			} else {
				sum += (k + 1) * v / w * w * int64(counts[j])
			}
		}
		best = max(best, ceil(sum, k*w))
	}
	s.work += int64(len(widths) * (len(widths) + 40))
	return int(best)
}

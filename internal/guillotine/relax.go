package guillotine

import (
	"math"
	"math/big"
)

// relax bounds the number of sheets by column generation: the worth of items from a linear program over
// sheets, the best sheet for them from strips (each within the needs) in any mixture.
func (d *desk) relax(need []int, effort Effort) int {
	row := make([]int, len(need))
	var right []float64
	for i, n := range need {
		row[i] = -1
		if n > 0 {
			row[i] = len(right)
			right = append(right, float64(n))
		}
	}
	lp := newLinear(right, make([]bool, len(right)), 10)
	add := func(used []int) {
		c := linearColumn{cost: 1}
		for i, n := range used {
			if n > 0 {
				c.row, c.value = append(c.row, row[i]), append(c.value, float64(n))
			}
		}
		lp.add(c)
	}
	for _, sh := range d.pass(need, d.area()) {
		add(sh.used(d))
	}
	until := d.ways[0].work + d.ways[1].work + effort.work()/4
	best := 0
	for d.ways[0].work+d.ways[1].work < until {
		y := lp.run(2000)
		worth := make([]int64, len(need))
		var total big.Int
		var value float64
		for i, n := range need {
			if n > 0 {
				worth[i] = int64(max(y[row[i]], 0) * fine * 64)
				value += y[row[i]] * float64(n)
				total.Add(&total, new(big.Int).Mul(big.NewInt(worth[i]), big.NewInt(int64(n))))
			}
		}
		most := int64(fine * 64) // a sheet is worth at most one, or all worths are divided by what it is worth
		var entering []int
		for way, s := range d.ways {
			levels := make([]int64, len(s.heights))
			b := s.fill(s.width, worth, need, len(s.heights)-1, func(level int, w int64) { levels[level] = w })
			w, mix := s.mix(d.length[way], levels)
			if w <= most {
				continue
			}
			most = w
			entering = make([]int, len(need))
			for level, times := range mix {
				if times == 0 {
					continue
				}
				for k, n := range b.best(level, s.width) {
					entering[s.kinds[k].item] += n * times
				}
			}
		}
		total.Add(&total, big.NewInt(most-1))
		total.Div(&total, big.NewInt(most))
		if total.IsInt64() {
			best = max(best, int(total.Int64()))
		}
		if entering == nil || best >= int(math.Ceil(value-1e-6)) || most < fine*64+64 {
			return best
		}
		add(entering)
	}
	return best
}

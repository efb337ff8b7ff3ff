package guillotine

import (
	"math"
	"math/big"
	"slices"
)

// column is a pattern of a strip: many[k] of kind k, in a strip of heights[level] or less.
type column struct {
	level int
	many  []int
}

// limits is how many strips of heights[level] or more there may be, for some levels.
type limits struct {
	least []int // by level
	most  []int // by level; unlimited where large
}

const unlimited = math.MaxInt32

// master chooses how often each pattern is laid, in fractions: the linear program over patterns that
// are priced when they are needed.
type master struct {
	s     *stock
	need  []int
	lp    *linear
	row   []int // row[item], -1 where none is needed
	rows  []levelRow
	first int // columns of lp from here on are patterns
	pool  []column
	bound int64 // proven for this program
}

// levelRow is a row about the strips of heights[level] or more.
type levelRow struct {
	level  int
	right  int
	atMost bool
	row    int
}

// newMaster sets up the program for the needs and limits and offers it the patterns of pool that fit.
func newMaster(s *stock, need []int, lim limits, pool []column) *master {
	m := &master{s: s, need: need, row: make([]int, len(need))}
	var right []float64
	var atMost []bool
	for i, n := range need {
		m.row[i] = -1
		if n > 0 {
			m.row[i] = len(right)
			right, atMost = append(right, float64(n)), append(atMost, false)
		}
	}
	for level := range s.heights {
		// A row says no more than one about higher strips that asks for as many.
		if n := lim.least[level]; n > 0 && (level+1 == len(s.heights) || lim.least[level+1] < n) {
			m.rows = append(m.rows, levelRow{level: level, right: n, row: len(right)})
			right, atMost = append(right, float64(n)), append(atMost, false)
		}
		if n := lim.most[level]; n < unlimited && (level == 0 || lim.most[level-1] > n) {
			m.rows = append(m.rows, levelRow{level: level, right: n, atMost: true, row: len(right)})
			right, atMost = append(right, float64(n)), append(atMost, true)
		}
	}
	m.lp = newLinear(right, atMost, float64(10*s.heights[len(s.heights)-1]))
	m.first = len(m.lp.columns)
	low := s.lowest()
	for i, n := range need {
		if n > 0 {
			k := s.kinds[low[i]]
			many := make([]int, len(s.kinds))
			many[low[i]] = min(n, int(s.width/k.w))
			m.add(column{level: k.level, many: many})
		}
	}
	for _, c := range pool {
		if m.fits(c) {
			m.add(c)
		}
	}
	return m
}

// fits says whether the pattern makes no more of an item than is needed.
func (m *master) fits(c column) bool {
	used := make(map[int]int)
	for k, n := range c.many {
		if n > 0 {
			i := m.s.kinds[k].item
			used[i] += n
			if used[i] > m.need[i] {
				return false
			}
		}
	}
	return true
}

func (m *master) add(c column) {
	lc := linearColumn{cost: float64(m.s.heights[c.level])}
	used := make([]int, len(m.need))
	for k, n := range c.many {
		used[m.s.kinds[k].item] += n
	}
	for i, n := range used {
		if n > 0 {
			lc.row, lc.value = append(lc.row, m.row[i]), append(lc.value, float64(n))
		}
	}
	for _, r := range m.rows {
		if c.level >= r.level {
			lc.row, lc.value = append(lc.row, r.row), append(lc.value, 1)
		}
	}
	m.lp.add(lc)
	m.pool = append(m.pool, c)
}

// fine is by how much duals are multiplied to make whole numbers of them.
const fine = 1 << 20

// solve prices patterns until none is worth more than its height, the bound is as good as it can get or
// reaches cut, or work is spent. It returns false when it stopped for want of work.
func (m *master) solve(cut int64, until int64) bool {
	s := m.s
	for {
		was := m.lp.work
		y := m.lp.run(2000)
		s.work += (m.lp.work - was) / 8
		worth := make([]int64, len(m.need))
		var total big.Int
		for i, n := range m.need {
			if n > 0 {
				worth[i] = int64(max(y[m.row[i]], 0) * fine)
				total.Add(&total, new(big.Int).Mul(big.NewInt(worth[i]), big.NewInt(int64(n))))
			}
		}
		credit := make([]int64, len(s.heights)) // what a strip of a level earns by its height alone
		for _, r := range m.rows {
			v := int64(math.Floor(y[r.row] * fine))
			if r.atMost {
				v = min(v, 0)
			} else {
				v = max(v, 0)
			}
			total.Add(&total, new(big.Int).Mul(big.NewInt(v), big.NewInt(int64(r.right))))
			for level := r.level; level < len(credit); level++ {
				credit[level] += v
			}
		}
		// The worth of a pattern may exceed its height by a factor; divided by that the duals are feasible.
		gain := make([]int64, len(s.heights))
		num, den := int64(fine), int64(1)
		b := s.fill(s.width, worth, m.need, len(s.heights)-1, func(level int, w int64) {
			w += credit[level]
			gain[level] = w - s.heights[level]*fine
			if f := float64(w) / float64(s.heights[level]); f > float64(num)/float64(den) {
				num, den = w, s.heights[level]
			}
		})
		if total.Sign() > 0 {
			total.Mul(&total, big.NewInt(den))
			total.Add(&total, big.NewInt(num-1))
			total.Div(&total, big.NewInt(num))
			if total.IsInt64() {
				m.bound = max(m.bound, s.onGrid(total.Int64()))
			}
		}
		if m.bound >= cut || m.bound >= s.onGrid(int64(math.Ceil(m.value()-1e-6))) {
			return true
		}
		// The patterns that are worth most above their height, a few at a time, are added.
		order := make([]int, 0, len(gain))
		for level, g := range gain {
			if g > fine/100_000 && (level == 0 || gain[level-1] < g) {
				order = append(order, level)
			}
		}
		if len(order) == 0 {
			return true
		}
		slices.SortStableFunc(order, func(a, b int) int {
			switch {
			case gain[a] > gain[b]:
				return -1
			case gain[a] < gain[b]:
				return 1
			}
			return 0
		})
		for _, level := range order[:min(len(order), 6)] {
			m.add(column{level: level, many: b.best(level, s.width)})
		}
		if s.work > until {
			return false
		}
	}
}

// value is what the program's present solution costs.
func (m *master) value() float64 {
	var sum float64
	for i, c := range m.lp.basis {
		sum += m.lp.columns[c].cost * m.lp.x[i]
	}
	return sum
}

// used is a pattern and how often the solution lays it.
type used struct {
	column
	x float64
}

// solution returns the patterns laid, high ones first.
func (m *master) solution() []used {
	var laid []used
	for i, c := range m.lp.basis {
		if m.lp.x[i] < 1e-7 {
			continue
		}
		if c >= m.first {
			laid = append(laid, used{m.pool[c-m.first], m.lp.x[i]})
		}
	}
	slices.SortStableFunc(laid, func(a, b used) int {
		if a.level != b.level {
			return b.level - a.level
		}
		return slices.Compare(b.many, a.many)
	})
	return laid
}

// counts returns for each level how many strips of it or higher the patterns laid make.
func (m *master) counts(laid []used) []float64 {
	out := make([]float64, len(m.s.heights))
	for _, u := range laid {
		for level := 0; level <= u.level; level++ {
			out[level] += u.x
		}
	}
	return out
}

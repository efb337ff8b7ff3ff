package guillotine

import (
	"math"
	"math/big"
	"slices"
)

// limits is how many strips of heights[level] or more there may be, for some levels.
type limits struct {
	wide  []int // by level: so many rows of the items that cannot lie lower, one above the other where a strip is high enough
	least []int // by level
	most  []int // by level; unlimited where large
}

const unlimited = math.MaxInt32

// limits are those that hold for every layout of the needs.
func (s *stock) limits(need []int) limits {
	lim := limits{wide: s.stripsAtLeast(need), least: make([]int, len(s.heights)), most: make([]int, len(s.heights))}
	for level := range lim.most {
		lim.most[level] = unlimited
	}
	if s.stages == 2 {
		lim.least, lim.wide = lim.wide, lim.least
	}
	return lim
}

func (l limits) clone() limits {
	return limits{wide: slices.Clone(l.wide), least: slices.Clone(l.least), most: slices.Clone(l.most)}
}

// master chooses how often each pattern is laid, in fractions: the linear program over patterns that
// are priced when they are needed.
type master struct {
	s     *stock
	need  []int
	lp    *linear
	row   []int // row[item], -1 where none is needed
	rows  []heightRow
	first int // columns of lp from here on are patterns
	pool  []column
	bound int64 // proven for this program
}

// heightRow is a row about strips of a height or more.
type heightRow struct {
	height  int64
	right   int
	atMost  bool
	stacked bool // a strip counts as often as the height goes into it
	row     int
}

// counts is how often a strip counts in the row.
func (r heightRow) counts(height int64) int64 {
	switch {
	case height < r.height:
		return 0
	case r.stacked:
		return height / r.height
	}
	return 1
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
	add := func(r heightRow) {
		r.row = len(right)
		m.rows = append(m.rows, r)
		right, atMost = append(right, float64(r.right)), append(atMost, r.atMost)
	}
	last := len(s.heights) - 1
	for level, h := range s.heights {
		// A row says no more than one about higher strips that asks for as many.
		if n := lim.wide[level]; n > 0 && (level == last || lim.wide[level+1] < n) {
			add(heightRow{height: h, right: n, stacked: true})
		}
		if n := lim.least[level]; n > 0 && (level == last || lim.least[level+1] < n) {
			add(heightRow{height: h, right: n})
		}
		if n := lim.most[level]; n < unlimited && (level == 0 || lim.most[level-1] > n) {
			add(heightRow{height: h, right: n, atMost: true})
		}
	}
	m.lp = newLinear(right, atMost, float64(10*s.heights[last]))
	m.first = len(m.lp.columns)
	low := s.lowest()
	for i, n := range need {
		if n > 0 {
			many := make([]int, len(s.kinds))
			many[low[i]] = min(n, int(s.width/s.kinds[low[i]].w))
			m.add(s.row(many))
		}
	}
	for _, c := range pool {
		if c.within(need) {
			m.add(c)
		}
	}
	return m
}

func (m *master) add(c column) {
	lc := linearColumn{cost: float64(c.height)}
	for i, n := range c.used {
		if n > 0 {
			lc.row, lc.value = append(lc.row, m.row[i]), append(lc.value, float64(n))
		}
	}
	for _, r := range m.rows {
		if n := r.counts(c.height); n > 0 {
			lc.row, lc.value = append(lc.row, r.row), append(lc.value, float64(n))
		}
	}
	m.lp.add(lc)
	m.pool = append(m.pool, c)
}

// fine is by how much duals are multiplied to make whole numbers of them.
const fine = 1 << 20

// worths are the duals of the program, rounded to whole numbers on the safe side.
type worths struct {
	item   []int64
	height []int64 // of rows
	total  *big.Int
}

func (m *master) worths() worths {
	was := m.lp.work
	y := m.lp.run(2000)
	m.s.work += (m.lp.work - was) / 4
	w := worths{item: make([]int64, len(m.need)), height: make([]int64, len(m.rows)), total: new(big.Int)}
	for i, n := range m.need {
		if n > 0 {
			w.item[i] = int64(max(y[m.row[i]], 0) * fine)
			w.total.Add(w.total, new(big.Int).Mul(big.NewInt(w.item[i]), big.NewInt(int64(n))))
		}
	}
	for k, r := range m.rows {
		v := int64(math.Floor(y[r.row] * fine))
		if r.atMost {
			v = min(v, 0)
		} else {
			v = max(v, 0)
		}
		w.height[k] = v
		w.total.Add(w.total, new(big.Int).Mul(big.NewInt(v), big.NewInt(int64(r.right))))
	}
	return w
}

// credit is what a strip earns by its height alone.
func (m *master) credit(w worths, height int64) int64 {
	var sum int64
	for k, r := range m.rows {
		sum += w.height[k] * r.counts(height)
	}
	return sum
}

// reduced is what a pattern costs less what it is worth.
func (m *master) reduced(c column, w worths) int64 {
	r := c.height*fine - m.credit(w, c.height)
	for i, n := range c.used {
		r -= w.item[i] * int64(n)
	}
	return r
}

// prove raises the bound to what the worths prove once they are divided by what they are too high.
func (m *master) prove(w worths, p prices) {
	if w.total.Sign() <= 0 {
		return
	}
	t := new(big.Int).Mul(w.total, big.NewInt(p.den))
	t.Add(t, big.NewInt(p.num-1))
	t.Div(t, big.NewInt(p.num))
	if t.IsInt64() {
		m.bound = max(m.bound, m.s.onGrid(t.Int64()))
	}
}

// solve prices patterns until none is worth more than its height, the bound is as good as it can get or
// reaches cut, or work is spent. It returns false when it stopped for want of work.
func (m *master) solve(cut, until int64, care care) bool {
	for {
		w := m.worths()
		added := 0
		if m.s.stages == 2 {
			p, b := m.s.priceRows(w.item, m.need, func(h int64) int64 { return m.credit(w, h) })
			m.prove(w, p)
			if m.closed(cut) {
				b.giveBack()
				return true
			}
			for _, o := range p.offers[:min(len(p.offers), 6)] {
				c := m.s.row(b.best(o.level, m.s.width))
				c.height = o.height
				m.add(c)
				added++
			}
			b.giveBack()
		} else {
			added = m.offerStacks(w, care)
			if m.closed(cut) {
				return true
			}
		}
		if added == 0 {
			return true
		}
		if m.s.work > until {
			return false
		}
	}
}

// care is how far patterns of three stages are sought.
type care int

const (
	rough care = iota // those that pay well, where they are likely: for rounding
	exact             // all that pay
	loose             // also those that make more of an item than is needed: for the bound only
)

// closed says that the bound reaches cut or what the program's present solution costs.
func (m *master) closed(cut int64) bool {
	return m.bound >= cut || m.bound >= m.s.onGrid(int64(math.Ceil(m.value()-1e-6)))
}

// offerStacks adds the patterns of three stages that pay, and returns how many those are.
func (m *master) offerStacks(w worths, care care) int {
	added := 0
	pays := int64(noise)
	if care == rough {
		pays = fine / 2000 * m.s.tallest / 8
	}
	for _, thorough := range []bool{false, true} {
		if thorough && care == rough {
			return 0
		}
		p, b := m.s.priceStacks(w.item, m.need, func(h int64) int64 { return m.credit(w, h) }, thorough)
		if thorough {
			m.prove(w, p)
		}
		for _, o := range p.offers {
			c := m.s.column(m.s.compose(b, o.height, m.s.width, w.item, slices.Clone(m.need)))
			if m.reduced(c, w) < -pays {
				m.add(c)
				if added++; added == 4 {
					break
				}
			}
		}
		if added == 0 && thorough && care == loose {
			for _, o := range p.offers[:min(len(p.offers), 4)] {
				b.mix(o.height/m.s.step, m.s.width)
				var cuts []segment
				for c, n := range b.mixture(m.s.width) {
					if n > 0 {
						cuts = append(cuts, segment{width: b.widths[c], count: n, stack: b.stack(c, o.height/m.s.step, m.need)})
					}
				}
				c := m.s.column(cuts)
				c.height = o.height
				if m.reduced(c, w) < -noise {
					m.add(c)
					added++
				}
			}
		}
		b.giveBack()
		if added > 0 {
			break
		}
	}
	return added
}

// value is what the program's present solution costs.
func (m *master) value() float64 {
	var sum float64
	for i, c := range m.lp.basis {
		sum += float64(m.lp.columns[c].cost * m.lp.x[i])
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
		if c >= m.first && m.lp.x[i] >= 1e-7 {
			laid = append(laid, used{m.pool[c-m.first], m.lp.x[i]})
		}
	}
	slices.SortStableFunc(laid, func(a, b used) int {
		switch {
		case a.height > b.height:
			return -1
		case a.height < b.height:
			return 1
		}
		return slices.Compare(b.used, a.used)
	})
	return laid
}

// counts returns for each level how many strips of it or higher the patterns laid make.
func (m *master) counts(laid []used) []float64 {
	out := make([]float64, len(m.s.heights))
	for _, u := range laid {
		for level, h := range m.s.heights {
			if u.height >= h {
				out[level] += u.x
			}
		}
	}
	return out
}

package guillotine

import (
	"math"
	"math/big"
	"slices"
)

// sheetMaster chooses how often each sheet is cut, in fractions.
type sheetMaster struct {
	d     *desk
	need  []int
	lp    *linear
	row   []int
	first int
	pool  []sheet
	bound int64 // proven for this program, in units of area
}

// keen is by how much the duals are multiplied to make whole numbers of them.
const keen = fine * 64

func newSheetMaster(d *desk, need []int, pool []sheet) *sheetMaster {
	m := &sheetMaster{d: d, need: need, row: make([]int, len(need))}
	var right []float64
	for i, n := range need {
		m.row[i] = -1
		if n > 0 {
			m.row[i] = len(right)
			right = append(right, float64(n))
		}
	}
	m.lp = newLinear(right, make([]bool, len(right)), 10*float64(slices.Max(d.price)))
	m.first = len(m.lp.columns)
	for _, sh := range pool {
		if (column{used: sh.used}).within(need) {
			m.add(sh)
		}
	}
	return m
}

func (m *sheetMaster) add(sh sheet) {
	c := linearColumn{cost: float64(m.d.price[m.d.ways[sh.way].size])}
	for i, n := range sh.used {
		if n > 0 {
			c.row, c.value = append(c.row, m.row[i]), append(c.value, float64(n))
		}
	}
	m.lp.add(c)
	m.pool = append(m.pool, sh)
}

func (m *sheetMaster) value() float64 {
	var sum float64
	for i, c := range m.lp.basis {
		sum += float64(m.lp.columns[c].cost * m.lp.x[i])
	}
	return sum
}

// solve prices sheets until none is worth more than it costs, the bound reaches cut or is as good as it can get, or
// work is spent. loose also takes sheets that hold more of an item than is needed.
func (m *sheetMaster) solve(cut, until int64, loose bool) {
	d := m.d
	for d.work() < until {
		was := m.lp.work
		y := m.lp.run(2000)
		d.ways[0].stock.work += (m.lp.work - was) / 4
		worth := make([]int64, len(m.need))
		total := new(big.Int)
		for i, n := range m.need {
			if n > 0 {
				worth[i] = int64(max(y[m.row[i]], 0) * keen)
				total.Add(total, new(big.Int).Mul(big.NewInt(worth[i]), big.NewInt(int64(n))))
			}
		}
		p := prices{num: keen, den: 1} // as for strips
		added := 0
		for n, w := range d.ways {
			price := d.price[w.size]
			o := w.offers(w.length, worth, m.need)
			got, mix := o.mix(w.length)
			p.over(got, price)
			if got > price*keen+keen/100_000 {
				sh := sheet{way: n, count: 1, strips: w.fillLength(w.length, m.need, worth)}
				sh.used = w.used(sh.strips)
				if m.pays(sh, worth) {
					m.add(sh)
					added++
				} else if loose {
					sh := sheet{way: n, count: 1}
					for level, times := range mix {
						if times > 0 {
							sh.strips = append(sh.strips, o.strip(level, worth, m.need, true).strip(times))
						}
					}
					sh.used = w.used(sh.strips)
					if m.pays(sh, worth) {
						m.add(sh)
						added++
					}
				}
			}
			o.giveBack()
		}
		total.Mul(total, big.NewInt(p.den))
		total.Add(total, big.NewInt(p.num-1))
		total.Div(total, big.NewInt(p.num))
		if total.IsInt64() {
			m.bound = max(m.bound, d.priced(total.Int64()))
		}
		if added == 0 || m.bound >= cut || m.bound >= d.priced(int64(math.Ceil(m.value()-1e-6))) {
			return
		}
	}
}

// pays says whether a sheet is worth more than it costs.
func (m *sheetMaster) pays(sh sheet, worth []int64) bool {
	var got int64
	for i, n := range sh.used {
		got += worth[i] * int64(n)
	}
	return got > m.d.price[m.d.ways[sh.way].size]*keen+keen/100_000
}

// solution returns the sheets cut and how often.
func (m *sheetMaster) solution() (laid []sheet, x []float64) {
	for i, c := range m.lp.basis {
		if c >= m.first && m.lp.x[i] >= 1e-7 {
			laid, x = append(laid, m.pool[c-m.first]), append(x, m.lp.x[i])
		}
	}
	return laid, x
}

// generate improves sheets and their bound by column generation, dives and laying some sheets anew.
func (d *desk) generate(need []int, best []sheet, bound, all int64) ([]sheet, int64) {
	begin := d.work()
	m := newSheetMaster(d, need, best)
	m.bound = bound
	m.solve(d.cost(best), begin+all/2, false)
	var pool []sheet
	pool, _ = m.solution()
	if got := d.dive(need, m, pool, d.cost(best), begin+all*3/4, nil); got != nil {
		best = got
	}
	if m.bound < d.cost(best) {
		m.solve(d.cost(best), begin+all*3/4, true)
	}
	bound = min(m.bound, d.cost(best))
	return d.repack(best, bound, pool, begin+all), bound
}

// repack lays some sheets anew again and again, in turn by a dive and by filling with worths a little at random, so that they
// are fewer, or, as many, that some are fuller and others emptier.
func (d *desk) repack(best []sheet, bound int64, pool []sheet, until int64) []sheet {
	dice := dice(0x9e3779b97f4a7c15)
	now := each(best)
	for idle := 0; idle < 1000 && d.work() < until && d.cost(best) > bound && len(now) > 1 && len(now) <= mostStrips; idle++ {
		size := min(len(now), 2+int(dice.below(5)))
		var out []int
		for len(out) < size {
			if n := int(dice.below(int64(len(now)))); !slices.Contains(out, n) {
				out = append(out, n)
			}
		}
		slices.Sort(out)
		part := make([]int, len(d.items))
		var was []sheet
		for _, n := range out {
			was = append(was, now[n])
			for i, k := range now[n].used {
				part[i] += k
			}
		}
		d.ways[0].stock.work += 5000
		goal := d.cost(was)
		var got []sheet
		if len(d.price) > 1 || idle%4 == 0 {
			m := newSheetMaster(d, part, append(slices.Clone(pool), was...))
			m.solve(goal, until, false)
			if m.bound >= goal && len(d.price) > 1 {
				continue
			}
			got = each(d.dive(part, m, pool, goal+1, until, &dice))
		} else {
			worth := d.area()
			for i := range worth {
				worth[i] = worth[i] * (80 + dice.below(40)) / 100
			}
			got = each(d.pass(part, worth))
		}
		if got == nil || d.cost(got) > goal || d.cost(got) == goal && d.uneven(got) < d.uneven(was) {
			continue
		}
		for i := len(out) - 1; i >= 0; i-- {
			now = slices.Delete(now, out[i], out[i]+1)
		}
		now = append(now, got...)
		if d.cost(now) < d.cost(best) {
			best = slices.Clone(now)
			idle = 0
		}
	}
	return best
}

// uneven is the more, the more the sheets differ in how full they are.
func (d *desk) uneven(laid []sheet) float64 {
	var sum float64
	for _, sh := range laid {
		var area int64
		for i, n := range sh.used {
			area += d.items[i].W * d.items[i].H * int64(n)
		}
		full := float64(area) / float64(d.unit)
		sum += float64(full * full)
	}
	return sum
}

// each is every sheet one by one.
func each(laid []sheet) []sheet {
	var out []sheet
	for _, sh := range laid {
		n := sh.count
		sh.count = 1
		for range min(n, mostStrips+1) {
			out = append(out, sh)
		}
	}
	return out
}

// dive rounds a program's solution to whole sheets, those it cuts most of first, and prices again for what is left. It
// returns nil where that costs no less than cut.
func (d *desk) dive(need []int, m *sheetMaster, pool []sheet, cut, until int64, dice *dice) []sheet {
	need = slices.Clone(need)
	var laid, best []sheet
	for {
		some, x := m.solution()
		at, most := -1, 0.0
		moved := false
		lay := func(sh sheet, count int) {
			for i, n := range sh.used {
				if n > 0 {
					count = min(count, need[i]/n)
				}
			}
			if count == 0 {
				return
			}
			for i, n := range sh.used {
				need[i] -= n * count
			}
			sh.count = count
			laid = append(laid, sh)
			moved = true
		}
		for n, sh := range some {
			lay(sh, int(math.Floor(x[n]+1e-6)))
			f := x[n] - math.Floor(x[n]+1e-6)
			if dice != nil {
				f *= 0.5 + float64(dice.below(1000))/1000
			}
			if f > most+1e-9 {
				at, most = n, f
			}
		}
		if at >= 0 {
			lay(some[at], 1)
		}
		if slices.Max(need) == 0 {
			if d.cost(laid) < cut {
				return laid
			}
			return best
		}
		// The rest sheet by sheet is a layout already.
		rest := d.pass(need, d.area())
		if all := append(slices.Clone(laid), rest...); d.cost(all) < cut {
			best, cut = all, d.cost(all)
		}
		if !moved || d.work() > until || d.cost(laid)+d.bound(need) >= cut {
			return best
		}
		m = newSheetMaster(d, need, append(slices.Clone(pool), rest...))
		m.solve(cut-d.cost(laid), until, false)
		if m.bound >= cut-d.cost(laid) {
			return best
		}
	}
}

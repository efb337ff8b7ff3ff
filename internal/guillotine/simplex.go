package guillotine

import "math"

// linear is a linear program that grows by columns: least cost, nothing negative, each row at least or
// at most its right side. It keeps the inverse of its basis. Products are rounded before they are added, so that every machine
// comes to the same numbers.
type linear struct {
	rows    int
	right   []float64
	columns []linearColumn
	basis   []int // column of each basic place
	in      []bool
	inverse [][]float64
	x       []float64 // of the basic columns
	pivots  int
	stalled int
	step    []float64 // room for the column that enters, in terms of the basis
	work    int64
}

type linearColumn struct {
	cost  float64
	row   []int
	value []float64
}

const tiny = 1e-9

// newLinear makes a program with no columns but those that make up for each row: at a high cost where
// the row asks for at least its right side (with one that takes the excess), free where it asks for at
// most. Right sides are not negative.
func newLinear(right []float64, atMost []bool, high float64) *linear {
	l := &linear{rows: len(right), right: right}
	for r := range right {
		c := linearColumn{row: []int{r}, value: []float64{1}}
		if !atMost[r] {
			c.cost = high
		}
		l.basis = append(l.basis, len(l.columns))
		l.add(c)
		l.in[r] = true
	}
	for r := range right {
		if !atMost[r] {
			l.add(linearColumn{row: []int{r}, value: []float64{-1}})
		}
	}
	l.inverse = make([][]float64, l.rows)
	for i := range l.inverse {
		l.inverse[i] = make([]float64, l.rows)
		l.inverse[i][i] = 1
	}
	l.x = append([]float64(nil), right...)
	return l
}

func (l *linear) add(c linearColumn) int {
	l.columns = append(l.columns, c)
	l.in = append(l.in, false)
	return len(l.columns) - 1
}

// duals is what one more of each row's right side costs.
func (l *linear) duals() []float64 {
	y := make([]float64, l.rows)
	for i, c := range l.basis {
		if cost := l.columns[c].cost; cost != 0 {
			for r, v := range l.inverse[i] {
				y[r] += float64(cost * v)
			}
		}
	}
	l.work += int64(l.rows * l.rows)
	return y
}

// run pivots until no column is worth entering, at most so many times, and returns the duals.
func (l *linear) run(most int) []float64 {
	y := l.duals()
	fresh := true
	for ; ; most-- {
		if most <= 0 {
			return l.duals()
		}
		enter, gain := -1, -tiny*1000
		for j := range l.columns {
			if l.in[j] {
				continue
			}
			if reduced := l.columns[j].reduced(y); reduced < gain {
				enter, gain = j, reduced
				if l.stalled > 40 {
					break // the first one: no cycle lasts
				}
			}
		}
		l.work += int64(4 * len(l.columns))
		if enter < 0 && !fresh {
			// The duals were carried on from pivot to pivot: the last word is that of new ones.
			y, fresh = l.duals(), true
			continue
		}
		if enter < 0 {
			return y
		}
		leave := l.pivot(enter)
		switch {
		case leave < 0:
			return l.duals()
		case l.pivots%20 == 0:
			y, fresh = l.duals(), true
		default:
			for r, v := range l.inverse[leave] {
				y[r] += float64(gain * v)
			}
			fresh = false
		}
	}
}

// reduced is what a column costs less what the duals say it is worth.
func (c *linearColumn) reduced(y []float64) float64 {
	sum := c.cost
	value := c.value
	for i, r := range c.row {
		sum -= float64(y[r] * value[i])
	}
	return sum
}

// pivot brings a column into the basis and returns its place there, -1 where nothing limits it.
func (l *linear) pivot(enter int) int {
	c := &l.columns[enter]
	d := grown(l.step, l.rows)
	l.step = d
	for i, row := range l.inverse {
		var sum float64
		for k, r := range c.row {
			sum += float64(row[r] * c.value[k])
		}
		d[i] = sum
	}
	leave, step := -1, math.Inf(1)
	for i, v := range d {
		if v <= tiny*100 {
			continue
		}
		q := l.x[i] / v
		if q < step-tiny || q < step+tiny && leave >= 0 && (l.stalled <= 40 && v > d[leave] || l.stalled > 40 && l.basis[i] < l.basis[leave]) {
			leave, step = i, min(q, step)
		}
	}
	if leave < 0 {
		return -1
	}
	step = max(step, 0)
	if step < tiny {
		l.stalled++
	} else {
		l.stalled = 0
	}
	for i := range l.x {
		l.x[i] -= float64(step * d[i])
		if l.x[i] < tiny {
			l.x[i] = max(l.x[i], 0)
		}
	}
	l.x[leave] = step
	l.in[l.basis[leave]], l.in[enter] = false, true
	l.basis[leave] = enter
	p := l.inverse[leave]
	for r := range p {
		p[r] /= d[leave]
	}
	for i := range l.inverse {
		if i == leave || d[i] == 0 {
			continue
		}
		q, f := l.inverse[i][:len(p)], d[i]
		for r, v := range p {
			q[r] -= float64(f * v)
		}
	}
	l.work += int64(l.rows * l.rows)
	if l.pivots++; l.pivots%80 == 0 {
		l.invert()
	}
	return leave
}

// invert computes the inverse of the basis anew, because rounding errors add up.
func (l *linear) invert() {
	n := l.rows
	a := make([][]float64, n) // the basis and the identity side by side
	for i := range a {
		a[i] = make([]float64, 2*n)
		a[i][n+i] = 1
	}
	for j, c := range l.basis {
		for k, r := range l.columns[c].row {
			a[r][j] = l.columns[c].value[k]
		}
	}
	for j := range n {
		p := j
		for i := j + 1; i < n; i++ {
			if math.Abs(a[i][j]) > math.Abs(a[p][j]) {
				p = i
			}
		}
		if math.Abs(a[p][j]) < tiny {
			return // too close to singular: the old inverse serves better
		}
		a[j], a[p] = a[p], a[j]
		f := a[j][j]
		for k := j; k < 2*n; k++ {
			a[j][k] /= f
		}
		for i := range a {
			if f := a[i][j]; i != j && f != 0 {
				for k := j; k < 2*n; k++ {
					a[i][k] -= float64(f * a[j][k])
				}
			}
		}
	}
	l.work += int64(n * n * n / 8)
	for i := range n {
		copy(l.inverse[i], a[i][n:])
		l.x[i] = 0
		for r, v := range l.inverse[i] {
			l.x[i] += float64(v * l.right[r])
		}
		l.x[i] = max(l.x[i], 0)
	}
}

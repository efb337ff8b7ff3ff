// Package sew puts the work in an order in which it can be done.
//
// In: units with their recipes and what each month makes. Out: steps, month by month: each carries out a stretch of a
// recipe's operations, so many times, and is never before the steps that make what it takes. What one step sews is fed
// through the machine as one chain, and so is what steps side by side sew that do not need one another.
package sew

import (
	"quiltwright/internal/method"
	"quiltwright/internal/piecing"
)

// Step is one stretch of a recipe.
type Step struct {
	Month int // from 0
	Unit  int
	Way   int // which way it is pressed, where it is made both ways
	First int // operations of the recipe, both included
	Last  int
	Count int // batches
	Makes int // units finished: 0 but for the last step of a recipe
	Stage Stage
	Block int // unit of the block that it is first done for, -1 for the setting
	Chain int // from 1: steps of one chain are fed through the machine together
}

// Stage is what a step belongs to.
type Stage string

// Stages, in the order of work.
const (
	StageUnit   Stage = "unit"
	StageRow    Stage = "row"
	StageBlock  Stage = "block"
	StageTop    Stage = "top"
	StageBorder Stage = "border"
)

// Order lists the steps. months[m] are the units of the blocks that month m makes, in the order of the programme; the top
// is sewn in month setMonth, after them. Block after block is sewn; within a block everything that can be is done of one kind before the
// next begins, so that it can be chained: all pairs are sewn, then all are cut and pressed; units, then rows, then the block.
func Order(units []method.Unit, months [][]int, top, setMonth int) []Step {
	o := &order{units: units, stands: make([]bool, len(units))}
	for i := range units {
		if u := &units[i]; !u.Shape.Kind.Trade() {
			for _, p := range u.Parts {
				o.stands[p.Unit] = true
			}
		}
	}
	for m, blocks := range months {
		o.done = make([]bool, len(units))
		for _, b := range blocks {
			o.block = b
			o.sew(m, b)
			o.waves()
		}
		if m == setMonth && top >= 0 {
			o.block = -1
			o.sew(m, top)
			o.waves()
		}
	}
	o.chains()
	return o.steps
}

type order struct {
	units  []method.Unit
	stands []bool // in more than units of the trade: a row of a four-patch is no row of the block
	done   []bool // in this month
	block  int
	lanes  []lane // of the block
	steps  []Step
}

// lane is the steps of one recipe in a month. Each needs the one before it, the first those that make what the recipe takes.
type lane struct {
	unit  int
	steps []Step // that are left
}

// sew adds the lanes of unit i after those of its parts.
func (o *order) sew(m, i int) {
	u := &o.units[i]
	if o.done[i] || !u.Made {
		return
	}
	o.done[i] = true
	if u.Maker != i {
		o.sew(m, u.Maker)
		return
	}
	if u.Method == "joined" {
		for _, p := range u.Parts {
			o.sew(m, p.Unit)
		}
	}
	if u.Recipe == nil || len(u.Recipe.Do) == 0 {
		return
	}
	stops := append(append([]int(nil), u.Recipe.Stops...), len(u.Recipe.Do))
	for way, n := range u.Months[m].Batches {
		if n == 0 {
			continue
		}
		l := lane{unit: i}
		first := 0
		for _, stop := range stops {
			s := Step{Month: m, Unit: i, Way: way, First: first, Last: stop - 1, Count: n, Stage: o.stage(i), Block: o.block}
			if stop == len(u.Recipe.Do) {
				s.Makes = u.Months[m].Made[way]
			}
			l.steps = append(l.steps, s)
			first = stop
		}
		o.lanes = append(o.lanes, l)
	}
}

// waves puts the steps of the lanes in order: again and again the first that can be done, of the earliest stage, and with it all others that can be
// done and are of its kind.
func (o *order) waves() {
	left := map[int]int{} // steps of a unit still to be done
	for _, l := range o.lanes {
		left[l.unit] += len(l.steps)
	}
	for len(o.lanes) > 0 {
		var wave []int
		for k := range o.lanes {
			l := &o.lanes[k]
			switch {
			case !o.ready(l, left):
			case len(wave) > 0 && o.alike(&l.steps[0], &o.lanes[wave[0]].steps[0]):
				wave = append(wave, k)
			case len(wave) == 0 || o.rank(&l.steps[0]) < o.rank(&o.lanes[wave[0]].steps[0]):
				wave = []int{k}
			}
		}
		for _, k := range wave {
			l := &o.lanes[k]
			o.steps = append(o.steps, l.steps[0])
			l.steps = l.steps[1:]
			left[l.unit]--
		}
		rest := o.lanes[:0]
		for _, l := range o.lanes {
			if len(l.steps) > 0 {
				rest = append(rest, l)
			}
		}
		o.lanes = rest
	}
}

// rank is where a step stands in the order of work: units, rows, the block. A block in a block is a unit of it.
func (o *order) rank(s *Step) int {
	switch {
	case s.Stage == StageRow:
		return 1
	case s.Stage == StageUnit || s.Unit != o.block && o.block >= 0:
		return 0
	}
	return 2
}

// ready reports whether all is made that the next step of a lane takes.
func (o *order) ready(l *lane, left map[int]int) bool {
	u := &o.units[l.unit]
	if l.steps[0].First > 0 || u.Method != "joined" {
		return true
	}
	for _, p := range u.Parts {
		if left[o.units[p.Unit].Maker] > 0 {
			return false
		}
	}
	return true
}

// alike reports whether two steps do the same: the same stretch of the same method, or joins.
func (o *order) alike(a, b *Step) bool {
	m := o.units[a.Unit].Method
	return a.Month == b.Month && a.Stage == b.Stage && m == o.units[b.Unit].Method && (a.First == b.First || m == "joined" && o.feed(a) != "" && o.feed(a) == o.feed(b))
}

// feed is what a step does before it leaves the machine: its operations up to the first that cuts, presses or trims; "" where none of them sews.
func (o *order) feed(s *Step) string {
	feed, sews := "", false
	for _, op := range o.units[s.Unit].Recipe.Do[s.First : s.Last+1] {
		if op.Op == "cut" || op.Op == "press" || op.Op == "trim" {
			break
		}
		feed, sews = feed+op.Op+" ", sews || op.Op == "stitch"
	}
	if !sews {
		return ""
	}
	return feed
}

// chains numbers what is fed through the machine together: a step goes with those just before it where it is fed like them, in the same month and stage,
// and needs none of them.
func (o *order) chains() {
	var in map[[2]int]bool // recipes of the chain: a unit, and which way
	for i := range o.steps {
		s := &o.steps[i]
		if i > 0 {
			c := &o.steps[i-1]
			s.Chain = c.Chain
			if feed := o.feed(s); feed != "" && feed == o.feed(c) && s.Month == c.Month && s.Stage == c.Stage && !o.needs(s, in) {
				in[[2]int{s.Unit, s.Way}] = true
				continue
			}
		}
		s.Chain++
		in = map[[2]int]bool{{s.Unit, s.Way}: true}
	}
}

// needs reports whether a step goes on with a recipe of a chain, or takes what one makes, or waits until the top is measured for it.
func (o *order) needs(s *Step, in map[[2]int]bool) bool {
	u := &o.units[s.Unit]
	if u.Measures(o.units) {
		return true
	}
	if in[[2]int{s.Unit, s.Way}] {
		return true
	}
	if u.Method == "joined" {
		for _, p := range u.Parts {
			if maker := o.units[p.Unit].Maker; in[[2]int{maker, 0}] || in[[2]int{maker, 1}] {
				return true
			}
		}
	}
	return false
}

func (o *order) stage(i int) Stage {
	switch u := &o.units[i]; u.Role {
	case piecing.Block:
		return StageBlock
	case piecing.Row:
		if u.Method == "joined" && o.stands[i] { // not cut from a strip set
			return StageRow
		}
	case piecing.Setting, piecing.Top:
		return StageTop
	}
	return StageUnit
}

// Package sew puts the work in an order in which it can be done.
//
// In: units with their recipes and what each month makes. Out: steps, month by month: each carries out a stretch of a
// recipe's operations, so many times, and is never before the steps that make what it takes. What one step sews is fed
// through the machine as one chain.
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
// is sewn in month setMonth, after them.
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
		}
		if m == setMonth && top >= 0 {
			o.block = -1
			o.sew(m, top)
		}
	}
	return o.steps
}

type order struct {
	units  []method.Unit
	stands []bool // in more than units of the trade: a row of a four-patch is no row of the block
	done   []bool // in this month
	block  int
	steps  []Step
}

// sew adds the steps of unit i after those of its parts.
func (o *order) sew(m, i int) {
	u := &o.units[i]
	if o.done[i] || !u.Made {
		return
	}
	o.done[i] = true
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
		first := 0
		for _, stop := range stops {
			if n == 0 {
				break
			}
			s := Step{Month: m, Unit: i, Way: way, First: first, Last: stop - 1, Count: n, Stage: o.stage(i), Block: o.block}
			if stop == len(u.Recipe.Do) {
				s.Makes = u.Months[m].Made[way]
			}
			o.steps = append(o.steps, s)
			first = stop
		}
	}
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

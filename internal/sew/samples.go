package sew

import (
	"slices"

	"quiltwright/internal/method"
	"quiltwright/internal/piecing"
)

// Sample is what is shown of a unit in a class: one of it as it is after each stretch of its recipe.
type Sample struct {
	Month   int // from 0
	Unit    int
	Way     int
	After   []int  // operations after which one is kept
	Batches int    // that have to be begun for them: what a batch is cut into is shown at different stages
	Takes   []Take // what is cut for them
}

// Take is so many of a blank of a unit's recipe, or of the blank of a patch: Blank is -1 then.
type Take struct{ Unit, Blank, Count int }

// Samples lists what is worth showing each month: every unit that the month sews, not rows, blocks and the top, which lie before everyone. Of
// units of one kind that are made in the same way in a month, the first is shown, and those that grow from one that is shown: a log cabin
// after every log.
func Samples(units []method.Unit, steps []Step) []Sample {
	type kind struct {
		month         int
		shape, method string
	}
	of := map[[3]int]int{} // month, unit and way: the sample
	first := map[kind]bool{}
	var out []Sample
	for _, s := range steps {
		if s.Stage != StageUnit {
			continue
		}
		u := &units[s.Unit]
		key := [3]int{s.Month, s.Unit, s.Way}
		if s.First == 0 {
			k := kind{s.Month, string(u.Shape.Kind), u.Method}
			if first[k] && !slices.ContainsFunc(u.Parts, func(p piecing.Part) bool {
				i, shown := of[[3]int{s.Month, p.Unit, 0}]
				return shown && units[out[i].Unit].Shape.Kind == u.Shape.Kind
			}) {
				continue
			}
			first[k] = true
			of[key] = len(out)
			out = append(out, Sample{Month: s.Month, Unit: s.Unit, Way: s.Way})
		}
		if i, shown := of[key]; shown {
			out[i].After = append(out[i].After, s.Last)
		}
	}
	for i := range out {
		s := &out[i]
		s.Batches = begun(units[s.Unit].Recipe, s.After)
		takes := map[Take]int{}
		take(units, s.Unit, s.Batches, takes)
		for t, n := range takes {
			t.Count = n
			s.Takes = append(s.Takes, t)
		}
		slices.SortFunc(s.Takes, func(a, b Take) int {
			if a.Unit != b.Unit {
				return a.Unit - b.Unit
			}
			return a.Blank - b.Blank
		})
	}
	return out
}

// begun is how many batches show one work after each of these operations: what is left of a batch goes on to the next.
func begun(r *method.Recipe, after []int) int {
	batches, left, before := 0, 0, 1
	for _, op := range after {
		n := works(r, op)
		left = left * n / before
		if before = n; left == 0 {
			batches++
			left = n
		}
		left--
	}
	return batches
}

// works is in how many works, all alike, a batch lies on the table after an operation.
func works(r *method.Recipe, last int) int {
	next := 0
	for _, f := range r.From {
		next += f.Count
	}
	bundle := 1
	for _, op := range r.Do[:last+1] {
		switch {
		case op.Op == "cut" && op.Times > 0:
			bundle *= op.Times
		case op.Op == "cut":
			next++
		}
	}
	n := 0
	for _, g := range r.Gives {
		if g.Work < next {
			n++
		}
	}
	return max(1, n) * bundle
}

// take adds the blanks that so many batches of a unit take, those of what they are made of among them.
func take(units []method.Unit, unit, batches int, takes map[Take]int) {
	for _, f := range units[unit].Recipe.From {
		n := f.Count * batches
		if f.Blank >= 0 {
			takes[Take{Unit: unit, Blank: f.Blank}] += n
			continue
		}
		part := &units[f.Unit]
		if part.Single != nil {
			takes[Take{Unit: f.Unit, Blank: -1}] += n
			continue
		}
		yield := units[part.Maker].Recipe.Yield
		take(units, part.Maker, (n+yield-1)/yield, takes)
	}
}

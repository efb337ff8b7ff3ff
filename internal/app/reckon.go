package app

import (
	"fmt"
	"slices"
	"strings"

	"quiltwright/internal/compile"
	"quiltwright/internal/plan"
	"quiltwright/internal/words"
)

// reckoning is what a plan costs, to tell what a change costs.
type reckoning struct {
	meetings, nested int
	both             int // units that are made in two batches, pressed opposite ways
	unstraight       int // joins that are partial or set in
	blanks           int // pieces cut from cloth
	over             int // sewn units that are left over
	steps            int
	cloth            []reckonedCloth
}

type reckonedCloth struct {
	letter, name string
	uses, buy    plan.Num
	unit         string // of buy
}

// reckon is what a complete plan costs; nil for another.
func reckon(r *compile.Result) *reckoning {
	p := r.Plan
	if !p.Complete {
		return nil
	}
	c := &reckoning{meetings: p.Press.Meetings, nested: p.Press.Nested, steps: len(p.Steps)}
	for _, u := range p.Units {
		c.over += max(0, u.Surplus)
	}
	for _, one := range r.Press.Split {
		if one {
			c.both++
		}
	}
	for _, b := range p.Blocks {
		c.unstraight += b.Made * (b.Partial + b.SetIn + b.Curved)
	}
	for _, piece := range p.Pieces {
		c.blanks += piece.Cut
	}
	for _, f := range p.Fabrics {
		c.cloth = append(c.cloth, reckonedCloth{f.Letter, f.Name, f.Length, f.Buy.Amount, f.Buy.Unit})
	}
	return c
}

// reckonings are what the plans of a state cost, by effort, or what those of an earlier state did where it was overtaken.
func (s *state) reckonings() [2]*reckoning {
	if s == nil {
		return [2]*reckoning{}
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	out := s.sums
	for i, c := range out {
		if c == nil {
			out[i] = s.before[i]
		}
	}
	return out
}

// costView is what the last change costs.
type costView struct {
	Known bool     `json:"known"` // false: there is nothing to compare, or not yet
	Says  []string `json:"says"`  // what is otherwise; empty where nothing is
}

// cost compares the plan with that before the last change: made with full effort where both are, else with quick effort.
func (s *state) cost() costView {
	s.mu.Lock()
	defer s.mu.Unlock()
	for i := 1; i >= 0; i-- {
		if s.sums[i] != nil && s.before[i] != nil {
			return costView{true, s.sums[i].against(s.before[i], words.Of(s.compiled.Plan))}
		}
	}
	return costView{false, []string{}}
}

// against says what is otherwise than before.
func (c *reckoning) against(b *reckoning, tell *words.Teller) []string {
	out := []string{}
	say := func(format string, a ...any) { out = append(out, fmt.Sprintf(format, a...)) }
	if lost, was := c.meetings-c.nested, b.meetings-b.nested; lost != was {
		more, nest := "fewer", "nest"
		if lost < was {
			more = "more"
		}
		n := lost - was
		if n < 0 {
			n = -n
		}
		if n == 1 {
			nest = "nests"
		}
		say("%s %s %s: %d of %d, before %d of %d", counted(n, "meeting"), more, nest, c.nested, c.meetings, b.nested, b.meetings)
	}
	otherwise := func(now, was int, one, what string) {
		if now != was {
			more := "more"
			if now < was {
				more = "fewer"
			}
			say("%s %s %s: %d, before %d", counted(max(now, was)-min(now, was), one), more, what, now, was)
		}
	}
	otherwise(c.both, b.both, "unit", "made in two batches, pressed opposite ways")
	otherwise(c.unstraight, b.unstraight, "seam", "not straight from edge to edge")
	otherwise(c.blanks, b.blanks, "piece", "to cut")
	otherwise(c.over, b.over, "unit", "left over")
	otherwise(c.steps, b.steps, "step", "to sew")
	buys := func(f reckonedCloth) string { return tell.Amount(f.buy, f.unit) }
	for _, f := range c.cloth {
		i := slices.IndexFunc(b.cloth, func(g reckonedCloth) bool { return g.letter == f.letter })
		switch {
		case i < 0:
			say("%s %s is new: buy %s", f.letter, f.name, buys(f))
		case buys(b.cloth[i]) != buys(f):
			say("%s %s: buy %s instead of %s; the cutting takes %s, before %s", f.letter, f.name, buys(f), buys(b.cloth[i]), tell.Length(f.uses), tell.Length(b.cloth[i].uses))
		case tell.Length(b.cloth[i].uses) != tell.Length(f.uses):
			say("%s %s: the cutting takes %s, before %s; buy %s as before", f.letter, f.name, tell.Length(f.uses), tell.Length(b.cloth[i].uses), buys(f))
		}
	}
	return out
}

// counted is "1 seam", "2 seams".
func counted(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %ss", n, one)
}

// listed is "a", "a and b", "a, b and c".
func listed(all []string) string {
	if len(all) < 2 {
		return strings.Join(all, "")
	}
	return strings.Join(all[:len(all)-1], ", ") + " and " + all[len(all)-1]
}

// foundView is a finding of the plan or of the proof.
type foundView struct {
	Severity string `json:"severity"`
	Says     string `json:"says"`
	Remedy   string `json:"remedy"`
	Block    string `json:"block"`
}

// findings are what the reader, the compiler and the proof found; those about one block only where one is named. Errors first.
func (s *state) findingsOf(block string) []foundView {
	out := []foundView{}
	r := s.result()
	put := func(f plan.Finding) {
		if block == "" || f.Block == "" || f.Block == block {
			out = append(out, foundView{f.Severity, f.Says, f.Remedy, f.Block})
		}
	}
	if r == nil {
		for _, f := range s.found {
			put(plan.Finding{Severity: f.Severity.String(), Says: f.Says, Remedy: f.Remedy, Block: f.Block})
		}
	} else {
		for _, f := range r.Plan.Findings {
			put(f)
		}
		if r.Plan.Proof != nil {
			for _, f := range r.Plan.Proof.Findings {
				put(f)
			}
		}
	}
	rank := map[string]int{"error": 0, "warning": 1, "hint": 2}
	slices.SortStableFunc(out, func(a, b foundView) int { return rank[a.Severity] - rank[b.Severity] })
	return out
}

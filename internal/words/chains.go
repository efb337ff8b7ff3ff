package words

import (
	"slices"
	"strconv"
	"strings"

	"quiltwright/internal/plan"
)

// Reading lists the steps of a month in the order in which they are told, as indices into the plan's steps: in the order of work, but the steps of
// one recipe together, where the first of them stands, and right after them those that only add pieces to what it makes. That is an order of
// work as well: they need nothing else that is sewn.
func (t *Teller) Reading(month int) []int {
	if out, done := t.readings[month]; done {
		return out
	}
	var out []int
	end := map[string]int{}          // where the steps of a recipe end, and those that add to it
	makes := map[string]*plan.Step{} // the last step of those that make a unit
	for i := range t.p.Steps {
		s := &t.p.Steps[i]
		if s.Month != month {
			continue
		}
		at, follows := end[s.Recipe]
		if s.Recipe == "" {
			at, follows = 0, false
		} else if of := makes[t.AddsTo(s.Recipe)]; !follows && of != nil && (s.Stage == of.Stage || s.Stage == "unit") {
			at, follows = end[of.Recipe], true
		}
		if !follows {
			at = len(out)
		}
		out = slices.Insert(out, at, i)
		if follows {
			for r, e := range end {
				if e >= at {
					end[r] = e + 1
				}
			}
		}
		end[s.Recipe] = at + 1
		if s.Makes > 0 {
			makes[s.Unit] = s
		}
	}
	t.readings[month] = out
	return out
}

// AddsTo is the only sewn unit that a recipe takes, to which it adds pieces; "" where it takes none or several.
func (t *Teller) AddsTo(recipe string) string {
	r := t.recipes[recipe]
	if r == nil {
		return ""
	}
	one := ""
	for _, f := range r.From {
		u := t.units[f.Unit]
		switch {
		case u == nil || u.Piece != "" || one == f.Unit:
		case one != "":
			return ""
		default:
			one = f.Unit
		}
	}
	return one
}

// together says at the first step of a chain of several, in the order of reading, what is fed through the machine with it; "" at others.
func (t *Teller) together(i int) Text {
	chain := t.chain(i)
	if len(chain) < 2 || t.firstTold(chain, t.p.Steps[i].Month) != i {
		return ""
	}
	var units []string
	for _, s := range chain {
		if !slices.Contains(units, s.Unit) { // one that is pressed both ways is sewn one way
			units = append(units, s.Unit)
		}
	}
	if len(units) < 2 {
		return ""
	}
	if t.goesOn(i) {
		return Text(t.in.say("together.again"))
	}
	var names []string
	for _, u := range units {
		names = append(names, t.inChain(u, units))
	}
	if first, last, noun, ok := numbered(names); ok {
		key := "together.numbered"
		if last == first+1 {
			key = "together.two"
		}
		return Text(t.in.say(key, "noun", t.in.noun(2, noun), "first", first, "last", last))
	}
	return Text(t.in.say("together", "list", t.list(names)))
}

// chain is the steps that are fed through together, step i among them; none where it sews nothing.
func (t *Teller) chain(i int) []plan.Step {
	steps := t.p.Steps
	if steps[i].Chain == 0 {
		return nil
	}
	first, end := i, i+1
	for first > 0 && steps[first-1].Chain == steps[i].Chain {
		first--
	}
	for end < len(steps) && steps[end].Chain == steps[i].Chain {
		end++
	}
	return steps[first:end]
}

// goesOn reports whether the chain that begins with step i is the same as that in which its recipe was sewn last.
func (t *Teller) goesOn(i int) bool {
	s := &t.p.Steps[i]
	for k := i - 1; k >= 0 && s.First > 0; k-- {
		o := &t.p.Steps[k]
		if o.Recipe != s.Recipe {
			continue
		}
		if before := t.chain(k); len(before) > 1 {
			return slices.EqualFunc(before, t.chain(i), func(a, b plan.Step) bool { return a.Recipe == b.Recipe })
		}
		if o.First == 0 {
			break
		}
	}
	return false
}

// inChain is what a unit is called among those fed through with it: a row alone where all are rows of one block.
func (t *Teller) inChain(unit string, all []string) string {
	row := t.rows[unit]
	if row == "" {
		return t.marked(unit)
	}
	of := strings.TrimPrefix(t.names[unit], row)
	for _, u := range all {
		if t.rows[u] == "" || strings.TrimPrefix(t.names[u], t.rows[u]) != of {
			return t.marked(unit)
		}
	}
	return row
}

// numbered recognises "row 1", "row 2", "row 3": a noun and rising numbers.
func numbered(names []string) (first, last int, noun string, ok bool) {
	for i, name := range names {
		word, number, found := strings.Cut(name, " ")
		k, err := strconv.Atoi(number)
		if !found || err != nil || i > 0 && (word != noun || k != last+1) {
			return 0, 0, "", false
		}
		if i == 0 {
			first, noun = k, word
		}
		last = k
	}
	return first, last, noun, len(names) > 1
}

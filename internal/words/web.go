package words

import (
	"slices"
	"strconv"
	"strings"

	"quiltwright/internal/plan"
)

// web says, at the first step in the order of reading that sews a line of a block that can be sewn as a web, how that is done; "" at others,
// and where the lines are not all sewn one after the other.
func (t *Teller) web(i int) Text {
	s := &t.p.Steps[i]
	chain := t.chain(i)
	for _, b := range t.p.Blocks {
		u := t.units[b.Unit]
		if u == nil || u.Web == nil || s.First > 0 || !hasPart(u, s.Unit) || t.firstTold(chain, s.Month) != i {
			continue
		}
		if slices.ContainsFunc(u.Parts, func(p plan.Part) bool {
			return !slices.ContainsFunc(chain, func(c plan.Step) bool { return c.Unit == p.Unit })
		}) {
			continue
		}
		key, line, noun, n := "web.rows", "row", "column", u.Web.Columns
		if t.webIn(u) == columnLines {
			key, line, noun, n = "web.columns", "column", "row", u.Web.Rows
		}
		says := []string{t.in.say(key, "rows", u.Web.Rows, "columns", u.Web.Columns)}
		switch {
		case n == 3:
			says = append(says, t.in.say("web.on", "noun", t.in.noun(1, noun)))
		case n == 4:
			says = append(says, t.in.say("web.on.two", "noun", t.in.noun(2, noun)))
		case n > 4:
			says = append(says, t.in.say("web.on.to", "noun", t.in.noun(2, noun), "last", n))
		}
		says = append(says, t.in.say("web.press", "line", t.in.noun(1, line), "lines", t.in.noun(2, line)))
		return Text(strings.Join(says, " "))
	}
	return ""
}

func hasPart(u *plan.Unit, id string) bool {
	return slices.ContainsFunc(u.Parts, func(p plan.Part) bool { return p.Unit == id })
}

// firstTold is the step of a chain that is told first, -1 of an empty one.
func (t *Teller) firstTold(chain []plan.Step, month int) int {
	for _, k := range t.Reading(month) {
		if len(chain) > 0 && t.p.Steps[k].Chain == chain[0].Chain {
			return k
		}
	}
	return -1
}

// What the parts of a web are.
const (
	rowLines = iota
	columnLines
)

// webIn says whether the parts of a unit that is a web are rows or columns.
func (t *Teller) webIn(u *plan.Unit) int {
	if len(u.Joins) > 0 && near(u.Joins[0].Seam[0][0], u.Joins[0].Seam[1][0]) {
		return columnLines
	}
	return rowLines
}

// Line is the number of a row or column of a block, as the steps have it; 0 of anything else.
func (t *Teller) Line(unit string) int {
	_, number, _ := strings.Cut(t.rows[unit], " ")
	n, err := strconv.Atoi(number)
	if err != nil {
		return 0
	}
	return n
}

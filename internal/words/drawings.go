package words

import (
	"strconv"
	"strings"

	"quiltwright/internal/plan"
)

// Length is a measure with its unit, for a drawing.
func (t *Teller) Length(x plan.Num) string { return t.length(x) }

// AltState says what lies on the table in one state of a drawing: right side up, wrong side up on
// it, lines drawn, seams sewn, seams pressed.
func (t *Teller) AltState(up, down []string, marks, sewn, pressed int) string {
	says := ""
	if len(down) > 0 {
		says = t.in.say("alt.state.down", "up", t.list(up), "down", t.list(down))
	} else {
		says = t.in.say("alt.state", "up", t.list(up))
	}
	if sewn > 0 && marks > 0 {
		says += ", " + t.in.say("alt.marks", "count", marks, "noun", t.in.noun(marks, "line"))
	}
	if sewn > 0 {
		says += ", " + t.in.say("alt.seams", "count", sewn, "noun", t.in.noun(sewn, "seam"))
	}
	if pressed > 0 {
		says += ", " + t.in.say("alt.pressed", "count", pressed, "noun", t.in.noun(pressed, "seam"))
	}
	return says
}

// AltSteps joins what the panels of a step show: one state, or before and after.
func (t *Teller) AltSteps(states []string) string {
	switch len(states) {
	case 0:
		return ""
	case 1:
		return t.in.say("alt.one", "state", states[0])
	}
	return t.in.say("alt.two", "before", strings.Join(states[:len(states)-1], "; "), "after", states[len(states)-1])
}

// AltApart names parts that are set apart.
func (t *Teller) AltApart(names []string) string {
	return t.in.say("alt.apart", "names", t.list(names))
}

// AltAssembly says which parts a drawing of a unit taken apart shows.
func (t *Teller) AltAssembly(id string, names []string) string {
	return t.in.say("alt.assembly", "unit", capital(t.Name(id)), "names", t.list(names))
}

// AltQuilt says what the picture of the whole quilt shows.
func (t *Teller) AltQuilt() string {
	var names []string
	for _, f := range t.p.Fabrics {
		names = append(names, t.Fabric(f.Letter))
	}
	return t.in.say("alt.quilt", "quilt", t.p.Quilt, "size", t.by(t.p.Finished.Width, t.p.Finished.Height), "fabrics", t.list(names))
}

// AltBlock says what the picture of a block shows. letters are the fabrics in it.
func (t *Teller) AltBlock(b *plan.Block, letters []string) string {
	names := make([]string, len(letters))
	for i, l := range letters {
		names[i] = t.Fabric(l)
	}
	return t.in.say("alt.block", "block", b.Name, "size", t.by(b.Finished.Width, b.Finished.Height),
		"patches", b.Patches, "noun", t.in.noun(b.Patches, "patch"), "fabrics", t.list(names))
}

// AltUnit says what the picture of a unit shows.
func (t *Teller) AltUnit(u *plan.Unit) string {
	return t.in.say("alt.unit", "unit", capital(t.Name(u.ID)), "size", t.by(u.Size.Width, u.Size.Height))
}

// AltLayout tells the layout row by row, with the turn of every block.
func (t *Teller) AltLayout() string {
	names := map[string]string{}
	for _, b := range t.p.Blocks {
		names[b.ID] = b.Name
	}
	rows := map[int][]string{}
	last := 0
	for _, q := range t.p.Placed {
		cell := t.in.say("alt.layout.cell", "block", names[q.Block])
		if q.Mirror {
			cell = t.in.say("alt.layout.mirrored", "block", names[q.Block], "turn", q.Turn)
		} else if q.Turn != 0 {
			cell = t.in.say("alt.layout.turned", "block", names[q.Block], "turn", q.Turn)
		}
		rows[q.Row] = append(rows[q.Row], cell)
		last = max(last, q.Row)
	}
	var out []string
	for r := 1; r <= last; r++ {
		if len(rows[r]) > 0 {
			out = append(out, t.in.say("alt.layout.row", "row", r, "blocks", strings.Join(rows[r], ", ")))
		}
	}
	return t.in.say("alt.layout", "rows", t.p.Layout.Rows, "columns", t.p.Layout.Columns, "cells", strings.Join(out, "; "))
}

// AltStrip tells a strip and what is cut from it.
func (t *Teller) AltStrip(f *plan.Fabric, s *plan.Strip) string {
	if down, _, is := t.Row(s); is {
		return t.in.say("alt.row", "fabric", t.Fabric(f.Letter), "does", t.rowStrip(f, s, down).String())
	}
	var runs []string
	for _, g := range s.Segments() {
		run := func(c plan.Cuts, n int) string {
			says := t.in.say("strips.run", "count", n, "noun", t.in.noun(n, "piece"), "label", c.Label)
			if t.Turned(&c) {
				says = t.in.say("alt.strip.turned", "run", says)
			}
			return says
		}
		if len(g) == 1 {
			runs = append(runs, run(g[0], g[0].Count))
			continue
		}
		var stack []string
		for _, c := range g {
			stack = append(stack, run(c, 1))
		}
		runs = append(runs, t.in.say("alt.strip.again", "segments", t.count(g[0].Count, "segment"), "runs", t.list(stack)))
	}
	strips := t.count(s.Count, "strip")
	if s.Left > 0 {
		return t.in.say("alt.strip.left", "strips", strips, "fabric", t.Fabric(f.Letter), "height", t.length(s.Height), "runs", t.list(runs), "left", t.LeftBox(s.Left, s.Height))
	}
	return t.in.say("alt.strip", "strips", strips, "fabric", t.Fabric(f.Letter), "height", t.length(s.Height), "runs", t.list(runs))
}

// CutMark is the number of a cut of a strip, counted from 0, with the letter of a run of parts of its segments where those are cut again:
// 2, or 2a; run is -1 for all of it.
func (t *Teller) CutMark(cut, run int) string {
	letters := ""
	for ; run >= 0; run = run/26 - 1 {
		letters = string(rune('a'+run%26)) + letters
	}
	return strconv.Itoa(cut+1) + letters
}

// Turned says of what is cut whether it lies a quarter turn round from how its size is printed, where that can be seen and is not plain: the
// long side of a strip lies along the strip.
func (t *Teller) Turned(c *plan.Cuts) bool {
	p := t.pieces[c.Label]
	return c.Turned && p != nil && !near(p.Width, p.Height) && p.Shape != "strip" && p.Shape != "joined strip"
}

// FoldMark is the word at the fold of a strip.
func (t *Teller) FoldMark() string { return t.in.say("fold") }

// AlongMark are the words at a strip that runs along the selvage.
func (t *Teller) AlongMark() string { return t.in.say("along") }

// LeftBox names what is left at the end of a strip.
func (t *Teller) LeftBox(w, h plan.Num) string { return t.in.say("left.box", "size", t.by(w, h)) }

// Alike is "× 3".
func (t *Teller) Alike(n int) string { return t.in.say("alike", "count", n) }

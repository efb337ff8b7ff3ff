package words

import (
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"testing"

	"quiltwright/internal/plan"
)

// What is changed in the plan is heard to be changed: the sentences of a plan with one value altered are not true of the plan as it was.
func TestChangedStepsAreHeard(t *testing.T) {
	all := plans(t)
	tried := map[string]int{}
	for _, name := range names(all) {
		p := all[name]
		src, err := json.Marshal(p)
		if err != nil {
			t.Fatal(err)
		}
		changed := &plan.Plan{}
		if err := json.Unmarshal(src, changed); err != nil {
			t.Fatal(err)
		}
		for form, of := range forms {
			c, tell := newCourt(t, p, of(p)), of(changed)
			for i := range p.Steps {
				for _, m := range c.changes(changed, i, tell) {
					m.make()
					heard, says := len(c.try(tell, i)) > 0, tell.Step(i)
					m.back()
					tried[m.what]++
					if !heard {
						t.Errorf("%s, %s, step %d: %s is not heard: “%s”, now “%s”", name, form, i, m.what, tell.Step(i).Do.Plain(), says.Do.Plain())
					}
				}
			}
		}
	}
	for _, what := range []string{"one more batch", "one more made", "one left over", "a larger size", "a longer panel", "wider binding", "another offset", "another segment", "wider segments", "another trim", "a point farther in", "a point aslant",
		"pressed open", "pressed the other way", "spun at one crossing less", "another piece", "another overlap", "the other part on top", "nothing to watch", "no lay", "no mark", "no stitch", "no cut", "no press", "no trim"} {
		if tried[what] == 0 {
			t.Errorf("no step was tried with %s", what)
		}
	}
}

// change is one value of a plan, altered and put back.
type change struct {
	what       string
	make, back func()
}

// altered makes a change of a value to another.
func altered[T any](what string, at *T, to T) change {
	was := *at
	return change{what, func() { *at = to }, func() { *at = was }}
}

// together makes several changes one.
func together(what string, all []change) change {
	each := func(do func(change)) func() {
		return func() {
			for _, c := range all {
				do(c)
			}
		}
	}
	return change{what, each(func(c change) { c.make() }), each(func(c change) { c.back() })}
}

// changes are those that a step of the changed plan is tried with.
func (c *court) changes(p *plan.Plan, i int, t *Teller) []change {
	s := &p.Steps[i]
	r := recipe(p, s.Recipe)
	var out []change
	add := func(c change) { out = append(out, c) }
	if r == nil {
		if b := p.Finish.Backing; b != nil && s.Says.Verb == "back" {
			add(altered("a longer panel", &b.Panel, b.Panel+1))
		}
		if s.Says.Width > 0 {
			add(altered("wider binding", &s.Says.Width, s.Says.Width+0.5))
		}
		return out
	}
	says := string(t.Step(i).Do)
	j := c.judge(recipe(c.p, s.Recipe))
	j.first, j.last, j.told = s.First, min(s.Last, len(r.Do)-1), map[int]bool{}
	add(altered("one more batch", &s.Count, s.Count+1))
	if s.Makes > 0 {
		add(altered("one more made", &s.Makes, s.Makes+1))
	}
	add(altered("one left over", &s.Surplus, s.Surplus+1))
	if s.Size != nil {
		add(altered("a larger size", &s.Size[0], s.Size[0]+0.5))
	}
	// What is done to several works alike is said once, so it is altered for all.
	without, offset := map[string][]change{}, []change{}
	for k := j.first; k <= j.last; k++ {
		op := &r.Do[k]
		without[op.Op] = append(without[op.Op], altered("", &op.Op, "nothing"))
		switch {
		case op.Op == "stitch" && op.Offset != 0:
			offset = append(offset, altered("", &op.Offset, 2*op.Offset))
		case op.Op == "cut" && op.Times > 0:
			add(altered("another segment", &op.Times, op.Times+1))
			add(altered("wider segments", &op.Every, op.Every+0.5))
		case op.Op == "trim" && !strings.Contains(says, t.in["trim.even"][:20]) && !strings.Contains(says, strings.SplitAfter(t.in["trim.mitre.own"], "}")[1]): // these name no size
			if strings.Contains(says, t.in["trim.tips"][strings.Index(t.in["trim.tips"], "{past}")+len("{past}"):][:13]) { // of what a part is trimmed to, only the cuts matter
				for n := range t.units[r.Unit].Tips {
					if tip := &t.units[r.Unit].Tips[n]; tip.Part == op.Work {
						add(altered("a point farther in", &tip.In, tip.In+0.125))
						add(altered("a point aslant", &tip.Angle, tip.Angle+10))
					}
				}
				continue
			}
			add(altered("another trim", &op.To, grown(op.To)))
		case op.Op == "press" && op.Toward != nil:
			add(altered("pressed open", &op.Toward, nil))
			if other := j.across(k); other >= 0 {
				add(altered("pressed the other way", &op.Toward, &other))
			}
			if n := len(op.Spun); n > 0 {
				add(altered("spun at one crossing less", &op.Spun, op.Spun[:n-1]))
			}
		}
	}
	for _, kind := range []string{"lay", "mark", "stitch", "cut", "press", "trim"} {
		if len(without[kind]) > 0 {
			add(together("no "+kind, without[kind]))
		}
	}
	if len(offset) > 0 {
		add(together("another offset", offset))
	}
	for _, q := range p.Pieces {
		var takes []change
		other := slices.IndexFunc(p.Pieces, func(o plan.Piece) bool { return o.Label != q.Label })
		for k := range r.From {
			if r.From[k].Piece == q.Label && other >= 0 && strings.Contains(says, label(q.Label)) {
				takes = append(takes, altered("", &r.From[k].Piece, p.Pieces[other].Label))
			}
		}
		if len(takes) > 0 {
			add(together("another piece", takes))
		}
	}
	u := p.Index().Units[r.Unit]
	var unwatched []change
	for k := range j.by.Units[r.Unit].Joins {
		m := &j.by.Units[r.Unit].Joins[k]
		if m.Watched == "" || !slices.Contains(j.sewn(func(*plan.Join) bool { return true }), m) {
			continue
		}
		if other := m.Parts[0] + m.Parts[1] - m.Top; u.Parts[other].Unit != u.Parts[m.Top].Unit && !strings.Contains(says, t.in["watch.each"]) {
			add(altered("the other part on top", &u.Joins[k].Top, other))
		}
		unwatched = append(unwatched, altered("", &u.Joins[k].Watched, ""))
	}
	if len(unwatched) > 0 {
		add(together("nothing to watch", unwatched))
	}
	for _, m := range j.meets() {
		k := slices.IndexFunc(j.by.Units[r.Unit].Joins, func(o plan.Join) bool { return o.Seam == m.Seam })
		joins := p.Index().Units[r.Unit].Joins
		for a := range joins[k].Align {
			add(altered("another overlap", &joins[k].Align[a].Past, joins[k].Align[a].Past+0.25))
		}
	}
	return out
}

// across is the part on the other side of the seam that operation i presses; -1 where none is.
func (j *judge) across(i int) int {
	op := j.r.Do[i]
	for k, o := range j.r.Do[:i] {
		if o.Op == "stitch" && j.number(k) == op.Seam {
			below, above, _ := j.sides(k)
			if slices.Contains(below, *op.Toward) {
				below, above = above, below
			}
			for _, part := range below {
				if part != *op.Toward && !slices.Contains(above, part) {
					return part
				}
			}
		}
	}
	return -1
}

// grown is an outline an eighth larger from its first point.
func grown(ps []plan.Point) []plan.Point {
	out := make([]plan.Point, len(ps))
	for i, p := range ps {
		out[i] = plan.Point{ps[0][0] + (p[0]-ps[0][0])*9/8, ps[0][1] + (p[1]-ps[0][1])*9/8}
	}
	return out
}

// Sentences that would say something else are heard to be false: with two templates, or two words for a direction, exchanged.
func TestExchangedSentencesAreHeard(t *testing.T) {
	all := plans(t)
	for form, of := range forms {
		courts := map[string]*court{}
		for _, name := range names(all) {
			courts[name] = newCourt(t, all[name], of(all[name]))
		}
		for _, two := range [][2]string{
			{"side.left", "side.right"}, {"side.top", "side.bottom"}, {"side.upper left", "side.lower right"}, {"way.left", "way.right"}, {"way.top", "way.bottom"}, {"way.upper left", "way.lower right"},
			{"corner.upper left", "corner.lower right"}, {"end.left", "end.right"}, {"seams.both", "seams.all"},
			{"join.run.right", "join.run.down"}, {"join.run", "join.run.right"}, {"join.twins.right", "join.twins.down"}, {"mark.corner", "mark.both"}, {"lay.on", "lay.free"}, {"sew.on", "sew.on.lines"},
			{"cut.down", "cut.across"}, {"cut.on", "cut.drawn"}, {"cut.off", "cut.square end"}, {"trim", "trim.corners"}, {"press.open", "turn.open"}, {"do.layer", "do.even"}, {"do.cut.all", "do.cut"}, {"noun.flying geese", "noun.half square"},
			{"note.chain", "note.surplus"},
		} {
			heard := false
			for _, name := range names(all) {
				lies := of(all[name])
				lies.in = maps.Clone(lies.in)
				lies.in[two[0]], lies.in[two[1]] = lies.in[two[1]], lies.in[two[0]]
				for i := range all[name].Steps {
					heard = heard || len(courts[name].try(lies, i)) > 0
				}
				if heard {
					break
				}
			}
			if !heard {
				t.Errorf("%s: with “%s” and “%s” exchanged all is heard as before", form, two[0], two[1])
			}
		}
	}
}

// A brief form says what the full one says: it has the same slots, and is no longer.
func TestBriefSaysTheSame(t *testing.T) {
	c, err := readCatalogue(english)
	if err != nil {
		t.Fatal(err)
	}
	slots := func(template string) []string {
		found := slotPattern.FindAllString(template, -1)
		slices.Sort(found)
		return slices.Compact(found)
	}
	forms := 0
	for _, key := range c.keys() {
		full, is := strings.CutSuffix(key, "/brief")
		if !is {
			continue
		}
		forms++
		if c[full] == "" {
			t.Errorf("“%s” is the brief form of nothing", key)
		}
		if a, b := slots(c[full]), slots(c[key]); !slices.Equal(a, b) {
			t.Errorf("“%s” tells %v, the full form %v", key, b, a)
		}
		if len(c[key]) >= len(c[full]) {
			t.Errorf("“%s” is as long as the full form: “%s”, “%s”", key, c[key], c[full])
		}
	}
	if forms == 0 {
		t.Error("nothing has a brief form")
	}
}

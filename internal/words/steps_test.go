package words

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"quiltwright/internal/plan"
)

// forms are the two ways of saying everything.
var forms = map[string]func(*plan.Plan) *Teller{"full": Of, "brief": Brief}

// Every sentence of every step is heard in one way only, and says what the operations of the step do; every operation is told.
func TestStepsReadBack(t *testing.T) {
	all := plans(t)
	for form, of := range forms {
		told := map[string]int{}
		for _, name := range names(all) {
			c := newCourt(t, all[name], of(all[name]))
			for i := range all[name].Steps {
				for _, wrong := range c.try(of(all[name]), i) {
					t.Errorf("%s, %s: %s", name, form, wrong)
				}
			}
			for k, n := range c.told {
				told[k] += n
			}
		}
		for _, key := range []string{"mark.corner", "mark.both", "mark.across", "lay.on", "lay.overlap", "lay.free", "lay.across", "lay.corner", "lay.crossed", "sew.either", "sew.either.lines", "sew.on",
			"join.side", "join.run", "join.run.right", "join.run.down", "join.numbered.down", "join.twins.right", "join.twins.down", "join.long", "join.partial", "join.finish", "join.to dot", "join.dot to dot", "join.set", "join.set.both",
			"cut.on", "cut.off", "cut.square end", "cut.segments", "trim", "trim.corners", "trim.even", "trim.mitre", "trim.mitre.own", "press.toward", "press.open", "press.toward.all", "press.turns", "press.way",
			"note.chain", "note.makes", "note.surplus", "note.hands", "note.surplus.of", "note.dots", "note.clip", "align", "align.both", "align.middles", "do.back", "do.layer", "do.even", "do.lengthen", "do.bind", "do.measure"} {
			if told[key] == 0 {
				t.Errorf("%s: no step says “%s”", form, key)
			}
		}
	}
}

// court tries what a teller says of a plan's steps against the plan.
type court struct {
	t      testing.TB
	p      *plan.Plan
	in     catalogue
	names  map[string]string // of units that are sewn
	pieces map[string]string // of those that are cut
	judges map[string]*judge
	told   map[string]int // how often each sentence was said
}

// newCourt takes the names of units, and nothing else, from a teller of the plan.
func newCourt(tb testing.TB, p *plan.Plan, t *Teller) *court {
	c := &court{t: tb, p: p, in: t.in, names: map[string]string{}, pieces: map[string]string{}, judges: map[string]*judge{}, told: map[string]int{}}
	for _, u := range p.Units {
		if c.pieces[u.ID] = u.Piece; u.Piece == "" {
			c.names[u.ID] = t.marked(u.ID)
		}
	}
	return c
}

// at is what lies at hand when a recipe is sewn.
func (c *court) at(r *plan.Recipe) map[string]string {
	out := map[string]string{}
	for _, f := range r.From {
		switch piece := f.Piece + c.pieces[f.Unit]; piece {
		case "":
			out[f.Unit] = c.names[f.Unit]
		default:
			out[piece] = label(piece)
		}
	}
	return out
}

// try says what is wrong with what a teller says of step i.
func (c *court) try(t *Teller, i int) []string {
	s := &c.p.Steps[i]
	said := t.Step(i)
	var wrong []string
	bad := func(what Text, format string, args ...any) {
		wrong = append(wrong, fmt.Sprintf("step %d: “%s”: ", i, what.Plain())+fmt.Sprintf(format, args...))
	}
	r := recipe(c.p, s.Recipe)
	if r == nil {
		c.other(s, said, bad)
		return wrong
	}
	j := c.judge(r)
	ways := j.l.sentences(string(said.Do))
	if len(ways) != 1 {
		bad(said.Do, "heard in %d ways: %v", len(ways), ways)
		return wrong
	}
	j.first, j.last, j.told, j.watching, j.tipped = s.First, min(s.Last, len(r.Do)-1), map[int]bool{}, map[*plan.Join]bool{}, map[int]int{}
	for _, h := range ways[0] {
		c.told[h.key]++
		if !j.does(h.key, h.slots) {
			bad(said.Do, "no operation is what %s says, %v", h.key, h.slots)
		}
	}
	for k := j.first; k <= j.last; k++ {
		if !j.told[k] {
			bad(said.Do, "operation %d, %s, is not told", k, r.Do[k].Op)
		}
	}
	for _, m := range j.sewn(func(m *plan.Join) bool { return m.Watched == "points" && !j.watching[m] }) {
		bad(said.Do, "the points at %v are not told", m.Watch)
	}
	if size, ok := j.l.size(string(said.Check)); ok != (s.Size != nil) || ok && !(nearly(size.box[0], float64(s.Size[0])) && nearly(size.box[1], float64(s.Size[1]))) {
		bad(said.Check, "the step comes out as %v", s.Size)
	}
	c.notes(j, s, said.Notes, bad)
	return wrong
}

// judge carries a recipe out once.
func (c *court) judge(r *plan.Recipe) *judge {
	if c.judges[r.ID] == nil {
		j, err := newJudge(c.p, r)
		if err != nil {
			c.t.Fatalf("%v", err)
		}
		made := map[string]string{}
		for _, m := range r.Makes {
			made[m.Unit] = c.names[m.Unit]
		}
		j.l = listen(c.in, c.at(r), made)
		c.judges[r.ID] = j
	}
	return c.judges[r.ID]
}

// notes judges the remarks of a step: each is heard in one way and is so, and none is missing.
func (c *court) notes(j *judge, s *plan.Step, notes []Text, bad func(what Text, format string, args ...any)) {
	chain, makes, surplus := s.Count > 1, s.Makes > 0, s.Surplus > 0
	over := map[string]int{} // of several that are finished, how many are left over
	if len(s.Also) > 0 {
		over[s.Unit], surplus = s.Surplus, false
	}
	for _, a := range s.Also {
		over[a.Unit] = a.Surplus
	}
	var bias []string // pieces that the first step of a recipe takes, with an edge off the grain
	for _, f := range j.r.From {
		l := f.Piece + c.pieces[f.Unit]
		if k := slices.IndexFunc(c.p.Pieces, func(q plan.Piece) bool { return q.Label == l }); s.First == 0 && k >= 0 && len(c.p.Pieces[k].Bias) > 0 && !slices.Contains(bias, l) {
			bias = append(bias, l)
		}
	}
	meets := j.meets()
	told := map[*plan.Join]bool{}
	middles := j.trimsLater()
	clip, dots := j.clipped()
	clip = slices.DeleteFunc(clip, func(p int) bool { return c.pieces[j.id(p)] == "" && c.names[j.id(p)] != "" }) // what is sewn opens along its seams
	for _, n := range notes {
		ways := j.l.hear(string(n), "note.chain", "note.makes", "note.hands", "note.surplus", "note.surplus.of", "note.bias", "note.from", "note.top", "note.top.of", "note.dots", "note.clip", "align", "align.both", "align.middles")
		if len(ways) != 1 {
			bad(n, "heard in %d ways: %v", len(ways), ways)
			continue
		}
		c.told[ways[0].key]++
		x := ways[0].slots
		ok := false
		switch ways[0].key {
		case "note.chain":
			ok, chain = chain && int(x["count"].n) == s.Count, false
		case "note.makes":
			noun := x["noun"].word
			ok, makes = makes && int(x["count"].n) == s.Makes && (noun == j.by.Units[s.Unit].Kind || noun == "short row"), false
		case "note.hands":
			ok, makes = makes && len(s.Also) == 1 && x["thing"].ref.id == s.Unit && x["other"].ref.id == s.Also[0].Unit && int(x["count"].n) == s.Makes && s.Makes == s.Also[0].Makes && j.mirrored(s.Unit, s.Also[0].Unit), false
		case "note.surplus.of":
			id := x["thing"].ref.id
			ok = over[id] > 0 && int(x["count"].n) == over[id]
			delete(over, id)
		case "note.dots":
			ok, dots = dots && nearly(x["seam"].n, float64(c.p.Seam)), false
		case "align.middles":
			ok, middles = middles, false
		case "note.clip":
			before := len(clip)
			clip = slices.DeleteFunc(clip, func(p int) bool { return j.id(p) == x["thing"].ref.id })
			ok = len(clip) < before
		case "note.bias":
			ok, bias = len(bias) > 0 && slices.EqualFunc(x["list"].list, bias, func(v value, l string) bool { return v.ref.id == l }), nil
		case "note.from":
			t := j.by.Units[s.Unit].Trim
			near := func(said float64, is plan.Num) bool { return math.Abs(said-float64(is)) <= 1.0/18 }
			ok = t != nil && t.From != nil && near(x["size"].box[0], t.From.Width) && near(x["size"].box[1], t.From.Height)
		case "note.top", "note.top.of":
			var under *ref
			if r := x["under"].ref; ways[0].key == "note.top.of" {
				under = &r
			}
			for _, m := range j.sewn(func(m *plan.Join) bool { return m.Watched == "seams" }) {
				if j.isTop(m, x["thing"].ref, under) {
					ok, j.watching[m] = true, true
				}
			}
		case "note.surplus":
			ok, surplus = surplus && int(x["count"].n) == s.Surplus, false
		default:
			for _, m := range meets {
				if j.passes(m, ways[0].key, x) {
					ok, told[m] = true, true
				}
			}
		}
		if !ok {
			bad(n, "it is not so")
		}
	}
	if middles {
		bad(Text(fmt.Sprint(notes)), "that the middles are matched is not told")
	}
	if dots || len(clip) > 0 {
		bad(Text(fmt.Sprint(notes)), "where seams stop at dots is not told, or which of %v is clipped", clip)
	}
	if len(bias) > 0 {
		bad(Text(fmt.Sprint(notes)), "that %v have bias edges is not told", bias)
	}
	for id, n := range over {
		if n > 0 {
			bad(Text(fmt.Sprint(notes)), "that %d of %s are left over is not told", n, id)
		}
	}
	if chain || makes || surplus {
		bad(Text(fmt.Sprint(notes)), "the step is done %d times, makes %d, of which %d are left over", s.Count, s.Makes, s.Surplus)
	}
	for _, m := range j.sewn(func(m *plan.Join) bool { return m.Watched == "seams" && !j.watching[m] }) {
		top := j.by.Units[j.r.Unit].Parts[m.Top].Unit
		if !slices.ContainsFunc(j.sewn(func(m *plan.Join) bool { return m.Watched == "points" }), func(o *plan.Join) bool { return j.by.Units[j.r.Unit].Parts[o.Top].Unit == top }) {
			bad(Text(fmt.Sprint(notes)), "that part %d lies on top is not told", m.Top)
		}
	}
	for _, m := range meets {
		if !told[m] {
			bad(Text(fmt.Sprint(notes)), "how the edges at %v pass one another is not told: %v", m.Seam, m.Align)
		}
	}
}

// other judges a step that no recipe makes.
func (c *court) other(s *plan.Step, said Said, bad func(what Text, format string, args ...any)) {
	all := map[string]string{}
	for id, name := range c.names {
		all[id] = name
	}
	for _, q := range c.p.Pieces {
		all[q.Label] = label(q.Label)
	}
	l := listen(c.in, all, nil)
	l.keys = slices.DeleteFunc(l.keys, func(k string) bool { return !strings.HasPrefix(k, "do.") })
	ways := l.sentences(string(said.Do))
	if len(ways) != 1 || len(ways[0]) != 1 {
		bad(said.Do, "heard in %d ways: %v", len(ways), ways)
		return
	}
	h := ways[0][0]
	c.told[h.key]++
	x, finish := h.slots, c.p.Finish
	parts := func(v value) bool {
		return slices.EqualFunc(v.list, s.Says.Parts, func(v value, id string) bool { return v.ref.id == id || c.pieces[id] == v.ref.id })
	}
	layers := func() bool {
		var under []string
		for _, v := range x["layers"].list {
			under = append(under, v.word)
		}
		var want []string
		if finish.Backing != nil {
			want = append(want, "backing")
		}
		if finish.Batting != nil {
			want = append(want, "batting")
		}
		return slices.Equal(under, want)
	}
	ok := false
	switch h.key {
	case "do.cut", "do.cut.all":
		ok = s.Says.Verb == "cut" && (h.key == "do.cut") == (len(c.p.Months) > 1)
	case "do.measure":
		ok = s.Says.Verb == "measure" && parts(x["parts"])
	case "do.back":
		ok = s.Says.Verb == "back" && int(x["count"].n) == finish.Backing.Panels && nearly(x["panel"].n, float64(finish.Backing.Panel)) && x["way"].word == finish.Backing.Seams
		check := l.hear(string(said.Check), "do.back.check")
		ok = ok && len(check) == 1 && alike(check[0].slots["size"].box, [2]float64{float64(finish.Backing.Size.Width), float64(finish.Backing.Size.Height)})
	case "do.layer", "do.even":
		ok = h.key == "do."+s.Says.Verb && layers()
	case "do.lengthen":
		ok = s.Says.Verb == "lengthen" && int(x["count"].n) == finish.Binding.Strips && nearly(x["width"].n, float64(finish.Binding.Strip))
		check := l.hear(string(said.Check), "do.lengthen.check")
		ok = ok && len(check) == 1 && nearly(check[0].slots["length"].n, float64(finish.Binding.Length))
	case "do.bind":
		ok = s.Says.Verb == "bind" && nearly(x["width"].n, float64(finish.Binding.Strip))
	case "do.join":
		ok = parts(x["parts"])
	case "do.plain":
		ok = x["thing"].ref.id == s.Unit
	}
	if !ok {
		bad(said.Do, "it is not what the step does: %v", s.Says)
	}
}

func recipe(p *plan.Plan, id string) *plan.Recipe {
	if k := slices.IndexFunc(p.Recipes, func(r plan.Recipe) bool { return r.ID == id }); k >= 0 {
		return &p.Recipes[k]
	}
	return nil
}

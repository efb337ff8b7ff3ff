package words

import (
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"

	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// Said is a step in words: what to do, the size to check where the eye ends up, and remarks.
type Said struct {
	Web      Text // at the first row of a block that can be sewn as a web: how
	Together Text // at the first step of a chain: what is fed through the machine with it
	Do       Text
	Check    Text // "4 1/2 × 2 1/2 in"; empty where the work is no rectangle
	Notes    []Text
}

// Step is the step with this number in the plan, in words.
func (t *Teller) Step(i int) Said {
	s := &t.p.Steps[i]
	r := t.recipes[s.Recipe]
	if r == nil {
		return t.other(s)
	}
	n := t.narrate(r, s.First, s.Last)
	said := Said{Web: t.web(i), Together: t.together(i), Do: Text(strings.Join(n.sentences, " "))}
	if s.Size != nil {
		said.Check = Text(t.Size(s.Size[0], s.Size[1]))
	}
	if s.Count > 1 {
		said.note(t.in.say("note.chain", "count", s.Count))
	}
	if s.First == 0 {
		if bias := t.bias(r); len(bias) > 0 {
			said.note(t.in.say("note.bias", "list", t.list(bias)))
		}
	}
	for _, a := range n.noted {
		said.note(a)
	}
	t.makes(&said, s)
	return said
}

// makes notes what a step finishes, and what of it is left over.
func (t *Teller) makes(said *Said, s *plan.Step) {
	if s.Makes > 0 && t.units[s.Unit] != nil && len(s.Also) == 0 {
		said.note(t.in.say("note.makes", "count", s.Makes, "noun", t.noun(s.Makes, t.units[s.Unit])))
	}
	if s.Surplus > 0 && len(s.Also) == 0 {
		said.note(t.in.say("note.surplus", "count", s.Surplus))
	}
	for _, a := range s.Also {
		said.note(t.in.say("note.hands", "count", s.Makes, "thing", t.Hand(s.Unit), "other", t.Hand(a.Unit)))
		if s.Surplus > 0 {
			said.note(t.in.say("note.surplus.of", "count", s.Surplus, "thing", t.Hand(s.Unit)))
		}
		if a.Surplus > 0 {
			said.note(t.in.say("note.surplus.of", "count", a.Surplus, "thing", t.Hand(a.Unit)))
		}
	}
}

// bias are the pieces that a recipe takes with edges off the grain, which would stretch.
func (t *Teller) bias(r *plan.Recipe) []string {
	var out []string
	for _, f := range r.From {
		name := f.Piece
		if u := t.units[f.Unit]; u != nil {
			name = u.Piece
		}
		if q := t.pieces[name]; q != nil && len(q.Bias) > 0 && !slices.Contains(out, label(name)) {
			out = append(out, label(name))
		}
	}
	return out
}

func (s *Said) note(text string) { s.Notes = append(s.Notes, Text(text)) }

// story is what a span of a recipe says.
type story struct {
	sentences []string
	noted     []string
	trimmed   bool
}

// teller of one recipe's operations.
type narrator struct {
	*Teller
	r        *plan.Recipe
	b        *bench
	ops      []plan.Op
	story    story
	saidOf   map[string]int // a sentence, and the work it was first said of
	aligning map[*plan.Join]bool
}

// narrate tells the operations first..last of a recipe; numbers beyond its end are left out.
func (t *Teller) narrate(r *plan.Recipe, first, last int) story {
	n := &narrator{Teller: t, r: r, b: t.newBench(r), ops: r.Do, saidOf: map[string]int{}, aligning: map[*plan.Join]bool{}}
	last = min(last, len(r.Do)-1)
	for i := 0; i < first && i <= last; i++ {
		n.b.do(r.Do[i])
	}
	for i := max(first, 0); i <= last; {
		i = n.from(i, last)
	}
	return n.story
}

// tell adds a sentence, unless it has been said of another work: what is done to both halves is
// said once.
func (n *narrator) tell(work int, sentence string) {
	sentence = capital(sentence)
	if first, said := n.saidOf[sentence]; said && first != work {
		return
	}
	n.saidOf[sentence] = work
	n.story.sentences = append(n.story.sentences, sentence)
}

// from tells the operation i and those that belong into one sentence with it; it returns the next.
func (n *narrator) from(i, last int) int {
	switch op := n.ops[i]; op.Op {
	case "lay":
		if i < last && n.ops[i+1].Op == "stitch" && n.ops[i+1].Work == op.Work && n.ops[i+1].Allowance > 0 {
			return n.joinRun(i, last)
		}
		return n.lays(i, last)
	case "mark":
		n.b.do(op)
		n.tell(op.Work, n.say("mark.plain"))
		return i + 1
	case "stitch":
		if op.Allowance > 0 {
			n.edge(op)
			return i + 1
		}
		return n.lines(i, last)
	case "cut":
		n.cut(op)
		return i + 1
	case "press":
		end := i
		for end <= last && n.ops[end].Op == "press" {
			end++
		}
		n.press(n.ops[i:end])
		return end
	case "trim":
		if next := n.tips(i, last); next > i {
			return next
		}
		n.trim(op)
	}
	return i + 1
}

func (n *narrator) say(key string, slots ...any) string { return n.in.say(key, slots...) }

// ref is a part in a sentence: its label, or "the goose", or its full name where the recipe has
// another unit of that kind.
func (n *narrator) ref(id string) string {
	u := n.units[id]
	if u == nil || u.Piece != "" {
		return n.marked(id)
	}
	if own := n.rows[id]; own != "" && n.owner(id) == n.b.r.Unit {
		return own
	}
	alike := 0
	for _, f := range n.b.r.From {
		if o := n.units[f.Unit]; o != nil && o.ID != id && o.Piece == "" && (o.Kind == u.Kind && o.Name == "" || o.Name == u.Name && u.Name != "") {
			alike++
		}
	}
	switch {
	case u.Name != "" && alike == 0 && u.Kind != "block":
		return n.called(u)
	case u.Name != "" || n.rows[id] != "":
		return n.names[id]
	case alike == 0:
		return n.short(id)
	}
	return n.say("the", "thing", n.names[id])
}

// owner is the unit of the block that a row was numbered in.
func (n *narrator) owner(row string) string {
	for _, b := range n.p.Blocks {
		if u := n.units[b.Unit]; u != nil {
			for _, p := range u.Parts {
				if p.Unit == row {
					return b.Unit
				}
			}
		}
	}
	return ""
}

func (n *narrator) partRef(p int) string {
	if p < 0 || p >= len(n.b.parts) {
		return n.say("the other part")
	}
	return n.ref(n.b.parts[p].id)
}

// plainRef is a part in a list: without an article.
func (n *narrator) plainRef(p int) string {
	name := strings.TrimPrefix(n.partRef(p), n.say("the", "thing", ""))
	if way := n.wayOf(p); way >= 0 {
		return n.say("way.part", "thing", name, "way", n.say(wayKeys[way]))
	}
	return name
}

// wayKeys name the two ways in which a unit that is made twice over is pressed.
var wayKeys = [2]string{"way.first", "way.second"}

// wayOf is which way part p of a plain recipe is pressed where it is made both ways, else -1.
func (n *narrator) wayOf(p int) int {
	u := n.units[n.r.Unit]
	if n.r.Method != "joined" || u == nil || p >= len(u.Parts) || !n.bothWays(u.Parts[p].Unit) {
		return -1
	}
	return u.Parts[p].Way ^ n.r.Way
}

// bothWays reports whether a unit has two recipes that differ in pressing.
func (t *Teller) bothWays(unit string) bool {
	ways := [2]bool{}
	for i := range t.p.Recipes {
		r := &t.p.Recipes[i]
		if slices.ContainsFunc(r.Makes, func(m plan.Makes) bool { return m.Unit == unit }) {
			ways[r.Way&1] = true
		}
	}
	return ways[0] && ways[1]
}

// many is so many of a part: "two **A4**", "two half squares".
func (n *narrator) many(count int, id string) string {
	u := n.units[id]
	if u == nil || u.Piece != "" {
		return n.say("many", "count", n.number(count), "thing", n.marked(id))
	}
	name := n.ref(id)
	switch {
	case n.rows[id] != "" || u.Kind == "row" && u.Name != "":
		return n.say("many.row", "count", n.number(count), "thing", name)
	case name != n.short(id):
	case u.Name != "":
		kind := "unit"
		if u.Kind == "block" {
			kind = "block"
		}
		return n.say("many.named", "count", n.number(count), "thing", name, "kind", n.in.noun(count, kind))
	default:
		name = n.noun(count, u)
	}
	return n.say("many", "count", n.number(count), "thing", name)
}

// under is what a work is called that something is laid on.
func (n *narrator) under(work int) string {
	w := n.b.work(work)
	switch {
	case w.cuts == 1:
		return n.say("each half")
	case w.cuts > 1:
		return n.say("each part")
	case len(w.lying) == 1:
		return n.partRef(w.lying[0].part)
	}
	p, _ := n.b.base(work)
	return n.ref(p.id)
}

// lays tells pieces that are laid on another and sewn by a line: first what is drawn on them, then
// where they lie.
func (n *narrator) lays(i, last int) int {
	end := i
	for end <= last && (n.ops[end].Op == "lay" || n.ops[end].Op == "mark") {
		end++
	}
	ops := n.ops[i:end]
	var sentences []string
	var work int
	for k := 0; k < len(ops); k++ {
		op := ops[k]
		if op.Op == "mark" {
			for ; k+1 < len(ops) && ops[k+1].Op == "mark" && ops[k+1].Work == op.Work && crosses(op, ops[k+1]); k++ {
				n.b.do(op) // the first of two diagonals is told with the second
				op = ops[k+1]
			}
			n.b.do(op)
			sentences = append([]string{n.mark(op)}, sentences...)
			continue
		}
		// The same thing laid on the same work again and again is one sentence.
		id, places := n.laidID(op), []plan.Op{op}
		for k+1 < len(ops) && ops[k+1].Op == "lay" && ops[k+1].Work == op.Work && n.laidID(ops[k+1]) == id && id != "" {
			k++
			places = append(places, ops[k])
		}
		work = op.Work
		sentences = append(sentences, n.lay(id, places))
	}
	told := map[string]bool{}
	for _, s := range sentences {
		if !told[s] {
			told[s] = true
			n.tell(work, s)
		}
	}
	return end
}

// laidID is the piece or unit that a lay operation lays, "" for a work of several.
func (n *narrator) laidID(op plan.Op) string {
	if w := n.b.work(op.Part); len(w.lying) == 1 && w.cuts == 0 {
		return n.b.parts[w.lying[0].part].id
	}
	return ""
}

func (n *narrator) lay(id string, places []plan.Op) string {
	op := places[0]
	under := n.under(op.Work)
	base, _ := n.b.base(op.Work)
	laid := n.say("the other half")
	if id != "" {
		laid = n.ref(id)
	}
	if op.Face == "up" {
		n.b.do(op)
		return n.say("lay.up", "laid", laid, "under", under)
	}
	if n.b.sewnHalves(op) {
		up, down := n.b.work(op.Part).lying, n.b.work(op.Work).lying
		says := n.say("lay.seams", "laid", n.partRef(up[len(up)-1].part), "under", n.partRef(down[0].part), "one", n.partRef(up[0].part), "other", n.partRef(down[len(down)-1].part))
		n.b.do(op)
		return says
	}
	free := n.b.work(op.Work).cuts > 0
	var corners []string
	var at []pt
	for _, p := range places {
		n.b.do(p)
		w := n.b.work(p.Work)
		top := n.b.placed(w.lying[len(w.lying)-1])
		if w.across || areaOf(top) > 0.9*areaOf(base.raw) {
			continue
		}
		for _, q := range base.raw {
			if corner(top, q) >= 0 {
				at = append(at, q)
				corners = append(corners, n.say("corner."+side(flat.Sub(flat.Apply(n.b.view(p.Work), q), flat.Apply(n.b.view(p.Work), centre(base.raw))))))
				break
			}
		}
	}
	switch {
	case n.b.work(op.Work).across:
		return n.say("lay.across", "laid", laid, "under", under)
	case len(corners) != len(places):
		if id != "" && base.id == id && len(places) == 1 {
			if n.units[id] != nil && n.units[id].Piece == "" {
				return n.say("lay.crossed", "laid", n.many(2, id))
			}
			return n.say("lay.pair", "laid", n.many(2, id))
		}
		return n.say("lay.on", "laid", laid, "under", under)
	case free:
		return n.say("lay.free", "laid", laid, "under", under)
	case len(places) == 1:
		return n.say("lay.corner", "laid", laid, "under", under, "corner", corners[0])
	case len(places) == 2 && meet(middle(at[0], at[1]), centre(base.raw)):
		if areaOf(n.b.parts[op.Part].raw) > 0.25*areaOf(base.raw) {
			return n.say("lay.overlap", "laid", n.many(2, id), "under", under)
		}
		return n.say("lay.opposite", "laid", n.many(2, id), "under", under)
	case len(places) == len(base.raw):
		return n.say("lay.each", "laid", laid, "under", under)
	}
	return n.say("lay.corners", "laid", n.many(len(places), id), "under", under, "corners", n.list(corners))
}

// mark says where a line is drawn, on the wrong side of what was laid last.
func (n *narrator) mark(op plan.Op) string {
	w := n.b.work(op.Work)
	if op.Line == nil || len(w.lying) == 0 {
		return n.say("mark.plain")
	}
	if w.seams {
		return n.say("mark.across", "laid", n.say("one of them", "thing", n.in.noun(1, "half square")))
	}
	line := segment(op.Line)
	var on string
	both := false
	for i := len(w.lying) - 1; i >= 0; i-- {
		l := w.lying[i]
		ps := n.b.placed(l)
		if !onDiagonal(ps, line) {
			continue
		}
		on = n.partRef(l.part)
		for _, o := range w.lying {
			if o.part != l.part && n.b.parts[o.part].id == n.b.parts[l.part].id && onDiagonal(n.b.placed(o), line) {
				on = n.say("each", "thing", on)
				break
			}
		}
		for _, m := range w.marks[:len(w.marks)-1] {
			both = both || onDiagonal(ps, m) && crossing(m, line)
		}
		if u := n.b.parts[l.part].unit; u != nil && len(u.Joins) > 0 {
			s := [2]pt{flat.At(u.Joins[0].Seam[0]), flat.At(u.Joins[0].Seam[1])}
			if across := flat.Apply(l.pose, s[0]); crossing([2]pt{across, flat.Apply(l.pose, s[1])}, line) {
				return n.say("mark.across", "laid", n.say("one of them", "thing", n.marked(n.b.parts[l.part].id)))
			}
		}
		break
	}
	switch {
	case on == "":
		return n.say("mark.plain")
	case both:
		return n.say("mark.both", "laid", on)
	}
	return n.say("mark.corner", "laid", on)
}

// onDiagonal says whether a line runs through two corners of a four-sided outline.
func onDiagonal(ps []pt, line [2]pt) bool {
	hit := 0
	for _, p := range ps {
		if d := fromLine(line, p); d < slack && d > -slack {
			hit++
		}
	}
	return hit == 2 && len(ps) == 4
}

// crossing says whether two lines meet at a wide angle.
func crossing(a, b [2]pt) bool {
	d, e := flat.Sub(a[1], a[0]), flat.Sub(b[1], b[0])
	turn := d[0]*e[1] - d[1]*e[0]
	return turn*turn > 0.5*flat.Dot(d, d)*flat.Dot(e, e)
}

// crosses says whether two drawn lines cross in the middle.
func crosses(a, b plan.Op) bool {
	if a.Line == nil || b.Line == nil {
		return false
	}
	l, m := segment(a.Line), segment(b.Line)
	return crossing(l, m) && meet(middle(l[0], l[1]), middle(m[0], m[1]))
}

// lines tells stitches beside drawn lines.
func (n *narrator) lines(i, last int) int {
	end, work := i, n.ops[i].Work
	type beside struct {
		line        [2]pt
		left, right plan.Num
	}
	var order []*beside // of each line: stitches that go on along it are beside the same
	for end <= last && n.ops[end].Op == "stitch" && n.ops[end].Allowance == 0 && n.ops[end].Work == work && n.ops[end].Along != nil {
		op := n.ops[end]
		n.b.do(op)
		line := segment(op.Along)
		offset := op.Offset
		if line[0][0] > line[1][0]+slack || line[0][0] > line[1][0]-slack && line[0][1] > line[1][1] {
			line[0], line[1], offset = line[1], line[0], -offset
		}
		k := slices.IndexFunc(order, func(o *beside) bool {
			d0, d1 := fromLine(o.line, line[0]), fromLine(o.line, line[1])
			return d0*d0 < slack*slack && d1*d1 < slack*slack
		})
		if k < 0 {
			k = len(order)
			order = append(order, &beside{line: line})
		}
		if offset > 0 {
			order[k].right = offset
		} else if offset < 0 {
			order[k].left = -offset
		}
		end++
	}
	if end == i {
		n.b.do(n.ops[i])
		return i + 1
	}
	first := order[0]
	for _, o := range order[1:] {
		if o.left != first.left || o.right != first.right {
			n.tell(work, n.say("sew.drawn"))
			return end
		}
	}
	several := len(order) > 1
	switch {
	case first.left == 0 && first.right == 0 && several:
		n.tell(work, n.say("sew.on.lines"))
	case first.left == 0 && first.right == 0:
		n.tell(work, n.say("sew.on"))
	case near(first.left, first.right) && several:
		n.tell(work, n.say("sew.either.lines", "offset", n.length(first.left), "count", n.number(len(order))))
	case near(first.left, first.right):
		n.tell(work, n.say("sew.either", "offset", n.length(first.left)))
	default:
		n.tell(work, n.say("sew.beside", "offset", n.length(max(first.left, first.right))))
	}
	return end
}

// cut tells a cut: on a drawn line, into segments, a corner off, or straight across.
func (n *narrator) cut(op plan.Op) {
	if op.Line == nil {
		n.b.do(op)
		return
	}
	if op.Times > 0 {
		n.tell(op.Work, n.say("cut.segments", "times", strconv.Itoa(op.Times), "noun", n.in.noun(op.Times, "segment"), "every", n.length(op.Every)))
		n.b.do(op)
		return
	}
	w, line := n.b.work(op.Work), segment(op.Line)
	waste := !n.b.used[n.b.next]
	sentence := ""
	for _, m := range w.marks {
		if d0, d1 := fromLine(m, line[0]), fromLine(m, line[1]); d0*d0 < slack*slack && d1*d1 < slack*slack {
			sentence = n.say("cut.on")
		}
	}
	if waste {
		for k := len(n.b.seams) - 1; k >= 0 && sentence == ""; k-- {
			s := n.b.seams[k]
			if d0, d1 := fromLine(s.line, line[0]), fromLine(s.line, line[1]); s.drawn && math.Abs(d0-d1) < slack {
				sentence = n.say("cut.off", "distance", n.length(plan.Num(max(d0, -d0))))
			}
		}
	}
	if base, _ := n.b.base(op.Work); sentence == "" && len(base.raw) > 0 {
		lo, _ := flat.Box(base.raw)
		switch {
		case waste && near(plan.Num(line[0][0]), plan.Num(line[1][0])):
			sentence = n.say("cut.square end", "distance", n.length(plan.Num(line[0][0]-lo[0])))
		case near(plan.Num(line[0][0]), plan.Num(line[1][0])):
			sentence = n.say("cut.down", "distance", n.length(plan.Num(line[0][0]-lo[0])))
		case near(plan.Num(line[0][1]), plan.Num(line[1][1])):
			sentence = n.say("cut.across", "distance", n.length(plan.Num(line[0][1]-lo[1])))
		}
	}
	if sentence == "" {
		sentence = n.say("cut.drawn")
	}
	n.tell(op.Work, sentence)
	n.b.do(op)
}

// trim tells what a work is cut down to, and where its seams must lie in that.
func (n *narrator) trim(op plan.Op) {
	to := make([]pt, len(op.To))
	for i, p := range op.To {
		to[i] = flat.At(p)
	}
	if len(to) < 3 {
		return
	}
	n.story.trimmed = true
	view := n.b.view(op.Work)
	lo, hi := flat.Box(flat.Each(view, to))
	size := n.Size(plan.Num(hi[0]-lo[0]), plan.Num(hi[1]-lo[1]))
	if areaOf(to) < 0.999*(hi[0]-lo[0])*(hi[1]-lo[1]) {
		if n.mitre(op.Work, to) {
			return
		}
		if u := n.units[n.b.r.Unit]; u != nil && u.Kind == "setting" {
			n.tell(op.Work, n.say("trim.even", "thing", n.marked(u.ID)))
			return
		}
		n.tell(op.Work, n.say("trim.shape", "size", size))
		return
	}
	key, slots := n.marks()
	n.tell(op.Work, n.say(key, append(slots, "size", size)...))
	if u := n.units[n.b.r.Unit]; u != nil && u.Trim != nil && u.Trim.From != nil {
		t := u.Trim
		if w, h := t.From.Width-u.Size.Width-2*n.p.Seam, t.From.Height-u.Size.Height-2*n.p.Seam; max(w, h) > 1.5*n.p.Ease {
			n.notes(n.say("note.from", "size", n.Size(n.roughly(t.From.Width), n.roughly(t.From.Height))))
		}
	}
}

// marks is the sentence of a trim that says where the unit's seams must lie: by its points where it has any, else by where its seams meet the edge.
func (n *narrator) marks() (key string, slots []any) {
	u := n.units[n.b.r.Unit]
	if u == nil || u.Trim == nil {
		return "trim", nil
	}
	t := u.Trim
	switch len(t.Points) {
	case 0:
	case 1:
		return "trim.point", []any{"seam", n.length(n.p.Seam)}
	default:
		return "trim.points", []any{"seam", n.length(n.p.Seam)}
	}
	if len(t.Meets) == 0 {
		return "trim", nil
	}
	from, short := t.Meets[0].From, true
	for _, m := range t.Meets {
		if !near(m.From, from) {
			return "trim", nil
		}
		upright := m.At[1] > -n.p.Seam+slack && m.At[1] < u.Size.Height+n.p.Seam-slack // on the left or right side
		short = short && upright == (u.Size.Height < u.Size.Width)
	}
	switch {
	case from < slack && len(t.Meets) == 2:
		return "trim.corners", nil
	case from < slack:
		return "trim.corners.all", nil
	case len(t.Meets) == 2 && short:
		return "trim.short", []any{"distance", n.length(from)}
	}
	return "trim", nil
}

// mitre tells how the ends of border strips are trimmed; false where it is something else that is trimmed.
func (n *narrator) mitre(work int, to []pt) bool {
	lying := n.b.work(work).lying
	own := false
	for _, l := range lying {
		if !n.borderStrip(l.part) {
			return false
		}
		own = own || n.pieces[n.b.parts[l.part].unit.Piece].Measured
	}
	thing := n.marked(n.b.r.Unit)
	if len(lying) == 1 {
		thing = n.partRef(lying[0].part)
	}
	if own {
		n.tell(work, n.say("trim.mitre.own", "thing", thing))
	} else {
		n.tell(work, n.say("trim.mitre", "thing", thing, "length", n.length(plan.Num(longest(to)))))
	}
	return true
}

// press tells which way seams are pressed.
func (n *narrator) press(ops []plan.Op) {
	type pressing struct {
		target, way string
		twin        bool // the same thing on both sides of the seam
		at          pt
		spun        int    // at how many crossings it is spun
		end, back   string // then way is at this end of it, and back where it lies the other way
	}
	perWork := map[int][]pressing{}
	var works []int
	for _, op := range ops {
		p := pressing{}
		view := n.b.view(op.Work)
		var s seam
		if op.Seam >= 0 && op.Seam < len(n.b.seams) {
			s = n.b.seams[op.Seam]
		}
		p.at = flat.Apply(view, middle(s.line[0], s.line[1]))
		if op.Toward != nil {
			q := *op.Toward
			p.target = n.partRef(q)
			if w := n.b.work(op.Work); w.across && s.right == w.lying[len(w.lying)-1].part && q != s.right {
				p.target = n.say("the pieced side")
			}
			other := s.left
			if other == q {
				other = s.right
			}
			p.twin = s.byEdge && other >= 0 && other < len(n.b.parts) && q >= 0 && q < len(n.b.parts) && n.b.parts[other].id == n.b.parts[q].id
			if u := n.units[n.b.given[op.Work].Unit]; s.joined != nil && u != nil {
				one, two := s.joined.Parts[0], s.joined.Parts[1]
				p.twin = one >= 0 && one < len(u.Parts) && two >= 0 && two < len(u.Parts) && u.Parts[one].Unit == u.Parts[two].Unit
			}
			for _, l := range n.b.work(op.Work).lying {
				if l.part == q {
					p.way = side(n.b.toSide(s, view, n.b.placed(l)))
					p.back = side(flat.Scale(n.b.toSide(s, view, n.b.placed(l)), -1))
				}
			}
			if p.way != "" && len(op.Spun) > 0 {
				p.spun = len(op.Spun)
				// It is told from the left, or from the top.
				from := flat.Sub(flat.Apply(view, s.line[0]), p.at)
				if from[0] > slack || from[0] > -slack && from[1] > 0 {
					from = flat.Scale(from, -1)
					if p.spun%2 == 1 {
						p.way, p.back = p.back, p.way
					}
				}
				p.end = n.say("end." + side(from))
			}
		}
		if perWork[op.Work] == nil {
			works = append(works, op.Work)
		}
		perWork[op.Work] = append(perWork[op.Work], p)
	}
	// Mirror images that are not pressed alike are named.
	unlike := map[string]bool{}
	for _, w := range works {
		if !n.b.willBeCut(w) {
			unlike[perWork[w][0].target] = true
		}
	}
	for _, w := range works {
		ps := perWork[w]
		if g := n.b.given[w]; len(n.r.Makes) > 1 && len(unlike) > 1 && g.Unit != "" {
			if thing := n.Hand(g.Unit); ps[0].target == "" {
				n.tell(w, n.say("press.hand.open", "thing", thing))
			} else {
				n.tell(w, n.say("press.hand", "thing", thing, "target", ps[0].target))
			}
			continue
		}
		sort.SliceStable(ps, func(i, j int) bool {
			if d := ps[i].at[0] - ps[j].at[0]; d > slack || d < -slack {
				return d < 0
			}
			return ps[i].at[1] < ps[j].at[1]-slack
		})
		sameTarget, sameWay, twin, marks, sameSpin := true, true, false, 0, true
		for _, p := range ps {
			marks += p.spun
			sameSpin = sameSpin && p.spun > 0 && p.end == ps[0].end
			sameTarget = sameTarget && p.target == ps[0].target
			sameWay = sameWay && p.way == ps[0].way && p.way != ""
			twin = twin || p.twin
		}
		seams := n.say("seams.all")
		if len(ps) == 2 {
			seams = n.say("seams.both")
		}
		switch {
		case marks == 1 && len(ps) == 1:
			n.tell(w, n.say("press.spin", "marks", n.spunMarks(marks), "way", n.say("way."+ps[0].way), "end", ps[0].end, "back", n.say("way."+ps[0].back)))
		case marks > 0 && len(ps) == 1:
			n.tell(w, n.say("press.spins", "marks", n.spunMarks(marks), "way", n.say("way."+ps[0].way), "end", ps[0].end))
		case sameSpin && sameWay:
			n.tell(w, n.say("press.spins.all", "marks", n.spunMarks(marks), "seams", seams, "way", n.say("way."+ps[0].way), "end", ps[0].end))
		case marks == 0 && sameTarget && ps[0].target == "" && len(ps) == 1:
			n.tell(w, n.say("press.open"))
		case marks == 0 && sameTarget && ps[0].target == "":
			n.tell(w, n.say("press.open.all", "seams", seams))
		case marks == 0 && sameTarget && !twin && len(ps) == 1:
			n.tell(w, n.say("press.toward", "target", ps[0].target))
		case marks == 0 && sameTarget && !twin:
			n.tell(w, n.say("press.toward.all", "seams", seams, "target", ps[0].target))
		case marks == 0 && sameWay && len(ps) == 1:
			n.tell(w, n.say("press.way", "way", n.say("way."+ps[0].way)))
		case marks == 0 && sameWay:
			n.tell(w, n.say("press.way.all", "seams", seams, "way", n.say("way."+ps[0].way)))
		default:
			turns := make([]string, len(ps))
			for i, p := range ps {
				switch {
				case p.spun == 1:
					turns[i] = n.say("turn.spin", "way", n.say("way."+p.way), "end", p.end)
				case p.spun > 0:
					turns[i] = n.say("turn.spins", "way", n.say("way."+p.way), "end", p.end, "count", p.spun)
				case p.target == "":
					turns[i] = n.say("turn.open")
				case p.way != "":
					turns[i] = n.say("way." + p.way)
				default:
					turns[i] = n.say("turn.toward", "target", p.target)
				}
			}
			if marks > 0 {
				n.tell(w, n.say("press.spins.turns", "marks", n.spunMarks(marks), "turns", n.list(turns)))
			} else {
				n.tell(w, n.say("press.turns", "turns", n.list(turns)))
			}
		}
	}
}

// spunMarks are the crossings, marked in the drawing, at which seams are spun.
func (t *Teller) spunMarks(count int) string {
	if count == 1 {
		return t.in.say("marks.one")
	}
	return t.in.say("marks.all", "count", count)
}

// toSide is the direction, square to a seam, in which an outline lies, as looked at.
func (b *bench) toSide(s seam, view plan.Pose, ps []pt) pt {
	line := [2]pt{flat.Apply(view, s.line[0]), flat.Apply(view, s.line[1])}
	d := flat.Sub(line[1], line[0])
	if flat.Length(d) == 0 {
		return pt{1, 0}
	}
	right := pt{-d[1], d[0]}
	if fromLine(line, centre(flat.Each(view, ps))) < 0 {
		return flat.Scale(right, -1)
	}
	return right
}

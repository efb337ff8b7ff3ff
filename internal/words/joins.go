package words

import (
	"math"
	"slices"
	"sort"
	"strings"

	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// joined is one join as it has been told: what was sewn on, where, to what.
type joined struct {
	work   int
	laid   []int // parts
	to     int   // the part beside the seam; -1 where there is none
	single bool  // what it was sewn to was one part
	way    pt    // from the seam to what was sewn on, as looked at
	seam   seam
	along  float64 // length of the seam
	op     plan.Op
}

// joinRun tells joins by the raw edge, from operation i on: several in a line are one sentence.
// It returns the next operation.
func (n *narrator) joinRun(i, last int) int {
	work := n.ops[i].Work
	var joins []joined
	var presses []plan.Op
	runs := true
	for i < last && n.ops[i].Op == "lay" && n.ops[i].Work == work && n.ops[i+1].Op == "stitch" && n.ops[i+1].Allowance > 0 && n.ops[i+1].Work == work {
		lay, stitch := n.ops[i], n.ops[i+1]
		j := joined{work: work, op: stitch, single: len(n.b.work(work).lying) == 1}
		for _, l := range n.b.work(lay.Part).lying {
			j.laid = append(j.laid, l.part)
		}
		single := len(j.laid) == 1 && (j.single || len(joins) > 0) && !stitch.Partial && len(stitch.Dots) == 0
		if len(joins) > 0 && (!runs || !single) {
			break
		}
		n.b.do(lay)
		n.b.do(stitch)
		n.settle(&j)
		if len(joins) > 0 && math.Abs(j.way[0]*joins[0].way[1]-j.way[1]*joins[0].way[0]) > 0.1*flat.Length(j.way)*flat.Length(joins[0].way) {
			// It goes on in another direction: tell this join by itself.
			n.line(joins, presses)
			joins, presses = nil, nil
		}
		runs = single
		joins = append(joins, j)
		i += 2
		for i <= last && n.ops[i].Op == "press" && n.ops[i].Work == work {
			presses = append(presses, n.ops[i])
			i++
		}
		if len(joins) == 1 && i < last && n.ops[i].Op == "lay" && !j.single {
			break
		}
	}
	n.line(joins, presses)
	return i
}

// settle finds out what a join is about, once the bench has carried it out.
func (n *narrator) settle(j *joined) {
	j.seam = n.b.seams[len(n.b.seams)-1]
	j.along = flat.Length(flat.Sub(j.seam.along[1], j.seam.along[0]))
	j.to = j.seam.left
	mine := func(p int) bool {
		for _, q := range j.laid {
			if p == q {
				return true
			}
		}
		return false
	}
	if mine(j.to) || j.to < 0 {
		j.to = j.seam.right
	}
	if mine(j.to) {
		j.to = -1
	}
	for _, l := range n.b.work(j.work).lying {
		if len(j.laid) > 0 && l.part == j.laid[0] {
			j.way = n.b.toSide(j.seam, n.b.view(j.work), n.b.placed(l))
		}
	}
	n.align(j)
	n.dotted(j)
	if len(j.laid) == 1 && n.borderStrip(j.laid[0]) && n.borderStrip(j.to) {
		n.notes(n.say("align.middles"))
	}
}

// line tells joins that follow one another in one direction, and how they are pressed.
func (n *narrator) line(joins []joined, presses []plan.Op) {
	if len(joins) > 1 || len(joins) == 1 && n.ofTwoWays(&joins[0]) {
		n.tell(joins[0].work, n.runSentence(joins))
	} else if len(joins) == 1 {
		n.tell(joins[0].work, n.joinSentence(&joins[0]))
	}
	n.watch(joins)
	if len(presses) > 0 {
		n.press(presses)
	}
}

// ofTwoWays reports whether a join of two parts has to say which way one of them is pressed: it is told as a row is, in their order.
func (n *narrator) ofTwoWays(j *joined) bool {
	if !j.single || len(j.laid) != 1 || j.to < 0 || j.op.Partial || len(j.op.Dots) > 0 || n.longSides(j) {
		return false
	}
	return n.wayOf(j.laid[0]) >= 0 || n.wayOf(j.to) >= 0
}

func (n *narrator) runSentence(joins []joined) string {
	view := n.b.view(joins[0].work)
	way := joins[0].way
	if math.Abs(way[0]) < 1e-9 {
		way[0] = 0
	}
	if way[0] < -slack || way[0] < slack && way[1] < 0 {
		way = flat.Scale(way, -1)
	}
	type standing struct {
		part int
		at   float64
	}
	var row []standing
	for _, l := range n.b.work(joins[0].work).lying {
		row = append(row, standing{l.part, flat.Dot(flat.Apply(view, centre(n.b.placed(l))), way)})
	}
	sort.SliceStable(row, func(i, j int) bool { return row[i].at < row[j].at })
	names := make([]string, len(row))
	for i, s := range row {
		names[i] = n.plainRef(s.part)
	}
	if first, last, noun, ok := numbered(names); ok && len(names) > 2 {
		key := "join.numbered.down"
		if math.Abs(way[0]) > math.Abs(way[1]) {
			key = "join.numbered.right"
		}
		return n.say(key, "noun", n.in.noun(2, noun), "first", first, "last", last)
	}
	key := "join.run"
	switch slope := math.Abs(way[0]) - math.Abs(way[1]); {
	case slope > 0.2*flat.Length(way):
		key = "join.run.right"
	case slope < -0.2*flat.Length(way):
		key = "join.run.down"
	}
	sentence := n.say(key, "list", strings.Join(names, ", "))
	for _, l := range n.b.work(joins[0].work).lying {
		if n.standsTurned(l, view) {
			return sentence + " " + n.say("join.turned")
		}
	}
	return sentence
}

func (n *narrator) joinSentence(j *joined) string {
	sentence := n.toDots(j, n.joinAlone(j))
	view := n.b.view(j.work)
	for _, l := range n.b.work(j.work).lying {
		if (l.part == j.to || len(j.laid) == 1 && l.part == j.laid[0]) && n.standsTurned(l, view) {
			return sentence + " " + n.say("join.turned")
		}
	}
	return sentence
}

func (n *narrator) isPiece(part int) bool {
	u := n.b.parts[part].unit
	return u == nil || u.Piece != ""
}

// standsTurned says whether a sewn part stands otherwise than it was last seen.
func (n *narrator) standsTurned(l lying, view plan.Pose) bool {
	u := n.b.parts[l.part].unit
	return u != nil && u.Piece == "" && math.Mod(float64(flat.Then(l.pose, view).Turn)+720.5, 360) > 1
}

func (n *narrator) joinAlone(j *joined) string {
	laid := n.say("the joined parts")
	if len(j.laid) == 1 {
		laid = n.partRef(j.laid[0])
	} else if len(j.laid) > 1 {
		if j.to >= 0 && j.single {
			// Two joined halves: name the part beside the seam.
			laid = n.say("the parts with", "thing", n.partRef(j.laid[0]))
		}
	}
	to := n.partRef(j.to)
	direction := j.way
	if j.single && j.to >= 0 && len(j.laid) == 1 && n.isPiece(j.to) && !n.isPiece(j.laid[0]) {
		// A piece is sewn to what is made already, whichever lies on top.
		laid, to, direction = to, laid, flat.Scale(direction, -1)
	}
	way := n.say("side." + side(direction))
	if j.op.Partial {
		return n.say("join.partial", "laid", laid, "side", way, "under", to, "length", n.length(plan.Num(j.along)), "end", n.say("end."+side(n.openEnd(j))))
	}
	if j.single && len(j.laid) == 1 && j.to >= 0 && n.b.parts[j.laid[0]].id == n.b.parts[j.to].id {
		key := "join.twins.right"
		if n.longSides(j) {
			key = "join.twins.long"
		} else if math.Abs(j.way[1]) > math.Abs(j.way[0]) {
			key = "join.twins.down"
		}
		return n.say(key, "laid", n.many(2, n.b.parts[j.to].id))
	}
	if n.longSides(j) {
		return n.say("join.long", "laid", laid, "under", to)
	}
	return n.say("join.side", "laid", laid, "side", way, "under", to)
}

// borderStrip reports whether a part is a strip that was cut square and whose ends are trimmed for the corners of a border.
func (n *narrator) borderStrip(part int) bool {
	if part < 0 || part >= len(n.b.parts) || n.b.parts[part].unit == nil {
		return false
	}
	piece := n.pieces[n.b.parts[part].unit.Piece]
	return piece != nil && piece.Trimmed && (piece.Shape == "rectangle" || piece.Shape == "joined strip")
}

// setSentence tells the seam of two edges that lie in place already and stops at dots.
func (n *narrator) setSentence(j *joined) string {
	slots := []any{"one", n.partRef(j.seam.left), "other", n.partRef(j.seam.right), "length", n.length(plan.Num(j.along))}
	if len(j.op.Dots) == 2 {
		return n.say("join.set.both", slots...)
	}
	return n.say("join.set", append(slots, "end", n.say("end."+side(n.whereabouts(j))))...)
}

// whereabouts is the direction in which a seam lies from the middle of the work, as looked at; of a seam through the middle, that in which its dot lies.
func (n *narrator) whereabouts(j *joined) pt {
	view := n.b.view(j.work)
	var all []pt
	for _, l := range n.b.work(j.work).lying {
		all = append(all, flat.Each(view, n.b.placed(l))...)
	}
	lo, hi := flat.Box(all)
	way := flat.Sub(flat.Apply(view, middle(j.seam.along[0], j.seam.along[1])), middle(lo, hi))
	if flat.Length(way) < 0.1*flat.Length(flat.Sub(hi, lo)) {
		return n.dotEnd(j)
	}
	return way
}

// toDots adds to the sentence of a join where its seam stops at dots.
func (n *narrator) toDots(j *joined, sentence string) string {
	sew := strings.TrimSuffix(sentence, ".")
	switch len(j.op.Dots) {
	case 0:
		return sentence
	case 1:
		return n.say("join.to dot", "sew", sew, "end", n.say("end."+side(n.dotEnd(j))))
	}
	return n.say("join.dot to dot", "sew", sew)
}

// dotEnd is the direction of the end of a seam at which it stops at a dot, as looked at.
func (n *narrator) dotEnd(j *joined) pt {
	view, e := n.b.view(j.work), 0
	if len(j.op.Dots) > 0 && j.op.Dots[0] == 1 {
		e = 1
	}
	return flat.Sub(flat.Apply(view, j.seam.along[e]), flat.Apply(view, middle(j.seam.along[0], j.seam.along[1])))
}

// dotted notes how dots are made, with the first seam of the recipe that stops at one, and which piece is clipped for it: one whose outline
// turns inward there.
func (n *narrator) dotted(j *joined) {
	if len(j.op.Dots) == 0 {
		return
	}
	if n.firstDots(j.op) {
		n.notes(n.say("note.dots", "seam", n.length(n.p.Seam)))
	}
	for _, e := range j.op.Dots {
		for _, l := range n.b.work(j.work).lying {
			at := j.seam.along[e]
			if (l.part == j.seam.left || l.part == j.seam.right) && n.isPiece(l.part) && turnsInward(n.b.outlined(l), at) && !n.dottedBefore(j.op, at) {
				n.notes(n.say("note.clip", "thing", n.partRef(l.part)))
			}
		}
	}
}

// dottedBefore reports whether an earlier seam of the same work stops at the same dot.
func (n *narrator) dottedBefore(op plan.Op, at pt) bool {
	for _, o := range n.r.Do {
		if o.Along == op.Along {
			break
		}
		for _, e := range o.Dots {
			if o.Work == op.Work && meet(segment(o.Along)[e], at) {
				return true
			}
		}
	}
	return false
}

// firstDots reports whether no seam of the recipe before this one stops at a dot.
func (n *narrator) firstDots(op plan.Op) bool {
	i := slices.IndexFunc(n.r.Do, func(o plan.Op) bool { return len(o.Dots) > 0 })
	return i >= 0 && n.r.Do[i].Along == op.Along
}

// openEnd is the direction of the end of a partial seam that is left open, as looked at.
func (n *narrator) openEnd(j *joined) pt {
	view := n.b.view(j.work)
	mid := flat.Apply(view, middle(j.seam.along[0], j.seam.along[1]))
	if join := j.seam.joined; join != nil {
		return flat.Sub(middle(flat.At(join.Seam[0]), flat.At(join.Seam[1])), mid)
	}
	return flat.Sub(flat.Apply(view, j.seam.along[1]), mid)
}

// longSides says whether a join runs along the longest sides of two triangles.
func (n *narrator) longSides(j *joined) bool {
	if len(j.laid) != 1 || j.to < 0 {
		return false
	}
	d := flat.Sub(j.seam.along[1], j.seam.along[0])
	for _, l := range n.b.work(j.work).lying {
		if l.part != j.laid[0] && l.part != j.to {
			continue
		}
		ps := n.b.placed(l)
		most := longest(ps)
		ok := len(ps) == 3
		for i, p := range ps {
			e := flat.Sub(ps[(i+1)%len(ps)], p)
			if flat.Length(e) > most-slack {
				ok = ok && math.Abs(e[0]*d[1]-e[1]*d[0]) < 0.01*flat.Length(e)*flat.Length(d)
			}
		}
		if !ok {
			return false
		}
	}
	return true
}

// edge tells a stitch by the raw edge of what was laid in an earlier step, or of two edges that
// already lie in place.
func (n *narrator) edge(op plan.Op) {
	j := joined{work: op.Work, op: op}
	if w := n.b.work(op.Work); len(w.lying) > 0 && !op.Fold {
		j.laid = []int{w.lying[len(w.lying)-1].part}
	}
	before := len(n.b.seams)
	n.b.do(op)
	if len(n.b.seams) == before {
		return
	}
	n.settle(&j)
	if !op.Fold {
		n.tell(op.Work, n.joinSentence(&j))
		return
	}
	if len(op.Dots) > 0 {
		n.tell(op.Work, n.setSentence(&j))
	} else {
		n.tell(op.Work, n.say("join.finish", "length", n.length(plan.Num(j.along))))
	}
}

// notes adds a remark once.
func (n *narrator) notes(says string) {
	if !slices.Contains(n.story.noted, says) {
		n.story.noted = append(n.story.noted, says)
	}
}

// align notes which piece passes the other, at which end of the seam and by how much.
func (n *narrator) align(j *joined) {
	join := j.seam.joined
	u := n.units[n.b.r.Unit]
	if join == nil || u == nil || len(join.Align) == 0 || n.aligning[join] {
		return
	}
	n.aligning[join] = true
	name := func(p int) string {
		if p < 0 || p >= len(u.Parts) {
			return n.say("the other part")
		}
		return n.ref(u.Parts[p].Unit)
	}
	other := func(p int) int {
		if join.Parts[0] == p {
			return join.Parts[1]
		}
		return join.Parts[0]
	}
	a := join.Align
	if len(a) == 2 && a[0].Part == a[1].Part && math.Abs(float64(a[0].Past-a[1].Past)) < 0.01 {
		n.notes(n.say("align.both", "one", capital(name(a[0].Part)), "other", name(other(a[0].Part)), "past", n.About(a[0].Past)))
		return
	}
	mid := middle(flat.At(join.Seam[0]), flat.At(join.Seam[1]))
	for _, e := range a {
		if e.End < 0 || e.End > 1 {
			continue
		}
		end := side(flat.Sub(flat.At(join.Seam[e.End]), mid))
		n.notes(n.say("align", "one", capital(name(e.Part)), "other", name(other(e.Part)), "past", n.About(e.Past), "end", n.say("end."+end)))
	}
}

package words

import (
	"math"

	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// bench follows a recipe as far as sentences need it: which parts a work is made of, where each
// lies, which seams it has. It knows nothing of stitches, folds or thickness; cloth and prove do.
type bench struct {
	r     *plan.Recipe
	parts []part
	works map[int]*work
	next  int
	seams []seam
	units map[string]*plan.Unit
	given map[int]plan.Gives
	used  map[int]bool // works that are given or laid on another: the rest is waste
}

// part is one thing that the recipe counts out.
type part struct {
	id   string // unit id or piece label
	unit *plan.Unit
	raw  []pt // raw outline in its own frame
}

// work is what lies together.
type work struct {
	lying []lying
	marks [][2]pt
	cuts  int  // how often it was cut into works that are all used: 1 is a half
	seams bool // a half that was sewn lies on another, seam on seam
	// a piece as large as a half that was sewn lies on it, or did: it is sewn across the seam
	across bool
}

// lying is a part in a work: the pose of its frame in the work's. Opened: it has been sewn by its
// edge, and the pose is the one after pressing; else it lies where it was laid.
type lying struct {
	part   int
	pose   plan.Pose
	opened bool
}

// seam is a stitch: the line of the needle, and the parts on its left and right where it joins two.
type seam struct {
	line     [2]pt
	left     int
	right    int
	byEdge   bool
	along    [2]pt
	joined   *plan.Join
	drawn    bool
	fromWork int
}

func (t *Teller) newBench(r *plan.Recipe) *bench {
	b := &bench{r: r, units: t.units, works: map[int]*work{}, given: map[int]plan.Gives{}, used: map[int]bool{}}
	for _, f := range r.From {
		for range min(f.Count, 1<<16) {
			p := part{id: f.Unit}
			if f.Piece != "" {
				p.id = f.Piece
				if piece := t.pieces[f.Piece]; piece != nil {
					p.raw = places(piece.Raw())
				}
			} else if u := t.units[f.Unit]; u != nil {
				p.unit = u
				p.raw = grow(outline(u.Outline), float64(t.p.Seam))
			}
			b.works[len(b.parts)] = &work{lying: []lying{{part: len(b.parts)}}}
			b.parts = append(b.parts, p)
		}
	}
	b.next = len(b.parts)
	for _, g := range r.Gives {
		b.given[g.Work] = g
		b.used[g.Work] = true
	}
	for _, op := range r.Do {
		if op.Op == "lay" {
			b.used[op.Part] = true
		}
	}
	return b
}

// work is a work by number; a number that the plan got wrong is an empty work.
func (b *bench) work(n int) *work {
	if w := b.works[n]; w != nil {
		return w
	}
	return &work{}
}

// base is the part whose frame the work has.
func (b *bench) base(n int) (part, lying) {
	if w := b.work(n); len(w.lying) > 0 && w.lying[0].part < len(b.parts) {
		return b.parts[w.lying[0].part], w.lying[0]
	}
	return part{}, lying{}
}

// placed is the raw outline of what lies, in the frame of the work.
func (b *bench) placed(l lying) []pt { return flat.Each(l.pose, b.parts[l.part].raw) }

// outlined is the finished outline of a unit that lies in a work, in the work's frame; nil of a piece that is cut up later.
func (b *bench) outlined(l lying) []pt {
	u := b.parts[l.part].unit
	if u == nil {
		return nil
	}
	return flat.Each(l.pose, outline(u.Outline))
}

// view is the pose in which a work is looked at: as its unit stands, once it will not be cut any
// more, else as it lies.
func (b *bench) view(n int) plan.Pose {
	g, ok := b.given[n]
	if !ok || b.willBeCut(n) {
		return plan.Pose{}
	}
	return g.Pose
}

// willBeCut says whether the recipe still cuts the work into several that are used.
func (b *bench) willBeCut(n int) bool {
	made := len(b.parts)
	for _, op := range b.r.Do {
		if op.Op == "cut" && op.Times == 0 {
			if made >= b.next && op.Work == n && b.used[made] {
				return true
			}
			made++
		}
	}
	return false
}

// do carries an operation out.
func (b *bench) do(op plan.Op) {
	w := b.work(op.Work)
	switch op.Op {
	case "lay":
		if op.At == nil || op.Part == op.Work {
			return
		}
		at := plan.Pose{At: *op.At, Turn: op.Turn, Mirror: op.Face == "down"}
		w.seams, w.across = w.seams || b.sewnHalves(op), w.across || b.covers(op)
		for _, l := range b.work(op.Part).lying {
			w.lying = append(w.lying, lying{l.part, flat.Then(l.pose, at), op.Face != "down"})
		}
		delete(b.works, op.Part)
	case "mark":
		if op.Line != nil {
			w.marks = append(w.marks, segment(op.Line))
		}
	case "stitch":
		if op.Along != nil {
			b.stitch(w, op)
		}
	case "cut":
		if op.Times > 0 || op.Line == nil {
			return
		}
		if b.used[b.next] {
			w.cuts++
		}
		b.works[b.next] = &work{append([]lying(nil), w.lying...), append([][2]pt(nil), w.marks...), w.cuts, w.seams, w.across}
		b.next++
	}
}

// sewnHalves reports whether a half of what was sewn and cut is laid on another.
func (b *bench) sewnHalves(op plan.Op) bool {
	w, on := b.work(op.Part), b.work(op.Work)
	return w.cuts > 0 && on.cuts > 0 && len(w.lying) > 1 && len(on.lying) > 1
}

// covers reports whether a single piece is laid on a half of what was sewn and cut, and is about as large: what lay below was a square cut corner to corner, so
// that the half, pressed open, is more than half of it.
func (b *bench) covers(op plan.Op) bool {
	w, on := b.work(op.Part), b.work(op.Work)
	return w.cuts == 0 && len(w.lying) == 1 && on.cuts == 1 && len(on.lying) > 1 && areaOf(b.parts[w.lying[0].part].raw) > 0.5*areaOf(b.parts[on.lying[0].part].raw)
}

func (b *bench) stitch(w *work, op plan.Op) {
	along := segment(op.Along)
	s := seam{line: along, along: along, left: -1, right: -1, fromWork: op.Work, byEdge: op.Allowance > 0, drawn: op.Allowance == 0}
	if d := flat.Sub(along[1], along[0]); s.drawn && flat.Length(d) > 0 {
		right := flat.Scale(pt{-d[1], d[0]}, float64(op.Offset)/flat.Length(d))
		s.line = [2]pt{flat.Add(along[0], right), flat.Add(along[1], right)}
	}
	if s.byEdge && !op.Fold {
		over := flat.Over(along[0], along[1])
		for i := range w.lying {
			if l := &w.lying[i]; !l.opened && i > 0 && l.pose.Mirror {
				l.pose, l.opened = flat.Then(l.pose, over), true
			}
		}
	}
	if s.byEdge {
		s.left, s.right = b.beside(w, along, -1), b.beside(w, along, 1)
	} else if len(w.lying) > 1 {
		s.left, s.right = w.lying[0].part, w.lying[len(w.lying)-1].part
	}
	s.joined = b.join(op.Work, along)
	b.seams = append(b.seams, s)
}

// beside is the part that lies along the line on its right (hand 1) or left (-1): the one whose finished outline
// holds the point just beside the line's middle, else the one that covers it, else the one whose centre is nearest to it.
func (b *bench) beside(w *work, line [2]pt, hand float64) int {
	d := flat.Sub(line[1], line[0])
	if flat.Length(d) == 0 {
		return -1
	}
	probe := flat.Add(middle(line[0], line[1]), flat.Scale(pt{-d[1], d[0]}, hand*0.6*b.reach()/flat.Length(d)))
	best, distance := -1, math.Inf(1)
	for _, l := range w.lying {
		if inside(b.outlined(l), probe) {
			return l.part
		}
	}
	for _, l := range w.lying {
		ps := b.placed(l)
		c := centre(ps)
		if fromLine(line, c)*hand <= 0 {
			continue
		}
		away := flat.Length(flat.Sub(c, probe))
		if inside(ps, probe) {
			away -= 1e6
		}
		if away < distance {
			best, distance = l.part, away
		}
	}
	return best
}

// reach is a length a little longer than any allowance in the recipe.
func (b *bench) reach() float64 {
	most := 0.1
	for _, op := range b.r.Do {
		most = math.Max(most, float64(op.Allowance))
	}
	return most
}

// join is the join of the unit that a stitch makes, found by its place; nil where there is none.
func (b *bench) join(n int, along [2]pt) *plan.Join {
	g := b.given[n]
	u := b.units[g.Unit]
	if u == nil {
		return nil
	}
	view := g.Pose
	p, q := flat.Apply(view, along[0]), flat.Apply(view, along[1])
	for i := range u.Joins {
		s := [2]pt{flat.At(u.Joins[i].Seam[0]), flat.At(u.Joins[i].Seam[1])}
		if meet(p, s[0]) && meet(q, s[1]) || meet(p, s[1]) && meet(q, s[0]) {
			return &u.Joins[i]
		}
	}
	// A partial seam runs along part of its join.
	for i := range u.Joins {
		s := [2]pt{flat.At(u.Joins[i].Seam[0]), flat.At(u.Joins[i].Seam[1])}
		if onSegment(s, p) && onSegment(s, q) {
			return &u.Joins[i]
		}
	}
	return nil
}

func onSegment(s [2]pt, p pt) bool {
	d := flat.Sub(s[1], s[0])
	along := flat.Dot(flat.Sub(p, s[0]), d) / flat.Length(d)
	return math.Abs(fromLine(s, p)) < slack && along > -slack && along < flat.Length(d)+slack
}

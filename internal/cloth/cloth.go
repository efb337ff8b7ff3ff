// Package cloth is layers of cloth on a sewing table: it carries out the operations of a plan's
// recipes (lay, mark, stitch, cut, press, trim) and says after each one what lies there.
//
// It reads the operations of internal/plan and knows no method, no unit and no finished size;
// prove compares what comes off the table with what was drawn, figure draws the table before and
// after. docs/plan.md says what every operation means. Lengths are floats in the plan's measure;
// places that are meant to be equal are taken as equal within Tolerance.
//
//	t := cloth.New([]cloth.Work{{Layers: ...}, {Layers: ...}})
//	for _, op := range recipe.Do {
//		if err := t.Do(op); err != nil { ... }
//	}
//	w := t.Work(0)
//
// The model: a layer is one panel of cloth, a raw polygon whose edges are raw or sewn. A sewn
// edge has the seam at some distance in from it. What shows of a layer is its polygon with every
// opened seam's edge folded away, mitred where two such edges meet.
package cloth

import (
	"fmt"
	"math"
	"slices"

	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// Tolerance is the distance within which places on the table count as one.
const Tolerance = 1e-6

// Pt is a point [x, y]; x runs right, y runs down.
type Pt = flat.Pt

// Edge is what is known of one edge of a layer's cloth.
type Edge struct {
	Sewn   bool
	Seam   int     // number of the stitch that sewed it, from 0; -1 for a seam of an earlier recipe
	D0, D1 float64 // how far in the seam lies, where the edge begins and where it ends
	Side   int     // of the seam: 0 what lay below, 1 what was laid on it
}

// Layer is one panel of cloth in a work.
type Layer struct {
	Cloth  []Pt     // raw outline, clockwise as seen, in the work's frame
	Edges  []Edge   // one for each edge of Cloth, edge i beginning at Cloth[i]; nil at the start: all raw
	Shown  []Pt     // what shows of it inside its opened seams; filled by Table.Work; empty: nothing
	Fabric string   // letter
	Label  string   // of the piece or the unit it came from
	Up     *float64 // where the print points, degrees clockwise from the work's up; nil for a plain print
	FaceUp bool
	Part   int    // number of the recipe's part that it came from
	Leaf   []int  // which leaf of that part it is; free for the caller
	Laid   bool   // it lies on top and is not opened yet
	Drift  Pt     // how far it lies from where the frames place it, because raw edges were brought together
	Piece  string // free for the caller

	group   int     // 0: lies flat in the work; else the number of the lay that put it there
	through []int   // seams by a drawn line that pass through the middle of it
	split   bool    // an edge was split where a seam ends half way
	radius  float64 // how far the cloth reaches from its first point at most; 0: not known
}

// Seam is a line of stitches in a work.
type Seam struct {
	N      int       // number of the stitch, counted through the recipe from 0
	A, B   Pt        // where it lies, in the work's frame
	Meant  [2]Pt     // where it would lie if every piece were exact: the operation's line
	State  string    // sewn | open | toward
	Toward int       // part number, where State is toward
	Side   int       // and the side of the seam on which it lies, as Edge.Side
	Spun   []float64 // how far from A it turns over to the other side, at each crossing where it is spun
	Fold   bool
	Ends   [2]End // at A and at B, of a seam by the raw edge
	Dots   []int  // ends, 0 for A and 1 for B, at which it stops at the crossing of the seams

	opened bool
	group  int
	shift  Pt // how far it lies from where it is meant to
}

// End is how raw edges lie at the end of a seam: that of a layer of Part passes the other side's by Past. Where a raw edge goes on far
// beyond, as that of another seam, nothing is said.
type End struct {
	Past float64
	Part int
}

// Work is what is sewn or laid together. Layers stand from the bottom up.
type Work struct {
	Layers []Layer
	Seams  []Seam
	Marks  [][2]Pt
	Count  int // alike: 1, or the number of segments of a bundle; 0 counts as 1 in New
}

// Guide says which raw edge counts where the raw edges along one side of a seam are uneven.
type Guide int

// The guides.
const (
	Innermost Guide = iota // every layer gets its allowance at least
	Outermost
	Middle // the mean of them, by how long they are: uneven edges are eased
)

// Table holds the works of one batch of a recipe.
type Table struct {
	Guide Guide

	works   map[int]*Work
	next    int // number of the next work that a cut makes
	lays    int
	stitchN int
	done    int
}

// New returns a table with each part as a work of the same number, right side up, in its own
// frame. The parts are copied.
func New(parts []Work) *Table {
	t := &Table{works: make(map[int]*Work, len(parts)), next: len(parts)}
	for i, p := range parts {
		w := cloneWork(&p)
		if w.Count == 0 {
			w.Count = 1
		}
		for j := range w.Layers {
			l := &w.Layers[j]
			l.FaceUp, l.Part, l.Laid, l.Shown = true, i, false, nil
			l.group, l.through, l.radius = 0, nil, 0
			if len(l.Edges) != len(l.Cloth) {
				l.Edges = make([]Edge, len(l.Cloth))
			}
			if flat.Area2(l.Cloth) < 0 {
				reverse(l)
			}
			for k := range l.Edges {
				l.Edges[k].Seam = -1
			}
		}
		for j := range w.Seams {
			w.Seams[j].N, w.Seams[j].opened, w.Seams[j].group = -1, true, 0
		}
		t.works[i] = w
	}
	return t
}

// Clone returns a table on which the same lies; changing one does not change the other.
func (t *Table) Clone() *Table {
	c := *t
	c.works = make(map[int]*Work, len(t.works))
	for n, w := range t.works {
		c.works[n] = cloneWork(w)
	}
	return &c
}

func cloneWork(w *Work) *Work {
	c := &Work{Layers: make([]Layer, len(w.Layers)), Seams: slices.Clone(w.Seams), Marks: slices.Clone(w.Marks), Count: w.Count}
	for i, l := range w.Layers {
		l.Cloth, l.Edges, l.through = slices.Clone(l.Cloth), slices.Clone(l.Edges), slices.Clone(l.through)
		c.Layers[i] = l
	}
	return c
}

// Work returns a copy of work n with Shown filled in, or nil where there is none: it was laid on
// another, or the number was never given.
func (t *Table) Work(n int) *Work {
	w := t.works[n]
	if w == nil {
		return nil
	}
	c := cloneWork(w)
	for i := range c.Layers {
		l := &c.Layers[i]
		l.Laid = l.group != 0
		l.Shown, _ = c.shown(l)
	}
	return c
}

// Look returns work n as it lies on the table, without Shown, or nil. It is the table's own and must not be changed.
func (t *Table) Look(n int) *Work { return t.works[n] }

// Numbers returns the numbers of the works on the table, rising.
func (t *Table) Numbers() []int {
	ns := make([]int, 0, len(t.works))
	for n := range t.works {
		ns = append(ns, n)
	}
	slices.Sort(ns)
	return ns
}

// Do carries out one operation. An error says why it cannot be done as written; the table is then
// as before, or as far as the operation came.
func (t *Table) Do(op plan.Op) error {
	w := t.works[op.Work]
	if w == nil {
		return fmt.Errorf("%s: no work %d lies on the table", op.Op, op.Work)
	}
	var err error
	switch op.Op {
	case "lay":
		err = t.lay(w, op)
	case "mark":
		if op.Line == nil {
			return fmt.Errorf("mark: no line")
		}
		w.Marks = append(w.Marks, line(op.Line))
	case "stitch":
		switch {
		case op.Along == nil:
			err = fmt.Errorf("no line to sew along")
		case op.Allowance < 0 || op.Allowance > 0 && op.Offset != 0:
			err = fmt.Errorf("a seam is sewn by an allowance above nothing or by an offset from a line")
		case op.Fold && op.Allowance == 0:
			err = fmt.Errorf("a fold is sewn by the raw edges: it needs an allowance")
		case op.Fold:
			err = w.stitchFold(t.stitchN, op)
		case op.Allowance > 0:
			err = w.stitchEdge(t.stitchN, op, t.Guide)
		default:
			err = w.stitchLine(t.stitchN, op)
		}
		t.stitchN++
	case "cut":
		err = t.cut(w, op)
	case "press":
		err = w.press(op)
	case "trim":
		err = w.trim(op)
	default:
		return fmt.Errorf("no operation is called “%s”: lay, mark, stitch, cut, press and trim are", op.Op)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", op.Op, err)
	}
	t.done++
	return nil
}

// lay puts the work op.Part on w.
func (t *Table) lay(w *Work, op plan.Op) error {
	p := t.works[op.Part]
	switch {
	case p == nil:
		return fmt.Errorf("no work %d lies on the table", op.Part)
	case p == w:
		return fmt.Errorf("work %d cannot be laid on itself", op.Part)
	case op.At == nil:
		return fmt.Errorf("no place to lay work %d", op.Part)
	case op.Face != "" && op.Face != "down" && op.Face != "up":
		return fmt.Errorf("face “%s”: down or up", op.Face)
	case p.Count != w.Count:
		return fmt.Errorf("a bundle of %d cannot be laid on a bundle of %d", p.Count, w.Count)
	}
	for i := range p.Layers {
		if p.Layers[i].group != 0 {
			return fmt.Errorf("work %d still has a layer that is not pressed open", op.Part)
		}
	}
	down := op.Face != "up"
	m := poseOf(plan.Pose{At: *op.At, Turn: op.Turn, Mirror: down})
	group := 0
	if down {
		t.lays++
		group = t.lays
	}
	for _, l := range p.Layers {
		move(&l, m)
		l.group = group
		w.Layers = append(w.Layers, l)
	}
	for _, s := range p.Seams {
		s.A, s.B, s.group = m.apply(s.A), m.apply(s.B), group
		s.Meant = [2]Pt{m.apply(s.Meant[0]), m.apply(s.Meant[1])}
		w.Seams = append(w.Seams, s)
	}
	delete(t.works, op.Part)
	return nil
}

// press opens seam op.Seam: what was laid and is held by it swings over about the stitches.
func (w *Work) press(op plan.Op) error {
	k := len(w.Seams) - 1 // the seam that is pressed is mostly the last
	for k >= 0 && w.Seams[k].N != op.Seam {
		k--
	}
	if k < 0 {
		return fmt.Errorf("seam %d is not in work %d", op.Seam, op.Work)
	}
	s := w.Seams[k]
	if s.State != "sewn" {
		return fmt.Errorf("seam %d is pressed already", s.N)
	}
	spun, err := s.spun(op)
	if err != nil {
		return err
	}
	side := 0 // on which the part lies that the allowance is pressed toward
	there := op.Toward == nil
	var swing []int
	for i := range w.Layers {
		l := &w.Layers[i]
		if len(l.through) > 0 && slices.Contains(l.through, s.N) {
			return fmt.Errorf("seam %d runs through the middle of the cloth: it opens only once the cloth is cut beside it", s.N)
		}
		wanted := op.Toward != nil && l.Part == *op.Toward
		if l.group == 0 && !wanted {
			continue
		}
		at := slices.IndexFunc(l.Edges, func(e Edge) bool { return e.Sewn && e.Seam == s.N })
		if at < 0 {
			continue
		}
		if l.group != 0 && !slices.Contains(swing, l.group) {
			swing = append(swing, l.group)
		}
		if wanted {
			there = true
			if l.Edges[at].Side == 1 {
				side = 1
			}
		}
	}
	if !there {
		return fmt.Errorf("part %d, which the allowance is to lie toward, is not at seam %d in work %d", *op.Toward, s.N, op.Work)
	}
	if !s.opened {
		if len(swing) == 0 {
			return fmt.Errorf("seam %d holds nothing that could swing open", s.N)
		}
		for _, o := range w.Seams {
			if !o.opened && o.N != s.N && holds(w, o.N, swing) && !sameLine(o, s) {
				return fmt.Errorf("seam %d cannot be pressed open: seam %d holds the same layers closed", s.N, o.N)
			}
		}
		m, meant := reflection(s.A, s.B), reflection(s.Meant[0], s.Meant[1])
		for i := range w.Layers {
			if l := &w.Layers[i]; l.group != 0 && slices.Contains(swing, l.group) {
				swingDrift(l, m, s)
				l.group = 0
			}
		}
		for i := range w.Seams {
			o := &w.Seams[i]
			if o.group != 0 && slices.Contains(swing, o.group) {
				o.A, o.B, o.group = m.apply(o.A), m.apply(o.B), 0
				o.Meant = [2]Pt{meant.apply(o.Meant[0]), meant.apply(o.Meant[1])}
			}
			if !o.opened && sameLine(*o, s) && holds(w, o.N, nil) {
				o.opened = true
			}
		}
	}
	w.Seams[k].opened = true
	w.Seams[k].State = "open"
	if op.Toward != nil {
		w.Seams[k].State, w.Seams[k].Toward, w.Seams[k].Side, w.Seams[k].Spun = "toward", *op.Toward, side, spun
	}
	return nil
}

// spun is how far along the seam from A the crossings lie at which it is spun.
func (s *Seam) spun(op plan.Op) ([]float64, error) {
	if len(op.Spun) == 0 {
		return nil, nil
	}
	if op.Toward == nil {
		return nil, fmt.Errorf("seam %d is pressed open: it cannot be spun", s.N)
	}
	u, run := flat.Direction(s.Meant[0], s.Meant[1]), flat.Distance(s.Meant[0], s.Meant[1])
	out := make([]float64, len(op.Spun))
	last := 0.0
	for i, q := range op.Spun {
		p := flat.Sub(flat.At(q), s.Meant[0])
		t := flat.Dot(p, u)
		if math.Abs(flat.Cross(u, p)) > 1e-4 || t < last+1e-4 || t > run-1e-4 {
			return nil, fmt.Errorf("seam %d cannot be spun at %s: crossings stand between its ends, in order from %s to %s", s.N, show(flat.At(q)), show(s.Meant[0]), show(s.Meant[1]))
		}
		out[i], last = t, t
	}
	return out, nil
}

// begins counts from a new end of the seam, so far from its former one.
func (s *Seam) begins(off float64) {
	var left []float64
	for _, t := range s.Spun {
		if t > off {
			left = append(left, t-off)
		} else {
			s.Side = 1 - s.Side // what is left begins beyond it
		}
	}
	s.Spun = left
}

// holds reports whether seam n sews an edge of a layer of one of the groups, or of what lies flat where none is named.
func holds(w *Work, n int, groups []int) bool {
	for i := range w.Layers {
		l := &w.Layers[i]
		if (groups == nil && l.group == 0 || slices.Contains(groups, l.group)) && slices.ContainsFunc(l.Edges, func(e Edge) bool { return e.Sewn && e.Seam == n && (groups != nil || e.Side == 1) }) {
			return true
		}
	}
	return false
}

// swingDrift carries a layer over seam s. Its drift is mirrored, and doubles how far the seam
// itself lies from its place.
func swingDrift(l *Layer, m transform, s Seam) {
	move(l, m)
	l.Drift = flat.Add(l.Drift, flat.Scale(s.shift, 2))
}

package piecing

import (
	"slices"

	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
	"quiltwright/internal/unit"
)

// assembly is a region put together from parts, still in the frame of the sheet.
type assembly struct {
	parts []part
	joins []Join
	row   bool // parts side by side
}

// part is a part of an assembly: a unit, and the pose from the unit's frame to the sheet.
type part struct {
	unit int
	pose plane.Pose
}

// build returns the unit that a region is, a new one if there was none, and the pose from the unit's frame to the sheet.
// from leads from the sheet to the frame of the thing that the region is a part of.
func (w *work) build(region []int32, from plane.Pose, put assembler) (int, plane.Pose) {
	var f *facts
	if len(region) > 1 {
		f = w.factsOf(region)
	} else {
		f = &facts{class: w.class[region[0]]}
	}
	c := f.class
	if u, ok := w.b.known[c.key(int(from.Turn)/45)]; ok {
		return u, w.b.pose(u, c, w.s.least(region))
	}
	if len(region) == 1 {
		f.outline, _ = w.s.outline(region)
	}
	outline, shape := f.outline, w.recognise(region, f)
	var to plane.Pose
	switch {
	case put.whole:
	case shape.Kind.Trade() || shape.Kind == unit.Square || shape.Kind == unit.Rectangle:
		to.Turn = (-shape.Turn).Norm()
	case c.grain:
		to.Turn = from.Turn % 90
	default:
		turn, _ := squareTo(outline)
		to.Turn = (-turn).Norm()
	}
	least, _ := to.ApplyPolygon(outline).Box()
	to.At = plane.Point{}.Sub(least)

	m := &made{class: c, Unit: Unit{
		Outline: to.ApplyPolygon(outline).Canonical(), Block: -1, Patches: len(region), Period: c.period * 45,
	}}
	m.class.turn = (c.turn - int(to.Turn)/45 + 8) & 7
	m.Key = m.class.key(0).String()
	if len(region) == 1 {
		m.Leaf = w.leaf(region[0], to)
		m.ref = w.b.res.lie(to).apply(w.s.ref[region[0]])
	} else {
		a := put.assemble(w, region, to)
		m.setParts(w.b, a, to)
		m.Role = Piecework
		if _, right := squareTo(m.Outline); a.row && right && !shape.Kind.Trade() {
			m.Role = Row
		}
	}
	m.Shape = w.b.ownShape(shape, to, m, w, region)
	return w.b.enter(m), to.Inverse()
}

// mostRecognised is more patches than any unit of the trade has.
const mostRecognised = 128

// assembler says how a region is put together that is not known yet.
type assembler struct {
	whole  bool    // it is a whole block and keeps its own frame
	solved *solver // it was reached by this solver
	tree   *tree   // it is this part of a core
	core   *core
}

func (p assembler) assemble(w *work, region []int32, to plane.Pose) assembly {
	if p.tree != nil {
		return p.core.assemble(p.tree, to)
	}
	return w.assemble(region, p.solved, to)
}

// leaf returns what the patch is cut from, as seen in the frame that to leads to.
func (w *work) leaf(patch int32, to plane.Pose) *Leaf {
	l := &Leaf{Fabric: w.fabric[patch]}
	if every := w.b.fabrics[l.Fabric].every; every > 1 {
		l.Up = (w.up[patch] + to.Turn).Norm() % plane.Turn(45*every)
	}
	return l
}

// setParts moves an assembly into the unit's frame.
func (m *made) setParts(b *builder, a assembly, to plane.Pose) {
	m.Parts, m.lies, m.Joins = make([]Part, 0, len(a.parts)), make([]lie, 0, len(a.parts)), make([]Join, 0, len(a.joins))
	for _, p := range a.parts {
		pose := p.pose.Then(to)
		m.Parts = append(m.Parts, Part{Unit: p.unit, Pose: pose})
		m.lies = append(m.lies, b.res.lie(pose))
	}
	for _, j := range a.joins {
		j.Seam = to.ApplySegment(j.Seam)
		if a.row && j.Seam.A.Cmp(j.Seam.B) > 0 {
			j.Seam = j.Seam.Reverse()
		}
		m.Joins = append(m.Joins, j)
	}
}

// enter adds a unit to those that are known.
func (b *builder) enter(m *made) int {
	u := len(b.made)
	m.Twin = -1
	b.made = append(b.made, m)
	b.known[m.class.key(0)] = u
	return u
}

// pose returns how a unit lies that is used where a region of class c has the top left corner of its box at least.
func (b *builder) pose(u int, c class, least plane.Point) plane.Pose {
	m := b.made[u]
	eighths := ((m.class.turn-c.turn)%c.period + c.period) % c.period
	if !m.turned[eighths] {
		m.corner[eighths], _ = plane.Pose{Turn: plane.Turn(45 * eighths)}.ApplyPolygon(m.Outline).Box()
		m.turned[eighths] = true
	}
	return plane.Pose{Turn: plane.Turn(45 * eighths), At: least.Sub(m.corner[eighths])}
}

// squareTo returns 45 for an outline with sides along the diagonals and none along the axes, else 0; right reports whether
// it is a rectangle along either.
func squareTo(outline plane.Polygon) (turn plane.Turn, right bool) {
	axes, diagonals := 0, 0
	for _, e := range outline.Edges() {
		d := e.B.Sub(e.A)
		switch {
		case d.X.IsZero() || d.Y.IsZero():
			axes++
		case d.X.Equal(d.Y) || d.X.Equal(d.Y.Neg()):
			diagonals++
		}
	}
	right = len(outline) == 4 && (axes == 4 || diagonals == 4)
	if axes == 0 && diagonals > 0 {
		return 45, right
	}
	return 0, right
}

// ownShape returns the shape as seen in the unit's frame, with its roles as numbers of leaves.
func (b *builder) ownShape(shape unit.Shape, to plane.Pose, m *made, w *work, region []int32) unit.Shape {
	shape.Turn = (shape.Turn + to.Turn).Norm()
	if len(shape.Roles) == 0 {
		_, most := m.Outline.Box()
		shape.Measures = []exact.Num{most.X, most.Y}
		return shape
	}
	if len(region) == 1 {
		return shape
	}
	number := map[spot]int{}
	b.eachLeaf(m, lie{}, func(at spot) { number[at] = len(number) })
	into := b.res.lie(to)
	for i, r := range shape.Roles {
		if r >= 0 {
			shape.Roles[i] = number[into.apply(w.s.ref[region[r]])]
		}
	}
	return shape
}

// eachLeaf calls do for every patch under a unit, in the order of parts, with where its ref lies.
func (b *builder) eachLeaf(m *made, at lie, do func(spot)) {
	if m.Leaf != nil {
		do(at.apply(m.ref))
		return
	}
	for i, p := range m.Parts {
		b.eachLeaf(b.made[p.Unit], m.lies[i].then(at), do)
	}
}

// assemble takes a region of several patches apart and builds the parts. to leads to the frame in which the first of
// equally good lines counts.
func (w *work) assemble(region []int32, solved *solver, to plane.Pose) assembly {
	if solved == nil {
		solved = w.solver(region)
	}
	less := func(a, b int32) bool { return w.order(a, to) < w.order(b, to) }
	var a apart
	var ok bool
	if solved != nil {
		a, ok = solved.take(solved.set(region), less)
	} else if a, ok = w.takeAll(region, less); ok {
		w.large = true
	}
	if !ok {
		return w.core(region, to)
	}
	var out assembly
	out.row = true
	for _, p := range a.parts {
		u, pose := w.build(p, to, assembler{solved: solved})
		out.parts = append(out.parts, part{u, pose})
	}
	for i, rank := range a.ranks {
		out.joins = append(out.joins, Join{A: i, B: i + 1, Seam: w.seam(a.parts[i], a.dir, rank)})
	}
	if !positive(plane.Pose{Turn: to.Turn}.Apply(w.s.dirs[a.dir].normal)) {
		out.reverse()
	}
	return out
}

// reverse lists the parts of a run from the other end.
func (a *assembly) reverse() {
	slices.Reverse(a.parts)
	slices.Reverse(a.joins)
	for i := range a.joins {
		a.joins[i].A, a.joins[i].B = i, i+1
	}
}

// solver returns a solver that has solved the region, nil where that is too much work.
func (w *work) solver(region []int32) *solver {
	most := mostSolved
	if w.large {
		most = mostSolvedPart
	}
	if len(region) > most || w.left <= 0 {
		return nil
	}
	limit := min(w.left, w.b.most())
	sv, looked := w.remembered(region, limit, func() *solver {
		sv := newSolver(w, region, limit)
		sv.solve(sv.set(region))
		return sv
	})
	w.left -= looked
	return sv
}

// order ranks a direction in the frame that to leads to: lines that lie across, those that stand, the others.
func (w *work) order(dir int32, to plane.Pose) int {
	n := plane.Pose{Turn: to.Turn}.Apply(w.s.dirs[dir].normal)
	switch {
	case n.X.IsZero():
		return 0
	case n.Y.IsZero():
		return 1
	}
	return 2 + int(dir)
}

// seam returns the line between the part before it and the part behind.
func (w *work) seam(before []int32, dir, rank int32) plane.Segment {
	from, to := w.chord(before, dir, rank)
	return plane.Segment{A: w.s.points[from], B: w.s.points[to]}
}

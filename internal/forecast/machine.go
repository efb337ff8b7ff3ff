package forecast

import (
	"fmt"
	"math"
	"slices"

	"quiltwright/internal/cloth"
	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// kind is what an input of a recipe stands for.
type kind int

const (
	ofPart  kind = iota // a raw edge of a unit that the recipe takes, how far out of its exact place
	ofPiece             // a raw edge of a piece, how far out of its printed place
	ofSeam              // how much deeper than printed a stitch comes out, on either side of it
	ofCut               // how far a cut lies from its line, to the right of it
	ofWidth             // how much wider a segment is cut
)

// input is one number that a recipe's outcome depends on.
type input struct {
	kind kind
	part int // of the recipe: ofPart, ofPiece
	edge int
	op   int // ofSeam, ofCut, ofWidth
}

// machine is one recipe, set up to be carried out on a table of cloth with errors: from inputs to how far the raw edges of what comes
// out lie out of their exact place.
type machine struct {
	r       *plan.Recipe
	seam    float64
	outline []pt // of the unit that comes out, finished
	gives   plan.Gives
	trims   bool // what comes out is trimmed last

	parts  []raw
	inputs []input
	push   []float64 // of every op that stitches by a line: which way deeper is, to the right of the line

	base []float64  // what comes out where every input is 0
	by   [][]effect // and what the inputs add to each edge
}

// effect is what an input of 1 adds.
type effect struct {
	input int
	by    float64
}

// raw is what a recipe takes: the finished outline of a unit, or the raw one of a piece.
type raw struct {
	outline []pt
	unit    *unit // nil: a piece
	piece   *plan.Piece
	first   int // its first input
}

// mostParts is how many parts of one recipe are sewn; no recipe of a block comes near it.
const mostParts = 4096

// setUp prepares the recipe that makes the unit.
func (s *shop) setUp(u *unit, r *plan.Recipe) (*machine, error) {
	m := &machine{r: r, seam: s.seam, outline: u.outline}
	k := slices.IndexFunc(r.Gives, func(g plan.Gives) bool { return g.Unit == u.ID })
	if k < 0 {
		return nil, fmt.Errorf("recipe %s does not give unit %s", r.ID, u.ID)
	}
	m.gives = r.Gives[k]
	for _, f := range r.From {
		if len(m.parts)+f.Count > mostParts {
			return nil, fmt.Errorf("recipe %s takes more than %d parts", r.ID, mostParts)
		}
		for range f.Count {
			one := raw{first: len(m.inputs)}
			of := ofPiece
			if f.Unit != "" {
				part, err := s.unit(f.Unit)
				if err != nil {
					return nil, err
				}
				of, one.unit, one.outline = ofPart, part, part.outline
			} else {
				one.piece = s.pieces[f.Piece]
				if one.piece == nil {
					return nil, fmt.Errorf("recipe %s takes piece “%s”, which is not there", r.ID, f.Piece)
				}
				if one.outline = s.blank(one.piece); one.outline == nil {
					return nil, fmt.Errorf("piece %s has no straight outline", f.Piece)
				}
			}
			for e := range one.outline {
				m.inputs = append(m.inputs, input{kind: of, part: len(m.parts), edge: e})
			}
			m.parts = append(m.parts, one)
		}
	}
	m.push = make([]float64, len(r.Do))
	for i, op := range r.Do {
		switch {
		case op.Op == "cut" && op.Line == nil:
			return nil, fmt.Errorf("recipe %s, operation %d: no line to cut along", r.ID, i)
		case op.Op == "stitch":
			m.inputs = append(m.inputs, input{kind: ofSeam, op: i})
			if op.Allowance == 0 && op.Along != nil {
				m.push[i] = m.away(i)
			}
		case op.Op == "cut" && op.Every != 0:
			m.inputs = append(m.inputs, input{kind: ofWidth, op: i})
		case op.Op == "cut" && !slices.ContainsFunc(r.Do[i:], func(o plan.Op) bool { return o.Every != 0 && o.Work == op.Work }):
			m.inputs = append(m.inputs, input{kind: ofCut, op: i}) // not the ragged end of a strip set: it does not matter where that is cut off
		case op.Op == "trim" && op.Work == m.gives.Work && m.last(i):
			m.trims = true
		}
	}
	return m, m.derive()
}

// last reports whether nothing is done to the work of operation i after it.
func (m *machine) last(i int) bool {
	return !slices.ContainsFunc(m.r.Do[i+1:], func(o plan.Op) bool {
		return o.Work == m.r.Do[i].Work || o.Op == "lay" && o.Part == m.r.Do[i].Work
	})
}

// away says to which side a seam by a drawn line moves where it is sewn too deep: away from the cut that is made beside it later, 1 for
// the right of the line as one walks along it.
func (m *machine) away(i int) float64 {
	op := m.r.Do[i]
	a, b := flat.At(op.Along[0]), flat.At(op.Along[1])
	u := flat.Direction(a, b)
	right := flat.Scale(flat.Outward(u), -1)
	near, side := math.Inf(1), math.Copysign(1, float64(op.Offset))
	for _, c := range m.r.Do[i+1:] {
		if c.Op != "cut" || c.Line == nil || c.Work != op.Work {
			continue
		}
		p, q := flat.At(c.Line[0]), flat.At(c.Line[1])
		if math.Abs(flat.Cross(u, flat.Direction(p, q))) > 1e-3 {
			continue
		}
		if d := flat.Dot(flat.Sub(p, a), right) - float64(op.Offset); math.Abs(d) > cloth.Tolerance && math.Abs(d) < near {
			near, side = math.Abs(d), -math.Copysign(1, d)
		}
	}
	return side
}

// sew carries the recipe out on a table with the inputs, without a last trim.
func (m *machine) sew(x []float64) ([]float64, error) {
	works := make([]cloth.Work, len(m.parts))
	for i, part := range m.parts {
		out := 0.0
		if part.unit != nil {
			out = m.seam
		}
		works[i] = cloth.Work{Count: 1, Layers: []cloth.Layer{{Cloth: flat.Moved(part.outline, func(e int) float64 { return out + x[part.first+e] })}}}
	}
	t := cloth.New(works)
	t.Guide = cloth.Middle
	next := 0
	for next < len(m.inputs) && m.inputs[next].kind <= ofPiece {
		next++
	}
	for i, op := range m.r.Do {
		if op.Op == "trim" && m.last(i) {
			continue
		}
		if next < len(m.inputs) && m.inputs[next].op == i {
			op = m.wrong(i, x[next])
			next++
		}
		if err := t.Do(op); err != nil {
			return nil, fmt.Errorf("recipe %s, operation %d: %w", m.r.ID, i, err)
		}
	}
	w := t.Look(m.gives.Work)
	if w == nil {
		return nil, fmt.Errorf("recipe %s: work %d does not lie on the table", m.r.ID, m.gives.Work)
	}
	return m.edges(w)
}

// wrong is operation i, wrong by x.
func (m *machine) wrong(i int, x float64) plan.Op {
	op := m.r.Do[i]
	shifted := func(l *[2]plan.Point, by float64) *[2]plan.Point {
		n := flat.Scale(flat.Outward(flat.Direction(flat.At(l[0]), flat.At(l[1]))), -by)
		moved := *l
		for k := range moved {
			moved[k][0] += plan.Num(n[0])
			moved[k][1] += plan.Num(n[1])
		}
		return &moved
	}
	switch {
	case op.Op == "stitch" && op.Allowance != 0:
		op.Allowance += plan.Num(x)
	case op.Op == "stitch":
		op.Offset += plan.Num(m.push[i] * x)
	case op.Every != 0:
		op.Every += plan.Num(x)
		op.Line = shifted(op.Line, x)
	default:
		op.Line = shifted(op.Line, x)
	}
	return op
}

// furthest is how many seams an edge may have come away from its place, where errors add up along a row.
const furthest = 6

// edges measures what came out: for every edge of the unit how far its raw edge lies out of its exact place, in the mean over its length.
func (m *machine) edges(w *cloth.Work) ([]float64, error) {
	pose := plan.Pose{At: m.gives.At, Turn: m.gives.Turn}
	sum, run := make([]float64, len(m.outline)), make([]float64, len(m.outline))
	for i := range w.Layers {
		l := cloth.Place(w.Layers[i], pose)
		fin, edge := cloth.Finished(&l, m.seam)
		for k, e := range edge {
			if l.Edges[e].Sewn {
				continue
			}
			a, b := fin[k], fin[(k+1)%len(fin)]
			long := flat.Distance(a, b)
			if j, off := beside(m.outline, a, b, furthest*m.seam); j >= 0 && long > 1e-9 {
				sum[j] += long * off
				run[j] += long
			}
		}
	}
	for j := range sum {
		if run[j] == 0 {
			return nil, fmt.Errorf("recipe %s: no raw edge lies beside edge %d of unit %s", m.r.ID, j, m.gives.Unit)
		}
		sum[j] /= run[j]
	}
	m.close(w, pose, sum)
	return sum, nil
}

// close draws the edges of the unit in where a seam was sewn whose two sides lay in place already (the rest of a partial seam, a later side
// of a set-in patch): the table leaves a gap there, or an overlap, between the two finished edges. Either side moves by half of it, and an
// edge of the unit by as much of that as lies beside the seam.
func (m *machine) close(w *cloth.Work, pose plan.Pose, out []float64) {
	for _, s := range w.Seams {
		if !s.Fold {
			continue
		}
		a, b := flat.Apply(pose, s.A), flat.Apply(pose, s.B)
		n := flat.Outward(flat.Direction(a, b))
		var pos, run [2]float64 // of the seam on either side's cloth, along n
		for i := range w.Layers {
			l := cloth.Place(w.Layers[i], pose)
			for e, g := range l.Edges {
				if !g.Sewn || g.Seam != s.N {
					continue
				}
				p, q := l.Cloth[e], l.Cloth[(e+1)%len(l.Cloth)]
				n0 := flat.Dot(n, flat.Outward(flat.Direction(p, q)))
				pos[g.Side] += flat.Distance(p, q) * (flat.Dot(flat.Sub(flat.Scale(flat.Add(p, q), 0.5), a), n) - (g.D0+g.D1)/2*n0)
				run[g.Side] += flat.Distance(p, q)
			}
		}
		if run[0] == 0 || run[1] == 0 {
			continue
		}
		gap, long := pos[0]/run[0]-pos[1]/run[1], flat.Distance(a, b)
		for j, p := range m.outline {
			q := m.outline[(j+1)%len(m.outline)]
			slant := math.Abs(flat.Dot(n, flat.Outward(flat.Direction(p, q))))
			out[j] -= gap / 2 * slant * min(1, long*slant/flat.Distance(p, q))
		}
	}
}

// derive sews the recipe exactly, and once more for every input with an error in that alone.
func (m *machine) derive() error {
	x := make([]float64, len(m.inputs))
	var err error
	if m.base, err = m.sew(x); err != nil {
		return err
	}
	m.by = make([][]effect, len(m.outline))
	h := m.seam / 32
	for i := range x {
		x[i] = h
		out, err := m.sew(x)
		x[i] = 0
		if err != nil {
			return err
		}
		for j := range out {
			if d := (out[j] - m.base[j]) / h; math.Abs(d) > 1e-9 {
				m.by[j] = append(m.by[j], effect{i, d})
			}
		}
	}
	return nil
}

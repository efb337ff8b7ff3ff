package forecast

import (
	"fmt"
	"math"

	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// shop is where a plan is sewn: its units, each set up once.
type shop struct {
	p       *plan.Plan
	o       Options
	seam    float64
	units   map[string]*unit
	plans   map[string]*plan.Unit
	pieces  map[string]*plan.Piece
	recipes map[string]*plan.Recipe
	steps   []Step // what can go wrong, in the order met
	byName  map[Step]int
}

// unit is a unit of the plan as this package sees it: what it is sewn from, or how its piece lies.
type unit struct {
	*plan.Unit
	outline []pt

	// A patch that is cut by itself.
	base []float64 // how far its raw edges lie out of their exact place as printed
	cut  int       // its step

	// Everything else.
	m        *machine
	middle   [2][]float64 // how much each edge counts for where the unit's middle lies
	normal   []pt         // of every edge, outward
	against  []int        // for every edge the opposite one
	cuts     []int        // of every part that is a piece: the step
	seams    int
	apart    int // cutting apart
	trimming int
}

func newShop(p *plan.Plan, o Options) *shop {
	by := p.Index()
	s := &shop{p: p, o: o, seam: float64(p.Seam), units: map[string]*unit{}, plans: by.Units, pieces: by.Pieces, recipes: by.Recipes, byName: map[Step]int{}}
	for i := range p.Recipes {
		r := &p.Recipes[i]
		for _, m := range r.Makes {
			if s.recipes["of "+m.Unit] == nil {
				s.recipes["of "+m.Unit] = r
			}
		}
	}
	return s
}

// step is the number of a step.
func (s *shop) step(does Does, unit, piece string) int {
	k := Step{Does: does, Unit: unit, Piece: piece}
	if _, ok := s.byName[k]; !ok {
		s.byName[k] = len(s.steps)
		s.steps = append(s.steps, k)
	}
	return s.byName[k]
}

// unit sets a unit up, and what it is made of before. A unit that is in itself is an error.
func (s *shop) unit(id string) (*unit, error) {
	if u, ok := s.units[id]; ok {
		if u == nil {
			return nil, fmt.Errorf("unit %s is not to be made", id)
		}
		return u, nil
	}
	s.units[id] = nil
	of := s.plans[id]
	if of == nil {
		return nil, fmt.Errorf("unit “%s” is not there", id)
	}
	u := &unit{Unit: of, outline: flat.Outline(of.Outline)}
	if u.outline == nil {
		return nil, fmt.Errorf("unit %s has no straight outline", id)
	}
	if of.Piece != "" && of.Lie != nil {
		x := s.pieces[of.Piece]
		if x == nil {
			return nil, fmt.Errorf("piece “%s” is not there", of.Piece)
		}
		if err := u.lay(x, s.seam); err != nil {
			return nil, err
		}
		u.cut = s.step(Cutting, "", x.Label)
		s.units[id] = u
		return u, nil
	}
	r := s.recipes[of.Recipe]
	if r == nil {
		r = s.recipes["of "+id]
	}
	if r == nil {
		return nil, fmt.Errorf("unit %s has no recipe", id)
	}
	m, err := s.setUp(u, r)
	if err != nil {
		return nil, err
	}
	u.m, u.against = m, opposite(u.outline)
	u.findMiddle()
	for _, part := range m.parts {
		step := -1
		if part.piece != nil {
			step = s.step(Cutting, "", part.piece.Label)
		}
		u.cuts = append(u.cuts, step)
	}
	u.seams, u.apart, u.trimming = s.step(Sewing, id, ""), s.step(Apart, id, ""), s.step(Trimming, id, "")
	s.units[id] = u
	return u, nil
}

// blank is the raw outline of a piece that a recipe takes. A strip is longer than printed: nothing is measured along it but the segments,
// and the last of them must not run out where one before it is cut too wide.
func (s *shop) blank(x *plan.Piece) []pt {
	p := flat.Raw(x)
	if x.Shape == "strip" && len(p) == 4 {
		p[0][0], p[3][0] = p[0][0]-2*s.seam, p[3][0]-2*s.seam
		p[1][0], p[2][0] = p[1][0]+2*s.seam, p[2][0]+2*s.seam
	}
	return p
}

// lay finds how far the edges of the piece lie out of where geometry wants them.
func (u *unit) lay(x *plan.Piece, seam float64) error {
	raw := flat.Posed(flat.Raw(x), *u.Lie)
	u.base = make([]float64, len(u.outline))
	for i := range u.base {
		u.base[i] = math.Inf(1)
	}
	for k, a := range raw {
		b := raw[(k+1)%len(raw)]
		n := flat.Scale(flat.Outward(flat.Direction(a, b)), -seam)
		if j, off := beside(u.outline, flat.Add(a, n), flat.Add(b, n), 1.9*seam); j >= 0 && math.Abs(off) < math.Abs(u.base[j]) {
			u.base[j] = off
		}
	}
	for _, b := range u.base {
		if math.IsInf(b, 0) {
			return fmt.Errorf("piece %s does not lie on unit %s", x.Label, u.ID)
		}
	}
	return nil
}

// sewer sews units, with its own errors.
type sewer struct {
	*shop
	chance
	table bool      // every recipe is carried out on the table, not by what was derived
	wrong []float64 // of every step: 1, or 0 where it is done exactly
	large map[string]bool
	scant float64 // what the needle is moved by
	err   error
	spare [][]float64
}

// take returns n numbers to work on.
func (w *sewer) take(n int) []float64 {
	if k := len(w.spare) - 1; k >= 0 && cap(w.spare[k]) >= n {
		x := w.spare[k][:n]
		w.spare = w.spare[:k]
		return x
	}
	return make([]float64, n, max(n, 64))
}

func (w *sewer) give(x []float64) { w.spare = append(w.spare, x) }

// make sews a unit, and what it is made of, and writes how far its raw edges come to lie out of their exact place.
func (w *sewer) make(u *unit, out []float64) {
	edge := w.o.Cutting / math.Sqrt2
	if u.m == nil {
		for i := range u.base {
			out[i] = u.base[i] + edge*w.wrong[u.cut]*w.error()
		}
		return
	}
	m := u.m
	x := w.take(len(m.inputs))
	for i, part := range m.parts {
		if part.unit != nil {
			w.make(part.unit, x[part.first:part.first+len(part.outline)])
			continue
		}
		for e := range part.outline {
			x[part.first+e] = edge * w.wrong[u.cuts[i]] * w.error()
		}
	}
	for i := range m.inputs {
		switch m.inputs[i].kind {
		case ofSeam:
			x[i] = w.scant + w.wrong[u.seams]*(w.o.SeamBias+w.o.TakeUp/2+w.o.SeamScatter*w.error())
		case ofCut:
			x[i] = edge * w.wrong[u.apart] * w.error()
		case ofWidth:
			x[i] = w.o.Cutting * w.wrong[u.apart] * w.error()
		}
	}
	if w.table {
		done, err := m.sew(x)
		if err != nil {
			w.err = err
			done = m.base
		}
		copy(out, done)
	} else {
		for j, by := range m.by {
			sum := m.base[j]
			for _, e := range by {
				sum += e.by * x[e.input]
			}
			out[j] = sum
		}
	}
	w.give(x)
	w.trim(u, out)
	u.balance(out)
}

// trim trims what is trimmed, and what is made large for it.
func (w *sewer) trim(u *unit, out []float64) {
	large := w.large != nil && w.large[u.ID]
	if !u.m.trims && !large {
		return
	}
	for j, against := range u.against {
		if against >= 0 && against < j {
			continue // done with the edge before it
		}
		// The ruler is moved until what is too much lies on both sides. What is too small, or cut that small, stays.
		ruled := w.o.Cutting * w.wrong[u.trimming] * w.error()
		if against < 0 {
			if ruled /= math.Sqrt2; large || out[j] > ruled {
				out[j] = ruled
			}
			continue
		}
		by := out[j] + out[against]
		if large || by > ruled {
			by = ruled
		}
		out[j], out[against] = by/2, by/2
	}
}

// findMiddle sets up balance: the move that fits the edges of the unit best, in least squares, by their lengths.
func (u *unit) findMiddle() {
	n := len(u.outline)
	var xx, xy, yy float64
	long := make([]float64, n)
	u.normal = make([]pt, n)
	for i, a := range u.outline {
		b := u.outline[(i+1)%n]
		long[i], u.normal[i] = flat.Distance(a, b), flat.Outward(flat.Direction(a, b))
		xx += long[i] * u.normal[i][0] * u.normal[i][0]
		xy += long[i] * u.normal[i][0] * u.normal[i][1]
		yy += long[i] * u.normal[i][1] * u.normal[i][1]
	}
	d := xx*yy - xy*xy
	u.middle = [2][]float64{make([]float64, n), make([]float64, n)}
	for i, v := range u.normal {
		u.middle[0][i] = long[i] * (yy*v[0] - xy*v[1]) / d
		u.middle[1][i] = long[i] * (xx*v[1] - xy*v[0]) / d
	}
}

// balance moves what came out so that it lies in the middle of its place: where it is joined next, as much is eased in at either end.
func (u *unit) balance(out []float64) {
	var by pt
	for i, e := range out {
		by[0] += u.middle[0][i] * e
		by[1] += u.middle[1][i] * e
	}
	for i, v := range u.normal {
		out[i] -= flat.Dot(by, v)
	}
}

// Package press chooses which way every seam is pressed, so that seams nest where they meet.
//
// In: units with their methods. Out: a direction for every join of every unit that is made, and what was met and missed.
// A direction is chosen once for each seam of each distinct unit: everyone presses a batch alike.
//
// Each seam is a variable (toward its part A, toward its part B, open); each point of a join where seams of both sides
// end has a table of costs over the seams there. Package weigh finds the cheapest choice. Costs, largest first
// (docs/craft.md#pressing): a meeting that does not nest; an open seam; pressing toward the side with more seams;
// pressing toward the lighter cloth.
package press

import (
	"math"
	"slices"

	"quiltwright/internal/method"
	"quiltwright/internal/piecing"
	"quiltwright/internal/quilt"
	"quiltwright/internal/weigh"
)

// States of a seam.
const (
	TowardA = 0
	TowardB = 1
	Open    = 2
)

// Weights are what choices cost. They are relative; docs/craft.md#pressing says what for.
type Weights struct {
	Same   int64 // a meeting whose allowances lie the same way
	Flat   int64 // a meeting with an open seam: flat, but nothing to lock
	Open   int64 // an open seam, wherever it is
	Cross  int64 // an hourglass of a pair pressed to a side: its half squares would not nest as they are laid, and be pressed unlike
	Usual  int64 // against what the method's users are taught
	Split  int64 // for each seam of a unit that is made both ways
	Spin   int64 // a crossing of four that is spun
	Unspun int64 // one that could be spun and is not
	Bulk   int64 // for each seam that ends on the side pressed toward: two layers more
	Light  int64 // toward the lighter cloth
	Order  int64 // toward the earlier part: only to settle ties
}

// Usual are the weights by which the rules that teachers give first win.
func Usual() Weights {
	return Weights{Same: 1000, Flat: 350, Open: 150, Cross: 9000, Usual: 60, Split: 30, Spin: 100, Bulk: 20, Light: 5, Order: 1}
}

const (
	costNever = 1 << 40 // against what the writer says, or what cloth can do
	costAsked = 1 << 34 // a crossing that the writer wants spun and is not: it may be that it cannot be
)

// Meeting is a point of a join where seams of both sides end.
type Meeting struct {
	Unit, Join int
	Way        int
	X, Y       float64
	Is         string   // nested | open | same
	Why        string   // where it is not nested: Ring, Writer or Dearer
	Ring       [][2]int // the seams of the ring, by unit and join, in order; empty where there is none
}

// Result is the pressing of a quilt.
type Result struct {
	Toward   [][2][]int     // Toward[u][way][j]: the state of join j of unit u; nil for units and ways that are not made
	Spun     [][2][][]Point // Spun[u][way][j]: the crossings at which join j is spun, in order along it: it lies as Toward says up to the first, the other way beyond
	Split    []bool         // units that are made both ways, because neighbours nest then
	Second   []bool         // units that are used the second way only
	Meetings []Meeting
	Nested   int
	Flat     int // meetings with an open seam
	Same     int
	Cost     int64
	Bound    int64
	Optimal  bool
	Seams    int // distinct seams: each is pressed alike wherever it occurs
	Width    int // most seams that had to be weighed together; see weigh.Result
	Work     int64
}

// end is a place where a seam ends on the outline of a unit, in the unit's frame.
type end struct {
	x, y   float64
	seam   int     // variable
	nx, ny float64 // toward the seam's part A
	dx, dy float64 // along the seam, into the unit
	loose  bool    // it is set into a corner
}

// presser carries the work of Solve.
type presser struct {
	doc     *quilt.Document
	weights Weights
	units   []method.Unit
	ways    method.Ways
	net     weigh.Net
	costs   []int64 // room for tables, see room
	overs   []int
	reach   [][2]bool  // ways in which each unit is used
	seams   [][2][]int // variable of each join of each unit, each way
	ends    [][2][]end // of each unit, each way
	meet    []meeting
	fixed   map[[2]int]int
	spin    map[[2]int][]Point // where the writer wants joins spun
	spins   [][][]Point        // where they may be
	turns   [][2][][]turn      // where that is weighed
}

// meeting is a pair of seams that face each other across a join.
type meeting struct {
	Meeting
	p, q   int  // variables
	facing bool // toward A of both lies the same way along the join
}

// Solve chooses the directions. ways says which parts of the setting may be pressed the other way than their neighbours; fixed holds the
// state of joins, by unit and number as method.Pressed has them, that the writer has chosen: those are pressed so in every unit, whatever it costs; and spin the crossings at which
// joins are to be spun, where that can be.
func Solve(doc *quilt.Document, units []method.Unit, top int, ways method.Ways, said Said, weights Weights, effort weigh.Effort) Result {
	p := network(doc, units, top, ways, said, weights)
	return p.result(weigh.Solve(&p.net, effort))
}

// Said is what the writer says of joins, each by its unit and number.
type Said struct {
	State map[[2]int]int     // of its seam
	Spin  map[[2]int][]Point // where it is spun
}

// Net is the network that Solve weighs: a variable of three states for each distinct seam, and for each stretch of one beyond a crossing at which spinning is weighed.
func Net(doc *quilt.Document, units []method.Unit, top int, ways method.Ways, said Said, weights Weights) *weigh.Net {
	return &network(doc, units, top, ways, said, weights).net
}

// network makes the variables and their costs.
func network(doc *quilt.Document, units []method.Unit, top int, ways method.Ways, said Said, weights Weights) *presser {
	if doc.Make.Press == "spin" {
		weights.Spin, weights.Unspun = 0, weights.Flat
	}
	p := &presser{doc: doc, weights: weights, units: units, ways: ways, fixed: said.State, spin: said.Spin, spins: Spins(units),
		seams: make([][2][]int, len(units)), turns: make([][2][][]turn, len(units)), ends: make([][2][]end, len(units)), reach: make([][2]bool, len(units))}
	p.reach[top][0] = true
	for i := len(units) - 1; i >= 0; i-- {
		for way, in := range p.reach[i] {
			for k, part := range units[i].Parts {
				if in {
					p.reach[part.Unit][ways.Of(i, k, way)] = true
				}
			}
		}
	}
	for i := range units {
		if k := units[i].Mate; k > i { // the same batches make both, each way
			both := [2]bool{p.reach[i][0] || p.reach[k][0], p.reach[i][1] || p.reach[k][1]}
			p.reach[i], p.reach[k] = both, both
		}
	}
	for i := range units {
		for way, in := range p.reach[i] {
			if in && units[i].Made {
				p.variables(i, way)
				p.unit(i, way)
			}
		}
		p.alike(i)
	}
	p.join()
	return p
}

// alike makes it dearer to make a unit both ways than one way.
func (p *presser) alike(i int) {
	one, two := p.seams[i][0], p.seams[i][1]
	if one == nil || two == nil || p.units[i].OneWay {
		return
	}
	cost := make([]int64, 9)
	for s := range 9 {
		if s/3 != s%3 {
			cost[s] = p.weights.Split
		}
	}
	for k := range one {
		if !slices.Contains(one[:k], one[k]) {
			p.net.Add([]int{one[k], two[k]}, cost)
		}
		for n, t := range p.turns[i][0][k] {
			p.net.Add([]int{t.v, p.turns[i][1][k][n].v}, cost)
		}
	}
}

// variables gives every seam of unit i a variable. A join that goes on from the one before it is the same seam, and so is the first of a mate, and so are the two
// halves of a partial seam: they lie on one line, on one side of which is what both hold.
func (p *presser) variables(i, way int) {
	u := &p.units[i]
	if u.Leaf != nil {
		return
	}
	if one := p.seams[i][1-way]; one != nil && u.OneWay {
		p.seams[i][way], p.turns[i][way] = one, p.turns[i][1-way]
		return
	}
	p.seams[i][way], p.turns[i][way] = make([]int, len(u.Joins)), make([][]turn, len(u.Joins))
	for k, j := range u.Joins {
		same := -1
		switch {
		case k > 0 && (j.OneGo || u.Tied):
			same = k - 1
		case j.Kind == piecing.Partial && j.Finish:
			same = slices.IndexFunc(u.Joins, func(o piecing.Join) bool { return o.Kind == piecing.Partial })
		}
		if same >= 0 {
			p.seams[i][way][k] = p.seams[i][way][same]
			p.fix(i, way, k)
			continue
		}
		if k == 0 && u.Mate >= 0 && p.seams[u.Mate][way] != nil {
			p.seams[i][way][k] = p.seams[u.Mate][way][k]
			continue
		}
		v := p.net.Variable(3)
		p.seams[i][way][k] = v
		over, cost := p.room(1, 3)
		over[0] = v
		cost[TowardA], cost[TowardB], cost[Open] = 0, p.weights.Order, p.weights.Open
		if p.doc.Make.Press == "open" {
			cost[TowardA], cost[TowardB], cost[Open] = p.weights.Open, p.weights.Open+p.weights.Order, 0
		}
		light := p.weights.Light
		if p.doc.Make.Press == "dark" {
			light = 4 * p.weights.Same
		}
		switch d := p.darkness(u, j.A) - p.darkness(u, j.B); {
		case d > 0:
			cost[TowardB] += light
		case d < 0:
			cost[TowardA] += light
		}
		if u.Crossed() {
			cost[TowardA] += p.weights.Cross
			cost[TowardB] += p.weights.Cross
		}
		if f := u.Usual[k]; f >= 0 {
			cost[1-f] += p.weights.Usual
			cost[Open] += p.weights.Usual
			cost[f] = 0
		}
		p.net.Add(over, cost)
		p.fix(i, way, k)
	}
}

// last is the variable of the last stretch of join k.
func (p *presser) last(i, way, k int) int {
	if t := p.turns[i][way][k]; len(t) > 0 {
		return t[len(t)-1].v
	}
	return p.seams[i][way][k]
}

// fix makes every state of a join but the writer's dearer than anything else.
func (p *presser) fix(i, way, k int) {
	want, ok := p.fixed[method.Pressed(p.units, i, k)]
	if !ok {
		return
	}
	over, cost := p.room(1, 3)
	over[0] = p.seams[i][way][k]
	cost[TowardA], cost[TowardB], cost[Open] = costNever, costNever, costNever
	cost[want] = 0
	p.net.Add(over, cost)
}

// room returns a list of variables and one of costs: there may be a million small ones, so they stand side by side.
func (p *presser) room(variables, costs int) (over []int, cost []int64) {
	const many = 4096
	if len(p.overs) < variables {
		p.overs = make([]int, many)
	}
	if len(p.costs) < costs {
		p.costs = make([]int64, many)
	}
	over, cost = p.overs[:variables:variables], p.costs[:costs:costs]
	p.overs, p.costs = p.overs[variables:], p.costs[costs:]
	return over, cost
}

// darkness is 1, 2 or 3 for a patch of a light, medium or dark fabric, and 0 for anything pieced.
func (p *presser) darkness(u *method.Unit, part int) int {
	leaf := p.units[u.Parts[part].Unit].Leaf
	if leaf == nil {
		return 0
	}
	switch p.doc.Fabrics[leaf.Fabric].Value {
	case quilt.Light:
		return 1
	case quilt.Dark:
		return 3
	}
	return 2
}

const near = 1e-6 // points of one drawing lie much further apart; incidence itself was decided exactly by piecing

// unit finds the meetings on the joins of unit i, and where seams end on its outline.
func (p *presser) unit(i, way int) {
	u := &p.units[i]
	parts := make([][]end, len(u.Parts))
	for k, part := range u.Parts {
		parts[k] = moved(p.ends[part.Unit][p.ways.Of(i, k, way)], part)
	}
	for k := 0; k < len(u.Joins); {
		last := k
		for last+1 < len(u.Joins) && u.Joins[last+1].OneGo {
			last++
		}
		p.meetings(i, way, k, last, parts)
		k = last + 1
	}
	if u.Crossed() {
		// Half squares laid one on the other: their seams cross the last one at its middle, and all are pressed alike.
		v, m := p.seams[i][way][0], u.Joins[0].Seam.B
		p.meet = append(p.meet, meeting{Meeting: Meeting{Unit: i, Way: way, Join: 2, X: m.X.Float(), Y: m.Y.Float()}, p: v, q: v, facing: true})
	}
	if u.Role == piecing.Top {
		return
	}
	out := outline(u)
	for k := range parts {
		for _, e := range parts[k] {
			if out.on(e.x, e.y) {
				p.ends[i][way] = append(p.ends[i][way], e)
			}
		}
	}
	for k, j := range u.Joins {
		ax, ay, bx, by := j.Seam.A.X.Float(), j.Seam.A.Y.Float(), j.Seam.B.X.Float(), j.Seam.B.Y.Float()
		nx, ny := towardA(p.units, u, k)
		l := math.Hypot(bx-ax, by-ay)
		dx, dy := (bx-ax)/l, (by-ay)/l
		if out.on(ax, ay) {
			p.ends[i][way] = append(p.ends[i][way], end{ax, ay, p.seams[i][way][k], nx, ny, dx, dy, false})
		}
		if out.on(bx, by) {
			p.ends[i][way] = append(p.ends[i][way], end{bx, by, p.last(i, way, k), nx, ny, -dx, -dy, false})
		}
	}
}

// moved is the ends of a part in the frame of the unit it is in.
func moved(ends []end, part piecing.Part) []end {
	if len(ends) == 0 {
		return nil
	}
	s, c := math.Sincos(float64(part.Pose.Turn) * math.Pi / 180)
	x, y := part.Pose.At.X.Float(), part.Pose.At.Y.Float()
	turn := func(a, b float64) (float64, float64) { return c*a - s*b, s*a + c*b }
	out := make([]end, len(ends))
	for k, e := range ends {
		m := end{seam: e.seam, loose: e.loose}
		m.x, m.y = turn(e.x, e.y)
		m.x, m.y = m.x+x, m.y+y
		m.nx, m.ny = turn(e.nx, e.ny)
		m.dx, m.dy = turn(e.dx, e.dy)
		out[k] = m
	}
	return out
}

// towardA is the unit vector square to join k, on the side of its part A.
func towardA(units []method.Unit, u *method.Unit, k int) (x, y float64) {
	j := u.Joins[k]
	ax, ay := j.Seam.A.X.Float(), j.Seam.A.Y.Float()
	dx, dy := j.Seam.B.X.Float()-ax, j.Seam.B.Y.Float()-ay
	l := math.Hypot(dx, dy)
	x, y = -dy/l, dx/l
	// A's cloth next to the seam lies on one side of it: the side of the edge of A's outline that runs along the seam.
	part := u.Parts[j.A]
	pg := part.Pose.ApplyPolygon(units[part.Unit].Outline)
	for e, a := range pg {
		b := pg[(e+1)%len(pg)]
		px, py, qx, qy := a.X.Float()-ax, a.Y.Float()-ay, b.X.Float()-ax, b.Y.Float()-ay
		if math.Abs(px*x+py*y) > near || math.Abs(qx*x+qy*y) > near {
			continue
		}
		t0, t1 := (px*dx+py*dy)/l, (qx*dx+qy*dy)/l
		if math.Min(math.Max(t0, t1), l)-math.Max(math.Min(t0, t1), 0) > near {
			if t1 > t0 { // clockwise as seen: the inside is on the right of the edge
				return x, y
			}
			return -x, -y
		}
	}
	panic("press: a join does not lie on the edge of its part")
}

// rim is the outline of a unit.
type rim []([4]float64)

func outline(u *method.Unit) rim {
	r := make(rim, len(u.Outline))
	for k, a := range u.Outline {
		b := u.Outline[(k+1)%len(u.Outline)]
		r[k] = [4]float64{a.X.Float(), a.Y.Float(), b.X.Float(), b.Y.Float()}
	}
	return r
}

func (r rim) on(x, y float64) bool {
	for _, s := range r {
		if within(s, x, y) {
			return true
		}
	}
	return false
}

// within reports whether x, y lies on the segment s, its ends included.
func within(s [4]float64, x, y float64) bool {
	dx, dy := s[2]-s[0], s[3]-s[1]
	l := math.Hypot(dx, dy)
	t := ((x-s[0])*dx + (y-s[1])*dy) / l
	return math.Abs((x-s[0])*dy-(y-s[1])*dx)/l < near && t > -near && t < l+near
}

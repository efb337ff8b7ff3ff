package press

import (
	"math"
	"slices"

	"quiltwright/internal/method"
	"quiltwright/internal/piecing"
)

// Crossing is a point inside a unit where seams end on one of its own joins or on another, and the most layers of cloth that lie on one
// another there. A seam alone has 3 on the side it is pressed toward and 1 on the other, 2 and 2 where it is open; where two pairs are joined it
// is 9 if both are pressed the same way, 7 if they nest, 4 if all is open (geometry: docs/craft.md#pressing).
type Crossing struct {
	X, Y   float64
	Layers [2]int // the first way and the second; 0 where the unit is not made so
}

// mostCrossings is of how many crossings a map is made; a larger one nobody reads.
const mostCrossings = 20_000

// Layers lists the crossings of every unit's own joins, from the top down, then from left to right: those inside its parts are the parts'. Where
// a seam that is set in ends, at a dot, the allowances lie loose, folded about no line, and nothing is said. It is nil where there would be too many.
func Layers(units []method.Unit, ways method.Ways, pressed Result) [][]Crossing {
	l := &layers{units: units, ways: ways, pressed: pressed, boxes: make([][][4]float64, len(units)), ends: make([][][2]float64, len(units))}
	out := make([][]Crossing, len(units))
	count := 0
	for i := range units {
		u := &units[i]
		for _, part := range u.Parts {
			lo, hi := part.Pose.ApplyPolygon(units[part.Unit].Outline).Box()
			l.boxes[i] = append(l.boxes[i], [4]float64{lo.X.Float() - near, lo.Y.Float() - near, hi.X.Float() + near, hi.Y.Float() + near})
		}
		for _, at := range l.points(i) {
			c := Crossing{X: at[0], Y: at[1]}
			l.loose = false
			for way := range 2 {
				if pressed.Toward[i][way] != nil && (way == 1 || !pressed.Second[i]) {
					c.Layers[way] = most(l.around(i, way, at[0], at[1], 0))
				}
			}
			if c.Layers != [2]int{} && !l.loose {
				out[i] = append(out[i], c)
			}
		}
		if count += len(out[i]); count > mostCrossings {
			return nil
		}
	}
	return out
}

type layers struct {
	units   []method.Unit
	ways    method.Ways
	pressed Result
	boxes   [][][4]float64 // of each part of each unit
	ends    [][][2]float64 // where seams end on the outline of each unit
	loose   bool           // a seam that is set in ends at the point that was looked at last
}

// points finds the crossings of unit i, and where its seams end on its outline.
func (l *layers) points(i int) [][2]float64 {
	u := &l.units[i]
	var all [][2]float64
	for _, part := range u.Parts {
		for _, e := range moved(l.asEnds(part.Unit), part) {
			all = append(all, [2]float64{e.x, e.y})
		}
	}
	for _, j := range u.Joins {
		for _, p := range []struct{ x, y float64 }{{j.Seam.A.X.Float(), j.Seam.A.Y.Float()}, {j.Seam.B.X.Float(), j.Seam.B.Y.Float()}} {
			all = append(all, [2]float64{p.x, p.y})
		}
	}
	slices.SortFunc(all, func(a, b [2]float64) int {
		switch {
		case math.Abs(a[1]-b[1]) > near && a[1] < b[1], math.Abs(a[1]-b[1]) <= near && a[0] < b[0]:
			return -1
		case a == b:
			return 0
		}
		return 1
	})
	all = slices.CompactFunc(all, func(a, b [2]float64) bool {
		return math.Abs(a[0]-b[0]) < near && math.Abs(a[1]-b[1]) < near
	})
	rim := outline(u)
	var inner [][2]float64
	for _, at := range all {
		if rim.on(at[0], at[1]) {
			l.ends[i] = append(l.ends[i], at)
		} else {
			inner = append(inner, at)
		}
	}
	return inner
}

func (l *layers) asEnds(unit int) []end {
	out := make([]end, len(l.ends[unit]))
	for k, at := range l.ends[unit] {
		out[k] = end{x: at[0], y: at[1]}
	}
	return out
}

// folded is cloth around a point: two pieces joined along a line through the point, or lying side by side without one, or a patch, which reaches
// all round the point because of its allowances.
type folded struct {
	a, b   *folded // nil: a patch
	apart  bool    // side by side, without a seam
	nx, ny float64 // toward a
	state  int
	spun   bool // each quarter is folded about one seam only: its own, or the last where that lies on its other side
}

// around is the cloth of unit i, made one way, around a point of its frame; turn is by how many degrees the frame itself lies turned. It is nil where
// the unit does not reach the point.
func (l *layers) around(i, way int, x, y float64, turn float64) *folded {
	u := &l.units[i]
	if u.Leaf != nil {
		if !reaches(u, x, y) {
			return nil
		}
		return &folded{}
	}
	if !u.BothWays() { // pressed the one way that it is made, wherever it stands
		way = 0
		if u.BatchesWay(0) == 0 && u.BatchesWay(1) > 0 {
			way = 1
		}
	}
	group := make([]int, len(u.Parts))
	cloth := make([]*folded, len(u.Parts))
	for k, part := range u.Parts {
		group[k] = k
		if b := l.boxes[i][k]; x < b[0] || y < b[1] || x > b[2] || y > b[3] {
			continue
		}
		s, c := math.Sincos(float64(part.Pose.Turn) * math.Pi / 180)
		dx, dy := x-part.Pose.At.X.Float(), y-part.Pose.At.Y.Float()
		cloth[k] = l.around(part.Unit, l.ways.Of(i, k, way), c*dx+s*dy, c*dy-s*dx, turn+float64(part.Pose.Turn))
	}
	find := func(k int) int {
		for group[k] != k {
			k = group[k]
		}
		return k
	}
	s, c := math.Sincos(turn * math.Pi / 180)
	for _, at := range sewnAt(u, x, y) {
		k, j := at[0], u.Joins[at[0]]
		l.loose = l.loose || j.Kind == piecing.SetIn && !between(j, x, y)
		a, b := find(j.A), find(j.B)
		if a == b || cloth[a] == nil || cloth[b] == nil {
			continue
		}
		group[b] = a
		f := &folded{a: cloth[a], b: cloth[b], state: Open}
		nx, ny := towardA(l.units, u, k)
		f.nx, f.ny = c*nx-s*ny, s*nx+c*ny
		if l.pressed.Toward[i][way] != nil {
			f.state, f.spun = l.pressed.At(i, way, at[1], u.Joins[at[1]], x, y)
		}
		cloth[a] = f
	}
	var all *folded
	for k := range cloth {
		switch {
		case group[k] != k || cloth[k] == nil:
		case all == nil:
			all = cloth[k]
		default: // not sewn to one another here
			all = &folded{a: all, b: cloth[k], apart: true}
		}
	}
	return all
}

// between reports whether a point on a join lies between its ends.
func between(j piecing.Join, x, y float64) bool {
	a, b := j.Seam.A, j.Seam.B
	return math.Hypot(a.X.Float()-x, a.Y.Float()-y) > near && math.Hypot(b.X.Float()-x, b.Y.Float()-y) > near
}

// sewnAt lists the joins that lie at a point, in the order in which they are sewn there, each with the join that it is pressed with: the half of a
// partial seam that is left open is sewn and pressed with what finishes it, which has the same second part.
func sewnAt(u *method.Unit, x, y float64) [][2]int {
	var out, open [][2]int
	for k, j := range u.Joins {
		ax, ay, bx, by := j.Seam.A.X.Float(), j.Seam.A.Y.Float(), j.Seam.B.X.Float(), j.Seam.B.Y.Float()
		partial := j.Kind == piecing.Partial
		if partial && j.Finish {
			for n := range open {
				open[n][1] = k
			}
			out, open = append(out, open...), nil
		}
		switch {
		case !within([4]float64{ax, ay, bx, by}, x, y):
		case partial && !j.Finish && math.Hypot(x-bx, y-by) < math.Hypot(x-ax, y-ay):
			open = append(open, [2]int{k, k})
		default:
			out = append(out, [2]int{k, k})
		}
	}
	return append(out, open...)
}

// reaches reports whether the point lies in the patch or on its edge.
func reaches(u *method.Unit, x, y float64) bool {
	in := false
	for _, s := range outline(u) {
		if within(s, x, y) {
			return true
		}
		if (s[1] > y) != (s[3] > y) && x < s[0]+(y-s[1])*(s[2]-s[0])/(s[3]-s[1]) {
			in = !in
		}
	}
	return in
}

// most is the most layers in any direction around the point.
func most(f *folded) int {
	turns := f.turns()
	if len(turns) == 0 {
		return f.layers(1, 0)
	}
	n := 0
	for k, t := range turns {
		next := turns[0] + math.Pi
		if k+1 < len(turns) {
			next = turns[k+1]
		}
		s, c := math.Sincos((t + next) / 2)
		n = max(n, f.layers(c, s), f.layers(-c, -s))
	}
	return n
}

// turns are the directions at which the layers change, from 0 to a half turn and rising: the seams, and what lies mirrored about those sewn later.
func (f *folded) turns() []float64 {
	if f == nil || f.a == nil {
		return nil
	}
	all := append(f.a.turns(), f.b.turns()...)
	if !f.apart {
		along := math.Atan2(f.nx, -f.ny)
		for _, t := range all {
			all = append(all, 2*along-t)
		}
		all = append(all, along)
	}
	for k, t := range all {
		if all[k] = math.Mod(t+4*math.Pi, math.Pi); all[k] > math.Pi-1e-7 {
			all[k] = 0
		}
	}
	slices.Sort(all)
	return slices.CompactFunc(all, func(a, b float64) bool { return math.Abs(a-b) < 1e-7 })
}

// layers counts the cloth in one direction. What lies beyond a seam is folded back about it, but for the allowance on which the other
// side's is pressed.
func (f *folded) layers(dx, dy float64) int {
	switch {
	case f == nil:
		return 0
	case f.a == nil:
		return 1
	case f.apart:
		return f.a.layers(dx, dy) + f.b.layers(dx, dy)
	case f.spun:
		n := 0
		for half, g := range []*folded{f.a, f.b} {
			for quarter, q := range []*folded{g.a, g.b} {
				nx, ny := f.nx, f.ny
				if half == 1 {
					nx, ny = -nx, -ny
				}
				switch { // which of the two seams it is folded about
				case g.state == TowardA && quarter == 0:
					nx, ny = g.nx, g.ny
				case g.state == TowardB && quarter == 1:
					nx, ny = -g.nx, -g.ny
				}
				if side := dx*nx + dy*ny; side > 0 {
					n += q.layers(dx, dy) + q.layers(dx-2*side*nx, dy-2*side*ny)
				}
			}
		}
		return n
	}
	side := dx*f.nx + dy*f.ny
	bx, by := dx-2*side*f.nx, dy-2*side*f.ny // the mirror image about the seam
	own, other, toward, away := f.a, f.b, TowardA, TowardB
	if side < 0 {
		own, other, toward, away = f.b, f.a, TowardB, TowardA
	}
	n := own.layers(dx, dy)
	if f.state != away {
		n += own.layers(bx, by)
	}
	if f.state == toward {
		n += other.layers(dx, dy)
	}
	return n
}

package press

import (
	"math"
	"sort"

	"quiltwright/internal/method"
	"quiltwright/internal/piecing"
)

// Point is a place in the frame of a unit.
type Point struct{ X, Y float64 }

// Spins lists, for every join of every unit, the crossings of four at which it may be spun, in order along it: where the last seams of both its sides
// end on it, each square to it and between its ends. Both were sewn before it, so that their few stitches inside its allowance can be opened; then its two
// halves may be pressed opposite ways, and the four allowances turn round the crossing.
//
// A seam is spun only where it is sewn by itself, from end to end, by the raw edge: as a method's recipe presses its own seams, its users are taught. At a
// dot, where something is set in, the allowances lie loose already.
func Spins(units []method.Unit) [][][]Point {
	ends := seamEnds(units)
	out := make([][][]Point, len(units))
	for i := range units {
		u := &units[i]
		out[i] = make([][]Point, len(u.Joins))
		if !u.Made || u.Method != "joined" || u.Tied {
			continue
		}
		for k, j := range u.Joins {
			goesOn := j.OneGo || k+1 < len(u.Joins) && u.Joins[k+1].OneGo
			if j.Kind == piecing.Straight && !j.Finish && !goesOn && u.Usual[k] < 0 {
				out[i][k] = spins(j, moved(ends[u.Parts[j.A].Unit], u.Parts[j.A]), moved(ends[u.Parts[j.B].Unit], u.Parts[j.B]))
			}
		}
	}
	return out
}

// spins are the crossings of one join.
func spins(j piecing.Join, a, b []end) (out []Point) {
	s := lineOf(j, j)
	as, bs := s.ends(a), s.ends(b)
	for _, x := range s.crossings(as, bs) {
		ea, eb := as[x.a[1]-1], bs[x.b[1]-1] // the last sewn on either side
		loose := false
		for _, e := range append(append([]placed{}, as[x.a[0]:x.a[1]]...), bs[x.b[0]:x.b[1]]...) {
			loose = loose || e.loose
		}
		if !loose && s.square(ea) && s.square(eb) && ea.t > near && ea.t < s.long-near {
			out = append(out, Point{ea.x, ea.y})
		}
	}
	return out
}

// seamLine is a seam from end to end.
type seamLine struct {
	at     [4]float64
	ux, uy float64
	long   float64
}

// lineOf is the seam of joins first to last, sewn in one go.
func lineOf(first, last piecing.Join) seamLine {
	a, b := first.Seam.A, last.Seam.B
	s := seamLine{at: [4]float64{a.X.Float(), a.Y.Float(), b.X.Float(), b.Y.Float()}}
	s.long = math.Hypot(s.at[2]-s.at[0], s.at[3]-s.at[1])
	s.ux, s.uy = (s.at[2]-s.at[0])/s.long, (s.at[3]-s.at[1])/s.long
	return s
}

// ends are those that lie on the seam, in order along it; of those at one point the last sewn is the last.
func (s seamLine) ends(all []end) (out []placed) {
	for _, e := range all {
		if within(s.at, e.x, e.y) {
			out = append(out, placed{end: e, t: (e.x-s.at[0])*s.ux + (e.y-s.at[1])*s.uy})
		}
	}
	sort.SliceStable(out, func(x, y int) bool { return out[x].t < out[y].t-near })
	return out
}

// square reports whether a seam that ends on this one stands square to it.
func (s seamLine) square(e placed) bool { return math.Abs(e.dx*s.ux+e.dy*s.uy) < near }

// met is a point of a seam at which ends of both sides lie: from the first of each side to the one after its last.
type met struct{ a, b [2]int }

// crossings are the points at which ends of both sides lie.
func (s seamLine) crossings(as, bs []placed) (out []met) {
	for x, y := 0, 0; x < len(as) && y < len(bs); {
		switch {
		case as[x].t < bs[y].t-near:
			x++
		case bs[y].t < as[x].t-near:
			y++
		default:
			x2, y2 := x, y
			for x2 < len(as) && as[x2].t < as[x].t+near {
				x2++
			}
			for y2 < len(bs) && bs[y2].t < bs[y].t+near {
				y2++
			}
			out = append(out, met{[2]int{x, x2}, [2]int{y, y2}})
			x, y = x2, y2
		}
	}
	return out
}

// turn is a crossing at which a seam may be spun, and the variable of the stretch of it that begins there.
type turn struct {
	Point
	v, before int
	p, q      placed // the last seams that end there, of its part A and of its part B
	along     bool   // toward A of p lies along the seam, from its first end to its last
}

// spun reports whether a seam that lies one way before a crossing and another after it can be spun there: the seams that cross it nest, and all four
// allowances turn the same way round.
func (t *turn) spun(before, after, p, q int) bool {
	facing := t.p.nx*t.q.nx+t.p.ny*t.q.ny > 0
	if before == Open || after == Open || before == after || p == Open || q == Open || is(p, q, facing) != "nested" {
		return false
	}
	ahead := (p == TowardA) == t.along // p lies along the seam: behind the crossing it is pressed to p's side, beyond it away from it
	return (before == TowardA) == ahead
}

// offered reports whether a crossing is weighed: where the writer asks for it or for as many as can be, or where it could pay.
func (p *presser) offered(i, k int, at Point, endsA, endsB int) bool {
	if _, fixed := p.fixed[method.Pressed(p.units, i, k)]; fixed || !among(p.spins[i][k], at) {
		return false
	}
	return p.asked(i, k, at) || p.weights.Unspun > 0 || p.weights.Bulk*int64(min(endsA, endsB)) > p.weights.Spin
}

// asked reports whether the writer wants a join spun at a point.
func (p *presser) asked(i, k int, at Point) bool { return among(p.spin[[2]int{i, k}], at) }

// among reports whether a point is one of these.
func among(all []Point, at Point) bool {
	for _, x := range all {
		if math.Hypot(x.X-at.X, x.Y-at.Y) < near {
			return true
		}
	}
	return false
}

// turn gives the rest of seam k of unit i, beyond a crossing, a variable of its own, and weighs whether it is spun there.
func (p *presser) turn(i, way, k, before int, s seamLine, as, bs []placed) int {
	a, b := as[len(as)-1], bs[len(bs)-1]
	t := turn{Point: Point{a.x, a.y}, v: p.net.Variable(3), before: before, p: a, q: b, along: a.nx*s.ux+a.ny*s.uy > 0}
	p.turns[i][way][k] = append(p.turns[i][way][k], t)
	over := []int{before, t.v, a.seam}
	if b.seam != a.seam {
		over = append(over, b.seam)
	}
	cost := make([]int64, 0, 81)
	for n := range pow3(len(over)) {
		s := make([]int, len(over))
		for k := len(over) - 1; k >= 0; k-- {
			s[k], n = n%3, n/3
		}
		switch {
		case s[0] == s[1]:
			c := p.weights.Unspun
			if p.asked(i, k, t.Point) {
				c = costAsked
			}
			if s[0] != Open {
				c += p.weights.Bulk * int64([]int{TowardA: len(as), TowardB: len(bs)}[s[0]])
			}
			cost = append(cost, c)
		case t.spun(s[0], s[1], s[2], s[len(s)-1]):
			cost = append(cost, p.weights.Spin)
		default:
			cost = append(cost, costNever)
		}
	}
	p.net.Add(over, cost)
	return t.v
}

// pow3 is how many choices there are of so many seams' states.
func pow3(n int) int {
	m := 1
	for range n {
		m *= 3
	}
	return m
}

// straighten makes seams go on as they came where a choice that was not weighed to the end would turn them at a crossing that cannot be spun so.
func (p *presser) straighten(value []int) {
	for i := range p.units {
		for way := range 2 {
			for _, turns := range p.turns[i][way] {
				for n := range turns {
					t := &turns[n]
					if !t.spun(value[t.before], value[t.v], value[t.p.seam], value[t.q.seam]) {
						value[t.v] = value[t.before]
					}
				}
			}
		}
	}
}

// At is which way join k of unit i lies at a point of it, where the unit is made the given way: TowardA, TowardB or Open. At a crossing where it is spun, spun is
// true, and the state is that of the stretch before it.
func (r *Result) At(i, way, k int, j piecing.Join, x, y float64) (state int, spun bool) {
	state = r.Toward[i][way][k]
	for _, s := range r.Spun[i][way][k] {
		s0 := lineOf(j, j)
		switch d := (x-s.X)*s0.ux + (y-s.Y)*s0.uy; {
		case math.Abs(d) < near:
			return state, true
		case d > 0:
			state = other(state)
		}
	}
	return state, false
}

// other is the other side.
func other(state int) int { return TowardA + TowardB - state }

package press

import (
	"math"
	"slices"

	"quiltwright/internal/piecing"
	"quiltwright/internal/weigh"
)

// meetings finds where seams of both sides end on one seam of unit i: joins first to last, sewn in one go.
func (p *presser) meetings(i, way, first, last int, parts [][]end) {
	u := &p.units[i]
	s := lineOf(u.Joins[first], u.Joins[last])
	side := func(of func(j piecing.Join) int) []placed {
		var all []end
		var seen []int
		for k := first; k <= last; k++ {
			if part := of(u.Joins[k]); !slices.Contains(seen, part) {
				seen = append(seen, part)
				all = append(all, parts[part]...)
			}
		}
		return s.ends(all)
	}
	as, bs := side(func(j piecing.Join) int { return j.A }), side(func(j piecing.Join) int { return j.B })
	v, from := p.seams[i][way][first], [2]int{} // the stretch, and the ends on it that are not weighed yet
	for _, x := range s.crossings(as, bs) {
		endsA, endsB := as[x.a[0]:x.a[1]], bs[x.b[0]:x.b[1]]
		for _, pair := range facing(endsA, endsB, s.ux, s.uy) {
			e, f := pair[0], pair[1]
			p.meet = append(p.meet, meeting{
				Meeting: Meeting{Unit: i, Way: way, Join: first, X: e.x, Y: e.y},
				p:       e.seam, q: f.seam,
				facing: (e.nx*s.ux+e.ny*s.uy > 0) == (f.nx*s.ux+f.ny*s.uy > 0),
			})
		}
		if p.offered(i, first, Point{endsA[0].x, endsA[0].y}, len(endsA), len(endsB)) {
			p.bulk(v, x.a[0]-from[0], x.b[0]-from[1], false)
			from = [2]int{x.a[1], x.b[1]}
			v = p.turn(i, way, first, v, s, endsA, endsB)
		}
	}
	p.bulk(v, len(as)-from[0], len(bs)-from[1], u.Usual[first] >= 0)
}

// placed is an end on a seam, t along it.
type placed struct {
	end
	t float64
}

// facing pairs the ends that face each other across a seam that runs along ux, uy. Where one ends on each side they do;
// where several end, those that continue each other as in a mirror, the seam being the glass.
func facing(as, bs []placed, ux, uy float64) [][2]placed {
	if len(as) == 1 && len(bs) == 1 {
		return [][2]placed{{as[0], bs[0]}}
	}
	var out [][2]placed
	used := make([]bool, len(bs))
	for _, a := range as {
		d := a.dx*ux + a.dy*uy
		for k, b := range bs {
			if !used[k] && math.Abs(b.dx*ux+b.dy*uy-d) < near {
				used[k] = true
				out = append(out, [2]placed{a, b})
				break
			}
		}
	}
	return out
}

// bulk adds what it costs to press a seam toward the side on which more seams end.
func (p *presser) bulk(v, endsA, endsB int, usual bool) {
	if usual || endsA == 0 && endsB == 0 {
		return
	}
	over, cost := p.room(1, 3)
	over[0] = v
	cost[TowardA], cost[TowardB] = p.weights.Bulk*int64(endsA), p.weights.Bulk*int64(endsB)
	p.net.Add(over, cost)
}

// join turns the meetings into tables of the network, one for each pair of seams.
func (p *presser) join() {
	type pair struct {
		p, q   int
		facing bool
	}
	count := make(map[pair]int64, len(p.meet))
	order := make([]pair, 0, len(p.meet))
	for _, m := range p.meet {
		k := pair{m.p, m.q, m.facing}
		if k.p > k.q {
			k.p, k.q = k.q, k.p
		}
		if count[k] == 0 {
			order = append(order, k)
		}
		count[k]++
	}
	for _, k := range order {
		n := count[k]
		if k.p == k.q {
			over, cost := p.room(1, 3)
			over[0] = k.p
			for s := range cost {
				cost[s] = n * p.cost2(s, s, k.facing)
			}
			p.net.Add(over, cost)
			continue
		}
		over, cost := p.room(2, 9)
		over[0], over[1] = k.p, k.q
		for s := range cost {
			cost[s] = n * p.cost2(s/3, s%3, k.facing)
		}
		p.net.Add(over, cost)
	}
}

// cost2 is the cost of a meeting of seams in states s and t; facing as in meeting.
func (p *presser) cost2(s, t int, facing bool) int64 {
	switch is(s, t, facing) {
	case "nested":
		return 0
	case "open":
		return p.weights.Flat
	}
	return p.weights.Same
}

// is says what a meeting comes to.
func is(s, t int, facing bool) string {
	switch {
	case s == Open || t == Open:
		return "open"
	case (s == t) != facing:
		return "nested"
	}
	return "same"
}

// result reads the solution.
func (p *presser) result(got weigh.Result) Result {
	p.straighten(got.Value)
	if cost := p.net.Cost(got.Value); cost != got.Cost {
		got.Cost, got.Bound, got.Optimal = cost, min(got.Bound, cost), false
	}
	r := Result{Toward: make([][2][]int, len(p.units)), Spun: make([][2][][]Point, len(p.units)), Split: make([]bool, len(p.units)), Second: make([]bool, len(p.units)), Cost: got.Cost, Bound: got.Bound, Optimal: got.Optimal,
		Seams: len(p.net.Size), Width: got.Width, Work: got.Work}
	for i := range p.units {
		for way, seams := range p.seams[i] {
			if seams == nil {
				continue
			}
			r.Toward[i][way], r.Spun[i][way] = make([]int, len(seams)), make([][]Point, len(seams))
			for k, v := range seams {
				r.Toward[i][way][k] = got.Value[v]
				for _, t := range p.turns[i][way][k] {
					if got.Value[t.v] != got.Value[t.before] {
						r.Spun[i][way][k] = append(r.Spun[i][way][k], t.Point)
					}
				}
			}
		}
		if p.reach[i] == [2]bool{false, true} {
			r.Toward[i][0], r.Spun[i][0], r.Second[i] = r.Toward[i][1], r.Spun[i][1], true // used one way only: that is its way
		}
		if p.reach[i] != [2]bool{true, true} {
			continue
		}
		r.Split[i] = !slices.Equal(r.Toward[i][0], r.Toward[i][1]) || !slices.EqualFunc(r.Spun[i][0], r.Spun[i][1], slices.Equal)
		for _, part := range p.units[i].Parts {
			r.Split[i] = r.Split[i] || r.Split[part.Unit]
		}
	}
	var why *rings
	var names [][2]int
	for _, m := range p.meet {
		if m.Is = is(got.Value[m.p], got.Value[m.q], m.facing); m.Is != "nested" {
			if why == nil {
				why, names = p.rings(got.Value), p.names()
			}
			a := why.why(m.p, m.q, m.facing)
			m.Why = a.why
			for _, v := range a.seams {
				if n := len(m.Ring); n == 0 || m.Ring[n-1] != names[v] { // two stretches are one seam
					m.Ring = append(m.Ring, names[v])
				}
			}
		}
		switch m.Is {
		case "nested":
			r.Nested++
		case "open":
			r.Flat++
		default:
			r.Same++
		}
		r.Meetings = append(r.Meetings, m.Meeting)
	}
	return r
}

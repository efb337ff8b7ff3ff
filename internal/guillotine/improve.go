package guillotine

import (
	"math"
	"slices"
)

// mostStrips is how many strips are looked at one by one.
const mostStrips = 5000

// improve takes a few strips out of the best layout again and again, the wasteful ones more often, and lays what was cut from them
// anew: by a dive, unless the bound of the small program says that nothing is to be gained.
func (q *search) improve(until int64) {
	s := q.s
	if q.best.count() > mostStrips {
		return
	}
	dice := dice(0x9e3779b97f4a7c15)
	now := s.each(q.best)
	length := q.length
	for idle := 0; idle < 1500 && s.work < until && !q.done(); idle++ {
		if len(now) < 2 {
			return
		}
		size := 3 + int(dice.below(8))
		out := pick(s, now, min(size, len(now)), &dice)
		need := make([]int, len(q.need))
		var was int64
		for _, n := range out {
			now[n].take(-1, need)
			was += now[n].height
		}
		s.work += 5000 + int64(len(now)*len(q.need)/8)
		goal := was
		if length < q.length+4*s.step {
			goal += s.step // as long as before will do, but otherwise
		}
		p := q.anew(need, goal, until, &dice)
		if p == nil {
			continue
		}
		length += p.length() - was
		slices.Sort(out)
		for i := len(out) - 1; i >= 0; i-- {
			now = slices.Delete(now, out[i], out[i]+1)
		}
		now = append(now, s.each(*p)...)
		if length < q.length {
			q.best, q.length = together(now), length
			idle = 0
		}
	}
}

// anew lays what is needed shorter than goal, or returns nil.
func (q *search) anew(need []int, goal, until int64, dice *dice) *plan {
	s := q.s
	if s.stages == 2 {
		part := &search{s: s, need: need, length: goal, closed: math.MaxInt64, goal: math.MaxInt64 - 1, pool: q.pool}
		part.open = []branchNode{{lim: s.limits(need)}}
		part.branch(min(until, s.work+400_000))
		q.pool = part.pool
		if part.length < goal {
			return &part.best
		}
		return nil
	}
	lim := s.limits(need)
	m := newMaster(s, need, lim, q.pool)
	m.solve(goal, until, rough)
	// What the program costs may still fall a little, which rounding takes back.
	if m.bound >= goal || m.value() > float64(goal)-0.5 {
		return nil
	}
	q.pool = s.remember(q.pool, m)
	p := s.dive(need, lim, m, q.pool, goal, until, dice)
	if p == nil || p.length() >= goal {
		return nil
	}
	return p
}

// each is every strip of a plan as a pattern, one by one.
func (s *stock) each(p plan) []column {
	var out []column
	for _, st := range p.strips {
		for range st.count {
			c := s.column(st.cuts)
			c.height = st.height
			out = append(out, c)
		}
	}
	return out
}

// pick draws so many different strips, those with more waste more often.
func pick(s *stock, now []column, many int, dice *dice) []int {
	share := make([]int64, len(now))
	var total int64
	for i, c := range now {
		area, _ := s.area(c)
		all := c.height * s.width * s.unit
		share[i] = 20 + 1000*(all-area)/all
		total += share[i]
	}
	var out []int
	for range many {
		at := dice.below(total)
		for i, v := range share {
			if at < v {
				out = append(out, i)
				total -= v
				share[i] = 0
				break
			}
			at -= v
		}
	}
	return out
}

// together is a plan of the strips.
func together(now []column) plan {
	var p plan
	for _, c := range now {
		p.strips = append(p.strips, c.strip(1))
	}
	return p
}

// dice are random numbers that are the same every time (splitmix64).
type dice uint64

func (d *dice) below(n int64) int64 {
	*d += 0x9e3779b97f4a7c15
	z := uint64(*d)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	z ^= z >> 31
	return int64(z % uint64(max(n, 1)))
}

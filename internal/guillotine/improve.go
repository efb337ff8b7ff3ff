package guillotine

import (
	"slices"
)

// improve takes a few strips out of the best layout again and again, the wasteful ones more often, and lays what was cut from them
// anew: by a dive, unless the bound of the small program says that nothing is to be gained.
func (q *search) improve(until int64) {
	s := q.s
	dice := dice(0x9e3779b97f4a7c15)
	now := s.each(q.best)
	length := q.length
	for s.work < until && !q.done() {
		if len(now) < 2 {
			return
		}
		size := 3 + int(dice.below(int64(min(len(now), 10))))
		out := pick(s, now, min(size, len(now)), &dice)
		need := make([]int, len(q.need))
		var was int64
		for _, n := range out {
			now[n].take(-1, need)
			was += now[n].height
		}
		s.work += int64(len(now) * len(q.need) / 8)
		lim := s.limits(need)
		m := newMaster(s, need, lim, q.pool)
		goal := was
		if dice.below(4) == 0 {
			goal += s.step // as long as before, but otherwise
		}
		m.solve(goal, until, false)
		if m.bound >= goal {
			continue
		}
		q.pool = s.remember(q.pool, m)
		p := s.dive(need, lim, m, q.pool, goal, until)
		if p == nil || p.length() >= goal {
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
		}
	}
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

package guillotine

import "slices"

// Beyond these a layout is left as it is: someone who cuts so many strips sees no one of them.
const (
	mostTidied = 80 // strips
	tidyWork   = 60_000
)

// tidy makes a layout of two stages easier to cut, never longer: fewer strips, then fewer different heights, fewer trims and ends, fewer
// kinds side by side, and what is left over in few large pieces. It moves a rectangle to another strip, or two for one another, as long as that helps.
func (s *stock) tidy(p plan) plan {
	if s.stages != 2 || p.count() > mostTidied {
		return p
	}
	var rows []row
	levels := make([]int, len(s.heights)+1) // strips of each height, those that are empty first
	for _, st := range p.strips {
		for range st.count {
			r := row{free: s.width}
			for _, g := range st.cuts {
				r.put(s, g.stack[0], g.count)
			}
			levels[r.level]++
			rows = append(rows, r)
		}
	}
	until := s.work + tidyWork
	for moved := true; moved && s.work < until; {
		moved = false
		for a := range rows {
			for b := range rows {
				if a != b && s.between(&rows[a], &rows[b], levels, a < b) {
					moved = true
				}
			}
		}
	}
	var out plan
	for _, r := range rows {
		if len(r.kinds) > 0 {
			many := make([]int, len(s.kinds))
			for i, k := range r.kinds {
				many[k] = r.many[i]
			}
			out.strips = append(out.strips, s.row(many).strip(1))
		}
	}
	return out
}

// row is a strip that rectangles are moved in and out of.
type row struct {
	kinds []int // in order, so that the last is the highest
	many  []int // of each
	free  int64
	high  int64
	level int // of the height, from 1; 0 for an empty one
}

// put adds so many of a kind, or takes them out.
func (r *row) put(s *stock, k, n int) {
	r.free -= s.kinds[k].w * int64(n)
	at, in := slices.BinarySearch(r.kinds, k)
	if !in {
		r.kinds, r.many = slices.Insert(r.kinds, at, k), slices.Insert(r.many, at, 0)
	}
	if r.many[at] += n; r.many[at] == 0 {
		r.kinds, r.many = slices.Delete(r.kinds, at, at+1), slices.Delete(r.many, at, at+1)
	}
	r.high, r.level = 0, 0
	if n := len(r.kinds); n > 0 {
		top := s.kinds[r.kinds[n-1]]
		r.high, r.level = top.h, top.level+1
	}
}

// toil is what two strips mean for the one who cuts them, the weightiest first.
type toil [6]int64

func (s *stock) toil(a, b *row, others []int) toil {
	var t toil
	for _, r := range [2]*row{a, b} {
		if len(r.kinds) == 0 {
			continue
		}
		t[0] += r.high
		t[1]++
		if others[r.level] == 0 && !(r == b && b.level == a.level) {
			t[2]++
		}
		if r.free > 0 {
			t[3]++
		}
		for i, k := range r.kinds {
			if s.kinds[k].h < r.high {
				t[3] += int64(r.many[i])
			}
		}
		t[4] += int64(len(r.kinds))
		left := float64(r.free * s.unit * r.high)
		t[5] -= int64(left * left / 4096) // at most 2^60
	}
	return t
}

// less says whether it is less than another.
func (t toil) less(than toil) bool {
	for i := range t {
		if t[i] != than[i] {
			return t[i] < than[i]
		}
	}
	return false
}

// between moves a rectangle from strip x to strip y, or exchanges two, where that is less toil; it reports whether it did.
func (s *stock) between(x, y *row, levels []int, exchange bool) bool {
	levels[x.level]--
	levels[y.level]--
	defer func() {
		levels[x.level]++
		levels[y.level]++
	}()
	was := s.toil(x, y, levels)
	for i := 0; i < len(x.kinds); i++ {
		k := x.kinds[i]
		if s.kinds[k].w <= y.free {
			s.work += 4
			x.put(s, k, -1)
			y.put(s, k, 1)
			if s.toil(x, y, levels).less(was) {
				return true
			}
			x.put(s, k, 1)
			y.put(s, k, -1)
		}
		for j := 0; exchange && j < len(y.kinds); j++ {
			l := y.kinds[j]
			if dw := s.kinds[k].w - s.kinds[l].w; k == l || dw > y.free || -dw > x.free {
				continue
			}
			s.work += 4
			x.put(s, k, -1)
			y.put(s, l, -1)
			x.put(s, l, 1)
			y.put(s, k, 1)
			if s.toil(x, y, levels).less(was) {
				return true
			}
			x.put(s, l, -1)
			y.put(s, k, -1)
			x.put(s, k, 1)
			y.put(s, l, 1)
		}
	}
	return false
}

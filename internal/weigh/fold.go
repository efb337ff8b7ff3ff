package weigh

import "slices"

// fold takes variables out of a table one by one, the outermost first: its steps work on long rows, and on less and less of them.
type fold []step

// step takes out one variable: entry r of row o comes from entry r of rows size*o and those after it.
type step struct {
	rows, size, row int
}

// newFold is the fold of a table over from to one over fewer variables.
func newFold(from, to, size []int) fold {
	var f fold
	rows, row := 1, int(entries(from, size))
	for _, v := range from {
		row /= size[v]
		if slices.Contains(to, v) {
			rows *= size[v]
		} else {
			f = append(f, step{rows, size[v], row})
		}
	}
	return f
}

// least fills to with the least of the entries that are folded to each.
func (f fold) least(from, to []int64, room *[2][]int64) {
	for k, st := range f {
		out := to
		if k+1 < len(f) {
			out = scratch(&room[k%2], st.rows*st.row)
		}
		st.least(from, out)
		from = out
	}
	if len(f) == 0 {
		copy(to, from)
	}
}

func (st step) least(from, to []int64) {
	if st.row == 1 {
		for o := range to {
			row := from[o*st.size:]
			least := row[0]
			for _, c := range row[1:st.size] {
				least = min(least, c)
			}
			to[o] = least
		}
		return
	}
	for o := range st.rows {
		out := to[o*st.row : o*st.row+st.row]
		in := from[o*st.size*st.row:]
		copy(out, in)
		for k := 1; k < st.size; k++ {
			for r, c := range in[k*st.row : k*st.row+len(out)] {
				out[r] = min(out[r], c)
			}
		}
	}
}

// add adds by to the entries that are folded to each of its own.
func (f fold) add(to, by []int64, room *[2][]int64) {
	for k := len(f) - 1; k > 0; k-- {
		st := f[k]
		out := scratch(&room[k%2], st.rows*st.size*st.row)
		clear(out)
		st.add(out, by)
		by = out
	}
	if len(f) == 0 {
		for e, d := range by {
			to[e] += d
		}
		return
	}
	f[0].add(to, by)
}

func (st step) add(to, by []int64) {
	if st.row == 1 {
		for o, d := range by {
			row := to[o*st.size : o*st.size+st.size]
			for k := range row {
				row[k] += d
			}
		}
		return
	}
	for o := range st.rows {
		in := by[o*st.row : o*st.row+st.row]
		for k := range st.size {
			out := to[(o*st.size+k)*st.row:]
			out = out[:len(in)]
			for r, d := range in {
				out[r] += d
			}
		}
	}
}

// scratch is n entries of a room that grows.
func scratch(room *[]int64, n int) []int64 {
	if cap(*room) < n {
		*room = make([]int64, n)
	}
	return (*room)[:n]
}

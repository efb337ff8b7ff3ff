package quilt

// Laid returns the rows as they lie in the top, one below the other, with all that repeat lays again. On point rows of n blocks and of
// the n - 1 in their gaps alternate, and the first and the last are long.
func (s *Set) Laid() [][]Cell {
	if len(s.Rows) == 0 {
		return nil
	}
	out := make([][]Cell, s.period()*s.Down)
	if s.Style == "on point" {
		out = out[:len(out)-1]
	}
	for row := range out {
		r, _ := s.Written(row, 0)
		cells := len(s.Rows[r]) * s.Across
		if s.Style == "on point" {
			cells = len(s.Rows[0])*s.Across - row%2
		}
		out[row] = make([]Cell, cells)
		for column := range out[row] {
			r, c := s.Written(row, column)
			out[row][column] = s.Rows[r][c]
		}
	}
	return out
}

// Written returns which of Rows, and which cell of it, lies in a row and a column of the top; all are counted from 0. What stands on point
// in a gap between one laying and the next need not be written: there lies what stands first in its row, and between the last row of one
// laying and the first of the next the first row of blocks in gaps.
func (s *Set) Written(row, column int) (r, c int) {
	if r = row % s.period(); r == len(s.Rows) {
		r = min(1, len(s.Rows)-1)
	}
	cells := len(s.Rows[r])
	if s.Style == "on point" {
		if column %= len(s.Rows[0]); column >= cells {
			return r, 0
		}
	}
	return r, column % max(1, cells)
}

// period is after how many rows the same comes again.
func (s *Set) period() int {
	if n := len(s.Rows); s.Style == "on point" {
		return n + n%2
	}
	return len(s.Rows)
}

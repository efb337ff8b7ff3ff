package cut

import (
	"testing"
)

func TestPrecuts(t *testing.T) {
	strip, square, quarter := precuts[0], precuts[1], precuts[2]
	one := func(w, h float64, n int, turn bool) []Blank {
		return []Blank{{Label: "A1", Width: w, Height: h, Months: []int{n}, Turn: turn}}
	}
	for name, c := range map[string]struct {
		of     precut
		blanks []Blank
		count  int // 0: too large
	}{
		"as wide as the strip":       {strip, one(2.5, 2.5, 17, true), 2},
		"lying along the strip":      {strip, one(2.5, 4.5, 8, true), 1},
		"the grain forbids that":     {strip, one(2.5, 4.5, 8, false), 0},
		"without its edges":          {strip, one(2.25, 2.25, 17, true), 1},
		"nearly as wide":             {strip, one(2.375, 2.375, 1, true), 0},
		"two of half are too high":   {strip, one(40, 1.25, 2, false), 2},
		"four from a square":         {square, one(4.875, 4.875, 9, true), 3},
		"not from its pinked edges":  {square, one(5, 5, 4, true), 4},
		"not as large as a square":   {square, one(10, 10, 1, true), 0},
		"a fat quarter has no pinks": {quarter, one(9, 21, 4, true), 2},
	} {
		got := c.of.count(Cloth{Width: 40}, c.blanks, inches)
		if got.Count != c.count || (got.TooLarge == "A1") != (c.count == 0) {
			t.Errorf("%s: %+v, want %d", name, got, c.count)
		}
	}
}

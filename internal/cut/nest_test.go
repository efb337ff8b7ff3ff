package cut

import (
	"math"
	"math/rand"
	"testing"
)

// Source: geometry. Parallelograms and diamonds share their slants; triangles of 60 degrees and trapezoids nest by turns, n triangles of
// a side in n+1 half sides.
func TestRowsOfKnownShapes(t *testing.T) {
	h := 3 * math.Sqrt(3)
	for name, c := range map[string]struct {
		outline [][2]float64
		of      map[int]float64 // pieces, and how much they take
		round   bool
	}{
		"parallelogram of 45°": {[][2]float64{{3, 0}, {7.25, 0}, {4.25, 3}, {0, 3}}, map[int]float64{1: 7.25, 2: 11.5, 5: 24.25}, false},
		"diamond of 60°":       {[][2]float64{{3, 0}, {9, 0}, {6, h}, {0, h}}, map[int]float64{1: 9, 6: 39}, false},
		"triangle of 60°":      {[][2]float64{{3, 0}, {6, h}, {0, h}}, map[int]float64{1: 6, 2: 9, 3: 12, 8: 27}, true},
		"trapezoid":            {[][2]float64{{2, 0}, {6, 0}, {8, 2}, {0, 2}}, map[int]float64{1: 8, 2: 14, 3: 20, 4: 26}, true},
		"one square end":       {[][2]float64{{0, 0}, {4, 0}, {6, 2}, {0, 2}}, map[int]float64{1: 6, 2: 10, 3: 16, 4: 20}, true},
	} {
		r, ok := rowOf(c.outline)
		if !ok || r.round != c.round {
			t.Errorf("%s: %+v %v", name, r, ok)
		}
		for n, want := range c.of {
			if got := r.of(n); !near(got, want) {
				t.Errorf("%s: %d take %g, want %g", name, n, got, want)
			}
			if got := r.most(c.of[n]); got != n {
				t.Errorf("%s: %d fit into %g, want %d", name, got, c.of[n], n)
			}
		}
	}
	for name, outline := range map[string][][2]float64{
		"rectangle": {{0, 0}, {4, 0}, {4, 2}, {0, 2}}, "kite": {{2, 0}, {4, 3}, {2, 4}, {0, 3}}, "line": {{0, 0}, {4, 0}, {2, 0}}, "nothing": nil,
	} {
		if r, ok := rowOf(outline); ok {
			t.Errorf("%s: %+v", name, r)
		}
	}
}

// In a row no two overlap, and each touches the next: areas add up.
func TestRowsHoldNoMoreThanTheyTake(t *testing.T) {
	r := rand.New(rand.NewSource(9))
	for range 500 {
		h, top := 1+r.Float64()*5, r.Float64()*6
		a, b := r.Float64()*8-4, r.Float64()*8-4
		if top+a+b < 0.1 {
			continue
		}
		outline := [][2]float64{{0, 0}, {top, 0}, {top + b, h}, {-a, h}}
		x, ok := rowOf(outline)
		if !ok {
			t.Fatalf("%v", outline)
		}
		for n := 1; n < 9; n++ {
			// Between level lines the row is pieces only: all it takes but half the slants at its ends.
			area := float64(n) * (2*top + a + b) / 2 * h
			if left := x.of(n)*h - area; left < -1e-9 || left > (math.Abs(a)+math.Abs(b))*h {
				t.Errorf("%d of %v: %g unused", n, outline, left)
			}
		}
	}
}

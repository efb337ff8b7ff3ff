package flat

import (
	"math"
	"slices"
)

// Nested is an outline in a row of equal ones: half a turn round or not, its box beginning so far along the row.
type Nested struct {
	Round bool
	At    float64
}

// Of is the outline where it lies in the row, the row's box beginning at 0,0.
func (n Nested) Of(outline []Pt) []Pt {
	lo, hi := Box(outline)
	out := make([]Pt, len(outline))
	for i, p := range outline {
		if out[i] = Sub(p, lo); n.Round {
			out[i] = Sub(hi, p)
		}
		out[i][0] += n.At
	}
	return out
}

// Beside lays equal convex outlines in a row, each as far to the left as those before it let it. Of two, the gap between the right side of one and
// the left side of the other bends at their corners only.
func Beside(outline []Pt, round []bool) []Nested {
	var row []Nested
	var laid [][]Pt
	for _, r := range round {
		next := Nested{Round: r}
		s := next.Of(outline)
		for _, q := range laid {
			for _, corner := range slices.Concat(q, s) {
				_, right, ok := level(q, corner[1])
				left, _, also := level(s, corner[1])
				if ok && also {
					next.At = math.Max(next.At, right-left)
				}
			}
		}
		row, laid = append(row, next), append(laid, next.Of(outline))
	}
	return row
}

// Row is the shorter way to lay so many in a row, every second one half a turn round if they are to alternate.
func Row(outline []Pt, n int, alternate bool) []Nested {
	var best []Nested
	for first := range 2 {
		round := make([]bool, n)
		for i := range round {
			round[i] = alternate && i%2 != first
		}
		row := Beside(outline, round)
		if best == nil || row[len(row)-1].At < best[len(best)-1].At-1e-9 {
			best = row
		}
	}
	return best
}

// EndToEnd is how long and high a row is.
func EndToEnd(outline []Pt, row []Nested) (long, high float64) {
	lo, hi := Box(outline)
	for _, n := range row {
		long = math.Max(long, n.At+hi[0]-lo[0])
	}
	return long, hi[1] - lo[1]
}

// level is where a level line enters and leaves a convex outline.
func level(outline []Pt, y float64) (left, right float64, ok bool) {
	left, right = math.Inf(1), math.Inf(-1)
	for i, p := range outline {
		q := outline[(i+1)%len(outline)]
		if math.Min(p[1], q[1]) > y+1e-9 || math.Max(p[1], q[1]) < y-1e-9 {
			continue
		}
		for _, t := range []float64{0, 1} {
			if math.Abs(q[1]-p[1]) > 1e-9 {
				t = math.Max(0, math.Min(1, (y-p[1])/(q[1]-p[1])))
			}
			x := p[0] + t*(q[0]-p[0])
			left, right = math.Min(left, x), math.Max(right, x)
		}
	}
	return left, right, left <= right
}

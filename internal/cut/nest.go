package cut

import "math"

// row is how equal pieces with slanted ends lie end to end along a strip, each slant beside one that runs its way.
type row struct {
	pitch float64    // how much of the strip each takes
	ends  [2]float64 // and what the slants at both ends of the row take more, of an even number and of an odd one
	round bool       // every second one lies half a turn round
	first bool       // an even number begins with such a one
}

// of is how much of a strip so many take.
func (r row) of(n int) float64 { return float64(n)*r.pitch + r.ends[n%2] }

// most is how many fit into so much of a strip, within reason.
func (r row) most(length float64) int {
	n := int(math.Min(256, length/r.pitch+1))
	for n > 0 && r.of(n) > length+1e-9 {
		n--
	}
	return n
}

// turned says whether piece i of n lies half a turn round.
func (r row) turned(i, n int) bool {
	return r.round && (i%2 == 1) != (r.first && n%2 == 0)
}

// rowOf is how pieces of an outline nest whose two sides along the strip hold all its corners; one of them may be a point. Side by side their slants are
// parallel where both ends lean alike; else where every second piece is turned half round, for then each meets its own slant. ok is false
// for an outline that gains nothing so.
func rowOf(outline [][2]float64) (r row, ok bool) {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range outline {
		lo, hi = math.Min(lo, p[1]), math.Max(hi, p[1])
	}
	side := [2][2]float64{{math.Inf(1), math.Inf(-1)}, {math.Inf(1), math.Inf(-1)}} // where the sides at lo and at hi begin and end
	for _, p := range outline {
		k := 0
		if math.Abs(p[1]-hi) < 1e-6 {
			k = 1
		} else if math.Abs(p[1]-lo) > 1e-6 {
			return row{}, false
		}
		side[k] = [2]float64{math.Min(side[k][0], p[0]), math.Max(side[k][1], p[0])}
	}
	if !(hi-lo > 1e-6) {
		return row{}, false
	}
	left, right := side[1][0]-side[0][0], side[1][1]-side[0][1] // how far the ends lean
	a, b := math.Abs(left), math.Abs(right)
	r.pitch = (side[0][1] - side[0][0] + side[1][1] - side[1][0]) / 2
	if !(r.pitch > 1e-6) || math.Max(a, b) < 1e-6 {
		return row{}, false
	}
	if math.Abs(left-right) < 1e-6 {
		r.ends = [2]float64{a, a}
		return r, true
	}
	r.round, r.first = true, b < a-1e-9
	r.ends = [2]float64{math.Min(a, b), (a + b) / 2}
	return r, true
}

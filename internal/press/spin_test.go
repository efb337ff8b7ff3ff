package press

import (
	"slices"
	"testing"

	"quiltwright/internal/exact"
	"quiltwright/internal/method"
	"quiltwright/internal/piecing"
	"quiltwright/internal/plane"
)

// upright is a seam that stands square to one that runs to the right, its part A on the right; it is variable v.
func upright(v int) placed { return placed{end: end{seam: v, nx: 1}} }

// Of all ways to press the four seams of a crossing two are spun: the seams that end there lie opposite ways, and so do the halves of the other, all turning clockwise or all
// anticlockwise. Its part A lies above: with the seam above toward the right, the left half goes up and the right half down.
func TestTwoWaysTurnRound(t *testing.T) {
	x := turn{p: upright(2), q: upright(3), along: true}
	var spun [][4]int
	for n := range 81 {
		s := [4]int{n / 27, n / 9 % 3, n / 3 % 3, n % 3} // left, right, above, below
		if x.spun(s[0], s[1], s[2], s[3]) {
			spun = append(spun, s)
		}
	}
	if want := [][4]int{{TowardA, TowardB, TowardA, TowardB}, {TowardB, TowardA, TowardB, TowardA}}; !slices.Equal(spun, want) {
		t.Errorf("%v, not %v", spun, want)
	}
}

// Where a choice that was not weighed to the end turns a seam where it cannot be spun, it goes on as it came, up to the next crossing where it can.
func TestSeamsThatCannotTurnGoOn(t *testing.T) {
	p := &presser{units: make([]method.Unit, 1), turns: [][2][][]turn{{{{
		{before: 0, v: 1, p: upright(3), q: upright(4), along: true},
		{before: 1, v: 2, p: upright(5), q: upright(6), along: true},
	}}, nil}}}
	for _, c := range []struct{ value, want []int }{
		{[]int{TowardA, TowardB, TowardA, TowardA, TowardB, TowardB, TowardA}, []int{TowardA, TowardB, TowardA}}, // both are spun
		{[]int{TowardB, TowardA, TowardA, TowardA, TowardB, TowardB, TowardA}, []int{TowardB, TowardB, TowardA}}, // the first turns the other way round
		{[]int{TowardA, Open, TowardA, TowardA, TowardB, TowardB, TowardA}, []int{TowardA, TowardA, TowardA}},
		{[]int{TowardA, TowardB, TowardA, TowardA, TowardA, TowardB, TowardB}, []int{TowardA, TowardA, TowardA}}, // nothing nests
	} {
		got := slices.Clone(c.value)
		p.straighten(got)
		if !slices.Equal(got[:3], c.want) {
			t.Errorf("%v becomes %v, not %v", c.value[:3], got[:3], c.want)
		}
	}
}

// A seam lies as it begins up to the first crossing at which it is spun, and turns over at each.
func TestWhereASpunSeamLies(t *testing.T) {
	j := piecing.Join{Seam: plane.Segment{A: plane.Pt(exact.Int(6), exact.Int(2)), B: plane.Pt(exact.Int(0), exact.Int(2))}} // it runs to the left
	r := &Result{Toward: [][2][]int{{{TowardB}}}, Spun: [][2][][]Point{{{{{4, 2}, {1, 2}}}}}}
	for x, want := range map[float64]int{6: TowardB, 5: TowardB, 3: TowardA, 2: TowardA, 0.5: TowardB, 0: TowardB} {
		if state, spun := r.At(0, 0, 0, j, x, 2); state != want || spun {
			t.Errorf("at %v: %d, spun %v; not %d", x, state, spun, want)
		}
	}
	if state, spun := r.At(0, 0, 0, j, 1, 2); state != TowardA || !spun {
		t.Errorf("at the second crossing: %d, spun %v", state, spun)
	}
}

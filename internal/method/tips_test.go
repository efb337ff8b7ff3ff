package method

import (
	"math"
	"slices"
	"testing"
)

// A corner's raw edge runs past the finished corner by s·cot(θ/2), and past the end of a neighbour that is cut square by
// s(cot(θ/2) - 1). Source: geometry, a table of the trade's facts worked out with four decimals; S35 for the 3/8 in of 45 degrees, the
// others as a practitioner marks them (docs/craft.md, Tips).
func TestRawCornersReachPastFinishedOnes(t *testing.T) {
	for _, c := range []struct {
		degrees, past, overhang, cm float64
		mark                        float64 // what is marked, in inches; 0: nothing usual
	}{
		{90, 0.2500, 0, 0, 0},
		{60, 0.4330, 0.1830, 0.549, 3.0 / 16},
		{45, 0.6036, 0.3536, 1.061, 3.0 / 8},
		{30, 0.9330, 0.6830, 2.049, 11.0 / 16},
		{math.Atan(0.5) * 180 / math.Pi, 1.0590, 0.8090, 2.427, 13.0 / 16},
		{22.5, 1.2568, 1.0068, 3.021, 1},
		{math.Atan(2) * 180 / math.Pi, 0.4045, 0.1545, 0.464, 5.0 / 32},
		{67.5, 0.3742, 0.1242, 0.373, 1.0 / 8},
		{120, 0.1443, -0.1057, 0, 0},
		{135, 0.1036, -0.1464, 0, 0},
	} {
		// A triangle with the corner at 0,0 between a side along x and one that leaves at the angle.
		sin, cos := math.Sincos(c.degrees * math.Pi / 180)
		patch := []pt{{0, 0}, {10, 0}, {10 * cos, 10 * sin}}
		square := []pt{{0, -10}, {10, -10}, {10, 0}, {0, 0}}
		for seam, within := range map[float64]float64{0.25: 6e-5, 0.75: 6e-4} {
			raw, other := evenly(patch, seam), evenly(square, seam)
			want, past := c.past, c.overhang
			if seam == 0.75 {
				want, past = 3*c.past, 3*c.overhang
				within = 2e-4
				if c.cm != 0 {
					past, within = c.cm, 6e-4
				}
			}
			if got := -raw[0].x; math.Abs(got-want) > within {
				t.Errorf("%.2f degrees, seam %g: the raw edge reaches %.4f past the finished corner, want %.4f", c.degrees, seam, got, want)
			}
			if got := other[3].x - raw[0].x; math.Abs(got-past) > within {
				t.Errorf("%.2f degrees, seam %g: the tip passes a square end by %.4f, want %.4f", c.degrees, seam, got, past)
			}
			if seam == 0.25 && c.mark != 0 && math.Abs(other[3].x-raw[0].x-c.mark) > 1.0/32 {
				t.Errorf("%.2f degrees: the tip passes by %.4f, marked as %.4f", c.degrees, other[3].x-raw[0].x, c.mark)
			}
		}
	}
}

// The edges of a piece that are off the grain: of a half square its long side, of a quarter square the two short ones, of a rectangle none.
func TestBiasEdges(t *testing.T) {
	for _, c := range []struct {
		blank Blank
		want  []int
	}{
		{Blank{Shape: Rectangle, Width: 3, Height: 2}, nil},
		{Blank{Shape: HalfSquare, Width: 3, Height: 3}, []int{1}},
		{Blank{Shape: QuarterSquare, Width: 4, Height: 4}, []int{1, 2}},
		{Blank{Shape: HalfRectangle, Width: 3, Height: 5}, []int{1}},
		{Blank{Shape: HalfRectangle, Hand: "R", Width: 3, Height: 5}, []int{2}},
		{Blank{Shape: Template, Width: 4, Height: 2, Outline: [][2]float64{{1, 0}, {4, 0}, {3, 2}, {0, 2}}}, []int{1, 3}},
	} {
		if got := c.blank.Bias(); !slices.Equal(got, c.want) {
			t.Errorf("%s %s: edges %v are off the grain, want %v", c.blank.Shape, c.blank.Hand, got, c.want)
		}
	}
}

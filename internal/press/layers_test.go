package press

import "testing"

// A seam pressed to one side has three layers there and one on the other; pressed open two and two (geometry: the cloth is folded back about the
// seam, its allowance with it).
func TestLayersAlongASeam(t *testing.T) {
	for state, want := range map[int][2]int{TowardA: {3, 1}, TowardB: {1, 3}, Open: {2, 2}} {
		f := &folded{a: &folded{}, b: &folded{}, nx: -1, state: state}
		if got := [2]int{f.layers(-1, .1), f.layers(1, .1)}; got != want {
			t.Errorf("state %d: %v layers, not %v", state, got, want)
		}
	}
}

// However four patches are pressed, the layers of the four quarters add up to sixteen.
func TestLayersAddUp(t *testing.T) {
	for n := range 27 {
		pair := func(state int) *folded {
			return &folded{a: &folded{}, b: &folded{}, nx: -1, state: state}
		}
		f := &folded{a: pair(n % 3), b: pair(n / 3 % 3), ny: -1, state: n / 9}
		sum := 0
		for _, d := range [][2]float64{{1, 1}, {1, -1}, {-1, -1}, {-1, 1}} {
			sum += f.layers(d[0], d[1])
		}
		if sum != 16 {
			t.Errorf("pressed %d: %d layers in all", n, sum)
		}
	}
}

package app

import (
	"math"
	"os"
	"slices"
	"testing"

	"quiltwright/internal/edit"
)

// TestLightness compares with values that are published: black 0, white 100, and the L* of the sRGB primaries and of middle grey as Bruce
// Lindbloom's CIE calculator gives them (sRGB, D65).
func TestLightness(t *testing.T) {
	for color, want := range map[string]float64{"#000000": 0, "#ffffff": 100, "#ff0000": 53.24, "#00ff00": 87.74, "#0000ff": 32.30, "#777777": 50.03} {
		got, grey := lightness(color)
		if math.Abs(got-want) > 0.02 {
			t.Errorf("%s is %.2f light, and not %.2f", color, got, want)
		}
		if same, _ := lightness(grey); math.Abs(same-got) > 0.25 {
			t.Errorf("%s is %.2f light, its grey %s is %.2f", color, got, grey, same)
		}
	}
}

// TestAlikes finds neighbours of one lightness, also across seams of blocks that are turned, and only where they touch.
func TestAlikes(t *testing.T) {
	const text = `format: 1
quilt: Try
fabrics:
  A: {name: Light, color: "#eeeeee"}
  B: {name: Red, color: "#c03030"}
  C: {name: Green, color: "#2f6f30"}
  D: {name: Dark, color: "#000000"}
blocks:
  Half:
    size: 6
    grid: 2
    lines:
      - 0,1 2,1
    fill:
      B: 1,1/2
    ground: A
  Whole:
    size: 6
    grid: 1
    ground: C
set:
`
	pairs := func(rows string) (out [][2]int, seams int) {
		s := newState(1, "try", edit.Open([]byte(text+rows)))
		top, found := s.topOf()
		if len(found)+len(s.found) > 0 {
			t.Fatal(found, s.found)
		}
		for _, a := range alikes(&top, []string{"A", "B", "C", "D"}, []string{"#eeeeee", "#c03030", "#2f6f30", "#000000"}) {
			out = append(out, a.Fabrics)
			for _, s := range a.Seams {
				seams += int(math.Round(math.Hypot(s[0][0]-s[1][0], s[0][1]-s[1][1])))
			}
		}
		return out, seams
	}
	for _, c := range []struct {
		rows  string
		pairs int
		seams int // inches along which they touch
	}{
		{"  rows:\n    - [Half, Whole]\n", 1, 3}, // the upper half of one side
		{"  rows:\n    - [Half@90, Whole]\n", 1, 6},
		{"  rows:\n    - [Half@270, Whole]\n", 0, 0},
		{"  rows:\n    - [Half@90, Whole]\n  sashing: {width: 1, fabric: D}\n", 0, 0},
		{"  style: on point\n  rows:\n    - [Half@90, Half@180]\n    - [Whole]\n    - [Half@90, Half@180]\n  triangles: D\n", 1, 18}, // 6 + 6 + 3 + 3
	} {
		got, seams := pairs(c.rows)
		if len(got) != c.pairs || seams != c.seams {
			t.Errorf("%s: %v touch along %d in, and should along %d", c.rows, got, seams, c.seams)
		}
		if len(got) > 0 && got[0] != [2]int{1, 2} {
			t.Errorf("%s: %v are alike", c.rows, got)
		}
	}
	lantern, err := os.ReadFile("../../examples/lantern-row.yaml")
	if err != nil {
		t.Fatal(err)
	}
	s := newState(1, "lantern", edit.Open(lantern))
	top, _ := s.topOf()
	var names, colors []string
	for _, f := range s.doc.Fabrics {
		names, colors = append(names, f.Name), append(colors, f.Color)
	}
	var got []string
	for _, a := range alikes(&top, names, colors) {
		got = append(got, names[a.Fabrics[0]]+" and "+names[a.Fabrics[1]])
	}
	if want := []string{"Slate and Swell", "Brass and Sea"}; !slices.Equal(got, want) {
		t.Errorf("alike are %q, and should be %q", got, want)
	}
}

package app

import (
	"encoding/json"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quiltwright/internal/edit"
)

// TestViewsOfMistakes makes the views of Set and Cloth of every document with a mistake that the reader's tests have: they show what there is.
func TestViewsOfMistakes(t *testing.T) {
	files, err := filepath.Glob("../quilt/testdata/bad/*.txtar")
	if err != nil || len(files) < 50 {
		t.Fatalf("%d documents: %v", len(files), err)
	}
	for _, file := range files {
		raw, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		_, rest, _ := strings.Cut(string(raw), "-- quilt.yaml --\n")
		text, _, ok := strings.Cut(rest, "-- says --\n")
		if !ok {
			t.Fatalf("%s holds no document", file)
		}
		s := newState(1, "quilt.yaml", edit.Open([]byte(text)))
		for _, v := range []any{viewSet(s, nil), viewCloth(s, url.Values{"grey": {"1"}, "palette": {"Night"}})} {
			if _, err := json.Marshal(v); err != nil {
				t.Errorf("%s: %v", file, err)
			}
		}
	}
}

// TestAside lays blocks that do not fit together: each at its own size, in its row, standing on a corner where the set is on point.
func TestAside(t *testing.T) {
	const text = `format: 1
quilt: Try
fabrics:
  A: {name: Fog}
blocks:
  Small: {size: 6, grid: 1, ground: A}
  Wide: {size: [9, 6], grid: 1, ground: A}
set:
`
	for _, c := range []struct {
		rows          string
		width, height float64
		middles       [][2]float64
	}{
		{"  rows:\n    - [Small, Wide]\n    - [Small, Wide@90]\n", 15, 15, [][2]float64{{3, 3}, {10.5, 3}, {3, 9}, {9, 10.5}}},
		{"  style: on point\n  triangles: A\n  rows:\n    - [Small, Small]\n    - [Wide]\n    - [Small, Small]\n", 25.456, 25.456,
			[][2]float64{{6.364, 6.364}, {19.092, 6.364}, {12.728, 12.728}, {6.364, 19.092}, {19.092, 19.092}}}, // half the diagonal of 9 in is 6.364
	} {
		s := newState(1, "try", edit.Open([]byte(text+c.rows)))
		v, found := s.topOf()
		if v.Fits || len(found) == 0 {
			t.Fatalf("%s fits", c.rows)
		}
		near := func(a, b float64) bool { return a-b < 0.001 && b-a < 0.001 }
		if !near(v.Width, c.width) || !near(v.Height, c.height) || len(v.Placed) != len(c.middles) {
			t.Errorf("%s lies in %v × %v, %d blocks", c.rows, v.Width, v.Height, len(v.Placed))
			continue
		}
		for i, p := range v.Placed {
			b := v.Blocks[p.Block]
			x, y := inQuilt(p, b.Width/2, b.Height/2)
			if !near(x, c.middles[i][0]) || !near(y, c.middles[i][1]) {
				t.Errorf("%s: block %d lies around %v, %v", c.rows, i, x, y)
			}
		}
	}
}

package piecing

import (
	"testing"
)

// Blocks whose construction is common knowledge among quilters; docs of units and names as in the catalogue.
func TestBlocks(t *testing.T) {
	for _, c := range []struct {
		name, text, want         string
		straight, partial, setIn int
	}{
		{"nine patch", `
blocks:
  Block: {size: 9, rows: [[A, B, A], [B, A, B], [A, B, A]]}`,
			"nine-patch[piecework[A B A] piecework[B A B] piecework[A B A]]", 8, 0, 0},
		{"sixteen patch", `
blocks:
  Block: {size: 8, rows: [[A, B, A, B], [B, A, B, A], [A, B, A, B], [B, A, B, A]]}`,
			"piecework[piecework[A B A B] piecework[A B A B] piecework[A B A B] piecework[A B A B]]", 15, 0, 0},
		{"sawtooth star", `
blocks:
  Block:
    size: 8
    columns: [1, 2, 1]
    heights: [1, 2, 1]
    rows: [[A, goose A B, A], [goose A B@270, B, goose A B@90], [A, goose A B@180, A]]`,
			"piecework[piecework[A flying geese[B trapezoid[B A]] A] piecework[flying geese[B trapezoid[B A]] B flying geese[B trapezoid[B A]]] piecework[A flying geese[B trapezoid[B A]] A]]",
			16, 0, 0},
		{"churn dash", `
blocks:
  Block: {size: 9, rows: [[half square A B@0, rail A B, half square A B@90], ["rail A B@270", A, "rail A B@90"], [half square A B@270, rail B A, half square A B@180]]}`,
			"piecework[piecework[half square[A B] rail fence[A B] half square[A B]] piecework[rail fence[A B] A rail fence[A B]] piecework[half square[A B] rail fence[A B] half square[A B]]]", 16, 0, 0},
		{"bright hopes", `
blocks:
  Block: {size: 6, grid: 3, symmetry: quarter turns, lines: ["0,1 2,1"], fill: {A: "1/2,1/2", B: "3/2,3/2"}}`,
			"piecework[B A A A A]", 3, 1, 0},
		{"bright hopes the other way", `
blocks:
  Block: {size: 6, grid: 3, symmetry: quarter turns, lines: ["1,1 3,1"], fill: {A: "1/2,1/2", B: "3/2,3/2"}}`,
			"piecework[B A A A A]", 3, 1, 0},
		{"attic windows", `
blocks:
  Block: {size: 6, grid: 3, lines: ["1,0 1,2 3,2", "0,3 1,2"], fill: {A: "2,1", B: "1/2,1", C: "2,5/2"}}`,
			"piecework[piecework[A C] B]", 1, 0, 1},
		{"nine-patches in cells are kept", `
blocks:
  Block: {size: 12, rows: [[nine-patch B A, C], [C, nine-patch B A]]}`,
			"piecework[piecework[nine-patch[piecework[B A B] piecework[A B A] piecework[B A B]] C] piecework[nine-patch[piecework[B A B] piecework[A B A] piecework[B A B]] C]]", 19, 0, 0},
		{"log cabin", `
blocks:
  Block: {size: 7, rows: [[log cabin A B B C C B B C C]]}`, "log cabin[C log cabin[log cabin[log cabin[B log cabin[C piecework[piecework[piecework[B A] B] C]]] B] C]]", 8, 0, 0},
		{"double irish chain", `
blocks:
  Block:
    size: 10
    rows: [[B, C, A, C, B], [C, B, C, B, C], [A, C, B, C, A], [C, B, C, B, C], [B, C, A, C, B]]`,
			"piecework[piecework[B C A C B] piecework[C B C B C] piecework[A C B C A] piecework[C B C B C] piecework[B C A C B]]", 24, 0, 0},
		{"pinwheel", `
blocks:
  Block: {size: 6, rows: [[half square A B, half square A B@90], [half square A B@270, half square A B@180]]}`,
			"piecework[piecework[half square[A B] half square[A B]] piecework[half square[A B] half square[A B]]]", 7, 0, 0},
		{"economy", `
blocks:
  Block: {size: 8, grid: 4, symmetry: quarter turns, lines: ["2,0 4,2", "1,1 3,1"], fill: {A: "1/2,1/2", B: "3/2,3/4", C: "2,2"}}`,
			"", 8, 0, 0},
		{"mitred frame", `
blocks:
  Block: {size: 6, grid: 3, symmetry: quarter turns, lines: ["0,0 1,1 2,1"], fill: {A: "3/2,1/2", B: "3/2,3/2"}}`,
			"", 1, 0, 3},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := takeText(t, c.text)
			u := r.Blocks[0].Unit
			if got := show(r, u); c.want != "" && got != c.want {
				t.Errorf("got  %s\nwant %s", got, c.want)
			}
			s, p, i := seams(r, u)
			if s != c.straight || p != c.partial || i != c.setIn {
				t.Errorf("%d straight, %d partial, %d set in, want %d, %d, %d: %s", s, p, i, c.straight, c.partial, c.setIn, show(r, u))
			}
		})
	}
}

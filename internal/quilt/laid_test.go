package quilt_test

import (
	"strings"
	"testing"

	"quiltwright/internal/quilt"
)

const repeated = `quilt: Lantern Row
fabrics: {A: {name: Fog}, B: {name: Slate}}
blocks:
  Lamp: {size: 6, grid: 1, ground: A}
  Mast: {size: 6, grid: 1, ground: B}
  Pier: {size: 6, rows: [[A, B]]}
set:
`

// What repeat lays again, as it is written out by hand.
func TestLaid(t *testing.T) {
	for _, test := range []struct{ name, set, want string }{
		{"straight", "rows: [[Lamp, Mast], [Pier, Lamp, Mast]], repeat: 2 x 2",
			"Lamp Mast Lamp Mast; Pier Lamp Mast Pier Lamp Mast; Lamp Mast Lamp Mast; Pier Lamp Mast Pier Lamp Mast"},
		{"on point", "style: on point, triangles: A, rows: [[Lamp, Mast], [Pier], [Mast, Lamp]]", "Lamp Mast; Pier; Mast Lamp"},
		{"one and the one in its gap", "style: on point, triangles: A, rows: [[Lamp], [Mast]], repeat: 3 x 2", "Lamp Lamp Lamp; Mast Mast; Lamp Lamp Lamp"},
		{"gaps written", "style: on point, triangles: A, rows: [[Lamp, Mast], [Pier, Lamp], [Mast, Lamp], [Pier, Mast]], repeat: 2 x 2",
			"Lamp Mast Lamp Mast; Pier Lamp Pier; Mast Lamp Mast Lamp; Pier Mast Pier; Lamp Mast Lamp Mast; Pier Lamp Pier; Mast Lamp Mast Lamp"},
		{"gaps not written", "style: on point, triangles: A, rows: [[Lamp, Mast, Pier], [Pier, Lamp], [Lamp, Mast, Pier]], repeat: 2 x 2",
			"Lamp Mast Pier Lamp Mast Pier; Pier Lamp Pier Pier Lamp; Lamp Mast Pier Lamp Mast Pier; Pier Lamp Pier Pier Lamp; " +
				"Lamp Mast Pier Lamp Mast Pier; Pier Lamp Pier Pier Lamp; Lamp Mast Pier Lamp Mast Pier"},
		{"down only", "style: on point, triangles: A, rows: [[Lamp, Mast], [Pier]], repeat: 1 x 3", "Lamp Mast; Pier; Lamp Mast; Pier; Lamp Mast"},
		{"across only", "style: on point, triangles: A, rows: [[Lamp]], repeat: 3 x 1", "Lamp Lamp Lamp"},
		{"a column", "style: on point, triangles: A, rows: [[Lamp]], repeat: 1 x 3", "Lamp; ; Lamp; ; Lamp"},
	} {
		t.Run(test.name, func(t *testing.T) {
			doc, found := quilt.Read("test.yaml", []byte(strings.TrimSuffix(repeated, "\n")+" {"+test.set+"}\n"))
			if len(found) > 0 {
				t.Fatal(found)
			}
			var rows []string
			for _, row := range doc.Set.Laid() {
				var cells []string
				for _, c := range row {
					cells = append(cells, c.Block)
				}
				rows = append(rows, strings.Join(cells, " "))
			}
			if got := strings.Join(rows, "; "); got != test.want {
				t.Errorf("laid\n%s, want\n%s", got, test.want)
			}
		})
	}
}

// The months make what lies in the top, repeats and the blocks in their gaps included.
func TestMonthsCountRepeats(t *testing.T) {
	const set = `  style: on point
  triangles: A
  rows: [[Lamp], [Mast]]
  repeat: 3 x 2
months:
  - {title: All, blocks: {Lamp: 6, Mast: `
	if _, found := quilt.Read("test.yaml", []byte(repeated+set+"2}, set: true}\n")); len(found) > 0 {
		t.Error(found)
	}
	if _, found := quilt.Read("test.yaml", []byte(repeated+set+"6}, set: true}\n")); !strings.Contains(found.String(), "the months make 6 of Mast, the quilt uses 2") {
		t.Errorf("six are made, and found is %v", found)
	}
}

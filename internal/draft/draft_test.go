package draft

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
)

const head = `format: 1
quilt: Lantern Row
fabrics:
  A: {name: Fog, color: "#e8e3d6"}
  B: {name: Slate, color: "#45505c"}
  C: {name: Ember, color: "#c8502b"}
  S: {name: Stripe, color: "#c8502b", print: two-way}
  P: {name: Tulips, color: "#c8502b", print: one-way}
  Q: {name: Boats, color: "#c8502b", print: one-way, upright: quilt}
  R: {name: Waves, color: "#c8502b", print: two-way, upright: quilt}
blocks:
`

// read returns a drafter for the blocks, and what the reader said.
func read(t testing.TB, blocks string) (*Drafter, string) {
	t.Helper()
	doc, found := quilt.Read("test.yaml", []byte(head+blocks))
	return New(doc), found.String()
}

// draw draws a block that must come out well.
func draw(t testing.TB, d *Drafter, use Use) *Block {
	t.Helper()
	i := d.Draw(use)
	b := d.Blocks()[i]
	if b.Broken || d.Findings().HasErrors() {
		t.Fatalf("%s is broken: %v", use.Block, d.Findings())
	}
	return b
}

func TestUnits(t *testing.T) {
	tests := []struct {
		unit, size string
		want       []string // outlines from the top left vertex, in the order of the fabrics
	}{
		{"half square A B", "4", []string{"0,0 4,0 0,4", "4,0 4,4 0,4"}},
		{"half rectangle A B", "[4, 2]", []string{"0,0 4,0 0,2", "4,0 4,2 0,2"}},
		{"goose A B C", "[4, 2]", []string{"2,0 4,2 0,2", "0,0 2,0 0,2", "2,0 4,0 4,2"}},
		{"hourglass A B C A", "4", []string{"0,0 4,0 2,2", "4,0 4,4 2,2", "2,2 4,4 0,4", "0,0 2,2 0,4"}},
		{"three triangles A B C", "4", []string{"0,0 4,0 0,4", "4,0 4,4 2,2", "2,2 4,4 0,4"}},
		{"square in square A B C A B", "4", []string{"2,0 4,2 2,4 0,2", "0,0 2,0 0,2", "2,0 4,0 4,2", "4,2 4,4 2,4", "0,2 2,4 0,4"}},
		{"snowball A B C A B", "3", []string{"1,0 2,0 3,1 3,2 2,3 1,3 0,2 0,1", "0,0 1,0 0,1", "2,0 3,0 3,1", "3,2 3,3 2,3", "0,2 1,3 0,3"}},
		{"four-patch A B C A", "2", []string{"0,0 1,0 1,1 0,1", "1,0 2,0 2,1 1,1", "0,1 1,1 1,2 0,2", "1,1 2,1 2,2 1,2"}},
		{"nine-patch A B", "3", []string{"0,0 1,0 1,1 0,1", "1,0 2,0 2,1 1,1", "2,0 3,0 3,1 2,1", "0,1 1,1 1,2 0,2", "1,1 2,1 2,2 1,2",
			"2,1 3,1 3,2 2,2", "0,2 1,2 1,3 0,3", "1,2 2,2 2,3 1,3", "2,2 3,2 3,3 2,3"}},
		{"rail A B C", "3", []string{"0,0 3,0 3,1 0,1", "0,1 3,1 3,2 0,2", "0,2 3,2 3,3 0,3"}},
		// lengths of round 0 as facts A 17 has them: b, b+w, b+w, b+2w, with b the centre
		{"log cabin A B C B C", "3", []string{"1,1 2,1 2,2 1,2", "1,0 2,0 2,1 1,1", "2,0 3,0 3,2 2,2", "1,2 3,2 3,3 1,3", "0,0 1,0 1,3 0,3"}},
	}
	for _, test := range tests {
		d, _ := read(t, fmt.Sprintf("  Unit: {size: %s, rows: [[%s]]}\n", test.size, test.unit))
		b := draw(t, d, Use{Block: "Unit"})
		var got []string
		for _, p := range b.Patches {
			var corners []string
			for _, v := range p.Outline.Canonical() {
				corners = append(corners, v.String())
			}
			got = append(got, strings.Join(corners, " "))
		}
		if !slices.Equal(got, test.want) {
			t.Errorf("%s:\ngot  %q\nwant %q", test.unit, got, test.want)
		}
		cover(t, b)
	}
}

func TestLogCabinRounds(t *testing.T) {
	d, _ := read(t, "  Logs: {size: 7, rows: [[log cabin A B C B C B C B C B C B C]]}\n")
	b := draw(t, d, Use{Block: "Logs"})
	if len(b.Patches) != 13 {
		t.Errorf("%d patches, want 13", len(b.Patches))
	}
	cover(t, b)
	// facts A 17: in round r (from 0) the logs are b, b+w, b+w, b+2w long, b = c + 2rw
	for r := range 3 {
		for i, more := range []int{0, 1, 1, 2} {
			least, most := b.Patches[1+4*r+i].Outline.Box()
			long := exact.Max(most.X.Sub(least.X), most.Y.Sub(least.Y))
			if want := exact.Int(int64(1 + 2*r + more)); !long.Equal(want) {
				t.Errorf("round %d log %d is %v long, want %v", r, i, long, want)
			}
		}
	}
}

func TestFaults(t *testing.T) {
	tests := []struct {
		name, block string
		says        []string
	}{
		{"a loose end, in the writer's own line", `{size: 12, grid: 6, symmetry: quarter turns, ground: A, lines: ["0,2 6,2", "2,0 2,2 3,1"]}`,
			[]string{"12:95: the line from 2,2 ends at 3,1 inside a patch", "carry it on to 4,0"}},
		{"a loose end past a crossing", `{size: 12, grid: 6, ground: A, lines: ["3,0 3,6", "0,1 4,1"]}`,
			[]string{"the line from 0,1 ends at 4,1 inside a patch", "carry it on to 6,1, or end it at 3,1"}},
		{"fill on a line", `{size: 12, grid: 2, ground: A, lines: "1,0 1,2", fill: {B: "1,1"}}`,
			[]string{"the fill point 1,1 lies on a line", "a point inside the patch that is meant: 1/2,1 3/2,1"}},
		{"two fabrics in one patch", `{size: 12, grid: 2, ground: A, lines: "1,0 1,2", fill: {B: "1/2,1/2", C: "1/2,3/2"}}`,
			[]string{"the patch at 1/2,3/2 is filled with B and with C", "B is said here, at 1/2,1/2"}},
		{"two fabrics by symmetry", `{size: 12, grid: 2, symmetry: left-right, ground: A, lines: "1,0 1,2", fill: {B: "1/2,1/2", C: "3/2,3/2"}}`,
			[]string{"B is said here, at 1/2,1/2, and repeated by the symmetry", "the patch at 3/2,3/2 is filled with B and with C"}},
		{"no fabric", `{size: 12, grid: 2, lines: "1,0 1,2", fill: {B: "1/2,1/2"}}`,
			[]string{"a patch of “Faulty” has no fabric: the one around 3/2,1"}},
		{"a hole", `{size: 12, grid: 6, lines: "2,2 4,2 4,4 2,4 2,2", ground: A}`, []string{"leave a hole in it", "at 2,2"}},
		{"half square in a rectangle", `{size: [6, 3], rows: [[half square A B]]}`,
			[]string{"half square needs a square cell, and this one is 6 x 3 in", "half rectangle"}},
		{"a block of another shape", `{size: [6, 3], rows: [[Flag]]}`, []string{"“Flag” is 12 x 12 in and cannot be drawn 6 x 3 in"}},
		{"a thin patch", `{size: 6, grid: 16, lines: "0,1 16,1", ground: A}`,
			[]string{"warning: a patch of “Faulty”", "is only 3/8 in wide when finished", "a block of 8 x 8 in has patches at least 1/2 in wide"}},
		{"thinner than the allowance", `{size: 6, grid: 48, lines: "0,1 48,1", ground: A}`,
			[]string{"is only 1/8 in wide when finished, less than the seam allowance"}},
		{"a short edge", `{size: 12, grid: 96, lines: "0,48 48,48 48,49 96,49", ground: A}`,
			[]string{"has an edge of 1/8 in, less than the seam allowance", "a block of 24 x 24 in has edges longer than the allowance"}},
		{"a five-grid at 12 in", `{size: 12, grid: 5, lines: ["0,1 5,1", "1,0 1,5"], ground: A}`,
			[]string{"hint: “Faulty” at 12 x 12 in has sides of 2.4 in, which is off the ruler's marks of 1/8 in",
				"good sizes: 11 7/8 in or 12 1/2 in; in whole inches: 10 in or 15 in"}},
		{"a seven-grid of cells", `{size: 12, rows: [[A, B, A, B, A, B, A]]}`, []string{"in whole inches: 7 in or 14 in"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			d, said := read(t, "  Faulty: "+test.block+"\n  Flag: {size: 12, grid: 2, ground: A}\n")
			d.Draw(Use{Block: "Faulty"})
			d.Draw(Use{Block: "Faulty", Recolor: map[string]string{"A": "B"}})
			got := strings.ReplaceAll(said+d.Findings().String(), "\u00a0", " ")
			for _, want := range test.says {
				if !strings.Contains(got, want) {
					t.Errorf("found\n%swant %q", got, want)
				}
			}
			if n := strings.Count(got, test.says[0]); n > 1 {
				t.Errorf("said %d times: %s", n, test.says[0])
			}
		})
	}
}

func TestGoodSizesAreQuiet(t *testing.T) {
	d, said := read(t, "  Steps: {size: 12, grid: 4, symmetry: quarter turns, lines: [\"0,0 4,4\", \"0,1 4,1\", \"2,0 0,2\"], ground: A}\n")
	d.Draw(Use{Block: "Steps"})
	if said != "" || len(d.Findings()) > 0 {
		t.Errorf("found %s%v", said, d.Findings())
	}
}

// ups returns where the prints point, patch by patch.
func ups(b *Block) []plane.Turn {
	var out []plane.Turn
	for _, p := range b.Patches {
		out = append(out, p.Up)
	}
	return out
}

func TestPrints(t *testing.T) {
	const blocks = `
  Inner: {size: 2, rows: [[P, S], [Q, A]]}
  Outer: {size: 4, rows: [[Inner@90, Inner@m], [P@270, half square P S@90]]}
  Plain: {size: 4, rows: [[A, P]]}
  Stripe: {size: 4, rows: [[A, R]]}
`
	d, _ := read(t, blocks)
	b := draw(t, d, Use{Block: "Outer"})
	// P S Q A of Inner turned a quarter; the same mirrored; then the cells of Outer itself
	if got, want := fmt.Sprint(ups(b)), "[90 90 0 0 0 0 0 0 270 90 90]"; got != want {
		t.Errorf("prints point %s, want %s", got, want)
	}
	b = draw(t, d, Use{Block: "Outer", Turn: 90})
	if b.Upright != 270 {
		t.Errorf("the quilt's up is %d in a block that is turned by 90", b.Upright)
	}
	if got, want := fmt.Sprint(ups(b)), "[90 90 270 0 0 0 270 0 270 90 90]"; got != want {
		t.Errorf("prints point %s, want %s", got, want)
	}
	b = draw(t, d, Use{Block: "Outer", Turn: 90, Mirror: true})
	if got, want := fmt.Sprint(ups(b)), "[270 90 270 0 0 0 270 0 90 270 90]"; got != want {
		t.Errorf("prints point %s, want %s", got, want)
	}
	if a, b := d.Draw(Use{Block: "Plain"}), d.Draw(Use{Block: "Plain", Turn: 180}); a != b {
		t.Errorf("a block that turns with its prints is drawn twice")
	}
	a, turned, over := d.Draw(Use{Block: "Stripe"}), d.Draw(Use{Block: "Stripe", Turn: 90}), d.Draw(Use{Block: "Stripe", Turn: 180})
	if a != over || a == turned {
		t.Errorf("stripes that stay up: drawn as %d, turned %d, over %d", a, turned, over)
	}
	if got := d.Blocks()[turned].Patches[1].Up; got != 90 {
		t.Errorf("the stripe points %d in a block that is turned by 90", got)
	}
}

func TestRecolour(t *testing.T) {
	const blocks = `
  Inner: {size: 2, rows: [[A, B]]}
  Outer: {size: 4, rows: [[Inner, {block: Inner, recolor: {A: C}}], [{block: Inner, recolor: {A: B, B: A}}, C]]}
`
	d, _ := read(t, blocks)
	letters := func(b *Block) string {
		var out string
		for _, p := range b.Patches {
			out += d.doc.Fabrics[p.Fabric].Letter
		}
		return out
	}
	if got := letters(draw(t, d, Use{Block: "Outer"})); got != "ABCBBAC" {
		t.Errorf("fabrics %s, want ABCBBAC", got)
	}
	// The cell's own recolouring comes first, then the one of the block around it.
	if got := letters(draw(t, d, Use{Block: "Outer", Recolor: map[string]string{"C": "A", "B": "S"}})); got != "ASASSAA" {
		t.Errorf("fabrics %s, want ASASSAA", got)
	}
	if a, b := d.Draw(Use{Block: "Inner"}), d.Draw(Use{Block: "Inner", Recolor: map[string]string{"C": "A", "B": "B"}}); a != b {
		t.Errorf("a recolouring that changes nothing is drawn anew")
	}
}

func TestChoices(t *testing.T) {
	d, _ := read(t, "  One: {size: 2, rows: [[A, B]], make: {half squares: eights, fit: trim}}\n  Two: {size: 2, rows: [[A, B]]}\n")
	one, two := draw(t, d, Use{Block: "One"}), draw(t, d, Use{Block: "Two"})
	if one.Make.HalfSquares != "eights" || one.Make.Fit != "trim" || one.Make.Geese != two.Make.Geese || two.Make.HalfSquares == "eights" {
		t.Errorf("choices are %+v and %+v", one.Make, two.Make)
	}
}

func TestTooManyPatches(t *testing.T) {
	var b strings.Builder
	b.WriteString("  Check:\n    grid: 100\n    ground: A\n    lines:\n")
	for i := 1; i < 100; i++ {
		fmt.Fprintf(&b, "      - 0,%d 100,%d\n      - %d,0 %d,100\n", i, i, i, i)
	}
	b.WriteString("  Many: {size: 12, rows: [" + strings.Repeat("[Check, Check, Check, Check, Check, Check], ", 5) +
		"[Check, Check, Check, Check, Check, Check]]}\n  Around: {size: 12, rows: [[Many]]}\n")
	d, said := read(t, b.String())
	if said != "" {
		t.Fatal(said)
	}
	i := d.Draw(Use{Block: "Around"})
	if !d.Blocks()[i].Broken || strings.Count(d.Findings().String(), "this makes too many patches") != 1 {
		t.Errorf("broken: %v, found %v", d.Blocks()[i].Broken, d.Findings())
	}
}

func TestFirst(t *testing.T) {
	d, _ := read(t, "  One: {size: [12, 6], grid: [4, 2], lines: \"1,0 1,2\", ground: A, first: \"1,0 1,2\"}\n")
	b := draw(t, d, Use{Block: "One", Mirror: true})
	if len(b.First) != 1 || b.First[0].A.String() != "9,0" || b.First[0].B.String() != "9,6" {
		t.Errorf("first lines %v", b.First)
	}
	if b = draw(t, d, Use{Block: "One"}); b.First[0].A.String() != "3,0" {
		t.Errorf("first lines %v", b.First)
	}
}

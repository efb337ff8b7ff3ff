package draft

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
	_ "quiltwright/internal/seed"
)

// symmetric are the sets of words that a block is drawn with here.
var symmetric = [][]quilt.Symmetry{
	nil, {quilt.QuarterTurns}, {quilt.HalfTurn}, {quilt.LeftRight}, {quilt.TopBottom}, {quilt.FallingDiagonal}, {quilt.RisingDiagonal},
	{quilt.LeftRight, quilt.TopBottom}, {quilt.QuarterTurns, quilt.LeftRight}, {quilt.LeftRight, quilt.FallingDiagonal},
	{quilt.FallingDiagonal, quilt.RisingDiagonal}, {quilt.HalfTurn, quilt.RisingDiagonal},
}

// sides draws a line from side to side of a square grid, so that nothing hangs loose.
func sides(t *rapid.T, grid int) quilt.Run {
	end := func(label string) plane.Point {
		at, side := exact.Frac(int64(rapid.IntRange(0, 2*grid).Draw(t, label)), 2), rapid.IntRange(0, 3).Draw(t, label+" side")
		far := exact.Int(int64(grid))
		return []plane.Point{plane.Pt(at, exact.Num{}), plane.Pt(at, far), plane.Pt(exact.Num{}, at), plane.Pt(far, at)}[side]
	}
	return quilt.Run{Points: []plane.Point{end("from"), end("to")}}
}

func randomBlock(t *rapid.T) *quilt.Block {
	grid := rapid.IntRange(1, 6).Draw(t, "grid")
	size := exact.Frac(int64(rapid.IntRange(8, 60).Draw(t, "size")), 4)
	b := &quilt.Block{Name: "Random", Width: size, Height: size, Columns: grid, Rows: grid, Ground: "A",
		Symmetry: rapid.SampledFrom(symmetric).Draw(t, "symmetry")}
	for range rapid.IntRange(0, 4).Draw(t, "lines") {
		run := sides(t, grid)
		if !run.Points[0].Equal(run.Points[1]) {
			b.Lines = append(b.Lines, run)
		}
	}
	for i := range rapid.IntRange(0, 3).Draw(t, "fills") {
		point := plane.Pt(exact.Frac(int64(rapid.IntRange(1, 97*grid-1).Draw(t, "x")), 97), exact.Frac(int64(rapid.IntRange(1, 89*grid-1).Draw(t, "y")), 89))
		b.Fill = append(b.Fill, quilt.Fill{Fabric: string(rune('A' + i)), Points: []plane.Point{point}})
	}
	return b
}

// The patches of any block cover it exactly, and a block with symmetry is its own image by each of its words.
func TestRandomBlocks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		def := randomBlock(t)
		d := New(document(def))
		b := drawn(d, Use{Block: "Random"})
		for _, f := range d.Findings() {
			if f.Code == "fill-on-line" || f.Code == "filled-twice" {
				return // a chance hit
			}
			if f.Severity == 0 {
				t.Fatalf("%v", d.Findings())
			}
		}
		want := b.Width.Mul(b.Height).Mul(exact.Int(2))
		sum := exact.Num{}
		for i, p := range b.Patches {
			sum = sum.Add(p.Outline.Area2())
			for _, q := range b.Patches[:i] {
				if plane.Overlap(p.Outline, q.Outline) {
					t.Fatalf("%v and %v overlap", p.Outline, q.Outline)
				}
			}
		}
		if !sum.Equal(want) {
			t.Fatalf("patches cover %v of %v", sum.Half(), want.Half())
		}
		for _, word := range def.Symmetry {
			pose := image(word, b.Width, b.Height)
			if got, want := keys(b.Patches, pose), keys(b.Patches, plane.Pose{}); got != want {
				t.Fatalf("%s changes the block:\n%s\n%s", word, got, want)
			}
		}
	})
}

func drawn(d *Drafter, use Use) *Block {
	i := d.Draw(use)
	return d.Blocks()[i]
}

// image is a symmetry as a pose of a block w by h, told from the words, not from the generators.
func image(word quilt.Symmetry, w, h exact.Num) plane.Pose {
	zero := exact.Num{}
	switch word {
	case quilt.QuarterTurns:
		return plane.Pose{At: plane.Pt(w, zero), Turn: 90}
	case quilt.HalfTurn:
		return plane.Pose{At: plane.Pt(w, h), Turn: 180}
	case quilt.LeftRight:
		return plane.Pose{At: plane.Pt(w, zero), Mirror: true}
	case quilt.TopBottom:
		return plane.Pose{At: plane.Pt(zero, h), Mirror: true, Turn: 180}
	case quilt.FallingDiagonal: // the line from 0,0 to w,h stays
		return plane.Pose{Mirror: true, Turn: 270}
	default:
		return plane.Pose{At: plane.Pt(w, h), Mirror: true, Turn: 90}
	}
}

// keys lists patches, posed, as sorted text.
func keys(patches []Patch, pose plane.Pose) string {
	var out []string
	for _, p := range patches {
		out = append(out, fmt.Sprintf("%d %s", p.Fabric, pose.ApplyPolygon(p.Outline).Canonical().AppendKey(nil)))
	}
	slices.Sort(out)
	return strings.Join(out, "\n")
}

// Turns and mirrors of cells within cells come out as the poses composed.
func TestTurnsCompose(t *testing.T) {
	doc := func(t *rapid.T, inner, outer string) *Drafter {
		text := "  Core: {size: 2, rows: [[P, half square A B], [four-patch A B C P, C]]}\n"
		text += "  Middle: {size: 2, rows: [[Core" + inner + "]]}\n  Outer: {size: 2, rows: [[Middle" + outer + "]]}\n"
		d := New(must(quilt.Read("test.yaml", []byte(head+text))))
		return d
	}
	rapid.Check(t, func(t *rapid.T) {
		gen := func(label string) (string, plane.Pose) {
			turn, mirror := 90*rapid.IntRange(0, 3).Draw(t, label), rapid.Bool().Draw(t, label+" mirrored")
			text := fmt.Sprintf("@%d", turn)
			if mirror {
				text += "m"
			}
			pose := stand(plane.Point{}, exact.Int(2), exact.Int(2), plane.Turn(turn), mirror)
			return text, pose
		}
		innerText, inner := gen("inner")
		outerText, outer := gen("outer")
		d := doc(t, innerText, outerText)
		core, whole := drawn(d, Use{Block: "Core"}), drawn(d, Use{Block: "Outer"})
		if d.Findings().HasErrors() {
			t.Fatal(d.Findings())
		}
		both := inner.Then(outer)
		if got, want := keys(whole.Patches, plane.Pose{}), keys(core.Patches, both); got != want {
			t.Fatalf("%s in %s:\n%s\nwant\n%s", innerText, outerText, got, want)
		}
		up := plane.Pose{Turn: both.Turn, Mirror: both.Mirror}
		for _, p := range whole.Patches {
			if d.doc.Fabrics[p.Fabric].Letter != "P" {
				continue
			}
			// The print's up, as a point above the origin, goes where the poses carry it.
			if want := up.Apply(plane.Pt(exact.Num{}, exact.Int(-1))); !want.Equal(plane.Pose{Turn: p.Up}.Apply(plane.Pt(exact.Num{}, exact.Int(-1)))) {
				t.Fatalf("%s in %s: the print points %d", innerText, outerText, p.Up)
			}
		}
	})
}

func must[F any](doc *quilt.Document, found F) *quilt.Document { return doc }

// A block mirrored twice, by a cell and by its use, is the block.
func TestMirrorUndoes(t *testing.T) {
	d, _ := read(t, "  One: {size: [4, 2], rows: [[P, half square A B]]}\n  Two: {size: [4, 2], rows: [[One@m]]}\n")
	one, two := draw(t, d, Use{Block: "One"}), draw(t, d, Use{Block: "Two", Mirror: true})
	if got, want := keys(two.Patches, plane.Pose{}), keys(one.Patches, plane.Pose{}); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// large is a block of n by n squares in four fabrics, each filled by a point of its own.
func large(n int) *quilt.Block {
	b := &quilt.Block{Name: "Large", Width: exact.Int(60), Height: exact.Int(60), Columns: n, Rows: n}
	far, zero := exact.Int(int64(n)), exact.Num{}
	for i := 1; i < n; i++ {
		at := exact.Int(int64(i))
		b.Lines = append(b.Lines, quilt.Run{Points: []plane.Point{{X: zero, Y: at}, {X: far, Y: at}}},
			quilt.Run{Points: []plane.Point{{X: at, Y: zero}, {X: at, Y: far}}})
	}
	for f := range 4 {
		fill := quilt.Fill{Fabric: []string{"A", "B", "C", "A"}[f]}
		for y := range n {
			for x := range n {
				if (x+3*y)%4 == f {
					fill.Points = append(fill.Points, plane.Pt(exact.Frac(int64(2*x+1), 2), exact.Frac(int64(2*y+1), 2)))
				}
			}
		}
		b.Fill = append(b.Fill, fill)
	}
	return b
}

func TestLarge(t *testing.T) {
	d := New(document(large(60)))
	b := drawn(d, Use{Block: "Large"})
	if len(b.Patches) != 3600 || d.Findings().HasErrors() {
		t.Fatalf("%d patches, found %v", len(b.Patches), d.Findings())
	}
	sum := exact.Num{}
	for _, p := range b.Patches {
		least, _ := p.Outline.Box()
		x, _, _ := least.X.Rat()
		y, _, _ := least.Y.Rat()
		if want := []int{0, 1, 2, 0}[(x+3*y)%4]; p.Fabric != want {
			t.Fatalf("the patch at %v has fabric %d, want %d", least, p.Fabric, want)
		}
		sum = sum.Add(p.Outline.Area2())
	}
	if !sum.Equal(exact.Int(7200)) {
		t.Errorf("patches cover %v of 3600", sum.Half())
	}
}

func BenchmarkDraw316(b *testing.B) {
	doc := document(large(316))
	for b.Loop() {
		d := New(doc)
		if len(drawn(d, Use{Block: "Large"}).Patches) != 316*316 {
			b.Fatal("patches are missing")
		}
	}
}

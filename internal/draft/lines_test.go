package draft

import (
	"strings"
	"testing"

	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
)

func pts(t testing.TB, text string) []plane.Point {
	t.Helper()
	var out []plane.Point
	for _, f := range strings.Fields(text) {
		x, y, ok := strings.Cut(f, ",")
		if !ok {
			t.Fatalf("no point: %q", f)
		}
		out = append(out, plane.Pt(number(t, x), number(t, y)))
	}
	return out
}

func number(t testing.TB, s string) exact.Num {
	t.Helper()
	n, d, over := strings.Cut(s, "/")
	if !over {
		d = "1"
	}
	var v [2]int64
	for i, part := range []string{n, d} {
		for _, r := range part {
			if r < '0' || r > '9' {
				t.Fatalf("no number: %q", s)
			}
			v[i] = 10*v[i] + int64(r-'0')
		}
	}
	return exact.Frac(v[0], v[1])
}

// lantern is the block of the page on the format, without its arcs.
func lantern(t testing.TB) *quilt.Block {
	return &quilt.Block{
		Name: "Paper Lantern", Width: exact.Int(12), Height: exact.Int(12), Columns: 6, Rows: 6,
		Symmetry: []quilt.Symmetry{quilt.QuarterTurns},
		Lines:    []quilt.Run{{Points: pts(t, "0,2 6,2")}, {Points: pts(t, "2,0 2,2 4,4")}},
		Fill:     []quilt.Fill{{Fabric: "B", Points: pts(t, "3,5/2")}, {Fabric: "C", Points: pts(t, "1/2,1")}},
		Ground:   "A",
	}
}

func document(blocks ...*quilt.Block) *quilt.Document {
	return &quilt.Document{
		Seam: exact.Frac(1, 4), Ruler: exact.Frac(1, 8), Blocks: blocks,
		Fabrics: []quilt.Fabric{{Letter: "A", Print: quilt.Plain}, {Letter: "B", Print: quilt.Plain}, {Letter: "C", Print: quilt.Plain}},
	}
}

func TestLantern(t *testing.T) {
	d := New(document(lantern(t)))
	i := d.Draw(Use{Block: "Paper Lantern"})
	if again := d.Draw(Use{Block: "Paper Lantern", Width: exact.Int(12), Height: exact.Int(12)}); again != i {
		t.Errorf("equal requests give %d and %d", i, again)
	}
	b := d.Blocks()[i]
	if len(d.Findings()) > 0 || b.Broken {
		t.Fatalf("findings: %v", d.Findings())
	}
	if len(b.Patches) != 12 {
		t.Errorf("%d patches, want 12", len(b.Patches))
	}
	cover(t, b)
}

// cover checks that patches cover a block exactly: areas add up, and no two overlap.
func cover(t testing.TB, b *Block) {
	t.Helper()
	sum := exact.Num{}
	for i, p := range b.Patches {
		if p.Outline.Area2().Sign() <= 0 {
			t.Fatalf("patch %d runs counter-clockwise or has no area: %v", i, p.Outline)
		}
		sum = sum.Add(p.Outline.Area2())
		for _, q := range b.Patches[:i] {
			if plane.Overlap(p.Outline, q.Outline) {
				t.Fatalf("patches overlap: %v and %v", p.Outline, q.Outline)
			}
		}
	}
	if want := b.Width.Mul(b.Height).Mul(exact.Int(2)); !sum.Equal(want) {
		t.Fatalf("patches of %s cover %v of %v", b.Name, sum.Half(), want.Half())
	}
}

package compile

import (
	"fmt"
	"testing"
)

// A print is turned by some methods and not by others (common practice: of a pair of half squares one comes out half a turn
// round; a flipped corner keeps the way of its square; four geese lie in four directions; strips run across the cloth).
func TestPrintsDecideTheMethod(t *testing.T) {
	const head = `format: 1
quilt: Stripes
fabrics:
  A: {name: Pale, color: "#f4efe2"%s}
  B: {name: Deep, color: "#2b3a45"%s}
blocks:
  Trial: {size: %s, rows: [%s]}
set: {rows: [[Trial, Trial], [Trial, Trial]]}
`
	const one, two = ", print: one-way", ", print: two-way"
	for _, c := range []struct {
		name, a, b, size, rows, kind, want string
	}{
		{"half squares, two-way", two, two, "8", "[half square A B, half square A B], [half square A B, half square A B]", "half square", "pairs"},
		{"half squares, two-way, turned", two, "", "8", "[half square A B, half square A B@90], [half square A B@180, half square A B@270]", "half square", "pairs"},
		{"half squares, one-way", one, "", "8", "[half square A B, half square A B], [half square A B, half square A B]", "half square", "joined"},
		{"half squares, one-way in the other", "", one, "8", "[half square A B, half square A B], [half square A B, half square A B]", "half square", "joined"},
		{"half squares, plain", "", "", "4", "[half square A B, half square A B], [half square A B, half square A B]", "half square", "eights"},
		{"geese, one-way goose", one, "", "[8, 4]", "[goose A B]", "flying geese", "flips"},
		{"geese, one-way goose, on its side", one, "", "[4, 8]", "[goose A B@90]", "flying geese", "flips"},
		{"geese, one-way sky", "", one, "[8, 4]", "[goose A B]", "flying geese", "flips"},
		{"geese, both one-way, upside down", one, one, "[8, 4]", "[goose A B@180]", "flying geese", "flips"},
		{"geese, both two-way", two, two, "[4, 8]", "[goose A B@270]", "flying geese", "flips"},
		{"geese, plain", "", "", "[8, 4]", "[goose A B]", "flying geese", "fours"},
		{"square in a square, plain", "", "", "6", "[square in square A B]", "square in a square", "joined"},
		{"square in a square, one-way", one, two, "6", "[square in square A B@90]", "square in a square", "flips"},
		{"square in a square, one-way corners", "", one, "6", "[square in square A B]", "square in a square", "flips"},
		{"snowball, one-way corners", "", one, "6", "[snowball A B]", "snowball", "flips"},
		{"snowball, one-way middle, turned", one, one, "6", "[snowball A B@90]", "snowball", "flips"},
		{"rails one below the other, one-way", one, one, "6", "[A], [B], [A]", "rail fence", "strip set"},
		{"rails side by side, one-way", one, one, "6", "[A, B, A]", "rail fence", "joined"},
		{"rails side by side, two-way", two, "", "6", "[A, B, A]", "rail fence", "joined"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := Compile("stripes.yaml", fmt.Appendf(nil, head, c.a, c.b, c.size, c.rows), Options{Proof: true})
			if !r.Plan.Complete {
				t.Fatal(r.Findings)
			}
			if !r.Plan.Proof.Holds {
				t.Fatal(r.Plan.Proof.Findings)
			}
			made := 0
			for i := range r.Units {
				u := &r.Units[i]
				if !u.Made || string(u.Shape.Kind) != c.kind {
					continue
				}
				made++
				if u.Method != c.want {
					t.Errorf("%s is made by %s, want %s", u.Shape.Kind, u.Method, c.want)
				}
				refused := false
				for _, no := range u.Refused {
					refused = refused || no.Why == "print"
				}
				if (c.a != "" || c.b != "") && c.want == "joined" && !refused {
					t.Errorf("the plan does not say that the print is why: %v", u.Refused)
				}
			}
			if made == 0 {
				t.Errorf("no %s among the units", c.kind)
			}
		})
	}
}

// Triangles of a print: the two of a half rectangle are both cut by a template where one has to be, and squares that are cut corner to corner say how
// their print lies. What is cut to its exact size beside blocks that are a little large eases in what three of them add up to.
func TestPrintsOfTriangles(t *testing.T) {
	for name, src := range map[string]string{
		"half rectangle": "A: {name: Pale}\n  C: {name: Warm, print: one-way}\nblocks:\n  Trial: {size: 16, rows: [[A, half rectangle A C], [C, half rectangle A B]]}\n  Gable: {size: 16, rows: [[half rectangle A B, half rectangle A B]]}\n" +
			"set: {rows: [[Trial, Gable], [Gable, Trial]]}\n",
		"setting triangles": "A: {name: Pale}\n  C: {name: Warm, print: two-way, upright: quilt}\nblocks:\n  Trial: {size: 16, rows: [[half square C B]]}\n" +
			"set: {style: on point, triangles: C, rows: [[Trial, Trial], [Trial], [Trial, Trial]]}\n",
		"three blocks one below the other": "A: {name: Pale, print: one-way}\n  C: {name: Warm, print: one-way}\nblocks:\n  B0: {size: 8, rows: [[three triangles A B C@270, nine-patch A B@270], [A, rail A B C@0]]}\n" +
			"set: {rows: [[B0], [B0@180], [B0@180]], sashing: {width: 2, fabric: B, posts: C}, borders: [{width: 4, fabric: B}]}\n",
	} {
		r := Compile("triangles.yaml", []byte("quilt: Triangles\nfabrics:\n  B: {name: Deep}\n  "+src), Options{Proof: true})
		if !r.Plan.Complete || !r.Plan.Proof.Holds {
			t.Errorf("%s: %v %v", name, r.Findings, r.Plan.Proof)
		}
	}
}

package compile

import (
	"strings"
	"testing"
)

// Quilts at the edge of what is sewn still hold.
func TestOddQuiltsHold(t *testing.T) {
	const bordered = `
set: {rows: [[Plain, Odd, Odd], [Odd, Odd, Plain]], borders: [{width: 4, fabric: B}]}
`
	for name, text := range map[string]string{
		"half squares for blocks":      `blocks: {Odd: {size: 8, grid: 2, lines: ["0,2 2,0"], fill: {B: "1/2,1/2"}, ground: A}, Plain: {size: 8, rows: [[C]]}}` + bordered,
		"geese for blocks":             `blocks: {Odd: {size: [8, 4], rows: [[goose A B]]}, Plain: {size: [8, 4], rows: [[C]]}}` + bordered,
		"snowballs for blocks":         `blocks: {Odd: {size: 7, rows: [[snowball A B]]}, Plain: {size: 7, rows: [[C]]}}` + bordered,
		"hourglasses for blocks":       `blocks: {Odd: {size: 8, rows: [[hourglass A B A B]]}, Plain: {size: 8, rows: [[C]]}}` + bordered,
		"one patch":                    `blocks: {Odd: {size: 6, rows: [[A]]}}`,
		"a square set into an ell":     `blocks: {Odd: {size: 6, grid: 2, lines: ["1,0 1,1 2,1"], fill: {A: "1/2,1/2", B: "3/2,1/2"}}}`,
		"a bar set into a U":           `blocks: {Odd: {size: 6, grid: 3, lines: ["1,0 1,2 2,2 2,0"], fill: {A: "1/2,1/2", B: "3/2,1/2"}}}`,
		"an ell of two arms, unequal":  `blocks: {Odd: {size: 8, grid: 4, lines: ["1,0 1,3 4,3"], fill: {A: "1/2,1/2", B: "3,1"}}}`,
		"a column on point":            `blocks: {Odd: {size: 6, grid: 2, lines: ["1,0 1,2"], fill: {B: "1/2,1"}, ground: A}}` + "\nset: {style: on point, triangles: C, rows: [[Odd]], repeat: 1 x 3}\n",
		"repeated on point":            `blocks: {Odd: {size: 6, grid: 2, lines: ["1,0 1,2"], fill: {B: "1/2,1"}, ground: A}}` + "\nset: {style: on point, triangles: {fabric: C, float: 1/2}, rows: [[Odd], [Odd@90]], repeat: 3 x 2, borders: [{width: 2, fabric: B}]}\n",
		"mitred, one of them alone":    `blocks: {Odd: {size: [6, 9], rows: [[A, B]]}}` + "\nset: {rows: [[Odd, Odd]], borders: [{width: 1, fabric: B, corners: mitred}, {width: 3 1/2, fabric: C, corners: mitred}, {width: 1, fabric: A}, {width: 2, fabric: B, corners: mitred}]}\n",
		"mitred, off the ruler":        `blocks: {Odd: {size: 7 1/3, rows: [[A, B]]}}` + "\nset: {rows: [[Odd, Odd]], borders: [{width: 1 1/3, fabric: B, corners: mitred}, {width: 3, fabric: C, corners: mitred}]}\n",
		"mitred, on point":             `blocks: {Odd: {size: 6, rows: [[A, B]]}}` + "\nset: {style: on point, triangles: C, rows: [[Odd, Odd], [Odd], [Odd, Odd]], borders: [{width: 1, fabric: B, corners: mitred}, {width: 4, fabric: A, corners: mitred}]}\n",
		"mitred, wider than long":      `blocks: {Odd: {size: 2, rows: [[A, B]]}}` + "\nset: {rows: [[Odd]], borders: [{width: 5, fabric: C, corners: mitred}]}\n",
		"a triangle set into a corner": `blocks: {Odd: {size: 6, grid: 3, lines: ["0,0 1,1 3,1", "1,1 1,3"], fill: {A: "2,1/2", B: "1/2,2", C: "2,2"}}}`,
	} {
		t.Run(name, func(t *testing.T) {
			if !strings.Contains(text, "set:") {
				text += "\nset: {rows: [[Odd]]}\n"
			}
			r := Compile("odd.yaml", []byte(threeFabrics+text), Options{Proof: true})
			if !r.Plan.Complete {
				t.Fatal(r.Findings)
			}
			if !r.Plan.Proof.Holds {
				t.Error(r.Plan.Proof.Findings)
			}
		})
	}
}

// TestLargeOnPoint: a top on point has lengths that no ruler shows. Setting triangles are cut a little larger than exact, which must not add
// up along the edge of the top; each border is measured on what is sewn by then.
func TestLargeOnPoint(t *testing.T) {
	for _, c := range []struct{ size, triangles, borders string }{
		{"6", "B", "[]"},
		{"6", "{fabric: B, float: 1/2}", "[{width: 4, fabric: A}]"},
		{"8", "{fabric: B, float: 1}", "[{width: 2, fabric: A}]"},
		{"9", "{fabric: B, float: 1/2}", "[{width: 2, fabric: A}, {width: 4, fabric: B}]"},
		{"9", "B", "[{width: 2, fabric: A, corners: {fabric: B}}, {width: 4, fabric: B, corners: {fabric: A}}]"},
		{"10", "B", "[{width: 2, fabric: A, corners: mitred}, {width: 4, fabric: B, corners: mitred}]"},
		{"12", "{fabric: B, float: 1}", "[{width: 1 1/2, fabric: A}, {width: 3, fabric: B}, {width: 5, fabric: A}]"},
		{"12", "B", "[{width: 1 1/2, fabric: A}, {width: 3, fabric: B}, {width: 5, fabric: A}]"},
	} {
		r := Compile("large.yaml", []byte(`quilt: Large
fabrics:
  A: {name: Fog}
  B: {name: Slate}
blocks:
  Nine:
    size: `+c.size+`
    rows: [[half square A B, A, half square A B@90], [A, B, A], [half square A B@270, A, half square A B@180]]
set:
  style: on point
  rows: [[Nine], [Nine]]
  repeat: 5 x 6
  triangles: `+c.triangles+`
  borders: `+c.borders+"\n"), Options{Proof: true})
		if !r.Plan.Complete || !r.Plan.Proof.Holds {
			t.Errorf("%s, %s, %s: %v %v", c.size, c.triangles, c.borders, r.Findings, r.Plan.Proof.Findings)
		}
	}
}

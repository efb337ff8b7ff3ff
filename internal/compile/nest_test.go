package compile

import (
	"testing"
)

// Blocks that a teacher presses so that every meeting nests, set edge to edge (common practice; rules: docs/craft.md#pressing).
var nesting = map[string]string{
	"four-patch": `
blocks:
  Four: {size: 6, rows: [[B, A], [A, B]]}
set: {rows: [[Four, Four, Four], [Four, Four, Four], [Four, Four, Four]]}
`,
	"nine-patch": `
blocks:
  Nine: {size: 9, rows: [[B, A, B], [A, B, A], [B, A, B]]}
set: {rows: [[Nine, Nine, Nine], [Nine, Nine, Nine], [Nine, Nine, Nine]]}
`,
	"sawtooth star": `
blocks:
  Star:
    size: 8
    columns: [1, 2, 1]
    heights: [1, 2, 1]
    rows: [[A, goose A B, A], [goose A B@270, C, goose A B@90], [A, goose A B@180, A]]
set: {rows: [[Star, Star, Star], [Star, Star, Star], [Star, Star, Star]]}
`,
	"churn dash": `
blocks:
  Churn:
    size: 9
    rows:
      - [half square A B, rail B A, half square A B@90]
      - [rail B A@270, A, rail B A@90]
      - [half square A B@270, rail B A@180, half square A B@180]
set: {rows: [[Churn, Churn], [Churn, Churn]]}
`,
	"pinwheel": `
blocks:
  Wheel: {size: 6, rows: [[half square A B@90, half square A B@180], [half square A B, half square A B@270]]}
set: {rows: [[Wheel, Wheel], [Wheel, Wheel]]}
`,
	"double Irish chain": `
blocks:
  Chain:
    size: 10
    rows: [[B, C, A, C, B], [C, B, C, B, C], [A, C, B, C, A], [C, B, C, B, C], [B, C, A, C, B]]
  Field:
    size: 10
    columns: [1, 3, 1]
    heights: [1, 3, 1]
    rows: [[C, A, C], [A, A, A], [C, A, C]]
set: {rows: [[Chain, Field, Chain], [Field, Chain, Field], [Chain, Field, Chain]]}
`,
}

const threeFabrics = `format: 1
quilt: Nest
fabrics:
  A: {name: Pale, color: "#f4efe2"}
  B: {name: Deep, color: "#2b3a45"}
  C: {name: Warm, color: "#c8502b"}
`

func TestBlocksNestWithoutSashing(t *testing.T) {
	for name, blocks := range nesting {
		t.Run(name, func(t *testing.T) {
			r := Compile(name, []byte(threeFabrics+blocks), Options{Proof: true})
			if !r.Plan.Complete {
				t.Fatal(r.Findings)
			}
			if p := r.Plan.Press; p.Same > 0 || p.Open > 0 || p.Meetings == 0 {
				t.Errorf("%d meetings, %d nested, %d open, %d the same way: %v", p.Meetings, p.Nested, p.Open, p.Same, p.Unmet)
			}
			if !r.Plan.Proof.Holds {
				t.Errorf("the proof fails: %v", r.Plan.Proof.Findings)
			}
		})
	}
}

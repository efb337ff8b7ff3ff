package compile

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"quiltwright/internal/plan"
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
			file := filepath.Join("testdata", "arrows", strings.ReplaceAll(name, " ", "-")+".txt")
			got := arrows(r.Plan)
			if *update {
				if err := os.WriteFile(file, []byte(got), 0o666); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if got != string(want) {
				t.Errorf("pressed otherwise than a teacher presses it; got\n%s\nwant\n%s", got, want)
			}
		})
	}
}

var update = flag.Bool("update", false, "rewrite the expected arrows")

// arrows lists which way every seam of the blocks is pressed, in words that can be checked at an ironing board.
func arrows(p *plan.Plan) string {
	fabric := map[string]string{}
	for _, u := range p.Units {
		fabric[u.ID] = u.Fabric
	}
	var b strings.Builder
	for _, u := range p.Units {
		if len(u.Parts) == 0 || u.Kind == "setting" || u.Kind == "top" {
			continue
		}
		fmt.Fprintf(&b, "%s %s\n", u.Kind, u.Name)
		for _, j := range u.Joins {
			say := func(press string) string {
				k, err := strconv.Atoi(strings.TrimPrefix(press, "toward "))
				if err != nil {
					return press
				}
				if f := fabric[u.Parts[k].Unit]; f != "" {
					return "toward " + f
				}
				return fmt.Sprintf("toward part %d", k+1)
			}
			fmt.Fprintf(&b, "  seam from %g,%g to %g,%g: ", j.Seam[0][0], j.Seam[0][1], j.Seam[1][0], j.Seam[1][1])
			if len(j.Split) == 0 {
				fmt.Fprintln(&b, say(j.Press))
				continue
			}
			for k, s := range j.Split {
				if k > 0 {
					fmt.Fprint(&b, ", ")
				}
				fmt.Fprintf(&b, "%d %s", s.Made, say(s.Press))
			}
			fmt.Fprintln(&b)
		}
	}
	return b.String()
}

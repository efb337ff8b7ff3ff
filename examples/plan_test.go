package examples

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"quiltwright/internal/compile"
	"quiltwright/internal/draft"
	"quiltwright/internal/plan"
	"quiltwright/internal/quilt"
	"quiltwright/internal/set"
)

// compiled returns the plan of a document, proven.
func compiled(t *testing.T, path string) *plan.Plan {
	t.Helper()
	src, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	r := compile.Compile(path, src, compile.Options{Proof: true})
	if !r.Plan.Complete || !r.Plan.Proof.Holds {
		t.Fatalf("%s: %v %v", path, r.Findings, r.Plan.Proof)
	}
	return r.Plan
}

// Blocks of Lantern Row that are traditional, under the names of docs and of the catalogue in blocks, and its own.
var (
	traditional = []string{"Bright Hopes", "Churn Dash", "Jacob's Ladder", "Log Cabin", "Ohio Star", "Sawtooth Star"}
	own         = []string{"Beacon", "Ferry Light", "Net Floats", "Paper Lantern", "Quay Windows", "Spring Tide"}
)

// The plan of Lantern Row has what the programme promises of its blocks, its techniques and what its months share.
func TestLanternRowPlan(t *testing.T) {
	p := compiled(t, "lantern-row.yaml")
	var names []string
	partial, setIn, mirrored := 0, 0, 0
	for _, b := range p.Blocks {
		names = append(names, b.Name)
		if b.Finished != (plan.Size{Width: 12, Height: 12}) || b.Made != 1 {
			t.Errorf("%s is %g by %g, made %d times", b.Name, b.Finished.Width, b.Finished.Height, b.Made)
		}
		if b.Partial > 0 {
			partial++
		}
		if b.SetIn > 0 {
			setIn++
		}
		if b.Mirror {
			mirrored++
		}
	}
	slices.Sort(names)
	all := append(slices.Clone(traditional), own...)
	slices.Sort(all)
	if !slices.Equal(names, all) {
		t.Errorf("its blocks are %q, want %q", names, all)
	}
	for _, name := range traditional {
		file := strings.ReplaceAll(strings.ReplaceAll(strings.ToLower(name), " ", "-"), "'", "") + ".yaml"
		if _, err := os.Stat("../blocks/" + file); err != nil {
			t.Errorf("%s is called traditional and is not in the catalogue: %v", name, err)
		}
	}
	if partial != 1 || setIn != 1 || mirrored != 1 {
		t.Errorf("%d blocks with partial seams, %d with set-in seams, %d mirrored: want one of each", partial, setIn, mirrored)
	}

	kinds := map[string]bool{}
	for _, u := range p.Units {
		kinds[u.Kind] = true
	}
	for _, k := range []string{"flying geese", "half square", "hourglass", "square in a square", "four-patch", "nine-patch", "log cabin", "half rectangle"} {
		if !kinds[k] {
			t.Errorf("no %s is sewn", k)
		}
	}

	// Pieces that two months or more share keep one label, and are counted by month.
	var shared []string
	for _, q := range p.Pieces {
		sum := 0
		for _, m := range q.Months {
			sum += m.Cut
		}
		if sum != q.Cut {
			t.Errorf("piece %s: the months cut %d, in all %d", q.Label, sum, q.Cut)
		}
		if len(q.Months) > 1 {
			shared = append(shared, fmt.Sprint(q.Label, " in months"))
			for _, m := range q.Months {
				shared[len(shared)-1] += fmt.Sprintf(" %d (%d)", m.Month, m.Cut)
			}
		}
	}
	t.Log(strings.Join(shared, "; "))
	if len(shared) == 0 {
		t.Error("no piece is cut in two months")
	}

	oneWay := ""
	for _, f := range p.Fabrics {
		if f.Print == "one-way" {
			oneWay = f.Letter
		}
	}
	up := 0
	for _, d := range p.Drawn {
		if d.Fabric == oneWay && d.Up != nil {
			up++
		}
	}
	if len(p.Fabrics) != 6 || up == 0 {
		t.Errorf("%d fabrics, %d patches of a one-way print", len(p.Fabrics), up)
	}
}

// The document of Lantern Row uses what a programme's writer has: a mirrored, a recolored and a one-way use; the top has posts and two borders.
func TestLanternRowDocument(t *testing.T) {
	doc := read(t, "lantern-row.yaml")
	recolored, mirrored, nine, four := 0, 0, 0, 0
	count := func(c quilt.Cell) {
		if len(c.Recolor) > 0 {
			recolored++
		}
		if c.Mirror {
			mirrored++
		}
		switch c.Unit {
		case "nine-patch":
			nine++
		case "four-patch":
			four++
		}
	}
	for _, b := range doc.Blocks {
		for _, row := range b.Cells {
			for _, c := range row {
				count(c)
			}
		}
	}
	if recolored == 0 || mirrored == 0 || nine == 0 || four == 0 {
		t.Errorf("%d recolored, %d mirrored, %d nine-patch, %d four-patch cells", recolored, mirrored, nine, four)
	}
	top, _ := set.Lay(doc, draft.New(doc))
	roles := map[string]int{}
	for _, p := range top.Patches {
		roles[p.Role]++
	}
	// Three columns and four rows: sashing all round, a post at every corner.
	if roles["sashing"] == 0 || roles["post"] == 0 || roles["border 1"] != 4 || roles["border 2"] != 4 || roles["border 3"] != 0 {
		t.Errorf("the top has %v", roles)
	}
}

// The small examples show one thing each.
func TestSmallExamples(t *testing.T) {
	if p := compiled(t, "one-block.yaml"); p.Layout.Style != "one block" || len(p.Placed) != 1 {
		t.Errorf("one-block is laid %s, with %d blocks", p.Layout.Style, len(p.Placed))
	}
	if p := compiled(t, "on-point.yaml"); p.Layout.Style != "on point" {
		t.Errorf("on-point is laid %s", p.Layout.Style)
	}
	if p := compiled(t, "centimetres.yaml"); p.Measure != "cm" {
		t.Errorf("centimetres is in %s", p.Measure)
	}
	most := 0
	for _, f := range compiled(t, "scrappy.yaml").Fabrics {
		most = max(most, f.Assorted)
	}
	if most < 2 {
		t.Error("scrappy has no assorted fabric")
	}
}

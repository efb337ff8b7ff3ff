package compile_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"quiltwright/internal/compile"
	"quiltwright/internal/diag"
)

// oneNine is a nine-patch whose seams nest when its rows are pressed in turn.
const oneNine = `quilt: Nine
fabrics:
  A: {name: Fog, color: "#eeeeee"}
  B: {name: Slate, color: "#333333"}
blocks:
  Nine:
    size: 6
    rows:
      - [A, B, A]
      - [B, A, B]
      - [A, B, A]
`

// nine is that block; %s stands for what the writer says in it.
const nine = oneNine + "%s"

// TestArrows presses seams as the writer says: proven like the rest, and what it costs is in the sums.
func TestArrows(t *testing.T) {
	free := compile.Compile("nine.yaml", fmt.Appendf(nil, nine, ""), compile.Options{Proof: true})
	if !free.Plan.Proof.Holds || free.Plan.Press.Same != 0 {
		t.Fatalf("as computed: %d meetings do not nest, %v", free.Plan.Press.Same, free.Plan.Proof.Findings)
	}
	for name, c := range map[string]struct {
		says string
		same int
		open int
	}{
		"toward the light":    {"    press: 3/2,1/2 1/2,1/2\n", 0, 0},
		"toward the dark":     {"    press: 1/2,1/2 3/2,1/2\n", 0, 0},
		"open":                {"    press: 1/2,1/2 3/2,1/2 open\n", 0, 1},
		"several":             {"    press:\n      - 1/2,1/2 3/2,1/2\n      - 5/2,1/2 3/2,1/2\n", 0, 0},
		"rows alike":          {"    press:\n      - 1/2,1/2 3/2,1/2\n      - 1/2,3/2 3/2,3/2\n", 2, 0},
		"between rows":        {"    press: 1/2,1/2 1/2,3/2\n", 0, 0},
		"from the other side": {"    press: [\"1/2,3/2 1/2,1/2\"]\n", 0, 0},
	} {
		r := compile.Compile("nine.yaml", fmt.Appendf(nil, nine, c.says), compile.Options{Proof: true})
		p := r.Plan
		if !p.Complete || !p.Proof.Holds {
			t.Errorf("%s: not proven: %v", name, p.Findings)
			continue
		}
		if p.Press.Cost < free.Plan.Press.Cost || p.Press.Cost >= 1<<30 {
			t.Errorf("%s: costs %d, as computed %d", name, p.Press.Cost, free.Plan.Press.Cost)
		}
		if c.open > 0 && p.Press.Open == 0 {
			t.Errorf("%s: no meeting is open", name)
		}
		if c.same != p.Press.Same && c.open == 0 {
			t.Errorf("%s: %d do not nest, not %d", name, p.Press.Same, c.same)
		}
	}
}

// TestArrowsTurnSeams reads an arrow against its opposite: the seam is pressed toward where each points.
func TestArrowsTurnSeams(t *testing.T) {
	press := func(says string) string {
		r := compile.Compile("nine.yaml", fmt.Appendf(nil, nine, "    press: "+says+"\n"), compile.Options{})
		if !r.Plan.Complete || len(r.Findings) > 0 {
			t.Fatal(r.Findings)
		}
		block := r.Pieced.Blocks[0].Unit
		return fmt.Sprint(r.Press.Toward[block][0])
	}
	up, down := press("1/2,3/2 1/2,1/2"), press("1/2,1/2 1/2,3/2")
	if up == down {
		t.Errorf("pressed %s up and %s down", up, down)
	}
	if open := press("1/2,1/2 1/2,3/2 open"); open == up || open == down {
		t.Errorf("pressed %s open, %s up, %s down", open, up, down)
	}
}

// TestArrowsThatPressNothing are told of, and leave the plan as it is.
func TestArrowsThatPressNothing(t *testing.T) {
	for says, want := range map[string]string{
		"    press: 1/2,1/2 5/2,1/2\n":                                   "press-nothing",
		"    press: 1/3,1/2 1/2,1/2\n":                                   "press-nothing",
		"    press: 1,1/2 3/2,1/2\n":                                     "press-nothing",
		"    press:\n      - 1/2,1/2 3/2,1/2\n      - 3/2,1/2 1/2,1/2\n": "press-twice",
		"    press: 1/2,1/2\n":                                           "bad-point",
		"    press: 1/2,1/2 9,1/2\n":                                     "bad-point",
		"    press: 1/2,1/2 1/2,1/2\n":                                   "bad-point",
		"    press: [1, 2]\n":                                            "bad-point",
		"    press: 1/2,1/2 3/2,1/2 shut\n":                              "bad-point",
	} {
		r := compile.Compile("nine.yaml", fmt.Appendf(nil, nine, says), compile.Options{})
		var codes []string
		for _, f := range r.Findings {
			codes = append(codes, f.Code)
		}
		if got := strings.Join(codes, " "); got != want {
			t.Errorf("%q: %q, not %q", says, got, want)
		}
	}
}

// four is four of them with sashing; the last %s stands for what the writer says in the set.
const four = oneNine + `set:
  style: %s
  rows: %s
  sashing: {width: 2, fabric: B, posts: A}
%s`

// TestArrowsOfTop presses seams of the top as the writer says; a point lies in a block or in a patch of the top.
func TestArrowsOfTop(t *testing.T) {
	const straight, point = "[[Nine, Nine], [Nine, Nine]]", "[[Nine, Nine], [Nine], [Nine, Nine]]"
	for name, c := range map[string]struct{ style, rows, rest, to, back string }{
		"block and sashing":   {"straight", straight, "  borders: [{width: 3, fabric: A}]\n", "4,4 10,4", "10,4 4,4"},
		"between rows":        {"straight", straight, "  borders: [{width: 3, fabric: A}]\n", "4,4 4,10", "4,10 4,4"},
		"border and the rest": {"straight", straight, "  borders: [{width: 3, fabric: A}]\n", "4,1 4,4", "4,4 4,1"},
		"on point":            {"on point", point, "  triangles: A\n", "14,14 19,19", "19,19 14,14"},
	} {
		toward := func(arrow string) string {
			t.Helper()
			src := fmt.Appendf(nil, four, c.style, c.rows, c.rest+"  press: "+arrow+"\n")
			r := compile.Compile("four.yaml", src, compile.Options{Proof: true})
			if !r.Plan.Complete || !r.Plan.Proof.Holds || slices.ContainsFunc(r.Findings, func(f diag.Finding) bool { return f.Severity != diag.Hint }) {
				t.Fatalf("%s: %v %v", name, r.Findings, r.Plan.Proof.Findings)
			}
			unit, joins, state := r.Seam(compile.Whole, r.Doc.Set.Press[0])
			if unit < 0 || len(joins) == 0 {
				t.Fatalf("%s: no seam", name)
			}
			if got := r.Press.Toward[unit][0][joins[0]]; int(got) != state {
				t.Errorf("%s: %s is pressed %v, not %v", name, arrow, got, state)
			}
			return fmt.Sprint(unit, joins, state)
		}
		if to, back := toward(c.to), toward(c.back); to == back {
			t.Errorf("%s: both ways are %s", name, to)
		}
	}
	for _, arrow := range []string{"4,4 4,5", "4,4 50,4", "4,4 12,4"} {
		r := compile.Compile("four.yaml", fmt.Appendf(nil, four, "straight", straight, "  borders: [{width: 3, fabric: A}]\n  press: "+arrow+"\n"), compile.Options{})
		if len(r.Findings) != 1 || r.Findings[0].Code != "press-nothing" || r.Findings[0].At.Line != 17 {
			t.Errorf("%s: %v", arrow, r.Findings)
		}
	}
}

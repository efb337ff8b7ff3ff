package compile_test

import (
	"fmt"
	"strings"
	"testing"

	"quiltwright/internal/compile"
)

// nine is a nine-patch whose seams nest when its rows are pressed in turn; %s stands for what the writer says.
const nine = `quilt: Nine
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
%s`

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

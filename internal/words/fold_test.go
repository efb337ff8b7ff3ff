package words

import (
	"strings"
	"testing"

	"quiltwright/internal/plan"
)

// A strip stays folded where both layers are needed, and never for what has a hand of which there are not as many of the other.
func TestFold(t *testing.T) {
	slant := []plan.Vertex{{X: 2.5}, {X: 6.5}, {X: 6.5, Y: 2.5}, {Y: 2.5}}
	other := []plan.Vertex{{}, {X: 4}, {X: 6.5, Y: 2.5}, {Y: 2.5}}
	kite := []plan.Vertex{{X: 2}, {X: 4, Y: 3}, {X: 2, Y: 4}, {Y: 3}}
	rhomb := []plan.Vertex{{X: 1}, {X: 5}, {X: 4, Y: 3}, {Y: 3}}
	p := &plan.Plan{Measure: "inch", Fabrics: []plan.Fabric{{Letter: "A", Width: 40}}, Pieces: []plan.Piece{
		{Label: "A1", Fabric: "A", Shape: "rectangle", Width: 2.5, Height: 2.5},
		{Label: "A2", Fabric: "A", Shape: "template", Width: 6.5, Height: 2.5, Outline: slant},
		{Label: "A2R", Fabric: "A", Shape: "template", Hand: "R", Width: 6.5, Height: 2.5, Outline: other},
		{Label: "A3", Fabric: "A", Shape: "template", Width: 4, Height: 4, Outline: kite},
		{Label: "A4", Fabric: "A", Shape: "parallelogram", Width: 5, Height: 3, Outline: rhomb},
		{Label: "A5", Fabric: "A", Shape: "half rectangle", Width: 3, Height: 5},
	}}
	teller := Of(p)
	cut := func(label string, n int) plan.Cuts { return plan.Cuts{Label: label, Count: n, Width: 1} }
	below := cut("A1", 2)
	below.Below = true
	for name, c := range map[string]struct {
		s    plan.Strip
		want Fold
		says string
	}{
		"squares, two and two":           {plan.Strip{Along: "width", Cuts: []plan.Cuts{cut("A1", 8)}}, Folded, ""},
		"and one at the fold":            {plan.Strip{Along: "width", Cuts: []plan.Cuts{cut("A1", 4), cut("A5", 3)}}, Folded, ""},
		"two odd ones":                   {plan.Strip{Along: "width", Cuts: []plan.Cuts{cut("A1", 3), cut("A5", 3)}}, Flat, ""},
		"a single one":                   {plan.Strip{Along: "width", Cuts: []plan.Cuts{cut("A1", 1)}}, Flat, ""},
		"along the selvage":              {plan.Strip{Along: "length", Cuts: []plan.Cuts{cut("A1", 8)}}, Flat, ""},
		"cut again":                      {plan.Strip{Along: "width", Cuts: []plan.Cuts{cut("A1", 2), below}}, Flat, ""},
		"its own mirror image":           {plan.Strip{Along: "width", Cuts: []plan.Cuts{cut("A3", 4)}}, Folded, ""},
		"a hand":                         {plan.Strip{Along: "width", Cuts: []plan.Cuts{cut("A2", 4)}}, Open, "unfold it first"},
		"a slant":                        {plan.Strip{Along: "width", Cuts: []plan.Cuts{cut("A4", 4)}}, Open, "unfold it first"},
		"a left and a right":             {plan.Strip{Along: "width", Cuts: []plan.Cuts{cut("A2", 3), cut("A2R", 3)}}, Folded, "leave it folded"},
		"more left than right":           {plan.Strip{Along: "width", Cuts: []plan.Cuts{cut("A2", 4), cut("A2R", 2)}}, Open, "unfold it first"},
		"a hand, from what is left over": {plan.Strip{Along: "width", From: "left", Of: &[2]plan.Num{9, 9}, Cuts: []plan.Cuts{cut("A2", 1)}}, Open, "keep the right side up"},
	} {
		if got := teller.Fold(&c.s); got != c.want {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
		c.s.Count = 1
		does, _ := teller.Strip(&p.Fabrics[0], &c.s)
		if strings.Contains(string(does), "fold") != (c.want != Flat && strings.Contains(c.says, "fold")) || !strings.Contains(string(does), c.says) {
			t.Errorf("%s: “%s”", name, does)
		}
	}
}

func TestCutMarks(t *testing.T) {
	for want, of := range map[string][2]int{"1": {0, -1}, "3a": {2, 0}, "3z": {2, 25}, "3aa": {2, 26}, "12ba": {11, 52}} {
		if got := (&Teller{}).CutMark(of[0], of[1]); got != want {
			t.Errorf("cut %d, run %d: %s, want %s", of[0], of[1], got, want)
		}
	}
}

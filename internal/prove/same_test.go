package prove

import (
	"bytes"
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"quiltwright/internal/plan"
)

func mustHold(t *testing.T, what string, p *plan.Plan) {
	t.Helper()
	proof := Prove(p)
	if !proof.Holds {
		t.Errorf("%s: %s: %s", what, proof.Findings[0].Unit, proof.Findings[0].Says)
	}
}

// What does not matter may change: names, the order of lists, further keys, who was proven before.
func TestWhatDoesNotMatter(t *testing.T) {
	for _, make := range []func() *plan.Plan{ninePatch, spunNinePatch, star} {
		src, err := plan.Encode(make())
		if err != nil {
			t.Fatal(err)
		}
		text := string(src)
		for _, name := range []string{"u1", "u2", "u3", "u4", "u5", "u6", "u7", "u8", "r1", "r2", "r3", "r4", "b1", "A1", "A2", "B1", "B2"} {
			text = strings.ReplaceAll(text, `"`+name+`"`, `"some `+name+`"`)
		}
		text = strings.ReplaceAll(text, "block b1", "block some b1")
		renamed, err := plan.Decode([]byte(text))
		if err != nil {
			t.Fatal(err)
		}
		mustHold(t, "renamed", renamed)

		more := bytes.ReplaceAll(src, []byte(`"kind":`), []byte(`"further": {"kind": [1, "x"]}, "kind":`))
		added, err := plan.Decode(more)
		if err != nil || bytes.Equal(more, src) {
			t.Fatal(err)
		}
		mustHold(t, "with further keys", added)

		p := make()
		slices.Reverse(p.Pieces)
		slices.Reverse(p.Recipes)
		slices.Reverse(p.Fabrics)
		slices.Reverse(p.Drawn)
		for i := range p.Recipes {
			slices.Reverse(p.Recipes[i].Gives)
		}
		for i := range p.Fabrics {
			slices.Reverse(p.Fabrics[i].Layout)
			slices.Reverse(p.Fabrics[i].Strips)
		}
		mustHold(t, "in another order", p)

		p = make()
		p.Proof = &plan.Proof{Holds: false, Findings: []plan.Finding{{Severity: "error", Says: "old"}}}
		mustHold(t, "with an old proof", p)

		// Units that do not depend on each other.
		p = make()
		p.Units[0], p.Units[1] = p.Units[1], p.Units[0]
		mustHold(t, "with units exchanged", p)

		// Steps that do not depend on each other.
		p = make()
		p.Steps[1], p.Steps[0] = p.Steps[0], p.Steps[1]
		if p.Quilt == "Lantern Row" {
			mustHold(t, "with steps exchanged", p)
		} else if Prove(p).Holds {
			t.Error("geese are used before they are made")
		}
	}
}

// Another pressing, said in recipe and join alike, holds too; so does another order of joining.
func TestAnotherWayHolds(t *testing.T) {
	p := ninePatch()
	to := 2
	p.Recipes[2].Do[5].Toward, p.Units[4].Joins[1].Press = nil, "open"
	p.Recipes[2].Do[2].Toward, p.Units[4].Joins[0].Press = ptr(1), "toward 1"
	mustHold(t, "pressed otherwise", p)
	p.Recipes[2].Do[2].Toward = &to
	if Prove(p).Holds {
		t.Error("pressed toward a part that is not at the seam")
	}

	// The last two rows first: part 0 is the middle row, the top row comes last.
	p = ninePatch()
	u := &p.Units[4]
	u.Parts = []plan.Part{use("u4", 0, 2, 0), use("u3", 0, 4, 0), use("u3", 0, 0, 0)}
	u.Joins = []plan.Join{join(0, 1, ends(0, 4, 6, 4), "toward 1"), join(0, 2, ends(0, 2, 6, 2), "toward 2")}
	p.Recipes[2] = run3("r3", "u5", 1, []string{"u4", "u3", "u3"}, []plan.Pose{place(0, 2, 180), place(0, 2, 180)}, [2][2]plan.Point{ends(0, 2, 6, 2), ends(0, 0, 6, 0)}, place(0, 2, 0), [2]int{1, 2})
	for i := range p.Drawn {
		p.Drawn[i].Leaf[0] = (p.Drawn[i].Leaf[0] + 2) % 3
	}
	mustHold(t, "joined in another order", p)
}

func ptr(n int) *int { return &n }

// Nothing that can be read makes the proof break off.
func TestBrokenPlans(t *testing.T) {
	for _, p := range []*plan.Plan{nil, {}, {Format: 1, Complete: true, Measure: "inch", Seam: .25, Ruler: .125, Ease: .03125}} {
		if proof := Prove(p); proof.Holds || len(proof.Findings) == 0 {
			t.Errorf("%+v holds", p)
		}
	}
	p := ninePatch()
	p.Units[0].Outline[1].X = plan.Num(math.NaN())
	p.Recipes[0].Do[0].At = nil
	p.Units[3].Parts[0].Unit = "u3"
	p.Placed[0].Leaf = []int{7, -1}
	for _, f := range Prove(p).Findings {
		if strings.Contains(f.Says, "broke off") {
			t.Error(f.Says)
		}
	}
}

func FuzzProve(f *testing.F) {
	for _, p := range []*plan.Plan{ninePatch(), star()} {
		src, err := json.Marshal(p)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(src)
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		p, err := plan.Decode(src)
		if err != nil || len(src) > 1<<16 {
			return
		}
		MakeSheet(p)
		for _, f := range Prove(p).Findings {
			if f.Code == "our-bug" {
				t.Fatal(f.Says)
			}
		}
	})
}

// The sheet's formulas are the trade's: 2 seams for a square, the exact 2.8536 for geese's squares.
func TestSheet(t *testing.T) {
	s := MakeSheet(star())
	find := func(label string) SizeRow {
		return s.Sizes[slices.IndexFunc(s.Sizes, func(r SizeRow) bool { return r.Label == label })]
	}
	if r := find("B2"); r.Finished != 4 || r.Seams != 2 || r.Formula != "4 + 2 × 0.25 = 4.5" {
		t.Errorf("%+v", r)
	}
	if r := find("B1"); r.Formula != "2.85355" || math.Abs(float64(r.Over)-0.021447) > 1e-6 {
		t.Errorf("%+v", r)
	}
	for _, r := range s.Labels {
		if r.Over != 0 || len(r.Strips) != 1 || len(r.Recipes) == 0 {
			t.Errorf("%+v", r)
		}
	}
	if len(s.Counts) != 2 || s.Counts[0].Blanks != 5 || s.Counts[1].Pieces != 5 {
		t.Errorf("%+v", s.Counts)
	}
	goose := s.Units[2]
	if goose.Raw != (plan.Size{Width: 4.5, Height: 2.5}) || !slices.Equal(goose.UsedIn, []string{"u6", "u7"}) || !slices.Equal(goose.Steps, []int{1}) {
		t.Errorf("%+v", goose)
	}
	for _, table := range s.Tables() {
		for _, row := range table.Rows {
			if len(row) != len(table.Head) {
				t.Errorf("%s: %v", table.Title, row)
			}
		}
	}
}

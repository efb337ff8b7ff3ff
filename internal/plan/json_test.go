package plan_test

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"quiltwright/internal/plan"
)

// sample is a small plan that has a value of most kinds.
func sample() plan.Plan {
	two := 2
	return plan.Plan{
		Format: 1, Complete: true, Quilt: "Pier Street", Measure: "inch", Seam: 0.25, Ruler: 0.125, Ease: 0.03125,
		Findings: []plan.Finding{{Severity: "warning", Code: "thin-patch", At: &plan.Place{Line: 3, Column: 7}, Point: &plan.Point{1, 2.5}, Says: "thin"}},
		Units: []plan.Unit{
			{ID: "u1", Kind: "patch", Outline: []plan.Vertex{{X: 0, Y: 0}, {X: 3, Y: 0, Bulge: 0.414214}, {X: 0, Y: 3}}, Piece: "A1", Lie: &plan.Pose{At: plan.Point{-0.25, -0.25}}},
			{ID: "u2", Kind: "half square", Parts: []plan.Part{{Unit: "u1", Turn: 180}}, Joins: []plan.Join{{Parts: [2]int{0, 1}, Kind: "straight", Seam: [2]plan.Point{{3, 0}, {0, 3}}}}},
		},
		Recipes: []plan.Recipe{{ID: "r1", Do: []plan.Op{{Op: "lay", Part: 1, At: &plan.Point{0, 0}}, {Op: "press", Toward: &two}}, Gives: []plan.Gives{{Work: 0, Unit: "u2"}}}},
		Pieces:  []plan.Piece{{Label: "A1", Shape: "half square", Width: 3.875, Height: 3.875, Exact: [2]plan.Num{3.853553390593, 3.853553390593}, Grain: "either"}},
		Fabrics: []plan.Fabric{{Letter: "A", Layout: []plan.Stock{{Stock: "bolt", Cut: "across", At: 3.875, First: &plan.Node{Left: &[2]plan.Num{40, 3.875}}}}}},
		Layout:  plan.Layout{Style: "one block", Rows: 1, Columns: 1},
	}
}

func TestNumPrints(t *testing.T) {
	for f, want := range map[float64]string{
		0: "0", 3: "3", -0.25: "-0.25", 3.853553390593274: "3.853553", 0.1 + 0.2: "0.3", 1e-9: "0", -1e-9: "0", 40.0000001: "40", 1e16: "10000000000000000",
	} {
		got, err := json.Marshal(plan.Num(f))
		if err != nil || string(got) != want {
			t.Errorf("%v prints as %s (%v), want %s", f, got, err, want)
		}
	}
	if _, err := json.Marshal(plan.Num(math.NaN())); err == nil {
		t.Error("NaN is printed")
	}
}

func TestRoundTrip(t *testing.T) {
	p := sample()
	src, err := plan.Encode(&p)
	if err != nil {
		t.Fatal(err)
	}
	if p.Blocks != nil || p.Units[0].Parts != nil {
		t.Error("printing changed the plan")
	}
	back, err := plan.Decode(src)
	if err != nil {
		t.Fatal(err)
	}
	again, err := plan.Encode(back)
	if err != nil {
		t.Fatal(err)
	}
	if string(src) != string(again) {
		t.Errorf("printed\n%s\nread and printed again\n%s", src, again)
	}
	if strings.Contains(string(src), "null") {
		t.Errorf("null in\n%s", src)
	}
	if back.Units[0].Outline[1].Bulge != 0.414214 {
		t.Errorf("bulge %v", back.Units[0].Outline[1].Bulge)
	}
}

func TestDecodeSaysWhere(t *testing.T) {
	for _, c := range [][2]string{
		{"", "line 1, column 1: the plan ends too soon"},
		{"{\n \"format\": 1,\n \"seam\": \"wide\"}", "line 3, column 16: seam: string found, a number expected"},
		{`{"format": 1, "units": [{"outline": [[1]]}]}`, "array of 1 numbers found, [x, y] or [x, y, bulge] expected"},
		{`{"format": 1, "seam": 1e999}`, "seam: number 1e999 found, a number expected"},
		{`{"format": 1} x`, "something follows the plan"},
		{`{"format": 2}`, "format: 2 is not known, this program reads format 1"},
		{`{"format": 1,, }`, "line 1, column 15: not JSON"},
		{`[]`, "the plan: array found, an object expected"},
		{strings.Repeat("[", 100000), "line 1, column 257: nested deeper than 256"},
	} {
		_, err := plan.Decode([]byte(c[0]))
		if err == nil {
			t.Errorf("%.40s is taken", c[0])
		} else if !strings.Contains(err.Error(), c[1]) {
			t.Errorf("%.40s: %v, want %s", c[0], err, c[1])
		}
	}
	if _, err := plan.Decode(make([]byte, plan.MaxBytes+1)); err == nil || !strings.Contains(err.Error(), "the limit is") {
		t.Errorf("too much is taken: %v", err)
	}
}

func FuzzDecode(f *testing.F) {
	p := sample()
	src, err := plan.Encode(&p)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(src)
	f.Add([]byte(`{"format": 1, "units": [{"outline": [[1, 2, 3]]}]}`))
	f.Fuzz(func(t *testing.T, src []byte) {
		p, err := plan.Decode(src)
		if err != nil {
			return
		}
		out, err := plan.Encode(p)
		if err != nil {
			t.Fatalf("read but not printed: %v", err)
		}
		if _, err := plan.Decode(out); err != nil {
			t.Fatalf("printed but not read: %v", err)
		}
	})
}

// What is printed is broken into lines, none of them much longer than a member may be, and says the same as the compact text.
func TestLines(t *testing.T) {
	p := sample()
	p.Quilt = `a "quoted" [name], with {brackets}: and a \ at its end\`
	p.Findings[0].Says = strings.Repeat(`long "text", [`, 20)
	src, err := plan.Encode(&p)
	if err != nil {
		t.Fatal(err)
	}
	compact, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	var back bytes.Buffer
	if err := json.Compact(&back, src); err != nil || back.String() != string(compact) {
		t.Fatalf("%v\n%s\n%s", err, back.String(), compact)
	}
	if !strings.Contains(string(src), "\n   \"outline\": [[0, 0], [3, 0, 0.414214], [0, 3]],\n") {
		t.Errorf("an outline is not on one line:\n%s", src)
	}
	for line := range strings.Lines(string(src)) {
		if len(line) > 200 && !strings.Contains(line, "long") {
			t.Errorf("a line of %d bytes: %s", len(line), line)
		}
	}
}

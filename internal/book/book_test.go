package book

import (
	"bytes"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"quiltwright/internal/compile"
	"quiltwright/internal/forecast"
	"quiltwright/internal/plan"
)

// plans are the plans that every page is tried on.
func plans(t *testing.T) map[string]*plan.Plan {
	t.Helper()
	return map[string]*plan.Plan{"star": star(), "sampler": sampler(), "metric": metric(t), "empty": {Format: 1, Measure: "inch", Quilt: "Nothing yet"}}
}

func TestPagesAreSound(t *testing.T) {
	for name, p := range plans(t) {
		for _, paper := range []string{"letter", "a4"} {
			for _, d := range Documents(p, Options{}, paper) {
				for i, pg := range d.Pages.Pages {
					for _, w := range pg.Check() {
						t.Errorf("%s, %s on %s, page %d: %s", name, d.Name, paper, i+1, w)
					}
				}
			}
		}
	}
}

func TestWrite(t *testing.T) {
	a, err := Write(star(), Options{})
	if err != nil {
		t.Fatal(err)
	}
	// On one core and on several the bytes are the same.
	cores := runtime.GOMAXPROCS(1)
	b, err := Write(star(), Options{})
	runtime.GOMAXPROCS(cores)
	if err != nil {
		t.Fatal(err)
	}
	names := map[string]bool{}
	for i, f := range a {
		if names[f.Name] {
			t.Errorf("%s is written twice", f.Name)
		}
		names[f.Name] = true
		if !bytes.Equal(f.Data, b[i].Data) {
			t.Errorf("%s differs from run to run", f.Name)
		}
	}
	for _, want := range []string{"pattern.pdf", "month-01.pdf", "month-02.pdf", "pattern-a4.pdf", "month-02-a4.pdf", "cutting.csv", "plan.json", "drawings/quilt.svg", "drawings/block-harbour-star.svg"} {
		if !names[want] {
			t.Errorf("%s is missing", want)
		}
	}
	for _, f := range a {
		if f.Name == "cutting.csv" && !strings.Contains(string(f.Data), "A2,A,Fog,rectangle,,3.875,3.875,inch,24,1,24,0,0,0,1:24") {
			t.Errorf("cutting.csv:\n%s", f.Data)
		}
	}
	if dir := os.Getenv("BOOK_OUT"); dir != "" {
		if a, err = Write(sampler(), Options{}); err != nil {
			t.Fatal(err)
		}
		for _, f := range a {
			path := filepath.Join(dir, f.Name)
			if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(path, f.Data, 0o600); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// The rows of a block stand with the block, even where other units are sewn between them.
func TestRowsStandWithTheirBlock(t *testing.T) {
	p := star()
	s := p.Steps
	// row 1, hs, hs, row 2, block
	p.Steps = []plan.Step{s[2], s[0], s[1], s[3], s[4]}
	m := share(p, Options{})
	got := m.sections(1)
	if len(got) != 2 || len(got[1].steps) != 3 || got[1].steps[0] != 0 {
		t.Errorf("%+v", got)
	}
	// A unit in between that needs the row keeps it where it was.
	p.Units[5].Parts = append(p.Units[5].Parts, plan.Part{Unit: "r1"})
	m = share(p, Options{})
	if got := m.sections(1); len(got) != 3 {
		t.Errorf("the row was moved behind what needs it: %+v", got)
	}
}

// Two log cabins that grow side by side, a log of each in turn, are told one after the other.
func TestCabinsThatGrowSideBySide(t *testing.T) {
	p := compile.Compile("cabins", []byte(`format: 1
quilt: Lantern Row
fabrics:
  A: {name: Fog, color: "#e8e3d6", value: light}
  B: {name: Slate, color: "#45505c", value: dark}
  C: {name: Ember, color: "#c8502b", value: medium}
blocks:
  Pair:
    size: [14, 7]
    rows: [[log cabin C A A B B A A B B, log cabin A B B C C B B C C]]
set: {rows: [[Pair]]}
`), compile.Options{Effort: compile.Quick}).Plan
	side := 0
	for i := 1; i < len(p.Steps); i++ {
		if p.Steps[i].Chain == p.Steps[i-1].Chain {
			side++
		}
	}
	m := share(p, Options{})
	var steps []int
	for _, s := range m.sections(1) {
		steps = append(steps, s.steps...)
	}
	breaks := 0
	for n, i := range steps[1:] {
		if !m.within(p.Steps[i].Unit, p.Steps[steps[n]].Unit, 0) {
			breaks++
		}
	}
	if len(steps) != len(p.Steps) || side != 8 || breaks != 1 {
		t.Errorf("%d of %d logs are sewn side by side, the telling %v breaks off %d times", side, len(steps), steps, breaks)
	}
}

// Samples to show stand in the whole pattern where the plan has them, and on no handout.
func TestSamplesPage(t *testing.T) {
	p := star()
	s := p.Steps[0]
	p.Months[0].Samples = []plan.Sample{{Unit: s.Unit, Recipe: s.Recipe, After: []int{s.Last}, Batches: 1, Pieces: []plan.SamplePiece{{Piece: "A1", Count: 2}}}}
	for _, d := range Documents(p, Options{}, "letter") {
		found := false
		for _, b := range d.Pages.Contents {
			found = found || b.Title == headSamples
		}
		if found != (d.Name == "pattern") {
			t.Errorf("%s: samples to show: %v", d.Name, found)
		}
	}
}

// What size the blocks come out stands in the whole pattern, with what is assumed, where it was reckoned; in no handout.
func TestExpectedPage(t *testing.T) {
	p := star()
	f := &forecast.Forecast{Options: forecast.Defaults(p), Seam: 0.25, Scant: 0.234, Blocks: []forecast.Block{{Name: "Harbour Star", Within: 0.52, WithScant: 0.99,
		Width: forecast.Size{Exact: 12.5, Mean: 12.4}, Height: forecast.Size{Exact: 12.5, Mean: 12.42}, Steps: []forecast.Effect{{Step: forecast.Step{Does: forecast.Cutting, Piece: "A1"}}}}}}
	for _, d := range Documents(p, Options{Expect: f}, "letter") {
		found := false
		for _, b := range d.Pages.Contents {
			found = found || b.Title == headExpected
		}
		if found != (d.Name == "pattern") {
			t.Errorf("%s: what to expect: %v", d.Name, found)
		}
	}
	text := flatten(run(t, "pdftotext", "-layout", paper(t, "pattern", "letter", Options{Expect: f}), "-"))
	for _, want := range []string{"Assumed, not measured", "10,000 times", "Sewn 0.234 in deep instead of 1/4 in", "12.40 × 12.42 in", "cutting A1"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q on the paper", want)
		}
	}
}

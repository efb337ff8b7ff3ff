package book

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"quiltwright/internal/scene"
	"quiltwright/internal/scene/pdf"
	"quiltwright/internal/words"
)

// paper writes a document of the star to a file and returns its path.
func paper(t *testing.T, name, size string, o Options) string {
	t.Helper()
	for _, d := range Documents(star(), o, size) {
		if d.Name != name {
			continue
		}
		b, err := pdf.Write(d.Pages)
		if err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(t.TempDir(), name+".pdf")
		if err := os.WriteFile(path, b, 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	t.Fatalf("no document %s", name)
	return ""
}

func run(t *testing.T, name string, args ...string) string {
	t.Helper()
	out, err := exec.Command(name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %v: %v\n%s", name, args, err, out)
	}
	return string(out)
}

var space = regexp.MustCompile(`[\s\x{a0}]+`)

func flatten(s string) string { return strings.TrimSpace(space.ReplaceAllString(s, " ")) }

// What the plan says is on the paper, as a reader or a search finds it.
func TestPaperSaysWhatThePlanSays(t *testing.T) {
	for _, size := range []string{"letter", "a4"} {
		path := paper(t, "pattern", size, Options{})
		text := flatten(run(t, "pdftotext", path, "-"))
		p := star()
		say := words.Of(p)
		var want []string
		for i := range p.Steps {
			want = append(want, say.Step(i).Do.Plain(), say.Step(i).Check.Plain())
		}
		for i := range p.Pieces {
			want = append(want, say.CutLine(&p.Pieces[i]).Plain())
		}
		for i := range p.Fabrics {
			want = append(want, p.Fabrics[i].Name, say.Buy(&p.Fabrics[i]).Plain())
		}
		for _, s := range say.Finish() {
			want = append(want, s.Plain())
		}
		want = append(want, p.Quilt, p.Designer, "version 3", "8 January 2027", p.Rights, p.Contact, "Begin with the half squares",
			"three strips 1 1/2 in wide", "They must measure 3 1/2 in across", "Close the blade each time", "Lift and lower it",
			"largest square to cut is 3 7/8 in", "mirror image", "Month 1", "First lamps", "1,812 checks", "page 1 of ")
		for _, w := range want {
			if !strings.Contains(text, flatten(w)) {
				t.Errorf("%s: not on the paper: %q", size, w)
			}
		}
		if out := run(t, "qpdf", "--check", path); !strings.Contains(out, "No syntax or stream encoding errors found") {
			t.Error(out)
		}
	}
}

// Brief pages have every step in its brief words.
func TestBriefPaper(t *testing.T) {
	text := flatten(run(t, "pdftotext", paper(t, "pattern", "letter", Options{Brief: true}), "-"))
	p := star()
	for i := range p.Steps {
		full, brief := words.Of(p).Step(i).Do.Plain(), words.Brief(p).Step(i).Do.Plain()
		if !strings.Contains(text, flatten(brief)) {
			t.Errorf("not on the paper: %q", brief)
		}
		if full != brief && strings.Contains(text, flatten(full)) {
			t.Errorf("in full on brief paper: %q", full)
		}
	}
}

func TestHandoutStandsAlone(t *testing.T) {
	text := flatten(run(t, "pdftotext", paper(t, "month-02", "letter", Options{}), "-"))
	for _, want := range []string{"Month 2", "opens 5 February 2027", "Setting the top", "Waiting since earlier months: B1 × 6", "Cut 24 squares 3 1/2 in [A1]", "Close the blade", "Binding:", "C2R"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
	if strings.Contains(text, "First lamps") {
		t.Error("another month is on the handout")
	}
}

// The test squares and the cutting line are printed at true size: 72 points to the inch.
func TestTemplatesAreTrueToSize(t *testing.T) {
	path := paper(t, "pattern", "letter", Options{})
	n := 0
	for _, p := range Documents(star(), Options{}, "letter")[0].Pages.Pages {
		for _, w := range boxesOf(p.Items) {
			if near(w[0], 72) && near(w[1], 72) {
				n++
			}
		}
	}
	if n != 3 {
		t.Errorf("%d squares of one inch, want one on each of 3 template pages", n)
	}
	if out := run(t, "pdfinfo", path); !strings.Contains(out, "612 x 792 pts (letter)") {
		t.Error(out)
	}
}

func near(a, b float64) bool { return a-b < 1e-6 && b-a < 1e-6 }

// boxesOf returns the sides of every path.
func boxesOf(items []scene.Item) [][2]float64 {
	var out [][2]float64
	for _, it := range items {
		switch it := it.(type) {
		case scene.Group:
			out = append(out, boxesOf(it.Items)...)
		case scene.Path:
			if b, ok := scene.Bounds(scene.Outer, []scene.Item{it}); ok {
				out = append(out, [2]float64{float64(b.Width()), float64(b.Height())})
			}
		}
	}
	return out
}

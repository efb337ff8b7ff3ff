// Package papertest reads the finished books back, as a person at the cutting table does, and compares them with the
// plan they were made from. It has nothing but its test, because no package of the program may import both the
// compiler and the book.
package papertest

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"quiltwright/internal/book"
	"quiltwright/internal/compile"
	"quiltwright/internal/plan"
)

// printed is one document of the book: its path and, page by page, its text with single spaces.
type printed struct {
	name  string // "pattern-a4"
	month int    // of a handout, else 0
	path  string
	pages []string
}

func (d printed) text() string { return strings.Join(d.pages, " ") }

var space = regexp.MustCompile(`[\s\x{a0}]+`)

// books compiles the example and prints it.
func books(t *testing.T) (*plan.Plan, []printed) {
	t.Helper()
	src, err := os.ReadFile(filepath.FromSlash("../../examples/lantern-row.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	p := compile.Compile("lantern-row.yaml", src, compile.Options{Proof: true}).Plan
	files, err := book.Write(p, book.Options{})
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	var out []printed
	for _, f := range files {
		name, isPDF := strings.CutSuffix(f.Name, ".pdf")
		if !isPDF {
			continue
		}
		d := printed{name: name, path: filepath.Join(dir, f.Name)}
		if err := os.WriteFile(d.path, f.Data, 0o600); err != nil {
			t.Fatal(err)
		}
		if rest, ok := strings.CutPrefix(name, "month-"); ok {
			if d.month, err = strconv.Atoi(rest[:2]); err != nil {
				t.Fatal(err)
			}
		}
		for _, s := range strings.Split(tool(t, "pdftotext", d.path, "-"), "\f") {
			d.pages = append(d.pages, strings.TrimSpace(space.ReplaceAllString(s, " ")))
		}
		out = append(out, d)
	}
	if want := 2 * (1 + len(p.Months)); len(out) != want || len(p.Months) != 12 {
		t.Fatalf("%d documents for %d months, want %d", len(out), len(p.Months), want)
	}
	return p, out
}

func tool(t *testing.T, name string, args ...string) string {
	t.Helper()
	out, err := exec.Command(name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %v: %v\n%s", name, args, err, out)
	}
	return string(out)
}

// inches writes a length as it must be printed: "3 7/8". It is written here a second time on purpose.
func inches(x plan.Num) string {
	n := int(math.Round(float64(x) * 64))
	whole, num, den := n/64, n%64, 64
	for num > 0 && num%2 == 0 {
		num, den = num/2, den/2
	}
	switch {
	case num == 0:
		return strconv.Itoa(whole)
	case whole == 0:
		return fmt.Sprintf("%d/%d", num, den)
	}
	return fmt.Sprintf("%d %d/%d", whole, num, den)
}

// size is what the list must say of a blank; empty for what is cut with a template.
func size(q *plan.Piece) string {
	w, h := inches(q.Width), inches(q.Height)
	switch {
	case q.Shape == "template":
		return ""
	case q.Shape == "strip" || q.Shape == "joined strip":
		if q.Width > q.Height {
			w, h = h, w
		}
		return w + " × " + h + " in"
	case w == h:
		return w + " in"
	}
	return w + " × " + h + " in"
}

// cutting is how many of a blank are cut, and of which size.
type cutting struct {
	count int
	size  string
}

var cutLine = regexp.MustCompile(`Cut (\d+) (?:strips?|squares?|rectangles?|template pieces?)((?: [0-9/]+)*(?: × [0-9/]+(?: [0-9/]+)?)? in)? \[([A-Z]\d+R?)\]`)

// list reads the cutting list off the paper.
func list(t *testing.T, d printed) map[string]cutting {
	t.Helper()
	out := map[string]cutting{}
	for _, m := range cutLine.FindAllStringSubmatch(d.text(), -1) {
		n, err := strconv.Atoi(m[1])
		if err != nil {
			t.Fatal(err)
		}
		if _, twice := out[m[3]]; twice {
			t.Errorf("%s: %s stands twice in the cutting list", d.name, m[3])
		}
		out[m[3]] = cutting{n, strings.TrimSpace(m[2])}
	}
	if got, want := len(out), strings.Count(d.text(), " ["); got != want {
		t.Errorf("%s: %d lines of the cutting list read, %d labels in brackets", d.name, got, want)
	}
	return out
}

// planned is what the list of a document must say.
func planned(p *plan.Plan, month int) map[string]cutting {
	out := map[string]cutting{}
	for i := range p.Pieces {
		q := &p.Pieces[i]
		n := q.Cut
		if month > 0 {
			n = 0
			for _, m := range q.Months {
				if m.Month == month {
					n += m.Cut
				}
			}
		}
		if n > 0 {
			out[q.Label] = cutting{n, size(q)}
		}
	}
	return out
}

func TestPaperKeepsThePlan(t *testing.T) {
	p, docs := books(t)
	if !p.Complete || p.Proof == nil || !p.Proof.Holds {
		t.Fatal("the example is not proven")
	}
	for _, d := range docs {
		sameList(t, d, list(t, d), planned(p, d.month))
		onlyCut(t, d, p)
		if odd := strings.IndexAny(d.text(), "¼½¾⅛⅜⅝⅞⁄"); odd >= 0 {
			t.Errorf("%s: a fraction that is not plain figures: %q", d.name, around(d.text(), odd))
		}
		if d.month == 0 {
			materials(t, d, p)
			used(t, d, p)
		}
		if out := tool(t, "qpdf", "--check", d.path); !strings.Contains(out, "No syntax or stream encoding errors found") {
			t.Errorf("%s: %s", d.name, out)
		}
		embedded(t, d)
	}
}

func around(s string, i int) string {
	return strings.ToValidUTF8(s[max(0, i-20):min(len(s), i+20)], "")
}

func sameList(t *testing.T, d printed, got, want map[string]cutting) {
	t.Helper()
	for _, k := range labels(want) {
		if got[k] != want[k] {
			t.Errorf("%s: %s is printed as %v, the plan says %v", d.name, k, got[k], want[k])
		}
	}
	for _, k := range labels(got) {
		if _, ok := want[k]; !ok {
			t.Errorf("%s: %s is in the list and is not cut", d.name, k)
		}
	}
}

func labels(m map[string]cutting) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

var anyLabel = regexp.MustCompile(`\b[A-Z]\d+R?\b`)

// onlyCut finds labels, anywhere in a document, of pieces that nobody cuts.
func onlyCut(t *testing.T, d printed, p *plan.Plan) {
	t.Helper()
	cut := planned(p, 0)
	for i, s := range d.pages {
		for _, k := range anyLabel.FindAllString(s, -1) {
			if _, ok := cut[k]; !ok {
				t.Errorf("%s, page %d: %s is printed and not cut", d.name, i+1, k)
			}
		}
	}
}

var tally = regexp.MustCompile(`\b[A-Z]\d+R? × \d+`) // in the table of a month: said, not sewn

// used finds pieces that are cut and that no step of any month names, and such as the recipes take more of than are cut.
func used(t *testing.T, d printed, p *plan.Plan) {
	t.Helper()
	first := slices.IndexFunc(d.pages, func(s string) bool { return strings.HasPrefix(s, "Month 1 ·") })
	last := slices.IndexFunc(d.pages, func(s string) bool { return strings.HasPrefix(s, "Templates") })
	if first < 0 || last < first {
		t.Fatalf("%s: months begin on page %d, templates on %d", d.name, first+1, last+1)
	}
	named := map[string]bool{}
	for _, s := range d.pages[first:last] {
		for _, k := range anyLabel.FindAllString(tally.ReplaceAllString(s, ""), -1) {
			named[k] = true
		}
	}
	patch := map[string]string{} // the piece of a patch that is cut as it is
	for _, u := range p.Units {
		patch[u.ID] = u.Piece
	}
	taken := map[string]int{}
	for _, r := range p.Recipes {
		for _, f := range r.From {
			taken[f.Piece] += f.Count * r.Batches
			taken[patch[f.Unit]] += f.Count * r.Batches
		}
	}
	for i := range p.Pieces {
		q := &p.Pieces[i]
		if q.Cut > 0 && !named[q.Label] {
			t.Errorf("%s: %s is cut and no step names it", d.name, q.Label)
		}
		if n := taken[q.Label]; n == 0 || n > q.Cut*max(q.Each, 1) {
			t.Errorf("%s: %d of %s are sewn, %d × %d are cut", d.name, n, q.Label, q.Cut, q.Each)
		}
	}
}

// materials compares what to buy: in the table of materials and above each cutting list.
func materials(t *testing.T, d printed, p *plan.Plan) {
	t.Helper()
	page := slices.IndexFunc(d.pages, func(s string) bool { return strings.Contains(s, "Materials Cloth Letter Buy") })
	if page < 0 {
		t.Fatalf("%s: no page of materials", d.name)
	}
	for _, f := range p.Fabrics {
		amount := inches(f.Buy.Amount) + " yd"
		if f.Buy.Unit != "yd" {
			t.Fatalf("the example buys %s in %s", f.Name, f.Buy.Unit)
		}
		if row := f.Name + " " + f.Letter + " " + amount + " "; !strings.Contains(d.pages[page], row) {
			t.Errorf("%s: no row %q in %s", d.name, row, d.pages[page])
		}
		if head := "Cutting " + f.Name + " buy " + amount + " "; !strings.Contains(d.text(), head) {
			t.Errorf("%s: no heading %q", d.name, head)
		}
	}
	for _, s := range []string{
		fmt.Sprintf("cut %d strips %s in wide", p.Finish.Binding.Strips, inches(p.Finish.Binding.Strip)),
		"buy " + inches(p.Finish.Backing.Amount) + " yd",
	} {
		if !strings.Contains(d.pages[page], s) {
			t.Errorf("%s: no %q in %s", d.name, s, d.pages[page])
		}
	}
}

// embedded demands that every font travels with the file.
func embedded(t *testing.T, d printed) {
	t.Helper()
	lines := strings.Split(strings.TrimSpace(tool(t, "pdffonts", d.path)), "\n")
	if len(lines) < 3 {
		t.Fatalf("%s: no fonts", d.name)
	}
	at := strings.Index(lines[0], "emb")
	for _, l := range lines[2:] {
		if len(l) < at+3 || l[at:at+3] != "yes" {
			t.Errorf("%s: not embedded: %s", d.name, l)
		}
	}
}

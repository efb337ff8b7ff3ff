package words

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"sort"
	"strings"
	"testing"

	"quiltwright/internal/compile"
	"quiltwright/internal/plan"
)

func sample(t testing.TB, name string) *plan.Plan {
	t.Helper()
	src, err := os.ReadFile("testdata/" + name + ".json")
	if err != nil {
		t.Fatal(err)
	}
	p := &plan.Plan{}
	if err := json.Unmarshal(src, p); err != nil {
		t.Fatal(err)
	}
	return p
}

// plans are the two plans written by hand and those of the project's own documents.
func plans(t testing.TB) map[string]*plan.Plan {
	t.Helper()
	out := map[string]*plan.Plan{"star": sample(t, "star"), "units": sample(t, "units")}
	set := map[string]string{
		"mitred":     "set: {rows: [[Odd], [Odd]], borders: [{width: 1, fabric: B, corners: mitred}, {width: 3, fabric: A, corners: mitred}]}\n",
		"mitred one": "set: {rows: [[Odd, Odd]], borders: [{width: 3, fabric: A, corners: mitred}]}\n",
		"mitred own": "set: {style: on point, triangles: A, rows: [[Odd]], borders: [{width: 1, fabric: B, corners: mitred}, {width: 2, fabric: A, corners: mitred}]}\n",
	}
	for name, block := range map[string]string{ // corners into which something is set
		"ell":    `grid: 2, lines: ["1,0 1,1 2,1"], fill: {A: "1/2,1/2", B: "3/2,1/2"}`,
		"bar":    `grid: 3, lines: ["1,0 1,2 2,2 2,0"], fill: {A: "1/2,1/2", B: "3/2,1/2"}`,
		"mitred": "grid: 1, ground: A", "mitred one": "grid: 1, ground: A", "mitred own": "grid: 1, ground: B",
		"frame": `grid: 4, symmetry: quarter turns, lines: ["0,0 1,1", "1,1 3,1"], fill: {A: "2,2", B: "2,1/2"}`,
	} {
		src := "quilt: Lantern Row\nfabrics: {A: {name: Fog}, B: {name: Slate}}\nblocks: {Odd: {size: 8, " + block + "}}\n" + set[name]
		out[name] = compile.Compile(name, []byte(src), compile.Options{Effort: compile.Quick}).Plan
	}
	for name, motif := range map[string]string{
		"motif": "motif: {size: 3, every: [6, 8]}", "stripe along": "print: two-way, motif: {size: 1, every: [3, 0]}", "stripe across": "print: one-way, motif: {size: 1, every: [0, 3]}, have: [[20, 30]]",
	} {
		src := "quilt: Lantern Row\nfabrics: {A: {name: Fog}, B: {name: Harbour, " + motif + "}}\nblocks:\n  Lamp: {size: 8, rows: [[square in square B A]]}\n  Mast: {size: 8, rows: [[goose B A], [B]]}\n  Sail: {size: 8, rows: [[B]]}\n" +
			"set: {rows: [[Lamp, Mast, Lamp], [Mast, Sail, Mast]]}\n"
		out[name] = compile.Compile(name, []byte(src), compile.Options{Effort: compile.Quick}).Plan
	}
	for name, rows := range map[string]string{"trimmed": "[square in square A B, goose A B], [rail A B, goose B A]", "trimmed aslant": "[half rectangle A B, half rectangle A B@m], [goose A B, A]"} {
		src := "quilt: Lantern Row\nmake: {corners: trimmed, geese: singles}\nfabrics: {A: {name: Fog}, B: {name: Slate}}\nblocks: {Odd: {size: 12, rows: [" + rows + "]}}\n"
		if name == "trimmed" {
			src = strings.Replace(src, "size: 12,", "size: [12, 8], columns: [1, 2], heights: [1, 1],", 1)
		} else {
			src = strings.Replace(src, "size: 12,", "size: [12, 12], columns: [1, 1], heights: [3, 1],", 1)
		}
		out[name] = compile.Compile(name, []byte(src), compile.Options{Effort: compile.Quick}).Plan
	}
	for name, rows := range map[string]string{"both hands": "[three triangles A B C, three triangles A B C@m], [three triangles A B C@m, three triangles A B C]", "hands side by side": "[three triangles A B C, three triangles A B C@m]", "one hand": "[three triangles A B C]"} {
		src := "quilt: Lantern Row\nmake: {three triangles: pairs}\nfabrics: {A: {name: Fog}, B: {name: Slate}, C: {name: Ember}}\nblocks: {Odd: {size: 8, rows: [" + rows + "]}, Two: {size: 8, rows: [[Odd, A]]}}\n" +
			"set: {rows: [[Two, Two]]}\n"
		src = strings.Replace(src, "Two: {size: 8", "Two: {size: [16, 8]", 1)
		if name == "hands side by side" {
			src = strings.Replace(strings.Replace(src, "Odd: {size: 8", "Odd: {size: [8, 4]", 1), "Two: {size: [16, 8]", "Two: {size: [16, 4]", 1)
		}
		out[name] = compile.Compile(name, []byte(src), compile.Options{Effort: compile.Quick}).Plan
	}
	for name, press := range map[string]string{ // seams that are spun: as many as can be, and one beside one that is not
		"spun": "make: {press: spin}\n", "spun once": "    press: 2,1 spun\n", "spun askew": "    press:\n      - 1,1 spun\n      - 2,2 spun\n", "spun twice": "    press:\n      - 1,1 spun\n      - 2,1 spun\n",
	} {
		src := "quilt: Lantern Row\nfabrics: {A: {name: Fog}, B: {name: Slate}}\nblocks:\n  Odd:\n    size: 6\n    rows: [[A, B, A], [B, A, B], [A, B, A]]\n" + press
		out[name] = compile.Compile(name, []byte(src), compile.Options{Effort: compile.Quick}).Plan
	}
	for name, rows := range map[string]string{"spun four": "[A, B], [B, A]", "spun wheel": "[half square A B@90, half square A B@180], [half square A B, half square A B@270]"} {
		src := "quilt: Lantern Row\nfabrics: {A: {name: Fog}, B: {name: Slate}}\nblocks: {Odd: {size: 8, rows: [" + rows + "]}}\nmake: {press: spin}\n"
		out[name] = compile.Compile(name, []byte(src), compile.Options{Effort: compile.Quick}).Plan
	}
	for _, glob := range []string{"../../examples/*.yaml", "../../blocks/*.yaml"} {
		files, err := filepath.Glob(glob)
		if err != nil || len(files) == 0 {
			t.Fatalf("no documents at %s: %v", glob, err)
		}
		for _, file := range files {
			src, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			out[filepath.Base(file)] = compile.Compile(file, src, compile.Options{Effort: compile.Quick}).Plan
		}
	}
	return out
}

func names(m map[string]*plan.Plan) []string {
	var out []string
	for n := range m {
		out = append(out, n)
	}
	sort.Strings(out)
	return out
}

func TestCuttingListReadsBack(t *testing.T) {
	all := plans(t)
	read := 0
	for _, name := range names(all) {
		p := all[name]
		teller := Of(p)
		for i := range p.Pieces {
			q := &p.Pieces[i]
			if q.Cut == 0 {
				continue
			}
			line := teller.CutLine(q)
			checkCutLine(t, name, teller, q, string(line))
			read++
		}
	}
	if read < 100 {
		t.Errorf("only %d lines of cutting lists were read", read)
	}
}

func checkCutLine(t *testing.T, name string, teller *Teller, q *plan.Piece, line string) {
	t.Helper()
	line, _, _ = strings.Cut(line, " (")
	line, _, _ = strings.Cut(line, "; "+teller.in["cut.measured"])
	if before, on, is := strings.Cut(line, "; centre "); is || q.Motif != nil {
		want := "each on a motif"
		if q.Cut == 1 {
			want = "it on a motif"
		}
		if f := teller.fabrics[q.Fabric].Motif; f != nil && (f.Every[0] == 0 || f.Every[1] == 0) {
			want = strings.Replace(want, "a motif", "the same stripe", 1)
		}
		if line = before; q.Motif == nil || on != want {
			t.Errorf("%s: “centre %s” is not so of %s", name, on, q.Label)
		}
	}
	if before, more, is := strings.Cut(line, "; "); is {
		if ways := listen(teller.in, nil, nil).hear(more, "cut.measured.more"); len(ways) == 1 {
			if line = before; !q.Measured || !q.Trimmed || !nearly(ways[0].slots["more"].n, float64(teller.beyond(q))) {
				t.Errorf("%s: “%s” is not so of %s", name, more, q.Label)
			}
		}
	}
	var lines []string
	for _, key := range sections("The cutting list") {
		if strings.HasPrefix(teller.in[key], "Cut {count} {noun}") {
			lines = append(lines, key)
		}
	}
	ways := listen(teller.in, nil, nil).hear(line, lines...)
	if len(ways) != 1 {
		t.Errorf("%s: “%s” is heard in %d ways: %v", name, line, len(ways), ways)
		return
	}
	key, s := ways[0].key, ways[0].slots
	if int(s["count"].n) != q.Cut {
		t.Errorf("%s: “%s” cuts %v, the plan %d", name, line, s["count"].n, q.Cut)
	}
	if s["label"].ref.id != q.Label {
		t.Errorf("%s: “%s” is of %s, the piece of %s", name, line, s["label"].ref.id, q.Label)
	}
	want := [2]float64{float64(q.Width), float64(q.Height)}
	for _, size := range []string{"size", "side"} {
		if v, is := s[size]; is && !alike(v.box, want) && !alike([2]float64{v.n, v.n}, want) {
			t.Errorf("%s: “%s” is %v, the piece %v", name, line, v, want)
		}
	}
	if key == "cut.strip" && !alike([2]float64{s["height"].n, float64(teller.fabrics[q.Fabric].Width)}, want) {
		t.Errorf("%s: “%s” is for a piece of %v", name, line, want)
	}
	if y, is := s["yields"]; is && int(y.n) != q.Yields {
		t.Errorf("%s: “%s” yields %v, the piece %d", name, line, y.n, q.Yields)
	}
	each := map[string]int{"cut.half square": 2, "cut.quarter square": 4, "cut.half rectangle": 2, "cut.half rectangle.R": 2}[key]
	if each != 0 && each != q.Each {
		t.Errorf("%s: “%s” makes %d of each, the piece %d", name, line, each, q.Each)
	}
}

func TestNamesDiffer(t *testing.T) {
	all := plans(t)
	for _, name := range names(all) {
		p := all[name]
		teller := Of(p)
		seen := map[string]string{}
		for _, u := range p.Units {
			n := teller.Name(u.ID)
			if n == "" {
				t.Errorf("%s: unit %s has no name", name, u.ID)
			}
			if other := seen[n]; other != "" && u.Piece == "" {
				t.Errorf("%s: units %s and %s are both called “%s”", name, other, u.ID, n)
			}
			seen[n] = u.ID
		}
	}
}

// Every key of the catalogue is used, and every key used is in it. A key put together from a prefix
// and a word counts as used where the prefix is.
func TestCatalogueIsWhole(t *testing.T) {
	c, err := readCatalogue(english)
	if err != nil {
		t.Fatal(err)
	}
	files, _ := filepath.Glob("*.go")
	var src string
	for _, f := range files {
		if !strings.HasSuffix(f, "_test.go") {
			b, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			src += string(b)
		}
	}
	for _, m := range regexp.MustCompile(`say\("([^"]+)"[,)]`).FindAllStringSubmatch(src, -1) {
		if c[m[1]] == "" {
			t.Errorf("“%s” is said but not in the catalogue", m[1])
		}
	}
	prefixes := []string{"noun.", "points.", "method.", "side.", "corner.", "end.", "way.", "number.", "cut.half", "cut.quarter", "cut.template", "cut.joined."}
	for _, key := range c.keys() {
		used := strings.Contains(src, `"`+strings.TrimSuffix(key, "/brief")+`"`)
		for _, p := range prefixes {
			used = used || strings.HasPrefix(key, p)
		}
		if !used {
			t.Errorf("“%s” is in the catalogue but never said", key)
		}
	}
}

func TestCatalogueErrors(t *testing.T) {
	for src, want := range map[string]string{"a": "line 1", "# x\na = b\na = c": "line 3", "a =": "line 1"} {
		if _, err := readCatalogue(src); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: got %v, want an error that names %s", src, err, want)
		}
	}
}

// What a diagonal corner of 45 degrees passes its neighbour by is said as about 3/8 in, as teachers
// do: s(cot(22.5°) - 1) = 0.3536 at s = 1/4; the other figures follow from the same formula for
// corners of 60, 30 and 22.5 degrees and for the 1:2 half rectangle.
func TestAbout(t *testing.T) {
	teller := Of(sample(t, "star"))
	for past, want := range map[plan.Num]string{0.3536: "3/8", 0.1830: "3/16", 0.6830: "11/16", 0.8090: "13/16", 1.0068: "1", 0.1545: "5/32", 0.1242: "1/8"} {
		if got := teller.About(past); got != "about "+want+"\u00a0in" {
			t.Errorf("%v is said as “%s”, want about %s in", past, got, want)
		}
	}
}

func TestText(t *testing.T) {
	s := Text("Cut 12 squares 3 7/8\u00a0in [**A2**]")
	if got := s.Plain(); got != "Cut 12 squares 3 7/8 in [A2]" {
		t.Errorf("plain: “%s”", got)
	}
}

// The texts of the commands, as they were looked at and found good.
func TestTables(t *testing.T) {
	for _, name := range []string{"star", "units"} {
		p := sample(t, name)
		got := Draft(p) + "\n" + Cut(p) + "\n" + Press(p) + "\n" + Sew(p)
		file := "testdata/" + name + ".txt"
		if os.Getenv("UPDATE") != "" {
			if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if got != string(want) {
			t.Errorf("%s differs; UPDATE=1 writes it anew. It reads:\n%s", file, got)
		}
		if strings.ContainsAny(got, "{}\u00a0*") || strings.Contains(got, "  of") {
			t.Errorf("%s: marks, slots or no-break spaces are left in the text", name)
		}
	}
}

// A fabric of which nothing is cut is not in the list.
func TestOnlyWhatIsCutIsListed(t *testing.T) {
	p := sample(t, "star")
	p.Fabrics = append(p.Fabrics, plan.Fabric{Letter: "Z", Name: "Kelp", Width: 40})
	if said := Cut(p); strings.Contains(said, "Kelp") || !strings.Contains(said, "Ember") {
		t.Errorf("%s", said)
	}
}

// Where a part is made with two pressings, a step that sews two such parts says which is which, and which of the two it makes.
func TestStepsSayWhichPressing(t *testing.T) {
	p := compile.Compile("two.yaml", []byte(`quilt: Two
fabrics: {A: {name: Fog}, B: {name: Slate}}
blocks:
  Pinwheel: {size: 12, rows: [[half square A B, half square A B@90], [half square A B@270, half square A B@180]]}
set: {rows: [[Pinwheel, Pinwheel], [Pinwheel, Pinwheel]]}
`), compile.Options{}).Plan
	teller := Of(p)
	both := 0
	for i, s := range p.Steps {
		u := teller.units[s.Unit]
		if u == nil || len(u.Parts) != 2 || len(u.Joins) != 1 || !teller.bothWays(u.Parts[0].Unit) || !teller.bothWays(u.Parts[1].Unit) {
			continue
		}
		both++
		if said := string(teller.Step(i).Do); strings.Count(said, "first pressing")+strings.Count(said, "second pressing") != 2 {
			t.Errorf("step %d: %s", i+1, said)
		}
	}
	if both == 0 {
		t.Error("nothing is sewn of parts that are pressed both ways")
	}
}

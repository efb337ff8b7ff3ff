package words

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"sort"
	"strings"
	"testing"

	"quiltwright/internal/compile"
	"quiltwright/internal/measure"
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

// pattern is a regular expression that a filled template matches, with a named group for each slot.
func (c catalogue) pattern(key string) *regexp.Regexp {
	var b strings.Builder
	b.WriteString("^")
	template, last, seen := c[key], 0, map[string]bool{}
	for _, at := range slotPattern.FindAllStringSubmatchIndex(template, -1) {
		b.WriteString(regexp.QuoteMeta(template[last:at[0]]))
		name := template[at[2]:at[3]]
		if seen[name] {
			b.WriteString("(?:.+?)")
		} else {
			b.WriteString("(?P<" + name + ">" + holds(key, name) + ")")
		}
		seen[name] = true
		last = at[1]
	}
	b.WriteString(regexp.QuoteMeta(template[last:]) + "$")
	return regexp.MustCompile(b.String())
}

// holds is what a slot of this name can hold.
func holds(key, slot string) string {
	if slot == "side" && !strings.HasPrefix(key, "cut.") {
		return `.+?`
	}
	switch slot {
	case "count", "yields", "times":
		return `[0-9]+|two|three|four|five|six|seven|eight|nine|ten`
	case "side", "size", "height", "offset", "distance", "every", "length":
		return `[0-9].*?`
	}
	return `.+?`
}

// read matches a sentence against the templates whose keys begin with one of the prefixes, and
// returns the key and the slots of the one that leaves the least to its slots.
func read(c catalogue, sentence string, prefixes ...string) (key string, slots map[string]string) {
	least := math.MaxInt
	for _, k := range c.keys() {
		for _, p := range prefixes {
			if !strings.HasPrefix(k, p) {
				continue
			}
			re := c.pattern(k)
			m := re.FindStringSubmatch(sentence)
			if m == nil {
				continue
			}
			found, free := map[string]string{}, 0
			for i, n := range re.SubexpNames() {
				if n != "" {
					found[n] = m[i]
					free += len(m[i])
				}
			}
			if free < least {
				key, slots, least = k, found, free
			}
		}
	}
	return key, slots
}

// number reads a measure or a count back.
func number(t testing.TB, s string) float64 {
	t.Helper()
	s = strings.ReplaceAll(s, "\u00a0", " ")
	for _, unit := range []string{" in", " cm"} {
		s = strings.TrimSuffix(s, unit)
	}
	n, err := measure.Parse(s)
	if err != nil {
		t.Fatalf("“%s” is not a number: %v", s, err)
	}
	return n.Float()
}

// near is how far a printed measure may be from the plan's: half of a thirty-second of an inch, or
// of half a millimetre.
const onPaper = 1.0/64 + 1e-9

func sizeOf(t testing.TB, s string) (w, h float64) {
	t.Helper()
	if side, ok := strings.CutSuffix(s, " square"); ok {
		return number(t, side), number(t, side)
	}
	a, b, ok := strings.Cut(s, " × ")
	if !ok {
		return number(t, s), number(t, s)
	}
	return number(t, a), number(t, b)
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
	key, s := read(teller.in, line, "cut.square", "cut.rectangle", "cut.half", "cut.quarter", "cut.strip", "cut.joined", "cut.parallelogram", "cut.triangle", "cut.template")
	if key == "" {
		t.Errorf("%s: “%s” is no line of the cutting list", name, line)
		return
	}
	if got := int(number(t, s["count"])); got != q.Cut {
		t.Errorf("%s: “%s” cuts %d, the plan %d", name, line, got, q.Cut)
	}
	if s["label"] != label(q.Label) {
		t.Errorf("%s: “%s” is of %s, the piece of %s", name, line, s["label"], q.Label)
	}
	want := [2]float64{float64(q.Width), float64(q.Height)}
	sort.Float64s(want[:])
	if size := s["size"] + s["side"]; size != "" {
		w, h := sizeOf(t, size)
		got := [2]float64{min(w, h), max(w, h)}
		if math.Abs(got[0]-want[0]) > onPaper || math.Abs(got[1]-want[1]) > onPaper {
			t.Errorf("%s: “%s” is %v, the piece %v", name, line, got, want)
		}
	}
	if key == "cut.strip" && (math.Abs(number(t, s["height"])-want[0]) > onPaper || math.Abs(float64(teller.fabrics[q.Fabric].Width)-want[1]) > onPaper) {
		t.Errorf("%s: “%s” is for a piece of %v", name, line, want)
	}
	if y := s["yields"]; y != "" && int(number(t, y)) != q.Yields {
		t.Errorf("%s: “%s” yields %s, the piece %d", name, line, y, q.Yields)
	}
	each := map[string]int{"cut.half square": 2, "cut.quarter square": 4, "cut.half rectangle": 2, "cut.half rectangle.R": 2}[key]
	if each != 0 && each != q.Each {
		t.Errorf("%s: “%s” makes %d of each, the piece %d", name, line, each, q.Each)
	}
}

func TestStepsReadBack(t *testing.T) {
	all := plans(t)
	told := map[string]int{}
	for _, name := range names(all) {
		p := all[name]
		teller := Of(p)
		for i := range p.Steps {
			s := &p.Steps[i]
			r := teller.recipes[s.Recipe]
			if r == nil {
				continue
			}
			if teller.Step(i).Do == "" {
				t.Errorf("%s: step %d says nothing", name, i)
			}
			story := teller.narrate(r, s.First, s.Last)
			for _, sentence := range splitSentences(story.sentences) {
				key, slots := read(teller.in, sentence, "mark.", "lay.", "sew.", "join.", "cut.on", "cut.off", "cut.square end", "cut.down", "cut.across", "cut.drawn", "cut.segments", "trim", "press.")
				if key == "" {
					t.Errorf("%s: step %d: “%s” is no sentence of a step", name, i, sentence)
					continue
				}
				told[key]++
				checkSentence(t, name, teller, r, r.Do[s.First:min(s.Last, len(r.Do)-1)+1], key, slots, sentence)
			}
			checkComplete(t, name, i, r.Do[s.First:min(s.Last, len(r.Do)-1)+1], story.sentences)
		}
	}
	for _, key := range []string{"mark.corner", "mark.across", "lay.on", "lay.overlap", "lay.free", "lay.corner", "sew.either", "sew.on", "join.side", "join.run.right", "join.run.down", "join.partial", "join.finish",
		"cut.on", "cut.off", "cut.segments", "trim", "trim.corners", "press.toward", "press.open", "press.toward.all"} {
		if told[key] == 0 {
			t.Errorf("no step says “%s”", key)
		}
	}
}

var betweenSentences = regexp.MustCompile(`\. (?:[A-Z])`)

// splitSentences takes apart what stands in one text; a sentence keeps its stop.
func splitSentences(texts []string) []string {
	var out []string
	for _, s := range texts {
		for {
			at := betweenSentences.FindStringIndex(s)
			if at == nil || strings.Contains(s[:at[0]], " no") && strings.HasSuffix(s[:at[0]], " no") {
				break
			}
			out = append(out, s[:at[0]+1])
			s = s[at[0]+2:]
		}
		out = append(out, s)
	}
	return out
}

// checkSentence compares the figures and labels of a sentence with the operations it tells.
func checkSentence(t *testing.T, name string, teller *Teller, r *plan.Recipe, ops []plan.Op, key string, slots map[string]string, sentence string) {
	t.Helper()
	some := func(what string, holds func(op plan.Op) bool) {
		t.Helper()
		for _, op := range ops {
			if holds(op) {
				return
			}
		}
		t.Errorf("%s: “%s”: no operation of the step has %s", name, sentence, what)
	}
	is := func(x float64, y plan.Num) bool { return math.Abs(x-math.Abs(float64(y))) <= onPaper }
	switch key {
	case "sew.either", "sew.either.lines", "sew.beside":
		x := number(t, slots["offset"])
		some("this offset", func(op plan.Op) bool { return op.Op == "stitch" && is(x, op.Offset) })
	case "sew.on", "sew.on.lines":
		some("no offset", func(op plan.Op) bool { return op.Op == "stitch" && op.Offset == 0 && op.Allowance == 0 })
	case "cut.segments":
		n, x := number(t, slots["times"]), number(t, slots["every"])
		some("these segments", func(op plan.Op) bool { return op.Op == "cut" && float64(op.Times) == n && is(x, op.Every) })
	case "trim", "trim.corners", "trim.shape":
		w, h := sizeOf(t, slots["size"])
		some("this outline", func(op plan.Op) bool {
			var ps []pt
			for _, p := range op.To {
				ps = append(ps, fromPlan(p))
			}
			lo, hi := box(ps)
			a, b := hi[0]-lo[0], hi[1]-lo[1]
			return op.Op == "trim" && (math.Abs(a-w)+math.Abs(b-h) < 2*onPaper || math.Abs(a-h)+math.Abs(b-w) < 2*onPaper || key == "trim.shape")
		})
	case "press.open", "press.open.all":
		some("an open seam", func(op plan.Op) bool { return op.Op == "press" && op.Toward == nil })
	case "press.toward", "press.toward.all":
		b := teller.newBench(r)
		n := &narrator{Teller: teller, b: b}
		some("this direction", func(op plan.Op) bool {
			return op.Op == "press" && op.Toward != nil && n.partRef(*op.Toward) == slots["target"]
		})
	case "join.partial":
		x := number(t, slots["length"])
		some("this length", func(op plan.Op) bool {
			return op.Partial && math.Abs(fromPlan(op.Along[1]).sub(fromPlan(op.Along[0])).length()-x) <= onPaper
		})
	case "join.finish":
		x := number(t, slots["length"])
		some("this length", func(op plan.Op) bool {
			return op.Fold && math.Abs(fromPlan(op.Along[1]).sub(fromPlan(op.Along[0])).length()-x) <= onPaper
		})
	}
	for _, slot := range []string{"laid", "under", "target", "one", "other"} {
		for _, l := range regexp.MustCompile(`\*\*([^*]+)\*\*`).FindAllStringSubmatch(slots[slot], -1) {
			known := false
			for _, f := range r.From {
				known = known || f.Piece == l[1] || f.Unit != "" && teller.units[f.Unit] != nil && teller.units[f.Unit].Piece == l[1]
			}
			if !known {
				t.Errorf("%s: “%s”: %s is not in the recipe", name, sentence, l[1])
			}
		}
	}
}

// checkComplete says whether every kind of operation of a step is told.
func checkComplete(t *testing.T, name string, step int, ops []plan.Op, sentences []string) {
	t.Helper()
	text := strings.ToLower(strings.Join(sentences, " "))
	for _, op := range ops {
		words := map[string][]string{"lay": {"lay ", "sew ", "join "}, "mark": {"draw "}, "stitch": {"sew ", "join ", "finish "}, "cut": {"cut "}, "press": {"press "}, "trim": {"trim "}}[op.Op]
		told := false
		for _, w := range words {
			told = told || strings.Contains(text, w)
		}
		if !told {
			t.Errorf("%s: step %d: “%s” does not tell the operation %s", name, step, text, op.Op)
		}
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
	prefixes := []string{"noun.", "method.", "side.", "corner.", "end.", "way.", "number.", "cut.half", "cut.quarter", "cut.template"}
	for _, key := range c.keys() {
		used := strings.Contains(src, `"`+key+`"`)
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

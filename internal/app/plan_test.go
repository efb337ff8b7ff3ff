package app

import (
	"fmt"
	"math"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"quiltwright/internal/compile"
	"quiltwright/internal/edit"
)

// compiled is a state of a document with a quick plan.
func compiledState(t *testing.T, path string) *state {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	s := newState(1, filepath.Base(path), edit.Open(text))
	s.compile(compile.Quick, nil)
	return s
}

// TestPlanViews makes every view of the plan of every example: each seam that is sewn straight can be turned by the arrow that the view
// gives, every patch knows a piece it comes from, every step has a sentence and most have a drawing.
func TestPlanViews(t *testing.T) {
	paths, _ := filepath.Glob("../../examples/*.yaml")
	if len(paths) < 4 {
		t.Fatal("no examples")
	}
	for _, path := range paths {
		s := compiledState(t, path)
		viewBook(s, url.Values{})
		viewMonths(s, url.Values{})
		names := viewPress(s, url.Values{}).(pressView).Blocks
		seams, turned := 0, 0
		for _, b := range names {
			v := viewPress(s, addressOf(b)).(pressView)
			for _, p := range v.Block.Patches {
				if len(p.Labels) == 0 {
					t.Errorf("%s: a patch of %s comes from no piece", path, b.Title)
				}
			}
			for _, m := range v.Block.Seams {
				seams++
				if m.Turn != "" {
					turned++
				} else {
					t.Logf("%s: %s of %s cannot be turned: %+v", path, m.Name, b.Title, m)
				}
				if m.Is == "" {
					t.Errorf("%s: seam %s of %s is not said", path, m.Name, b.Title)
				}
			}
		}
		if seams == 0 && len(names) > 0 || turned*100 < seams*95 {
			t.Errorf("%s: %d of %d seams can be turned", path, turned, seams)
		}
		for month := 0; month <= len(s.doc.Months); month++ {
			q := url.Values{"month": {strconv.Itoa(month)}}
			cut := viewCut(s, q).(cutView)
			if cut.Month != month && len(cut.Months) > 0 {
				t.Errorf("%s: month %d is cut as %d", path, month, cut.Month)
			}
			for _, u := range viewSew(s, q).(sewView).Units {
				for _, step := range u.Steps {
					if step.Do == "" {
						t.Errorf("%s: a step of %s says nothing", path, u.Head)
					}
				}
			}
		}
	}
}

// TestStripsAboutMotifs looks at strips about rows of motifs: their boxes fill them, and what is cut has its motif in its middle, a repeat from the next.
func TestStripsAboutMotifs(t *testing.T) {
	s := newState(1, "motif.yaml", edit.Open([]byte("quilt: Lantern Row\nfabrics: {A: {name: Harbour, motif: {size: 3, every: [6, 8]}}, B: {name: Slate}}\n"+
		"blocks: {Lamp: {size: 12, columns: [2, 1], rows: [[A, B], [B, A]], heights: [2, 1]}, Sail: {size: 12, rows: [[A, A], [B, B]]}}\nset: {rows: [[Lamp, Sail], [Sail, Lamp]]}\n")))
	s.compile(compile.Quick, nil)
	f := viewCut(s, url.Values{}).(cutView).Fabrics[0]
	if !strings.HasPrefix(f.Motifs, "Motifs of 3\u00a0in stand every 6\u00a0in across") || len(f.Strips) == 0 {
		t.Fatalf("%q, %d strips", f.Motifs, len(f.Strips))
	}
	cut := 0
	for _, st := range f.Strips {
		area, at := 0.0, -1.0
		for _, b := range st.Boxes {
			area += b.Width * b.Height
			if (b.Label == "") != (b.Motif == nil) {
				t.Errorf("a box %+v", b)
			}
			if b.Motif == nil {
				continue
			}
			cut++
			if m := *b.Motif; m.X != b.X+b.Width/2 || m.Y != b.Y+b.Height/2 || m.R != 1.5 || at >= 0 && math.Remainder(m.X-at, 6) != 0 {
				t.Errorf("the motif of %+v stands at %+v, the one before at %g", b, m, at)
			}
			at = b.Motif.X
		}
		if math.Abs(area-st.Length*st.Height) > 1e-6 {
			t.Errorf("boxes of %g in a strip of %g by %g", area, st.Length, st.Height)
		}
	}
	if cut == 0 {
		t.Error("nothing is cut about a motif")
	}
}

// TestCost tells what a change costs, and that one back costs the same less.
func TestCost(t *testing.T) {
	before := newState(1, "stars.yaml", edit.Open([]byte(stars)))
	before.compile(compile.Quick, nil)
	text, err := before.source.Apply(&edit.Put{At: edit.Path{"make", "geese"}, Value: edit.Word("flips")})
	if err != nil {
		t.Fatal(err)
	}
	after := newState(2, "stars.yaml", text)
	after.before = before.reckonings()
	if got := after.cost(); got.Known {
		t.Errorf("the cost is known before there is a plan: %v", got)
	}
	after.compile(compile.Quick, nil)
	got := after.cost()
	if !got.Known || len(got.Says) == 0 {
		t.Fatalf("flipped geese cost what geese in fours do: %v", got)
	}
	same := newState(3, "stars.yaml", text)
	same.before = after.reckonings()
	same.compile(compile.Quick, nil)
	if got := same.cost(); !got.Known || len(got.Says) != 0 {
		t.Errorf("the same document costs otherwise: %v", got)
	}
	overtaken := newState(4, "stars.yaml", text) // before its plan was there
	overtaken.before = same.reckonings()
	if overtaken.reckonings() != same.reckonings() {
		t.Error("what was overtaken forgets what it cost before")
	}
}

// TestMake writes the book of a proven plan only, into a folder of its own, and serves what it wrote and nothing else.
func TestMake(t *testing.T) {
	s := serve(t, stars)
	folder := filepath.Join(filepath.Dir(s.file), "quilt pattern")
	ask := func(revision int) *http.Response {
		return s.send("POST", "/make", `{"revision": `+strconv.Itoa(revision)+`, "place": "book"}`, nil)
	}
	if r := s.send("GET", "/made/pattern.pdf", "", nil); r.StatusCode != http.StatusNotFound {
		t.Errorf("a file that was not made: %d", r.StatusCode)
	}
	at := s.board.server.session.current()
	if r := ask(at.revision + 1); r.StatusCode != http.StatusConflict {
		t.Errorf("another revision is made: %d", r.StatusCode)
	}
	for end := time.Now().Add(hung); at.reached() != proven && time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
	}
	if r := ask(at.revision); r.StatusCode != http.StatusOK {
		t.Fatalf("a proven plan is not made: %d", r.StatusCode)
	}
	if _, err := os.Stat(filepath.Join(folder, "drawings", "quilt.svg")); err != nil {
		t.Error(err)
	}
	for path, want := range map[string]int{"/made/pattern.pdf": 200, "/made/cutting.csv": 200, "/made/drawings/quilt.svg": 200, "/made/plan.json": 200,
		"/made/../quilt.yaml": 404, "/made/..%2fquilt.yaml": 404, "/made/secret.txt": 404, "/made/": 404, "/made/drawings/..%2f..%2fquilt.yaml": 404} {
		if r := s.send("GET", path, "", nil); r.StatusCode != want && !(want == 404 && r.StatusCode/100 == 3) {
			t.Errorf("%s: %d, not %d", path, r.StatusCode, want)
		}
	}
	// A link that leads out of the folder is not followed.
	if err := os.Remove(filepath.Join(folder, "month-01.pdf")); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(s.file, filepath.Join(folder, "month-01.pdf")); err != nil {
		t.Fatal(err)
	}
	if r := s.send("GET", "/made/month-01.pdf", "", nil); r.StatusCode == 200 {
		t.Error("a link out of the folder is followed")
	}
	// A folder of someone else's is left as it is.
	if err := os.WriteFile(filepath.Join(folder, "letter.txt"), []byte("mine"), 0o644); err != nil {
		t.Fatal(err)
	}
	if r := ask(at.revision); r.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("a folder with another file is replaced: %d", r.StatusCode)
	}
	if b, err := os.ReadFile(filepath.Join(folder, "letter.txt")); err != nil || string(b) != "mine" {
		t.Error("the other file is gone")
	}
}

// TestMakeRefused writes nothing where there is no plan.
func TestMakeRefused(t *testing.T) {
	s := serve(t, "quilt: Empty\n")
	for end := time.Now().Add(hung); s.board.server.session.current().reached() < full && time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
	}
	r := s.send("POST", "/make", `{"revision": `+strconv.Itoa(s.board.server.session.current().revision)+`, "place": "book"}`, nil)
	if r.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("a quilt without a plan is made: %d", r.StatusCode)
	}
	if _, err := os.Stat(filepath.Join(filepath.Dir(s.file), "quilt pattern")); err == nil {
		t.Error("a folder was made")
	}
}

// addressOf is what the address asks for where the block, or the top, is chosen.
func addressOf(b pressName) url.Values {
	if b.Name == "" {
		return url.Values{"of": {"top"}}
	}
	return url.Values{"block": {b.Name}}
}

// TestSeamsTurn overrules seams of every block of Lantern Row, drawn, laid out of cells and mirrored, and of its top: each is then pressed as the arrow of the
// view says, and the plan is proven.
func TestSeamsTurn(t *testing.T) {
	s := compiledState(t, "../../examples/lantern-row.yaml")
	met, turned, ofTop := 0, 0, 0
	for _, b := range viewPress(s, url.Values{}).(pressView).Blocks {
		q := addressOf(b)
		for _, m := range viewPress(s, q).(pressView).Block.Seams {
			if met++; met%23 != 0 || m.Turn == "" {
				continue
			}
			open := met%2 == 0
			text, err := s.source.Apply(&edit.PressSeam{Block: b.Name, Points: edit.Words{m.Turn}, Open: open})
			if err != nil {
				t.Errorf("%s %s: %v", b.Name, m.Name, err)
				continue
			}
			after := newState(2, "lantern-row.yaml", text)
			after.compile(compile.Quick, nil)
			after.prove()
			if after.proof == nil || !after.proof.Holds {
				t.Errorf("%s, %s the other way: the proof fails", b.Name, m.Is)
				continue
			}
			for _, k := range viewPress(after, q).(pressView).Block.Seams {
				if k.Name != m.Name || k.From != m.From || k.To != m.To {
					continue
				}
				turned++
				if b.Name == "" {
					ofTop++
				}
				isOpen := k.Way == [2]float64{}
				if !k.Said || k.Of != b.Name || k.Arrow != 1 || isOpen != open || !open && k.Keep != m.Turn {
					t.Errorf("%s, %s: not pressed as was said: %+v", b.Name, m.Is, k)
				}
			}
		}
	}
	if turned < 10 || ofTop < 1 {
		t.Errorf("%d seams were turned, %d of the top", turned, ofTop)
	}
}

// TestCrossingsSpin spins the first crossing that can be, of every block of two documents, as the view writes it: it is spun then, by the writer, and the plan is proven.
func TestCrossingsSpin(t *testing.T) {
	spun := 0
	for _, file := range []string{"../../examples/scrappy.yaml", "../../blocks/nine-patch.yaml"} {
		s := compiledState(t, file)
		for _, b := range viewPress(s, url.Values{}).(pressView).Blocks {
			q := addressOf(b)
			for _, m := range viewPress(s, q).(pressView).Block.Seams {
				if len(m.Spins) == 0 || m.Spins[0].Point == "" || m.Spins[0].Spun {
					continue
				}
				x := m.Spins[0]
				text, err := s.source.Apply(&edit.PressSeam{Block: b.Name, Points: edit.Words{x.Point}, Spun: true})
				if err != nil {
					t.Fatalf("%s %s: %v", b.Name, m.Name, err)
				}
				after := newState(2, file, text)
				after.compile(compile.Quick, nil)
				after.prove()
				if after.proof == nil || !after.proof.Holds {
					t.Errorf("%s, %s spun at %s: the proof fails", b.Name, m.Is, x.Point)
					break
				}
				for _, k := range viewPress(after, q).(pressView).Block.Seams {
					if k.Name == m.Name && k.From == m.From && k.To == m.To {
						if got := k.Spins[0]; !got.Spun || !got.Said || got.Of != b.Name || got.Arrow != 1 {
							t.Errorf("%s, %s is not spun at %s as was said: %+v", b.Name, m.Is, x.Point, got)
						}
						spun++
					}
				}
				break
			}
		}
	}
	if spun < 3 {
		t.Errorf("%d crossings were spun", spun)
	}
}

// TestReasons has words for every reason that a method was taken or not, in every example and with every choice.
func TestReasons(t *testing.T) {
	paths, _ := filepath.Glob("../../examples/*.yaml")
	for _, path := range paths {
		s := compiledState(t, path)
		for _, c := range s.plan().Choices {
			if _, ok := whys[c.Why]; !ok {
				t.Errorf("%s: no words for why “%s”", path, c.Why)
			}
			for _, f := range c.Refused {
				if against[f.Why] == "" {
					t.Errorf("%s: no words for refusing by “%s”", path, f.Why)
				}
			}
			ways := waysOf(s.plan(), c.Unit)
			if ways != nil && (ways.Is == "" || !slices.ContainsFunc(ways.Ways, func(w sewWay) bool { return w.Chosen && w.Why == "" })) {
				t.Errorf("%s: %s is made by “%s”, which is not offered", path, c.Unit, c.Method)
			}
			for _, w := range waysValues(ways) {
				if _, err := s.source.Apply(&edit.Put{At: edit.Path{"make", ways.Key}, Value: edit.Word(w)}); err != nil {
					t.Errorf("%s: %v", path, err)
				}
			}
		}
	}
}

func waysValues(w *sewWays) []string {
	out := []string{}
	if w != nil {
		for _, way := range w.Ways {
			out = append(out, way.Value)
		}
	}
	return out
}

// What is asked for besides the seams: how thick the cloth lies at each crossing, within the block, and what size it comes out, with what is assumed. The
// top has no such size; what is not asked for is not reckoned.
func TestPressAsked(t *testing.T) {
	s := compiledState(t, "../../blocks/friendship-star.yaml")
	s.compile(compile.Full, nil)
	v := viewPress(s, url.Values{"layers": {"1"}, "expect": {"1"}}).(pressView)
	if len(v.Layers) < 4 || v.Thick == "" {
		t.Fatalf("%d crossings: %s", len(v.Layers), v.Thick)
	}
	for _, l := range v.Layers {
		if l.Layers < 4 || l.At[0] <= 0 || l.At[1] <= 0 || l.At[0] >= v.Block.Width || l.At[1] >= v.Block.Height {
			t.Errorf("%d layers at %v of a block of %v by %v", l.Layers, l.At, v.Block.Width, v.Block.Height)
		}
	}
	if n := len(v.Expect); n < 4 || !strings.Contains(v.Expect[n-1], "Assumed, not measured") {
		t.Errorf("to expect: %q", v.Expect)
	}
	if f := s.expect(s.result().Plan); f != s.expect(s.result().Plan) {
		t.Error("what is known is reckoned again")
	}
	if v := viewPress(s, url.Values{}).(pressView); len(v.Layers)+len(v.Expect) > 0 || v.Thick != "" {
		t.Errorf("not asked for: %v, %v", v.Layers, v.Expect)
	}
}

// TestLit lights up every piece of every example where the quilt itself is seen: every patch of the quilt is lit by a piece, every piece of
// the top lights patches up, and a block has those that the quilt has of it.
func TestLit(t *testing.T) {
	paths, _ := filepath.Glob("../../examples/*.yaml")
	for _, path := range paths {
		s := compiledState(t, path)
		r := s.result()
		patches, shining := len(r.Top.Patches), map[string]bool{}
		for _, p := range r.Top.Placed {
			patches += len(r.Blocks[p.Block].Patches)
		}
		for _, piece := range r.Plan.Pieces {
			q := url.Values{"piece": {piece.Label}}
			v := viewSet(s, q).(setView)
			if v.Piece == nil || v.Piece.Label != piece.Label || len(v.Lit) == 0 {
				t.Errorf("%s: piece %s lights up %d patches", path, piece.Label, len(v.Lit))
			}
			for _, outline := range v.Lit {
				shining[fmt.Sprint(outline)] = true
			}
			for _, name := range v.Piece.Blocks {
				if def := s.doc.Named(name); def != nil && len(litPatches(r, def, piece.Label)) == 0 {
					t.Errorf("%s: piece %s is sewn into %s, and its sheet shows nothing of it", path, piece.Label, name)
				}
			}
		}
		for _, b := range s.doc.Blocks {
			if uses(s.doc)[b.Name] == 0 {
				continue
			}
			for _, piece := range r.Plan.Pieces {
				in := litPatches(r, b, piece.Label)
				if len(in) == 0 {
					continue
				}
				d := viewDraft(s, url.Values{"piece": {piece.Label}, "block": {b.Name}}).(draftView)
				if !slices.Equal(d.Block.Lit, in) || slices.Max(in) >= len(d.Block.Patches) {
					t.Errorf("%s: of %s patches %v are lit for %s, not %v", path, b.Name, d.Block.Lit, piece.Label, in)
				}
				break
			}
		}
		if len(shining) != patches {
			t.Errorf("%s: %d of %d patches are lit by a piece", path, len(shining), patches)
		}
		if v := viewSet(s, url.Values{"piece": {"none such"}}).(setView); v.Piece != nil || v.Lit != nil {
			t.Errorf("%s: a piece that is none is lit", path)
		}
	}
}

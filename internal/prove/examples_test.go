package prove_test

import (
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"math/rand"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"quiltwright/internal/compile"
	"quiltwright/internal/plan"
	"quiltwright/internal/prove"
)

func documents(t *testing.T) []string {
	t.Helper()
	var all []string
	for _, dir := range []string{"../../examples/*.yaml", "../../blocks/*.yaml"} {
		files, err := filepath.Glob(dir)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, files...)
	}
	if len(all) < 20 {
		t.Fatalf("%d documents", len(all))
	}
	return all
}

func compiled(t *testing.T, file string) *plan.Plan {
	t.Helper()
	src, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	r := compile.Compile(filepath.Base(file), src, compile.Options{})
	if !r.Plan.Complete {
		t.Fatalf("%s: %v", file, r.Findings)
	}
	return r.Plan
}

// Every plan that the compiler makes holds, also when it is printed to six decimals and read again.
func TestExamplesHold(t *testing.T) {
	for _, file := range documents(t) {
		p := compiled(t, file)
		src, err := plan.Encode(p)
		if err != nil {
			t.Fatal(err)
		}
		back, err := plan.Decode(src)
		if err != nil {
			t.Fatal(err)
		}
		for how, p := range map[string]*plan.Plan{"as made": p, "as printed": back} {
			proof := prove.Prove(p)
			for _, f := range proof.Findings {
				t.Errorf("%s, %s: %s %s %s: %s | %s", filepath.Base(file), how, f.Code, f.Unit, f.Piece, f.Says, f.Remedy)
			}
		}
	}
}

// How many places of each kind of figure are changed in each plan, and which: chance, made from a fixed seed. The long run, some 2,000
// changes to a plan, is go test ./internal/prove -run Injected -injected 12 -timeout 2h.
var (
	injected = flag.Int("injected", 1, "how many figures of each kind are changed in each plan")
	seed     = flag.Int64("seed", 1, "of the choice of figures that are changed")
)

// Errors are put into the plan of every example, of a ring with a partial seam, of squares whose recipe gives two units, of pieces whose points are trimmed and of cloth with motifs: of every kind of figure some are changed, one
// at a time, and the proof finds each and names what it is about.
func TestInjectedErrorsAreFound(t *testing.T) {
	t.Logf("seed %d", *seed)
	files, err := filepath.Glob("../../examples/*.yaml")
	if err != nil || len(files) != 5 {
		t.Fatalf("%v: %d examples", err, len(files))
	}
	for _, file := range append(files, "../../blocks/bright-hopes.yaml", "testdata/hands.yaml", "testdata/tips.yaml", "testdata/motif.yaml") {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".yaml"), func(t *testing.T) {
			t.Parallel()
			inject(t, file)
		})
	}
}

// slides are the figures of a unit's tips that may change: a point of a cut along its line where that runs with an axis, and corners of what a part is trimmed
// to that lie out beyond its cloth.
func slides(p *plan.Plan, i int) (paths []*regexp.Regexp) {
	u := &p.Units[i]
	on := func(part int, q plan.Point) bool { // the line of a cut
		t, sin, cos := u.Parts[part].Pose(), 0.0, 0.0
		sin, cos = math.Sincos(float64(t.Turn) * math.Pi / 180)
		x, y := cos*float64(q[0])-sin*float64(q[1])+float64(t.At[0]), sin*float64(q[0])+cos*float64(q[1])+float64(t.At[1])
		return slices.ContainsFunc(u.Tips, func(t plan.Tip) bool {
			ax, ay, bx, by := float64(t.Line[0][0]), float64(t.Line[0][1]), float64(t.Line[1][0]), float64(t.Line[1][1])
			return t.Part == part && math.Abs((x-ax)*(by-ay)-(y-ay)*(bx-ax)) < 1e-4
		})
	}
	add := func(format string, args ...any) {
		paths = append(paths, regexp.MustCompile("^"+regexp.QuoteMeta(fmt.Sprintf(format, args...))+"$"))
	}
	for k, tip := range u.Tips {
		for axis := range 2 {
			if math.Abs(float64(tip.Line[0][1-axis]-tip.Line[1][1-axis])) < 1e-6 {
				add(".units[%d].tips[%d].line[0][%d]", i, k, axis)
				add(".units[%d].tips[%d].line[1][%d]", i, k, axis)
			}
		}
	}
	for n, r := range p.Recipes {
		for o, op := range r.Do {
			for c, q := range op.To {
				if r.Unit == u.ID && len(u.Tips) > 0 && op.Work < len(u.Parts) && !on(op.Work, q) {
					add(".recipes[%d].do[%d].to[%d][0]", n, o, c)
					add(".recipes[%d].do[%d].to[%d][1]", n, o, c)
				}
			}
		}
	}
	return paths
}

func inject(t *testing.T, file string) {
	index := regexp.MustCompile(`\[\d+\]`)
	var mayChange []*regexp.Regexp
	for _, h := range prove.Harmless {
		mayChange = append(mayChange, regexp.MustCompile(h.Path))
	}
	// A point may slide along the line that is cut; across it, the two plans written by hand try every one.
	mayChange = append(mayChange, regexp.MustCompile(`\.do\[\d+\]\.line\[\d\]\[\d\]$`))
	// How little cloth could do is the solver's claim; above what is used it cannot be.
	mayChange = append(mayChange, regexp.MustCompile(`^\.fabrics\[\d+\]\.bound$`))
	if strings.HasSuffix(file, "bright-hopes.yaml") || strings.HasSuffix(file, "hands.yaml") {
		// The seams of a ring, and the last of a three-triangle square, meet two parts on one side: toward either is the same.
		mayChange = append(mayChange, regexp.MustCompile(`\.toward$`))
	}
	if strings.HasSuffix(file, "motif.yaml") {
		// Another size makes no difference as long as the same patches have room for the motif; a distance that is not there is 0.
		mayChange = append(mayChange, regexp.MustCompile(`\.motif\.size$|\.motif\.every shortened$`))
	}
	// Of a line through 0, 0 either end will do.
	mayChange = append(mayChange, regexp.MustCompile(`\.(line|along) shortened$`))
	p := compiled(t, file)
	for i := range p.Units {
		mayChange = append(mayChange, slides(p, i)...)
	}
	src, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	recipes := map[string]int{} // for each unit
	for _, r := range p.Recipes {
		recipes[r.Unit]++
	}
	for i, r := range p.Recipes {
		if recipes[r.Unit] == 1 {
			// A unit that is made one way only is the same under either number; 2 and more are tried on units made both ways.
			mayChange = append(mayChange, regexp.MustCompile(fmt.Sprintf(`^\.recipes\[%d\]\.way$`, i)))
		}
	}
	made := map[string]bool{"top": true}
	for _, b := range p.Blocks {
		made["block "+b.ID] = true
	}
	for i, d := range p.Drawn {
		if !made[d.Of] { // only within other blocks, which draw it again
			mayChange = append(mayChange, regexp.MustCompile(fmt.Sprintf(`^\.drawn\[%d\]`, i)))
		}
	}
	for i, r := range p.Recipes {
		if r.Method == "strip set" { // the needle may begin before the strips do, and run on
			mayChange = append(mayChange, regexp.MustCompile(fmt.Sprintf(`^\.recipes\[%d\]\.do\[\d+\]\.along\[\d\]\[0\]$`, i)))
			if first := slices.IndexFunc(r.Do, func(o plan.Op) bool { return o.Op == "cut" }); first >= 0 && r.Do[first].Line[0][0] >= 1 {
				// A strip may be laid as far on as is squared off its end.
				mayChange = append(mayChange, regexp.MustCompile(fmt.Sprintf(`^\.recipes\[%d\]\.do\[\d+\]\.at\[0\]$`, i)))
			}
		}
	}
	for i, u := range p.Units {
		for k, j := range u.Joins {
			if j.Kind == "partial" || j.Kind == "set in" {
				// Where both sides lie in place already and are folded together, neither is laid on the other.
				mayChange = append(mayChange, regexp.MustCompile(fmt.Sprintf(`^\.units\[%d\]\.joins\[%d\]\.top$`, i, k)))
			}
		}
	}
	var root map[string]any
	if err := json.Unmarshal(src, &root); err != nil {
		t.Fatal(err)
	}
	type place struct {
		path string
		v    any
		set  func(any)
	}
	kinds := map[string][]place{}
	prove.Visit("", any(root), nil, func(path string, v any, set func(any)) {
		for _, h := range mayChange {
			if h.MatchString(path) {
				return
			}
		}
		k := index.ReplaceAllString(path, "[]")
		kinds[k] = append(kinds[k], place{path, v, set})
	})
	var order []string
	for k := range kinds {
		slices.SortFunc(kinds[k], func(a, b place) int { return strings.Compare(a.path, b.path) })
		order = append(order, k)
	}
	slices.Sort(order)
	random := rand.New(rand.NewSource(*seed))
	changes := 0
	for n, k := range order {
		picked := random.Perm(len(kinds[k]))
		if prove.Slower > 1 && n%8 != 0 { // it takes many times as long, and make check runs the whole sample without it too
			continue
		}
		for _, i := range picked[:min(*injected, len(picked))] {
			x := kinds[k][i]
			others := prove.Others(x.v)
			if turn, ok := x.v.(float64); ok && strings.HasSuffix(x.path, ".turn") {
				others = []any{turn + 1, turn - 1} // an eighth of a degree is less than the ease
			}
			for _, o := range others {
				x.set(o)
				changed := with(t, p, root, x.path)
				x.set(x.v)
				if changed == nil {
					continue
				}
				changes++
				proof := prove.Prove(changed)
				if proof.Holds {
					t.Errorf("it holds with %s changed from %.60s to %.60s", x.path, fmt.Sprint(x.v), fmt.Sprint(o))
				} else if !named(about(p, x.path), proof.Findings) {
					t.Errorf("with %s changed from %.60s to %.60s no finding names one of %v: %s %s %s: %s", x.path, fmt.Sprint(x.v), fmt.Sprint(o), about(p, x.path),
						proof.Findings[0].Code, proof.Findings[0].Unit, proof.Findings[0].Piece, proof.Findings[0].Says)
				}
			}
		}
	}
	t.Logf("%d changes of %d kinds", changes, len(order))
	if changes == 0 {
		t.Error("nothing was changed")
	}
}

// with is the plan with the value of one key of its root, that in which path lies, read from root; nil where that is no plan. The rest
// is the plan's own, which saves most of the time of this test.
func with(t *testing.T, p *plan.Plan, root map[string]any, path string) *plan.Plan {
	t.Helper()
	key := regexp.MustCompile(`^\.[A-Za-z]+`).FindString(path)[1:]
	text, err := json.Marshal(map[string]any{key: root[key]})
	if err != nil {
		t.Fatal(err)
	}
	var one plan.Plan
	if json.Unmarshal(text, &one) != nil {
		return nil
	}
	changed := *p
	from, to := reflect.ValueOf(&one).Elem(), reflect.ValueOf(&changed).Elem()
	for i := range from.NumField() {
		if name, _, _ := strings.Cut(from.Type().Field(i).Tag.Get("json"), ","); name == key {
			to.Field(i).Set(from.Field(i))
			return &changed
		}
	}
	t.Fatalf("a plan has no key %s", key)
	return nil
}

// No chain may be numbered otherwise, whichever: steps that need one another are never fed through together, those that could be always are.
func TestEveryChainNumberIsChecked(t *testing.T) {
	p := compiled(t, "../../examples/on-point.yaml")
	chains := 0
	for i := range p.Steps {
		if i > 0 && p.Steps[i].Chain == p.Steps[i-1].Chain && p.Steps[i].Chain > 0 {
			chains++
		}
		for _, by := range []int{-1, 1} {
			p.Steps[i].Chain += by
			if proof := prove.Prove(p); proof.Holds || proof.Findings[0].Code != "chain" {
				t.Errorf("step %d: chain %d for %d: %v", i+1, p.Steps[i].Chain, p.Steps[i].Chain-by, proof.Findings)
			}
			p.Steps[i].Chain -= by
		}
	}
	if chains == 0 {
		t.Error("nothing is fed through together")
	}
}

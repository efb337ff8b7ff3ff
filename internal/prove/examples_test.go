package prove_test

import (
	"encoding/json"
	"fmt"
	"math/rand"
	"os"
	"path/filepath"
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

// Errors are put into the plans of examples: of every kind of figure a few, chosen by a fixed seed, are changed one at a time.
func TestInjectedErrorsAreFound(t *testing.T) {
	index := regexp.MustCompile(`\[\d+\]`)
	var mayChange []*regexp.Regexp
	for _, h := range prove.Harmless {
		mayChange = append(mayChange, regexp.MustCompile(h.Path))
	}
	// A point may slide along the line that is cut; across it, the two plans written by hand try every one.
	mayChange = append(mayChange, regexp.MustCompile(`\.do\[\d+\]\.line\[\d\]\[\d\]$`))
	// How little cloth could do is the solver's claim; above what is used it cannot be.
	mayChange = append(mayChange, regexp.MustCompile(`^\.fabrics\[\d+\]\.bound$`))
	random := rand.New(rand.NewSource(1))
	for _, name := range []string{"on-point", "centimetres", "../blocks/bright-hopes"} {
		src, err := json.Marshal(compiled(t, "../../examples/"+name+".yaml"))
		if err != nil {
			t.Fatal(err)
		}
		var root any
		if err := json.Unmarshal(src, &root); err != nil {
			t.Fatal(err)
		}
		type place struct {
			path string
			v    any
			set  func(any)
		}
		kinds := map[string][]place{}
		prove.Visit("", root, nil, func(path string, v any, set func(any)) {
			for _, h := range mayChange {
				if h.MatchString(path) {
					return
				}
			}
			if strings.HasSuffix(name, "bright-hopes") && strings.HasSuffix(path, ".toward") {
				return // the seams of a ring meet two parts on one side: toward either is the same
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
		changes := 0
		for _, k := range order {
			for range 2 {
				x := kinds[k][random.Intn(len(kinds[k]))]
				for _, o := range prove.Others(x.v) {
					x.set(o)
					changed, err := json.Marshal(root)
					x.set(x.v)
					if err != nil {
						t.Fatal(err)
					}
					p, err := plan.Decode(changed)
					if err != nil {
						continue
					}
					changes++
					if prove.Prove(p).Holds {
						t.Errorf("%s holds with %s changed from %.60s to %.60s", name, x.path, fmt.Sprint(x.v), fmt.Sprint(o))
					}
				}
			}
		}
		t.Logf("%s: %d changes", name, changes)
	}
}

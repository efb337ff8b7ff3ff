package audit

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"quiltwright/internal/compile"
	"quiltwright/internal/measure"
	"quiltwright/internal/plan"
	_ "quiltwright/internal/seed"
)

var made = struct {
	sync.Mutex
	plans map[string]*plan.Plan
}{plans: map[string]*plan.Plan{}}

// compiled is the plan of an example, quickly made and made once.
func compiled(t interface{ Fatal(...any) }, file string) *plan.Plan {
	made.Lock()
	defer made.Unlock()
	if p := made.plans[file]; p != nil {
		return p
	}
	src, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	r := compile.Compile(filepath.Base(file), src, compile.Options{Effort: compile.Quick})
	if !r.Plan.Complete {
		t.Fatal(file, r.Findings)
	}
	made.plans[file] = r.Plan
	return r.Plan
}

func examples(t interface{ Fatal(...any) }) []string {
	files, err := filepath.Glob("../../examples/*.yaml")
	if err != nil || len(files) < 5 {
		t.Fatal(err, len(files))
	}
	return files
}

// row is a line of a list that a test writes.
type row struct {
	label, fabric, shape string
	width, height        float64
	count                int
}

// own is the list that a plan's own book prints.
func own(p *plan.Plan) []row {
	var out []row
	for _, x := range p.Pieces {
		out = append(out, row{x.Label, x.Fabric, x.Shape, float64(x.Width), float64(x.Height), x.Cut})
	}
	return out
}

func written(rows []row) []byte {
	var b strings.Builder
	b.WriteString("count,remark,height,fabric,width,shape\n")
	for _, r := range rows {
		fmt.Fprintf(&b, "%d,\"large, first\",%.6f,%s,%.6f,%s\n", r.count, r.height, r.fabric, r.width, r.shape)
	}
	return []byte(b.String())
}

func unitOf(p *plan.Plan) measure.Unit {
	if p.Measure == "cm" {
		return measure.Centimetre
	}
	return measure.Inch
}

func compared(t interface{ Fatal(...any) }, p *plan.Plan, list []byte) Result {
	lines, found := Read(list, unitOf(p))
	if found.HasErrors() {
		t.Fatal(found.String(), string(list))
	}
	return Compare(p, lines)
}

// mistakes is every line that is not right, and what is missing.
func mistakes(r Result) []string {
	out := []string{}
	for i, v := range r.Lines {
		if v.Is != Right {
			out = append(out, fmt.Sprintf("%d: %s", i+1, v.Is))
		}
	}
	for _, m := range r.Missing {
		out = append(out, "missing: "+strings.Join(m.Pieces, " "))
	}
	return out
}

func TestOwnListsAreRight(t *testing.T) {
	for _, file := range examples(t) {
		p := compiled(t, file)
		rows := own(p)
		for range 3 {
			slices.Reverse(rows)
			r := compared(t, p, written(rows))
			if !r.Holds || len(mistakes(r)) > 0 || len(r.Findings) > 0 {
				t.Errorf("%s: %v\n%s", file, mistakes(r), r.Findings)
			}
			for i := range rows { // a blank the other way round, and a line in two parts
				rows[i].width, rows[i].height = rows[i].height, rows[i].width
			}
			if n := len(rows) / 2; rows[n].count > 1 {
				more := rows[n]
				more.count = 1
				rows[n].count--
				rows = append(rows, more)
			}
		}
	}
}

// kinds of changes, each with the mistake that it is. A change answers false where it cannot be made or would be another mistake too.
func change(t *rapid.T, p *plan.Plan, rows []row) (changed []row, line int, want Mistake, ok bool) {
	rs := rulesOf(p)
	line = rapid.IntRange(0, len(rows)-1).Draw(t, "line")
	changed = slices.Clone(rows)
	r := &changed[line]
	var n *need
	all := needs(p)
	for _, o := range all {
		if slices.Contains(o.labels, r.label) {
			n = o
		}
	}
	if n == nil {
		return nil, 0, "", false
	}
	alone := len(n.labels) == 1
	s := float64(p.Seam)
	odd := 3 * rs.ease // away from what any other mistake would give, mostly; checked below
	want = rapid.SampledFrom([]Mistake{TooSmall, TooLarge, TooFew, TooMany, Missing, SeamMissing, Finished, Trimmed, OtherMethod, OtherFabric, OtherShape}).Draw(t, "mistake")
	switch want {
	case TooFew:
		if n.max-r.count >= n.min { // others of its size are enough
			return nil, 0, "", false
		}
		r.count = max(0, r.count-(n.max-n.min)-rapid.IntRange(1, 3).Draw(t, "less"))
		if n.max-rows[line].count+r.count >= n.min {
			return nil, 0, "", false
		}
		return changed, line, want, true
	case TooMany:
		r.count += rapid.IntRange(1, 9).Draw(t, "more")
		return changed, line, want, true
	case Missing:
		if !alone {
			return nil, 0, "", false
		}
		return slices.Delete(changed, line, line+1), line, want, true
	case OtherFabric:
		r.fabric = rapid.SampledFrom(p.Fabrics).Draw(t, "fabric").Letter
		if r.fabric == rows[line].fabric || !alone {
			return nil, 0, "", false
		}
		for _, o := range all {
			if o.fabric == r.fabric && (rs.fits(o, r.width, r.height) || rs.piecewise(o, r.width, r.height)) {
				return nil, 0, "", false
			}
		}
		return changed, line, want, true
	case OtherShape:
		if n.class == half && !slices.ContainsFunc(all, func(o *need) bool { return o != n && o.fabric == n.fabric && o.size().near(n.size(), 0.3) }) {
			r.shape = "quarter square"
			return changed, line, want, true
		}
		return nil, 0, "", false
	}
	if !alone {
		return nil, 0, "", false
	}
	switch want {
	case TooSmall:
		r.height -= odd
	case TooLarge:
		r.height += odd
	case SeamMissing:
		if n.strip {
			r.height = n.least[1] - s
		} else {
			r.width = n.least[0] - 2*s
		}
	case Finished:
		switch {
		case n.strip:
			r.height = n.least[1] - 2*s
		case len(n.finished) > 0:
			f := rapid.SampledFrom(n.finished).Draw(t, "finished")
			r.width, r.height = f[0], f[1]
		}
	case Trimmed:
		if n.strip || len(n.sewn) == 0 {
			return nil, 0, "", false
		}
		f := rapid.SampledFrom(n.sewn).Draw(t, "sewn")
		r.width, r.height = f[0], f[1]
	case OtherMethod:
		if n.strip || len(n.legs) == 0 {
			return nil, 0, "", false
		}
		u := rapid.SampledFrom(rs.trade).Draw(t, "trade")
		side := n.legs[0]
		if u.long {
			side = n.longs[0]
		}
		r.width, r.height = side*u.times+u.more, side*u.times+u.more
	}
	if r.width <= 0 || r.height <= 0 {
		return nil, 0, "", false
	}
	for _, o := range all {
		if o.fabric == n.fabric && (rs.fits(o, r.width, r.height) || rs.piecewise(o, r.width, r.height)) {
			return nil, 0, "", false // it is right, for this piece or another
		}
	}
	// Where two mistakes give one size, either name is true.
	if one, _ := rs.explain(n, r.width, r.height, r.count); one != want && coincide(rs, n, *r, want) {
		return nil, 0, "", false
	}
	return changed, line, want, true
}

// coincide reports whether the size has another reason that is just as good: it is what a different mistake gives, to within the nearness at
// which mistakes are told.
func coincide(rs rules, n *need, r row, want Mistake) bool {
	z := sized(r.width, r.height)
	var others []size
	if want != Finished {
		others = append(others, n.finished...)
	}
	if want != Trimmed {
		others = append(others, n.sewn...)
	}
	if want != OtherMethod {
		others = append(others, n.ones...)
		for _, u := range rs.trade {
			for i := range n.legs {
				side := n.legs[i]
				if u.long {
					side = n.longs[i]
				}
				x := side*u.times + u.more
				others = append(others, size{x, x})
			}
		}
	}
	if want != SeamMissing {
		for _, k := range []size{{2, 0}, {0, 2}, {1, 1}, {1, 0}, {0, 1}, {2, 2}} {
			if rs.less(n, r.width, r.height, k) || rs.less(n, r.height, r.width, k) {
				return true
			}
		}
	}
	return slices.ContainsFunc(others, func(o size) bool { return z.near(o, rs.ease) })
}

// Any single change to our own list is recognised as exactly the mistake that it is, and as no other.
func TestSingleChanges(t *testing.T) {
	files := examples(t)
	seen := map[Mistake]int{}
	rapid.Check(t, func(t *rapid.T) {
		p := compiled(t, rapid.SampledFrom(files).Draw(t, "plan"))
		rows := own(p)
		for range 20 {
			changed, line, want, ok := change(t, p, rows)
			if !ok {
				continue
			}
			seen[want]++
			r := compared(t, p, written(changed))
			if want == Missing {
				if got := mistakes(r); len(got) != 1 || got[0] != "missing: "+rows[line].label || r.Holds {
					t.Fatalf("without %s: %v\n%s", rows[line].label, got, r.Findings)
				}
				continue
			}
			got := mistakes(r)
			if len(r.Findings) != 1 || len(got) != 1 {
				t.Fatalf("%s, %+v, was %+v: %v\n%s", want, changed[line], rows[line], got, r.Findings)
			}
			// Too few and too many stand at the last line of the same size.
			if want != TooFew && want != TooMany && got[0] != fmt.Sprintf("%d: %s", line+1, want) || !strings.HasSuffix(got[0], string(want)) {
				t.Fatalf("%s, %+v, was %+v: %v\n%s", want, changed[line], rows[line], got, r.Findings)
			}
			if f := r.Findings[0]; f.At.Line < 2 || f.At.Column < 1 || f.Remedy == "" || r.Holds && f.Severity.String() == "error" {
				t.Fatalf("%+v", f)
			}
		}
	})
	for _, m := range []Mistake{TooSmall, TooLarge, TooFew, TooMany, Missing, SeamMissing, Finished, Trimmed, OtherMethod, OtherFabric} { // OtherShape is rare: TestAnotherShape
		if seen[m] == 0 {
			t.Errorf("%s was never tried", m)
		}
	}
	t.Log(seen)
}

// A square that is cut twice instead of once gives other triangles.
func TestAnotherShape(t *testing.T) {
	tried := 0
	for _, file := range examples(t) {
		p := compiled(t, file)
		for i, r := range own(p) {
			if r.shape != "half square" && r.shape != "quarter square" && r.shape != "half rectangle" {
				continue
			}
			rows := own(p)
			rows[i].shape = "quarter square"
			if r.shape == "quarter square" {
				rows[i].shape = "half square"
			}
			tried++
			got := mistakes(compared(t, p, written(rows)))
			if want := fmt.Sprintf("%d: %s", i+1, OtherShape); len(got) != 1 || got[0] != want {
				t.Errorf("%s, %s cut as a %s: %v", file, r.label, rows[i].shape, got)
			}
		}
	}
	if tried < 5 {
		t.Errorf("%d tried", tried)
	}
}

func TestJSON(t *testing.T) {
	p := compiled(t, "../../examples/one-block.yaml")
	r := compared(t, p, []byte("fabric,width,height,count\nA,1,1,1\n"))
	text, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`"holds":false`, `"is":"too many"`, `"missing":[{"pieces":["`, `"at":{"line":2,"column":3}`} {
		if !strings.Contains(string(text), want) {
			t.Errorf("no %s in %s", want, text)
		}
	}
}

func TestFabricsByName(t *testing.T) {
	p := compiled(t, "../../examples/lantern-row.yaml")
	rows := own(p)
	for i := range rows {
		for _, f := range p.Fabrics {
			if f.Letter == rows[i].fabric {
				rows[i].fabric = []string{f.Name, strings.ToUpper(f.Name), f.Letter + " " + f.Name, strings.ToLower(f.Letter)}[i%4]
			}
		}
	}
	if r := compared(t, p, written(rows)); !r.Holds {
		t.Errorf("%v\n%s", mistakes(r), r.Findings)
	}
	rows[0].fabric = "Fogg"
	r := compared(t, p, written(rows))
	if r.Holds || !strings.Contains(r.Findings.String(), "did you mean “Fog”?") {
		t.Errorf("%s", r.Findings)
	}
}

package compile

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"quiltwright/internal/plan"
)

// What is said of other widths and methods is what a document that says so buys.
func TestOtherwiseIsWhatSuchADocumentBuys(t *testing.T) {
	src, err := os.ReadFile("../../examples/on-point.yaml")
	if err != nil {
		t.Fatal(err)
	}
	r := Compile("on-point", src, Options{})
	r.Otherwise(Options{})
	said := 0
	for i, f := range r.Plan.Fabrics {
		is := map[string]plan.Num{}
		for _, x := range f.Instead {
			if x.Amount == f.Buy.Amount {
				t.Errorf("%s: %+v is what is bought", f.Letter, x)
			}
			if x.Way == "width" {
				is[fmt.Sprint(float64(x.Width))] = x.Amount
			}
		}
		for _, w := range []string{"42", "44", "108"} {
			name := "  " + f.Letter + ": {"
			other := strings.Replace(string(src), name, name+"width: "+w+", ", 1)
			if other == string(src) {
				t.Fatalf("the example names no fabric %s", f.Letter)
			}
			q := Compile("other", []byte(other), Options{})
			if !q.Plan.Complete {
				t.Fatalf("%s of %s: %v", f.Letter, w, q.Findings)
			}
			want := q.Plan.Fabrics[i].Buy.Amount
			if got, ok := is[w]; ok && got != want || !ok && want != f.Buy.Amount {
				t.Errorf("%s from cloth %s wide: %v, said to be %v", f.Letter, w, want, got)
			} else if ok {
				said++
			}
		}
	}
	if said == 0 {
		t.Error("no width changes anything")
	}
	if b := r.Plan.Finish.Backing; b == nil || len(b.Instead) == 0 || b.Instead[len(b.Instead)-1].Amount >= b.Amount {
		t.Errorf("the backing: %+v", b)
	}
}

// A method is offered only where it takes less cloth in all.
func TestMethodsThatTakeLessCloth(t *testing.T) {
	src, err := os.ReadFile("../../examples/lantern-row.yaml")
	if err != nil {
		t.Fatal(err)
	}
	opt := Options{Effort: Quick}
	r := Compile("lantern-row", src, opt)
	r.Otherwise(opt)
	sums, found := map[string]float64{}, false
	for _, f := range r.Plan.Fabrics {
		for _, x := range f.Instead {
			if x.Way == "make" {
				sums[x.Make] += float64(x.Amount - f.Buy.Amount)
				found = true
			}
		}
	}
	for way, more := range sums {
		if more > -1e-9 {
			t.Errorf("“%s” takes %g yd more", way, more)
		}
	}
	if !found {
		t.Error("no method takes less")
	}
	before := len(r.Plan.Fabrics[0].Instead)
	r.Plan.Complete = false
	if r.Otherwise(opt); len(r.Plan.Fabrics[0].Instead) != before {
		t.Error("a plan that is not complete is laid otherwise")
	}
}

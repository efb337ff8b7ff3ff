package compile

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"quiltwright/internal/plan"
	"quiltwright/internal/words"
)

// Every method of a batch is sewn by the proof and told in the words a teacher would use; what it is not offered for, the plan says why.
func TestMethodsAreProvenAndTold(t *testing.T) {
	const head = `format: 1
quilt: Ways
make: {%s}
fabrics:
  A: {name: Pale, color: "#f4efe2"}
  B: {name: Deep, color: "#2b3a45"}
  C: {name: Red, color: "#a03020"}
  D: {name: Green, color: "#307040"}
  E: {name: Blue, color: "#305080", sold: fat eighth}
blocks:
  Trial: {size: 6, rows: [%s]}
set: {rows: [[Trial, Trial], [Trial, Trial]]}
`
	for _, c := range []struct {
		name, make, rows, kind string
		method, refused        string
		makes                  int
		says                   []string
	}{
		{"eights", "half squares: eights", "[half square A B]", "half square", "eights", "", 8, []string{
			"Draw both diagonals on the wrong side of **B1**. Lay **B1** on **A1**, right sides together. Sew 1/4 in either side of the two lines.",
			"Cut from top to bottom, 6 7/8 in from the left edge. Cut from side to side, 6 7/8 in from the top edge. Cut on the line."}},
		{"eights of small ones, by count", "half squares: auto", "[half square A B, half square A B, half square B A], [half square A B, half square A B, half square B A], [half square B A, half square A B, half square B A]",
			"half square", "eights", "", 8, nil},
		{"eights refused for a few", "half squares: auto", "[half square A B]", "half square", "pairs", "eights surplus", 2, nil},
		{"hourglasses of two", "hourglass: pairs", "[hourglass A B]", "hourglass", "pairs", "", 2, []string{
			"Draw a line from corner to corner across the seam on the wrong side of one half square. Lay two half squares right sides together, seam on seam: **B1** on **A1**, **A1** on **B1**. Sew 1/4 in either side of the line."}},
		{"hourglasses of three, facing up", "hourglass: pairs", "[hourglass A B C B]", "hourglass", "pairs", "", 4, []string{"**B1** on **A1**, **C1** on **B1**."}},
		{"hourglasses of three, facing across", "hourglass: pairs", "[hourglass B A B C@90]", "hourglass", "pairs", "", 4, nil},
		{"hourglasses of four", "hourglass: pairs", "[hourglass A B C D]", "hourglass", "joined", "pairs hands", 1, nil},
		{"eights of large ones on narrow cloth", "half squares: eights", "[half square A E]", "half square", "pairs", "eights cloth", 2, nil},
		{"three triangles", "three triangles: pairs", "[three triangles A B C]", "three triangles", "joined", "pairs hands", 1, nil},
		{"hourglasses, left open", "hourglass: auto", "[hourglass A B]", "hourglass", "joined", "pairs open", 1, nil},
		{"hourglasses, trimmed", "hourglass: pairs, fit: trim", "[hourglass A B]", "hourglass", "pairs", "", 2, []string{"Trim to 6 1/2 in square, the seams through the corners."}},
		{"flips", "square in square: flips", "[square in square A B]", "square in a square", "flips", "", 1, []string{
			"Lay **B1** on the upper left corner of **A1**, right sides together. Sew on the line. Cut the corner off 1/4 in beyond the seam."}},
		{"flips of five", "square in square: flips", "[square in square A B C D B]", "square in a square", "flips", "", 1, nil},
		{"flips between the marks", "square in square: flips", "[square in square A B, A, A, A, A], [A, A, A, A, A], [A, A, A, A, A], [A, A, A, A, A], [A, A, A, A, A]",
			"square in a square", "joined", "flips ruler", 1, nil},
		{"flips, left open", "square in square: auto", "[square in square A B]", "square in a square", "joined", "flips cloth", 1, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := Compile("ways.yaml", fmt.Appendf(nil, head, c.make, c.rows), Options{Proof: true})
			if !r.Plan.Complete || !r.Plan.Proof.Holds {
				t.Fatal(r.Findings, r.Plan.Proof)
			}
			made := 0
			for i := range r.Units {
				u := &r.Units[i]
				if !u.Made || string(u.Shape.Kind) != c.kind {
					continue
				}
				made++
				no := ""
				for _, f := range u.Refused {
					no += f.Method + " " + f.Why
				}
				if u.Method != c.method || u.Recipe.Yield != c.makes || c.refused != "" && no != c.refused {
					t.Errorf("%s is made by %s, %d at once, refused %q; want %s, %d, %q", u.Shape.Kind, u.Method, u.Recipe.Yield, no, c.method, c.makes, c.refused)
				}
			}
			if made == 0 {
				t.Fatalf("no %s among the units", c.kind)
			}
			// A wish that does not hold is said at the place where it stands.
			if asked := strings.HasSuffix(c.refused, " hands") || c.refused == "eights cloth" || c.refused == "flips ruler"; asked != slices.ContainsFunc(r.Plan.Findings, func(f plan.Finding) bool { return f.Code == "method" }) {
				t.Errorf("refused %q, found %v", c.refused, r.Plan.Findings)
			}
			var all []string
			tell := words.Of(r.Plan)
			for i := range r.Plan.Steps {
				all = append(all, strings.ReplaceAll(string(tell.Step(i).Do), "\u00a0", " "))
			}
			for _, s := range c.says {
				if !strings.Contains(strings.Join(all, "\n"), s) {
					t.Errorf("no step says “%s”:\n%s", s, strings.Join(all, "\n"))
				}
			}
		})
	}
}

// Cabins that are alike are sewn together, round by round: the same log is sewn to all of them in one chain before the next.
func TestLogCabinsAreSewnInChains(t *testing.T) {
	r := Compile("cabins.yaml", []byte(`format: 1
quilt: Cabins
fabrics:
  A: {name: Pale, color: "#f4efe2"}
  B: {name: Deep, color: "#2b3a45"}
  C: {name: Red, color: "#a03020"}
blocks:
  Cabin: {size: 7 1/2, rows: [[log cabin C A A B B A A B B]]}
set: {rows: [[Cabin, Cabin@90], [Cabin@270, Cabin@180]]}
`), Options{Proof: true})
	if !r.Plan.Complete || !r.Plan.Proof.Holds {
		t.Fatal(r.Findings, r.Plan.Proof)
	}
	whole := 0.0
	logs := 0
	for _, s := range r.Plan.Steps {
		if s.Size == nil || s.Stage == "top" {
			continue
		}
		logs++
		size := float64(s.Size[0] * s.Size[1])
		if s.Makes != 4 {
			t.Errorf("step %d, %s, makes %d of the four cabins", s.Chain, s.Says.Verb, s.Makes)
		}
		if size <= whole {
			t.Errorf("step %d comes out %v: no log more than before", s.Chain, *s.Size)
		}
		whole = size
	}
	if logs != 8 {
		t.Errorf("%d logs are sewn on, want 8", logs)
	}
}

// Between the marks of the ruler a rectangle with flipped corners would come out too large: geese and snowballs are sewn from triangles there.
func TestNoFlipsBetweenTheMarks(t *testing.T) {
	for _, rows := range []string{"columns: [2, 1], heights: [1, 2], rows: [[goose A B, A], [A, A]]", "rows: [[snowball A B, A, A], [A, A, A], [A, A, A]]"} {
		r := Compile("off.yaml", fmt.Appendf(nil, `format: 1
quilt: Off
fabrics:
  A: {name: Pale, color: "#f4efe2"}
  B: {name: Deep, color: "#2b3a45"}
blocks:
  Trial: {size: 7, %s}
`, rows), Options{Proof: true})
		if !r.Plan.Complete || !r.Plan.Proof.Holds {
			t.Errorf("%s: %v %v", rows, r.Findings, r.Plan.Proof)
			continue
		}
		for i := range r.Units {
			if u := &r.Units[i]; u.Made && u.Method == "flips" {
				t.Errorf("%s: a %s is made by flips", rows, u.Shape.Kind)
			}
		}
	}
}

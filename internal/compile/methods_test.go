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
		{"three triangles, both hands", "three triangles: auto", "[three triangles A B C, three triangles A C B@90], [three triangles A C B, three triangles A B C]", "three triangles", "pairs", "", 2, []string{
			"Draw a line from corner to corner on the wrong side of **A1**. Lay **A1** on each half, right sides together, its line across the seam. Sew 1/4 in either side of the line.",
			"Cut on the line. Press toward the pieced side."}},
		{"three triangles, one hand", "three triangles: pairs", "[three triangles A B C]", "three triangles", "pairs", "", 2, nil},
		{"three triangles, one hand, left open", "three triangles: auto", "[three triangles A B C]", "three triangles", "joined", "pairs hands", 1, nil},
		{"three triangles, few of one hand", "three triangles: auto", "[three triangles A B C, three triangles A B C, three triangles A B C], [three triangles A B C, three triangles A B C, three triangles A B C], [three triangles A B C, three triangles A B C, three triangles A B C@m]",
			"three triangles", "joined", "pairs surplus", 1, nil},
		{"three triangles from triangles", "three triangles: singles", "[three triangles A B C, three triangles A B C@m], [three triangles A B C, three triangles A B C@m]", "three triangles", "joined", "pairs make", 1, nil},
		{"three triangles of two fabrics", "three triangles: pairs", "[three triangles A B B]", "three triangles", "joined", "pairs small", 1, nil},
		{"three triangles, trimmed", "three triangles: pairs, fit: trim", "[three triangles A B C, three triangles A B C@m], [three triangles A B C, three triangles A B C@m]", "three triangles", "pairs", "", 2, []string{"Trim to 3 1/2 in square, the seams through the corners."}},
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
				if u.Method != c.method || r.Units[u.Maker].Recipe.Yield != c.makes || c.refused != "" && no != c.refused {
					t.Errorf("%s is made by %s, %d at once, refused %q; want %s, %d, %q", u.Shape.Kind, u.Method, r.Units[u.Maker].Recipe.Yield, no, c.method, c.makes, c.refused)
				}
			}
			if made == 0 {
				t.Fatalf("no %s among the units", c.kind)
			}
			// A wish that does not hold is said at the place where it stands.
			if asked := c.refused == "pairs hands" && !strings.Contains(c.make, "auto") || c.refused == "pairs small" || c.refused == "eights cloth" || c.refused == "flips ruler"; asked != slices.ContainsFunc(r.Plan.Findings, func(f plan.Finding) bool { return f.Code == "method" }) {
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

// Of what a batch of three-triangles squares makes and nothing takes, the plan says how many there are, and so do the last of its steps and the pages.
func TestUnwantedHandsAreLeftOver(t *testing.T) {
	const head = `format: 1
quilt: Hands
make: {three triangles: pairs}
fabrics:
  A: {name: Pale, color: "#f4efe2"}
  B: {name: Deep, color: "#2b3a45"}
  C: {name: Red, color: "#a03020"}
blocks:
`
	for _, c := range []struct {
		name, doc string
		over      []int // of each hand, the one that is needed first
		months    [][2]int
		says      []string
	}{
		{"one hand", "  Three: {size: [32, 8], rows: [[three triangles A B C, A, three triangles A B C, three triangles A B C]]}\nset: {rows: [[Three]]}\n", []int{1, 4}, nil,
			[]string{"makes 4 each of no. 1 and no. 2, its mirror image", "1 of no. 1 left over", "4 of no. 2 left over"}},
		{"the other hand later", `  One: {size: [16, 8], rows: [[three triangles A B C, A]]}
  Two: {size: [16, 8], rows: [[three triangles A B C@m, B]]}
set: {rows: [[One, One], [Two, Two], [One, Two]]}
months:
  - {title: First, blocks: {One: 3}}
  - {title: Second, blocks: {Two: 3}, set: true}
`, []int{1, 1}, [][2]int{{4, 3}, {4, 0}, {0, 3}}, []string{"1 of no. 1 left over", "1 of no. 2 left over"}},
		{"both, spare", "  One: {size: [16, 8], rows: [[three triangles A B C, three triangles A B C@m]]}\nset: {rows: [[One]]}\n", []int{0, 0}, nil, nil},
	} {
		doc := head + c.doc
		if c.name == "both, spare" {
			doc = strings.Replace(doc, "pairs}", "pairs, spare: 100%}", 1)
		}
		r := Compile("hands.yaml", []byte(doc), Options{Proof: true})
		if !r.Plan.Complete || !r.Plan.Proof.Holds {
			t.Errorf("%s: %v %v", c.name, r.Findings, r.Plan.Proof)
			continue
		}
		var over []int
		var months [][2]int
		for _, u := range r.Plan.Units {
			if u.Kind != "three triangles" {
				continue
			}
			over = append(over, u.Surplus)
			for _, m := range u.Months {
				if c.months != nil {
					months = append(months, [2]int{m.Made, m.Used})
				}
			}
		}
		if !slices.Equal(over, c.over) || !slices.Equal(months, c.months) {
			t.Errorf("%s: %v left over, made and used by month %v; want %v and %v", c.name, over, months, c.over, c.months)
		}
		var notes []string
		tell := words.Of(r.Plan)
		for i := range r.Plan.Steps {
			for _, n := range tell.Step(i).Notes {
				notes = append(notes, strings.ReplaceAll(string(n), "\u00a0", " "))
			}
		}
		for _, s := range c.says {
			if !slices.Contains(notes, s) {
				t.Errorf("%s: no step says “%s”: %q", c.name, s, notes)
			}
		}
	}
}

// The half squares of a batch become both hands: an arrow over their seam in the one presses it in the other, and a second one that contradicts it is left
// out. The last seam is pressed in each as it is best there.
func TestHalfSquaresOfBothHandsArePressedAlike(t *testing.T) {
	const doc = `format: 1
quilt: Hands
fabrics:
  A: {name: Pale, color: "#f4efe2"}
  B: {name: Deep, color: "#2b3a45"}
  C: {name: Red, color: "#a03020"}
blocks:
  Both:
    size: 8
    rows: [[three triangles A B C, three triangles A B C@m], [three triangles A B C@m, three triangles A B C]]
    press: [%s]
`
	for _, c := range []struct {
		arrows string
		press  string
		warns  int
	}{
		{`"17/20,1/2 1/2,17/20 open"`, "open", 0},
		{`"17/20,1/2 1/2,17/20"`, "toward 1", 0},
		{`"1/2,17/20 17/20,1/2"`, "toward 0", 0},
		{`"3/2,17/20 23/20,1/2"`, "toward 0", 0},                        // in the mirror image, toward the same cloth
		{`"17/20,1/2 1/2,17/20", "3/2,17/20 23/20,1/2"`, "toward 1", 1}, // the second the other way
		{`"17/20,1/2 1/4,1/4", "23/20,1/2 7/4,1/4 open"`, "", 0},        // the last seams
	} {
		r := Compile("hands.yaml", fmt.Appendf(nil, doc, c.arrows), Options{Proof: true})
		if !r.Plan.Complete || !r.Plan.Proof.Holds {
			t.Errorf("%s: %v %v", c.arrows, r.Findings, r.Plan.Proof)
			continue
		}
		n := 0
		var last []string
		for _, u := range r.Plan.Units {
			if u.Kind == "three triangles" {
				n++
				if c.press != "" && u.Joins[0].Press != c.press {
					t.Errorf("%s: a half square is pressed %s, want %s", c.arrows, u.Joins[0].Press, c.press)
				}
				last = append(last, u.Joins[1].Press)
			}
		}
		if slices.Sort(last); c.press == "" && !slices.Equal(last, []string{"open", "toward 2"}) {
			t.Errorf("%s: the last seams are pressed %q", c.arrows, last)
		}
		if warns := len(r.Findings); n != 2 || warns != c.warns {
			t.Errorf("%s: %d three-triangle squares, %v", c.arrows, n, r.Findings)
		}
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

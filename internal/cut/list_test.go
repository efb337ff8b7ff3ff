package cut

import (
	"fmt"
	"math"
	"math/rand"
	"os"
	"slices"
	"strings"
	"testing"

	"quiltwright/internal/diag"
	"quiltwright/internal/guillotine"
	"quiltwright/internal/plan"
)

// checkListed cuts the layout's tree up as a blade would: every rectangle's parts fill it, no cut is deeper than the stages
// allow, and what comes off is the list. It shares nothing with what laid it.
func checkListed(l List, rules ListRules, fabrics []ListFabric) error {
	got := map[string]int{}
	size := map[string]Line{}
	want := map[string]int{}
	for _, x := range l.Lines {
		size[x.Fabric+" "+x.Label] = x
		want[x.Fabric+" "+x.Label] += x.Count
	}
	same := func(a, b float64) bool { return math.Abs(a-b) < 1e-6 }
	for _, f := range fabrics {
		var walk func(n *plan.Node, depth int) error
		walk = func(n *plan.Node, depth int) error {
			switch {
			case n.Piece != "":
				x := size[f.Letter+" "+n.Piece]
				w, h := x.Width, x.Height
				if n.Turned {
					if !x.Turn || rules.Fixed {
						return fmt.Errorf("%s may not turn", n.Piece)
					}
					w, h = h, w
				}
				if float64(n.Width) < w-1e-6 || float64(n.Height) < h-1e-6 {
					return fmt.Errorf("%s is %g by %g", n.Piece, float64(n.Width), float64(n.Height))
				}
				got[f.Letter+" "+n.Piece]++
				return nil
			case n.Left != nil:
				return nil
			}
			var sum float64
			pieces := 0
			for i := range n.Parts {
				p := &n.Parts[i]
				if p.Left == nil {
					pieces++
				}
				if n.Cut == "along" {
					sum += float64(p.Width)
				} else {
					sum += float64(p.Height)
				}
				if n.Cut == "along" && !same(float64(p.Height), float64(n.Height)) || n.Cut == "across" && !same(float64(p.Width), float64(n.Width)) {
					return fmt.Errorf("a cut that does not go from edge to edge: %+v", n)
				}
				if err := walk(p, depth+1); err != nil {
					return err
				}
			}
			if n.Cut == "along" && !same(sum, float64(n.Width)) || n.Cut == "across" && !same(sum, float64(n.Height)) {
				return fmt.Errorf("parts of %g by %g add up to %g", float64(n.Width), float64(n.Height), sum)
			}
			// Cuts beyond the stages only trim.
			if most := rules.Stages; pieces > 1 && depth > most {
				return fmt.Errorf("%d pieces by cut %d in %d stages", pieces, depth, most)
			}
			return nil
		}
		var length float64
		for _, st := range f.Layout {
			// Off the bolt the first cut has been made; a sheet is still whole.
			depth := 2
			if st.Stock == "sheet" {
				depth = 1
			}
			if err := walk(st.First, depth); err != nil {
				return err
			}
			length += float64(st.First.Height)
			if !rules.inSheets() && float64(st.First.Width) > rules.Width+1e-6 {
				return fmt.Errorf("a strip of %g", float64(st.First.Width))
			}
		}
		if !rules.inSheets() && !same(length, float64(f.Length)) || rules.inSheets() && len(f.Layout) != f.Sheets {
			return fmt.Errorf("%d stocks of %g in all, said to be %g and %d sheets", len(f.Layout), length, float64(f.Length), f.Sheets)
		}
		// The strips say the same as the layout.
		strips := map[string]int{}
		for _, st := range f.Strips {
			for _, c := range st.Cuts {
				strips[f.Letter+" "+c.Label] += c.Count * st.Count
			}
		}
		for label, n := range want {
			if strings.HasPrefix(label, f.Letter+" ") && strips[label] != n {
				return fmt.Errorf("%s: %d in the strips, %d wanted", label, strips[label], n)
			}
		}
	}
	for label, n := range want {
		if got[label] != n {
			return fmt.Errorf("%s: %d laid, %d wanted", label, got[label], n)
		}
	}
	return nil
}

func TestRandomListsAreLaid(t *testing.T) {
	r := rand.New(rand.NewSource(3))
	for n := range 60 {
		var b strings.Builder
		b.WriteString("fabric,width,height,count,turn\n")
		for range 1 + r.Intn(9) {
			fmt.Fprintf(&b, "%c,%g,%g,%d,%s\n", 'A'+rune(r.Intn(2)), 1+float64(r.Intn(130))/8, 1+float64(r.Intn(130))/8, 1+r.Intn(12), []string{"yes", "no"}[r.Intn(2)])
		}
		l, found := ReadList([]byte(b.String()))
		if len(found) > 0 {
			t.Fatal(found)
		}
		rules := ListRules{Width: 42, Stages: 2 + n%2, Effort: guillotine.Effort(n%3) * 1_000_000}
		if n%5 == 0 {
			rules.Width, rules.Sheet = 0, [2]float64{21, 18}
		}
		fabrics, found := LayList(l, rules)
		if found.HasErrors() {
			t.Fatal(found)
		}
		if err := checkListed(l, rules, fabrics); err != nil {
			t.Fatalf("list %d, %+v: %v\n%s", n, rules, err, b.String())
		}
	}
}

func TestListOfAPublishedKind(t *testing.T) {
	src, err := os.ReadFile("../guillotine/testdata/F01.csv")
	if err != nil {
		t.Fatal(err)
	}
	l, found := ReadList(src)
	if len(found) > 0 {
		t.Fatal(found)
	}
	for stages, want := range map[int]float64{2: 34, 3: 32.5} {
		rules := ListRules{Width: 42, Stages: stages, Effort: guillotine.Normal}
		fabrics, found := LayList(l, rules)
		if len(found) > 0 || len(fabrics) != 1 || float64(fabrics[0].Length) != want {
			t.Errorf("%d stages: %+v %v", stages, fabrics, found)
		}
		if err := checkListed(l, rules, fabrics); err != nil {
			t.Error(err)
		}
	}
}

func TestListsThatAreWrong(t *testing.T) {
	for _, c := range []struct{ src, want string }{
		{"", "the list has no line that is cut"},
		{"width,height,count\n", "the list has no line that is cut"},
		{"width,hight,count\n3,3,3\n", "1:7: a column “hight” is not known"},
		{"width,count\n3,3\n", "1:1: the first line names no column “height”"},
		{"width,width_in,height,count\n3,3,3,3\n", "1:7: the column “width” is there twice"},
		{"width,height,count\nbroad,3,3\n", "2:1: width: "},
		{"width,height,count\n3,0,3\n", "2:3: a height of 0 cannot be cut"},
		{"width,height,count\n3,3,some\n", "2:5: “some” is not a count"},
		{"width,height,count\n3,3,-1\n", "2:5: “-1” is not a count"},
		{"width,height,count\n3,3,0\n", "2:5: none of this blank are cut"},
		{"width,height,count,turn\n3,3,1,maybe\n", "2:7: “maybe” does not say whether it may turn"},
		{"shape,width,height,count\nsquare,3,4,1\n", "2:1: a square of 3 by 4"},
		{"label,width,height,count\nA1,3,4,1\nA1,3,5,1\n", "3:4: A1 has two sizes"},
		{"label,width,height,count,turn\nA1,3,4,1,yes\nA1,3,4,1,no\n", "3:4: A1 may turn in one line and not in another"},
		{"width,height,count,measure\n3,4,1,cm\n3,4,1,inch\n", "3:7: a line in inches in a list in centimetres"},
		{"width,height,count\n\"3,4,1\n", "the line cannot be read"},
		{"width,height,count,turn\n50,50,1,yes\n", "2:1: A1 of 50 by 50 in does not fit across 42 in either way"},
		{"width,height,count,turn\n50,20,1,no\n", "2:1: A1 of 50 by 20 in does not fit across 42 in, and may not turn"},
		{"width,height,count\n3,4,1048576\n", "the list has 1048576 blanks; up to 100000 are laid"},
		{"width,height,count\n3.3,4,1\n", "2:1: 3.3 in of A1 is laid as 3 5/16 in"},
	} {
		l, found := ReadList([]byte(c.src))
		if !found.HasErrors() {
			_, more := LayList(l, ListRules{Width: 42, Stages: 2})
			found.Add(more...)
		}
		said := ""
		for _, f := range found {
			says := f.Says
			if !f.At.IsZero() {
				says = fmt.Sprintf("%d:%d: %s", f.At.Line, f.At.Column, says)
			}
			said += strings.ReplaceAll(says, "\u00a0", " ") + "\n"
		}
		if !strings.Contains(said, c.want) {
			t.Errorf("%q: %s; want %s", c.src, said, c.want)
		}
	}
	l, _ := ReadList([]byte("width,height,count,turn\n3,4,1,yes\n"))
	if _, found := LayList(l, ListRules{Width: 42, Stages: 2, Fixed: true}); !found.HasErrors() {
		t.Error("a line that may turn, with the grain fixed for all")
	}
	l, _ = ReadList([]byte("width,height,count,turn\n20,19,1,no\n"))
	if _, found := LayList(l, ListRules{Sheet: [2]float64{21, 18}, Stages: 2}); !found.HasErrors() {
		t.Error("a blank larger than the sheet")
	}
}

func TestListOfManyKinds(t *testing.T) {
	var b strings.Builder
	b.WriteString("width,height,count\n")
	for n := range 10_000 {
		fmt.Fprintf(&b, "%g,%g,2\n", 1+float64(n%100)/8, 1+float64(n/100)/8)
	}
	l, found := ReadList([]byte(b.String()))
	if len(found) > 0 {
		t.Fatal(found)
	}
	rules := ListRules{Width: 42, Stages: 3, Effort: guillotine.Normal}
	fabrics, found := LayList(l, rules)
	if len(found) != 1 || !strings.Contains(found[0].Says, "10000 kinds, too many to search") {
		t.Errorf("%v", found)
	}
	if err := checkListed(l, rules, fabrics); err != nil {
		t.Error(err)
	}
}

// What is centred on motifs is laid as plain pieces, and that is said once.
func TestListOfMotifs(t *testing.T) {
	l, found := ReadList([]byte("label,width,height,cut,motif\nA1,4.5,4.5,6,yes\nA2,3,3,6,no\nA3,6,6,2,Yes\n"))
	if len(l.Lines) != 3 || len(found) != 1 || found[0].Code != "motif" || found[0].Severity != diag.Hint || !strings.Contains(found[0].Says, "2 of its lines") {
		t.Errorf("%v %v", l, found)
	}
}

func FuzzReadList(f *testing.F) {
	f.Add("fabric,shape,width,height,count,turn\nA,square,3 7/8,3 7/8,27,yes\n# note\n")
	f.Add("label,fabric,name,shape,hand,width,height,measure,cut,each,pieces,spare,samples,surplus,months\nA2,A,Fog,rectangle,,3.875,3.875,inch,24,1,24,0,0,0,1:24\n")
	f.Fuzz(func(t *testing.T, src string) {
		l, found := ReadList([]byte(src))
		if found.HasErrors() {
			return
		}
		for i := range l.Lines {
			l.Lines[i].Count = min(l.Lines[i].Count, 20)
		}
		l.Lines = l.Lines[:min(len(l.Lines), 20)]
		rules := ListRules{Width: 42, Stages: 2}
		fabrics, found := LayList(l, rules)
		if found.HasErrors() {
			return
		}
		if err := checkListed(l, rules, fabrics); err != nil {
			t.Errorf("%v\n%s", err, src)
		}
	})
}

// The check itself finds what is wrong.
func TestTheCheckOfListsCanFail(t *testing.T) {
	l, _ := ReadList([]byte("width,height,count,turn\n12.5,12.5,5,no\n2.5,12.5,12,yes\n1.5,1.5,9,no\n"))
	rules := ListRules{Width: 42, Stages: 3, Effort: guillotine.Quick}
	for name, spoil := range map[string]func(f *ListFabric){
		"a strip gone":    func(f *ListFabric) { f.Layout = f.Layout[1:] },
		"another length":  func(f *ListFabric) { f.Length++ },
		"a piece gone":    func(f *ListFabric) { f.Layout[0].First.Parts = f.Layout[0].First.Parts[1:] },
		"a smaller piece": func(f *ListFabric) { f.Layout[0].First.Parts[0].Width-- },
		"another label":   func(f *ListFabric) { f.Strips[0].Cuts[0].Label = "A9" },
		"turned, but may not": func(f *ListFabric) {
			var turn func(n *plan.Node)
			turn = func(n *plan.Node) {
				n.Turned = n.Piece != ""
				for i := range n.Parts {
					turn(&n.Parts[i])
				}
			}
			turn(f.Layout[0].First)
		},
	} {
		fabrics, found := LayList(l, rules)
		if len(found) > 0 {
			t.Fatal(found)
		}
		if err := checkListed(l, rules, fabrics); err != nil {
			t.Fatal(err)
		}
		spoil(&fabrics[0])
		if checkListed(l, rules, fabrics) == nil {
			t.Errorf("%s: nothing is found", name)
		}
	}
}

// Joined strips are laid as the strips that they are joined from, a bias strip as the square that gives it.
func TestListsOfLongStrips(t *testing.T) {
	for _, c := range []struct {
		line   string
		length float64
		yields map[float64]int // blanks by their width along the strip
	}{
		{"joined strip,2.5,90,2,no,straight", 12.5, map[float64]int{40: 4, 11: 2}},
		{"joined strip,90,2.5,2,no,diagonal", 12.5, map[float64]int{40: 4, 15: 2}},
		{"joined strip,2.5,39,2,no,diagonal", 5, map[float64]int{39: 2}},
		// √(250 × 2 1/2) is 25; of a square of 26 there are 7 strips of √2 × 25 1/2 in.
		{"bias strip,2.5,250,1,,", 26, map[float64]int{26: 1}},
	} {
		l, found := ReadList([]byte("shape,width,height,count,turn,join\n" + c.line + "\n"))
		if len(found) > 0 {
			t.Fatal(found)
		}
		if c.line == "joined strip,2.5,39,2,no,diagonal" {
			l.Lines[0].Width, l.Lines[0].Height = 39, 2.5 // across, for it may not turn
		}
		fabrics, found := LayList(l, ListRules{Width: 40, Stages: 2})
		if len(found) > 0 || float64(fabrics[0].Length) != c.length {
			t.Fatalf("%s: %v long, %v", c.line, fabrics[0].Length, found)
		}
		got := map[float64]int{}
		for _, s := range fabrics[0].Strips {
			for _, k := range s.Cuts {
				got[float64(k.Width)] += s.Count * k.Count
			}
		}
		for w, n := range c.yields {
			if got[w] != n || len(got) != len(c.yields) {
				t.Errorf("%s: cut %v, want %v", c.line, got, c.yields)
			}
		}
	}
	if _, found := ReadList([]byte("width,height,count,join\n2,50,1,glued\n")); !found.HasErrors() {
		t.Error("strips are glued")
	}
}

// Shapes whose angles are known lie end to end. Source: geometry.
func TestListsOfSlantedPieces(t *testing.T) {
	for _, c := range []struct {
		line    string
		rows    []int   // pieces in each strip
		first   float64 // how much of its strip the first row takes
		round   bool
		rules   ListRules
		instead float64 // where they do not nest, the width of each
	}{
		// 3 / sin 45° apart, and 3 for the slant.
		{line: "parallelogram,3,3,9,no,45", rows: []int{8, 1}, first: 8*3*math.Sqrt2 + 3},
		{line: "diamond,3,3,9,no,60", rows: []int{9}, first: 9*3/math.Sin(math.Pi/3) + 3/math.Tan(math.Pi/3)},
		// n triangles take n+1 half sides: 19 of a side of 4 in 40.
		{line: "triangle 60,4,3.5,40,yes,", rows: []int{19, 19, 2}, first: 40, round: true},
		{line: "equilateral,4,3.5,3,yes,", rows: []int{3}, first: 8, round: true},
		{line: "triangle 60,4,3.5,10,no,", instead: 4},
		{line: "trapezoid,8,2,4,yes,45", rows: []int{4}, first: 26, round: true},
		{line: "trapezoid,8,2,4,yes,45", instead: 8, rules: ListRules{Sheet: [2]float64{21, 18}, Stages: 2}},
		{line: "parallelogram,3,3,9,yes,90", instead: 3},
	} {
		l, found := ReadList([]byte("shape,width,height,count,turn,angle\n" + c.line + "\n"))
		if len(found) > 0 {
			t.Fatal(found)
		}
		rules := c.rules
		if rules.Stages == 0 {
			rules = ListRules{Width: 40, Stages: 3}
		}
		fabrics, found := LayList(l, rules)
		if len(found) > 0 {
			t.Fatalf("%s: %v", c.line, found)
		}
		f := fabrics[0]
		if c.instead > 0 {
			if n := f.Strips[0].Cuts[0]; n.Row > 0 || float64(n.Width) != c.instead {
				t.Errorf("%s: %+v", c.line, n)
			}
			continue
		}
		var rows []int
		for _, s := range f.Strips {
			for range s.Count {
				rows = append(rows, s.Cuts[0].Count)
			}
		}
		slices.SortFunc(rows, func(a, b int) int { return b - a })
		if took := float64(f.Strips[0].Cuts[0].Row); !slices.Equal(rows, c.rows) || took < c.first-1e-9 || took > c.first+1.0/64 || f.Strips[0].Cuts[0].Round != c.round {
			t.Errorf("%s: rows of %v, the first takes %g, want %v, %g", c.line, rows, took, c.rows, c.first)
		}
		laid := 0
		for _, s := range f.Layout {
			for _, part := range s.First.Parts {
				if part.Cut != "nested" {
					continue
				}
				laid += len(part.Parts)
				if len(part.Parts) > 1 && part.Parts[1].Round != c.round {
					t.Errorf("%s: %+v", c.line, part.Parts[1])
				}
			}
			if s.First.Cut == "nested" {
				laid += len(s.First.Parts)
			}
		}
		if laid != l.Lines[0].Count || !strings.Contains(f.Rules, "two stages") || !strings.Contains(f.Rules, "full rows") {
			t.Errorf("%s: %d laid, %s", c.line, laid, f.Rules)
		}
	}
	for line, want := range map[string]string{
		"parallelogram,3,3,9,no,":    "a parallelogram of 3 by 3, at which angle?",
		"diamond,3,3,9,no,flat":      "“flat” is not an angle of slanted ends",
		"trapezoid,3,3,9,no,120":     "“120” is not an angle of slanted ends",
		"trapezoid,3,3,9,no,45":      "comes to a point below its top",
		"parallelogram,3,60,2,no,45": "does not fit across 40",
	} {
		l, found := ReadList([]byte("shape,width,height,count,turn,angle\n" + line + "\n"))
		if !found.HasErrors() {
			_, found = LayList(l, ListRules{Width: 40, Stages: 2})
		}
		if len(found) != 1 || !found.HasErrors() || !strings.Contains(found[0].Says, want) {
			t.Errorf("%s: %v, want %s", line, found, want)
		}
	}
}

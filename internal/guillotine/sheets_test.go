package guillotine

import (
	"bufio"
	"encoding/json"
	"fmt"
	"math/rand"
	"os"
	"testing"
)

// checkSheets cuts sheets up and counts what comes off. It shares no code with the solver.
func checkSheets(p SheetProblem, l Sheets) error {
	got := make([]int, len(p.Items))
	n := 0
	var all int64
	for k, sh := range l.Sheets {
		used, err := checkSheet(p, sh)
		if err != nil {
			return fmt.Errorf("sheet %d: %w", k, err)
		}
		n += sh.Count
		size := [2]int64{p.Width, p.Length}
		if sh.Size > 0 {
			size = p.Others[sh.Size-1]
		}
		all += size[0] * size[1] * int64(sh.Count)
		for i, c := range used {
			got[i] += c * sh.Count
		}
	}
	if n != l.Count || all != l.Area {
		return fmt.Errorf("%d sheets of area %d, said to be %d of %d", n, all, l.Count, l.Area)
	}
	if l.Bound > l.Count || l.AreaBound > l.Area || l.Optimal != (l.AreaBound == l.Area) {
		return fmt.Errorf("%d sheets, bound %d, area %d, bound %d, optimal %v", l.Count, l.Bound, l.Area, l.AreaBound, l.Optimal)
	}
	var area int64
	for i, it := range p.Items {
		if got[i] != it.Count {
			return fmt.Errorf("item %d: %d cut, %d needed", i, got[i], it.Count)
		}
		area += it.W * it.H * int64(it.Count)
	}
	if l.AreaBound < area {
		return fmt.Errorf("bound %d is below the area", l.AreaBound)
	}
	return nil
}

// checkSheet returns how many of each item come off one sheet.
func checkSheet(p SheetProblem, sh Sheet) ([]int, error) {
	got := make([]int, len(p.Items))
	across, along := p.Width, p.Length
	if sh.Size > 0 {
		across, along = p.Others[sh.Size-1][0], p.Others[sh.Size-1][1]
	}
	if sh.Along {
		if p.Across {
			return nil, fmt.Errorf("strips along the length")
		}
		across, along = along, across
	}
	left := along
	for _, st := range sh.Strips {
		left -= st.Height * int64(st.Count)
		free := across
		for _, c := range st.Cuts {
			free -= c.Width * int64(c.Count)
			if p.Stages != 3 && (len(c.Parts) != 1 || c.Parts[0].Count != 1) {
				return nil, fmt.Errorf("a stack in two stages")
			}
			var high int64
			for _, part := range c.Parts {
				it := p.Items[part.Item]
				w, h := it.W, it.H
				if part.Turned {
					if !it.Turn {
						return nil, fmt.Errorf("item %d may not turn", part.Item)
					}
					w, h = h, w
				}
				if sh.Along {
					w, h = h, w
				}
				if high += h * int64(part.Count); w > c.Width || high > st.Height {
					return nil, fmt.Errorf("item %d of %d by %d in %d by %d", part.Item, w, h, c.Width, st.Height)
				}
				got[part.Item] += part.Count * c.Count * st.Count
			}
		}
		if free < 0 || free != st.Left {
			return nil, fmt.Errorf("%d left across, said to be %d", free, st.Left)
		}
	}
	if left < 0 || left != sh.Left {
		return nil, fmt.Errorf("%d left along, said to be %d", left, sh.Left)
	}
	return got, nil
}

func TestFatQuarterLists(t *testing.T) {
	ref := reference(t)
	for _, name := range []string{"B01", "B03"} {
		p, length := list(t, name)
		for _, e := range []Effort{Quick, Normal} {
			sp := SheetProblem{Width: p.Width, Length: length, Items: p.Items, Effort: e}
			l, err := LaySheets(sp)
			if err != nil {
				t.Fatal(err)
			}
			if err := checkSheets(sp, l); err != nil {
				t.Errorf("%s: %v", name, err)
			}
			t.Logf("%s effort %d: %d sheets, bound %d, known %v, work %d", name, e, l.Count, l.Bound, ref[name][0], l.Work)
			if l.Bound > int(ref[name][0]) || l.Count > int(ref[name][0])+1 || e == Normal && l.Count > int(ref[name][0]) {
				t.Errorf("%s effort %d: %d sheets, bound %d; %v are known", name, e, l.Count, l.Bound, ref[name][0])
			}
		}
		sp := SheetProblem{Width: p.Width, Length: length, Items: p.Items, Stages: 3, Effort: Normal}
		l, err := LaySheets(sp)
		if err != nil {
			t.Fatal(err)
		}
		if err := checkSheets(sp, l); err != nil {
			t.Errorf("%s in three stages: %v", name, err)
		}
		if want := int(ref[name][3]); l.Count != want || !l.Optimal {
			t.Errorf("%s in three stages: %d sheets, bound %d; want %d", name, l.Count, l.Bound, want)
		}
	}
}

// Yield of squares from an 18 x 22 and an 18 x 21 fat quarter: floor(18/n) x floor(22/n), as printed in
// yield charts of the trade and checked by geometry.
func TestFatQuarterYields(t *testing.T) {
	for _, c := range []struct{ side, from22, from21 int64 }{{16, 99, 90}, {20, 56, 56}, {24, 42, 42}, {28, 30, 30}, {32, 20, 20}} {
		for _, s := range []struct{ width, want int64 }{{176, c.from22}, {168, c.from21}} {
			p := SheetProblem{Width: s.width, Length: 144, Items: []Item{{W: c.side, H: c.side, Count: 500}}}
			sh, got, err := FillSheet(p)
			if err != nil {
				t.Fatal(err)
			}
			if used, err := checkSheet(p, sh); err != nil || used[0] != got[0] {
				t.Errorf("%v, %v, %v", used, got, err)
			}
			if int64(got[0]) != s.want {
				t.Errorf("%d squares of %d eighths from %d by 144; want %d", got[0], c.side, s.width, s.want)
			}
		}
	}
}

func TestRandomListsOnSheets(t *testing.T) {
	r := rand.New(rand.NewSource(4))
	for n := range 300 / sample {
		p := few(r)
		sp := SheetProblem{Width: 168, Length: 144, Items: p.Items, Stages: 2 + n%3/2, Effort: Effort(n % 2)}
		for i := range sp.Items {
			sp.Items[i].W = min(sp.Items[i].W, 144)
			sp.Items[i].H = min(sp.Items[i].H, 144)
		}
		l, err := LaySheets(sp)
		if err != nil {
			t.Fatal(err)
		}
		if err := checkSheets(sp, l); err != nil {
			t.Fatalf("list %d %+v: %v", n, sp, err)
		}
		sh, got, err := FillSheet(sp)
		if err != nil {
			t.Fatal(err)
		}
		used, err := checkSheet(sp, sh)
		if err != nil {
			t.Fatalf("list %d %+v: %v", n, sp, err)
		}
		for i := range used {
			if used[i] != got[i] || used[i] > sp.Items[i].Count {
				t.Fatalf("list %d: %v on the sheet, said to be %v", n, used, got)
			}
		}
	}
}

func TestSheetsThatAreTooSmall(t *testing.T) {
	for _, c := range []struct {
		p    SheetProblem
		want string
	}{
		{SheetProblem{Width: 10, Length: 5, Items: []Item{{W: 6, H: 6, Count: 1, Turn: true}}}, "rectangle 0 of 6 by 6 does not fit across 10"},
		{SheetProblem{Width: 10, Length: 5, Items: []Item{{W: 4, H: 8, Count: 1}}}, "rectangle 0 of 4 by 8 does not fit across 10"},
		{SheetProblem{Width: 10, Length: 0}, "sheets 0 long; 1 to 65536 are possible"},
	} {
		if _, err := LaySheets(c.p); err == nil || err.Error() != c.want {
			t.Errorf("got %v; want %s", err, c.want)
		}
	}
	p := SheetProblem{Width: 10, Length: 5, Items: []Item{{W: 6, H: 6, Count: 1, Turn: true}, {W: 3, H: 8, Count: 2, Turn: true}}}
	if _, got, err := FillSheet(p); err != nil || got[0] != 0 || got[1] != 1 {
		t.Errorf("laid %v, %v; want [0 1]", got, err)
	}
	if l, err := LaySheets(SheetProblem{Width: 10, Length: 5}); err != nil || l.Count != 0 || !l.Optimal {
		t.Errorf("nothing to lay: %+v, %v", l, err)
	}
}

// Source: Hifi 1998, as converted from the data folder of fontanf/packingsolver (MIT); see testdata/README.md.
func TestPublishedStrips(t *testing.T) {
	f, err := os.Open("testdata/strip_hifi1998.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	sc := bufio.NewScanner(f)
	seen, met := 0, 0
	for sc.Scan() {
		var in struct {
			Name  string     `json:"name"`
			Width int64      `json:"strip_width"`
			Items [][3]int64 `json:"items_wh_across_along"`
			Two   int64      `json:"two_stage_trim_fixed_optimum_computed_here"`
		}
		if err := json.Unmarshal(sc.Bytes(), &in); err != nil {
			t.Fatal(err)
		}
		p := Problem{Width: in.Width, Effort: Normal}
		for _, it := range in.Items {
			p.Items = append(p.Items, Item{W: it[0], H: it[1], Count: int(it[2])})
		}
		l, err := Lay(p)
		if err != nil {
			t.Fatalf("%s: %v", in.Name, err)
		}
		if err := check(p, l); err != nil {
			t.Errorf("%s: %v", in.Name, err)
		}
		t.Logf("%s: length %d bound %d optimum %d work %d", in.Name, l.Length, l.Bound, in.Two, l.Work)
		if l.Length != in.Two || l.Bound > in.Two {
			t.Errorf("%s: length %d, bound %d; the optimum is %d", in.Name, l.Length, l.Bound, in.Two)
		}
		seen++
		if l.Optimal {
			met++
		}
	}
	if seen < 12 || met < 8 {
		t.Errorf("%d of %d published strips proven", met, seen)
	}
}

// Source: Hopper and Turton 2000, perfect packings, same converted data: the area is the optimum of any
// cutting, so two stages need at least that.
func TestPerfectPackings(t *testing.T) {
	f, err := os.Open("testdata/strip_hopper2000_zero_waste.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	sc := bufio.NewScanner(f)
	sc.Buffer(nil, 1<<20)
	seen := 0
	for sc.Scan() {
		var in struct {
			Name  string     `json:"name"`
			Bins  [][2]int64 `json:"bins"`
			Items [][3]int64 `json:"items"`
			Area  int64      `json:"area"`
		}
		if err := json.Unmarshal(sc.Bytes(), &in); err != nil {
			t.Fatal(err)
		}
		p := Problem{Width: in.Bins[0][0], Stages: 3}
		for _, it := range in.Items {
			p.Items = append(p.Items, Item{W: it[0], H: it[1], Count: int(it[2]), Turn: true})
		}
		l, err := Lay(p)
		if err != nil {
			t.Fatalf("%s: %v", in.Name, err)
		}
		if err := check(p, l); err != nil {
			t.Errorf("%s: %v", in.Name, err)
		}
		if l.Bound < in.Area/p.Width || l.Length < in.Area/p.Width {
			t.Errorf("%s: length %d, bound %d for an area of %d", in.Name, l.Length, l.Bound, in.Area)
		}
		seen++
	}
	if seen < 70 {
		t.Errorf("%d instances", seen)
	}
}

func BenchmarkQuick(b *testing.B) {
	r := rand.New(rand.NewSource(9))
	var six []Problem
	for len(six) < 6 {
		if p := few(r); len(p.Items) > 3 {
			p.Stages = 2
			six = append(six, p)
		}
	}
	for b.Loop() {
		for _, p := range six {
			if _, err := Lay(p); err != nil {
				b.Fatal(err)
			}
		}
	}
}

func BenchmarkNormal(b *testing.B) {
	p, _ := list(b, "F02")
	p.Effort = Normal
	for b.Loop() {
		if _, err := Lay(p); err != nil {
			b.Fatal(err)
		}
	}
}

// Source: Cintra, Miyazawa, Wakabayashi and Xavier 2008, as converted from the data folder of fontanf/packingsolver (MIT);
// see testdata/README.md. Bins of three sizes, two stages, first cut across, turning; what counts is the area of the bins.
func TestPublishedBins(t *testing.T) {
	f, err := os.Open("testdata/vsbpp_2stage_rotate_cintra2008.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	instances := 0
	for sc := bufio.NewScanner(f); sc.Scan() && (*long || instances < 2); instances++ {
		var in struct {
			Name  string       `json:"name"`
			Bins  [][3]float64 `json:"bins"`
			Items [][3]int64   `json:"items"`
			Best  int64        `json:"best_known"`
			Bound int64        `json:"bound"`
		}
		if err := json.Unmarshal(sc.Bytes(), &in); err != nil {
			t.Fatal(err)
		}
		p := SheetProblem{Width: int64(in.Bins[0][0]), Length: int64(in.Bins[0][1]), Across: true, Effort: Second}
		for _, z := range in.Bins[1:] {
			p.Others = append(p.Others, [2]int64{int64(z[0]), int64(z[1])})
		}
		for _, it := range in.Items {
			p.Items = append(p.Items, Item{W: it[0], H: it[1], Count: int(it[2]), Turn: true})
		}
		l, err := LaySheets(p)
		if err != nil {
			t.Fatalf("%s: %v", in.Name, err)
		}
		if err := checkSheets(p, l); err != nil {
			t.Errorf("%s: %v", in.Name, err)
		}
		over := float64(l.Area-in.Bound) / float64(in.Bound)
		t.Logf("%s: area %d, bound %d, over the known bound %.2f%%; known %d..%d; work %d", in.Name, l.Area, l.AreaBound, 100*over, in.Bound, in.Best, l.Work)
		if l.AreaBound > in.Best || over > 0.003 {
			t.Errorf("%s: area %d, bound %d; known are %d..%d", in.Name, l.Area, l.AreaBound, in.Bound, in.Best)
		}
	}
}

// Sources: Hifi 1997, Tschoke and Holthofer 1995, Cung, Hifi and Le Cun 2000, Fayard, Hifi and Zissimopoulos 1998, Oliveira and
// Ferreira 1990, Wang 1983, as converted from the data folder of fontanf/packingsolver (MIT); see testdata/README.md. One sheet,
// two stages, first cut across or along, nothing turns; all values are proven.
func TestPublishedKnapsacks(t *testing.T) {
	f, err := os.Open("testdata/knapsack_2stage_literature.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	met, seen := 0, 0
	for sc := bufio.NewScanner(f); sc.Scan(); seen++ {
		var in struct {
			Name  string       `json:"name"`
			First string       `json:"first_cut"`
			Bins  [][2]int64   `json:"bins"`
			Items [][4]float64 `json:"items"`
			Best  int64        `json:"best_known"`
		}
		if err := json.Unmarshal(sc.Bytes(), &in); err != nil {
			t.Fatal(err)
		}
		p := SheetProblem{Width: in.Bins[0][0], Length: in.Bins[0][1], Across: true, Effort: Second}
		for _, it := range in.Items {
			p.Items = append(p.Items, Item{W: int64(it[0]), H: int64(it[1]), Count: int(it[2])})
			p.Worth = append(p.Worth, int64(it[3]))
			if it[3] <= 0 { // its area
				p.Worth[len(p.Worth)-1] = int64(it[0] * it[1])
			}
		}
		if in.First == "Vertical" { // seen with the strips lying across
			p.Width, p.Length = p.Length, p.Width
			for i, it := range p.Items {
				p.Items[i].W, p.Items[i].H = it.H, it.W
			}
		}
		sh, got, err := FillSheet(p)
		if err != nil {
			t.Fatalf("%s: %v", in.Name, err)
		}
		used, err := checkSheet(p, sh)
		if err != nil {
			t.Errorf("%s: %v", in.Name, err)
		}
		var worth int64
		for i, n := range used {
			if n != got[i] || n > p.Items[i].Count {
				t.Errorf("%s: %d of item %d, said to be %d", in.Name, n, i, got[i])
			}
			worth += int64(n) * p.Worth[i]
		}
		if worth == in.Best {
			met++
		} else {
			t.Errorf("%s, first cut %s: worth %d; %d is the most", in.Name, in.First, worth, in.Best)
		}
	}
	t.Logf("%d of %d", met, seen)
	if seen != 76 {
		t.Errorf("%d instances", seen)
	}
}

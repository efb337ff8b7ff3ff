package guillotine

import (
	"bufio"
	"errors"
	"flag"
	"fmt"
	"math/rand"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	_ "quiltwright/internal/seed"
)

// check cuts a layout up as a blade would and counts what comes off. It shares no code with the solver.
func check(p Problem, l Layout) error {
	got := make([]int, len(p.Items))
	var length int64
	for n, st := range l.Strips {
		if st.Count < 1 || st.Height < 1 {
			return fmt.Errorf("strip %d: %d times, %d high", n, st.Count, st.Height)
		}
		length += st.Height * int64(st.Count)
		var x int64
		for _, c := range st.Cuts {
			if c.Count < 1 || c.Width < 1 || len(c.Parts) == 0 {
				return fmt.Errorf("strip %d: cut %+v", n, c)
			}
			if p.Stages != 3 && (len(c.Parts) != 1 || c.Parts[0].Count != 1) {
				return fmt.Errorf("strip %d: a stack in two stages", n)
			}
			x += c.Width * int64(c.Count)
			var y int64
			for _, part := range c.Parts {
				it := p.Items[part.Item]
				w, h := it.W, it.H
				if part.Turned {
					if !it.Turn {
						return fmt.Errorf("strip %d: item %d may not turn", n, part.Item)
					}
					w, h = h, w
				}
				if w > c.Width {
					return fmt.Errorf("strip %d: item %d is %d wide in a segment of %d", n, part.Item, w, c.Width)
				}
				y += h * int64(part.Count)
				got[part.Item] += part.Count * c.Count * st.Count
			}
			if y > st.Height {
				return fmt.Errorf("strip %d: %d high in a strip of %d", n, y, st.Height)
			}
		}
		if x+st.Left != p.Width || st.Left < 0 {
			return fmt.Errorf("strip %d: %d used and %d left of %d", n, x, st.Left, p.Width)
		}
	}
	if length != l.Length {
		return fmt.Errorf("length %d, strips make %d", l.Length, length)
	}
	if l.Bound > l.Length || l.Optimal != (l.Bound == l.Length) {
		return fmt.Errorf("length %d, bound %d, optimal %v", l.Length, l.Bound, l.Optimal)
	}
	var area int64
	for i, it := range p.Items {
		if got[i] != it.Count {
			return fmt.Errorf("item %d: %d cut, %d needed", i, got[i], it.Count)
		}
		area += it.W * it.H * int64(it.Count)
	}
	if l.Bound*p.Width < area {
		return fmt.Errorf("bound %d is below the area bound of %d / %d", l.Bound, area, p.Width)
	}
	return nil
}

// A goal ends a search that cannot reach it, and takes nothing from one that can: what is laid is right, and what is said to be proven is.
func TestGoals(t *testing.T) {
	r := rand.New(rand.NewSource(9))
	reached := 0
	for n := range 120 {
		p := Problem{Width: 320, Stages: 2 + n%2, Effort: 1_500_000}
		for range 2 + r.Intn(5) {
			p.Items = append(p.Items, Item{W: 12 + int64(r.Intn(100)), H: 12 + int64(r.Intn(100)), Count: 1 + r.Intn(9), Turn: r.Intn(2) == 0})
		}
		free, err := Lay(p)
		if err != nil {
			t.Fatal(err)
		}
		p.Goal = free.Length - int64(4*r.Intn(3))
		l, err := Lay(p)
		if err != nil {
			t.Fatal(err)
		}
		if err := check(p, l); err != nil {
			t.Fatal(err)
		}
		if l.Bound > free.Length || free.Optimal && l.Length <= p.Goal && free.Length > p.Goal {
			t.Errorf("%d: %d long, proven %d; without a goal %d, proven %d", n, l.Length, l.Bound, free.Length, free.Bound)
		}
		if l.Length > p.Goal && l.Work > free.Work+free.Work/20 {
			t.Errorf("%d: %d steps for a goal out of reach, %d without one", n, l.Work, free.Work)
		}
		if l.Length <= p.Goal {
			reached++
		}
	}
	if reached < 10 || reached > 110 {
		t.Errorf("%d of 120 goals are reached", reached)
	}
}

// eighths reads a length in inches, in eighths.
func eighths(t testing.TB, s string) int64 {
	f, err := strconv.ParseFloat(s, 64)
	if err != nil || f*8 != float64(int64(f*8)) {
		t.Fatalf("%q is not a number of eighths", s)
	}
	return int64(f * 8)
}

// list reads a cutting list; length is 0 where it is free.
func list(t testing.TB, name string) (p Problem, length int64) {
	src, err := os.ReadFile(filepath.Join("testdata", name+".csv"))
	if err != nil {
		t.Fatal(err)
	}
	sc := bufio.NewScanner(strings.NewReader(string(src)))
	for sc.Scan() {
		line := sc.Text()
		switch {
		case strings.HasPrefix(line, "#"):
			for _, f := range strings.Fields(line[1:]) {
				k, v, _ := strings.Cut(f, "=")
				if k == "usable_width_in" {
					p.Width = eighths(t, v)
				}
				if k == "length_in" && v != "free" {
					length = eighths(t, v)
				}
			}
		case strings.HasPrefix(line, "width"):
		default:
			f := strings.Split(line, ",")
			n, _ := strconv.Atoi(f[2])
			p.Items = append(p.Items, Item{W: eighths(t, f[0]), H: eighths(t, f[1]), Count: n, Turn: f[3] == "1"})
		}
	}
	return p, length
}

// reference is what testdata/reference.csv knows: best lengths and proven bounds, in eighths.
func reference(t testing.TB) map[string][4]float64 {
	src, err := os.ReadFile("testdata/reference.csv")
	if err != nil {
		t.Fatal(err)
	}
	out := make(map[string][4]float64)
	for _, line := range strings.Split(strings.TrimSpace(string(src)), "\n")[1:] {
		f := strings.Split(line, ",")
		var v [4]float64
		for i := range v {
			v[i], _ = strconv.ParseFloat(strings.TrimSpace(f[i+1]), 64)
		}
		out[f[0]] = v
	}
	return out
}

// long lays everything that the targets speak of; without it the tests take a fixed sample.
var long = flag.Bool("long", false, "lay the large and the many lists too")

// What each list must reach in a second's work. Two stages: no longer than the best known, the proven ones proven, the gap at most
// so much of the bound. Three stages: no longer than what the public solver finds in 5 s.
func TestFabricLists(t *testing.T) {
	ref := reference(t)
	for _, c := range []struct {
		name string
		gap  float64
	}{{"F01", 0}, {"F02", 0}, {"F04", 0}, {"F06", 0.003}, {"F08", 0.003}, {"F09", 0.006}, {"F11", 0.006}} {
		if !*long && c.name > "F06" {
			break
		}
		p, _ := list(t, c.name)
		known := ref[c.name]
		var area int64
		for _, it := range p.Items {
			area += it.W * it.H * int64(it.Count)
		}
		for p.Stages = 2; p.Stages <= 3; p.Stages++ {
			best := known[0]
			if p.Stages == 3 {
				best = known[3]
			}
			p.Effort = Quick
			quick, err := Lay(p)
			if err != nil {
				t.Fatal(err)
			}
			if err := check(p, quick); err != nil {
				t.Errorf("%s: %v", c.name, err)
			}
			p.Effort = Second
			l, err := Lay(p)
			if err != nil {
				t.Fatal(err)
			}
			if err := check(p, l); err != nil {
				t.Errorf("%s: %v", c.name, err)
			}
			length, bound := float64(l.Length)/8, float64(l.Bound)/8
			t.Logf("%s, %d stages: %.3f, bound %.3f (area %.3f), quick %.3f; known %.3f, work %d", c.name, p.Stages, length, bound, float64(area)/float64(p.Width)/8,
				float64(quick.Length)/8, best, l.Work)
			if length > best || float64(quick.Length)/8 > 1.06*best {
				t.Errorf("%s, %d stages: length %.3f, quickly %.3f; %.3f is known", c.name, p.Stages, length, float64(quick.Length)/8, best)
			}
			if l.Work > int64(Second+Second/10) {
				t.Errorf("%s, %d stages: work %d", c.name, p.Stages, l.Work)
			}
			if p.Stages == 2 && (bound > best || (length-bound)/bound > c.gap) {
				t.Errorf("%s: length %.3f, bound %.3f; known are %.3f to %.3f", c.name, length, bound, known[1], known[0])
			}
			if l.Bound*p.Width <= area {
				t.Errorf("%s, %d stages: bound %d is no better than area", c.name, p.Stages, l.Bound)
			}
		}
	}
}

// few returns a random short cutting list of the kind that quilts have.
func few(r *rand.Rand) Problem {
	p := Problem{Width: 8 * int64(18+r.Intn(28)), Stages: 2 + r.Intn(2)}
	for range r.Intn(7) {
		it := Item{W: 4 + int64(r.Intn(100)), H: 4 + int64(r.Intn(100)), Count: r.Intn(25), Turn: r.Intn(3) > 0}
		if r.Intn(2) == 0 {
			it.H = it.W
		}
		it.W = min(it.W, p.Width)
		p.Items = append(p.Items, it)
	}
	return p
}

func TestManyRandomListsAreLaid(t *testing.T) {
	r := rand.New(rand.NewSource(1))
	lists := 500
	if *long {
		lists = 10_000
	}
	for n := range lists {
		p := few(r)
		p.Effort = Effort(n%3) * 1_500_000
		l, err := Lay(p)
		if err != nil {
			t.Fatalf("list %d: %v", n, err)
		}
		if err := check(p, l); err != nil {
			t.Fatalf("list %d %+v: %v", n, p, err)
		}
	}
}

func TestEffortsAgree(t *testing.T) {
	r := rand.New(rand.NewSource(2))
	const lists = 60 / sample
	proven := 0
	for n := range lists {
		p := few(r)
		p.Stages = 2
		quick, err := Lay(p)
		if err != nil {
			t.Fatal(err)
		}
		p.Effort = Second / 10
		l, err := Lay(p)
		if err != nil {
			t.Fatal(err)
		}
		if err := check(p, l); err != nil {
			t.Fatalf("list %d %+v: %v", n, p, err)
		}
		if l.Length > quick.Length || l.Bound < quick.Bound || l.Bound > quick.Length {
			t.Fatalf("list %d %+v: quick %d..%d, normal %d..%d", n, p, quick.Bound, quick.Length, l.Bound, l.Length)
		}
		if l.Optimal {
			proven++
		}
		again, _ := Lay(p)
		if !reflect.DeepEqual(l, again) {
			t.Fatalf("list %d: two layouts of one list", n)
		}
	}
	t.Logf("%d of %d proven", proven, lists)
	if proven < lists*9/10 {
		t.Errorf("only %d of %d short lists were proven", proven, lists)
	}
}

// least finds the shortest two-stage length by trying everything: strips one after the other, each
// begun by the first item left.
func least(p Problem) int64 {
	type way struct{ w, h int64 }
	var lie [][]way
	for _, it := range p.Items {
		for range it.Count {
			ways := []way{}
			if it.W <= p.Width {
				ways = append(ways, way{it.W, it.H})
			}
			if it.Turn && it.H <= p.Width {
				ways = append(ways, way{it.H, it.W})
			}
			lie = append(lie, ways)
		}
	}
	type open struct{ free, high int64 }
	best := int64(1 << 40)
	var put func(i int, strips []open, length int64)
	put = func(i int, strips []open, length int64) {
		if length >= best {
			return
		}
		if i == len(lie) {
			best = length
			return
		}
		for _, w := range lie[i] {
			for k := range strips {
				if strips[k].free >= w.w {
					was := strips[k]
					strips[k] = open{was.free - w.w, max(was.high, w.h)}
					put(i+1, strips, length+strips[k].high-was.high)
					strips[k] = was
				}
			}
			put(i+1, append(strips, open{p.Width - w.w, w.h}), length+w.h)
		}
	}
	put(0, nil, 0)
	return best
}

func TestAgainstTryingAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Problem{Width: rapid.Int64Range(5, 20).Draw(t, "width"), Effort: Normal}
		left := 8
		for left > 0 {
			n := rapid.IntRange(1, left).Draw(t, "count")
			left -= n
			p.Items = append(p.Items, Item{
				W: rapid.Int64Range(1, p.Width).Draw(t, "w"), H: rapid.Int64Range(1, 15).Draw(t, "h"),
				Count: n, Turn: rapid.Bool().Draw(t, "turn"),
			})
		}
		l, err := Lay(p)
		if err != nil {
			t.Fatal(err)
		}
		if err := check(p, l); err != nil {
			t.Fatal(err)
		}
		want := least(p)
		if l.Bound > want || l.Length < want {
			t.Fatalf("%+v: length %d, bound %d; the least is %d", p, l.Length, l.Bound, want)
		}
		if l.Length != want {
			t.Logf("%+v: length %d; the least is %d", p, l.Length, want)
		}
	})
}

// leastStacked finds the shortest three-stage length by trying everything: each rectangle goes on a stack, beside the stacks of a
// strip, or on a strip of its own; no strip is higher than the tallest rectangle as it may lie.
func leastStacked(p Problem) int64 {
	type way struct{ w, h int64 }
	var lie [][]way
	var tallest int64
	for _, it := range p.Items {
		for range it.Count {
			ways := []way{}
			if it.W <= p.Width {
				ways = append(ways, way{it.W, it.H})
			}
			if it.Turn && it.H <= p.Width {
				ways = append(ways, way{it.H, it.W})
			}
			for _, w := range ways {
				tallest = max(tallest, w.h)
			}
			lie = append(lie, ways)
		}
	}
	best := int64(1 << 40)
	var strips [][]way // stacks of each strip
	measure := func() (length int64, fits bool) {
		for _, st := range strips {
			var wide, high int64
			for _, k := range st {
				wide, high = wide+k.w, max(high, k.h)
			}
			if wide > p.Width || high > tallest {
				return 0, false
			}
			length += high
		}
		return length, true
	}
	var put func(i int)
	put = func(i int) {
		length, fits := measure()
		if !fits || length >= best {
			return
		}
		if i == len(lie) {
			best = length
			return
		}
		for _, w := range lie[i] {
			for k := range strips {
				for j, was := range strips[k] {
					strips[k][j] = way{max(was.w, w.w), was.h + w.h}
					put(i + 1)
					strips[k][j] = was
				}
				strips[k] = append(strips[k], w)
				put(i + 1)
				strips[k] = strips[k][:len(strips[k])-1]
			}
			strips = append(strips, []way{w})
			put(i + 1)
			strips = strips[:len(strips)-1]
		}
	}
	put(0)
	return best
}

func TestThreeStagesAgainstTryingAll(t *testing.T) {
	r := rand.New(rand.NewSource(5))
	met := 0
	const lists = 150
	for range lists {
		p := Problem{Width: 5 + int64(r.Intn(15)), Stages: 3, Effort: 3_000_000}
		for left := 5; left > 0; {
			n := 1 + r.Intn(left)
			left -= n
			p.Items = append(p.Items, Item{W: 1 + r.Int63n(p.Width), H: 1 + int64(r.Intn(15)), Count: n, Turn: r.Intn(2) == 0})
		}
		l, err := Lay(p)
		if err != nil {
			t.Fatal(err)
		}
		if err := check(p, l); err != nil {
			t.Fatal(err)
		}
		want := leastStacked(p)
		if l.Bound > want || l.Length < want {
			t.Fatalf("%+v: length %d, bound %d; the least is %d", p, l.Length, l.Bound, want)
		}
		if l.Length == want {
			met++
		}
	}
	t.Logf("%d of %d are the least", met, lists)
	if met < lists*9/10 {
		t.Errorf("only %d of %d are the least", met, lists)
	}
}

func TestManyKinds(t *testing.T) {
	r := rand.New(rand.NewSource(6))
	for _, stages := range []int{2, 3} {
		p := Problem{Width: 336, Stages: stages, Effort: Normal}
		for range 10_000 {
			p.Items = append(p.Items, Item{W: 4 + r.Int63n(300), H: 4 + r.Int63n(500), Count: 1 + r.Intn(3), Turn: r.Intn(2) == 0})
		}
		l, err := Lay(p)
		if err != nil {
			t.Fatal(err)
		}
		if err := check(p, l); err != nil {
			t.Error(err)
		}
		if l.Length > 2*l.Bound {
			t.Errorf("%d stages: length %d, bound %d", stages, l.Length, l.Bound)
		}
	}
	sp := SheetProblem{Width: 336, Length: 500, Effort: Normal}
	for range 10_000 {
		sp.Items = append(sp.Items, Item{W: 4 + r.Int63n(300), H: 4 + r.Int63n(300), Count: 1 + r.Intn(3), Turn: r.Intn(2) == 0})
	}
	sheets, err := LaySheets(sp)
	if err != nil {
		t.Fatal(err)
	}
	if err := checkSheets(sp, sheets); err != nil {
		t.Error(err)
	}
	if sheets.Count > 2*sheets.Bound {
		t.Errorf("%d sheets, bound %d", sheets.Count, sheets.Bound)
	}
	p := Problem{Width: mostWidth, Stages: 3, Effort: Normal, Items: []Item{{W: 1, H: mostSide, Count: 7}, {W: mostWidth - 1, H: 1, Count: mostCount - 7}}}
	l, err := Lay(p)
	if err != nil {
		t.Fatal(err)
	}
	if err := check(p, l); err != nil {
		t.Error(err)
	}
}

func TestWhatCannotBeLaid(t *testing.T) {
	for _, c := range []struct {
		p    Problem
		want string
	}{
		{Problem{Width: 0}, "stock 0 wide; 1 to 65536 are possible"},
		{Problem{Width: 40, Items: []Item{{W: 0, H: 3, Count: 1}}}, "rectangle 0 is 0 by 3; sides of 1 to 1048576 are possible"},
		{Problem{Width: 40, Items: []Item{{W: 3, H: 3, Count: -1}}}, "rectangle 0 is wanted -1 times; 0 to 1048576 in all are possible"},
		{Problem{Width: 40, Stages: 4}, "4 stages; 2 or 3 are possible"},
		{Problem{Width: 40, Items: []Item{{W: 48, H: 48, Count: 1, Turn: true}}}, "rectangle 0 of 48 by 48 does not fit across 40"},
	} {
		_, err := Lay(c.p)
		if err == nil || err.Error() != c.want {
			t.Errorf("got %v; want %s", err, c.want)
		}
	}
	_, err := Lay(Problem{Width: 40, Items: []Item{{W: 48, H: 3, Count: 2}}})
	var wide *TooWide
	if !errors.As(err, &wide) || wide.Item != 0 {
		t.Errorf("got %v; want a TooWide of rectangle 0", err)
	}
	l, err := Lay(Problem{Width: 40})
	if err != nil || l.Length != 0 || !l.Optimal {
		t.Errorf("nothing to lay: %+v, %v", l, err)
	}
}

// The check itself finds what is wrong.
func TestTheCheckCanFail(t *testing.T) {
	p := Problem{Width: 42, Stages: 3, Items: []Item{{W: 20, H: 30, Count: 3}, {W: 5, H: 9, Count: 7}}}
	for name, spoil := range map[string]func(l *Layout){
		"one more strip":     func(l *Layout) { l.Strips[0].Count++ },
		"a lower strip":      func(l *Layout) { l.Strips[0].Height--; l.Length -= int64(l.Strips[0].Count) },
		"a narrower segment": func(l *Layout) { l.Strips[0].Cuts[0].Width--; l.Strips[0].Left += int64(l.Strips[0].Cuts[0].Count) },
		"more than the cloth": func(l *Layout) {
			l.Strips[0].Cuts[0].Width += 20
			l.Strips[0].Left -= 20 * int64(l.Strips[0].Cuts[0].Count)
		},
		"turned, but may not": func(l *Layout) { l.Strips[0].Cuts[0].Parts[0].Turned = true },
		"another length":      func(l *Layout) { l.Length++ },
		"too good a bound":    func(l *Layout) { l.Bound = l.Length + 1 },
		"below the area":      func(l *Layout) { l.Bound, l.Optimal = 1, false },
	} {
		l, err := Lay(p)
		if err != nil {
			t.Fatal(err)
		}
		if err := check(p, l); err != nil {
			t.Fatal(err)
		}
		spoil(&l)
		if check(p, l) == nil {
			t.Errorf("%s: nothing is found", name)
		}
	}
}

package weigh

import (
	"math/rand"
	"slices"
	"testing"

	"pgregory.net/rapid"

	_ "quiltwright/internal/seed"
)

// brute returns the smallest cheapest choice by trying all.
func brute(n *Net) ([]int, int64) {
	value := make([]int, len(n.Size))
	best := slices.Clone(value)
	cost := n.Cost(value)
	for {
		i := len(value) - 1
		for ; i >= 0; i-- {
			value[i]++
			if value[i] < n.Size[i] {
				break
			}
			value[i] = 0
		}
		if i < 0 {
			return best, cost
		}
		if c := n.Cost(value); c < cost {
			best, cost = slices.Clone(value), c
		}
	}
}

func drawNet(t *rapid.T, vars, tables, arity int) *Net {
	var n Net
	for range rapid.IntRange(0, vars).Draw(t, "variables") {
		n.Variable(rapid.IntRange(1, 4).Draw(t, "states"))
	}
	if len(n.Size) == 0 {
		return &n
	}
	cost := rapid.OneOf(rapid.Int64Range(0, 3), rapid.Int64Range(-50, 50), rapid.SampledFrom([]int64{0, 0, 1, 7, Never}))
	for range rapid.IntRange(0, tables).Draw(t, "tables") {
		k := rapid.IntRange(0, min(arity, len(n.Size))).Draw(t, "arity")
		var over []int
		many := 1
		for len(over) < k {
			v := rapid.IntRange(0, len(n.Size)-1).Draw(t, "over")
			if !slices.Contains(over, v) {
				over, many = append(over, v), many*n.Size[v]
			}
		}
		n.Add(over, rapid.SliceOfN(cost, many, many).Draw(t, "costs"))
	}
	return &n
}

func TestSolveEqualsTryingAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := drawNet(t, 8, 14, 4)
		want, cost := brute(n)
		got := Solve(n, Normal)
		if !got.Optimal || got.Cost != cost || got.Bound != cost || n.Cost(got.Value) != cost {
			t.Fatalf("cost %d bound %d optimal %v; the least is %d", got.Cost, got.Bound, got.Optimal, cost)
		}
		if !slices.Equal(got.Value, want) {
			t.Fatalf("value %v; the smallest of the cheapest is %v", got.Value, want)
		}
	})
}

// The search must be right too, which small nets never reach by themselves.
func TestSearchEqualsTryingAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := drawNet(t, 9, 24, 4)
		_, cost := brute(n)
		r := newReduced(n)
		r.run()
		for _, limit := range []int64{10, 300, 5_000, 10_000_000} {
			bound := r.constant
			all := true
			sum := r.constant
			for _, p := range r.parts() {
				o := minFill(p.size, p.tables)
				s := newSearch(p, o, limit).run()
				bound += s.bound
				sum += p.cost(s.value)
				all = all && s.optimal
				if s.optimal && p.cost(s.value) != s.bound {
					t.Fatalf("said to be optimal: cost %d, bound %d", p.cost(s.value), s.bound)
				}
			}
			if cost < Never/2 && (bound > cost || sum < cost) {
				t.Fatalf("limit %d: bound %d, the least is %d, found %d", limit, bound, cost, sum)
			}
			if all && cost < Never/2 && sum != cost {
				t.Fatalf("limit %d: said to be optimal: %d; the least is %d", limit, sum, cost)
			}
			if limit > 1_000_000 && !all {
				t.Fatalf("not solved: bound %d, found %d", bound, sum)
			}
		}
	})
}

// Whatever costs are shifted between tables, no choice may cost another sum, and none of the tables may owe anything.
func TestClustersKeepEverySum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := drawNet(t, 9, 24, 4)
		r := newReduced(n)
		r.run()
		for _, p := range r.parts() {
			s := newSearch(p, minFill(p.size, p.tables), 0)
			fine := make([]*table, len(s.tables))
			for i, given := range s.tables {
				fine[i] = given.times(grain)
			}
			c := newClusters(s.size, fine, rapid.Int64Range(1, 300).Draw(t, "room"))
			c.run(rapid.Int64Range(0, 5_000).Draw(t, "limit"), infinite)
			for _, each := range c.tables {
				if slices.Min(each.cost) != 0 {
					t.Fatalf("a table's least entry is %d", slices.Min(each.cost))
				}
			}
			given, now := newImprover(s.size, fine), newImprover(s.size, c.tables)
			value := make([]int, len(s.size))
			for range 20 {
				for v, size := range s.size {
					value[v] = rapid.IntRange(0, size-1).Draw(t, "state")
				}
				if a, b := given.price(value), now.price(value)+c.floor; a != b {
					t.Fatalf("%v costs %d, and %d in the clusters", value, a, b)
				}
			}
		}
	})
}

// grid is a net of w by h variables with two to most states and a table for each pair of neighbours.
func grid(w, h, most int, seed int64, cost func(r *rand.Rand, same bool) int64) *Net {
	r := rand.New(rand.NewSource(seed))
	var n Net
	for range w * h {
		n.Variable(2 + r.Intn(most-1))
	}
	pair := func(a, b int) {
		c := make([]int64, 0, 16)
		for i := range n.Size[a] {
			for j := range n.Size[b] {
				c = append(c, cost(r, i == j))
			}
		}
		n.Add([]int{a, b}, c)
	}
	for y := range h {
		for x := range w {
			if x+1 < w {
				pair(y*w+x, y*w+x+1)
			}
			if y+1 < h {
				pair(y*w+x, y*w+x+w)
			}
		}
	}
	return &n
}

func anyCost(r *rand.Rand, _ bool) int64 { return int64(r.Intn(21)) }

// crossing is a net like a quilt's: each table over four neighbours of a grid wants two pairs of them
// to be opposite, or alike. Where far is not 0, one in so many tables reaches across the whole grid, as
// where equal parts are used all over. planted nets can satisfy all tables at once.
func crossing(w, h, far int, planted bool, seed int64) *Net {
	r := rand.New(rand.NewSource(seed))
	var n Net
	hidden := make([]int, w*h)
	for v := range hidden {
		n.Variable(2 + r.Intn(2))
		hidden[v] = r.Intn(2)
		c := []int64{int64(r.Intn(3)), int64(r.Intn(3)), 6}
		n.Add([]int{v}, c[:n.Size[v]])
	}
	for y := range h - 1 {
		for x := range w - 1 {
			over := []int{y*w + x, y*w + x + 1, y*w + w + x, y*w + w + x + 1}
			if far > 0 && r.Intn(far) == 0 {
				if v := r.Intn(w * h); !slices.Contains(over, v) {
					over[1] = v
				}
			}
			one, two := r.Intn(2), r.Intn(2)
			if planted {
				one, two = hidden[over[0]]^hidden[over[1]]^1, hidden[over[2]]^hidden[over[3]]^1
			}
			var cost []int64
			for a := range n.Size[over[0]] {
				for b := range n.Size[over[1]] {
					for c := range n.Size[over[2]] {
						for d := range n.Size[over[3]] {
							var k int64
							if a < 2 && b < 2 && a^b == one {
								k += 20
							}
							if c < 2 && d < 2 && c^d == two {
								k += 20
							}
							cost = append(cost, k)
						}
					}
				}
			}
			n.Add(over, cost)
		}
	}
	return &n
}

func TestLargeNets(t *testing.T) {
	for _, c := range []struct {
		name   string
		net    *Net
		proven bool
	}{
		{"grid 14x14 two states", grid(14, 14, 2, 1, anyCost), true},
		{"grid 20x20 two states", grid(20, 20, 2, 2, anyCost), true},
		{"grid 14x14 up to four states", grid(14, 14, 4, 3, anyCost), true},
		{"grid 20x20 up to three states", grid(20, 20, 3, 4, anyCost), true},
		{"crossing 8x8", crossing(8, 8, 0, false, 5), true},
		{"crossing 14x14", crossing(14, 14, 0, false, 6), true},
		{"crossing 20x20", crossing(20, 20, 0, false, 7), true},
		{"crossing 8x8 with far ones", crossing(8, 8, 3, false, 5), true},
		{"crossing 14x14 with far ones, planted", crossing(14, 14, 3, true, 6), true},
		{"crossing 20x20 planted", crossing(20, 20, 0, true, 8), true},
		{"crossing 20x20 with far ones, planted", crossing(20, 20, 3, true, 7), true},
	} {
		r := Solve(c.net, Normal)
		t.Logf("%s: cost %d bound %d width %d nodes %d work %d", c.name, r.Cost, r.Bound, r.Width, r.Nodes, r.Work)
		if r.Bound > r.Cost || c.net.Cost(r.Value) != r.Cost {
			t.Errorf("%s: cost %d (priced %d), bound %d", c.name, r.Cost, c.net.Cost(r.Value), r.Bound)
		}
		if c.proven && !r.Optimal {
			t.Errorf("%s: cost %d, bound %d: not proven within the normal effort", c.name, r.Cost, r.Bound)
		}
		if r.Work > 2*int64(Normal) {
			t.Errorf("%s: work %d, allowed %d", c.name, r.Work, Normal)
		}
	}
}

func TestCheckSaysWhatIsWrong(t *testing.T) {
	for want, n := range map[string]*Net{
		"variable 1 has 0 states; 1 to 255 are possible":         {Size: []int{2, 0}},
		"table 0 is over variable 2; there are 2":                {Size: []int{2, 2}, Tables: []Table{{Over: []int{2}, Cost: []int64{0, 0}}}},
		"table 0 names variable 1 twice":                         {Size: []int{2, 2}, Tables: []Table{{Over: []int{1, 1}, Cost: make([]int64, 4)}}},
		"table 0 has 3 costs; its variables have 4 combinations": {Size: []int{2, 2}, Tables: []Table{{Over: []int{0, 1}, Cost: make([]int64, 3)}}},
	} {
		if err := n.Check(); err == nil || err.Error() != want {
			t.Errorf("got %v; want %s", err, want)
		}
	}
}

func TestNeverIsAvoidedWhereItCanBe(t *testing.T) {
	var n Net
	a, b := n.Variable(2), n.Variable(2)
	n.Add([]int{a, b}, []int64{Never, 900_000, 1_000_000, Never})
	n.Add([]int{b}, []int64{0, 200_000})
	r := Solve(&n, Quick)
	if !slices.Equal(r.Value, []int{1, 0}) || r.Cost != 1_000_000 || !r.Optimal {
		t.Errorf("got %+v", r)
	}
	n.Add([]int{a}, []int64{Never, Never})
	if r = Solve(&n, Quick); r.Cost != Never+1_000_000 {
		t.Errorf("cost %d; one rule has to be broken", r.Cost)
	}
}

func BenchmarkGrid200(b *testing.B) {
	n := grid(14, 14, 3, 11, anyCost)
	for b.Loop() {
		Solve(n, Normal)
	}
}

func BenchmarkGrid400(b *testing.B) {
	n := grid(20, 20, 3, 12, anyCost)
	for b.Loop() {
		Solve(n, Normal)
	}
}

func BenchmarkCrossing400(b *testing.B) {
	n := crossing(20, 20, 3, true, 7)
	for b.Loop() {
		Solve(n, Normal)
	}
}

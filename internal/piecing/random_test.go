package piecing

import (
	"math"
	"math/rand"
	"testing"

	"pgregory.net/rapid"

	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
	_ "quiltwright/internal/seed"
	"quiltwright/internal/unit"
)

// chop cuts a convex polygon along the line through a and b; the parts may be empty.
func chop(pg plane.Polygon, a, b plane.Point) (left, right plane.Polygon) {
	for i, p := range pg {
		q := pg[(i+1)%len(pg)]
		sp, sq := plane.Orient(a, b, p), plane.Orient(a, b, q)
		if sp <= 0 {
			left = append(left, p)
		}
		if sp >= 0 {
			right = append(right, p)
		}
		if sp*sq < 0 {
			cp, cq := plane.Cross(a, b, p), plane.Cross(a, b, q)
			f := cp.Div(cp.Sub(cq))
			d := q.Sub(p)
			m := plane.Pt(p.X.Add(d.X.Mul(f)), p.Y.Add(d.Y.Mul(f)))
			left, right = append(left, m), append(right, m)
		}
	}
	return left.Simplify(), right.Simplify()
}

// randomTiling cuts a square up by random straight cuts, each through one polygon.
func randomTiling(draw func(n int) int, cuts int) []plane.Polygon {
	const size = 8
	tiles := []plane.Polygon{plane.Rectangle(exact.Int(size), exact.Int(size))}
	point := func() plane.Point { return plane.Pt(exact.Int(int64(draw(size+1))), exact.Int(int64(draw(size+1)))) }
	for range cuts {
		a, b := point(), point()
		if draw(2) == 0 {
			b.Y = a.Y
		}
		if draw(3) == 0 {
			b.X = a.X
		}
		if a.Equal(b) {
			continue
		}
		i := draw(len(tiles))
		left, right := chop(tiles[i], a, b)
		if len(left) >= 3 && len(right) >= 3 {
			tiles[i] = left
			tiles = append(tiles, right)
		}
	}
	return tiles
}

// A tiling by straight cuts comes apart by straight cuts.
func TestRandomTilingsComeApart(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		draw := func(n int) int { return rapid.IntRange(0, n-1).Draw(rt, "n") }
		tiles := randomTiling(draw, rapid.IntRange(0, 14).Draw(rt, "cuts"))
		fabrics := []int{draw(3), draw(3), draw(3)}
		r := takePatches(rt, tiles, fabrics)
		straight, partial, setIn := seams(r, r.Blocks[0].Unit)
		if straight != len(tiles)-1 || partial+setIn != 0 {
			rt.Fatalf("%d patches: %d straight, %d partial, %d set in", len(tiles), straight, partial, setIn)
		}
	})
}

// bruteForce returns the least price of the region by trying every tree of straight cuts, runs of parallel cuts counted as one unit.
func bruteForce(w *work, region []int32, known map[string]int) int {
	if len(region) == 1 {
		return 0
	}
	key := string(w.keyOf(region))
	if c, ok := known[key]; ok {
		return c
	}
	best := math.MaxInt
	for d := range w.s.ranked {
		best = min(best, bruteRun(w, region, int32(d), known))
	}
	if best == math.MaxInt {
		panic("a tiling by straight cuts comes apart")
	}
	outline, _ := w.s.outline(region)
	if s := unit.Recognise(outline, w.patches(region)); s.Kind.Trade() {
		best -= Usual(s, nil)
	}
	known[key] = best + unitPrice
	return best + unitPrice
}

// bruteRun tries every way to cut the region along some of the lines of a direction.
func bruteRun(w *work, region []int32, dir int32, known map[string]int) int {
	lines := w.freeLines(region, dir)
	best := math.MaxInt
	for pick := 1; pick < 1<<len(lines); pick++ {
		parts := map[int][]int32{}
		for _, p := range region {
			at := 0
			for i, l := range lines {
				if pick>>i&1 == 1 && w.s.dirs[dir].lo[p] >= l {
					at = i + 1
				}
			}
			parts[at] = append(parts[at], p)
		}
		cost := 0
		for _, p := range parts {
			cost += bruteForce(w, p, known)
		}
		best = min(best, cost)
	}
	return best
}

func TestCheapestTree(t *testing.T) {
	seed := int64(1)
	rng := rand.New(rand.NewSource(seed))
	most := 0
	for n := range 300 {
		tiles := randomTiling(rng.Intn, 1+n%9)
		if n%3 == 0 {
			tiles = grid(1+rng.Intn(3), 1+rng.Intn(3))
		}
		r := takePatches(t, tiles, []int{0, 1})
		b := newBuilder(docOf(), nil, Full)
		w := b.newWork(r.blocks[0].Patches, nil)
		all := make([]int32, len(tiles))
		for i := range all {
			all[i] = int32(i)
		}
		sv := w.solver(all)
		got, want := sv.solve(sv.set(all)).cost, bruteForce(w, all, map[string]int{})
		if got != want {
			t.Errorf("tiling %d, seed %d: the tree costs %d, the cheapest %d: %v", n, seed, got, want, tiles)
		}
		if built := costOf(r, r.Blocks[0].Unit); built != want {
			t.Errorf("tiling %d, seed %d: built at %d, the cheapest is %d: %s", n, seed, built, want, show(r, r.Blocks[0].Unit))
		}
		most = max(most, len(tiles))
	}
	if most < 8 {
		t.Errorf("no tiling had 8 patches")
	}
}

// costOf returns the price of a unit as it was built.
func costOf(r taken, u int) int {
	if r.Units[u].Leaf != nil {
		return 0
	}
	cost := unitPrice
	if r.Units[u].Shape.Kind.Trade() {
		cost -= Usual(r.Units[u].Shape, nil)
	}
	for _, p := range r.Units[u].Parts {
		cost += costOf(r, p.Unit)
	}
	return cost
}

// Equal regions are one unit: a block turned is the same unit as the block.
func TestTurnedBlocksAreOneUnit(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		draw := func(n int) int { return rapid.IntRange(0, n-1).Draw(rt, "n") }
		tiles := randomTiling(draw, 1+draw(8))
		fabrics := []int{draw(3), draw(3), draw(3)}
		turn := plane.Turn(45 * draw(8))
		pose := plane.Pose{Turn: turn}
		var turned []plane.Polygon
		for _, pg := range tiles {
			turned = append(turned, pose.ApplyPolygon(pg))
		}
		least, _ := pose.ApplyPolygon(plane.Rectangle(exact.Int(8), exact.Int(8))).Box()
		for i := range turned {
			turned[i] = turned[i].Translate(plane.Point{}.Sub(least))
		}
		a, b := takePatches(rt, tiles, fabrics), takePatches(rt, turned, fabrics)
		if len(a.Units) != len(b.Units) && turn%90 == 0 {
			rt.Errorf("%d units, turned %d: %d", len(a.Units), turn, len(b.Units))
		}
		if ka, kb := a.Units[a.Blocks[0].Unit].Key, b.Units[b.Blocks[0].Unit].Key; ka != kb && (turn%90 == 0 || len(tiles) > 1) {
			rt.Errorf("keys %s and %s", ka, kb)
		}
	})
}

package piecing

import (
	"math"
	"math/bits"
	"slices"

	"quiltwright/internal/plane"
)

// tree is an order of putting blobs together: one blob, or two trees joined along one line, straight or bent.
type tree struct {
	blob  int // of a single one, else -1
	a, b  *tree
	line  []step // the contact from end to end
	bends int
	bent  bool // a line in it bends
}

// step is a contact as it is walked along.
type step struct {
	edge int // into core.edges
	u, v int32
}

// Prices of an order: an inner corner; then several corners in one line, by their square; then a join of two things that are
// not equal (pairs, fours, halves are how a star is made), and a straight seam after parts were set in; then a corner of 90
// degrees or less.
const (
	cornerPrice = 1 << 30
	squarePrice = 1 << 20
	unevenPrice = 1 << 10
	sharpPrice  = 1
)

// order returns the cheapest order of putting the blobs together: of all orders for up to mostExact blobs, else after
// joining, again and again, the two blobs that are cheapest to join.
func (k *core) order() *tree {
	heap := make([]*tree, len(k.blobs))
	for i := range heap {
		heap[i] = &tree{blob: i}
	}
	if len(heap) <= mostGrown {
		heap = k.joinCheapest(heap)
	}
	return k.tryAll(heap)
}

// blobsOf appends the blobs of a tree.
func (t *tree) blobsOf(out []int) []int {
	if t.a == nil {
		return append(out, t.blob)
	}
	return t.b.blobsOf(t.a.blobsOf(out))
}

// region returns the patches of a tree, rising.
func (k *core) region(t *tree) []int32 {
	var out []int32
	for _, i := range t.blobsOf(nil) {
		out = append(out, k.blobs[i].region...)
	}
	slices.Sort(out)
	return out
}

// walk orders contacts from end to end. ok is false where they are not a single line.
func (k *core) walk(edges []int, from func(plane.Point) plane.Point) (line []step, ok bool) {
	ends := map[int32][]int{}
	for _, e := range edges {
		ends[k.edges[e].u] = append(ends[k.edges[e].u], e)
		ends[k.edges[e].v] = append(ends[k.edges[e].v], e)
	}
	start := int32(-1)
	for _, e := range edges {
		for _, v := range []int32{k.edges[e].u, k.edges[e].v} {
			switch n := len(ends[v]); {
			case n > 2:
				return nil, false
			case n == 1 && (start < 0 || from(k.w.s.points[v]).Cmp(from(k.w.s.points[start])) < 0):
				start = v
			}
		}
	}
	if start < 0 {
		return nil, false
	}
	last := -1
	for at := start; ; {
		next := -1
		for _, e := range ends[at] {
			if e != last {
				next = e
			}
		}
		if next < 0 {
			break
		}
		to := k.edges[next].u
		if to == at {
			to = k.edges[next].v
		}
		line = append(line, step{next, at, to})
		at, last = to, next
	}
	return line, len(line) == len(edges)
}

// bends returns the price and number of the bends of a line.
func (k *core) bend(line []step) (price, n int) {
	for i := 1; i < len(line); i++ {
		if k.edges[line[i].edge].dir == k.edges[line[i-1].edge].dir {
			continue
		}
		n++
		price += cornerPrice
		a := k.w.s.points[line[i].u].Sub(k.w.s.points[line[i-1].u])
		b := k.w.s.points[line[i].v].Sub(k.w.s.points[line[i].u])
		if a.X.Mul(b.X).Add(a.Y.Mul(b.Y)).Sign() <= 0 {
			price += sharpPrice
		}
	}
	return price + n*n*squarePrice, n
}

func same(p plane.Point) plane.Point { return p }

// pair joins two trees; ok is false where they do not meet along a single line.
func (k *core) pair(a, b *tree, edges []int) (t *tree, price int, ok bool) {
	line, ok := k.walk(edges, same)
	if !ok {
		return nil, 0, false
	}
	t = &tree{blob: -1, a: a, b: b, line: line}
	price, t.bends = k.bend(line)
	t.bent = t.bends > 0 || a.bent || b.bent
	if t.bends > 0 || !k.even(a, b) {
		price += unevenPrice
	}
	if t.bends == 0 && t.bent {
		price += unevenPrice
	}
	return t, price, true
}

// even reports whether two trees are equal up to a turn.
func (k *core) even(a, b *tree) bool {
	ra, rb := k.region(a), k.region(b)
	return len(ra) == len(rb) && k.w.content(ra, false).digest == k.w.content(rb, false).digest
}

// joinCheapest joins pairs until no more than mostExact trees are left, or none can be joined: the cheapest first, of
// equally cheap ones the smallest, then the first.
func (k *core) joinCheapest(heap []*tree) []*tree {
	type candidate struct {
		t     *tree
		price int
		size  int
	}
	of := make([]int, len(k.blobs)) // tree of each blob
	for i := range of {
		of[i] = i
	}
	known := map[[2]int]*candidate{} // by pair of trees, the lower first
	for alive := len(heap); alive > mostExact; alive-- {
		between := map[[2]int][]int{}
		var pairs [][2]int
		for e, c := range k.edges {
			p := [2]int{min(of[c.a], of[c.b]), max(of[c.a], of[c.b])}
			if p[0] == p[1] {
				continue
			}
			if between[p] == nil {
				pairs = append(pairs, p)
			}
			between[p] = append(between[p], e)
		}
		var best *candidate
		var at [2]int
		for _, p := range pairs {
			c, ok := known[p]
			if !ok {
				c = &candidate{price: math.MaxInt}
				if t, price, ok := k.pair(heap[p[0]], heap[p[1]], between[p]); ok {
					c = &candidate{t, price, len(k.region(t))}
				}
				known[p] = c
			}
			if c.t != nil && (best == nil || c.price < best.price || c.price == best.price &&
				(c.size < best.size || c.size == best.size && (p[0] < at[0] || p[0] == at[0] && p[1] < at[1]))) {
				best, at = c, p
			}
		}
		if best == nil {
			break
		}
		heap[at[0]], heap[at[1]] = best.t, nil
		for i := range of {
			if of[i] == at[1] {
				of[i] = at[0]
			}
		}
		for p := range known {
			if p[0] == at[0] || p[1] == at[0] || p[0] == at[1] || p[1] == at[1] {
				delete(known, p)
			}
		}
	}
	return slices.DeleteFunc(heap, func(t *tree) bool { return t == nil })
}

// tryAll returns the cheapest order of joining up to mostExact trees: by dynamic programming over their sets. Where there
// is no order in which each meets the rest along a single line, and where there are more trees, it joins them as they come.
func (k *core) tryAll(trees []*tree) *tree {
	n := len(trees)
	of := make([]int, len(k.blobs))
	for i, t := range trees {
		for _, b := range t.blobsOf(nil) {
			of[b] = i
		}
	}
	if n > mostExact {
		return k.asTheyCome(trees, of)
	}
	best := make([]*tree, 1<<n)
	price := make([]int, 1<<n)
	for i, t := range trees {
		best[1<<i] = t
	}
	near := make([]int, n) // neighbours of each tree
	for _, e := range k.edges {
		if a, b := of[e.a], of[e.b]; a != b {
			near[a] |= 1 << b
			near[b] |= 1 << a
		}
	}
	var edges []int
	for s := 1; s < 1<<n; s++ {
		if bits.OnesCount(uint(s)) < 2 {
			continue
		}
		price[s] = math.MaxInt
		rest := s & (s - 1) // all but the first tree, which is always in a
		for b := rest; b > 0; b = (b - 1) & rest {
			a := s &^ b
			if best[a] == nil || best[b] == nil || price[a]+price[b] >= price[s] {
				continue
			}
			edges = edges[:0]
			for e, c := range k.edges {
				i, j := of[c.a], of[c.b]
				if a>>i&1 == 1 && b>>j&1 == 1 || a>>j&1 == 1 && b>>i&1 == 1 {
					edges = append(edges, e)
				}
			}
			if len(edges) == 0 || k.fewestBends(edges)*cornerPrice+price[a]+price[b] >= price[s] {
				continue
			}
			if t, p, ok := k.pair(best[a], best[b], edges); ok && p+price[a]+price[b] < price[s] {
				best[s], price[s] = t, p+price[a]+price[b]
			}
		}
	}
	if t := best[1<<n-1]; t != nil {
		return t
	}
	return k.asTheyCome(trees, of)
}

// fewestBends returns a quick lower bound: one less than the number of directions.
func (k *core) fewestBends(edges []int) int {
	dirs := make([]int32, 0, 8)
	for _, e := range edges {
		if d := k.edges[e].dir; !slices.Contains(dirs, d) {
			dirs = append(dirs, d)
		}
	}
	return len(dirs) - 1
}

// asTheyCome joins the trees one after the other, each to the first that it touches.
func (k *core) asTheyCome(trees []*tree, of []int) *tree {
	whole := trees[0]
	in := make([]bool, len(trees))
	in[0] = true
	meeting := make([][]int, len(trees)) // edges between each tree and what is joined
	collect := func(i int) {
		for e, c := range k.edges {
			a, b := of[c.a], of[c.b]
			if a == i && !in[b] {
				meeting[b] = append(meeting[b], e)
			} else if b == i && !in[a] {
				meeting[a] = append(meeting[a], e)
			}
		}
	}
	collect(0)
	for range len(trees) - 1 {
		next := -1
		for i := range trees {
			if !in[i] && len(meeting[i]) > 0 {
				if _, ok := k.walk(meeting[i], same); ok {
					next = i
					break
				}
				if next < 0 {
					next = i
				}
			}
		}
		t, _, ok := k.pair(whole, trees[next], meeting[next])
		if !ok { // several lines, or one that closes: they are sewn one after the other
			t = &tree{blob: -1, a: whole, b: trees[next]}
			for _, e := range meeting[next] {
				t.line = append(t.line, step{e, k.edges[e].u, k.edges[e].v})
			}
			_, t.bends = k.bend(t.line)
			t.bends, t.bent = max(t.bends, 1), true
		}
		whole, in[next] = t, true
		collect(next)
	}
	return whole
}

// assemble puts a tree of two or more blobs together. What is joined along a straight line is two units; blobs set into
// each other are parts of one unit.
func (k *core) assemble(t *tree, to plane.Pose) assembly {
	var a assembly
	parts := map[int]int{} // blob -> part
	k.expand(t, to, &a, parts)
	return a
}

// expand appends the parts and joins of a tree.
func (k *core) expand(t *tree, to plane.Pose, a *assembly, parts map[int]int) {
	sides := []*tree{t.a, t.b}
	if len(k.region(t.a)) < len(k.region(t.b)) { // the larger first
		sides[0], sides[1] = t.b, t.a
	}
	for _, side := range sides {
		if t.bends > 0 && side.bends > 0 {
			k.expand(side, to, a, parts)
			continue
		}
		how := assembler{}
		if side.a != nil {
			how = assembler{tree: side, core: k}
		}
		u, pose := k.w.build(k.region(side), to, how)
		for _, b := range side.blobsOf(nil) {
			parts[b] = len(a.parts)
		}
		a.parts = append(a.parts, part{u, pose})
	}
	k.joins(t, to, a, parts)
}

// joins appends the joins of a tree's line: one for each straight stretch between two parts. The part that is added, B, is
// of the smaller side.
func (k *core) joins(t *tree, to plane.Pose, a *assembly, parts map[int]int) {
	inB := map[int]bool{}
	for _, b := range t.b.blobsOf(nil) {
		inB[b] = true
	}
	swap := len(k.region(t.a)) < len(k.region(t.b))
	line := t.line
	if t.bends == 0 {
		line = k.walkFrom(line, to)
	}
	last := int32(-1) // direction of the join before
	kind := Straight
	if t.bends > 0 {
		kind = SetIn
	}
	for i, s := range line {
		e := k.edges[s.edge]
		pa, pb := parts[e.a], parts[e.b]
		if inB[e.a] != swap {
			pa, pb = pb, pa
		}
		from, next := k.w.s.points[s.u], k.w.s.points[s.v]
		onward := i > 0 && e.dir == last && line[i-1].v == s.u
		if n := len(a.joins) - 1; onward && a.joins[n].A == pa && a.joins[n].B == pb {
			a.joins[n].Seam.B = next
			continue
		}
		a.joins = append(a.joins, Join{A: pa, B: pb, Kind: kind, Finish: kind == SetIn && i > 0 && !(onward && !a.joins[len(a.joins)-1].Finish),
			OneGo: onward, Seam: plane.Segment{A: from, B: next}})
		last = e.dir
	}
}

// walkFrom returns a straight line from the end that comes first in the frame that to leads to.
func (k *core) walkFrom(line []step, to plane.Pose) []step {
	edges := make([]int, len(line))
	for i, s := range line {
		edges[i] = s.edge
	}
	again, ok := k.walk(edges, to.Apply)
	if !ok {
		return line
	}
	return again
}

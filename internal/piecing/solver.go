package piecing

import (
	"math/bits"
	"slices"
)

// A solver finds the cheapest tree of straight cuts for a region, by dynamic programming over the sets of patches that
// lines can reach. Everything convex that is reached is described by its set alone: a line is a cut of it when no
// patch of the set lies on both sides of the line and some lie on each side.
//
// The price of a tree: unitPrice for every unit that is put together, less what units of the trade save. Number and total
// length of the seams are the same in every tree of straight cuts, so they need not be counted. Parallel cuts in
// a row are one unit, however many; a unit of the trade inside such a row stays a unit of its own where that is cheaper.

// unitPrice is the price of putting together one more unit, in the Pricer's measure.
const unitPrice = 5

// bitset is a set of patches: bit i stands for the i-th patch of the solver's region.
type bitset []uint64

func (s bitset) count() int {
	n := 0
	for _, w := range s {
		n += bits.OnesCount64(w)
	}
	return n
}

func (s bitset) put(i int) { s[i>>6] |= 1 << (i & 63) }

// meets reports whether two sets have an element in common.
func (s bitset) meets(t bitset) bool {
	for i, w := range s {
		if w&t[i] != 0 {
			return true
		}
	}
	return false
}

func (s bitset) and(t bitset) bitset {
	out := make(bitset, len(s))
	for i, w := range s {
		out[i] = w & t[i]
	}
	return out
}

// appendKey appends the set as bytes.
func (s bitset) appendKey(b []byte) []byte {
	for _, w := range s {
		b = append(b, byte(w), byte(w>>8), byte(w>>16), byte(w>>24), byte(w>>32), byte(w>>40), byte(w>>48), byte(w>>56))
	}
	return b
}

// cutLine is a line and the patches on its sides.
type cutLine struct {
	dir, rank      int32
	before, behind bitset // on the side of lower, of higher ranks
	across         bitset // on both
}

// node is a region that was reached.
type node struct {
	set    bitset
	n      int
	cost   int    // of putting it together as a unit of its own, everything in it included
	runs   []run  // by direction in which it comes apart, rising; none for a single patch, a core and a forced cut
	forced int    // the writer's line that is taken first here, -1 without
	class  *class // found when it is needed
}

// run is the least price of a region as a run of parts along one direction, its own unitPrice not counted.
type run struct {
	dir  int32
	cost int
}

func (n *node) run(dir int32) (int, bool) {
	for _, r := range n.runs {
		if r.dir == dir {
			return r.cost, true
		}
	}
	return 0, false
}

// solver holds the regions that were reached from one root.
type solver struct {
	w      *work
	root   []int32 // patches of the sheet, rising
	lines  []cutLine
	writer []int // lines that the writer wants taken first, in her order
	memo   map[string]*node
	limit  int
	left   int  // regions that may still be looked at
	over   bool // there were more
	key    []byte
	half   bitset // scratch
}

// newSolver prepares the lines that may cut the region.
func newSolver(w *work, root []int32, most int) *solver {
	sv := &solver{w: w, root: root, memo: map[string]*node{}, limit: most, left: most}
	words := (len(root) + 63) / 64
	for d := range w.s.ranked {
		dir := &w.s.dirs[d]
		lo, hi := dir.lo[root[0]], dir.hi[root[0]]
		for _, p := range root {
			lo, hi = min(lo, dir.lo[p]), max(hi, dir.hi[p])
		}
		var ranks []int32
		seen := map[int32]bool{}
		for _, p := range root {
			for _, r := range []int32{dir.lo[p], dir.hi[p]} {
				if r > lo && r < hi && dir.edge[r] && !seen[r] {
					seen[r] = true
					ranks = append(ranks, r)
				}
			}
		}
		slices.Sort(ranks)
		for _, r := range ranks {
			all := make(bitset, 3*words)
			l := cutLine{dir: int32(d), rank: r, before: all[:words], behind: all[words : 2*words], across: all[2*words:]}
			for i, p := range root {
				switch {
				case dir.hi[p] <= r:
					l.before.put(i)
				case dir.lo[p] >= r:
					l.behind.put(i)
				default:
					l.across.put(i)
				}
			}
			for _, f := range w.first {
				if f.dir == l.dir && f.rank == l.rank {
					sv.writer = append(sv.writer, len(sv.lines))
				}
			}
			sv.lines = append(sv.lines, l)
		}
	}
	slices.SortStableFunc(sv.writer, func(a, b int) int { return w.wish(sv.lines[a]) - w.wish(sv.lines[b]) })
	return sv
}

// done returns the solver, nil where there were too many regions, and how many were looked at.
func (sv *solver) done() (*solver, int) {
	looked := sv.limit - max(0, sv.left)
	if sv.over {
		return nil, looked
	}
	return sv, looked
}

// set returns the region as a set; every patch must be in the root.
func (sv *solver) set(region []int32) bitset {
	s := make(bitset, (len(sv.root)+63)/64)
	for _, p := range region {
		i, _ := slices.BinarySearch(sv.root, p)
		s.put(i)
	}
	return s
}

// region returns the patches of a set, rising.
func (sv *solver) region(s bitset) []int32 {
	var out []int32
	for i, w := range s {
		for ; w != 0; w &= w - 1 {
			out = append(out, sv.root[i<<6+bits.TrailingZeros64(w)])
		}
	}
	return out
}

// cuts reports whether the line takes the set apart.
func (l *cutLine) cuts(s bitset) bool {
	return !s.meets(l.across) && s.meets(l.before) && s.meets(l.behind)
}

// solve returns the node of a set with everything known about it; nil when there are too many regions.
func (sv *solver) solve(s bitset) *node {
	sv.key = s.appendKey(sv.key[:0])
	if n, ok := sv.memo[string(sv.key)]; ok {
		return n
	}
	if sv.left--; sv.left < 0 {
		sv.over = true
		return nil
	}
	n := &node{set: s, n: s.count(), forced: -1}
	sv.memo[string(sv.key)] = n
	if n.n == 1 {
		return n
	}
	best := 0
	for _, i := range sv.writer {
		if sv.lines[i].cuts(s) && sv.w.reaches(sv.region(s), sv.lines[i]) {
			before, behind := sv.halves(s, i)
			if before == nil || behind == nil {
				return nil
			}
			n.forced, best = i, before.cost+behind.cost
			break
		}
	}
	if n.forced < 0 {
		cuts := 0
		for i := range sv.lines {
			if !sv.lines[i].cuts(s) {
				continue
			}
			before, behind := sv.halves(s, i)
			if before == nil || behind == nil {
				return nil
			}
			cuts++
			dir := sv.lines[i].dir
			cost := before.inRun(dir) + behind.inRun(dir)
			if k := len(n.runs) - 1; k >= 0 && n.runs[k].dir == dir {
				n.runs[k].cost = min(n.runs[k].cost, cost)
			} else {
				n.runs = append(n.runs, run{dir, cost})
			}
		}
		for i, r := range n.runs {
			if i == 0 || r.cost < best {
				best = r.cost
			}
		}
		if len(n.runs) > 0 {
			best -= sv.w.saves(sv, n, cuts)
		}
	}
	n.cost = best + unitPrice
	return n
}

// halves solves both sides of a line; nil where there are too many regions.
func (sv *solver) halves(s bitset, line int) (before, behind *node) {
	if before = sv.solveIn(s, sv.lines[line].before); before == nil {
		return nil, nil
	}
	return before, sv.solveIn(s, sv.lines[line].behind)
}

// solveIn is solve for what of s lies on one side: most sides were met before, and cost no set of their own.
func (sv *solver) solveIn(s, side bitset) *node {
	sv.half = sv.half[:0]
	for i, w := range s {
		sv.half = append(sv.half, w&side[i])
	}
	sv.key = sv.half.appendKey(sv.key[:0])
	if n, ok := sv.memo[string(sv.key)]; ok {
		return n
	}
	return sv.solve(slices.Clone(sv.half))
}

// inRun returns the least price of a region as one or several parts of a run.
func (n *node) inRun(dir int32) int {
	if c, ok := n.run(dir); ok && c < n.cost {
		return c
	}
	return n.cost
}

// classOf returns the content of a node's region.
func (sv *solver) classOf(n *node) class {
	if n.class == nil {
		c := sv.w.content(sv.region(n.set), false)
		n.class = &c
	}
	return *n.class
}

// equal reports whether two regions are equal up to a turn.
func (sv *solver) equal(a, b *node) bool {
	return a.n == b.n && sv.classOf(a).digest == sv.classOf(b).digest
}

// apart is how a region comes apart: parts side by side along one direction, by rising rank.
type apart struct {
	dir   int32
	ranks []int32 // of the lines between the parts
	parts [][]int32
}

// take returns how the region comes apart at the least price; ok is false for a core. Of equally cheap directions one is
// taken that cuts the region in equal halves, else the first in the order given: less says which of two directions comes
// first in the unit's own frame.
func (sv *solver) take(s bitset, less func(a, b int32) bool) (apart, bool) {
	n := sv.solve(s)
	if n.forced >= 0 {
		l := &sv.lines[n.forced]
		return apart{dir: l.dir, ranks: []int32{l.rank}, parts: [][]int32{sv.region(s.and(l.before)), sv.region(s.and(l.behind))}}, true
	}
	if len(n.runs) == 0 {
		return apart{}, false
	}
	best := n.runs[0].cost
	for _, r := range n.runs {
		best = min(best, r.cost)
	}
	var dir int32
	found, even := false, false
	for _, r := range n.runs {
		if r.cost > best {
			continue
		}
		halved := sv.halved(n, r)
		if !found || halved && !even || halved == even && less(r.dir, dir) {
			found, even, dir = true, halved, r.dir
		}
	}
	a := apart{dir: dir}
	sv.collect(n, dir, &a)
	return a, true
}

// halved reports whether a line at no extra cost cuts the region in two equal halves.
func (sv *solver) halved(n *node, r run) bool {
	for i := range sv.lines {
		if l := &sv.lines[i]; l.dir == r.dir && l.cuts(n.set) {
			before, behind := sv.halves(n.set, i)
			if before.inRun(r.dir)+behind.inRun(r.dir) == r.cost && sv.equal(before, behind) {
				return true
			}
		}
	}
	return false
}

// collect appends the parts of a run.
func (sv *solver) collect(n *node, dir int32, a *apart) {
	cost, ok := n.run(dir)
	if !ok {
		panic("piecing: a run has a price")
	}
	for i := range sv.lines {
		l := &sv.lines[i]
		if l.dir != dir || !l.cuts(n.set) {
			continue
		}
		before, behind := sv.halves(n.set, i)
		if before.inRun(dir)+behind.inRun(dir) != cost {
			continue
		}
		sv.part(before, dir, a)
		a.ranks = append(a.ranks, l.rank)
		sv.part(behind, dir, a)
		return
	}
	panic("piecing: the cheapest run has a first line")
}

func (sv *solver) part(n *node, dir int32, a *apart) {
	if c, ok := n.run(dir); ok && c < n.cost {
		sv.collect(n, dir, a)
		return
	}
	a.parts = append(a.parts, sv.region(n.set))
}

// takeAll cuts the region along all lines of one direction at once: that of most lines, of several the first in the order given.
// It looks at every patch a few times only. ok is false where no line cuts it.
func (w *work) takeAll(region []int32, less func(a, b int32) bool) (apart, bool) {
	var best apart
	for d := range w.s.ranked {
		dir := int32(d)
		ranks := w.freeLines(region, dir)
		if len(ranks) > len(best.ranks) || len(ranks) > 0 && len(ranks) == len(best.ranks) && less(dir, best.dir) {
			best = apart{dir: dir, ranks: ranks}
		}
	}
	if len(best.ranks) == 0 {
		return apart{}, false
	}
	best.parts = make([][]int32, len(best.ranks)+1)
	lo := w.s.dirs[best.dir].lo
	for _, p := range region {
		i, found := slices.BinarySearch(best.ranks, lo[p])
		if found {
			i++
		}
		best.parts[i] = append(best.parts[i], p)
	}
	return best, true
}

// freeLines returns the lines of a direction that cut the region and none of its patches, rising.
func (w *work) freeLines(region []int32, dir int32) []int32 {
	d := &w.s.dirs[dir]
	spans := make([][2]int32, len(region))
	for i, p := range region {
		spans[i] = [2]int32{d.lo[p], d.hi[p]}
	}
	slices.SortFunc(spans, func(a, b [2]int32) int { return int(a[0] - b[0]) })
	var ranks []int32
	reach := spans[0][1]
	for _, s := range spans[1:] {
		if s[0] >= reach && d.edge[s[0]] {
			ranks = append(ranks, s[0])
		}
		reach = max(reach, s[1])
	}
	return slices.Compact(ranks)
}

package piecing

import (
	"slices"

	"quiltwright/internal/plane"
)

// A core is a region that no line takes apart. What comes apart by itself inside it is first grown together into blobs.
// A ring of blobs round another one, each running past the next, is sewn with one partial seam. All else is put together
// in the order that needs the fewest inner corners: where a blob meets what it is joined to along a bent line, it is set
// in, one corner for each bend.

const (
	mostExact    = 12      // blobs of a core for which every order is tried
	mostGrown    = 500     // patches of a core that is grown; in a larger one each patch is joined as it comes
	mostClusters = 100_000 // sets of patches that are looked at to find units of the trade
)

// core is a core being put together.
type core struct {
	w     *work
	blobs []blob
	edges []contact // between blobs
}

// blob is a part of a core: one patch, or patches that come apart by themselves.
type blob struct {
	region  []int32 // rising
	outline plane.Polygon
	ring    []int32 // vertices clockwise, straight ones included
	corner  map[int32]bool
}

// contact is an edge, not divided further, between two blobs: from u to v with blob a on its right hand.
type contact struct {
	a, b   int
	u, v   int32
	dir    int32
	ui, vi int // u and v counted among the vertices of all contacts
}

func (w *work) newBlob(region []int32) blob {
	b := blob{region: region, corner: map[int32]bool{}}
	b.outline, _ = w.s.outline(region)
	if len(region) == 1 {
		b.ring = w.s.loops[region[0]]
	} else {
		b.ring, _ = w.s.border(region)
	}
	for i, v := range b.ring {
		p, n := b.ring[(i+len(b.ring)-1)%len(b.ring)], b.ring[(i+1)%len(b.ring)]
		if w.s.spots[v].sub(w.s.spots[p]).crossed(w.s.spots[n].sub(w.s.spots[v])) != 0 {
			b.corner[v] = true
		}
	}
	return b
}

// core puts a core together.
func (w *work) core(region []int32, to plane.Pose) assembly {
	k := &core{w: w}
	known := w.cores[string(w.keyOf(region))]
	if known == nil {
		if len(region) <= mostGrown {
			k.grow(region)
		} else {
			for _, p := range region {
				k.blobs = append(k.blobs, w.newBlob([]int32{p}))
			}
		}
		k.touch()
		known = &grown{blobs: k.blobs, edges: k.edges}
		if w.cores != nil {
			w.cores[string(w.keyOf(region))] = known
		}
	}
	k.blobs, k.edges = known.blobs, known.edges
	if r, ok := k.ring(to, true); ok {
		return k.sewRing(r, to)
	}
	if known.order == nil {
		known.order = k.order()
	}
	return k.assemble(known.order, to)
}

// touch finds the contacts between the blobs.
func (k *core) touch() {
	s := k.w.s
	for i, b := range k.blobs {
		s.mark(b.region, int32(i+1))
	}
	k.edges = k.edges[:0]
	number := map[int32]int{}
	count := func(v int32) int {
		n, ok := number[v]
		if !ok {
			n = len(number)
			number[v] = n
		}
		return n
	}
	for i, b := range k.blobs {
		for _, p := range b.region {
			for e, t := range s.twins[p] {
				if t < 0 || int(s.label[t]) <= i+1 {
					continue
				}
				u, v := s.loops[p][e], s.loops[p][(e+1)%len(s.loops[p])]
				k.edges = append(k.edges, contact{i, int(s.label[t]) - 1, u, v, s.along[p][e], count(u), count(v)})
			}
		}
	}
	for _, b := range k.blobs {
		s.mark(b.region, 0)
	}
}

// grow fills the blobs: units of the trade first, then what can be joined to a convex whole, and rings.
func (k *core) grow(region []int32) {
	taken := map[int32]bool{}
	for _, c := range k.clusters(region) {
		if slices.ContainsFunc(c, func(p int32) bool { return taken[p] }) {
			continue
		}
		for _, p := range c {
			taken[p] = true
		}
		k.blobs = append(k.blobs, k.w.newBlob(c))
	}
	for _, p := range region {
		if !taken[p] {
			k.blobs = append(k.blobs, k.w.newBlob([]int32{p}))
		}
	}
	for {
		k.touch()
		if k.join() {
			continue
		}
		r, ok := k.ring(plane.Pose{}, false)
		if !ok || len(r.around)+1 == len(k.blobs) {
			return
		}
		k.merge(append(slices.Clone(r.around), r.centre))
	}
}

// clusters returns the units of the trade of up to five patches within the region that save something, most first.
func (k *core) clusters(region []int32) [][]int32 {
	type cluster struct {
		patches []int32
		saves   int
	}
	var found []cluster
	w := k.w
	inside := map[int32]bool{}
	for _, p := range region {
		inside[p] = true
	}
	left := mostClusters
	seen := map[string]bool{}
	var extend func(c []int32)
	extend = func(c []int32) {
		if left--; left < 0 {
			return
		}
		if right, _ := w.boxed(c); right && len(c) > 1 {
			if saves := w.worth(c); saves > 0 {
				found = append(found, cluster{c, saves})
			}
		}
		if len(c) == 5 {
			return
		}
		for _, p := range c {
			for _, t := range w.s.twins[p] {
				if t < c[0] || !inside[t] || slices.Contains(c, t) {
					continue // each set is grown from its least patch
				}
				next := append(slices.Clone(c), t)
				slices.Sort(next)
				key := string(w.keyOf(next))
				if !seen[key] {
					seen[key] = true
					extend(next)
				}
			}
		}
	}
	for _, p := range region {
		extend([]int32{p})
	}
	slices.SortStableFunc(found, func(a, b cluster) int {
		if a.saves != b.saves {
			return b.saves - a.saves
		}
		return len(b.patches) - len(a.patches)
	})
	var out [][]int32
	for _, c := range found {
		out = append(out, c.patches)
	}
	return out
}

func (w *work) keyOf(region []int32) []byte {
	b := make([]byte, 0, 4*len(region))
	for _, p := range region {
		b = append(b, byte(p), byte(p>>8), byte(p>>16), byte(p>>24))
	}
	return b
}

// join merges two blobs whose union is convex: first those that make a rectangle, then the smallest. It reports whether
// there were two. The last two are the core itself: how they are joined is what is asked.
func (k *core) join() bool {
	if len(k.blobs) <= 2 {
		return false
	}
	best, size, right := [2]int{-1, -1}, 0, false
	tried := map[[2]int]bool{}
	for _, e := range k.edges {
		pair := [2]int{e.a, e.b}
		if tried[pair] {
			continue
		}
		tried[pair] = true
		region := union(k.blobs[e.a].region, k.blobs[e.b].region)
		outline, ok := k.w.s.outline(region)
		if !ok || !outline.IsConvex() {
			continue
		}
		_, r := squareTo(outline)
		if best[0] < 0 || r && !right || r == right && len(region) < size {
			best, size, right = pair, len(region), r
		}
	}
	if best[0] < 0 {
		return false
	}
	k.merge(best[:])
	return true
}

func union(a, b []int32) []int32 {
	out := append(slices.Clone(a), b...)
	slices.Sort(out)
	return out
}

// merge makes one blob of several; it stands where the first of them stood.
func (k *core) merge(which []int) {
	slices.Sort(which)
	var region []int32
	for _, i := range which {
		region = append(region, k.blobs[i].region...)
	}
	slices.Sort(region)
	k.blobs[which[0]] = k.w.newBlob(region)
	for i := len(which) - 1; i > 0; i-- {
		k.blobs = slices.Delete(k.blobs, which[i], which[i]+1)
	}
}

// ring is a blob with others around it, in clockwise order, one along each of its sides.
type ring struct {
	centre int
	around []int
	corner []int32 // of the centre: side i runs from corner i to corner i+1
	past   int     // 1: each runs past the end of its side, -1: past the beginning
}

// ring returns a ring whose union is convex. all: it must consist of all blobs.
func (k *core) ring(to plane.Pose, all bool) (ring, bool) {
	beside := make([]map[int]bool, len(k.blobs))
	for i := range beside {
		beside[i] = map[int]bool{}
	}
	side := map[[2]int32]int{} // by edge u, v with the blob on its left hand
	for _, e := range k.edges {
		beside[e.a][e.b], beside[e.b][e.a] = true, true
		side[[2]int32{e.u, e.v}], side[[2]int32{e.v, e.u}] = e.b, e.a
	}
	for c := range k.blobs {
		if all && len(beside[c]) != len(k.blobs)-1 {
			continue
		}
		if r, ok := k.ringRound(c, side, beside); ok {
			k.begin(&r, to)
			return r, true
		}
	}
	return ring{}, false
}

// ringRound looks for a ring with the given centre.
func (k *core) ringRound(c int, side map[[2]int32]int, beside []map[int]bool) (ring, bool) {
	b := &k.blobs[c]
	r := ring{centre: c}
	start := slices.IndexFunc(b.ring, func(v int32) bool { return b.corner[v] })
	if start < 0 || !b.outline.IsConvex() {
		return r, false
	}
	for i := range b.ring {
		u, v := b.ring[(start+i)%len(b.ring)], b.ring[(start+i+1)%len(b.ring)]
		n, ok := side[[2]int32{u, v}]
		switch {
		case !ok:
			return r, false
		case b.corner[u]:
			if slices.Contains(r.around, n) {
				return r, false
			}
			r.around, r.corner = append(r.around, n), append(r.corner, u)
		case n != r.around[len(r.around)-1]:
			return r, false
		}
	}
	n := len(r.around)
	end, begin := true, true
	for i, o := range r.around {
		end = end && k.passes(o, r.corner[(i+1)%n])
		begin = begin && k.passes(o, r.corner[i])
	}
	if n < 3 || end == begin {
		return r, false
	}
	r.past = 1
	if begin {
		r.past = -1
	}
	var region []int32
	for i, o := range r.around {
		for j, p := range r.around {
			next := (i+1)%n == j || (j+1)%n == i
			if i != j && beside[o][p] != next {
				return r, false
			}
		}
		if _, ok := k.between(o, r.around[(i+r.past+n)%n]); !ok {
			return r, false
		}
		region = append(region, k.blobs[o].region...)
	}
	outline, ok := k.w.s.outline(append(region, b.region...))
	return r, ok && outline.IsConvex()
}

// passes reports whether a blob runs straight past a vertex.
func (k *core) passes(b int, v int32) bool {
	return slices.Contains(k.blobs[b].ring, v) && !k.blobs[b].corner[v]
}

// between returns the ends of the contact of two blobs where it is one straight line: clockwise around the first.
func (k *core) between(a, b int) (ends [2]int32, ok bool) {
	from, to := map[int32]bool{}, map[int32]bool{}
	dir := int32(-1)
	for _, e := range k.edges {
		u, v := e.u, e.v
		switch {
		case e.a == b && e.b == a:
			u, v = v, u
		case e.a != a || e.b != b:
			continue
		}
		if dir >= 0 && dir != e.dir {
			return ends, false
		}
		dir = e.dir
		from[u], to[v] = true, true
	}
	found := 0
	for v := range from {
		if !to[v] {
			ends[0] = v
			found++
		}
	}
	for v := range to {
		if !from[v] {
			ends[1] = v
			found++
		}
	}
	return ends, found == 2
}

// begin turns the ring so that it begins with the blob that lies first in the frame that to leads to.
func (k *core) begin(r *ring, to plane.Pose) {
	first := 0
	var least plane.Point
	for i, o := range r.around {
		p, _ := to.ApplyPolygon(k.blobs[o].outline).Box()
		if i == 0 || p.Cmp(least) < 0 {
			first, least = i, p
		}
	}
	r.around = slices.Concat(r.around[first:], r.around[:first])
	r.corner = slices.Concat(r.corner[first:], r.corner[:first])
}

// sewRing joins the first blob of the ring to the centre by a partial seam, then the others, each of which finds the one
// that it runs past in its place, and finishes the partial seam.
func (k *core) sewRing(r ring, to plane.Pose) assembly {
	n := len(r.around)
	var a assembly
	add := func(blob int) int {
		u, pose := k.w.build(k.blobs[blob].region, to, assembler{})
		a.parts = append(a.parts, part{u, pose})
		return len(a.parts) - 1
	}
	at := func(v int32) plane.Point { return k.w.s.points[v] }
	// Side i of the centre from the end where the blob stops to the end past which it runs.
	side := func(i int) (stop, past int32) {
		stop, past = r.corner[i], r.corner[(i+1)%n]
		if r.past < 0 {
			stop, past = past, stop
		}
		return stop, past
	}
	add(r.centre)
	first := add(r.around[0])
	stop, past := side(0)
	a.joins = append(a.joins, Join{A: 0, B: first, Kind: Partial, Seam: plane.Segment{A: at(stop), B: at(past)}})
	before := first
	for step := 1; step < n; step++ {
		i := (n - step*r.past) % n
		i = (i + n) % n
		p := add(r.around[i])
		stop, past := side(i)
		a.joins = append(a.joins,
			Join{A: 0, B: p, Seam: plane.Segment{A: at(stop), B: at(past)}},
			Join{A: before, B: p, OneGo: true, Seam: plane.Segment{A: at(past), B: at(k.outer(r, i, past))}})
		before = p
	}
	a.joins = append(a.joins, Join{A: before, B: first, Kind: Partial, Finish: true,
		Seam: plane.Segment{A: at(k.outer(r, 0, past)), B: at(past)}})
	return a
}

// outer returns the outer end of the seam along which blob i of the ring runs past the next.
func (k *core) outer(r ring, i int, inner int32) int32 {
	n := len(r.around)
	ends, _ := k.between(r.around[i], r.around[(i+r.past+n)%n])
	if ends[0] == inner {
		return ends[1]
	}
	return ends[0]
}

package piecing

import (
	"hash/fnv"
	"slices"

	"quiltwright/internal/diag"
	"quiltwright/internal/draft"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
	"quiltwright/internal/unit"
)

// Limits on the search, counted in regions and patches.
const (
	mostRegions      = 20_000
	mostRegionsQuick = 1_000
	mostSolved       = 1_000 // patches of a region that is solved as a whole
	mostSolvedPart   = 64    // patches of a part of a region that was too large
)

// builder collects units. Equal regions become one unit, wherever they are.
type builder struct {
	fabrics []cloth
	price   Pricer
	effort  Effort
	res     *residues
	made    []*made
	known   map[classKey]int
	savings map[digest]int // what a region saves by being a unit of the trade
	memory  *Memory        // nil: none
	found   diag.List
}

// cloth is what matters about a fabric here: whether two are the same, and how its print repeats when it is turned.
type cloth struct {
	word  uint64
	every int // eighths of a turn after which it looks the same
}

// made is a unit and what is known about it meanwhile.
type made struct {
	Unit
	class  class
	ref    spot  // of a patch, in the unit's frame
	lies   []lie // by part
	corner [8]plane.Point
	turned [8]bool // corner is known
}

func newBuilder(doc *quilt.Document, price Pricer, effort Effort) *builder {
	b := &builder{price: price, effort: effort, res: newResidues(), known: map[classKey]int{}, savings: map[digest]int{}}
	if b.price == nil {
		b.price = Usual
	}
	for _, f := range doc.Fabrics {
		h := fnv.New64a()
		h.Write([]byte(f.Letter))
		c := cloth{word: h.Sum64(), every: 1}
		switch f.Print {
		case quilt.OneWay:
			c.every = 8
		case quilt.TwoWay:
			c.every = 4
		}
		b.fabrics = append(b.fabrics, c)
	}
	return b
}

// Usual is the price list used where none is given: units that are commonly made several at a time or on the diagonal are
// worth keeping whole. Patches in a grid are as well sewn in rows.
func Usual(shape unit.Shape, _ []int) int {
	switch shape.Kind {
	case unit.HalfSquare, unit.HalfRectangle, unit.ThreeTriangles:
		return 100
	case unit.FlyingGeese, unit.Hourglass, unit.SquareInSquare, unit.Snowball:
		return 150
	case unit.RailFence:
		return 10
	}
	return 0
}

// work is one block being taken apart.
type work struct {
	b      *builder
	s      *sheet
	fabric []int
	up     []plane.Turn
	class  []class     // by patch
	cell   []int       // of which unit in a cell each patch is; 0: of none
	cells  map[int]int // how many patches each has
	first  []wish
	left   int // regions that may still be looked at
	large  bool

	// With a memory only:
	met    int // the last Take that used it
	looked int // regions, by all solvers
	solved map[string]*solved
	facts  map[string]*facts
	cores  map[string]*grown
}

// wish is a line that the writer wants taken first.
type wish struct {
	dir, rank int32
	line      plane.Segment
	granted   bool
}

// work returns the work on a block, which a memory may have seen before.
func (b *builder) work(patches []draft.Patch, first []plane.Segment) *work {
	if b.memory != nil {
		return b.memory.work(b, patches, first)
	}
	return b.newWork(patches, first)
}

func (b *builder) newWork(patches []draft.Patch, first []plane.Segment) *work {
	w := &work{b: b, left: 2 * b.most()}
	polygons := make([]plane.Polygon, len(patches))
	for i, p := range patches {
		polygons[i] = p.Outline
	}
	w.s = newSheet(b.res, polygons)
	// Most patches of a large block are alike: remember the classes by everything they depend on.
	type alike struct {
		shape  digest
		fabric int
		up     plane.Turn
	}
	classes := map[alike]class{}
	var corners []spot
	for i, p := range patches {
		w.fabric = append(w.fabric, p.Fabric)
		w.up = append(w.up, p.Up)
		corners = corners[:0]
		a := alike{fabric: p.Fabric, up: p.Up}
		for _, v := range w.s.corners[i] {
			corners = append(corners, w.s.spots[v].sub(w.s.ref[i]))
		}
		for k, c := range corners {
			a.shape.add(mix(uint64(k), c.x, c.y))
		}
		c, ok := classes[a]
		if !ok {
			f := b.fabrics[p.Fabric]
			c = patchClass(corners, f.word, int(p.Up)/45, f.every, evenRightTriangle(p.Outline))
			classes[a] = c
		}
		w.class = append(w.class, c)
	}
	w.cell, w.cells = make([]int, len(patches)), map[int]int{}
	for i, p := range patches {
		if w.cell[i] = p.Cell; p.Cell > 0 {
			w.cells[p.Cell]++
		}
	}
	for _, line := range first {
		w.first = append(w.first, w.wishFor(line))
	}
	return w
}

// most returns the limit on regions of one search.
func (b *builder) most() int {
	if b.effort == Quick {
		return mostRegionsQuick
	}
	return mostRegions
}

// evenRightTriangle reports whether the outline is a right triangle with equal legs.
func evenRightTriangle(pg plane.Polygon) bool {
	if len(pg) != 3 {
		return false
	}
	for i := range pg {
		a, b := pg[(i+1)%3].Sub(pg[i]), pg[(i+2)%3].Sub(pg[i])
		if a.X.Mul(b.X).Add(a.Y.Mul(b.Y)).IsZero() {
			return a.X.Mul(a.X).Add(a.Y.Mul(a.Y)).Equal(b.X.Mul(b.X).Add(b.Y.Mul(b.Y)))
		}
	}
	return false
}

// content returns the class of a region.
func (w *work) content(region []int32, grain bool) class {
	if len(region) == 1 {
		return w.class[region[0]]
	}
	return contentOf(ofPatches, len(region), func(i int) item {
		p := region[i]
		return item{w.s.ref[p], w.class[p]}
	}, grain)
}

// saves returns what a node's region saves by being a unit of the trade, 0 if it is none. cuts is the number of lines that take
// it apart. Most regions are ruled out by counting.
func (w *work) saves(sv *solver, n *node, cuts int) int {
	if w.drawn(sv, n) {
		return asDrawn + w.savesUndrawn(sv, n, cuts)
	}
	return w.savesUndrawn(sv, n, cuts)
}

// asDrawn is what a unit saves by being what the writer put in a cell: it is thought of as one thing.
const asDrawn = 40

// drawn reports whether a node is all of a unit that the writer put in a cell.
func (w *work) drawn(sv *solver, n *node) bool {
	if len(w.cells) == 0 {
		return false
	}
	region := sv.region(n.set)
	cell := w.cell[region[0]]
	if cell == 0 || w.cells[cell] != len(region) {
		return false
	}
	for _, p := range region {
		if w.cell[p] != cell {
			return false
		}
	}
	return true
}

func (w *work) savesUndrawn(sv *solver, n *node, cuts int) int {
	if n.n > mostRecognised || n.n > 5 && n.n != 9 && cuts != n.n-1 && cuts > 2 {
		return 0
	}
	region := sv.region(n.set)
	right, square := w.boxed(region)
	switch {
	case !right:
		return 0
	case slices.ContainsFunc(region, func(p int32) bool { return len(w.s.corners[p]) != 4 }):
		if n.n > 5 {
			return 0
		}
	case square && (n.n == 4 || n.n == 9 || cuts == n.n-1): // a grid, or rails
	case n.n < 5 || cuts > 2: // a cabin comes apart along its last log, or its last two
		return 0
	}
	return w.savesAs(region, sv.classOf(n))
}

// worth is saves for a region that no solver reached.
func (w *work) worth(region []int32) int { return w.savesAs(region, w.content(region, false)) }

// savesAs returns what a region of that class saves. Only rectangles save anything.
func (w *work) savesAs(region []int32, c class) int {
	if saved, ok := w.b.savings[c.digest]; ok {
		return saved
	}
	outline, _ := w.s.outline(region)
	shape := unit.Recognise(outline, w.patches(region))
	saved := 0
	if shape.Kind.Trade() {
		fabrics := make([]int, len(shape.Roles))
		for i, r := range shape.Roles {
			fabrics[i] = -1
			if r >= 0 {
				fabrics[i] = w.fabric[region[r]]
			}
		}
		saved = max(0, w.b.price(shape, fabrics))
	}
	w.b.savings[c.digest] = saved
	return saved
}

// patches returns a region in the form that unit asks for.
func (w *work) patches(region []int32) []unit.Patch {
	out := make([]unit.Patch, len(region))
	for i, p := range region {
		pg := make(plane.Polygon, len(w.s.corners[p]))
		for k, v := range w.s.corners[p] {
			pg[k] = w.s.points[v]
		}
		out[i].Outline = pg
	}
	return out
}

// boxed reports whether a region is a rectangle along the axes or the diagonals: then it fills its box. square: of equal sides.
func (w *work) boxed(region []int32) (right, square bool) {
	var area uint64
	for _, p := range region {
		area = addMod(area, w.s.area2[p])
	}
	width := func(d int) uint64 {
		dir := &w.s.dirs[d]
		lo, hi := dir.lo[region[0]], dir.hi[region[0]]
		for _, p := range region {
			lo, hi = min(lo, dir.lo[p]), max(hi, dir.hi[p])
		}
		return subMod(dir.marks[hi], dir.marks[lo])
	}
	x, y := width(1), width(0)
	if half := mulMod(x, y); addMod(half, half) == area {
		return true, x == y
	}
	falling, rising := w.s.diagonals[0], w.s.diagonals[1]
	if falling < 0 || rising < 0 {
		return false, false
	}
	// Offsets along the normals are √2 n.y times lengths.
	f, r := w.s.dirs[falling].spot.y, w.s.dirs[rising].spot.y
	x, y = width(falling), width(rising)
	return mulMod(x, y) == mulMod(mulMod(f, r), area), mulMod(x, r) == mulMod(y, f)
}

// wishFor finds the writer's line among those of the sheet; rank -1 where no edge lies along it.
func (w *work) wishFor(line plane.Segment) wish {
	f := wish{rank: -1, line: line}
	a, b := w.b.res.spot(line.A), w.b.res.spot(line.B)
	way := b.sub(a)
	for d := range w.s.ranked {
		dir := &w.s.dirs[d]
		if dir.spot.dot(way) != 0 {
			continue
		}
		if r := slices.Index(dir.marks, dir.spot.dot(a)); r >= 0 && dir.edge[r] {
			f.dir, f.rank = int32(d), int32(r)
		}
	}
	return f
}

// wish returns the number of the writer's first wish for the line.
func (w *work) wish(l cutLine) int {
	return slices.IndexFunc(w.first, func(f wish) bool { return f.dir == l.dir && f.rank == l.rank })
}

// reaches reports whether the writer's line runs along the line within the region, which the line cuts.
func (w *work) reaches(region []int32, l cutLine) bool {
	from, to := w.chord(region, l.dir, l.rank)
	for i := range w.first {
		f := &w.first[i]
		if f.dir != l.dir || f.rank != l.rank {
			continue
		}
		common, ok := plane.Common(plane.Segment{A: w.s.points[from], B: w.s.points[to]}, f.line)
		if ok && !common.A.Equal(common.B) {
			f.granted = true
			return true
		}
	}
	return false
}

// chord returns the first and the last of the region's corners on a line.
func (w *work) chord(region []int32, dir, rank int32) (from, to int32) {
	from, to = -1, -1
	for _, p := range region {
		for _, v := range w.s.corners[p] {
			if w.s.dirs[dir].rank[v] != rank {
				continue
			}
			if from < 0 || w.s.position(dir, v) < w.s.position(dir, from) {
				from = v
			}
			if to < 0 || w.s.position(dir, v) > w.s.position(dir, to) {
				to = v
			}
		}
	}
	return from, to
}

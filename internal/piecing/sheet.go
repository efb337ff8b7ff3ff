package piecing

import (
	"slices"

	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
)

// sheet is polygons that fill a region without gaps, in flat tables of small integers: which edges border on which
// polygon, and where every polygon lies along each direction, as ranks. Nothing after newSheet computes with coordinates.
type sheet struct {
	res    *residues
	points []plane.Point // by vertex
	spots  []spot        // by vertex

	corners [][]int32 // by polygon: its true corners, clockwise
	loops   [][]int32 // by polygon: its vertices clockwise, those included where other polygons' edges end
	twins   [][]int32 // by polygon and edge of the loop: the polygon on the other side, -1 outside
	along   [][]int32 // by polygon and edge of the loop: its direction
	ref     []spot    // by polygon: the mean of its corners
	area2   []uint64  // by polygon: residue of twice its area

	dirs   []direction // 0: lines that lie across, 1: lines that stand; then the others
	ranked int         // so many directions, from the first, have ranks
	// The directions of lines that fall and rise by 45 degrees; -1 where no ranked one does.
	diagonals [2]int

	label []int32 // by polygon: scratch, see mark
}

// direction is a family of parallel lines.
type direction struct {
	normal plane.Point // points down, or right
	spot   spot        // its residues
	// For ranked directions:
	values []exact.Num // by rank: normal · point
	marks  []uint64    // by rank: residue of the value
	rank   []int32     // by vertex
	lo, hi []int32     // by polygon: ranks
	edge   []bool      // by rank: an edge of a polygon lies along that line
}

// mostRanks limits directions times vertices. Beyond it the rarer directions are not taken apart along.
const mostRanks = 6_000_000

// newSheet returns the tables of the polygons. They must have no corner of 180 degrees and must not overlap.
func newSheet(res *residues, polygons []plane.Polygon) *sheet {
	s := &sheet{res: res, label: make([]int32, len(polygons))}
	s.readCorners(polygons)
	edges := s.readDirections()
	s.rankAll()
	s.split(edges)
	return s
}

func (s *sheet) readCorners(polygons []plane.Polygon) {
	n := 0
	for _, pg := range polygons {
		n += len(pg)
	}
	ids := make(map[spot]int32, n/3)
	all := make([]int32, 0, n)
	s.corners = make([][]int32, len(polygons))
	s.ref = make([]spot, len(polygons))
	s.area2 = make([]uint64, len(polygons))
	for i, pg := range polygons {
		start := len(all)
		var sum spot
		for _, p := range pg {
			at := s.res.spot(p)
			sum = sum.add(at)
			v, ok := ids[at]
			if !ok {
				v = int32(len(s.points))
				ids[at] = v
				s.points = append(s.points, p)
				s.spots = append(s.spots, at)
			}
			all = append(all, v)
		}
		c := all[start:len(all):len(all)]
		s.corners[i] = c
		s.ref[i] = sum.times(s.res.inv(uint64(len(pg))))
		for k := 1; k+1 < len(c); k++ {
			a, b := s.spots[c[k]].sub(s.spots[c[0]]), s.spots[c[k+1]].sub(s.spots[c[0]])
			s.area2[i] = addMod(s.area2[i], a.crossed(b))
		}
	}
}

// readDirections finds the directions and returns that of every edge between corners, polygon by polygon.
func (s *sheet) readDirections() []int32 {
	one := exact.Int(1)
	s.dirs = []direction{{normal: plane.Pt(exact.Num{}, one), spot: spot{0, 1}}, {normal: plane.Pt(one, exact.Num{}), spot: spot{1, 0}}}
	bySlope := map[uint64]int32{}
	var edges, used []int32
	used = make([]int32, 2)
	for _, c := range s.corners {
		for k, v := range c {
			w := c[(k+1)%len(c)]
			d := s.spots[w].sub(s.spots[v])
			var dir int32
			switch {
			case d.y == 0:
			case d.x == 0:
				dir = 1
			default:
				slope := mulMod(d.y, s.res.inv(d.x))
				var ok bool
				if dir, ok = bySlope[slope]; !ok {
					dir = int32(len(s.dirs))
					bySlope[slope] = dir
					way := s.points[w].Sub(s.points[v])
					n := plane.Pt(way.Y.Neg(), way.X)
					if !positive(n) {
						n = plane.Pt(way.Y, way.X.Neg())
					}
					s.dirs = append(s.dirs, direction{normal: n, spot: s.res.spot(n)})
					used = append(used, 0)
				}
			}
			used[dir]++
			edges = append(edges, dir)
		}
	}
	s.ranked = len(s.dirs)
	if most := max(2, mostRanks/max(1, len(s.points))); s.ranked > most {
		s.commonestFirst(used, edges)
		s.ranked = most
	}
	s.diagonals = [2]int{-1, -1}
	for d := 2; d < s.ranked; d++ {
		switch n := s.dirs[d].spot; {
		case addMod(n.x, n.y) == 0:
			s.diagonals[0] = d
		case n.x == n.y:
			s.diagonals[1] = d
		}
	}
	return edges
}

// commonestFirst orders the directions, but for the first two, by how many edges use them.
func (s *sheet) commonestFirst(used, edges []int32) {
	order := make([]int32, len(used))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortStableFunc(order[2:], func(a, b int32) int { return int(used[b] - used[a]) })
	dirs := make([]direction, len(order))
	place := make([]int32, len(order))
	for i, o := range order {
		dirs[i] = s.dirs[o]
		place[o] = int32(i)
	}
	s.dirs = dirs
	for i := range edges {
		edges[i] = place[edges[i]]
	}
}

// positive reports whether a normal points down, or else to the right.
func positive(n plane.Point) bool {
	y := n.Y.Sign()
	return y > 0 || y == 0 && n.X.Sign() > 0
}

func (s *sheet) rankAll() {
	for d := range s.ranked {
		dir := &s.dirs[d]
		dir.rank = make([]int32, len(s.points))
		ids := map[uint64]int32{}
		var values []exact.Num
		for v, p := range s.points {
			off := s.offset(d, int32(v))
			id, ok := ids[off]
			if !ok {
				id = int32(len(values))
				ids[off] = id
				switch d {
				case 0:
					values = append(values, p.Y)
				case 1:
					values = append(values, p.X)
				default:
					values = append(values, dir.normal.X.Mul(p.X).Add(dir.normal.Y.Mul(p.Y)))
				}
			}
			dir.rank[v] = id
		}
		order := make([]int32, len(values))
		for i := range order {
			order[i] = int32(i)
		}
		slices.SortFunc(order, func(a, b int32) int { return values[a].Cmp(values[b]) })
		place := make([]int32, len(values))
		dir.values, dir.marks = make([]exact.Num, len(values)), make([]uint64, len(values))
		for i, o := range order {
			place[o] = int32(i)
			dir.values[i], dir.marks[i] = values[o], s.res.of(values[o])
		}
		for v := range dir.rank {
			dir.rank[v] = place[dir.rank[v]]
		}
		dir.lo, dir.hi = make([]int32, len(s.corners)), make([]int32, len(s.corners))
		for i, c := range s.corners {
			lo, hi := dir.rank[c[0]], dir.rank[c[0]]
			for _, v := range c[1:] {
				lo, hi = min(lo, dir.rank[v]), max(hi, dir.rank[v])
			}
			dir.lo[i], dir.hi[i] = lo, hi
		}
		dir.edge = make([]bool, len(values))
	}
}

// offset returns the residue of where a vertex lies along a direction's normal.
func (s *sheet) offset(dir int, v int32) uint64 {
	switch dir {
	case 0:
		return s.spots[v].y
	case 1:
		return s.spots[v].x
	}
	return s.dirs[dir].spot.dot(s.spots[v])
}

// position returns where a vertex lies along a line of the direction, as a rank.
func (s *sheet) position(dir int32, v int32) int32 {
	if dir == 0 {
		return s.dirs[1].rank[v]
	}
	return s.dirs[0].rank[v]
}

// split divides the edges where other polygons' edges on the same line end, and finds each edge's other side.
func (s *sheet) split(edges []int32) {
	type line struct {
		dir    int32
		offset uint64
	}
	ids := map[line]int32{}
	var lines [][]int32
	of := make([]int32, len(edges))
	e := 0
	for _, c := range s.corners {
		for k, v := range c {
			dir := edges[e]
			l := line{dir, s.offset(int(dir), v)}
			id, ok := ids[l]
			if !ok {
				id = int32(len(lines))
				ids[l] = id
				lines = append(lines, nil)
				if int(dir) < s.ranked {
					s.dirs[dir].edge[s.dirs[dir].rank[v]] = true
				}
			}
			lines[id] = append(lines[id], v, c[(k+1)%len(c)])
			of[e] = id
			e++
		}
	}
	dirOf := make([]int32, len(lines))
	for i, id := range of {
		dirOf[id] = edges[i]
	}
	for i, vs := range lines {
		slices.SortFunc(vs, func(a, b int32) int { return int(s.position(dirOf[i], a) - s.position(dirOf[i], b)) })
		lines[i] = slices.Compact(vs)
	}

	n := len(s.corners)
	s.loops, s.along, s.twins = make([][]int32, n), make([][]int32, n), make([][]int32, n)
	owner := make(map[uint64]int32, len(edges))
	verts, alongs := make([]int32, 0, len(edges)), make([]int32, 0, len(edges))
	e = 0
	for i, c := range s.corners {
		start := len(verts)
		for k, v := range c {
			dir, vs := edges[e], lines[of[e]]
			from, to := s.position(dir, v), s.position(dir, c[(k+1)%len(c)])
			at, _ := slices.BinarySearchFunc(vs, from, func(w, p int32) int { return int(s.position(dir, w) - p) })
			step := 1
			if to < from {
				step = -1
			}
			for vs[at] != c[(k+1)%len(c)] {
				next := at + step
				verts, alongs = append(verts, vs[at]), append(alongs, dir)
				owner[uint64(vs[at])<<32|uint64(vs[next])] = int32(i)
				at = next
			}
			e++
		}
		s.loops[i], s.along[i] = verts[start:len(verts):len(verts)], alongs[start:len(alongs):len(alongs)]
	}
	twins := make([]int32, 0, len(verts))
	for i, loop := range s.loops {
		start := len(twins)
		for k, v := range loop {
			t, ok := owner[uint64(loop[(k+1)%len(loop)])<<32|uint64(v)]
			if !ok {
				t = -1
			}
			twins = append(twins, t)
		}
		s.twins[i] = twins[start:len(twins):len(twins)]
	}
}

// mark labels the polygons of a region with the number, which must not be 0.
func (s *sheet) mark(region []int32, as int32) {
	for _, i := range region {
		s.label[i] = as
	}
}

// border returns the outline of a region as vertices, clockwise, straight corners included. ok is false where it is not
// a single ring that visits every vertex once.
func (s *sheet) border(region []int32) (ring []int32, ok bool) {
	s.mark(region, 1)
	next := map[int32]int32{}
	first := int32(-1)
	ok = true
	for _, i := range region {
		loop := s.loops[i]
		for k, v := range loop {
			if t := s.twins[i][k]; t >= 0 && s.label[t] == 1 {
				continue
			}
			if _, twice := next[v]; twice {
				ok = false
			}
			next[v] = loop[(k+1)%len(loop)]
			if first < 0 {
				first = v
			}
		}
	}
	s.mark(region, 0)
	for v := first; v >= 0; {
		ring = append(ring, v)
		w, more := next[v]
		if !more || w == first || len(ring) > len(next) {
			break
		}
		v = w
	}
	return ring, ok && len(ring) == len(next)
}

// outline returns the outline of a region, from its least corner; ok as for border.
func (s *sheet) outline(region []int32) (plane.Polygon, bool) {
	if len(region) == 1 {
		pg := make(plane.Polygon, len(s.corners[region[0]]))
		for i, v := range s.corners[region[0]] {
			pg[i] = s.points[v]
		}
		return pg.Canonical(), true
	}
	ring, ok := s.border(region)
	var pg plane.Polygon
	for i, v := range ring {
		a, b := s.spots[ring[(i+len(ring)-1)%len(ring)]], s.spots[ring[(i+1)%len(ring)]]
		p := s.spots[v]
		if p.sub(a).crossed(b.sub(p)) != 0 {
			pg = append(pg, s.points[v])
		}
	}
	return pg.Canonical(), ok
}

// least returns the top left corner of a region's box.
func (s *sheet) least(region []int32) plane.Point {
	x, y := s.dirs[1].lo[region[0]], s.dirs[0].lo[region[0]]
	for _, i := range region[1:] {
		x, y = min(x, s.dirs[1].lo[i]), min(y, s.dirs[0].lo[i])
	}
	return plane.Pt(s.dirs[1].values[x], s.dirs[0].values[y])
}

package plane

import (
	"cmp"
	"math"
	"slices"
)

// rank renumbers the vertices in the order of points, and sorts each stretch's vertices along it, which is the same order.
func (m *mesh) rank() {
	type placed struct {
		x, y float64
		v    int32
	}
	order := make([]placed, len(m.points))
	largest := 0.0
	for v, p := range m.points {
		order[v] = placed{p.X.Float(), p.Y.Float(), int32(v)}
		largest = max(largest, math.Abs(order[v].x), math.Abs(order[v].y))
	}
	const rounding = 1e-12
	margin := largest * rounding // floats farther apart than this are in the order of the exact numbers
	slices.SortFunc(order, func(a, b placed) int {
		if math.Abs(a.y-b.y) > margin {
			return cmp.Compare(a.y, b.y)
		}
		if c := m.points[a.v].Y.Cmp(m.points[b.v].Y); c != 0 {
			return c
		}
		if math.Abs(a.x-b.x) > margin {
			return cmp.Compare(a.x, b.x)
		}
		return m.points[a.v].X.Cmp(m.points[b.v].X)
	})
	points, renumbered := make([]Point, len(order)), make([]int32, len(order))
	for i, o := range order {
		points[i], renumbered[o.v] = m.points[o.v], int32(i)
	}
	m.points, m.byKey = points, nil
	for i := range m.stretches {
		vs := m.stretches[i].vertices
		for j, v := range vs {
			vs[j] = renumbered[v]
		}
		slices.Sort(vs)
		m.stretches[i].vertices = slices.Compact(vs)
	}
}

// connect makes the edges between neighbours on each stretch.
func (m *mesh) connect(slopes int) {
	m.first = make([]int32, len(m.points)+1)
	for _, s := range m.stretches {
		for i, v := range s.vertices {
			if i > 0 {
				m.first[v+1]++
			}
			if i < len(s.vertices)-1 {
				m.first[v+1]++
			}
		}
	}
	for v := range m.points {
		m.first[v+1] += m.first[v]
	}
	m.leaving = make([]half, m.first[len(m.points)])
	m.gone = make([]bool, len(m.leaving))
	free := slices.Clone(m.first)
	// The stretches rise in slope, so the edges that point east or down arrive sorted, and those that point west or up
	// after them: no vertex needs sorting.
	for i := range m.stretches {
		s := &m.stretches[i]
		for j := 1; j < len(s.vertices); j++ {
			v := s.vertices[j-1]
			m.leaving[free[v]] = half{to: s.vertices[j], turn: s.slope}
			free[v]++
		}
	}
	for i := range m.stretches {
		s := &m.stretches[i]
		for j := 1; j < len(s.vertices); j++ {
			v := s.vertices[j]
			m.leaving[free[v]] = half{to: s.vertices[j-1], turn: s.slope + int32(slopes)}
			free[v]++
		}
	}
	for v := range m.points {
		for e := m.first[v]; e < m.first[v+1]; e++ {
			if twin := &m.leaving[e]; int(twin.turn) < slopes {
				back := m.find(twin.to, twin.turn+int32(slopes))
				m.leaving[e].twin, m.leaving[back].twin = back, e
			}
		}
	}
}

// find returns the half-edge that leaves v with a turn.
func (m *mesh) find(v, turn int32) int32 {
	for e := m.first[v]; e < m.first[v+1]; e++ {
		if m.leaving[e].turn == turn {
			return e
		}
	}
	panic("plane: every edge has a twin")
}

// prune takes away the edges that hang loose, tail by tail, and returns the loose ends in the order of points.
func (m *mesh) prune() []Point {
	degree := make([]int32, len(m.points))
	var ends []Point
	var hanging []int32
	for v := range m.points {
		degree[v] = m.first[v+1] - m.first[v]
		if degree[v] == 1 {
			ends = append(ends, m.points[v])
			hanging = append(hanging, int32(v))
		}
	}
	for len(hanging) > 0 {
		v := hanging[len(hanging)-1]
		hanging = hanging[:len(hanging)-1]
		for e := m.first[v]; e < m.first[v+1]; e++ {
			if m.gone[e] {
				continue
			}
			to := m.leaving[e].to
			m.gone[e], m.gone[m.leaving[e].twin] = true, true
			degree[v]--
			degree[to]--
			if degree[to] == 1 {
				hanging = append(hanging, to)
			}
		}
	}
	return ends
}

// after returns the half-edge that follows e round the face on its right: the first to leave e's end going
// counter-clockwise from where e came. wraps tells that it passed east on the way.
func (m *mesh) after(e int32) (next int32, wraps bool) {
	back := m.leaving[e].twin
	v := m.leaving[e].to
	for next = back; ; {
		next--
		if next < m.first[v] {
			next, wraps = m.first[v+1]-1, true
		}
		if !m.gone[next] {
			return next, wraps
		}
	}
}

// faces walks round every face and returns those that are simple, and an error for the first that is not.
func (m *mesh) faces() ([]Polygon, error) {
	done := slices.Clone(m.gone)
	seen := make([]int32, len(m.points)) // the walk that passed a vertex last, from 1
	var all [][]int32                    // vertices of each face
	var bad *Error
	fail := func(at int32) {
		if bad == nil || m.points[at].Cmp(bad.At) < 0 {
			bad = &Error{At: m.points[at], Segment: -1,
				Says: "the lines close a ring inside a patch and leave a hole in it"}
		}
	}
	walk := int32(0)
	var steps []int32
	for e := range m.leaving {
		if done[e] {
			continue
		}
		// Vertices rise with e, so the first unwalked half-edge of a face leaves its least vertex.
		walk++
		least := m.leaving[m.leaving[e].twin].to
		steps = steps[:0]
		wraps, pinched := false, int32(-1)
		for at := int32(e); !done[at]; {
			done[at] = true
			steps = append(steps, at)
			next, wrapped := m.after(at)
			v := m.leaving[at].to
			wraps = wraps || wrapped && v == least
			if seen[v] == walk && (pinched < 0 || v < pinched) {
				pinched = v
			}
			seen[v] = walk
			at = next
		}
		switch {
		case wraps && least > 0:
			fail(least)
		case wraps: // the whole rectangle from outside: its least vertex is the least of all
		case pinched >= 0:
			fail(pinched)
		default:
			all = append(all, m.corners(steps))
		}
	}
	slices.SortFunc(all, slices.Compare[[]int32])
	count := 0
	for _, vs := range all {
		count += len(vs)
	}
	backing := make([]Point, 0, count)
	faces := make([]Polygon, len(all))
	for i, vs := range all {
		from := len(backing)
		for _, v := range vs {
			backing = append(backing, m.points[v])
		}
		faces[i] = Polygon(backing[from:len(backing):len(backing)])
	}
	if bad != nil {
		return faces, bad
	}
	return faces, nil
}

// corners returns the vertices that a face's outline keeps, from the least: true corners, and those where another line ends.
func (m *mesh) corners(steps []int32) []int32 {
	vs := make([]int32, 0, len(steps))
	for i, e := range steps {
		v := m.leaving[m.leaving[e].twin].to
		before := steps[(i+len(steps)-1)%len(steps)]
		if m.leaving[before].turn != m.leaving[e].turn || m.degree(v) > 2 {
			vs = append(vs, v)
		}
	}
	return vs
}

// degree returns how many edges of v are left.
func (m *mesh) degree(v int32) int {
	n := 0
	for e := m.first[v]; e < m.first[v+1]; e++ {
		if !m.gone[e] {
			n++
		}
	}
	return n
}

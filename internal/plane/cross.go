package plane

import (
	"math"
	"slices"
)

// mesh is an arrangement in the making: the points where stretches meet and the edges between them.
type mesh struct {
	stretches []stretch
	points    []Point // by vertex
	byKey     map[string]int32
	key       []byte

	// The edges that leave each vertex, by slope from east clockwise: those of vertex v are leaving[first[v]:first[v+1]].
	// An edge and its twin are two half-edges, one each way.
	first   []int32
	leaving []half
	gone    []bool // pruned half-edges
}

// half is an edge seen from one of its ends.
type half struct {
	to   int32
	turn int32 // the slope's rank; the number of slopes more where it points west or up
	twin int32 // the same edge from the other end
}

// vertex returns the vertex at p, a new one where there is none.
func (m *mesh) vertex(p Point) int32 {
	m.key = p.AppendKey(m.key[:0])
	if v, ok := m.byKey[string(m.key)]; ok {
		return v
	}
	v := int32(len(m.points))
	m.points = append(m.points, p)
	m.byKey[string(m.key)] = v
	return v
}

// cross finds every point where stretches meet, the ends included, and enters it in each. The rectangle's size only
// scales the buckets.
//
// A raster of buckets over the rectangle says which stretches come near each other; within a bucket only those of
// different slopes are tried, since parallel stretches do not meet once merged.
func (m *mesh) cross(w, h float64) error {
	for i := range m.stretches {
		s := &m.stretches[i]
		s.vertices = append(s.vertices, m.vertex(s.A), m.vertex(s.B))
	}
	buckets := m.buckets(w, h)
	tests := 0
	for b := range len(buckets.start) - 1 {
		near := buckets.items[buckets.start[b]:buckets.start[b+1]] // rising in slope
		for next, i := 0, 0; i < len(near); i++ {
			s := &m.stretches[near[i]]
			for next < len(near) && m.stretches[near[next]].slope == s.slope {
				next++
			}
			tests += len(near) - next
			for _, j := range near[next:] {
				t := &m.stretches[j]
				if apart(s, t) || apart(t, s) {
					continue
				}
				p, how := meet(s, t)
				if how == Apart {
					continue
				}
				v := m.vertex(p)
				s.vertices = append(s.vertices, v)
				t.vertices = append(t.vertices, v)
			}
			if tests > mostTests || len(m.points) > mostVertices {
				return &Error{At: s.A, Segment: -1, Says: "too many lines cross each other"}
			}
		}
	}
	return nil
}

// meet is Meet without division for the two commonest slopes; it may call a touch a crossing.
func meet(s, t *stretch) (Point, Meeting) {
	if s.A.Y == s.B.Y && t.A.X == t.B.X {
		if t.A.X.Less(s.A.X) || s.B.X.Less(t.A.X) || s.A.Y.Less(t.A.Y) || t.B.Y.Less(s.A.Y) {
			return Point{}, Apart
		}
		return Point{t.A.X, s.A.Y}, Crossing
	}
	return Meet(s.Segment, t.Segment)
}

// apart reports whether t lies clearly to one side of the line through s. The bound is far above the rounding of floats,
// so a true answer is certain; a false one is not.
func apart(s, t *stretch) bool {
	const rounding = 1e-12
	ux, uy := s.bx-s.ax, s.by-s.ay
	ax, ay, bx, by := t.ax-s.ax, t.ay-s.ay, t.bx-s.ax, t.by-s.ay
	size := math.Abs(s.ax) + math.Abs(s.ay) + math.Abs(s.bx) + math.Abs(s.by) +
		math.Abs(t.ax) + math.Abs(t.ay) + math.Abs(t.bx) + math.Abs(t.by)
	bound := rounding * size * size
	a, b := ux*ay-uy*ax, ux*by-uy*bx
	return a > bound && b > bound || a < -bound && b < -bound
}

// buckets is a raster with the stretches that come near each of its fields: items[start[i]:start[i+1]].
type buckets struct {
	start []int32
	items []int32
}

func (m *mesh) buckets(w, h float64) buckets {
	const mostItems = 4_000_000
	reach := 1.0
	for _, s := range m.stretches {
		reach += math.Abs(s.bx-s.ax)/w + (s.by-s.ay)/h
	}
	side := int(min(math.Sqrt(float64(len(m.stretches))), mostItems/reach, 512))
	side = max(side, 1)
	var b buckets
	b.start = make([]int32, side*side+1)
	m.visit(w, h, side, func(field int, _ int32) { b.start[field+1]++ })
	for i := range side * side {
		b.start[i+1] += b.start[i]
	}
	b.items = make([]int32, b.start[side*side])
	fill := slices.Clone(b.start)
	m.visit(w, h, side, func(field int, i int32) {
		b.items[fill[field]] = i
		fill[field]++
	})
	return b
}

// visit calls do for each field of the raster that a stretch comes near, stretch by stretch.
func (m *mesh) visit(w, h float64, side int, do func(field int, stretch int32)) {
	const margin = 1e-6 // of a field: a stretch on a field's edge belongs to both
	n := float64(side)
	field := func(x float64) int { return min(max(int(math.Floor(x)), 0), side-1) }
	for i := range m.stretches {
		s := &m.stretches[i]
		x0, y0, x1, y1 := s.ax/w*n, s.ay/h*n, s.bx/w*n, s.by/h*n // y0 <= y1
		top, bottom := field(y0-margin), field(y1+margin)
		for row := top; row <= bottom; row++ {
			// The stretch's reach in x between this row's edges.
			xa, xb := x0, x1
			if y1 > y0 {
				run := (x1 - x0) / (y1 - y0)
				if cut := float64(row) - margin; cut > y0 {
					xa = x0 + (cut-y0)*run
				}
				if cut := float64(row+1) + margin; cut < y1 {
					xb = x0 + (cut-y0)*run
				}
			}
			if xa > xb {
				xa, xb = xb, xa
			}
			for column := field(xa - margin); column <= field(xb+margin); column++ {
				do(row*side+column, int32(i))
			}
		}
	}
}

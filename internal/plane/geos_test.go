package plane

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"testing"

	"quiltwright/internal/exact"
)

const drawings, apartBy = 500, 100 // drawing i stands at x = 100 i, so that one run of geosop serves them all

// randomDrawing returns lines in a square of the given side: some from edge to edge, some that end anywhere, some on
// others' ends, some repeated or on the sides.
func randomDrawing(r *rand.Rand, side int64) []Segment {
	coordinate := func() exact.Num {
		if r.IntN(4) == 0 {
			return exact.Frac(r.Int64N(4*side+1), 4)
		}
		return exact.Int(r.Int64N(side + 1))
	}
	anywhere := func() Point { return Pt(coordinate(), coordinate()) }
	onEdge := func() Point {
		p := anywhere()
		switch r.IntN(4) {
		case 0:
			p.X = exact.Int(0)
		case 1:
			p.X = exact.Int(side)
		case 2:
			p.Y = exact.Int(0)
		default:
			p.Y = exact.Int(side)
		}
		return p
	}
	var lines []Segment
	if r.IntN(4) == 0 { // a ring, often inside a face
		a, b, c := anywhere(), anywhere(), anywhere()
		lines = append(lines, Segment{a, b}, Segment{b, c}, Segment{c, a})
	}
	for range 1 + r.IntN(15) {
		var s Segment
		switch r.IntN(4) {
		case 0:
			s = Segment{anywhere(), anywhere()}
		case 1:
			s = Segment{onEdge(), anywhere()}
		default:
			s = Segment{onEdge(), onEdge()}
		}
		if len(lines) > 0 && r.IntN(3) == 0 {
			other := lines[r.IntN(len(lines))]
			s.A = []Point{other.A, other.B, other.Mid()}[r.IntN(3)]
			if r.IntN(4) == 0 {
				s.B = Segment{other.A, s.A}.Mid() // along the other
			}
		}
		lines = append(lines, s)
	}
	return lines
}

// float is a polygon of GEOS or of ours, to compare.
type float struct {
	ring  [][2]float64
	holed bool
}

// measures returns the area, taken positive, and the centroid.
func (f float) measures() (area, x, y float64) {
	for i, a := range f.ring {
		b := f.ring[(i+1)%len(f.ring)]
		c := a[0]*b[1] - b[0]*a[1]
		area, x, y = area+c/2, x+(a[0]+b[0])*c/6, y+(a[1]+b[1])*c/6
	}
	return math.Abs(area), x / area, y / area
}

const near = 1e-6 // far above the rounding of floats, far below the least side of a face

// same reports whether the two have one area and centroid, and every vertex of f is one of g.
func (f float) same(g float) bool {
	fa, fx, fy := f.measures()
	ga, gx, gy := g.measures()
	if math.Abs(fa-ga) > near || math.Hypot(fx-gx, fy-gy) > near {
		return false
	}
	for _, p := range f.ring {
		if !slices.ContainsFunc(g.ring, func(q [2]float64) bool { return math.Hypot(p[0]-q[0], p[1]-q[1]) < near }) {
			return false
		}
	}
	return true
}

// polygonize has GEOS cut the drawings up, and returns its polygons by drawing, in each drawing's own place.
func polygonize(t *testing.T, side int64, all [][]Segment) [][]float {
	if _, err := exec.LookPath("geosop"); err != nil {
		t.Fatal("geosop, an independent judge of this test, is missing: apt-get install geos-bin")
	}
	var wkt strings.Builder
	for i, lines := range all {
		left := i * apartBy
		fmt.Fprintf(&wkt, "MULTILINESTRING((%[1]d 0,%[2]d 0,%[2]d %[3]d,%[1]d %[3]d,%[1]d 0)", left, left+int(side), side)
		for _, s := range lines {
			if !s.A.Equal(s.B) {
				fmt.Fprintf(&wkt, ",(%v %v,%v %v)", float64(left)+s.A.X.Float(), s.A.Y.Float(), float64(left)+s.B.X.Float(), s.B.Y.Float())
			}
		}
		wkt.WriteString(")\n")
	}
	run := func(op string, in []byte) []byte {
		cmd := exec.Command("geosop", "-a", "stdin", "-f", "wkt", op)
		cmd.Stdin = bytes.NewReader(in)
		out, err := cmd.CombinedOutput()
		if err != nil {
			t.Fatalf("geosop %s: %v\n%s", op, err, out)
		}
		return out
	}
	out := run("polygonize", run("unaryUnion", []byte(wkt.String())))
	polygons := make([][]float, len(all))
	for line := range strings.Lines(string(out)) {
		body, ok := strings.CutPrefix(strings.TrimSpace(line), "POLYGON ((")
		if !ok {
			t.Fatalf("geosop says %q", line)
		}
		shell, _, holed := strings.Cut(strings.TrimSuffix(body, "))"), "), (")
		f := float{holed: holed}
		points := strings.Split(shell, ", ")
		drawing := -1
		for _, p := range points[1:] { // the last repeats the first
			xs, ys, _ := strings.Cut(p, " ")
			x, err1 := strconv.ParseFloat(xs, 64)
			y, err2 := strconv.ParseFloat(ys, 64)
			if err1 != nil || err2 != nil {
				t.Fatalf("geosop says %q", line)
			}
			drawing = int(x+1) / apartBy
			f.ring = append(f.ring, [2]float64{x - float64(drawing*apartBy), y})
		}
		// Where more than two lines cross in one point, GEOS's floats open slivers of a rounding's width there.
		if area, _, _ := f.measures(); area > 1e-9 {
			polygons[drawing] = append(polygons[drawing], f)
		}
	}
	return polygons
}

// TestAgreesWithGEOS compares the faces of random drawings with GEOS's, polygon by polygon.
func TestAgreesWithGEOS(t *testing.T) {
	const side, seed = 12, 20270108
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 0))
	all := make([][]Segment, drawings)
	for i := range all {
		all[i] = randomDrawing(r, side)
	}
	theirs := polygonize(t, side, all)
	holed, looseEnds, faces := 0, 0, 0
	for i, lines := range all {
		got, err := Arrange(exact.Int(side), exact.Int(side), lines)
		if want := slices.ContainsFunc(theirs[i], func(f float) bool { return f.holed }); (err != nil) != want {
			t.Errorf("drawing %d %v: error %v, GEOS finds a hole: %v", i, lines, err, want)
			continue
		}
		checkLoose(t, side, lines, got.Loose)
		looseEnds += len(got.Loose)
		if err != nil {
			holed++
		} else {
			checkCover(t, exact.Int(side), exact.Int(side), got.Faces)
			if len(got.Faces) != len(theirs[i]) {
				t.Errorf("drawing %d %v: %d faces, GEOS %d", i, lines, len(got.Faces), len(theirs[i]))
			}
		}
		ours := make([]float, len(got.Faces))
		for j, f := range got.Faces {
			for _, p := range f {
				ours[j].ring = append(ours[j].ring, [2]float64{p.X.Float(), p.Y.Float()})
			}
		}
		for _, g := range theirs[i] {
			if g.holed {
				continue
			}
			faces++
			if !slices.ContainsFunc(ours, func(f float) bool { return f.same(g) }) {
				t.Errorf("drawing %d %v: no face is GEOS's %v", i, lines, g.ring)
			}
		}
	}
	t.Logf("%d drawings, %d faces compared, %d with a hole, %d loose ends", drawings, faces, holed, looseEnds)
	if holed < 10 || holed > drawings/2 || looseEnds < 100 || faces < 2000 {
		t.Error("the drawings are too much alike to test anything")
	}
}

// checkLoose counts the directions in which lines leave each end: a loose one has a single direction.
func checkLoose(t *testing.T, side int64, lines []Segment, got []Loose) {
	t.Helper()
	all := append(slices.Clone(lines), Rectangle(exact.Int(side), exact.Int(side)).Edges()...)
	var want []string
	for i, s := range lines {
		if s.A.Equal(s.B) {
			want = append(want, fmt.Sprintf("%d@%v", i, s.A))
			continue
		}
		for _, p := range []Point{s.A, s.B} {
			var ways []Point
			first := true
			for j, u := range all {
				if u.A.Equal(u.B) || !u.Contains(p) {
					continue
				}
				first = first && (j >= i || !u.A.Equal(p) && !u.B.Equal(p))
				for _, q := range []Point{u.A, u.B} {
					v := q.Sub(p)
					if !q.Equal(p) && !slices.ContainsFunc(ways, func(w Point) bool { return crossed(v, w).IsZero() && dotted(v, w).Sign() > 0 }) {
						ways = append(ways, v)
					}
				}
			}
			if len(ways) == 1 && first {
				want = append(want, fmt.Sprintf("%d@%v", i, p))
			}
		}
	}
	var have []string
	for _, l := range got {
		have = append(have, fmt.Sprintf("%d@%v", l.Segment, l.At))
	}
	slices.Sort(want)
	slices.Sort(have)
	if !slices.Equal(want, have) {
		t.Errorf("loose in %v: %v, want %v", lines, have, want)
	}
}

package compile

import (
	"cmp"
	"flag"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"quiltwright/internal/plan"
)

// A seam allowance is a mitred offset (docs/craft.md, Cut sizes), and GEOS, the geometry engine of many maps, has one of its own.
// What GEOS 3.11.1 answered is kept in testdata/mitre.txt; go test -geos ./internal/compile asks it again, through
// testdata/mitre.c, which needs a C compiler and Debian's libgeos-dev.
var askGEOS = flag.Bool("geos", false, "ask GEOS for the mitred buffers again and rewrite testdata/mitre.txt")

const mitreFile = "testdata/mitre.txt"

// corners is a polygon in the order of its file or plan.
type corners [][2]float64

func (c corners) String() string {
	var b strings.Builder
	for i := range len(c) + 1 {
		p := c[i%len(c)]
		if i > 0 {
			b.WriteString(", ")
		}
		b.WriteString(strconv.FormatFloat(p[0], 'g', 12, 64) + " " + strconv.FormatFloat(p[1], 'g', 12, 64))
	}
	return "POLYGON ((" + b.String() + "))"
}

// triangle is the triangle that a polygon was before its tips were cut off: its three longest sides, run on until they meet.
func (c corners) triangle() corners {
	long := func(k int) float64 {
		a, b := c[k], c[(k+1)%len(c)]
		return math.Hypot(b[0]-a[0], b[1]-a[1])
	}
	sides := make([]int, len(c))
	for k := range sides {
		sides[k] = k
	}
	slices.SortFunc(sides, func(a, b int) int { return cmp.Compare(long(b), long(a)) })
	sides = sides[:3]
	slices.Sort(sides)
	var out corners
	for n, k := range sides {
		a, b := c[k], c[(k+1)%len(c)]
		j := sides[(n+1)%3]
		p, q := c[j], c[(j+1)%len(c)]
		u, v := [2]float64{b[0] - a[0], b[1] - a[1]}, [2]float64{q[0] - p[0], q[1] - p[1]}
		t := ((p[0]-a[0])*v[1] - (p[1]-a[1])*v[0]) / (u[0]*v[1] - u[1]*v[0])
		out = append(out, [2]float64{a[0] + t*u[0], a[1] + t*u[1]})
	}
	return out
}

// readPolygon reads a polygon without holes as GEOS writes it.
func readPolygon(t *testing.T, s string) corners {
	t.Helper()
	inner, ok := strings.CutPrefix(s, "POLYGON ((")
	inner, closed := strings.CutSuffix(inner, "))")
	if !ok || !closed || strings.ContainsAny(inner, "()") {
		t.Fatalf("not one polygon without holes: %s", s)
	}
	var out corners
	for _, pair := range strings.Split(inner, ", ") {
		var p [2]float64
		if _, err := fmt.Sscan(pair, &p[0], &p[1]); err != nil {
			t.Fatalf("%s: %v", s, err)
		}
		out = append(out, p)
	}
	return out[:len(out)-1]
}

// walk lists, clockwise as seen from each true corner to the next, how long the side is and how far the corner turns, so that
// polygons that differ only in where they lie and how they are turned have the same list, but for where it begins.
func (c corners) walk() [][2]float64 {
	c = slices.Clone(c)
	area := 0.0
	for i, a := range c {
		b := c[(i+1)%len(c)]
		area += a[0]*b[1] - a[1]*b[0]
	}
	if area < 0 { // y runs down: clockwise has the positive area
		slices.Reverse(c)
	}
	angle := func(a, b [2]float64) float64 { return math.Atan2(b[1]-a[1], b[0]-a[0]) }
	var turns corners
	for i, p := range c {
		a, b := c[(i+len(c)-1)%len(c)], c[(i+1)%len(c)]
		if math.Abs(math.Remainder(angle(p, b)-angle(a, p), 2*math.Pi)) > 1e-4 {
			turns = append(turns, p)
		}
	}
	var out [][2]float64
	for i, p := range turns {
		q, r := turns[(i+1)%len(turns)], turns[(i+2)%len(turns)]
		out = append(out, [2]float64{math.Hypot(q[0]-p[0], q[1]-p[1]), math.Remainder(angle(q, r)-angle(p, q), 2*math.Pi)})
	}
	return out
}

// congruent reports whether one polygon covers the other when moved and turned, not turned over.
func congruent(a, b corners) bool {
	x, y := a.walk(), b.walk()
	if len(x) != len(y) {
		return false
	}
	for shift := range x {
		same := true
		for i := range x {
			v := y[(i+shift)%len(y)]
			same = same && math.Abs(x[i][0]-v[0]) < 2e-5 && math.Abs(x[i][1]-v[1]) < 2e-5
		}
		if same {
			return true
		}
	}
	return false
}

// outside is how far a point lies outside a polygon; 0 within it.
func (c corners) outside(p [2]float64) float64 {
	in, near := false, math.Inf(1)
	for i, a := range c {
		b := c[(i+1)%len(c)]
		if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(p[1]-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
			in = !in
		}
		dx, dy := b[0]-a[0], b[1]-a[1]
		k := min(1, max(0, ((p[0]-a[0])*dx+(p[1]-a[1])*dy)/(dx*dx+dy*dy)))
		near = min(near, math.Hypot(a[0]+k*dx-p[0], a[1]+k*dy-p[1]))
	}
	if in {
		return 0
	}
	return near
}

// lying moves a piece's outline into the frame of the unit that it is cut for.
func lying(c corners, lie *plan.Pose) corners {
	sin, cos := math.Sincos(float64(lie.Turn) * math.Pi / 180)
	var out corners
	for _, p := range c {
		out = append(out, [2]float64{p[0]*cos - p[1]*sin + float64(lie.At[0]), p[0]*sin + p[1]*cos + float64(lie.At[1])})
	}
	return out
}

// knownMitres reads what GEOS answered: a question and its answer on lines that follow each other.
func knownMitres(t *testing.T) map[string]string {
	t.Helper()
	known := map[string]string{}
	src, err := os.ReadFile(mitreFile)
	if err != nil {
		if *askGEOS {
			return known
		}
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(src)), "\n")
	for i := 0; i+1 < len(lines); i += 2 {
		known[lines[i]] = lines[i+1]
	}
	return known
}

// mitres has GEOS answer every question.
func mitres(t *testing.T, questions []string) []string {
	t.Helper()
	program := filepath.Join(t.TempDir(), "mitre")
	if out, err := exec.Command("cc", "-o", program, "testdata/mitre.c", "-lgeos_c").CombinedOutput(); err != nil {
		t.Fatalf("testdata/mitre.c: %v\n%s", err, out)
	}
	ask := exec.Command(program)
	ask.Stdin = strings.NewReader(strings.Join(questions, "\n") + "\n")
	out, err := ask.Output()
	if err != nil {
		t.Fatalf("GEOS: %v", err)
	}
	answers := strings.Split(strings.TrimSpace(string(out)), "\n")
	if len(answers) != len(questions) {
		t.Fatalf("%d answers to %d questions", len(answers), len(questions))
	}
	return answers
}

// Every patch that is cut as a piece of its own is cut, before the ruler rounds it, by the mitred buffer of its finished outline;
// as printed it holds that buffer.
func TestRawOutlinesAreMitredBuffers(t *testing.T) {
	type cut struct {
		where, question string
		piece           *plan.Piece
		lie             *plan.Pose
	}
	var cuts []cut
	var questions []string
	for _, pattern := range []string{"../../examples/*.yaml", "../../blocks/*.yaml"} {
		files, err := filepath.Glob(pattern)
		if err != nil || len(files) == 0 {
			t.Fatalf("%s: %v, %d files", pattern, err, len(files))
		}
		for _, f := range files {
			src, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			p := Compile(f, src, Options{}).Plan
			pieces := map[string]*plan.Piece{}
			for i := range p.Pieces {
				pieces[p.Pieces[i].Label] = &p.Pieces[i]
			}
			for i := range p.Units {
				u := &p.Units[i]
				if u.Piece == "" {
					continue
				}
				var finished corners
				for _, v := range u.Outline {
					finished = append(finished, [2]float64{float64(v.X), float64(v.Y)})
				}
				if len(finished) > 3 && pieces[u.Piece].Shape == "quarter square" {
					finished = finished.triangle() // cut whole, and trimmed to less
				}
				q := fmt.Sprintf("%g %s", p.Seam, finished)
				cuts = append(cuts, cut{filepath.Base(f) + " " + u.Piece, q, pieces[u.Piece], u.Lie})
				if !slices.Contains(questions, q) {
					questions = append(questions, q)
				}
			}
		}
	}
	known := knownMitres(t)
	if *askGEOS {
		var b strings.Builder
		for i, a := range mitres(t, questions) {
			known[questions[i]] = a
			fmt.Fprintf(&b, "%s\n%s\n", questions[i], a)
		}
		if err := os.WriteFile(mitreFile, []byte(b.String()), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range cuts {
		answer, ok := known[c.question]
		if !ok {
			t.Errorf("%s: GEOS was never asked about %s: run go test -geos ./internal/compile", c.where, c.question)
			continue
		}
		want := readPolygon(t, answer)
		exact := *c.piece
		if len(exact.Outline) == 0 {
			exact.Width, exact.Height = exact.Exact[0], exact.Exact[1]
		}
		if got := corners(exact.Raw()); !congruent(got, want) {
			t.Errorf("%s, a %s: cut by %v, GEOS says %v", c.where, c.piece.Shape, got, want)
		}
		cloth := lying(c.piece.Raw(), c.lie)
		for _, p := range want {
			if d := cloth.outside(p); d > 2e-5 {
				t.Errorf("%s, a %s: the cloth %v misses %v by %g", c.where, c.piece.Shape, cloth, p, d)
			}
		}
	}
	t.Logf("%d pieces of %d outlines", len(cuts), len(questions))
	if len(cuts) < 100 || len(questions) < 50 {
		t.Errorf("only %d pieces of %d outlines", len(cuts), len(questions))
	}
}

package plane

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"quiltwright/internal/exact"
)

// at returns the point of whole coordinates x, y.
func at(x, y int64) Point { return Pt(exact.Int(x), exact.Int(y)) }

// draw reads lines as "x,y x,y x,y; x,y x,y", whole numbers.
func draw(t testing.TB, s string) []Segment {
	var lines []Segment
	for _, run := range strings.Split(s, ";") {
		var last Point
		for i, f := range strings.Fields(run) {
			var x, y int64
			if _, err := fmt.Sscanf(f, "%d,%d", &x, &y); err != nil {
				t.Fatal(err)
			}
			if i > 0 {
				lines = append(lines, Segment{last, at(x, y)})
			}
			last = at(x, y)
		}
	}
	return lines
}

// outlines prints faces one a line.
func outlines(faces []Polygon) string {
	var b strings.Builder
	for _, f := range faces {
		for i, p := range f {
			if i > 0 {
				b.WriteByte(' ')
			}
			b.WriteString(p.String())
		}
		b.WriteByte('\n')
	}
	return b.String()
}

func TestArrange(t *testing.T) {
	for _, c := range []struct{ name, lines, faces, loose, fails string }{
		{name: "nothing", faces: "0,0 4,0 4,4 0,4\n"},
		{name: "one line", lines: "2,0 2,4", faces: "0,0 2,0 2,4 0,4\n2,0 4,0 4,4 2,4\n"},
		{name: "a crossing", lines: "0,0 4,4;4,0 0,4", faces: "0,0 4,0 2,2\n0,0 2,2 0,4\n4,0 4,4 2,2\n2,2 4,4 0,4\n"},
		{name: "repeated, reversed and overlapping", lines: "2,0 2,4;2,4 2,0;2,1 2,3;2,2 2,4;0,0 3,0;0,0 0,4",
			faces: "0,0 2,0 2,4 0,4\n2,0 4,0 4,4 2,4\n"},
		{name: "touching pieces of one line", lines: "2,0 2,2;2,2 2,4", faces: "0,0 2,0 2,4 0,4\n2,0 4,0 4,4 2,4\n"},
		{name: "a line that ends on another keeps its vertex on both sides", lines: "2,0 2,4;2,2 4,2",
			faces: "0,0 2,0 2,2 2,4 0,4\n2,0 4,0 4,2 2,2\n2,2 4,2 4,4 2,4\n"},
		{name: "a tail", lines: "2,0 2,4;2,2 3,2", faces: "0,0 2,0 2,4 0,4\n2,0 4,0 4,4 2,4\n", loose: "1@3,2"},
		{name: "a bent tail", lines: "2,0 2,4;2,2 3,2 3,3", faces: "0,0 2,0 2,4 0,4\n2,0 4,0 4,4 2,4\n", loose: "2@3,3"},
		{name: "wholly inside", lines: "1,1 3,2", faces: "0,0 4,0 4,4 0,4\n", loose: "0@1,1 0@3,2"},
		{name: "a cross inside", lines: "1,1 3,3;3,1 1,3", faces: "0,0 4,0 4,4 0,4\n", loose: "0@1,1 0@3,3 1@3,1 1@1,3"},
		{name: "an overshoot", lines: "0,2 4,2;2,0 2,3", faces: "0,0 2,0 2,2 0,2\n2,0 4,0 4,2 2,2\n0,2 2,2 4,2 4,4 0,4\n", loose: "1@2,3"},
		{name: "no length", lines: "0,2 4,2;1,1 1,1", faces: "0,0 4,0 4,2 0,2\n0,2 4,2 4,4 0,4\n", loose: "1@1,1"},
		{name: "a ring inside", lines: "1,1 3,1 3,3 1,3 1,1", faces: "0,0 4,0 4,4 0,4\n1,1 3,1 3,3 1,3\n",
			fails: "the lines close a ring inside a patch and leave a hole in it at 1,1"},
		{name: "a ring on a bridge", lines: "0,1 1,1;1,1 3,1 3,3 1,3 1,1", faces: "1,1 3,1 3,3 1,3\n",
			fails: "leave a hole in it at 0,1"},
		{name: "a ring that touches in a point", lines: "0,2 2,1 2,3 0,2", faces: "2,1 2,3 0,2\n",
			fails: "leave a hole in it at 0,2"},
		{name: "outside", lines: "0,2 5,2", fails: "the line leaves the rectangle at 5,2"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := Arrange(exact.Int(4), exact.Int(4), draw(t, c.lines))
			if c.fails == "" && err != nil || c.fails != "" && (err == nil || !strings.Contains(err.Error(), c.fails)) {
				t.Errorf("error %v, want %q", err, c.fails)
			}
			if s := outlines(got.Faces); s != c.faces {
				t.Errorf("faces\n%swant\n%s", s, c.faces)
			}
			var loose []string
			for _, l := range got.Loose {
				loose = append(loose, fmt.Sprintf("%d@%v", l.Segment, l.At))
			}
			if s := strings.Join(loose, " "); s != c.loose {
				t.Errorf("loose %q, want %q", s, c.loose)
			}
		})
	}
}

func TestArrangeNeedsARectangle(t *testing.T) {
	_, err := Arrange(exact.Int(4), exact.Int(0), nil)
	var e *Error
	if !errors.As(err, &e) || e.Segment != -1 {
		t.Errorf("got %v", err)
	}
}

// TestEightPoints cuts a square by the lines of an eight-pointed star, whose crossings lie in Q(√2).
func TestEightPoints(t *testing.T) {
	side := exact.New(2, 1, 2, 1) // a square of 2 + 2√2, cut at √2 from each corner
	a, b := exact.Sqrt2(), exact.New(2, 1, 1, 1)
	zero := exact.Num{}
	half := side.Half()
	lines := []Segment{
		{Pt(zero, zero), Pt(side, side)}, {Pt(side, zero), Pt(zero, side)},
		{Pt(half, zero), Pt(half, side)}, {Pt(zero, half), Pt(side, half)},
		{Pt(a, zero), Pt(side, b)}, {Pt(zero, a), Pt(b, side)}, {Pt(b, zero), Pt(zero, b)}, {Pt(side, a), Pt(a, side)},
	}
	got, err := Arrange(side, side, lines)
	if err != nil || len(got.Loose) > 0 {
		t.Fatal(err, got.Loose)
	}
	// Six in each quarter.
	if len(got.Faces) != 24 {
		t.Errorf("%d faces:\n%s", len(got.Faces), outlines(got.Faces))
	}
	checkCover(t, side, side, got.Faces)
}

// checkCover demands that faces fill the rectangle.
func checkCover(t testing.TB, w, h exact.Num, faces []Polygon) {
	t.Helper()
	var area exact.Num
	for _, f := range faces {
		a := f.Area2()
		if a.Sign() <= 0 {
			t.Errorf("the face %v is not clockwise", f)
		}
		area = area.Add(a)
	}
	if !area.Half().Equal(w.Mul(h)) {
		t.Errorf("faces cover %v of %v", area.Half(), w.Mul(h))
	}
}

// gridLines returns the inner lines of a grid of n by n cells of side 1.
func gridLines(n int64) []Segment {
	var lines []Segment
	for i := int64(1); i < n; i++ {
		lines = append(lines, Segment{at(i, 0), at(i, n)}, Segment{at(0, i), at(n, i)})
	}
	return lines
}

func TestGridIsFast(t *testing.T) {
	const n = 316
	start := time.Now()
	got, err := Arrange(exact.Int(n), exact.Int(n), gridLines(n))
	if err != nil || len(got.Faces) != n*n {
		t.Fatal(len(got.Faces), err)
	}
	if took := time.Since(start); took > slower*3*time.Second { // the aim is well under 1 s; a busy machine is slower
		t.Errorf("took %v", took)
	}
	checkCover(t, exact.Int(n), exact.Int(n), got.Faces)
}

func BenchmarkArrangeGrid316(b *testing.B) {
	lines := gridLines(316)
	for b.Loop() {
		if got, err := Arrange(exact.Int(316), exact.Int(316), lines); err != nil || len(got.Faces) != 316*316 {
			b.Fatal(err)
		}
	}
}

func TestTooManyCrossings(t *testing.T) {
	var lines []Segment
	const n = 3000
	for i := int64(0); i < n; i++ {
		lines = append(lines, Segment{at(i, 0), at(n-i*i%n, n)}, Segment{at(0, i), at(n, n-i*i%(n-7))})
	}
	_, err := Arrange(exact.Int(n), exact.Int(n), lines)
	if err == nil || !strings.Contains(err.Error(), "too many lines cross") {
		t.Errorf("got %v", err)
	}
}

func TestOrderOfLinesDoesNotMatter(t *testing.T) {
	lines := draw(t, "0,0 7,7;7,0 0,7;0,3 7,4;3,0 4,7;2,2 2,6;0,5 7,5")
	first, err := Arrange(exact.Int(7), exact.Int(7), lines)
	if err != nil {
		t.Fatal(err)
	}
	slices.Reverse(lines)
	for i := range lines {
		if i%2 == 0 {
			lines[i] = lines[i].Reverse()
		}
	}
	second, _ := Arrange(exact.Int(7), exact.Int(7), lines)
	if a, b := outlines(first.Faces), outlines(second.Faces); a != b {
		t.Errorf("first\n%sthen\n%s", a, b)
	}
}

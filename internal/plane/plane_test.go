package plane

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"quiltwright/internal/exact"
	_ "quiltwright/internal/seed"
)

func point(t *rapid.T, label string) Point {
	n := func(axis string) exact.Num { return exact.Frac(rapid.Int64Range(-6, 6).Draw(t, label+axis), 2) }
	return Pt(n(" x"), n(" y"))
}

func pose(t *rapid.T, label string) Pose {
	return Pose{
		At:     point(t, label),
		Turn:   Turn(45 * rapid.IntRange(0, 7).Draw(t, label+" turn")),
		Mirror: rapid.Bool().Draw(t, label+" mirror"),
	}
}

func TestPosesCompose(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, q, x := pose(t, "p"), pose(t, "q"), point(t, "x")
		if got, want := p.Then(q).Apply(x), q.Apply(p.Apply(x)); !got.Equal(want) {
			t.Errorf("%v then %v takes %v to %v, want %v", p, q, x, got, want)
		}
		if got := p.Inverse().Apply(p.Apply(x)); !got.Equal(x) {
			t.Errorf("%v and back takes %v to %v", p, x, got)
		}
		y := point(t, "y")
		before, after := x.Sub(y), p.Apply(x).Sub(p.Apply(y))
		if !dotted(before, before).Equal(dotted(after, after)) {
			t.Errorf("%v changes the length from %v to %v", p, x, y)
		}
	})
}

func TestPoseTurnsClockwise(t *testing.T) {
	for _, c := range []struct {
		pose    Pose
		in, out Point
	}{
		{Pose{Turn: 90}, at(1, 0), at(0, 1)},                // right becomes down
		{Pose{Turn: 180}, at(1, 2), at(-1, -2)},             //
		{Pose{Turn: 270}, at(1, 0), at(0, -1)},              // right becomes up
		{Pose{Mirror: true}, at(1, 2), at(-1, 2)},           //
		{Pose{Mirror: true, Turn: 90}, at(1, 0), at(0, -1)}, // left, then up
		{Pose{Turn: 90, At: at(5, 5)}, at(1, 0), at(5, 6)},  //
	} {
		if got := c.pose.Apply(c.in); !got.Equal(c.out) {
			t.Errorf("%v takes %v to %v, want %v", c.pose, c.in, got, c.out)
		}
	}
	h := exact.Sqrt2().Half()
	if got := (Pose{Turn: 45}).Apply(at(1, 0)); !got.Equal(Pt(h, h)) {
		t.Errorf("an eighth turn takes 1,0 to %v", got)
	}
}

// letter is an L: no symmetry, one inner corner, clockwise.
func letter() Polygon {
	return Polygon{at(0, 0), at(1, 0), at(1, 2), at(2, 2), at(2, 3), at(0, 3)}
}

func TestPosedPolygonsStayClockwise(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, l := pose(t, "p"), letter()
		got := p.ApplyPolygon(l)
		if !got.Area2().Equal(l.Area2()) {
			t.Errorf("%v: area %v", p, got.Area2())
		}
		if !got[0].Equal(p.Apply(l[0])) {
			t.Errorf("%v: begins at %v", p, got[0])
		}
		if back := p.Inverse().ApplyPolygon(got); string(back.AppendKey(nil)) != string(l.AppendKey(nil)) {
			t.Errorf("%v and back: %v", p, back)
		}
		x := point(t, "x")
		if a, b := l.Contains(x), got.Contains(p.Apply(x)); a != b {
			t.Errorf("%v: %v is in place %d, then %d", p, x, a, b)
		}
	})
}

func TestContains(t *testing.T) {
	l := letter()
	for _, c := range []struct {
		x, y exact.Num
		want int
	}{
		{exact.Frac(1, 2), exact.Frac(1, 2), 1}, {exact.Frac(3, 2), exact.Frac(5, 2), 1}, {exact.Frac(3, 2), exact.Int(1), -1},
		{exact.Int(1), exact.Int(1), 0}, {exact.Int(0), exact.Int(0), 0}, {exact.Int(1), exact.Int(2), 0},
		{exact.Frac(1, 2), exact.Int(2), 1}, {exact.Int(-1), exact.Int(2), -1}, {exact.Int(-1), exact.Int(0), -1}, {exact.Int(-1), exact.Int(3), -1},
	} {
		if got := l.Contains(Pt(c.x, c.y)); got != c.want {
			t.Errorf("%v,%v: %d, want %d", c.x, c.y, got, c.want)
		}
	}
}

func TestMeet(t *testing.T) {
	s := func(a, b, c, d int64) Segment { return Segment{at(a, b), at(c, d)} }
	for _, c := range []struct {
		s, t Segment
		p    Point
		how  Meeting
	}{
		{s(0, 0, 4, 4), s(0, 4, 4, 0), at(2, 2), Crossing},
		{s(0, 0, 4, 0), s(2, 0, 2, 3), at(2, 0), Touching},
		{s(0, 0, 4, 0), s(4, 0, 4, 3), at(4, 0), Touching},
		{s(0, 0, 4, 0), s(5, -1, 5, 3), Point{}, Apart},
		{s(0, 0, 4, 0), s(0, 1, 4, 1), Point{}, Apart},
		{s(0, 0, 4, 0), s(6, 0, 3, 0), at(3, 0), Along},
		{s(0, 0, 4, 0), s(4, 0, 6, 0), at(4, 0), Touching},
		{s(0, 0, 4, 0), s(5, 0, 6, 0), Point{}, Apart},
		{s(0, 0, 4, 4), s(2, 2, 2, 2), at(2, 2), Touching},
		{s(2, 3, 2, 3), s(0, 0, 4, 4), Point{}, Apart},
		{s(2, 2, 2, 2), s(2, 2, 2, 2), at(2, 2), Touching},
	} {
		for range 2 {
			if p, how := Meet(c.s, c.t); !p.Equal(c.p) || how != c.how {
				t.Errorf("%v and %v meet at %v, %d, want %v, %d", c.s, c.t, p, how, c.p, c.how)
			}
			c.s, c.t = c.t, c.s
		}
	}
}

func TestMeetingPointsLieOnBoth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, u := Segment{point(t, "a"), point(t, "b")}, Segment{point(t, "c"), point(t, "d")}
		p, how := Meet(s, u)
		if on := s.Contains(p) && u.Contains(p); on != (how != Apart) && how != Apart {
			t.Errorf("%v and %v meet at %v, %d", s, u, p, how)
		}
		ends := 0
		for _, e := range []Point{u.A, u.B} {
			if s.Contains(e) {
				ends++
			}
		}
		if how == Apart && ends > 0 || how == Crossing && ends > 0 {
			t.Errorf("%v and %v: %d, with %d ends on the first", s, u, how, ends)
		}
	})
}

func TestSimplify(t *testing.T) {
	l := letter()
	long := Polygon{at(0, 2), at(0, 1), at(0, 0), at(1, 0), at(1, 1), at(1, 2), at(1, 2), at(2, 2), at(2, 3), at(1, 3), at(0, 3)}
	if got := long.Simplify().Canonical(); string(got.AppendKey(nil)) != string(l.AppendKey(nil)) {
		t.Errorf("got %v", got)
	}
	for _, flat := range []Polygon{nil, {at(0, 0)}, {at(0, 0), at(1, 1)}, {at(0, 0), at(2, 2), at(1, 1)}, {at(0, 0), at(2, 0), at(2, 0), at(0, 0)}} {
		if got := flat.Simplify(); got != nil {
			t.Errorf("%v becomes %v", flat, got)
		}
	}
}

func TestConvexAndBox(t *testing.T) {
	if letter().IsConvex() || !Rectangle(exact.Int(2), exact.Int(1)).IsConvex() || (Polygon{at(0, 0), at(1, 1), at(2, 2)}).IsConvex() {
		t.Error("an L is not convex, a rectangle is, a line is not")
	}
	if least, most := letter().Translate(at(3, 4)).Box(); !least.Equal(at(3, 4)) || !most.Equal(at(5, 7)) {
		t.Errorf("box %v to %v", least, most)
	}
}

// TestOverlapAgreesWithArrange draws two L shapes into one square: they overlap where the faces of the drawing say so.
func TestOverlapAgreesWithArrange(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		place := func(label string) Polygon {
			p := pose(t, label)
			p.Turn = p.Turn / 90 * 90
			l := p.ApplyPolygon(letter())
			if rapid.Bool().Draw(t, label+" small") {
				for i := range l {
					l[i] = Pt(l[i].X.Half(), l[i].Y.Half())
				}
			}
			return l.Translate(at(10, 10))
		}
		a, b := place("a"), place("b")
		// A line to each from the side keeps faces free of holes; it may cut them up further, which does not matter.
		lines := append(a.Edges(), b.Edges()...)
		for _, q := range []Point{a[0], b[0]} {
			lines = append(lines, Segment{Pt(exact.Int(0), q.Y), Pt(exact.Int(20), q.Y)}, Segment{Pt(q.X, exact.Int(0)), Pt(q.X, exact.Int(20))})
		}
		got, err := Arrange(exact.Int(20), exact.Int(20), lines)
		if err != nil {
			t.Fatal(err)
		}
		want := slices.ContainsFunc(got.Faces, func(f Polygon) bool {
			// All sides are level or upright, so a little right and down of the least vertex is inside the face.
			inside := f[0].Add(Pt(exact.Frac(1, 100), exact.Frac(1, 100)))
			return a.Contains(inside) > 0 && b.Contains(inside) > 0
		})
		if Overlap(a, b) != want || Overlap(b, a) != want {
			t.Errorf("%v and %v overlap: %v, %v, want %v", a, b, Overlap(a, b), Overlap(b, a), want)
		}
	})
}

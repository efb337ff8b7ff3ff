package cloth_test

import (
	"math"
	"testing"

	"quiltwright/internal/cloth"
	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// The expected figures are those of the table "Cut-size formulas" of the trade's geometry: a unit
// sewn from blanks of the exact size comes out at its finished size with a 1/4 in seam.
const seam = 0.25

func rect(fabric string, w, h float64) cloth.Work {
	return cloth.Work{Layers: []cloth.Layer{{Fabric: fabric, Cloth: []cloth.Pt{{0, 0}, {w, 0}, {w, h}, {0, h}}}}}
}

func shape(fabric string, at ...cloth.Pt) cloth.Work {
	return cloth.Work{Layers: []cloth.Layer{{Fabric: fabric, Cloth: at}}}
}

func point(x, y float64) *plan.Point { return &plan.Point{plan.Num(x), plan.Num(y)} }

func lay(part, work int, x, y, turn float64, face string) plan.Op {
	return plan.Op{Op: "lay", Part: part, Work: work, At: point(x, y), Turn: plan.Num(turn), Face: face}
}

func ends(x0, y0, x1, y1 float64) *[2]plan.Point {
	return &[2]plan.Point{*point(x0, y0), *point(x1, y1)}
}

func by(work int, offset, x0, y0, x1, y1 float64) plan.Op {
	return plan.Op{Op: "stitch", Work: work, Along: ends(x0, y0, x1, y1), Offset: plan.Num(offset)}
}

func edge(work int, x0, y0, x1, y1 float64) plan.Op {
	return plan.Op{Op: "stitch", Work: work, Along: ends(x0, y0, x1, y1), Allowance: seam}
}

func cut(work int, x0, y0, x1, y1 float64) plan.Op {
	return plan.Op{Op: "cut", Work: work, Line: ends(x0, y0, x1, y1)}
}

func press(work, seam int) plan.Op { return plan.Op{Op: "press", Work: work, Seam: seam} }

func run(t *testing.T, parts []cloth.Work, ops ...plan.Op) *cloth.Table {
	t.Helper()
	table := cloth.New(parts)
	for i, op := range ops {
		if err := table.Do(op); err != nil {
			t.Fatalf("operation %d, %s: %v", i, op.Op, err)
		}
		for _, n := range table.Numbers() {
			table.Work(n)
		}
	}
	return table
}

// finished checks that the layers of a fabric come out, in order, with the given outlines once
// their raw edges are sewn. Corners are compared as sets.
func finished(t *testing.T, w *cloth.Work, fabric string, want ...[]cloth.Pt) {
	t.Helper()
	if w == nil {
		t.Fatal("no such work")
	}
	var got [][]cloth.Pt
	for i := range w.Layers {
		l := &w.Layers[i]
		if l.Fabric != fabric {
			continue
		}
		if !l.FaceUp {
			t.Errorf("fabric %s lies face down", fabric)
		}
		at, _ := cloth.Finished(l, seam)
		var corners []cloth.Pt // without the places where a seam ends half way
		for k, p := range at {
			o, q := at[(k+len(at)-1)%len(at)], at[(k+1)%len(at)]
			if math.Abs((p[0]-o[0])*(q[1]-p[1])-(p[1]-o[1])*(q[0]-p[0])) > 1e-9 {
				corners = append(corners, p)
			}
		}
		got = append(got, corners)
	}
	if len(got) != len(want) {
		t.Fatalf("%d layers of %s, want %d: %v", len(got), fabric, len(want), got)
	}
	for i := range want {
		for _, side := range [][2][]cloth.Pt{{want[i], got[i]}, {got[i], want[i]}} {
			for _, p := range side[0] {
				near := math.Inf(1)
				for _, q := range side[1] {
					near = min(near, math.Hypot(p[0]-q[0], p[1]-q[1]))
				}
				if near > 1e-5 {
					t.Errorf("%s comes out as %v, want %v", fabric, got[i], want[i])
					return
				}
			}
		}
	}
}

func TestHalfSquaresInPairs(t *testing.T) {
	w := 3 + seam*(2+math.Sqrt2)
	table := run(t, []cloth.Work{rect("A", w, w), rect("B", w, w)},
		lay(1, 0, w, 0, 0, "down"),
		by(0, seam, w, 0, 0, w), by(0, -seam, w, 0, 0, w),
		cut(0, w, 0, 0, w),
		press(2, 0), press(0, 1))
	// Walking down to the left, the right hand side is the top left half.
	finished(t, table.Work(2), "A", []cloth.Pt{{.25, .25}, {3.25, .25}, {.25, 3.25}})
	finished(t, table.Work(2), "B", []cloth.Pt{{3.25, 3.25}, {3.25, .25}, {.25, 3.25}})
	d := w - 3.25
	finished(t, table.Work(0), "A", []cloth.Pt{{w - .25, w - .25}, {w - .25, d}, {d, w - .25}})
	finished(t, table.Work(0), "B", []cloth.Pt{{d, d}, {w - .25, d}, {d, w - .25}})
}

func TestHalfSquareFromTriangles(t *testing.T) {
	w := 3.875 // 0.0214 more than geometry asks: table A, half-square
	tri := []cloth.Pt{{0, 0}, {w, 0}, {0, w}}
	// The frame of the second lies turned half round at the far corner.
	table := run(t, []cloth.Work{shape("A", tri...), shape("B", tri...)},
		lay(1, 0, 0, 0, 270, "down"),
		edge(0, 3.25, .25, .25, 3.25), press(0, 0))
	out := 0.0214466
	finished(t, table.Work(0), "A", []cloth.Pt{{.25, .25}, {3.25 + out, .25}, {.25, 3.25 + out}})
	finished(t, table.Work(0), "B", []cloth.Pt{{3.25 + out, 3.25 + out}, {3.25 + out, .25}, {.25, 3.25 + out}})
}

func TestGeeseByFours(t *testing.T) {
	w, h := 4+seam*(2+2*math.Sqrt2), 2+seam*(2+math.Sqrt2)
	table := run(t, []cloth.Work{rect("A", w, w), rect("B", h, h), rect("B", h, h), rect("B", h, h), rect("B", h, h)},
		lay(1, 0, h, 0, 0, "down"), lay(2, 0, w, w-h, 0, "down"),
		by(0, seam, 0, 0, w, w), by(0, -seam, 0, 0, w, w),
		cut(0, 0, 0, w, w), // work 0: top right, work 5: bottom left
		press(0, 1), press(5, 0),
		lay(3, 0, w, 0, 0, "down"), // in the top right corner
		by(0, seam, w, 0, w/2, w/2), by(0, -seam, w, 0, w/2, w/2),
		cut(0, w, 0, w/2, w/2),
		press(6, 2), press(0, 3))
	goose, n := table.Work(6), 0
	for i := range goose.Layers {
		l := &goose.Layers[i]
		at, _ := cloth.Finished(l, seam)
		a := 0.0
		for k := range at {
			q := at[(k+1)%len(at)]
			a += (at[k][0]*q[1] - q[0]*at[k][1]) / 2
		}
		want := 2.0 // the two skies: half of 2 by 2
		if l.Fabric == "A" {
			want = 4 // half of 4 by 2
		}
		if math.Abs(a-want) > 1e-6 || !l.FaceUp {
			t.Errorf("%s has %.6f sq in finished, want %v; face up %v", l.Fabric, a, want, l.FaceUp)
		}
		n++
	}
	if n != 3 {
		t.Errorf("a goose of %d layers", n)
	}
	// The point lies a seam below the top edge, where the next seam will be.
	for i := range goose.Layers {
		if l := &goose.Layers[i]; l.Fabric == "A" {
			d := (w - 4) / 2
			finished(t, goose, "A", []cloth.Pt{{d, .25}, {4 + d, .25}, {2 + d, 2.25}})
		}
	}
}

func TestStitchAndFlipGoose(t *testing.T) {
	table := run(t, []cloth.Work{rect("A", 4.5, 2.5), rect("B", 2.5, 2.5), rect("B", 2.5, 2.5)},
		lay(1, 0, 2.5, 0, 0, "down"),
		by(0, 0, 0, 2.5, 2.5, 0),
		cut(0, 2.5-seam*math.Sqrt2, 0, 0, 2.5-seam*math.Sqrt2), // the corner lies to the right: waste, work 3
		press(0, 0),
		lay(2, 0, 4.5, 0, 0, "down"),
		by(0, 0, 2, 0, 4.5, 2.5),
		cut(0, 4.5, 2.5-seam*math.Sqrt2, 2+seam*math.Sqrt2, 0),
		press(0, 1))
	w := table.Work(0)
	finished(t, w, "A", []cloth.Pt{{2.25, .25}, {4.25, 2.25}, {.25, 2.25}})
	finished(t, w, "B", []cloth.Pt{{.25, .25}, {2.25, .25}, {.25, 2.25}}, []cloth.Pt{{4.25, .25}, {2.25, .25}, {4.25, 2.25}})
}

func TestStripSetSegments(t *testing.T) {
	table := run(t, []cloth.Work{rect("A", 40, 2.5), rect("B", 40, 2.5)},
		lay(1, 0, 0, 2.5, 180, "down"), // mirrored, then half round: upside down at the lower edge
		plan.Op{Op: "stitch", Work: 0, Along: ends(0, 2.25, 40, 2.25), Allowance: seam},
		press(0, 0),
		plan.Op{Op: "cut", Work: 0, Line: ends(2.5, 4.5, 2.5, 0), Every: 2.5, Times: 16})
	w := table.Work(0)
	if w.Count != 16 {
		t.Errorf("a bundle of %d", w.Count)
	}
	finished(t, w, "A", []cloth.Pt{{.25, .25}, {2.25, .25}, {2.25, 2.25}, {.25, 2.25}})
	finished(t, w, "B", []cloth.Pt{{.25, 2.25}, {2.25, 2.25}, {2.25, 4.25}, {.25, 4.25}})
}

func TestLogCabinRound(t *testing.T) {
	table := run(t, []cloth.Work{rect("C", 2.5, 2.5), rect("A", 1.5, 2.5), rect("B", 3.5, 1.5)},
		lay(1, 0, 2.5+1.5-1.5, 0, 0, "down"),
		edge(0, 2.25, 0.25, 2.25, 2.25), press(0, 0),
		lay(2, 0, 0, 2.5, 180, "down"),
		edge(0, 0.25, 2.25, 3.25, 2.25), press(0, 1))
	w := table.Work(0)
	finished(t, w, "A", []cloth.Pt{{2.25, .25}, {3.25, .25}, {3.25, 2.25}, {2.25, 2.25}})
	finished(t, w, "B", []cloth.Pt{{.25, 2.25}, {3.25, 2.25}, {3.25, 3.25}, {.25, 3.25}})
}

// A centre square and four rectangles round it: the first seam stops half way, the last one is
// brought together in place.
func TestPartialSeamRing(t *testing.T) {
	centre := rect("C", 2.5, 2.5)
	half := edge(0, 0.25, 0.25, 1.25, 0.25)
	half.Partial = true
	rest := edge(0, 1.25, 0.25, 3.25, 0.25)
	rest.Fold = true
	// Finished: centre 2 by 2, logs 3 by 1 (raw 3.5 by 1.5), frame of the centre.
	log := func(f string) cloth.Work { return rect(f, 3.5, 1.5) }
	table := run(t, []cloth.Work{centre, log("1"), log("2"), log("3"), log("4")},
		// 1 on top, reaching past the right hand end: finished x .25 .. 3.25.
		lay(1, 0, 3.5, 0, 0, "down"),
		half, press(0, 0),
		// 2 on the left, finished y -.75 .. 2.25.
		lay(2, 0, 0, -1, 270, "down"),
		edge(0, .25, -.75, .25, 2.25), press(0, 1),
		// 3 below, finished x -.75 .. 2.25.
		lay(3, 0, -1, 2.5, 180, "down"),
		edge(0, -.75, 2.25, 2.25, 2.25), press(0, 2),
		// 4 on the right, finished y .25 .. 3.25.
		lay(4, 0, 2.5, 3.5, 90, "down"),
		edge(0, 2.25, .25, 2.25, 3.25), press(0, 3),
		rest)
	w := table.Work(0)
	finished(t, w, "C", []cloth.Pt{{.25, .25}, {2.25, .25}, {2.25, 2.25}, {.25, 2.25}})
	finished(t, w, "1", []cloth.Pt{{.25, -.75}, {3.25, -.75}, {3.25, .25}, {.25, .25}})
	finished(t, w, "2", []cloth.Pt{{-.75, -.75}, {.25, -.75}, {.25, 2.25}, {-.75, 2.25}})
	finished(t, w, "3", []cloth.Pt{{-.75, 2.25}, {2.25, 2.25}, {2.25, 3.25}, {-.75, 3.25}})
	finished(t, w, "4", []cloth.Pt{{2.25, .25}, {3.25, .25}, {3.25, 3.25}, {2.25, 3.25}})
	for _, l := range w.Layers {
		raw := 0.0
		for k, e := range l.Edges {
			if q := l.Cloth[(k+1)%len(l.Cloth)]; !e.Sewn {
				raw += math.Abs(q[0]-l.Cloth[k][0]) + math.Abs(q[1]-l.Cloth[k][1])
			}
		}
		if l.Fabric == "C" && raw > 1e-9 {
			t.Errorf("the centre still has %v in of raw edge", raw)
		}
	}
}

// An L-shaped patch and a square set into its inner corner.
func TestSetIn(t *testing.T) {
	l := shape("L", cloth.Pt{-.25, -.25}, cloth.Pt{4.25, -.25}, cloth.Pt{4.25, 2.25}, cloth.Pt{2.25, 2.25}, cloth.Pt{2.25, 4.25}, cloth.Pt{-.25, 4.25})
	sq := shape("S", cloth.Pt{-.25, -.25}, cloth.Pt{2.25, -.25}, cloth.Pt{2.25, 2.25}, cloth.Pt{-.25, 2.25})
	side := edge(0, 2, 2, 4, 2)
	second := edge(0, 2, 2, 2, 4)
	second.Fold = true
	table := run(t, []cloth.Work{l, sq},
		lay(1, 0, 2, 2, 180, "down"), // lies upwards from the seam, x 2 .. 4
		side, press(0, 0), second)
	w := table.Work(0)
	finished(t, w, "S", []cloth.Pt{{2, 2}, {4, 2}, {4, 4}, {2, 4}})
	finished(t, w, "L", []cloth.Pt{{.0, .0}, {4, 0}, {4, 2}, {2, 2}, {2, 4}, {0, 4}})
}

// Half rectangles 2 by 4 from the exact blank of the table's row 10.
func TestHalfRectangle(t *testing.T) {
	a, b := 2.0, 4.0
	c := math.Hypot(a, b)
	w, h := a+seam*(1+(a+c)/b), b+seam*(1+(b+c)/a)
	tri := []cloth.Pt{{0, 0}, {w, 0}, {0, h}}
	table := run(t, []cloth.Work{shape("A", tri...), shape("B", tri...)},
		// Turned over so that the long sides lie on each other: the reflection of B's final place.
		flip(plan.Pose{At: *point(2.5, 4.5), Turn: 180}, cloth.Pt{2.25, .25}, cloth.Pt{.25, 4.25}),
		edge(0, 2.25, .25, .25, 4.25), press(0, 0))
	finished(t, table.Work(0), "A", []cloth.Pt{{.25, .25}, {2.25, .25}, {.25, 4.25}})
	finished(t, table.Work(0), "B", []cloth.Pt{{2.25, 4.25}, {2.25, .25}, {.25, 4.25}})
}

// flip is the lay, face down, after which opening the seam a b puts part 1 at the pose.
func flip(p plan.Pose, a, b cloth.Pt) plan.Op {
	d := math.Atan2(b[1]-a[1], b[0]-a[0])
	reflect := func(q cloth.Pt) cloth.Pt {
		s, c := math.Sin(2*d), math.Cos(2*d)
		x, y := q[0]-a[0], q[1]-a[1]
		return cloth.Pt{a[0] + x*c + y*s, a[1] + x*s - y*c}
	}
	at := reflect(flat.Apply(p, cloth.Pt{0, 0}))
	ex := reflect(flat.Apply(p, cloth.Pt{-1, 0})) // mirrored first: its x axis
	turn := math.Atan2(ex[1]-at[1], ex[0]-at[0]) * 180 / math.Pi
	return lay(1, 0, at[0], at[1], turn, "down")
}

// A seam is spun at crossings between its ends, in order; what is trimmed off an end of it does not move them.
func TestSpunSeam(t *testing.T) {
	two := []cloth.Work{rect("A", 6.5, 2.5), rect("B", 6.5, 2.5)}
	sewn := []plan.Op{lay(1, 0, 6.5, 0, 0, "down"), edge(0, .25, 2.25, 6.25, 2.25)}
	spun := func(toward int, at ...*plan.Point) plan.Op {
		op := press(0, 0)
		if toward >= 0 {
			op.Toward = &toward
		}
		for _, p := range at {
			op.Spun = append(op.Spun, *p)
		}
		return op
	}
	table := run(t, two, append(sewn, spun(0, point(2.25, 2.25), point(4.25, 2.25)), plan.Op{Op: "trim", Work: 0, To: []plan.Point{*point(1, 0), *point(6.5, 0), *point(6.5, 4.5), *point(1, 4.5)}})...)
	s := table.Work(0).Seams[0]
	if len(s.Spun) != 2 || s.State != "toward" || s.Toward != 0 {
		t.Fatalf("%+v", s)
	}
	for k, want := range []float64{2.25, 4.25} {
		if at := flat.Add(s.A, flat.Scale(flat.Direction(s.A, s.B), s.Spun[k])); math.Abs(at[0]-want) > 1e-6 {
			t.Errorf("spun at %v, not at %v: %+v", at, want, s)
		}
	}
	for name, op := range map[string]plan.Op{
		"pressed open": spun(-1, point(2.25, 2.25)), "at its end": spun(0, point(6.25, 2.25)), "beside it": spun(0, point(2.25, 2.5)),
		"out of order": spun(0, point(4.25, 2.25), point(2.25, 2.25)), "twice at one": spun(0, point(4.25, 2.25), point(4.25, 2.25)),
	} {
		table := run(t, two, sewn...)
		if err := table.Do(op); err == nil {
			t.Errorf("spun %s: it is done", name)
		}
	}
}

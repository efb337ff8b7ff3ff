package unit

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
)

// drawn is a kind in its upright frame: outlines in the order of roles, on a grid. A corner that is not cut is "-".
type drawn struct {
	name    string
	kind    Kind
	hand    bool // its mirror image is another shape
	side    int64
	high    int64
	patches []string
	measure string
}

// The kinds as docs/format.md and the package comment draw them, written down a second time.
var kinds = []drawn{
	{"square", Square, false, 2, 2, []string{"0,0 2,0 2,2 0,2"}, "2"},
	{"rectangle", Rectangle, false, 3, 2, []string{"0,0 3,0 3,2 0,2"}, "3 2"},
	{"half square", HalfSquare, false, 2, 2, []string{"0,0 2,0 0,2", "2,0 2,2 0,2"}, "2"},
	{"hourglass", Hourglass, false, 2, 2, []string{"0,0 2,0 1,1", "2,0 2,2 1,1", "2,2 0,2 1,1", "0,2 0,0 1,1"}, "2"},
	{"three triangles", ThreeTriangles, false, 2, 2, []string{"0,0 2,0 0,2", "2,0 2,2 1,1", "2,2 0,2 1,1"}, "2"},
	{"half rectangle", HalfRectangle, true, 2, 4, []string{"0,0 2,0 0,4", "2,0 2,4 0,4"}, "2 4"},
	{"half rectangle 2:3", HalfRectangle, true, 2, 3, []string{"0,0 2,0 0,3", "2,0 2,3 0,3"}, "2 3"},
	{"flying geese", FlyingGeese, false, 4, 2, []string{"2,0 4,2 0,2", "0,0 2,0 0,2", "2,0 4,0 4,2"}, "4 2"},
	{"square in a square", SquareInSquare, false, 2, 2, []string{"1,0 2,1 1,2 0,1", "0,0 1,0 0,1", "1,0 2,0 2,1", "2,1 2,2 1,2", "0,1 1,2 0,2"}, "2"},
	{"snowball of one corner", Snowball, false, 3, 3, []string{"1,0 3,0 3,3 0,3 0,1", "0,0 1,0 0,1", "-", "-", "-"}, "3 3 1"},
	{"snowball of two corners", Snowball, false, 3, 3, []string{"1,0 2,0 3,1 3,3 0,3 0,1", "0,0 1,0 0,1", "2,0 3,0 3,1", "-", "-"}, "3 3 1"},
	{"snowball of opposite corners", Snowball, false, 3, 3, []string{"1,0 3,0 3,2 2,3 0,3 0,1", "0,0 1,0 0,1", "-", "3,2 3,3 2,3", "-"}, "3 3 1"},
	{"snowball of three corners", Snowball, false, 3, 3, []string{"1,0 2,0 3,1 3,2 2,3 0,3 0,1", "0,0 1,0 0,1", "2,0 3,0 3,1", "3,2 3,3 2,3", "-"}, "3 3 1"},
	{"snowball", Snowball, false, 3, 3, []string{"1,0 2,0 3,1 3,2 2,3 1,3 0,2 0,1", "0,0 1,0 0,1", "2,0 3,0 3,1", "3,2 3,3 2,3", "0,2 1,3 0,3"}, "3 3 1"},
	{"long snowball", Snowball, false, 5, 3, []string{"1,0 4,0 5,1 5,2 4,3 1,3 0,2 0,1", "0,0 1,0 0,1", "4,0 5,0 5,1", "5,2 5,3 4,3", "0,2 1,3 0,3"}, "5 3 1"},
	{"four-patch", FourPatch, false, 2, 2, []string{"0,0 1,0 1,1 0,1", "1,0 2,0 2,1 1,1", "0,1 1,1 1,2 0,2", "1,1 2,1 2,2 1,2"}, "2"},
	{"nine-patch", NinePatch, false, 3, 3, []string{"0,0 1,0 1,1 0,1", "1,0 2,0 2,1 1,1", "2,0 3,0 3,1 2,1", "0,1 1,1 1,2 0,2", "1,1 2,1 2,2 1,2",
		"2,1 3,1 3,2 2,2", "0,2 1,2 1,3 0,3", "1,2 2,2 2,3 1,3", "2,2 3,2 3,3 2,3"}, "3"},
	{"two rails", RailFence, false, 2, 2, []string{"0,0 2,0 2,1 0,1", "0,1 2,1 2,2 0,2"}, "2"},
	{"rail fence", RailFence, false, 3, 3, []string{"0,0 3,0 3,1 0,1", "0,1 3,1 3,2 0,2", "0,2 3,2 3,3 0,3"}, "3"},
	{"log cabin", LogCabin, true, 3, 3, []string{"1,1 2,1 2,2 1,2", "1,0 2,0 2,1 1,1", "2,0 3,0 3,2 2,2", "1,2 3,2 3,3 1,3", "0,0 1,0 1,3 0,3"}, "1 1 1 1 1 1"},
	{"log cabin of six logs", LogCabin, true, 4, 4, []string{"1,2 2,2 2,3 1,3", "1,1 2,1 2,2 1,2", "2,1 3,1 3,3 2,3", "1,3 3,3 3,4 1,4",
		"0,1 1,1 1,4 0,4", "0,0 3,0 3,1 0,1", "3,0 4,0 4,4 3,4"}, "1 1 1 1 1 1 1 1"},
	{"courthouse steps", CourthouseSteps, false, 3, 3, []string{"1,1 2,1 2,2 1,2", "0,1 1,1 1,2 0,2", "2,1 3,1 3,2 2,2", "0,0 3,0 3,1 0,1",
		"0,2 3,2 3,3 0,3"}, "1 1 1 1 1 1"},
}

// outlines reads polygons, in steps of the size.
func outlines(patches []string, step exact.Num) []plane.Polygon {
	var out []plane.Polygon
	for _, p := range patches {
		var pg plane.Polygon
		for _, f := range strings.Fields(p) {
			var x, y int64
			if _, err := fmt.Sscanf(f, "%d,%d", &x, &y); err == nil {
				pg = append(pg, plane.Pt(exact.Int(x).Mul(step), exact.Int(y).Mul(step)))
			}
		}
		out = append(out, pg)
	}
	return out
}

// dotted adds points on the edges.
func dotted(pg plane.Polygon) plane.Polygon {
	var out plane.Polygon
	for _, e := range pg.Edges() {
		third := e.B.Sub(e.A)
		third.X, third.Y = third.X.Div(exact.Int(3)), third.Y.Div(exact.Int(3))
		out = append(out, e.A, e.A.Add(third), e.Mid())
	}
	return out
}

func patchesOf(outlines []plane.Polygon) []Patch {
	var out []Patch
	for _, pg := range outlines {
		if len(pg) > 0 {
			out = append(out, Patch{pg})
		}
	}
	return out
}

func key(pg plane.Polygon) string { return string(pg.Canonical().AppendKey(nil)) }

// TestKinds recognises every kind in its eight turns and mirrored, on three grids, at three sizes, with extra points on its edges and
// somewhere inside a larger block, and demands that pose, roles and measures put its upright drawing where it lies.
func TestKinds(t *testing.T) {
	for _, k := range kinds {
		for _, step := range []exact.Num{exact.Int(1), exact.Frac(3, 8), exact.New(0, 1, 7, 12)} {
			for _, mirror := range []bool{false, true} {
				for turn := plane.Turn(0); turn < 360; turn += 45 {
					for _, dots := range []bool{false, true} {
						pose := plane.Pose{At: plane.Pt(exact.Frac(7, 2), exact.Int(5)), Turn: turn, Mirror: mirror}
						testKind(t, k, step, pose, dots)
					}
				}
			}
		}
	}
}

func testKind(t *testing.T, k drawn, step exact.Num, pose plane.Pose, dots bool) {
	t.Helper()
	upright := outlines(k.patches, step)
	frame := plane.Rectangle(exact.Int(k.side).Mul(step), exact.Int(k.high).Mul(step))
	var lying []plane.Polygon
	for _, pg := range upright {
		lying = append(lying, pose.ApplyPolygon(pg))
	}
	outline := pose.ApplyPolygon(frame)
	patches := patchesOf(lying)
	slices.Reverse(patches) // in another order than that of the roles
	if dots {
		for i := range patches {
			patches[i].Outline = dotted(patches[i].Outline)
		}
		outline = dotted(outline)
	}
	got := Recognise(outline, patches)
	what := fmt.Sprintf("%s, step %v, %v %v", k.name, step, pose.Turn, pose.Mirror)
	if got.Kind != k.kind {
		t.Fatalf("%s is a %s", what, got.Kind)
	}
	if got.Mirror != (k.hand && pose.Mirror) {
		t.Errorf("%s: mirror %v", what, got.Mirror)
	}
	var measures []string
	for _, m := range got.Measures {
		measures = append(measures, m.Div(step).String())
	}
	if strings.Join(measures, " ") != k.measure {
		t.Errorf("%s: measures %v, want %s", what, measures, k.measure)
	}
	if len(got.Roles) != len(k.patches) {
		t.Fatalf("%s: roles %v", what, got.Roles)
	}
	// The upright drawing in the pose that was found, moved to where the region lies, is the region, role by role.
	found := plane.Pose{Turn: got.Turn, Mirror: got.Mirror}
	least, _ := found.ApplyPolygon(frame).Box()
	there, _ := outline.Box()
	found.At = there.Sub(least)
	for i, r := range got.Roles {
		switch {
		case (r < 0) != (len(upright[i]) == 0):
			t.Errorf("%s: role %d is patch %d", what, i, r)
		case r >= 0 && key(found.ApplyPolygon(upright[i])) != key(patches[r].Outline.Simplify()):
			t.Errorf("%s: role %d is %v, want %v", what, i, patches[r].Outline.Simplify(), found.ApplyPolygon(upright[i]))
		}
	}
}

// TestNearMisses moves every vertex that is no corner of the unit by one step of a fine grid, and makes squares a step wider: what
// results is not the kind any more.
func TestNearMisses(t *testing.T) {
	const fine = 6
	tried := 0
	for _, k := range kinds {
		step := exact.Int(fine)
		upright := outlines(k.patches, step)
		frame := plane.Rectangle(exact.Int(k.side*fine), exact.Int(k.high*fine))
		seen := map[string]bool{}
		for _, pg := range upright {
			for _, v := range pg {
				if seen[key(plane.Polygon{v})] || slices.ContainsFunc(frame, v.Equal) {
					continue
				}
				seen[key(plane.Polygon{v})] = true
				for _, d := range []plane.Point{plane.Pt(exact.Int(1), exact.Num{}), plane.Pt(exact.Int(-1), exact.Num{}),
					plane.Pt(exact.Num{}, exact.Int(1)), plane.Pt(exact.Num{}, exact.Int(-1))} {
					to := v.Add(d)
					if frame.Contains(v) == 0 && frame.Contains(to) != 0 {
						continue
					}
					var moved []plane.Polygon
					for _, other := range upright {
						moved = append(moved, shifted(other, v, to))
					}
					tried++
					if got := Recognise(frame, patchesOf(moved)); got.Kind == k.kind {
						t.Errorf("%s with %v at %v is still a %s", k.name, v, to, got.Kind)
					}
				}
			}
		}
		switch k.kind {
		case Rectangle, HalfRectangle, Snowball, LogCabin, CourthouseSteps: // of any proportion
			continue
		}
		for _, by := range []int64{-1, 1} {
			wide := func(pg plane.Polygon) plane.Polygon {
				var out plane.Polygon
				for _, p := range pg {
					out = append(out, plane.Pt(p.X.Mul(exact.Frac(k.side*fine+by, k.side*fine)), p.Y))
				}
				return out
			}
			var moved []plane.Polygon
			for _, pg := range upright {
				moved = append(moved, wide(pg))
			}
			tried++
			if got := Recognise(wide(frame), patchesOf(moved)); got.Kind == k.kind {
				t.Errorf("%s made %d wider is still a %s", k.name, by, got.Kind)
			}
		}
	}
	if tried < 200 {
		t.Errorf("only %d near misses", tried)
	}
}

// shifted returns the outline with a vertex moved; a vertex on one of its edges bends the edge.
func shifted(pg plane.Polygon, from, to plane.Point) plane.Polygon {
	var out plane.Polygon
	for _, e := range pg.Edges() {
		switch {
		case e.A.Equal(from):
			out = append(out, to)
		case !e.B.Equal(from) && e.Contains(from):
			out = append(out, e.A, to)
		default:
			out = append(out, e.A)
		}
	}
	return out
}

func TestShapes(t *testing.T) {
	for _, c := range []struct {
		is      Kind
		patches []string
		outline string
	}{
		{Triangle, []string{"0,0 4,0 0,3"}, "0,0 4,0 0,3"},
		{Trapezoid, []string{"0,0 4,0 3,2 0,2"}, "0,0 4,0 3,2 0,2"},
		{Diamond, []string{"2,0 3,2 2,4 1,2"}, "2,0 3,2 2,4 1,2"},
		{Parallelogram, []string{"1,0 4,0 3,2 0,2"}, "1,0 4,0 3,2 0,2"},
		{Kite, []string{"2,0 4,2 2,5 0,2"}, "2,0 4,2 2,5 0,2"},
		{Quadrilateral, []string{"0,0 5,1 4,4 1,3"}, "0,0 5,1 4,4 1,3"},
		{Diamond, []string{"1,0 3,1 2,3 0,2"}, "1,0 3,1 2,3 0,2"}, // a square at an angle that no turn has
		{Pentagon, []string{"1,0 3,0 3,3 0,3 0,1"}, "1,0 3,0 3,3 0,3 0,1"},
		{Hexagon, []string{"1,0 3,0 4,2 3,4 1,4 0,2"}, "1,0 3,0 4,2 3,4 1,4 0,2"},
		{Octagon, []string{"1,0 2,0 3,1 3,2 2,3 1,3 0,2 0,1"}, "1,0 2,0 3,1 3,2 2,3 1,3 0,2 0,1"},
		{Polygon, []string{"0,0 4,0 4,4 2,2 0,4"}, "0,0 4,0 4,4 2,2 0,4"},
		{Triangle, []string{"0,0 4,0 2,2", "0,0 2,2 0,4"}, "0,0 4,0 0,4"}, // half an hourglass
		{Piecework, []string{"0,0 1,0 1,2 0,2", "1,0 4,0 4,2 1,2"}, "0,0 4,0 4,2 0,2"},
		{Piecework, []string{"0,0 2,0 2,1 0,1", "2,0 3,0 3,2 2,2", "1,2 3,2 3,3 1,3", "0,1 1,1 1,3 0,3", "1,1 2,1 2,2 1,2"}, "0,0 3,0 3,3 0,3"}, // bright hopes
		{Piecework, nil, "0,0 3,0 3,3 0,3"},
	} {
		got := Recognise(outlines([]string{c.outline}, exact.Int(1))[0], patchesOf(outlines(c.patches, exact.Int(1))))
		if got.Kind != c.is || got.Roles != nil || len(got.Measures) != 2 {
			t.Errorf("%s is a %s, want %s", c.outline, got.Kind, c.is)
		}
	}
	if got := Recognise(nil, nil); got.Kind != Piecework {
		t.Errorf("nothing is a %s", got.Kind)
	}
}

// TestDrawnByLines cuts squares up by lines on three grids.
func TestDrawnByLines(t *testing.T) {
	for _, grid := range []int64{4, 6, 12} {
		for _, c := range []struct {
			is    Kind
			lines string // in quarters of the grid
		}{
			{HalfSquare, "0,4 4,0"}, {Hourglass, "0,0 4,4;4,0 0,4"}, {FourPatch, "2,0 2,4;0,2 4,2"}, {RailFence, "1,0 1,4;2,0 2,4;3,0 3,4"},
			{SquareInSquare, "2,0 4,2;4,2 2,4;2,4 0,2;0,2 2,0"}, {Snowball, "0,1 1,0;3,0 4,1"}, {ThreeTriangles, "0,0 4,4;2,2 4,0"},
		} {
			var lines []plane.Segment
			for _, l := range strings.Split(c.lines, ";") {
				var a, b, x, y int64
				if _, err := fmt.Sscanf(l, "%d,%d %d,%d", &a, &b, &x, &y); err != nil {
					t.Fatal(err)
				}
				at := func(v int64) exact.Num { return exact.Frac(v*grid, 4) }
				lines = append(lines, plane.Segment{A: plane.Pt(at(a), at(b)), B: plane.Pt(at(x), at(y))})
			}
			side := exact.Int(grid)
			faces, err := plane.Arrange(side, side, lines)
			if err != nil {
				t.Fatal(err)
			}
			if got := Recognise(plane.Rectangle(side, side), patchesOf(faces.Faces)); got.Kind != c.is {
				t.Errorf("grid %d: %s is a %s, want %s", grid, c.lines, got.Kind, c.is)
			}
		}
	}
}

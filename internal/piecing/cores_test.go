package piecing

import (
	"testing"
	"time"

	"quiltwright/internal/draft"
	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
)

// eightPoints returns an eight-pointed star in a square: eight diamonds, four squares, four triangles.
func eightPoints() (polygons []plane.Polygon, fabrics []int) {
	side := exact.New(2, 1, 1, 1) // 2 + √2; points of side 1
	mid := side.Half()
	turn := func(pg plane.Polygon, t plane.Turn) plane.Polygon {
		move := plane.Pose{At: plane.Pt(mid.Neg(), mid.Neg())}
		return move.Then(plane.Pose{Turn: t}).Then(plane.Pose{At: plane.Pt(mid, mid)}).ApplyPolygon(pg)
	}
	one := exact.Int(1)
	zero := exact.Num{}
	half := exact.Sqrt2().Half()
	// The point that touches the top from the left, the square beside it and the triangle on top.
	point := plane.Polygon{plane.Pt(one, zero), plane.Pt(mid, half), plane.Pt(mid, mid), plane.Pt(one, one)}
	square := plane.Polygon{plane.Pt(zero, zero), plane.Pt(one, zero), plane.Pt(one, one), plane.Pt(zero, one)}
	triangle := plane.Polygon{plane.Pt(one, zero), plane.Pt(side.Sub(one), zero), plane.Pt(mid, half)}
	for i := range 8 {
		polygons, fabrics = append(polygons, turn(point, plane.Turn(45*i))), append(fabrics, i%2)
	}
	for i := range 4 {
		polygons, fabrics = append(polygons, turn(square, plane.Turn(90*i))), append(fabrics, 2)
		polygons, fabrics = append(polygons, turn(triangle, plane.Turn(90*i))), append(fabrics, 2)
	}
	return polygons, fabrics
}

// Pairs, fours, halves, then squares and triangles set in: the usual order (docs/craft.md, sewing order).
func TestEightPointedStar(t *testing.T) {
	polygons, fabrics := eightPoints()
	r := takePatches(t, polygons, fabrics)
	u := r.Blocks[0].Unit
	straight, partial, setIn := seams(r, u)
	if straight != 7 || partial != 0 || setIn != 8 {
		t.Errorf("%d straight, %d partial, %d set in: %s", straight, partial, setIn, show(r, u))
	}
	star := r.Units[u].Parts[0]
	if len(r.Units[u].Parts) != 9 || r.Units[star.Unit].Patches != 8 {
		t.Fatalf("parts: %s", show(r, u))
	}
	// One pair, used four times.
	half := r.Units[r.Units[star.Unit].Parts[0].Unit]
	if half.Parts[0].Unit != half.Parts[1].Unit || r.Units[star.Unit].Parts[0].Unit != r.Units[star.Unit].Parts[1].Unit {
		t.Errorf("the halves differ: %s", show(r, star.Unit))
	}
	diamonds := 0
	for _, v := range r.Units {
		if v.Leaf != nil && v.Shape.Kind == "diamond" {
			diamonds++
		}
	}
	if diamonds != 2 {
		t.Errorf("%d different diamonds, want one of each fabric", diamonds)
	}
}

// A partial seam is open where the last part comes in, and closed there together with that part.
func TestPartialSeam(t *testing.T) {
	r := takeText(t, `
blocks:
  Block: {size: 3, grid: 3, symmetry: quarter turns, lines: ["0,1 2,1"], fill: {A: "1/2,1/2", B: "3/2,3/2"}}`)
	u := r.Units[r.Blocks[0].Unit]
	first, last := u.Joins[0], u.Joins[len(u.Joins)-1]
	if first.Kind != Partial || first.Finish || last.Kind != Partial || !last.Finish || !first.Seam.B.Equal(last.Seam.B) || first.B != last.B {
		t.Errorf("first %v, last %v", first, last)
	}
	if len(u.Joins) != 8 {
		t.Errorf("%d joins", len(u.Joins))
	}
	for i, j := range u.Joins[1:7] {
		if j.Kind != Straight || j.OneGo != (i%2 == 1) {
			t.Errorf("join %d: %v", i+1, j)
		}
	}
}

// Things in a core that come apart by themselves are units of their own.
func TestUnitsWithinACore(t *testing.T) {
	r := takeText(t, `
blocks:
  Block:
    size: 12
    grid: 6
    symmetry: quarter turns
    lines: ["0,2 4,2", "0,1 4,1", "2,2 4,4"]
    fill: {A: "1,1/2", B: "1,3/2", C: "3,5/2"}`)
	u := r.Blocks[0].Unit
	straight, partial, setIn := seams(r, u)
	if partial != 1 || setIn != 0 || straight != 3+3+4 {
		t.Errorf("%d straight, %d partial, %d set in: %s", straight, partial, setIn, show(r, u))
	}
	half := 0
	for _, v := range r.Units {
		if v.Shape.Kind == "hourglass" {
			half++
		}
	}
	if half != 1 {
		t.Errorf("%d hourglasses: %s", half, show(r, u))
	}
}

// pinwheels returns n by n blocks of a ring, alternately of either hand, so that the whole does not come apart.
func pinwheels(n int) []plane.Polygon {
	var all []plane.Polygon
	at := func(x, y int) plane.Point { return plane.Pt(exact.Int(int64(x)), exact.Int(int64(y))) }
	box := func(x0, y0, x1, y1 int) plane.Polygon {
		return plane.Polygon{at(x0, y0), at(x1, y0), at(x1, y1), at(x0, y1)}
	}
	for j := range n {
		for i := range n {
			x, y := 3*i, 3*j
			all = append(all, box(x, y, x+2, y+1), box(x+2, y, x+3, y+2), box(x+1, y+2, x+3, y+3), box(x, y+1, x+1, y+3), box(x+1, y+1, x+2, y+2))
		}
	}
	return all
}

// shingles returns bricks in a herringbone within a square of n by n double steps; no line takes it apart.
func shingles(n int) []plane.Polygon {
	at := func(x, y int) plane.Point { return plane.Pt(exact.Int(int64(x)), exact.Int(int64(y))) }
	size := 2 * n
	var all []plane.Polygon
	add := func(x0, y0, x1, y1 int) {
		x0, y0, x1, y1 = max(x0, 0), max(y0, 0), min(x1, size), min(y1, size)
		if x0 < x1 && y0 < y1 {
			all = append(all, plane.Polygon{at(x0, y0), at(x1, y0), at(x1, y1), at(x0, y1)})
		}
	}
	// Cell (i, j) belongs to a lying brick where i - j is 0 or 1 modulo 4, else to a standing one.
	for j := range size {
		for i := -1; i <= size; i++ {
			switch ((i-j)%4 + 4) % 4 {
			case 0:
				add(i, j, i+2, j+1)
			case 3:
				add(i, j, i+1, j+2)
			}
		}
	}
	for i := range size { // the lower halves of standing bricks that begin above the square
		if ((i+1)%4+4)%4 == 3 {
			add(i, -1, i+1, 1)
		}
	}
	return all
}

func TestLargeCores(t *testing.T) {
	for _, n := range []int{2, 5, 12} {
		start := time.Now()
		tiles := shingles(n)
		r := takePatches(t, tiles, []int{0, 1, 2})
		straight, partial, setIn := seams(r, r.Blocks[0].Unit)
		if straight+partial+setIn < len(tiles)-1 {
			t.Errorf("%d patches: %d straight, %d partial, %d set in", len(tiles), straight, partial, setIn)
		}
		if took := time.Since(start); took > slower*20*time.Second {
			t.Errorf("%d patches took %v", len(tiles), took)
		}
		t.Logf("%d patches: %d straight, %d partial, %d set in, %v", len(tiles), straight, partial, setIn, time.Since(start))
	}
	r := takePatches(t, pinwheels(3), []int{0, 1, 2, 3})
	straight, partial, setIn := seams(r, r.Blocks[0].Unit)
	if partial != 9 || setIn != 0 || straight != 9*3+8 {
		t.Errorf("pinwheels: %d straight, %d partial, %d set in", straight, partial, setIn)
	}
}

// The writer's line is taken first, and is sewn last.
func TestFirst(t *testing.T) {
	line := func(x0, y0, x1, y1 int64) plane.Segment {
		return plane.Segment{A: plane.Pt(exact.Int(x0), exact.Int(y0)), B: plane.Pt(exact.Int(x1), exact.Int(y1))}
	}
	r := takePatches(t, grid(3, 3), []int{0, 1, 2}, line(2, 0, 2, 3))
	u := r.Units[r.Blocks[0].Unit]
	if len(u.Parts) != 2 || len(u.Joins) != 1 || !u.Joins[0].Seam.A.X.Equal(exact.Int(2)) || len(r.found) > 0 {
		t.Errorf("joins %v, found %v", u.Joins, r.found)
	}
	// A part of a line is enough; later wishes hold within what earlier ones leave.
	r = takePatches(t, grid(3, 3), []int{0, 1, 2, 0}, line(0, 1, 2, 1), line(1, 2, 1, 3))
	u = r.Units[r.Blocks[0].Unit]
	if len(u.Parts) != 2 || !u.Joins[0].Seam.A.Y.Equal(exact.Int(1)) || len(r.found) > 0 {
		t.Errorf("joins %v, found %v", u.Joins, r.found)
	}
	lower := r.Units[u.Parts[1].Unit]
	if len(lower.Parts) != 2 || !lower.Joins[0].Seam.A.X.Equal(lower.Joins[0].Seam.B.X) {
		t.Errorf("joins %v", lower.Joins)
	}
	for _, l := range []plane.Segment{line(0, 1, 3, 2), line(1, 1, 2, 2)} {
		if r = takePatches(t, grid(3, 3), []int{0, 1}, l); len(r.found) != 1 {
			t.Errorf("%v: found %v", l, r.found)
		}
	}
}

// A block that is broken or empty is left out, and with it the top.
func TestBroken(t *testing.T) {
	r, found := Take(docOf(), []*draft.Block{nil, {}, {Broken: true, Patches: colours(1).Patches}}, nil, nil, Full)
	if len(found) > 0 || len(r.Units) > 0 || r.Top != -1 {
		t.Errorf("%d units, found %v", len(r.Units), found)
	}
	for i, use := range r.Blocks {
		if use.Unit != -1 {
			t.Errorf("block %d is unit %d", i, use.Unit)
		}
	}
}

// An elbow round a square: two patches that no straight seam parts, though the two together are convex.
func TestElbow(t *testing.T) {
	at := func(x, y int64) plane.Point { return plane.Pt(exact.Int(x), exact.Int(y)) }
	r := takePatches(t, []plane.Polygon{
		{at(0, 0), at(2, 0), at(2, 2), at(4, 2), at(4, 4), at(0, 4)},
		{at(2, 0), at(4, 0), at(4, 2), at(2, 2)},
	}, []int{0, 1})
	u := r.Blocks[0].Unit
	straight, partial, setIn := seams(r, u)
	if len(r.Units[u].Parts) != 2 || straight != 0 || partial != 0 || setIn != 1 {
		t.Errorf("%d straight, %d partial, %d set in: %s", straight, partial, setIn, show(r, u))
	}
}

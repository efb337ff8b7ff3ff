package piecing

import (
	"testing"

	"pgregory.net/rapid"

	"quiltwright/internal/draft"
	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
)

// randomFloor fills a square of side n with random rectangles, some cut along a diagonal. Often it does not come apart by
// straight cuts.
func randomFloor(draw func(n int) int, n int) []plane.Polygon {
	taken := make([][]bool, n)
	for i := range taken {
		taken[i] = make([]bool, n)
	}
	at := func(x, y int) plane.Point { return plane.Pt(exact.Int(int64(x)), exact.Int(int64(y))) }
	var all []plane.Polygon
	for y := range n {
		for x := range n {
			if taken[y][x] {
				continue
			}
			w, h := 1, 1
			for w < 1+draw(3) && x+w < n && !taken[y][x+w] {
				w++
			}
			for h < 1+draw(3) && y+h < n {
				h++
			}
			for j := range h {
				for i := range w {
					taken[y+j][x+i] = true
				}
			}
			a, b, c, d := at(x, y), at(x+w, y), at(x+w, y+h), at(x, y+h)
			switch draw(6) {
			case 0:
				all = append(all, plane.Polygon{a, b, d}, plane.Polygon{b, c, d})
			case 1:
				all = append(all, plane.Polygon{a, b, c}, plane.Polygon{a, c, d})
			default:
				all = append(all, plane.Polygon{a, b, c, d})
			}
		}
	}
	return all
}

// Whatever it is, it is sewn: check demands that every contact is a seam and every patch is in its place.
func TestRandomFloors(t *testing.T) {
	cores := 0
	rapid.Check(t, func(rt *rapid.T) {
		draw := func(n int) int { return rapid.IntRange(0, n-1).Draw(rt, "n") }
		tiles := randomFloor(draw, 2+draw(6))
		r := takePatches(rt, tiles, []int{draw(3), draw(3), draw(3)})
		_, partial, setIn := seams(r, r.Blocks[0].Unit)
		if partial+setIn > 0 {
			cores++
		}
	})
	if cores == 0 {
		t.Error("no floor had a core")
	}
}

// Prints with a direction keep it: check compares every leaf with the patch as drawn. Prints forbid some turns.
func TestPrints(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		draw := func(n int) int { return rapid.IntRange(0, n-1).Draw(rt, "n") }
		doc := docOf()
		doc.Fabrics[1].Print, doc.Fabrics[2].Print = quilt.OneWay, quilt.TwoWay
		b := &draft.Block{Name: "Block"}
		for _, pg := range randomFloor(draw, 2+draw(4)) {
			p := draft.Patch{Outline: pg, Fabric: draw(3)}
			switch p.Fabric {
			case 1:
				p.Up = plane.Turn(45 * draw(8))
			case 2:
				p.Up = plane.Turn(45 * draw(4))
			}
			b.Patches = append(b.Patches, p)
		}
		r := taken{blocks: []*draft.Block{b}}
		r.Result, r.found = Take(doc, r.blocks, nil, nil, Full)
		check(rt, r)
		for _, u := range r.Units {
			if u.Leaf == nil {
				continue
			}
			if u.Leaf.Fabric == 1 && u.Period != 360 || u.Leaf.Fabric == 2 && u.Period < 180 {
				rt.Errorf("a print of fabric %d looks the same after %d degrees", u.Leaf.Fabric, u.Period)
			}
		}
	})
}

// A mirrored patch is another unit; one that is its own mirror image is not.
func TestMirrored(t *testing.T) {
	at := func(x, y int64) plane.Point { return plane.Pt(exact.Int(x), exact.Int(y)) }
	// Two half rectangles of either hand side by side: four triangles, two of each hand.
	r := takePatches(t, []plane.Polygon{{at(0, 0), at(2, 0), at(0, 4)}, {at(2, 0), at(2, 4), at(0, 4)},
		{at(2, 0), at(4, 0), at(4, 4)}, {at(2, 0), at(4, 4), at(2, 4)}}, []int{0})
	leaves := 0
	for _, u := range r.Units {
		if u.Leaf != nil {
			leaves++
		}
	}
	if leaves != 2 {
		t.Errorf("%d triangles, want a left and a right one", leaves)
	}
}

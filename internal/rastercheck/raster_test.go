package rastercheck

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"quiltwright/internal/compile"
	"quiltwright/internal/draft"
	"quiltwright/internal/plan"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
	"quiltwright/internal/set"
)

// shape is a patch of the top in floats.
type shape struct {
	outline [][2]float64
	fabric  string
}

// lay reads a document and lays its top; both must come out well.
func lay(t *testing.T, src []byte) (*quilt.Document, *draft.Drafter, *set.Top) {
	t.Helper()
	doc, found := quilt.Read("test.yaml", src)
	if found.HasErrors() {
		t.Fatalf("reading: %v", found)
	}
	d := draft.New(doc)
	top, more := set.Lay(doc, d)
	if all := append(d.Findings(), more...); all.HasErrors() {
		t.Fatalf("laying: %v", all)
	}
	return doc, d, top
}

// shapes returns the patches of a top as draft and set drew them.
func shapes(doc *quilt.Document, d *draft.Drafter, top *set.Top) []shape {
	var out []shape
	add := func(fabric int, outline plane.Polygon) {
		s := shape{fabric: doc.Fabrics[fabric].Letter}
		for _, v := range outline {
			s.outline = append(s.outline, [2]float64{v.X.Float(), v.Y.Float()})
		}
		out = append(out, s)
	}
	for _, p := range top.Placed {
		for _, q := range d.Blocks()[p.Block].Patches {
			add(q.Fabric, p.Pose.ApplyPolygon(q.Outline))
		}
	}
	for _, p := range top.Patches {
		add(p.Fabric, p.Outline)
	}
	return out
}

// sewnShapes returns the patches of a plan's top, from its units alone: each part posed in the unit that it is a part of.
func sewnShapes(t *testing.T, p *plan.Plan) []shape {
	t.Helper()
	units := map[string]*plan.Unit{}
	for i := range p.Units {
		units[p.Units[i].ID] = &p.Units[i]
	}
	var out []shape
	var walk func(id string, pose func([2]float64) [2]float64)
	walk = func(id string, pose func([2]float64) [2]float64) {
		u := units[id]
		if u == nil {
			t.Fatalf("the plan has no unit %s", id)
		}
		if len(u.Parts) == 0 {
			s := shape{fabric: u.Fabric}
			for _, v := range u.Outline {
				s.outline = append(s.outline, pose([2]float64{float64(v.X), float64(v.Y)}))
			}
			out = append(out, s)
			return
		}
		for _, part := range u.Parts {
			sin, cos := math.Sincos(float64(part.Turn) * math.Pi / 180)
			walk(part.Unit, func(q [2]float64) [2]float64 {
				x, y := q[0], q[1]
				if part.Mirror {
					x = -x
				}
				return pose([2]float64{x*cos - y*sin + float64(part.At[0]), x*sin + y*cos + float64(part.At[1])})
			})
		}
	}
	walk(p.Top, func(q [2]float64) [2]float64 { return q })
	return out
}

func (s shape) holds(x, y float64) bool {
	in := false
	for i, a := range s.outline {
		b := s.outline[(i+1)%len(s.outline)]
		if (a[1] > y) != (b[1] > y) && x < a[0]+(y-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
			in = !in
		}
	}
	return in
}

// middle returns a place inside a convex shape, and inside most others.
func (s shape) middle() (x, y float64) {
	for _, v := range s.outline {
		x, y = x+v[0]/float64(len(s.outline)), y+v[1]/float64(len(s.outline))
	}
	return x, y
}

// agree compares shapes with the crude drawing: on a raster over the whole top and in the middle of every shape the fabrics are
// the same; and every shape is one patch of the crude drawing, every patch one shape.
func agree(t *testing.T, doc *quilt.Document, all []shape, w, h float64) {
	t.Helper()
	c := &crude{doc: doc, drawn: map[string]*pixels{}, margin: min(w, h) / 400}
	patchOf, shapeOf := map[int]string{}, map[string]int{}
	sure, asked := 0, 0
	look := func(i int, x, y float64) {
		want := c.top(x, y, w, h)
		asked++
		if !want.sure {
			return
		}
		sure++
		if all[i].fabric != want.fabric {
			t.Fatalf("at %.3f,%.3f lies %s, crudely drawn %s (%s); the shape is %.3f", x, y, all[i].fabric, want.fabric, want.patch, all[i].outline)
		}
		if want.patch == "" {
			return
		}
		if before, ok := patchOf[i]; ok && before != want.patch {
			t.Fatalf("one shape is two patches crudely drawn: %s and %s, at %.3f,%.3f of %.3f", before, want.patch, x, y, all[i].outline)
		}
		if before, ok := shapeOf[want.patch]; ok && before != i {
			t.Fatalf("%s, one patch crudely drawn, is two shapes: %.3f and %.3f", want.patch, all[before].outline, all[i].outline)
		}
		patchOf[i], shapeOf[want.patch] = want.patch, i
	}
	const raster = 170
	boxes := newBoxes(all)
	for row := range raster {
		for column := range raster {
			x, y := (float64(column)+0.531)/raster*w, (float64(row)+0.417)/raster*h
			for _, i := range boxes.near(x, y) {
				if all[i].holds(x, y) {
					look(i, x, y)
					break
				}
			}
		}
	}
	for i, s := range all {
		if x, y := s.middle(); s.holds(x, y) {
			look(i, x, y)
		}
	}
	if asked < raster*raster*999/1000 || sure < asked/2 {
		t.Fatalf("of %d places %d are covered and %d are sure", raster*raster, asked, sure)
	}
	for i, s := range all {
		if _, seen := patchOf[i]; !seen {
			if x, y := s.middle(); s.holds(x, y) && c.top(x, y, w, h).sure {
				t.Errorf("nothing tells which patch %.3f is", s.outline)
			}
		}
	}
}

// boxes finds the shapes near a place.
type boxes [][4]float64

func newBoxes(all []shape) boxes {
	out := make(boxes, len(all))
	for i, s := range all {
		out[i] = [4]float64{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
		for _, v := range s.outline {
			out[i] = [4]float64{min(out[i][0], v[0]), min(out[i][1], v[1]), max(out[i][2], v[0]), max(out[i][3], v[1])}
		}
	}
	return out
}

func (b boxes) near(x, y float64) []int {
	var out []int
	for i, box := range b {
		if x >= box[0] && y >= box[1] && x <= box[2] && y <= box[3] {
			out = append(out, i)
		}
	}
	return out
}

// documents returns the examples and the catalogue of blocks.
func documents(t testing.TB) []string {
	t.Helper()
	examples, _ := filepath.Glob("../../examples/*.yaml")
	blocks, _ := filepath.Glob("../../blocks/*.yaml")
	if len(examples) < 5 || len(blocks) < 30 {
		t.Fatalf("%d examples and %d blocks", len(examples), len(blocks))
	}
	return append(examples, blocks...)
}

// Every document comes out as its crude drawing: as draft and set draw it, and as the plan sews it together.
func TestCrudeDrawingAgrees(t *testing.T) {
	for _, path := range documents(t) {
		t.Run(filepath.Base(path), func(t *testing.T) {
			src, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			doc, d, top := lay(t, src)
			agree(t, doc, shapes(doc, d, top), top.Width.Float(), top.Height.Float())
			plan := compile.Compile(path, src, compile.Options{Effort: compile.Quick}).Plan
			if !plan.Complete {
				t.Fatalf("the plan is not complete: %v", plan.Findings)
			}
			agree(t, doc, sewnShapes(t, plan), float64(plan.Finished.Width), float64(plan.Finished.Height))
		})
	}
}

// Sets of every kind come out as their crude drawing.
func TestCrudeSetsAgree(t *testing.T) {
	const blocks = `format: 1
quilt: Lantern Row
fabrics:
  A: {name: Fog, color: "#e8e3d6"}
  B: {name: Slate, color: "#45505c"}
  C: {name: Ember, color: "#c8502b"}
  D: {name: Brass, color: "#d9a441"}
blocks:
  Lamp:
    size: 12
    grid: 6
    symmetry: [quarter turns]
    lines: ["0,2 6,2", "2,0 2,2 4,4", "0,1 1,2"]
    fill: {B: "3,5/2", C: "1/2,1/2", D: "3,1"}
    ground: A
  Leaf:
    size: 12
    grid: 4
    symmetry: falling diagonal
    lines: ["0,1 4,1", "0,3 3,0", "1,2 4,2"]
    fill: {C: "7/2,3/2", B: "1/2,3/4"}
    ground: A
  Vane:
    size: 12
    grid: [4, 4]
    symmetry: rising diagonal
    lines: ["0,1 4,2", "0,0 4,4"]
    fill: {C: "1,1/2", B: "7/2,3/2"}
    ground: D
  Mixed:
    size: 12
    columns: [1, 2, 1]
    heights: [1, 2, 1]
    rows:
      - [half square A B@90, "goose A B C@180", {block: Leaf, turn: 90, mirror: true, recolor: {C: D, A: B}}]
      - ["goose D B C@90m", "log cabin A B C D B C A B D", "half rectangle A C@90m"]
      - [three triangles A B C@270, "rail A B C", "snowball B A C D A"]
  Tall:
    size: [6, 12]
    rows: [["square in square A B C D B"], ["hourglass A B C D@90m"]]
set: `
	sets := []string{
		"{rows: [[Lamp, Leaf@90, Vane], [Vane@90m, Mixed@270m, {block: Lamp, mirror: true, recolor: {A: D}}]]}",
		"{rows: [[Tall, Mixed@90, Tall@180m]], repeat: 2 x 3}",
		"{rows: [[Tall, A, Leaf], [B, Mixed, four-patch A C]], sashing: {width: 1 1/2, fabric: D, posts: C}}",
		"{rows: [[Mixed, Leaf@180m], [Leaf, Mixed@180]], sashing: {width: 2, fabric: D, posts: C, outside: true}, borders: [{width: 2, fabric: B}, {width: 3, fabric: A, corners: {fabric: C}}]}",
		"{rows: [[Mixed, Leaf@90m, Tall]], repeat: 1 x 2, sashing: {width: 2, fabric: D, outside: true}}",
		"{rows: [[Mixed, Leaf@180m], [Leaf, Mixed@180]], borders: [{width: 2, fabric: B, corners: mitred}, {width: 3, fabric: A, corners: mitred}, {width: 1, fabric: C}, {width: 2, fabric: D, corners: mitred}]}",
		"{style: on point, triangles: D, rows: [[Mixed, Lamp]], borders: [{width: 2, fabric: B, corners: mitred}]}",
		"{style: on point, triangles: D, rows: [[Mixed]]}",
		"{style: on point, triangles: D, rows: [[Mixed, Leaf@90, Lamp], [Mixed@90m, Leaf], [Lamp, Mixed@180, A]]}",
		"{style: on point, triangles: {fabric: D, float: 3/4}, rows: [[Mixed, Leaf@270m], [Lamp], [Mixed@180, Lamp]], borders: [{width: 3, fabric: B}]}",
		"{style: on point, triangles: D, rows: [[Mixed, Leaf@270m], [Lamp], [Mixed@180, Lamp]], sashing: {width: 2, fabric: B, posts: C}}",
		"{style: on point, triangles: D, rows: [[Mixed, Leaf@270m, Lamp], [Lamp, Leaf], [Mixed@180, Lamp, B]], sashing: {width: 2, fabric: B}}",
		"{style: on point, triangles: D, rows: [[Mixed], [Leaf@90m]], repeat: 3 x 2}",
		"{style: on point, triangles: D, rows: [[Mixed, Leaf@270m], [Lamp], [Mixed@180, Lamp]], repeat: 2 x 2, sashing: {width: 2, fabric: B, posts: C}}",
		"{style: on point, triangles: {fabric: D, float: 1}, rows: [[Mixed, Leaf@270m], [Lamp], [Mixed@180, Lamp]], sashing: {width: 2, fabric: B, posts: C}, borders: [{width: 2, fabric: A, corners: {fabric: C}}]}",
	}
	for i, text := range sets {
		t.Run(fmt.Sprint(i), func(t *testing.T) {
			doc, d, top := lay(t, []byte(blocks+text+"\n"))
			agree(t, doc, shapes(doc, d, top), top.Width.Float(), top.Height.Float())
		})
	}
}

package set_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quiltwright/internal/draft"
	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
	"quiltwright/internal/set"
)

const head = `format: 1
quilt: Lantern Row
fabrics:
  A: {name: Fog, color: "#e8e3d6"}
  B: {name: Slate, color: "#45505c"}
  C: {name: Ember, color: "#c8502b"}
blocks:
  Steps:
    size: 12
    rows:
      - ["goose A B", B]
      - [C, "half square A C"]
  Flag: {size: [6, 12], grid: [1, 2], lines: "0,1 1,1", fill: {B: "1/2,1/2"}, ground: A}
`

func lay(t testing.TB, text string) (*quilt.Document, *draft.Drafter, *set.Top) {
	t.Helper()
	doc, found := quilt.Read("test.yaml", []byte(text))
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

// flat returns every patch of the top in its frame.
func flat(d *draft.Drafter, top *set.Top) []draft.Patch {
	var out []draft.Patch
	for _, p := range top.Placed {
		for _, q := range d.Blocks()[p.Block].Patches {
			q.Outline = p.Pose.ApplyPolygon(q.Outline)
			q.Up = (q.Up + p.Pose.Turn).Norm()
			out = append(out, q)
		}
	}
	for _, p := range top.Patches {
		out = append(out, p.Patch)
	}
	return out
}

// covered checks that the patches of a top cover it exactly.
func covered(t testing.TB, d *draft.Drafter, top *set.Top) {
	t.Helper()
	all := flat(d, top)
	sum := exact.Num{}
	for i, p := range all {
		if p.Outline.Area2().Sign() <= 0 {
			t.Fatalf("patch %d has no area, or runs counter-clockwise: %v", i, p.Outline)
		}
		sum = sum.Add(p.Outline.Area2())
		for _, q := range all[:i] {
			if plane.Overlap(p.Outline, q.Outline) {
				t.Fatalf("patches overlap: %v and %v", p.Outline, q.Outline)
			}
		}
	}
	if want := top.Width.Mul(top.Height).Mul(exact.Int(2)); !sum.Equal(want) {
		t.Fatalf("patches cover %v of %v", sum.Half(), want.Half())
	}
}

// sewn walks the tree and checks that every seam is a straight line from edge to edge of what it joins, and touches two parts
// only: each part is a convex polygon, on one side of the seam, and has the whole seam on its outline.
func sewn(t testing.TB, d *draft.Drafter, top *set.Top) {
	t.Helper()
	placed, patches := map[int]int{}, map[int]int{}
	var walk func(n *set.Node) plane.Polygon
	walk = func(n *set.Node) plane.Polygon {
		switch {
		case n.Placed >= 0:
			placed[n.Placed]++
			p := top.Placed[n.Placed]
			b := d.Blocks()[p.Block]
			return p.Pose.ApplyPolygon(plane.Rectangle(b.Width, b.Height))
		case n.Patch >= 0:
			patches[n.Patch]++
			return top.Patches[n.Patch].Outline
		}
		outlines := make([]plane.Polygon, len(n.Parts))
		for i, part := range n.Parts {
			outlines[i] = walk(part)
		}
		if len(n.Seams) > 0 && n.Seams[0].SetIn {
			return framed(t, n, outlines)
		}
		if len(n.Parts) < 2 || len(n.Seams) != len(n.Parts)-1 {
			t.Fatalf("%s: %d parts, %d seams", n.Name, len(n.Parts), len(n.Seams))
		}
		joined := outlines[0]
		for i, s := range n.Seams {
			if s.B != i+1 || s.A > i || s.A < 0 {
				t.Fatalf("%s: seam %d joins %d and %d", n.Name, i, s.A, s.B)
			}
			var err error
			for _, part := range []plane.Polygon{outlines[s.A], outlines[s.B], joined} {
				if !hasSide(part, s.Line) {
					t.Fatalf("%s: seam %v is no side of %v", n.Name, s.Line, part)
				}
			}
			if joined, err = weld(joined, outlines[s.B], s.Line); err != nil {
				t.Fatalf("%s: %v", n.Name, err)
			}
		}
		return joined
	}
	whole := walk(top.Root)
	if got, want := whole.Simplify().Canonical(), plane.Rectangle(top.Width, top.Height); string(got.AppendKey(nil)) != string(want.AppendKey(nil)) {
		t.Errorf("sewn together the top is %v, not %v", got, want)
	}
	for i := range top.Placed {
		if placed[i] != 1 {
			t.Errorf("block %d is sewn in %d times", i, placed[i])
		}
	}
	for i := range top.Patches {
		if patches[i] != 1 {
			t.Errorf("patch %d is sewn in %d times", i, patches[i])
		}
	}
}

// framed checks a border with mitred corners: four sides round a rectangle, each first sewn to it, then to the one before it; it returns the
// rectangle that they make.
func framed(t testing.TB, n *set.Node, outlines []plane.Polygon) plane.Polygon {
	t.Helper()
	if len(n.Parts) != 5 || len(n.Seams) != 8 {
		t.Fatalf("%s: %d parts, %d seams", n.Name, len(n.Parts), len(n.Seams))
	}
	for i, s := range n.Seams {
		a := 0
		if i >= 4 {
			a = (i+3)%4 + 1
		}
		if !s.SetIn || s.Finish != (i >= 4) || s.A != a || s.B != i%4+1 || !hasSide(outlines[s.A], s.Line) || !hasSide(outlines[s.B], s.Line) {
			t.Fatalf("%s: seam %d is %+v", n.Name, i, s)
		}
	}
	least, _ := outlines[1].Box()
	_, most := outlines[3].Box()
	whole := plane.Polygon{least, plane.Pt(most.X, least.Y), most, plane.Pt(least.X, most.Y)}
	area := exact.Num{}
	for _, pg := range outlines {
		area = area.Add(pg.Area2())
	}
	if !area.Equal(whole.Area2()) {
		t.Errorf("%s: the parts have the double area %v, the whole %v", n.Name, area, whole.Area2())
	}
	return whole
}

// hasSide reports whether a segment is a whole side of a polygon.
func hasSide(pg plane.Polygon, s plane.Segment) bool {
	for _, e := range pg.Simplify().Edges() {
		if e.A.Equal(s.A) && e.B.Equal(s.B) || e.A.Equal(s.B) && e.B.Equal(s.A) {
			return true
		}
	}
	return false
}

// weld returns the polygon of two that share a whole side.
func weld(a, b plane.Polygon, s plane.Segment) (plane.Polygon, error) {
	a, b = a.Simplify(), b.Simplify()
	for i, v := range a {
		w := a[(i+1)%len(a)]
		for j, x := range b {
			y := b[(j+1)%len(b)]
			if v.Equal(y) && w.Equal(x) && (v.Equal(s.A) && w.Equal(s.B) || v.Equal(s.B) && w.Equal(s.A)) {
				var out plane.Polygon
				for k := range a {
					out = append(out, a[(i+1+k)%len(a)])
				}
				for k := 1; k < len(b)-1; k++ {
					out = append(out, b[(j+1+k)%len(b)])
				}
				return out.Simplify(), nil
			}
		}
	}
	return nil, fmt.Errorf("%v and %v do not share %v", a, b, s)
}

// roles counts the patches of each role.
func roles(top *set.Top) map[string]int {
	out := map[string]int{}
	for _, p := range top.Patches {
		out[p.Role]++
	}
	return out
}

func TestLay(t *testing.T) {
	tests := []struct {
		name, set     string
		width, height string
		placed        int
		roles         string
	}{
		{"one block", "", "12", "12", 1, "map[]"},
		{"two by three", "set: {rows: [[Steps, Steps]], repeat: 1 x 3}", "24", "36", 6, "map[]"},
		{"turned flags", "set: {rows: [[Flag, Steps, Flag@180], [A, Steps@90, B]]}", "24", "24", 6, "map[]"},
		{"a flag on its side", "set: {rows: [[Flag@90, Flag@270]]}", "24", "6", 2, "map[]"},
		// facts A 29: r x c blocks, outer frame included: stones (r+1)(c+1), strips r(c+1)+c(r+1); inside only (r-1)(c-1), r(c-1)+c(r-1)
		{"posts outside", "set: {rows: [[Steps, Steps]], repeat: 2 x 3, sashing: {width: 2, fabric: B, posts: C, outside: true}}",
			"58", "44", 12, "map[post:20 sashing:31]"},
		{"posts inside", "set: {rows: [[Steps, Steps]], repeat: 2 x 3, sashing: {width: 2, fabric: B, posts: C}}",
			"54", "40", 12, "map[post:6 sashing:17]"},
		{"long sashing", "set: {rows: [[Steps, Steps], [Steps, Steps]], sashing: {width: 1 1/2, fabric: B}}", "25 1/2", "25 1/2", 4, "map[sashing:3]"},
		{"long sashing outside", "set: {rows: [[Steps, Steps], [Steps, Steps]], sashing: {width: 1 1/2, fabric: B, outside: true}}",
			"28 1/2", "28 1/2", 4, "map[sashing:9]"},
		{"borders", "set: {rows: [[Steps]], borders: [{width: 1 1/2, fabric: B}, {width: 4, fabric: A, corners: {fabric: C}}]}",
			"23", "23", 1, "map[border 1:4 border 2:4 border 2 corner:4]"},
		{"mitred borders", "set: {rows: [[Steps]], borders: [{width: 1 1/2, fabric: B, corners: mitred}, {width: 4, fabric: A, corners: mitred}, {width: 1, fabric: C}]}",
			"25", "25", 1, "map[border 1:4 border 2:4 border 3:4]"},
		// facts A 32: columns x b x 1.41421 wide; 2(rows+cols-2) side triangles, 4 corners
		{"one on point", "set: {style: on point, triangles: A, rows: [[Steps]]}", "12√2", "12√2", 1, "map[corner triangle:4]"},
		{"three by two on point", "set: {style: on point, triangles: A, rows: [[Steps, Steps, Steps], [Steps, B], [Steps, Steps, Steps@90m]]}",
			"36√2", "24√2", 8, "map[corner triangle:4 side triangle:6]"},
		{"float", "set: {style: on point, triangles: {fabric: A, float: 1/2}, rows: [[Steps, Steps], [Steps], [Steps, Steps]]}",
			"1+24√2", "1+24√2", 5, "map[corner triangle:4 side triangle:4]"},
		{"one with float", "set: {style: on point, triangles: {fabric: A, float: 1/2}, rows: [[Steps]]}", "1+12√2", "1+12√2", 1, "map[corner triangle:4]"},
		// each block is ringed: 4 posts and 4 strips round one
		{"one ringed", "set: {style: on point, triangles: A, rows: [[Steps]], sashing: {width: 2, fabric: B, posts: C}}", "14√2", "14√2", 1,
			"map[corner triangle:4 post:4 sashing:4]"},
		{"ringed", "set: {style: on point, triangles: A, rows: [[Steps, Steps, Steps], [Steps, Steps], [Steps, Steps, Steps]], sashing: {width: 2, fabric: B, posts: C}}",
			"42√2", "28√2", 8, "map[corner triangle:4 post:17 sashing:24 side triangle:6]"},
		{"ringed without posts, with float", "set: {style: on point, triangles: {fabric: A, float: 1}, rows: [[Steps, Steps], [Steps], [Steps, Steps], [Steps], [Steps, Steps]], sashing: {width: 2, fabric: B}}",
			"2+28√2", "2+42√2", 8, "map[corner triangle:4 sashing:17 side triangle:6]"},
		{"borders on point", "set: {style: on point, triangles: A, rows: [[Steps]], borders: [{width: 2, fabric: B}]}", "4+12√2", "4+12√2", 1,
			"map[border 1:4 corner triangle:4]"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, d, top := lay(t, head+test.set+"\n")
			if top.Width.String() != test.width || top.Height.String() != test.height {
				t.Errorf("the top is %v x %v, want %s x %s", top.Width, top.Height, test.width, test.height)
			}
			if len(top.Placed) != test.placed {
				t.Errorf("%d blocks, want %d", len(top.Placed), test.placed)
			}
			if got := fmt.Sprint(roles(top)); got != test.roles {
				t.Errorf("patches %s, want %s", got, test.roles)
			}
			covered(t, d, top)
			sewn(t, d, top)
		})
	}
}

// Every example and every block of the catalogue is covered exactly, and sewn by straight seams.
func TestDocuments(t *testing.T) {
	examples, _ := filepath.Glob("../../examples/*.yaml")
	blocks, _ := filepath.Glob("../../blocks/*.yaml")
	if len(examples) < 5 || len(blocks) < 30 {
		t.Fatalf("%d examples and %d blocks", len(examples), len(blocks))
	}
	for _, path := range append(examples, blocks...) {
		t.Run(filepath.Base(path), func(t *testing.T) {
			src, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			_, d, top := lay(t, string(src))
			covered(t, d, top)
			sewn(t, d, top)
		})
	}
}

// What stands in the corners of a border may be a block; it is placed there the same way up in all four.
func TestCornerBlocks(t *testing.T) {
	doc, found := quilt.Read("test.yaml", []byte(head+"set: {rows: [[Steps]], borders: [{width: 3, fabric: B, corners: {fabric: C}}]}\n"))
	if len(found) > 0 {
		t.Fatal(found)
	}
	doc.Set.Borders[0].Corner = quilt.Cell{Block: "Steps", Turn: 90}
	d := draft.New(doc)
	top, found := set.Lay(doc, d)
	if len(found) > 0 || len(top.Placed) != 5 {
		t.Fatalf("%d blocks, found %v", len(top.Placed), found)
	}
	for _, p := range top.Placed[1:] {
		if p.Row != 0 || p.Pose.Turn != 90 || !d.Blocks()[p.Block].Width.Equal(exact.Int(3)) {
			t.Errorf("a corner is %+v, %v wide", p, d.Blocks()[p.Block].Width)
		}
	}
	covered(t, d, top)
	sewn(t, d, top)
}

func TestMeasuredBorders(t *testing.T) {
	_, _, top := lay(t, head+"set: {style: on point, triangles: A, rows: [[Steps]], borders: [{width: 2, fabric: B, corners: {fabric: C}}]}\n")
	for _, p := range top.Patches {
		if want := p.Role == "border 1"; p.Measured != want {
			t.Errorf("%s measured: %v", p.Role, p.Measured)
		}
	}
}

// A repeat on point lays the same top as its rows written out.
func TestRepeatOnPoint(t *testing.T) {
	lie := func(text string) string {
		_, d, top := lay(t, head+"set: {style: on point, triangles: {fabric: A, float: 1/2}, sashing: {width: 2, fabric: B, posts: C}, "+text+"}\n")
		covered(t, d, top)
		sewn(t, d, top)
		var out []string
		for _, p := range top.Placed {
			out = append(out, fmt.Sprint(p.Row, p.Column, d.Blocks()[p.Block].Name, p.Pose))
		}
		for _, p := range top.Patches {
			out = append(out, fmt.Sprint(p.Role, p.Fabric, p.Outline))
		}
		return strings.Join(out, "\n")
	}
	for again, written := range map[string]string{
		"rows: [[Steps, Steps@90], [A, Steps@180]], repeat: 2 x 2": "rows: [[Steps, Steps@90, Steps, Steps@90], [A, Steps@180, A], [Steps, Steps@90, Steps, Steps@90]]",
		"rows: [[Steps], [Steps@90], [A]], repeat: 2 x 1":          "rows: [[Steps, Steps], [Steps@90], [A, A]]",
		"rows: [[Steps, B], [Steps@90], [A, Steps]], repeat: 2 x 2": "rows: [[Steps, B, Steps, B], [Steps@90, Steps@90, Steps@90], [A, Steps, A, Steps], [Steps@90, Steps@90, Steps@90], " +
			"[Steps, B, Steps, B], [Steps@90, Steps@90, Steps@90], [A, Steps, A, Steps]]",
	} {
		if got, want := lie(again), lie(written); got != want {
			t.Errorf("%s lies as\n%s\nwant\n%s", again, got, want)
		}
	}
}

func TestErrors(t *testing.T) {
	tests := []struct{ set, says string }{
		{"set: {rows: [[Steps, Steps], [Steps, Flag]]}", "row 2 is 18 in wide and row 1 is 24 in: 6 in too little"},
		{"set: {rows: [[Steps, Flag@90]]}", "“Flag” is 6 in high here, and “Steps” in the same row is 12 in: 6 in too little"},
		{"set: {rows: [[A, B]]}", "how high row 1 is cannot be known: no block stands in it"},
		{"set: {rows: [[A, Flag], [B, Flag]]}", "how wide cell 1 of row 1 is cannot be known: no block stands in its column"},
		{"set: {rows: [[Steps, Flag], [Flag, Steps]], sashing: {width: 1, fabric: A, posts: B}}",
			"column 1 is 6 in wide in row 2 and 12 in in row 1: posts need columns that line up"},
		{"set: {style: on point, triangles: A, rows: [[Flag]]}", "“Flag” is 6 x 12 in, and blocks on point are square"},
		{"set: {style: on point, triangles: A, rows: [[A]]}", "how large the blocks are cannot be known: no cell is a block with a size"},
	}
	for _, test := range tests {
		doc, found := quilt.Read("test.yaml", []byte(head+test.set+"\n"))
		d := draft.New(doc)
		top, more := set.Lay(doc, d)
		found = append(append(found, d.Findings()...), more...)
		if top == nil || top.Root != nil {
			t.Errorf("%s: a tree though it does not fit", test.set)
		}
		if got := strings.ReplaceAll(found.String(), "\u00a0", " "); !strings.Contains(got, test.says) {
			t.Errorf("%s: found\n%swant %s", test.set, got, test.says)
		}
	}
}

package piecing

import (
	"fmt"
	"slices"
	"strings"

	"quiltwright/internal/diag"
	"quiltwright/internal/draft"
	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
	"quiltwright/internal/set"
)

// tester is what checks need of a *testing.T or a *rapid.T.
type tester interface {
	Helper()
	Errorf(format string, args ...any)
	Fatalf(format string, args ...any)
	Fatal(args ...any)
	Error(args ...any)
}

// taken is a document taken apart.
type taken struct {
	*Result
	blocks []*draft.Block
	top    *set.Top
	found  diag.List
}

const cloths = `format: 1
quilt: Test
fabrics:
  A: {name: Fog, color: "#e8e3d6"}
  B: {name: Slate, color: "#45505c"}
  C: {name: Ember, color: "#c8502b"}
  D: {name: Moss, color: "#5c7040"}
`

// takeText takes a document apart and checks it. Without its own fabrics it has A to D.
func takeText(t tester, text string) taken {
	t.Helper()
	if !strings.Contains(text, "fabrics:") {
		text = cloths + text
	}
	doc, found := quilt.Read("test.yaml", []byte(text))
	if found.HasErrors() {
		t.Fatal(found)
	}
	d := draft.New(doc)
	top, more := set.Lay(doc, d)
	if more.HasErrors() || d.Findings().HasErrors() {
		t.Fatal(more, d.Findings())
	}
	r := taken{blocks: d.Blocks(), top: top}
	r.Result, r.found = Take(doc, r.blocks, top, nil, Full)
	check(t, r)
	return r
}

// takePatches takes one block apart that is made of the polygons, and checks it.
func takePatches(t tester, polygons []plane.Polygon, fabrics []int, first ...plane.Segment) taken {
	t.Helper()
	doc := &quilt.Document{}
	for _, l := range []string{"A", "B", "C", "D"} {
		doc.Fabrics = append(doc.Fabrics, quilt.Fabric{Letter: l, Print: quilt.Plain})
	}
	b := &draft.Block{Name: "Block", First: first}
	for i, pg := range polygons {
		b.Patches = append(b.Patches, draft.Patch{Outline: pg, Fabric: fabrics[i%len(fabrics)]})
		_, most := pg.Box()
		b.Width, b.Height = exact.Max(b.Width, most.X), exact.Max(b.Height, most.Y)
	}
	r := taken{blocks: []*draft.Block{b}}
	r.Result, r.found = Take(doc, r.blocks, nil, nil, Full)
	check(t, r)
	return r
}

// check demands what every result must keep.
func check(t tester, r taken) {
	t.Helper()
	for i, u := range r.Units {
		if (u.Leaf != nil) != (len(u.Parts) == 0) || len(u.Parts) == 1 {
			t.Errorf("unit %d has %d parts", i, len(u.Parts))
		}
		if i > 0 && u.Leaf != nil && r.Units[i-1].Leaf == nil {
			t.Errorf("patch %d stands after a unit", i)
		}
		least, _ := u.Outline.Box()
		if !least.Equal(plane.Point{}) || u.Outline.Area2().Sign() <= 0 {
			t.Errorf("unit %d: outline %v", i, u.Outline)
		}
		checkParts(t, r, i)
		checkJoins(t, r, i)
	}
	for i, use := range r.Blocks {
		if use.Unit < 0 {
			continue
		}
		for k, p := range r.blocks[i].Patches {
			checkLeaf(t, r, fmt.Sprintf("block %d patch %d", i, k), use.Unit, use.Pose, r.BlockLeaves[i][k], p)
		}
	}
	if r.Top < 0 {
		return
	}
	used := 0
	for i, p := range r.top.Placed {
		u, pose := down(t, r, r.Top, plane.Pose{}, r.PlacedLeaves[i])
		want := r.Blocks[p.Block]
		wantPose := want.Pose.Then(p.Pose)
		// The top's own frame may be turned; then everything in it is.
		if u != want.Unit || !alike(pose.ApplyPolygon(r.Units[u].Outline), wantPose.ApplyPolygon(r.Units[u].Outline)) {
			t.Errorf("placed %d: unit %d at %v, want %d at %v", i, u, pose, want.Unit, wantPose)
		}
		if d := int(pose.Turn-wantPose.Turn+360) % r.Units[u].Period; d != 0 {
			t.Errorf("placed %d is turned by %d", i, d)
		}
		used += r.Units[u].Patches
	}
	for i, p := range r.top.Patches {
		checkLeaf(t, r, fmt.Sprintf("top patch %d", i), r.Top, plane.Pose{}, r.TopLeaves[i], p.Patch)
	}
	if got := r.Units[r.Top].Patches; got != used+len(r.top.Patches) {
		t.Errorf("the top has %d patches, its parts %d", got, used+len(r.top.Patches))
	}
}

func alike(a, b plane.Polygon) bool {
	return string(a.Canonical().AppendKey(nil)) == string(b.Canonical().AppendKey(nil))
}

// down follows a path.
func down(t tester, r taken, u int, pose plane.Pose, path []int) (int, plane.Pose) {
	for _, p := range path {
		part := r.Units[u].Parts[p]
		u, pose = part.Unit, part.Pose.Then(pose)
	}
	return u, pose
}

func checkLeaf(t tester, r taken, what string, u int, pose plane.Pose, path []int, p draft.Patch) {
	t.Helper()
	if path == nil {
		t.Errorf("%s has no path", what)
		return
	}
	u, pose = down(t, r, u, pose, path)
	leaf := r.Units[u].Leaf
	if leaf == nil {
		t.Errorf("%s: the path ends at a unit", what)
		return
	}
	if got := pose.ApplyPolygon(r.Units[u].Outline); !alike(got, p.Outline) {
		t.Errorf("%s lies at %v, is sewn at %v", what, p.Outline, got)
	}
	if leaf.Fabric != p.Fabric {
		t.Errorf("%s: fabric %d, want %d", what, leaf.Fabric, p.Fabric)
	}
	if up := (leaf.Up + pose.Turn).Norm(); leaf.Up != 0 || p.Up != 0 {
		if up != p.Up && up != p.Up+180 {
			t.Errorf("%s: the print points to %v, want %v", what, up, p.Up)
		}
	}
}

// checkParts demands that the parts fill the outline: areas add up and no two overlap.
func checkParts(t tester, r taken, i int) {
	t.Helper()
	u := r.Units[i]
	if u.Leaf != nil {
		return
	}
	var area exact.Num
	patches := 0
	var outlines []plane.Polygon
	for _, p := range u.Parts {
		if p.Unit >= i && r.Units[p.Unit].Leaf == nil {
			t.Fatalf("unit %d stands before its part %d", i, p.Unit)
		}
		if p.Pose.Mirror {
			t.Errorf("unit %d has a mirrored part", i)
		}
		pg := p.Pose.ApplyPolygon(r.Units[p.Unit].Outline)
		area = area.Add(pg.Area2())
		patches += r.Units[p.Unit].Patches
		outlines = append(outlines, pg)
	}
	if !area.Equal(u.Outline.Area2()) || patches != u.Patches {
		t.Errorf("unit %d %s: area %v of parts, %v of the outline; %d and %d patches", i, u.Shape.Kind, area, u.Outline.Area2(), patches, u.Patches)
	}
	if len(outlines) > 12 {
		return
	}
	for a, x := range outlines {
		for _, y := range outlines[:a] {
			if plane.Overlap(x, y) {
				t.Errorf("unit %d: parts overlap: %v and %v", i, x, y)
			}
		}
	}
}

// checkJoins demands that every join lies on the edges of its two parts, one on each side, that joins connect all parts, and
// that every length of contact between two parts is sewn exactly once.
func checkJoins(t tester, r taken, i int) {
	t.Helper()
	u := r.Units[i]
	if len(u.Parts) == 0 || len(u.Parts) > 40 {
		return
	}
	outline := func(p int) plane.Polygon { return u.Parts[p].Pose.ApplyPolygon(r.Units[u.Parts[p].Unit].Outline) }
	covered := func(pg plane.Polygon, s plane.Segment) bool {
		return slices.ContainsFunc(pg.Edges(), func(e plane.Segment) bool { return e.Contains(s.A) && e.Contains(s.B) })
	}
	in := map[int]bool{u.Joins[0].A: true}
	sewn := map[[2]int][]plane.Segment{}
	partial := 0
	for k, j := range u.Joins {
		if j.A == j.B || j.Seam.A.Equal(j.Seam.B) {
			t.Errorf("unit %d join %d: %v", i, k, j)
		}
		if !covered(outline(j.A), j.Seam) || !covered(outline(j.B), j.Seam) {
			t.Errorf("unit %d %s join %d: the seam %v does not lie on both parts %v, %v", i, u.Shape.Kind, k, j.Seam, outline(j.A), outline(j.B))
		}
		if !in[j.A] && !in[j.B] && !j.Finish && u.Role < Setting {
			in[j.A] = true // a pair of its own; it is joined later
		}
		in[j.A], in[j.B] = true, true
		pair := [2]int{min(j.A, j.B), max(j.A, j.B)}
		for _, s := range sewn[pair] {
			if c, ok := plane.Common(s, j.Seam); ok && !c.A.Equal(c.B) {
				t.Errorf("unit %d: %v is sewn twice", i, c)
			}
		}
		sewn[pair] = append(sewn[pair], j.Seam)
		if j.OneGo && (k == 0 || !u.Joins[k-1].Seam.B.Equal(j.Seam.A) || plane.Orient(u.Joins[k-1].Seam.A, j.Seam.A, j.Seam.B) != 0) {
			t.Errorf("unit %d join %d does not go straight on", i, k)
		}
		if j.Kind == Partial {
			partial++
		}
	}
	if partial%2 != 0 {
		t.Errorf("unit %d: a partial seam is not finished", i)
	}
	if len(in) != len(u.Parts) {
		t.Errorf("unit %d: %d of %d parts are joined", i, len(in), len(u.Parts))
	}
	for a := range u.Parts {
		for b := range a {
			for _, e := range outline(a).Edges() {
				for _, f := range outline(b).Edges() {
					c, ok := plane.Common(e, f)
					if !ok || c.A.Equal(c.B) {
						continue
					}
					if !slices.ContainsFunc(sewn[[2]int{b, a}], func(s plane.Segment) bool { return s.Contains(c.A) && s.Contains(c.B) }) {
						t.Errorf("unit %d %s: %v between parts %d and %d is not sewn", i, u.Shape.Kind, c, a, b)
					}
				}
			}
		}
	}
}

// show prints a unit as a tree: kind, fabrics of patches, kinds of seam other than straight.
func show(r taken, u int) string {
	var b strings.Builder
	var write func(u int)
	write = func(u int) {
		unit := r.Units[u]
		if unit.Leaf != nil {
			b.WriteByte("ABCD"[unit.Leaf.Fabric])
			return
		}
		fmt.Fprintf(&b, "%s[", unit.Shape.Kind)
		for i, p := range unit.Parts {
			if i > 0 {
				b.WriteByte(' ')
			}
			write(p.Unit)
		}
		b.WriteByte(']')
	}
	write(u)
	return b.String()
}

// seams counts the joins under a unit by kind, as the plan counts them.
func seams(r taken, u int) (straight, partial, setIn int) {
	for _, p := range r.Units[u].Parts {
		s, p, i := seams(r, p.Unit)
		straight, partial, setIn = straight+s, partial+p, setIn+i
	}
	for _, j := range r.Units[u].Joins {
		switch {
		case j.Kind == Partial && !j.Finish:
			partial++
		case j.Kind == SetIn && !j.Finish:
			setIn++
		case j.Kind == Straight && !j.OneGo:
			straight++
		}
	}
	return straight, partial, setIn
}

package piecing

import (
	"slices"

	"quiltwright/internal/draft"
	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
	"quiltwright/internal/set"
	"quiltwright/internal/unit"
)

// node returns the unit that a node of the top is, and the pose from the unit's frame to the top.
func (b *builder) node(top *set.Top, n *set.Node, blocks []Use) (int, plane.Pose, bool) {
	switch {
	case len(n.Parts) == 1:
		return b.node(top, n.Parts[0], blocks)
	case len(n.Parts) > 1:
		return b.run(top, n, blocks)
	case n.Placed >= 0:
		p := top.Placed[n.Placed]
		use := blocks[p.Block]
		if use.Unit < 0 {
			return 0, plane.Pose{}, false
		}
		return use.Unit, use.Pose.Then(p.Pose), true
	}
	w := b.work([]draft.Patch{top.Patches[n.Patch].Patch}, nil)
	u, pose := w.build([]int32{0}, plane.Pose{}, assembler{})
	return u, pose, true
}

// run returns the unit of a node of several parts. Equal runs are one unit, also where one is turned.
func (b *builder) run(top *set.Top, n *set.Node, blocks []Use) (int, plane.Pose, bool) {
	var a assembly
	polygons := make([]plane.Polygon, len(n.Parts))
	for i, part := range n.Parts {
		u, pose, ok := b.node(top, part, blocks)
		if !ok {
			return 0, plane.Pose{}, false
		}
		a.add(u, pose)
		polygons[i] = pose.ApplyPolygon(b.made[u].Outline)
	}
	patches := 0
	for i := range polygons {
		patches += b.made[a.parts[i].unit].Patches
	}
	c := contentOf(ofUnits, len(polygons), func(i int) item {
		child := b.made[a.parts[i].unit].class
		turn := int(a.parts[i].pose.Turn) / 45
		child.turn = (child.turn - turn + 8) & 7 // turned that far already, it needs that much less
		return item{b.middle(polygons[i]), child}
	}, false)
	if u, ok := b.known[c.key(0)]; ok {
		least, _ := slices.Concat(polygons...).Box()
		return u, b.pose(u, c, least), true
	}
	outline, ok := together(polygons)
	if !ok {
		all := make([]int32, len(polygons))
		for i := range all {
			all[i] = int32(i)
		}
		outline, _ = newSheet(b.res, polygons).outline(all)
	}
	for _, seam := range n.Seams {
		j := Join{A: seam.A, B: seam.B, Seam: seam.Line, Finish: seam.Finish}
		if seam.SetIn {
			j.Kind = SetIn
		}
		a.joins = append(a.joins, j)
	}
	turn, _ := squareTo(outline)
	to := plane.Pose{Turn: (-turn).Norm()}
	least, _ := to.ApplyPolygon(outline).Box()
	to.At = plane.Point{}.Sub(least)
	m := &made{class: c, Unit: Unit{
		Outline: to.ApplyPolygon(outline).Canonical(), Block: -1, Patches: patches, Period: c.period * 45, Role: Setting, Name: n.Name,
	}}
	m.class.turn = (c.turn - int(to.Turn)/45 + 8) & 7
	m.Key = c.key(0).String()
	m.setParts(b, a, to)
	m.Shape = unit.Recognise(m.Outline, nil)
	return b.enter(m), to.Inverse(), true
}

// together returns the outline of rectangles along the axes that fill a rectangle; ok is false where the polygons are anything else.
func together(polygons []plane.Polygon) (outline plane.Polygon, ok bool) {
	least, most := slices.Concat(polygons...).Box()
	var area exact.Num
	for _, pg := range polygons {
		if len(pg) != 4 {
			return nil, false
		}
		lo, hi := pg.Box()
		size := hi.Sub(lo)
		double := size.X.Mul(size.Y)
		double = double.Add(double)
		if !pg.Area2().Equal(double) {
			return nil, false
		}
		area = area.Add(double)
	}
	size := most.Sub(least)
	whole := size.X.Mul(size.Y)
	if !area.Equal(whole.Add(whole)) {
		return nil, false
	}
	return plane.Polygon{least, {X: most.X, Y: least.Y}, most, {X: least.X, Y: most.Y}}, true
}

// add appends a part.
func (a *assembly) add(u int, pose plane.Pose) { a.parts = append(a.parts, part{u, pose}) }

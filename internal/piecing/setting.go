package piecing

import (
	"quiltwright/internal/draft"
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
	w := b.newWork([]draft.Patch{top.Patches[n.Patch].Patch}, nil)
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
	s := newSheet(b.res, polygons)
	all := make([]int32, len(polygons))
	patches := 0
	for i := range all {
		all[i] = int32(i)
		patches += b.made[a.parts[i].unit].Patches
	}
	c := contentOf(ofUnits, len(all), func(i int) item {
		child := b.made[a.parts[i].unit].class
		turn := int(a.parts[i].pose.Turn) / 45
		child.turn = (child.turn - turn + 8) & 7 // turned that far already, it needs that much less
		return item{s.ref[i], child}
	}, false)
	outline, _ := s.outline(all)
	if u, ok := b.known[c.key(0)]; ok {
		return u, b.pose(u, c, s.least(all)), true
	}
	for _, seam := range n.Seams {
		a.joins = append(a.joins, Join{A: seam.A, B: seam.B, Seam: seam.Line})
	}
	turn, _ := squareTo(outline)
	to := plane.Pose{Turn: (-turn).Norm()}
	least, _ := to.ApplyPolygon(outline).Box()
	to.At = plane.Point{}.Sub(least)
	m := made{class: c, Unit: Unit{
		Outline: to.ApplyPolygon(outline).Canonical(), Block: -1, Patches: patches, Period: c.period * 45, Role: Setting, Name: n.Name,
	}}
	m.class.turn = (c.turn - int(to.Turn)/45 + 8) & 7
	m.Key = c.key(0).String()
	m.setParts(b, a, to)
	m.Shape = unit.Recognise(m.Outline, nil)
	return b.enter(m), to.Inverse(), true
}

// add appends a part.
func (a *assembly) add(u int, pose plane.Pose) { a.parts = append(a.parts, part{u, pose}) }

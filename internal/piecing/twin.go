package piecing

import (
	"slices"

	"quiltwright/internal/draft"
	"quiltwright/internal/plane"
	"quiltwright/internal/unit"
)

// twins finds the mirror image of every three-triangles square of plain cloth, and takes it apart where the quilt has none: what makes such squares in
// batches makes both hands. A twin that the quilt has no use for is a unit that nothing takes.
func (b *builder) twins() {
	for i := 0; i < len(b.made); i++ { // twins are entered behind those that they are of
		m := b.made[i]
		if m.Twin >= 0 || m.Shape.Kind != unit.ThreeTriangles {
			continue
		}
		var patches []draft.Patch
		var gather func(i int, pose plane.Pose)
		gather = func(i int, pose plane.Pose) {
			u := b.made[i]
			if u.Leaf != nil {
				patches = append(patches, draft.Patch{Outline: pose.ApplyPolygon(u.Outline), Fabric: u.Leaf.Fabric})
			}
			for _, p := range u.Parts {
				gather(p.Unit, p.Pose.Then(pose))
			}
		}
		gather(i, plane.Pose{Mirror: true})
		if slices.ContainsFunc(patches, func(p draft.Patch) bool { return b.fabrics[p.Fabric].every > 1 }) {
			continue
		}
		t, _ := b.work(patches, nil).build([]int32{0, 1, 2}, plane.Pose{}, assembler{})
		m.Twin, b.made[t].Twin = t, i
	}
}

package draft

import (
	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
)

// drawCells draws a block of cells at a size. Up is where the quilt's up points in the block.
func (d *Drafter) drawCells(out *drawing, def *quilt.Block, w, h exact.Num, recolor map[string]string, up plane.Turn) {
	widths, heights := shares(w, def.ColumnSizes), shares(h, def.RowSizes)
	if len(widths) == 0 || len(heights) != len(def.Cells) { // quilt.Read has said why
		out.broken = true
		return
	}
	y := exact.Num{}
	for r, row := range def.Cells {
		x := exact.Num{}
		for c, cell := range row {
			if !d.drawCell(out, cell, plane.Pt(x, y), widths[c], heights[r], recolor, up) {
				return
			}
			x = x.Add(widths[c])
		}
		y = y.Add(heights[r])
	}
}

// shares divides a length in proportion; nil where the proportions add up to nothing.
func shares(whole exact.Num, parts []exact.Num) []exact.Num {
	sum := exact.Num{}
	for _, p := range parts {
		sum = sum.Add(p)
	}
	if sum.Sign() <= 0 {
		return nil
	}
	out := make([]exact.Num, len(parts))
	for i, p := range parts {
		out[i] = whole.Mul(p).Div(sum)
	}
	return out
}

// drawCell draws what stands in the cell of w by h at a corner: mirrored first, then turned, then put in its place. A turned
// block or unit is drawn in its own frame, so a cell on its side makes its width the cell's height. It returns false where the
// block has grown too large to go on.
func (d *Drafter) drawCell(out *drawing, cell quilt.Cell, corner plane.Point, w, h exact.Num, recolor map[string]string, up plane.Turn) bool {
	turn := cell.Turn.Norm()
	pose := stand(corner, w, h, turn, cell.Mirror)
	ownW, ownH := w, h
	if turn%180 != 0 {
		ownW, ownH = h, w
	}
	ownUp := hand(plane.Turn(int(up)-int(turn)).Norm(), cell.Mirror)
	var inner *drawing
	switch {
	case cell.Block != "":
		inner = d.draw(cell.Block, ownW, ownH, d.through(cell, recolor), d.upright(cell.Block, d.through(cell, recolor), ownUp), cell.At)
	case cell.Unit != "":
		inner = d.drawUnit(cell, ownW, ownH, recolor, ownUp)
	default:
		inner = &drawing{}
		d.patch(inner, plane.Rectangle(ownW, ownH), swap(recolor, swap(cell.Recolor, cell.Fabric)), ownUp, cell.At)
	}
	out.broken = out.broken || inner.broken
	if inner.full { // said already
		*out = drawing{broken: true, full: true}
		return false
	}
	if len(out.patches)+len(inner.patches) > MaxPatches {
		d.tooMany(out, cell.At)
		return false
	}
	for _, p := range inner.patches {
		p.Outline = pose.ApplyPolygon(p.Outline)
		p.Up = d.asPrinted(hand(p.Up, cell.Mirror)+turn, p.Fabric)
		if p.Cell > 0 || cell.Unit != "" {
			p.Cell = out.cells + max(p.Cell, 1)
		}
		out.patches = append(out.patches, p)
	}
	if out.cells += inner.cells; cell.Unit != "" {
		out.cells++
	}
	return true
}

// through returns the recolouring of a block in a cell: the cell's own first, then that of the block around it.
func (d *Drafter) through(cell quilt.Cell, outer map[string]string) map[string]string {
	both := map[string]string{}
	for _, l := range d.lettersOf(cell.Block) {
		both[l] = swap(outer, swap(cell.Recolor, l))
	}
	return d.recolouring(cell.Block, both)
}

// stand returns the pose that mirrors a thing left to right, turns it, and puts the box it then fills, w by h, at a corner.
func stand(corner plane.Point, w, h exact.Num, turn plane.Turn, mirrored bool) plane.Pose {
	ownW, ownH := w, h
	if turn%180 != 0 {
		ownW, ownH = h, w
	}
	pose := plane.Pose{Turn: turn, Mirror: mirrored}
	least, _ := pose.ApplyPolygon(plane.Rectangle(ownW, ownH)).Box()
	pose.At = corner.Sub(least)
	return pose
}

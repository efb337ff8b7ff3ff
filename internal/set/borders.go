package set

import (
	"fmt"

	"quiltwright/internal/exact"
	"quiltwright/internal/quilt"
)

// borderWidth returns the widths of all borders together.
func (l *layout) borderWidth() exact.Num {
	sum := exact.Num{}
	for _, b := range l.doc.Set.Borders {
		sum = sum.Add(b.Width)
	}
	return sum
}

// borders frames a piece by one border after the other, from the inside out. Where the inside is missing there is nothing to
// frame.
func (l *layout) borders(inside *piece) *piece {
	for i := range l.doc.Set.Borders {
		if inside == nil {
			return nil
		}
		inside = l.addBorder(inside, i+1, &l.doc.Set.Borders[i])
	}
	return inside
}

// addBorder frames a piece: the two sides first, as high as the piece, then top and bottom over the whole width. With corner
// squares, top and bottom end in a square each; what stands in the corners stands the same way up in all four.
func (l *layout) addBorder(in *piece, number int, b *quilt.Border) *piece {
	role := fmt.Sprintf("border %d", number)
	x0, y0, x1, y1 := in.x0.Sub(b.Width), in.y0.Sub(b.Width), in.x1.Add(b.Width), in.y1.Add(b.Width)
	edge := func(ax, ay, bx, by exact.Num) *piece {
		return l.measured(l.strip(ax, ay, bx, by, b.Fabric, role, b.At))
	}
	sides := across("with the sides of "+role, []*piece{edge(x0, in.y0, in.x0, in.y1), in, edge(in.x1, in.y0, x1, in.y1)})
	if b.Corners != "square" {
		return down("with "+role, []*piece{edge(x0, y0, x1, in.y0), sides, edge(x0, in.y1, x1, y1)})
	}
	corner := func(x, y exact.Num) *piece {
		if b.Corner.Block == "" && b.Corner.Unit == "" {
			return l.strip(x, y, x.Add(b.Width), y.Add(b.Width), b.Corner.Fabric, role+" corner", b.At)
		}
		return l.placeCell(b.Corner, x, y, b.Width, b.Width, 0, 0)
	}
	top := across("top of "+role, []*piece{corner(x0, y0), edge(in.x0, y0, in.x1, in.y0), corner(in.x1, y0)})
	bottom := across("bottom of "+role, []*piece{corner(x0, in.y1), edge(in.x0, in.y1, in.x1, y1), corner(in.x1, in.y1)})
	return down("with "+role, []*piece{top, sides, bottom})
}

// measured marks a strip whose length no ruler has: it is cut to the length of the top as it was sewn.
func (l *layout) measured(p *piece) *piece {
	patch := &l.top.Patches[p.node.Patch]
	patch.Measured = !p.x1.Sub(p.x0).IsRational() || !p.y1.Sub(p.y0).IsRational()
	return p
}

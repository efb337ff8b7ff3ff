package set

import (
	"fmt"

	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
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

// borders frames a piece by one border after the other, from the inside out; those with mitred corners that follow each other are one frame.
// Where the inside is missing there is nothing to frame.
func (l *layout) borders(inside *piece) *piece {
	all := l.doc.Set.Borders
	for i := 0; i < len(all) && inside != nil; i++ {
		first := i
		for all[first].Corners == "mitred" && i+1 < len(all) && all[i+1].Corners == "mitred" {
			i++
		}
		if all[i].Corners == "mitred" {
			inside = l.mitred(inside, first+1, all[first:i+1])
		} else {
			inside = l.addBorder(inside, i+1, &all[i])
		}
	}
	return inside
}

// mitred frames a piece by borders with mitred corners: the strips of each side are sewn together, the four sides to the piece, then the
// corners, from the corners of the piece out.
func (l *layout) mitred(in *piece, number int, borders []quilt.Border) *piece {
	corners := func(by exact.Num) plane.Polygon { // clockwise from the top left, so far outside the piece
		return plane.Polygon{plane.Pt(in.x0.Sub(by), in.y0.Sub(by)), plane.Pt(in.x1.Add(by), in.y0.Sub(by)), plane.Pt(in.x1.Add(by), in.y1.Add(by)), plane.Pt(in.x0.Sub(by), in.y1.Add(by))}
	}
	name := fmt.Sprintf("border %d", number)
	switch n := len(borders); {
	case n == 2:
		name = fmt.Sprintf("borders %d and %d", number, number+1)
	case n > 2:
		name = fmt.Sprintf("borders %d to %d", number, number+n-1)
	}
	across, up := "long side of "+name, "short side of "+name
	switch by := in.x1.Sub(in.x0).Cmp(in.y1.Sub(in.y0)); {
	case by == 0:
		across, up = "side of "+name, "side of "+name
	case by < 0:
		across, up = up, across
	}
	frame := &Node{Placed: -1, Patch: -1, Name: "with " + name, Parts: []*Node{in.node}}
	inner := corners(exact.Num{})
	outer := inner
	for side := range 4 { // top, right, bottom, left
		strip := &Node{Placed: -1, Patch: -1, Name: []string{across, up}[side%2]}
		at := exact.Num{}
		for i := range borders {
			b := &borders[i]
			low, high := corners(at), corners(at.Add(b.Width))
			p, q := side, (side+1)%4
			patch := l.patch(plane.Polygon{high[p], high[q], low[q], low[p]}, b.Fabric, fmt.Sprintf("border %d", number+i), 0, b.At)
			length := low[q].Sub(low[p])
			l.top.Patches[patch.Patch].Measured = !length.X.Add(length.Y).IsRational()
			if i > 0 {
				strip.Seams = append(strip.Seams, Seam{Line: plane.Segment{A: low[p], B: low[q]}, A: i - 1, B: i})
			}
			strip.Parts = append(strip.Parts, patch)
			at, outer = at.Add(b.Width), high
		}
		if len(borders) == 1 {
			strip = strip.Parts[0]
		}
		frame.Parts = append(frame.Parts, strip)
		frame.Seams = append(frame.Seams, Seam{Line: plane.Segment{A: inner[side], B: inner[(side+1)%4]}, B: side + 1, SetIn: true})
	}
	for side := range 4 {
		frame.Seams = append(frame.Seams, Seam{Line: plane.Segment{A: inner[side], B: outer[side]}, A: (side+3)%4 + 1, B: side + 1, SetIn: true, Finish: true})
	}
	return &piece{frame, outer[0].X, outer[0].Y, outer[2].X, outer[2].Y}
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

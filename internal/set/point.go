package set

import (
	"fmt"

	"quiltwright/internal/diag"
	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
)

// onPointTurn is how a block lies in a top on point: turned clockwise, so that its top left corner points up.
const onPointTurn = plane.Turn(45)

// lattice is the frame of a set on point.
//
// Half the diagonal of a field, a block and the sashing it shares, is one step. Block centres lie at whole steps, those of the
// first row at 1,1 3,1 5,1 ..., those of the second at 2,2 4,2 ... Measured along the diagonals, a = (x + y)/√2 runs from corner to
// corner down to the right and t = (x - y)/√2 up to the right; blocks with equal a are a diagonal row, and it is sewn from its lower
// left end to its upper right end, in rising t. Rows are joined in rising a.
type lattice struct {
	laid          [][]quilt.Cell
	columns, rows int         // blocks in the first row; long rows
	side, sash    exact.Num   // of a block; of the sashing, 0 without
	pitch         exact.Num   // side + sash
	origin        plane.Point // of x and y, in the frame of the top
	outer         plane.Polygon
	body          plane.Polygon // outer without the four corner triangles
}

// onPoint lays blocks standing on a corner, with sashing round every block where there is any: blocks, with the sashing
// between them and the side triangles at their ends, into diagonal rows; the rows, with the sashing between them, into the body;
// then the corner triangles, top left and bottom right, which go on like rows, and the other two last.
func (l *layout) onPoint() *piece {
	set := l.doc.Set
	g, ok := l.lattice()
	if !ok {
		return nil
	}
	l.top.Rows, l.top.Columns = g.row(2*g.rows-1), g.columns
	half := g.side.Half()
	var bands []*Node
	var edges []exact.Num // seam i lies at edges[i] between band i and i+1
	add := func(node *Node, from exact.Num) {
		if len(bands) > 0 {
			edges = append(edges, from)
		}
		bands = append(bands, node)
	}
	last := g.columns + g.rows - 1
	for s := 0; s <= last; s++ {
		if s > 0 {
			add(l.diagonal(g, s), g.at(s).Sub(half))
		}
		if g.sash.Sign() > 0 {
			add(l.sashDiagonal(g, s), g.at(s).Add(half))
		}
	}
	body := chain("rows", bands, func(i int) plane.Segment { return chord(g.body, 1, g.shift(edges[i], 1)) })

	// The corners. Top left and bottom right end at the lines of the other two: with a float, and few blocks, these cross.
	low, high := g.at(-g.rows).Add(half), g.at(g.columns).Sub(half) // t of the last two seams
	first, end := half, g.at(g.columns+g.rows).Sub(half)            // a of the first two
	middle := g.cut(g.cut(g.outer, -1, &low, nil), -1, nil, &high)
	corner := func(region plane.Polygon, sign int, from, to *exact.Num) *Node {
		return l.patch(g.cut(region, sign, from, to), set.Triangles.Fabric, "corner triangle", 0, set.Triangles.At)
	}
	two := chain("with two corners", []*Node{corner(middle, 1, nil, &first), body, corner(middle, 1, &end, nil)}, func(i int) plane.Segment {
		return chord(middle, 1, g.shift([]exact.Num{first, end}[i], 1))
	})
	all := chain("centre", []*Node{corner(g.outer, -1, nil, &low), two, corner(g.outer, -1, &high, nil)}, func(i int) plane.Segment {
		return chord(g.outer, -1, g.shift([]exact.Num{low, high}[i], -1))
	})
	least, most := g.outer.Box()
	return &piece{all, least.X, least.Y, most.X, most.Y}
}

// lattice measures the set; ok is false where it cannot be laid on point, which has been reported.
func (l *layout) lattice() (g lattice, ok bool) {
	set := l.doc.Set
	g.laid = set.Laid()
	g.columns, g.rows = len(g.laid[0]), (len(g.laid)+1)/2
	fits := set.Triangles != nil && g.columns > 0
	for r, row := range g.laid {
		fits = fits && len(row) == g.columns-r%2
	}
	if !fits { // quilt.Read has said why
		return g, false
	}
	if g.side = l.onPointSide(); g.side.IsZero() {
		return g, false
	}
	if set.Sashing != nil {
		g.sash = set.Sashing.Width
	}
	g.pitch = g.side.Add(g.sash)
	float := set.Triangles.Float
	g.origin = plane.Pt(l.border.Add(float), l.border.Add(float))
	step := g.step()
	w := step.Mul(exact.Int(int64(2 * g.columns))).Add(float.Add(float))
	h := step.Mul(exact.Int(int64(2 * g.rows))).Add(float.Add(float))
	g.outer = plane.Rectangle(w, h).Translate(plane.Pt(l.border, l.border))
	half := g.side.Half()
	first, end := half, g.at(g.columns+g.rows).Sub(half)
	low, high := g.at(-g.rows).Add(half), g.at(g.columns).Sub(half)
	g.body = g.cut(g.cut(g.outer, 1, &first, &end), -1, &low, &high)
	return g, true
}

// onPointSide returns the side that all blocks of the set have; 0 where there is no such side, which is reported.
func (l *layout) onPointSide() exact.Num {
	var side exact.Num
	first := -1
	var name string
	var at diag.Pos
	for _, row := range l.doc.Set.Rows {
		for _, cell := range row {
			w, h, ok := l.ownSize(cell)
			switch {
			case !ok:
			case !w.Equal(h):
				l.found.Errorf(cell.At, "on-point-size", "“%s” is %s, and blocks on point are square", cell.Block, l.size(w, h)).Remedy =
					"make it a part of a square block"
				return exact.Num{}
			case first < 0:
				first, side, name, at = 0, w, cell.Block, cell.At
			case !w.Equal(side):
				f := l.found.Errorf(cell.At, "on-point-size", "“%s” is %s and “%s” is %s: %s", cell.Block, l.length(w), name, l.length(side),
					l.difference(w, side))
				f.Remedy = "blocks on point are of one size"
				f.Notes = []diag.Note{{At: at, Says: fmt.Sprintf("“%s” is here", name)}}
				return exact.Num{}
			}
		}
	}
	if first < 0 {
		l.found.Errorf(l.doc.Set.At, "unknown-size", "how large the blocks are cannot be known: no cell is a block with a size").Remedy =
			"make one of the cells a block"
	}
	return side
}

// step returns the length of one step in x or y.
func (g *lattice) step() exact.Num { return g.pitch.Mul(exact.Sqrt2()).Half() }

// row returns the number of the row of blocks at y: one column has none in gaps.
func (g *lattice) row(y int) int {
	if g.columns == 1 {
		return (y + 1) / 2
	}
	return y
}

// at returns n fields along a diagonal.
func (g *lattice) at(n int) exact.Num { return g.pitch.Mul(exact.Int(int64(n))) }

// shift turns a measure along a diagonal into x + y (sign 1) or x - y (sign -1) in the frame of the top.
func (g *lattice) shift(along exact.Num, sign int) exact.Num {
	sum := along.Mul(exact.Sqrt2()).Add(g.origin.X)
	if sign > 0 {
		return sum.Add(g.origin.Y)
	}
	return sum.Sub(g.origin.Y)
}

// cut returns the part of a convex polygon with a (sign 1) or t (sign -1) from and to the bounds; nil is no bound.
func (g *lattice) cut(pg plane.Polygon, sign int, from, to *exact.Num) plane.Polygon {
	if from != nil {
		pg = clip(pg, sign, g.shift(*from, sign), 1)
	}
	if to != nil {
		pg = clip(pg, sign, g.shift(*to, sign), -1)
	}
	return pg
}

// reach returns the t of the first and the last block of diagonal row s, in fields; first > last where it has none.
func (g *lattice) reach(s int) (first, last int) {
	return max(1-s, s-(2*g.rows-1)), min(2*g.columns-1-s, s-1)
}

// diagonal sews the blocks of diagonal row s, counted from 1 at the top left, and its side triangles.
func (l *layout) diagonal(g lattice, s int) *Node {
	set := l.doc.Set
	half := g.side.Half()
	from, to := g.at(s).Sub(half), g.at(s).Add(half)
	band := g.cut(g.body, 1, &from, &to)
	var parts []*Node
	var edges []exact.Num
	add := func(node *Node, low exact.Num) {
		if len(parts) > 0 {
			edges = append(edges, low)
		}
		parts = append(parts, node)
	}
	sash := func(low exact.Num) {
		if g.sash.Sign() > 0 {
			high := low.Add(g.sash)
			add(l.patch(g.cut(band, -1, &low, &high), set.Sashing.Fabric, "sashing", onPointTurn, set.Sashing.At), low)
		}
	}
	triangle := func(low, high *exact.Num, start exact.Num) {
		add(l.patch(g.cut(band, -1, low, high), set.Triangles.Fabric, "side triangle", 0, set.Triangles.At), start)
	}
	first, last := g.reach(s)
	low := g.at(first).Sub(half).Sub(g.sash)
	if s != g.rows { // the row that ends in the bottom left corner has its triangle last of all
		triangle(nil, &low, low)
	}
	sash(low)
	for t := first; t <= last; t++ {
		x, y := s+t, s-t // the block's centre, in steps
		cell := g.laid[y-1][(x-1)/2]
		turn := (cell.Turn + onPointTurn).Norm()
		block := l.draft.DrawCell(cell, g.side, g.side, turn)
		step := g.step()
		centre := g.origin.Add(plane.Pt(step.Mul(exact.Int(int64(x))), step.Mul(exact.Int(int64(y)))))
		pose := plane.Pose{Turn: turn}
		pose.At = centre.Sub(pose.Apply(plane.Pt(half, half)))
		add(l.place(block, pose, g.row(y), (x-1)/2+1, cell.At), g.at(t).Sub(half))
		sash(g.at(t).Add(half))
	}
	if high := g.at(last).Add(half).Add(g.sash); s != g.columns {
		triangle(&high, nil, high)
	}
	return chain(fmt.Sprintf("row %d", s), parts, func(i int) plane.Segment { return chord(band, -1, g.shift(edges[i], -1)) })
}

// sashDiagonal sews the sashing that follows diagonal row s: one long strip, or strips and posts, the posts at its ends cut
// by the edge of the top.
func (l *layout) sashDiagonal(g lattice, s int) *Node {
	sashing := l.doc.Set.Sashing
	half := g.side.Half()
	from := g.at(s).Add(half)
	to := from.Add(g.sash)
	band := g.cut(g.body, 1, &from, &to)
	name := fmt.Sprintf("sashing %d", s+1)
	if sashing.Posts == "" {
		return l.patch(band, sashing.Fabric, "sashing", onPointTurn, sashing.At)
	}
	first, last := g.reach(s)
	if f, t := g.reach(s + 1); first > last {
		first, last = f, t
	} else if f <= t {
		first, last = min(first, f), max(last, t)
	}
	var parts []*Node
	var edges []exact.Num
	start := g.at(first).Sub(half)
	parts = append(parts, l.patch(g.cut(band, -1, nil, &start), sashing.Posts, "post", onPointTurn, sashing.At))
	for t := first; t <= last; t++ {
		low, high := g.at(t).Sub(half), g.at(t).Add(half)
		parts = append(parts, l.patch(g.cut(band, -1, &low, &high), sashing.Fabric, "sashing", onPointTurn, sashing.At))
		next := &exact.Num{}
		*next = high.Add(g.sash)
		if t == last {
			next = nil
		}
		parts = append(parts, l.patch(g.cut(band, -1, &high, next), sashing.Posts, "post", onPointTurn, sashing.At))
		edges = append(edges, low, high)
	}
	return chain(name, parts, func(i int) plane.Segment { return chord(band, -1, g.shift(edges[i], -1)) })
}

// chain joins nodes one after the other, given seam i between node i and i+1; one alone stays as it is.
func chain(name string, nodes []*Node, seam func(i int) plane.Segment) *Node {
	if len(nodes) == 1 {
		return nodes[0]
	}
	out := &Node{Placed: -1, Patch: -1, Name: name, Parts: nodes}
	for i := range len(nodes) - 1 {
		out.Seams = append(out.Seams, Seam{Line: seam(i), A: i, B: i + 1})
	}
	return out
}

// level returns x + y (sign 1) or x - y (sign -1) of a point.
func level(p plane.Point, sign int) exact.Num {
	if sign > 0 {
		return p.X.Add(p.Y)
	}
	return p.X.Sub(p.Y)
}

// clip returns the part of a convex polygon where level(p, sign) is at least the bound (keep 1) or at most (keep -1), without
// repeated or needless vertices; empty where nothing is left.
func clip(pg plane.Polygon, sign int, bound exact.Num, keep int) plane.Polygon {
	var out plane.Polygon
	for i, a := range pg {
		b := pg[(i+1)%len(pg)]
		ha, hb := level(a, sign).Sub(bound), level(b, sign).Sub(bound)
		if ha.Sign()*keep >= 0 {
			out = append(out, a)
		}
		if ha.Sign()*hb.Sign() < 0 {
			out = append(out, crossing(a, b, ha, hb))
		}
	}
	return out.Simplify()
}

// chord returns the segment in which a convex polygon meets the line level(p, sign) = bound, from its lower point in the order of
// points; it is called only where there is one.
func chord(pg plane.Polygon, sign int, bound exact.Num) plane.Segment {
	var ends []plane.Point
	for i, a := range pg {
		b := pg[(i+1)%len(pg)]
		ha, hb := level(a, sign).Sub(bound), level(b, sign).Sub(bound)
		switch {
		case ha.IsZero():
			ends = append(ends, a)
		case ha.Sign()*hb.Sign() < 0:
			ends = append(ends, crossing(a, b, ha, hb))
		}
	}
	if len(ends) != 2 {
		panic(fmt.Sprintf("set: a seam has two ends, not %d", len(ends)))
	}
	if ends[1].Cmp(ends[0]) < 0 {
		ends[0], ends[1] = ends[1], ends[0]
	}
	return plane.Segment{A: ends[0], B: ends[1]}
}

// crossing returns the point between a and b where the level is the bound, given how far each is from it.
func crossing(a, b plane.Point, ha, hb exact.Num) plane.Point {
	along := ha.Div(ha.Sub(hb))
	return plane.Pt(a.X.Add(b.X.Sub(a.X).Mul(along)), a.Y.Add(b.Y.Sub(a.Y).Mul(along)))
}

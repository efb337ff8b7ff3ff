// Package set has one job: to lay blocks, sashing, triangles and borders into the top of a quilt.
//
// In go a quilt.Document and the draft.Drafter that draws its blocks; out comes a Top: every block placed, every patch between and
// around the blocks, and the order in which all of it is sewn together as a tree of straight seams. All measures are finished
// and exact: a top on point has lengths a + b√2. Package piecing takes the top apart from there.
//
// Straight sets are in straight.go, sets on point in point.go, borders in borders.go.
//
//	d := draft.New(doc)
//	top, found := set.Lay(doc, d)
//	for _, p := range top.Placed { block := d.Blocks()[p.Block]; ... }
package set

import (
	"fmt"
	"slices"

	"quiltwright/internal/diag"
	"quiltwright/internal/draft"
	"quiltwright/internal/exact"
	"quiltwright/internal/measure"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
)

// Styles of a top.
const (
	Straight = "straight"
	OnPoint  = "on point"
	OneBlock = "one block"
)

// Top is the top of a quilt, its box at 0,0.
type Top struct {
	Width, Height exact.Num
	Style         string // Straight, OnPoint or OneBlock
	Rows, Columns int    // of blocks, as the layout counts them; Columns is the longest row's
	Placed        []Placed
	Patches       []Patch // sashing, posts, triangles, borders
	Root          *Node   // nil where the top does not fit together; there are errors then
}

// Placed is a block in the top. The pose never mirrors: a mirrored block is drawn mirrored.
type Placed struct {
	Block       int // index into Drafter.Blocks
	Pose        plane.Pose
	Row, Column int // counted from 1; 0 in the corner of a border
	At          diag.Pos
}

// Patch is a patch of the top that belongs to no block, in the frame of the top.
type Patch struct {
	draft.Patch
	Role     string // sashing, post, side triangle, corner triangle, border 1, border 1 corner
	Measured bool   // a border of irrational length: cut to the length of one's own top
}

// Node is how a part of the top is sewn together: a leaf, or parts joined one after the other.
type Node struct {
	Placed int // index into Top.Placed, or -1
	Patch  int // index into Top.Patches, or -1
	Name   string
	Parts  []*Node // none in a leaf, else at least two
	Seams  []Seam  // in the order of sewing
}

// Seam is a straight finished seam, in the frame of the top, between exactly two parts, A and B. It runs from edge to edge of what it
// joins, and seam i of a node joins part i+1 to the parts before it; but for a border with mitred corners, of which every seam is set in.
type Seam struct {
	Line   plane.Segment
	A, B   int
	SetIn  bool // it ends at the corner of a border with mitred corners
	Finish bool // it sews such a corner: both sides lie in place
}

// Lay lays the top. It always returns a Top, as far as it came; where there are errors, Root may be nil. Without a set the top
// is the first block that no other block uses.
func Lay(doc *quilt.Document, d *draft.Drafter) (*Top, diag.List) {
	l := &layout{doc: doc, draft: d, top: &Top{}}
	var whole *piece
	switch {
	case len(doc.Fabrics) == 0, doc.Set != nil && len(doc.Set.Rows) == 0: // quilt.Read has said why
	case doc.Set == nil:
		l.top.Style = OneBlock
		whole = l.oneBlock()
	default:
		l.border = l.borderWidth()
		l.top.Style = Straight
		if doc.Set.Style == OnPoint {
			l.top.Style = OnPoint
			whole = l.onPoint()
		} else {
			whole = l.straight()
		}
		whole = l.borders(whole)
	}
	if whole != nil {
		l.top.Root = whole.node
		l.top.Width, l.top.Height = whole.x1, whole.y1
	}
	return l.top, l.found
}

// layout is a top in the making.
type layout struct {
	doc    *quilt.Document
	draft  *draft.Drafter
	top    *Top
	border exact.Num // widths of all borders: where the inside of the top begins
	found  diag.List
}

// piece is a rectangle of the top, sewn together.
type piece struct {
	node           *Node
	x0, y0, x1, y1 exact.Num
}

func (l *layout) oneBlock() *piece {
	only := l.doc.Sole()
	if only == nil {
		return nil
	}
	i := l.draft.Draw(draft.Use{Block: only.Name, At: only.At})
	l.top.Rows, l.top.Columns = 1, 1
	b := l.draft.Blocks()[i]
	return &piece{node: l.place(i, plane.Pose{}, 1, 1, only.At), x1: b.Width, y1: b.Height}
}

// place puts a block in the top and returns its leaf.
func (l *layout) place(block int, pose plane.Pose, row, column int, at diag.Pos) *Node {
	l.top.Placed = append(l.top.Placed, Placed{block, pose, row, column, at})
	return &Node{Placed: len(l.top.Placed) - 1, Patch: -1, Name: l.draft.Blocks()[block].Name}
}

// placeCell draws a cell and puts it with its corner at x, y, its turned box being w by h.
func (l *layout) placeCell(cell quilt.Cell, x, y, w, h exact.Num, row, column int) *piece {
	turn := cell.Turn.Norm()
	ownW, ownH := w, h
	if turn%180 != 0 {
		ownW, ownH = h, w
	}
	block := l.draft.DrawCell(cell, ownW, ownH, turn)
	pose := plane.Pose{Turn: turn}
	least, _ := pose.ApplyPolygon(plane.Rectangle(ownW, ownH)).Box()
	pose.At = plane.Pt(x, y).Sub(least)
	return &piece{l.place(block, pose, row, column, cell.At), x, y, x.Add(w), y.Add(h)}
}

// patch adds a patch of the top and returns its leaf. Turn is how what it belongs to lies in the top: a print turns with it,
// unless the fabric stays up in the quilt. A letter without a fabric, which quilt.Read has reported, takes the first fabric.
func (l *layout) patch(outline plane.Polygon, letter, role string, turn plane.Turn, at diag.Pos) *Node {
	fabric := max(0, slices.IndexFunc(l.doc.Fabrics, func(f quilt.Fabric) bool { return f.Letter == letter }))
	if l.doc.Fabrics[fabric].Upright == quilt.UprightQuilt {
		turn = 0
	}
	up := draft.AsPrinted(turn, l.doc.Fabrics[fabric].Print)
	l.top.Patches = append(l.top.Patches, Patch{Patch: draft.Patch{Outline: outline, Fabric: fabric, Up: up, At: at}, Role: role})
	return &Node{Placed: -1, Patch: len(l.top.Patches) - 1, Name: role}
}

// strip adds a rectangular patch.
func (l *layout) strip(x0, y0, x1, y1 exact.Num, letter, role string, at diag.Pos) *piece {
	outline := plane.Polygon{plane.Pt(x0, y0), plane.Pt(x1, y0), plane.Pt(x1, y1), plane.Pt(x0, y1)}
	return &piece{l.patch(outline, letter, role, 0, at), x0, y0, x1, y1}
}

// across joins pieces side by side, from left to right; one alone stays as it is.
func across(name string, pieces []*piece) *piece {
	first, last := pieces[0], pieces[len(pieces)-1]
	return &piece{run(name, pieces, func(p *piece) plane.Segment {
		return plane.Segment{A: plane.Pt(p.x0, p.y0), B: plane.Pt(p.x0, p.y1)}
	}), first.x0, first.y0, last.x1, last.y1}
}

// down joins pieces one below the other; one alone stays as it is.
func down(name string, pieces []*piece) *piece {
	first, last := pieces[0], pieces[len(pieces)-1]
	return &piece{run(name, pieces, func(p *piece) plane.Segment {
		return plane.Segment{A: plane.Pt(p.x0, p.y0), B: plane.Pt(p.x1, p.y0)}
	}), first.x0, first.y0, last.x1, last.y1}
}

// run makes the node of pieces joined one after the other, given the seam on the near side of each.
func run(name string, pieces []*piece, near func(*piece) plane.Segment) *Node {
	if len(pieces) == 1 {
		return pieces[0].node
	}
	node := &Node{Placed: -1, Patch: -1, Name: name}
	for i, p := range pieces {
		node.Parts = append(node.Parts, p.node)
		if i > 0 {
			node.Seams = append(node.Seams, Seam{Line: near(p), A: i - 1, B: i})
		}
	}
	return node
}

// length writes a finished length with its unit.
func (l *layout) length(x exact.Num) string { return measure.FormatWith(x.Float(), l.doc.Measure) }

func (l *layout) size(w, h exact.Num) string {
	return measure.Format(w.Float(), l.doc.Measure) + " x " + l.length(h)
}

// rowPlace returns where a row of the set is written.
func (l *layout) rowPlace(row int) diag.Pos {
	set := l.doc.Set
	switch {
	case row < len(set.RowPlaces) && !set.RowPlaces[row].IsZero():
		return set.RowPlaces[row]
	case len(set.Rows[row]) > 0:
		return set.Rows[row][0].At
	default:
		return set.At
	}
}

// ownSize returns the size that a cell brings along as it lies in its row; ok is false for a fabric or a unit, which take the size
// they are given, and for a block that is not there.
func (l *layout) ownSize(cell quilt.Cell) (w, h exact.Num, ok bool) {
	if cell.Block == "" {
		return w, h, false
	}
	b := l.doc.Named(cell.Block)
	if b == nil || b.Width.Sign() <= 0 || b.Height.Sign() <= 0 {
		return w, h, false
	}
	if cell.Turn.Norm()%180 != 0 {
		return b.Height, b.Width, true
	}
	return b.Width, b.Height, true
}

func words(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

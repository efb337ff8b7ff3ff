package quilt

import (
	"fmt"
	"slices"
	"strings"

	"quiltwright/internal/diag"
	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
)

// drawnKeys and cellKeys tell the two kinds of block apart.
var (
	drawnKeys = []string{"grid", "symmetry", "lines", "arcs", "fill", "ground", "first"}
	cellKeys  = []string{"columns", "heights", "rows"}
)

// blocks reads all blocks. Their names are known before the first is read, since cells name blocks that come later.
func (r *reader) blocks(n *node) {
	if n == nil {
		return
	}
	if n.kind != mapping {
		r.errorf(n.at, "wrong-type", "blocks is a mapping from names to blocks, not %s", r.describe(n)).Remedy =
			"for example  Paper Lantern: {size: 12, ...}"
		return
	}
	if len(n.entries) == 0 {
		r.errorf(n.at, "missing", "there are no blocks")
	}
	var values []*node
	for _, e := range n.entries {
		name := e.key.text
		if why := badName(name); why != "" {
			r.errorf(e.key.at, "bad-value", "a block cannot be called “%s”: %s", shorten(name), why)
			continue
		}
		if e.value.kind == nothing {
			r.errorf(e.key.at, "missing", "“%s” has no value", name)
		}
		r.doc.Blocks = append(r.doc.Blocks, &Block{At: e.key.at, Name: name})
		values = append(values, e.value)
	}
	for i, b := range r.doc.Blocks {
		before := len(r.found) + r.hushed
		if values[i].kind != nothing {
			r.block(b, values[i])
		}
		b.Broken = values[i].kind == nothing || len(r.found)+r.hushed > before
	}
}

// badName says why a block cannot have the name; "" where it can.
func badName(name string) string {
	switch {
	case name == "" || strings.TrimSpace(name) != name:
		return "a name begins and ends with a letter or a number"
	case isLetters(name):
		return "one or two capitals are always a fabric"
	case strings.ContainsAny(name, "@\n\t"):
		return "@ stands for a turn"
	case len([]rune(name)) > maxName:
		return fmt.Sprintf("a name has at most %d characters", maxName)
	}
	if u, ok := UnitNamed(name); ok {
		return fmt.Sprintf("%s is a unit of the trade", u.Name)
	}
	return ""
}

// Named returns the block with that name, nil where there is none.
func (d *Document) Named(name string) *Block {
	for _, b := range d.Blocks {
		if b.Name == name {
			return b
		}
	}
	return nil
}

// block reads one block into b.
func (r *reader) block(b *Block, n *node) {
	what := "block " + b.Name
	if len([]rune(what)) > 40 {
		what = "this block"
	}
	f := r.fields(n, what, slices.Concat([]string{"size", "note", "make", "press"}, drawnKeys, cellKeys)...)
	b.Note = f.note()
	b.Make = r.makeOf(f.get("make"))
	if size := f.get("size"); size != nil {
		b.SizeAt = size.at
		b.Width, b.Height, _ = r.pair(size, "size", true)
	}
	drawn, cells := f.first(drawnKeys), f.first(cellKeys)
	switch {
	case f.at.IsZero() || n.kind != mapping:
	case drawn != "" && cells != "":
		r.errorf(f.place(cells), "bad-value", "%s is drawn by “%s” and laid out by “%s”; it can be only one", what, drawn, cells).Remedy =
			"a drawn block has grid, lines and fill; a block of cells has rows"
	case cells != "":
		r.laidOut(b, f)
	case drawn != "":
		r.drawn(b, f)
	default:
		r.errorf(f.at, "missing", "%s has neither lines nor rows", what).Remedy = "draw it with grid, lines and fill, or lay it out with rows"
	}
	if b.Width.IsZero() && !b.SizeAt.IsZero() {
		b.Width, b.Height = b.proportion()
	}
}

// first is the first of the keys that is written, "" where none is.
func (f fields) first(keys []string) string {
	for _, k := range keys {
		if f.has(k) {
			return k
		}
	}
	return ""
}

// proportion is the block's size in its own steps, for a block whose size is not given.
func (b *Block) proportion() (w, h exact.Num) {
	if b.Drawn() {
		return exact.Int(int64(b.Columns)), exact.Int(int64(b.Rows))
	}
	for _, x := range b.ColumnSizes {
		w = w.Add(x)
	}
	for _, x := range b.RowSizes {
		h = h.Add(x)
	}
	return w, h
}

// drawn reads a block drawn by lines.
func (r *reader) drawn(b *Block, f fields) {
	grid := f.required("grid", "grid: 6")
	if grid == nil {
		b.Columns, b.Rows = 1, 1 // so that the rest can be read; its points are not judged by a grid that is not there
	} else if grid.kind == sequence && len(grid.items) == 2 {
		c, okC := r.whole(grid.items[0], "grid", 1, maxGrid)
		rows, okR := r.whole(grid.items[1], "grid", 1, maxGrid)
		if okC && okR {
			b.Columns, b.Rows = c, rows
		}
	} else if grid.kind == scalar {
		c, _ := r.whole(grid, "grid", 1, maxGrid)
		b.Columns, b.Rows = c, c
	} else {
		r.errorf(grid.at, "wrong-type", "grid is one number, or two as [columns, rows]")
	}
	known := grid != nil && b.Columns > 0
	if b.Columns == 0 {
		b.Columns, b.Rows = 1, 1
	}
	if b.Width.IsZero() && b.SizeAt.IsZero() {
		b.Width, b.Height = b.proportion()
	}
	r.symmetry(b, f.get("symmetry"), known)
	b.Lines = r.runs(b, f.get("lines"), "lines", known)
	if len(b.Lines) > 0 && known {
		r.crossings(b)
	}
	b.First = r.runs(b, f.get("first"), "first", known)
	r.blockArrows(b, f.get("press"), known)
	if f.has("arcs") {
		r.errorf(f.place("arcs"), "not-built", "arcs are not built yet").Remedy = "draw the block with straight lines"
	}
	r.fills(b, f.get("fill"), known)
	if n := f.get("ground"); n != nil {
		b.Ground, b.GroundAt = r.letters(n, "ground"), n.at
	}
}

func (r *reader) symmetry(b *Block, n *node, known bool) {
	if n == nil {
		return
	}
	words := []*node{n}
	if n.kind == sequence {
		words = n.items
	}
	for _, w := range words {
		s := Symmetry(r.choice(w, "symmetry", string(QuarterTurns), string(HalfTurn), string(LeftRight), string(TopBottom),
			string(FallingDiagonal), string(RisingDiagonal)))
		switch s {
		case "":
			continue
		case QuarterTurns, FallingDiagonal, RisingDiagonal:
			if known && b.Columns != b.Rows {
				r.errorf(w.at, "bad-value", "“%s” needs a grid as wide as it is high, not %d x %d", s, b.Columns, b.Rows)
				continue
			}
			if !b.Width.Equal(b.Height) {
				r.errorf(w.at, "bad-value", "“%s” needs a square block, not %v x %v", s, b.Width, b.Height)
				continue
			}
		}
		if slices.Contains(b.Symmetry, s) {
			r.errorf(w.at, "duplicate", "“%s” is written twice", s)
			continue
		}
		b.Symmetry = append(b.Symmetry, s)
	}
}

// runs reads a list of lines, or one line.
func (r *reader) runs(b *Block, n *node, what string, known bool) []Run {
	if n == nil {
		return nil
	}
	items := []*node{n}
	if n.kind == sequence {
		if n.flow && brokenPoints(n) {
			r.errorf(n.at, "bad-point", "%s holds no points here", what).Remedy = trap
			return nil
		}
		items = n.items
	}
	var out []Run
	segments := 0
	for _, item := range items {
		run := Run{At: item.at}
		var ok bool
		if run.Points, run.Places, ok = r.points(item, "a line"); !ok {
			continue
		}
		if len(run.Points) < 2 {
			r.errorf(item.at, "bad-point", "a line needs at least two points; “%s” is one", shorten(item.text)).Remedy = "for example  0,2 6,2"
			continue
		}
		for i, p := range run.Points {
			if known && b.side(p) < 0 {
				ok = r.outside(b, run.Places[i], p)
			}
			if i > 0 && p.Equal(run.Points[i-1]) {
				r.errorf(run.Places[i], "bad-point", "the line stands still at %s", written(p))
				ok = false
			}
		}
		if segments += len(run.Points) - 1; segments > maxLines {
			r.errorf(item.at, "limit", "more than %d lines in one block", maxLines)
			break
		}
		if ok {
			out = append(out, run)
		}
	}
	return out
}

// brokenPoints reports whether a list in brackets looks like points that YAML has split at their commas: an item is a bare number, or
// holds no comma at all.
func brokenPoints(n *node) bool {
	return slices.ContainsFunc(n.items, func(i *node) bool { return i.kind == scalar && !strings.Contains(i.text, ",") })
}

// side is 1 where the point lies inside the block's grid, 0 on its edge, -1 outside.
func (b *Block) side(p plane.Point) int {
	w, h := exact.Int(int64(b.Columns)), exact.Int(int64(b.Rows))
	if p.X.Sign() < 0 || p.Y.Sign() < 0 || w.Less(p.X) || h.Less(p.Y) {
		return -1
	}
	if p.X.IsZero() || p.Y.IsZero() || p.X.Equal(w) || p.Y.Equal(h) {
		return 0
	}
	return 1
}

// outside reports a point that lies outside the block, and returns false.
func (r *reader) outside(b *Block, at diag.Pos, p plane.Point) bool {
	f := r.errorf(at, "bad-point", "%s lies outside the block", written(p))
	f.Remedy = fmt.Sprintf("x runs from 0 to %d, y from 0 to %d, in grid steps", b.Columns, b.Rows)
	f.Block, f.Point = b.Name, &[2]float64{p.X.Float(), p.Y.Float()}
	return false
}

// written is the point as a document writes it.
func written(p plane.Point) string { return number(p.X) + "," + number(p.Y) }

func number(x exact.Num) string {
	n, d, _ := x.Rat()
	if d == 1 {
		return fmt.Sprint(n)
	}
	return fmt.Sprintf("%d/%d", n, d)
}

// fills reads which fabric the patch at each point has.
func (r *reader) fills(b *Block, n *node, known bool) {
	if n == nil {
		return
	}
	if n.kind != mapping {
		r.errorf(n.at, "wrong-type", "fill is a mapping from fabrics to points, not %s", r.describe(n)).Remedy = "for example  B: 3,3"
		return
	}
	if n.flow && slices.ContainsFunc(n.entries, func(e entry) bool { return e.value.kind == nothing && !isLetters(e.key.text) }) {
		r.errorf(n.at, "bad-point", "fill holds no points here").Remedy =
			"inside { } a comma ends a value, so B: 3,3 is cut in two; write every fabric on a line of its own, or {B: \"3,3\"}"
		return
	}
	for _, e := range n.entries {
		letters := e.key.text
		if !r.fabric(letters) {
			r.unknownFabric(e.key.at, letters)
			letters = ""
		}
		if e.value.kind == nothing {
			r.errorf(e.key.at, "missing", "“%s” has no points", shorten(e.key.text))
			continue
		}
		items := []*node{e.value}
		if e.value.kind == sequence {
			if e.value.flow && brokenPoints(e.value) {
				r.errorf(e.value.at, "bad-point", "fill holds no points here").Remedy = trap
				continue
			}
			items = e.value.items
		}
		fill := Fill{At: e.key.at, Fabric: letters}
		for _, item := range items {
			points, places, _ := r.points(item, "fill")
			for i, p := range points {
				switch side := b.side(p); {
				case known && side < 0:
					r.outside(b, places[i], p)
				case known && side == 0:
					f := r.errorf(places[i], "bad-point", "%s lies on the edge of the block, in no patch", written(p))
					f.Remedy = "name a point inside the patch"
					f.Block, f.Point = b.Name, &[2]float64{p.X.Float(), p.Y.Float()}
				case known:
					fill.Points, fill.Places = append(fill.Points, p), append(fill.Places, places[i])
				}
			}
		}
		if letters != "" && len(fill.Points) > 0 {
			b.Fill = append(b.Fill, fill)
		}
	}
}

// laidOut reads a block of cells.
func (r *reader) laidOut(b *Block, f fields) {
	rows := f.required("rows", "rows: [[A, B], [B, A]]")
	b.CellsAt = f.place("rows")
	b.Cells, _ = r.rows(rows, "rows", b)
	width := 0
	for i, row := range b.Cells {
		if i == 0 {
			width = len(row)
		} else if len(row) != width {
			at := rows.items[min(i, len(rows.items)-1)].at
			if len(row) > 0 {
				at = row[0].At
			}
			r.errorf(at, "bad-value", "row %d has %s, row 1 has %d", i+1, count(len(row), "cell"), width).Remedy = "every row of a block has as many cells"
			b.Cells = nil
			break
		}
	}
	b.ColumnSizes = r.proportions(f.get("columns"), "columns", width, b.Cells != nil)
	b.RowSizes = r.proportions(f.get("heights"), "heights", len(b.Cells), b.Cells != nil)
	r.blockArrows(b, f.get("press"), b.Cells != nil)
	if b.Width.IsZero() && b.SizeAt.IsZero() {
		b.Width, b.Height = b.proportion()
	}
}

func count(n int, noun string) string {
	if n != 1 {
		noun += "s"
	}
	return fmt.Sprintf("%d %s", n, noun)
}

// proportions reads one length for each of n columns or rows; all equal where they are not written.
func (r *reader) proportions(n *node, what string, want int, known bool) []exact.Num {
	equal := make([]exact.Num, want)
	for i := range equal {
		equal[i] = exact.Int(1)
	}
	if n == nil {
		return equal
	}
	items := r.list(n, what, what+": [1, 2, 1]")
	if n.kind != sequence {
		return equal
	}
	if len(items) != want {
		if known {
			thing := map[string]string{"columns": "column", "heights": "row"}[what]
			r.errorf(n.at, "bad-value", "%s has %s for %s", what, count(len(items), "number"), count(want, thing))
		}
		return equal
	}
	for i, item := range items {
		if x, ok := r.length(item, what, false); ok {
			equal[i] = x
		}
	}
	return equal
}

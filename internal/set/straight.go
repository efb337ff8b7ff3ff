package set

import (
	"fmt"

	"quiltwright/internal/diag"
	"quiltwright/internal/exact"
	"quiltwright/internal/quilt"
)

// bands are the sizes of a straight set's rows as they are written, before they are repeated.
type bands struct {
	heights []exact.Num
	widths  [][]exact.Num // of each cell
}

// straight lays rows of blocks, with sashing where there is any: blocks into rows, with the sashing between them; then the rows,
// with the sashing between those.
func (l *layout) straight() *piece {
	set := l.doc.Set
	timesAcross, timesDown := max(1, set.Across), max(1, set.Down)
	for _, row := range set.Rows {
		l.top.Columns = max(l.top.Columns, len(row)*timesAcross)
	}
	l.top.Rows = len(set.Rows) * timesDown
	sizes, ok := l.straightSizes(timesAcross)
	if !ok {
		return nil
	}
	sash, posts, outside := exact.Num{}, "", false
	if s := set.Sashing; s != nil {
		sash, posts, outside = s.Width, s.Posts, s.Outside
	}
	var rows []*piece
	y, sashes := l.border, 0
	between := func(row int) { // sashing above a row of the text
		sashes++
		rows = append(rows, l.sashRow(fmt.Sprintf("sashing %d", sashes), y, sizes.widths[row], timesAcross, posts, outside))
		y = y.Add(sash)
	}
	for r := range l.top.Rows {
		written := r % len(set.Rows)
		if sash.Sign() > 0 && (r > 0 || outside) {
			between(written)
		}
		x := l.border
		var row []*piece
		upright := func() {
			row = append(row, l.strip(x, y, x.Add(sash), y.Add(sizes.heights[written]), set.Sashing.Fabric, "sashing", set.Sashing.At))
			x = x.Add(sash)
		}
		for c := range len(set.Rows[written]) * timesAcross {
			cell, w := set.Rows[written][c%len(set.Rows[written])], sizes.widths[written][c%len(set.Rows[written])]
			if sash.Sign() > 0 && (c > 0 || outside) {
				upright()
			}
			row = append(row, l.placeCell(cell, x, y, w, sizes.heights[written], r+1, c+1))
			x = x.Add(w)
		}
		if sash.Sign() > 0 && outside {
			upright()
		}
		rows = append(rows, across(fmt.Sprintf("row %d", r+1), row))
		y = y.Add(sizes.heights[written])
	}
	if sash.Sign() > 0 && outside {
		between(0)
	}
	return down("centre", rows)
}

// sashRow lays the sashing between two rows: one long strip, or strips and posts.
func (l *layout) sashRow(name string, y exact.Num, widths []exact.Num, timesAcross int, posts string, outside bool) *piece {
	s := l.doc.Set.Sashing
	bottom := y.Add(s.Width)
	var parts []*piece
	x := l.border
	post := func() {
		if posts != "" {
			parts = append(parts, l.strip(x, y, x.Add(s.Width), bottom, posts, "post", s.At))
		}
		x = x.Add(s.Width)
	}
	for c := range len(widths) * timesAcross {
		if c > 0 || outside {
			post()
		}
		w := widths[c%len(widths)]
		if posts != "" {
			parts = append(parts, l.strip(x, y, x.Add(w), bottom, s.Fabric, "sashing", s.At))
		}
		x = x.Add(w)
	}
	if outside {
		post()
	}
	if posts == "" {
		return l.strip(l.border, y, x, bottom, s.Fabric, "sashing", s.At)
	}
	return across(name, parts)
}

// straightSizes finds the height of every row and the width of every cell; ok is false where they cannot be known or do not fit
// together, which is reported.
func (l *layout) straightSizes(timesAcross int) (bands, bool) {
	set := l.doc.Set
	out := bands{heights: make([]exact.Num, len(set.Rows)), widths: make([][]exact.Num, len(set.Rows))}
	before := len(l.found)
	for r, row := range set.Rows {
		if len(row) == 0 {
			l.found.Errorf(l.rowPlace(r), "empty-row", "row %d is empty", r+1)
			continue
		}
		out.heights[r] = l.rowHeight(r)
		out.widths[r] = make([]exact.Num, len(row))
		for c, cell := range row {
			if w, _, ok := l.ownSize(cell); ok {
				out.widths[r][c] = w
			}
		}
	}
	if len(l.found) > before {
		return out, false
	}
	l.columnWidths(out.widths)
	l.restWidths(out.widths, timesAcross)
	if len(l.found) > before {
		return out, false
	}
	l.checkRows(out.widths, timesAcross)
	return out, len(l.found) == before
}

// rowHeight returns the height of the blocks in a row.
func (l *layout) rowHeight(r int) exact.Num {
	var height exact.Num
	var first *quilt.Cell
	for c := range l.doc.Set.Rows[r] {
		cell := &l.doc.Set.Rows[r][c]
		_, h, ok := l.ownSize(*cell)
		switch {
		case !ok:
		case first == nil:
			first, height = cell, h
		case !h.Equal(height):
			f := l.found.Errorf(cell.At, "row-height", "“%s” is %s high here, and “%s” in the same row is %s: %s", cell.Block, l.length(h),
				first.Block, l.length(height), l.difference(h, height))
			f.Remedy = "blocks of one row have one height: turn one, change its size, or make a block of several"
			f.Notes = []diag.Note{{At: first.At, Says: fmt.Sprintf("“%s” is here", first.Block)}}
			return height
		}
	}
	if first == nil {
		l.found.Errorf(l.rowPlace(r), "unknown-size", "how high row %d is cannot be known: no block stands in it", r+1).Remedy =
			"make it a block of its own with a size: {size: [12, 3], grid: 1, ground: A}"
	}
	return height
}

// columnWidths gives plain cells and units the width of their column, where rows of as many cells agree on it.
func (l *layout) columnWidths(widths [][]exact.Num) {
	type column struct{ cells, column int }
	known := map[column][]exact.Num{} // different widths
	for _, row := range widths {
		for c, w := range row {
			at := column{len(row), c}
			if w.Sign() > 0 && (len(known[at]) == 0 || !known[at][0].Equal(w)) {
				known[at] = append(known[at], w)
			}
		}
	}
	for _, row := range widths {
		for c, w := range row {
			if same := known[column{len(row), c}]; w.IsZero() && len(same) == 1 {
				row[c] = same[0]
			}
		}
	}
}

// restWidths shares what a row lacks of the width of a row that is known among its cells that are not, and reports cells whose
// width cannot be known even so.
func (l *layout) restWidths(widths [][]exact.Num, timesAcross int) {
	var whole exact.Num
	for _, row := range widths {
		if sum, open := total(row); open == 0 && whole.IsZero() {
			whole = l.rowWidth(sum, len(row), timesAcross)
		}
	}
	for r, row := range widths {
		sum, open := total(row)
		if open == 0 {
			continue
		}
		rest := whole.Sub(l.rowWidth(sum, len(row), timesAcross)).Div(exact.Int(int64(open * timesAcross)))
		for c, w := range row {
			if !w.IsZero() {
				continue
			}
			if rest.Sign() <= 0 {
				l.found.Errorf(l.doc.Set.Rows[r][c].At, "unknown-size",
					"how wide cell %d of row %d is cannot be known: no block stands in its column", c+1, r+1).Remedy =
					"make it a block with a size, or put a block in its column"
				return
			}
			row[c] = rest
		}
	}
}

// total adds up what is known of a row, and counts the rest.
func total(row []exact.Num) (sum exact.Num, open int) {
	for _, w := range row {
		if w.IsZero() {
			open++
		}
		sum = sum.Add(w)
	}
	return sum, open
}

// rowWidth returns how wide a row is when its cells are repeated, sashing included.
func (l *layout) rowWidth(sum exact.Num, cells, timesAcross int) exact.Num {
	width := sum.Mul(exact.Int(int64(timesAcross)))
	if s := l.doc.Set.Sashing; s != nil {
		strips := cells*timesAcross - 1
		if s.Outside {
			strips += 2
		}
		width = width.Add(s.Width.Mul(exact.Int(int64(strips))))
	}
	return width
}

// checkRows reports the rows that are not as wide as the first, and columns that do not line up though there are posts.
func (l *layout) checkRows(widths [][]exact.Num, timesAcross int) {
	set := l.doc.Set
	first, _ := total(widths[0])
	want := l.rowWidth(first, len(widths[0]), timesAcross)
	for r, row := range widths {
		sum, _ := total(row)
		if got := l.rowWidth(sum, len(row), timesAcross); !got.Equal(want) {
			f := l.found.Errorf(l.rowPlace(r), "row-width", "row %d is %s wide and row 1 is %s: %s", r+1, l.length(got), l.length(want),
				l.difference(got, want))
			f.Notes = []diag.Note{{At: l.rowPlace(0), Says: "row 1 is here"}}
			f.Remedy = "rows of a straight set are equally wide"
			continue
		}
		if set.Sashing == nil || set.Sashing.Posts == "" {
			continue
		}
		if len(row) != len(widths[0]) {
			f := l.found.Errorf(l.rowPlace(r), "columns", "row %d has %s and row 1 has %d: posts need columns that line up", r+1,
				words(len(row), "cell", "cells"), len(widths[0]))
			f.Remedy = "leave the posts out, or make columns of equal blocks"
			continue
		}
		for c, w := range row {
			if !w.Equal(widths[0][c]) {
				f := l.found.Errorf(l.doc.Set.Rows[r][c].At, "columns", "column %d is %s wide in row %d and %s in row 1: posts need columns that line up",
					c+1, l.length(w), r+1, l.length(widths[0][c]))
				f.Remedy = "leave the posts out, or make columns of equal blocks"
				break
			}
		}
	}
}

// difference says by how much one length misses another.
func (l *layout) difference(got, want exact.Num) string {
	if got.Less(want) {
		return l.length(want.Sub(got)) + " too little"
	}
	return l.length(got.Sub(want)) + " too much"
}

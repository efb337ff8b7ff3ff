package draft

import (
	"fmt"

	"quiltwright/internal/diag"
	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
)

// drawUnit draws a unit in the trade's words in its own frame. Which fabric goes where is fixed by quilt.UnitWord; the
// fabrics are written out.
func (d *Drafter) drawUnit(cell quilt.Cell, w, h exact.Num, recolor map[string]string, up plane.Turn) *drawing {
	out := &drawing{}
	word, known := quilt.UnitNamed(cell.Unit)
	if !known || word.Long(cell.Fabrics) == nil { // quilt.Read has said why
		out.broken = true
		return out
	}
	if word.Square && !w.Equal(h) {
		out.broken = true
		remedy := "give it a square cell, or draw the block by lines"
		if word.Name == "half square" {
			remedy = "say half rectangle, which fits any cell, or give it a square cell"
		}
		d.report(diag.Finding{Code: "unit-shape", At: cell.At, Remedy: remedy,
			Says: fmt.Sprintf("%s needs a square cell, and this one is %s", word.Name, d.size(w, h))})
		return out
	}
	fabrics := word.Long(cell.Fabrics)
	for i, outline := range unitOutlines(word.Name, len(fabrics), w, h) {
		d.patch(out, outline, swap(recolor, swap(cell.Recolor, fabrics[i])), up, cell.At)
	}
	return out
}

// unitOutlines returns the patches of a unit that fills w by h, in the order of its fabrics; nil for a word it does not know.
func unitOutlines(unit string, fabrics int, w, h exact.Num) []plane.Polygon {
	zero, midX, midY := exact.Num{}, w.Half(), h.Half()
	topLeft, top, topRight := plane.Pt(zero, zero), plane.Pt(midX, zero), plane.Pt(w, zero)
	left, middle, right := plane.Pt(zero, midY), plane.Pt(midX, midY), plane.Pt(w, midY)
	bottomLeft, bottom, bottomRight := plane.Pt(zero, h), plane.Pt(midX, h), plane.Pt(w, h)
	switch unit {
	case "half square", "half rectangle":
		return []plane.Polygon{{topLeft, topRight, bottomLeft}, {topRight, bottomRight, bottomLeft}}
	case "goose":
		return []plane.Polygon{{top, bottomRight, bottomLeft}, {topLeft, top, bottomLeft}, {top, topRight, bottomRight}}
	case "hourglass":
		return []plane.Polygon{{topLeft, topRight, middle}, {topRight, bottomRight, middle},
			{bottomRight, bottomLeft, middle}, {bottomLeft, topLeft, middle}}
	case "three triangles":
		return []plane.Polygon{{topLeft, topRight, bottomLeft}, {topRight, bottomRight, middle}, {bottomRight, bottomLeft, middle}}
	case "square in square":
		return []plane.Polygon{{top, right, bottom, left}, {topLeft, top, left}, {top, topRight, right},
			{right, bottomRight, bottom}, {left, bottom, bottomLeft}}
	case "snowball":
		return snowball(w, h)
	case "four-patch":
		return grid(2, 2, w, h)
	case "nine-patch":
		return grid(3, 3, w, h)
	case "rail":
		return grid(1, fabrics, w, h)
	case "log cabin":
		return logCabin((fabrics-1)/4, w)
	}
	return nil
}

func box(x, y, w, h exact.Num) plane.Polygon {
	return plane.Rectangle(w, h).Translate(plane.Pt(x, y))
}

// grid returns equal rectangles in reading order.
func grid(columns, rows int, w, h exact.Num) []plane.Polygon {
	stepX, stepY := w.Div(exact.Int(int64(columns))), h.Div(exact.Int(int64(rows)))
	var out []plane.Polygon
	for r := range rows {
		for c := range columns {
			out = append(out, box(stepX.Mul(exact.Int(int64(c))), stepY.Mul(exact.Int(int64(r))), stepX, stepY))
		}
	}
	return out
}

// snowball returns an octagon and its four corners, clockwise from the top left.
func snowball(w, h exact.Num) []plane.Polygon {
	leg := exact.Min(w, h).Div(exact.Int(3))
	zero, farX, farY := exact.Num{}, w.Sub(leg), h.Sub(leg)
	return []plane.Polygon{
		{plane.Pt(leg, zero), plane.Pt(farX, zero), plane.Pt(w, leg), plane.Pt(w, farY),
			plane.Pt(farX, h), plane.Pt(leg, h), plane.Pt(zero, farY), plane.Pt(zero, leg)},
		{plane.Pt(zero, zero), plane.Pt(leg, zero), plane.Pt(zero, leg)},
		{plane.Pt(farX, zero), plane.Pt(w, zero), plane.Pt(w, leg)},
		{plane.Pt(w, farY), plane.Pt(w, h), plane.Pt(farX, h)},
		{plane.Pt(zero, farY), plane.Pt(leg, h), plane.Pt(zero, h)},
	}
}

// logCabin returns the centre and then the logs: top, right, bottom, left, round after round.
func logCabin(rounds int, side exact.Num) []plane.Polygon {
	log := side.Div(exact.Int(int64(2*rounds + 1)))
	at := func(n int) exact.Num { return log.Mul(exact.Int(int64(n))) }
	out := []plane.Polygon{box(at(rounds), at(rounds), log, log)}
	for r := 1; r <= rounds; r++ {
		from, inner := rounds-r, 2*r-1 // where the round begins, and how many parts lie within it
		out = append(out,
			box(at(from+1), at(from), at(inner), log),
			box(at(from+1+inner), at(from), log, at(inner+1)),
			box(at(from+1), at(from+1+inner), at(inner+1), log),
			box(at(from), at(from), log, at(inner+2)))
	}
	return out
}

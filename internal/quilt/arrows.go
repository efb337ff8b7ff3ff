package quilt

import (
	"fmt"
	"strings"
	"unicode"

	"quiltwright/internal/diag"
	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
)

// Arrow says which way a seam is pressed: the seam between what holds From and what holds To, toward To. In a block that is one patch and
// the next, and points are in the block's own steps: of its grid, or of its columns and rows, each one step. In the set it is one block or
// patch of the top and the next, and points are finished lengths from the top's upper left corner.
//
// It may name a crossing instead, at which the seam sewn last is spun: then From and To are that point.
type Arrow struct {
	At       diag.Pos
	From, To plane.Point
	Open     bool // not to one side, but open
	Spun     bool
}

// blockArrows reads how seams of a block are pressed. Where its grid is known, arrows lie inside it.
func (r *reader) blockArrows(b *Block, n *node, known bool) {
	w, h := b.steps()
	b.Press = r.arrows(n, func(p plane.Point, at diag.Pos) bool {
		if !known || p.X.Sign() >= 0 && p.Y.Sign() >= 0 && !w.Less(p.X) && !h.Less(p.Y) {
			return true
		}
		f := r.errorf(at, "bad-point", "%s lies outside the block", written(p))
		f.Remedy = "x runs from 0 to " + number(w) + ", y from 0 to " + number(h) + ", in steps"
		f.Block = b.Name
		return false
	})
}

// pressed are the words after points.
var pressed = []string{"open", "spun"}

// arrows reads how seams are pressed: one arrow, or a list. An arrow with a point that is not inside is left out.
func (r *reader) arrows(n *node, inside func(plane.Point, diag.Pos) bool) (out []Arrow) {
	if n == nil {
		return nil
	}
	items := []*node{n}
	if n.kind == sequence {
		if n.flow && brokenPoints(n) {
			r.errorf(n.at, "bad-point", "press holds no points here").Remedy = strings.Replace(trap, "0,2 6,2", "1/2,1 3/2,1", 1)
			return nil
		}
		items = n.items
	}
	for i, item := range items {
		if i == maxLines {
			r.errorf(item.at, "limit", "more than %d arrows in one place", maxLines)
			return out
		}
		read := *item
		open, spun := false, false
		if read.kind == scalar {
			word := item.text[strings.LastIndexByte(item.text, ' ')+1:]
			switch open, spun = word == "open", word == "spun"; {
			case (open || spun) && len(word) < len(item.text):
				read.text = strings.TrimSuffix(item.text, " "+word)
			case word != "" && unicode.IsLetter(rune(word[0])):
				bad := r.errorf(item.at, "bad-point", "“%s” is not a way to press a seam", shorten(word))
				if bad.Remedy = "write nothing after an arrow, or open; spun after a crossing"; diag.Suggest(word, pressed) != "" {
					bad.Remedy = fmt.Sprintf("did you mean “%s”?", diag.Suggest(word, pressed))
				}
				continue
			}
		}
		points, places, ok := r.points(&read, "an arrow")
		if !ok {
			continue
		}
		if spun && len(points) != 1 {
			r.errorf(item.at, "bad-point", "a seam is spun at a crossing, which is one point; “%s” is %d", shorten(item.text), len(points)).Remedy = "for example  2,2 spun"
			continue
		}
		if spun {
			points, places = append(points, points[0]), append(places, places[0])
		} else if len(points) != 2 || points[0].Equal(points[1]) {
			r.errorf(item.at, "bad-point", "an arrow goes from a point in one patch to a point in the next; “%s” does not", shorten(item.text)).Remedy =
				"for example  1/2,1 3/2,1  or  1/2,1 3/2,1 open"
			continue
		}
		for k, p := range points {
			ok = inside(p, places[k]) && ok
		}
		if ok {
			out = append(out, Arrow{At: item.at, From: points[0], To: points[1], Open: open, Spun: spun})
		}
	}
	return out
}

// steps is how many steps the block has across and down.
func (b *Block) steps() (w, h exact.Num) {
	if b.Drawn() {
		return exact.Int(int64(b.Columns)), exact.Int(int64(b.Rows))
	}
	return exact.Int(int64(len(b.ColumnSizes))), exact.Int(int64(len(b.RowSizes)))
}

// Laid is where a point in the block's own steps lies in the block drawn w by h. The block has steps.
func (b *Block) Laid(p plane.Point, w, h exact.Num) plane.Point {
	if b.Drawn() {
		return plane.Pt(p.X.Mul(w).Div(exact.Int(int64(b.Columns))), p.Y.Mul(h).Div(exact.Int(int64(b.Rows))))
	}
	return plane.Pt(along(b.ColumnSizes, p.X, w), along(b.RowSizes, p.Y, h))
}

// along is x steps of these proportions, of a length in all.
func along(sizes []exact.Num, x, length exact.Num) exact.Num {
	var sum, at exact.Num
	for i, s := range sizes {
		if left := x.Sub(exact.Int(int64(i))); left.Sign() > 0 {
			at = at.Add(s.Mul(exact.Min(left, exact.Int(1))))
		}
		sum = sum.Add(s)
	}
	return at.Mul(length).Div(sum)
}

package quilt

import "slices"

// maxCrossings is how often lines of a block may cross where one of them is slanted. Every such crossing costs exact arithmetic with
// fractions of its own; a traditional block has a few dozen. Lines along the grid are counted by their patches, in draft.
const maxCrossings = 10_000

// crossings reports a block whose lines, repeated by its symmetry, are too many or cross too often, and takes its lines away.
func (r *reader) crossings(b *Block) {
	images := b.images()
	segments := 0
	for _, run := range b.Lines {
		segments += len(run.Points) - 1
	}
	if segments*len(images) > maxLines {
		r.errorf(b.Lines[0].At, "limit", "more than %d lines in one block, its symmetry included", maxLines).Block = b.Name
		b.Lines = nil
		return
	}
	cx, cy := float64(b.Columns)/2, float64(b.Rows)/2
	var slanted, straight []segment
	for _, m := range images {
		for _, run := range b.Lines {
			for i := 1; i < len(run.Points); i++ {
				p, q := run.Points[i-1], run.Points[i]
				s := segment{m.apply(p.X.Float()-cx, p.Y.Float()-cy), m.apply(q.X.Float()-cx, q.Y.Float()-cy)}
				if s.a.x == s.b.x || s.a.y == s.b.y {
					straight = append(straight, s)
				} else {
					slanted = append(slanted, s)
				}
			}
		}
	}
	count := 0
	for i, s := range slanted {
		for _, others := range [][]segment{slanted[:i], straight} {
			for _, o := range others {
				if s.crosses(o) {
					count++
				}
			}
		}
		if count > maxCrossings {
			r.errorf(b.Lines[0].At, "limit", "slanted lines of this block cross more than %d times", maxCrossings).Block = b.Name
			b.Lines = nil
			return
		}
	}
}

type spot struct{ x, y float64 }

type segment struct{ a, b spot }

// crosses reports whether the segments meet in a point inside both, as near as floating point can tell.
func (s segment) crosses(o segment) bool {
	side := func(a, b, p spot) float64 { return (b.x-a.x)*(p.y-a.y) - (b.y-a.y)*(p.x-a.x) }
	return side(s.a, s.b, o.a)*side(s.a, s.b, o.b) < 0 && side(o.a, o.b, s.a)*side(o.a, o.b, s.b) < 0
}

// turn is a symmetry about the centre of a block: the point x, y goes to xx·x + xy·y, yx·x + yy·y.
type turn struct{ xx, xy, yx, yy int }

func (m turn) apply(x, y float64) spot {
	return spot{float64(m.xx)*x + float64(m.xy)*y, float64(m.yx)*x + float64(m.yy)*y}
}

func (m turn) then(n turn) turn {
	return turn{n.xx*m.xx + n.xy*m.yx, n.xx*m.xy + n.xy*m.yy, n.yx*m.xx + n.yy*m.yx, n.yx*m.xy + n.yy*m.yy}
}

// images are all symmetries that follow from those written, the identity first; at most eight.
func (b *Block) images() []turn {
	named := map[Symmetry]turn{
		QuarterTurns: {0, -1, 1, 0}, HalfTurn: {-1, 0, 0, -1}, LeftRight: {-1, 0, 0, 1},
		TopBottom: {1, 0, 0, -1}, FallingDiagonal: {0, 1, 1, 0}, RisingDiagonal: {0, -1, -1, 0},
	}
	all := []turn{{1, 0, 0, 1}}
	for i := 0; i < len(all); i++ {
		for _, s := range b.Symmetry {
			if m := all[i].then(named[s]); !slices.Contains(all, m) {
				all = append(all, m)
			}
		}
	}
	return all
}

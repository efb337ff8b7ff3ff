package draft

import (
	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
)

// motion carries a rectangle of grid steps onto itself: x and y change places first, then each is counted from the far side.
// Changing places needs as many columns as rows.
type motion struct{ swap, flipX, flipY bool }

// generators are the motions that the words of the format stand for.
var generators = map[quilt.Symmetry]motion{
	quilt.QuarterTurns:    {swap: true, flipX: true},
	quilt.HalfTurn:        {flipX: true, flipY: true},
	quilt.LeftRight:       {flipX: true},
	quilt.TopBottom:       {flipY: true},
	quilt.FallingDiagonal: {swap: true},
	quilt.RisingDiagonal:  {swap: true, flipX: true, flipY: true},
}

// then returns the motion that does m first and n after it.
func (m motion) then(n motion) motion {
	out := motion{swap: m.swap != n.swap, flipX: m.flipX, flipY: m.flipY}
	if n.swap {
		out.flipX, out.flipY = out.flipY, out.flipX
	}
	out.flipX = out.flipX != n.flipX
	out.flipY = out.flipY != n.flipY
	return out
}

// apply moves a point of a rectangle of w by h.
func (m motion) apply(p plane.Point, w, h exact.Num) plane.Point {
	if m.swap {
		p.X, p.Y = p.Y, p.X
	}
	if m.flipX {
		p.X = w.Sub(p.X)
	}
	if m.flipY {
		p.Y = h.Sub(p.Y)
	}
	return p
}

// inverse returns the motion that undoes m.
func (m motion) inverse() motion {
	if m.swap {
		return motion{swap: true, flipX: m.flipY, flipY: m.flipX}
	}
	return m
}

// group returns every motion that the symmetries make together, the one that changes nothing first. Words it does not know
// change nothing.
func group(words []quilt.Symmetry) []motion {
	out := []motion{{}}
	have := map[motion]bool{{}: true}
	for i := 0; i < len(out); i++ {
		for _, word := range words {
			next := out[i].then(generators[word])
			if !have[next] {
				have[next] = true
				out = append(out, next)
			}
		}
	}
	return out
}

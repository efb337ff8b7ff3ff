package method

import (
	"math"

	"quiltwright/internal/quilt"
	"quiltwright/internal/unit"
)

// A print with a direction lies upright in the frame of its blank, height with the print. A method can make a unit of it
// where the recipe brings the cloth out with its print as it is drawn, whichever quarter turn the blank is first given.

// aim is by how many degrees clockwise the blank of a part is turned, before it is laid, so that its print comes out as it is
// drawn; made takes directions in the blank's frame to the unit's. 0 for plain cloth; ok is false where the blank would
// have to lie askew. A two-way print is turned by less than half a turn.
func (c *chooser) aim(u *Unit, part int, made move) (degrees float64, ok bool) {
	p := u.Parts[part]
	leaf := c.units[p.Unit].Leaf
	print := c.Doc.Fabrics[leaf.Fabric].Print
	if print == quilt.Plain {
		return 0, true
	}
	up := made.back().turnOnly(of(p.Pose).turnOnly(turned(float64(leaf.Up), pt{}).turnOnly(pt{0, -1})))
	quarter := math.Atan2(up.x, -up.y) / (math.Pi / 2)
	whole := math.Round(quarter)
	turns := (int(whole) + 4) % 4
	if print == quilt.TwoWay {
		turns %= 2
	}
	return float64(90 * turns), math.Abs(quarter-whole) < 1e-6
}

// prints reports whether a method can make unit i, all its prints coming out as they are drawn.
func (c *chooser) prints(i int, method string) bool {
	u := &c.units[i]
	if !c.directed(i) {
		return true
	}
	good := func(part int, made move) bool {
		_, ok := c.aim(u, part, made)
		return ok
	}
	switch method {
	case "pairs": // of the two, one comes out half a turn round
		for part := range 2 {
			if c.print(u, part) == quilt.OneWay || !good(part, pairsMade(u, part)) {
				return false
			}
		}
		return true
	case "flips":
		base, corners := c.corners(u)
		if !good(0, base) {
			return false
		}
		for _, k := range corners {
			if !good(k.part, flipped(k.at).then(base)) {
				return false
			}
		}
		return true
	case "strip set": // a strip runs across the cloth, so that its print runs with its height
		r, _ := c.row(i)
		for part := range u.Parts {
			if d, ok := c.aim(u, part, r.made()); !ok || d != 0 {
				return false
			}
		}
		return true
	}
	return false
}

func (c *chooser) print(u *Unit, part int) quilt.Print {
	return c.Doc.Fabrics[c.units[u.Parts[part].Unit].Leaf.Fabric].Print
}

// faceDown is a work laid face down, left and right changed over.
var faceDown = move{u: pt{-1, 0}, v: pt{0, 1}}

// pairsMade takes directions in the squares of a pair to the half square that comes out unturned.
func pairsMade(u *Unit, part int) move {
	kind := turned(float64(u.Shape.Turn), pt{})
	if part == 0 {
		return kind
	}
	return faceDown.then(mirrored(pt{1, 0}, pt{0, 1})).then(kind)
}

// flipped takes directions in a square flipped on a corner to the frame of the base.
func flipped(at int) move {
	if at%2 == 0 {
		return faceDown.then(mirrored(pt{1, 0}, pt{0, 1}))
	}
	return faceDown.then(mirrored(pt{0, 0}, pt{1, 1}))
}

// placed is a square at a corner of the base: the part of the unit it becomes and the join that is sewn.
type placed struct {
	at, part, join int
	leg            float64
}

// corners are the squares that are flipped on the rectangle of a goose, a snowball or a square in a square, and how directions on that rectangle
// become directions in the unit.
func (c *chooser) corners(u *Unit) (base move, out []placed) {
	base = turned(float64(u.Shape.Turn), pt{})
	if u.Shape.Kind == unit.FlyingGeese {
		left, right := c.skies(u)
		leg := u.Shape.Measures[1].Float()
		return base, []placed{{0, 1, left, leg}, {1, 2, right, leg}}
	}
	leg := u.Shape.Measures[0].Half() // of a square in a square
	if u.Shape.Kind == unit.Snowball {
		leg = u.Shape.Measures[2]
	}
	part := 0
	for at, r := range u.Shape.Roles[1:] {
		if r < 0 {
			continue
		}
		part++
		for k, j := range u.Joins {
			if j.B == part {
				out = append(out, placed{at, part, k, leg.Float()})
			}
		}
	}
	return base, out
}

// spun lays a square of side w turned clockwise by degrees on its own place, before m.
func spun(degrees, w float64, m move) move {
	if degrees == 0 {
		return m
	}
	turn := turned(degrees, pt{})
	turn.t = pt{w / 2, w / 2}.sub(turn.turnOnly(pt{w / 2, w / 2}))
	return turn.then(m)
}

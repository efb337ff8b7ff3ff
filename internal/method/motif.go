package method

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"quiltwright/internal/measure"
	"quiltwright/internal/piecing"
	"quiltwright/internal/unit"
)

// A patch that shows a motif is cut as itself, its centre of gravity on the motif: every batch would cut through that.

// centre finds the patches that are centred on a motif: those of a block whose cloth has one and that show all of it. What is too small for
// the motif of its cloth is a warning.
func (c *chooser) centre() {
	c.centred = make([]bool, len(c.units))
	small := make([][]string, len(c.Doc.Fabrics))
	seen := make([]bool, len(c.units))
	var walk func(i int)
	walk = func(i int) {
		if seen[i] {
			return
		}
		seen[i] = true
		u := &c.units[i]
		for _, p := range u.Parts {
			walk(p.Unit)
		}
		if u.Leaf == nil {
			return
		}
		m := c.Doc.Fabrics[u.Leaf.Fabric].Motif
		if m == nil {
			return
		}
		if c.centred[i] = room(u.fin) >= m.Size.Float()/2-1e-9; !c.centred[i] {
			lo, hi := box(u.fin)
			says := string(u.Shape.Kind) + " " + measure.Format(hi.x-lo.x, c.unit) + " by " + measure.FormatWith(hi.y-lo.y, c.unit)
			if f := u.Leaf.Fabric; !slices.Contains(small[f], says) {
				small[f] = append(small[f], says)
			}
		}
	}
	for b := range c.Blocks {
		if use := c.Pieced.Blocks[b]; use.Unit >= 0 {
			walk(use.Unit)
		}
	}
	for i, f := range c.Doc.Fabrics {
		list := small[i]
		if len(list) > 6 {
			list = append(list[:6:6], fmt.Sprintf("%d more", len(list)-6))
		}
		if len(list) > 0 {
			c.found.Warnf(f.At, "motif", "fabric %s has a motif of %s, which patches of it are too small for: %s finished", f.Letter, measure.FormatWith(f.Motif.Size.Float(), c.unit), strings.Join(list, ", ")).Remedy =
				"they are cut as from plain cloth; give them another fabric, or the block larger patches"
		}
	}
}

// room is the radius of the largest circle about the centre of gravity of an outline that lies within it; below 0 where that lies outside.
func room(fin []pt) float64 {
	at := gravity(fin)
	near, in := math.Inf(1), false
	for i, a := range fin {
		b := fin[(i+1)%len(fin)]
		d := b.sub(a)
		t := math.Max(0, math.Min(1, at.sub(a).dot(d)/d.dot(d)))
		near = math.Min(near, at.sub(a.add(d.scale(t))).length())
		if (a.y > at.y) != (b.y > at.y) && at.x < a.x+(at.y-a.y)/(b.y-a.y)*(b.x-a.x) {
			in = !in
		}
	}
	if !in {
		return -near
	}
	return near
}

// gravity is the centre of gravity of an outline.
func gravity(fin []pt) pt {
	var sum pt
	area := 0.0
	for i, p := range fin {
		a, b := p.sub(fin[0]), fin[(i+1)%len(fin)].sub(fin[0])
		twice := a.cross(b)
		area += twice
		sum = sum.add(a.add(b).scale(twice))
	}
	return fin[0].add(sum.scale(1 / (3 * area)))
}

// showsMotif reports whether a patch under unit i is centred on a motif.
func (c *chooser) showsMotif(i int) bool {
	return c.centred[i] || slices.ContainsFunc(c.units[i].Parts, func(p piecing.Part) bool { return c.showsMotif(p.Unit) })
}

// patchwise leaves a unit that shows a motif to be sewn from its patches.
func (c *chooser) patchwise(i int) {
	u, m := &c.units[i], c.makes[i]
	p := picker{chooser: c, i: i, u: u}
	var batches []string
	switch u.Shape.Kind {
	case unit.HalfSquare:
		p.want, batches = m.HalfSquares, []string{"eights", "pairs"}
	case unit.FlyingGeese:
		p.want, batches = m.Geese, []string{"fours", "flips"}
	case unit.Hourglass:
		p.want, batches = m.Hourglass, []string{"pairs"}
	case unit.ThreeTriangles:
		p.want, batches = m.Three, []string{"pairs"}
	case unit.SquareInSquare:
		p.want, batches = m.InSquare, []string{"flips"}
	case unit.Snowball:
		batches = []string{"flips"}
	case unit.HalfRectangle:
	default:
		if _, ok := c.row(i); ok && u.Role < piecing.Setting {
			batches = []string{"strip set"}
		}
	}
	switch u.Shape.Kind {
	case unit.HalfSquare, unit.FlyingGeese, unit.Snowball, unit.HalfRectangle:
		c.flatten(i)
	}
	if len(batches) > 0 {
		u.Why = "motif"
	}
	for _, b := range batches {
		p.refuse(b, "motif")
	}
}

// onMotif is the blank of a patch that is centred on a motif: a rectangle, or a template of the exact size.
func (c *chooser) onMotif(u *Unit, long bool, b Blank, lie move) (Blank, move) {
	if b.Shape != Rectangle {
		b, lie = c.template(u.fin, c.form(u.fin, long).base.u)
		b.Turnable = false
	}
	return b, lie
}

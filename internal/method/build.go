package method

import (
	"quiltwright/internal/piecing"
	"quiltwright/internal/plan"
	"quiltwright/internal/quilt"
	"quiltwright/internal/unit"
)

// recipes writes out the recipe of every unit that is made.
func (c *chooser) recipes() {
	for i := range c.units {
		u := &c.units[i]
		if c.Former != nil && c.Former[i].yield() == u.yield() {
			v := &c.Former[i]
			u.Recipe, u.Usual, u.Tied, u.Tips = v.Recipe, v.Usual, v.Tied, v.Tips
			continue
		}
		u.Usual = make([]int, len(u.Joins))
		for k := range u.Usual {
			u.Usual[k] = -1
		}
		if !u.Made || u.Leaf != nil || u.Maker != i {
			continue
		}
		var r Recipe
		switch u.Method {
		case "joined":
			r = c.join(i)
		case "pairs":
			f := u.side()
			if u.Shape.Kind == unit.Hourglass {
				r = c.hourglasses(u, i)
				break
			}
			if u.Mate >= 0 {
				small := quarterSquareSide(f, c.seam)
				r = threeTriangles(c.square(u, 0, small, i), c.square(u, 1, small, i), c.square(u, 2, halfSquareSide(f, c.seam), i), f, c.seam,
					[2]float64{float64(u.Shape.Turn), float64(c.units[u.Mate].Shape.Turn)}, u.Trim)
				break
			}
			var spin [2]float64
			for part := range spin {
				spin[part], _ = c.aim(u, part, pairsMade(u, part))
			}
			r = pairs(c.square(u, 0, halfSquareSide(f, c.seam), i), c.square(u, 1, halfSquareSide(f, c.seam), i), f, c.seam, float64(u.Shape.Turn), spin, u.Trim)
		case "eights":
			f := u.side()
			side := 2 * halfSquareSide(f, c.seam)
			r = eights(c.square(u, 0, side, i), c.square(u, 1, side, i), f, c.seam, float64(u.Shape.Turn), u.Trim)
		case "fours":
			w := u.width()
			left, right := c.skies(u)
			r = fours(c.square(u, 0, quarterSquareSide(w, c.seam), i), c.square(u, 1, halfSquareSide(w/2, c.seam), i), w, c.seam, float64(u.Shape.Turn), left, right, u.Trim)
			u.Usual, u.Tied = []int{1, 1}, true
		case "flips":
			r = c.flip(i)
		case "strip set":
			r = c.strips(i)
		}
		u.Recipe = &r
	}
}

// hourglasses makes hourglasses in pairs: from two squares where two will do, else from four.
func (c *chooser) hourglasses(u *Unit, i int) Recipe {
	x, _ := c.crossed(u)
	n := 4
	if x.two {
		n = 2
	}
	var squares []Blank
	for k := range n {
		squares = append(squares, c.square(u, k, quarterSquareSide(u.side(), c.seam), i))
	}
	return hourglasses(squares, u.side(), c.seam, float64(u.Shape.Turn), x, u.Trim)
}

// square is a square that a batch cuts up later, of the fabric of a part.
func (c *chooser) square(u *Unit, part int, exact float64, i int) Blank {
	s := exact + c.blankOver(u, exact, i)
	b := Blank{Fabric: c.units[u.Parts[part].Unit].Leaf.Fabric, Shape: Rectangle, Exact: [2]float64{exact, exact}, Width: s, Height: s,
		Each: 1, Use: u.Method, Grain: "either", Turnable: true, Trimmed: u.Trim}
	b.bind(c.print(u, part))
	return b
}

// skies are the joins of a goose with its sky on the left and on the right.
func (c *chooser) skies(u *Unit) (left, right int) {
	for k, j := range u.Joins {
		if j.B == 1 {
			left = k
		} else {
			right = k
		}
	}
	return left, right
}

// plainBlank is a rectangle of the finished size and its seams, of the fabric of a part.
func (c *chooser) plainBlank(u *Unit, part int, w, h float64, use string) Blank {
	e := [2]float64{w + 2*c.seam, h + 2*c.seam}
	b := Blank{Fabric: c.units[u.Parts[part].Unit].Leaf.Fabric, Shape: Rectangle, Exact: e, Each: 1, Use: use, Grain: "either", Turnable: true}
	b.Width, _ = c.near(e[0])
	b.Height, _ = c.near(e[1])
	b.bind(c.print(u, part))
	return b
}

// flip makes a goose, a snowball or a square in a square from a rectangle with squares sewn on its corners. The rectangle lies with its print
// upright, so that in its frame the unit may be turned by quarters.
func (c *chooser) flip(i int) Recipe {
	u := &c.units[i]
	w := u.Shape.Measures[0].Float()
	h := w
	if len(u.Shape.Measures) > 1 {
		h = u.Shape.Measures[1].Float()
	}
	made, places := c.corners(u)
	upright, _ := c.aim(u, 0, made)
	back := within(w, h, -upright) // from the kind's frame to that of the rectangle
	quarters := int(upright) / 90
	whole := back.back()
	whole = whole.then(within(w, h, float64(u.Shape.Turn)))
	if quarters%2 == 1 {
		w, h = h, w
	}
	frame := turned(upright, pt{}).then(made)
	var corners []corner
	var squares []Blank
	for _, p := range places {
		at := (p.at + 4 - quarters) % 4
		turn, _ := c.aim(u, p.part, flipped(at).then(frame))
		corners = append(corners, corner{at: at, leg: p.leg, join: p.join, turn: turn})
		squares = append(squares, c.plainBlank(u, p.part, p.leg, p.leg, "flips"))
		u.Usual[p.join] = 1
	}
	base := c.plainBlank(u, 0, w, h, "flips")
	return flips(base, squares, corners, w, h, c.seam, whole)
}

// strips makes a row of rectangles from a strip set.
func (c *chooser) strips(i int) Recipe {
	u := &c.units[i]
	r, _ := c.row(i)
	times := u.Recipe.Yield
	var strips []Blank
	joins := make([]int, len(u.Joins))
	for k, w := range r.widths {
		exact := w + 2*c.seam
		h, _ := c.near(exact)
		long := c.squaring + float64(times)*(r.cross+2*c.seam)
		strips = append(strips, Blank{Fabric: c.units[u.Parts[k].Unit].Leaf.Fabric, Shape: Strip, Exact: [2]float64{long, exact}, Width: long, Height: h,
			Each: 1, Use: "strip set", Grain: "across", Directed: c.print(u, k) != quilt.Plain})
	}
	for k := range joins {
		joins[k] = k
	}
	total := 0.0
	for _, w := range r.widths {
		total += w
	}
	m := within(r.cross, total, r.turn())
	return stripSet(strips, r.cross, c.squaring, times, c.seam, joins, m)
}

// join is the plain recipe of a unit.
func (c *chooser) join(i int) Recipe {
	u := &c.units[i]
	var from []Source
	poses := make([]move, len(u.Parts))
	for k, p := range u.Parts {
		poses[k] = of(p.Pose)
		if n := len(from); n > 0 && from[n-1].Unit == p.Unit {
			from[n-1].Count++
		} else {
			from = append(from, Source{Blank: -1, Unit: p.Unit, Count: 1})
		}
	}
	var seams []seamLine
	for k, j := range u.Joins {
		s := seamLine{join: k, a: j.A, b: j.B, from: float(j.Seam.A), to: float(j.Seam.B), partial: j.Kind == piecing.Partial, finish: j.Finish}
		if j.Kind == piecing.Partial {
			// Half the seam is left open; what finishes the ring closes it, in one go with its own seam.
			if open, _ := u.open(); j.Finish {
				s.to, s.partial = open, false
			} else {
				s.to = open
			}
		}
		if n := len(seams); j.OneGo && n > 0 {
			seams[n-1].to = s.to
			seams[n-1].also = append(seams[n-1].also, k)
			continue
		}
		seams = append(seams, s)
	}
	c.dots(u, seams)
	u.Tips = c.tips(i)
	r := joined(from, poses, append(c.mitres(u), c.trimTips(u)...), seams, c.seam, u.grown)
	if u.Trim {
		r.trimTo(u, c.seam)
	}
	return r
}

// mitres trims the ends of border strips that are sewn round a piece one by one.
func (c *chooser) mitres(u *Unit) (trims []plan.Op) {
	for k, p := range u.Parts {
		v := &c.units[p.Unit]
		if !v.mitred || !u.frame() {
			continue
		}
		op := plan.Op{Op: "trim", Work: k}
		for _, q := range evenly(v.fin, c.seam) {
			op.To = append(op.To, q.plan())
		}
		trims = append(trims, op)
	}
	return trims
}

// open is where the open half of the unit's partial seam begins: the middle of it. ok is false without one.
func (u *Unit) open() (at pt, ok bool) {
	for _, j := range u.Joins {
		if j.Kind == piecing.Partial && !j.Finish {
			return float(j.Seam.Mid()), true
		}
	}
	return pt{}, false
}

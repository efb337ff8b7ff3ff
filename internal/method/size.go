package method

import (
	"math"
	"slices"

	"quiltwright/internal/diag"
	"quiltwright/internal/measure"
	"quiltwright/internal/piecing"
	"quiltwright/internal/quilt"
	"quiltwright/internal/unit"
)

// sizes finds the blank of every patch that is cut as itself, how much larger than finished every unit comes out, and
// which units are trimmed for that.
func (c *chooser) sizes() {
	c.uses()
	trim := make([]bool, len(c.units)) // when it was sized last
	moved := make([]bool, len(c.units))
	c.fits = make([]bool, len(c.units))
	for round := 0; round == 0 || c.trims(); round++ {
		// A unit that is trimmed comes out exact, which changes what it is sewn into; each round trims more, so this ends.
		for i := range c.units {
			u := &c.units[i]
			stale := round == 0 || u.Trim != trim[i] || slices.ContainsFunc(u.Parts, func(p piecing.Part) bool { return moved[p.Unit] })
			moved[i] = false
			if stale {
				before := u.Out
				c.fits[i] = false
				c.size(i)
				moved[i], trim[i] = !slices.Equal(before, u.Out), u.Trim
			}
		}
	}
}

// size works out unit i; its parts have been worked out.
func (c *chooser) size(i int) {
	u := &c.units[i]
	if !u.Made {
		return
	}
	switch u.Method {
	case "single":
		c.sizePatch(i)
	case "joined":
		u.Out, u.grown = c.settle(u)
		u.Excess = u.larger()
		// A half rectangle's blanks are rounded up on both sides and its corners are easily lost: it is always trimmed. Common practice.
		u.Trim = u.Trim || c.tipped(u) || u.Shape.Kind == unit.HalfRectangle || c.fit(i) && u.Shape.Kind.Trade() && rectangular(u) && !onlySquares(u.Shape.Kind)
	case "pairs":
		half, quarter := c.blankOver(u, halfSquareSide(u.side(), c.seam), i), c.blankOver(u, quarterSquareSide(u.side(), c.seam), i)
		e := half
		switch {
		case u.Mate >= 0:
			// Each kind of square reaches to one side of the last seam, which lies out of the middle by a quarter of what they differ.
			e = (half + quarter) / 2
			u.Trim = u.Trim || c.units[u.Mate].Trim || math.Abs(half-quarter) > c.ease
		case u.Shape.Kind == unit.Hourglass:
			e = quarter
		}
		u.Excess = [2]float64{e, e}
		u.Trim = u.Trim || c.fit(i)
	case "eights":
		e := c.blankOver(u, 2*halfSquareSide(u.side(), c.seam), i) / 2
		u.Excess = [2]float64{e, e}
		u.Trim = u.Trim || c.fit(i)
	case "fours":
		w := u.width()
		e := [2]float64{c.blankOver(u, quarterSquareSide(w, c.seam), i), c.blankOver(u, halfSquareSide(w/2, c.seam), i)}
		if u.Shape.Turn%180 != 0 {
			e[0], e[1] = e[1], e[0]
		}
		u.Excess = e
		u.Trim = u.Trim || c.fit(i)
	case "strip set":
		r, _ := c.row(i)
		sum := 0.0
		for _, w := range r.widths {
			x, _ := c.near(w + 2*c.seam)
			sum += x - w - 2*c.seam
		}
		u.Excess = [2]float64{sum, 0}
		if r.column {
			u.Excess = [2]float64{0, sum}
		}
	case "flips":
		lo, hi := u.Outline.Box()
		w, h := hi.X.Sub(lo.X).Float()+2*c.seam, hi.Y.Sub(lo.Y).Float()+2*c.seam
		W, _ := c.near(w)
		H, _ := c.near(h)
		u.Excess = [2]float64{W - w, H - h}
	}
	if u.Loose = u.Excess; u.Trim {
		u.Excess = [2]float64{}
	}
	if u.Trim || u.Method != "joined" && u.Method != "single" {
		u.Out = u.evenOut()
	}
}

// fit reports whether the writer wants unit i made large and trimmed.
func (c *chooser) fit(i int) bool {
	m := c.makes[i]
	if f, ok := m.FitBy[plural(c.units[i].Shape.Kind)]; ok {
		return f == "trim"
	}
	return m.Fit == "trim"
}

// plural is the word under which the document's make and fit name a kind.
func plural(k unit.Kind) string {
	switch k {
	case unit.HalfSquare:
		return "half squares"
	case unit.FlyingGeese:
		return "geese"
	case unit.SquareInSquare:
		return "square in square"
	}
	return string(k)
}

// blankOver is how much larger than exact the printed side of a batch's square is: up to the ruler's mark, and a mark
// more where the writer wants to trim.
func (c *chooser) blankOver(u *Unit, exact float64, i int) float64 {
	x := c.up(exact)
	if c.fit(i) {
		x += c.mark
	}
	return x - exact
}

func halfSquareSide(f, seam float64) float64 { return f + seam*(2+math.Sqrt2) }

func quarterSquareSide(f, seam float64) float64 { return f + seam*(2+2*math.Sqrt2) }

// onlySquares reports whether a kind has straight seams along the sides only, so that there is nothing to trim.
func onlySquares(k unit.Kind) bool {
	switch k {
	case unit.FourPatch, unit.NinePatch, unit.RailFence, unit.LogCabin, unit.CourthouseSteps:
		return true
	}
	return false
}

func rectangular(u *Unit) bool {
	lo, hi := u.Outline.Box()
	if len(u.Outline) != 4 {
		return false
	}
	w, h := hi.X.Sub(lo.X), hi.Y.Sub(lo.Y)
	return u.Outline.Area2().Equal(w.Mul(h).Add(w.Mul(h)))
}

// side is the finished side of a square unit.
func (u *Unit) side() float64 { _, hi := u.Outline.Box(); return hi.X.Float() }

// width is the finished width of the unit in its kind's own frame.
func (u *Unit) width() float64 {
	_, hi := u.Outline.Box()
	if u.Shape.Turn%180 != 0 {
		return hi.Y.Float()
	}
	return hi.X.Float()
}

// sizePatch finds the blank of a patch.
func (c *chooser) sizePatch(i int) {
	u := &c.units[i]
	fin := u.fin
	f := c.Doc.Fabrics[u.Leaf.Fabric]
	trimmed := c.trimmed[i]
	b, lie := c.single(fin, c.long[i], trimmed)
	setting := c.inSetting[i] && !c.centred[i]
	if setting && b.Shape == Template {
		if tri, ok := completed(fin); ok {
			u.tips = true
			b, lie = c.single(tri, true, true)
		}
		if whole, ok := c.squared(fin); ok {
			if s, l, ok := c.borderStrip(whole); ok {
				u.mitred, b, lie = true, s, l
				b, lie = c.settingStrip(u, whole, b, lie, f)
			}
		}
	}
	if setting && b.Shape == QuarterSquare {
		lie = b.flush(lie)
	}
	form := c.form(fin, c.long[i]).shape
	if form == Rectangle && u.Role == piecing.Patch && setting && (b.Shape == Rectangle || measured(u)) {
		b, lie = c.settingStrip(u, fin, b, lie, f)
	}
	if b.Shape == Template && form != Template && form != HalfRectangle {
		lo, hi := box(fin)
		var found diag.List
		found.Hintf(f.At, "between-marks", "a %s of fabric %s, %s by %s finished, falls between the marks of the ruler and is cut by a template", u.Shape.Kind, f.Letter,
			measure.FormatWith(hi.x-lo.x, c.unit), measure.FormatWith(hi.y-lo.y, c.unit)).Remedy = "a block size that is a whole number of the ruler's marks for each grid step needs none"
		u.between = &found[0]
	}
	if c.centred[i] {
		b, lie = c.onMotif(u, c.long[i], b, lie)
	}
	b.Fabric = u.Leaf.Fabric
	if f.Print != quilt.Plain {
		b, lie = c.direct(u, b, lie, f.Print)
	}
	if c.centred[i] {
		at := lie.back().apply(gravity(fin))
		b.Centred, b.Motif = true, [2]float64{tidy(at.x), tidy(at.y)}
	}
	u.Single, u.Lie = &b, lie
	u.Out = make([]float64, len(fin))
	if !b.Measured {
		raw := b.raw()
		for i := range raw {
			raw[i] = lie.apply(raw[i])
		}
		for k, p := range fin {
			if (u.tips || u.mitred) && !beside(raw, p, fin[(k+1)%len(fin)], c.seam) {
				continue // trimmed there
			}
			u.Out[k] = tidy(reach(raw, p, fin[(k+1)%len(fin)]) - c.seam)
		}
	}
	u.Excess = u.larger()
}

// completed is the right triangle with equal legs that a setting triangle is cut as, where the set leaves less of it: blocks that float
// inside the border, say, cut off its tips. It is trimmed when its row is sewn. False where there is none.
func completed(fin []pt) (tri []pt, ok bool) {
	n := len(fin)
	for c, p := range fin {
		x, y := fin[(c+1)%n].sub(p).unit(), fin[(c+n-1)%n].sub(p).unit() // the legs from the square corner
		if n < 4 || math.Abs(x.dot(y)) > 1e-9 {
			continue
		}
		h := y.sub(x).unit() // along the long side
		for k, q := range fin {
			if fin[(k+1)%n].sub(q).unit().sub(h).length() > 1e-9 {
				continue
			}
			leg := q.sub(p).dot(x) + q.sub(p).dot(y)
			tri = []pt{p, p.add(x.scale(leg)), p.add(y.scale(leg))}
			for _, v := range fin {
				a, b := v.sub(p).dot(x), v.sub(p).dot(y)
				if a < -1e-9 || b < -1e-9 || a+b > leg+1e-9 {
					return nil, false
				}
			}
			return tri, true
		}
	}
	return nil, false
}

// squared is the rectangle that the strip of a border with mitred corners is cut as, less the seams round it: a patch whose ends run out at 45
// degrees from its one long side to the other. False for anything else.
func (c *chooser) squared(fin []pt) (whole []pt, ok bool) {
	if len(fin) != 4 {
		return nil, false
	}
	for k, p := range fin {
		q, r, s := fin[(k+1)%4], fin[(k+2)%4], fin[(k+3)%4]
		d := q.sub(p).unit()
		in := d.right()
		deep := r.sub(q).dot(in)
		if r.sub(q).sub(in.sub(d).scale(deep)).length() > 1e-9 || s.sub(p).sub(in.add(d).scale(deep)).length() > 1e-9 {
			continue
		}
		by := d.scale(c.seam * math.Sqrt2) // the raw ends run on past the seam
		return []pt{p.sub(by), q.add(by), q.add(by).add(in.scale(deep)), p.sub(by).add(in.scale(deep))}, true
	}
	return nil, false
}

// borderStrip is the blank of a strip whose ends are trimmed: as wide as a strip is cut, and as long as the ruler's next mark.
func (c *chooser) borderStrip(whole []pt) (Blank, move, bool) {
	f := c.form(whole, false)
	b := Blank{Shape: f.shape, Exact: [2]float64{f.w, f.h}, Each: 1, Turnable: true, Grain: "either", Trimmed: true, Height: c.up(f.h)}
	ok := false
	b.Width, ok = c.near(f.w)
	return b, shift(f.base, -(b.Width-f.w)/2, -(b.Height-f.h)/2), ok
}

// tipped reports whether a part of the unit is a setting triangle whose tips pass the unit, or the strip of a mitred border that is sewn to
// another one first.
func (c *chooser) tipped(u *Unit) bool {
	return slices.ContainsFunc(u.Parts, func(p piecing.Part) bool { return c.units[p.Unit].tips || c.units[p.Unit].mitred && !u.frame() })
}

// frame reports whether a unit is a piece with a mitred border round it.
func (u *Unit) frame() bool {
	return u.Role >= piecing.Setting && slices.ContainsFunc(u.Joins, func(j piecing.Join) bool { return j.Kind == piecing.SetIn })
}

// beside reports whether a raw edge lies about a seam out of the finished edge from a to b.
func beside(raw []pt, a, b pt, seam float64) bool {
	d := b.sub(a).unit()
	for i, p := range raw {
		e := raw[(i+1)%len(raw)].sub(p).unit()
		if e.dot(d) > 1-1e-6 && math.Abs(p.sub(a).dot(e.right().scale(-1))-seam) < seam {
			return true
		}
	}
	return false
}

// reach is how far out of the finished edge from a to b the raw edge beside it lies, where it lies farthest. Where the outline turns
// inward several raw edges run alike; the nearest is beside it.
func reach(raw []pt, a, b pt) float64 {
	d := b.sub(a).unit()
	best, out := math.Inf(-1), math.Inf(1)
	for i, p := range raw {
		e := raw[(i+1)%len(raw)].sub(p).unit()
		along := e.dot(d)
		if along < best-1e-9 {
			continue
		}
		away := e.right().scale(-1)
		if far := math.Max(p.sub(a).dot(away), p.sub(b).dot(away)); along > best+1e-9 || math.Abs(far) < math.Abs(out) {
			best, out = along, far
		}
	}
	return out
}

// uses finds, for every patch, whether everything that it is sewn into is trimmed before anything is sewn to it, and whether it is
// a part of the setting: sashing, a post, a border.
func (c *chooser) uses() {
	c.trimmed, c.inSetting = make([]bool, len(c.units)), make([]bool, len(c.units))
	whole := make([]bool, len(c.units)) // sewn into something that is not trimmed
	for k := range c.units {
		u := &c.units[k]
		sewn, trims := u.Made && u.Method == "joined", u.Shape.Kind == unit.HalfRectangle
		for _, p := range u.Parts {
			c.trimmed[p.Unit] = c.trimmed[p.Unit] || sewn && trims
			whole[p.Unit] = whole[p.Unit] || sewn && !trims
			c.inSetting[p.Unit] = c.inSetting[p.Unit] || u.Role >= piecing.Setting
		}
	}
	// Two triangles of a half rectangle are both exact, or both generous: else their long sides do not run alike.
	for again := true; again; {
		again = false
		for k := range c.units {
			u := &c.units[k]
			if !u.Made || u.Method != "joined" || u.Shape.Kind != unit.HalfRectangle {
				continue
			}
			exact := slices.ContainsFunc(u.Parts, func(p piecing.Part) bool { return whole[p.Unit] || c.byTemplate(p.Unit) })
			for _, p := range u.Parts {
				again = again || exact && !whole[p.Unit]
				whole[p.Unit] = whole[p.Unit] || exact
			}
		}
	}
	for i := range whole {
		c.trimmed[i] = c.trimmed[i] && !whole[i]
	}
}

// byTemplate reports whether a triangle of a half rectangle is cut by a template, for its print or a motif.
func (c *chooser) byTemplate(i int) bool {
	u := &c.units[i]
	if u.Leaf == nil || c.centred[i] {
		return u.Leaf != nil
	}
	print := c.Doc.Fabrics[u.Leaf.Fabric].Print
	if print == quilt.Plain {
		return false
	}
	b, lie := c.single(u.fin, c.long[i], true)
	b, _ = c.direct(u, b, lie, print)
	return b.Shape == Template
}

// measured reports whether a strip has a length that no ruler shows.
func measured(u *Unit) bool {
	lo, hi := u.Outline.Box()
	return !hi.X.Sub(lo.X).IsRational() || !hi.Y.Sub(lo.Y).IsRational()
}

// settingStrip is the blank of a strip of sashing or a border, of finished outline fin before its ends are trimmed: joined from several where it is longer than the cloth is
// wide, and cut to a length measured through one's own top where no ruler shows the exact length.
func (c *chooser) settingStrip(u *Unit, fin []pt, b Blank, lie move, f quilt.Fabric) (Blank, move) {
	if measured(u) {
		b.Measured = true
		form := c.form(fin, false)
		b.Shape, b.Outline, lie = Rectangle, nil, form.base
		b.Exact, b.Width, b.Height = [2]float64{form.w, form.h}, form.w, form.h
		if w, ok := c.near(form.w); ok {
			b.Width = w
			lie = shift(lie, -(w-form.w)/2, 0)
		}
	}
	if b.Height > c.Doc.Longest(f).Float()+1e-9 {
		b.Shape, b.Joined, b.Grain = JoinedStrip, true, "across"
	}
	return b, lie
}

// direct turns the piece's frame so that its height runs with the print. Pieces of one blank that would have their prints turned,
// and shapes that the strip cannot hold to the print, are cut one by one with a template.
func (c *chooser) direct(u *Unit, b Blank, lie move, print quilt.Print) (Blank, move) {
	up := turned(float64(u.Leaf.Up), pt{}).turnOnly(pt{0, -1})
	in := lie.back().turnOnly(up) // where the print points in the piece's frame
	deg := int(math.Round(math.Atan2(in.x, -in.y)*180/math.Pi)+360) % 360
	if print == quilt.TwoWay {
		deg %= 180
	}
	askew := deg%90 != 0
	switch {
	case (b.Shape == Rectangle || b.Shape == JoinedStrip) && !askew:
		// A rectangle is named by the print: its height runs with it.
		turn := turned(float64(deg), pt{})
		lo, _ := box([]pt{turn.back().apply(pt{}), turn.back().apply(pt{b.Width, b.Height}), turn.back().apply(pt{b.Width, 0}), turn.back().apply(pt{0, b.Height})})
		turn.t = turn.turnOnly(lo)
		if deg%180 != 0 {
			b.Width, b.Height = b.Height, b.Width
			b.Exact[0], b.Exact[1] = b.Exact[1], b.Exact[0]
		}
		lie = turn.then(lie)
	case b.Shape == HalfSquare && print == quilt.TwoWay && !askew:
		b.Up = deg // of a square, which may be laid either way before it is cut corner to corner
	case b.Shape == HalfRectangle && print == quilt.TwoWay && deg == 0, b.Shape == Parallelogram && deg == 0:
	default:
		b, lie = c.template(u.fin, up.right())
		b.Fabric = u.Leaf.Fabric
	}
	b.Directed, b.Turnable, b.Grain = true, false, "along"
	return b, lie
}

// trims marks what has to be trimmed so that no seam has to ease more than the ease and no block grows by more than it:
// it reports whether it marked anything new. What is trimmed are units of the trade that come out large.
func (c *chooser) trims() bool {
	for i := range c.units {
		u := &c.units[i]
		// Blocks meet many others in the top, where what each is too large adds up: they come out exact to half the ease.
		block := u.Role == piecing.Block && math.Max(u.Excess[0], u.Excess[1]) > c.ease/2+1e-9
		if block && u.Made && u.Method != "joined" && !u.Trim && c.trimTrade(i) {
			return true
		}
		if !u.Made || u.Method != "joined" || u.Trim || len(u.Parts) > 64 || c.fits[i] {
			continue
		}
		uneven := c.ease
		if u.Shape.Kind.Trade() && !onlySquares(u.Shape.Kind) { // its points are lost from both ends of an edge
			uneven /= 2
		}
		// What is sewn beside blocks of a top is exact, and eases in what they add up to.
		if u.Role >= piecing.Setting && math.Max(u.Excess[0], u.Excess[1]) > c.ease+1e-9 && c.trimTrade(i) {
			return true
		}
		bad := block || math.Max(u.Excess[0], u.Excess[1]) > 2*c.ease+1e-9 || u.uneven > uneven+1e-9
		for _, j := range u.Joins {
			bad = bad || c.differ(u, j) > 2*c.ease+1e-9
		}
		if bad && (c.trimTrade(i) || c.trimWhole(i)) {
			return true // what is larger may come right by it
		}
		c.fits[i] = !bad
	}
	return false
}

// differ is how much the two sides of a seam differ in length, where they run along all of it.
func (c *chooser) differ(u *Unit, j piecing.Join) float64 {
	from, to := float(j.Seam.A), float(j.Seam.B)
	var grow [2]float64
	for side, k := range [2]int{j.A, j.B} {
		e := c.edgeAt(u.Parts[k], from, to)
		if e < 0 {
			return 0
		}
		v := &c.units[u.Parts[k].Unit]
		fin := v.fin
		if l := fin[(e+1)%len(fin)].sub(fin[e]).length(); math.Abs(l-to.sub(from).length()) > 1e-9 {
			return 0
		}
		raw := offset(fin, v.Out)
		grow[side] = raw[(e+1)%len(raw)].sub(raw[e]).length() - to.sub(from).length()
	}
	return math.Abs(grow[0] - grow[1])
}

// trimTrade marks the units of the trade under unit i that come out large.
func (c *chooser) trimTrade(i int) bool {
	u := &c.units[i]
	if u.Leaf != nil || !u.Made || u.Trim {
		return false
	}
	if u.large() && rectangular(u) && u.Shape.Kind.Trade() && !onlySquares(u.Shape.Kind) {
		u.Trim = true
		if u.Mate >= 0 {
			c.units[u.Mate].Trim = true
		}
		return true
	}
	marked := false
	for _, p := range u.Parts {
		marked = c.trimTrade(p.Unit) || marked
	}
	return marked
}

// trimWhole marks the parts of unit i that come out large, or unit i itself where none can be trimmed.
func (c *chooser) trimWhole(i int) bool {
	marked := false
	try := func(k int) bool {
		u := &c.units[k]
		if u.Leaf != nil || !u.Made || u.Trim || !u.large() || u.Method != "joined" || !rectangular(u) && u.Role != piecing.Setting {
			return false
		}
		u.Trim = true
		return true
	}
	// What is large within a part is trimmed before it, so that its seams come right and not only its edges.
	var within func(k int) bool
	within = func(k int) bool {
		if u := &c.units[k]; u.Leaf != nil || !u.Made || u.Trim || !u.large() || u.Method != "joined" {
			return false
		}
		deeper := false
		for _, p := range c.units[k].Parts {
			deeper = within(p.Unit) || deeper
		}
		return deeper || try(k)
	}
	for _, p := range c.units[i].Parts {
		marked = within(p.Unit) || marked
	}
	return marked || try(i)
}

func (u *Unit) large() bool { return math.Max(u.Excess[0], u.Excess[1]) > 1e-9 }

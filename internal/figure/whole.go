package figure

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"

	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
	"quiltwright/internal/scene"
	"quiltwright/internal/words"
)

// Quilt is the whole top without words, at most w wide and h high.
func (d *Drawer) Quilt(w, h scene.Pt) scene.Drawing {
	return d.once(request{what: "quilt", w: w, h: h}, func() scene.Drawing { return d.drawQuilt(w, h) })
}

func (d *Drawer) drawQuilt(w, h scene.Pt) scene.Drawing {
	c := d.topCanvas(w, h)
	if c == nil {
		return scene.Drawing{}
	}
	d.drawTop(c)
	return c.drawing(d.say.AltQuilt())
}

func (d *Drawer) topCanvas(w, h scene.Pt) *canvas {
	fw, fh := float64(d.p.Finished.Width), float64(d.p.Finished.Height)
	if fw <= 0 || fh <= 0 || w <= 4 || h <= 4 {
		return nil
	}
	return &canvas{scale: math.Min(float64(w-3)/fw, float64(h-3)/fh)}
}

// drawTop draws every patch of the top as the document draws it.
func (d *Drawer) drawTop(c *canvas) {
	of := map[string][]*plan.Drawn{}
	for i := range d.p.Drawn {
		of[d.p.Drawn[i].Of] = append(of[d.p.Drawn[i].Of], &d.p.Drawn[i])
	}
	// Lines stay thin against small patches: a quilt is its colours.
	width := scene.Pt(math.Max(0.12, math.Min(float64(outlineWidth), c.scale*0.04)))
	draw := func(ds []*plan.Drawn) {
		for _, k := range ds {
			c.polygon(chorded(k.Outline), d.Look(k.Fabric), width)
		}
	}
	draw(of["top"])
	for _, p := range d.p.Placed {
		c.view = placedPose(p)
		draw(of["block "+p.Block])
	}
	c.view = plan.Pose{}
	c.add(c.path(rectangle(float64(d.p.Finished.Width), float64(d.p.Finished.Height))).Stroked(scene.Ink, 0.8))
}

func placedPose(p plan.Placed) plan.Pose { return p.Pose() }

// Layout is the top with its rows and columns numbered, and on every block the number of its kind in
// a ring that points to the block's up. It is at most w wide and h high.
func (d *Drawer) Layout(w, h scene.Pt) scene.Drawing {
	return d.once(request{what: "layout", w: w, h: h}, func() scene.Drawing { return d.drawLayout(w, h) })
}

func (d *Drawer) drawLayout(w, h scene.Pt) scene.Drawing {
	const edge = 18
	c := d.topCanvas(w-edge, h-edge)
	if c == nil {
		return scene.Drawing{}
	}
	d.drawTop(c)
	number := map[string]int{}
	for i, b := range d.p.Blocks {
		number[b.ID] = i + 1
	}
	rows, columns := map[int][]float64{}, map[int][]float64{}
	for _, p := range d.p.Placed {
		b := d.blocks[p.Block]
		if b == nil {
			continue
		}
		m := placedPose(p)
		heart := pt{float64(b.Finished.Width) / 2, float64(b.Finished.Height) / 2}
		at := flat.Apply(m, heart)
		up := flat.Sub(flat.Apply(m, flat.Sub(heart, pt{0, 1})), at)
		rows[p.Row], columns[p.Column] = append(rows[p.Row], at[1]), append(columns[p.Column], at[0])
		q := c.at(at)
		r := math.Max(5.6, math.Min(7.2, 0.26*c.scale*math.Min(float64(b.Finished.Width), float64(b.Finished.Height))))
		side := square(up)
		put := func(k, s float64) scene.Point {
			return scene.Point{X: q.X + scene.Pt(up[0]*k+side[0]*s), Y: q.Y + scene.Pt(up[1]*k+side[1]*s)}
		}
		tip := scene.Polygon(put(1.7*r, 0), put(0.66*r, 0.7*r), put(0.66*r, -0.7*r))
		c.add(tip.Filled(scene.White).Stroked(scene.Ink, 1.1), scene.Circle(q, scene.Pt(r)).Filled(scene.White).Stroked(scene.Ink, 0.55), tip.Filled(scene.White))
		c.write(q, labelSize, scene.Bold, scene.Ink, itoa(number[p.Block]))
	}
	for _, r := range numbers(rows) {
		q := c.at(pt{0, mean(rows[r])})
		c.write(scene.Point{X: -10, Y: q.Y}, labelSize, scene.Body, scene.Grey, itoa(r))
	}
	for _, k := range numbers(columns) {
		q := c.at(pt{mean(columns[k]), 0})
		c.write(scene.Point{X: q.X, Y: -9}, labelSize, scene.Body, scene.Grey, itoa(k))
	}
	return c.drawing(d.say.AltLayout())
}

func numbers(m map[int][]float64) []int {
	var out []int
	for n := range m {
		out = append(out, n)
	}
	sort.Ints(out)
	return out
}

func mean(xs []float64) float64 {
	sum := 0.0
	for _, x := range xs {
		sum += x
	}
	return sum / float64(len(xs))
}

// Block is a block as the document draws it, its longer side so long. Each patch that is large
// enough carries the letter of its fabric, so that the drawing reads without colour.
func (d *Drawer) Block(id string, size scene.Pt) scene.Drawing {
	return d.once(request{what: "block", of: id, w: size}, func() scene.Drawing { return d.drawBlock(id, size) })
}

func (d *Drawer) drawBlock(id string, size scene.Pt) scene.Drawing {
	b := d.blocks[id]
	if b == nil || b.Finished.Width <= 0 || b.Finished.Height <= 0 {
		return scene.Drawing{}
	}
	c := &canvas{scale: float64(size-3) / math.Max(float64(b.Finished.Width), float64(b.Finished.Height))}
	var letters []string
	seen := map[string]bool{}
	for i := range d.p.Drawn {
		if k := &d.p.Drawn[i]; k.Of == "block "+id {
			c.polygon(chorded(k.Outline), d.Look(k.Fabric), outlineWidth)
			if !seen[k.Fabric] {
				seen[k.Fabric] = true
				letters = append(letters, k.Fabric)
			}
		}
	}
	for i := range d.p.Drawn {
		k := &d.p.Drawn[i]
		if k.Of != "block "+id {
			continue
		}
		ps := chorded(k.Outline)
		if at, ok := c.place(ps, nil, nil, labelSize, k.Fabric); ok {
			color := d.color(k.Fabric)
			c.write(at, smallSize, scene.Body, on(color).Mix(color, 0.25), k.Fabric)
		}
		if k.Up != nil {
			d.drawUp(c, ps, float64(*k.Up), d.color(k.Fabric))
		}
	}
	sort.Strings(letters)
	return c.drawing(d.say.AltBlock(b, letters))
}

// drawUp is a small pointer that shows where the print of a patch points, where there is room.
func (d *Drawer) drawUp(c *canvas, ps []pt, up float64, color scene.Color) {
	at, ok := c.place(ps, nil, nil, smallSize, "m")
	if !ok {
		return
	}
	s, k := math.Sincos(up * math.Pi / 180)
	dir := flat.Apply(plan.Pose{Turn: c.view.Turn, Mirror: c.view.Mirror}, pt{s, -k})
	from := scene.Point{X: at.X - scene.Pt(dir[0]*5), Y: at.Y - scene.Pt(dir[1]*5)}
	to := scene.Point{X: at.X + scene.Pt(dir[0]*5), Y: at.Y + scene.Pt(dir[1]*5)}
	c.add(scene.Arrow(from, to, 3.5, on(color), 0.6))
	c.reserve(at, 5)
}

// Unit is a sewn unit as it looks finished, at a scale in points, with the pressing of its seams
// where pressing is true.
func (d *Drawer) Unit(id string, scale float64, pressing bool) scene.Drawing {
	u := d.units[id]
	if u == nil {
		return scene.Drawing{}
	}
	c := &canvas{scale: scale}
	for _, q := range d.patches(id, plan.Pose{}) {
		c.polygon(q.outline, d.Look(q.fabric), outlineWidth)
	}
	if pressing {
		for _, j := range u.Joins {
			d.drawJoinPressing(c, u, j)
		}
	}
	return c.drawing(d.say.AltUnit(u))
}

// Chip is a square of a fabric's colour with its letter.
func (d *Drawer) Chip(letter string, size scene.Pt) scene.Drawing {
	color := d.color(letter)
	out := scene.Drawing{W: size, H: size, Alt: d.say.Fabric(letter)}
	out.Add(d.Look(letter).Fill(scene.Rect(0.3, 0.3, size-0.6, size-0.6)).Stroked(scene.Ink, 0.6))
	if size >= 14 {
		out.Add(scene.Label(scene.Point{X: size / 2, Y: size/2 + smallSize*scene.CapHeight/2}, smallSize, scene.Bold, on(color), scene.Middle, letter))
	}
	return out
}

// Strip is one kind of strip of a fabric with what is cut from it, among all strips of the fabric or, unless month is 0, those of a
// month; w wide where the strip is the longest of them: one scale for each fabric. Blanks are numbered in the order in which they are cut, with letters in a
// segment that is cut again; those that lie a quarter turn round have a bent arrow; those cut on a diagonal show it dashed, what is trimmed off is outlined beside them; where two layers are cut at a time the fold is drawn; a
// strip along the selvage has an arrow; about motifs, each has its circle; what is left is dashed and named; several strips alike are drawn once with their number.
func (d *Drawer) Strip(f *plan.Fabric, month, i int, w scene.Pt) scene.Drawing {
	return d.once(request{what: "strip", of: fmt.Sprintf("%s %d", f.Letter, month), n: i, w: w}, func() scene.Drawing { return d.drawStrip(f, f.StripsOf(month), i, w) })
}

func (d *Drawer) drawStrip(f *plan.Fabric, strips []plan.Strip, i int, w scene.Pt) scene.Drawing {
	const tail = 26 // room for "× 12"
	longest, several := float64(f.Width), false
	for _, s := range strips {
		longest = math.Max(longest, float64(s.Length))
		several = several || s.Count > 1
	}
	s := &strips[i]
	if several {
		w -= tail
	}
	if longest <= 0 || s.Height <= 0 || w <= 0 {
		return scene.Drawing{}
	}
	c := &canvas{scale: float64(w) / longest}
	if down, first, is := d.say.Row(s); is {
		d.drawRow(c, f, s, pt{float64(first), float64(down)})
		return d.alike(c, f, s, float64(s.Length))
	}
	x, h := 0.0, float64(s.Height)
	groups := s.Segments()
	run := func(i, many int, numbered bool) {
		g := groups[i]
		wide := float64(max(g[0].Width, g[0].Row))
		if numbered && many > 0 && (len(groups) > 1 || len(plan.Runs(g)) > 1) { // in which order it is cut
			d.number(c, pt{x + wide/2, 0}, i)
		}
		if k := g[0]; k.Row > 0 {
			d.drawEndToEnd(c, f.Letter, k, pt{x, 0})
			x += float64(k.Row)
			return
		}
		parts := plan.Runs(g)
		for copied := range many {
			y := 0.0
			for n, run := range parts {
				mark := ""
				if len(parts) > 1 && copied == 0 {
					mark = d.say.CutMark(i, n)
				}
				for _, k := range run {
					high := h
					if len(g) > 1 {
						high = float64(k.Height)
					}
					place := pt{wide, high}
					size := d.laid(k, s.Along == "length", place)
					if size != place {
						c.add(c.path(oblong(pt{x, y}, place)).Stroked(scene.Soft, 0.7).Dashed(3, 2)) // what is trimmed off
					}
					d.drawBlank(c, f.Letter, k, pt{x, y}, size, mark)
					y, mark = y+high, ""
				}
			}
			if h-y > 1e-6 {
				d.drawLeft(c, pt{x, y}, pt{wide, h - y}, nil)
			}
			x += wide
		}
	}
	edge := func(from float64) {
		if x > from {
			c.add(c.path([]pt{{from, 0}, {x, 0}, {x, h}, {from, h}}).Stroked(scene.Ink, outlineWidth))
		}
	}
	left := func(lines ...[2]pt) {
		if s.Left > 1e-6 {
			d.drawLeft(c, pt{x, 0}, pt{float64(s.Left), h}, lines)
			x += float64(s.Left)
		}
	}
	if d.say.Fold(s) == words.Folded {
		// From either selvage the same, two layers at a time; what stands once and what is left lie at the fold.
		for i, g := range groups {
			run(i, g[0].Count/2, true)
		}
		for i, g := range groups {
			run(i, g[0].Count%2, g[0].Count == 1)
		}
		edge(0)
		middle := float64(s.Length) / 2
		left([2]pt{{middle, 0}, {middle, h}})
		from := x
		for i := len(groups) - 1; i >= 0; i-- {
			run(i, groups[i][0].Count/2, false)
		}
		edge(from)
		d.drawFold(c, middle, h)
	} else {
		for i, g := range groups {
			run(i, g[0].Count, true)
		}
		edge(0)
		left()
	}
	if s.Along == "length" { // other strips run from selvage to selvage
		a, b := c.at(pt{0, h}), c.at(pt{x, h})
		y := a.Y + 5
		c.add(scene.Arrow(scene.Point{X: a.X, Y: y}, scene.Point{X: b.X, Y: y}, 4, scene.Grey, 0.6),
			scene.Label(scene.Point{X: (a.X + b.X) / 2, Y: y + smallSize + 2}, smallSize, scene.Body, scene.Grey, scene.Middle, d.say.AlongMark()))
	}
	return d.alike(c, f, s, x)
}

// number writes above a strip which of its runs this is.
func (d *Drawer) number(c *canvas, at pt, run int) {
	q := c.at(at)
	c.add(scene.Label(scene.Point{X: q.X, Y: q.Y - 2.5}, smallSize, scene.Body, scene.Grey, scene.Middle, d.say.CutMark(run, -1)))
}

// alike ends the drawing of a strip, x long, with how many are cut alike.
func (d *Drawer) alike(c *canvas, f *plan.Fabric, s *plan.Strip, x float64) scene.Drawing {
	if s.Count > 1 {
		q := c.at(pt{x, float64(s.Height) / 2})
		c.add(scene.Label(scene.Point{X: q.X + 5, Y: q.Y + labelSize*scene.CapHeight/2}, labelSize, scene.Bold, scene.Ink, scene.Left, d.say.Alike(s.Count)))
	}
	return c.drawing(d.say.AltStrip(f, s))
}

// drawRow draws a strip about a row of motifs, of which the first that is cut stands at a place: the blanks about them, and the circle that holds each motif,
// or the edges of each stripe.
func (d *Drawer) drawRow(c *canvas, f *plan.Fabric, s *plan.Strip, at pt) {
	h, long := float64(s.Height), float64(s.Length)
	c.add(c.path(oblong(pt{}, pt{long, h})).Stroked(scene.Soft, 0.7).Dashed(3, 2))
	x, runs, last := 0.0, 0, ""
	several := slices.ContainsFunc(s.Cuts, func(k plan.Cuts) bool { return k.Label != s.Cuts[0].Label })
	for _, k := range s.Cuts {
		if several && k.Label != last {
			d.number(c, pt{x + float64(k.Width)/2, 0}, runs)
			runs, last = runs+1, k.Label
		}
		for range k.Count {
			place := pt{float64(k.Width), h}
			d.drawBlank(c, f.Letter, k, pt{x, float64(d.say.Drop(s, k))}, d.laid(k, false, place), "")
			x += float64(k.Width + k.Gap)
		}
	}
	across, r := float64(f.Motif.Every[0]), float64(f.Motif.Size)/2
	if across == 0 {
		d.stripe(c, pt{0, at[1] - r}, pt{long, at[1] - r})
		d.stripe(c, pt{0, at[1] + r}, pt{long, at[1] + r})
		return
	}
	for m := at[0]; m < long; m += across {
		if f.Motif.Every[1] == 0 {
			d.stripe(c, pt{m - r, 0}, pt{m - r, h})
			d.stripe(c, pt{m + r, 0}, pt{m + r, h})
			continue
		}
		if q := c.at(pt{m, at[1]}); m+r < long {
			o := scene.Circle(q, scene.Pt(r*c.scale))
			c.add(o.Stroked(scene.White, 1.4), o.Stroked(scene.Ember, 0.7).Dashed(2, 1.5)) // white: it is seen on cloth of any colour
		}
	}
}

// stripe draws an edge of a stripe, down a strip or along it, but for where it would run through a text.
func (d *Drawer) stripe(c *canvas, a, b pt) {
	from, to := c.at(a), c.at(b)
	way := scene.Point{X: 1}
	if from.X == to.X {
		way = scene.Point{Y: 1}
	}
	along := func(p scene.Point) scene.Pt { return p.X*way.X + p.Y*way.Y }
	across := func(p scene.Point) scene.Pt { return p.X*way.Y + p.Y*way.X }
	through := slices.DeleteFunc(slices.Clone(c.texts), func(t textBox) bool { return across(from) < across(t.lo) || across(from) > across(t.hi) })
	slices.SortFunc(through, func(s, t textBox) int { return cmp.Compare(along(s.lo), along(t.lo)) })
	piece := func(low, high scene.Pt) {
		if high-low > 1 {
			l := scene.Line(scene.Point{X: from.X + (low-along(from))*way.X, Y: from.Y + (low-along(from))*way.Y}, scene.Point{X: from.X + (high-along(from))*way.X, Y: from.Y + (high-along(from))*way.Y})
			c.add(l.Stroked(scene.White, 1.4), l.Stroked(scene.Ember, 0.7).Dashed(2, 1.5))
		}
	}
	next := along(from)
	for _, t := range through {
		piece(next, along(t.lo))
		next = max(next, along(t.hi))
	}
	piece(next, along(to))
}

// drawFold draws where a strip is folded.
func (d *Drawer) drawFold(c *canvas, x, h float64) {
	const past = 4 // beyond the strip
	a, b := c.at(pt{x, 0}), c.at(pt{x, h})
	a.Y, b.Y = a.Y-past, b.Y+past
	c.add(scene.Line(a, b).Stroked(scene.Ember, 0.8).Dashed(5, 2, 1, 2),
		scene.Label(scene.Point{X: b.X, Y: b.Y + smallSize}, smallSize, scene.Body, scene.Ember, scene.Middle, d.say.FoldMark()))
}

// laid is how wide and high a blank lies in its place of a strip: less than that where it is trimmed.
func (d *Drawer) laid(k plan.Cuts, along bool, place pt) pt {
	p := d.pieces[k.Label]
	if p == nil || p.Measured || p.JoinedFrom > 1 || p.Shape == "parallelogram" {
		return place
	}
	size := pt{float64(p.Width), float64(p.Height)}
	if k.Turned != along {
		size[0], size[1] = size[1], size[0]
	}
	return pt{math.Min(size[0], place[0]), math.Min(size[1], place[1])}
}

// drawBlank draws a blank at a place of a strip, with the mark that says when it is cut, or none.
func (d *Drawer) drawBlank(c *canvas, fabric string, k plan.Cuts, at, size pt, mark string) {
	color := d.color(fabric)
	cell := oblong(at, size)
	c.add(d.Look(fabric).Fill(c.path(cell)).Stroked(on(color).Mix(color, 0.45), 0.5))
	lines := d.diagonals(k, cell)
	for _, l := range lines {
		c.add(scene.Line(c.at(l[0]), c.at(l[1])).Stroked(on(color).Mix(color, 0.3), 0.6).Dashed(3, 2))
	}
	corners := c.paper(cell)
	lo, hi := flat.Box(corners)
	if mark != "" {
		c.write(scene.Point{X: scene.Pt(lo[0]) + 1.5 + scene.Width(scene.Body, smallSize, mark)/2, Y: scene.Pt(lo[1]) + 1.5 + smallSize/2}, smallSize, scene.Body, on(color), mark)
	}
	for _, high := range []scene.Pt{labelSize, smallSize} {
		if q, ok := c.place(cell, nil, lines, high, k.Label); ok && c.write(q, high, scene.Bold, on(color), k.Label) {
			break
		}
	}
	if !d.say.Turned(&k) {
		return
	}
	const r, in = 3.2, 5.4 // half of the mark, and how far in from the corner its middle is
	for _, q := range []pt{{hi[0] - in, lo[1] + in}, {hi[0] - in, hi[1] - in}, {lo[0] + in, hi[1] - in}, {lo[0] + in, lo[1] + in}} {
		p := scene.Point{X: scene.Pt(q[0]), Y: scene.Pt(q[1])}
		room := textBox{scene.Point{X: p.X - r, Y: p.Y - r}, scene.Point{X: p.X + r, Y: p.Y + r}}
		if hi[0]-lo[0] > in+r && hi[1]-lo[1] > in+r && c.free(room) {
			c.texts = append(c.texts, room)
			c.add(TurnedMark(p, on(color))...)
			return
		}
	}
}

// TurnedMark is the mark of what lies a quarter turn round, a bent arrow with its middle at p.
func TurnedMark(p scene.Point, color scene.Color) []scene.Item {
	from, r := scene.Point{X: p.X - 2.4, Y: p.Y + 2.6}, scene.Pt(4.4)
	tip := scene.Point{X: from.X + r, Y: from.Y - r}
	return []scene.Item{scene.Arc(scene.Point{X: tip.X, Y: from.Y}, r, 180, 270).Stroked(color, 0.8),
		scene.Polygon(scene.Point{X: tip.X + 1.6, Y: tip.Y}, scene.Point{X: tip.X - 1.4, Y: tip.Y - 1.7}, scene.Point{X: tip.X - 1.4, Y: tip.Y + 1.7}).Filled(color)}
}

// drawEndToEnd draws a row of pieces end to end from a place of a strip.
func (d *Drawer) drawEndToEnd(c *canvas, fabric string, k plan.Cuts, at pt) {
	color := d.color(fabric)
	p := d.pieces[k.Label]
	if p == nil || k.Count > 256 {
		return
	}
	raw := flat.Raw(p)
	for _, n := range flat.Row(raw, k.Count, k.Round) {
		cell := n.Of(raw)
		for i := range cell {
			cell[i] = flat.Add(at, cell[i])
		}
		c.add(d.Look(fabric).Fill(c.path(cell)).Stroked(on(color).Mix(color, 0.45), 0.5))
		for _, high := range []scene.Pt{labelSize, smallSize} {
			if q, ok := c.place(cell, nil, nil, high, k.Label); ok && c.write(q, high, scene.Bold, on(color), k.Label) {
				break
			}
		}
	}
}

// oblong is a rectangle at a place.
func oblong(at, size pt) []pt {
	return []pt{at, {at[0] + size[0], at[1]}, flat.Add(at, size), {at[0], at[1] + size[1]}}
}

// drawLeft draws what is left over at a place of a strip; what it says stands off the lines.
func (d *Drawer) drawLeft(c *canvas, at, size pt, lines [][2]pt) {
	left := oblong(at, size)
	c.add(c.path(left).Stroked(scene.Soft, 0.7).Dashed(3, 2))
	for _, says := range []string{d.say.LeftBox(plan.Num(size[0]), plan.Num(size[1])), d.say.Length(plan.Num(size[0]))} {
		if q, ok := c.place(left, nil, lines, smallSize, says); ok && c.write(q, smallSize, scene.Body, scene.Grey, says) {
			break
		}
	}
}

// diagonals are where a blank is cut once or twice corner to corner.
func (d *Drawer) diagonals(k plan.Cuts, cell []pt) [][2]pt {
	p := d.pieces[k.Label]
	if p == nil {
		return nil
	}
	falling, rising := [2]pt{cell[0], cell[2]}, [2]pt{cell[3], cell[1]}
	switch {
	case p.Shape == "half square":
		return [][2]pt{rising}
	case p.Shape == "quarter square":
		return [][2]pt{falling, rising}
	case p.Shape == "half rectangle" && (p.Hand == "R") != k.Turned:
		return [][2]pt{falling}
	case p.Shape == "half rectangle":
		return [][2]pt{rising}
	}
	return nil
}

package draft

import (
	"errors"
	"fmt"
	"slices"

	"quiltwright/internal/diag"
	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
)

// plot is a block drawn by lines, in grid steps: what its text says before any size, recolouring or print.
type plot struct {
	faces  []face
	broken bool
}

// face is one patch on the grid.
type face struct {
	outline plane.Polygon
	letter  string // "" where no fill reaches it: the block is broken then
	at      diag.Pos
}

// line is a line of a block: one of the writer's own, or an image of it by the symmetry.
type line struct {
	plane.Segment
	run, step int    // which run, and which of its segments
	by        motion // what carried the writer's own here
}

// drawLines draws a block of lines at a size.
func (d *Drafter) drawLines(out *drawing, def *quilt.Block, w, h exact.Num, recolor map[string]string, up plane.Turn) {
	p := d.plot(def)
	out.broken = p.broken
	scaleX, scaleY := steps(w, def.Columns), steps(h, def.Rows)
	out.patches = make([]Patch, 0, len(p.faces))
	corners := 0
	for _, f := range p.faces {
		corners += len(f.outline)
	}
	all := make([]plane.Point, 0, corners)
	for _, f := range p.faces {
		if f.letter == "" {
			continue
		}
		from := len(all)
		for _, v := range f.outline {
			all = append(all, plane.Pt(scaleX(v.X), scaleY(v.Y)))
		}
		d.patch(out, plane.Polygon(all[from:len(all):len(all)]), swap(recolor, f.letter), up, f.at)
	}
}

// upright reports whether a polygon is a rectangle with its sides along the axes. Most patches of large blocks are, and need no
// closer look in many places. Equal numbers too large for the quick comparison make it say no, which is safe.
func upright(pg plane.Polygon) bool {
	if len(pg) != 4 {
		return false
	}
	a, b, c, d := pg[0], pg[1], pg[2], pg[3]
	return a.Y == b.Y && b.X == c.X && c.Y == d.Y && d.X == a.X || a.X == b.X && b.Y == c.Y && c.X == d.X && d.Y == a.Y
}

// steps returns the function from grid steps to lengths. Grid lines proper are looked up: a large block has many patches and
// few of them.
func steps(size exact.Num, grid int) func(exact.Num) exact.Num {
	step := size.Div(exact.Int(int64(grid)))
	table := make([]exact.Num, grid+1)
	for i := range table {
		table[i] = step.Mul(exact.Int(int64(i)))
	}
	return func(x exact.Num) exact.Num {
		if n, den, ok := x.Rat(); ok && den == 1 && n >= 0 && n <= int64(grid) {
			return table[n]
		}
		return x.Mul(step)
	}
}

// firstLines returns the lines to take apart first, in finished measure.
func firstLines(def *quilt.Block, w, h exact.Num) []plane.Segment {
	if !def.Drawn() || len(def.First) == 0 {
		return nil
	}
	x, y := steps(w, def.Columns), steps(h, def.Rows)
	var out []plane.Segment
	for _, run := range def.First {
		for i := 1; i < len(run.Points); i++ {
			a, b := run.Points[i-1], run.Points[i]
			out = append(out, plane.Segment{A: plane.Pt(x(a.X), y(a.Y)), B: plane.Pt(x(b.X), y(b.Y))})
		}
	}
	return out
}

// arrows returns which way seams are pressed, in finished measure.
func arrows(def *quilt.Block, w, h exact.Num) []Arrow {
	if def.Width.Sign() <= 0 || !def.Drawn() && def.Cells == nil {
		return nil
	}
	out := make([]Arrow, len(def.Press))
	for i, a := range def.Press {
		out[i] = Arrow{At: a.At, From: def.Laid(a.From, w, h), To: def.Laid(a.To, w, h), Open: a.Open, Spun: a.Spun}
	}
	return out
}

// plot draws a block on its grid, once, and reports what is wrong with it.
func (d *Drafter) plot(def *quilt.Block) *plot {
	if known := d.plots[def]; known != nil {
		return known
	}
	p := &plot{}
	d.plots[def] = p
	motions := group(def.Symmetry)
	w, h := exact.Int(int64(def.Columns)), exact.Int(int64(def.Rows))
	lines := allLines(def, motions, w, h)
	segments := make([]plane.Segment, len(lines))
	for i, l := range lines {
		segments[i] = l.Segment
	}
	cut, err := plane.Arrange(w, h, segments)
	if err != nil {
		p.broken = true
		d.reportArrange(def, err)
	}
	d.reportLoose(def, lines, cut.Loose, w, h, p)
	if len(cut.Faces) > MaxPatches {
		p.broken = true
		d.report(diag.Finding{Code: "too-many-patches", At: def.At, Block: def.Name,
			Says: fmt.Sprintf("the lines of “%s” make %d patches; the most is %d", def.Name, len(cut.Faces), MaxPatches)})
		return p
	}
	p.faces = make([]face, len(cut.Faces))
	for i, f := range cut.Faces {
		p.faces[i].outline = f
		if !upright(f) {
			p.faces[i].outline = f.Simplify()
		}
	}
	d.fill(def, motions, w, h, p)
	return p
}

// allLines returns the writer's lines and then their images.
func allLines(def *quilt.Block, motions []motion, w, h exact.Num) []line {
	var out []line
	for _, by := range motions {
		for r, run := range def.Lines {
			for i := 1; i < len(run.Points); i++ {
				a, b := by.apply(run.Points[i-1], w, h), by.apply(run.Points[i], w, h)
				out = append(out, line{plane.Segment{A: a, B: b}, r, i, by})
			}
		}
	}
	return out
}

// reportArrange reports what plane.Arrange could not do.
func (d *Drafter) reportArrange(def *quilt.Block, err error) {
	f := diag.Finding{Code: "lines", At: def.At, Block: def.Name, Says: fmt.Sprintf("“%s” cannot be drawn: %v", def.Name, err)}
	var where *plane.Error
	if errors.As(err, &where) {
		f.Point = spot(where.At)
		f.Says = fmt.Sprintf("“%s” cannot be drawn: %s, at %s", def.Name, where.Says, gridPoint(where.At))
		for _, run := range def.Lines { // where it is written, if it is the writer's own point
			if i := slices.IndexFunc(run.Points, where.At.Equal); i >= 0 {
				f.At = placeOf(run, i)
				break
			}
		}
		f.Remedy = "carry a line on until it meets another, or draw one from there to the outline of the patch"
	}
	d.report(f)
}

// reportLoose reports each loose end once, in the coordinates of the writer's own line: its images hang loose alike.
func (d *Drafter) reportLoose(def *quilt.Block, lines []line, loose []plane.Loose, w, h exact.Num, p *plot) {
	said := map[string]bool{}
	for _, end := range loose {
		p.broken = true
		own := lines[end.Segment]
		at := own.by.inverse().apply(end.At, w, h)
		if said[gridPoint(at)] {
			continue
		}
		said[gridPoint(at)] = true
		run := def.Lines[own.run]
		from, place := own.step-1, own.step
		if run.Points[from].Equal(at) {
			from, place = place, from
		}
		f := diag.Finding{Code: "loose-end", At: placeOf(run, place), Block: def.Name, Point: spot(at),
			Says: fmt.Sprintf("the line from %s ends at %s inside a patch and divides nothing there", gridPoint(run.Points[from]), gridPoint(at))}
		on, back := extend(run.Points[from], at, lines, w, h)
		f.Remedy = fmt.Sprintf("carry it on to %s", gridPoint(on))
		if back != nil {
			f.Remedy += fmt.Sprintf(", or end it at %s", gridPoint(*back))
		}
		d.report(f)
	}
}

func placeOf(run quilt.Run, i int) diag.Pos {
	if i < len(run.Places) {
		return firstOf(run.Places[i], run.At)
	}
	return run.At
}

// extend looks along the line from a through its loose end b. It returns where the line would first meet another or the
// side of the rectangle if it were carried on, and where it last meets one before b, past a; nil where it meets none.
func extend(a, b plane.Point, lines []line, w, h exact.Num) (on plane.Point, back *plane.Point) {
	along := b.Sub(a)
	one := exact.Int(1)
	var ahead, behind *exact.Num // in lengths of a to b, from a: the least above 1, the greatest between 0 and 1
	look := func(s plane.Segment) {
		side := s.B.Sub(s.A)
		cross := along.X.Mul(side.Y).Sub(along.Y.Mul(side.X))
		if cross.IsZero() {
			return
		}
		gap := s.A.Sub(a)
		t := gap.X.Mul(side.Y).Sub(gap.Y.Mul(side.X)).Div(cross)
		u := gap.X.Mul(along.Y).Sub(gap.Y.Mul(along.X)).Div(cross) // along s
		if u.Sign() < 0 || one.Less(u) {
			return
		}
		if one.Less(t) && (ahead == nil || t.Less(*ahead)) {
			ahead = &t
		}
		if t.Sign() > 0 && t.Less(one) && (behind == nil || behind.Less(t)) {
			behind = &t
		}
	}
	for _, l := range lines {
		look(l.Segment)
	}
	for _, s := range plane.Rectangle(w, h).Edges() {
		look(s)
	}
	at := func(t exact.Num) plane.Point { return plane.Pt(a.X.Add(along.X.Mul(t)), a.Y.Add(along.Y.Mul(t))) }
	if behind != nil {
		p := at(*behind)
		back = &p
	}
	if ahead == nil { // b lies on the side already: it would not be loose
		return b, back
	}
	return at(*ahead), back
}

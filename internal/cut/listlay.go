package cut

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"quiltwright/internal/diag"
	"quiltwright/internal/guillotine"
	"quiltwright/internal/measure"
	"quiltwright/internal/method"
	"quiltwright/internal/plan"
)

// ListRules are how a list is laid.
type ListRules struct {
	Width  float64    // usable, of the bolt
	Sheet  [2]float64 // width and length of the sheets; zero: from the bolt
	Stages int        // 2 or 3
	Fixed  bool       // nothing turns
	Effort guillotine.Effort
}

// inSheets says whether sheets are cut.
func (r ListRules) inSheets() bool { return r.Sheet[0] > 0 }

// ListFabric is a fabric of a list as it is laid.
type ListFabric struct {
	plan.Fabric
	SheetsBound int     // no layout by the same rules takes fewer sheets
	Alike       []Alike // sheets cut alike, in the order of Strips
}

// Alike is Count sheets cut alike, and how many entries of the strips are theirs.
type Alike struct{ Count, Strips int }

// mostBlanks is how many blanks a list may have in all.
const mostBlanks = 100_000

// LayList lays a list, each fabric on cloth of its own, in the order in which the list names them. A blank that fits no way is an
// error at its line that says what would fit; with one of those nothing is laid. A size off the grid of 1/64 in (1/10 mm)
// is laid as the next larger one, which is a hint.
func LayList(l List, rules ListRules) ([]ListFabric, diag.List) {
	var found diag.List
	g := grid{step: 1.0 / 64}
	if l.Unit == measure.Centimetre {
		g.step = 0.01
	}
	total := 0
	var lines []Line
	for _, x := range l.Lines {
		if rules.Fixed && x.TurnAt.IsZero() {
			x.Turn = false
		}
		lines = append(lines, x.parts(l.Unit, rules)...)
	}
	l.Lines = lines
	for i := range l.Lines {
		x := &l.Lines[i]
		total += x.Count
		if rules.Fixed && x.Turn && !x.TurnAt.IsZero() && x.Width != x.Height {
			found.Errorf(x.TurnAt, "grain", "%s may turn here, but the grain is fixed for all", x.Label).Remedy = "write no, or leave --grain fixed away"
		}
		if rules.Fixed {
			x.Turn = false
		}
		fitsList(x, l.Unit, rules, &found)
		sides := []float64{x.Width, x.Height}
		if x.run > 0 {
			sides = sides[1:] // a row may end anywhere
		}
		for _, side := range sides {
			if near := float64(g.up(side)) * g.step; math.Abs(near-side) > 1e-6 {
				found.Hintf(x.At, "grid", "%s of %s is laid as %s", measure.FormatWith(side, l.Unit), x.Label, measure.FormatWith(near, l.Unit))
			}
		}
	}
	if total > mostBlanks {
		found.Errorf(diag.Pos{}, "count", "the list has %d blanks; up to %d are laid", total, mostBlanks).Remedy = "divide the list"
	}
	if found.HasErrors() {
		return nil, found
	}
	var out []ListFabric
	for _, x := range l.Lines {
		if slices.ContainsFunc(out, func(f ListFabric) bool { return f.Letter == x.Fabric }) {
			continue
		}
		s := sheaf{unit: l.Unit, rules: rules, grid: g}
		for _, y := range l.Lines {
			if y.Fabric == x.Fabric {
				s.lines = append(s.lines, y)
				if y.run > 0 {
					s.rows, s.rules.Stages = true, 2 // a row is cut from its strip
				}
				s.items = append(s.items, guillotine.Item{W: g.up(y.Width), H: g.up(y.Height), Count: y.Count, Turn: y.Turn})
			}
		}
		f, err := s.lay()
		if err != nil {
			found.Errorf(x.At, "cloth", "fabric %s cannot be laid out: %v", x.Fabric, err)
			continue
		}
		if s.shelves {
			found.Hintf(x.At, "kinds", "fabric %s has %d kinds, too many to search: the layout is one of strips filled from high to low", x.Fabric, len(s.lines))
		}
		if slices.ContainsFunc(f.Strips, func(st plan.Strip) bool { return len(st.Segments()) < len(st.Cuts) }) {
			f.Stages = 3
		}
		out = append(out, f)
	}
	return out, found
}

// parts are the blanks that a line is cut from: of a joined strip longer than the cloth is wide those that are joined, of a bias strip the
// square that gives it. Seams are as deep as is usual.
func (x Line) parts(unit measure.Unit, rules ListRules) []Line {
	seams := Rules{Unit: unit, Ruler: 1.0 / 8, Seam: 0.25, Diagonal: x.Diagonal}
	if unit == measure.Centimetre {
		seams.Ruler, seams.Seam = 0.1, 0.75
	}
	long, wide := math.Max(x.Width, x.Height), math.Min(x.Width, x.Height)
	if outline := x.outline(); outline != nil {
		if r, ok := rowOf(outline); ok {
			return x.rows(r, rules)
		}
	}
	switch {
	case x.Shape == biasStrip:
		square, _ := seams.biasSquare(long, wide)
		x.Width, x.Height = square, square
	case x.Shape == method.JoinedStrip && !rules.inSheets() && long > rules.Width && rules.Width > math.Max(wide, 2*seams.Seam):
		var out []Line
		for _, b := range bits(Blank{Label: x.Label, Width: wide, Height: long, Months: []int{x.Count}, Joined: true}, Cloth{Width: rules.Width}, seams, map[string]int{}) {
			one := x
			one.Width, one.Height, one.Count, one.Turn = b.w, b.h, b.count, false
			out = append(out, one)
		}
		return out
	}
	return []Line{x}
}

// rows are the rows that a line of pieces with slanted ends is cut from: as many in each as the cloth is wide. Where they may not nest, for every second
// one would lie half a turn round, and on sheets, each is the rectangle that holds it.
func (x Line) rows(r row, rules ListRules) []Line {
	if rules.inSheets() || r.round && !x.Turn {
		x.Width = r.of(1)
		return []Line{x}
	}
	most := max(1, r.most(rules.Width))
	run := func(n, count int) Line {
		one := x
		one.Width, one.Count, one.Turn, one.run, one.row, one.piece = r.of(n), count, false, n, r, [2]float64{x.Width, x.Height}
		return one
	}
	var out []Line
	if n := x.Count / most; n > 0 {
		out = append(out, run(most, n))
	}
	if n := x.Count % most; n > 0 {
		out = append(out, run(n, 1))
	}
	return out
}

// outline is that of a piece with slanted ends, its two other sides along the strip; nil of any other.
func (x Line) outline() [][2]float64 {
	w, h := x.Width, x.Height
	sin, cos := math.Sincos(x.Angle * math.Pi / 180)
	switch x.Shape {
	case method.Parallelogram, diamond:
		lean, base := h*cos/sin, w/sin
		return [][2]float64{{lean, 0}, {lean + base, 0}, {base, h}, {0, h}}
	case trapezoid:
		lean := math.Min(h*cos/sin, w/2)
		return [][2]float64{{lean, 0}, {w - lean, 0}, {w, h}, {0, h}}
	case triangle60, "equilateral", "equilateral triangle", "60 degree triangle":
		return [][2]float64{{w / 2, 0}, {w, h}, {0, h}}
	}
	return nil
}

// Shapes of a list that a document has no word for.
const (
	diamond    = "diamond"
	trapezoid  = "trapezoid"
	triangle60 = "triangle 60"
)

// biasStrip is the shape of a strip cut on the bias, in a list.
const biasStrip = "bias strip"

// fitsList finds a blank that fits no way, and says what would.
func fitsList(x *Line, unit measure.Unit, rules ListRules, found *diag.List) {
	in := func(v float64) string { return measure.FormatWith(v, unit) }
	size := fmt.Sprintf("%s of %s by %s", x.Label, measure.Format(x.Width, unit), in(x.Height))
	if rules.inSheets() {
		w, h := rules.Sheet[0], rules.Sheet[1]
		fits := func(a, b float64) bool { return a <= w+1e-9 && b <= h+1e-9 }
		if fits(x.Width, x.Height) || x.Turn && fits(x.Height, x.Width) {
			return
		}
		e := found.Errorf(x.At, "too-wide", "%s does not fit on sheets of %s by %s", size, measure.Format(w, unit), in(h))
		e.Remedy = fmt.Sprintf("sheets of at least %s by %s would hold it, or join it from smaller blanks", measure.Format(x.Width, unit), in(x.Height))
		if !x.Turn && fits(x.Height, x.Width) {
			e.Remedy = "it would fit if it may turn, or on sheets of at least " + measure.Format(x.Width, unit) + " by " + in(x.Height)
		}
		return
	}
	if x.Width <= rules.Width+1e-9 || x.Turn && x.Height <= rules.Width+1e-9 {
		return
	}
	least := x.Width
	if x.Turn {
		least = math.Min(x.Width, x.Height)
		e := found.Errorf(x.At, "too-wide", "%s does not fit across %s either way", size, in(rules.Width))
		e.Remedy = "cloth at least " + in(least) + " wide would hold it, or join it from narrower blanks"
		return
	}
	e := found.Errorf(x.At, "too-wide", "%s does not fit across %s, and may not turn", size, in(rules.Width))
	e.Remedy = "cloth at least " + in(least) + " wide would hold it, or join it from narrower blanks"
	if x.Height <= rules.Width+1e-9 {
		e.Remedy = "it would fit if it may turn; or cloth at least " + in(least) + " wide would hold it"
	}
}

// sheaf is the lines of one fabric.
type sheaf struct {
	unit    measure.Unit
	rules   ListRules
	grid    grid
	lines   []Line
	items   []guillotine.Item
	shelves bool
	rows    bool // some lie end to end
}

// length is so many steps of the grid.
func (s *sheaf) length(steps int64) plan.Num { return plan.Num(float64(steps) * s.grid.step) }

func (s *sheaf) lay() (ListFabric, error) {
	out := ListFabric{Fabric: plan.Fabric{Letter: s.lines[0].Fabric, Name: s.lines[0].Name, Width: plan.Num(s.rules.Width), Stages: 2, Layout: []plan.Stock{}, Strips: []plan.Strip{}}}
	out.Rules = rulesSay(s.rules.Stages, s.rules.inSheets(), slices.ContainsFunc(s.lines, func(x Line) bool { return x.Turn && x.Width != x.Height }))
	if s.rows {
		out.Rules += inRows
	}
	if s.rules.inSheets() {
		err := s.onSheets(&out)
		return out, err
	}
	got, err := guillotine.Lay(guillotine.Problem{Width: s.grid.down(s.rules.Width), Items: s.items, Stages: s.rules.Stages, Effort: s.rules.Effort})
	if err != nil {
		return out, err
	}
	s.shelves = got.Shelves
	out.Length, out.Bound, out.Optimal = s.length(got.Length), s.length(got.Bound), got.Optimal
	width := s.grid.down(s.rules.Width)
	for _, st := range got.Strips {
		for range st.Count {
			n := s.strip(st, width, false)
			out.Layout = append(out.Layout, plan.Stock{Stock: "bolt", Cut: "across", At: s.length(st.Height), First: &n})
		}
		out.Strips = append(out.Strips, s.read(st, width, false))
	}
	amount, unit := Rules{Unit: s.unit}.shop(float64(out.Length))
	out.Buy.Amount, out.Buy.Unit = plan.Num(amount), unit
	return out, nil
}

func (s *sheaf) onSheets(out *ListFabric) error {
	size := [2]int64{s.grid.down(s.rules.Sheet[0]), s.grid.down(s.rules.Sheet[1])}
	got, err := guillotine.LaySheets(guillotine.SheetProblem{Width: size[0], Length: size[1], Items: s.items, Stages: s.rules.Stages, Effort: s.rules.Effort})
	var wide *guillotine.TooWide
	if errors.As(err, &wide) {
		return fmt.Errorf("%s is larger than a sheet", s.lines[wide.Item].Label)
	}
	if err != nil {
		return err
	}
	out.Width = plan.Num(s.rules.Sheet[0])
	out.Sheets, out.SheetsBound, out.Optimal = got.Count, got.Bound, got.Optimal
	out.Buy.Amount, out.Buy.Unit = plan.Num(got.Count), "sheet"
	of := [2]plan.Num{plan.Num(s.rules.Sheet[0]), plan.Num(s.rules.Sheet[1])}
	for _, sh := range got.Sheets {
		across, along := size[0], size[1]
		if sh.Along {
			across, along = along, across
		}
		for range sh.Count {
			n := plan.Node{Width: s.length(across), Height: s.length(along), Cut: "across"}
			for _, st := range sh.Strips {
				for range st.Count {
					n.Parts = append(n.Parts, s.strip(st, across, sh.Along))
				}
			}
			n.Parts = withLeft(n.Parts, float64(n.Width), float64(s.length(sh.Left)))
			stock := plan.Stock{Stock: "sheet", Cut: "across", At: of[1]}
			if sh.Along {
				n, stock.Cut = flip(n), "along"
			}
			stock.First = &n
			out.Layout = append(out.Layout, stock)
		}
		out.Alike = append(out.Alike, Alike{Count: sh.Count, Strips: len(sh.Strips)})
		for _, st := range sh.Strips {
			x := s.read(st, across, sh.Along)
			x.Count *= sh.Count
			x.From, x.Of = "sheet", &of
			out.Strips = append(out.Strips, x)
		}
	}
	return nil
}

// strip is a strip lying across, cut into segments, and each of those into what lies in it.
func (s *sheaf) strip(st guillotine.Strip, width int64, along bool) plan.Node {
	n := plan.Node{Width: s.length(width), Height: s.length(st.Height), Cut: "along"}
	for _, c := range st.Cuts {
		for range c.Count {
			n.Parts = append(n.Parts, s.segment(c, st.Height, along))
		}
	}
	n.Parts = withLeft(n.Parts, float64(s.length(st.Left)), float64(n.Height))
	return n
}

func (s *sheaf) segment(c guillotine.Cut, height int64, along bool) plan.Node {
	n := plan.Node{Width: s.length(c.Width), Height: s.length(height), Cut: "across"}
	left := height
	for _, p := range c.Parts {
		w, h := s.size(p, along)
		if x := s.lines[p.Item]; x.run > 0 {
			n.Parts = append(n.Parts, s.nested(x, n.Width, s.length(h)))
			left -= h
			continue
		}
		for range p.Count {
			x := plan.Node{Width: s.length(w), Height: s.length(h), Piece: s.lines[p.Item].Label, Month: 1, Turned: p.Turned}
			if w < c.Width {
				parts := withLeft([]plan.Node{x}, float64(s.length(c.Width-w)), float64(x.Height))
				x = plan.Node{Width: n.Width, Height: x.Height, Cut: "along", Parts: parts}
			}
			n.Parts = append(n.Parts, x)
			left -= h
		}
	}
	if len(n.Parts) == 1 && left == 0 {
		return n.Parts[0]
	}
	n.Parts = withLeft(n.Parts, float64(n.Width), float64(s.length(left)))
	return n
}

// nested is a row of pieces end to end.
func (s *sheaf) nested(x Line, w, h plan.Num) plan.Node {
	n := plan.Node{Width: w, Height: h, Cut: "nested"}
	for i := range x.run {
		n.Parts = append(n.Parts, plan.Node{Width: plan.Num(x.piece[0]), Height: plan.Num(x.piece[1]), Piece: x.Label, Month: 1, Round: x.row.turned(i, x.run)})
	}
	return n
}

// size is how wide and high a part lies in its strip.
func (s *sheaf) size(p guillotine.Part, along bool) (w, h int64) {
	w, h = s.items[p.Item].W, s.items[p.Item].H
	if p.Turned != along {
		w, h = h, w
	}
	return w, h
}

// read is a strip as a person cuts it.
func (s *sheaf) read(st guillotine.Strip, width int64, along bool) plan.Strip {
	out := plan.Strip{Along: "width", Height: s.length(st.Height), Length: s.length(width), Count: st.Count, Left: s.length(st.Left)}
	if along {
		out.Along = "length"
	}
	for _, c := range st.Cuts {
		first := len(out.Cuts)
		if x := s.lines[c.Parts[0].Item]; x.run > 0 {
			out.Cuts = append(out.Cuts, plan.Cuts{Label: x.Label, Count: c.Count * x.run, Width: plan.Num(x.piece[0]), Row: plan.Num(c.Count) * s.length(c.Width), Round: x.row.round && x.run > 1})
			continue
		}
		for _, p := range c.Parts {
			for range p.Count {
				_, h := s.size(p, along)
				out.Cuts = append(out.Cuts, plan.Cuts{Label: s.lines[p.Item].Label, Count: c.Count, Turned: p.Turned, Width: s.length(c.Width), Height: s.length(h), Below: len(out.Cuts) > first})
			}
		}
		if len(out.Cuts) == first+1 {
			out.Cuts[first].Height = 0 // it is as high as the strip, or trimmed
		}
	}
	return out
}

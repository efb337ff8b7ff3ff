// Command gen writes the sample plans beside it: star.json (four geese at a time, rows, blocks, a
// top) and units.json (pairs, an hourglass from pairs, flips, a strip set, a goose from triangles, a
// partial seam). The recipes are written out by hand from docs/plan.md, apart from the engine.
package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"

	. "quiltwright/internal/plan"
)

type pt struct{ x, y float64 }

func (p pt) plan() Point { return Point{n(p.x), n(p.y)} }

func n(x float64) Num { return Num(math.Round(x*1e6) / 1e6) }

func line(a, b pt) *[2]Point { return &[2]Point{a.plan(), b.plan()} }

// m is a motion: where the unit vectors and the origin go.
type m struct{ u, v, t pt }

func (a m) do(p pt) pt { return pt{a.t.x + a.u.x*p.x + a.v.x*p.y, a.t.y + a.u.y*p.x + a.v.y*p.y} }
func (a m) dir(p pt) pt {
	return pt{a.u.x*p.x + a.v.x*p.y, a.u.y*p.x + a.v.y*p.y}
}
func (a m) then(b m) m { return m{b.dir(a.u), b.dir(a.v), b.do(a.t)} }
func (a m) back() m {
	inv := m{pt{a.u.x, a.v.x}, pt{a.u.y, a.v.y}, pt{}}
	t := inv.dir(a.t)
	inv.t = pt{-t.x, -t.y}
	return inv
}
func turn(deg, x, y float64) m {
	s, c := math.Sincos(deg * math.Pi / 180)
	return m{pt{c, s}, pt{-s, c}, pt{x, y}}
}
func over(a, b pt) m {
	l := math.Hypot(b.x-a.x, b.y-a.y)
	d := pt{(b.x - a.x) / l, (b.y - a.y) / l}
	r := m{pt{2*d.x*d.x - 1, 2 * d.x * d.y}, pt{2 * d.x * d.y, 2*d.y*d.y - 1}, pt{}}
	q := r.dir(a)
	r.t = pt{a.x - q.x, a.y - q.y}
	return r
}
func (a m) pose() Pose {
	p := Pose{At: a.t.plan()}
	u := a.u
	if a.u.x*a.v.y-a.u.y*a.v.x < 0 {
		p.Mirror = true
		u = pt{-u.x, -u.y}
	}
	d := math.Atan2(u.y, u.x) * 180 / math.Pi
	p.Turn = n(math.Mod(d+360, 360))
	if p.Turn == 360 {
		p.Turn = 0
	}
	return p
}

const s = 0.25

type prog struct{ ops []Op }

func (p *prog) lay(part, on int, a m) {
	q := a.pose()
	p.ops = append(p.ops, Op{Op: "lay", Part: part, Work: on, At: &q.At, Turn: q.Turn, Face: "down"})
}
func (p *prog) mark(w int, a, b pt) { p.ops = append(p.ops, Op{Op: "mark", Work: w, Line: line(a, b)}) }
func (p *prog) stitch(w int, a, b pt, off float64) {
	p.ops = append(p.ops, Op{Op: "stitch", Work: w, Along: line(a, b), Offset: Num(off)})
}
func (p *prog) cut(w int, a, b pt) { p.ops = append(p.ops, Op{Op: "cut", Work: w, Line: line(a, b)}) }
func (p *prog) press(w, seam, toward int) {
	op := Op{Op: "press", Work: w, Seam: seam}
	if toward >= 0 {
		op.Toward = &toward
	}
	p.ops = append(p.ops, op)
}
func (p *prog) trim(w int, a, b pt) {
	p.ops = append(p.ops, Op{Op: "trim", Work: w, To: []Point{a.plan(), {n(b.x), n(a.y)}, b.plan(), {n(a.x), n(b.y)}}})
}
func down(x, y float64) m { return m{pt{-1, 0}, pt{0, 1}, pt{x, y}} }

type b struct {
	Plan
	pieces map[string]int
}

func (p *b) piece(q Piece) {
	q.Yields = q.Cut * q.Each
	q.Months = []PieceMonth{{1, q.Cut}}
	p.Pieces = append(p.Pieces, q)
}

func outline(ps ...float64) (vs []Vertex) {
	for i := 0; i < len(ps); i += 2 {
		vs = append(vs, Vertex{X: n(ps[i]), Y: n(ps[i+1])})
	}
	return vs
}
func rect(w, h float64) []Vertex { return outline(0, 0, w, 0, w, h, 0, h) }

func (p *b) unit(u Unit) { u.Key = fmt.Sprintf("%08x", len(p.Units)); p.Units = append(p.Units, u) }
func (p *b) find(id string) *Unit {
	for i := range p.Units {
		if p.Units[i].ID == id {
			return &p.Units[i]
		}
	}
	panic(id)
}

func (p *b) patch(id, fabric, piece string, out []Vertex, lie m, made int) {
	q := lie.pose()
	u := Unit{ID: id, Kind: "patch", Outline: out, Fabric: fabric, Piece: piece, Lie: &q, Needed: made, Made: made}
	var w, h Num
	for _, v := range out {
		w, h = max(w, v.X), max(h, v.Y)
	}
	u.Size = Size{w, h}
	p.unit(u)
}

func part(unit string, x, y, t float64) Part {
	return Part{Unit: unit, At: Point{n(x), n(y)}, Turn: n(t)}
}
func join(a, bb int, x0, y0, x1, y1 float64, press string) Join {
	return Join{Parts: [2]int{a, bb}, Kind: "straight", Seam: [2]Point{{n(x0), n(y0)}, {n(x1), n(y1)}}, Press: press, Top: bb}
}

// joined writes the recipe of a unit from its parts and joins, with a lay, a stitch and a press each.
func (p *b) joined(u Unit, recipe string, batches int, lies map[string]m) {
	u.Recipe = recipe
	p.unit(u)
	var from []From
	poses := make([]m, len(u.Parts))
	for i, q := range u.Parts {
		x := p.find(q.Unit)
		pose := turn(float64(q.Turn), float64(q.At[0]), float64(q.At[1]))
		if x.Piece != "" {
			from = append(from, From{Piece: x.Piece, Count: 1})
			l := x.Lie
			pose = turn(float64(l.Turn), float64(l.At[0]), float64(l.At[1])).then(pose)
		} else {
			from = append(from, From{Unit: x.ID, Count: 1})
		}
		poses[i] = pose
	}
	var pr prog
	lead := make([]int, len(poses))
	for i := range lead {
		lead[i] = i
	}
	var stopped pt // where a partial seam is left open
	for j, q := range u.Joins {
		a, c := pt{float64(q.Seam[0][0]), float64(q.Seam[0][1])}, pt{float64(q.Seam[1][0]), float64(q.Seam[1][1])}
		lo, hi := lead[q.Parts[0]], lead[q.Parts[1]]
		if lo > hi {
			lo, hi = hi, lo
		}
		in := poses[lo].back()
		fold := lo == hi
		if !fold {
			pr.lay(hi, lo, poses[hi].then(over(a, c)).then(in))
			for i := range lead {
				if lead[i] == hi {
					lead[i] = lo
				}
			}
		}
		along := line(in.do(a), in.do(c))
		partial := q.Kind == "partial" && !fold
		if partial {
			stopped = pt{(a.x + c.x) / 2, (a.y + c.y) / 2}
			along = line(in.do(a), in.do(stopped))
		} else if fold {
			along = line(in.do(stopped), in.do(c))
		}
		pr.ops = append(pr.ops, Op{Op: "stitch", Work: lo, Along: along, Allowance: s, Partial: partial, Fold: fold})
		toward := -1
		fmt.Sscanf(q.Press, "toward %d", &toward)
		pr.press(lo, j, toward)
	}
	p.Recipes = append(p.Recipes, Recipe{ID: recipe, Method: "joined", Unit: u.ID, Batches: batches, Makes: []Makes{{u.ID, 1}}, From: from, Do: pr.ops,
		Gives: []Gives{{0, u.ID, poses[0].pose()}}, Months: []BatchMonth{{1, batches}}})
}

func (p *b) step(recipe, stage string, first, last int, makes int, w, h float64) {
	for _, r := range p.Recipes {
		if r.ID == recipe {
			st := Step{Month: 1, Chain: len(p.Steps) + 1, Stage: stage, Unit: r.Unit, Recipe: recipe, First: first, Last: last, Count: r.Batches, Makes: makes, Out: 0.03125}
			if last < 0 {
				st.Last = len(r.Do) - 1
			}
			if w > 0 {
				st.Size = &[2]Num{n(w), n(h)}
			}
			p.Steps = append(p.Steps, st)
		}
	}
}

func fabrics() []Fabric {
	mk := func(l, name, color, value string) Fabric {
		return Fabric{Letter: l, Name: name, Color: color, Value: value, Print: "plain", Width: 40, Rules: "two stages, turning"}
	}
	return []Fabric{mk("A", "Fog", "#e8e3d6", "light"), mk("B", "Slate", "#45505c", "dark"), mk("C", "Ember", "#c8502b", "medium")}
}

// goose is the unit of three patches, w by w/2, the goose first.
func goose(id string) Unit {
	return Unit{ID: id, Kind: "flying geese", Outline: rect(4, 2), Size: Size{4, 2},
		Parts: []Part{part("goose", 0, 0, 0), part("sky", 0, 0, 0), part("sky", 4, 0, 90)},
		Joins: []Join{join(0, 1, 0, 2, 2, 0, "toward 1"), join(0, 2, 2, 0, 4, 2, "toward 2")}}
}

func fours(recipe, unit, big, small string, batches int) Recipe {
	const W, q = 5.25, 2.875
	var p prog
	p.lay(1, 0, down(q, 0))
	p.lay(2, 0, down(W, W-q))
	p.mark(0, pt{0, 0}, pt{W, W})
	p.stitch(0, pt{0, 0}, pt{W, W}, s)
	p.stitch(0, pt{0, 0}, pt{W, W}, -s)
	p.cut(0, pt{0, 0}, pt{W, W})
	p.press(0, 1, 1)
	p.press(5, 0, 1)
	p.lay(3, 0, down(W, 0))
	p.mark(0, pt{W, 0}, pt{W - q, q})
	p.stitch(0, pt{W, 0}, pt{0, W}, s)
	p.stitch(0, pt{W, 0}, pt{0, W}, -s)
	p.cut(0, pt{W, 0}, pt{0, W})
	p.press(6, 2, 3)
	p.press(0, 3, 3)
	p.lay(4, 5, down(q, W-q))
	p.mark(5, pt{0, W}, pt{q, W - q})
	p.stitch(5, pt{0, W}, pt{W, 0}, s)
	p.stitch(5, pt{0, W}, pt{W, 0}, -s)
	p.cut(5, pt{0, W}, pt{W, 0})
	p.press(7, 4, 4)
	p.press(5, 5, 4)
	d := s * math.Sqrt2
	r := q - d
	give := func(w int, lo, hi pt, deg float64) Gives {
		a := turn(deg, 0, 0)
		c := a.do(pt{(lo.x + hi.x) / 2, (lo.y + hi.y) / 2})
		a.t = pt{2 - c.x, 1 - c.y}
		return Gives{w, unit, a.pose()}
	}
	return Recipe{ID: recipe, Method: "fours", Unit: unit, Batches: batches, Makes: []Makes{{unit, 4}}, From: []From{{Piece: big, Count: 1}, {Piece: small, Count: 4}}, Do: p.ops,
		Gives:  []Gives{give(0, pt{W - r, d}, pt{W, W - d}, 90), give(6, pt{d, 0}, pt{W - d, r}, 180), give(5, pt{0, d}, pt{r, W - d}, 270), give(7, pt{d, W - r}, pt{W - d, W}, 0)},
		Months: []BatchMonth{{1, batches}}}
}

func pairs(recipe, unit, a, c string, w, f float64, batches int, trim bool) Recipe {
	var p prog
	p.lay(1, 0, down(w, 0))
	p.mark(0, pt{w, 0}, pt{0, w})
	p.stitch(0, pt{w, 0}, pt{0, w}, s)
	p.stitch(0, pt{w, 0}, pt{0, w}, -s)
	p.cut(0, pt{w, 0}, pt{0, w})
	p.press(2, 0, 1)
	p.press(0, 1, 1)
	d := s * math.Sqrt2
	lo2, hi2, lo0, hi0 := pt{0, 0}, pt{w - d, w - d}, pt{d, d}, pt{w, w}
	if trim {
		c2, c0 := (w-d)/2, (w+d)/2
		h := f/2 + s
		lo2, hi2, lo0, hi0 = pt{c2 - h, c2 - h}, pt{c2 + h, c2 + h}, pt{c0 - h, c0 - h}, pt{c0 + h, c0 + h}
		p.trim(2, lo2, hi2)
		p.trim(0, lo0, hi0)
	}
	g := func(work int, lo, hi pt, deg float64) Gives {
		a := turn(deg, 0, 0)
		c := a.do(pt{(lo.x + hi.x) / 2, (lo.y + hi.y) / 2})
		a.t = pt{f/2 - c.x, f/2 - c.y}
		return Gives{work, unit, a.pose()}
	}
	from := []From{{Piece: a, Count: 1}, {Piece: c, Count: 1}}
	return Recipe{ID: recipe, Method: "pairs", Unit: unit, Batches: batches, Makes: []Makes{{unit, 2}}, From: from, Do: p.ops, Gives: []Gives{g(2, lo2, hi2, 0), g(0, lo0, hi0, 180)},
		Months: []BatchMonth{{1, batches}}}
}

func star() *b {
	p := &b{Plan: Plan{Format: 1, Complete: true, Quilt: "Lantern Row", Designer: "Pier Street Sewing Room", Version: "1", Date: "2027-01-08", Measure: "inch", Seam: s, Ruler: 0.125, Ease: 0.03125,
		Finished: Size{16, 16}, Top: "top", Fabrics: fabrics(), Findings: []Finding{}}}
	p.piece(Piece{Label: "B1", Fabric: "B", Shape: "rectangle", Width: 5.25, Height: 5.25, Cut: 4, Each: 1, Needed: 4, ForUnits: []string{"geese"}, Trimmed: false})
	p.piece(Piece{Label: "A1", Fabric: "A", Shape: "rectangle", Width: 2.875, Height: 2.875, Cut: 16, Each: 1, Needed: 16, ForUnits: []string{"geese"}})
	p.piece(Piece{Label: "A2", Fabric: "A", Shape: "rectangle", Width: 2.5, Height: 2.5, Cut: 16, Each: 1, Needed: 16, ForUnits: []string{"row1"}})
	p.piece(Piece{Label: "C1", Fabric: "C", Shape: "rectangle", Width: 4.5, Height: 4.5, Cut: 5, Each: 1, Needed: 4, Spare: 1, ForUnits: []string{"row2"}})
	p.patch("corner", "A", "A2", rect(2, 2), turn(0, -s, -s), 16)
	p.patch("centre", "C", "C1", rect(4, 4), turn(0, -s, -s), 4)
	p.unit(Unit{ID: "goose", Kind: "triangle", Fabric: "B", Outline: outline(2, 0, 4, 2, 0, 2), Size: Size{4, 2}})
	p.unit(Unit{ID: "sky", Kind: "triangle", Fabric: "A", Outline: outline(0, 0, 2, 0, 0, 2), Size: Size{2, 2}})
	g := goose("geese")
	g.Needed, g.Made, g.Recipe = 16, 16, "r1"
	p.unit(g)
	p.Recipes = append(p.Recipes, fours("r1", "geese", "B1", "A1", 4))
	p.joined(Unit{ID: "row1", Kind: "row", Name: "row 1", Outline: rect(8, 2), Size: Size{8, 2}, Needed: 8, Made: 8,
		Parts: []Part{part("corner", 0, 0, 0), part("geese", 2, 0, 0), part("corner", 6, 0, 0)},
		Joins: []Join{join(0, 1, 2, 0, 2, 2, "toward 0"), join(1, 2, 6, 0, 6, 2, "toward 2")}}, "r2", 8, nil)
	p.joined(Unit{ID: "row2", Kind: "row", Name: "row 2", Outline: rect(8, 4), Size: Size{8, 4}, Needed: 4, Made: 4,
		Parts: []Part{part("geese", 0, 4, 270), part("centre", 2, 0, 0), part("geese", 8, 0, 90)},
		Joins: []Join{join(0, 1, 2, 0, 2, 4, "toward 1"), join(1, 2, 6, 0, 6, 4, "toward 1")}}, "r3", 4, nil)
	p.joined(Unit{ID: "block", Kind: "block", Name: "Ferry Light", Outline: rect(8, 8), Size: Size{8, 8}, Needed: 4, Made: 4,
		Parts: []Part{part("row1", 0, 0, 0), part("row2", 0, 2, 0), part("row1", 8, 8, 180)},
		Joins: []Join{join(0, 1, 0, 2, 8, 2, "toward 1"), join(1, 2, 0, 6, 8, 6, "toward 1")}}, "r4", 4, nil)
	p.joined(Unit{ID: "toprow", Kind: "row", Name: "row 1", Outline: rect(16, 8), Size: Size{16, 8}, Needed: 2, Made: 2,
		Parts: []Part{part("block", 0, 0, 0), part("block", 8, 0, 0)},
		Joins: []Join{join(0, 1, 8, 0, 8, 8, "toward 0")}}, "r5", 2, nil)
	p.joined(Unit{ID: "top", Kind: "top", Outline: rect(16, 16), Size: Size{16, 16}, Needed: 1, Made: 1,
		Parts: []Part{part("toprow", 0, 0, 0), part("toprow", 16, 16, 180)},
		Joins: []Join{join(0, 1, 0, 8, 16, 8, "open")}}, "r6", 1, nil)
	p.Blocks = []Block{{ID: "b1", Name: "Ferry Light", Recolor: map[string]string{}, Finished: Size{8, 8}, Made: 4, Patches: 17, Straight: 14, Unit: "block"}}
	for i := range 4 {
		t := 0
		if i > 1 {
			t = 180
		}
		at := Point{Num(i%2) * 8, Num(i/2) * 8}
		if t == 180 {
			at = Point{at[0] + 8, at[1] + 8}
		}
		leaf := []int{i / 2, i % 2}
		if i > 1 {
			leaf[1] = 1 - leaf[1]
		}
		p.Placed = append(p.Placed, Placed{Block: "b1", At: at, Turn: t, Row: i/2 + 1, Column: i%2 + 1, Leaf: leaf})
	}
	p.Layout = Layout{"straight", 2, 2}
	draw := func(f string, leaf []int, xs ...float64) {
		p.Drawn = append(p.Drawn, Drawn{Of: "block b1", Fabric: f, Outline: outline(xs...), Leaf: leaf})
	}
	draw("A", []int{0, 0}, 0, 0, 2, 0, 2, 2, 0, 2)
	draw("B", []int{0, 1, 0}, 4, 0, 6, 2, 2, 2)
	draw("A", []int{0, 1, 1}, 2, 0, 4, 0, 2, 2)
	draw("A", []int{0, 1, 2}, 4, 0, 6, 0, 6, 2)
	draw("A", []int{0, 2}, 6, 0, 8, 0, 8, 2, 6, 2)
	draw("B", []int{1, 0, 0}, 0, 4, 2, 2, 2, 6)
	draw("A", []int{1, 0, 1}, 0, 4, 2, 6, 0, 6)
	draw("A", []int{1, 0, 2}, 0, 2, 2, 2, 0, 4)
	draw("C", []int{1, 1}, 2, 2, 6, 2, 6, 6, 2, 6)
	draw("B", []int{1, 2, 0}, 8, 4, 6, 6, 6, 2)
	draw("A", []int{1, 2, 1}, 6, 2, 8, 2, 8, 4)
	draw("A", []int{1, 2, 2}, 8, 4, 8, 6, 6, 6)
	draw("A", []int{2, 2}, 0, 6, 2, 6, 2, 8, 0, 8)
	draw("B", []int{2, 1, 0}, 2, 6, 6, 6, 4, 8)
	draw("A", []int{2, 1, 1}, 6, 6, 6, 8, 4, 8)
	draw("A", []int{2, 1, 2}, 2, 6, 4, 8, 2, 8)
	draw("A", []int{2, 0}, 6, 6, 8, 6, 8, 8, 6, 8)
	p.Fabrics[0].Length, p.Fabrics[0].Optimal, p.Fabrics[0].Buy = 8.25, true, Buy{Amount: 0.375, Unit: "yd", Squaring: 1}
	p.Fabrics[0].Strips = []Strip{{Along: "width", Height: 2.875, Length: 40, Count: 1, Cuts: []Cuts{{Label: "A1", Count: 13, Width: 2.875}}, Left: 2.625}, {Along: "width", Height: 2.875, Length: 40, Count: 1, Cuts: []Cuts{{Label: "A1", Count: 3, Width: 2.875}, {Label: "A2", Count: 12, Width: 2.5}}, Left: 1.375}, {Along: "width", Height: 2.5, Length: 40, Count: 1, Cuts: []Cuts{{Label: "A2", Count: 4, Width: 2.5}}, Left: 30}}
	p.Fabrics[1].Length, p.Fabrics[1].Optimal, p.Fabrics[1].Buy = 5.25, true, Buy{Amount: 0.25, Unit: "yd", Squaring: 1, Binding: 10}
	p.Fabrics[1].Strips = []Strip{{Along: "width", Height: 5.25, Length: 40, Count: 1, Cuts: []Cuts{{Label: "B1", Count: 4, Width: 5.25}}, Left: 19}}
	p.Fabrics[2].Length, p.Fabrics[2].Bound, p.Fabrics[2].Buy = 4.5, 4.5, Buy{Amount: 0.25, Unit: "yd", Squaring: 1}
	p.Fabrics[2].Strips = []Strip{{Along: "width", Height: 4.5, Length: 40, Count: 1, Cuts: []Cuts{{Label: "C1", Count: 5, Width: 4.5}}, Left: 17.5}}
	p.Finish = Finish{Binding: &Binding{Fabric: "B", Cut: "straight", Strip: 2.5, Length: 76, Extra: 12, Strips: 2, Joins: 1}, Backing: &Backing{Name: "Pebble", Width: 40, Overhang: 4, Size: Size{24, 24}, Panels: 1, Seams: "none", Panel: 24, Length: 24, Amount: 0.75, Unit: "yd"}, Batting: &Batting{4, Size{24, 24}}}
	p.Press = PressSum()
	p.Months = []Month{{Number: 1, Blocks: []MonthBlock{{"b1", 4}}, Set: true, Finish: true}}
	p.Steps = append(p.Steps, Step{Month: 1, Stage: "cut", Says: Says{Verb: "cut"}, Count: 1})
	p.step("r1", "unit", 0, 4, 0, 0, 0)
	p.step("r1", "unit", 5, 7, 0, 0, 0)
	p.step("r1", "unit", 8, -1, 16, 4.5, 2.5)
	p.step("r2", "row", 0, -1, 8, 8.5, 2.5)
	p.step("r3", "row", 0, -1, 4, 8.5, 4.5)
	p.step("r4", "block", 0, -1, 4, 8.5, 8.5)
	p.step("r5", "top", 0, -1, 2, 16.5, 8.5)
	p.step("r6", "top", 0, -1, 1, 16.5, 16.5)
	p.Steps = append(p.Steps, Step{Month: 1, Stage: "finish", Unit: "top", Says: Says{Verb: "bind", Width: 2.5}, Count: 1})
	return p
}

// PressSum is the pressing of the star in sum.
func PressSum() Press {
	return Press{Meetings: 8, Nested: 6, Open: 1, Same: 1, Cost: 3, Bound: 3, Optimal: true, Unmet: []Meeting{{Unit: "top", Join: 0, Point: Point{8, 8}, Is: "same"}}}
}

func units() *b {
	p := &b{Plan: Plan{Format: 1, Complete: true, Quilt: "Pier Steps", Measure: "inch", Seam: s, Ruler: 0.125, Ease: 0.03125, Finished: Size{12, 12}, Fabrics: fabrics(), Findings: []Finding{}}}
	p.piece(Piece{Label: "A1", Fabric: "A", Shape: "rectangle", Width: 4, Height: 4, Cut: 4, Each: 1, Needed: 4, ForUnits: []string{"half"}, Trimmed: true})
	p.piece(Piece{Label: "B1", Fabric: "B", Shape: "rectangle", Width: 4, Height: 4, Cut: 4, Each: 1, Needed: 4, ForUnits: []string{"half"}, Trimmed: true})
	p.piece(Piece{Label: "B2", Fabric: "B", Shape: "quarter square", Width: 5.25, Height: 5.25, Cut: 1, Each: 4, Needed: 4, ForUnits: []string{"goose1"}})
	p.piece(Piece{Label: "A2", Fabric: "A", Shape: "half square", Width: 2.875, Height: 2.875, Cut: 4, Each: 2, Needed: 8, ForUnits: []string{"goose1"}})
	p.piece(Piece{Label: "C1", Fabric: "C", Shape: "rectangle", Width: 4.5, Height: 2.5, Cut: 2, Each: 1, Needed: 2, ForUnits: []string{"flip"}})
	p.piece(Piece{Label: "A3", Fabric: "A", Shape: "rectangle", Width: 2.5, Height: 2.5, Cut: 4, Each: 1, Needed: 4, ForUnits: []string{"flip"}})
	p.piece(Piece{Label: "A4", Fabric: "A", Shape: "strip", Width: 40, Height: 1.5, Cut: 2, Each: 1, Needed: 2, ForUnits: []string{"rails"}})
	p.piece(Piece{Label: "B3", Fabric: "B", Shape: "strip", Width: 40, Height: 1.5, Cut: 1, Each: 1, Needed: 1, ForUnits: []string{"rails"}})
	p.piece(Piece{Label: "B4", Fabric: "B", Shape: "rectangle", Width: 4.5, Height: 2.5, Cut: 4, Each: 1, Needed: 4, ForUnits: []string{"hope"}})
	p.piece(Piece{Label: "C2", Fabric: "C", Shape: "template", Width: 3, Height: 2, Cut: 6, Each: 1, Needed: 6, Outline: outline(0.75, 0, 3, 0, 2.25, 2, 0, 2), Grain: "along"})

	tri := func(id, f string, w float64) {
		p.unit(Unit{ID: id, Kind: "triangle", Fabric: f, Outline: outline(0, 0, w, 0, 0, w), Size: Size{n(w), n(w)}})
	}
	tri("ha", "A", 3)
	tri("hb", "B", 3)
	p.unit(Unit{ID: "half", Kind: "half square", Outline: rect(3, 3), Size: Size{3, 3}, Needed: 8, Made: 8, Recipe: "pairs",
		Parts: []Part{part("ha", 0, 0, 0), part("hb", 3, 3, 180)}, Joins: []Join{join(0, 1, 3, 0, 0, 3, "toward 1")},
		Trim: &Trim{From: &Size{3.646447, 3.646447}, Meets: []Meet{{At: Point{3.25, -0.25}}, {At: Point{-0.25, 3.25}}}}})
	p.Recipes = append(p.Recipes, pairs("pairs", "half", "A1", "B1", 4, 3, 4, true))

	// Two half squares, crosswise, make two hourglasses.
	p.unit(Unit{ID: "q", Kind: "triangle", Fabric: "A", Outline: outline(0, 0, 2.5, 0, 1.25, 1.25), Size: Size{2.5, 1.25}})
	p.unit(Unit{ID: "qb", Kind: "triangle", Fabric: "B", Outline: outline(0, 0, 2.5, 0, 1.25, 1.25), Size: Size{2.5, 1.25}})
	p.unit(Unit{ID: "glass", Kind: "hourglass", Outline: rect(2.5, 2.5), Size: Size{2.5, 2.5}, Needed: 2, Made: 2, Recipe: "glasses",
		Parts: []Part{part("q", 0, 0, 0), part("qb", 2.5, 0, 90), part("q", 2.5, 2.5, 180), part("qb", 0, 2.5, 270)},
		Joins: []Join{join(0, 3, 0, 0, 1.25, 1.25, "toward 3"), join(1, 2, 1.25, 1.25, 2.5, 2.5, "toward 1"), join(0, 1, 2.5, 0, 0, 2.5, "open")}})
	{
		var r prog
		w := 3.0
		r.lay(1, 0, m{pt{-1, 0}, pt{0, 1}, pt{w, 0}}.then(turn(90, w, 0)))
		r.mark(0, pt{-s, -s}, pt{w + s, w + s})
		r.stitch(0, pt{-s, -s}, pt{w + s, w + s}, s)
		r.stitch(0, pt{-s, -s}, pt{w + s, w + s}, -s)
		r.cut(0, pt{-s, -s}, pt{w + s, w + s})
		r.press(2, 0, -1)
		r.press(0, 1, -1)
		p.Recipes = append(p.Recipes, Recipe{ID: "glasses", Method: "pairs", Unit: "glass", Batches: 1, Makes: []Makes{{"glass", 2}}, From: []From{{Unit: "half", Count: 2}}, Do: r.ops,
			Gives: []Gives{{0, "glass", turn(90, 2.75, -0.5).pose()}, {2, "glass", turn(0, 0, 0).pose()}}})
	}
	p.patch("goosep", "B", "B2", outline(2, 0, 4, 2, 0, 2), turn(180, 4.625, 2.25), 4)
	p.patch("skyp", "A", "A2", outline(0, 0, 2, 0, 0, 2), turn(0, -s, -s), 8)
	g := Unit{ID: "goose1", Kind: "flying geese", Outline: rect(4, 2), Size: Size{4, 2}, Needed: 4, Made: 4,
		Parts: []Part{part("goosep", 0, 0, 0), part("skyp", 0, 0, 0), part("skyp", 4, 0, 90)},
		Joins: []Join{join(0, 1, 0, 2, 2, 0, "toward 1"), join(0, 2, 2, 0, 4, 2, "toward 2")}}
	g.Joins[0].Align = []Align{{End: 1, Part: 1, Past: 0.353553}}
	g.Joins[1].Align = []Align{{End: 0, Part: 2, Past: 0.353553}, {End: 1, Part: 2, Past: 0.353553}}
	p.joined(g, "geese", 4, nil)

	p.unit(Unit{ID: "fa", Kind: "triangle", Fabric: "A", Outline: outline(0, 0, 2, 0, 0, 2), Size: Size{2, 2}})
	p.unit(Unit{ID: "fc", Kind: "triangle", Fabric: "C", Outline: outline(2, 0, 4, 2, 0, 2), Size: Size{4, 2}})
	p.unit(Unit{ID: "flip", Kind: "flying geese", Outline: rect(4, 2), Size: Size{4, 2}, Needed: 2, Made: 2, Recipe: "flips",
		Parts: []Part{part("fc", 0, 0, 0), part("fa", 0, 0, 0), part("fa", 4, 0, 90)},
		Joins: []Join{join(0, 1, 0, 2, 2, 0, "toward 1"), join(0, 2, 2, 0, 4, 2, "toward 2")}})
	{
		var r prog
		q, d := 2.5, s*math.Sqrt2
		r.lay(1, 0, down(q, 0))
		r.mark(0, pt{q, 0}, pt{0, q})
		r.stitch(0, pt{q, 0}, pt{0, q}, 0)
		r.cut(0, pt{q - d, 0}, pt{0, q - d})
		r.press(0, 0, 1)
		r.lay(2, 0, down(4.5, 0))
		r.mark(0, pt{4.5, q}, pt{2, 0})
		r.stitch(0, pt{4.5, q}, pt{2, 0}, 0)
		r.cut(0, pt{4.5, q - d}, pt{2 + d, 0})
		r.press(0, 1, 2)
		p.Recipes = append(p.Recipes, Recipe{ID: "flips", Method: "flips", Unit: "flip", Batches: 2, Makes: []Makes{{"flip", 1}}, From: []From{{Piece: "C1", Count: 1}, {Piece: "A3", Count: 2}}, Do: r.ops,
			Gives: []Gives{{0, "flip", turn(0, -s, -s).pose()}}})
	}
	p.unit(Unit{ID: "ra", Kind: "rectangle", Fabric: "A", Outline: rect(3, 1), Size: Size{3, 1}})
	p.unit(Unit{ID: "rb", Kind: "rectangle", Fabric: "B", Outline: rect(3, 1), Size: Size{3, 1}})
	p.unit(Unit{ID: "rails", Kind: "rail fence", Outline: rect(3, 3), Size: Size{3, 3}, Needed: 10, Made: 11, Surplus: 1, Recipe: "strips",
		Parts: []Part{part("ra", 0, 0, 0), part("rb", 0, 1, 0), part("ra", 0, 2, 0)},
		Joins: []Join{join(0, 1, 0, 1, 3, 1, "toward 1"), join(1, 2, 0, 2, 3, 2, "toward 1")}})
	{
		var r prog
		H := 1.5
		for i := 1; i < 3; i++ {
			part := []int{0, 2, 1}[i]
			r.lay(part, 0, m{pt{1, 0}, pt{0, -1}, pt{0, H}})
			r.ops = append(r.ops, Op{Op: "stitch", Work: 0, Along: line(pt{0, H - s}, pt{40, H - s}), Allowance: s})
			r.press(0, i-1, 2)
			H += 1
		}
		r.cut(0, pt{0.5, 0}, pt{0.5, H})
		r.ops = append(r.ops, Op{Op: "cut", Work: 0, Line: line(pt{4, H}, pt{4, 0}), Every: 3.5, Times: 11})
		p.Recipes = append(p.Recipes, Recipe{ID: "strips", Method: "strip set", Unit: "rails", Batches: 1, Makes: []Makes{{"rails", 11}}, From: []From{{Piece: "A4", Count: 2}, {Piece: "B3", Count: 1}}, Do: r.ops,
			Gives: []Gives{{0, "rails", turn(0, -0.75, -s).pose()}}})
	}
	p.patch("plank", "B", "B4", rect(4, 2), turn(0, -s, -s), 4)
	p.patch("eye", "A", "A3", rect(2, 2), turn(0, -s, -s), 1)
	hope := Unit{ID: "hope", Kind: "block", Name: "Bright Hopes", Outline: rect(6, 6), Size: Size{6, 6}, Needed: 1, Made: 1,
		Parts: []Part{part("eye", 2, 2, 0), part("plank", 0, 0, 0), part("plank", 6, 0, 90), part("plank", 6, 6, 180), part("plank", 0, 6, 270)},
		Joins: []Join{join(0, 1, 4, 2, 2, 2, "toward 1"), join(0, 2, 4, 0, 4, 4, "toward 2"), join(0, 3, 2, 4, 6, 4, "toward 3"), join(0, 4, 2, 2, 2, 6, "toward 4"), join(4, 1, 2, 2, 0, 2, "toward 1")}}
	hope.Joins[0].Kind, hope.Joins[4].Kind = "partial", "partial"
	p.joined(hope, "hopes", 1, nil)
	p.Top = "hope"
	p.Blocks = []Block{{ID: "b1", Name: "Bright Hopes", Finished: Size{6, 6}, Made: 1, Patches: 5, Straight: 3, Partial: 1, Unit: "hope"}}
	p.Layout = Layout{"one block", 1, 1}
	p.Placed = []Placed{{Block: "b1", Row: 1, Column: 1, Leaf: []int{}}}
	p.Findings = []Finding{{Severity: "warning", Code: "thin-patch", At: &Place{12, 7}, Block: "b1", Says: "a patch is only 1/4 in wide", Remedy: "make it 1/2 in"}}
	p.Months = []Month{{Number: 1, Title: "First lamps", Blocks: []MonthBlock{{"b1", 1}}}, {Number: 2}}
	p.step("pairs", "unit", 0, 3, 0, 0, 0)
	p.step("pairs", "unit", 4, 6, 0, 0, 0)
	p.step("pairs", "unit", 7, 8, 8, 3.5, 3.5)
	p.step("glasses", "unit", 0, 3, 0, 0, 0)
	p.step("glasses", "unit", 4, 6, 2, 3, 3)
	p.step("geese", "unit", 0, 2, 0, 0, 0)
	p.step("geese", "unit", 3, 5, 4, 4.5, 2.5)
	p.step("flips", "unit", 0, 4, 0, 0, 0)
	p.step("flips", "unit", 5, 9, 2, 4.5, 2.5)
	p.step("strips", "unit", 0, 5, 0, 40, 3.5)
	p.step("strips", "unit", 6, 7, 11, 3.5, 3.5)
	p.step("hopes", "block", 0, 2, 0, 0, 0)
	p.step("hopes", "block", 3, 11, 0, 0, 0)
	p.step("hopes", "block", 12, -1, 1, 6.5, 6.5)
	p.Steps[10].Surplus = 1
	return p
}

func main() {
	for name, p := range map[string]*b{"star": star(), "units": units()} {
		out, err := json.MarshalIndent(p.Plan, "", " ")
		if err == nil {
			err = os.WriteFile(name+".json", append(out, '\n'), 0o644)
		}
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
	}
}

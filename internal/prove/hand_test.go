package prove

import (
	"math"
	"slices"

	"quiltwright/internal/plan"
)

// Plans written by hand, from the trade's tables of cut sizes: squares + 1/2 in, geese by fours from a square of the
// width + 1 1/4 and four of the height + 7/8 (exact: 1.2071 and 0.8536), trimmed by the point.

func n(x float64) plan.Num                      { return plan.Num(x) }
func xy(x, y float64) plan.Point                { return plan.Point{n(x), n(y)} }
func place(x, y, turn float64) plan.Pose        { return plan.Pose{At: xy(x, y), Turn: n(turn)} }
func ends(x0, y0, x1, y1 float64) [2]plan.Point { return [2]plan.Point{xy(x0, y0), xy(x1, y1)} }

func box0(w, h float64) []plan.Vertex {
	return []plan.Vertex{{X: 0, Y: 0}, {X: n(w), Y: 0}, {X: n(w), Y: n(h)}, {X: 0, Y: n(h)}}
}

func patch(id, fabric, piece string, outline []plan.Vertex, w, h float64, count int) plan.Unit {
	u := plan.Unit{ID: id, Key: id, Kind: "patch", Fabric: fabric, Outline: outline, Size: plan.Size{Width: n(w), Height: n(h)}}
	if piece != "" {
		lie := place(-.25, -.25, 0)
		u.Piece, u.Lie, u.Needed, u.Made = piece, &lie, count, count
		u.Months = []plan.UnitMonth{{Month: 1, Made: count, Used: count}}
	}
	return u
}

func sewn(id, kind string, w, h float64, count int, recipe string, parts []plan.Part, joins []plan.Join) plan.Unit {
	return plan.Unit{ID: id, Key: id, Kind: kind, Outline: box0(w, h), Size: plan.Size{Width: n(w), Height: n(h)}, Needed: count, Made: count,
		Recipe: recipe, Parts: parts, Joins: joins, Months: []plan.UnitMonth{{Month: 1, Made: count, Used: count}}}
}

func use(unit string, x, y, turn float64) plan.Part {
	return plan.Part{Unit: unit, At: xy(x, y), Turn: n(turn)}
}

func join(a, b int, seam [2]plan.Point, press string) plan.Join {
	return plan.Join{Parts: [2]int{a, b}, Kind: "straight", Seam: seam, Press: press, Top: b}
}

// watched has a part of a join on top, and the points of it that the needle must hit.
func watched(j plan.Join, top int, at ...plan.Point) plan.Join {
	j.Top, j.Watch, j.Watched = top, at, "seams"
	if len(at) > 0 {
		j.Watched = "points"
	}
	return j
}

// run3 is the recipe of three parts in a run: each is laid on what is sewn, its raw edge on the seam's, and swings over.
func run3(id, unit string, batches int, from []string, lays []plan.Pose, seams [2][2]plan.Point, gives plan.Pose, toward [2]int) plan.Recipe {
	r := plan.Recipe{ID: id, Method: "joined", Unit: unit, Batches: batches, Makes: []plan.Makes{{Unit: unit, Count: 1}},
		Gives: []plan.Gives{{Work: 0, Unit: unit, Pose: gives}}, Months: []plan.BatchMonth{{Month: 1, Batches: batches}}}
	for _, f := range from {
		r.From = append(r.From, plan.From{Unit: f, Count: 1})
	}
	for k := range lays {
		r.Do = append(r.Do,
			plan.Op{Op: "lay", Part: k + 1, Work: 0, At: &lays[k].At, Turn: lays[k].Turn, Face: "down"},
			plan.Op{Op: "stitch", Work: 0, Along: &seams[k], Allowance: .25},
			plan.Op{Op: "press", Work: 0, Seam: k, Toward: &toward[k]})
	}
	return r
}

func square(label, fabric string, w, exact float64, count int, trimmed bool, units ...string) plan.Piece {
	return plan.Piece{Label: label, Key: label, Fabric: fabric, Shape: "rectangle", Width: n(w), Height: n(w), Exact: [2]plan.Num{n(exact), n(exact)},
		Cut: count, Each: 1, Yields: count, Needed: count, Months: []plan.PieceMonth{{Month: 1, Cut: count}}, Grain: "either", Turnable: true, ForUnits: units, Trimmed: trimmed}
}

// cloth40 cuts each run of squares from a strip of its own across cloth 40 in wide.
func cloth40(letter string, amount float64, runs ...plan.Piece) plan.Fabric {
	f := plan.Fabric{Letter: letter, Name: letter, Color: "#888888", Value: "dark", Print: "plain", Width: 40, Rules: "two stages", Optimal: true,
		Buy: plan.Buy{Amount: n(amount), Unit: "yd", Squaring: 1}}
	for _, x := range runs {
		w, count := x.Width, x.Cut
		left := 40 - w*n(float64(count))
		first := &plan.Node{Cut: "along", Width: 40, Height: w}
		for range count {
			first.Parts = append(first.Parts, plan.Node{Piece: x.Label, Month: 1, Width: w, Height: w})
		}
		if left > 0 {
			first.Parts = append(first.Parts, plan.Node{Left: &[2]plan.Num{left, w}, Width: left, Height: w})
		}
		f.Layout = append(f.Layout, plan.Stock{Stock: "bolt", Cut: "across", At: w, First: first})
		f.Strips = append(f.Strips, plan.Strip{Along: "width", Height: w, Length: 40, Count: 1, Left: left, Cuts: []plan.Cuts{{Label: x.Label, Count: count, Width: w}}})
		f.Length += w
	}
	f.Bound = f.Length
	return f
}

func step(recipe *plan.Recipe, chain, count, makes int, w, h float64) plan.Step {
	return plan.Step{Month: 1, Chain: chain, Stage: "unit", Unit: recipe.Unit, Recipe: recipe.ID, First: 0, Last: len(recipe.Do) - 1, Count: count, Makes: makes,
		Says: plan.Says{Verb: "lay"}, Size: &[2]plan.Num{n(w + .5), n(h + .5)}, Out: .03125}
}

func head(name string, size float64) *plan.Plan {
	return &plan.Plan{Format: 1, Complete: true, Quilt: name, Measure: "inch", Seam: .25, Ruler: .125, Ease: .03125, Finished: plan.Size{Width: n(size), Height: n(size)},
		Layout: plan.Layout{Style: "one block", Rows: 1, Columns: 1}, Placed: []plan.Placed{{Block: "b1", Row: 1, Column: 1, Leaf: []int{}}},
		Months: []plan.Month{{Number: 1, Blocks: []plan.MonthBlock{{Block: "b1", Count: 1}}, Set: true, Finish: true}}}
}

func drawn(fabric string, leaf []int, outline ...[2]float64) plan.Drawn {
	d := plan.Drawn{Of: "block b1", Fabric: fabric, Leaf: leaf}
	for _, p := range outline {
		d.Outline = append(d.Outline, plan.Vertex{X: n(p[0]), Y: n(p[1])})
	}
	return d
}

func box4(x, y, w, h float64) [][2]float64 {
	return [][2]float64{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}
}

// ninePatch is one nine-patch of 6 in, sewn in rows from squares of 2 1/2 in.
func ninePatch() *plan.Plan {
	p := head("Lantern Row", 6)
	p.Units = []plan.Unit{
		patch("u1", "A", "A1", box0(2, 2), 2, 2, 5),
		patch("u2", "B", "B1", box0(2, 2), 2, 2, 4),
		sewn("u3", "row", 6, 2, 2, "r1", []plan.Part{use("u1", 0, 0, 0), use("u2", 2, 0, 0), use("u1", 4, 0, 0)},
			[]plan.Join{join(0, 1, ends(2, 0, 2, 2), "toward 1"), join(1, 2, ends(4, 0, 4, 2), "toward 1")}),
		sewn("u4", "row", 6, 2, 1, "r2", []plan.Part{use("u2", 0, 0, 0), use("u1", 2, 0, 0), use("u2", 4, 0, 0)},
			[]plan.Join{join(0, 1, ends(2, 0, 2, 2), "toward 0"), join(1, 2, ends(4, 0, 4, 2), "toward 2")}),
		sewn("u5", "nine-patch", 6, 6, 1, "r3", []plan.Part{use("u3", 0, 0, 0), use("u4", 0, 2, 0), use("u3", 0, 4, 0)},
			[]plan.Join{join(0, 1, ends(0, 2, 6, 2), "toward 0"), join(1, 2, ends(0, 4, 6, 4), "toward 2")}),
	}
	across := []plan.Pose{place(2, 0, 0), place(4, 0, 0)}
	upright := [2][2]plan.Point{ends(2, 0, 2, 2), ends(4, 0, 4, 2)}
	p.Recipes = []plan.Recipe{
		run3("r1", "u3", 2, []string{"u1", "u2", "u1"}, across, upright, plan.Pose{}, [2]int{1, 1}),
		run3("r2", "u4", 1, []string{"u2", "u1", "u2"}, across, upright, plan.Pose{}, [2]int{0, 2}),
		run3("r3", "u5", 1, []string{"u3", "u4", "u3"}, []plan.Pose{place(0, 2, 180), place(0, 4, 180)}, [2][2]plan.Point{ends(0, 2, 6, 2), ends(0, 4, 6, 4)}, plan.Pose{}, [2]int{0, 2}),
	}
	p.Pieces = []plan.Piece{square("A1", "A", 2.5, 2.5, 5, false, "u1"), square("B1", "B", 2.5, 2.5, 4, false, "u2")}
	p.Fabrics = []plan.Fabric{cloth40("A", .125, p.Pieces[0]), cloth40("B", .125, p.Pieces[1])}
	p.Steps = []plan.Step{step(&p.Recipes[0], 1, 2, 2, 6, 2), step(&p.Recipes[1], 1, 1, 1, 6, 2), step(&p.Recipes[2], 2, 1, 1, 6, 6)}
	for r := range 3 {
		for c := range 3 {
			p.Drawn = append(p.Drawn, drawn([]string{"A", "B"}[(r+c)%2], []int{r, c}, box4(float64(2*c), float64(2*r), 2, 2)...))
		}
	}
	p.Top, p.Units[4].Web = "u5", &plan.Web{Rows: 3, Columns: 3}
	p.Blocks = []plan.Block{{ID: "b1", Name: "Nine Patch", Recolor: map[string]string{}, Finished: p.Finished, Made: 1, Patches: 9, Straight: 8, Unit: "u5"}}
	p.Press = plan.Press{Meetings: 4, Nested: 4, Optimal: true}
	return p
}

// spunNinePatch is that nine-patch with its four crossings spun: at each both seams that end there turn one way round, clockwise at the first and the last, and
// the seams of the rows do so, too. Counted by hand, four layers lie there.
func spunNinePatch() *plan.Plan {
	p := ninePatch()
	u := &p.Units[4]
	for k := range 2 {
		y := float64(2 + 2*k)
		spun := []plan.Point{xy(2, y), xy(4, y)}
		u.Joins[k].Spun, p.Recipes[2].Do[3*k+2].Spun = spun, slices.Clone(spun)
		for _, at := range spun {
			u.Bulk = append(u.Bulk, plan.Crossing{At: at, Layers: 4})
		}
	}
	return p
}

// star is one sawtooth star of 8 in: four geese made at a time, trimmed, sewn in rows.
func star() *plan.Plan {
	const W, q = 5.25, 2.875
	c, d := W/2, .25*math.Sqrt2
	p := head("Pier Street", 8)
	goose := []plan.Vertex{{X: 2, Y: 0}, {X: 4, Y: 2}, {X: 0, Y: 2}}
	sky := []plan.Vertex{{X: 0, Y: 0}, {X: 2, Y: 0}, {X: 0, Y: 2}}
	geese := sewn("u3", "flying geese", 4, 2, 4, "r1", []plan.Part{use("u1", 0, 0, 0), use("u2", 0, 0, 0), use("u2", 4, 0, 90)},
		[]plan.Join{join(0, 1, ends(2, 0, 0, 2), "toward 1"), join(0, 2, ends(2, 0, 4, 2), "toward 2")})
	// Squares of 5 1/4 and 2 7/8 in make them a little large: by 5.25 - 5.2071, and by 2.875 - 2.8536.
	geese.Trim = &plan.Trim{From: &plan.Size{Width: 4.542893, Height: 2.521447}, Meets: []plan.Meet{{At: xy(-.25, 2.25)}, {At: xy(4.25, 2.25)}}, Points: []plan.Point{xy(2, 0)}}
	p.Units = []plan.Unit{
		patch("u1", "A", "", goose, 4, 2, 0), patch("u2", "B", "", sky, 2, 2, 0), geese,
		patch("u4", "A", "A2", box0(2, 2), 2, 2, 4), patch("u5", "B", "B2", box0(4, 4), 4, 4, 1),
		sewn("u6", "row", 8, 2, 2, "r2", []plan.Part{use("u4", 0, 0, 0), use("u3", 6, 2, 180), use("u4", 6, 0, 0)},
			[]plan.Join{watched(join(0, 1, ends(2, 0, 2, 2), "toward 0"), 1), watched(join(1, 2, ends(6, 0, 6, 2), "toward 2"), 1)}),
		sewn("u7", "row", 8, 4, 1, "r3", []plan.Part{use("u3", 2, 0, 90), use("u5", 2, 0, 0), use("u3", 6, 4, 270)},
			[]plan.Join{watched(join(0, 1, ends(2, 0, 2, 4), "toward 1"), 0, xy(2, 2)), watched(join(1, 2, ends(6, 0, 6, 4), "toward 1"), 2, xy(6, 2))}),
		sewn("u8", "block", 8, 8, 1, "r4", []plan.Part{use("u6", 0, 0, 0), use("u7", 0, 2, 0), use("u6", 8, 8, 180)},
			[]plan.Join{watched(join(0, 1, ends(0, 2, 8, 2), "toward 0"), 0, xy(4, 2)), watched(join(1, 2, ends(0, 6, 8, 6), "toward 2"), 2, xy(4, 6))}),
	}
	down := func(part, work int, x, y float64) plan.Op {
		a := xy(x, y)
		return plan.Op{Op: "lay", Part: part, Work: work, At: &a, Face: "down"}
	}
	both := func(work int, l [2]plan.Point) []plan.Op {
		return []plan.Op{{Op: "mark", Work: work, Line: &l}, {Op: "stitch", Work: work, Along: &l, Offset: .25}, {Op: "stitch", Work: work, Along: &l, Offset: -.25}, {Op: "cut", Work: work, Line: &l}}
	}
	press := func(work, seam, part int) plan.Op { return plan.Op{Op: "press", Work: work, Seam: seam, Toward: &part} }
	trim := func(work int, x0, y0, x1, y1 float64) plan.Op {
		return plan.Op{Op: "trim", Work: work, To: []plan.Point{xy(x0, y0), xy(x1, y0), xy(x1, y1), xy(x0, y1)}}
	}
	do := []plan.Op{down(1, 0, q, 0), down(2, 0, W, W-q)}
	do = append(do, both(0, ends(0, 0, W, W))...) // work 0: the half at the top right; 5: at the bottom left
	do = append(do, press(0, 1, 1), press(5, 0, 1), down(3, 0, W, 0))
	do = append(do, both(0, ends(W, 0, W-q, q))...) // 0: the goose at the right; 6: at the top
	do = append(do, press(6, 2, 3), press(0, 3, 3), down(4, 5, q, W-q))
	do = append(do, both(5, ends(0, W, q, W-q))...) // 5: the goose at the left; 7: at the bottom
	do = append(do, press(7, 4, 4), press(5, 5, 4),
		trim(0, c+d-.25, c-2.25, c+d+2.25, c+2.25), trim(6, c-2.25, c-d-2.25, c+2.25, c-d+.25),
		trim(5, c-d-2.25, c-2.25, c-d+.25, c+2.25), trim(7, c-2.25, c+d-.25, c+2.25, c+d+2.25))
	fours := plan.Recipe{ID: "r1", Method: "fours", Unit: "u3", Batches: 1, Makes: []plan.Makes{{Unit: "u3", Count: 4}},
		From: []plan.From{{Piece: "A1", Count: 1}, {Piece: "B1", Count: 4}}, Do: do, Months: []plan.BatchMonth{{Month: 1, Batches: 1}},
		Gives: []plan.Gives{{Work: 0, Unit: "u3", Pose: place(2+c, -c-d, 90)}, {Work: 6, Unit: "u3", Pose: place(c+2, c-d, 180)},
			{Work: 5, Unit: "u3", Pose: place(2-c, c-d, 270)}, {Work: 7, Unit: "u3", Pose: place(2-c, -c-d, 0)}}}
	p.Recipes = []plan.Recipe{fours,
		// The goose lies turned half round: mirrored in the seam it lies with its left side to the right.
		run3("r2", "u6", 2, []string{"u4", "u3", "u4"}, []plan.Pose{place(-2, 2, 180), place(6, 0, 0)}, [2][2]plan.Point{ends(2, 0, 2, 2), ends(6, 0, 6, 2)}, plan.Pose{}, [2]int{0, 2}),
		// In the frame of the first goose: its base line is y = 2, and what lies right of it in the row lies above it.
		run3("r3", "u7", 1, []string{"u3", "u5", "u3"}, []plan.Pose{place(0, 0, 270), place(4, -4, 0)}, [2][2]plan.Point{ends(0, 0, 4, 0), ends(0, -4, 4, -4)}, place(2, 0, 90), [2]int{1, 1}),
		run3("r4", "u8", 1, []string{"u6", "u7", "u6"}, []plan.Pose{place(0, 2, 180), place(8, 4, 0)}, [2][2]plan.Point{ends(0, 2, 8, 2), ends(0, 6, 8, 6)}, plan.Pose{}, [2]int{0, 2}),
	}
	p.Pieces = []plan.Piece{square("A1", "A", W, 5.207107, 1, true, "u3"), square("A2", "A", 2.5, 2.5, 4, false, "u4"),
		square("B1", "B", q, 2.853553, 4, true, "u3"), square("B2", "B", 4.5, 4.5, 1, false, "u5")}
	p.Fabrics = []plan.Fabric{cloth40("A", .375, p.Pieces[0], p.Pieces[1]), cloth40("B", .25, p.Pieces[2], p.Pieces[3])}
	a := &p.Fabrics[0] // the binding, too
	for range 2 {
		a.Layout = append(a.Layout, plan.Stock{Stock: "bolt", Cut: "across", At: 2.25, First: &plan.Node{Piece: "binding", Month: 1, Width: 40, Height: 2.25}})
	}
	a.Strips = append(a.Strips, plan.Strip{Along: "width", Height: 2.25, Length: 40, Count: 2, Cuts: []plan.Cuts{{Label: "binding", Count: 1, Width: 40}}})
	a.Length, a.Bound, a.Buy.Binding = a.Length+4.5, a.Bound+4.5, 4.5
	p.Steps = []plan.Step{step(&p.Recipes[0], 1, 1, 4, 4, 2), step(&p.Recipes[1], 2, 2, 2, 8, 2), step(&p.Recipes[2], 2, 1, 1, 8, 4), step(&p.Recipes[3], 3, 1, 1, 8, 8)}
	p.Drawn = []plan.Drawn{
		drawn("A", []int{0, 0}, box4(0, 0, 2, 2)...), drawn("A", []int{0, 2}, box4(6, 0, 2, 2)...),
		drawn("A", []int{2, 2}, box4(0, 6, 2, 2)...), drawn("A", []int{2, 0}, box4(6, 6, 2, 2)...), drawn("B", []int{1, 1}, box4(2, 2, 4, 4)...),
		drawn("A", []int{0, 1, 0}, [2]float64{2, 0}, [2]float64{6, 0}, [2]float64{4, 2}),
		drawn("B", []int{0, 1, 1}, [2]float64{6, 0}, [2]float64{6, 2}, [2]float64{4, 2}),
		drawn("B", []int{0, 1, 2}, [2]float64{2, 0}, [2]float64{4, 2}, [2]float64{2, 2}),
		drawn("A", []int{2, 1, 0}, [2]float64{2, 8}, [2]float64{4, 6}, [2]float64{6, 8}),
		drawn("B", []int{2, 1, 1}, [2]float64{2, 8}, [2]float64{2, 6}, [2]float64{4, 6}),
		drawn("B", []int{2, 1, 2}, [2]float64{4, 6}, [2]float64{6, 6}, [2]float64{6, 8}),
		drawn("A", []int{1, 0, 0}, [2]float64{0, 2}, [2]float64{2, 4}, [2]float64{0, 6}),
		drawn("B", []int{1, 0, 1}, [2]float64{0, 2}, [2]float64{2, 2}, [2]float64{2, 4}),
		drawn("B", []int{1, 0, 2}, [2]float64{2, 4}, [2]float64{2, 6}, [2]float64{0, 6}),
		drawn("A", []int{1, 2, 0}, [2]float64{8, 2}, [2]float64{8, 6}, [2]float64{6, 4}),
		drawn("B", []int{1, 2, 1}, [2]float64{8, 6}, [2]float64{6, 6}, [2]float64{6, 4}),
		drawn("B", []int{1, 2, 2}, [2]float64{8, 2}, [2]float64{6, 4}, [2]float64{6, 2}),
	}
	p.Top, p.Units[7].Web = "u8", &plan.Web{Rows: 3, Columns: 3}
	p.Blocks = []plan.Block{{ID: "b1", Name: "Sawtooth Star", Recolor: map[string]string{}, Finished: p.Finished, Made: 1, Patches: 17, Straight: 16, Unit: "u8"}}
	p.Press = plan.Press{Meetings: 4, Nested: 4, Optimal: true}
	p.Finish = plan.Finish{
		Binding: &plan.Binding{Fabric: "A", Cut: "straight", Strip: 2.25, Length: 42, Extra: 10, Strips: 2, Joins: 1},
		Backing: &plan.Backing{Name: "backing", Width: 40, Overhang: 4, Size: plan.Size{Width: 16, Height: 16}, Panels: 1, Seams: "none", Panel: 16, Length: 16, Amount: .5, Unit: "yd"},
		Batting: &plan.Batting{Overhang: 4, Size: plan.Size{Width: 16, Height: 16}},
	}
	for _, verb := range []string{"layer", "even", "lengthen", "bind"} {
		p.Steps = append(p.Steps, plan.Step{Month: 1, Stage: "finish", Says: plan.Says{Verb: verb}})
	}
	return p
}

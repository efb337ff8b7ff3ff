package book

import (
	"testing"

	"quiltwright/internal/plan"
)

// star is a hand-written plan of a small quilt of friendship stars, 3 by 4, each 9 in, with two months
// and two templates that it does not need, so that every kind of page is there.
func star() *plan.Plan {
	const s = 0.25
	sq := func(w, h plan.Num) []plan.Vertex {
		return []plan.Vertex{{X: 0, Y: 0}, {X: w}, {X: w, Y: h}, {Y: h}}
	}
	tri := []plan.Vertex{{X: 0, Y: 0}, {X: 3}, {Y: 3}}
	two := func(a, b plan.Num) *[2]plan.Num { return &[2]plan.Num{a, b} }
	pt := func(x, y plan.Num) *plan.Point { return &plan.Point{x, y} }
	ln := func(a, b, c, d plan.Num) *[2]plan.Point { return &[2]plan.Point{{a, b}, {c, d}} }
	to := func(n int) *int { return &n }
	p := &plan.Plan{
		Format: 1, Complete: true, Quilt: "Lantern Row", Designer: "Pier Street Sewing Room", Version: "3", Date: "2027-01-08",
		Rights: "© 2027 Pier Street Sewing Room", Contact: "errata@example.org",
		Note:    "A year of evenings by the harbour.\n\nTake your time over the points; nobody will count the days.",
		Measure: "inch", Seam: s, Ruler: 0.125, Ease: 0.03125, Finished: plan.Size{Width: 27, Height: 36},
		Top: "top", Layout: plan.Layout{Style: "straight", Rows: 4, Columns: 3},
		Fabrics: []plan.Fabric{
			{Letter: "A", Name: "Fog", Color: "#e8e3d6", Value: "light", Print: "plain", Width: 40, Length: 46.5, Bound: 46.5, Optimal: true, Rules: "two stages, turning",
				Buy: plan.Buy{Amount: 1.5, Unit: "yd", Squaring: 1, Miscut: 3.875},
				Strips: []plan.Strip{
					{Along: "width", Height: 3.875, Length: 40, Count: 3, Cuts: []plan.Cuts{{Label: "A2", Count: 10, Width: 3.875}}, Left: 1.25},
					{Along: "width", Height: 3.5, Length: 40, Count: 5, Cuts: []plan.Cuts{{Label: "A1", Count: 11, Width: 3.5}}, Left: 1.5}}},
			{Letter: "B", Name: "Slate", Color: "#45505c", Value: "dark", Print: "one-way", Width: 42, Length: 20.25, Bound: 20.25, Optimal: true, Rules: "two stages, turning",
				Buy: plan.Buy{Amount: 0.625, Unit: "yd", Squaring: 1, Binding: 10},
				Strips: []plan.Strip{
					{Along: "width", Height: 3.875, Length: 42, Count: 1, Cuts: []plan.Cuts{{Label: "B2", Count: 6, Width: 3.875}, {Label: "B1", Count: 4, Width: 3.5}}, Left: 4.75},
					{Along: "width", Height: 3.5, Length: 42, Count: 1, Cuts: []plan.Cuts{{Label: "B1", Count: 2, Width: 3.5}}, Left: 35}}},
			{Letter: "C", Name: "Ember", Color: "#c8502b", Value: "medium", Print: "plain", Width: 40, Length: 10, Bound: 10, Optimal: true, Rules: "two stages", Buy: plan.Buy{Amount: 0.375, Unit: "yd"}},
		},
		Pieces: []plan.Piece{
			{Label: "A1", Fabric: "A", Shape: "rectangle", Width: 3.5, Height: 3.5, Cut: 48, Each: 1, Yields: 48, Needed: 48, Months: []plan.PieceMonth{{Month: 1, Cut: 24}, {Month: 2, Cut: 24}}, ForUnits: []string{"r1"}},
			{Label: "A2", Fabric: "A", Shape: "rectangle", Width: 3.875, Height: 3.875, Cut: 24, Each: 1, Yields: 24, Needed: 24, Months: []plan.PieceMonth{{Month: 1, Cut: 24}}, ForUnits: []string{"hs"}},
			{Label: "B1", Fabric: "B", Shape: "rectangle", Width: 3.5, Height: 3.5, Cut: 12, Each: 1, Yields: 12, Needed: 12, Months: []plan.PieceMonth{{Month: 1, Cut: 12}}, ForUnits: []string{"r2"}},
			{Label: "B2", Fabric: "B", Shape: "rectangle", Width: 3.875, Height: 3.875, Cut: 24, Each: 1, Yields: 24, Needed: 24, Months: []plan.PieceMonth{{Month: 1, Cut: 24}}, ForUnits: []string{"hs"}},
			{Label: "C1", Fabric: "C", Shape: "template", Width: 4.5, Height: 4.5, Cut: 4, Each: 1, Yields: 4, Months: []plan.PieceMonth{{Month: 2, Cut: 4}}, Grain: "along",
				Outline: []plan.Vertex{{X: 0, Y: 0}, {X: 4.5, Y: 0, Bulge: 0.41421356}, {X: 0, Y: 4.5}}},
			{Label: "C2R", Fabric: "C", Shape: "template", Hand: "R", Width: 14, Height: 6, Cut: 1, Each: 1, Yields: 1, Months: []plan.PieceMonth{{Month: 2, Cut: 1}}, Grain: "across",
				Outline: []plan.Vertex{{X: 0, Y: 6}, {X: 3, Y: 0}, {X: 14, Y: 0}, {X: 11, Y: 6}}},
		},
		Units: []plan.Unit{
			{ID: "pa", Kind: "patch", Outline: sq(3, 3), Size: plan.Size{Width: 3, Height: 3}, Fabric: "A", Piece: "A1", Lie: &plan.Pose{At: plan.Point{-s, -s}}},
			{ID: "pb", Kind: "patch", Outline: sq(3, 3), Size: plan.Size{Width: 3, Height: 3}, Fabric: "B", Piece: "B1", Lie: &plan.Pose{At: plan.Point{-s, -s}}},
			{ID: "ta", Kind: "patch", Outline: tri, Size: plan.Size{Width: 3, Height: 3}, Fabric: "A"},
			{ID: "tb", Kind: "patch", Outline: tri, Size: plan.Size{Width: 3, Height: 3}, Fabric: "B"},
			{ID: "pc", Kind: "patch", Outline: []plan.Vertex{{X: 0, Y: 0}, {X: 3.75, Y: 0, Bulge: 0.41421356}, {X: 0, Y: 3.75}}, Size: plan.Size{Width: 3.75, Height: 3.75}, Fabric: "C", Piece: "C1", Lie: &plan.Pose{At: plan.Point{-s, -s}}},
			{ID: "hs", Kind: "half square", Outline: sq(3, 3), Size: plan.Size{Width: 3, Height: 3}, Recipe: "q1", Needed: 48, Made: 48,
				Months: []plan.UnitMonth{{Month: 1, Made: 48, Used: 24}, {Month: 2, Used: 24}},
				Parts:  []plan.Part{{Unit: "ta"}, {Unit: "tb", At: plan.Point{3, 3}, Turn: 180}},
				Joins:  []plan.Join{{Parts: [2]int{0, 1}, Kind: "straight", Seam: [2]plan.Point{{3, 0}, {0, 3}}, Press: "toward 1"}}},
			{ID: "r1", Kind: "row", Name: "row 1", Outline: sq(9, 3), Size: plan.Size{Width: 9, Height: 3}, Recipe: "q2", Needed: 24, Made: 24,
				Parts: []plan.Part{{Unit: "pa"}, {Unit: "hs", At: plan.Point{3, 0}}, {Unit: "pa", At: plan.Point{6, 0}}},
				Joins: []plan.Join{{Parts: [2]int{0, 1}, Kind: "straight", Seam: [2]plan.Point{{3, 0}, {3, 3}}, Press: "toward 0"}, {Parts: [2]int{1, 2}, Kind: "straight", Seam: [2]plan.Point{{6, 0}, {6, 3}}, Press: "toward 2"}}},
			{ID: "r2", Kind: "row", Name: "row 2", Outline: sq(9, 3), Size: plan.Size{Width: 9, Height: 3}, Recipe: "q3", Needed: 12, Made: 12,
				Parts: []plan.Part{{Unit: "hs", At: plan.Point{0, 3}, Turn: 270}, {Unit: "pb", At: plan.Point{3, 0}}, {Unit: "hs", At: plan.Point{9, 0}, Turn: 90}},
				Joins: []plan.Join{{Parts: [2]int{0, 1}, Kind: "straight", Seam: [2]plan.Point{{3, 0}, {3, 3}}, Press: "toward 1"}, {Parts: [2]int{1, 2}, Kind: "straight", Seam: [2]plan.Point{{6, 0}, {6, 3}}, Press: "toward 1"}}},
			{ID: "bl", Kind: "block", Name: "Harbour Star", Outline: sq(9, 9), Size: plan.Size{Width: 9, Height: 9}, Recipe: "q4", Needed: 12, Made: 12,
				Parts: []plan.Part{{Unit: "r1"}, {Unit: "r2", At: plan.Point{0, 3}}, {Unit: "r1", At: plan.Point{9, 9}, Turn: 180}},
				Joins: []plan.Join{{Parts: [2]int{0, 1}, Kind: "straight", Seam: [2]plan.Point{{0, 3}, {9, 3}}, Press: "toward 0"}, {Parts: [2]int{1, 2}, Kind: "straight", Seam: [2]plan.Point{{0, 6}, {9, 6}}, Press: "toward 2"}}},
		},
		Blocks: []plan.Block{{ID: "b1", Name: "Harbour Star", Finished: plan.Size{Width: 9, Height: 9}, Made: 12, Patches: 13, Straight: 12, Unit: "bl"}},
		Recipes: []plan.Recipe{
			{ID: "q1", Method: "pairs", Unit: "hs", Batches: 24, Makes: []plan.Makes{{Unit: "hs", Count: 2}}, From: []plan.From{{Piece: "A2", Count: 1}, {Piece: "B2", Count: 1}},
				Do: []plan.Op{
					{Op: "lay", Work: 1, Part: 0, At: pt(3.875, 0), Face: "down"},
					{Op: "mark", Work: 1, Line: ln(0, 3.875, 3.875, 0)},
					{Op: "stitch", Work: 1, Along: ln(0, 3.875, 3.875, 0), Offset: s}, {Op: "stitch", Work: 1, Along: ln(0, 3.875, 3.875, 0), Offset: -s},
					{Op: "cut", Work: 1, Line: ln(0, 3.875, 3.875, 0)},
					{Op: "press", Work: 1, Seam: 1, Toward: to(1)}, {Op: "press", Work: 2, Seam: 0, Toward: to(1)},
				},
				Gives:  []plan.Gives{{Work: 1, Unit: "hs", Pose: plan.Pose{At: plan.Point{3.25, 3.25}, Turn: 180}}, {Work: 2, Unit: "hs", Pose: plan.Pose{At: plan.Point{-0.625, -0.625}}}},
				Months: []plan.BatchMonth{{Month: 1, Batches: 24}}},
			runOf("q2", "r1", 24, []plan.From{{Piece: "A1", Count: 1}, {Unit: "hs", Count: 1}, {Piece: "A1", Count: 1}}, 3, 3, true),
			runOf("q3", "r2", 12, []plan.From{{Unit: "hs", Count: 1}, {Piece: "B1", Count: 1}, {Unit: "hs", Count: 1}}, 3, 3, true),
			runOf("q4", "bl", 12, []plan.From{{Unit: "r1", Count: 1}, {Unit: "r2", Count: 1}, {Unit: "r1", Count: 1}}, 9, 3, false),
		},
		Finish: plan.Finish{Binding: &plan.Binding{Fabric: "B", Cut: "straight", Strip: 2.5, Length: 136, Strips: 4},
			Backing: &plan.Backing{Name: "Pebble", Width: 42, Overhang: 4, Size: plan.Size{Width: 35, Height: 44}, Panels: 1, Length: 44, Amount: 1.25, Unit: "yd"},
			Batting: &plan.Batting{Overhang: 4, Size: plan.Size{Width: 35, Height: 44}}},
		Press: plan.Press{Meetings: 96, Nested: 92, Open: 4, Optimal: true},
		Months: []plan.Month{{Number: 1, Title: "First lamps", Opens: "2027-01-08", Note: "Begin with the half squares: they are the whole secret.", Blocks: []plan.MonthBlock{{Block: "b1", Count: 6}}},
			{Number: 2, Title: "Setting the top", Opens: "2027-02-05", Blocks: []plan.MonthBlock{{Block: "b1", Count: 6}}, Set: true, Finish: true}},
		Proof: &plan.Proof{Holds: true, Ease: 0.03125, Excess: 0.0214, Checked: 1812},
	}
	add := func(f string, leaf []int, vs ...plan.Vertex) {
		p.Drawn = append(p.Drawn, plan.Drawn{Of: "block b1", Fabric: f, Outline: vs, Leaf: leaf})
	}
	box := func(f string, x, y plan.Num) {
		add(f, nil, plan.Vertex{X: x, Y: y}, plan.Vertex{X: x + 3, Y: y}, plan.Vertex{X: x + 3, Y: y + 3}, plan.Vertex{X: x, Y: y + 3})
	}
	box("A", 0, 0)
	box("A", 6, 0)
	box("A", 0, 6)
	box("A", 6, 6)
	box("B", 3, 3)
	half := func(x, y plan.Num, turn int) {
		c := []plan.Vertex{{X: x, Y: y}, {X: x + 3, Y: y}, {X: x + 3, Y: y + 3}, {X: x, Y: y + 3}}
		r := turn / 90
		at := func(i int) plan.Vertex { return c[(i+r)%4] }
		add("A", nil, at(0), at(1), at(3))
		add("B", nil, at(2), at(3), at(1))
	}
	half(3, 0, 0)
	half(6, 3, 90)
	half(3, 6, 180)
	half(0, 3, 270)
	for r := range 4 {
		for c := range 3 {
			pl := plan.Placed{Block: "b1", At: plan.Point{plan.Num(9 * c), plan.Num(9 * r)}, Row: r + 1, Column: c + 1}
			if (r+c)%2 == 1 {
				pl.Turn, pl.At = 90, plan.Point{plan.Num(9*c + 9), plan.Num(9 * r)}
			}
			p.Placed = append(p.Placed, pl)
		}
	}
	step := func(month int, stage, unit, recipe string, first, last, count, makes int, size *[2]plan.Num) {
		p.Steps = append(p.Steps, plan.Step{Month: month, Stage: stage, Unit: unit, Recipe: recipe, First: first, Last: last, Count: count, Makes: makes, Size: size, Out: 0.0625})
	}
	step(1, "unit", "hs", "q1", 0, 3, 24, 0, nil)
	step(1, "unit", "hs", "q1", 4, 6, 24, 48, two(3.5, 3.5))
	for m := 1; m <= 2; m++ {
		step(m, "row", "r1", "q2", 0, 5, 12, 12, two(9.5, 3.5))
		step(m, "row", "r2", "q3", 0, 5, 6, 6, two(9.5, 3.5))
		step(m, "block", "bl", "q4", 0, 5, 6, 6, two(9.5, 9.5))
	}
	p.Steps = append(p.Steps, plan.Step{Month: 2, Stage: "top", Unit: "top", Says: plan.Says{Verb: "join", Parts: []string{"bl", "bl"}}, Makes: 1, Size: two(27.5, 36.5)},
		plan.Step{Month: 2, Stage: "finish", Says: plan.Says{Verb: "layer"}}, plan.Step{Month: 2, Stage: "finish", Says: plan.Says{Verb: "bind", Width: 2.5}})
	return p
}

// runOf is the recipe of a run of three, across or down, each w by h finished.
func runOf(id, unit string, batches int, from []plan.From, w, h plan.Num, across bool) plan.Recipe {
	r := plan.Recipe{ID: id, Method: "join", Unit: unit, Batches: batches, Makes: []plan.Makes{{Unit: unit, Count: 1}}, From: from,
		Months: []plan.BatchMonth{{Month: 1, Batches: batches / 2}, {Month: 2, Batches: batches / 2}}}
	for i := 1; i <= 2; i++ {
		k := plan.Num(i)
		along := &[2]plan.Point{{w * k, 0}, {w * k, h}}
		at := &plan.Point{2 * w * k, 0}
		turn := plan.Num(0)
		if !across {
			along = &[2]plan.Point{{0, h * k}, {w, h * k}}
			at, turn = &plan.Point{w, h * 2 * k}, 180
		}
		toward := 0
		if i == 2 {
			toward = 2
		}
		r.Do = append(r.Do, plan.Op{Op: "lay", Work: 0, Part: i, At: at, Turn: turn, Face: "down"},
			plan.Op{Op: "stitch", Work: 0, Along: along, Allowance: 0.25},
			plan.Op{Op: "press", Work: 0, Seam: i - 1, Toward: &toward})
	}
	r.Gives = []plan.Gives{{Work: 0, Unit: unit}}
	return r
}

// sampler is the star's plan grown to a programme: nine blocks of long names, a month for each and one with four,
// fourteen fabrics, some printed, and a note that fills a page.
func sampler() *plan.Plan {
	p := star()
	p.Quilt = "The Long Winter of the Lighthouse Keeper’s Second Daughter"
	p.Designer = "Pier Street Sewing Room and the Friends of the Old Harbour Office"
	p.Rights = "© 2027 Pier Street Sewing Room. For one person’s own use; copies of the handouts may be made for a class of up to twelve participants."
	for range 40 {
		p.Note += " The lamps were lit one after the other, and every one of them was a block."
	}
	colors := []string{"#7d2f3a", "#ffffff", "#0b0b0d", "#d6a445", "#7fa3a1", "#8c6d9e", "#b9c9a2", "#43624b", "#c9b7a5", "#2c3e73", "#e5c6c6"}
	for i, c := range colors {
		f := p.Fabrics[i%3]
		f.Letter = string(rune('D' + i))
		f.Name = "Colour of the harbour in the evening no. " + f.Letter
		f.Color = c
		p.Fabrics = append(p.Fabrics, f)
	}
	b := p.Blocks[0]
	drawn := p.Drawn
	for i := 2; i <= 9; i++ {
		k := b
		k.ID = "b" + string(rune('0'+i))
		k.Name = b.Name + " at the End of the Breakwater, version " + string(rune('0'+i))
		p.Blocks = append(p.Blocks, k)
		for _, d := range drawn {
			if i%2 == 0 {
				d.Fabric = string(rune('C' + (int(d.Fabric[0])+i)%12))
			}
			d.Of = "block " + k.ID
			p.Drawn = append(p.Drawn, d)
		}
	}
	for i := range p.Placed {
		p.Placed[i].Block = p.Blocks[i%len(p.Blocks)].ID
	}
	first := p.Months[0]
	var steps []plan.Step
	for i := 3; i <= 11; i++ {
		m := first
		m.Number = i
		m.Title = ""
		if i%2 == 0 {
			m.Title = "The steps, the sea wall and what was found below it"
		}
		m.Blocks = []plan.MonthBlock{{Block: p.Blocks[i%9].ID, Count: 1}}
		if i == 7 {
			m.Blocks = nil
			for _, k := range p.Blocks {
				m.Blocks = append(m.Blocks, plan.MonthBlock{Block: k.ID, Count: 2})
			}
		}
		p.Months = append(p.Months, m)
		for _, s := range p.Steps[:5] {
			s.Month = i
			steps = append(steps, s)
		}
	}
	p.Steps = append(p.Steps, steps...)
	return p
}

// metric is the star's plan with every length read as centimetres.
func metric(t *testing.T) *plan.Plan {
	t.Helper()
	p := star()
	p.Measure = "cm"
	p.Seam = 0.75
	return p
}

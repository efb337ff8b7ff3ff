package compile

import (
	"math"
	"slices"
	"strconv"

	"quiltwright/internal/cut"
	"quiltwright/internal/exact"
	"quiltwright/internal/method"
	"quiltwright/internal/piecing"
	"quiltwright/internal/plan"
	"quiltwright/internal/plane"
	"quiltwright/internal/press"
	"quiltwright/internal/quilt"
	"quiltwright/internal/sew"
)

// head fills in what the document says of itself.
func (r *Result) head() {
	d, p := r.Doc, r.Plan
	p.Quilt, p.Designer, p.Version, p.Date, p.Rights, p.Contact, p.Note = d.Title, d.Designer, d.Version, d.Date, d.Rights, d.Contact, d.Note
	p.Measure = d.Measure.String()
	p.Seam, p.Ruler, p.Ease = num(d.Seam), num(d.Ruler), plan.Num(method.Ease(d.Measure))
}

func num(x exact.Num) plan.Num { return plan.Num(x.Float()) }

func point(p plane.Point) plan.Point { return plan.Point{num(p.X), num(p.Y)} }

func vertices(pg plane.Polygon) []plan.Vertex {
	out := make([]plan.Vertex, len(pg))
	for i, p := range pg {
		out[i] = plan.Vertex{X: num(p.X), Y: num(p.Y)}
	}
	return out
}

// assemble writes the plan from the stages.
func (r *Result) assemble(of map[cut.Source]int, months [][][2]int, setMonth int, opt Options) {
	p := r.Plan
	p.Finished = plan.Size{Width: num(r.Top.Width), Height: num(r.Top.Height)}
	p.Layout = plan.Layout{Style: r.Top.Style, Rows: r.Top.Rows, Columns: r.Top.Columns}
	ids := r.ids()
	p.Top = ids[r.Pieced.Top]
	materials := r.materials(len(months), opt)
	r.drawn()
	r.blocks(ids)
	r.unitList(ids, of, opt)
	r.recipeList(ids, of)
	r.pieceList(ids)
	r.months(months, setMonth)
	r.pressing(ids)
	r.steps(ids, of)
	r.samples(ids, of)
	materials()
	r.finishing(setMonth)
}

// ids names every unit that the plan lists: what is made, and the patches that only a batch makes.
func (r *Result) ids() []string {
	listed := make([]bool, len(r.Units))
	for i := len(r.Units) - 1; i >= 0; i-- {
		u := &r.Units[i]
		if !u.Made && !listed[i] {
			continue
		}
		listed[i] = true
		for _, part := range u.Parts {
			listed[part.Unit] = true
		}
	}
	ids := make([]string, len(r.Units))
	n := 0
	for i, in := range listed {
		if in {
			ids[i] = id("u", n)
			n++
		}
	}
	return ids
}

// drawn lists what the document draws, with the path of each patch where units are known.
func (r *Result) drawn() {
	p := r.Plan
	n := 0
	for _, block := range r.Blocks {
		n += len(block.Patches)
	}
	p.Drawn = slices.Grow(p.Drawn, n)
	for b, block := range r.Blocks {
		of := "block " + id("b", b)
		for k, patch := range block.Patches {
			d := r.patch(of, patch.Fabric, patch.Outline, patch.Up)
			if use := r.Pieced.Blocks[b]; r.Units != nil && use.Unit >= 0 {
				d.Leaf = r.leaf(use.Unit, r.Pieced.BlockLeaves[b][k])
			}
			p.Drawn = append(p.Drawn, d)
		}
	}
	if r.Top == nil {
		return
	}
	for k, patch := range r.Top.Patches {
		d := r.patch("top", patch.Fabric, patch.Outline, patch.Up)
		if r.Units != nil && r.Pieced.Top >= 0 {
			d.Leaf = r.leaf(r.Pieced.Top, r.Pieced.TopLeaves[k])
		}
		p.Drawn = append(p.Drawn, d)
	}
}

func (r *Result) patch(of string, fabric int, outline plane.Polygon, up plane.Turn) plan.Drawn {
	d := plan.Drawn{Of: of, Fabric: r.Doc.Fabrics[fabric].Letter, Outline: vertices(outline), Leaf: []int{}}
	if r.Doc.Fabrics[fabric].Print != quilt.Plain {
		d.Up = upright(up)
	}
	return d
}

// leaf is the path of a patch through the units as they are made, where path is the one through the units as they were
// taken apart: a unit that a batch makes whole has its patches themselves for parts.
func (r *Result) leaf(root int, path []int) []int {
	out := make([]int, 0, len(path))
	i := root
	for n, k := range path {
		made, taken := r.Units[i].Parts, r.Pieced.Units[i].Parts
		if &made[0] != &taken[0] {
			return append(out, whole(made, r.Pieced, i, path[n:]))
		}
		out = append(out, k)
		i = made[k].Unit
	}
	return out
}

// whole is which of the parts made of unit i is the patch that path led to before.
func whole(made []piecing.Part, pieced *piecing.Result, i int, path []int) int {
	var pose plane.Pose
	for _, k := range path {
		part := pieced.Units[i].Parts[k]
		pose = part.Pose.Then(pose)
		i = part.Unit
	}
	for k, part := range made {
		if part.Unit == i && part.Pose.At.Equal(pose.At) && part.Pose.Turn == pose.Turn && part.Pose.Mirror == pose.Mirror {
			return k
		}
	}
	panic("compile: a patch is no part of the unit that is made of it")
}

func upright(t plane.Turn) *int {
	n := int(t)
	return &n
}

// blocks lists the blocks and where they are placed.
func (r *Result) blocks(ids []string) {
	p := r.Plan
	made := make([]int, len(r.Blocks))
	for i, placed := range r.Top.Placed {
		made[placed.Block]++
		pose := r.sewn(i)
		p.Placed = append(p.Placed, plan.Placed{Block: id("b", placed.Block), At: point(pose.At), Turn: int(pose.Turn), Row: placed.Row, Column: placed.Column, Leaf: append([]int{}, r.Pieced.PlacedLeaves[i]...)})
	}
	for b, block := range r.Blocks {
		use := r.Pieced.Blocks[b]
		if use.Unit < 0 || made[b] == 0 {
			continue
		}
		out := plan.Block{ID: id("b", b), Name: block.Name, Recolor: map[string]string{}, Mirror: block.Mirror, Upright: int(block.Upright),
			Finished: plan.Size{Width: num(block.Width), Height: num(block.Height)}, Made: made[b], Patches: len(block.Patches), Unit: ids[use.Unit]}
		if use.Pose != (plane.Pose{}) {
			lie := posed(use.Pose)
			out.Lie = &lie
		}
		for from, to := range block.Recolor {
			if from != to {
				out.Recolor[from] = to
			}
		}
		if block.Def != nil {
			out.Note = block.Def.Note
		}
		count := r.joins(use.Unit, map[int][4]int{})
		out.Straight, out.Partial, out.SetIn, out.Curved = count[0], count[1], count[2], count[3]
		p.Blocks = append(p.Blocks, out)
	}
}

// sewn is how placed block i lies in the top as it is sewn. Where a row is used upside down because it looks the same, so is the block.
func (r *Result) sewn(i int) plane.Pose {
	pose := r.Pieced.Blocks[r.Top.Placed[i].Block].Pose.Inverse()
	u := r.Pieced.Top
	chain := plane.Pose{}
	for _, k := range r.Pieced.PlacedLeaves[i] {
		part := r.Pieced.Units[u].Parts[k]
		chain = part.Pose.Then(chain)
		u = part.Unit
	}
	return pose.Then(chain)
}

// joins counts the joins of each kind under a unit. What goes on from another, or finishes it, is the same join.
func (r *Result) joins(i int, known map[int][4]int) [4]int {
	if n, ok := known[i]; ok {
		return n
	}
	var n [4]int
	u := &r.Units[i]
	for _, j := range u.Joins {
		if !j.OneGo && !(j.Finish && j.Kind == piecing.Partial) {
			n[j.Kind]++
		}
	}
	for _, part := range u.Parts {
		for k, m := range r.joins(part.Unit, known) {
			n[k] += m
		}
	}
	known[i] = n
	return n
}

func posed(p plane.Pose) plan.Pose {
	return plan.Pose{At: point(p.At), Turn: plan.Num(p.Turn), Mirror: p.Mirror}
}

// unitList lists the units.
func (r *Result) unitList(ids []string, of map[cut.Source]int, opt Options) {
	var layers [][]press.Crossing
	if opt.Effort != Quick {
		layers = press.Layers(r.Units, r.Ways, r.Press)
	}
	watch, trims := press.Watch(r.Units), press.Trimming(r.Units, r.Doc.Seam.Float())
	webs := map[int]bool{} // units of blocks
	for _, placed := range r.Top.Placed {
		webs[r.Pieced.Blocks[placed.Block].Unit] = true
	}
	for i := range r.Units {
		u := &r.Units[i]
		if ids[i] == "" {
			continue
		}
		_, size := u.Outline.Box()
		out := plan.Unit{ID: ids[i], Key: u.Key, Kind: r.kind(i), Name: u.Name, Outline: vertices(u.Outline),
			Size: plan.Size{Width: num(size.X), Height: num(size.Y)}, Needed: u.Needed(), Made: u.MadeInAll(), Spare: u.Spare,
			Excess: plan.Size{Width: plan.Num(u.Excess[0]), Height: plan.Num(u.Excess[1])}}
		out.Surplus = out.Made - out.Needed - out.Spare
		if u.Leaf != nil {
			out.Fabric = r.Doc.Fabrics[u.Leaf.Fabric].Letter
			if r.Doc.Fabrics[u.Leaf.Fabric].Print != quilt.Plain {
				out.Up = upright(u.Leaf.Up)
			}
			if u.Single != nil {
				out.Piece = r.Pieces[of[cut.Source{Unit: i, Blank: -1}]].Label
				lie := u.LiePose()
				out.Lie = &lie
			}
		}
		for k, part := range u.Parts {
			p := plan.Part{Unit: ids[part.Unit], At: point(part.Pose.At), Turn: plan.Num(part.Pose.Turn), Mirror: part.Pose.Mirror}
			if r.Units[part.Unit].BothWays() {
				p.Way = r.Ways.Of(i, k, 0)
			}
			out.Parts = append(out.Parts, p)
		}
		way := 0
		if u.MadeWay(0) == 0 && u.MadeWay(1) > 0 {
			way = 1 // made one way only after all
		}
		aligned := method.Aligned(r.Units, i, r.Doc.Seam.Float(), method.Ease(r.Doc.Measure))
		for k, j := range u.Joins {
			join := plan.Join{Parts: [2]int{j.A, j.B}, Kind: j.Kind.String(), Seam: [2]plan.Point{point(j.Seam.A), point(j.Seam.B)}, Top: max(j.A, j.B),
				Press: r.direction(i, way, k), Spun: r.spun(i, way, k)}
			if w := watch[i][k]; w.Top >= 0 {
				join.Top, join.Watched = w.Top, "seams"
				if len(w.Points) > 0 {
					join.Watched = "points"
				}
				for _, q := range w.Points {
					join.Watch = append(join.Watch, plan.Point{plan.Num(q[0]), plan.Num(q[1])})
				}
			}
			for _, a := range aligned[k] {
				join.Align = append(join.Align, plan.Align{End: a.End, Part: a.Part, Past: plan.Num(a.By)})
			}
			if u.BothWays() {
				for way := range 2 {
					join.Split = append(join.Split, plan.Split{Press: r.direction(i, way, k), Spun: r.spun(i, way, k), Made: u.MadeWay(way)})
				}
			}
			if u.Usual != nil && u.Usual[k] >= 0 {
				join.Usual = u.Method
			}
			out.Joins = append(out.Joins, join)
		}
		for k := range u.Tips {
			t, line := &u.Tips[k], u.Tips[k].Line()
			out.Tips = append(out.Tips, plan.Tip{Part: t.Part, Line: [2]plan.Point{{plan.Num(line[0][0]), plan.Num(line[0][1])}, {plan.Num(line[1][0]), plan.Num(line[1][1])}}, In: plan.Num(t.In), Angle: plan.Num(t.Angle)})
		}
		for m, c := range u.Months {
			if made, used := c.Made[0]+c.Made[1], c.Used[0]+c.Used[1]; made > 0 || used > 0 {
				out.Months = append(out.Months, plan.UnitMonth{Month: m + 1, Made: made, Used: used})
			}
		}
		if u.Made && u.Leaf == nil {
			out.Recipe = recipeID(ids[u.Maker], way)
		}
		if layers != nil {
			out.Bulk = r.bulk(i, layers[i])
		}
		if t := trims[i]; t != nil {
			out.Trim = &plan.Trim{Meets: []plan.Meet{}}
			if !t.Turned {
				out.Trim.From = &plan.Size{Width: plan.Num(t.From[0]), Height: plan.Num(t.From[1])}
			}
			for _, m := range t.Meets {
				out.Trim.Meets = append(out.Trim.Meets, plan.Meet{At: plan.Point{plan.Num(m.X), plan.Num(m.Y)}, From: plan.Num(m.From)})
			}
			for _, q := range t.Points {
				out.Trim.Points = append(out.Trim.Points, plan.Point{plan.Num(q[0]), plan.Num(q[1])})
			}
		}
		if webs[i] {
			if w, ok := sew.AsWeb(r.Units, i, r.Ways, &r.Press); ok {
				out.Web = &plan.Web{Rows: w.Rows, Columns: w.Columns}
			}
		}
		r.Plan.Units = append(r.Plan.Units, out)
		if u.Made && u.Leaf == nil {
			c := plan.Choice{Unit: ids[i], Method: u.Method, Why: u.Why}
			for _, f := range u.Refused {
				c.Refused = append(c.Refused, plan.Refused{Method: f.Method, Why: f.Why})
			}
			r.Plan.Choices = append(r.Plan.Choices, c)
		}
	}
}

// kind is the plan's word for what a unit is.
func (r *Result) kind(i int) string {
	u := &r.Units[i]
	if u.Leaf != nil {
		return "patch"
	}
	if u.Shape.Kind.Trade() {
		return string(u.Shape.Kind)
	}
	switch u.Role {
	case piecing.Row, piecing.Block, piecing.Top, piecing.Setting:
		return u.Role.String()
	}
	return string(u.Shape.Kind)
}

// direction is which way join k of unit i is pressed where it is made the given way.
func (r *Result) direction(i, way, k int) string {
	u := &r.Units[i]
	t := r.Press.Toward[i][way]
	if t == nil {
		return "open"
	}
	switch t[k] {
	case press.TowardA:
		return "toward " + strconv.Itoa(u.Joins[k].A)
	case press.TowardB:
		return "toward " + strconv.Itoa(u.Joins[k].B)
	}
	return "open"
}

// spun are the crossings at which join k of unit i is spun where it is made the given way.
func (r *Result) spun(i, way, k int) (out []plan.Point) {
	if all := r.Press.Spun[i][way]; all != nil {
		for _, at := range all[k] {
			out = append(out, plan.Point{plan.Num(at.X), plan.Num(at.Y)})
		}
	}
	return out
}

// recipeID names the recipe of a unit; one that is made both ways has two.
func recipeID(unit string, way int) string { return "r" + unit[1:] + []string{"", "b"}[way] }

// recipeList lists the recipes, with names for blanks and units and a direction for every press.
func (r *Result) recipeList(ids []string, of map[cut.Source]int) {
	for i := range r.Units {
		u := &r.Units[i]
		if u.Recipe == nil || !u.Made {
			continue
		}
		for way := range 2 {
			if u.BatchesWay(way) > 0 {
				r.Plan.Recipes = append(r.Plan.Recipes, r.recipe(i, way, ids, of))
			}
		}
	}
}

func (r *Result) recipe(i, way int, ids []string, of map[cut.Source]int) plan.Recipe {
	u := &r.Units[i]
	out := plan.Recipe{ID: recipeID(ids[i], way), Way: way, Method: u.Recipe.Method, Unit: ids[i], Batches: u.BatchesWay(way),
		Makes: []plan.Makes{{Unit: ids[i], Count: u.Recipe.Yield}}, Do: append([]plan.Op(nil), u.Recipe.Do...)}
	if u.Mate >= 0 {
		out.Makes = append(out.Makes, plan.Makes{Unit: ids[u.Mate], Count: u.Recipe.Yield})
	}
	for _, f := range u.Recipe.From {
		from := plan.From{Count: f.Count}
		if f.Blank >= 0 {
			from.Piece = r.Pieces[of[cut.Source{Unit: i, Blank: f.Blank}]].Label
		} else {
			from.Unit = ids[f.Unit]
		}
		out.From = append(out.From, from)
	}
	for _, g := range u.Recipe.Gives {
		of := i
		if g.Mate {
			of = u.Mate
		}
		out.Gives = append(out.Gives, plan.Gives{Work: g.Work, Unit: ids[of], Pose: g.Pose})
	}
	for _, pr := range u.Recipe.Press {
		of := i
		if pr.Mate {
			of = u.Mate
		}
		if t := r.Press.Toward[of][way][pr.Join]; t != press.Open {
			toward := pr.Toward[t]
			out.Do[pr.Op].Toward = &toward
		}
		if spun := r.spun(i, way, pr.Join); len(spun) > 0 {
			// Its line in the recipe runs as the seam does in the unit.
			from, to, along := point(u.Joins[pr.Join].Seam.A), point(u.Joins[pr.Join].Seam.B), *out.Do[pr.Stitch].Along
			long := func(a, b plan.Point) float64 { return math.Hypot(float64(b[0]-a[0]), float64(b[1]-a[1])) }
			for _, at := range spun {
				var p plan.Point
				for k := range p {
					p[k] = along[0][k] + (along[1][k]-along[0][k])*plan.Num(long(from, at)/long(from, to))
				}
				out.Do[pr.Op].Spun = append(out.Do[pr.Op].Spun, p)
			}
		}
	}
	for m, c := range u.Months {
		if n := c.Batches[way]; n > 0 {
			out.Months = append(out.Months, plan.BatchMonth{Month: m + 1, Batches: n})
		}
	}
	return out
}

// pieceList lists the pieces, fabric by fabric, largest first.
func (r *Result) pieceList(ids []string) {
	for _, i := range cut.Listed(r.Pieces) {
		x := &r.Pieces[i]
		b := x.Blank
		out := plan.Piece{Label: x.Label, Key: x.Key, Fabric: r.Doc.Fabrics[b.Fabric].Letter, Shape: b.Shape, Hand: b.Hand,
			Width: plan.Num(b.Width), Height: plan.Num(b.Height), Exact: [2]plan.Num{plan.Num(b.Exact[0]), plan.Num(b.Exact[1])},
			Cut: x.Cut(), Each: b.Each, Yields: x.Cut() * b.Each, Needed: x.Needed, Spare: x.Spare, Samples: x.Samples, Surplus: x.Surplus,
			Grain: b.Grain, Turnable: b.Turnable, Trimmed: b.Trimmed, Measured: b.Measured}
		out.Bias = b.Bias()
		if b.Up != 0 {
			out.Up = &b.Up
		}
		if b.Centred {
			out.Motif = &plan.Point{plan.Num(b.Motif[0]), plan.Num(b.Motif[1])}
		}
		for _, v := range b.Outline {
			out.Outline = append(out.Outline, plan.Vertex{X: plan.Num(v[0]), Y: plan.Num(v[1])})
		}
		for m, n := range x.Months {
			if n > 0 {
				out.Months = append(out.Months, plan.PieceMonth{Month: m + 1, Cut: n})
			}
		}
		for _, u := range x.Units {
			out.ForUnits = append(out.ForUnits, ids[u])
		}
		r.Plan.Pieces = append(r.Plan.Pieces, out)
	}
}

// months lists the programme.
func (r *Result) months(months [][][2]int, setMonth int) {
	for m := range months {
		out := plan.Month{Number: m + 1, Set: m == setMonth, Finish: m == len(months)-1}
		if m < len(r.Doc.Months) {
			d := r.Doc.Months[m]
			out.Title, out.Opens, out.Note, out.Finish = d.Title, d.Opens, d.Note, d.Finish
		}
		seen := map[int]bool{}
		for _, u := range r.monthly(months)[m] {
			for b := range r.Blocks {
				if r.Pieced.Blocks[b].Unit == u && !seen[b] && months[m][b] != [2]int{} {
					seen[b] = true
					out.Blocks = append(out.Blocks, plan.MonthBlock{Block: id("b", b), Count: months[m][b][0] + months[m][b][1]})
				}
			}
		}
		r.Plan.Months = append(r.Plan.Months, out)
	}
}

// bulk is the layers at the crossings of unit i.
func (r *Result) bulk(i int, crossings []press.Crossing) []plan.Crossing {
	var all []plan.Crossing
	for _, c := range crossings {
		out := plan.Crossing{At: plan.Point{plan.Num(c.X), plan.Num(c.Y)}, Layers: c.Layers[0]}
		switch {
		case r.Units[i].BothWays():
			out.Other = c.Layers[1]
		case c.Layers[0] == 0:
			out.Layers = c.Layers[1]
		}
		all = append(all, out)
	}
	return all
}

// pressing sums up the pressing.
func (r *Result) pressing(ids []string) {
	s := &r.Press
	r.Plan.Press = plan.Press{Meetings: len(s.Meetings), Nested: s.Nested, Open: s.Flat, Same: s.Same, Cost: int(s.Cost), Bound: int(s.Bound), Optimal: s.Optimal}
	for _, m := range s.Meetings {
		if m.Is != "nested" {
			out := plan.Meeting{Unit: ids[m.Unit], Join: m.Join, Point: plan.Point{plan.Num(m.X), plan.Num(m.Y)}, Is: m.Is, Why: m.Why}
			for _, seam := range m.Ring {
				out.Ring = append(out.Ring, plan.Seam{Unit: ids[seam[0]], Join: seam[1]})
			}
			r.Plan.Press.Unmet = append(r.Plan.Press.Unmet, out)
		}
	}
}

// steps lists the order of work.
func (r *Result) steps(ids []string, of map[cut.Source]int) {
	for _, s := range r.Steps {
		u := &r.Units[s.Unit]
		out := plan.Step{Month: s.Month + 1, Chain: s.Chain, Stage: string(s.Stage), Unit: ids[s.Unit], Recipe: recipeID(ids[s.Unit], s.Way),
			First: s.First, Last: s.Last, Count: s.Count, Makes: s.Makes, Says: plan.Says{Verb: u.Recipe.Do[s.First].Op, Form: u.Method}}
		if s.Makes > 0 {
			if w, h, ok := rawSize(u, r.Doc.Seam.Float()); ok {
				out.Size = &[2]plan.Num{plan.Num(w), plan.Num(h)}
			}
			out.Out = plan.Num(math.Max(u.Excess[0], u.Excess[1]) + method.Ease(r.Doc.Measure))
			last := s.Month == lastMonth(u)
			if last {
				out.Surplus = u.Over(s.Way)
			}
			if u.Mate >= 0 {
				mate, also := &r.Units[u.Mate], plan.Also{Unit: ids[u.Mate], Makes: s.Makes}
				if last {
					also.Surplus = mate.Over(s.Way)
				}
				out.Also = append(out.Also, also)
			}
		}
		if labels := r.measured(u, of); len(labels) > 0 && s.First == 0 {
			r.Plan.Steps = append(r.Plan.Steps, plan.Step{Month: out.Month, Stage: out.Stage, Unit: out.Unit, Says: plan.Says{Verb: "measure", Parts: labels}})
		}
		r.Plan.Steps = append(r.Plan.Steps, out)
	}
}

// extra is what is cut for the samples.
func (r *Result) extra() []cut.Extra {
	var out []cut.Extra
	for _, s := range r.Samples {
		for _, t := range s.Takes {
			out = append(out, cut.Extra{Source: cut.Source{Unit: t.Unit, Blank: t.Blank}, Month: s.Month, Count: t.Count})
		}
	}
	return out
}

// samples lists, month by month, what is shown in a class.
func (r *Result) samples(ids []string, of map[cut.Source]int) {
	for _, s := range r.Samples {
		out := plan.Sample{Unit: ids[s.Unit], Recipe: recipeID(ids[s.Unit], s.Way), After: s.After, Batches: s.Batches}
		for _, t := range s.Takes {
			label := r.Pieces[of[cut.Source{Unit: t.Unit, Blank: t.Blank}]].Label
			if k := slices.IndexFunc(out.Pieces, func(p plan.SamplePiece) bool { return p.Piece == label }); k >= 0 {
				out.Pieces[k].Count += t.Count
			} else {
				out.Pieces = append(out.Pieces, plan.SamplePiece{Piece: label, Count: t.Count})
			}
		}
		m := &r.Plan.Months[s.Month]
		m.Samples = append(m.Samples, out)
	}
}

// measured are the labels of the parts of a unit that are cut to a length measured on one's own top.
func (r *Result) measured(u *method.Unit, of map[cut.Source]int) []string {
	var labels []string
	for _, p := range u.Parts {
		if s := r.Units[p.Unit].Single; s == nil || !s.Measured {
			continue
		}
		if l := r.Pieces[of[cut.Source{Unit: p.Unit, Blank: -1}]].Label; !slices.Contains(labels, l) {
			labels = append(labels, l)
		}
	}
	return labels
}

// finishing are the steps after the top, as far as the document says what is behind it and around it.
func (r *Result) finishing(setMonth int) {
	month := setMonth + 1
	for i := range r.Plan.Months {
		if r.Plan.Months[i].Finish {
			month = max(month, r.Plan.Months[i].Number)
		}
	}
	if n := len(r.Plan.Steps); n > 0 {
		month = max(month, r.Plan.Steps[n-1].Month)
	}
	add := func(says plan.Says) {
		r.Plan.Steps = append(r.Plan.Steps, plan.Step{Month: month, Stage: "finish", Says: says})
	}
	fin := r.Plan.Finish
	if b := fin.Backing; b != nil && b.Panels > 1 {
		add(plan.Says{Verb: "back", Count: b.Panels, Form: b.Seams})
	}
	if fin.Backing != nil || fin.Batting != nil {
		add(plan.Says{Verb: "layer"})
		add(plan.Says{Verb: "even"})
	}
	if b := fin.Binding; b != nil {
		if b.Joins > 0 {
			add(plan.Says{Verb: "lengthen", Width: b.Strip, Count: b.Strips})
		}
		add(plan.Says{Verb: "bind", Width: b.Strip})
	}
}

func lastMonth(u *method.Unit) int {
	last := 0
	for m, c := range u.Months {
		if c.Batches[0]+c.Batches[1] > 0 {
			last = m
		}
	}
	return last
}

// rawSize is the size of a rectangular unit raw edge to raw edge.
func rawSize(u *method.Unit, seam float64) (w, h float64, ok bool) {
	_, hi := u.Outline.Box()
	if len(u.Outline) != 4 || !u.Outline.Area2().Equal(hi.X.Mul(hi.Y).Add(hi.X.Mul(hi.Y))) {
		return 0, 0, false
	}
	return hi.X.Float() + 2*seam, hi.Y.Float() + 2*seam, true
}

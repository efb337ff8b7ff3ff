package app

import (
	"net/url"
	"slices"
	"strconv"

	"quiltwright/internal/compile"
	"quiltwright/internal/plan"
	"quiltwright/internal/quilt"
	"quiltwright/internal/set"
	"quiltwright/internal/words"
)

// litView is the piece that is looked at, in every place.
type litView struct {
	Piece  *pickedView `json:"piece"` // null for none
	Labels []string    `json:"labels"`
	Months []monthName `json:"months"` // of the programme; empty without one
}

// monthName is a month in a list of months.
type monthName struct {
	Number int    `json:"number"`
	Says   string `json:"says"`
}

// pickedView is a piece and where it is.
type pickedView struct {
	Label  string      `json:"label"`
	Says   string      `json:"says"` // its line of the cutting list, labels between pairs of asterisks
	Fabric string      `json:"fabric"`
	Color  string      `json:"color"`
	Blocks []string    `json:"blocks"` // that it is sewn into
	Cut    []monthName `json:"cut"`    // months that cut it
	Sewn   []monthName `json:"sewn"`   // months whose steps name it
}

func unlit() litView { return litView{Labels: []string{}, Months: []monthName{}} }

// lit lights up the piece with the label; none where the plan has no such piece.
func lit(r *compile.Result, label string) litView {
	v, p := unlit(), r.Plan
	say := words.Of(p)
	if len(p.Months) > 1 {
		for i := range p.Months {
			v.Months = append(v.Months, monthName{p.Months[i].Number, say.Month(&p.Months[i]).String()})
		}
	}
	for _, piece := range p.Pieces {
		v.Labels = append(v.Labels, piece.Label)
	}
	i := slices.Index(v.Labels, label)
	if i < 0 {
		return v
	}
	piece := &p.Pieces[i]
	v.Piece = &pickedView{Label: piece.Label, Says: string(say.CutLine(piece)), Fabric: say.Fabric(piece.Fabric), Color: "#ccc", Blocks: []string{}, Cut: []monthName{}, Sewn: []monthName{}}
	if f := slices.IndexFunc(p.Fabrics, func(f plan.Fabric) bool { return f.Letter == piece.Fabric }); f >= 0 && p.Fabrics[f].Color != "" {
		v.Piece.Color = p.Fabrics[f].Color
	}
	for b, patches := range litInBlocks(r, label) {
		name := r.Blocks[b].Name
		placed := func(p set.Placed) bool { return p.Block == b }
		if slices.Contains(patches, true) && r.Blocks[b].Def != nil && slices.ContainsFunc(r.Top.Placed, placed) && !slices.Contains(v.Piece.Blocks, name) {
			v.Piece.Blocks = append(v.Piece.Blocks, name)
		}
	}
	for _, m := range piece.Months {
		if m.Cut > 0 {
			v.Piece.Cut = append(v.Piece.Cut, monthName{m.Month, "month " + strconv.Itoa(m.Month)})
		}
	}
	recipes := namers(p, piece.Label)
	for _, step := range p.Steps {
		if recipes[step.Recipe] && !slices.ContainsFunc(v.Piece.Sewn, func(m monthName) bool { return m.Number == step.Month }) {
			v.Piece.Sewn = append(v.Piece.Sewn, monthName{step.Month, "month " + strconv.Itoa(step.Month)})
		}
	}
	return v
}

// lit is the piece that the query names, for a place that does without a plan, and the compilation that it is of; nil where none is lit, or
// where there is no complete plan.
func (s *content) lit(q url.Values) (litView, *compile.Result) {
	r := s.result()
	if q.Get("piece") == "" || r == nil || !r.Plan.Complete {
		return unlit(), nil
	}
	v := lit(r, q.Get("piece"))
	if v.Piece == nil {
		return v, nil
	}
	return v, r
}

// litInBlocks says of every patch of every block whether it comes from a piece.
func litInBlocks(r *compile.Result, label string) [][]bool {
	from, out := originsOf(r), make([][]bool, len(r.Blocks))
	for b, block := range r.Blocks {
		if r.Pieced.Blocks[b].Unit < 0 {
			continue
		}
		out[b] = make([]bool, len(block.Patches))
		for i := range out[b] {
			out[b][i] = slices.Contains(from.ofBlock(b, i), label)
		}
	}
	return out
}

// litPatches are the numbers of the patches of a block that come from a piece, in any colours in which the quilt has it.
func litPatches(r *compile.Result, def *quilt.Block, label string) []int {
	out := []int{}
	for b, patches := range litInBlocks(r, label) {
		for i, on := range patches {
			if on && r.Blocks[b].Def == def && !slices.Contains(out, i) {
				out = append(out, i)
			}
		}
	}
	return out
}

// litOutlines are the patches of the quilt that come from a piece, where they lie in it.
func litOutlines(r *compile.Result, label string) [][][2]float64 {
	out, is := [][][2]float64{}, litInBlocks(r, label)
	for _, p := range r.Top.Placed {
		for i, on := range is[p.Block] {
			if on {
				out = append(out, corners(p.Pose.ApplyPolygon(r.Blocks[p.Block].Patches[i].Outline)))
			}
		}
	}
	from := originsOf(r)
	_, leaves := r.TopLeaves()
	for i, p := range r.Top.Patches {
		if slices.Contains(from.labels(r.Pieced.Top, leaves[i]), label) {
			out = append(out, corners(p.Outline))
		}
	}
	return out
}

// origins find the pieces that patches come from.
type origins struct {
	plan.Index
	r   *compile.Result
	ids []string // the plan's names of units; "" of those that it does not list
}

func originsOf(r *compile.Result) *origins { return &origins{r.Plan.Index(), r, r.UnitIDs()} }

// labels are the pieces that a patch under unit u comes from: its own, or those of its fabric that the method cuts it out of.
func (o *origins) labels(u int, leaf []int) []string {
	chain := []int{u}
	for _, k := range leaf {
		u = o.r.Units[u].Parts[k].Unit
		chain = append(chain, u)
	}
	fabric := o.r.Doc.Fabrics[o.r.Units[u].Leaf.Fabric].Letter
	unit := func(i int) *plan.Unit {
		if listed := o.Units[o.ids[i]]; listed != nil {
			return listed
		}
		return &plan.Unit{}
	}
	own := unit(u)
	for i := len(chain) - 2; i >= 0; i-- {
		recipe := o.Recipes[unit(chain[i]).Recipe]
		if recipe == nil {
			continue
		}
		out := []string{}
		for _, f := range recipe.From {
			if own.Piece != "" && (f.Piece == own.Piece || f.Unit == own.ID) {
				return []string{own.Piece}
			}
			if piece := o.Pieces[f.Piece]; piece != nil && piece.Fabric == fabric && !slices.Contains(out, f.Piece) {
				out = append(out, f.Piece)
			}
		}
		if len(out) > 0 {
			return out
		}
	}
	if own.Piece != "" {
		return []string{own.Piece}
	}
	return []string{}
}

// ofBlock are the pieces that a patch of a block comes from.
func (o *origins) ofBlock(b, patch int) []string {
	return o.labels(o.r.Pieced.Blocks[b].Unit, o.r.Leaf(b, patch))
}

// namers are the recipes that take the piece, or a unit that is the piece.
func namers(p *plan.Plan, label string) map[string]bool {
	is := map[string]bool{}
	for _, u := range p.Units {
		if u.Piece == label {
			is[u.ID] = true
		}
	}
	out := map[string]bool{}
	for _, r := range p.Recipes {
		for _, f := range r.From {
			if f.Piece == label || is[f.Unit] {
				out[r.ID] = true
			}
		}
	}
	return out
}

// under reports whether one of these units is the unit or under it.
func under(p *plan.Plan, id string, these []string) bool {
	at := p.Index().Units
	seen := map[string]bool{}
	var look func(id string) bool
	look = func(id string) bool {
		if slices.Contains(these, id) {
			return true
		}
		if seen[id] || at[id] == nil {
			return false
		}
		seen[id] = true
		return slices.ContainsFunc(at[id].Parts, func(part plan.Part) bool { return look(part.Unit) })
	}
	return look(id)
}

package app

import (
	"net/url"
	"slices"
	"strconv"

	"quiltwright/internal/compile"
	"quiltwright/internal/figure"
	"quiltwright/internal/plan"
	"quiltwright/internal/words"
)

// planView is what the places of the plan have in common.
type planView struct {
	Ready  bool        `json:"ready"` // false: there is no complete plan, or not yet
	Why    string      `json:"why"`   // not
	Piece  *pickedView `json:"piece"` // that is looked at, wherever it is; null for none
	Labels []string    `json:"labels"`
	Cost   costView    `json:"cost"`   // of the last change
	Months []monthName `json:"months"` // of the programme; empty without one
	Terms  []term      `json:"terms"`  // what the place lets one set for the whole quilt
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

// common is what the places have in common, and the compilation: nil where there is no complete plan.
func (s *state) common(q url.Values) (planView, *compile.Result) {
	v := planView{Labels: []string{}, Months: []monthName{}, Terms: []term{}, Cost: s.cost()}
	r := s.result()
	switch {
	case r == nil:
		v.Why = "planning …"
		return v, nil
	case !r.Plan.Complete:
		v.Why = "There is no plan until what is wrong is mended."
		return v, nil
	}
	v.Ready = true
	p := r.Plan
	say := words.Of(p)
	if len(p.Months) > 1 {
		for i := range p.Months {
			v.Months = append(v.Months, monthName{p.Months[i].Number, say.Month(&p.Months[i]).String()})
		}
	}
	for _, piece := range p.Pieces {
		v.Labels = append(v.Labels, piece.Label)
	}
	i := slices.Index(v.Labels, q.Get("piece"))
	if i < 0 {
		return v, r
	}
	piece := &p.Pieces[i]
	v.Piece = &pickedView{Label: piece.Label, Says: string(say.CutLine(piece)), Fabric: say.Fabric(piece.Fabric), Color: "#ccc", Blocks: []string{}, Cut: []monthName{}, Sewn: []monthName{}}
	if f := slices.IndexFunc(p.Fabrics, func(f plan.Fabric) bool { return f.Letter == piece.Fabric }); f >= 0 && p.Fabrics[f].Color != "" {
		v.Piece.Color = p.Fabrics[f].Color
	}
	for _, b := range p.Blocks {
		if under(p, b.Unit, piece.ForUnits) && !slices.Contains(v.Piece.Blocks, b.Name) {
			v.Piece.Blocks = append(v.Piece.Blocks, b.Name)
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
	return v, r
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

// drawer draws the plan; it serves one request.
func drawer(p *plan.Plan) (*words.Teller, *figure.Drawer) {
	say := words.Of(p)
	return say, figure.Of(p, say)
}

package book

import (
	"quiltwright/internal/plan"
	"quiltwright/internal/scene"
)

// Pages returns the pages of one month's handout, or for month 0 of the whole pattern, on one paper ("letter" or "a4"): one of
// what Documents returns, without the work for the others. It is empty for a paper that is not known.
func Pages(p *plan.Plan, o Options, paper string, month int) scene.Document {
	s, err := sheets(p, []string{paper})
	if err != nil {
		return scene.Document{}
	}
	return share(p, o).maker(s[0], month).document().Pages
}

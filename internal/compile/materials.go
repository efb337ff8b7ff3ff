package compile

import (
	"quiltwright/internal/cut"
	"quiltwright/internal/guillotine"
)

// materials lists what is bought and how it is cut out of the cloth.
func (r *Result) materials(months int, opt Options) {
	effort := guillotine.Normal
	switch {
	case opt.Cloth > 0:
		effort = opt.Cloth
	case opt.Effort == Quick:
		effort = guillotine.Quick
	}
	fabrics, finish, joined, found := cut.Materials(r.Doc, r.Pieces, r.Plan.Finished, months, effort, opt.Memory.layouts())
	r.Findings.Add(found...)
	r.Plan.Fabrics, r.Plan.Finish = fabrics, finish
	for i := range r.Plan.Pieces {
		r.Plan.Pieces[i].JoinedFrom = joined[r.Plan.Pieces[i].Label]
	}
}

package compile

import (
	"quiltwright/internal/cut"
	"quiltwright/internal/diag"
	"quiltwright/internal/guillotine"
	"quiltwright/internal/method"
	"quiltwright/internal/plan"
)

// materials begins to work out what is bought and how it is cut out of the cloth, beside what goes on meanwhile; what it returns waits for that
// and puts it into the plan, which has its pieces by then.
func (r *Result) materials(months int, opt Options) (put func()) {
	effort := opt.laying()
	var fabrics []plan.Fabric
	var finish plan.Finish
	var joined map[string]int
	var found diag.List
	finished := r.Plan.Finished
	done := make(chan any, 1)
	go func() {
		defer func() { done <- recover() }()
		fabrics, finish, joined, found = cut.Materials(r.Doc, r.Pieces, finished, months, effort, opt.Memory.layouts())
	}()
	return func() {
		if broken := <-done; broken != nil {
			panic(broken)
		}
		r.Findings.Add(found...)
		r.Plan.Fabrics, r.Plan.Finish = fabrics, finish
		for i := range r.Plan.Pieces {
			r.join(&r.Plan.Pieces[i], joined[r.Plan.Pieces[i].Label])
		}
	}
}

// laying is how much may be spent on laying a cloth.
func (o Options) laying() guillotine.Effort {
	switch {
	case o.Cloth > 0:
		return o.Cloth
	case o.Effort == Quick:
		return guillotine.Quick
	}
	return guillotine.Normal
}

// join says how a piece longer than the cloth is wide is cut: joined from so many strips, or from none, along the selvage.
func (r *Result) join(p *plan.Piece, from int) {
	switch {
	case p.Shape != method.JoinedStrip:
	case from == 0:
		p.Shape, p.Grain = method.Strip, "along"
	default:
		p.JoinedFrom, p.JoinedBy = from, "straight"
		if r.Doc.Make.LongStrips == "diagonal" {
			p.JoinedBy = "diagonal"
		}
	}
}

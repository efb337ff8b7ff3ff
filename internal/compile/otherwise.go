package compile

import (
	"math"
	"slices"
	"strings"

	"quiltwright/internal/cut"
	"quiltwright/internal/exact"
	"quiltwright/internal/measure"
	"quiltwright/internal/plan"
	"quiltwright/internal/quilt"
	"quiltwright/internal/unit"
)

// widths are how wide cloth is sold, usable, in inches and in centimetres.
var widths = map[measure.Unit][]int64{measure.Inch: {40, 42, 44, 108}, measure.Centimetre: {100, 107, 110}}

// makes are the choices of construction that may change what is bought, and the kind of unit that they are for, "" where any may be.
var makes = []struct {
	key  string
	kind unit.Kind
	of   func(*quilt.Make) *string
	are  []string
}{
	{"half squares", unit.HalfSquare, func(m *quilt.Make) *string { return &m.HalfSquares }, []string{"singles", "pairs", "eights"}},
	{"hourglass", unit.Hourglass, func(m *quilt.Make) *string { return &m.Hourglass }, []string{"singles", "pairs"}},
	{"three triangles", unit.ThreeTriangles, func(m *quilt.Make) *string { return &m.Three }, []string{"singles", "pairs"}},
	{"geese", unit.FlyingGeese, func(m *quilt.Make) *string { return &m.Geese }, []string{"singles", "fours", "flips"}},
	{"square in square", unit.SquareInSquare, func(m *quilt.Make) *string { return &m.InSquare }, []string{"singles", "flips"}},
	{"strip sets", "", func(m *quilt.Make) *string { return &m.StripSets }, []string{"always", "never"}},
}

// Otherwise works out what would be bought if the quilt were cut or made otherwise, by compiling it so, and notes in the plan where that is
// another amount: long strips and borders cut otherwise, each fabric and the backing from cloth of other widths, and other methods where they take less cloth in all. It also
// says whether a fabric's pieces come out of precuts. A plan that is not complete is left as it is.
func (r *Result) Otherwise(opt Options) {
	if !r.Plan.Complete {
		return
	}
	opt.Proof, opt.materials = false, true
	if opt.Memory == nil {
		opt.Memory = &Memory{} // most of it stays as it is
	}
	again := func(change func(*quilt.Document)) *plan.Plan {
		doc := *r.Doc
		doc.Fabrics = slices.Clone(doc.Fabrics)
		change(&doc)
		return Document(&doc, nil, opt).Plan
	}
	p := r.Plan
	for i := range p.Fabrics {
		if f := &p.Fabrics[i]; f.Length > 0 {
			for _, w := range widths[r.Doc.Measure] {
				if float64(f.Width) == float64(w) {
					continue
				}
				if q := again(func(d *quilt.Document) { d.Fabrics[i].Width = exact.Int(w) }); q.Complete {
					f.Instead = instead(f.Instead, f.Buy, q.Fabrics[i].Buy, plan.Instead{Way: "width", Width: plan.Num(w)})
				}
			}
		}
	}
	if b := p.Finish.Backing; b != nil {
		for _, w := range widths[r.Doc.Measure] {
			doc, backing := *r.Doc, *r.Doc.Finish.Backing
			backing.Width = exact.Int(w)
			doc.Finish.Backing = &backing
			q := cut.Finish(&doc, float64(p.Finished.Width), float64(p.Finished.Height)).Backing
			if float64(b.Width) != float64(w) {
				b.Instead = instead(b.Instead, plan.Buy{Amount: b.Amount, Unit: b.Unit}, plan.Buy{Amount: q.Amount, Unit: q.Unit}, plan.Instead{Way: "width", Width: plan.Num(w)})
			}
		}
	}
	for _, m := range makes {
		if m.kind != "" && !slices.ContainsFunc(p.Units, func(u plan.Unit) bool { return u.Kind == string(m.kind) }) {
			continue
		}
		for _, way := range m.are {
			if *m.of(&r.Doc.Make) == way {
				continue
			}
			q := again(func(d *quilt.Document) { *m.of(&d.Make) = way })
			if !q.Complete || bought(q) > bought(p)-1e-6 {
				continue
			}
			for i := range p.Fabrics {
				f := &p.Fabrics[i]
				f.Instead = instead(f.Instead, f.Buy, q.Fabrics[i].Buy, plan.Instead{Way: "make", Make: m.key + ": " + way})
			}
		}
	}
	for i, of := range cut.Otherwise(r.Doc, r.Pieces, r.borders(), p.Fabrics, p.Finish.Binding, opt.laying(), opt.Memory.layouts()) {
		p.Fabrics[i].Instead = append(of, p.Fabrics[i].Instead...)
	}
	for i, of := range cut.Precuts(r.Doc, r.Pieces) {
		p.Fabrics[i].Precuts = of
	}
}

// instead adds a way to a list where it changes what is bought.
func instead(list []plan.Instead, is, other plan.Buy, way plan.Instead) []plan.Instead {
	if other.Unit != is.Unit || math.Abs(float64(other.Amount-is.Amount)) < 1e-6 {
		return list
	}
	way.Amount, way.Unit = other.Amount, other.Unit
	return append(list, way)
}

// bought is how much is bought of what comes off the bolt.
func bought(p *plan.Plan) float64 {
	sum := 0.0
	for _, f := range p.Fabrics {
		if f.Sheets == 0 {
			sum += float64(f.Buy.Amount)
		}
	}
	return sum
}

// borders are the labels of the pieces that borders are, but for their corners.
func (r *Result) borders() map[string]bool {
	units := map[string]*plan.Unit{}
	for i := range r.Plan.Units {
		units[r.Plan.Units[i].ID] = &r.Plan.Units[i]
	}
	out := map[string]bool{}
	if r.Top == nil {
		return out
	}
	for k, patch := range r.Top.Patches {
		if !strings.HasPrefix(patch.Role, "border") || strings.HasSuffix(patch.Role, "corner") {
			continue
		}
		u := units[r.Plan.Top]
		for _, n := range r.leaf(r.Pieced.Top, r.Pieced.TopLeaves[k]) {
			u = units[u.Parts[n].Unit]
		}
		if u.Piece != "" {
			out[u.Piece] = true
		}
	}
	return out
}

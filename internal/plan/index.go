package plan

import "slices"

// Index finds what a plan has by its id, letter or label; of two that are called alike, the later one. It points into the plan.
type Index struct {
	Units   map[string]*Unit
	Pieces  map[string]*Piece // by label
	Recipes map[string]*Recipe
	Fabrics map[string]*Fabric // by letter
	Blocks  map[string]*Block
}

// Index makes an index of the plan as it is now.
func (p *Plan) Index() Index {
	return Index{
		Units:   index(p.Units, func(u *Unit) string { return u.ID }),
		Pieces:  index(p.Pieces, func(x *Piece) string { return x.Label }),
		Recipes: index(p.Recipes, func(r *Recipe) string { return r.ID }),
		Fabrics: index(p.Fabrics, func(f *Fabric) string { return f.Letter }),
		Blocks:  index(p.Blocks, func(b *Block) string { return b.ID }),
	}
}

func index[T any](list []T, name func(*T) string) map[string]*T {
	out := make(map[string]*T, len(list))
	for i := range list {
		out[name(&list[i])] = &list[i]
	}
	return out
}

// Cuts says whether anything is cut from a fabric.
func (p *Plan) Cuts(letter string) bool {
	b := p.Finish.Binding
	return b != nil && b.Fabric == letter || slices.ContainsFunc(p.Pieces, func(x Piece) bool { return x.Fabric == letter })
}

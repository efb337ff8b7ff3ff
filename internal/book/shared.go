package book

import (
	"bytes"
	"image"
	_ "image/jpeg" // the pictures that can be printed
	_ "image/png"

	"quiltwright/internal/figure"
	"quiltwright/internal/forecast"
	"quiltwright/internal/measure"
	"quiltwright/internal/plan"
	"quiltwright/internal/words"
)

// shared is what the documents of a plan have in common: the plan's parts by name, and the drawings, which cost more than all the rest
// and are the same in every document and on every paper.
type shared struct {
	p       *plan.Plan
	expect  *forecast.Forecast
	t       *words.Teller
	fig     *figure.Drawer
	unit    measure.Unit
	units   map[string]*plan.Unit
	pieces  map[string]*plan.Piece
	recipes map[string]*plan.Recipe
	blocks  map[string]*plan.Block
	cloths  map[string]*cloth
	owners  map[string]string // the block that each unit stands in
	fits    map[sized]grid    // sections that were drawn
}

func share(p *plan.Plan, o Options) *shared {
	by, tell := p.Index(), words.Of
	if o.Brief {
		tell = words.Brief
	}
	k := &shared{p: p, expect: o.Expect, t: tell(p), unit: measure.Inch, units: by.Units, pieces: by.Pieces, recipes: by.Recipes, blocks: by.Blocks,
		cloths: map[string]*cloth{}, fits: map[sized]grid{}}
	if p.Measure == "cm" {
		k.unit = measure.Centimetre
	}
	k.fig = figure.Of(p, k.t)
	for i := range p.Fabrics {
		f := &p.Fabrics[i]
		c := &cloth{look: k.fig.Look(f.Letter)}
		if f.Swatch != "" {
			c.picture = shown(o.Pictures[f.Swatch])
		}
		k.cloths[f.Letter] = c
	}
	return k
}

// shown is a picture that can be printed, or none.
func shown(file []byte) []byte {
	_, kind, err := image.DecodeConfig(bytes.NewReader(file))
	if err != nil || kind != "jpeg" && kind != "png" {
		return nil
	}
	return file
}

// months names the documents of the plan by their month; 0 is the whole pattern.
func (k *shared) months() []int {
	out := []int{0}
	if len(k.p.Months) > 1 {
		for _, m := range k.p.Months {
			out = append(out, m.Number)
		}
	}
	return out
}

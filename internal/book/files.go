package book

import (
	"fmt"
	"strings"

	"quiltwright/internal/plan"
	"quiltwright/internal/scene"
)

// NamedDrawing is a drawing and the name of its file, without its ending.
type NamedDrawing struct {
	Name    string
	Drawing scene.Drawing
}

// Drawings returns every drawing of a plan for use elsewhere: the quilt, the layout, each block, how
// thick its cloth lies, each strip, and each step. Names are unique.
func Drawings(p *plan.Plan, o Options) []NamedDrawing { return share(p, o).drawings() }

func (k *shared) drawings() []NamedDrawing {
	p := k.p
	var out []NamedDrawing
	taken := map[string]bool{}
	add := func(name string, d scene.Drawing) {
		if d.W <= 0 || d.H <= 0 {
			return
		}
		base := name
		for n := 2; taken[name]; n++ {
			name = fmt.Sprintf("%s-%d", base, n)
		}
		taken[name] = true
		out = append(out, NamedDrawing{name, d})
	}
	add("quilt", k.fig.Quilt(512, 680))
	if len(p.Placed) > 1 {
		add("layout", k.fig.Layout(512, 680))
	}
	for _, b := range p.Blocks {
		add("block-"+slug(b.Name), k.fig.Block(b.ID, 288))
		add("assembly-"+slug(b.Name), k.fig.Assembly(b.Unit, 360, 360))
		add("bulk-"+slug(b.Name), k.fig.Bulk(b.Unit, 360, 360))
	}
	if len(p.Placed) > 1 {
		add("bulk-top", k.fig.Bulk(p.Top, 512, 680))
	}
	for i := range p.Fabrics {
		f := &p.Fabrics[i]
		for j := range f.Strips {
			add(fmt.Sprintf("strip-%s-%d", strings.ToLower(f.Letter), j+1), k.fig.Strip(f, 0, j, drawnWidth))
		}
	}
	for _, mo := range p.Months {
		for _, s := range k.sections(mo.Number) {
			g := k.grid(s.steps, 1)
			for _, i := range s.steps {
				add(fmt.Sprintf("step-%03d", i+1), g.drawn[i].d)
			}
		}
	}
	return out
}

// slug is a name as part of a file's name: small letters and figures, the rest as hyphens.
func slug(s string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(s) {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			b.WriteRune(r)
		} else if n := b.Len(); n > 0 && b.String()[n-1] != '-' {
			b.WriteByte('-')
		}
	}
	return strings.Trim(b.String(), "-")
}

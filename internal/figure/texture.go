package figure

import (
	"math"
	"sort"

	"quiltwright/internal/scene"
)

// Contrast is how far the greys of two fabrics must lie apart to be told apart where there is no colour, of 1 from black to white.
const Contrast = 0.16

// textures are what is printed on fabrics, the plainest first. None runs as the wrong side's hatch does. The colours are the fabrics'.
var textures = []*scene.Hatch{
	nil,
	{Weave: scene.Dotted, Gap: 3.6, Width: 1},
	{Angle: 90, Gap: 3, Width: 0.4},
	{Weave: scene.Crossed, Gap: 4, Width: 0.4},
	{Angle: 0, Gap: 3, Width: 0.4},
	{Angle: 45, Gap: 3.4, Width: 0.4},
	{Weave: scene.Crossed, Angle: 45, Gap: 4, Width: 0.4},
	{Weave: scene.Dotted, Angle: 45, Gap: 5.6, Width: 1.5},
}

// texture is one of the textures on a ground, so light that labels and lines stay clear.
func texture(n int, ground scene.Color) *scene.Hatch {
	if textures[n] == nil {
		return nil
	}
	h := *textures[n]
	h.Color = ground.Mix(on(ground), 0.38)
	return &h
}

// tellApart gives fabrics textures so that those whose patches touch anywhere in the quilt differ clearly in grey or in texture: plain
// wherever that is enough, in the order of the plan.
func (d *Drawer) tellApart() {
	near := map[string][]string{} // fabrics that look alike in grey
	for _, f := range d.p.Fabrics {
		for _, g := range d.p.Fabrics {
			if f.Letter != g.Letter && math.Abs(d.color(f.Letter).Luma()-d.color(g.Letter).Luma()) < Contrast {
				near[f.Letter] = append(near[f.Letter], g.Letter)
			}
		}
	}
	if len(near) == 0 {
		return
	}
	touching := d.touching(near)
	given := map[string]int{}
	for _, f := range d.p.Fabrics {
		used := map[int]bool{}
		for _, g := range near[f.Letter] {
			if n, done := given[g]; done && touching[pair(f.Letter, g)] {
				used[n] = true
			}
		}
		n := 0
		for used[n] && n+1 < len(textures) {
			n++
		}
		given[f.Letter] = n
		look := d.looks[f.Letter]
		look.Texture = texture(n, look.Color)
		d.looks[f.Letter] = look
	}
}

func pair(a, b string) [2]string {
	if a > b {
		a, b = b, a
	}
	return [2]string{a, b}
}

// edge is a side of a patch: the line it lies on, by its direction and its distance from 0,0, and where on the line.
type edge struct {
	angle, off float64
	from, to   float64
	fabric     string
}

// touching are the pairs of fabrics that lie side by side somewhere in the quilt, of those that have others near them.
func (d *Drawer) touching(near map[string][]string) map[[2]string]bool {
	const close = 1e-4
	edges := d.edges(near)
	sort.Slice(edges, func(i, k int) bool { return edges[i].angle < edges[k].angle })
	out := map[[2]string]bool{}
	runs(edges, func(e edge) float64 { return e.angle }, close, func(one []edge) {
		sort.Slice(one, func(i, k int) bool { return one[i].off < one[k].off })
		runs(one, func(e edge) float64 { return e.off }, close, func(line []edge) {
			sort.Slice(line, func(i, k int) bool { return line[i].from < line[k].from })
			var open []edge // those that reach past where the next begins: two as a rule
			for _, e := range line {
				kept := open[:0]
				for _, o := range open {
					if o.to > e.from+close {
						kept = append(kept, o)
						if o.fabric != e.fabric {
							out[pair(o.fabric, e.fabric)] = true
						}
					}
				}
				open = append(kept, e)
			}
		})
	})
	return out
}

// runs gives the stretches of sorted edges in which each value is close to the one before.
func runs(edges []edge, value func(edge) float64, close float64, each func([]edge)) {
	for i := 0; i < len(edges); {
		k := i + 1
		for k < len(edges) && value(edges[k])-value(edges[k-1]) < close {
			k++
		}
		each(edges[i:k])
		i = k
	}
}

// edges are the sides of all patches of the quilt that are of the fabrics wanted.
func (d *Drawer) edges(wanted map[string][]string) []edge {
	var out []edge
	put := func(of string, view pose) {
		for i := range d.p.Drawn {
			k := &d.p.Drawn[i]
			if k.Of != of || wanted[k.Fabric] == nil {
				continue
			}
			ps := view.all(flat(k.Outline))
			for i, p := range ps {
				q := ps[(i+1)%len(ps)]
				u := unitOf(sub(q, p))
				if u[0] < -1e-9 || math.Abs(u[0]) <= 1e-9 && u[1] < 0 {
					u, p, q = times(u, -1), q, p
				}
				out = append(out, edge{math.Atan2(u[1], math.Max(u[0], 0)), cross(u, p), dot(u, p), dot(u, q), k.Fabric})
			}
		}
	}
	put("top", pose{})
	for _, p := range d.p.Placed {
		put("block "+p.Block, placedPose(p))
	}
	return out
}

package figure

import (
	"math"
	"sort"

	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
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

// stretch is a part of a line: of that at a direction and a distance from 0,0. A corner is a stretch as well, of its own line, which is
// named by its place.
type stretch struct {
	a, b     float64 // direction and distance, or the place
	from, to float64
	fabric   string
}

// touching are the pairs of fabrics that meet in the quilt, side by side or at a corner, of those that have others near them. At a corner
// too: until it is sewn the allowance shows beside it.
func (d *Drawer) touching(near map[string][]string) map[[2]string]bool {
	out := map[[2]string]bool{}
	sides, corners := d.outlines(near)
	overlaps(sides, out)
	overlaps(corners, out)
	return out
}

// overlaps adds the pairs of fabrics that have stretches of one line in common.
func overlaps(all []stretch, out map[[2]string]bool) {
	const close = 1e-4
	sort.Slice(all, func(i, k int) bool { return all[i].a < all[k].a })
	runs(all, func(s stretch) float64 { return s.a }, close, func(one []stretch) {
		sort.Slice(one, func(i, k int) bool { return one[i].b < one[k].b })
		runs(one, func(s stretch) float64 { return s.b }, close, func(line []stretch) {
			sort.Slice(line, func(i, k int) bool { return line[i].from < line[k].from })
			var open []stretch // those that reach past where the next begins: two as a rule
			for _, s := range line {
				kept := open[:0]
				for _, o := range open {
					if o.to > s.from+close {
						kept = append(kept, o)
						if o.fabric != s.fabric {
							out[pair(o.fabric, s.fabric)] = true
						}
					}
				}
				open = append(kept, s)
			}
		})
	})
}

// runs gives the parts of what is sorted in which each value is close to the one before.
func runs(all []stretch, value func(stretch) float64, close float64, each func([]stretch)) {
	for i := 0; i < len(all); {
		k := i + 1
		for k < len(all) && value(all[k])-value(all[k-1]) < close {
			k++
		}
		each(all[i:k])
		i = k
	}
}

// outlines are the sides and corners of all patches of the quilt that are of the fabrics wanted.
func (d *Drawer) outlines(wanted map[string][]string) (sides, corners []stretch) {
	of := map[string][]*plan.Drawn{}
	for i := range d.p.Drawn {
		if k := &d.p.Drawn[i]; wanted[k.Fabric] != nil {
			of[k.Of] = append(of[k.Of], k)
		}
	}
	put := func(ds []*plan.Drawn, view plan.Pose) {
		for _, k := range ds {
			ps := flat.Each(view, chorded(k.Outline))
			for i, p := range ps {
				q := ps[(i+1)%len(ps)]
				corners = append(corners, stretch{p[0], p[1], 0, 1, k.Fabric})
				u := flat.Unit(flat.Sub(q, p))
				if u[0] < -1e-9 || math.Abs(u[0]) <= 1e-9 && u[1] < 0 {
					u, p, q = flat.Scale(u, -1), q, p
				}
				sides = append(sides, stretch{math.Atan2(u[1], math.Max(u[0], 0)), flat.Cross(u, p), flat.Dot(u, p), flat.Dot(u, q), k.Fabric})
			}
		}
	}
	put(of["top"], plan.Pose{})
	for _, p := range d.p.Placed {
		put(of["block "+p.Block], placedPose(p))
	}
	return sides, corners
}

package figure

import (
	"cmp"
	"math"
	"slices"

	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
	"quiltwright/internal/scene"
)

// flatEnough is the most layers that lie where nothing needs care: a seam that ends on one pressed away from it.
const flatEnough = 5

// Bulk is a map of how thick the cloth of a unit lies: its patches, a dot at every crossing of seams, and the most layers there where they are more
// than five; where there is no room for figures the dots are the larger the more layers. It is at most w wide and h high, and empty where no seams
// cross.
func (d *Drawer) Bulk(id string, w, h scene.Pt) scene.Drawing {
	return d.once(request{what: "bulk", of: id, w: w, h: h}, func() scene.Drawing { return d.drawBulk(id, w, h) })
}

func (d *Drawer) drawBulk(id string, w, h scene.Pt) scene.Drawing {
	u, all := d.units[id], d.say.Crossings(id)
	if u == nil || len(all) == 0 || u.Size.Width <= 0 || u.Size.Height <= 0 {
		return scene.Drawing{}
	}
	const edge = 6
	c := &canvas{scale: math.Min(float64(w-edge)/float64(u.Size.Width), float64(h-edge)/float64(u.Size.Height))}
	for _, p := range d.patches(id, plan.Pose{}) {
		c.add(c.path(p.outline).Filled(scene.White).Stroked(scene.Grey, scene.Pt(math.Max(0.12, math.Min(float64(outlineWidth), c.scale*0.04)))))
	}
	c.add(c.path(chorded(u.Outline)).Stroked(scene.Ink, 0.8))
	near := c.scale * closest(all)
	for _, x := range all {
		q := c.at(flat.At(x.At))
		if near < 14 {
			color := scene.Grey
			if x.Layers > flatEnough {
				color = scene.Ember
			}
			c.add(scene.Circle(q, scene.Pt(math.Min(near/2, 0.28*float64(x.Layers)))).Filled(color))
			continue
		}
		if x.Layers <= flatEnough {
			c.add(scene.Circle(q, 1.6).Filled(scene.Grey))
			continue
		}
		c.add(scene.Circle(q, 6.5).Filled(scene.White).Stroked(scene.Ember, 0.9))
		c.add(scene.Label(scene.Point{X: q.X, Y: q.Y + labelSize*scene.CapHeight/2}, labelSize, scene.Bold, scene.Ink, scene.Middle, itoa(x.Layers)))
	}
	return c.drawing(d.say.AltBulk(id))
}

// closest is how near the two nearest crossings lie.
func closest(all []plan.Crossing) float64 {
	across := slices.SortedFunc(slices.Values(all), func(a, b plan.Crossing) int { return cmp.Compare(a.At[0], b.At[0]) })
	near := math.Inf(1)
	for i, a := range across {
		for _, b := range across[i+1:] {
			if float64(b.At[0]-a.At[0]) >= near {
				break
			}
			near = math.Min(near, flat.Length(flat.Sub(flat.At(a.At), flat.At(b.At))))
		}
	}
	return near
}

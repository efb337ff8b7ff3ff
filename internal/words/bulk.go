package words

import (
	"cmp"
	"math"
	"slices"

	"quiltwright/internal/plan"
)

// Crossings is every crossing inside a unit, in its frame, with the most layers of cloth there: its own and those of its parts. A unit that is made both
// ways is taken the first way.
func (t *Teller) Crossings(id string) []plan.Crossing {
	var out []plan.Crossing
	var walk func(id string, way int, place func(plan.Point) plan.Point, deep int)
	walk = func(id string, way int, place func(plan.Point) plan.Point, deep int) {
		u := t.units[id]
		if u == nil || deep > 64 {
			return
		}
		for _, c := range u.Bulk {
			n := c.Layers
			if way == 1 && c.Other > 0 {
				n = c.Other
			}
			out = append(out, plan.Crossing{At: place(c.At), Layers: n})
		}
		for _, part := range u.Parts {
			walk(part.Unit, way^part.Way, func(p plan.Point) plan.Point { return place(posed(part, p)) }, deep+1)
		}
	}
	walk(id, 0, func(p plan.Point) plan.Point { return p }, 0)
	return out
}

// posed moves a point of a part into the frame of what it is in.
func posed(part plan.Part, p plan.Point) plan.Point {
	x, y := float64(p[0]), float64(p[1])
	if part.Mirror {
		x = -x
	}
	s, c := math.Sincos(float64(part.Turn) * math.Pi / 180)
	return plan.Point{part.At[0] + plan.Num(c*x-s*y), part.At[1] + plan.Num(s*x+c*y)}
}

// Bulk sums up how thick the cloth lies at the crossings of a unit: "Layers of cloth at 8 crossings: 7 at 4 and 5 at 4. Most at 3, 3 in."; empty
// where it has none.
func (t *Teller) Bulk(id string) Text {
	all := t.Crossings(id)
	if len(all) == 0 {
		return ""
	}
	count := map[int]int{}
	for _, c := range all {
		count[c.Layers]++
	}
	most := slices.MaxFunc(all, func(a, b plan.Crossing) int { return cmp.Compare(a.Layers, b.Layers) })
	var some []string
	for n := most.Layers; n > 0; n-- {
		if count[n] > 0 {
			some = append(some, t.in.say("press.bulk.some", "layers", n, "count", count[n]))
		}
	}
	crossings := t.in.say("press.bulk.crossings", "count", len(all), "noun", t.in.noun(len(all), "crossing"))
	return Text(t.in.say("press.bulk", "crossings", crossings, "list", t.list(some), "x", t.bare(most.At[0]), "y", t.length(most.At[1])))
}

// AltBulk says what a map of layers shows.
func (t *Teller) AltBulk(id string) string {
	return t.in.say("alt.bulk", "unit", capital(t.Name(id)), "bulk", string(t.Bulk(id)))
}

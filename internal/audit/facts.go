package audit

import (
	"math"
	"slices"

	"quiltwright/internal/plan"
)

// class is how a blank becomes patches.
type class int

const (
	whole   class = iota // the blank is the patch, or is cut up after it was sewn
	half                 // cut once corner to corner
	quarter              // cut twice
	other                // traced or cut at an angle
)

// shapes are the words of lists for a class; others may be any.
var shapes = map[string]class{
	"square": whole, "rectangle": whole, "strip": whole, "joined strip": whole, "strips": whole, "squares": whole, "rectangles": whole,
	"half square": half, "half-square": half, "half square triangle": half, "half-square triangle": half, "hst": half, "half rectangle": half,
	"half rectangle triangle": half, "half-rectangle triangle": half, "hrt": half,
	"quarter square": quarter, "quarter-square": quarter, "quarter square triangle": quarter, "quarter-square triangle": quarter, "qst": quarter,
	"template": other, "parallelogram": other, "diamond": other, "triangle 60": other,
}

// need is what a plan needs of one size, of one fabric: one piece of its cutting list, or several that are cut alike.
type need struct {
	fabric string
	class  class
	strip  bool // its length does not matter to what is cut from it, as long as it is long enough
	loose  bool // its length is measured through one's own top
	extra  bool // binding: not in every list

	width, height float64 // as printed
	least         [2]float64
	trimmed       bool
	min, max      int // blanks
	labels        []string
	cloth         float64 // usable width of the cloth
	joined        int     // so many strips of the cloth's width make one

	finished []size // of patches that come from it
	sewn     []size // of the units, seams round them included, that are made of it in one go
	legs     []float64
	longs    []float64 // long sides of right triangles with equal legs
	ones     []size    // of a strip or a larger square: what its patches are cut as, one by one
}

// size is two sides, the smaller first.
type size [2]float64

func sized(a, b float64) size { return size{min(a, b), max(a, b)} }

func (s size) plus(x float64) size { return size{s[0] + x, s[1] + x} }

func (s size) near(o size, by float64) bool {
	return math.Abs(s[0]-o[0]) <= by && math.Abs(s[1]-o[1]) <= by
}

func (s size) distance(o size) float64 {
	return math.Abs(math.Log(s[0]/o[0])) + math.Abs(math.Log(s[1]/o[1]))
}

func (n *need) size() size { return sized(n.width, n.height) }

// needs are what the plan needs, by fabric and in the order of its cutting list.
func needs(p *plan.Plan) []*need {
	cloth := map[string]float64{}
	for _, f := range p.Fabrics {
		cloth[f.Letter] = float64(f.Width)
	}
	units := p.Index().Units
	var out []*need
	for i := range p.Pieces {
		x := &p.Pieces[i]
		if x.Cut <= 0 {
			continue
		}
		n := &need{
			fabric: x.Fabric, width: float64(x.Width), height: float64(x.Height), least: [2]float64{float64(x.Exact[0]), float64(x.Exact[1])},
			class: shapes[x.Shape], trimmed: x.Trimmed, max: x.Cut, min: (x.Needed + max(x.Each, 1) - 1) / max(x.Each, 1), labels: []string{x.Label},
			strip: x.Shape == "strip" || x.Shape == "joined strip", loose: x.Measured, cloth: cloth[x.Fabric], joined: x.JoinedFrom,
		}
		if x.Each > 1 && n.class == whole {
			n.class = half
		}
		n.min = min(n.min, n.max)
		n.learn(p, x, units)
		if k := slices.IndexFunc(out, func(o *need) bool { return o.alike(n) }); k >= 0 {
			out[k].merge(n)
			continue
		}
		out = append(out, n)
	}
	if b := p.Finish.Binding; b != nil && b.Cut != "bias" && b.Strips > 0 {
		w := cloth[b.Fabric]
		long := w
		if b.Along > 0 {
			long = float64(b.Along)
		}
		out = append(out, &need{fabric: b.Fabric, strip: true, extra: true, width: long, height: float64(b.Strip), least: [2]float64{long, float64(b.Strip)},
			min: b.Strips, max: b.Strips, labels: []string{"binding"}, cloth: w})
	}
	return out
}

func (n *need) alike(o *need) bool {
	return n.fabric == o.fabric && n.class == o.class && n.strip == o.strip && n.size().near(o.size(), 1e-6) && n.loose == o.loose && n.joined == o.joined
}

func (n *need) merge(o *need) {
	n.min, n.max = n.min+o.min, n.max+o.max
	n.trimmed = n.trimmed && o.trimmed
	least := o.least
	if math.Abs(n.width-o.width) > 1e-6 { // the other way round
		least = [2]float64{least[1], least[0]}
	}
	for k := range n.least {
		n.least[k] = max(n.least[k], least[k])
	}
	n.labels = append(n.labels, o.labels...)
	n.finished, n.sewn = append(n.finished, o.finished...), append(n.sewn, o.sewn...)
	n.legs, n.longs, n.ones = append(n.legs, o.legs...), append(n.longs, o.longs...), append(n.ones, o.ones...)
}

// learn finds the finished sizes behind a piece, from the outlines of the patches and units that are made of it.
func (n *need) learn(p *plan.Plan, x *plan.Piece, units map[string]*plan.Unit) {
	s := float64(p.Seam)
	for i := range p.Units {
		if u := &p.Units[i]; u.Piece == x.Label {
			turn := 0.0
			if u.Lie != nil {
				turn = float64(u.Lie.Turn)
			}
			n.patch(u, turn, s)
		}
	}
	for i := range p.Recipes {
		r := &p.Recipes[i]
		if !slices.ContainsFunc(r.From, func(f plan.From) bool { return f.Piece == x.Label }) {
			continue
		}
		for _, m := range r.Makes {
			u := units[m.Unit]
			if u == nil {
				continue
			}
			if !n.strip {
				w, h := float64(u.Size.Width), float64(u.Size.Height)
				for _, z := range []size{sized(w, h), sized(w, w), sized(h, h)} {
					n.finished, n.sewn = append(n.finished, z), append(n.sewn, z.plus(2*s))
				}
			}
			leaves(u, units, x.Fabric, 0, func(l *plan.Unit) { n.patch(l, 0, s); n.ones = append(n.ones, box(l.Outline, 0).plus(2*s)) })
		}
	}
}

// leaves calls do for every patch of the fabric under a unit.
func leaves(u *plan.Unit, units map[string]*plan.Unit, fabric string, depth int, do func(*plan.Unit)) {
	if len(u.Parts) == 0 && u.Fabric == fabric {
		do(u)
	}
	if depth > 8 {
		return // more than any batch makes; a plan that is broken may hold a unit that is in itself
	}
	for _, part := range u.Parts {
		if v := units[part.Unit]; v != nil {
			leaves(v, units, fabric, depth+1, do)
		}
	}
}

// patch learns from a finished patch, as it lies in its piece when turned back.
func (n *need) patch(u *plan.Unit, turn, seam float64) {
	b := box(u.Outline, -turn)
	n.finished = append(n.finished, b)
	if n.class == half {
		n.sewn = append(n.sewn, b.plus(2*seam))
	}
	if leg := rightTriangle(u.Outline); leg > 0 {
		long := leg * math.Sqrt2
		n.legs, n.longs = append(n.legs, leg), append(n.longs, long)
		n.finished = append(n.finished, sized(leg, leg), sized(long, long))
		if n.class == half || n.class == other {
			n.sewn = append(n.sewn, sized(leg, leg).plus(2*seam))
		}
		if n.class == quarter || n.class == other {
			n.sewn = append(n.sewn, sized(long, long).plus(2*seam))
		}
	}
}

// box is the size of an outline that is turned.
func box(at []plan.Vertex, turn float64) size {
	if len(at) == 0 {
		return size{}
	}
	sin, cos := math.Sincos(turn * math.Pi / 180)
	lo, hi := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, v := range at {
		q := [2]float64{float64(v.X)*cos - float64(v.Y)*sin, float64(v.X)*sin + float64(v.Y)*cos}
		for k := range q {
			lo[k], hi[k] = min(lo[k], q[k]), max(hi[k], q[k])
		}
	}
	return sized(hi[0]-lo[0], hi[1]-lo[1])
}

// rightTriangle is the leg of a right triangle with equal legs; 0 for any other outline.
func rightTriangle(at []plan.Vertex) float64 {
	if len(at) != 3 {
		return 0
	}
	var sides []float64
	for i, a := range at {
		b := at[(i+1)%3]
		sides = append(sides, math.Hypot(float64(b.X-a.X), float64(b.Y-a.Y)))
	}
	slices.Sort(sides)
	if math.Abs(sides[0]-sides[1]) > 1e-4 || math.Abs(sides[2]-sides[0]*math.Sqrt2) > 1e-4 {
		return 0
	}
	return sides[0]
}

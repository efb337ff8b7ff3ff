// Package figure turns a plan into drawings.
//
// Steps are drawn by carrying the recipe's own operations out on a table of package cloth and
// drawing what lies there before and after: right sides in the cloth's colour, wrong sides hatched,
// drawn lines dashed, needle lines dotted in the accent, pressing as short arrows across the seam.
// Everything else (the quilt, blocks, assemblies, layouts, strips, templates) is drawn from the
// plan's patches and pieces. Every drawing carries an alternative text that is computed as well.
//
// Before it come compile and words, after it book. Lengths of cloth are the plan's numbers; a scale
// says how many points of paper one of them takes.
package figure

import (
	"math"

	"quiltwright/internal/plan"
	"quiltwright/internal/scene"
	"quiltwright/internal/words"
)

// Drawer draws one plan. It only reads the plan; make a new one when the plan has changed, and one
// for each goroutine.
type Drawer struct {
	p       *plan.Plan
	say     *words.Teller
	units   map[string]*plan.Unit
	pieces  map[string]*plan.Piece
	recipes map[string]*plan.Recipe
	blocks  map[string]*plan.Block
	looks   map[string]Look // of fabrics
	told    map[int]telling // what the drawings of steps show, once worked out
	done    map[request]scene.Drawing
}

// request is a drawing that may be wanted again: in another document, on another paper.
type request struct {
	what, of string
	n        int
	w, h     scene.Pt
}

// once draws what has not been drawn before.
func (d *Drawer) once(r request, draw func() scene.Drawing) scene.Drawing {
	f, known := d.done[r]
	if !known {
		f = draw()
		d.done[r] = f
	}
	return f
}

// Of is a drawer for the plan; say names things in labels and alternative texts.
func Of(p *plan.Plan, say *words.Teller) *Drawer {
	by := p.Index()
	d := &Drawer{
		p: p, say: say, units: by.Units, pieces: by.Pieces, recipes: by.Recipes, blocks: by.Blocks, looks: map[string]Look{}, told: map[int]telling{}, done: map[request]scene.Drawing{},
	}
	for _, f := range p.Fabrics {
		look := Look{Color: scene.Hex(f.Color)}
		if !look.Color.Set {
			look.Color = scene.Hair
		}
		d.looks[f.Letter] = look
	}
	d.tellApart()
	return d
}

// Look is how a fabric is shown: its colour, a soft grey where the plan has none, and the texture printed on it, nil for none.
type Look struct {
	Color   scene.Color
	Texture *scene.Hatch
}

// Fill returns the path in a fabric's look.
func (l Look) Fill(p scene.Path) scene.Path {
	p.Fill, p.Hatch = l.Color, l.Texture
	return p
}

// Look is that of a fabric.
func (d *Drawer) Look(letter string) Look {
	if l, ok := d.looks[letter]; ok {
		return l
	}
	return Look{Color: scene.Hair}
}

func (d *Drawer) color(letter string) scene.Color { return d.Look(letter).Color }

// on is the ink that reads on a ground.
func on(ground scene.Color) scene.Color {
	if ground.Luma() < 0.45 {
		return scene.White
	}
	return scene.Ink
}

// Widths of lines, in points.
const (
	outlineWidth scene.Pt = 0.55
	lineWidth    scene.Pt = 0.7
	labelSize    scene.Pt = 9
	smallSize    scene.Pt = 8
)

// pt is a place on cloth or in a finished frame.
type pt = [2]float64

func add(a, b pt) pt              { return pt{a[0] + b[0], a[1] + b[1]} }
func sub(a, b pt) pt              { return pt{a[0] - b[0], a[1] - b[1]} }
func times(a pt, k float64) pt    { return pt{a[0] * k, a[1] * k} }
func dot(a, b pt) float64         { return a[0]*b[0] + a[1]*b[1] }
func cross(a, b pt) float64       { return a[0]*b[1] - a[1]*b[0] }
func length(a pt) float64         { return math.Hypot(a[0], a[1]) }
func mid(a, b pt) pt              { return times(add(a, b), 0.5) }
func fromPlan(p plan.Point) pt    { return pt{float64(p[0]), float64(p[1])} }
func square(a pt) pt              { return pt{-a[1], a[0]} } // a quarter turn clockwise as seen
func unitOf(a pt) pt              { return times(a, 1/math.Max(length(a), 1e-12)) }
func rectangle(w, h float64) []pt { return []pt{{0, 0}, {w, 0}, {w, h}, {0, h}} }

// pose moves a frame as plan.Pose does: mirrored, turned clockwise as seen, moved.
type pose struct {
	at     pt
	turn   float64
	mirror bool
}

func (m pose) apply(p pt) pt {
	if m.mirror {
		p[0] = -p[0]
	}
	s, c := math.Sincos(m.turn * math.Pi / 180)
	return pt{p[0]*c - p[1]*s + m.at[0], p[0]*s + p[1]*c + m.at[1]}
}

// then is first m, then n.
func (m pose) then(n pose) pose {
	turn := m.turn
	if n.mirror {
		turn = -turn
	}
	return pose{n.apply(m.at), math.Mod(turn+n.turn+720, 360), m.mirror != n.mirror}
}

func (m pose) all(ps []pt) []pt {
	out := make([]pt, len(ps))
	for i, p := range ps {
		out[i] = m.apply(p)
	}
	return out
}

func poseOfPart(p plan.Part) pose { return pose{fromPlan(p.At), float64(p.Turn), p.Mirror} }

// flat is an outline as a polygon: arcs become chords, fine enough to look round.
func flat(vs []plan.Vertex) []pt {
	var out []pt
	for i, v := range vs {
		a := pt{float64(v.X), float64(v.Y)}
		out = append(out, a)
		if v.Bulge == 0 {
			continue
		}
		next := vs[(i+1)%len(vs)]
		out = append(out, chords(a, pt{float64(next.X), float64(next.Y)}, float64(v.Bulge))...)
	}
	return out
}

// chords are the places between the two ends of an arc. Its bulge is the tangent of a quarter of
// its angle, positive where it turns clockwise as seen, as the outline does.
func chords(a, b pt, bulge float64) []pt {
	angle := 4 * math.Atan(bulge)
	n := int(math.Ceil(math.Abs(angle)/(math.Pi/36))) + 1
	d := sub(b, a)
	chord := length(d)
	if chord == 0 || angle == 0 {
		return nil
	}
	r := chord / 2 / math.Sin(angle/2)
	centre := add(mid(a, b), times(square(unitOf(d)), r*math.Cos(angle/2)))
	var out []pt
	for i := 1; i < n; i++ {
		s, c := math.Sincos(angle * float64(i) / float64(n))
		v := sub(a, centre)
		out = append(out, add(centre, pt{v[0]*c - v[1]*s, v[0]*s + v[1]*c}))
	}
	return out
}

func box(ps []pt) (lo, hi pt) {
	for i, p := range ps {
		if i == 0 {
			lo, hi = p, p
		}
		lo = pt{math.Min(lo[0], p[0]), math.Min(lo[1], p[1])}
		hi = pt{math.Max(hi[0], p[0]), math.Max(hi[1], p[1])}
	}
	return lo, hi
}

func areaOf(ps []pt) float64 {
	sum := 0.0
	for i, p := range ps {
		sum += cross(p, ps[(i+1)%len(ps)])
	}
	return sum / 2
}

// centre is the centre of gravity of a polygon.
func centre(ps []pt) pt {
	var c pt
	sum := 0.0
	for i, p := range ps {
		q := ps[(i+1)%len(ps)]
		k := cross(p, q)
		sum += k
		c = add(c, times(add(p, q), k))
	}
	if math.Abs(sum) < 1e-12 {
		lo, hi := box(ps)
		return mid(lo, hi)
	}
	return times(c, 1/(3*sum))
}

func inside(ps []pt, p pt) bool {
	in := false
	for i, a := range ps {
		b := ps[(i+1)%len(ps)]
		if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(p[1]-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
			in = !in
		}
	}
	return in
}

// distance from p to the segment a b.
func distance(p, a, b pt) float64 {
	d := sub(b, a)
	k := dot(d, d)
	if k == 0 {
		return length(sub(p, a))
	}
	t := math.Max(0, math.Min(1, dot(sub(p, a), d)/k))
	return length(sub(p, add(a, times(d, t))))
}

// grow moves every edge of a clockwise polygon outward by s (inward where s is negative).
// Corners are mitred; vertices within a straight edge are dropped.
func grow(ps []pt, s float64) []pt {
	var out []pt
	n := len(ps)
	for i := range ps {
		u, v := unitOf(sub(ps[i], ps[(i+n-1)%n])), unitOf(sub(ps[(i+1)%n], ps[i]))
		turn := cross(u, v)
		if math.Abs(turn) < 1e-9 {
			continue
		}
		p, q := sub(ps[i], times(square(u), s)), sub(ps[i], times(square(v), s))
		t := cross(sub(q, p), v) / turn
		out = append(out, add(p, times(u, t)))
	}
	return out
}

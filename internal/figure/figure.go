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

	"quiltwright/internal/flat"
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
type pt = flat.Pt

func mid(a, b pt) pt              { return flat.Scale(flat.Add(a, b), 0.5) }
func square(a pt) pt              { return pt{-a[1], a[0]} } // a quarter turn clockwise as seen
func rectangle(w, h float64) []pt { return []pt{{0, 0}, {w, 0}, {w, h}, {0, h}} }

// chorded is an outline as a polygon: arcs become chords, fine enough to look round.
func chorded(vs []plan.Vertex) []pt {
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
	d := flat.Sub(b, a)
	chord := flat.Length(d)
	if chord == 0 || angle == 0 {
		return nil
	}
	r := chord / 2 / math.Sin(angle/2)
	centre := flat.Add(mid(a, b), flat.Scale(square(flat.Unit(d)), r*math.Cos(angle/2)))
	var out []pt
	for i := 1; i < n; i++ {
		s, c := math.Sincos(angle * float64(i) / float64(n))
		v := flat.Sub(a, centre)
		out = append(out, flat.Add(centre, pt{v[0]*c - v[1]*s, v[0]*s + v[1]*c}))
	}
	return out
}

func areaOf(ps []pt) float64 {
	sum := 0.0
	for i, p := range ps {
		sum += flat.Cross(p, ps[(i+1)%len(ps)])
	}
	return sum / 2
}

// centre is the centre of gravity of a polygon.
func centre(ps []pt) pt {
	var c pt
	sum := 0.0
	for i, p := range ps {
		q := ps[(i+1)%len(ps)]
		k := flat.Cross(p, q)
		sum += k
		c = flat.Add(c, flat.Scale(flat.Add(p, q), k))
	}
	if math.Abs(sum) < 1e-12 {
		lo, hi := flat.Box(ps)
		return mid(lo, hi)
	}
	return flat.Scale(c, 1/(3*sum))
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
	d := flat.Sub(b, a)
	k := flat.Dot(d, d)
	if k == 0 {
		return flat.Length(flat.Sub(p, a))
	}
	t := math.Max(0, math.Min(1, flat.Dot(flat.Sub(p, a), d)/k))
	return flat.Length(flat.Sub(p, flat.Add(a, flat.Scale(d, t))))
}

// grow moves every edge of a clockwise polygon outward by s (inward where s is negative).
// Corners are mitred; vertices within a straight edge are dropped.
func grow(ps []pt, s float64) []pt {
	var out []pt
	n := len(ps)
	for i := range ps {
		u, v := flat.Unit(flat.Sub(ps[i], ps[(i+n-1)%n])), flat.Unit(flat.Sub(ps[(i+1)%n], ps[i]))
		turn := flat.Cross(u, v)
		if math.Abs(turn) < 1e-9 {
			continue
		}
		p, q := flat.Sub(ps[i], flat.Scale(square(u), s)), flat.Sub(ps[i], flat.Scale(square(v), s))
		t := flat.Cross(flat.Sub(q, p), v) / turn
		out = append(out, flat.Add(p, flat.Scale(u, t)))
	}
	return out
}

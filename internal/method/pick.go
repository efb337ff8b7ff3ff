package method

import (
	"fmt"
	"math"
	"slices"

	"quiltwright/internal/diag"
)

// picker is the choice of one unit's method while it is made.
type picker struct {
	*chooser
	i    int
	u    *Unit
	want string // what the writer's make says of the kind
	n    int    // units used in the first month: a later one must not change how an earlier one is made
}

func (p picker) take(method, why string, yield int) {
	p.u.Method, p.u.Why, p.u.Recipe = method, why, &Recipe{Method: method, Yield: yield}
}

// refuse notes why a method is not taken; where the writer asked for it, a hint says so.
func (p picker) refuse(method, why string) {
	p.u.Refused = append(p.u.Refused, Refused{method, why})
	if reason := reasons[why]; method == p.want && reason != "" {
		at, says := p.makes[p.i].At, fmt.Sprintf("“%s: %s” does not hold for every one: %s", plural(p.u.Shape.Kind), method, reason)
		if !slices.ContainsFunc(p.found, func(f diag.Finding) bool { return f.At == at && f.Says == says }) {
			p.found.Hintf(at, "method", "%s", says).Remedy = "where it does not hold the plan takes another way to make them"
		}
	}
}

// reasons say what stands in the way of a method that the writer asks for.
var reasons = map[string]string{
	"print": "a print with a direction would come out turned",
	"motif": "a motif would be cut through",
	"cloth": "a cloth has no room for its squares",
	"hands": "every second one would come out mirrored",
	"small": "its two small triangles are of one fabric",
	"ruler": "its size lies between the marks of the ruler",
	"turn":  "one that stands on its point is sewn from triangles",
}

// over is how many units are left in the end where a batch makes so many.
func (p picker) over(yield int) int {
	left := 0
	for _, m := range p.u.Months {
		for _, n := range m.Used {
			if left -= n; left < 0 {
				left += (-left + yield - 1) / yield * yield
			}
		}
	}
	return left
}

// halfSquare chooses between triangles, pairs and eights. Eights are taken for the number alone where no more than one in eight is left over and
// nothing is meant to vary: eight alike come from one square of each cloth.
func (p picker) halfSquare() {
	eights := ""
	switch side := 2 * halfSquareSide(p.u.side(), p.seam); {
	case p.want == "singles" || p.want == "pairs":
		eights = "make"
	case p.directed(p.i):
		eights = "print"
	case p.u.Shape.Turn%90 != 0:
		eights = "turn"
	case !p.holds(side):
		eights = "cloth"
	case p.want == "eights":
	case p.assorted():
		eights = "assorted"
	case p.n < 8 || 8*p.over(8) > p.u.Needed():
		eights = "surplus"
	case !p.fillsStrip(side):
		eights = "strip"
	}
	if eights != "" {
		p.refuse("eights", eights)
	}
	why := "count"
	if p.want == "pairs" || p.want == "eights" {
		why = "make"
	}
	switch {
	case eights == "":
		p.take("eights", why, 8)
	case p.want == "singles":
		p.u.Why = "make"
		p.refuse("pairs", "make")
	case !p.prints(p.i, "pairs"):
		p.u.Why = "print"
		p.refuse("pairs", "print")
	case p.want == "pairs" || p.n >= 2:
		p.take("pairs", why, 2)
	default:
		p.u.Why = "count"
		p.refuse("pairs", "surplus")
	}
}

// squareInSquare chooses between a square with four triangles and one with four squares flipped on its corners: exact on the ruler wherever the
// finished size is, for more cloth. Left to itself it is flipped only where a print would have each triangle, or the square on its point, cut by a
// template.
func (p picker) squareInSquare() {
	parts, joins := p.u.Parts, p.u.Joins
	p.flatten(p.i)
	prints := p.prints(p.i, "flips")
	switch {
	case !prints:
		p.refuse("flips", "print")
	case !p.onRuler(p.u.Shape.Measures[0].Float()) || !p.onRuler(p.u.Shape.Measures[0].Half().Float()):
		p.refuse("flips", "ruler")
	case p.want == "flips":
		p.take("flips", "make", 1)
		return
	case p.want == "singles":
		p.refuse("flips", "make")
	case p.directed(p.i):
		p.take("flips", "print", 1)
		return
	default:
		p.refuse("flips", "cloth")
	}
	if p.want == "singles" {
		p.u.Why = "make"
	} else if !prints {
		p.u.Why = "print"
	}
	p.u.Parts, p.u.Joins = parts, joins // as they were taken apart
}

// hourglass chooses between triangles and pairs. Pairs are taken where the writer asks for them only: their seams can be pressed alike only when
// they are pressed open, and do not nest.
func (p picker) hourglass() {
	parts, joins := p.u.Parts, p.u.Joins
	p.flatten(p.i)
	f := p.u.Shape.Measures[0].Float()
	x, alike := p.crossed(p.u)
	why := ""
	switch {
	case p.want == "singles":
		why = "make"
	case p.directed(p.i):
		why = "print"
	case !alike:
		why = "hands"
	case p.u.Shape.Turn%90 != 0:
		why = "turn"
	case !p.holds(quarterSquareSide(f, p.seam)):
		why = "cloth"
	case p.want == "auto":
		why = "open"
	}
	if why == "" {
		p.take("pairs", "make", 4)
		if x.two {
			p.u.Recipe.Yield = 2
		}
		p.u.Joins, p.u.Tied = p.crossJoins(p.u, x), true
		return
	}
	p.refuse("pairs", why)
	if p.want == "singles" {
		p.u.Why = "make"
	}
	p.u.Parts, p.u.Joins = parts, joins // as they were taken apart
}

// onRuler reports whether the side of a rectangle, f finished, is cut to within the ease by a mark of the ruler: flipped corners that lie farther out miss
// their places.
func (c *chooser) onRuler(f float64) bool { return c.excess(f) <= c.ease+1e-9 }

// excess is how much larger the side of a rectangle, f finished, is cut.
func (c *chooser) excess(f float64) float64 {
	cut := f + 2*c.seam
	w, _ := c.near(cut)
	return w - cut
}

// holds reports whether the cloth of every patch of the unit has room for a square of that side, as it is cut.
func (p picker) holds(side float64) bool { return p.room(p.i) >= p.up(side)-1e-9 }

// room is the side of the largest square that the cloth of every patch under unit i has room for.
func (c *chooser) room(i int) float64 {
	u := &c.units[i]
	if u.Leaf != nil {
		f := c.Doc.Fabrics[u.Leaf.Fabric]
		if w, h, ok := c.Doc.Sheet(f); ok {
			return math.Min(w.Float(), h.Float())
		}
		return f.Width.Float()
	}
	room := math.Inf(1)
	for _, part := range u.Parts {
		room = math.Min(room, c.room(part.Unit))
	}
	return room
}

// eightsFrom is how many squares for eights a strip must hold: fewer and larger ones lie badly beside other pieces, and cost more cloth than they
// save work.
const eightsFrom = 6

// fillsStrip reports whether a strip of every cloth holds so many squares of that side, and within one as much as in those of half the side that pairs take.
func (p picker) fillsStrip(side float64) bool {
	for _, part := range p.u.Parts {
		long := p.Doc.Longest(p.Doc.Fabrics[p.units[part.Unit].Leaf.Fabric]).Float() + 1e-9
		if n := math.Floor(long / p.up(side)); n < eightsFrom || 2*n+1 < math.Floor(long/p.up(side/2)) {
			return false
		}
	}
	return true
}

// assorted reports whether a patch of the unit comes from several cloths in turn.
func (p picker) assorted() bool {
	for _, part := range p.u.Parts {
		if p.Doc.Fabrics[p.units[part.Unit].Leaf.Fabric].Assorted > 1 {
			return true
		}
	}
	return false
}

package draft

import (
	"fmt"
	"math"
	"slices"

	"quiltwright/internal/diag"
	"quiltwright/internal/exact"
	"quiltwright/internal/measure"
	"quiltwright/internal/plane"
)

// thin is the finished width below which a patch is trouble to sew: its two seams all but meet at a quarter-inch allowance,
// since 1/2 in is two allowances. The figure is the doubled customary allowance; 1.2 cm is its metric neighbour.
func (d *Drafter) thin() float64 {
	if d.doc.Measure == measure.Centimetre {
		return 1.2
	}
	return 0.5
}

// checkSizes warns of patches too thin and edges too short to sew well, and hints at better sizes where cut sizes come out
// awkward. Broken blocks are checked as far as they came.
func (d *Drafter) checkSizes(b *Block) {
	if len(b.Patches) == 0 {
		return
	}
	d.checkThin(b)
	d.checkShort(b)
	if b.Def != nil && !b.Broken {
		d.checkRuler(b)
	}
}

// checkThin reports the thinnest patch under the limit, and how many there are.
func (d *Drafter) checkThin(b *Block) {
	limit := d.thin()
	worst, thinnest, found := -1, math.Inf(1), 0
	for i, p := range b.Patches {
		t := thickness(p.Outline, limit)
		if t < limit-1e-9 {
			found++
			if t < thinnest {
				worst, thinnest = i, t
			}
		}
	}
	if worst < 0 {
		return
	}
	f := d.aboutPatch(b, worst)
	f.Severity, f.Code = diag.Warning, "thin-patch"
	f.Says = fmt.Sprintf("%s is only %s wide when finished", f.Says, measure.FormatWith(thinnest, d.doc.Measure))
	if thinnest < d.doc.Seam.Float()-1e-9 {
		f.Says += ", less than the seam allowance: the next seam catches the allowance of the last"
	}
	if found > 1 {
		f.Says += fmt.Sprintf("; %d patches are narrower than %s", found, measure.FormatWith(limit, d.doc.Measure))
	}
	f.Remedy = d.larger(b, limit/thinnest, fmt.Sprintf("patches at least %s wide", measure.FormatWith(limit, d.doc.Measure)))
	d.report(f)
}

// checkShort reports the shortest edge under a seam allowance: the seams at its two ends then cross inside the allowance.
func (d *Drafter) checkShort(b *Block) {
	seam := d.doc.Seam.Float()
	worst, shortest := -1, seam-1e-9
	for i, p := range b.Patches {
		last := p.Outline[len(p.Outline)-1]
		x, y := last.X.Float(), last.Y.Float()
		for _, v := range p.Outline {
			nextX, nextY := v.X.Float(), v.Y.Float()
			if l := math.Sqrt((nextX-x)*(nextX-x) + (nextY-y)*(nextY-y)); l < shortest {
				worst, shortest = i, l
			}
			x, y = nextX, nextY
		}
	}
	// A patch that is thin all over has said so already.
	if worst < 0 || thickness(b.Patches[worst].Outline, d.thin()) <= shortest+1e-9 {
		return
	}
	f := d.aboutPatch(b, worst)
	f.Severity, f.Code = diag.Warning, "short-edge"
	f.Says = fmt.Sprintf("%s has an edge of %s, less than the seam allowance", f.Says, measure.FormatWith(shortest, d.doc.Measure))
	f.Remedy = d.larger(b, seam/shortest, "edges longer than the allowance")
	d.report(f)
}

// aboutPatch begins a finding about a patch of a block: its place, and "a patch of “Name”" to go on from.
func (d *Drafter) aboutPatch(b *Block, patch int) diag.Finding {
	p := b.Patches[patch]
	if b.Def == nil {
		return diag.Finding{At: p.At, Says: fmt.Sprintf("a patch of “%s”", b.Name)}
	}
	inside := insideEar(p.Outline)
	if b.Mirror {
		inside.X = b.Width.Sub(inside.X)
	}
	f := diag.Finding{At: firstOf(b.Def.SizeAt, b.Def.At), Block: b.Name}
	if b.Def.Drawn() { // the board's units are grid steps
		inside = plane.Pt(inside.X.Div(b.Width).Mul(exact.Int(int64(b.Def.Columns))), inside.Y.Div(b.Height).Mul(exact.Int(int64(b.Def.Rows))))
		f.Says = fmt.Sprintf("a patch of “%s”, around %s,%s on its grid,", b.Name, two(inside.X), two(inside.Y))
	} else {
		f.Says = fmt.Sprintf("a patch of “%s”, around %s from the left and %s from the top,", b.Name,
			measure.Format(round(inside.X.Float()), d.doc.Measure), measure.FormatWith(round(inside.Y.Float()), d.doc.Measure))
	}
	f.Point = spot(inside)
	return f
}

// two writes a place on the grid to two decimals.
func two(x exact.Num) string { return fmt.Sprint(math.Round(x.Float()*100) / 100) }

// round cuts a place down to what is worth reading: quarters.
func round(x float64) float64 { return math.Round(x*4) / 4 }

// larger says how large the block would have to be.
func (d *Drafter) larger(b *Block, factor float64, gives string) string {
	w, h := math.Ceil(b.Width.Float()*factor-1e-9), math.Ceil(b.Height.Float()*factor-1e-9)
	return fmt.Sprintf("a block of %s x %s has %s; or draw fewer, larger patches", measure.Format(w, d.doc.Measure),
		measure.FormatWith(h, d.doc.Measure), gives)
}

// checkRuler hints at sizes where every side that lies along the block's sides is a whole number of the ruler's marks: a grid
// of five at 12 in has steps of 2.4, which no ruler shows.
func (d *Drafter) checkRuler(b *Block) {
	mark := d.doc.Ruler
	if mark.Sign() <= 0 {
		return
	}
	wide, wideOK := measures(b, true)
	high, highOK := measures(b, false)
	if !wideOK || !highOK {
		return
	}
	var awkward *exact.Num
	for _, l := range slices.Concat(wide, high) {
		if _, den, ok := l.Div(mark).Rat(); ok && den != 1 {
			awkward = &l
			break
		}
	}
	if awkward == nil {
		return
	}
	f := diag.Finding{Severity: diag.Hint, Code: "awkward-size", At: firstOf(b.Def.SizeAt, b.Def.At), Block: b.Name}
	f.Says = fmt.Sprintf("“%s” at %s has sides of %s, which is off the ruler's marks of %s", b.Name, d.size(b.Width, b.Height),
		d.length(*awkward), d.length(mark))
	// A factor of the size keeps all sides on the marks when it is a multiple of mark / g, g the greatest common measure.
	g := exact.Num{}
	for _, l := range slices.Concat(wide, high) {
		g = common(g, l)
	}
	if g.Sign() <= 0 {
		return
	}
	if below, above, ok := near(b.Width, mark.Div(g).Mul(b.Width), exact.Num{}); ok {
		f.Remedy = "good sizes: " + d.sizes(b, below, above)
		if wb, wa, ok := near(b.Width, mark.Div(g).Mul(b.Width), exact.Int(1)); ok && !(wb.Equal(below) && wa.Equal(above)) {
			f.Remedy += fmt.Sprintf("; in whole %s: %s", plural(d.doc.Measure), d.sizes(b, wb, wa))
		}
	}
	d.report(f)
}

func plural(u measure.Unit) string {
	if u == measure.Centimetre {
		return "centimetres"
	}
	return "inches"
}

// sizes writes one or two widths of the block, with the height that goes with each unless it is square.
func (d *Drafter) sizes(b *Block, below, above exact.Num) string {
	write := func(w exact.Num) string {
		if b.Width.Equal(b.Height) {
			return d.length(w)
		}
		return d.size(w, w.Mul(b.Height).Div(b.Width))
	}
	if below.Sign() <= 0 {
		return write(above)
	}
	return write(below) + " or " + write(above)
}

// near returns the multiples of step next below and above a width; with a unit, those that are multiples of the unit as
// well. The one below may be 0. ok is false where they are of no use, being farther off than the width itself.
func near(width, step, unit exact.Num) (below, above exact.Num, ok bool) {
	if !unit.IsZero() { // the least common multiple
		g := common(step, unit)
		if g.Sign() <= 0 {
			return below, above, false
		}
		step = step.Mul(unit).Div(g)
	}
	if step.Sign() <= 0 || width.Less(step) && width.Add(width).Less(step) {
		return below, above, false
	}
	n := int64(math.Floor(width.Float()/step.Float() + 1e-9))
	below = step.Mul(exact.Int(n))
	if below.Equal(width) { // cannot be: the width itself would be good
		return below, below, false
	}
	return below, below.Add(step), true
}

// common returns the greatest common measure of two rational lengths; one of them where the other is 0; 0 where there is none
// that fits.
func common(a, b exact.Num) exact.Num {
	an, ad, aok := a.Rat()
	bn, bd, bok := b.Rat()
	if !aok || !bok {
		return exact.Num{}
	}
	const most = 1 << 30 // keeps the products in range; beyond it no ruler helps
	if an > most || bn > most || ad > most || bd > most {
		return exact.Num{}
	}
	return exact.Frac(divisor(an*bd, bn*ad), ad*bd)
}

func divisor(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// measures returns the different lengths of the level, or of the upright, edges of a block's patches; ok is false where one
// of them is irrational, and no size puts it on a ruler's mark.
func measures(b *Block, level bool) (lengths []exact.Num, ok bool) {
	seen := map[exact.Num]bool{}
	for _, p := range b.Patches {
		for i, v := range p.Outline {
			w := p.Outline[(i+1)%len(p.Outline)]
			from, to, side := v.X, w.X, v.Y.Equal(w.Y)
			if !level {
				from, to, side = v.Y, w.Y, v.X.Equal(w.X)
			}
			if !side {
				continue
			}
			l := to.Sub(from)
			if l.Sign() < 0 {
				l = l.Neg()
			}
			if !seen[l] {
				if _, _, rational := l.Rat(); !rational {
					return nil, false
				}
				seen[l] = true
				lengths = append(lengths, l)
			}
		}
	}
	slices.SortFunc(lengths, exact.Num.Cmp)
	return lengths, true
}

// thickness returns how wide a patch is where it is thinnest: the least distance, across the patch, from a corner to a side
// that does not end there. It returns limit where the true answer is no
// less, or where the patch has too many corners to tell.
func thickness(pg plane.Polygon, limit float64) float64 {
	type xy struct{ x, y float64 }
	const most = 500 // corners: the work grows with their square
	n := len(pg)
	if n > most {
		return limit
	}
	v := make([]xy, n)
	for i, p := range pg {
		v[i] = xy{p.X.Float(), p.Y.Float()}
	}
	if upright(pg) {
		return min(limit, math.Abs(v[0].x-v[2].x), math.Abs(v[0].y-v[2].y))
	}
	inside := func(p xy) bool {
		in := false
		for i, a := range v {
			b := v[(i+1)%n]
			if (a.y > p.y) != (b.y > p.y) && p.x < a.x+(p.y-a.y)/(b.y-a.y)*(b.x-a.x) {
				in = !in
			}
		}
		return in
	}
	outer := func(i int) bool {
		a, p, b := v[(i+n-1)%n], v[i], v[(i+1)%n]
		return (p.x-a.x)*(b.y-p.y)-(p.y-a.y)*(b.x-p.x) > 0
	}
	least := limit
	for i, p := range v {
		for j, a := range v {
			k := (j + 1) % n
			if i == j || i == k {
				continue
			}
			b := v[k]
			dx, dy := b.x-a.x, b.y-a.y
			length := math.Hypot(dx, dy)
			along := ((p.x-a.x)*dx + (p.y-a.y)*dy) / (length * length)
			if along < -1e-9 || along > 1+1e-9 {
				continue
			}
			foot := xy{a.x + along*dx, a.y + along*dy}
			far := math.Hypot(p.x-foot.x, p.y-foot.y)
			if far >= least {
				continue
			}
			// Where the foot is a corner next to p, the way there is an edge; it goes across the patch where both its ends are
			// outer corners, and not along a step in the outline.
			across := false
			switch {
			case along < 1e-9 && j == (i+1)%n:
				across = outer(i) && outer(j)
			case along > 1-1e-9 && k == (i+n-1)%n:
				across = outer(i) && outer(k)
			default:
				across = inside(xy{(p.x + foot.x) / 2, (p.y + foot.y) / 2})
			}
			if across {
				least = far
			}
		}
	}
	return least
}

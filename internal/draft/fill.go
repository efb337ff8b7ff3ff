package draft

import (
	"fmt"
	"math"

	"quiltwright/internal/diag"
	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
)

// fill gives every face its fabric: by the fill points and their images, then by the ground.
func (d *Drafter) fill(def *quilt.Block, motions []motion, w, h exact.Num, p *plot) {
	by := make([]*filled, len(p.faces)) // what filled each face
	where := newLocator(p.faces, w.Float(), h.Float())
	for f := range def.Fill {
		fill := &def.Fill[f]
		for i, own := range fill.Points {
			at := fill.At
			if i < len(fill.Places) {
				at = firstOf(fill.Places[i], at)
			}
			for _, m := range motions {
				q := m.apply(own, w, h)
				in, touches := where.find(q)
				if in < 0 {
					p.broken = true
					d.reportOnLine(def, own, at, p.faces, touches, m, w, h)
					break // the images of the point lie on images of the line
				}
				before := by[in]
				if before == nil {
					by[in] = &filled{fill.Fabric, own, at, m}
					p.faces[in].letter, p.faces[in].at = fill.Fabric, at
					continue
				}
				if before.fabric != fill.Fabric {
					p.broken = true
					d.reportTwice(def, before, filled{fill.Fabric, own, at, m})
					break
				}
			}
		}
	}
	d.ground(def, p)
}

// filled is a fill point and what it says.
type filled struct {
	fabric string
	own    plane.Point
	at     diag.Pos
	by     motion // what carried the point into the patch
}

// ground fills what no point has filled, and reports it where the block has no ground.
func (d *Drafter) ground(def *quilt.Block, p *plot) {
	var empty []string
	var first plane.Point
	for i := range p.faces {
		f := &p.faces[i]
		if f.letter != "" {
			continue
		}
		if def.Ground != "" {
			f.letter, f.at = def.Ground, firstOf(def.GroundAt, def.At)
			continue
		}
		inside := pointInside(f.outline)
		if len(empty) == 0 {
			first = inside
		}
		empty = append(empty, gridPoint(inside))
	}
	if len(empty) == 0 {
		return
	}
	p.broken = true
	if def.Broken { // a fill that could not be read has been reported
		return
	}
	says := fmt.Sprintf("a patch of “%s” has no fabric: the one around %s", def.Name, empty[0])
	if len(empty) > 1 {
		says = fmt.Sprintf("%d patches of “%s” have no fabric: those around %s", len(empty), def.Name, some(empty))
	}
	d.report(diag.Finding{Code: "unfilled", At: def.At, Block: def.Name, Point: spot(first), Says: says,
		Remedy: "fill them by a point inside each, or give the block a ground"})
}

// reportOnLine reports a fill point on a line, and offers points inside the patches beside it.
func (d *Drafter) reportOnLine(def *quilt.Block, own plane.Point, at diag.Pos, faces []face, touches []int, m motion, w, h exact.Num) {
	f := diag.Finding{Code: "fill-on-line", At: at, Block: def.Name, Point: spot(own),
		Says: fmt.Sprintf("the fill point %s lies on a line, so it is in no one patch", gridPoint(own))}
	var near []string
	for _, i := range touches {
		near = append(near, gridPoint(m.inverse().apply(pointInside(faces[i].outline), w, h)))
	}
	if len(near) > 0 {
		f.Remedy = "say a point inside the patch that is meant: " + some(near)
	}
	d.report(f)
}

// reportTwice reports two fabrics in one patch. The first may have come there by the symmetry; the second is where it is
// written, since the symmetry carries patches onto patches.
func (d *Drafter) reportTwice(def *quilt.Block, before *filled, now filled) {
	note := fmt.Sprintf("%s is said here, at %s", before.fabric, gridPoint(before.own))
	remedy := "leave one of the two out, or draw a line between them"
	if before.by != now.by {
		note += ", and repeated by the symmetry"
		remedy = "leave one of the two out, or say less symmetry"
	}
	d.report(diag.Finding{Code: "filled-twice", At: now.at, Block: def.Name, Point: spot(now.own),
		Says:   fmt.Sprintf("the patch at %s is filled with %s and with %s", gridPoint(now.own), before.fabric, now.fabric),
		Remedy: remedy, Notes: []diag.Note{{At: before.at, Says: note}}})
}

// locator finds the face that holds a point. It keeps, for each field of a raster over the rectangle, the faces that come
// near the field, so that many points among many faces are found in about as many steps.
type locator struct {
	faces         []face
	side          int
	width, height float64
	fields        [][]int32
	boxes         []reach
}

// reach is the box of a face.
type reach struct {
	x0, y0, x1, y1 float64
	whole          bool // the face is its box
}

func newLocator(faces []face, width, height float64) *locator {
	l := &locator{faces: faces, width: width, height: height, side: int(math.Ceil(math.Sqrt(float64(len(faces) + 1))))}
	l.fields = make([][]int32, l.side*l.side)
	l.boxes = make([]reach, len(faces))
	const wide = 1e-6 // of a field, for the rounding of floats
	left, right := make([]float64, l.side), make([]float64, l.side)
	for i, f := range faces {
		n := len(f.outline)
		in := reach{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1), upright(f.outline)}
		for _, v := range f.outline {
			x, y := l.scale(v)
			in.x0, in.y0, in.x1, in.y1 = min(in.x0, x), min(in.y0, y), max(in.x1, x), max(in.y1, y)
		}
		l.boxes[i] = in
		top, bottom := l.clamp(in.y0-wide), l.clamp(in.y1+wide)
		for row := top; row <= bottom; row++ {
			left[row], right[row] = math.Inf(1), math.Inf(-1)
		}
		ax, ay := l.scale(f.outline[n-1])
		for _, v := range f.outline {
			bx, by := l.scale(v)
			x0, y0, x1, y1 := ax, ay, bx, by
			ax, ay = bx, by
			if y0 > y1 {
				x0, y0, x1, y1 = x1, y1, x0, y0
			}
			for row := l.clamp(y0 - wide); row <= l.clamp(y1+wide); row++ {
				xa, xb := x0, x1 // the part of the edge within the row
				if y1 > y0 {
					slope := (x1 - x0) / (y1 - y0)
					xa = x0 + slope*max(0, float64(row)-wide-y0)
					xb = x1 - slope*max(0, y1-float64(row+1)-wide)
				}
				left[row] = min(left[row], xa, xb)
				right[row] = max(right[row], xa, xb)
			}
		}
		for row := top; row <= bottom; row++ {
			for column := l.clamp(left[row] - wide); column <= l.clamp(right[row]+wide); column++ {
				at := row*l.side + column
				l.fields[at] = append(l.fields[at], int32(i))
			}
		}
	}
	return l
}

func (l *locator) scale(p plane.Point) (x, y float64) {
	return p.X.Float() / l.width * float64(l.side), p.Y.Float() / l.height * float64(l.side)
}

func (l *locator) clamp(x float64) int { return min(max(int(math.Floor(x)), 0), l.side-1) }

// find returns the face that holds p inside, or -1 and the faces whose outlines p lies on.
func (l *locator) find(p plane.Point) (in int, touches []int) {
	x, y := l.scale(p)
	const clear = 1e-6 // of a field: beyond it floats are certain
	for _, i := range l.fields[l.clamp(y)*l.side+l.clamp(x)] {
		b := &l.boxes[i]
		if x < b.x0-clear || y < b.y0-clear || x > b.x1+clear || y > b.y1+clear {
			continue
		}
		if b.whole && x > b.x0+clear && y > b.y0+clear && x < b.x1-clear && y < b.y1-clear {
			return int(i), nil
		}
		switch l.faces[i].outline.Contains(p) {
		case 1:
			return int(i), nil
		case 0:
			touches = append(touches, int(i))
		}
	}
	return -1, touches
}

// pointInside returns a point well inside a polygon, with coordinates as plain as they come: wholes, then halves, thirds
// and quarters, of these the one nearest the middle; then the middle of a triangle of its corners.
func pointInside(pg plane.Polygon) plane.Point {
	least, most := pg.Box()
	midX, midY := (least.X.Float()+most.X.Float())/2, (least.Y.Float()+most.Y.Float())/2
	for _, den := range []int64{1, 2, 3, 4, 6, 8} {
		const reach = 10 // to either side of the middle: a large polygon has some point there, or the last resort will do
		n := float64(den)
		x0, x1 := max(math.Floor(least.X.Float()*n)+1, math.Floor(midX*n)-reach), min(math.Ceil(most.X.Float()*n)-1, math.Ceil(midX*n)+reach)
		y0, y1 := max(math.Floor(least.Y.Float()*n)+1, math.Floor(midY*n)-reach), min(math.Ceil(most.Y.Float()*n)-1, math.Ceil(midY*n)+reach)
		best, nearest := plane.Point{}, math.Inf(1)
		for y := y0; y <= y1; y++ {
			for x := x0; x <= x1; x++ {
				if far := math.Hypot(x/n-midX, y/n-midY); far < nearest {
					if p := plane.Pt(exact.Frac(int64(x), den), exact.Frac(int64(y), den)); pg.Contains(p) > 0 {
						best, nearest = p, far
					}
				}
			}
		}
		if !math.IsInf(nearest, 1) {
			return best
		}
	}
	return insideEar(pg)
}

// insideEar returns a point inside any simple polygon: in the triangle at a convex corner, halfway to whatever corner of the
// polygon reaches into it farthest.
func insideEar(pg plane.Polygon) plane.Point {
	n := len(pg)
	for i, v := range pg {
		a, b := pg[(i+n-1)%n], pg[(i+1)%n]
		if plane.Orient(a, v, b) <= 0 {
			continue
		}
		triangle := plane.Polygon{a, v, b}
		var deepest *plane.Point
		for j, q := range pg {
			if j == i || q.Equal(a) || q.Equal(b) || triangle.Contains(q) < 0 {
				continue
			}
			if deepest == nil || plane.Cross(a, b, q).Less(plane.Cross(a, b, *deepest)) {
				deepest = &pg[j]
			}
		}
		if deepest != nil {
			return plane.Pt(v.X.Add(deepest.X).Half(), v.Y.Add(deepest.Y).Half())
		}
		third := exact.Frac(1, 3)
		return plane.Pt(a.X.Add(v.X).Add(b.X).Mul(third), a.Y.Add(v.Y).Add(b.Y).Mul(third))
	}
	return pg[0] // a polygon has a convex corner
}

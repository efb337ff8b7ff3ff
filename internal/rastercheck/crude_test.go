// Package rastercheck has one job: to draw every document a second time, crudely, and to compare that with what draft and set
// draw and with the top that the plan sews together.
package rastercheck

import (
	"fmt"
	"math"

	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
)

// crude draws a document a second time, coarsely and from its text alone: lines are thick rows of pixels, fabrics flood from the
// fill points, cells are looked up, turned and mirrored by coordinates. It shares no code with draft and set but the types of
// the document, so that a mistake there does not hide here.
type crude struct {
	doc    *quilt.Document
	drawn  map[string]*pixels
	margin float64 // in the measure: how near an edge a spot is too close to call
}

// spot is what lies at a place: a fabric, and a name for the patch it is in. Unsure spots lie too near an edge; a spot
// without a patch is sure of its fabric only.
type spot struct {
	fabric, patch string
	sure          bool
}

// pixels is a block drawn by lines.
type pixels struct {
	w, h   int
	region []int // -1 on a line
	fabric []string
}

func num(x exact.Num) float64 { return x.Float() }

// block looks up a place of a block, u and v from 0 to 1 across and down its own frame.
func (c *crude) block(name string, recolor []map[string]string, u, v, w, h float64) spot {
	var b *quilt.Block
	for _, other := range c.doc.Blocks {
		if other.Name == name {
			b = other
		}
	}
	if b.Columns > 0 {
		p := c.pixels(b)
		x, y := int(u*float64(p.w)), int(v*float64(p.h))
		at := min(max(y, 0), p.h-1)*p.w + min(max(x, 0), p.w-1)
		if p.region[at] < 0 {
			return spot{}
		}
		return spot{swapped(p.fabric[at], recolor), fmt.Sprint("r", p.region[at]), true}
	}
	column, u, cw, okX := share(b.ColumnSizes, u, w, c.margin)
	row, v, ch, okY := share(b.RowSizes, v, h, c.margin)
	if !okX || !okY {
		return spot{}
	}
	s := c.cell(b.Cells[row][column], recolor, u, v, cw, ch)
	s.patch = fmt.Sprintf("%d,%d/%s", row, column, s.patch)
	return s
}

// share finds the part that holds u, and where in it.
func share(parts []exact.Num, u, whole, margin float64) (part int, within, size float64, ok bool) {
	sum := 0.0
	for _, p := range parts {
		sum += num(p)
	}
	from := 0.0
	for i, p := range parts {
		wide := num(p) / sum
		if u < from+wide || i == len(parts)-1 {
			within = (u - from) / wide
			size = wide * whole
			return i, within, size, within*size > margin && (1-within)*size > margin
		}
		from += wide
	}
	return 0, 0, 0, false
}

func swapped(letter string, recolor []map[string]string) string {
	for _, r := range recolor {
		if to, ok := r[letter]; ok {
			letter = to
		}
	}
	return letter
}

// cell looks up a place of a cell, u and v from 0 to 1 across and down the cell as it lies.
func (c *crude) cell(cell quilt.Cell, recolor []map[string]string, u, v, w, h float64) spot {
	for range int(cell.Turn) / 90 { // turn back, a quarter at a time
		u, v = v, 1-u
		w, h = h, w
	}
	if cell.Mirror {
		u = 1 - u
	}
	if cell.Block != "" || len(cell.Recolor) > 0 {
		recolor = append([]map[string]string{cell.Recolor}, recolor...)
	}
	switch {
	case cell.Block != "":
		return c.block(cell.Block, recolor, u, v, w, h)
	case cell.Unit != "":
		role, sure := unit(cell.Unit, len(cell.Fabrics), u, v, w, h, c.margin)
		if !sure {
			return spot{}
		}
		return spot{swapped(cell.Fabrics[role], recolor), fmt.Sprint("u", role), true}
	default:
		return spot{swapped(cell.Fabric, recolor), "whole", u*w > c.margin && v*h > c.margin && (1-u)*w > c.margin && (1-v)*h > c.margin}
	}
}

// unit says which patch of a unit holds a place, by which side of which lines it lies.
func unit(name string, fabrics int, u, v, w, h, margin float64) (role int, sure bool) {
	sure = true
	// over reports whether f, a height above a line in parts of the unit, is above nothing.
	over := func(f float64) bool {
		if math.Abs(f)*min(w, h) < 2*margin {
			sure = false
		}
		return f > 0
	}
	pick := func(yes bool, a, b int) int {
		if yes {
			return a
		}
		return b
	}
	switch name {
	case "half square", "half rectangle": // the seam rises from the bottom left to the top right
		return pick(over(1-u-v), 0, 1), sure
	case "goose": // its point in the middle of the top
		left, right := over(1-v-2*u), over(2*u-1-v)
		return pick(left, 1, pick(right, 2, 0)), sure
	case "hourglass":
		falling, rising := over(u-v), over(1-u-v) // above the two diagonals
		return pick(falling, pick(rising, 0, 1), pick(rising, 3, 2)), sure
	case "three triangles":
		if over(1 - u - v) {
			return 0, sure
		}
		return pick(over(u-v), 1, 2), sure
	case "square in square":
		corners := []bool{over(0.5 - u - v), over(u - v - 0.5), over(u + v - 1.5), over(v - u - 0.5)}
		for i, in := range corners {
			if in {
				return i + 1, sure
			}
		}
		return 0, sure
	case "snowball":
		leg := min(w, h) / 3
		x, y := u*w, v*h
		corners := []bool{over((leg - x - y) / leg), over((leg - (w - x) - y) / leg), over((leg - (w - x) - (h - y)) / leg), over((leg - x - (h - y)) / leg)}
		for i, in := range corners {
			if in {
				return i + 1, sure
			}
		}
		return 0, sure
	case "four-patch":
		return pick(over(v-0.5), 2, 0) + pick(over(u-0.5), 1, 0), sure
	case "nine-patch":
		return pick(over(v-2.0/3), 6, pick(over(v-1.0/3), 3, 0)) + pick(over(u-2.0/3), 2, pick(over(u-1.0/3), 1, 0)), sure
	case "rail":
		at := v * float64(fabrics)
		over((at - math.Round(at)) / float64(fabrics))
		return int(at), sure
	case "log cabin": // peel the logs off from the outside: left, bottom, right, top
		log := fabrics - 1
		side := float64((fabrics-1)/2 + 1)
		x, y, x0, y0, x1, y1 := u*side, v*side, 0.0, 0.0, side, side
		for ; log > 0; log -= 4 {
			if over((x0 + 1 - x) / side) {
				return log, sure
			}
			x0++
			if over((y - y1 + 1) / side) {
				return log - 1, sure
			}
			y1--
			if over((x - x1 + 1) / side) {
				return log - 2, sure
			}
			x1--
			if over((y0 + 1 - y) / side) {
				return log - 3, sure
			}
			y0++
		}
		return 0, sure
	}
	panic("no such unit: " + name)
}

// pixels draws a block of lines, thirty or so pixels to a step, and floods it from its fill points.
func (c *crude) pixels(b *quilt.Block) *pixels {
	if p := c.drawn[b.Name]; p != nil {
		return p
	}
	step := max(8, min(48, 900/max(b.Columns, b.Rows)))
	p := &pixels{w: b.Columns * step, h: b.Rows * step}
	p.region, p.fabric = make([]int, p.w*p.h), make([]string, p.w*p.h)
	points := func(all []plane.Point) [][2]float64 {
		var out [][2]float64
		for _, q := range all {
			out = append(out, [2]float64{num(q.X) * float64(step), num(q.Y) * float64(step)})
		}
		return out
	}
	for _, run := range b.Lines {
		for _, image := range c.images(b, p, points(run.Points)) {
			for i := 1; i < len(image); i++ {
				p.line(image[i-1], image[i])
			}
		}
	}
	next := 0
	for y := range p.h {
		for x := range p.w {
			if p.region[y*p.w+x] == 0 {
				next++
				p.flood(x, y, next)
			}
		}
	}
	fabrics := map[int]string{}
	for _, f := range b.Fill {
		for _, image := range c.images(b, p, points(f.Points)) {
			for _, q := range image {
				fabrics[p.region[int(q[1])*p.w+int(q[0])]] = f.Fabric
			}
		}
	}
	for i, r := range p.region {
		p.fabric[i] = b.Ground
		if f, ok := fabrics[r]; ok {
			p.fabric[i] = f
		}
	}
	c.drawn[b.Name] = p
	return p
}

// images repeats points by the words of the symmetry, again and again until nothing new comes.
func (c *crude) images(b *quilt.Block, p *pixels, points [][2]float64) [][][2]float64 {
	w, h := float64(p.w), float64(p.h)
	all := [][][2]float64{points}
	seen := map[string]bool{fmt.Sprintf("%.1f", points): true}
	for i := 0; i < len(all); i++ {
		for _, word := range b.Symmetry {
			var image [][2]float64
			for _, q := range all[i] {
				x, y := q[0], q[1]
				switch word {
				case quilt.QuarterTurns:
					x, y = h-y, x
				case quilt.HalfTurn:
					x, y = w-x, h-y
				case quilt.LeftRight:
					x = w - x
				case quilt.TopBottom:
					y = h - y
				case quilt.FallingDiagonal:
					x, y = y, x
				case quilt.RisingDiagonal:
					x, y = h-y, w-x
				}
				image = append(image, [2]float64{x, y})
			}
			if key := fmt.Sprintf("%.1f", image); !seen[key] {
				seen[key] = true
				all = append(all, image)
			}
		}
	}
	return all
}

// line blackens the pixels near a line.
func (p *pixels) line(a, b [2]float64) {
	dx, dy := b[0]-a[0], b[1]-a[1]
	length := math.Hypot(dx, dy)
	for y := max(0, int(min(a[1], b[1]))-2); y < min(p.h, int(max(a[1], b[1]))+2); y++ {
		for x := max(0, int(min(a[0], b[0]))-2); x < min(p.w, int(max(a[0], b[0]))+2); x++ {
			px, py := float64(x)+0.5-a[0], float64(y)+0.5-a[1]
			along, off := (px*dx+py*dy)/length, math.Abs(px*dy-py*dx)/length
			if off < 0.8 && along > -0.8 && along < length+0.8 {
				p.region[y*p.w+x] = -1
			}
		}
	}
}

// flood numbers the pixels that hang together with one.
func (p *pixels) flood(x, y, number int) {
	todo := [][2]int{{x, y}}
	for len(todo) > 0 {
		at := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if at[0] < 0 || at[1] < 0 || at[0] >= p.w || at[1] >= p.h || p.region[at[1]*p.w+at[0]] != 0 {
			continue
		}
		p.region[at[1]*p.w+at[0]] = number
		todo = append(todo, [2]int{at[0] + 1, at[1]}, [2]int{at[0] - 1, at[1]}, [2]int{at[0], at[1] + 1}, [2]int{at[0], at[1] - 1})
	}
}

// top looks up a place of the whole top, in the measure from its top left corner; w and h are its size.
func (c *crude) top(x, y, w, h float64) spot {
	if c.doc.Set == nil {
		used := map[string]bool{}
		for _, b := range c.doc.Blocks {
			for _, row := range b.Cells {
				for _, cell := range row {
					used[cell.Block] = true
				}
			}
		}
		for _, b := range c.doc.Blocks {
			if !used[b.Name] {
				return c.block(b.Name, nil, x/w, y/h, w, h)
			}
		}
	}
	for i := len(c.doc.Set.Borders) - 1; i >= 0; i-- { // from the outside in
		b := c.doc.Set.Borders[i]
		wide := num(b.Width)
		left, top, right, bottom := x < wide, y < wide, x > w-wide, y > h-wide
		near := func(a float64) bool { return math.Abs(a) < c.margin }
		if left || top || right || bottom {
			mitred := b.Corners == "mitred" // the two sides of a corner meet on its diagonal
			if (left || right) && mitred {
				dx, dy := min(x, w-x), min(y, h-y) // from the outer edges
				if (top || bottom) && near((dx-dy)/2) {
					return spot{}
				}
				top, bottom = top && dy < dx, bottom && dy < dx
			}
			unsure := near(x) || near(y) || near(x-w) || near(y-h) || near(x-wide) || near(y-wide) || near(x-w+wide) || near(y-h+wide)
			side := map[bool]string{top: "top", bottom: "bottom"}[true]
			switch {
			case (top || bottom) && (left || right) && b.Corners == "square":
				return spot{b.Corner.Fabric, fmt.Sprintf("corner %d %s %v", i, side, left), !unsure}
			case top || bottom: // butted: over the whole width
				return spot{b.Fabric, fmt.Sprintf("border %d %s", i, side), !unsure}
			default:
				return spot{b.Fabric, fmt.Sprintf("border %d side %v", i, left), !unsure}
			}
		}
		x, y, w, h = x-wide, y-wide, w-2*wide, h-2*wide
	}
	if c.doc.Set.Style == "on point" {
		return c.onPoint(x, y, w, h)
	}
	return c.straight(x, y)
}

// straight looks up a place among rows of blocks.
func (c *crude) straight(x, y float64) spot {
	s := c.doc.Set
	sash, outside, posts, fabric := 0.0, false, "", ""
	if s.Sashing != nil {
		sash, outside, posts, fabric = num(s.Sashing.Width), s.Sashing.Outside, s.Sashing.Posts, s.Sashing.Fabric
	}
	heights, widths := make([]float64, len(s.Rows)), make([]float64, len(s.Rows[0]))
	for r, row := range s.Rows {
		for i, cell := range row {
			for _, b := range c.doc.Blocks {
				if b.Name == cell.Block {
					bw, bh := num(b.Width), num(b.Height)
					if cell.Turn%180 != 0 {
						bw, bh = bh, bw
					}
					heights[r], widths[i] = bh, bw
				}
			}
		}
	}
	find := func(at float64, sizes []float64, times int) (i int, within float64, gap, ok bool) {
		from, n := 0.0, len(sizes)*times
		for k := 0; k <= n; k++ {
			if k > 0 && k < n || outside {
				if at < from+sash {
					return k, at - from, true, at-from > c.margin && from+sash-at > c.margin
				}
				from += sash
			}
			if k == n {
				break
			}
			size := sizes[k%len(sizes)]
			if at < from+size {
				return k, at - from, false, at-from > c.margin && from+size-at > c.margin
			}
			from += size
		}
		return 0, 0, false, false
	}
	row, v, sashRow, okY := find(y, heights, s.Down)
	if sashRow && posts == "" {
		return spot{fabric, fmt.Sprintf("long sash %d", row), okY}
	}
	column, u, sashColumn, okX := find(x, widths, s.Across)
	switch {
	case !okX || !okY:
		return spot{}
	case sashRow && sashColumn:
		return spot{posts, fmt.Sprintf("post %d %d", row, column), true}
	case sashRow || sashColumn:
		return spot{fabric, fmt.Sprintf("sash %d %d %v", row, column, sashRow), true}
	}
	cw, ch := widths[column%len(widths)], heights[row%len(heights)]
	found := c.cell(s.Rows[row%len(s.Rows)][column%len(widths)], nil, u/cw, v/ch, cw, ch)
	found.patch = fmt.Sprintf("cell %d %d/%s", row, column, found.patch)
	return found
}

// onPoint looks up a place in a set on point by walking over all blocks and asking each, in its own frame, whether it or its ring of
// sashing holds the place.
func (c *crude) onPoint(x, y, w, h float64) spot {
	s := c.doc.Set
	side, sash, posts, fabric := 0.0, 0.0, "", ""
	for _, b := range c.doc.Blocks {
		if b.Name == s.Rows[0][0].Block {
			side = num(b.Width)
		}
	}
	if s.Sashing != nil {
		sash, posts, fabric = num(s.Sashing.Width), s.Sashing.Posts, s.Sashing.Fabric
	}
	float := num(s.Triangles.Float)
	x, y, w, h = x-float, y-float, w-2*float, h-2*float // between the points of the blocks
	out := x < c.margin || y < c.margin || x > w-c.margin || y > h-c.margin
	half := (side + sash) / math.Sqrt2
	long := 0 // rows of n blocks that are written
	for r := range s.Rows {
		long += 1 - r%2
	}
	for r := range 2*long*s.Down - 1 {
		row := s.Rows[min(r%(2*long), len(s.Rows)-1)]
		if r%(2*long) == len(s.Rows) && len(s.Rows) > 1 { // between two layings
			row = s.Rows[1]
		}
		for i := range len(s.Rows[0])*s.Across - r%2 {
			cell := row[0]
			if k := i % len(s.Rows[0]); k < len(row) {
				cell = row[k]
			}
			cx, cy := half*float64(2*i+1+r%2), half*float64(r+1)
			// Turn back by 45 degrees about the centre: u runs along what was down to the right.
			u, v := (x-cx+y-cy)/math.Sqrt2, (y-cy-(x-cx))/math.Sqrt2
			if math.Abs(u) < side/2 && math.Abs(v) < side/2 {
				if side/2-math.Abs(u) < c.margin || side/2-math.Abs(v) < c.margin {
					return spot{}
				}
				found := c.cell(cell, nil, u/side+0.5, v/side+0.5, side, side)
				found.patch = fmt.Sprintf("cell %d %d/%s", r, i, found.patch)
				return found
			}
			wide := side/2 + sash
			if sash == 0 || math.Abs(u) > wide || math.Abs(v) > wide {
				continue
			}
			for _, edge := range []float64{math.Abs(u) - side/2, math.Abs(v) - side/2, wide - math.Abs(u), wide - math.Abs(v)} {
				if math.Abs(edge) < c.margin {
					return spot{}
				}
			}
			// A strip or post is named by its middle, which is the same for both blocks that share it.
			mu, mv := 0.0, 0.0
			if math.Abs(u) > side/2 {
				mu = math.Copysign(side/2+sash/2, u)
			}
			if math.Abs(v) > side/2 {
				mv = math.Copysign(side/2+sash/2, v)
			}
			mx, my := cx+(mu-mv)/math.Sqrt2, cy+(mu+mv)/math.Sqrt2
			name, cloth := fmt.Sprintf("%.2f,%.2f", mx+1000, my+1000), fabric
			switch {
			case posts != "" && mu != 0 && mv != 0:
				cloth = posts
			case posts == "" && (mu != 0): // sashing that runs up to the right is one strip from edge to edge
				name = fmt.Sprintf("long %.2f", mx+my+1000)
			}
			return spot{cloth, name, !out}
		}
	}
	if out && float > 0 { // how the float is shared between triangles is not asked
		return spot{s.Triangles.Fabric, "", sash == 0}
	}
	// A triangle is named by the gap of the lattice that it fills.
	gx, gy := math.Round((x+y)/(2*half)), math.Round((y-x)/(2*half))
	for _, edge := range []float64{x, y, w - x, h - y} {
		if edge < c.margin {
			return spot{}
		}
	}
	for _, edge := range []float64{(x+y)/(2*half) - gx, (y-x)/(2*half) - gy} {
		if (0.5-math.Abs(edge))*(side+sash) < sash/2+c.margin {
			return spot{}
		}
	}
	return spot{s.Triangles.Fabric, fmt.Sprintf("triangle %v %v", gx+1000, gy+1000), true}
}

package book

import (
	"quiltwright/internal/scene"
)

// sheet is the paper and the measures of a page on it.
type sheet struct {
	name string
	w, h scene.Pt
}

// Margins of every page. The foot stands in the lower one.
const (
	side   scene.Pt = 50
	head   scene.Pt = 50
	tail   scene.Pt = 62
	footAt scene.Pt = 34 // of the foot's last baseline above the edge
)

func (s sheet) column() scene.Pt { return s.w - 2*side }
func (s sheet) depth() scene.Pt  { return s.h - head - tail }

// box is something of a known height that is never broken: a line of a table, a paragraph's line, a step.
type box struct {
	item  scene.Group // drawn from 0,0 down
	h     scene.Pt
	gap   scene.Pt // free space above it, dropped at the head of a page
	stick bool     // is never the last on a page: what follows stands with it
	in    *frame   // what it is a part of: a table, a list
}

// frame is a table or list whose parts are boxes. Where it is broken, the page that follows begins
// with its head again.
type frame struct {
	tag  scene.Tag
	head []box
}

// chunk is boxes that belong together: kept on one page or on facing pages where they can be.
type chunk struct {
	boxes []box
	fresh bool           // begins a page
	below scene.Pt       // with fresh: unless no more than this part of the page is used
	whole bool           // is wanted on one page, or on facing pages
	tight bool           // is given a page of its own sooner than broken
	sizes []func() []box // what follows the boxes, in several sizes: the largest that fits is taken
}

// flow collects the chunks of a document.
type flow struct {
	chunks []chunk
}

// open begins a chunk.
func (f *flow) open(c chunk) { f.chunks = append(f.chunks, c) }

// put adds boxes to the chunk that is open.
func (f *flow) put(bs ...box) {
	if len(f.chunks) == 0 {
		f.open(chunk{})
	}
	c := &f.chunks[len(f.chunks)-1]
	c.boxes = append(c.boxes, bs...)
}

// paged is a page while boxes are being laid on it.
type paged struct {
	boxes []box
	ys    []scene.Pt
	y     scene.Pt // what is used
}

// layer lays chunks on pages of one depth.
type layer struct {
	depth scene.Pt
	pages []*paged
}

// lay breaks the flow into pages: contents only, from 0,0 of the column.
func (f *flow) lay(depth scene.Pt) []*paged {
	l := &layer{depth: depth}
	for _, c := range f.chunks {
		l.chunk(c)
	}
	return l.pages
}

func (l *layer) page() *paged {
	if len(l.pages) == 0 {
		l.pages = append(l.pages, &paged{})
	}
	return l.pages[len(l.pages)-1]
}

func (l *layer) turn() *paged {
	l.pages = append(l.pages, &paged{})
	return l.page()
}

// height is what boxes take one below the other, the first one's gap left out where it begins a page.
func height(bs []box, atHead bool) scene.Pt {
	var h scene.Pt
	for i, b := range bs {
		if i > 0 || !atHead {
			h += b.gap
		}
		h += b.h
	}
	return h
}

func (l *layer) chunk(c chunk) {
	if len(c.boxes) == 0 {
		return
	}
	p := l.page()
	if c.fresh && p.y > c.below*l.depth {
		p = l.turn()
	}
	c = l.sized(p, c)
	if c.whole {
		c.boxes = l.paired(c.boxes)
	}
	if c.whole && p.y+height(c.boxes, p.y == 0) > l.depth && len(p.boxes) > 0 {
		left := len(l.pages)%2 == 0 // pages count from 1; an even one is on the left
		both := height(c.boxes, true) <= 1.85*l.depth
		fits := height(c.boxes, true) <= l.depth
		// What does not fit on one page may begin here where the next page faces this one and a good part
		// of it stands here; anything, where turning the page would leave much of this one white.
		if (fits || !both || !left || p.y > 0.5*l.depth) && (c.tight || !l.roomy(p, c.boxes, left)) {
			l.turn()
		}
	}
	l.runs(c.boxes)
}

// sized returns a chunk in the largest size that fits what is left of the page; else the largest that fits a page of its own; else the
// largest of all.
func (l *layer) sized(p *paged, c chunk) chunk {
	if len(c.sizes) == 0 {
		return c
	}
	at := func(k int) []box { return append(c.boxes[:len(c.boxes):len(c.boxes)], c.sizes[k]()...) }
	for _, free := range []scene.Pt{l.depth - p.y, l.depth} {
		for k := range c.sizes {
			if bs := at(k); height(bs, free == l.depth) <= free {
				c.boxes, c.tight = bs, k > 0
				return c
			}
		}
	}
	c.boxes = at(0)
	return c
}

// roomy reports that a good part of the boxes stands in what is left of a page, and that this is too much to leave
// white: a third of a page that faces the next, nearly half of one that does not.
func (l *layer) roomy(p *paged, bs []box, left bool) bool {
	free := l.depth - p.y
	least := 0.45 * l.depth
	if left {
		least = 0.3 * l.depth
	}
	if free < least {
		return false
	}
	here := 0
	for i, b := range bs {
		if height(bs[:i+1], false) > free {
			break
		}
		if !b.stick {
			here++
		}
	}
	return here >= 2
}

// paired returns boxes of which the last does not go to another page alone, where it is not too deep for that.
func (l *layer) paired(bs []box) []box {
	before := len(bs) - 2
	for before >= 0 && bs[before].stick {
		before--
	}
	first := before
	for first > 0 && bs[first-1].stick {
		first--
	}
	if first < 2 || height(bs[first:], true) > 0.45*l.depth {
		return bs
	}
	bs = append([]box{}, bs...)
	bs[before].stick = true
	return bs
}

// runs lays boxes, keeping each that sticks with what follows.
func (l *layer) runs(bs []box) {
	for i := 0; i < len(bs); {
		j := i
		for bs[j].stick && j+1 < len(bs) {
			j++
		}
		p := l.page()
		if p.y > 0 && p.y+height(bs[i:j+1], false) > l.depth {
			p = l.turn()
			if in := bs[i].in; in != nil && i > 0 && bs[i-1].in == in {
				for _, h := range in.head {
					p.put(h)
				}
			}
		}
		for _, b := range bs[i : j+1] {
			if p.y > 0 && p.y+b.gap+b.h > l.depth {
				p = l.turn() // a run of sticking boxes deeper than a page
			}
			p.put(b)
		}
		i = j + 1
	}
}

func (p *paged) put(b box) {
	if len(p.boxes) > 0 {
		p.y += b.gap
	}
	p.boxes = append(p.boxes, b)
	p.ys = append(p.ys, p.y)
	p.y += b.h
}

// items returns what stands on the page, at x, y, with the parts of each table and list under one tag.
func (p *paged) items(x, y scene.Pt) []scene.Item {
	var out []scene.Item
	var open *frame
	var within []scene.Item
	shut := func() {
		if open != nil {
			out = append(out, scene.Group{Tag: open.tag, Items: within})
		}
		open, within = nil, nil
	}
	for i, b := range p.boxes {
		g := b.item
		g.At = scene.Point{X: g.At.X + x, Y: g.At.Y + y + p.ys[i]}
		if b.in != open {
			shut()
			open = b.in
		}
		if open != nil {
			within = append(within, g)
		} else {
			out = append(out, g)
		}
	}
	shut()
	return out
}

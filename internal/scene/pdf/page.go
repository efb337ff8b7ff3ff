package pdf

import (
	"fmt"
	"math"

	"github.com/carlos7ags/folio/core"

	"quiltwright/internal/scene"
)

// canvas paints one page.
type canvas struct {
	w      *writer
	page   int
	height scene.Pt
	s      content
	open   *elem // whose marked content is open; nil: none
	art    bool  // an artifact is open
	mcids  []core.PdfObject
	annots *core.PdfArray
	err    error
}

func (w *writer) page(i int, p scene.Page) error {
	c := &canvas{w: w, page: i, height: p.H, annots: core.NewPdfArray()}
	c.items(scene.Outer, p.Items, w.root)
	c.shut()
	if c.err != nil {
		return c.err
	}
	body := compressed(c.s.b)
	key := len(w.parents)
	w.parents = append(w.parents, core.NewPdfArray(c.mcids...))
	d := dict("Type", name("Page"), "Parent", w.pages,
		"MediaBox", core.NewPdfArray(integer(0), integer(0), real(p.W), real(p.H)),
		"Contents", w.add(body), "StructParents", integer(key), "Tabs", name("S"))
	if c.annots.Len() > 0 {
		d.Set("Annots", c.annots)
	}
	w.put(w.pageRefs[i], d)
	// An annotation's own key follows its page's, so it is numbered after the page is known.
	for _, e := range w.root.links(i) {
		e.annot.Set("StructParent", integer(len(w.parents)))
		w.parents = append(w.parents, e.ref)
	}
	return nil
}

// items paints items that belong to the structure element in.
func (c *canvas) items(f scene.Frame, items []scene.Item, in *elem) {
	for _, it := range items {
		if c.err != nil {
			return
		}
		switch it := it.(type) {
		case scene.Path:
			if in.container() {
				c.begin(nil)
			} else {
				c.begin(in)
			}
			c.path(f, it)
		case scene.Text:
			if in.container() {
				c.begin(c.w.child(in, string(scene.Paragraph)))
			} else {
				c.begin(in)
			}
			c.text(f, it)
		case scene.Image:
			c.begin(in)
			c.image(f, it)
		case scene.Group:
			c.group(f, it, in)
		}
	}
}

func (c *canvas) group(f scene.Frame, g scene.Group, in *elem) {
	inside := f.Into(g)
	to := in
	switch {
	case in.tag == string(scene.Figure) || in.tag == string(scene.Artifact):
		// A figure is one thing to a reader, and so is what is not read at all.
	case g.Tag == scene.Artifact:
		to = &elem{tag: string(scene.Artifact)}
	case g.Tag != "":
		to = c.w.child(in, string(g.Tag))
		to.alt = g.Alt
		if b, ok := scene.Bounds(inside, g.Items); ok && (g.Tag == scene.Figure || g.Tag == scene.Link) {
			to.box = &[4]scene.Pt{b.Lo.X, c.height - b.Hi.Y, b.Hi.X, c.height - b.Lo.Y}
			to.page = c.page
		}
		if g.Tag == scene.Link && to.box != nil {
			c.link(to, g.Link)
		}
	}
	if g.Clip == nil {
		c.items(inside, g.Items, to)
		return
	}
	// Marked content and saved state must nest: either the content is open around the clip, or it is shut.
	around := to.tag == string(scene.Figure)
	if around {
		c.begin(to)
	} else {
		c.shut()
	}
	c.s.save()
	c.outline(inside, g.Clip.Steps)
	c.s.do("W")
	c.s.do("n")
	c.items(inside, g.Items, to)
	if !around {
		c.shut()
	}
	c.s.restore()
}

// begin opens the marked content of an element, or of an artifact for nil, unless it is open.
func (c *canvas) begin(e *elem) {
	if e != nil && e.tag == string(scene.Artifact) {
		e = nil
	}
	if e == nil && c.art || e != nil && c.open == e {
		return
	}
	c.shut()
	if e == nil {
		c.s.do("/Artifact BMC")
		c.art = true
		return
	}
	c.s.do(fmt.Sprintf("/%s <</MCID %d>> BDC", e.tag, len(c.mcids)))
	e.kids = append(e.kids, kid{page: c.page, mcid: len(c.mcids)})
	c.mcids = append(c.mcids, e.ref)
	c.open = e
}

func (c *canvas) shut() {
	if c.open != nil || c.art {
		c.s.do("EMC")
	}
	c.open, c.art = nil, false
}

func round(v scene.Pt) float64 { return math.Round(float64(v)*1000) / 1000 }

// xy maps a point of frame f to the page's own coordinates, y up.
func (c *canvas) xy(f scene.Frame, p scene.Point) (x, y float64) {
	q := f.Point(p)
	return round(q.X), round(c.height - q.Y)
}

func (c *canvas) outline(f scene.Frame, steps []scene.Step) {
	for _, st := range steps {
		x, y := c.xy(f, st.To)
		switch st.Kind {
		case scene.MoveTo:
			c.s.do("m", x, y)
		case scene.LineTo:
			c.s.do("l", x, y)
		case scene.CurveTo:
			x1, y1 := c.xy(f, st.C1)
			x2, y2 := c.xy(f, st.C2)
			c.s.do("c", x1, y1, x2, y2, x, y)
		case scene.Close:
			c.s.do("h")
		}
	}
}

func (c *canvas) path(f scene.Frame, p scene.Path) {
	if len(p.Steps) == 0 {
		return
	}
	if p.Fill.Set && p.Hatch == nil && p.Stroke.Set {
		c.s.fill(p.Fill)
		c.pen(f, p)
		c.outline(f, p.Steps)
		c.s.do("B")
		return
	}
	if p.Fill.Set {
		c.s.fill(p.Fill)
		c.outline(f, p.Steps)
		c.s.do("f")
	}
	if p.Hatch != nil {
		c.s.save()
		c.outline(f, p.Steps)
		c.s.do("W")
		c.s.do("n")
		c.pen(f, p.Hatch.HatchPen())
		for _, l := range p.HatchLines() {
			x0, y0 := c.xy(f, l[0])
			x1, y1 := c.xy(f, l[1])
			c.s.do("m", x0, y0)
			c.s.do("l", x1, y1)
		}
		c.s.do("S")
		c.s.restore()
	}
	if p.Stroke.Set {
		c.pen(f, p)
		c.outline(f, p.Steps)
		c.s.do("S")
	}
}

func (c *canvas) pen(f scene.Frame, p scene.Path) {
	dash := make([]float64, len(p.Dash))
	for i, d := range p.Dash {
		dash[i] = round(f.Len(d))
	}
	c.s.pen(p.Stroke, round(f.Len(p.Width)), p.Round, dash)
}

func (c *canvas) text(f scene.Frame, t scene.Text) {
	r := t.Turn * math.Pi / 180
	x, y := c.xy(f, t.Start())
	c.s.do("BT")
	if r == 0 {
		c.s.do("Td", x, y)
	} else {
		c.s.do("Tm", math.Cos(r), -math.Sin(r), math.Sin(r), math.Cos(r), x, y)
	}
	for _, run := range t.Runs {
		if run.Text == "" {
			continue
		}
		gs := scene.Shape(run.Font, run.Text)
		c.w.fonts[run.Font].note(gs)
		c.s.fill(t.Ink(run))
		c.s.typeface(run.Font, round(f.Len(t.Size)))
		c.s.show(gs)
	}
	c.s.do("ET")
}

func (c *canvas) image(f scene.Frame, im scene.Image) {
	known, err := c.w.load(im.Data)
	if err != nil {
		c.err = err
		return
	}
	x, y := c.xy(f, scene.Point{X: im.X, Y: im.Y + im.H})
	c.s.save()
	c.s.do("cm", round(f.Len(im.W)), 0, 0, round(f.Len(im.H)), x, y)
	c.s.do("/" + known.name + " Do")
	c.s.restore()
}

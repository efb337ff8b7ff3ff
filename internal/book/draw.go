package book

import (
	"fmt"
	"math"

	"quiltwright/internal/measure"
	"quiltwright/internal/plan"
	"quiltwright/internal/scene"
)

// artist draws what stands on the pages.
type artist interface {
	quilt(w, h scene.Pt) scene.Drawing
	layout(w, h scene.Pt) scene.Drawing
	block(id string, size scene.Pt) scene.Drawing
}

// painter is the artist of a plan.
type painter struct {
	p       *plan.Plan
	unit    measure.Unit
	units   map[string]*plan.Unit
	blocks  map[string]*plan.Block
	colors  map[string]scene.Color
	drawnOf map[string][]*plan.Drawn
}

func newArtist(p *plan.Plan) artist {
	a := &painter{p: p, unit: measure.Inch, units: map[string]*plan.Unit{}, blocks: map[string]*plan.Block{},
		colors: map[string]scene.Color{}, drawnOf: map[string][]*plan.Drawn{}}
	if p.Measure == "cm" {
		a.unit = measure.Centimetre
	}
	for i := range p.Units {
		a.units[p.Units[i].ID] = &p.Units[i]
	}
	for i := range p.Blocks {
		a.blocks[p.Blocks[i].ID] = &p.Blocks[i]
	}
	for _, f := range p.Fabrics {
		c := scene.Hex(f.Color)
		if !c.Set {
			c = scene.Mist
		}
		a.colors[f.Letter] = c
	}
	for i := range p.Drawn {
		d := &p.Drawn[i]
		a.drawnOf[d.Of] = append(a.drawnOf[d.Of], d)
	}
	return a
}

func (a *painter) color(letter string) scene.Color {
	if c, ok := a.colors[letter]; ok {
		return c
	}
	return scene.Mist
}

// quilt is the top without words.
func (a *painter) quilt(w, h scene.Pt) scene.Drawing {
	fw, fh := float64(a.p.Finished.Width), float64(a.p.Finished.Height)
	if fw <= 0 || fh <= 0 {
		return scene.Drawing{}
	}
	s := math.Min(float64(w)/fw, float64(h)/fh)
	d := scene.Drawing{W: scene.Pt(fw * s), H: scene.Pt(fh * s), Alt: "The quilt " + a.p.Quilt}
	d.Add(a.top(onPaper{scale: s})...)
	return d
}

func (a *painter) top(o onPaper) []scene.Item {
	width := scene.Pt(math.Max(0.15, math.Min(0.6, o.scale*0.05)))
	var out []scene.Item
	put := func(ds []*plan.Drawn, p pose) {
		for _, d := range ds {
			out = append(out, o.path(d.Outline, p).Filled(a.color(d.Fabric)).Stroked(scene.Ink, width))
		}
	}
	put(a.drawnOf["top"], still)
	for _, pl := range a.p.Placed {
		put(a.drawnOf["block "+pl.Block], poseOf(pl.At, plan.Num(pl.Turn), pl.Mirror))
	}
	fw, fh := float64(a.p.Finished.Width), float64(a.p.Finished.Height)
	return append(out, scene.Rect(o.dx, o.dy, scene.Pt(fw*o.scale), scene.Pt(fh*o.scale)).Stroked(scene.Ink, 0.8))
}

// layout is the top with the numbers of rows and columns and every block's number and top.
func (a *painter) layout(w, h scene.Pt) scene.Drawing {
	const edge scene.Pt = 18
	fw, fh := float64(a.p.Finished.Width), float64(a.p.Finished.Height)
	if fw <= 0 || fh <= 0 {
		return scene.Drawing{}
	}
	s := math.Min(float64(w-edge)/fw, float64(h-edge)/fh)
	d := scene.Drawing{W: scene.Pt(fw*s) + edge, H: scene.Pt(fh*s) + edge, Alt: "Where every block lies, with rows and columns numbered"}
	o := onPaper{scale: s, dx: edge, dy: edge}
	d.Add(a.top(o)...)
	numbers := map[string]int{}
	for i, b := range a.p.Blocks {
		numbers[b.ID] = i + 1
	}
	rows, cols := map[int][]float64{}, map[int][]float64{}
	for _, pl := range a.p.Placed {
		b := a.blocks[pl.Block]
		if b == nil {
			continue
		}
		p := poseOf(pl.At, plan.Num(pl.Turn), pl.Mirror)
		cx, cy := p.at(float64(b.Finished.Width)/2, float64(b.Finished.Height)/2)
		ux, uy := p.at(float64(b.Finished.Width)/2, float64(b.Finished.Height)/2-1)
		rows[pl.Row] = append(rows[pl.Row], cy)
		cols[pl.Column] = append(cols[pl.Column], cx)
		c := o.point(cx, cy)
		const r scene.Pt = 7.5
		dx, dy := scene.Pt(ux-cx), scene.Pt(uy-cy)
		tip := scene.Point{X: c.X + dx*(r+5), Y: c.Y + dy*(r+5)}
		base := scene.Point{X: c.X + dx*(r-1.5), Y: c.Y + dy*(r-1.5)}
		pointer := scene.Polygon(tip, scene.Point{X: base.X - dy*4.5, Y: base.Y + dx*4.5}, scene.Point{X: base.X + dy*4.5, Y: base.Y - dx*4.5})
		d.Add(pointer.Filled(scene.White).Stroked(scene.Ink, 0.5), scene.Circle(c, r).Filled(scene.White).Stroked(scene.Ink, 0.5),
			pointer.Filled(scene.White),
			label(c.X, c.Y+3, 9, scene.Bold, scene.Ink, scene.Middle, fmt.Sprint(numbers[pl.Block])))
	}
	number := func(at map[int][]float64, put func(v float64, n int)) {
		for n := 1; n <= len(at); n++ {
			var sum float64
			for _, v := range at[n] {
				sum += v
			}
			if len(at[n]) > 0 {
				put(sum/float64(len(at[n])), n)
			}
		}
	}
	number(rows, func(v float64, n int) {
		d.Add(label(edge-7, o.point(0, v).Y+3.5, 10, scene.Body, scene.Grey, scene.Right, fmt.Sprint(n)))
	})
	number(cols, func(v float64, n int) {
		d.Add(label(o.point(v, 0).X, edge-7, 10, scene.Body, scene.Grey, scene.Middle, fmt.Sprint(n)))
	})
	return d
}

// block is a block as it is drawn, its longer side so long.
func (a *painter) block(id string, size scene.Pt) scene.Drawing {
	b := a.blocks[id]
	if b == nil || b.Finished.Width <= 0 || b.Finished.Height <= 0 {
		return scene.Drawing{}
	}
	s := float64(size) / math.Max(float64(b.Finished.Width), float64(b.Finished.Height))
	d := scene.Drawing{W: scene.Pt(float64(b.Finished.Width) * s), H: scene.Pt(float64(b.Finished.Height) * s), Alt: "The block " + b.Name}
	o := onPaper{scale: s}
	for _, k := range a.drawnOf["block "+id] {
		d.Add(o.path(k.Outline, still).Filled(a.color(k.Fabric)).Stroked(scene.Ink, 0.55))
	}
	return d
}

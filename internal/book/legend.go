package book

import (
	"fmt"
	"slices"

	"quiltwright/internal/figure"
	"quiltwright/internal/plan"
	"quiltwright/internal/scene"
	"quiltwright/internal/words"
)

// threeStrips is the seam test: three strips sewn side by side, with what they measure.
func threeStrips(strip, seam float64, total, mid string) scene.Drawing {
	s := 110 / (3*strip - 4*seam) // points to a unit of measure
	w := scene.Pt((3*strip - 4*seam) * s)
	const h, top, pad scene.Pt = 62, 4, 4
	d := scene.Drawing{W: w + 2*pad, H: top + h + 24, Alt: "Three strips sewn side by side: " + total + " across, the middle one " + mid}
	x := pad
	for i, c := range []scene.Color{scene.Hex("#45505c"), scene.Hex("#e8e3d6"), scene.Hex("#45505c")} {
		sw := scene.Pt((strip - seam) * s)
		if i == 1 {
			sw = scene.Pt((strip - 2*seam) * s)
		}
		d.Add(scene.Rect(x, top, sw, h).Filled(c).Stroked(scene.Ink, 0.6))
		if i == 1 {
			d.Add(label(x+sw/2, top+h/2+3, 9, scene.Body, scene.Ink, scene.Middle, mid))
		}
		x += sw
	}
	d.Add(span(pad, x, top+h+7)...)
	d.Add(label(pad+w/2, top+h+20, 10, scene.Bold, scene.Ink, scene.Middle, total))
	return d
}

// span is a line from x0 to x1 at y with a stop at either end.
func span(x0, x1, y scene.Pt) []scene.Item {
	stop := func(x scene.Pt) scene.Path {
		return scene.Line(scene.Point{X: x, Y: y - 3}, scene.Point{X: x, Y: y + 3}).Stroked(scene.Grey, 0.6)
	}
	return []scene.Item{scene.Line(scene.Point{X: x0, Y: y}, scene.Point{X: x1, Y: y}).Stroked(scene.Grey, 0.6), stop(x0), stop(x1)}
}

// sign is something that drawings say, and what it means.
type sign struct {
	says  string
	items []scene.Item
}

// legend is how to read the drawings: a small drawing and a line for each sign, in two columns.
func (m *maker) legend() []box {
	slate := scene.Hex("#45505c")
	fog := scene.Hex("#e8e3d6")
	p := func(x, y scene.Pt) scene.Point { return scene.Point{X: x, Y: y} }
	square := scene.Rect(4, 4, 34, 34)
	right, piece, says := figure.Look{Color: slate}, m.someLabel(), "the right side, in the cloth’s colour, with the piece’s label"
	for _, f := range m.p.Fabrics {
		if l := m.fig.Look(f.Letter); l.Texture != nil {
			right, piece, says = l, m.labelOf(f.Letter), says+"; dots or lines tell cloths apart that look alike without colour"
			break
		}
	}
	signs := []sign{
		{says, []scene.Item{right.Fill(square).Stroked(scene.Ink, 0.7), scene.RoundRect(11, 15.5, 20, 12, 6).Filled(scene.Mist),
			label(21, 24.5, 9.5, scene.Bold, scene.Ink, scene.Middle, piece)}},
		{"the wrong side, hatched", []scene.Item{square.Filled(fog).Hatched(scene.WrongSide).Stroked(scene.Ink, 0.7)}},
		{"a drawn line, dashed: draw it, or cut along it where the step says so", []scene.Item{square.Filled(fog).Hatched(scene.WrongSide).Stroked(scene.Ink, 0.7),
			scene.Line(p(4, 4), p(38, 38)).Stroked(scene.Ink, 0.9).Dashed(4, 2.5)}},
		{"the needle’s line, dotted", []scene.Item{square.Filled(fog).Hatched(scene.WrongSide).Stroked(scene.Ink, 0.7),
			scene.Line(p(8, 4), p(38, 34)).Stroked(scene.Ember, 1.3).Dotted(2.6), scene.Line(p(4, 8), p(34, 38)).Stroked(scene.Ember, 1.3).Dotted(2.6)}},
		{"press this way: the seam allowance lies under the cloth that the arrow points to", []scene.Item{
			scene.Rect(4, 8, 20, 26).Filled(slate).Stroked(scene.Ink, 0.7), scene.Rect(24, 8, 20, 26).Filled(fog).Stroked(scene.Ink, 0.7),
			scene.Line(p(17, 21), p(27, 21)).Stroked(scene.White, 2.4), scene.Arrow(p(17, 21), p(33, 21), 5, scene.Ink, 1)}},
		{"the place to watch", []scene.Item{square.Filled(fog).Stroked(scene.Ink, 0.7),
			scene.Polygon(p(4, 38), p(21, 12), p(38, 38)).Filled(slate).Stroked(scene.Ink, 0.7), scene.Circle(p(21, 12), 6).Stroked(scene.Ember, 1.2)}},
	}
	if slices.ContainsFunc(m.p.Recipes, func(r plan.Recipe) bool {
		return slices.ContainsFunc(r.Do, func(op plan.Op) bool { return len(op.Spun) > 0 })
	}) {
		signs = append(signs, sign{"a pinwheel: the crossing seams are opened inside the allowance there, so that all four allowances turn that way round and lie flat", []scene.Item{
			scene.Rect(4, 4, 17, 17).Filled(slate).Stroked(scene.Ink, 0.7), scene.Rect(21, 4, 17, 17).Filled(fog).Stroked(scene.Ink, 0.7),
			scene.Rect(4, 21, 17, 17).Filled(fog).Stroked(scene.Ink, 0.7), scene.Rect(21, 21, 17, 17).Filled(slate).Stroked(scene.Ink, 0.7), figure.Pinwheel(p(21, 21), [2]float64{-1, 0}, [2]float64{0, -1}, 6)}})
	}
	if slices.ContainsFunc(m.p.Recipes, func(r plan.Recipe) bool {
		return slices.ContainsFunc(r.Do, func(op plan.Op) bool { return len(op.Dots) > 0 })
	}) {
		signs = append(signs, sign{"a dot: the needle stops there, before the raw edge", []scene.Item{square.Filled(fog).Hatched(scene.WrongSide).Stroked(scene.Ink, 0.7),
			scene.Line(p(30, 38), p(30, 12)).Stroked(scene.Ember, 1.3).Dotted(2.6), scene.Circle(p(30, 12), 2.6).Filled(scene.Ember).Stroked(scene.White, 0.7)}})
	}
	strip := func(items ...scene.Item) []scene.Item {
		return append([]scene.Item{scene.Rect(4, 12, 38, 18).Filled(fog).Stroked(scene.Ink, 0.7)}, items...)
	}
	cut := func(x scene.Pt) scene.Item { return scene.Line(p(x, 12), p(x, 30)).Stroked(scene.Grey, 0.6) }
	number := func(x, y scene.Pt, says string) scene.Item {
		return label(x, y, 8, scene.Body, scene.Grey, scene.Middle, says)
	}
	again := func(s *plan.Strip) bool {
		return slices.ContainsFunc(s.Segments(), func(g []plan.Cuts) bool { return len(plan.Runs(g)) > 1 })
	}
	if m.anyStrip(func(s *plan.Strip) bool { return len(s.Segments()) > 1 || again(s) }) {
		signs = append(signs, sign{"numbers over a strip: what is cut from it first", strip(cut(17), cut(33), number(10.5, 9.5, m.t.CutMark(0, -1)), number(25, 9.5, m.t.CutMark(1, -1)))})
	}
	if m.anyStrip(again) {
		says := fmt.Sprintf("%s, %s: what is cut first from each segment of cut %s", m.t.CutMark(1, 0), m.t.CutMark(1, 1), m.t.CutMark(1, -1))
		signs = append(signs, sign{says, strip(cut(17), cut(33), scene.Line(p(17, 21), p(33, 21)).Stroked(scene.Grey, 0.6),
			number(25, 9.5, m.t.CutMark(1, -1)), label(25, 19.5, 8, scene.Body, scene.Ink, scene.Middle, m.t.CutMark(1, 0)), label(25, 28.5, 8, scene.Body, scene.Ink, scene.Middle, m.t.CutMark(1, 1)))})
	}
	if m.anyStrip(func(s *plan.Strip) bool {
		return slices.ContainsFunc(s.Cuts, func(c plan.Cuts) bool { return m.t.Turned(&c) })
	}) {
		signs = append(signs, sign{"a bent arrow: the piece lies a quarter turn round, its first size along the selvage", strip(append([]scene.Item{cut(17), cut(33)}, figure.TurnedMark(p(25, 21), scene.Ink)...)...)})
	}
	if m.anyStrip(func(s *plan.Strip) bool { return m.t.Fold(s) == words.Folded }) {
		signs = append(signs, sign{"the fold: the strip stays folded, and two layers are cut at a time",
			strip(cut(13), cut(33), scene.Line(p(23, 8), p(23, 34)).Stroked(scene.Ember, 0.8).Dashed(5, 2, 1, 2))})
	}
	const per = 2
	colW := m.width / per
	f := &frame{tag: scene.List}
	var out []box
	for i := 0; i < len(signs); i += per {
		var items []scene.Item
		h := scene.Pt(44)
		for j, s := range signs[i:min(i+per, len(signs))] {
			text, th := block(0, colW-64, sizeNote, scene.Ink, []scene.Run{{Text: s.says}})
			x := scene.Pt(j) * colW
			h = max(h, th)
			d := scene.Drawing{W: 46, H: 44, Items: s.items, Alt: fmt.Sprintf("sign %d", i+j+1)}
			items = append(items, scene.Group{Tag: scene.ListItem, At: p(x, 0), Items: []scene.Item{
				scene.Group{Tag: scene.ListBody, Items: []scene.Item{d.Placed(0, 0),
					scene.Group{Tag: scene.Paragraph, At: p(54, (44-th)/2), Items: text}}}}})
		}
		out = append(out, box{item: scene.Group{Items: items}, h: h, gap: 6, in: f})
	}
	return out
}

// anyStrip says whether there is such a strip in what is drawn.
func (m *maker) anyStrip(is func(*plan.Strip) bool) bool {
	for i := range m.p.Fabrics {
		f := &m.p.Fabrics[i]
		all := [][]plan.Strip{f.Strips}
		for k := range f.Monthly {
			all = append(all, f.Monthly[k].Strips)
		}
		for _, strips := range all {
			for k := range strips {
				if is(&strips[k]) {
					return true
				}
			}
		}
	}
	return false
}

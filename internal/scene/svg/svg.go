// Package svg writes a scene.Drawing as an SVG image: text stays text, fractions are the font's own,
// and the drawing carries its alternative text. Sizes are in points, so that a printed file is true to
// scale. The bytes depend on the drawing alone.
package svg

import (
	"bytes"
	"encoding/base64"
	"encoding/xml"
	"fmt"
	"hash/fnv"
	"math"
	"net/http"
	"strconv"
	"strings"

	"quiltwright/internal/scene"
)

// Write returns the drawing as a file of its own.
func Write(d scene.Drawing) []byte {
	return append([]byte("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"), Inline(d)...)
}

// Inline returns the drawing as an svg element to stand within a page. Names of patterns and clips
// are made of their content, so that several drawings may stand in one page.
func Inline(d scene.Drawing) []byte {
	w := &writer{defs: map[string]bool{}}
	w.items(d.Items)
	var b bytes.Buffer
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%spt" height="%spt" viewBox="0 0 %s %s" role="img">`,
		num(d.W), num(d.H), num(d.W), num(d.H))
	b.WriteString("\n")
	if d.Alt != "" {
		b.WriteString("<title>" + esc(d.Alt) + "</title>\n")
	}
	if w.def.Len() > 0 {
		b.WriteString("<defs>\n" + w.def.String() + "</defs>\n")
	}
	b.Write(w.body.Bytes())
	b.WriteString("</svg>\n")
	return b.Bytes()
}

type writer struct {
	body bytes.Buffer
	def  bytes.Buffer
	defs map[string]bool
}

// num prints a length to a thousandth of a point.
func num(v scene.Pt) string {
	r := math.Round(float64(v)*1000) / 1000
	if r == 0 {
		r = 0 // no minus sign
	}
	return strconv.FormatFloat(r, 'f', -1, 64)
}

func esc(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(s)) // a strings.Builder never fails
	return b.String()
}

func hex(c scene.Color) string {
	if !c.Set {
		return "none"
	}
	return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B)
}

func (w *writer) items(items []scene.Item) {
	for _, it := range items {
		switch it := it.(type) {
		case scene.Path:
			w.path(it)
		case scene.Text:
			w.text(it)
		case scene.Image:
			fmt.Fprintf(&w.body, `<image x="%s" y="%s" width="%s" height="%s" preserveAspectRatio="none" href="data:%s;base64,%s"/>`+"\n",
				num(it.X), num(it.Y), num(it.W), num(it.H), http.DetectContentType(it.Data), base64.StdEncoding.EncodeToString(it.Data))
		case scene.Group:
			w.group(it)
		}
	}
}

func (w *writer) group(g scene.Group) {
	var a strings.Builder
	if g.At != (scene.Point{}) || g.Scale != 0 && g.Scale != 1 {
		a.WriteString(` transform="translate(` + num(g.At.X) + " " + num(g.At.Y) + ")")
		if g.Scale != 0 && g.Scale != 1 {
			a.WriteString(" scale(" + strconv.FormatFloat(g.Scale, 'f', -1, 64) + ")")
		}
		a.WriteString(`"`)
	}
	if g.Mark != "" {
		a.WriteString(` id="` + esc(g.Mark) + `"`)
	}
	if g.Tag == scene.Figure && g.Alt != "" {
		a.WriteString(` role="img" aria-label="` + esc(g.Alt) + `"`)
	}
	if g.Clip != nil {
		d := data(g.Clip.Steps)
		id := fmt.Sprintf("c%x", sum(d))
		w.define(id, `<clipPath id="`+id+`"><path d="`+d+`"/></clipPath>`)
		a.WriteString(` clip-path="url(#` + id + `)"`)
	}
	tag := "g"
	if g.Tag == scene.Link {
		tag = "a"
		a.WriteString(` href="` + esc(g.Link) + `"`)
	}
	if a.Len() == 0 {
		w.items(g.Items)
		return
	}
	w.body.WriteString("<" + tag + a.String() + ">\n")
	w.items(g.Items)
	w.body.WriteString("</" + tag + ">\n")
}

func sum(s string) uint64 {
	h := fnv.New64a()
	h.Write([]byte(s))
	return h.Sum64()
}

func (w *writer) define(id, s string) {
	if !w.defs[id] {
		w.defs[id] = true
		w.def.WriteString(s + "\n")
	}
}

func data(steps []scene.Step) string {
	var b strings.Builder
	at := func(p scene.Point) string { return num(p.X) + " " + num(p.Y) }
	for _, s := range steps {
		switch s.Kind {
		case scene.MoveTo:
			b.WriteString("M" + at(s.To))
		case scene.LineTo:
			b.WriteString("L" + at(s.To))
		case scene.CurveTo:
			b.WriteString("C" + at(s.C1) + " " + at(s.C2) + " " + at(s.To))
		case scene.Close:
			b.WriteString("Z")
		}
	}
	return b.String()
}

func (w *writer) path(p scene.Path) {
	if len(p.Steps) == 0 {
		return
	}
	d := data(p.Steps)
	if p.Hatch != nil {
		if p.Fill.Set {
			fmt.Fprintf(&w.body, `<path d="%s" fill="%s"/>`+"\n", d, hex(p.Fill))
		}
		fmt.Fprintf(&w.body, `<path d="%s" fill="url(#%s)"%s/>`+"\n", d, w.hatch(*p.Hatch), stroke(p))
		return
	}
	fmt.Fprintf(&w.body, `<path d="%s" fill="%s"%s/>`+"\n", d, hex(p.Fill), stroke(p))
}

// hatch defines a hatch as a pattern on the raster that scene.Path.HatchLines uses, and returns its name.
func (w *writer) hatch(h scene.Hatch) string {
	gap, half, angle := num(h.Gap), num(h.Gap/2), strconv.FormatFloat(h.Angle, 'f', -1, 64)
	drawn := fmt.Sprintf(`<path d="M0 %sH%s" stroke="%s" stroke-width="%s"/>`, half, gap, hex(h.Color), num(h.Width))
	switch h.Weave {
	case scene.Dotted:
		drawn = fmt.Sprintf(`<circle cx="%s" cy="%s" r="%s" fill="%s"/>`, half, half, num(h.Width/2), hex(h.Color))
	case scene.Crossed:
		drawn = fmt.Sprintf(`<path d="M0 %sH%sM%s 0V%s" stroke="%s" stroke-width="%s"/>`, half, gap, half, gap, hex(h.Color), num(h.Width))
	}
	s := fmt.Sprintf(` width="%s" height="%s" patternUnits="userSpaceOnUse" patternTransform="rotate(%s) translate(%s %s)">%s</pattern>`,
		gap, gap, angle, num(-h.Gap/2), num(-h.Gap/2), drawn)
	id := fmt.Sprintf("h%x", sum(s))
	w.define(id, `<pattern id="`+id+`"`+s)
	return id
}

func stroke(p scene.Path) string {
	if !p.Stroke.Set {
		return ""
	}
	s := fmt.Sprintf(` stroke="%s" stroke-width="%s"`, hex(p.Stroke), num(p.Width))
	if p.Round {
		s += ` stroke-linecap="round" stroke-linejoin="round"`
	}
	if len(p.Dash) > 0 {
		var ds []string
		for _, d := range p.Dash {
			ds = append(ds, num(d))
		}
		s += ` stroke-dasharray="` + strings.Join(ds, " ") + `"`
	}
	return s
}

func (w *writer) text(t scene.Text) {
	fmt.Fprintf(&w.body, `<text x="%s" y="%s" font-size="%s" fill="%s" xml:space="preserve"`, num(t.At.X), num(t.At.Y), num(t.Size), hex(t.Ink(scene.Run{})))
	switch t.Anchor {
	case scene.Middle:
		w.body.WriteString(` text-anchor="middle"`)
	case scene.Right:
		w.body.WriteString(` text-anchor="end"`)
	}
	if t.Turn != 0 {
		fmt.Fprintf(&w.body, ` transform="rotate(%s %s %s)"`, strconv.FormatFloat(t.Turn, 'f', -1, 64), num(t.At.X), num(t.At.Y))
	}
	if len(t.Runs) == 1 && !t.Runs[0].Color.Set {
		w.body.WriteString(style(t.Runs[0].Font) + ">" + fractions(t.Runs[0]) + "</text>\n")
		return
	}
	w.body.WriteString(">")
	for _, r := range t.Runs {
		w.body.WriteString("<tspan" + style(r.Font))
		if r.Color.Set {
			w.body.WriteString(` fill="` + hex(r.Color) + `"`)
		}
		w.body.WriteString(">" + fractions(r) + "</tspan>")
	}
	w.body.WriteString("</text>\n")
}

func style(f scene.Font) string {
	family, weight, slant := f.Family()
	generic := "sans-serif"
	if f == scene.Heading {
		generic = "serif"
	}
	s := fmt.Sprintf(` font-family="'%s', %s"`, family, generic)
	if weight != 400 {
		s += fmt.Sprintf(` font-weight="%d"`, weight)
	}
	if slant != "normal" {
		s += ` font-style="` + slant + `"`
	}
	return s
}

// fractions returns the text of a run with every n/d marked to be drawn as a fraction; where the
// font is missing it still reads n/d.
func fractions(r scene.Run) string {
	var b strings.Builder
	for _, p := range scene.SplitFractions(r.Text) {
		if p.Fraction {
			b.WriteString(`<tspan style="font-feature-settings:'frac'">` + esc(p.Text) + "</tspan>")
		} else {
			b.WriteString(esc(p.Text))
		}
	}
	return b.String()
}

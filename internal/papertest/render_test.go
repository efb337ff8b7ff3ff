package papertest

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"quiltwright/internal/book"
	"quiltwright/internal/compile"
	"quiltwright/internal/plan"
	"quiltwright/internal/scene"
	"quiltwright/internal/scene/pdf"
)

// dpi is how finely a page is rendered to be measured, so that both an inch and 2.5 cm are whole pixels: poppler moves upright and
// level lines to whole ones. What is printed may be out by within.
const (
	dpi    = 508
	within = 0.002
)

// dot is a place on a rendering, in its pixels: x runs right, y runs down.
type dot struct{ x, y float64 }

func (a dot) to(b dot) float64            { return math.Hypot(b.x-a.x, b.y-a.y) }
func (a dot) toward(b dot, k float64) dot { return dot{a.x + k*(b.x-a.x), a.y + k*(b.y-a.y)} }

// rendering is a page as grey values.
type rendering struct {
	w, h int
	grey []byte
}

// render draws one page with poppler, which shares nothing with what wrote it.
func render(t *testing.T, path string, page int) rendering {
	t.Helper()
	base := filepath.Join(t.TempDir(), "page")
	n := fmt.Sprint(page)
	tool(t, "pdftoppm", "-gray", "-r", fmt.Sprint(dpi), "-f", n, "-l", n, "-singlefile", path, base)
	src, err := os.ReadFile(base + ".pgm")
	if err != nil {
		t.Fatal(err)
	}
	var r rendering
	most := 0
	if _, err := fmt.Fscanf(bytes.NewReader(src), "P5\n%d %d\n%d\n", &r.w, &r.h, &most); err != nil || most != 255 || len(src) < r.w*r.h {
		t.Fatalf("%s, page %d: %v", path, page, err)
	}
	r.grey = src[len(src)-r.w*r.h:]
	return r
}

// ink is how dark the page is at a place, 0 to 1, between the middles of its four nearest pixels.
func (r rendering) ink(p dot) float64 {
	x, y := p.x-0.5, p.y-0.5
	i, j := int(math.Floor(x)), int(math.Floor(y))
	at := func(i, j int) float64 {
		if i < 0 || j < 0 || i >= r.w || j >= r.h {
			return 0
		}
		return 1 - float64(r.grey[j*r.w+i])/255
	}
	u, v := x-float64(i), y-float64(j)
	return (at(i, j)*(1-u)+at(i+1, j)*u)*(1-v) + (at(i, j+1)*(1-u)+at(i+1, j+1)*u)*v
}

// line is a straight line on a rendering, through two places far apart.
type line struct{ a, b dot }

// find looks for a line drawn about from a to b, and returns the middle of its ink, which is fitted to many places along it.
func (r rendering) find(a, b dot) (line, error) {
	const reach = 12.0
	length := a.to(b)
	dx, dy := (b.x-a.x)/length, (b.y-a.y)/length
	type sample struct{ along, off float64 }
	var found []sample
	for k := 0.04; k <= 0.96; k += 0.92 / 300 {
		p := a.toward(b, k)
		sum, moment := 0.0, 0.0
		for d := -reach; d <= reach; d += 0.25 {
			v := r.ink(dot{p.x - d*dy, p.y + d*dx})
			sum += v
			moment += v * d
		}
		if sum *= 0.25; sum > 1.5 && sum < 10 { // lines of 0.7 to 1 point; a gap between dashes has less, a crossing line more
			found = append(found, sample{k * length, moment * 0.25 / sum})
		}
	}
	for range 3 {
		if len(found) < 40 {
			return line{}, fmt.Errorf("no line from %.0f to %.0f: %d places", a, b, len(found))
		}
		var n, x, y, xx, xy float64
		for _, s := range found {
			n, x, y, xx, xy = n+1, x+s.along, y+s.off, xx+s.along*s.along, xy+s.along*s.off
		}
		m := (n*xy - x*y) / (n*xx - x*x)
		c := (y - m*x) / n
		kept := slices.DeleteFunc(slices.Clone(found), func(s sample) bool { return math.Abs(s.off-m*s.along-c) > 0.5 })
		if len(kept) == len(found) {
			at := func(along float64) dot {
				off := m*along + c
				return dot{a.x + along*dx - off*dy, a.y + along*dy + off*dx}
			}
			return line{at(0), at(length)}, nil
		}
		found = kept
	}
	return line{}, fmt.Errorf("what is drawn from %.0f to %.0f is not straight", a, b)
}

// meet is where two lines cross.
func meet(l, m line) dot {
	ax, ay, bx, by := l.b.x-l.a.x, l.b.y-l.a.y, m.b.x-m.a.x, m.b.y-m.a.y
	k := ((m.a.x-l.a.x)*by - (m.a.y-l.a.y)*bx) / (ax*by - ay*bx)
	return l.a.toward(l.b, k)
}

// shown is an outline of the display list where it should come to lie on a rendering.
type shown struct {
	figure string // the text that stands for the figure around it
	at     []dot
	clip   *[2]dot // what is seen of it; nil: all
}

// outlines lists the closed outlines of straight lines on a page that are drawn unbroken.
func outlines(items []scene.Item, figure string, at dot, scale float64, clip *[2]dot) []shown {
	var out []shown
	for _, it := range items {
		switch it := it.(type) {
		case scene.Group:
			o := dot{at.x + scale*float64(it.At.X), at.y + scale*float64(it.At.Y)}
			s := scale
			if it.Scale != 0 {
				s *= float64(it.Scale)
			}
			name, c := figure, clip
			if it.Tag == scene.Figure {
				name = it.Alt
			}
			if it.Clip != nil {
				var q [2]dot
				q[0], q[1] = dot{math.Inf(1), math.Inf(1)}, dot{math.Inf(-1), math.Inf(-1)}
				for _, step := range it.Clip.Steps {
					if step.Kind == scene.Close {
						continue
					}
					p := dot{o.x + s*float64(step.To.X), o.y + s*float64(step.To.Y)}
					q[0], q[1] = dot{min(q[0].x, p.x), min(q[0].y, p.y)}, dot{max(q[1].x, p.x), max(q[1].y, p.y)}
				}
				c = &q
			}
			out = append(out, outlines(it.Items, name, o, s, c)...)
		case scene.Path:
			if !it.Stroke.Set || it.Dash != nil || len(it.Steps) < 4 || it.Steps[len(it.Steps)-1].Kind != scene.Close {
				continue
			}
			o := shown{figure: figure, clip: clip}
			for _, step := range it.Steps[:len(it.Steps)-1] {
				o.at = append(o.at, dot{at.x + scale*float64(step.To.X), at.y + scale*float64(step.To.Y)})
			}
			out = append(out, o)
		}
	}
	return out
}

// clipped is the part of an edge that lies within a rectangle, and whether it ends there at its own corners.
func clipped(a, b dot, c [2]dot) (p, q dot, from, to, ok bool) {
	lo, hi := 0.0, 1.0
	for _, s := range [4][2]float64{{b.x - a.x, c[0].x - a.x}, {a.x - b.x, a.x - c[1].x}, {b.y - a.y, c[0].y - a.y}, {a.y - b.y, a.y - c[1].y}} {
		// s0 k >= s1
		switch {
		case s[0] > 1e-9:
			lo = max(lo, s[1]/s[0])
		case s[0] < -1e-9:
			hi = min(hi, s[1]/s[0])
		case s[1] > 1e-6:
			return p, q, false, false, false
		}
	}
	return a.toward(b, lo), a.toward(b, hi), lo < 1e-9, hi > 1-1e-9, hi > lo
}

// measured is how much of edge i of an outline a page shows, in pixels, from corner to corner, or to the line along which the
// next sheet is taped.
func (r rendering) measured(o shown, i int) (float64, error) {
	n := len(o.at)
	a, b := o.at[i], o.at[(i+1)%n]
	before, after := o.at[(i+n-1)%n], o.at[(i+2)%n]
	all := [2]dot{{-1e9, -1e9}, {1e9, 1e9}}
	if o.clip != nil {
		all = *o.clip
	}
	p, q, from, to, ok := clipped(a, b, all)
	if !ok || p.to(q) < 1 {
		return 0, nil
	}
	if p.to(q) < dpi/10 {
		return p.to(q), nil // too short on this sheet to be measured; nearly all of the edge is on the next
	}
	edge, err := r.find(p, q)
	if err != nil {
		return 0, err
	}
	end := func(at dot, corner bool, other dot) (dot, error) {
		x, y := at, other
		if corner {
			x, y, _, _, ok = clipped(at, other, all)
		} else {
			switch c := all; {
			case math.Abs(a.x-b.x) > 1e-6 && (math.Abs(at.x-c[0].x) < 1e-6 || math.Abs(at.x-c[1].x) < 1e-6):
				x, y = dot{at.x, c[0].y}, dot{at.x, c[1].y}
			default:
				x, y = dot{c[0].x, at.y}, dot{c[1].x, at.y}
			}
		}
		if !ok {
			return dot{}, fmt.Errorf("a corner lies at the end of a sheet")
		}
		l, err := r.find(x, y)
		return meet(edge, l), err
	}
	start, err := end(p, from, before)
	if err != nil {
		return 0, err
	}
	stop, err := end(q, to, after)
	return start.to(stop), err
}

// sails has templates that are longer than a page.
const sails = `format: 1
quilt: Sails
fabrics:
  A: {name: Fog, color: "#e8e3d6"}
  B: {name: Slate, color: "#45505c"}
blocks:
  Sails: {size: 12, grid: 6, lines: ["1,0 5,6", "1,0 0,6"], fill: {A: "1/2,1/2 4,1", B: "2,4"}}
set: {rows: [[Sails]]}
`

// What must be true to size is measured on a rendering of the page, as a person does with a ruler: both test squares on every page of
// templates, and the two longest edges of each template, over all its sheets.
func TestTemplatesMeasureRight(t *testing.T) {
	lantern, err := os.ReadFile(filepath.FromSlash("../../examples/lantern-row.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	for name, src := range map[string][]byte{"lantern-row": lantern, "sails": []byte(sails)} {
		p := compile.Compile(name, src, compile.Options{Proof: true}).Plan
		for _, paper := range []string{"letter", "a4"} {
			t.Run(name+" "+paper, func(t *testing.T) { measureTemplates(t, p, paper) })
		}
	}
}

func measureTemplates(t *testing.T, p *plan.Plan, paper string) {
	doc := book.Documents(p, book.Options{}, paper)[0].Pages
	data, err := pdf.Write(doc)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "pattern.pdf")
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	var templates []*plan.Piece
	for i := range p.Pieces {
		if p.Pieces[i].Shape == "template" {
			templates = append(templates, &p.Pieces[i])
		}
	}
	if len(templates) == 0 {
		t.Fatal("no templates")
	}
	total := map[string]float64{} // template and edge -> pixels, over all sheets
	for n, page := range doc.Pages {
		all := outlines(page.Items, "", dot{}, dpi/72.0, nil)
		if !slices.ContainsFunc(all, func(o shown) bool { return strings.HasPrefix(o.figure, "template ") }) {
			continue
		}
		r := render(t, path, n+1)
		squares := 0
		for _, o := range all {
			label, isTemplate := strings.CutPrefix(o.figure, "template ")
			label, _, _ = strings.Cut(label, ",")
			switch {
			case strings.HasPrefix(o.figure, "test squares"):
				// The inch is printed first, then 2.5 cm.
				want := []float64{dpi, 2.5 / 2.54 * dpi}[squares%2]
				squares++
				for i := range o.at {
					got, err := r.measured(o, i)
					if err != nil || math.Abs(got/want-1) > within {
						t.Errorf("page %d: a side of the test square of %.1f pixels is %.2f, %v", n+1, want, got, err)
					}
				}
			case isTemplate:
				at := slices.IndexFunc(templates, func(q *plan.Piece) bool { return q.Label == label })
				if at < 0 || len(templates[at].Outline) != len(o.at) {
					t.Fatalf("page %d: a template %q that is no piece", n+1, label)
				}
				for _, i := range longest(templates[at]) {
					got, err := r.measured(o, i)
					if err != nil {
						t.Errorf("page %d, template %s: %v", n+1, label, err)
					}
					total[fmt.Sprint(label, i)] += got
				}
			}
		}
		if squares != 2 {
			t.Errorf("page %d: %d test squares", n+1, squares)
		}
	}
	for _, q := range templates {
		for _, i := range longest(q) {
			a, b := q.Outline[i], q.Outline[(i+1)%len(q.Outline)]
			want := math.Hypot(float64(b.X-a.X), float64(b.Y-a.Y)) * dpi
			if p.Measure == "cm" {
				want /= 2.54
			}
			if got := total[fmt.Sprint(q.Label, i)]; math.Abs(got/want-1) > within {
				t.Errorf("template %s: edge %d measures %.2f pixels, the plan has %.2f", q.Label, i, got, want)
			}
		}
	}
	t.Logf("%d templates, %d edges", len(templates), len(total))
}

// longest returns the two longest edges of a template.
func longest(q *plan.Piece) []int {
	length := func(i int) float64 {
		a, b := q.Outline[i], q.Outline[(i+1)%len(q.Outline)]
		return math.Hypot(float64(b.X-a.X), float64(b.Y-a.Y))
	}
	var out []int
	for i := range q.Outline {
		out = append(out, i)
	}
	slices.SortStableFunc(out, func(i, j int) int {
		if length(i) > length(j) {
			return -1
		}
		return 1
	})
	return out[:2]
}

package book

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"quiltwright/internal/compile"
	"quiltwright/internal/figure"
	"quiltwright/internal/plan"
	"quiltwright/internal/scene"
)

// seen is a patch that a page shows.
type seen struct {
	corners []scene.Point
	box     scene.Box
	fill    scene.Color
	hatch   *scene.Hatch
}

func patches(f scene.Frame, items []scene.Item) []seen {
	var out []seen
	for _, it := range items {
		switch it := it.(type) {
		case scene.Group:
			out = append(out, patches(f.Into(it), it.Items)...)
		case scene.Path:
			if !it.Fill.Set {
				continue
			}
			s := seen{fill: it.Fill, hatch: it.Hatch}
			for _, st := range it.Steps {
				if st.Kind != scene.Close {
					s.corners = append(s.corners, f.Point(st.To))
				}
			}
			s.box, _ = scene.Bounds(f, []scene.Item{it})
			out = append(out, s)
		}
	}
	return out
}

func (s *seen) covers(p scene.Point) bool {
	if p.X < s.box.Lo.X || p.X > s.box.Hi.X || p.Y < s.box.Lo.Y || p.Y > s.box.Hi.Y {
		return false
	}
	in := false
	for i, a := range s.corners {
		b := s.corners[(i+1)%len(s.corners)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
	}
	return in
}

// painted are the patches of a page, also by the squares of a grid that they reach into.
type painted struct {
	all []seen
	at  map[[2]int][]int
}

const square = 16

func tileOf(p scene.Point) [2]int { return [2]int{int(p.X) / square, int(p.Y) / square} }

func paint(pg scene.Page) painted {
	out := painted{patches(scene.Outer, pg.Items), map[[2]int][]int{}}
	for i, s := range out.all {
		lo, hi := tileOf(s.box.Lo), tileOf(s.box.Hi)
		for x := lo[0]; x <= hi[0]; x++ {
			for y := lo[1]; y <= hi[1]; y++ {
				out.at[[2]int{x, y}] = append(out.at[[2]int{x, y}], i)
			}
		}
	}
	return out
}

// top is what is seen at a place, or nil.
func (pt *painted) top(p scene.Point) *seen {
	at := pt.at[tileOf(p)]
	for i := len(at) - 1; i >= 0; i-- {
		if s := &pt.all[at[i]]; s.covers(p) {
			return s
		}
	}
	return nil
}

// alike are the neighbours on a page, of the fabrics given, that look alike where there is no colour.
func alike(pg scene.Page, fabric map[scene.Color]bool) []string {
	const step = 0.4 // to either side of an edge
	page := paint(pg)
	var out []string
	told := map[[2]scene.Color]bool{}
	for i := range page.all {
		s := &page.all[i]
		if !fabric[s.fill] {
			continue
		}
		for k, a := range s.corners {
			b := s.corners[(k+1)%len(s.corners)]
			dx, dy := float64(b.X-a.X), float64(b.Y-a.Y)
			l := math.Hypot(dx, dy)
			if l < 2 {
				continue
			}
			nx, ny := scene.Pt(-dy/l*step), scene.Pt(dx/l*step)
			for _, t := range []scene.Pt{0.25, 0.5, 0.75} {
				x, y := a.X+scene.Pt(dx)*t, a.Y+scene.Pt(dy)*t
				p, q := page.top(scene.Point{X: x + nx, Y: y + ny}), page.top(scene.Point{X: x - nx, Y: y - ny})
				if p == nil || q == nil || p != s && q != s || !fabric[p.fill] || !fabric[q.fill] || p.fill == q.fill || told[[2]scene.Color{p.fill, q.fill}] {
					continue
				}
				if math.Abs(p.fill.Luma()-q.fill.Luma()) < figure.Contrast && p.hatch.Same(q.hatch) {
					told[[2]scene.Color{p.fill, q.fill}], told[[2]scene.Color{q.fill, p.fill}] = true, true
					out = append(out, fmt.Sprintf("%v lies beside %v at %.0f, %.0f", p.fill, q.fill, float64(x), float64(y)))
				}
			}
		}
	}
	return out
}

// On a page printed in black and white, patches of two fabrics that lie side by side differ in grey or in texture.
func TestHatchesOfTouchingPatchesDifferInGrey(t *testing.T) {
	files, err := filepath.Glob("../../examples/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no examples: %v", err)
	}
	textured := 0
	for _, file := range files {
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		p := compile.Compile(file, src, compile.Options{Effort: compile.Quick}).Plan
		fabric := colors(p)
		for i, pg := range Documents(p, Options{}, "letter")[0].Pages.Pages {
			for _, says := range alike(pg, fabric) {
				t.Errorf("%s, page %d: %s", file, i+1, says)
			}
			for _, s := range patches(scene.Outer, pg.Items) {
				if fabric[s.fill] && s.hatch != nil {
					textured++
				}
			}
		}
	}
	if textured == 0 {
		t.Error("no patch of any example has a texture")
	}
}

func colors(p *plan.Plan) map[scene.Color]bool {
	out := map[scene.Color]bool{}
	for _, f := range p.Fabrics {
		out[scene.Hex(f.Color)] = true
	}
	return out
}

// The check above finds what it is for: two fabrics of one grey side by side.
func TestAlikeIsFound(t *testing.T) {
	a, b := scene.Hex("#808080"), scene.Hex("#8a8080")
	left, right := scene.Rect(0, 0, 20, 20).Filled(a), scene.Rect(20, 0, 20, 20).Filled(b)
	fabric := map[scene.Color]bool{a: true, b: true}
	if got := alike(scene.Page{W: 40, H: 20, Items: []scene.Item{left, right}}, fabric); len(got) != 1 {
		t.Errorf("two greys side by side: %v", got)
	}
	dots := scene.Hatch{Weave: scene.Dotted, Gap: 3}
	if got := alike(scene.Page{W: 40, H: 20, Items: []scene.Item{left, right.Hatched(dots)}}, fabric); len(got) != 0 {
		t.Errorf("one of them dotted: %v", got)
	}
}

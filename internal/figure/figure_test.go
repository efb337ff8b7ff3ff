package figure

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"quiltwright/internal/cloth"
	"quiltwright/internal/compile"
	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
	"quiltwright/internal/scene"
	"quiltwright/internal/scene/svg"
	"quiltwright/internal/words"
)

func sample(t testing.TB, name string) *plan.Plan {
	t.Helper()
	src, err := os.ReadFile("../words/testdata/" + name + ".json")
	if err != nil {
		t.Fatal(err)
	}
	p := &plan.Plan{}
	if err := json.Unmarshal(src, p); err != nil {
		t.Fatal(err)
	}
	return p
}

// sheet writes drawings one below the other to the directory named by FIGURES, for the eye.
func sheet(t testing.TB, name string, ds []scene.Drawing) {
	t.Helper()
	dir := os.Getenv("FIGURES")
	if dir == "" {
		return
	}
	out := scene.Drawing{}
	var x, y, high scene.Pt
	for i, d := range ds {
		if x > 0 && x+d.W > 640 {
			x, y, high = 0, y+high+26, 0
		}
		out.Add(scene.Label(scene.Point{X: x, Y: y + 8}, 8, scene.Body, scene.Grey, scene.Left, fmt.Sprint(i)), d.Placed(x, y+12))
		x, high = x+d.W+24, max(high, d.H)
		out.W = max(out.W, x)
	}
	out.H = y + high + 14
	if err := os.WriteFile(filepath.Join(dir, name+".svg"), svg.Write(out), 0o644); err != nil {
		t.Fatal(err)
	}
}

// plans are the two plans written by hand and those of the project's examples.
func plans(t testing.TB) ([]string, map[string]*plan.Plan) {
	t.Helper()
	names := []string{"star", "units"}
	out := map[string]*plan.Plan{"star": sample(t, "star"), "units": sample(t, "units")}
	files, err := filepath.Glob("../../examples/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no examples: %v", err)
	}
	for _, file := range files {
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		name := strings.TrimSuffix(filepath.Base(file), ".yaml")
		names = append(names, name)
		out[name] = compile.Compile(file, src, compile.Options{Effort: compile.Quick}).Plan
	}
	return names, out
}

// Drawings of steps fit the room they are scaled to, have an alternative text, and no two texts in
// them overlap or are too small (scene's own check).
func TestStepsDraw(t *testing.T) {
	names, all := plans(t)
	for _, name := range names {
		p := all[name]
		d := Of(p, words.Of(p))
		var drawn []scene.Drawing
		for i := range p.Steps {
			if d.recipes[p.Steps[i].Recipe] == nil {
				continue
			}
			const w, h = 196, 118
			scale := d.StepScale([]int{i}, w, h, 14)
			f := d.Step(i, scale)
			drawn = append(drawn, f)
			if f.W <= 0 || f.W > w+0.01 || f.H > h+0.01 {
				t.Errorf("%s step %d is %.1f by %.1f points, the room %d by %d", name, i, f.W, f.H, w, h)
			}
			if f.Alt == "" {
				t.Errorf("%s step %d has no alternative text", name, i)
			}
			for _, wrong := range f.Check() {
				t.Errorf("%s step %d: %s", name, i, wrong)
			}
		}
		for k := 0; k < len(drawn); k += 45 {
			sheet(t, fmt.Sprintf("steps-%s-%d", name, k/45), drawn[k:min(k+45, len(drawn))])
		}
	}
}

func TestWholesDraw(t *testing.T) {
	names, all := plans(t)
	for _, name := range names {
		p := all[name]
		d := Of(p, words.Of(p))
		drawn := []scene.Drawing{d.Quilt(300, 300), d.Layout(300, 300), d.Chip("B", 16)}
		for _, b := range p.Blocks {
			drawn = append(drawn, d.Block(b.ID, 130), d.Assembly(b.Unit, 160, 160), d.Bulk(b.Unit, 160, 160))
		}
		drawn = append(drawn, d.Assembly(p.Top, 300, 300), d.Bulk(p.Top, 300, 300))
		for i := range p.Units {
			if u := &p.Units[i]; u.Kind != "block" && u.Kind != "top" && len(u.Parts) > 0 && i%7 == 0 {
				drawn = append(drawn, d.Unit(u.ID, 10, true))
			}
		}
		for i := range p.Fabrics {
			for k := range p.Fabrics[i].Strips {
				drawn = append(drawn, d.Strip(&p.Fabrics[i], 0, k, 500))
			}
		}
		for i, f := range drawn {
			for _, wrong := range f.Check() {
				t.Errorf("%s %d: %s", name, i, wrong)
			}
			if f.W > 0 && f.Alt == "" {
				t.Errorf("%s %d has no alternative text", name, i)
			}
		}
		sheet(t, "wholes-"+name, drawn)
	}
}

// The table is drawn as the recipe leaves it: after a pair is cut and pressed one half square lies
// there, half of it in each cloth, with an arrow toward the cloth it is pressed to.
func TestPairsShowWhatTheRecipeDoes(t *testing.T) {
	p := sample(t, "units")
	d := Of(p, words.Of(p))
	before, pressed := d.step(0), d.step(1)
	if len(before.panels) != 1 || len(pressed.panels) != 2 {
		t.Fatalf("the first steps have %d and %d panels, want 1 and 2", len(before.panels), len(pressed.panels))
	}
	down := 0
	for _, l := range before.panels[0].work.Layers {
		if !l.FaceUp {
			down++
		}
	}
	if down != 1 {
		t.Errorf("%d layers lie face down before the cut, want 1", down)
	}
	area := map[string]float64{}
	for i := range pressed.panels[1].work.Layers {
		l := &pressed.panels[1].work.Layers[i]
		if !l.FaceUp {
			t.Errorf("a layer of %s still lies face down after pressing", l.Label)
		}
		area[l.Label] += areaOf(covered(l))
	}
	if math.Abs(area["A1"]-area["B1"]) > 1e-6 || area["A1"] == 0 {
		t.Errorf("A1 shows %v and B1 %v of a half square, want the same", area["A1"], area["B1"])
	}
}

// A unit that comes to the table shows patches that cover its raw rectangle without overlap, but for
// the notch that a point leaves: rows of geese, blocks, tops.
func TestUnitsCoverTheirRawOutline(t *testing.T) {
	p := sample(t, "star")
	d := Of(p, words.Of(p))
	for _, id := range []string{"geese", "row1", "row2", "block", "toprow", "top"} {
		w := d.lying(cloth.New([]cloth.Work{d.unitWork(id)}), 0)
		sum := 0.0
		for i := range w.Layers {
			sum += areaOf(covered(&w.Layers[i]))
		}
		u := d.units[id]
		want := (float64(u.Size.Width) + 0.5) * (float64(u.Size.Height) + 0.5)
		if math.Abs(sum-want) > 0.07*float64(len(u.Parts)+8) {
			t.Errorf("the patches of %s cover %.4f, its raw outline %.4f", id, sum, want)
		}
	}
}

func TestChordsLieOnTheArc(t *testing.T) {
	// A quarter circle about 0,0 from 1,0 to 0,1 turns clockwise as seen; its bulge is tan(90°/4).
	for _, q := range chords(pt{1, 0}, pt{0, 1}, math.Tan(math.Pi/8)) {
		if math.Abs(flat.Length(q)-1) > 1e-9 || q[0] < 0 || q[1] < 0 {
			t.Errorf("%v does not lie on the quarter circle", q)
		}
	}
}

func TestSameBytes(t *testing.T) {
	draw := func() []byte {
		p := sample(t, "star")
		d := Of(p, words.Of(p))
		return append(svg.Write(d.Step(2, 12)), svg.Write(d.Layout(200, 200))...)
	}
	if first := draw(); !bytes.Equal(first, draw()) {
		t.Error("the same plan was drawn differently twice")
	}
}

// A segment that is cut again has letters in the order of cutting, those that the words say; what lies a quarter turn round has a mark.
func TestStripsSayInWhichOrderTheyAreCut(t *testing.T) {
	p := &plan.Plan{Measure: "inch", Pieces: []plan.Piece{
		{Label: "A1", Fabric: "A", Shape: "rectangle", Width: 4.5, Height: 2.5}, {Label: "A2", Fabric: "A", Shape: "rectangle", Width: 2.5, Height: 4.5},
		{Label: "A3", Fabric: "A", Shape: "rectangle", Width: 8.5, Height: 8.5},
	}, Fabrics: []plan.Fabric{{Letter: "A", Name: "Fog", Color: "#e8e3d6", Width: 40, Strips: []plan.Strip{{Along: "width", Height: 8.5, Length: 40, Count: 1, Left: 22.5, Cuts: []plan.Cuts{
		{Label: "A3", Count: 1, Width: 8.5},
		{Label: "A1", Count: 2, Width: 4.5, Height: 2.5}, {Label: "A1", Count: 2, Width: 4.5, Height: 2.5, Below: true}, {Label: "A2", Count: 2, Width: 4.5, Height: 2.5, Below: true, Turned: true},
	}}}}}}
	teller := words.Of(p)
	d := Of(p, teller).Strip(&p.Fabrics[0], 0, 0, 500)
	var texts []string
	bows := 0
	var walk func([]scene.Item)
	walk = func(items []scene.Item) {
		for _, x := range items {
			switch x := x.(type) {
			case scene.Text:
				for _, r := range x.Runs {
					texts = append(texts, r.Text)
				}
			case scene.Path:
				if slices.ContainsFunc(x.Steps, func(s scene.Step) bool { return s.Kind == scene.CurveTo }) {
					bows++
				}
			case scene.Group:
				walk(x.Items)
			}
		}
	}
	walk(d.Items)
	does, _ := teller.Strip(&p.Fabrics[0], &p.Fabrics[0].Strips[0])
	for _, mark := range []string{"2a", "2b"} {
		if n := strings.Count(strings.Join(texts, "|")+"|", mark+"|"); n != 1 || !strings.Contains(string(does), "("+mark+")") {
			t.Errorf("%s is drawn %d times; said is “%s”", mark, n, does)
		}
	}
	if !strings.Contains(d.Alt, "A2 a quarter turn round") || strings.Contains(d.Alt, "A1 a quarter turn round") {
		t.Errorf("alternative text “%s”", d.Alt)
	}
	if bows != 2 {
		t.Errorf("%d bent arrows for two that are turned", bows)
	}
}

// A strip about motifs 6 in apart has the circle of each, whether it is cut or not: the first in the middle of the first blank, 2 1/4 in from the edge. Edges of
// stripes leave the labels alone.
func TestStripsShowTheirMotifs(t *testing.T) {
	strip := func(every [2]plan.Num, gap, left plan.Num) ([]scene.Path, []textBox) {
		p := &plan.Plan{Measure: "inch", Pieces: []plan.Piece{{Label: "A1", Fabric: "A", Shape: "rectangle", Width: 4.5, Height: 4.5, Motif: &plan.Point{2.25, 2.25}}},
			Fabrics: []plan.Fabric{{Letter: "A", Name: "Harbour", Color: "#c8502b", Width: 40, Motif: &plan.Motif{Size: 4, Every: every},
				Strips: []plan.Strip{{Along: "width", Height: 4.5, Length: 40, Count: 1, Left: left, Cuts: []plan.Cuts{{Label: "A1", Count: 5, Width: 4.5, Gap: gap}}}}}}}
		d := Of(p, words.Of(p)).Strip(&p.Fabrics[0], 0, 0, 400)
		if !strings.Contains(d.Alt, "Harbour") || !strings.Contains(d.Alt, "5 squares A1") {
			t.Errorf("alternative text “%s”", d.Alt)
		}
		var marks []scene.Path
		var texts []textBox
		var walk func([]scene.Item)
		walk = func(items []scene.Item) {
			for _, x := range items {
				switch x := x.(type) {
				case scene.Path:
					if x.Stroke == scene.Ember {
						marks = append(marks, x)
					}
				case scene.Text:
					high := x.Size * scene.CapHeight
					texts = append(texts, textBox{scene.Point{X: x.At.X - 1, Y: x.At.Y - high}, scene.Point{X: x.At.X + 1, Y: x.At.Y}})
				case scene.Group:
					walk(x.Items)
				}
			}
		}
		walk(d.Items)
		return marks, texts
	}
	edge := func(p scene.Path) (lo, hi scene.Point) {
		lo, hi = scene.Point{X: 1e9, Y: 1e9}, scene.Point{X: -1e9, Y: -1e9}
		for _, s := range p.Steps {
			if s.Kind == scene.MoveTo || s.Kind == scene.LineTo || s.Kind == scene.CurveTo {
				lo, hi = scene.Point{X: min(lo.X, s.To.X), Y: min(lo.Y, s.To.Y)}, scene.Point{X: max(hi.X, s.To.X), Y: max(hi.Y, s.To.Y)}
			}
		}
		return lo, hi
	}
	circles, _ := strip([2]plan.Num{6, 8}, 1.5, 10) // six are whole on the cloth: the seventh would end at 40 1/4 in
	if len(circles) != 6 {
		t.Errorf("%d circles of motifs", len(circles))
	}
	for k, c := range circles {
		lo, hi := edge(c)
		if want := scene.Pt(22.5 + 60*float64(k)); math.Abs(float64((lo.X+hi.X)/2-want)) > 0.01 || math.Abs(float64(hi.X-lo.X-40)) > 0.01 || math.Abs(float64((lo.Y+hi.Y)/2-22.5)) > 0.01 {
			t.Errorf("circle %d from %v to %v", k, lo, hi)
		}
	}
	for _, every := range [][2]plan.Num{{3, 0}, {0, 3}} {
		lines, texts := strip(every, 1.5, 10)
		if len(lines) < 2 || len(texts) != 5 {
			t.Errorf("%v: %d edges of stripes, %d labels", every, len(lines), len(texts))
		}
		for _, l := range lines {
			lo, hi := edge(l)
			for _, x := range texts {
				if lo.X <= x.hi.X && hi.X >= x.lo.X && lo.Y <= x.hi.Y && hi.Y >= x.lo.Y {
					t.Errorf("%v: a stripe from %v to %v runs through a label", every, lo, hi)
				}
			}
		}
	}
}

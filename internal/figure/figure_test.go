package figure

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"testing"

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

func TestStepsDraw(t *testing.T) {
	for _, name := range []string{"star", "units"} {
		p := sample(t, name)
		d := Of(p, words.Of(p))
		var drawn []scene.Drawing
		for i := range p.Steps {
			if p.Steps[i].Recipe == "" {
				continue
			}
			scale := d.StepScale([]int{i}, 300, 110, 22)
			f := d.Step(i, scale)
			drawn = append(drawn, f)
			t.Log(name, i, f.W, f.H, f.Alt)
			for _, w := range f.Check() {
				t.Errorf("%s step %d: %s", name, i, w)
			}
		}
		sheet(t, "steps-"+name, drawn)
	}
}

func TestWholesDraw(t *testing.T) {
	for _, name := range []string{"star", "units"} {
		p := sample(t, name)
		d := Of(p, words.Of(p))
		drawn := []scene.Drawing{d.Quilt(200, 200), d.Layout(220, 220), d.Chip("B", 16)}
		for _, b := range p.Blocks {
			drawn = append(drawn, d.Block(b.ID, 150))
		}
		for i := range p.Units {
			u := &p.Units[i]
			if u.Kind == "block" || u.Kind == "top" {
				drawn = append(drawn, d.Assembly(u.ID, 300, 240))
			} else if len(u.Parts) > 0 {
				drawn = append(drawn, d.Unit(u.ID, 16, true))
			}
		}
		for i := range p.Fabrics {
			for k := range p.Fabrics[i].Strips {
				drawn = append(drawn, d.Strip(&p.Fabrics[i], k, 500))
			}
		}
		for i, f := range drawn {
			for _, w := range f.Check() {
				t.Errorf("%s %d: %s", name, i, w)
			}
			if f.W > 0 && f.Alt == "" {
				t.Errorf("%s %d has no alternative text", name, i)
			}
		}
		sheet(t, "wholes-"+name, drawn)
	}
}

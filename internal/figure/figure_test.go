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

// show writes a drawing to the directory named by FIGURES, for the eye.
func show(t testing.TB, name string, d scene.Drawing) {
	t.Helper()
	if dir := os.Getenv("FIGURES"); dir != "" {
		if err := os.WriteFile(filepath.Join(dir, name+".svg"), svg.Write(d), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func TestStepsDraw(t *testing.T) {
	for _, name := range []string{"star", "units"} {
		p := sample(t, name)
		d := Of(p, words.Of(p))
		for i := range p.Steps {
			if p.Steps[i].Recipe == "" {
				continue
			}
			scale := d.StepScale([]int{i}, 300, 110, 22)
			f := d.Step(i, scale)
			show(t, fmt.Sprintf("%s-%02d", name, i), f)
			t.Log(name, i, f.W, f.H, f.Alt)
			for _, w := range f.Check() {
				t.Errorf("%s step %d: %s", name, i, w)
			}
		}
	}
}

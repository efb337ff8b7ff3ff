package compile

import (
	"os"
	"path/filepath"
	"testing"
)

// Every document of the examples and of the catalogue compiles, and its proof holds.
func TestExamplesHold(t *testing.T) {
	for _, pattern := range []string{"../../examples/*.yaml", "../../blocks/*.yaml"} {
		files, err := filepath.Glob(pattern)
		if err != nil || len(files) == 0 {
			t.Fatalf("%s: %v, %d files", pattern, err, len(files))
		}
		for _, f := range files {
			t.Run(filepath.Base(f), func(t *testing.T) {
				src, err := os.ReadFile(f)
				if err != nil {
					t.Fatal(err)
				}
				r := Compile(f, src, Options{Proof: true})
				if !r.Plan.Complete {
					t.Fatal(r.Findings)
				}
				if !r.Plan.Proof.Holds {
					t.Errorf("the proof fails: %v", r.Plan.Proof.Findings)
				}
				p := r.Plan.Press
				t.Logf("%d meetings, %d nested, %d open, %d the same way, optimal %v", p.Meetings, p.Nested, p.Open, p.Same, p.Optimal)
			})
		}
	}
}

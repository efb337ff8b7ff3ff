package prove

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"quiltwright/internal/plan"
)

var update = flag.Bool("update", false, "rewrite the plans in testdata")

// The plans written by hand also stand in testdata, as another program would read them.
func TestPlansInTestdata(t *testing.T) {
	for name, p := range map[string]*plan.Plan{"nine-patch.json": ninePatch(), "spun-nine-patch.json": spunNinePatch(), "sawtooth-star.json": star()} {
		want, err := plan.Encode(p)
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join("testdata", name)
		if *update {
			if err := os.MkdirAll("testdata", 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(file, want, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		got, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s is not the plan written by hand; run go test ./internal/prove -run Testdata -update", name)
		}
		back, err := plan.Decode(got)
		if err != nil {
			t.Fatal(err)
		}
		mustHold(t, name, back)
	}
}

package quilt_test

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quiltwright/internal/quilt"
)

var update = flag.Bool("update", false, "write what is found as what is expected")

// TestGood reads every document in testdata/good without a finding, and compares all that was read with the file beside it.
func TestGood(t *testing.T) {
	files, err := filepath.Glob("testdata/good/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no documents: %v", err)
	}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			src, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			doc, found := quilt.Read(file, src)
			if len(found) > 0 {
				t.Errorf("findings:\n%v", found)
			}
			got := dump(doc)
			golden := strings.TrimSuffix(file, ".yaml") + ".txt"
			if *update {
				if err := os.WriteFile(golden, []byte(got), 0o666); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			if got != string(want) {
				t.Errorf("%s is not what was read; run go test -update and look at the difference", golden)
			}
		})
	}
}

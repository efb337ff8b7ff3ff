package quilt_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"

	"quiltwright/internal/quilt"
)

// TestBad reads every document in testdata/bad and compares what a person is shown with the message in the same archive. A file of the
// archive ends with a newline; "document without a final newline" cannot be written this way and has a test of its own.
func TestBad(t *testing.T) {
	files, err := filepath.Glob("testdata/bad/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatalf("no documents: %v", err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txtar"), func(t *testing.T) {
			raw, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			a := txtar.Parse(raw)
			if len(a.Files) != 2 || a.Files[0].Name != "quilt.yaml" || a.Files[1].Name != "says" {
				t.Fatalf("an archive holds quilt.yaml and says")
			}
			_, found := quilt.Read("quilt.yaml", a.Files[0].Data)
			if !found.HasErrors() {
				t.Errorf("no error")
			}
			var got bytes.Buffer
			found.Print(&got, "quilt.yaml", a.Files[0].Data, false)
			if *update {
				a.Files[1].Data = got.Bytes()
				if err := os.WriteFile(file, txtar.Format(a), 0o666); err != nil {
					t.Fatal(err)
				}
				return
			}
			if want := string(a.Files[1].Data); got.String() != want {
				t.Errorf("got\n%s\nwant\n%s", got.String(), want)
			}
		})
	}
}

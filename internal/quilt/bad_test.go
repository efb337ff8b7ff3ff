package quilt_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"quiltwright/internal/diag"
	"quiltwright/internal/draft"
	"quiltwright/internal/quilt"
	"quiltwright/internal/set"
)

// findings reads, draws and lays the document, as the driver does.
func findings(src []byte) diag.List {
	doc, found := quilt.Read("quilt.yaml", src)
	drafter := draft.New(doc)
	_, laid := set.Lay(doc, drafter)
	drawn := map[string]bool{}
	for _, b := range drafter.Blocks() {
		drawn[b.Name] = true
	}
	for _, b := range doc.Blocks {
		if !drawn[b.Name] && b.Width.Sign() > 0 && b.Height.Sign() > 0 {
			drafter.Draw(draft.Use{Block: b.Name, At: b.At})
		}
	}
	laid.Add(drafter.Findings()...)
	found.Add(doc.Fresh(found, laid)...)
	found.Sort()
	return found
}

// TestBad reads, draws and lays every document in testdata/bad and compares what a person is shown with the message in the same
// archive; with -update it writes the message instead.
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
			found := findings(a.Files[0].Data)
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

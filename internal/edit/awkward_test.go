package edit_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"quiltwright/internal/edit"
	"quiltwright/internal/quilt"
)

// TestAwkward applies operations to documents that are written in awkward ways; beside each stands what changes.
func TestAwkward(t *testing.T) {
	files, err := filepath.Glob("testdata/awkward/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	for _, f := range files {
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		a := txtar.Parse(b)
		src := a.Files[0].Data
		if _, found := quilt.Read(f, src); found.HasErrors() {
			t.Fatalf("%s: %v", f, found)
		}
		var out strings.Builder
		for _, line := range strings.Split(string(a.Comment), "\n") {
			if !strings.HasPrefix(line, "{") {
				continue
			}
			op := decode(t, line)
			out.WriteString(line + "\n")
			text, err := edit.Apply(src, op)
			if err != nil {
				out.WriteString("! " + err.Error() + "\n\n")
				continue
			}
			out.WriteString(changed(src, text) + "\n")
			windows, err := edit.Apply(crlf(src), op)
			if err != nil || !bytes.Equal(windows, crlf(text)) {
				t.Errorf("%s: %s with CRLF: %v\n%s", f, line, err, changed(crlf(text), windows))
			}
		}
		golden(t, strings.TrimSuffix(f, "txtar")+"txt", out.String())
	}
}

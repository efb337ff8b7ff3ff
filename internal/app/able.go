package app

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"quiltwright/internal/diag"
	"quiltwright/internal/files"
	"quiltwright/internal/quilt"
)

// mostRead is how long a quilt document can be, in bytes.
const mostRead = 1 << 20

// able says why the board cannot open what lies at path, and writes nothing: a folder, a file that may not be read, one that is no quilt
// document. A document that can be read in part is opened, and the board shows what is to be mended. A file that is not there can be begun.
func able(path string) error {
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		if _, err := os.Lstat(path); err == nil {
			return fmt.Errorf("%s: is a link to a file that is not there", path)
		}
		if info, err := os.Stat(filepath.Dir(path)); err != nil || !info.IsDir() {
			return fmt.Errorf("%s: there is no folder %s; make it first", path, filepath.Dir(path))
		}
		return nil
	}
	in, err := files.Read(path, nil, mostRead)
	if err != nil {
		return err
	}
	if len(in.Bytes) > mostRead {
		return fmt.Errorf("%s: is larger than 1 MB, so it is no quilt document", path)
	}
	doc, found := quilt.Read(path, in.Bytes)
	for _, f := range found {
		nothing := doc.Title == "" && len(doc.Fabrics) == 0 && len(doc.Blocks) == 0
		if f.Severity == diag.Error && (nothing || f.Code == "syntax") {
			return fmt.Errorf("%s:%d:%d: this cannot be read as a quilt document: %s", path, max(f.At.Line, 1), max(f.At.Column, 1), f.Says)
		}
	}
	return nil
}

package app

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"unicode"
	"unicode/utf8"

	"quiltwright/internal/files"
)

// Begin begins a quilt in a new file. A file that is there is left as it is, and is an error.
func Begin(path string) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	switch {
	case errors.Is(err, fs.ErrExist):
		return fmt.Errorf("%s: is there already; quiltwright open %s opens it", path, path)
	case errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("%s: you may not make a file there", path)
	case err != nil:
		if _, why := files.Read(path, nil, 0); why != nil {
			return why // in a person's words
		}
		return err
	}
	_, err = f.Write(fresh(path))
	return errors.Join(err, f.Sync(), f.Close())
}

// fresh is the text of a quilt that is begun: cloth to draw with and one block on which nothing is drawn yet. Its title is made of the file's name.
func fresh(path string) []byte {
	name := strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
	words := strings.Join(strings.FieldsFunc(name, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }), " ")
	if words == "" || !utf8.ValidString(words) {
		words = "quilt"
	}
	first, size := utf8.DecodeRuneInString(words)
	title := strings.ReplaceAll(string(unicode.ToUpper(first))+words[size:], `"`, "")
	return []byte(`format: 1
quilt: "` + title + `"

fabrics:
  A: {name: Fog, color: "#e8e3d6"}
  B: {name: Slate, color: "#45505c"}
  C: {name: Ember, color: "#c8502b"}
  D: {name: Brass, color: "#d9a441"}

blocks:
  Block 1:
    size: 12
    grid: 4
    ground: A
`)
}

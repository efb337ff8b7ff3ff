package history

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"quiltwright/internal/files"
)

const (
	versionsKept = 20
	versionEvery = 100 // changes
)

// Version is a kept version of the file.
type Version struct {
	Number int
	Path   string
}

// Versions are the versions that are kept, the newest first: the file as it was found whenever it was opened, before and after another
// program changed it, and every 100 changes; the last 20 of them, without repetitions.
func (h *History) Versions() []Version {
	entries, err := os.ReadDir(h.beside(".versions"))
	if err != nil {
		return nil // none yet
	}
	var out []Version
	for _, e := range entries {
		number, _, _ := strings.Cut(e.Name(), filepath.Ext(h.path))
		if n, err := strconv.Atoi(number); err == nil && n > 0 && e.Type().IsRegular() {
			out = append(out, Version{n, filepath.Join(h.beside(".versions"), e.Name())})
		}
	}
	slices.SortFunc(out, func(a, b Version) int { return b.Number - a.Number })
	return out
}

// Version is the text of a kept version.
func (h *History) Version(number int) ([]byte, error) {
	for _, v := range h.Versions() {
		if v.Number == number {
			text, err := os.ReadFile(v.Path)
			if err != nil {
				return nil, said(v.Path, err)
			}
			return text, nil
		}
	}
	return nil, fmt.Errorf("%s: version %d is not kept", h.path, number)
}

// version keeps the text as a version, and lets the oldest go.
func (h *History) version() error {
	all := h.Versions()
	number := 1
	if len(all) > 0 {
		if last, err := os.ReadFile(all[0].Path); err == nil && bytes.Equal(last, h.text) {
			return nil
		}
		number = all[0].Number + 1
	}
	dir := h.beside(".versions")
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return said(dir, err)
	}
	if err := files.Save(filepath.Join(dir, fmt.Sprintf("%06d%s", number, filepath.Ext(h.path))), h.beside(".new"), h.text); err != nil {
		return err
	}
	for _, v := range all[min(len(all), versionsKept-1):] {
		os.Remove(v.Path) // one that stays does no harm
	}
	return nil
}

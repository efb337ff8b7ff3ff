// Package examples holds whole quilts as documents. Its tests keep them, and the catalogue of blocks, readable and drawable, and
// hold Lantern Row to what it is meant to show.
package examples

import (
	"os"
	"path/filepath"
	"testing"

	"quiltwright/internal/draft"
	"quiltwright/internal/quilt"
	"quiltwright/internal/set"
)

// read returns the document in a file, and demands that nothing is to be said about it.
func read(t *testing.T, path string) *quilt.Document {
	t.Helper()
	src, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	doc, found := quilt.Read(path, src)
	for _, f := range found {
		t.Errorf("%s:%d: %s", path, f.At.Line, f.Says)
	}
	if doc == nil {
		t.Fatalf("%s cannot be read", path)
	}
	return doc
}

func TestEveryDocumentIsDrawnAndSet(t *testing.T) {
	examples, _ := filepath.Glob("*.yaml")
	blocks, _ := filepath.Glob("../blocks/*.yaml")
	if len(examples) < 5 || len(blocks) < 30 {
		t.Fatalf("%d examples and %d blocks", len(examples), len(blocks))
	}
	for _, path := range append(examples, blocks...) {
		t.Run(path, func(t *testing.T) {
			doc := read(t, path)
			d := draft.New(doc)
			top, found := set.Lay(doc, d)
			for _, f := range append(found, d.Findings()...) {
				t.Errorf("%s:%d: %s", path, f.At.Line, f.Says)
			}
			if top == nil || len(top.Placed) == 0 {
				t.Error("nothing is placed")
			}
		})
	}
}

// TestLanternRow counts what the programme promises: twelve blocks, no two cut up alike, in eleven months and one for the top.
func TestLanternRow(t *testing.T) {
	doc := read(t, "lantern-row.yaml")
	d := draft.New(doc)
	top, _ := set.Lay(doc, d)
	if w, h := top.Width.Float(), top.Height.Float(); w < 60 || w > 80 || h < 70 || h > 90 {
		t.Errorf("the top is %v by %v in", w, h)
	}
	if len(top.Placed) != 12 || len(doc.Fabrics) != 6 || len(doc.Months) != 12 {
		t.Errorf("%d blocks, %d fabrics, %d months", len(top.Placed), len(doc.Fabrics), len(doc.Months))
	}
	seen := map[string]string{}
	for _, p := range top.Placed {
		b := d.Blocks()[p.Block]
		if n := len(b.Patches); n < 9 || n > 60 {
			t.Errorf("%s has %d patches", b.Name, n)
		}
		var key []byte
		for _, patch := range b.Patches {
			key = append(patch.Outline.Canonical().AppendKey(key), ';')
		}
		if other, same := seen[string(key)]; same {
			t.Errorf("%s and %s have the same outlines", b.Name, other)
		}
		seen[string(key)] = b.Name
	}
	two := 0
	for i, m := range doc.Months {
		made := 0
		for _, b := range m.Blocks {
			made += b.Count
		}
		last := i == len(doc.Months)-1
		if last != m.Set || last != m.Finish || last != (made == 0) {
			t.Errorf("%s makes %d blocks, sets: %v, finishes: %v", m.Title, made, m.Set, m.Finish)
		}
		if made == 2 {
			two++
		}
	}
	if two != 1 {
		t.Errorf("%d months make two blocks", two)
	}
}

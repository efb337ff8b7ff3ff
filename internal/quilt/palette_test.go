package quilt_test

import (
	"testing"

	"quiltwright/internal/quilt"
)

// TestPalette reads another set of fabrics: what it names changes, the rest and the document itself do not.
func TestPalette(t *testing.T) {
	doc, found := quilt.Read("", []byte(`quilt: Lantern Row
fabrics:
  A: {name: Fog, color: "#e8e3d6", swatch: fog.png, width: 42}
  B: {name: Slate, color: "#45505c", value: light}
  C: {name: Ember}
palettes:
  Night:
    A: {color: "#112"}
    B: {name: Ink, value: dark, swatch: ink.jpg}
blocks:
  Paper Lantern: {size: 12, grid: 6, ground: A}
`))
	if len(found) > 0 {
		t.Fatal(found)
	}
	night, ok := doc.In("Night")
	if _, other := doc.In("Day"); !ok || other {
		t.Fatal(ok, other)
	}
	a, b, c := night.Fabrics[0], night.Fabrics[1], night.Fabrics[2]
	if a.Name != "Fog" || a.Color != "#111122" || a.Value != quilt.Dark || a.Swatch != "" || !a.Width.Equal(doc.Fabrics[0].Width) {
		t.Errorf("A is %+v", a)
	}
	if b.Name != "Ink" || b.Color != "#45505c" || b.Value != quilt.Dark || b.Swatch != "ink.jpg" {
		t.Errorf("B is %+v", b)
	}
	if c.Name != "Ember" || doc.Fabrics[0].Color != "#e8e3d6" || doc.Fabrics[1].Name != "Slate" {
		t.Errorf("C is %+v, the document's own %+v", c, doc.Fabrics)
	}
}

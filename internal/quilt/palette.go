package quilt

import (
	"slices"
	"strings"

	"quiltwright/internal/diag"
	"quiltwright/internal/exact"
)

// Palette is another set of fabrics to try: what it does not name stays as it is.
type Palette struct {
	At      diag.Pos
	Name    string
	Fabrics []Fabric // Letter, Name, Color, Value, Swatch and Shows; the rest is the fabric's own
}

// maxPalettes is how many other sets of fabrics a document may have.
const maxPalettes = 20

// palettes reads the other sets of fabrics.
func (r *reader) palettes(n *node) {
	if n == nil {
		return
	}
	const example = "Night: {A: {name: Ink, color: \"#1d2433\"}}"
	if n.kind != mapping {
		r.errorf(n.at, "wrong-type", "palettes is a mapping from names to sets of fabrics, not %s", r.describe(n)).Remedy = "for example  " + example
		return
	}
	for i, e := range n.entries {
		if i == maxPalettes {
			r.errorf(e.key.at, "limit", "more than %d palettes", maxPalettes)
			return
		}
		name, ok := r.text(e.key, "the name of a palette", maxName)
		if ok && strings.TrimSpace(name) == "" {
			r.errorf(e.key.at, "missing", "the palette's name is empty")
			continue
		}
		if e.value.kind != mapping {
			r.errorf(e.value.at, "wrong-type", "a palette is a mapping from letters to fabrics, not %s", r.describe(e.value)).Remedy = "for example  " + example
			continue
		}
		p := Palette{At: e.key.at, Name: name}
		for _, f := range e.value.entries {
			at := slices.IndexFunc(r.doc.Fabrics, func(c Fabric) bool { return c.Letter == f.key.text })
			if at < 0 {
				r.unknownFabric(f.key.at, f.key.text)
				continue
			}
			p.Fabrics = append(p.Fabrics, r.inPalette(f, r.doc.Fabrics[at]))
		}
		if ok {
			r.doc.Palettes = append(r.doc.Palettes, p)
		}
	}
}

// inPalette reads a fabric of a palette, which stands in for the one given.
func (r *reader) inPalette(e entry, own Fabric) Fabric {
	c := own
	c.At = e.key.at
	if e.value.kind == nothing {
		r.errorf(e.key.at, "missing", "“%s” has no value", e.key.text)
		return c
	}
	f := r.fields(e.value, "fabric "+c.Letter+" of a palette", "name", "color", "value", "swatch", "shows")
	if name := f.line("name"); name != "" {
		c.Name = name
	}
	if f.has("color") {
		c.Color = r.color(f, c.Color)
		c.Value = valueOf(c.Color)
		c.Swatch, c.Shows = "", exact.Num{}
	}
	if v := Value(f.choice("value", string(Light), string(Medium), string(Dark))); v != "" {
		c.Value = v
	}
	if s := r.swatch(f.get("swatch")); s != "" {
		c.Swatch, c.Shows = s, exact.Num{}
	}
	c.Shows = f.length("shows", c.Shows)
	return c
}

// In returns the document in the fabrics of the palette with that name; ok is false where it has none. It shares everything but its fabrics
// with d.
func (d *Document) In(palette string) (out *Document, ok bool) {
	at := slices.IndexFunc(d.Palettes, func(p Palette) bool { return p.Name == palette })
	if at < 0 {
		return nil, false
	}
	other := *d
	other.Fabrics = slices.Clone(d.Fabrics)
	for _, f := range d.Palettes[at].Fabrics {
		for i := range other.Fabrics {
			if other.Fabrics[i].Letter == f.Letter {
				other.Fabrics[i] = f
			}
		}
	}
	return &other, true
}

package edit

import "quiltwright/internal/quilt"

func init() {
	register[AdoptPalette]()
}

// AdoptPalette makes another set of fabrics the quilt's own: name, color, value, swatch and shows of each fabric become what the palette says. What they
// were is kept as a palette called Keep in its place; where Keep is "" it is not kept.
type AdoptPalette struct {
	Palette string `json:"palette"`
	Keep    string `json:"keep,omitempty"`
}

// Name implements Op.
func (*AdoptPalette) Name() string { return "adopt palette" }

func (op *AdoptPalette) apply(e *editor) error {
	all := e.root.at("palettes")
	if all == nil || all.kind != mapping {
		return refuse("begin another set of fabrics first", "the document has no palettes")
	}
	en, _ := all.get(op.Palette)
	if en == nil {
		var names []string
		for _, p := range all.entries {
			names = append(names, p.key.text)
		}
		return unknown("palette", op.Palette, names)
	}
	if other, _ := all.get(op.Keep); other != nil && op.Keep != "" && op.Keep != op.Palette {
		return refuse("choose another name", "there is a palette “%s” already", shorten(op.Keep))
	}
	fresh := clone(en.value)
	former := dict(false)
	doc, _ := quilt.Read("", e.src) // for colours that are not written
	for _, f := range doc.Fabrics {
		if to, _ := fresh.get(f.Letter); to == nil {
			continue
		}
		was := dict(true).with("name", text(f.Name)).with("color", text(f.Color))
		for _, key := range []string{"value", "swatch", "shows"} {
			if n := e.root.at("fabrics", f.Letter, key); n != nil {
				was.with(key, clone(n))
			}
		}
		former.with(f.Letter, was)
	}
	for _, f := range fresh.entries {
		if _, _, _, err := e.fabric(f.key.text); err != nil {
			return err
		}
		if err := e.dress(f.key.text, f.value); err != nil {
			return err
		}
	}
	if op.Keep == "" || len(former.entries) == 0 {
		return e.drop(Path{"palettes", op.Palette})
	}
	if err := e.putAt(Path{"palettes", op.Palette}, former); err != nil || op.Keep == op.Palette {
		return err
	}
	if err := e.flush(); err != nil {
		return err
	}
	all = e.root.at("palettes")
	en, _ = all.get(op.Palette)
	e.rename(all, en, op.Keep)
	return nil
}

// dress gives a fabric what a palette says of it. Another colour is another cloth: a value and a photograph that belonged to the former one go.
func (e *editor) dress(letters string, is *node) error {
	color, _ := is.get("color")
	for _, key := range []string{"name", "color", "value", "swatch", "shows"} {
		at := Path{"fabrics", letters, key}
		to, _ := is.get(key)
		var err error
		switch {
		case to != nil:
			err = e.putAt(at, clone(to.value))
		case color != nil && key != "name" && e.root.at(at...) != nil:
			err = e.drop(at)
		}
		if err == nil {
			err = e.flush()
		}
		if err != nil {
			return err
		}
	}
	return nil
}

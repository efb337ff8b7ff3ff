package edit

import (
	"maps"
	"slices"
	"strings"
)

func init() {
	register[AddFabric]()
	register[RenameFabric]()
	register[RemoveFabric]()
	register[MoveFabric]()
}

func sortedKeys(m map[string]string) []string { return slices.Sorted(maps.Keys(m)) }

// fabrics are the fabrics of the document.
func (e *editor) fabrics() (*node, error) {
	f := e.root.at("fabrics")
	if f == nil || f.kind != mapping || len(f.entries) == 0 {
		return nil, refuse("write  fabrics:  and a fabric into the text first", "the document has no fabrics")
	}
	return f, nil
}

// fabric is the entry of the fabric with those letters.
func (e *editor) fabric(letters string) (*node, *entry, int, error) {
	all, err := e.fabrics()
	if err != nil {
		return nil, nil, 0, err
	}
	en, at := all.get(letters)
	if en == nil {
		var names []string
		for _, f := range all.entries {
			names = append(names, f.key.text)
		}
		return nil, nil, 0, unknown("fabric", letters, names)
	}
	return all, en, at, nil
}

// AddFabric adds a fabric with what is known of it: name, color, value, swatch, width, print, upright, sold, have, assorted, motif.
type AddFabric struct {
	Fabric string `json:"fabric"` // one or two capital letters
	Is     Value  `json:"is"`
}

// Name implements Op.
func (*AddFabric) Name() string { return "add fabric" }

func (op *AddFabric) apply(e *editor) error {
	all, err := e.fabrics()
	if err != nil {
		return err
	}
	if en, _ := all.get(op.Fabric); en != nil {
		return refuse("choose other letters", "there is a fabric “%s” already", shorten(op.Fabric))
	}
	v, err := op.Is.node()
	if err != nil {
		return refuse("", "%v", err)
	}
	if v.kind == nothing {
		v = dict(true).with("name", text("Fabric "+op.Fabric))
	}
	v.flow = true
	e.insert(all, len(all.entries), op.Fabric, v)
	return nil
}

// RenameFabric gives a fabric other letters, wherever it is used.
type RenameFabric struct {
	Fabric string `json:"fabric"`
	To     string `json:"to"`
}

// Name implements Op.
func (*RenameFabric) Name() string { return "rename fabric" }

func (op *RenameFabric) apply(e *editor) error {
	all, en, _, err := e.fabric(op.Fabric)
	if err != nil || op.To == op.Fabric {
		return err
	}
	if other, _ := all.get(op.To); other != nil {
		return refuse("choose other letters", "there is a fabric “%s” already", shorten(op.To))
	}
	if err := e.everyLetter(func(s string) string {
		if s == op.Fabric {
			return op.To
		}
		return s
	}, true); err != nil {
		return err
	}
	e.rename(all, en, op.To)
	return nil
}

// RemoveFabric takes a fabric out. Where it is used, instead stands in its place; without it a fabric that is used cannot be removed.
type RemoveFabric struct {
	Fabric  string `json:"fabric"`
	Instead string `json:"instead,omitempty"`
}

// Name implements Op.
func (*RemoveFabric) Name() string { return "remove fabric" }

func (op *RemoveFabric) apply(e *editor) error {
	all, _, _, err := e.fabric(op.Fabric)
	if err != nil {
		return err
	}
	if len(all.entries) == 1 {
		return refuse("add another first", "“%s” is the only fabric", op.Fabric)
	}
	if op.Instead != "" {
		if _, _, _, err := e.fabric(op.Instead); err != nil {
			return err
		}
		if op.Instead == op.Fabric {
			return refuse("name another fabric", "“%s” cannot stand in its own place", op.Fabric)
		}
	}
	used := 0
	if err := e.everyLetter(func(s string) string {
		if s != op.Fabric {
			return s
		}
		used++
		if op.Instead == "" {
			return s
		}
		return op.Instead
	}, false); err != nil {
		return err
	}
	if used > 0 && op.Instead == "" {
		return refuse("say which fabric takes its place with instead", "fabric “%s” is used %s", op.Fabric, times(used))
	}
	if err := e.flush(); err != nil {
		return err
	}
	if err := e.mergeFills(op.Fabric, op.Instead); err != nil {
		return err
	}
	if err := e.dropPalettes(op.Fabric); err != nil {
		return err
	}
	all, _, at, err := e.fabric(op.Fabric)
	if err != nil {
		return err
	}
	e.remove(all, at)
	return nil
}

// MoveFabric puts a fabric before another one in the document, or at the end where before is "".
type MoveFabric struct {
	Fabric string `json:"fabric"`
	Before string `json:"before,omitempty"`
}

// Name implements Op.
func (*MoveFabric) Name() string { return "move fabric" }

func (op *MoveFabric) apply(e *editor) error {
	all, _, from, err := e.fabric(op.Fabric)
	if err != nil {
		return err
	}
	to := len(all.entries)
	if op.Before != "" {
		if _, _, to, err = e.fabric(op.Before); err != nil {
			return err
		}
	}
	return e.moveEntry(all, from, to)
}

// everyLetter changes the letters of fabrics everywhere they are used, not where they are defined. Where keys is true those of
// recolor, fill and palettes change, too; two keys that would become one are left to the caller.
func (e *editor) everyLetter(change func(string) string, keys bool) error {
	scalarAt := func(n *node) {
		if n != nil && n.kind == scalar {
			if to := change(n.text); to != n.text {
				e.merge(n, text(to))
			}
		}
	}
	keysOf := func(m *node) {
		if m == nil || m.kind != mapping {
			return
		}
		for _, en := range m.entries {
			if to := change(en.key.text); to != en.key.text && keys {
				e.rename(m, en, to)
			}
		}
	}
	recolor := func(m *node) {
		if m != nil {
			keysOf(m)
			for _, en := range m.entries {
				scalarAt(en.value)
			}
		}
	}
	if blocks := e.root.at("blocks"); blocks != nil {
		for _, b := range blocks.entries {
			scalarAt(b.value.at("ground"))
			keysOf(b.value.at("fill"))
		}
	}
	known := e.names()
	e.eachCell(func(_ string, _ *node, it *item) {
		c := known.cell(it.value)
		if c.recolor != nil {
			recolor(c.recolor)
		}
		if c.block == "" {
			e.eachLetter(it.value, c, change)
		}
	})
	set := e.root.at("set")
	scalarAt(set.at("sashing", "fabric"))
	scalarAt(set.at("sashing", "posts"))
	scalarAt(set.at("triangles"))
	scalarAt(set.at("triangles", "fabric"))
	if borders := set.at("borders"); borders != nil {
		for _, it := range borders.items {
			scalarAt(it.value.at("fabric"))
			scalarAt(it.value.at("corners", "fabric"))
		}
	}
	scalarAt(e.root.at("finish", "binding", "fabric"))
	if months := e.root.at("months"); months != nil {
		for _, m := range months.items {
			if blocks := m.value.at("blocks"); blocks != nil {
				for _, it := range blocks.items {
					recolor(it.value.at("recolor"))
				}
			}
		}
	}
	if palettes := e.root.at("palettes"); palettes != nil && keys {
		for _, p := range palettes.entries {
			keysOf(p.value)
		}
	}
	return nil
}

// eachLetter changes the letters of a plain patch or a unit in a cell.
func (e *editor) eachLetter(n *node, c cell, change func(string) string) {
	if !c.ok {
		return
	}
	switch {
	case c.short && c.fabric != "":
		to := change(c.fabric)
		if to != c.fabric {
			e.merge(n, text(strings.Replace(n.text, c.fabric, to, 1)))
		}
	case c.short:
		before, turn, turned := strings.Cut(n.text, "@")
		// What follows the unit's words are letters; only they change, so that spaces stay as they are.
		words := strings.Fields(before)
		skip := len(strings.Fields(c.unit))
		at, out := 0, ""
		for i, w := range words {
			j := strings.Index(before[at:], w) + at
			out += before[at:j]
			if at = j + len(w); i >= skip {
				w = change(w)
			}
			out += w
		}
		out += before[at:]
		if turned {
			out += "@" + turn
		}
		if out != n.text {
			e.merge(n, text(out))
		}
	case c.fabric != "":
		en, _ := n.get("fabric")
		e.set(n, en, text(change(c.fabric)))
	default:
		en, _ := n.get(c.unit)
		words := strings.Fields(c.fabrics)
		for i := range words {
			words[i] = change(words[i])
		}
		if to := strings.Join(words, " "); to != strings.Join(strings.Fields(c.fabrics), " ") {
			e.set(n, en, text(to))
		}
	}
}

// mergeFills gives the points of one fabric to another in every block, and takes the one out of recolourings.
func (e *editor) mergeFills(from, to string) error {
	if to == "" {
		return nil
	}
	blocks := e.root.at("blocks")
	for i := range blocks.entries {
		name := e.root.at("blocks").entries[i].key.text
		fill := e.root.at("blocks", name, "fill")
		en, _ := fill.get(from)
		if en == nil {
			continue
		}
		if other, _ := fill.get(to); other == nil {
			e.rename(fill, en, to)
		} else {
			all := append(pointsOf(other.value), pointsOf(en.value)...)
			if err := (&Fill{Block: name, Fabric: to, Points: all}).apply(e); err != nil {
				return err
			}
		}
		if err := e.flush(); err != nil {
			return err
		}
	}
	// Its recolourings now are those of the other fabric, where that has none of its own.
	done := func(r *node) {
		en, at := r.get(from)
		if en == nil {
			return
		}
		if other, _ := r.get(to); other != nil && len(r.entries) > 1 {
			e.remove(r, at)
		} else {
			e.rename(r, en, to)
		}
	}
	e.eachCell(func(_ string, _ *node, it *item) { done(it.value.at("recolor")) })
	if months := e.months(); months != nil {
		for _, m := range months.items {
			if b := m.value.at("blocks"); b != nil {
				for _, it := range b.items {
					done(it.value.at("recolor"))
				}
			}
		}
	}
	return e.flush()
}

// dropPalettes takes a fabric out of the other sets of fabrics.
func (e *editor) dropPalettes(letters string) error {
	palettes := e.root.at("palettes")
	if palettes == nil {
		return nil
	}
	for _, p := range palettes.entries {
		if e.root.at("palettes", p.key.text, letters) == nil {
			continue
		}
		if err := e.drop(Path{"palettes", p.key.text, letters}); err != nil {
			return err
		}
		if err := e.flush(); err != nil {
			return err
		}
		if e.root.at("palettes") == nil {
			return nil
		}
	}
	return nil
}

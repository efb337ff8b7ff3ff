package edit

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Path is a place in a document: keys, and numbers counted from 1 for the items of lists: ["blocks", "Beam", "size"],
// ["set", "borders", 2, "width"].
type Path []string

// UnmarshalJSON reads keys and numbers.
func (p *Path) UnmarshalJSON(data []byte) error {
	var parts []any
	if err := whole(data, &parts, false); err != nil {
		return fmt.Errorf("a place is a list of keys and numbers")
	}
	*p = nil
	for _, part := range parts {
		switch part := part.(type) {
		case string:
			*p = append(*p, part)
		case json.Number:
			*p = append(*p, part.String())
		default:
			return fmt.Errorf("a place is a list of keys and numbers")
		}
	}
	return nil
}

func (p Path) String() string { return strings.Join(p, " / ") }

// Put gives the key at a place a value. Mappings on the way that are not there yet are made; a new key stands where the page on the
// format has it. A list or mapping that is there already changes only where it differs. A word that may also be written as
// a mapping becomes one where the place needs it: triangles: A becomes {fabric: A, float: 1/2}.
type Put struct {
	At    Path  `json:"at"`
	Value Value `json:"value"`
}

// Name implements Op.
func (*Put) Name() string { return "put" }

func (op *Put) apply(e *editor) error {
	v, err := op.Value.node()
	if err != nil {
		return refuse("", "%v", err)
	}
	if v.kind == nothing {
		return refuse("to take a key out, use drop", "it has no value")
	}
	return e.putAt(op.At, v)
}

// Drop takes the key at a place out. A mapping or list that has nothing left goes, too; the item of a list is dropped by its number.
type Drop struct {
	At Path `json:"at"`
}

// Name implements Op.
func (*Drop) Name() string { return "drop" }

func (op *Drop) apply(e *editor) error { return e.drop(op.At) }

func init() {
	register[Put]()
	register[Drop]()
}

// orders are the keys of each mapping in the order in which new ones are put; the place of a mapping is written with * for any key.
var orders = map[string][]string{
	"": {"format", "quilt", "designer", "version", "date", "rights", "contact", "note", "measure", "seam", "ruler", "width", "prewash",
		"fabrics", "palettes", "blocks", "set", "finish", "make", "months"},
	"fabrics/*": {"name", "color", "value", "swatch", "shows", "width", "print", "upright", "sold", "have", "assorted", "motif"},
	"blocks/*":  {"size", "note", "grid", "symmetry", "lines", "arcs", "fill", "ground", "first", "columns", "heights", "rows", "press", "make"},
	"set":       {"style", "rows", "repeat", "sashing", "triangles", "borders", "press"},
	"finish":    {"binding", "backing", "batting"},
	"make":      {"half squares", "hourglass", "three triangles", "geese", "square in square", "strip sets", "long strips", "corners", "fit", "press", "spare", "margin", "samples"},
	"months/*":  {"title", "opens", "note", "blocks", "set", "finish"},
}

// orderAt is the order of the keys of the mapping at the place, nil where new keys come last.
func orderAt(at Path) []string {
	if len(at) == 3 && at[0] == "blocks" && at[2] == "make" {
		return orders["make"]
	}
	if len(at) == 3 && at[0] == "palettes" {
		return orders["fabrics/*"]
	}
	key := strings.Join(at, "/")
	if len(at) == 2 {
		key = at[0] + "/*"
	}
	return orders[key]
}

// onItsOwn reports whether a value at the place is written on lines of its own rather than in brackets.
func onItsOwn(at Path, k kind) bool {
	if len(at) == 0 {
		return true
	}
	last := at[len(at)-1]
	if k == mapping {
		return len(at) == 1 && last != "prewash" || len(at) == 2 && at[0] == "blocks" || len(at) == 3 && at[0] == "blocks" && last == "fill" ||
			len(at) == 2 && at[0] == "palettes"
	}
	return slices.Contains([]string{"rows", "lines", "first", "press", "borders", "months"}, last) && len(at) <= 3
}

// styled sets which parts of a value stand on lines of their own, for a value at the place.
func styled(n *node, at Path) *node {
	n.flow = !onItsOwn(at, n.kind)
	if !n.flow {
		for _, en := range n.entries {
			styled(en.value, append(slices.Clone(at), en.key.text))
		}
		for i, it := range n.items {
			styled(it.value, append(slices.Clone(at), strconv.Itoa(i+1)))
		}
	}
	return n
}

// place is the number in a mapping at which a new key stands.
func place(m *node, key string, order []string) int {
	want := slices.Index(order, key)
	if want < 0 {
		return len(m.entries)
	}
	at := 0
	for i, en := range m.entries {
		if k := slices.Index(order, en.key.text); k >= 0 && k < want {
			at = i + 1
		}
	}
	return at
}

// longestPath is more parts than any place of a document has.
const longestPath = 8

// putAt gives the key at the place a value.
func (e *editor) putAt(at Path, v *node) error {
	if len(at) > longestPath {
		return refuse(fmt.Sprintf("at most %d make sense", longestPath), "the place has %d parts", len(at))
	}
	if len(at) == 0 {
		return refuse(`for example  ["blocks", "Beam", "size"]`, "the place is empty")
	}
	n := e.root
	for i, key := range at {
		last := i == len(at)-1
		here := at[:i]
		if n.kind == sequence {
			it, err := nth(n, key, here)
			if err != nil {
				return err
			}
			if last {
				e.setItem(n, it, styled(v, at))
				return nil
			}
			n = it.value
			continue
		}
		if i == 1 && (at[0] == "blocks" || at[0] == "fabrics") {
			if en, _ := n.get(key); en == nil {
				return refuse("add it first", "there is no %s “%s”", strings.TrimSuffix(at[0], "s"), shorten(key))
			}
		}
		en, _ := n.get(key)
		if en != nil && (last || en.value.kind == mapping || en.value.kind == sequence) {
			if last {
				e.set(n, en, styled(v, at))
				return nil
			}
			n = en.value
			continue
		}
		// The rest of the place is not there: it is made at once.
		fresh := v
		for j := len(at) - 1; j > i; j-- {
			fresh = dict(true).with(at[j], fresh)
		}
		if en != nil {
			// A word stands where a mapping is needed.
			if key == "triangles" && en.value.kind == scalar && at[len(at)-1] != "fabric" {
				fresh = dict(true).with("fabric", text(en.value.text)).with(at[len(at)-1], v)
			}
			e.set(n, en, styled(fresh, at[:i+1]))
			return nil
		}
		e.insert(n, place(n, key, orderAt(here)), key, styled(fresh, at[:i+1]))
		return nil
	}
	return nil
}

// nth is the item that a part of a place names.
func nth(l *node, number string, at Path) (*item, error) {
	i, err := strconv.Atoi(number)
	if err != nil || i < 1 || i > len(l.items) {
		return nil, refuse(fmt.Sprintf("it has %d, counted from 1", len(l.items)), "%s has no item “%s”", at, shorten(number))
	}
	return l.items[i-1], nil
}

// drop takes the key or item at the place out, and what has nothing left then.
func (e *editor) drop(at Path) error {
	type step struct {
		in *node
		at int
	}
	var steps []step
	n := e.root
	for i, key := range at {
		if n.kind == sequence {
			if _, err := nth(n, key, at[:i]); err != nil {
				return err
			}
			k, _ := strconv.Atoi(key)
			steps = append(steps, step{n, k - 1})
			n = n.items[k-1].value
			continue
		}
		en, k := n.get(key)
		if en == nil {
			return refuse("", "there is no “%s”", shorten(at[:i+1].String()))
		}
		steps = append(steps, step{n, k})
		n = en.value
	}
	for i := len(steps) - 1; i >= 0; i-- {
		s := steps[i]
		if len(s.in.entries)+len(s.in.items) == 1 && i > 0 {
			if i == 2 && slices.Contains([]string{"fabrics", "blocks", "months"}, at[0]) {
				return e.putAt(at[:2], dict(true)) // a fabric, block or month stays, with nothing said of it
			}
			continue // it goes whole
		}
		switch {
		case s.in.kind == sequence:
			e.removeItem(s.in, s.at)
		case i == 0 && slices.Contains([]string{"quilt", "fabrics", "blocks"}, at[0]):
			return refuse("change it instead", "a document needs the key “%s”", at[0])
		case len(s.in.entries) == 1:
			return refuse("write the rest of the document first", "this is the only key of the document")
		default:
			e.remove(s.in, s.at)
		}
		return nil
	}
	return refuse(`for example  ["blocks", "Beam", "size"]`, "the place is empty")
}

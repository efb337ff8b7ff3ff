package quilt

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"quiltwright/internal/diag"
	"quiltwright/internal/plane"
)

// rows reads rows of cells and the place of each. in is the block they are cells of, nil for the set.
func (r *reader) rows(n *node, what string, in *Block) (rows [][]Cell, places []diag.Pos) {
	items := r.list(n, what, what+": [[A, B], [B, A]]")
	if n != nil && n.kind == sequence && len(items) == 0 {
		r.errorf(n.at, "missing", "%s has no rows", what)
	}
	for _, item := range items {
		if item.kind != sequence {
			r.errorf(item.at, "wrong-type", "a row is a list of cells in [ ], not %s", r.describe(item)).Remedy = "for example  - [A, Small Star, A]"
			return nil, nil
		}
		if len(item.items) == 0 {
			r.errorf(item.at, "missing", "this row has no cells")
			return nil, nil
		}
		if r.cells += len(item.items); r.cells > maxCells {
			r.errorf(item.at, "limit", "more than %d cells in the document", maxCells)
			return nil, nil
		}
		row := make([]Cell, len(item.items))
		for i, c := range item.items {
			row[i] = r.cell(c)
		}
		rows, places = append(rows, row), append(places, item.at)
	}
	return rows, places
}

// cell reads what stands in a cell. Where it is wrong the cell is empty.
func (r *reader) cell(n *node) Cell {
	var c Cell
	ok := false
	switch n.kind {
	case scalar:
		c, ok = r.shortCell(n)
	case mapping:
		c, ok = r.longCell(n)
	default:
		r.errorf(n.at, "wrong-type", "a cell is a fabric, a block or a unit, not %v", n.kind)
	}
	if !ok {
		return Cell{At: n.at}
	}
	c.At = n.at
	return c
}

// shortCell reads NAME or NAME@TURN, where NAME is a fabric, a block, or a unit and its fabrics.
func (r *reader) shortCell(n *node) (c Cell, ok bool) {
	text := strings.Join(strings.Fields(n.text), " ")
	name, turn, turned := strings.Cut(text, "@")
	name = strings.TrimSpace(name)
	ok = true
	if turned {
		digits, mirrored := strings.CutSuffix(strings.TrimSpace(turn), "m")
		c.Mirror = mirrored
		if digits != "" || !mirrored {
			c.Turn, ok = r.turn(n, digits)
		}
	}
	switch u, rest, isUnit := unitOf(name); {
	case r.fabric(name):
		c.Fabric = name
	case r.named(name) != nil:
		c.Block = name
	case isUnit:
		if !r.unit(&c, n, u, rest) {
			ok = false
		}
	default:
		r.unknownCell(n, name)
		ok = false
	}
	return c, ok
}

// turn reads a turn of a cell in degrees.
func (r *reader) turn(n *node, digits string) (plane.Turn, bool) {
	d, err := strconv.Atoi(digits)
	if err != nil || d < 0 || d >= 360 || d%90 != 0 {
		r.errorf(n.at, "bad-value", "a cell cannot be turned by “%s”", shorten(digits)).Remedy = "turns are 0, 90, 180 and 270, clockwise"
		return 0, false
	}
	return plane.Turn(d), true
}

// unit fills in a unit with its fabrics, which text names.
func (r *reader) unit(c *Cell, n *node, u UnitWord, text string) bool {
	letters := strings.Fields(text)
	for _, l := range letters {
		if !r.fabric(l) {
			at := n.at
			for _, w := range n.words(r.lines) {
				if name, _, _ := strings.Cut(w.word, "@"); name == l {
					at = w.at
				}
			}
			r.unknownFabric(at, l)
			return false
		}
	}
	long := u.Long(letters)
	if long == nil {
		r.errorf(n.at, "bad-value", "%s takes %s, not %d", u.Name, u.Takes, len(letters)).Remedy = "fabrics are separated by spaces: A B"
		return false
	}
	c.Unit, c.Fabrics = u.Name, long
	return true
}

// unknownCell reports a name that is no fabric, block or unit.
func (r *reader) unknownCell(n *node, name string) {
	if isLetters(name) || name == "" {
		r.unknownFabric(n.at, name)
		return
	}
	blocks := r.blockNames()
	bad := r.errorf(n.at, "unknown-name", "no fabric, block or unit “%s”", shorten(name))
	if bad.Remedy = r.fabricLike(name); bad.Remedy != "" {
		return
	}
	// The fabrics of a unit would hide that its word is nearly right: gose A B.
	words := strings.Fields(name)
	for len(words) > 1 && isLetters(words[len(words)-1]) {
		words = words[:len(words)-1]
	}
	if near := diag.Suggest(name, blocks); near != "" {
		bad.Remedy = fmt.Sprintf("did you mean “%s”?", near)
	} else if near := diag.Suggest(strings.Join(words, " "), slices.Concat(unitNames(), blocks)); near != "" {
		bad.Remedy = fmt.Sprintf("did you mean “%s”?", near)
	} else if len(blocks) > 0 && len(blocks) <= 12 {
		bad.Remedy = "blocks: " + strings.Join(blocks, ", ")
	}
}

func (r *reader) blockNames() []string {
	var names []string
	for _, b := range r.doc.Blocks {
		names = append(names, b.Name)
	}
	return names
}

// blockName reads the name of a block that exists; "" where there is none, with an error.
func (r *reader) blockName(n *node) string {
	s, ok := r.scalar(n, "block")
	if !ok {
		return ""
	}
	if r.named(s) == nil {
		bad := r.errorf(n.at, "unknown-name", "no block “%s”", shorten(s))
		if near := diag.Suggest(s, r.blockNames()); near != "" {
			bad.Remedy = fmt.Sprintf("did you mean “%s”?", near)
		} else if names := r.blockNames(); len(names) > 0 && len(names) <= 12 {
			bad.Remedy = "blocks: " + strings.Join(names, ", ")
		}
		return ""
	}
	return s
}

// longCell reads {goose: A B, turn: 90}, {block: Small Star, mirror: true, recolor: {B: C}} or {fabric: A}.
func (r *reader) longCell(n *node) (c Cell, ok bool) {
	keys := slices.Concat([]string{"block", "fabric", "turn", "mirror", "recolor"}, unitNames())
	f := r.fields(n, "a cell", keys...)
	var what []string
	for _, e := range n.entries {
		if k := e.key.text; k != "turn" && k != "mirror" && k != "recolor" && f.has(k) {
			what = append(what, k)
		}
	}
	if len(what) != 1 {
		if len(what) > 1 {
			r.errorf(f.place(what[1]), "bad-value", "a cell holds one thing, not both “%s” and “%s”", what[0], what[1])
		} else if len(f.by) == len(n.entries) { // else the unknown key has been reported
			r.errorf(n.at, "missing", "this cell holds nothing").Remedy = "for example  {block: Small Star, turn: 90} or {goose: A B}"
		}
		return c, false
	}
	ok = true
	value := f.get(what[0])
	switch what[0] {
	case "block":
		c.Block = r.blockName(value)
		ok = c.Block != ""
	case "fabric":
		c.Fabric = r.letters(value, "fabric")
		ok = c.Fabric != ""
	default:
		u, _ := UnitNamed(what[0])
		if value != nil && value.kind != scalar {
			bad := r.errorf(value.at, "wrong-type", "the fabrics of a %s are letters separated by spaces, not %v", u.Name, value.kind)
			bad.Remedy = fmt.Sprintf("for example  {%s: A B}", what[0])
			return c, false
		}
		if value == nil || !r.unit(&c, value, u, value.text) {
			return c, false
		}
	}
	if t := f.get("turn"); t != nil {
		if s, isText := r.scalar(t, "turn"); isText {
			var right bool
			c.Turn, right = r.turn(t, s)
			ok = ok && right
		}
	}
	c.Mirror = f.bool("mirror")
	if f.has("recolor") {
		if what[0] != "block" {
			r.errorf(f.place("recolor"), "bad-value", "only a block is recoloured").Remedy = "name the other fabrics where this one is named"
			return c, false
		}
		c.Recolor = r.recolor(f.get("recolor"), c.Block)
	}
	return c, ok
}

// recolor reads which fabrics of a block are replaced by which; what stays as it is is left out. nil where nothing changes.
func (r *reader) recolor(n *node, block string) map[string]string {
	if n == nil {
		return nil
	}
	if n.kind != mapping {
		r.errorf(n.at, "wrong-type", "recolor is a mapping from fabrics to fabrics, not %s", r.describe(n)).Remedy = "for example  {B: C}"
		return nil
	}
	var out map[string]string
	for _, e := range n.entries {
		if !r.fabric(e.key.text) {
			r.unknownFabric(e.key.at, e.key.text)
			continue
		}
		if e.value.kind == nothing {
			r.errorf(e.key.at, "missing", "“%s” has no value", e.key.text)
			continue
		}
		to := r.letters(e.value, "recolor")
		if to == "" {
			continue
		}
		if block != "" {
			r.recolored = append(r.recolored, recolored{e.key.at, block, e.key.text})
		}
		if to != e.key.text {
			if out == nil {
				out = map[string]string{}
			}
			out[e.key.text] = to
		}
	}
	return out
}

// recolored is a fabric that a cell replaces; whether its block has it is known once all blocks are read.
type recolored struct {
	at      diag.Pos
	block   string
	letters string
}

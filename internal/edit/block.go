package edit

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"quiltwright/internal/diag"
)

func init() {
	register[AddBlock]()
	register[CopyBlock]()
	register[RenameBlock]()
	register[RemoveBlock]()
	register[MoveBlock]()
	register[SetGrid]()
	register[SetSize]()
	register[SetSymmetry]()
}

// blocks are the blocks of the document.
func (e *editor) blocks() (*node, error) {
	b := e.root.at("blocks")
	if b == nil || b.kind != mapping || len(b.entries) == 0 {
		return nil, refuse("write  blocks:  and a block into the text first", "the document has no blocks")
	}
	return b, nil
}

// block is the description of the block with that name.
func (e *editor) block(name string) (*node, error) {
	all, err := e.blocks()
	if err != nil {
		return nil, err
	}
	en, _ := all.get(name)
	if en == nil {
		var names []string
		for _, b := range all.entries {
			names = append(names, b.key.text)
		}
		return nil, unknown("block", name, names)
	}
	if en.value.kind != mapping {
		return nil, refuse("draw it with grid, lines and fill, or lay it out with rows", "block “%s” has no keys", shorten(name))
	}
	return en.value, nil
}

// unknown is the error for a name that is not there.
func unknown(what, name string, names []string) error {
	remedy := ""
	if near := diag.Suggest(name, names); near != "" {
		remedy = fmt.Sprintf("did you mean “%s”?", near)
	} else if len(names) > 0 && len(names) <= 20 {
		remedy = what + "s: " + strings.Join(names, ", ")
	}
	return refuse(remedy, "there is no %s “%s”", what, shorten(name))
}

// size is a finished size as a document writes it: one number, or [width, height].
func size(words Words) (*node, error) {
	switch len(words) {
	case 1:
		return text(words[0]), nil
	case 2:
		if words[0] == words[1] {
			return text(words[0]), nil
		}
		return texts(words...), nil
	}
	return nil, refuse(`for example  "12" or ["12", "8"]`, "a size is one number or two")
}

// AddBlock adds an empty block: drawn on a grid of columns x rows, or, where cells is true, laid out of so many cells. It is filled with
// the ground's fabric, by default the first.
type AddBlock struct {
	Block   string `json:"block"`
	Size    Words  `json:"size"`
	Columns int    `json:"columns"`
	Rows    int    `json:"rows"`
	Cells   bool   `json:"cells,omitempty"`
	Ground  string `json:"ground,omitempty"`
}

// Name implements Op.
func (*AddBlock) Name() string { return "add block" }

// mostCells keeps a wrong number from writing a huge text.
const mostCells = 400

func (op *AddBlock) apply(e *editor) error {
	all, err := e.blocks()
	if err != nil {
		return err
	}
	if en, _ := all.get(op.Block); en != nil {
		return refuse("choose another name", "there is a block “%s” already", shorten(op.Block))
	}
	sized, err := size(op.Size)
	if err != nil {
		return err
	}
	if op.Columns < 1 || op.Rows < 1 || op.Columns > mostCells || op.Rows > mostCells || op.Cells && op.Columns*op.Rows > 10_000 {
		return refuse(fmt.Sprintf("each must be from 1 to %d", mostCells), "a block of %d columns and %d rows", op.Columns, op.Rows)
	}
	ground := op.Ground
	if fabrics := e.root.at("fabrics"); ground == "" && fabrics != nil && len(fabrics.entries) > 0 {
		ground = fabrics.entries[0].key.text
	}
	def := dict(false).with("size", sized)
	if op.Cells {
		rows := list(false)
		for range op.Rows {
			rows.items = append(rows.items, &item{value: texts(slices.Repeat([]string{ground}, op.Columns)...), dash: -1})
		}
		def.with("rows", rows)
	} else {
		def.with("grid", grid(op.Columns, op.Rows)).with("ground", text(ground))
	}
	e.insert(all, len(all.entries), op.Block, def)
	return nil
}

func grid(columns, rows int) *node {
	if columns == rows {
		return text(strconv.Itoa(columns))
	}
	return texts(strconv.Itoa(columns), strconv.Itoa(rows))
}

// CopyBlock adds a block that is as another is now, right after it.
type CopyBlock struct {
	Block string `json:"block"`
	To    string `json:"to"`
}

// Name implements Op.
func (*CopyBlock) Name() string { return "copy block" }

func (op *CopyBlock) apply(e *editor) error {
	if _, err := e.block(op.Block); err != nil {
		return err
	}
	all, err := e.blocks()
	if err != nil {
		return err
	}
	if en, _ := all.get(op.To); en != nil {
		return refuse("choose another name", "there is a block “%s” already", shorten(op.To))
	}
	en, at := all.get(op.Block)
	e.insert(all, at+1, op.To, clone(en.value))
	return nil
}

// clone is a copy of a node that is to be written, in the style of the original.
func clone(n *node) *node {
	out := &node{kind: n.kind, text: n.text, flow: n.flow}
	if n.style == '|' || n.style == '>' {
		out.text = strings.TrimRight(n.text, "\n")
	}
	for _, en := range n.entries {
		out.entries = append(out.entries, &entry{key: text(en.key.text), value: clone(en.value), colon: -1})
	}
	for _, it := range n.items {
		out.items = append(out.items, &item{value: clone(it.value), dash: -1})
	}
	return out
}

// RenameBlock gives a block another name, wherever it is used: in the set, in cells of other blocks, in months.
type RenameBlock struct {
	Block string `json:"block"`
	To    string `json:"to"`
}

// Name implements Op.
func (*RenameBlock) Name() string { return "rename block" }

func (op *RenameBlock) apply(e *editor) error {
	if _, err := e.block(op.Block); err != nil {
		return err
	}
	all, err := e.blocks()
	if err != nil {
		return err
	}
	if op.To == op.Block {
		return nil
	}
	if en, _ := all.get(op.To); en != nil {
		return refuse("choose another name", "there is a block “%s” already", shorten(op.To))
	}
	known := e.names()
	e.eachCell(func(owner string, l *node, it *item) {
		if c := known.cell(it.value); c.block == op.Block {
			e.nameCell(it.value, c, op.To)
		}
	})
	e.eachMonthBlock(func(m *node, i int, name *node, key bool) {
		if name.text != op.Block {
			return
		}
		if key {
			e.rename(m, m.entries[i], op.To)
		} else {
			e.merge(name, text(op.To))
		}
	})
	en, _ := all.get(op.Block)
	e.rename(all, en, op.To)
	return nil
}

// RemoveBlock takes a block out. Where it is used, instead stands in its place: a fabric, a unit or another block; without it a block
// that is used cannot be removed. The months make the other block, or none.
type RemoveBlock struct {
	Block   string `json:"block"`
	Instead string `json:"instead,omitempty"`
}

// Name implements Op.
func (*RemoveBlock) Name() string { return "remove block" }

func (op *RemoveBlock) apply(e *editor) error {
	if _, err := e.block(op.Block); err != nil {
		return err
	}
	all, err := e.blocks()
	if err != nil {
		return err
	}
	if len(all.entries) == 1 {
		return refuse("add another first", "“%s” is the only block", shorten(op.Block))
	}
	known := e.names()
	if known.cell(text(op.Instead)).block == op.Block {
		return refuse("name another", "“%s” cannot stand in its own place", shorten(op.Block))
	}
	used, inSet := 0, false
	where := ""
	e.eachCell(func(owner string, l *node, it *item) {
		if c := known.cell(it.value); c.block == op.Block && owner != op.Block {
			used++
			inSet = inSet || owner == ""
			if where == "" {
				where = "the set"
				if owner != "" {
					where = "block " + owner
				}
			}
			switch other, _ := all.get(op.Instead); {
			case op.Instead == "":
			case other != nil:
				e.exchange(l, it, c, op.Instead)
			default:
				e.setItem(l, it, text(op.Instead))
			}
		}
	})
	if used > 0 && op.Instead == "" {
		return refuse("say what takes its place with instead", "block “%s” is used %s in %s", shorten(op.Block), times(used), where)
	}
	if err := e.flush(); err != nil {
		return err
	}
	if other, _ := all.get(op.Instead); other != nil && inSet {
		err = e.handMonths(op.Block, op.Instead)
	} else {
		err = e.dropMonthBlock(op.Block)
	}
	if err == nil {
		err = e.flush()
	}
	if err != nil {
		return err
	}
	all, err = e.blocks()
	if err != nil {
		return err
	}
	_, at := all.get(op.Block)
	e.remove(all, at)
	return nil
}

func times(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

// MoveBlock puts a block before another one in the document, or at the end where before is "".
type MoveBlock struct {
	Block  string `json:"block"`
	Before string `json:"before,omitempty"`
}

// Name implements Op.
func (*MoveBlock) Name() string { return "move block" }

func (op *MoveBlock) apply(e *editor) error {
	if _, err := e.block(op.Block); err != nil {
		return err
	}
	all, err := e.blocks()
	if err != nil {
		return err
	}
	to := len(all.entries)
	if op.Before != "" {
		if _, err := e.block(op.Before); err != nil {
			return err
		}
		_, to = all.get(op.Before)
	}
	_, from := all.get(op.Block)
	return e.moveEntry(all, from, to)
}

// SetGrid gives a drawn block another grid. Its points stay where they are in the block if scale is true: on a grid twice as fine their
// coordinates double. Otherwise they keep their coordinates.
type SetGrid struct {
	Block   string `json:"block"`
	Columns int    `json:"columns"`
	Rows    int    `json:"rows"`
	Scale   bool   `json:"scale,omitempty"`
}

// Name implements Op.
func (*SetGrid) Name() string { return "set grid" }

func (op *SetGrid) apply(e *editor) error {
	b, err := e.block(op.Block)
	if err != nil {
		return err
	}
	old := b.at("grid")
	if old == nil {
		return refuse("set columns and heights of a block of cells", "block “%s” has no grid", shorten(op.Block))
	}
	columns, rows, ok := gridOf(old)
	if op.Scale {
		if !ok {
			return refuse("write the grid as one whole number or two", "the grid that is there cannot be read")
		}
		if op.Columns < 1 || op.Rows < 1 {
			return refuse("each must be 1 or more", "a grid of %d x %d", op.Columns, op.Rows)
		}
		if err := e.eachPoint(b, func(p string) (string, error) { return scaled(p, op.Columns, columns, op.Rows, rows) }); err != nil {
			return err
		}
	}
	en, _ := b.get("grid")
	e.set(b, en, grid(op.Columns, op.Rows))
	return nil
}

func gridOf(n *node) (columns, rows int, ok bool) {
	words := []string{n.text, n.text}
	if n.kind == sequence && len(n.items) == 2 {
		words = []string{n.items[0].value.text, n.items[1].value.text}
	}
	columns, err := strconv.Atoi(words[0])
	rows, err2 := strconv.Atoi(words[1])
	return columns, rows, err == nil && err2 == nil && columns > 0 && rows > 0
}

// SetSize gives a block another finished size.
type SetSize struct {
	Block string `json:"block"`
	Size  Words  `json:"size"`
}

// Name implements Op.
func (*SetSize) Name() string { return "set size" }

func (op *SetSize) apply(e *editor) error {
	if _, err := e.block(op.Block); err != nil {
		return err
	}
	v, err := size(op.Size)
	if err != nil {
		return err
	}
	return e.putAt(Path{"blocks", op.Block, "size"}, v)
}

// SetSymmetry gives a drawn block other symmetries, or none.
type SetSymmetry struct {
	Block    string `json:"block"`
	Symmetry Words  `json:"symmetry"`
}

// Name implements Op.
func (*SetSymmetry) Name() string { return "set symmetry" }

func (op *SetSymmetry) apply(e *editor) error {
	b, err := e.block(op.Block)
	if err != nil {
		return err
	}
	at := Path{"blocks", op.Block, "symmetry"}
	switch len(op.Symmetry) {
	case 0:
		if b.at("symmetry") == nil {
			return nil
		}
		return e.drop(at)
	case 1:
		return e.putAt(at, text(op.Symmetry[0]))
	}
	return e.putAt(at, texts(op.Symmetry...))
}

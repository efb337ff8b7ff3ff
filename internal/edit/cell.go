package edit

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"quiltwright/internal/quilt"
)

func init() {
	register[PutCell]()
	register[TurnCell]()
	register[MirrorCell]()
	register[RecolorCell]()
	register[ExchangeCells]()
	register[ExchangeBlock]()
}

// names are what a word in a cell can mean.
type names struct{ fabrics, blocks map[string]bool }

func (e *editor) names() names {
	out := names{map[string]bool{}, map[string]bool{}}
	for key, to := range map[string]map[string]bool{"fabrics": out.fabrics, "blocks": out.blocks} {
		if n := e.root.at(key); n != nil {
			for _, en := range n.entries {
				to[en.key.text] = true
			}
		}
	}
	return out
}

// cell is what stands in a cell, as quilt.Read takes it.
type cell struct {
	block, fabric, unit, fabrics string // one of block, fabric and unit; fabrics are the unit's
	turn                         int
	mirror                       bool
	recolor                      *node
	short                        bool // written as a word
	ok                           bool
}

// cell reads a cell; ok is false where it cannot be understood.
func (k names) cell(n *node) cell {
	var c cell
	switch n.kind {
	case scalar:
		name, turn, turned := strings.Cut(strings.Join(strings.Fields(n.text), " "), "@")
		name = strings.TrimSpace(name)
		c.short, c.ok = true, true
		if turned {
			digits, mirrored := strings.CutSuffix(strings.TrimSpace(turn), "m")
			c.mirror = mirrored
			if digits != "" || !mirrored {
				d, err := strconv.Atoi(digits)
				c.turn, c.ok = d, err == nil
			}
		}
		unit, letters := unitOf(name)
		switch {
		case k.fabrics[name]:
			c.fabric = name
		case k.blocks[name]:
			c.block = name
		case unit != "":
			c.unit, c.fabrics = unit, letters
		default:
			c.ok = false
		}
	case mapping:
		c.ok = true
		for _, en := range n.entries {
			v := en.value
			switch en.key.text {
			case "turn":
				d, err := strconv.Atoi(v.text)
				c.turn, c.ok = d, c.ok && err == nil
			case "mirror":
				c.mirror = v.text == "true"
			case "recolor":
				c.recolor = v
			case "block":
				c.block = v.text
			case "fabric":
				c.fabric = v.text
			default:
				if _, known := quilt.UnitNamed(en.key.text); !known || v.kind != scalar {
					c.ok = false
				}
				c.unit, c.fabrics = en.key.text, v.text
			}
		}
	}
	return c
}

// unitOf splits "goose A B" into the unit as written and the rest; "" where it begins with no unit.
func unitOf(s string) (unit, rest string) {
	for _, u := range quilt.Units() {
		for _, name := range append([]string{u.Name}, u.Aliases...) {
			after, found := strings.CutPrefix(s, name)
			if found && (after == "" || after[0] == ' ') && len(name) > len(unit) {
				unit, rest = name, strings.TrimSpace(after)
			}
		}
	}
	return unit, rest
}

// what names what stands in the cell, without its turn.
func (c cell) what() string {
	switch {
	case c.block != "":
		return c.block
	case c.fabric != "":
		return c.fabric
	}
	return c.unit + " " + c.fabrics
}

// written is the short form of the cell.
func (c cell) written() string {
	out := c.what()
	if c.turn != 0 || c.mirror {
		out += "@"
		if c.turn != 0 {
			out += strconv.Itoa(c.turn)
		}
		if c.mirror {
			out += "m"
		}
	}
	return out
}

// long is the long form of the cell.
func (c cell) long() *node {
	n := dict(true)
	switch {
	case c.block != "":
		n.with("block", text(c.block))
	case c.fabric != "":
		n.with("fabric", text(c.fabric))
	default:
		n.with(c.unit, text(c.fabrics))
	}
	if c.turn != 0 {
		n.with("turn", text(strconv.Itoa(c.turn)))
	}
	if c.mirror {
		n.with("mirror", text("true"))
	}
	if c.recolor != nil {
		n.with("recolor", clone(c.recolor))
	}
	return n
}

// nameCell gives the block in a cell another name and leaves the rest as it is written.
func (e *editor) nameCell(n *node, c cell, to string) {
	if c.short {
		_, turn, turned := strings.Cut(n.text, "@")
		if turned {
			to += "@" + turn
		}
		e.merge(n, text(to))
		return
	}
	en, _ := n.get("block")
	e.set(n, en, text(to))
}

// eachCell calls do for every cell: those of blocks, with the block's name, and those of the set, with "".
func (e *editor) eachCell(do func(owner string, row *node, it *item)) {
	rows := func(owner string, n *node) {
		if n == nil || n.kind != sequence {
			return
		}
		for _, row := range n.items {
			if row.value.kind == sequence {
				for _, it := range row.value.items {
					do(owner, row.value, it)
				}
			}
		}
	}
	if b := e.root.at("blocks"); b != nil {
		for _, en := range b.entries {
			rows(en.key.text, en.value.at("rows"))
		}
	}
	rows("", e.root.at("set", "rows"))
}

// rowsOf are the rows of cells of the block, or of the set where block is "".
func (e *editor) rowsOf(block string) (*node, error) {
	n := e.root.at("set", "rows")
	what := "the quilt has no set"
	remedy := "lay the blocks out first"
	if block != "" {
		b, err := e.block(block)
		if err != nil {
			return nil, err
		}
		n, what, remedy = b.at("rows"), fmt.Sprintf("block “%s” is drawn by lines", shorten(block)), "change its lines and fill"
	}
	if n == nil {
		return nil, refuse(remedy, "%s", what)
	}
	if n.kind != sequence || slices.ContainsFunc(n.items, func(it *item) bool { return it.value.kind != sequence || len(it.value.items) == 0 }) || len(n.items) == 0 {
		return nil, refuse("write every row as a list of cells: - [A, B]", "the rows cannot be read")
	}
	return n, nil
}

// Spot is a cell of a block of cells, or of the set where block is "". Row and column are counted from 1.
type Spot struct {
	Block  string `json:"block,omitempty"`
	Row    int    `json:"row"`
	Column int    `json:"column"`
}

// cellAt is the row that holds the cell, and the cell.
func (e *editor) cellAt(s Spot) (*node, *item, error) {
	rows, err := e.rowsOf(s.Block)
	if err != nil {
		return nil, nil, err
	}
	if s.Row < 1 || s.Row > len(rows.items) {
		return nil, nil, refuse(fmt.Sprintf("there are %d, counted from 1", len(rows.items)), "there is no row %d", s.Row)
	}
	row := rows.items[s.Row-1].value
	if s.Column < 1 || s.Column > len(row.items) {
		return nil, nil, refuse(fmt.Sprintf("it has %d, counted from 1", len(row.items)), "row %d has no column %d", s.Row, s.Column)
	}
	return row, row.items[s.Column-1], nil
}

// PutCell puts a fabric, a unit or a block into a cell, as a document writes it: "goose A B@90", or {"block": "Window", "recolor": {"F": "C"}}.
type PutCell struct {
	Block  string `json:"block,omitempty"`
	Row    int    `json:"row"`
	Column int    `json:"column"`
	Cell   Value  `json:"cell"`
}

// Name implements Op.
func (*PutCell) Name() string { return "put cell" }

func (op *PutCell) apply(e *editor) error {
	row, it, err := e.cellAt(Spot{op.Block, op.Row, op.Column})
	if err != nil {
		return err
	}
	v, err := op.Cell.node()
	if err != nil || v.kind == nothing {
		return refuse(`for example  "goose A B@90"`, "no cell is given")
	}
	e.setItem(row, it, v)
	return nil
}

// known is the cell at the spot, understood.
func (e *editor) known(s Spot) (*node, *item, cell, error) {
	row, it, err := e.cellAt(s)
	if err != nil {
		return nil, nil, cell{}, err
	}
	c := e.names().cell(it.value)
	if !c.ok {
		return nil, nil, c, refuse("put a fabric, a unit or a block into it first", "the cell in row %d, column %d holds nothing that is known", s.Row, s.Column)
	}
	return row, it, c, nil
}

// turnTo writes the cell's turn and mirror, in the form that it has; a long form of which only the name is left becomes short.
func (e *editor) turnTo(s Spot, c cell) error {
	row, it, err := e.cellAt(s)
	if err != nil {
		return err
	}
	if c.short || c.recolor == nil && c.turn == 0 && !c.mirror {
		e.setItem(row, it, text(c.written()))
		return nil
	}
	for _, k := range []struct {
		key, value string
		want       bool
	}{{"turn", strconv.Itoa(c.turn), c.turn != 0}, {"mirror", "true", c.mirror}} {
		n := it.value
		en, at := n.get(k.key)
		switch {
		case en != nil && k.want:
			e.set(n, en, text(k.value))
		case en != nil:
			e.remove(n, at)
		case k.want:
			e.insert(n, place(n, k.key, []string{n.entries[0].key.text, "turn", "mirror", "recolor"}), k.key, text(k.value))
		}
		if err := e.flush(); err != nil {
			return err
		}
		if _, it, err = e.cellAt(s); err != nil {
			return err
		}
	}
	return nil
}

// TurnCell turns what stands in a cell by 90, 180 or 270 degrees clockwise.
type TurnCell struct {
	Block  string `json:"block,omitempty"`
	Row    int    `json:"row"`
	Column int    `json:"column"`
	By     int    `json:"by"`
}

// Name implements Op.
func (*TurnCell) Name() string { return "turn cell" }

func (op *TurnCell) apply(e *editor) error {
	if op.By%90 != 0 {
		return refuse("turns are 90, 180 and 270, clockwise", "a cell cannot be turned by %d degrees", op.By)
	}
	_, _, c, err := e.known(Spot{op.Block, op.Row, op.Column})
	if err != nil {
		return err
	}
	c.turn = ((c.turn+op.By)%360 + 360) % 360
	return e.turnTo(Spot{op.Block, op.Row, op.Column}, c)
}

// MirrorCell mirrors what stands in a cell as it is seen: left to right, or top to bottom where upside is true.
type MirrorCell struct {
	Block  string `json:"block,omitempty"`
	Row    int    `json:"row"`
	Column int    `json:"column"`
	Upside bool   `json:"upside,omitempty"`
}

// Name implements Op.
func (*MirrorCell) Name() string { return "mirror cell" }

func (op *MirrorCell) apply(e *editor) error {
	_, _, c, err := e.known(Spot{op.Block, op.Row, op.Column})
	if err != nil {
		return err
	}
	// A cell is mirrored first and turned then; mirroring what is turned is turning the other way what is mirrored.
	c.mirror = !c.mirror
	c.turn = (360 - c.turn) % 360
	if op.Upside {
		c.turn = (c.turn + 180) % 360
	}
	return e.turnTo(Spot{op.Block, op.Row, op.Column}, c)
}

// RecolorCell says which fabrics of the block in a cell are replaced by which; none take the recolouring out. A unit or plain patch is
// recoloured by naming its new fabrics, which this does, too.
type RecolorCell struct {
	Block   string            `json:"block,omitempty"`
	Row     int               `json:"row"`
	Column  int               `json:"column"`
	Recolor map[string]string `json:"recolor"`
}

// Name implements Op.
func (*RecolorCell) Name() string { return "recolor cell" }

func (op *RecolorCell) apply(e *editor) error {
	row, it, c, err := e.known(Spot{op.Block, op.Row, op.Column})
	if err != nil {
		return err
	}
	if c.block == "" {
		e.eachLetter(it.value, c, func(letters string) string {
			if to := op.Recolor[letters]; to != "" {
				return to
			}
			return letters
		})
		return nil
	}
	var fresh *node
	for _, from := range sortedKeys(op.Recolor) {
		if to := op.Recolor[from]; to != from {
			if fresh == nil {
				fresh = dict(true)
			}
			fresh.with(from, text(to))
		}
	}
	n := it.value
	en, at := n.get("recolor")
	switch {
	case fresh == nil && en == nil:
	case fresh == nil && len(n.entries) == 2:
		c.recolor = nil
		e.setItem(row, it, text(c.written()))
	case fresh == nil:
		e.remove(n, at)
	case c.short:
		c.recolor = fresh
		e.setItem(row, it, c.long())
	case en == nil:
		e.insert(n, len(n.entries), "recolor", fresh)
	default:
		e.set(n, en, fresh)
	}
	return nil
}

// ExchangeCells lets two cells of the same block, or of the set, change places.
type ExchangeCells struct {
	Block      string `json:"block,omitempty"`
	Row        int    `json:"row"`
	Column     int    `json:"column"`
	WithRow    int    `json:"withRow"`
	WithColumn int    `json:"withColumn"`
}

// Name implements Op.
func (*ExchangeCells) Name() string { return "exchange cells" }

func (op *ExchangeCells) apply(e *editor) error {
	row, a, err := e.cellAt(Spot{op.Block, op.Row, op.Column})
	if err != nil {
		return err
	}
	with, b, err := e.cellAt(Spot{op.Block, op.WithRow, op.WithColumn})
	if err != nil {
		return err
	}
	if a == b || a.value.same(b.value) {
		return nil
	}
	inBrackets := (row.flow || row.inFlow) && (with.flow || with.inFlow)
	av, bv := clone(a.value), clone(b.value)
	if inBrackets {
		// The text as it is written changes places.
		at, bt := string(e.src[a.value.start:a.value.end]), string(e.src[b.value.start:b.value.end])
		e.splice(a.value.start, a.value.end, bt)
		e.splice(b.value.start, b.value.end, at)
		a.value, b.value = bv, av
		return nil
	}
	av.flow, bv.flow = true, true
	e.setItem(row, a, bv)
	e.setItem(with, b, av)
	return nil
}

// exchange puts another block into a cell, turned and mirrored as the one that was there. Its recolouring goes: it names fabrics that the
// other may not have.
func (e *editor) exchange(row *node, it *item, c cell, to string) {
	if c.recolor == nil {
		e.nameCell(it.value, c, to)
		return
	}
	c.block, c.recolor = to, nil
	e.setItem(row, it, text(c.written()))
}

// ExchangeBlock puts one block in the place of another everywhere in the set; in one block of cells where block is given. Turns stay. The
// months that made the one make the other.
type ExchangeBlock struct {
	Block string `json:"block,omitempty"`
	From  string `json:"from"`
	To    string `json:"to"`
}

// Name implements Op.
func (*ExchangeBlock) Name() string { return "exchange block" }

func (op *ExchangeBlock) apply(e *editor) error {
	if _, err := e.block(op.From); err != nil {
		return err
	}
	if _, err := e.block(op.To); err != nil {
		return err
	}
	if _, err := e.rowsOf(op.Block); err != nil {
		return err
	}
	if op.From == op.To {
		return nil
	}
	known := e.names()
	used := 0
	e.eachCell(func(owner string, row *node, it *item) {
		c := known.cell(it.value)
		if owner != op.Block || c.block != op.From {
			return
		}
		used++
		e.exchange(row, it, c, op.To)
	})
	if used == 0 {
		return refuse("", "block “%s” is not used there", shorten(op.From))
	}
	if op.Block != "" {
		return nil
	}
	return e.handMonths(op.From, op.To)
}

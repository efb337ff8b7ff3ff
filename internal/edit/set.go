package edit

import (
	"fmt"
	"strconv"
	"strings"
)

func init() {
	register[LayRows]()
	register[AddRow]()
	register[RemoveRow]()
	register[AddColumn]()
	register[RemoveColumn]()
	register[LayOnPoint]()
	register[LayStraight]()
	register[AddBorder]()
	register[RemoveBorder]()
	register[MoveBorder]()
}

// LayRows lays a quilt out: rows of so many columns, the same cell everywhere. It makes the set, or gives it new rows.
type LayRows struct {
	Rows    int   `json:"rows"`
	Columns int   `json:"columns"`
	Cell    Value `json:"cell"`
}

// Name implements Op.
func (*LayRows) Name() string { return "lay rows" }

func (op *LayRows) apply(e *editor) error {
	c, err := op.Cell.node()
	if err != nil || c.kind == nothing {
		return refuse(`for example  "Paper Lantern"`, "no cell is given")
	}
	if op.Rows < 1 || op.Columns < 1 || op.Rows > 100 || op.Columns > 100 {
		return refuse("each must be from 1 to 100", "%d rows of %d columns", op.Rows, op.Columns)
	}
	rows := list(false)
	for range op.Rows {
		row := list(true)
		for range op.Columns {
			row.items = append(row.items, &item{value: clone(c), dash: -1})
		}
		rows.items = append(rows.items, &item{value: row, dash: -1})
	}
	if e.onPoint() {
		return refuse("lay it straight first", "rows on point are not all equally long")
	}
	return e.putAt(Path{"set", "rows"}, rows)
}

// onPoint reports whether the set is on point.
func (e *editor) onPoint() bool {
	s := e.root.at("set", "style")
	return s != nil && s.text == "on point"
}

// AddRow adds a row of cells to a block of cells, or to the set where block is "", before the row with the number before, counted
// from 1, or as the last where before is 0. Without cells it is like its neighbour. On point two rows are added, so that they still alternate.
type AddRow struct {
	Block  string  `json:"block,omitempty"`
	Before int     `json:"before,omitempty"`
	Cells  []Value `json:"cells,omitempty"`
}

// Name implements Op.
func (*AddRow) Name() string { return "add row" }

func (op *AddRow) apply(e *editor) error {
	rows, err := e.rowsOf(op.Block)
	if err != nil {
		return err
	}
	at, err := before(op.Before, len(rows.items), "row")
	if err != nil {
		return err
	}
	if op.Block == "" && e.onPoint() {
		if len(op.Cells) > 0 {
			return refuse("change the cells afterwards", "on point two rows are added, so their cells cannot be given")
		}
		// The two that are repeated stand at the place, or right before the end.
		from := min(at, len(rows.items)-2)
		if from < 0 {
			n := len(rows.items[0].value.items)
			if n < 2 {
				return refuse("add a column first", "one block on point has no gap beside it")
			}
			gap, full := like(rows.items[0].value), like(rows.items[0].value)
			gap.items = gap.items[:n-1]
			e.insertItem(rows, 1, gap)
			if err := e.flush(); err != nil {
				return err
			}
			rows, err = e.rowsOf("")
			if err != nil {
				return err
			}
			e.insertItem(rows, 2, full)
			return nil
		}
		first, second := like(rows.items[from].value), like(rows.items[from+1].value)
		if at == len(rows.items) && len(rows.items) >= 2 {
			first, second = like(rows.items[at-2].value), like(rows.items[at-1].value)
		} else if at%2 != from%2 {
			first, second = second, first
		}
		e.insertItem(rows, at, first)
		if err := e.flush(); err != nil {
			return err
		}
		if rows, err = e.rowsOf(""); err != nil {
			return err
		}
		e.insertItem(rows, at+1, second)
		return nil
	}
	row := like(rows.items[min(at, len(rows.items)-1)].value)
	if len(op.Cells) > 0 {
		row = list(true)
		for _, c := range op.Cells {
			v, err := c.node()
			if err != nil || v.kind == nothing {
				return refuse(`for example  "goose A B@90"`, "a cell is not given")
			}
			row.items = append(row.items, &item{value: v, dash: -1})
		}
	}
	e.insertItem(rows, at, row)
	return e.addMeasure(op.Block, "heights", at)
}

// like is a copy of a row in brackets.
func like(row *node) *node {
	out := clone(row)
	out.flow = true
	return out
}

// before is the place in a list of so many for a number counted from 1, where 0 is the end.
func before(number, count int, what string) (int, error) {
	if number == 0 {
		return count, nil
	}
	if number < 1 || number > count {
		return 0, refuse(fmt.Sprintf("there are %d, counted from 1", count), "there is no %s %d", what, number)
	}
	return number - 1, nil
}

// addMeasure adds a proportion for a new row or column of a block, that of its neighbour.
func (e *editor) addMeasure(block, key string, at int) error {
	if block == "" {
		return nil
	}
	b, err := e.block(block)
	if err != nil {
		return err
	}
	sizes := b.at(key)
	if sizes == nil || sizes.kind != sequence || len(sizes.items) == 0 {
		return nil
	}
	at = min(at, len(sizes.items))
	e.insertItem(sizes, at, clone(sizes.items[min(at, len(sizes.items)-1)].value))
	return nil
}

// dropMeasure takes the proportion of a row or column out of a block.
func (e *editor) dropMeasure(block, key string, at int) error {
	if block == "" {
		return nil
	}
	b, err := e.block(block)
	if err != nil {
		return err
	}
	if sizes := b.at(key); sizes != nil && at < len(sizes.items) {
		return e.drop(Path{"blocks", block, key, strconv.Itoa(at + 1)})
	}
	return nil
}

// RemoveRow takes a row of cells out. On point the next one goes with it, so that they still alternate.
type RemoveRow struct {
	Block string `json:"block,omitempty"`
	Row   int    `json:"row"`
}

// Name implements Op.
func (*RemoveRow) Name() string { return "remove row" }

func (op *RemoveRow) apply(e *editor) error {
	rows, err := e.rowsOf(op.Block)
	if err != nil {
		return err
	}
	if op.Row < 1 || op.Row > len(rows.items) {
		return refuse(fmt.Sprintf("there are %d, counted from 1", len(rows.items)), "there is no row %d", op.Row)
	}
	at := op.Row - 1
	pair := op.Block == "" && e.onPoint()
	if len(rows.items) == 1 || pair && len(rows.items) < 3 {
		return refuse("a block or a set has at least one row", "this is the only row")
	}
	if pair {
		at = min(at, len(rows.items)-2)
		e.removeItem(rows, at+1)
		if err := e.flush(); err != nil {
			return err
		}
		if rows, err = e.rowsOf(""); err != nil {
			return err
		}
	}
	e.removeItem(rows, at)
	return e.dropMeasure(op.Block, "heights", at)
}

// AddColumn adds a cell to every row of a block of cells, or of the set where block is "", before the column with the number before, counted
// from 1, or as the last where before is 0. Without cells each is like its neighbour.
type AddColumn struct {
	Block  string  `json:"block,omitempty"`
	Before int     `json:"before,omitempty"`
	Cells  []Value `json:"cells,omitempty"`
}

// Name implements Op.
func (*AddColumn) Name() string { return "add column" }

func (op *AddColumn) apply(e *editor) error {
	rows, err := e.rowsOf(op.Block)
	if err != nil {
		return err
	}
	if len(op.Cells) > 0 && len(op.Cells) != len(rows.items) {
		return refuse("give one cell for each row", "there are %d cells for %d rows", len(op.Cells), len(rows.items))
	}
	at, err := before(op.Before, len(rows.items[0].value.items), "column")
	if err != nil {
		return err
	}
	for i, row := range rows.items {
		r := row.value
		at := min(at, len(r.items))
		v := like(r.items[min(at, len(r.items)-1)].value)
		if len(op.Cells) > 0 {
			if v, err = op.Cells[i].node(); err != nil || v.kind == nothing {
				return refuse(`for example  "goose A B@90"`, "a cell is not given")
			}
		}
		e.insertItem(r, at, v)
	}
	return e.addMeasure(op.Block, "columns", at)
}

// RemoveColumn takes a cell out of every row.
type RemoveColumn struct {
	Block  string `json:"block,omitempty"`
	Column int    `json:"column"`
}

// Name implements Op.
func (*RemoveColumn) Name() string { return "remove column" }

func (op *RemoveColumn) apply(e *editor) error {
	rows, err := e.rowsOf(op.Block)
	if err != nil {
		return err
	}
	has := len(rows.items[0].value.items)
	if op.Column < 1 || op.Column > has {
		return refuse(fmt.Sprintf("there are %d, counted from 1", has), "there is no column %d", op.Column)
	}
	for i, row := range rows.items {
		if len(row.value.items) == 1 {
			return refuse("a row has at least one cell", "row %d has only one", i+1)
		}
		e.removeItem(row.value, min(op.Column, len(row.value.items))-1)
	}
	return e.dropMeasure(op.Block, "columns", op.Column-1)
}

// LayOnPoint turns a straight set to stand on point: between its rows come rows of the blocks that sit in the gaps, like those above
// them; so, too, in the gaps between one laying of a repeat and the next.
type LayOnPoint struct {
	Triangles string `json:"triangles"` // the fabric that squares the top up
}

// Name implements Op.
func (*LayOnPoint) Name() string { return "lay on point" }

func (op *LayOnPoint) apply(e *editor) error {
	if e.onPoint() {
		return refuse("", "the set is on point already")
	}
	if op.Triangles == "" {
		return refuse("name the fabric of the triangles that square it up", "a top on point needs triangles")
	}
	rows, err := e.rowsOf("")
	if err != nil {
		return err
	}
	n := len(rows.items[0].value.items)
	for i, row := range rows.items {
		if len(row.value.items) != n {
			return refuse("make the rows equally long first", "row %d has %d cells, row 1 has %d", i+1, len(row.value.items), n)
		}
	}
	across, down := 1, 1
	if r := e.root.at("set", "repeat"); r != nil {
		a, d, _ := strings.Cut(strings.ReplaceAll(r.text, "×", "x"), "x")
		across, down = max(1, number1(strings.TrimSpace(a))), max(1, number1(strings.TrimSpace(d)))
	}
	all := list(false)
	add := func(row *node) { all.items = append(all.items, &item{value: row, dash: -1}) }
	for i, r := range rows.items {
		row := like(r.value)
		add(row)
		gap := like(row)
		if across == 1 {
			gap.items = gap.items[:n-1]
		}
		if len(gap.items) > 0 && (i+1 < len(rows.items) || down > 1) {
			add(gap)
		}
	}
	if n*across == 1 { // no gaps, and so no rows between
		all.items = all.items[:1]
	}
	if err := e.putAt(Path{"set", "rows"}, all); err != nil {
		return err
	}
	if err := e.flush(); err != nil {
		return err
	}
	if err := e.putAt(Path{"set", "style"}, text("on point")); err != nil {
		return err
	}
	if err := e.flush(); err != nil {
		return err
	}
	return e.putAt(Path{"set", "triangles"}, text(op.Triangles))
}

// LayStraight lays a set that stands on point straight: the rows of blocks in the gaps go, and so do the triangles.
type LayStraight struct{}

// Name implements Op.
func (*LayStraight) Name() string { return "lay straight" }

func (op *LayStraight) apply(e *editor) error {
	if !e.onPoint() {
		return refuse("", "the set is straight already")
	}
	rows, err := e.rowsOf("")
	if err != nil {
		return err
	}
	for i := len(rows.items) - 1; i > 0; i-- {
		if i%2 == 1 {
			e.removeItem(rows, i)
		}
	}
	if err := e.flush(); err != nil {
		return err
	}
	if err := e.drop(Path{"set", "style"}); err != nil {
		return err
	}
	if e.root.at("set", "triangles") == nil {
		return nil
	}
	if err := e.flush(); err != nil {
		return err
	}
	return e.drop(Path{"set", "triangles"})
}

// AddBorder adds a border before the one with the number before, counted from 1 from the inside out, or outside of all where before is 0.
type AddBorder struct {
	Before int   `json:"before,omitempty"`
	Is     Value `json:"is"` // {"width": "2", "fabric": "B", "corners": {"fabric": "C"}}
}

// Name implements Op.
func (*AddBorder) Name() string { return "add border" }

func (op *AddBorder) apply(e *editor) error {
	v, err := op.Is.node()
	if err != nil || v.kind != mapping {
		return refuse(`for example  {"width": "2", "fabric": "B"}`, "a border needs a width and a fabric")
	}
	if e.root.at("set") == nil {
		return refuse("lay the blocks out first", "the quilt has no set")
	}
	all := e.root.at("set", "borders")
	if all == nil || all.kind != sequence || len(all.items) == 0 {
		return e.putAt(Path{"set", "borders"}, list(false, v))
	}
	at, err := before(op.Before, len(all.items), "border")
	if err != nil {
		return err
	}
	e.insertItem(all, at, v)
	return nil
}

// RemoveBorder takes a border out; counted from 1 from the inside out.
type RemoveBorder struct {
	Border int `json:"border"`
}

// Name implements Op.
func (*RemoveBorder) Name() string { return "remove border" }

func (op *RemoveBorder) apply(e *editor) error {
	return e.drop(Path{"set", "borders", strconv.Itoa(op.Border)})
}

// MoveBorder puts a border before another one, from the inside out, or outside of all where before is 0.
type MoveBorder struct {
	Border int `json:"border"`
	Before int `json:"before,omitempty"`
}

// Name implements Op.
func (*MoveBorder) Name() string { return "move border" }

func (op *MoveBorder) apply(e *editor) error {
	all := e.root.at("set", "borders")
	if all == nil || all.kind != sequence || op.Border < 1 || op.Border > len(all.items) {
		return refuse("borders are counted from 1, from the inside out", "there is no border %d", op.Border)
	}
	to, err := before(op.Before, len(all.items), "border")
	if err != nil {
		return err
	}
	return e.moveItem(all, op.Border-1, to)
}

package edit

import (
	"fmt"
	"slices"
	"strings"
)

func init() {
	register[DrawLine]()
	register[ReshapeLine]()
	register[MovePoint]()
	register[RemoveLine]()
	register[TakeFirst]()
	register[LeaveFirst]()
	register[Fill]()
	register[Unfill]()
}

// DrawLine adds a line to a drawn block: a run of two or more points.
type DrawLine struct {
	Block  string `json:"block"`
	Points Words  `json:"points"`
}

// Name implements Op.
func (*DrawLine) Name() string { return "draw line" }

func (op *DrawLine) apply(e *editor) error { return e.addRun(op.Block, "lines", op.Points) }

// TakeFirst adds a line along which the block is taken apart first.
type TakeFirst struct {
	Block  string `json:"block"`
	Points Words  `json:"points"`
}

// Name implements Op.
func (*TakeFirst) Name() string { return "take apart first" }

func (op *TakeFirst) apply(e *editor) error { return e.addRun(op.Block, "first", op.Points) }

// addRun adds a line to the list under key. One line that stands there without a list becomes a list of two.
func (e *editor) addRun(block, key string, words Words) error {
	line, err := run(words)
	if err != nil {
		return err
	}
	b, err := e.block(block)
	if err != nil {
		return err
	}
	if b.at("rows") != nil {
		return refuse("change its cells", "block “%s” is laid out of cells, not drawn", shorten(block))
	}
	en, _ := b.get(key)
	switch {
	case en == nil && key == "first":
		return e.putAt(Path{"blocks", block, key}, text(line))
	case en == nil || en.value.kind == nothing || en.value.kind == sequence && len(en.value.items) == 0:
		return e.putAt(Path{"blocks", block, key}, list(false, text(line)))
	case en.value.kind == sequence:
		e.insertItem(en.value, len(en.value.items), text(line))
		return nil
	case en.value.kind == scalar:
		return e.putAt(Path{"blocks", block, key}, list(false, text(en.value.text), text(line)))
	}
	return refuse("write a list of lines", "%s of block “%s” is no list", key, shorten(block))
}

// drawn is the block of that name, or the set where it is "", and where it stands.
func (e *editor) drawn(block string) (*node, Path, error) {
	if block != "" {
		b, err := e.block(block)
		return b, Path{"blocks", block}, err
	}
	s := e.root.at("set")
	if s == nil || s.kind != mapping {
		return nil, nil, refuse("lay the blocks first", "the document has no set")
	}
	return s, Path{"set"}, nil
}

// runAt is the line with that number, counted from 1, in the list under key of a block, or of the set where block is "".
func (e *editor) runAt(block, key string, line int) (*node, error) {
	b, _, err := e.drawn(block)
	if err != nil {
		return nil, err
	}
	all := b.at(key)
	count := 0
	if all != nil {
		if all.kind == scalar && line == 1 {
			return all, nil
		}
		if count = len(all.items); line >= 1 && line <= count && all.items[line-1].value.kind == scalar {
			return all.items[line-1].value, nil
		}
	}
	of := "the set"
	if block != "" {
		of = fmt.Sprintf("block “%s”", shorten(block))
	}
	return nil, refuse(fmt.Sprintf("it has %d, counted from 1", count), "%s has no line %d under %s", of, line, key)
}

// ReshapeLine gives a line of a drawn block other points; lines are counted from 1 as the document lists them.
type ReshapeLine struct {
	Block  string `json:"block"`
	Line   int    `json:"line"`
	Points Words  `json:"points"`
}

// Name implements Op.
func (*ReshapeLine) Name() string { return "reshape line" }

func (op *ReshapeLine) apply(e *editor) error {
	fresh, err := run(op.Points)
	if err != nil {
		return err
	}
	n, err := e.runAt(op.Block, "lines", op.Line)
	if err != nil {
		return err
	}
	words := strings.Fields(fresh)
	if len(words) == len(strings.Fields(n.text)) {
		return e.edits(n, func(i int, _ string) (string, error) { return words[i], nil })
	}
	e.splice(n.start, n.end, quoted(fresh, n.inFlow, n.style&^'|'&^'>'))
	n.text = fresh
	return nil
}

// MovePoint moves one point of a line of a drawn block; line and point are counted from 1.
type MovePoint struct {
	Block string `json:"block"`
	Line  int    `json:"line"`
	Point int    `json:"point"`
	To    string `json:"to"`
}

// Name implements Op.
func (*MovePoint) Name() string { return "move point" }

func (op *MovePoint) apply(e *editor) error {
	to, err := points(Words{op.To})
	if err != nil {
		return err
	}
	if len(to) != 1 {
		return refuse("for example  3/2,4", "a point moves to one point, not %d", len(to))
	}
	n, err := e.runAt(op.Block, "lines", op.Line)
	if err != nil {
		return err
	}
	if has := len(strings.Fields(n.text)); op.Point < 1 || op.Point > has {
		return refuse(fmt.Sprintf("it has %d, counted from 1", has), "line %d has no point %d", op.Line, op.Point)
	}
	return e.edits(n, func(i int, w string) (string, error) {
		if i == op.Point-1 {
			return to[0], nil
		}
		return w, nil
	})
}

// RemoveLine takes a line out of a drawn block; lines are counted from 1.
type RemoveLine struct {
	Block string `json:"block"`
	Line  int    `json:"line"`
}

// Name implements Op.
func (*RemoveLine) Name() string { return "remove line" }

func (op *RemoveLine) apply(e *editor) error { return e.dropRun(op.Block, "lines", op.Line) }

// LeaveFirst takes out a line along which the block was to be taken apart first; counted from 1.
type LeaveFirst struct {
	Block string `json:"block"`
	Line  int    `json:"line"`
}

// Name implements Op.
func (*LeaveFirst) Name() string { return "take apart as computed" }

func (op *LeaveFirst) apply(e *editor) error { return e.dropRun(op.Block, "first", op.Line) }

func (e *editor) dropRun(block, key string, line int) error {
	n, err := e.runAt(block, key, line)
	if err != nil {
		return err
	}
	b, at, err := e.drawn(block)
	if err != nil {
		return err
	}
	if b.at(key) == n {
		return e.drop(append(at, key))
	}
	return e.drop(append(at, key, fmt.Sprint(line)))
}

// Fill gives the patches that hold the points a fabric. Points that say otherwise go: those that are the same, and those of clear, which
// are to be all the points of other fabrics in the same patches.
type Fill struct {
	Block  string `json:"block"`
	Fabric string `json:"fabric"`
	Points Words  `json:"points"`
	Clear  Words  `json:"clear,omitempty"`
}

// Name implements Op.
func (*Fill) Name() string { return "fill" }

func (op *Fill) apply(e *editor) error {
	add, err := points(op.Points)
	if err != nil {
		return err
	}
	if len(add) == 0 {
		return refuse("for example  3,3", "no point is given")
	}
	clear, err := points(op.Clear)
	if err != nil {
		return err
	}
	b, err := e.block(op.Block)
	if err != nil {
		return err
	}
	if b.at("rows") != nil {
		return refuse("change its cells", "block “%s” is laid out of cells, not drawn", shorten(op.Block))
	}
	gone := slices.Concat(add, clear)
	if own := b.at("fill", op.Fabric); own != nil {
		// A point that has the fabric already stays where it stands.
		for _, w := range pointsOf(own) {
			if i := slices.IndexFunc(add, func(p string) bool { return samePoint(p, w) }); i >= 0 {
				add = slices.Delete(add, i, i+1)
			}
		}
	}
	if err := e.unfill(op.Block, gone, op.Fabric); err != nil {
		return err
	}
	if err := e.flush(); err != nil {
		return err
	}
	if len(add) == 0 {
		return nil
	}
	if b, err = e.block(op.Block); err != nil {
		return err
	}
	own := b.at("fill", op.Fabric)
	more := strings.Join(add, " ")
	switch {
	case own == nil || own.kind == nothing:
		return e.putAt(Path{"blocks", op.Block, "fill", op.Fabric}, text(more))
	case own.kind == sequence:
		for _, p := range add {
			e.insertItem(own, len(own.items), text(p))
		}
	case own.style == '|' || own.style == '>':
		e.splice(own.end, own.end, e.writer.newline+indented(e.indentOf(own)+e.writer.step)+more)
		own.text = strings.TrimRight(own.text, "\n") + map[byte]string{'|': "\n", '>': " "}[own.style] + more
	case own.style != 0:
		e.splice(own.end-1, own.end-1, " "+more)
		own.text += " " + more
	case own.inFlow:
		return e.putAt(Path{"blocks", op.Block, "fill", op.Fabric}, text(own.text+" "+more))
	default:
		e.splice(own.end, own.end, " "+more)
		own.text += " " + more
	}
	return nil
}

// indentOf is how far the line is indented on which the node stands.
func (e *editor) indentOf(n *node) int {
	from := lineStart(e.src, n.start)
	return len(e.src[from:n.start]) - len(strings.TrimLeft(string(e.src[from:n.start]), " "))
}

// pointsOf are the words of a fill's value.
func pointsOf(n *node) []string {
	if n.kind == scalar {
		return strings.Fields(n.text)
	}
	var out []string
	for _, it := range n.items {
		out = append(out, pointsOf(it.value)...)
	}
	return out
}

// Unfill takes fill points out of a drawn block.
type Unfill struct {
	Block  string `json:"block"`
	Points Words  `json:"points"`
}

// Name implements Op.
func (*Unfill) Name() string { return "unfill" }

func (op *Unfill) apply(e *editor) error {
	gone, err := points(op.Points)
	if err != nil {
		return err
	}
	b, err := e.block(op.Block)
	if err != nil {
		return err
	}
	for _, p := range gone {
		found := false
		if fill := b.at("fill"); fill != nil {
			for _, en := range fill.entries {
				found = found || slices.ContainsFunc(pointsOf(en.value), func(w string) bool { return samePoint(w, p) })
			}
		}
		if !found {
			return refuse("name a point as fill lists it", "block “%s” has no fill point %s", shorten(op.Block), p)
		}
	}
	return e.unfill(op.Block, gone, "")
}

// unfill takes the points out of every fabric but one. A fabric that has no point left goes, and so does fill itself.
func (e *editor) unfill(block string, gone []string, except string) error {
	b, err := e.block(block)
	if err != nil {
		return err
	}
	fill := b.at("fill")
	if fill == nil || fill.kind != mapping {
		return nil
	}
	isGone := func(w string) bool { return slices.ContainsFunc(gone, func(p string) bool { return samePoint(p, w) }) }
	var empty []string
	for _, en := range fill.entries {
		if en.key.text == except {
			continue
		}
		all := pointsOf(en.value)
		if len(all) > 0 && !slices.ContainsFunc(all, func(w string) bool { return !isGone(w) }) {
			empty = append(empty, en.key.text)
			continue
		}
		var scalars []*node
		if en.value.kind == scalar {
			scalars = []*node{en.value}
		}
		for i := len(en.value.items) - 1; i >= 0; i-- {
			it := en.value.items[i]
			if of := pointsOf(it.value); len(of) > 0 && !slices.ContainsFunc(of, func(w string) bool { return !isGone(w) }) {
				e.removeItem(en.value, i)
			} else if it.value.kind == scalar {
				scalars = append(scalars, it.value)
			}
		}
		for _, n := range scalars {
			if err := e.edits(n, func(_ int, w string) (string, error) {
				if isGone(w) {
					return "", nil
				}
				return w, nil
			}); err != nil {
				return err
			}
		}
	}
	for _, letters := range empty {
		if err := e.flush(); err != nil {
			return err
		}
		if err := e.drop(Path{"blocks", block, "fill", letters}); err != nil {
			return err
		}
	}
	return nil
}

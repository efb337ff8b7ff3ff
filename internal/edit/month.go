package edit

import (
	"fmt"
	"slices"
	"strconv"
)

func init() {
	register[AddMonth]()
	register[RemoveMonth]()
	register[MoveMonth]()
	register[MoveToMonth]()
}

// months are the months of the programme, nil without any.
func (e *editor) months() *node {
	m := e.root.at("months")
	if m == nil || m.kind != sequence {
		return nil
	}
	return m
}

// month is the month with that number, counted from 1.
func (e *editor) month(number int) (*node, error) {
	m := e.months()
	count := 0
	if m != nil {
		count = len(m.items)
	}
	if number < 1 || number > count {
		return nil, refuse(fmt.Sprintf("there are %d, counted from 1", count), "there is no month %d", number)
	}
	if m.items[number-1].value.kind != mapping {
		return nil, refuse("write a month as title, opens and blocks", "month %d has no keys", number)
	}
	return m.items[number-1].value, nil
}

// eachMonthBlock calls do for every block that a month lists: with the mapping and the number of the entry whose key is the name, or with
// the node that is the name.
func (e *editor) eachMonthBlock(do func(m *node, i int, name *node, key bool)) {
	months := e.months()
	if months == nil {
		return
	}
	for _, it := range months.items {
		blocks := it.value.at("blocks")
		if blocks == nil {
			continue
		}
		for i, en := range blocks.entries {
			do(blocks, i, en.key, true)
		}
		for _, b := range blocks.items {
			if b.value.kind == scalar {
				do(nil, 0, b.value, false)
			} else if name := b.value.at("block"); name != nil && name.kind == scalar {
				do(nil, 0, name, false)
			}
		}
	}
}

// blockOf is the name of a block in a month's list.
func blockOf(n *node) string {
	if n.kind == scalar {
		return n.text
	}
	if name := n.at("block"); name != nil {
		return name.text
	}
	return ""
}

// dropMonthBlock takes the block out of all months.
func (e *editor) dropMonthBlock(block string) error {
	months := e.months()
	if months == nil {
		return nil
	}
	for i := range months.items {
		for {
			blocks := e.months().items[i].value.at("blocks")
			if blocks == nil {
				break
			}
			part := ""
			if _, at := blocks.get(block); at >= 0 {
				part = block
			} else if at := slices.IndexFunc(blocks.items, func(it *item) bool { return blockOf(it.value) == block }); at >= 0 {
				part = strconv.Itoa(at + 1)
			}
			if part == "" {
				break
			}
			if err := e.drop(Path{"months", strconv.Itoa(i + 1), "blocks", part}); err != nil {
				return err
			}
			if err := e.flush(); err != nil {
				return err
			}
		}
	}
	return nil
}

// handMonths lets the months make to wherever they made from.
func (e *editor) handMonths(from, to string) error {
	months := e.months()
	if months == nil {
		return nil
	}
	for _, it := range months.items {
		blocks := it.value.at("blocks")
		if blocks == nil {
			continue
		}
		if en, at := blocks.get(from); en != nil {
			if other, _ := blocks.get(to); other != nil {
				a, errA := strconv.Atoi(en.value.text)
				b, errB := strconv.Atoi(other.value.text)
				if errA != nil || errB != nil {
					return refuse("write whole numbers", "the months do not say how many they make")
				}
				e.set(blocks, other, text(strconv.Itoa(a+b)))
				e.remove(blocks, at)
			} else {
				e.rename(blocks, en, to)
			}
		}
		for _, b := range blocks.items {
			switch {
			case blockOf(b.value) != from:
			case b.value.kind == scalar:
				e.merge(b.value, text(to))
			default:
				name, _ := b.value.get("block")
				e.set(b.value, name, text(to))
				if _, at := b.value.get("recolor"); at >= 0 {
					e.remove(b.value, at)
				}
			}
		}
	}
	return nil
}

// AddMonth adds a month before the one with the number before, or as the last where before is 0.
type AddMonth struct {
	Title  string `json:"title"`
	Opens  string `json:"opens,omitempty"`
	Before int    `json:"before,omitempty"`
}

// Name implements Op.
func (*AddMonth) Name() string { return "add month" }

func (op *AddMonth) apply(e *editor) error {
	m := dict(true).with("title", text(op.Title))
	if op.Opens != "" {
		m.with("opens", text(op.Opens))
	}
	months := e.months()
	if months == nil || len(months.items) == 0 {
		return e.putAt(Path{"months"}, list(false, m))
	}
	at := len(months.items)
	if op.Before != 0 {
		if _, err := e.month(op.Before); err != nil {
			return err
		}
		at = op.Before - 1
	}
	e.insertItem(months, at, m)
	return nil
}

// RemoveMonth takes a month out; what it made is made by none.
type RemoveMonth struct {
	Month int `json:"month"`
}

// Name implements Op.
func (*RemoveMonth) Name() string { return "remove month" }

func (op *RemoveMonth) apply(e *editor) error {
	if _, err := e.month(op.Month); err != nil {
		return err
	}
	return e.drop(Path{"months", strconv.Itoa(op.Month)})
}

// MoveMonth puts a month before another one, or at the end where before is 0. Where every month has a date, the dates stay in their
// places, so that they remain in order.
type MoveMonth struct {
	Month  int `json:"month"`
	Before int `json:"before,omitempty"`
}

// Name implements Op.
func (*MoveMonth) Name() string { return "move month" }

func (op *MoveMonth) apply(e *editor) error {
	if _, err := e.month(op.Month); err != nil {
		return err
	}
	months := e.months()
	to := len(months.items)
	if op.Before != 0 {
		if _, err := e.month(op.Before); err != nil {
			return err
		}
		to = op.Before - 1
	}
	var dates []string
	for _, it := range months.items {
		if opens := it.value.at("opens"); opens != nil && opens.kind == scalar {
			dates = append(dates, opens.text)
		}
	}
	if err := e.moveItem(months, op.Month-1, to); err != nil || len(dates) < len(months.items) {
		return err
	}
	if err := e.flush(); err != nil {
		return err
	}
	for i, date := range dates {
		if err := e.putAt(Path{"months", strconv.Itoa(i + 1), "opens"}, text(date)); err != nil {
			return err
		}
	}
	return nil
}

// MoveToMonth lets a month make so many of a block, as it is coloured and mirrored, that another month made. From 0 the block is added,
// to 0 it is taken out; count 0 is all that the month from makes, or one.
type MoveToMonth struct {
	Block   string            `json:"block"`
	Recolor map[string]string `json:"recolor,omitempty"`
	Mirror  bool              `json:"mirror,omitempty"`
	From    int               `json:"from,omitempty"`
	To      int               `json:"to,omitempty"`
	Count   int               `json:"count,omitempty"`
}

// Name implements Op.
func (*MoveToMonth) Name() string { return "move to month" }

func (op *MoveToMonth) apply(e *editor) error {
	if _, err := e.block(op.Block); err != nil {
		return err
	}
	if op.From == op.To {
		if op.From == 0 {
			return refuse("give the number of a month in from or to, counted from 1", "no month is given")
		}
		return nil
	}
	for _, number := range []int{op.From, op.To} {
		if number != 0 {
			if _, err := e.month(number); err != nil {
				return err
			}
		}
	}
	count := op.Count
	if count < 0 || count > 100_000 {
		return refuse("it is from 1 to 100000, or 0 for all", "the count is %d", count)
	}
	if op.From != 0 {
		var err error
		if count, err = op.takeFrom(e, count); err != nil {
			return err
		}
		if err := e.flush(); err != nil {
			return err
		}
	}
	if op.To == 0 {
		return nil
	}
	return op.addTo(e, max(1, count))
}

// plain reports whether the block is made as it is drawn.
func (op *MoveToMonth) plain() bool { return len(op.Recolor) == 0 && !op.Mirror }

// is reports whether an item of a month's list is this block, coloured and mirrored so.
func (op *MoveToMonth) is(n *node) bool {
	if blockOf(n) != op.Block {
		return false
	}
	mirror := n.at("mirror")
	recolor := map[string]string{}
	if r := n.at("recolor"); r != nil {
		for _, en := range r.entries {
			if en.key.text != en.value.text {
				recolor[en.key.text] = en.value.text
			}
		}
	}
	if (mirror != nil && mirror.text == "true") != op.Mirror || len(recolor) != len(op.Recolor) {
		return false
	}
	for from, to := range op.Recolor {
		if recolor[from] != to {
			return false
		}
	}
	return true
}

// find is the place of the block in a month, and how many it makes; "" where it makes none.
func (op *MoveToMonth) find(e *editor, number int) (part string, made int) {
	month, err := e.month(number)
	if err != nil {
		return "", 0
	}
	blocks := month.at("blocks")
	if en, _ := blocks.get(op.Block); en != nil && op.plain() {
		made, _ = strconv.Atoi(en.value.text)
		return op.Block, max(1, made)
	}
	if blocks != nil {
		for i, it := range blocks.items {
			if op.is(it.value) {
				made = 1
				if c := it.value.at("count"); c != nil {
					made, _ = strconv.Atoi(c.text)
				}
				return strconv.Itoa(i + 1), max(1, made)
			}
		}
	}
	return "", 0
}

func (op *MoveToMonth) takeFrom(e *editor, count int) (int, error) {
	part, made := op.find(e, op.From)
	if part == "" {
		return 0, refuse("", "month %d does not make “%s” so", op.From, shorten(op.Block))
	}
	if count == 0 {
		count = made
	}
	if count > made {
		return 0, refuse("take fewer", "month %d makes %d of “%s”, not %d", op.From, made, shorten(op.Block), count)
	}
	at := Path{"months", strconv.Itoa(op.From), "blocks", part}
	if count == made {
		return count, e.drop(at)
	}
	return count, op.setCount(e, at, made-count)
}

// setCount says how many the entry or item at the place makes.
func (op *MoveToMonth) setCount(e *editor, at Path, count int) error {
	if at[len(at)-1] != op.Block {
		month, _ := e.month(number1(at[1]))
		blocks := month.at("blocks")
		if blocks.kind == sequence {
			if i := number1(at[3]); blocks.items[i-1].value.kind == scalar {
				return e.putAt(at, dict(true).with("block", text(op.Block)).with("count", text(strconv.Itoa(count))))
			}
			at = append(at, "count")
		}
	}
	return e.putAt(at, text(strconv.Itoa(count)))
}

func number1(s string) int {
	i, _ := strconv.Atoi(s)
	return i
}

func (op *MoveToMonth) addTo(e *editor, count int) error {
	at := Path{"months", strconv.Itoa(op.To), "blocks"}
	if part, made := op.find(e, op.To); part != "" {
		return op.setCount(e, append(at, part), made+count)
	}
	month, err := e.month(op.To)
	if err != nil {
		return err
	}
	fresh := dict(true).with("block", text(op.Block))
	if len(op.Recolor) > 0 {
		r := dict(true)
		for _, from := range sortedKeys(op.Recolor) {
			r.with(from, text(op.Recolor[from]))
		}
		fresh.with("recolor", r)
	}
	if op.Mirror {
		fresh.with("mirror", text("true"))
	}
	if count != 1 {
		fresh.with("count", text(strconv.Itoa(count)))
	}
	if len(fresh.entries) == 1 {
		fresh = text(op.Block)
	}
	blocks := month.at("blocks")
	switch {
	case blocks == nil || blocks.kind == nothing || len(blocks.entries)+len(blocks.items) == 0:
		if op.plain() {
			return e.putIn(month, "blocks", dict(true).with(op.Block, text(strconv.Itoa(count))))
		}
		return e.putIn(month, "blocks", list(true, fresh))
	case blocks.kind == sequence:
		e.insertItem(blocks, len(blocks.items), fresh)
		return nil
	case op.plain():
		e.insert(blocks, len(blocks.entries), op.Block, text(strconv.Itoa(count)))
		return nil
	}
	// The short form has no place for colours: it becomes a list.
	all := list(true)
	for _, en := range blocks.entries {
		b := text(en.key.text)
		if en.value.text != "1" {
			b = dict(true).with("block", text(en.key.text)).with("count", text(en.value.text))
		}
		all.items = append(all.items, &item{value: b, dash: -1})
	}
	all.items = append(all.items, &item{value: fresh, dash: -1})
	return e.putIn(month, "blocks", all)
}

// putIn gives a key of a month a value.
func (e *editor) putIn(month *node, key string, v *node) error {
	if en, _ := month.get(key); en != nil {
		e.set(month, en, v)
		return nil
	}
	e.insert(month, place(month, key, orders["months/*"]), key, v)
	return nil
}

package quilt

import (
	"fmt"
	"strconv"
	"strings"

	"quiltwright/internal/diag"
	"quiltwright/internal/plane"
)

// set reads how the blocks make the top; nil without it.
func (r *reader) set(n *node) *Set {
	if n == nil {
		return nil
	}
	f := r.fields(n, "set", "style", "rows", "repeat", "sashing", "triangles", "borders", "press")
	if n.kind != mapping {
		return nil
	}
	s := &Set{At: n.at, Across: 1, Down: 1, Style: f.choice("style", "straight", "on point")}
	if s.Style == "" {
		s.Style = "straight"
	}
	rows := f.required("rows", "rows: [[Paper Lantern, Paper Lantern]]")
	s.Rows, s.RowPlaces = r.rows(rows, "rows", nil)
	r.repeat(s, f)
	s.Sashing = r.sashing(f.get("sashing"))
	s.Triangles = r.triangles(f, s.Style == "on point")
	s.Borders = r.borders(f.get("borders"))
	s.Press = r.arrows(f.get("press"), func(plane.Point, diag.Pos) bool { return true }) // how large the top is, is not known yet
	r.rowLengths(s)
	return s
}

// rowLengths checks how many cells the rows have on point: by turns one fewer. A row in the gaps that is laid again beside itself may say
// what stands in the gap between, and a set that is laid again below itself may end with the row that stands there. Straight rows
// may have any number that adds up.
func (r *reader) rowLengths(s *Set) {
	if len(s.Rows) == 0 || s.Style != "on point" {
		return
	}
	n := len(s.Rows[0])
	for i, row := range s.Rows {
		short := n - i%2
		if len(row) != short && !(len(row) == n && s.Across > 1) {
			f := r.errorf(s.RowPlaces[i], "bad-value", "row %d has %s, not %d", i+1, count(len(row), "cell"), short)
			f.Remedy = "on point, rows have by turns n blocks and the n - 1 that sit in the gaps, and the last has n again"
			if s.Across > 1 && i%2 == 1 {
				f.Says += fmt.Sprintf(" or %d", n)
				f.Remedy = "on point, rows have by turns n blocks and the n - 1 that sit in the gaps; with the one in the gap before the next repeat, n"
			}
			return
		}
	}
	last := len(s.Rows) - 1
	switch {
	case s.Down == 1 && last%2 == 1:
		r.errorf(s.RowPlaces[last], "bad-value", "on point the number of rows is odd, not %d", len(s.Rows)).Remedy =
			"end with a row of " + count(n, "block") + " like the first"
	case s.Down > 1 && last == 0 && n*s.Across > 1:
		r.errorf(s.RowPlaces[0], "bad-value", "what stands in the gaps below the row is not written").Remedy =
			"write the row in the gaps as well: on point, repeat lays both again"
	}
}

// repeat reads "2 x 3": across and down.
func (r *reader) repeat(s *Set, f fields) {
	text, ok := r.scalar(f.get("repeat"), "repeat")
	if !ok {
		return
	}
	at := f.by["repeat"].at
	across, down, ok := strings.Cut(strings.ReplaceAll(text, "×", "x"), "x")
	a, errA := strconv.Atoi(strings.TrimSpace(across))
	d, errD := strconv.Atoi(strings.TrimSpace(down))
	switch {
	case !ok || errA != nil || errD != nil:
		r.errorf(at, "bad-value", "repeat is how often across and down, not “%s”", shorten(text)).Remedy = "for example  repeat: 2 x 3"
	case a < 1 || d < 1 || a > maxRepeat || d > maxRepeat:
		r.errorf(at, "limit", "repeat is %d x %d; each must be from 1 to %d", a, d, maxRepeat)
	default:
		s.Across, s.Down = a, d
	}
}

func (r *reader) sashing(n *node) *Sashing {
	if n == nil {
		return nil
	}
	const example = "sashing: {width: 2, fabric: B}"
	f := r.fields(n, "sashing", "width", "fabric", "posts", "outside")
	s := &Sashing{At: n.at, Outside: f.bool("outside")}
	var ok bool
	s.Width, ok = r.length(f.required("width", example), "width", false)
	s.Fabric = r.letters(f.required("fabric", example), "fabric")
	s.Posts = r.letters(f.get("posts"), "posts")
	if !ok || s.Fabric == "" {
		return nil
	}
	return s
}

// triangles reads what squares up a top on point; a straight top has none.
func (r *reader) triangles(f fields, onPoint bool) *Triangles {
	n := f.get("triangles")
	if !onPoint {
		if n != nil {
			r.errorf(f.place("triangles"), "bad-value", "triangles belong to a top on point; this one is straight").Remedy = "add style: on point, or take triangles out"
		}
		return nil
	}
	if n == nil {
		if !f.has("triangles") {
			r.errorf(f.at, "missing", "a top on point needs triangles").Remedy = "for example  triangles: A"
		}
		return nil
	}
	t := &Triangles{At: n.at}
	if n.kind == mapping {
		g := r.fields(n, "triangles", "fabric", "float", "block")
		if g.has("block") {
			r.errorf(g.place("block"), "not-built", "setting triangles of a block are not built yet").Remedy = "for example  triangles: A"
			return nil
		}
		t.Fabric = r.letters(g.required("fabric", "triangles: {fabric: A, float: 1/2}"), "fabric")
		t.Float, _ = r.length(g.get("float"), "float", true)
	} else {
		t.Fabric = r.letters(n, "triangles")
	}
	if t.Fabric == "" {
		return nil
	}
	return t
}

// borders reads the borders, from the inside out.
func (r *reader) borders(n *node) []Border {
	const example = "borders: [{width: 2, fabric: B}]"
	var out []Border
	items := r.list(n, "borders", example)
	if len(items) > maxBorders {
		r.errorf(items[maxBorders].at, "limit", "more than %d borders", maxBorders)
		items = items[:maxBorders]
	}
	for _, item := range items {
		f := r.fields(item, "a border", "width", "fabric", "block", "corners")
		if item.kind != mapping {
			continue
		}
		b := Border{At: item.at, Corners: "butted"}
		var ok bool
		b.Width, ok = r.length(f.required("width", "{width: 2, fabric: B}"), "width", false)
		if f.has("block") {
			r.errorf(f.place("block"), "not-built", "pieced borders are not built yet").Remedy = "for example  {width: 2, fabric: B}"
			ok = false
		} else {
			b.Fabric = r.letters(f.required("fabric", "{width: 2, fabric: B}"), "fabric")
		}
		if n := f.get("corners"); n != nil {
			ok = r.corners(&b, n) && ok
		}
		if ok && b.Fabric != "" {
			out = append(out, b)
		}
	}
	return out
}

// corners reads butted, mitred, or the fabric of corner squares.
func (r *reader) corners(b *Border, n *node) bool {
	if n.kind != mapping {
		s := r.choice(n, "corners", "butted", "mitred")
		if s != "" {
			b.Corners = s
		}
		return s != ""
	}
	f := r.fields(n, "corners", "fabric", "block")
	if f.has("block") {
		r.errorf(f.place("block"), "not-built", "corners of a block are not built yet").Remedy = "use corner squares {fabric: C}"
		return false
	}
	b.Corners = "square"
	b.Corner = Cell{At: n.at, Fabric: r.letters(f.required("fabric", "corners: {fabric: C}"), "fabric")}
	return b.Corner.Fabric != ""
}

// months reads the programme.
func (r *reader) months(n *node) []Month {
	var out []Month
	items := r.list(n, "months", "months: [{title: First lamps, blocks: {Paper Lantern: 2}}]")
	if len(items) > maxMonths {
		r.errorf(items[maxMonths].at, "limit", "more than %d months", maxMonths)
		items = items[:maxMonths]
	}
	for _, item := range items {
		f := r.fields(item, "a month", "title", "opens", "note", "blocks", "set", "finish")
		if item.kind != mapping {
			continue
		}
		f.required("title", "title: First lamps")
		m := Month{At: item.at, Title: f.monthTitle(), Opens: r.date(f.get("opens"), "opens"), Note: f.note(), Set: f.bool("set"), Finish: f.bool("finish")}
		m.Blocks = r.monthBlocks(f.get("blocks"))
		if len(m.Blocks) == 0 && !m.Set && !m.Finish && !f.has("blocks") {
			r.errorf(item.at, "missing", "this month makes nothing").Remedy = "give it blocks, set: true or finish: true"
		}
		if len(out) > 0 && m.Opens != "" && m.Opens < out[len(out)-1].Opens {
			r.errorf(f.by["opens"].at, "bad-value", "this month opens on %s, before the month above it, on %s", m.Opens, out[len(out)-1].Opens).Remedy =
				"put the months in the order in which they open"
		}
		out = append(out, m)
	}
	return out
}

// monthTitle is the title, without the complaint about an empty one that required has made.
func (f fields) monthTitle() string {
	n := f.by["title"]
	if n == nil || n.kind == nothing {
		return ""
	}
	s, _ := f.r.text(n, "title", maxName)
	return strings.Join(strings.Fields(s), " ")
}

// monthBlocks reads {Paper Lantern: 2}, or a list of {block: Paper Lantern, recolor: {B: C}, count: 2}.
func (r *reader) monthBlocks(n *node) []MonthBlock {
	if n == nil {
		return nil
	}
	var out []MonthBlock
	const most = maxCells
	if n.kind == mapping {
		for _, e := range n.entries {
			key := *e.key
			m := MonthBlock{At: key.at, Block: r.blockName(&key), Count: 1}
			if e.value.kind == nothing {
				r.errorf(key.at, "missing", "“%s” has no number", shorten(key.text)).Remedy = "write how many this month makes: {" + shorten(key.text) + ": 2}"
				continue
			}
			c, ok := r.whole(e.value, "the number of blocks", 1, most)
			if m.Count = c; ok && m.Block != "" {
				out = append(out, m)
			}
		}
		return out
	}
	for _, item := range r.list(n, "blocks", "blocks: {Paper Lantern: 2}") {
		if item.kind == scalar {
			if name := r.blockName(item); name != "" {
				out = append(out, MonthBlock{At: item.at, Block: name, Count: 1})
			}
			continue
		}
		f := r.fields(item, "a block of a month", "block", "recolor", "mirror", "count")
		m := MonthBlock{At: item.at, Count: 1, Mirror: f.bool("mirror")}
		m.Block = r.blockName(f.required("block", "{block: Paper Lantern, count: 2}"))
		m.Recolor = r.recolor(f.get("recolor"), m.Block)
		if n := f.get("count"); n != nil {
			c, ok := r.whole(n, "count", 1, most)
			if m.Count = c; !ok {
				continue
			}
		}
		if m.Block != "" {
			out = append(out, m)
		}
	}
	return out
}

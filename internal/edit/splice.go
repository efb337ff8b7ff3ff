package edit

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strings"

	"quiltwright/internal/quilt"
)

// editor holds the text, what it says, and the splices that change it. Every change is made twice: as a splice of the text and to
// the nodes, so that flush can compare what the new text says with what it should say.
type editor struct {
	src     []byte
	yaml    *quilt.YAML // of src; nil where nothing was changed yet
	root    *node
	splices []splice
	writer  writer
}

// splice puts text in the place of the bytes from start to end.
type splice struct {
	start, end int
	text       string
}

// newEditor edits the text; root is what it says.
func newEditor(src []byte, root *node) *editor {
	e := &editor{src: src, root: root}
	e.follow()
	return e
}

// follow makes the writer write as the text is written.
func (e *editor) follow() {
	e.writer = writer{newline: "\n", step: 2}
	if i := bytes.IndexByte(e.src, '\n'); i > 0 && e.src[i-1] == '\r' {
		e.writer.newline = "\r\n"
	}
	for _, k := range e.root.entries {
		if v := k.value; v.kind == mapping && !v.flow && v.indent > e.root.indent {
			e.writer.step = min(v.indent-e.root.indent, 8)
			break
		}
	}
}

func (e *editor) splice(start, end int, text string) {
	e.splices = append(e.splices, splice{start, end, text})
}

// flush makes the changes so far and reads the text again. It is an error where the text does not say then what it should.
func (e *editor) flush() error {
	if len(e.splices) == 0 {
		return nil
	}
	slices.SortStableFunc(e.splices, func(a, b splice) int { return cmp.Or(a.start-b.start, a.end-b.end) })
	for i := range e.splices {
		if i > 0 && e.splices[i].start < e.splices[i-1].end {
			return fmt.Errorf("two changes meet in one place of the text; make them one after the other")
		}
	}
	out := spliced(e.src, e.splices)
	yaml := quilt.Parse(out)
	root, err := nodes(out, yaml)
	if err == errYAML {
		if _, found := yaml.Read(); tooMuch(found) != nil {
			return tooMuch(found)
		}
	}
	if err != nil {
		return fmt.Errorf("this place of the text cannot be changed in place (%v); write it in the common way first", err)
	}
	if !root.same(e.root) {
		return fmt.Errorf("this place of the text cannot be changed in place; write it on lines of its own first")
	}
	e.src, e.yaml, e.root, e.splices = out, yaml, root, nil
	e.follow()
	return nil
}

// spliced is the text after the splices, which are in order and do not meet.
func spliced(src []byte, splices []splice) []byte {
	var out []byte
	at := 0
	for _, s := range splices {
		out = append(append(out, src[at:s.start]...), s.text...)
		at = s.end
	}
	return append(out, src[at:]...)
}

// set gives the entry a new value, changing as little of the text as it can.
func (e *editor) set(m *node, en *entry, v *node) {
	old := en.value
	if e.merge(old, v) {
		return
	}
	flow := m.flow || m.inFlow
	fresh := e.writer.after(v, flow, m.indent)
	switch {
	case old.kind == nothing && en.colon < 0:
		e.splice(en.key.end, en.key.end, ":"+fresh)
	case old.kind == nothing:
		e.splice(en.colon+1, en.colon+1, fresh)
	case strings.HasPrefix(fresh, " ") && (old.kind == scalar || old.flow):
		e.splice(old.start, old.end, fresh[1:])
	default:
		e.splice(en.colon+1, old.end, fresh)
	}
	en.value = inPlace(v, old)
}

// inPlace gives a value that is to be written the place of the one that it replaces, so that what is beside it can still be changed.
func inPlace(v, old *node) *node {
	v.start, v.end = old.start, old.end
	return v
}

// setItem gives the item of a list a new value.
func (e *editor) setItem(l *node, it *item, v *node) {
	old := it.value
	if e.merge(old, v) {
		return
	}
	fresh := inline(v)
	if !l.flow && !l.inFlow {
		fresh = e.writer.item(v, l.indent)
	}
	if old.kind == nothing {
		fresh = " " + fresh
	}
	e.splice(old.start, old.end, fresh)
	it.value = inPlace(v, old)
}

// merge changes old to say what v says by changing its parts, where that can be done; false where it must be replaced whole.
func (e *editor) merge(old, v *node) bool {
	switch {
	case old.kind != v.kind || old.kind == nothing:
		return false
	case old.kind == scalar:
		if old.text == v.text {
			return true
		}
		if old.style == '|' || old.style == '>' || !old.inFlow && onLines(v.text) {
			return false
		}
		e.splice(old.start, old.end, quoted(v.text, old.inFlow, old.style))
		old.text = v.text
		return true
	case old.kind == sequence:
		if len(old.items) != len(v.items) {
			return false
		}
		for i, it := range old.items {
			e.setItem(old, it, v.items[i].value)
		}
		return true
	case len(old.entries) != len(v.entries):
		return false
	}
	for i, en := range old.entries {
		if en.key.text != v.entries[i].key.text {
			return false
		}
	}
	for i, en := range old.entries {
		e.set(old, en, v.entries[i].value)
	}
	return true
}

// rename gives the entry another key.
func (e *editor) rename(m *node, en *entry, key string) {
	e.splice(en.key.start, en.key.end, quoted(key, m.flow || m.inFlow, en.key.style))
	en.key = &node{kind: scalar, text: key, start: en.key.start, end: en.key.end, style: en.key.style}
}

// beside is where the part before the number from ends, and where the part with the number to, or one after it, starts; -1 where there is
// none. Parts that are still to be written have no place and are passed over.
func (n *node) beside(from, to int) (before, after int) {
	before, after = -1, -1
	for i := from - 1; i >= 0 && before < 0; i-- {
		if n.kind == mapping && n.entries[i].end() > 0 {
			before = n.entries[i].end()
		} else if n.kind == sequence && n.items[i].end() > 0 {
			before = n.items[i].end()
		}
	}
	for i := to; i < len(n.entries)+len(n.items) && after < 0; i++ {
		if n.kind == mapping && n.entries[i].end() > 0 {
			after = n.entries[i].key.start
		} else if n.kind == sequence && n.items[i].end() > 0 {
			after = n.items[i].start()
		}
	}
	return before, after
}

// indented is that many spaces.
func indented(n int) string { return strings.Repeat(" ", n) }

// insert adds an entry before the one with the number at, or at the end. Entries of their own paragraphs stay so.
func (e *editor) insert(m *node, at int, key string, v *node) {
	fresh := &entry{key: text(key), value: v, colon: -1}
	flow := m.flow || m.inFlow
	written := quoted(key, flow, 0) + ":" + e.writer.after(v, flow, m.indent)
	before, after := m.beside(at, at)
	e.put(m, before, after, written, !v.flow && v.kind != scalar && e.paragraphs(m))
	m.entries = slices.Insert(m.entries, at, fresh)
}

// insertItem adds an item to a list before the one with the number at, or at the end.
func (e *editor) insertItem(l *node, at int, v *node) {
	written := inline(v)
	if !l.flow && !l.inFlow {
		written = "- " + e.writer.item(v, l.indent)
	}
	before, after := l.beside(at, at)
	e.put(l, before, after, written, false)
	l.items = slices.Insert(l.items, at, &item{value: v, dash: -1})
}

// put splices a new part into a collection: after the part that ends at before, or else before the one that starts at after.
func (e *editor) put(in *node, before, after int, written string, apart bool) {
	nl := e.writer.newline
	switch {
	case in.flow || in.inFlow:
		switch {
		case before >= 0:
			e.splice(before, before, ", "+written)
		case after >= 0:
			e.splice(after, after, written+", ")
		default:
			e.splice(in.start+1, in.start+1, written)
		}
	case before >= 0:
		gap := nl
		if apart {
			gap += nl
		}
		at := trimReturn(e.src, lineEnd(e.src, before))
		e.splice(at, at, gap+indented(in.indent)+written)
	default:
		gap := nl
		if apart {
			gap += nl
		}
		e.splice(after, after, written+gap+indented(in.indent))
	}
}

// paragraphs reports whether blank lines stand between the entries of the mapping.
func (e *editor) paragraphs(m *node) bool {
	if m.flow || m.inFlow {
		return false
	}
	for i := 1; i < len(m.entries); i++ {
		a, b := m.entries[i-1], m.entries[i]
		if a.value.end > a.key.end && b.key.start > a.end() && e.blankWithin(a.end(), b.key.start) {
			return true
		}
	}
	return false
}

// blankWithin reports whether a blank line stands between two places.
func (e *editor) blankWithin(from, to int) bool {
	lines := strings.Split(string(e.src[from:to]), "\n")
	for i, l := range lines {
		if i > 0 && i < len(lines)-1 && strings.TrimSpace(l) == "" {
			return true
		}
	}
	return false
}

// remove takes an entry out. It must not be the only one; see clear. Comments right above it go with it, except those above the first.
func (e *editor) remove(m *node, at int) {
	en := m.entries[at]
	prev, next := m.beside(at, at+1)
	e.cut(m, en.key.start, en.end(), prev, next)
	m.entries = slices.Delete(m.entries, at, at+1)
}

// removeItem takes an item out of a list. It must not be the only one of a list without brackets.
func (e *editor) removeItem(l *node, at int) {
	it := l.items[at]
	prev, next := l.beside(at, at+1)
	e.cut(l, it.start(), it.end(), prev, next)
	l.items = slices.Delete(l.items, at, at+1)
}

// cut splices a part out of a collection; prev is the end of the part before it and next the start of the one after it, or -1.
func (e *editor) cut(in *node, start, end, prev, next int) {
	if in.flow || in.inFlow {
		switch {
		case next >= 0 && bytes.IndexByte(e.src[end:next], '#') < 0:
			e.splice(start, next, "")
		case prev >= 0 && bytes.IndexByte(e.src[prev:start], '#') < 0:
			e.splice(prev, end, "")
		default:
			// A comment stands on both sides, or before what is the last; it stays, and so does a comma before the closing bracket.
			if i := bytes.IndexByte(e.src[end:], ','); i >= 0 && len(bytes.TrimSpace(e.src[end:end+i])) == 0 {
				end += i + 1
			}
			from, to := lineStart(e.src, start), min(lineEnd(e.src, end)+1, len(e.src))
			if alone := len(bytes.TrimSpace(e.src[from:start])) == 0 && len(bytes.TrimSpace(e.src[end:to])) == 0; alone && from > 0 {
				start, end = from, to
			}
			e.splice(start, end, "")
		}
		return
	}
	from, to := e.lines(in, start, end, prev >= 0)
	if from < 0 {
		// The part shares its line with a dash above it, as in  - title: x
		if next >= 0 && len(bytes.TrimSpace(e.src[end:next])) == 0 {
			to = next
		} else {
			to = end
		}
		e.splice(start, to, "")
		return
	}
	e.splice(from, to, "")
}

// lines widens a part of a mapping or list to whole lines: with the comments right above it (where above is true), those inside it that
// trail, and the blank lines that would be too many. from is -1 where the part does not begin its line.
func (e *editor) lines(in *node, start, end int, above bool) (from, to int) {
	from = lineStart(e.src, start)
	if len(bytes.TrimSpace(bytes.TrimPrefix(e.src[from:start], []byte("\ufeff")))) > 0 {
		return -1, end
	}
	if bytes.HasPrefix(e.src[from:], []byte("\ufeff")) {
		from += len("\ufeff")
	}
	to = min(lineEnd(e.src, end)+1, len(e.src))
	for above && from > 0 {
		p := lineStart(e.src, from-1)
		line := e.src[p : from-1]
		body := bytes.TrimLeft(line, " ")
		if len(body) == 0 || body[0] != '#' || len(line)-len(body) != in.indent {
			break
		}
		from = p
	}
	// Comments further in than the part's own keys belong to it.
	for at := to; at < len(e.src); {
		next := min(lineEnd(e.src, at)+1, len(e.src))
		line := e.src[at:next]
		body := bytes.TrimLeft(line, " ")
		if len(bytes.TrimSpace(line)) > 0 && (body[0] != '#' || len(line)-len(body) <= in.indent) {
			break
		}
		if len(bytes.TrimSpace(line)) > 0 {
			to = next
		}
		at = next
	}
	blanksAfter := to
	for blanksAfter < len(e.src) {
		next := min(lineEnd(e.src, blanksAfter)+1, len(e.src))
		if len(bytes.TrimSpace(e.src[blanksAfter:next])) > 0 {
			break
		}
		blanksAfter = next
	}
	blankBefore := from
	for blankBefore > 0 {
		p := lineStart(e.src, blankBefore-1)
		if len(bytes.TrimSpace(e.src[p:blankBefore])) > 0 {
			break
		}
		blankBefore = p
	}
	switch {
	case blanksAfter == len(e.src):
		from = blankBefore
		if to == len(e.src) && to > 0 && e.src[to-1] != '\n' && from > 0 {
			from = trimReturn(e.src, from-1) // no final line feed before, none after
		}
	case blankBefore < from || !above:
		to = blanksAfter
	}
	return from, to
}

package edit

import (
	"bytes"
	"slices"
	"strings"
)

// moveEntry puts the entry with the number from before the one with the number to, or at the end; its text and comments go with it.
func (e *editor) moveEntry(m *node, from, to int) error {
	if to == from || to == from+1 {
		return nil
	}
	spans := make([][2]int, len(m.entries))
	for i, en := range m.entries {
		spans[i] = [2]int{en.key.start, en.end()}
	}
	if err := e.moveSpan(m, spans, from, to, e.paragraphs(m)); err != nil {
		return err
	}
	moved := m.entries[from]
	m.entries = slices.Delete(m.entries, from, from+1)
	if to > from {
		to--
	}
	m.entries = slices.Insert(m.entries, to, moved)
	return nil
}

// moveItem is moveEntry for a list.
func (e *editor) moveItem(l *node, from, to int) error {
	if to == from || to == from+1 {
		return nil
	}
	spans := make([][2]int, len(l.items))
	for i, it := range l.items {
		spans[i] = [2]int{it.start(), it.end()}
	}
	if err := e.moveSpan(l, spans, from, to, false); err != nil {
		return err
	}
	moved := l.items[from]
	l.items = slices.Delete(l.items, from, from+1)
	if to > from {
		to--
	}
	l.items = slices.Insert(l.items, to, moved)
	return nil
}

func (e *editor) moveSpan(in *node, spans [][2]int, from, to int, apart bool) error {
	start, end := spans[from][0], spans[from][1]
	prev, next := -1, -1
	if from > 0 {
		prev = spans[from-1][1]
	}
	if from+1 < len(spans) {
		next = spans[from+1][0]
	}
	before, after := -1, -1
	if to > 0 {
		before = spans[to-1][1]
	} else {
		after = spans[0][0]
	}
	if in.flow || in.inFlow {
		e.put(in, before, after, string(e.src[start:end]), false)
		e.cut(in, start, end, prev, next)
		return nil
	}
	cutFrom, cutTo := e.lines(in, start, end, from > 0)
	if cutFrom < 0 {
		return refuse("write every one on lines of its own first", "the first of these stands on the line above and cannot be moved")
	}
	textFrom := cutFrom
	for textFrom < start && len(bytes.TrimSpace(e.src[textFrom:min(lineEnd(e.src, textFrom)+1, len(e.src))])) == 0 {
		textFrom = lineEnd(e.src, textFrom) + 1
	}
	moved := strings.TrimRight(string(e.src[textFrom:cutTo]), "\r\n ")
	nl := e.writer.newline
	gap := nl
	if apart {
		gap += nl
	}
	e.splice(cutFrom, cutTo, "")
	if before >= 0 {
		at := trimReturn(e.src, lineEnd(e.src, before))
		e.splice(at, at, gap+moved)
		return nil
	}
	if first := lineStart(e.src, after); len(bytes.TrimSpace(e.src[first:after])) == 0 {
		e.splice(first, first, moved+gap)
		return nil
	}
	e.splice(after, after, strings.TrimLeft(moved, " ")+gap+indented(in.indent))
	return nil
}

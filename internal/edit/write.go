package edit

import (
	"fmt"
	"strings"
	"unicode"
)

// text is a scalar to be written.
func text(s string) *node { return &node{kind: scalar, text: s} }

// list is a list to be written, in brackets where flow is true.
func list(flow bool, values ...*node) *node {
	n := &node{kind: sequence, flow: flow}
	for _, v := range values {
		n.items = append(n.items, &item{value: v, dash: -1})
	}
	return n
}

// texts is a list of scalars in brackets.
func texts(words ...string) *node {
	n := list(true)
	for _, w := range words {
		n.items = append(n.items, &item{value: text(w), dash: -1})
	}
	return n
}

// dict is a mapping to be written, in braces where flow is true.
func dict(flow bool) *node { return &node{kind: mapping, flow: flow} }

// with adds a key to a mapping that is to be written.
func (n *node) with(key string, value *node) *node {
	n.entries = append(n.entries, &entry{key: text(key), value: value, colon: -1})
	return n
}

// writer writes nodes in the manner of the text they go into.
type writer struct {
	newline string
	step    int // of indentation
}

// after writes the value as it stands after a colon, the space or new line before it included; indent is the key's.
func (w writer) after(n *node, inFlow bool, indent int) string {
	switch {
	case n.kind == scalar && !inFlow && onLines(n.text):
		return " " + w.lines(n.text, indent+w.step)
	case n.kind == scalar:
		return " " + quoted(n.text, inFlow, 0)
	case n.kind == nothing:
		return ""
	case inFlow || n.flow || len(n.entries)+len(n.items) == 0:
		return " " + inline(n)
	}
	var b strings.Builder
	pad := w.newline + strings.Repeat(" ", indent+w.step)
	for _, e := range n.entries {
		b.WriteString(pad + quoted(e.key.text, false, 0) + ":" + w.after(e.value, false, indent+w.step))
	}
	for _, i := range n.items {
		b.WriteString(pad + "- " + w.item(i.value, indent+w.step))
	}
	return b.String()
}

// item writes the value as it stands after a dash at the indentation.
func (w writer) item(n *node, indent int) string {
	switch {
	case n.kind == scalar && onLines(n.text):
		return w.lines(n.text, indent+2)
	case n.kind == scalar:
		return quoted(n.text, false, 0)
	case n.kind == sequence || n.flow || len(n.entries) == 0:
		return inline(n)
	}
	var b strings.Builder
	for i, e := range n.entries {
		if i > 0 {
			b.WriteString(w.newline + strings.Repeat(" ", indent+2))
		}
		b.WriteString(quoted(e.key.text, false, 0) + ":" + w.after(e.value, false, indent+2))
	}
	return b.String()
}

// inline writes the value on one line.
func inline(n *node) string {
	var parts []string
	switch n.kind {
	case scalar:
		return quoted(n.text, true, 0)
	case mapping:
		for _, e := range n.entries {
			parts = append(parts, quoted(e.key.text, true, 0)+": "+inline(e.value))
		}
		return "{" + strings.Join(parts, ", ") + "}"
	case sequence:
		for _, i := range n.items {
			parts = append(parts, inline(i.value))
		}
		return "[" + strings.Join(parts, ", ") + "]"
	}
	return "~"
}

// onLines reports whether the text is written after | on lines of its own: several lines, all of which come back as they are.
func onLines(s string) bool {
	s = strings.TrimRight(s, "\n")
	if !strings.Contains(s, "\n") {
		return false
	}
	for i, line := range strings.Split(s, "\n") {
		if i == 0 && (line == "" || line[0] == ' ') || strings.TrimRight(line, " ") != line ||
			strings.ContainsFunc(line, func(r rune) bool { return unicode.IsControl(r) || r == '\ufeff' || r == '\u2028' || r == '\u2029' }) {
			return false
		}
	}
	return true
}

// lines writes the text after |.
func (w writer) lines(s string, indent int) string {
	var b strings.Builder
	b.WriteString("|")
	for _, line := range strings.Split(strings.TrimRight(s, "\n"), "\n") {
		b.WriteString(w.newline)
		if line != "" {
			b.WriteString(strings.Repeat(" ", indent) + line)
		}
	}
	return b.String()
}

// quoted writes a scalar on one line: plain where it is read back as it is, else in quotes. style is the kind of quotes that stood
// there, which is kept; 0 for none.
func quoted(s string, inFlow bool, style byte) string {
	control := strings.ContainsFunc(s, func(r rune) bool { return unicode.IsControl(r) || !unicode.IsPrint(r) && r != ' ' })
	switch {
	case style == '\'' && !control:
		return "'" + strings.ReplaceAll(s, "'", "''") + "'"
	case style != '"' && plain(s, inFlow):
		return s
	}
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\t':
			b.WriteString(`\t`)
		case unicode.IsControl(r) || !unicode.IsPrint(r) && r != ' ':
			if r > 0xffff {
				fmt.Fprintf(&b, `\U%08x`, r)
			} else {
				fmt.Fprintf(&b, `\u%04x`, r)
			}
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// plain reports whether the text may stand without quotes. It is stricter than YAML: what is uncommon gets quotes.
func plain(s string, inFlow bool) bool {
	if s == "" || strings.TrimSpace(s) != s {
		return false
	}
	for i, r := range s {
		switch {
		case unicode.IsLetter(r) || unicode.IsDigit(r):
		case i == 0:
			return false
		case r == ' ' || strings.ContainsRune("-_./()'+%@*!?=;&×½¼¾–—’", r):
		case r == ',' && !inFlow:
		default:
			return false
		}
	}
	return true
}

package edit

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"

	"quiltwright/internal/quilt"
)

// kind is what a node of the text is.
type kind int

const (
	nothing kind = iota // a key without a value
	scalar
	mapping
	sequence
)

// node is a value of the text and where it stands. Nodes that are to be written have no place, but the style in which to write them.
type node struct {
	kind       kind
	start, end int    // bytes of the text; a block scalar ends with its last line that is not blank
	text       string // of a scalar
	style      byte   // of a scalar: 0 plain, ' or " quoted, | or > on lines of its own
	flow       bool   // a mapping in { } or a list in [ ]
	inFlow     bool   // stands inside such brackets
	indent     int    // of a mapping or list on lines of its own: bytes before its keys or dashes
	entries    []*entry
	items      []*item
}

// entry is a key of a mapping and its value.
type entry struct {
	key, value *node
	colon      int // where the colon stands, -1 without one
}

// item is a value of a list.
type item struct {
	value *node
	dash  int // where the dash stands, -1 in brackets
}

// end is the first byte after the entry; 0 for one that is still to be written.
func (e *entry) end() int { return max(e.key.end, e.colon+1, e.value.end) }

// end is the first byte after the item; 0 for one that is still to be written.
func (i *item) end() int { return max(i.value.end, i.dash+1) }

// start is the first byte of the item, its dash included.
func (i *item) start() int {
	if i.dash >= 0 {
		return i.dash
	}
	return i.value.start
}

// get returns the key's entry and its number, nil and -1 where the mapping has no such key.
func (n *node) get(key string) (*entry, int) {
	if n == nil || n.kind != mapping {
		return nil, -1
	}
	for i, e := range n.entries {
		if e.key.text == key {
			return e, i
		}
	}
	return nil, -1
}

// at returns the value under the keys, nil where one of them is missing.
func (n *node) at(keys ...string) *node {
	for _, k := range keys {
		e, _ := n.get(k)
		if e == nil {
			return nil
		}
		n = e.value
	}
	return n
}

// same reports whether two nodes say the same, whatever their style.
func (n *node) same(m *node) bool {
	if n.kind != m.kind || len(n.entries) != len(m.entries) || len(n.items) != len(m.items) {
		return false
	}
	if n.kind == scalar && strings.TrimRight(n.text, " \n") != strings.TrimRight(m.text, " \n") {
		return false
	}
	for i, e := range n.entries {
		if o := m.entries[i]; e.key.text != o.key.text || !e.value.same(o.value) {
			return false
		}
	}
	for i, it := range n.items {
		if !it.value.same(m.items[i].value) {
			return false
		}
	}
	return true
}

// copy is the node with all that is in it, to be changed.
func (n *node) copy() *node {
	m := *n
	m.entries, m.items = slices.Clone(n.entries), slices.Clone(n.items)
	for i, e := range n.entries {
		m.entries[i] = &entry{key: e.key.copy(), value: e.value.copy(), colon: e.colon}
	}
	for i, it := range n.items {
		m.items[i] = &item{value: it.value.copy(), dash: it.dash}
	}
	return &m
}

var errYAML = errors.New("the document cannot be read as YAML")

// nodes are what the text says that was taken apart, and where. A text that is not YAML is an error.
func nodes(src []byte, yaml *quilt.YAML) (root *node, err error) {
	if yaml.File == nil {
		return nil, errYAML
	}
	defer func() {
		// The parser is not ours; a document that upsets it is answered as one that it cannot read.
		if recover() != nil {
			root, err = nil, errYAML
		}
	}()
	p := &places{src: src}
	if bytes.HasPrefix(src, []byte("\ufeff")) {
		p.mark = len("\ufeff")
	}
	p.starts = append(p.starts, p.mark)
	for i := p.mark; i < len(src); i++ {
		if src[i] == '\n' {
			p.starts = append(p.starts, i+1)
		}
	}
	for _, d := range yaml.File.Docs {
		if d.Body == nil {
			continue
		}
		if root != nil {
			return nil, fmt.Errorf("the file holds a second document; put it in a file of its own and take out the line ---")
		}
		if root = p.node(d.Body, -1, false, 1); p.err != nil {
			return nil, p.err
		}
	}
	if root == nil || root.kind != mapping {
		return nil, fmt.Errorf("the document has no keys; it begins with  quilt: and a title")
	}
	return root, nil
}

// places turns the parser's nodes into ours and finds where each begins and ends.
type places struct {
	src    []byte
	mark   int   // bytes of the byte order mark
	starts []int // of the lines
	err    error
}

func (p *places) fail(t *token.Token, format string, args ...any) *node {
	if p.err == nil {
		says := fmt.Sprintf(format, args...)
		if t != nil && t.Position != nil {
			says = fmt.Sprintf("line %d: %s", t.Position.Line, says)
		}
		p.err = fmt.Errorf("%s", says)
	}
	return &node{}
}

// offset is the byte at which the token stands, -1 where the parser does not say.
func (p *places) offset(t *token.Token) int {
	if t == nil || t.Position == nil || t.Position.Line < 1 || t.Position.Line > len(p.starts) {
		return -1
	}
	at := p.starts[t.Position.Line-1]
	for range t.Position.Column - 1 {
		if at >= len(p.src) || p.src[at] == '\n' {
			return -1
		}
		_, n := utf8.DecodeRune(p.src[at:])
		at += n
	}
	return at
}

const maxDepth = 40 // quilt.Read refuses 32 and more

// node converts n. outer is the indentation of the keys or dashes that it stands under, -1 at the top.
func (p *places) node(n ast.Node, outer int, inFlow bool, depth int) *node {
	if p.err != nil || n == nil || depth > maxDepth {
		if n != nil && p.err == nil {
			return p.fail(n.GetToken(), "nested too deep")
		}
		return &node{}
	}
	switch n := n.(type) {
	case *ast.MappingNode:
		return p.mapping(n.Values, n.Start, n.End, n.IsFlowStyle, inFlow, depth)
	case *ast.MappingValueNode:
		return p.mapping([]*ast.MappingValueNode{n}, nil, nil, false, inFlow, depth)
	case *ast.SequenceNode:
		return p.sequence(n, inFlow, depth)
	case *ast.LiteralNode:
		out := &node{kind: scalar, inFlow: inFlow, start: p.offset(n.GetToken())}
		if n.Value != nil {
			out.text = n.Value.Value
		}
		if out.start < 0 || out.start >= len(p.src) || p.src[out.start] != '|' && p.src[out.start] != '>' {
			return p.fail(n.GetToken(), "this text cannot be found in the file; put it in quotes")
		}
		out.style = p.src[out.start]
		out.end = p.blockEnd(out.start, outer)
		return out
	case *ast.StringNode:
		return p.scalar(n.GetToken(), n.Value, inFlow)
	case *ast.NullNode:
		if n.Token.Type == token.ImplicitNullType {
			return &node{inFlow: inFlow}
		}
		return p.scalar(n.GetToken(), n.Token.Value, inFlow)
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode:
		return p.scalar(n.GetToken(), n.GetToken().Value, inFlow)
	case *ast.CommentGroupNode:
		return &node{inFlow: inFlow}
	default:
		return p.fail(n.GetToken(), "anchors, aliases, tags and other uncommon parts of YAML have no place in a quilt document; write the value out")
	}
}

func (p *places) scalar(t *token.Token, text string, inFlow bool) *node {
	out := &node{kind: scalar, text: text, inFlow: inFlow, start: p.offset(t)}
	if out.start < 0 || out.start >= len(p.src) {
		return p.fail(t, "“%s” cannot be found in the file; put it in quotes", shorten(text))
	}
	switch c := p.src[out.start]; {
	case t.Type == token.SingleQuoteType || t.Type == token.DoubleQuoteType:
		if c != '\'' && c != '"' {
			return p.fail(t, "“%s” cannot be found in the file; put it on one line", shorten(text))
		}
		out.style = c
		out.end = closing(p.src, out.start)
	default:
		out.end = words(p.src, out.start, text)
	}
	if out.end < 0 {
		return p.fail(t, "“%s” cannot be found in the file; put it in quotes on one line", shorten(text))
	}
	return out
}

// closing is the byte after the quote that closes the one at start, -1 where none does.
func closing(src []byte, start int) int {
	quote := src[start]
	for i := start + 1; i < len(src); i++ {
		switch {
		case src[i] == '\\' && quote == '"':
			i++
		case src[i] != quote:
		case quote == '\'' && i+1 < len(src) && src[i+1] == '\'':
			i++
		default:
			return i + 1
		}
	}
	return -1
}

// words is the byte after the plain text that begins at start, -1 where it does not stand there.
func words(src []byte, start int, text string) int {
	at := start
	for i, w := range strings.Fields(text) {
		for i > 0 && at < len(src) && strings.IndexByte(" \t\r\n", src[at]) >= 0 {
			at++
		}
		if !bytes.HasPrefix(src[at:], []byte(w)) {
			return -1
		}
		at += len(w)
	}
	return at
}

// blockEnd is the end of the last line, not blank, of the block scalar whose | or > stands at start.
func (p *places) blockEnd(start, outer int) int {
	end := lineEnd(p.src, start)
	for at := end; at < len(p.src); {
		next := lineEnd(p.src, at+1)
		line := p.src[min(at+1, len(p.src)):next]
		body := bytes.TrimLeft(line, " ")
		if len(bytes.TrimSpace(line)) > 0 {
			if len(line)-len(body) <= outer {
				break
			}
			end = next
		}
		at = next
	}
	return trimReturn(p.src, end)
}

func (p *places) mapping(values []*ast.MappingValueNode, open, shut *token.Token, flow, inFlow bool, depth int) *node {
	out := &node{kind: mapping, flow: flow, inFlow: inFlow}
	if flow {
		if !p.brackets(out, open, shut, '{', '}') {
			return &node{}
		}
	}
	seen := map[string]bool{}
	for i, v := range values {
		switch v.Key.(type) {
		case *ast.MergeKeyNode, *ast.MappingKeyNode:
			return p.fail(v.Key.GetToken(), "merge keys and keys after ? have no place in a quilt document; write the keys out")
		}
		e := &entry{key: p.node(v.Key, -1, flow || inFlow, depth+1), colon: p.offset(v.Start)}
		if p.err != nil {
			return &node{}
		}
		if e.key.kind != scalar {
			return p.fail(v.Key.GetToken(), "a key must be text")
		}
		if seen[e.key.text] {
			return p.fail(v.Key.GetToken(), "“%s” is written twice; take one of them out", shorten(e.key.text))
		}
		seen[e.key.text] = true
		if e.colon < e.key.end || e.colon >= len(p.src) || p.src[e.colon] != ':' {
			e.colon = -1
		}
		if i == 0 && !flow {
			out.start = e.key.start
			out.indent = e.key.start - lineStart(p.src, e.key.start)
			if out.indent >= p.mark && lineStart(p.src, e.key.start) == 0 {
				out.indent -= p.mark
			}
		}
		e.value = p.node(v.Value, out.indent, flow || inFlow, depth+1)
		if e.value.kind == nothing {
			e.value.start = max(e.key.end, e.colon+1)
			e.value.end = e.value.start
		}
		if !flow {
			out.end = e.end()
		}
		out.entries = append(out.entries, e)
	}
	return out
}

func (p *places) sequence(n *ast.SequenceNode, inFlow bool, depth int) *node {
	out := &node{kind: sequence, flow: n.IsFlowStyle, inFlow: inFlow}
	if out.flow && !p.brackets(out, n.Start, n.End, '[', ']') {
		return &node{}
	}
	for i, v := range n.Values {
		it := &item{dash: -1}
		if !out.flow {
			if i < len(n.Entries) {
				it.dash = p.offset(n.Entries[i].Start)
			}
			if it.dash < 0 || it.dash >= len(p.src) || p.src[it.dash] != '-' {
				return p.fail(v.GetToken(), "the dash of this item cannot be found")
			}
			if i == 0 {
				out.start, out.indent = it.dash, it.dash-lineStart(p.src, it.dash)
			}
		}
		it.value = p.node(v, out.indent, out.flow || inFlow, depth+1)
		if it.value.kind == nothing {
			if out.flow {
				return p.fail(n.Start, "this list holds an item without a value")
			}
			it.value.start, it.value.end = it.dash+1, it.dash+1
		}
		if !out.flow {
			out.end = it.end()
		}
		out.items = append(out.items, it)
	}
	return out
}

// brackets fills in where a collection in brackets stands.
func (p *places) brackets(out *node, open, shut *token.Token, first, last byte) bool {
	out.start, out.end = p.offset(open), p.offset(shut)+1
	if out.start < 0 || out.end < 1 || out.end > len(p.src) || p.src[out.start] != first || p.src[out.end-1] != last {
		p.fail(open, "the end of this bracket cannot be found")
		return false
	}
	return true
}

// lineStart is the first byte of the line that holds at.
func lineStart(src []byte, at int) int { return bytes.LastIndexByte(src[:at], '\n') + 1 }

// lineEnd is the line feed that ends the line that holds at, or the end of the text.
func lineEnd(src []byte, at int) int {
	if at >= len(src) {
		return len(src)
	}
	if i := bytes.IndexByte(src[at:], '\n'); i >= 0 {
		return at + i
	}
	return len(src)
}

// trimReturn steps back over a carriage return before the line feed.
func trimReturn(src []byte, end int) int {
	if end > 0 && end < len(src) && src[end] == '\n' && src[end-1] == '\r' {
		return end - 1
	}
	return end
}

// shorten keeps a message on one line.
func shorten(s string) string {
	const longest = 60
	s = strings.Join(strings.Fields(s), " ")
	if r := []rune(s); len(r) > longest {
		return string(r[:longest]) + "…"
	}
	return s
}

package quilt

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"

	"quiltwright/internal/diag"
)

// Limits of a file. They keep a hostile one from costing more than seconds; no quilt comes near them.
const (
	maxBytes   = 1 << 20
	maxDepth   = 32
	maxEntries = 1000 // keys of one mapping: the YAML parser's time grows with the square of their number
)

// kind is what a node of the file is.
type kind int

const (
	nothing kind = iota // a key without a value
	scalar
	mapping
	sequence
)

func (k kind) String() string {
	return [...]string{"nothing", "text", "a mapping of keys", "a list"}[k]
}

// node is a value of the file as written, with its place. YAML's own ideas of numbers, truth and nothing are gone.
type node struct {
	kind    kind
	at      diag.Pos
	text    string // of a scalar
	block   bool   // a scalar after | or >
	flow    bool   // a mapping in { } or a list in [ ]
	entries []entry
	items   []*node
	key     diag.Pos // the key that it is the value of, zero in a list
}

// entry is a key of a mapping and its value.
type entry struct {
	key, value *node
}

// YAML is a text taken apart by the rules of YAML, once for all who read it. It never changes.
type YAML struct {
	File  *ast.File // nil where the text cannot be taken apart
	src   []byte
	found diag.List // why it cannot
}

// Parse takes a text apart. A text that would cost the parser too much is refused before.
func Parse(src []byte) (y *YAML) {
	y = &YAML{src: src}
	if !readable(src, &y.found) {
		return y
	}
	defer upset(&y.found, func() { y.File = nil })
	text := strings.ReplaceAll(string(bytes.TrimPrefix(src, []byte("\ufeff"))), "\r\n", "\n")
	tokens := lexer.Tokenize(text)
	if !shallow(tokens, &y.found) {
		return y
	}
	file, err := parser.Parse(tokens, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		syntax(err, text, tokens, &y.found)
		return y
	}
	y.File = file
	return y
}

// upset is deferred round what is not ours: a document that upsets the parser is answered as one that it cannot read.
func upset(found *diag.List, otherwise func()) {
	if r := recover(); r != nil {
		otherwise()
		found.Errorf(diag.Pos{}, "syntax", "the file cannot be read as YAML").Remedy = fmt.Sprint("the YAML parser stopped with: ", r)
	}
}

// tree makes nodes of what was taken apart. nil where the file cannot be read at all; the reason is in found.
func (y *YAML) tree(found *diag.List) (root *node) {
	found.Add(y.found...)
	if y.File == nil {
		return nil
	}
	defer upset(found, func() { root = nil })
	b := builder{found: found}
	var bodies []ast.Node
	for _, d := range y.File.Docs {
		if d.Body == nil {
			continue
		}
		if len(bodies) == 1 {
			b.found.Errorf(where(d.Body.GetToken()), "syntax", "a second document in one file").Remedy =
				"a file holds one quilt; put the other in a file of its own and take out the line ---"
			break
		}
		if _, directive := d.Body.(*ast.DirectiveNode); directive {
			b.refuse(d.Body, "a YAML directive", "take the line out")
			continue
		}
		bodies = append(bodies, d.Body)
	}
	if len(bodies) == 0 {
		if !found.HasErrors() {
			found.Errorf(diag.Pos{}, "syntax", "the document is empty").Remedy = "a quilt has at least the keys quilt, fabrics and blocks"
		}
		return nil
	}
	return b.node(bodies[0], 1)
}

// readable checks the bytes before anything parses them.
func readable(src []byte, found *diag.List) bool {
	if len(src) > maxBytes {
		found.Errorf(diag.Pos{}, "limit", "the document is larger than 1 MB")
		return false
	}
	line, start := 1, 0
	for i := 0; i < len(src); {
		r, n := utf8.DecodeRune(src[i:])
		at := func() diag.Pos { return diag.Pos{Line: line, Column: utf8.RuneCount(src[start:i]) + 1} }
		switch {
		case r == utf8.RuneError && n == 1:
			found.Errorf(at(), "syntax", "byte 0x%02x is not UTF-8 text", src[i]).Remedy = "save the file as UTF-8"
			return false
		case r == '\n':
			line, start = line+1, i+1
		case r == '\r' && i+1 < len(src) && src[i+1] == '\n', r == '\t':
		case r < ' ' || r >= 0x7f && r < 0xa0:
			found.Errorf(at(), "syntax", "control character U+%04X in the document", r).Remedy = "take it out"
			return false
		}
		i += n
	}
	return true
}

// shallow checks nesting and the size of mappings in the tokens, since the parser calls itself for every level and every key.
func shallow(tokens token.Tokens, found *diag.List) bool {
	type level struct{ column, keys int }
	var stack []level
	flow := 0
	for i, t := range tokens {
		if t.Position == nil {
			continue
		}
		opens, key := false, false
		switch t.Type {
		case token.MappingStartType, token.SequenceStartType:
			flow++
		case token.MappingEndType, token.SequenceEndType:
			flow = max(0, flow-1)
		case token.SequenceEntryType, token.MappingKeyType:
			opens = flow == 0
		default:
			key = flow == 0 && i+1 < len(tokens) && tokens[i+1].Type == token.MappingValueType
			opens = key
		}
		if opens {
			for len(stack) > 0 && stack[len(stack)-1].column > t.Position.Column {
				stack = stack[:len(stack)-1]
			}
			if len(stack) == 0 || stack[len(stack)-1].column < t.Position.Column {
				stack = append(stack, level{column: t.Position.Column})
			}
			if key {
				top := &stack[len(stack)-1]
				if top.keys++; top.keys > maxEntries {
					found.Errorf(where(t), "limit", "more than %d keys in one mapping", maxEntries)
					return false
				}
			}
		}
		if len(stack)+flow > maxDepth {
			tooDeep(where(t), found)
			return false
		}
	}
	return true
}

func tooDeep(at diag.Pos, found *diag.List) {
	found.Errorf(at, "limit", "nested more than %d deep", maxDepth)
}

// syntax reports the parser's complaint, with what a quilter most likely meant.
func syntax(err error, text string, tokens token.Tokens, found *diag.List) {
	var at diag.Pos
	says := err.Error()
	if placed, ok := err.(interface {
		GetToken() *token.Token
		GetMessage() string
	}); ok {
		at, says = where(placed.GetToken()), placed.GetMessage()
	}
	says = strings.ReplaceAll(strings.TrimSuffix(says, "."), "character '\t'", "a tab")
	f := found.Errorf(at, "syntax", "not YAML: %s", says)
	if at.Line < 1 {
		return
	}
	lines := strings.Split(text, "\n")
	for i, line := range lines[:min(at.Line, len(lines))] {
		if open, color := strings.LastIndex(line, "{"), strings.Index(line, ": #"); 0 <= open && open < color {
			f.At = diag.Pos{Line: i + 1, Column: utf8.RuneCountInString(line[:color]) + 3}
			f.Says = "this # begins a comment, so that the rest of the line is lost"
			f.Remedy = "write a colour in quotes: \"#c8502b\""
			return
		}
	}
	if open := unclosed(tokens, at); !open.IsZero() {
		f.Notes = append(f.Notes, diag.Note{At: open, Says: "this bracket is still open"})
	}
	for _, i := range []int{at.Line, at.Line - 1} {
		if i < 1 || i > len(lines) {
			continue
		}
		switch line := lines[i-1]; {
		case strings.HasPrefix(strings.TrimLeft(line, " "), "\t"):
			f.Remedy = "indent with spaces, not with tabs"
			return
		case strings.ContainsAny(line, "@`") && i == at.Line:
			f.Remedy = "put the text in quotes"
			return
		}
	}
}

// unclosed is the place of the innermost bracket that is open at the place given, if it was opened on an earlier line.
func unclosed(tokens token.Tokens, at diag.Pos) diag.Pos {
	var open []diag.Pos
	for _, t := range tokens {
		if where(t).Compare(at) >= 0 {
			break
		}
		switch t.Type {
		case token.MappingStartType, token.SequenceStartType:
			open = append(open, where(t))
		case token.MappingEndType, token.SequenceEndType:
			open = open[:max(0, len(open)-1)]
		}
	}
	if len(open) == 0 || open[len(open)-1].Line == at.Line {
		return diag.Pos{}
	}
	return open[len(open)-1]
}

// where is a token's place.
func where(t *token.Token) diag.Pos {
	if t == nil || t.Position == nil {
		return diag.Pos{}
	}
	return diag.Pos{Line: max(1, t.Position.Line), Column: max(1, t.Position.Column)}
}

// builder turns the parser's nodes into ours and refuses what a quilt document does not use.
type builder struct {
	found *diag.List
	deep  bool
}

// refuse reports a part of YAML that has no place in a quilt document.
func (b *builder) refuse(n ast.Node, what, remedy string) {
	b.found.Errorf(where(n.GetToken()), "syntax", "%s has no place in a quilt document", what).Remedy = remedy
}

// node converts n, at the depth given; nil where it is refused.
func (b *builder) node(n ast.Node, depth int) *node {
	if n == nil {
		return nil
	}
	out := &node{at: where(n.GetToken())}
	if depth > maxDepth {
		if !b.deep {
			tooDeep(out.at, b.found)
		}
		b.deep = true
		return nil
	}
	switch n := n.(type) {
	case *ast.MappingNode:
		out.kind, out.flow = mapping, n.IsFlowStyle
		b.entries(out, n.Values, depth)
	case *ast.MappingValueNode:
		out.kind, out.flow = mapping, n.IsFlowStyle
		b.entries(out, []*ast.MappingValueNode{n}, depth)
	case *ast.SequenceNode:
		out.kind, out.flow = sequence, n.IsFlowStyle
		for _, v := range n.Values {
			if item := b.node(v, depth+1); item != nil {
				out.items = append(out.items, item)
			}
		}
	case *ast.LiteralNode:
		out.kind, out.block = scalar, true
		if n.Value != nil {
			out.text = n.Value.Value
		}
	case *ast.StringNode:
		out.kind, out.text = scalar, n.Value
	case *ast.NullNode:
		if n.Token.Type == token.ImplicitNullType {
			return out
		}
		out.kind, out.text = scalar, n.Token.Value
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode:
		out.kind, out.text = scalar, n.GetToken().Value
	case *ast.AnchorNode:
		b.refuse(n, "an anchor (&)", "write the value where it is needed, or put text that begins with & in quotes")
		return nil
	case *ast.AliasNode:
		b.refuse(n, "an alias (*)", "write the value out, or put text that begins with * in quotes")
		return nil
	case *ast.TagNode:
		b.refuse(n, "a tag (!)", "take it out, or put text that begins with ! in quotes")
		return nil
	case *ast.CommentGroupNode:
		return nil
	default:
		b.refuse(n, "this part of YAML", "write key: value")
		return nil
	}
	return out
}

// entries fills in the mapping, refusing merge keys, keys that are no plain text, and a key written twice.
func (b *builder) entries(out *node, values []*ast.MappingValueNode, depth int) {
	first := map[string]diag.Pos{}
	for i, v := range values {
		var key *node
		switch k := v.Key.(type) {
		case *ast.MergeKeyNode:
			b.refuse(k, "a merge key (<<)", "write the keys out")
			continue
		case *ast.MappingKeyNode:
			b.refuse(k, "a key after ?", "write key: value")
			continue
		default:
			if key = b.node(k, depth+1); key == nil {
				continue
			}
		}
		if i == 0 && !out.flow {
			out.at = key.at // the parser gives the place of the first colon
		}
		if key.kind != scalar {
			b.found.Errorf(key.at, "syntax", "a key must be text, not %v", key.kind)
			continue
		}
		if before, twice := first[key.text]; twice {
			f := b.found.Errorf(key.at, "duplicate", "“%s” is written twice", shorten(key.text))
			f.Notes = append(f.Notes, diag.Note{At: before, Says: "the first is here"})
			continue
		}
		first[key.text] = key.at
		value := b.node(v.Value, depth+1)
		if value == nil {
			if v.Value != nil {
				continue // refused
			}
			value = &node{at: key.at}
		}
		if value.kind == nothing {
			value.at = key.at
		}
		value.key = key.at
		out.entries = append(out.entries, entry{key, value})
	}
}

// shorten keeps a message on one line whatever the document holds.
func shorten(s string) string {
	const longest = 60
	s = strings.Join(strings.Fields(s), " ")
	if r := []rune(s); len(r) > longest {
		return string(r[:longest]) + "…"
	}
	return s
}

// place is a word of a scalar and where it stands in the file.
type place struct {
	word string
	at   diag.Pos
}

// words splits a scalar at its spaces and finds each word in the file. A word that cannot be found there, such as one written with an
// escape, stands at the scalar's own place.
func (n *node) words(lines [][]rune) []place {
	var out []place
	line, col := n.at.Line-1, n.at.Column-1
	if n.block {
		line, col = line+1, 0
	}
	lost := false
	for _, w := range strings.Fields(n.text) {
		p := place{w, n.at}
		if !lost {
			if l, c, ok := find(lines, line, col, []rune(w)); ok {
				p.at = diag.Pos{Line: l + 1, Column: c + 1}
				line, col = l, c+utf8.RuneCountInString(w)
			} else {
				lost = true
			}
		}
		out = append(out, p)
	}
	return out
}

// find looks for the word from the place on, past spaces, an opening quote and the ends of lines.
func find(lines [][]rune, line, col int, word []rune) (int, int, bool) {
	for line >= 0 && line < len(lines) {
		rest := lines[line]
		for col < len(rest) && (rest[col] == ' ' || rest[col] == '\t' || rest[col] == '"' || rest[col] == '\'') {
			col++
		}
		if col < len(rest) {
			return line, col, len(rest)-col >= len(word) && slices.Equal(rest[col:col+len(word)], word)
		}
		line, col = line+1, 0
	}
	return 0, 0, false
}

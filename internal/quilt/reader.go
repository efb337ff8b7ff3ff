package quilt

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"quiltwright/internal/diag"
	"quiltwright/internal/exact"
	"quiltwright/internal/measure"
)

// Limits of a document.
const (
	maxSize    = 400     // of a block, a border, a strip, in inches
	maxName    = 80      // characters of a name or title
	maxNote    = 10_000  // characters of a note
	maxGrid    = 400     // steps of a grid, each way
	maxLines   = 10_000  // segments of a block
	maxCells   = 100_000 // cells of the quilt, those inside blocks counted as often as they are sewn
	maxRepeat  = 100
	maxBorders = 20
	maxMonths  = 60
)

// Read returns the quilt that the document describes, every default filled in, and what is wrong with it. name is only for
// messages of the caller; src is the file. The document is never nil: where there are errors it holds what could be read, and
// still (1) every name in it is that of a fabric or block it has, (2) no block contains itself, (3) every number is within the
// limits. A cell that could not be read is empty: it has a place and no fabric, block or unit. A block with errors of its own is
// marked Broken. Findings are sorted by place. Read never panics, and takes seconds at most for the worst file.
func Read(name string, src []byte) (*Document, diag.List) { return Parse(src).Read() }

// Read is Read of the text that was taken apart.
func (y *YAML) Read() (*Document, diag.List) {
	r := &reader{doc: &Document{}}
	root := y.tree(&r.found)
	if root != nil {
		for line := range strings.SplitSeq(string(y.src), "\n") {
			r.lines = append(r.lines, []rune(strings.TrimPrefix(line, "\ufeff")))
		}
	}
	r.document(root)
	r.found.Sort()
	return r.doc, r.found
}

// reader holds what the parts of reading share.
type reader struct {
	doc       *Document
	found     diag.List
	lines     [][]rune    // of the file, to find words in long scalars
	hushed    int         // errors that were not worth saying
	cells     int         // read so far
	hasSet    bool        // the document has the key set, whatever became of it
	recolored []recolored // every one in the document, checked at the end
	byName    map[string]*Block
}

// errorf reports an error; see diag.List.Errorf.
func (r *reader) errorf(at diag.Pos, code, format string, args ...any) *diag.Finding {
	return r.found.Errorf(at, code, format, args...)
}

// limit is the largest size in the document's measure.
func (r *reader) limit() exact.Num {
	if r.doc.Measure == measure.Centimetre {
		return exact.Int(1000)
	}
	return exact.Int(maxSize)
}

// pick returns the inch value or the centimetre value of a default, by the document's measure.
func (r *reader) pick(inch, cm exact.Num) exact.Num {
	if r.doc.Measure == measure.Centimetre {
		return cm
	}
	return inch
}

// reserved keys belong to a later version of the format, wherever they stand.
var reserved = []string{"colourways", "sizes", "prices", "cabin"}

// fields is a mapping whose keys are known.
type fields struct {
	r    *reader
	at   diag.Pos
	ok   bool   // it is a mapping
	what string // "a block", for messages
	by   map[string]*node
	keys map[string]diag.Pos
}

// fields checks that n is a mapping with no other keys than those given; what names it in messages: "a fabric". A node that is no
// mapping is an error and gives no fields.
func (r *reader) fields(n *node, what string, keys ...string) fields {
	f := fields{r: r, what: what, by: map[string]*node{}, keys: map[string]diag.Pos{}}
	if n == nil {
		return f
	}
	f.at = n.at
	if n.kind == mapping && !n.flow && !n.key.IsZero() {
		f.at = n.key // its first key is no better a place for what is missing
	}
	f.ok = n.kind == mapping
	if !f.ok {
		r.errorf(n.at, "wrong-type", "%s is a mapping of keys, not %s", what, r.describe(n)).Remedy =
			"keys: " + strings.Join(keys, ", ")
		return f
	}
	for _, e := range n.entries {
		key := e.key.text
		switch {
		case slices.Contains(keys, key):
			f.by[key], f.keys[key] = e.value, e.key.at
		case slices.Contains(reserved, key):
			r.errorf(e.key.at, "reserved", "“%s” is reserved for a later version of the format", key).Remedy = "take it out for now"
		default:
			bad := r.errorf(e.key.at, "unknown-key", "%s has no key “%s”", what, shorten(key))
			switch near := diag.Suggest(key, keys); {
			case near != "":
				bad.Remedy = fmt.Sprintf("did you mean “%s”?", near)
			case n.flow && e.value.kind == nothing:
				bad.Remedy = "inside { } a comma ends a value; put a value that holds commas in quotes"
			default:
				bad.Remedy = "keys: " + strings.Join(keys, ", ")
			}
		}
	}
	return f
}

// describe says what a node is, for "not ...".
func (r *reader) describe(n *node) string {
	if n.kind == scalar {
		return "“" + shorten(n.text) + "”"
	}
	return n.kind.String()
}

// get returns the key's value, nil where the key is missing or has none; the latter is an error.
func (f fields) get(key string) *node {
	n := f.by[key]
	if n != nil && n.kind == nothing {
		bad := f.r.errorf(f.keys[key], "missing", "“%s” has no value", key)
		if key == "color" {
			bad.Remedy = "a # begins a comment; write a colour in quotes: \"#c8502b\""
		}
		return nil
	}
	return n
}

// has reports whether the key is written, with or without a value.
func (f fields) has(key string) bool { return f.by[key] != nil }

// required is get for a key that must be there; example shows how it is written.
func (f fields) required(key, example string) *node {
	if f.ok && !f.has(key) {
		f.r.errorf(f.at, "missing", "%s needs the key “%s”", f.what, key).Remedy = "for example  " + example
	}
	return f.get(key)
}

// scalar returns the node's text; ok is false, with an error, where it is a list or a mapping. nil is not ok, without an error.
func (r *reader) scalar(n *node, what string) (string, bool) {
	if n == nil {
		return "", false
	}
	if n.kind != scalar {
		r.errorf(n.at, "wrong-type", "%s is text, not %v", what, n.kind)
		return "", false
	}
	return n.text, true
}

// text is a scalar for people to read: no control characters, at most so many of the others.
func (r *reader) text(n *node, what string, most int) (string, bool) {
	s, ok := r.scalar(n, what)
	if !ok {
		return "", false
	}
	if i := strings.IndexFunc(s, func(c rune) bool { return unicode.IsControl(c) && c != '\n' || unicode.Is(unicode.Bidi_Control, c) }); i >= 0 {
		c, _ := utf8.DecodeRuneInString(s[i:])
		r.errorf(n.at, "bad-value", "%s holds the control character U+%04X", what, c).Remedy = "take it out"
		return "", false
	}
	if c := utf8.RuneCountInString(s); c > most {
		r.errorf(n.at, "limit", "%s has %d characters; at most %d fit", what, c, most)
		return "", false
	}
	return strings.TrimRight(s, " \n"), true
}

// line is text on one line.
func (f fields) line(key string) string {
	s, _ := f.r.text(f.get(key), key, maxName*2)
	return strings.Join(strings.Fields(s), " ")
}

// note is text of any number of lines.
func (f fields) note() string {
	s, _ := f.r.text(f.get("note"), "note", maxNote)
	return s
}

// choice returns the key's word where it is one of the choices, else "", with an error where it is something else.
func (f fields) choice(key string, choices ...string) string {
	return f.r.choice(f.get(key), key, choices...)
}

func (r *reader) choice(n *node, what string, choices ...string) string {
	s, ok := r.scalar(n, what)
	if !ok || slices.Contains(choices, s) {
		return s
	}
	bad := r.errorf(n.at, "bad-value", "%s cannot be “%s”", what, shorten(s))
	if near := diag.Suggest(s, choices); near != "" {
		bad.Remedy = fmt.Sprintf("did you mean “%s”?", near)
	} else {
		bad.Remedy = "one of: " + strings.Join(choices, ", ")
	}
	return ""
}

// bool returns the key's truth, false where it is missing.
func (f fields) bool(key string) bool { return f.choice(key, "true", "false") == "true" }

// length reads a length above 0 (or from 0 on, where zero is true) and at most the limit; ok is false where it is missing or wrong.
func (r *reader) length(n *node, what string, zero bool) (x exact.Num, ok bool) {
	s, ok := r.scalar(n, what)
	if !ok {
		return x, false
	}
	x, err := measure.Parse(s)
	switch {
	case err != nil:
		r.errorf(n.at, "bad-length", "%s: %v", what, err)
	case x.Sign() < 0 || !zero && x.Sign() == 0:
		r.errorf(n.at, "bad-length", "%s is %s; it must be above 0", what, shorten(s))
	case r.limit().Less(x):
		r.errorf(n.at, "limit", "%s is %s; at most %v fits", what, shorten(s), r.limit())
	default:
		return x, true
	}
	return exact.Num{}, false
}

// length returns the key's length, or the default.
func (f fields) length(key string, otherwise exact.Num) exact.Num {
	if x, ok := f.r.length(f.get(key), key, false); ok {
		return x
	}
	return otherwise
}

// whole reads a whole number from least to most.
func (r *reader) whole(n *node, what string, least, most int) (int, bool) {
	s, ok := r.scalar(n, what)
	if !ok {
		return 0, false
	}
	i, err := strconv.Atoi(s)
	if err != nil || strings.HasPrefix(s, "+") || len(s) > 1 && s[0] == '0' {
		r.errorf(n.at, "bad-value", "%s is a whole number, not “%s”", what, shorten(s))
		return 0, false
	}
	if i < least || i > most {
		r.errorf(n.at, "limit", "%s is %d; it must be from %d to %d", what, i, least, most)
		return 0, false
	}
	return i, true
}

// percent reads a part of the whole as "3%", from 0 to most percent.
func (r *reader) percent(n *node, what string, most int64) (exact.Num, bool) {
	s, ok := r.scalar(n, what)
	if !ok {
		return exact.Num{}, false
	}
	number, cut := strings.CutSuffix(strings.TrimSpace(s), "%")
	x, err := measure.Parse(number)
	if !cut || err != nil {
		r.errorf(n.at, "bad-value", "%s is a percentage such as 3%%, not “%s”", what, shorten(s))
		return exact.Num{}, false
	}
	if exact.Int(most).Less(x) {
		r.errorf(n.at, "limit", "%s is %s; at most %d%% makes sense", what, shorten(s), most)
		return exact.Num{}, false
	}
	return x.Mul(exact.Frac(1, 100)), true
}

// pair reads [width, height], or one number for both where single is true.
func (r *reader) pair(n *node, what string, single bool) (w, h exact.Num, ok bool) {
	if n == nil {
		return w, h, false
	}
	if n.kind == scalar && single {
		w, ok = r.length(n, what, false)
		return w, w, ok
	}
	if n.kind != sequence || len(n.items) != 2 {
		bad := r.errorf(n.at, "wrong-type", "%s is two numbers, [width, height]", what)
		if single {
			bad.Says = fmt.Sprintf("%s is one number, or two as [width, height]", what)
		}
		return w, h, false
	}
	w, okW := r.length(n.items[0], what, false)
	h, okH := r.length(n.items[1], what, false)
	return w, h, okW && okH
}

// list returns the items of a list; anything else is an error.
func (r *reader) list(n *node, what, example string) []*node {
	if n == nil {
		return nil
	}
	if n.kind != sequence {
		r.errorf(n.at, "wrong-type", "%s is a list, not %s", what, r.describe(n)).Remedy = "for example  " + example
		return nil
	}
	return n.items
}

// letters returns the fabric's letters; anything that is no fabric of the document is an error.
func (r *reader) letters(n *node, what string) string {
	s, ok := r.scalar(n, what)
	if !ok || r.fabric(s) {
		return s
	}
	r.unknownFabric(n.at, s)
	return ""
}

// fabric reports whether the document has a fabric with these letters.
func (r *reader) fabric(letters string) bool {
	return slices.ContainsFunc(r.doc.Fabrics, func(f Fabric) bool { return f.Letter == letters })
}

// unknownFabric reports letters that no fabric has; where the fabrics themselves could not be read, it says nothing.
func (r *reader) unknownFabric(at diag.Pos, s string) {
	if len(r.doc.Fabrics) == 0 {
		r.hushed++
		return
	}
	var all []string
	for _, f := range r.doc.Fabrics {
		all = append(all, f.Letter)
	}
	if near := r.fabricLike(s); near != "" {
		r.errorf(at, "unknown-name", "no fabric “%s”", shorten(s)).Remedy = near
		return
	}
	if len(all) > 12 {
		all = append(all[:12], "...")
	}
	r.errorf(at, "unknown-name", "no fabric “%s”", shorten(s)).Remedy = "fabrics: " + strings.Join(all, ", ")
}

// fabricLike asks whether a fabric is meant by its name, or by its letters in small; "" where there is none.
func (r *reader) fabricLike(s string) string {
	for _, f := range r.doc.Fabrics {
		if strings.EqualFold(f.Name, s) || strings.EqualFold(f.Letter, s) {
			return fmt.Sprintf("did you mean “%s” (%s)?", f.Letter, f.Name)
		}
	}
	return ""
}

// isLetters reports whether s could be the letters of a fabric: one or two capitals.
func isLetters(s string) bool {
	return (len(s) == 1 || len(s) == 2) && strings.Trim(s, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") == ""
}

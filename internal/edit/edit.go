package edit

import (
	"bytes"
	"fmt"

	"quiltwright/internal/diag"
	"quiltwright/internal/quilt"
)

// Op is a named operation on the text of a document.
type Op interface {
	// Name is the operation's name, which Decode knows it by.
	Name() string
	// apply makes the operation's changes.
	apply(e *editor) error
}

// Error says why an operation cannot be applied.
type Error struct {
	Op       string
	Says     string
	Remedy   string
	Findings diag.List // what the reader would have found in the changed text, where that is the reason
}

func (e *Error) Error() string {
	if e.Remedy != "" {
		return e.Op + ": " + e.Says + "; " + e.Remedy
	}
	return e.Op + ": " + e.Says
}

// refuse is an Error that apply returns; Apply fills in the operation.
func refuse(remedy, format string, args ...any) error {
	return &Error{Says: fmt.Sprintf(format, args...), Remedy: remedy}
}

// Apply returns the text after the operations, one after the other; all or none. Only what they change differs: comments, the order
// of keys, quotes, blank lines and indentation elsewhere stay byte for byte, so that without operations the text comes back as it is.
//
// The result is read again, and it says what it should: (1) it is YAML, (2) it says what src says and the operations' changes, (3) quilt.Read
// finds no error in it that src did not have, other than something that is still missing, or months that no longer add up to the
// quilt. The error is an *Error. A document that is not YAML cannot be changed by operations.
func Apply(src []byte, ops ...Op) ([]byte, error) {
	t, err := Open(src).Apply(ops...)
	if err != nil {
		return nil, err
	}
	return t.Bytes(), nil
}

// Text is a text and what has been found out about it, so that a run of operations reads every text once. It never changes; it is not
// for use by two goroutines at the same time.
type Text struct {
	src   []byte
	root  *node // nil where it is not known, or an operation has changed it
	read  bool
	doc   *quilt.Document
	found diag.List
}

// Open is the text of a document, which is not read before it must be.
func Open(src []byte) *Text { return &Text{src: src} }

// Bytes is the text itself, which the caller must not change.
func (t *Text) Bytes() []byte { return t.src }

// Read is quilt.Read of the text.
func (t *Text) Read() (*quilt.Document, diag.List) {
	if !t.read {
		t.doc, t.found = quilt.Read("", t.src)
		t.read = true
	}
	return t.doc, t.found
}

// Apply is the text after the operations; see the function Apply.
func (t *Text) Apply(ops ...Op) (*Text, error) {
	if len(ops) == 0 {
		return t, nil
	}
	// The reader refuses what would cost the parser too much, so it is asked first.
	if doc, found := t.Read(); found.HasErrors() && doc.Title == "" && len(doc.Fabrics)+len(doc.Blocks) == 0 {
		for _, f := range found {
			if f.Code == "limit" {
				return nil, &Error{Op: ops[0].Name(), Says: f.Says, Remedy: f.Remedy, Findings: found}
			}
		}
	}
	src, root := t.src, t.root
	t.root = nil
	for _, op := range ops {
		e, err := newEditor(src, root)
		if err == errYAML {
			err = t.unreadable()
		}
		if err == nil {
			err = op.apply(e)
		}
		if err == nil {
			err = e.flush()
		}
		if err != nil {
			known, ok := err.(*Error)
			if !ok {
				known = &Error{Says: err.Error()}
			}
			known.Op = op.Name()
			return nil, known
		}
		src, root = e.src, e.root
	}
	out := &Text{src: src, root: root}
	if bytes.Equal(src, t.src) {
		t.root = root
		return t, nil
	}
	_, before := t.Read()
	_, after := out.Read()
	if err := worse(before, after, ops[len(ops)-1].Name()); err != nil {
		return nil, err
	}
	return out, nil
}

// unreadable is the error for a text that is not YAML, in the reader's words.
func (t *Text) unreadable() error {
	_, found := t.Read()
	e := &Error{Says: errYAML.Error() + "; put the text right first", Findings: found}
	for _, f := range found {
		if f.Code == "syntax" {
			e.Says += fmt.Sprintf(": line %d: %s", f.At.Line, f.Says)
			e.Remedy = f.Remedy
			break
		}
	}
	return e
}

// unfinished are the errors that a document may have while it is being drawn: something is missing yet, or the months wait for their blocks.
var unfinished = map[string]bool{"missing": true, "programme": true}

// worse is an error where there are errors after a change that there were not before.
func worse(before, after diag.List, op string) error {
	had, has := map[string]int{}, map[string]int{}
	for _, f := range before {
		if f.Severity == diag.Error {
			had[f.Code]++
			had[f.Code+"\x00"+f.Says]++
		}
	}
	for _, f := range after {
		if f.Severity == diag.Error {
			has[f.Code]++
		}
	}
	var fresh diag.List
	for _, f := range after {
		if f.Severity == diag.Error && !unfinished[f.Code] && has[f.Code] > had[f.Code] {
			if key := f.Code + "\x00" + f.Says; had[key] > 0 {
				had[key]--
				continue
			}
			fresh.Add(f)
		}
	}
	if len(fresh) == 0 {
		return nil
	}
	return &Error{Op: op, Says: fresh[0].Says, Remedy: fresh[0].Remedy, Findings: fresh}
}

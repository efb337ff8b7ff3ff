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
	yaml  *quilt.YAML // nil where it is not known, or no longer needed
	root  *node       // nil where it is not known
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
		t.doc, t.found = t.apart().Read()
		t.read = true
		if t.root != nil {
			t.yaml = nil
		}
	}
	return t.doc, t.found
}

// apart is the text taken apart, once for those who read it and those who change it.
func (t *Text) apart() *quilt.YAML {
	if t.yaml == nil {
		t.yaml = quilt.Parse(t.src)
	}
	return t.yaml
}

// editor edits the text.
func (t *Text) editor() (*editor, error) {
	if t.root == nil {
		root, err := nodes(t.src, t.apart())
		if err != nil {
			return nil, err
		}
		t.root = root
		if t.read {
			t.yaml = nil
		}
	}
	return newEditor(t.src, t.root.copy()), nil
}

// Apply is the text after the operations; see the function Apply.
func (t *Text) Apply(ops ...Op) (*Text, error) {
	if len(ops) == 0 {
		return t, nil
	}
	e, err := t.editor()
	for _, op := range ops {
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
	}
	if bytes.Equal(e.src, t.src) {
		return t, nil
	}
	out := &Text{src: e.src, yaml: e.yaml, root: e.root}
	_, before := t.Read()
	_, after := out.Read()
	if err := worse(before, after, ops[len(ops)-1].Name()); err != nil {
		return nil, err
	}
	return out, nil
}

// unreadable is the error for a text that cannot be taken apart, in the reader's words.
func (t *Text) unreadable() error {
	_, found := t.Read()
	if err := tooMuch(found); err != nil {
		return err
	}
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

// tooMuch is the error for a text that would cost the parser too much, nil for any other.
func tooMuch(found diag.List) error {
	for _, f := range found {
		if f.Code == "limit" {
			return &Error{Says: f.Says, Remedy: f.Remedy, Findings: found}
		}
	}
	return nil
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

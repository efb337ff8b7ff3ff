package edit

import (
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
	if len(ops) == 0 {
		return src, nil
	}
	before := counts(src)
	out := src
	for _, op := range ops {
		next, err := applyOne(out, op)
		if err != nil {
			return nil, err
		}
		out = next
	}
	if err := worse(before, out, ops[len(ops)-1].Name()); err != nil {
		return nil, err
	}
	return out, nil
}

func applyOne(src []byte, op Op) (out []byte, err error) {
	e, err := newEditor(src)
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
	return e.src, nil
}

// unfinished are the errors that a document may have while it is being drawn: something is missing yet, or the months wait for their blocks.
var unfinished = map[string]bool{"missing": true, "programme": true}

// counts is how many errors of each kind the reader finds.
func counts(src []byte) map[string]int {
	_, found := quilt.Read("", src)
	out := map[string]int{}
	for _, f := range found {
		if f.Severity == diag.Error {
			out[f.Code]++
			out[f.Code+"\x00"+f.Says]++
		}
	}
	return out
}

// worse is an error where the text has errors that it did not have before.
func worse(before map[string]int, src []byte, op string) error {
	_, found := quilt.Read("", src)
	now := map[string]int{}
	for _, f := range found {
		if f.Severity == diag.Error {
			now[f.Code]++
		}
	}
	var fresh diag.List
	for _, f := range found {
		if f.Severity == diag.Error && !unfinished[f.Code] && now[f.Code] > before[f.Code] {
			if key := f.Code + "\x00" + f.Says; before[key] > 0 {
				before[key]--
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

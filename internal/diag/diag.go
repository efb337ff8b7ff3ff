// Package diag is findings: what is wrong with a quilt document, where, and what would be right.
//
// Every phase adds findings to a List; only the command and the app show them. A finding has the place in the document it is
// about, one sentence in the reader's words and, where one is known, a remedy. A list prints as text with an excerpt and a
// caret, and marshals to JSON for other programs. Nothing here knows quilts.
//
//	var found diag.List
//	found.Errorf(diag.Pos{Line: 12, Column: 5}, "unknown-key", "unknown key “colr”").Remedy = "did you mean “color”?"
//	found.Sort()
//	found.Print(os.Stderr, "lantern.yaml", source, false)
package diag

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
)

// Pos is a place in the document; lines and columns count from 1, columns in characters. The zero Pos is no place.
type Pos struct {
	Line   int `json:"line"`
	Column int `json:"column"`
}

// IsZero reports whether p is no place.
func (p Pos) IsZero() bool { return p == Pos{} }

// Compare orders places by line, then column: negative where p comes first. No place comes before every place.
func (p Pos) Compare(q Pos) int {
	if p.Line != q.Line {
		return p.Line - q.Line
	}
	return p.Column - q.Column
}

// Severity says whether a finding stops the work.
type Severity int

// Severities; the zero value is Error.
const (
	Error   Severity = iota // the document is wrong
	Warning                 // the pattern can be made, and the writer should know this
	Hint                    // something better is near
)

// String is the severity's word: error, warning or hint.
func (s Severity) String() string {
	switch s {
	case Warning:
		return "warning"
	case Hint:
		return "hint"
	default:
		return "error"
	}
}

// MarshalText gives the severity's word.
func (s Severity) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads a severity's word; any other word is an error.
func (s *Severity) UnmarshalText(text []byte) error {
	for _, known := range []Severity{Error, Warning, Hint} {
		if string(text) == known.String() {
			*s = known
			return nil
		}
	}
	return fmt.Errorf("unknown severity %q", text)
}

// Note adds something to a finding, often at another place: the first of two equal names, say.
type Note struct {
	At   Pos    `json:"at"`
	Says string `json:"says"`
}

// Finding is one thing found.
type Finding struct {
	Severity Severity    `json:"severity"`
	Code     string      `json:"code,omitempty"` // a short stable word for programs: unknown-key, loose-end
	At       Pos         `json:"at"`
	Says     string      `json:"says"` // what is wrong: lower case, no final stop, the user's own word quoted
	Remedy   string      `json:"remedy,omitempty"`
	Notes    []Note      `json:"notes,omitempty"`
	Block    string      `json:"block,omitempty"` // the block it is about, for the app's board
	Point    *[2]float64 `json:"point,omitempty"` // and the point in that block, in its drawing's units
}

// Error is the finding's one line without a path, so that a Finding may travel as an error.
func (f Finding) Error() string {
	if f.At.IsZero() {
		return f.Says
	}
	return fmt.Sprintf("%d:%d: %s", f.At.Line, f.At.Column, f.Says)
}

// List is findings in the order they were added, or by place after Sort.
type List []Finding

// Add appends findings as they are.
func (l *List) Add(found ...Finding) { *l = append(*l, found...) }

// Errorf appends an error and returns it, so that the caller may add a remedy or notes before it adds anything else.
func (l *List) Errorf(at Pos, code, format string, args ...any) *Finding {
	return l.addf(Error, at, code, format, args)
}

// Warnf appends a warning and returns it, as Errorf does.
func (l *List) Warnf(at Pos, code, format string, args ...any) *Finding {
	return l.addf(Warning, at, code, format, args)
}

// Hintf appends a hint and returns it, as Errorf does.
func (l *List) Hintf(at Pos, code, format string, args ...any) *Finding {
	return l.addf(Hint, at, code, format, args)
}

func (l *List) addf(s Severity, at Pos, code, format string, args []any) *Finding {
	*l = append(*l, Finding{Severity: s, Code: code, At: at, Says: fmt.Sprintf(format, args...)})
	return &(*l)[len(*l)-1]
}

// Sort orders the list by place, findings without one first, and keeps the order of those at one place. A finding that says the
// same at the same place as the one before it is dropped.
func (l *List) Sort() {
	slices.SortStableFunc(*l, func(a, b Finding) int { return a.At.Compare(b.At) })
	*l = slices.CompactFunc(*l, func(a, b Finding) bool {
		return a.At == b.At && a.Severity == b.Severity && a.Says == b.Says
	})
}

// HasErrors reports whether any finding is an error.
func (l List) HasErrors() bool {
	return slices.ContainsFunc(l, func(f Finding) bool { return f.Severity == Error })
}

// Count returns how many findings have the severity.
func (l List) Count(s Severity) int {
	n := 0
	for _, f := range l {
		if f.Severity == s {
			n++
		}
	}
	return n
}

// MarshalJSON gives an array, empty for an empty list.
func (l List) MarshalJSON() ([]byte, error) {
	if len(l) == 0 {
		return []byte("[]"), nil
	}
	return json.Marshal([]Finding(l))
}

// String is the list as Print prints it, without a path and excerpts; empty for an empty list.
func (l List) String() string {
	var b strings.Builder
	l.Print(&b, "", nil, false)
	return b.String()
}

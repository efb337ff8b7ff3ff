package diag

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// printed is how many errors Print shows; a person mends the first few, and the rest are often their echo.
const printed = 20

// window is how many characters of a source line an excerpt shows; longer lines are cut to the part around the caret.
const window = 100

// Print writes the list for a person: a line path:line:col: says, the source line with a caret under the place, the notes with
// the places of their own, and the remedy. At most 20 errors are written, then how many more there are; warnings and hints are
// all written. src may be nil, then there are no excerpts. Control characters of the document never reach w.
func (l List) Print(w io.Writer, path string, src []byte, color bool) {
	lines := newLines(src)
	paint := painter(color)
	errors := 0
	for _, f := range l {
		if f.Severity == Error {
			if errors++; errors > printed {
				continue
			}
		}
		label := ""
		if f.Severity != Error {
			label = f.Severity.String() + ": "
		}
		fmt.Fprintf(w, "%s%s%s\n", paint(bold, place(path, f.At)), paint(hue(f.Severity), label), paint(bold, clean(f.Says)))
		if text, caret, ok := lines.excerpt(f.At); ok {
			gutter := fmt.Sprintf("%5d", f.At.Line)
			fmt.Fprintf(w, "%s | %s\n%s | %s\n", gutter, text, strings.Repeat(" ", len(gutter)), paint(hue(f.Severity), caret))
		}
		for _, n := range f.Notes {
			fmt.Fprintf(w, "  %s%s\n", place("", n.At), clean(n.Says))
		}
		if f.Remedy != "" {
			fmt.Fprintf(w, "  %s\n", clean(f.Remedy))
		}
	}
	if more := errors - printed; more > 0 {
		fmt.Fprintf(w, "and %d more\n", more)
	}
}

// place is "path:line:col: ", without the parts that are not known.
func place(path string, at Pos) string {
	s := path
	if !at.IsZero() {
		if s != "" {
			s += ":"
		}
		s += fmt.Sprintf("%d:%d", at.Line, at.Column)
	}
	if s != "" {
		s = clean(s) + ": "
	}
	return s
}

// Terminal colours, by their escape numbers.
const (
	bold   = "1"
	red    = "31"
	yellow = "33"
	blue   = "34"
)

func hue(s Severity) string {
	switch s {
	case Warning:
		return yellow
	case Hint:
		return blue
	default:
		return red
	}
}

func painter(color bool) func(escape, s string) string {
	if !color {
		return func(_, s string) string { return s }
	}
	return func(escape, s string) string {
		if s == "" {
			return ""
		}
		return "\x1b[" + escape + "m" + s + "\x1b[0m"
	}
}

// clean replaces what could steer a terminal or break the line.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		if r == '\t' {
			return ' '
		}
		if unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) || r == '\u2028' || r == '\u2029' {
			return '\uFFFD'
		}
		return r
	}, s)
}

// lines finds source lines by number; it is built once for a list, since a document may have 10,000 lines.
type lines [][]byte

func newLines(src []byte) lines {
	if src == nil {
		return nil
	}
	return bytes.Split(src, []byte("\n"))
}

// excerpt returns the line at the place and a caret below its column, both cut to the window. ok is false where there is no
// such line or nothing on it.
func (l lines) excerpt(at Pos) (text, caret string, ok bool) {
	if at.Line < 1 || at.Line > len(l) || at.Column < 1 {
		return "", "", false
	}
	line := bytes.TrimRight(l[at.Line-1], "\r")
	if !utf8.Valid(line) || len(bytes.TrimSpace(line)) == 0 {
		return "", "", false
	}
	runes := []rune(clean(string(line)))
	col := min(at.Column-1, len(runes))
	from, to := 0, len(runes)
	if len(runes) > window {
		from = min(max(0, col-window/2), len(runes)-window)
		to = from + window
	}
	cut := string(runes[from:to])
	lead := col - from
	if from > 0 {
		cut = "…" + cut
		lead++
	}
	if to < len(runes) {
		cut += "…"
	}
	return strings.TrimRight(cut, " "), strings.Repeat(" ", lead) + "^", true
}

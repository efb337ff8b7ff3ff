package scene

import "strings"

// Text is one line of text. At is on the baseline, at the anchor.
type Text struct {
	At     Point
	Size   Pt
	Anchor Anchor
	Color  Color   // of runs that have none
	Turn   float64 // degrees clockwise as seen about At; 0 or ±90 as a rule
	Runs   []Run
}

// Run is text of one font within a line.
type Run struct {
	Font  Font
	Text  string
	Color Color // none: the line's
}

// Anchor says which point of a line stands at Text.At.
type Anchor uint8

// The anchors.
const (
	Left Anchor = iota
	Middle
	Right
)

// Label returns a line of one run.
func Label(at Point, size Pt, f Font, c Color, a Anchor, s string) Text {
	return Text{At: at, Size: size, Anchor: a, Color: c, Runs: []Run{{Font: f, Text: s}}}
}

// Rich splits a sentence into runs; what stands between pairs of asterisks, as in **A4**, is bold.
// A single asterisk stands for itself. Of "", one empty run.
func Rich(s string) []Run {
	var out []Run
	f := Body
	for {
		i := strings.Index(s, "**")
		if i < 0 {
			break
		}
		if i > 0 {
			out = append(out, Run{Font: f, Text: s[:i]})
		}
		s = s[i+2:]
		if f == Body {
			f = Bold
		} else {
			f = Body
		}
	}
	if s != "" || len(out) == 0 {
		out = append(out, Run{Font: f, Text: s})
	}
	return out
}

// Ink returns the colour of a run of the line.
func (t Text) Ink(r Run) Color {
	switch {
	case r.Color.Set:
		return r.Color
	case t.Color.Set:
		return t.Color
	}
	return Ink
}

// String returns the text of the line without its fonts.
func (t Text) String() string {
	var b strings.Builder
	for _, r := range t.Runs {
		b.WriteString(r.Text)
	}
	return b.String()
}

package quilt

import (
	"slices"
	"strings"
)

// UnitWord is a unit of the trade that may stand in a cell: {goose: A B}. Every unit fills its cell exactly, W wide and H high
// before it is turned; x runs right, y down. Which fabric goes where:
//
//	half square       A B          a seam from the bottom left to the top right corner; A above it (top left), B below it
//	half rectangle    A B          the same in a cell of any shape
//	goose             A B          A the goose: its long side along the whole bottom, its point in the middle of the top;
//	                               B both skies
//	                  A B C        B the sky on the left, C the sky on the right
//	hourglass         A B C D      four triangles that meet in the middle, clockwise: top, right, bottom, left
//	                  A B          top and bottom A, right and left B
//	three triangles   A B C        A the large one, above the seam from the bottom left to the top right corner; the half below
//	                               it is halved from the middle to the bottom right corner: B on the right, C at the bottom
//	square in square  A B C D E    A the centre, its corners in the middle of the sides; then the corners clockwise: top left,
//	                               top right, bottom right, bottom left
//	                  A B          all corners B
//	snowball          A B C D E    A the centre; then the corners clockwise from the top left; the legs of a corner are a third
//	                               of the shorter side
//	                  A B          all corners B
//	four-patch        A B C D      four quarters in reading order: top left, top right, bottom left, bottom right
//	                  A B          A top left and bottom right, B the others
//	nine-patch        A ... I      nine equal patches in reading order
//	                  A B          A in the corners and the centre, B on the sides
//	rail              A B ...      2 to 20 equal rails that lie across the cell, from the top to the bottom
//	log cabin         A B C D E .. A the centre, then the logs in the order of sewing, clockwise: top, right, bottom, left of what
//	                               is there, and round again; 1 to 10 whole rounds of four. With r rounds the cell is 2r + 1
//	                               parts wide and high: the centre is one part square and every log is one part wide. A top or
//	                               right log of a round ends at the corner that the log before it has made: the first is as long
//	                               as the centre, the second and third one part longer, the fourth two parts longer
//
// The reader writes the short forms out, so that Cell.Fabrics always holds the long one: three for a goose, four for an
// hourglass, five, five, four and nine.
type UnitWord struct {
	Name    string   // as Cell.Unit holds it
	Aliases []string // other spellings that the reader takes
	Takes   string   // how many fabrics, for an error: "2 or 4 fabrics"
	Square  bool     // fits a square cell only
	long    func(fabrics []string) []string
}

// Units are the unit words, in the order of the page on the format.
func Units() []UnitWord { return slices.Clone(units) }

// UnitNamed returns the unit word with that name or alias; ok is false where there is none.
func UnitNamed(name string) (u UnitWord, ok bool) {
	for _, u := range units {
		if u.Name == name || slices.Contains(u.Aliases, name) {
			return u, true
		}
	}
	return UnitWord{}, false
}

// Long returns the unit's fabrics written out, or nil where their number does not fit the unit.
func (u UnitWord) Long(fabrics []string) []string { return u.long(fabrics) }

var units = []UnitWord{
	{Name: "half square", Aliases: []string{"half-square", "half square triangle"}, Takes: "2 fabrics", Square: true, long: exactly(2)},
	{Name: "half rectangle", Aliases: []string{"half-rectangle"}, Takes: "2 fabrics", long: exactly(2)},
	{Name: "goose", Aliases: []string{"flying goose", "flying geese"}, Takes: "2 or 3 fabrics", long: shortOr("A B B", 3)},
	{Name: "hourglass", Takes: "2 or 4 fabrics", Square: true, long: shortOr("A B A B", 4)},
	{Name: "three triangles", Takes: "3 fabrics", Square: true, long: exactly(3)},
	{Name: "square in square", Aliases: []string{"square in a square"}, Takes: "2 or 5 fabrics", long: shortOr("A B B B B", 5)},
	{Name: "snowball", Takes: "2 or 5 fabrics", long: shortOr("A B B B B", 5)},
	{Name: "four-patch", Aliases: []string{"four patch"}, Takes: "2 or 4 fabrics", long: shortOr("A B B A", 4)},
	{Name: "nine-patch", Aliases: []string{"nine patch"}, Takes: "2 or 9 fabrics", long: shortOr("A B A B A B A B A", 9)},
	{Name: "rail", Aliases: []string{"rails", "rail fence"}, Takes: "2 to 20 fabrics", long: func(f []string) []string {
		if len(f) < 2 || len(f) > 20 {
			return nil
		}
		return f
	}},
	{Name: "log cabin", Takes: "1 fabric for the centre and 4 for each of 1 to 10 rounds", Square: true, long: func(f []string) []string {
		if len(f) < 5 || len(f) > 41 || len(f)%4 != 1 {
			return nil
		}
		return f
	}},
}

func exactly(n int) func([]string) []string {
	return func(f []string) []string {
		if len(f) != n {
			return nil
		}
		return f
	}
}

// shortOr takes two fabrics and deals them out by the pattern, or takes the full number as they are.
func shortOr(pattern string, full int) func([]string) []string {
	return func(f []string) []string {
		switch len(f) {
		case full:
			return f
		case 2:
			var out []string
			for _, p := range strings.Fields(pattern) {
				out = append(out, f[p[0]-'A'])
			}
			return out
		default:
			return nil
		}
	}
}

// unitOf splits "goose A B" into its unit and the rest; ok is false where the text does not begin with a unit word.
func unitOf(text string) (u UnitWord, rest string, ok bool) {
	longest := 0
	for _, w := range units {
		for _, name := range append([]string{w.Name}, w.Aliases...) {
			after, found := strings.CutPrefix(text, name)
			if found && (after == "" || after[0] == ' ') && len(name) > longest {
				u, rest, ok, longest = w, strings.TrimSpace(after), true, len(name)
			}
		}
	}
	return u, rest, ok
}

// unitNames are the names and aliases of all units.
func unitNames() []string {
	var names []string
	for _, u := range units {
		names = append(append(names, u.Name), u.Aliases...)
	}
	return names
}

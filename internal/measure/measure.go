// Package measure has one job: lengths in inches or centimetres as people write them and as rulers show them.
//
// It reads "3 7/8" into an exact number, prints a length for the page, and rounds to a ruler's mark by a named rule.
// It adds no allowance and converts no unit.
//
//	n, err := measure.Parse("3 7/8")              // exactly 31/8
//	measure.FormatWith(3.875, measure.Inch)       // "3 7/8 in", with a no-break space before the unit
//	measure.Ceil(3.8536, 0.125)                   // 3.875
package measure

import (
	"math"
	"strconv"
	"strings"
)

// Unit is the unit of every length in a document.
type Unit int

// The units a document may be written in.
const (
	Inch Unit = iota
	Centimetre
)

// String returns the unit's word in a document: "inch" or "cm".
func (u Unit) String() string {
	if u == Centimetre {
		return "cm"
	}
	return "inch"
}

// Abbrev returns the unit's sign after a number: "in" or "cm".
func (u Unit) Abbrev() string {
	if u == Centimetre {
		return "cm"
	}
	return "in"
}

// Cut is a length as cut, allowances included, in the document's unit. Only the phase that adds allowances makes one
// out of finished lengths.
type Cut float64

// guard is how far below a mark a length may seem to lie by rounding of floats and still count as on it.
const guard = 1e-9

// Ceil returns x rounded up to a multiple of mark, which is above 0. A value less than 1e-9 above a mark counts as on it.
func Ceil(x, mark float64) float64 { return math.Ceil(x/mark-guard) * mark }

// Nearest returns the multiple of mark, which is above 0, that is nearest to x.
func Nearest(x, mark float64) float64 { return math.Round(x/mark) * mark }

// near is the distance within which a length is printed as a fraction of the ruler.
const near = 1e-6

// Format returns x as it stands on a page, without its unit: inches as "3 7/8" where x is a multiple of 1/64, else as
// "3.854" to a thousandth; centimetres as "9.8" or "0.75" to a hundredth. Zeros at the end are dropped.
func Format(x float64, u Unit) string {
	if u == Centimetre {
		return decimal(x, 2)
	}
	sixtyFourths := math.Round(x * 64)
	if math.Abs(sixtyFourths/64-x) > near || math.Abs(sixtyFourths) > 1e15 {
		return decimal(x, 3)
	}
	n, minus := int64(sixtyFourths), ""
	if n < 0 {
		n, minus = -n, "-"
	}
	whole, over, under := n/64, n%64, int64(64)
	for over != 0 && over%2 == 0 {
		over, under = over/2, under/2
	}
	switch {
	case over == 0:
		return minus + strconv.FormatInt(whole, 10)
	case whole == 0:
		return minus + strconv.FormatInt(over, 10) + "/" + strconv.FormatInt(under, 10)
	}
	return minus + strconv.FormatInt(whole, 10) + " " + strconv.FormatInt(over, 10) + "/" + strconv.FormatInt(under, 10)
}

// FormatWith returns Format and the unit's sign after a no-break space: "3 7/8 in".
func FormatWith(x float64, u Unit) string { return Format(x, u) + "\u00a0" + u.Abbrev() }

func decimal(x float64, places int) string {
	s := strconv.FormatFloat(x, 'f', places, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

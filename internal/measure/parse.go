package measure

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"quiltwright/internal/exact"
)

// Largest is the greatest length or lower number of a fraction that Parse accepts.
const Largest = 1_000_000

// Parse returns the length that s writes, exactly and never below 0: a whole number "12", a fraction "1/4" or "9/8", a
// whole number and a fraction "3 7/8", or a decimal "2.5" of up to six places. Space around it is ignored. The error
// quotes s and says what would be right.
func Parse(s string) (exact.Num, error) {
	t := strings.TrimSpace(s)
	if t == "" {
		return exact.Num{}, errors.New("a length is missing: write a number such as 12, 2.5 or 3 7/8")
	}
	n, why := parse(t)
	if why != "" {
		return exact.Num{}, fmt.Errorf("%q is not a length: %s", shorten(t), why)
	}
	return n, nil
}

// shorten keeps a message on one line whatever the document holds.
func shorten(s string) string {
	const longest = 40
	if r := []rune(s); len(r) > longest {
		return string(r[:longest]) + "…"
	}
	return s
}

// parse returns the length in t, which is not empty, or why it is none.
func parse(t string) (exact.Num, string) {
	if why := stray(t); why != "" {
		return exact.Num{}, why
	}
	parts := strings.Fields(t)
	first := parts[0]
	switch {
	case len(parts) > 2:
		return exact.Num{}, "it has too many parts; write a whole number and a fraction such as 3 7/8"
	case len(parts) == 1 && strings.Contains(first, "/"):
		return fraction(first)
	case len(parts) == 1:
		return decimalNumber(first)
	}
	if parts[1][0] == '/' || first[len(first)-1] == '/' {
		return exact.Num{}, "write the fraction without spaces round its stroke, such as 7/8"
	}
	if strings.ContainsAny(first, "./") || !strings.Contains(parts[1], "/") {
		return exact.Num{}, "of two parts, the first must be a whole number and the second a fraction, such as 3 7/8"
	}
	whole, why := integer(first)
	if why != "" {
		return exact.Num{}, why
	}
	part, why := fraction(parts[1])
	if why != "" {
		return exact.Num{}, why
	}
	if !part.Less(exact.Int(1)) {
		return exact.Num{}, fmt.Sprintf("the fraction beside a whole number must be below 1; write %v", exact.Int(whole).Add(part))
	}
	return exact.Int(whole).Add(part), ""
}

// stray explains the first character that no length has, or returns "".
func stray(t string) string {
	for i, r := range t {
		switch {
		case '0' <= r && r <= '9', r == '/', r == '.', r == ' ', r == '\t', r == '\u00a0':
		case (r == '-' || r == '−' || r == '–') && i == 0:
			return "a length cannot be negative"
		case r == '-' || r == '–' || r == '−' || r == '+' || r == '&':
			return fmt.Sprintf("separate the whole number from its fraction by a space, such as %s",
				example(t[:i]+" "+t[i+len(string(r)):], "3 7/8"))
		case r == ',':
			return fmt.Sprintf("a decimal has a point, not a comma: write %s", example(strings.Replace(t, ",", ".", 1), "2.5"))
		case r == '⁄' || r == '∕' || r == ':' || r == '\\' || r == '÷':
			return fmt.Sprintf("write the fraction with a plain stroke: %s", example(strings.Replace(t, string(r), "/", 1), "7/8"))
		case vulgar[r] != "":
			return fmt.Sprintf("write the fraction with plain digits: %s",
				example(strings.TrimSpace(t[:i])+" "+vulgar[r]+t[i+len(string(r)):], "3 7/8"))
		case r == '"' || r == '″' || r == '”' || r == '\'' || isLetter(r):
			return fmt.Sprintf("write the number alone, such as %s; the unit stands once, as \"measure\"", example(t[:i], "3 7/8"))
		default:
			return fmt.Sprintf("the character %q has no place in it; write a number such as 12, 2.5 or 3 7/8", r)
		}
	}
	return ""
}

// vulgar holds the characters that are a fraction in one.
var vulgar = map[rune]string{
	'¼': "1/4", '½': "1/2", '¾': "3/4", '⅓': "1/3", '⅔': "2/3", '⅕': "1/5", '⅖': "2/5", '⅗': "3/5", '⅘': "4/5",
	'⅙': "1/6", '⅚': "5/6", '⅛': "1/8", '⅜': "3/8", '⅝': "5/8", '⅞': "7/8",
}

func isLetter(r rune) bool { return 'a' <= r && r <= 'z' || 'A' <= r && r <= 'Z' }

// example returns the repaired text where that is a length, else the stock one: advice must itself be right.
func example(repaired, stock string) string {
	repaired = strings.TrimSpace(repaired)
	if stray(repaired) == "" && repaired != "" {
		if _, why := parse(repaired); why == "" {
			return repaired
		}
	}
	return stock
}

func fraction(s string) (exact.Num, string) {
	over, under, _ := strings.Cut(s, "/")
	switch {
	case strings.Contains(under, "/"):
		return exact.Num{}, "it has one stroke too many; write a fraction such as 7/8"
	case strings.Contains(s, "."):
		return exact.Num{}, "a fraction has whole numbers on both sides of its stroke; write 7/8 or 0.875"
	case over == "":
		return exact.Num{}, "the number before the stroke is missing; write a fraction such as 7/8"
	case under == "":
		return exact.Num{}, "the number after the stroke is missing; write a fraction such as 7/8"
	}
	n, why := integer(over)
	if why != "" {
		return exact.Num{}, why
	}
	d, why := integer(under)
	if why != "" {
		return exact.Num{}, why
	}
	if d == 0 {
		return exact.Num{}, "the number after the stroke cannot be 0; write a fraction such as 7/8"
	}
	return exact.Frac(n, d), ""
}

func decimalNumber(s string) (exact.Num, string) {
	const places = 6
	whole, after, point := strings.Cut(s, ".")
	switch {
	case point && strings.Contains(after, "."):
		return exact.Num{}, "it has one point too many; write a decimal such as 2.5"
	case point && whole == "" && after != "":
		return exact.Num{}, fmt.Sprintf("a decimal begins with a digit: write %s", example("0."+after, "0.5"))
	case point && after == "":
		return exact.Num{}, fmt.Sprintf("nothing follows the point: write %s", example(whole, "2.5"))
	case len(after) > places:
		return exact.Num{}, fmt.Sprintf("it has %d decimal places, at most %d are read", len(after), places)
	}
	n, why := integer(whole)
	if why != "" || !point {
		return exact.Int(n), why
	}
	a, why := integer("0" + after)
	if why != "" {
		return exact.Num{}, why
	}
	tenths := int64(1)
	for range after {
		tenths *= 10
	}
	return exact.Int(n).Add(exact.Frac(a, tenths)), ""
}

// integer reads digits, the only characters that can reach it.
func integer(s string) (int64, string) {
	n, err := strconv.ParseInt(s, 10, 64)
	if err != nil || n > Largest {
		return 0, fmt.Sprintf("%s is too large, at most %d is read", shorten(s), Largest)
	}
	return n, ""
}

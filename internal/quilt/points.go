package quilt

import (
	"fmt"
	"strconv"
	"strings"

	"quiltwright/internal/diag"
	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
)

// trap explains what YAML makes of points in brackets.
const trap = "inside [ ] and { } a comma ends a value, so 0,2 becomes two numbers; write points without brackets, as in  - 0,2 6,2"

// points reads points "x,y" separated by spaces, with the place of each. Every wrong point is an error; ok is false where there is
// one, or no point at all.
func (r *reader) points(n *node, what string) (points []plane.Point, places []diag.Pos, ok bool) {
	if n == nil {
		return nil, nil, false
	}
	if n.kind != scalar {
		bad := r.errorf(n.at, "bad-point", "%s is points x,y separated by spaces, not %v", what, n.kind)
		if n.flow {
			bad.Remedy = trap
		}
		return nil, nil, false
	}
	words := n.words(r.lines)
	if len(words) == 0 {
		r.errorf(n.at, "bad-point", "%s has no points", what)
		return nil, nil, false
	}
	ok = true
	for i := 0; i < len(words); i++ {
		w := words[i]
		p, why := point(w.word)
		if why == "" {
			points, places = append(points, p), append(places, w.at)
			continue
		}
		ok = false
		bad := r.errorf(w.at, "bad-point", "“%s” is not a point: %s", shorten(w.word), why)
		// 1 1/2,3 or 0,1 1/2 is meant as one point, and its halves would each be an error.
		if mixed, fixed := mixedNumber(words[i:]); mixed > 1 {
			bad.Says = fmt.Sprintf("“%s” is not a point", joined(words[i:i+mixed]))
			bad.Remedy = fmt.Sprintf("a space ends a point; write the fraction without one: %s", fixed)
			i += mixed - 1
		} else if i > 0 {
			if mixed, fixed := mixedNumber(words[i-1:]); mixed > 1 {
				bad.At = words[i-1].at
				bad.Says = fmt.Sprintf("“%s” is not a point", joined(words[i-1:i-1+mixed]))
				bad.Remedy = fmt.Sprintf("a space ends a point; write the fraction without one: %s", fixed)
				i += mixed - 2
			}
		}
	}
	return points, places, ok
}

func joined(words []place) string {
	var b []string
	for _, w := range words {
		b = append(b, w.word)
	}
	return strings.Join(b, " ")
}

// mixedNumber recognises a point that is written with a mixed number, such as "1 1/2,3", "3,1 1/2" or "1 1/2,1 1/2", at the start of
// the words. It returns how many words that is, and the point as it should be written; 0 where there is none.
func mixedNumber(words []place) (n int, fixed string) {
	for n := min(3, len(words)); n >= 2; n-- {
		x, y, ok := strings.Cut(joined(words[:n]), ",")
		if !ok || strings.Contains(y, ",") {
			continue
		}
		fx, okX := improper(x)
		fy, okY := improper(y)
		if okX && okY {
			return n, fx + "," + fy
		}
	}
	return 0, ""
}

// improper turns "1 1/2" into "3/2" and leaves other coordinates as they are; ok is false for anything else.
func improper(s string) (string, bool) {
	parts := strings.Fields(s)
	if len(parts) == 1 {
		_, why := coordinate(parts[0])
		return parts[0], why == ""
	}
	if len(parts) != 2 || !strings.Contains(parts[1], "/") {
		return "", false
	}
	whole, err := strconv.Atoi(parts[0])
	part, why := coordinate(parts[1])
	if err != nil || why != "" || whole < 0 || whole > maxGrid {
		return "", false
	}
	num, den, ok := exact.Int(int64(whole)).Add(part).Rat()
	if !ok {
		return "", false
	}
	if den == 1 {
		return fmt.Sprint(num), true
	}
	return fmt.Sprintf("%d/%d", num, den), true
}

// point reads "x,y"; why says what is wrong, "" where nothing is.
func point(s string) (p plane.Point, why string) {
	x, y, ok := strings.Cut(s, ",")
	switch {
	case !ok:
		return p, "it has one number; write x,y with a comma and no space"
	case x == "" || y == "":
		return p, "write x,y with a comma and no space"
	case strings.Contains(y, ","):
		return p, "it has more than two numbers; separate points by spaces"
	}
	if p.X, why = coordinate(x); why != "" {
		return p, why
	}
	p.Y, why = coordinate(y)
	return p, why
}

// Limits of a coordinate as written.
const (
	maxDenominator = 1000
	maxDigits      = 6
)

// coordinate reads 3, 3/2 or 1.5, and -1 so that the error can be about the grid; why says what is wrong.
func coordinate(s string) (x exact.Num, why string) {
	digits, minus := strings.CutPrefix(s, "-")
	defer func() {
		if minus {
			x = x.Neg()
		}
	}()
	whole := func(t string) (int64, string) {
		if t == "" || strings.Trim(t, "0123456789") != "" {
			return 0, fmt.Sprintf("“%s” is not a number such as 3, 3/2 or 1.5", shorten(s))
		}
		if len(t) > maxDigits {
			return 0, fmt.Sprintf("“%s” has too many digits", shorten(s))
		}
		i, _ := strconv.ParseInt(t, 10, 64)
		return i, ""
	}
	if num, den, ok := strings.Cut(digits, "/"); ok {
		n, why := whole(num)
		if why != "" {
			return x, why
		}
		d, why := whole(den)
		switch {
		case why != "":
			return x, why
		case d == 0:
			return x, fmt.Sprintf("“%s” divides by zero", s)
		case d > maxDenominator:
			return x, fmt.Sprintf("the lower number of “%s” is above %d", s, maxDenominator)
		}
		return exact.Frac(n, d), ""
	}
	before, after, decimal := strings.Cut(digits, ".")
	n, why := whole(before)
	if why != "" || !decimal {
		return exact.Int(n), why
	}
	if len(after) > 3 {
		return x, fmt.Sprintf("“%s” has more than three decimals; write a fraction", shorten(s))
	}
	m, why := whole(after)
	if why != "" {
		return x, why
	}
	den := int64(1)
	for range after {
		den *= 10
	}
	return exact.Int(n).Add(exact.Frac(m, den)), ""
}

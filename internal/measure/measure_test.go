package measure

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"quiltwright/internal/exact"
	_ "quiltwright/internal/seed"
)

func TestParse(t *testing.T) {
	for s, want := range map[string]exact.Num{
		"12": exact.Int(12), "0": exact.Int(0), "012": exact.Int(12), "1/4": exact.Frac(1, 4), "9/8": exact.Frac(9, 8),
		"3 7/8": exact.Frac(31, 8), "2.5": exact.Frac(5, 2), "0.75": exact.Frac(3, 4), "3.000": exact.Int(3),
		" 3  7/8 ": exact.Frac(31, 8), "3\u00a07/8": exact.Frac(31, 8), "1000000": exact.Int(1000000),
	} {
		if got, err := Parse(s); err != nil || !got.Equal(want) {
			t.Errorf("%q is %v, %v, want %v", s, got, err, want)
		}
	}
}

func TestParseErrorsInstruct(t *testing.T) {
	for s, want := range map[string]string{
		"":                           "a length is missing: write a number such as 12, 2.5 or 3 7/8",
		"  ":                         "a length is missing: write a number such as 12, 2.5 or 3 7/8",
		"3 7/0":                      `"3 7/0" is not a length: the number after the stroke cannot be 0; write a fraction such as 7/8`,
		"3-7/8":                      `"3-7/8" is not a length: separate the whole number from its fraction by a space, such as 3 7/8`,
		"5-1/4":                      `"5-1/4" is not a length: separate the whole number from its fraction by a space, such as 5 1/4`,
		"3,5":                        `"3,5" is not a length: a decimal has a point, not a comma: write 3.5`,
		"7/8/2":                      `"7/8/2" is not a length: it has one stroke too many; write a fraction such as 7/8`,
		"-3":                         `"-3" is not a length: a length cannot be negative`,
		"−1/2":                       `"−1/2" is not a length: a length cannot be negative`,
		"1000001":                    `"1000001" is not a length: 1000001 is too large, at most 1000000 is read`,
		"3 1/2000000000000000000000": `"3 1/2000000000000000000000" is not a length: 2000000000000000000000 is too large, at most 1000000 is read`,
		"3 9/8":                      `"3 9/8" is not a length: the fraction beside a whole number must be below 1; write 4 1/8`,
		"3 / 4":                      `"3 / 4" is not a length: it has too many parts; write a whole number and a fraction such as 3 7/8`,
		"3 /4":                       `"3 /4" is not a length: write the fraction without spaces round its stroke, such as 7/8`,
		"3/ 4":                       `"3/ 4" is not a length: write the fraction without spaces round its stroke, such as 7/8`,
		"3 4":                        `"3 4" is not a length: of two parts, the first must be a whole number and the second a fraction, such as 3 7/8`,
		"3.5 1/2":                    `"3.5 1/2" is not a length: of two parts, the first must be a whole number and the second a fraction, such as 3 7/8`,
		"/8":                         `"/8" is not a length: the number before the stroke is missing; write a fraction such as 7/8`,
		"7/":                         `"7/" is not a length: the number after the stroke is missing; write a fraction such as 7/8`,
		"1.5/2":                      `"1.5/2" is not a length: a fraction has whole numbers on both sides of its stroke; write 7/8 or 0.875`,
		".5":                         `".5" is not a length: a decimal begins with a digit: write 0.5`,
		"5.":                         `"5." is not a length: nothing follows the point: write 5`,
		"1.2.3":                      `"1.2.3" is not a length: it has one point too many; write a decimal such as 2.5`,
		"1.1234567":                  `"1.1234567" is not a length: it has 7 decimal places, at most 6 are read`,
		"3⅞":                         `"3⅞" is not a length: write the fraction with plain digits: 3 7/8`,
		"½":                          `"½" is not a length: write the fraction with plain digits: 1/2`,
		"7⁄8":                        `"7⁄8" is not a length: write the fraction with a plain stroke: 7/8`,
		"12 in":                      `"12 in" is not a length: write the number alone, such as 12; the unit stands once, as "measure"`,
		`12"`:                        `"12\"" is not a length: write the number alone, such as 12; the unit stands once, as "measure"`,
		"wide":                       `"wide" is not a length: write the number alone, such as 3 7/8; the unit stands once, as "measure"`,
		"3*4":                        `"3*4" is not a length: the character '*' has no place in it; write a number such as 12, 2.5 or 3 7/8`,
	} {
		if got, err := Parse(s); err == nil || err.Error() != want {
			t.Errorf("%q is %v, error\n%v, want\n%s", s, got, err, want)
		}
	}
}

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		x    float64
		u    Unit
		want string
	}{
		{3.875, Inch, "3 7/8"}, {0.25, Inch, "1/4"}, {12, Inch, "12"}, {0, Inch, "0"}, {2.015625, Inch, "2 1/64"},
		{3.8536, Inch, "3.854"}, {-1.5, Inch, "-1 1/2"}, {-0.5, Inch, "-1/2"}, {11.9999999999, Inch, "12"}, {2.5004, Inch, "2.5"},
		{9.8, Centimetre, "9.8"}, {0.75, Centimetre, "0.75"}, {30, Centimetre, "30"}, {9.8536, Centimetre, "9.85"},
		{-0.001, Centimetre, "0"}, {100, Centimetre, "100"}, {1e300, Inch, decimal(1e300, 3)},
	} {
		if got := Format(c.x, c.u); got != c.want {
			t.Errorf("%v %v is %q, want %q", c.x, c.u, got, c.want)
		}
	}
	if got := FormatWith(3.875, Inch); got != "3 7/8\u00a0in" {
		t.Errorf("got %q", got)
	}
	if got := FormatWith(9.8, Centimetre); got != "9.8\u00a0cm" {
		t.Errorf("got %q", got)
	}
	if Inch.String()+Centimetre.String() != "inchcm" {
		t.Error("the words of a document are inch and cm")
	}
}

func TestRounding(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mark := rapid.SampledFrom([]float64{0.125, 0.0625, 0.25, 0.1, 0.05, 0.5}).Draw(t, "mark")
		n := rapid.IntRange(0, 10_000).Draw(t, "marks")
		on := float64(n) * mark
		for _, x := range []float64{on, on + 1e-12, on - 1e-12} {
			if got := Ceil(x, mark); got != on {
				t.Errorf("%v rounds up to %v, want %v", x, got, on)
			}
		}
		part := rapid.Float64Range(0.001, 0.999).Draw(t, "part")
		x := on + part*mark
		if got := Ceil(x, mark); got != float64(n+1)*mark {
			t.Errorf("%v rounds up to %v by %v", x, got, mark)
		}
		if got := Nearest(x, mark); math.Abs(got-x) > mark/2+1e-9 {
			t.Errorf("%v rounds to %v by %v", x, got, mark)
		}
	})
}

// FuzzParse checks that what is read prints as what reads the same, and that no text panics or gives a length out of bounds.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"12", "3 7/8", "1/4", "2.5", "0.000001", "3-7/8", "3,5", "7/8/2", "", "-1", "1000000", "½", "3⅞", "3 63/64"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		n, err := Parse(s)
		if err != nil {
			if strings.ContainsAny(err.Error(), "\n") {
				t.Errorf("the error on %q has a line break", s)
			}
			return
		}
		if n.Sign() < 0 || exact.Int(Largest+1).Less(n) {
			t.Errorf("%q is %v", s, n)
		}
		again, err := Parse(n.String())
		if err != nil || !again.Equal(n) {
			t.Errorf("%q is %v, which is read as %v, %v", s, n, again, err)
		}
		if _, d, _ := n.Rat(); 64%d == 0 {
			if again, err := Parse(Format(n.Float(), Inch)); err != nil || !again.Equal(n) {
				t.Errorf("%q is %v, which is printed as %s", s, n, Format(n.Float(), Inch))
			}
		}
	})
}

package words

import (
	"strconv"

	"quiltwright/internal/measure"
)

// Expected is what is assumed of the people who sew, for a forecast: what cut sizes and seams vary by, and what a pressed seam takes up.
func (t *Teller) Expected(sewings string, cutting, scatter, takeUp float64) Text {
	in := func(x float64) string { return measure.FormatWith(x, t.unit) }
	return Text(t.in.say("expect.assumed", "sewings", sewings, "cutting", in(cutting), "scatter", in(scatter), "takeup", in(takeUp)))
}

// ExpectedSeam is the seam that brings blocks to their size, as people sew.
func (t *Teller) ExpectedSeam(scant float64) Text {
	return Text(t.in.say("expect.scant", "scant", t.Fine(scant), "seam", t.length(t.p.Seam)))
}

// ExpectedBlock is what size a block comes out in the mean, and how many of a hundred are near enough.
func (t *Teller) ExpectedBlock(width, height, near float64, within string) Text {
	two := func(x float64) string { return strconv.FormatFloat(x, 'f', 2, 64) }
	return Text(t.in.say("expect.block", "width", two(width), "height", two(height)+"\u00a0"+t.unit.Abbrev(), "near", measure.FormatWith(near, t.unit), "within", within))
}

// ExpectedWith is how many of a hundred are near enough with the seam that brings blocks to their size.
func (t *Teller) ExpectedWith(within string) Text {
	return Text(t.in.say("expect.with", "within", within))
}

// ExpectedMost says which work matters most.
func (t *Teller) ExpectedMost(work Text) Text {
	return Text(t.in.say("expect.most", "work", string(work)))
}

// ExpectedLarge is how many of a hundred blocks are near enough once a unit is made large and trimmed.
func (t *Teller) ExpectedLarge(unit, within string) Text {
	return Text(t.in.say("expect.large", "unit", t.Name(unit), "within", within))
}

// Fine is a length to a thousandth of an inch or a tenth of a millimetre, as a sum gives it.
func (t *Teller) Fine(x float64) string {
	digits := 3
	if t.unit == measure.Centimetre {
		digits = 2
	}
	return strconv.FormatFloat(x, 'f', digits, 64) + "\u00a0" + t.unit.Abbrev()
}

// Work names a kind of work of a block: cutting a piece, sewing the seams of a unit, cutting one apart, trimming one.
func (t *Teller) Work(does, unit, piece string, seams int, block string) Text {
	switch {
	case does == "cut":
		return Text(t.in.say("expect.cut", "piece", label(piece)))
	case does == "cut apart":
		return Text(t.in.say("expect.apart", "unit", t.Name(unit)))
	case does == "trim":
		return Text(t.in.say("expect.trim", "unit", t.Name(unit)))
	case unit == block && seams == 1:
		return Text(t.in.say("expect.last.one"))
	case unit == block:
		return Text(t.in.say("expect.last", "seams", t.count(seams, "join")))
	}
	return Text(t.in.say("expect.sew", "seams", t.count(seams, "join"), "unit", t.Name(unit)))
}

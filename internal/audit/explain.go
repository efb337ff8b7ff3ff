package audit

import (
	"math"

	"quiltwright/internal/plan"
)

// Mistake is what a line is: right, or what is wrong with it.
type Mistake string

// What a line may be.
const (
	Right       Mistake = "right"
	TooSmall    Mistake = "too small"
	TooLarge    Mistake = "too large"
	TooFew      Mistake = "too few"
	TooMany     Mistake = "too many"
	Missing     Mistake = "missing"
	SeamMissing Mistake = "seam allowance forgotten"
	Finished    Mistake = "finished size printed as cut size"
	Trimmed     Mistake = "trimmed size printed as cut size"
	OtherMethod Mistake = "another method's size"
	OtherFabric Mistake = "another fabric"
	OtherShape  Mistake = "another shape"
)

// rules are what sizes are judged by, in the plan's measure.
type rules struct {
	seam  float64
	ease  float64 // a size may be less than geometry asks, or more than printed, by so much
	near  float64 // and a mistake is recognised that near to the size that it would give
	roomy float64 // a blank that is trimmed later may be larger by so much
	trade []trade
}

// trade is a size of the trade for a triangle's finished side: square times the side, and more.
type trade struct {
	long  bool // of the long side
	times float64
	more  float64
	says  string
}

// Sizes of the trade, as published (docs/craft.md, S1 to S7, S11; the roomy ones: common practice). They stand here as words of other people's
// patterns, not as what this plan needs.
var (
	tradeInch = []trade{
		{false, 1, 7.0 / 8, "the usual 7/8 in more than finished"}, {false, 1, 1, "1 in more than finished, to be trimmed"}, {false, 1, 9.0 / 8, "1 1/8 in more than finished, to be trimmed"},
		{true, 1, 5.0 / 4, "the usual 1 1/4 in more than the long side"}, {true, 1, 11.0 / 8, "1 3/8 in more than the long side, to be trimmed"}, {true, 1, 3.0 / 2, "1 1/2 in more than the long side, to be trimmed"},
		{false, 2, 7.0 / 4, "eight at a time: twice the finished side and 1 3/4 in"}, {false, 2, 2, "eight at a time, to be trimmed: twice the finished side and 2 in"},
		{false, 1 / 0.64, 0.5 / 0.64, "four at a time: the unfinished side divided by 0.64"},
	}
	tradeCentimetre = []trade{
		{false, 1, 2.5, "the usual 2.5 cm more than finished"}, {true, 1, 3.5, "the usual 3.5 cm more than the long side"},
		{false, 2, 5, "eight at a time: twice the finished side and 5 cm"},
	}
)

// rulesOf are the rules for a plan.
func rulesOf(p *plan.Plan) rules {
	r := rules{seam: float64(p.Seam), ease: float64(p.Ease) + 1e-6, near: float64(p.Ease)/2 + 1e-6, roomy: 0.5, trade: tradeInch}
	if p.Measure == "cm" {
		r.roomy, r.trade = 1.25, tradeCentimetre
	}
	return r
}

// fits reports whether a blank of such a size is right for the need, one way or the other.
func (r rules) fits(n *need, a, b float64) bool {
	one := func(x, y float64) bool {
		return x >= n.least[0]-r.ease && r.longEnough(n, x) && y >= n.least[1]-r.ease && y <= max(n.height, n.least[1])+r.ease
	}
	return one(a, b) || one(b, a)
}

// longEnough reports whether a width is not too large. A strip may be as long as the cloth is wide, and one that is measured through
// one's own top is cut longer.
func (r rules) longEnough(n *need, x float64) bool {
	most := max(n.width, n.least[0])
	if n.loose {
		most += 8 * r.seam
	}
	return x <= most+r.ease || n.strip && math.Abs(x-n.cloth) <= r.ease
}

// piecewise reports whether a strip is one of several of the cloth's width that are joined to one.
func (r rules) piecewise(n *need, a, b float64) bool {
	one := func(x, y float64) bool {
		return math.Abs(x-n.cloth) <= r.ease && y >= n.least[1]-r.ease && y <= max(n.height, n.least[1])+r.ease
	}
	return n.joined > 1 && (one(a, b) || one(b, a))
}

// explain says what mistake makes such a size of what is needed. why is empty where the size has no other reason than that it is wrong.
func (r rules) explain(n *need, a, b float64, count int) (m Mistake, why string) {
	z := sized(a, b)
	if n.strip {
		if m, why := r.explainStrip(n, a, b, z); m != Right {
			return m, why
		}
	} else {
		among := func(sizes []size, by float64) bool {
			for _, s := range sizes {
				if z.near(s, by) {
					return true
				}
			}
			return false
		}
		switch {
		case among(n.ones, r.near) && count >= 2*n.max:
			return OtherMethod, "that is what its patches are cut as one by one, with squares flipped on their corners"
		case among(n.finished, r.ease):
			return Finished, "that is its finished size, without the seams round it"
		case among(n.sewn, r.near) && count >= 2*n.max:
			return OtherMethod, "that is what another method takes more of"
		case among(n.sewn, r.near):
			return Trimmed, "that is the size of what is sewn of it, once it is trimmed"
		}
		for _, less := range []size{{2, 0}, {0, 2}, {1, 1}, {1, 0}, {0, 1}, {2, 2}} {
			if !r.less(n, a, b, less) && !r.less(n, b, a, less) {
				continue
			}
			if less == (size{2, 2}) && n.class == whole && len(n.legs) == 0 {
				return Finished, "that is its finished size, without the seams round it"
			}
			return SeamMissing, seamsLess[less]
		}
		for _, t := range r.trade {
			sides := n.legs
			if t.long {
				sides = n.longs
			}
			for _, side := range sides {
				if x := side*t.times + t.more; z.near(size{x, x}, r.near) {
					return OtherMethod, "that is " + t.says
				}
			}
		}
	}
	if least := sized(n.least[0], n.least[1]); z[0] < least[0]-r.ease || z[1] < least[1]-r.ease {
		return TooSmall, ""
	}
	return TooLarge, ""
}

// less reports whether a blank is so many allowances narrower and lower than it should be.
func (r rules) less(n *need, a, b float64, by size) bool {
	one := func(x, least, printed, by float64) bool {
		if by == 0 {
			return x >= least-r.ease && x <= max(printed, least)+r.ease
		}
		return math.Abs(x-least+by*r.seam) <= r.near || math.Abs(x-printed+by*r.seam) <= r.near
	}
	return one(a, n.least[0], n.width, by[0]) && one(b, n.least[1], n.height, by[1])
}

var seamsLess = map[size]string{
	{2, 0}: "both allowances of one direction are missing", {0, 2}: "both allowances of one direction are missing",
	{1, 1}: "one allowance of two is missing in each direction", {1, 0}: "one allowance is missing", {0, 1}: "one allowance is missing",
	{2, 2}: "the allowances on both sides are missing",
}

func (r rules) explainStrip(n *need, a, b float64, z size) (Mistake, string) {
	for _, s := range n.ones {
		if z.near(s, r.near) && !r.fits(n, a, b) {
			return OtherMethod, "that is what its patches are cut as one by one, without strip sets"
		}
	}
	for _, way := range [][2]float64{{a, b}, {b, a}} {
		long, high := way[0], way[1]
		is := func(x, want float64) bool { return math.Abs(x-want) <= r.near }
		goodLength := long >= n.least[0]-r.ease && r.longEnough(n, long) || r.piecewise(n, long, n.height) || is(long, n.least[0]-2*r.seam)
		switch {
		case goodLength && (is(high, n.least[1]-2*r.seam) || is(high, n.height-2*r.seam)):
			return Finished, "that is its finished width, without the seams along it"
		case goodLength && (is(high, n.least[1]-r.seam) || is(high, n.height-r.seam)):
			return SeamMissing, "one allowance of two is missing"
		case is(long, n.least[0]-2*r.seam) && high >= n.least[1]-r.ease && high <= max(n.height, n.least[1])+r.ease:
			return SeamMissing, "the allowances at both ends are missing"
		}
	}
	return Right, ""
}

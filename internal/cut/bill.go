package cut

import (
	"math"

	"quiltwright/internal/guillotine"
	"quiltwright/internal/measure"
)

// margins are what is added to a length that is laid, and what a shop sells then.
type margins struct {
	squaring, miscut, shrink float64
	amount                   float64
	unit                     string
}

// margins of a length whose highest strip is so high.
func (r Rules) margins(length, highest float64) margins {
	out := margins{squaring: r.Squaring, miscut: r.MiscutBy}
	if r.Miscut {
		out.miscut = highest
	}
	need := length + out.squaring + out.miscut
	out.shrink = r.shrunk(need)
	out.amount, out.unit = r.shop(need + out.shrink)
	return out
}

// shrunk is how much more is bought of a length, for it shrinks.
func (r Rules) shrunk(length float64) float64 {
	if r.Shrink <= 0 || r.Shrink >= 1 {
		return 0
	}
	return length/(1-r.Shrink) - length
}

// shop is a length as a shop measures it out: up to 1/8 yd, or 10 cm.
func (r Rules) shop(length float64) (amount float64, unit string) {
	if r.Unit == measure.Centimetre {
		return measure.Ceil(length, 10), "cm"
	}
	return measure.Ceil(length, 4.5) / 36, "yd"
}

// highest is the highest strip off the bolt, or the widest along it.
func (l *laid) highest() float64 {
	h := 0.0
	for _, s := range l.stocks {
		if s.sheet == nil || s.bolt {
			h = math.Max(h, highest(s.bands))
		}
	}
	return h
}

// thrifty is lay, but segments of strips are cut again where less has to be bought then, and only there: every further cut
// is work. So much length is bought in any case, and so many sheets. Quick effort leaves it at two stages.
func thrifty(c Cloth, blanks []Blank, rules Rules, least float64, sheets int) (laid, error) {
	two, err := lay(c, blanks, rules)
	if err != nil || rules.Effort == guillotine.Quick || two.cloths > 1 {
		return two, err
	}
	for _, b := range two.bits {
		if b.row.pitch > 0 {
			return two, nil // runs at a slant are cut from strips
		}
	}
	rules.stages = 3
	if c.inSheets() {
		if two.sheets <= max(sheets, two.leastSheets(c)) {
			return two, nil
		}
		if three, err := lay(c, blanks, rules); err == nil && three.sheets < two.sheets {
			return three, nil
		}
		return two, nil
	}
	high := two.highest()
	amount := func(length, high float64) float64 { return rules.margins(math.Max(length, least), high).amount }
	now := amount(two.length, high)
	if amount(0, high) >= now {
		return two, nil
	}
	g := rules.grid(c)
	enough, tooLong := int64(0), g.up(two.length) // the longest that costs less lies between them
	for tooLong-enough > 1 {
		if mid := (enough + tooLong) / 2; amount(float64(mid)*g.step, high) < now {
			enough = mid
		} else {
			tooLong = mid
		}
	}
	if rules.goal = enough; enough == 0 {
		return two, nil
	}
	if three, err := lay(c, blanks, rules); err == nil && amount(three.length, three.highest()) < now {
		return three, nil
	}
	return two, nil
}

// leastSheets is how many sheets the area of what lies on those bought asks for at least.
func (l *laid) leastSheets(c Cloth) int {
	area := 0.0
	for _, s := range l.stocks {
		for k := range s.bands {
			for _, sl := range s.bands[k].slips {
				if s.bought {
					area += sl.w * sl.h
				}
			}
		}
	}
	return int(math.Ceil(area/(c.Sheet[0]*c.Sheet[1]) - 1e-9))
}

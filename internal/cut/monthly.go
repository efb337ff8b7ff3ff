package cut

import (
	"cmp"
	"math"
	"slices"

	"quiltwright/internal/plan"
)

// Those who follow a programme cut each month before the next is told. monthly lays every month's blanks by themselves: from
// what the months before have left, then off the bolt. So a later month never changes how an earlier one is cut. All months are cut in
// two stages: whether cutting again saves cloth in the end, only the months to come can say.
func monthly(c Cloth, blanks []Blank, rules Rules) (out []plan.MonthCutting, length float64, bought int, err error) {
	last := 0
	for _, b := range blanks {
		last = max(last, len(b.Months))
	}
	keep := rules.remnant()
	left := slices.Clone(c.Have)
	shelf := slices.Clone(c.Have)
	for m := range last {
		now := ofMonth(blanks, m)
		if len(now) == 0 {
			continue
		}
		slices.SortStableFunc(left, func(a, b [2]float64) int { // the smallest that will do
			return cmp.Compare(a[0]*a[1], b[0]*b[1])
		})
		c.Have = left
		l, err := lay(c, now, rules)
		if err != nil {
			return nil, 0, 0, err
		}
		length += l.length
		cutting := plan.MonthCutting{Month: m + 1, Length: plan.Num(l.length), Layout: l.tree(), Strips: l.strips()}
		for i := range cutting.Strips {
			s := &cutting.Strips[i]
			if s.From == onShelf && len(without(shelf, [2]float64{float64(s.Of[0]), float64(s.Of[1])})) == len(shelf) {
				s.From = leftOver
			}
		}
		for i := range cutting.Layout {
			s := &cutting.Layout[i]
			took := [2]float64{float64(s.First.Width), float64(s.First.Height)}
			switch s.Stock {
			case leftOver: // beside long strips of this month
				left = without(left, took)
			case onShelf:
				left = without(left, took)
				if rest := without(shelf, took); len(rest) < len(shelf) {
					shelf = rest
				} else {
					s.Stock = leftOver
				}
			case "sheet":
				bought++
			}
			if !s.Motif { // where what is left between motifs lies is not known
				left = append(left, remainders(s.First, keep)...)
			}
		}
		out = append(out, cutting)
	}
	return out, length, bought, nil
}

// remnant is how large a remainder has to be both ways to be kept.
func (r Rules) remnant() float64 { return r.inch(1.5, 4) }

// ofMonth are the blanks that month m cuts.
func ofMonth(blanks []Blank, m int) []Blank {
	var out []Blank
	for _, b := range blanks {
		if m < len(b.Months) && b.Months[m] > 0 {
			months := make([]int, m+1)
			months[m] = b.Months[m]
			b.Months = months
			out = append(out, b)
		}
	}
	return out
}

// without is a list without the first that is equal.
func without(list [][2]float64, x [2]float64) [][2]float64 {
	for i, y := range list {
		if math.Abs(x[0]-y[0]) < sliver && math.Abs(x[1]-y[1]) < sliver {
			return slices.Delete(slices.Clone(list), i, i+1)
		}
	}
	return list
}

// remainders are the rectangles left over under a node that are larger than keep both ways.
func remainders(n *plan.Node, keep float64) [][2]float64 {
	var out [][2]float64
	if n.Left != nil && float64(n.Width) > keep && float64(n.Height) > keep {
		out = append(out, [2]float64{float64(n.Width), float64(n.Height)})
	}
	for i := range n.Parts {
		out = append(out, remainders(&n.Parts[i], keep)...)
	}
	return out
}

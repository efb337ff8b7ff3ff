package app

import (
	"fmt"

	"quiltwright/internal/forecast"
	"quiltwright/internal/plan"
	"quiltwright/internal/words"
)

// expected is a forecast and the plan that it is of.
type expected struct {
	of       *plan.Plan
	forecast *forecast.Forecast
}

// expect is what is to be expected of a plan. It takes a second or two for a large one and is known from then on.
func (s *state) expect(p *plan.Plan) *forecast.Forecast {
	s.mu.Lock()
	known := s.expected
	s.mu.Unlock()
	if known.of == p {
		return known.forecast
	}
	f := forecast.Of(p, forecast.Defaults(p))
	s.mu.Lock()
	s.expected = expected{p, f}
	s.mu.Unlock()
	return f
}

// expectations tells in words what size a block comes out when people sew it and what would help, with what is assumed; none for a block that is not
// known.
func expectations(f *forecast.Forecast, block string, say *words.Teller) []string {
	out := []string{}
	for _, b := range f.Blocks {
		if b.Name != block {
			continue
		}
		if b.Failed != "" {
			return append(out, b.Failed)
		}
		of100 := func(x float64) string { return fmt.Sprintf("%.0f", 100*x) }
		out = append(out, string(say.ExpectedBlock(b.Width.Mean, b.Height.Mean, f.Options.Near, of100(b.Within))))
		if f.Scant > 0 {
			out = append(out, string(say.ExpectedSeam(f.Scant)), string(say.ExpectedWith(of100(b.WithScant))))
		}
		if len(b.Steps) > 0 {
			e := b.Steps[0]
			out = append(out, string(say.ExpectedMost(say.Work(string(e.Does), e.Unit, e.Piece, e.Seams, b.Unit))))
		}
		for i, l := range b.MakeLarge {
			if i == 2 {
				break
			}
			out = append(out, string(say.ExpectedLarge(l.Unit, of100(l.Within))))
		}
		o := f.Options
		return append(out, string(say.Expected(thousands(o.Sewings), o.Cutting, o.SeamScatter, o.TakeUp)))
	}
	return out
}

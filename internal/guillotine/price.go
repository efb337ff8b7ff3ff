package guillotine

import (
	"cmp"
	"math/bits"
	"slices"
)

// prices is what strips are worth for the present worth of items: offers of strips that are worth more than
// they cost, and by how much the worths are too high at most.
type prices struct {
	offers   []offer // the largest gain first
	num, den int64   // worths divided by num/den, which is fine or more, make no strip worth more than its height
}

// offer is a strip whose worth exceeds what its height costs.
type offer struct {
	height int64
	gain   int64
	level  int // in two stages
}

// over notes that a strip of some height is worth so much.
func (p *prices) over(worth, height int64) {
	if worth <= 0 {
		return
	}
	ah, al := bits.Mul64(uint64(worth), uint64(p.den))
	bh, bl := bits.Mul64(uint64(p.num), uint64(height))
	if ah > bh || ah == bh && al > bl {
		p.num, p.den = worth, height
	}
}

// noise is the gain from which on a strip is offered; less is noise of the program's duals.
const noise = fine / 100_000

func (p *prices) sort() {
	slices.SortStableFunc(p.offers, func(a, b offer) int {
		return cmp.Compare(b.gain, a.gain)
	})
}

// priceRows prices strips of two stages, every height at once. credit is what a strip earns by its height alone.
func (s *stock) priceRows(worth []int64, need []int, credit func(height int64) int64) (prices, *sack) {
	p := prices{num: fine, den: 1}
	var last int64
	b := s.fill(s.width, worth, need, len(s.heights)-1, func(level int, w int64) {
		h := s.heights[level]
		w += credit(h)
		p.over(w, h)
		gain := w - h*fine
		if gain > noise && (level == 0 || last < gain) {
			p.offers = append(p.offers, offer{height: h, gain: gain, level: level})
		}
		last = gain
	})
	p.sort()
	return p, b
}

// priceStacks prices strips of three stages, of every height up to the tallest item's. A strip is a mixture of
// segments, a segment of a width the best stack of what is no wider; both within the needs each for itself, so that a
// strip may be worth less than is said here, but never more. thorough finds the true num and den; otherwise only the
// heights that look best are looked into.
func (s *stock) priceStacks(worth []int64, need []int, credit func(height int64) int64, thorough bool) (prices, *pile) {
	p := prices{num: fine, den: 1}
	b := s.pile(s.tallest/s.step, s.width, worth, need)
	type guess struct {
		height int64 // in steps
		credit int64
		share  float64 // no strip of it is worth more for its height
	}
	guesses := make([]guess, 0, b.high)
	for h := int64(1); h <= b.high; h++ {
		c := credit(h * s.step)
		if n := len(guesses); b.same(h) && n > 0 && h > 1 && credit((h-1)*s.step) == c {
			continue // a lower strip holds as much
		}
		g := guess{height: h, credit: c}
		var dense float64
		for k, w := range b.widths {
			dense = max(dense, float64(b.worth[k][h])/float64(w))
		}
		if g.share = (float64(dense*float64(s.width)) + float64(c)) / float64(h*s.step); g.share > 0 {
			guesses = append(guesses, g)
		}
	}
	s.work += b.high * int64(len(b.widths))
	slices.SortStableFunc(guesses, func(x, y guess) int {
		switch {
		case x.share > y.share:
			return -1
		case x.share < y.share:
			return 1
		}
		return 0
	})
	for n, g := range guesses {
		// The margin is many times what the quotients may be off.
		if g.share < max(fine, float64(p.num)/float64(p.den))*(1-1e-6) || n >= 5 && !thorough {
			break
		}
		w := b.mix(g.height, s.width) + g.credit
		h := g.height * s.step
		p.over(w, h)
		if gain := w - h*fine; gain > noise {
			p.offers = append(p.offers, offer{height: h, gain: gain})
		}
	}
	p.sort()
	return p, b
}

package guillotine

import (
	"slices"
)

// build lays the needed counts strip by strip, in a few manners, and returns the shortest.
func (s *stock) build(need []int) plan {
	var best plan
	length := int64(-1)
	for _, manner := range []int64{0, 1, 3} {
		p := s.buildOnce(need, manner)
		if l := p.length(); length < 0 || l < length {
			best, length = p, l
		}
	}
	return best
}

// buildOnce makes the fullest strip that holds the item that cannot lie lower than any other left, as
// often as it can be used, until nothing is left. Fullest counts area, and manner counts how much more
// tall items are worth.
func (s *stock) buildOnce(need []int, manner int64) plan {
	need = slices.Clone(need)
	low := s.lowest()
	tallest := s.heights[len(s.heights)-1]
	worth := make([]int64, len(s.items))
	for i, it := range s.items {
		worth[i] = it.W * it.H
		if l := low[i]; l >= 0 {
			worth[i] += worth[i] * manner * s.kinds[l].h / (4 * tallest)
		}
	}
	var p plan
	for {
		lead := -1
		for i, n := range need {
			if n > 0 && (lead < 0 || s.kinds[low[i]].h > s.kinds[low[lead]].h) {
				lead = i
			}
		}
		if lead < 0 {
			return p
		}
		many := s.fullest(lead, need, worth)
		c := s.row(many)
		count := max(c.often(need), 1)
		c.take(count, need)
		p.strips = append(p.strips, c.strip(count))
	}
}

// lowest returns for each item the kind in which it lies lowest, or -1.
func (s *stock) lowest() []int {
	low := make([]int, len(s.items))
	for i := range low {
		low[i] = -1
	}
	for k := len(s.kinds) - 1; k >= 0; k-- {
		low[s.kinds[k].item] = k
	}
	return low
}

// fullest returns the strip around item lead, lying either way, that has the most worth for its area.
func (s *stock) fullest(lead int, need []int, worth []int64) []int {
	var best []int
	var bestWorth, bestArea int64
	rest := slices.Clone(need)
	rest[lead]--
	for k, kd := range s.kinds {
		if kd.item != lead {
			continue
		}
		b := s.fill(s.width-kd.w, worth, rest, kd.level, nil)
		many := b.best(kd.level, s.width-kd.w)
		b.giveBack()
		s.within(many, rest)
		many[k]++
		var got int64
		for j, n := range many {
			got += int64(n) * worth[s.kinds[j].item]
		}
		area := kd.h * s.width * s.unit
		if best == nil || float64(got)*float64(bestArea) > float64(bestWorth)*float64(area) {
			best, bestWorth, bestArea = many, got, area
		}
	}
	return best
}

// within takes out of a strip what exceeds the need of an item that lies both ways in it.
func (s *stock) within(many []int, need []int) {
	used := make([]int, len(need))
	for k, n := range many {
		if n > 0 {
			i := s.kinds[k].item
			n = min(n, need[i]-used[i])
			many[k] = n
			used[i] += n
		}
	}
}

package guillotine

// sack is a bounded knapsack over the width of a strip, filled kind by kind in ascending height, so that
// one table answers for every height of strip.
type sack struct {
	s     *stock
	worth []int64  // by width used at most
	lots  []lot    // what was offered, in order
	took  [][]bool // took[l][w]: lot l is taken at width w
	after []int    // after[k]: how many lots were offered once heights[k] was done
}

// lot is several of a kind taken together: 1, 2, 4 ... and a rest, which make any number.
type lot struct {
	kind int
	many int
	w    int64
}

// fill offers each kind no higher than heights[top] up to limit[item] times at its worth, in a width.
// Kinds of no worth are left out. each, where given, is told what a strip of each height is worth.
func (s *stock) fill(width int64, worth []int64, limit []int, top int, each func(level int, worth int64)) *sack {
	b := &sack{s: s, worth: make([]int64, width+1)}
	for level := range top + 1 {
		for k := s.first[level]; k < s.first[level+1]; k++ {
			kd := s.kinds[k]
			if worth[kd.item] > 0 {
				b.offer(k, worth[kd.item], min(int64(limit[kd.item]), width/kd.w))
			}
		}
		b.after = append(b.after, len(b.lots))
		if each != nil {
			each(level, b.worth[width])
		}
	}
	return b
}

// offer offers a kind up to most times.
func (b *sack) offer(k int, worth, most int64) {
	w := b.s.kinds[k].w
	for many := int64(1); most > 0; many *= 2 {
		n := min(many, most)
		most -= n
		took := make([]bool, len(b.worth))
		for at := int64(len(b.worth)) - 1; at >= n*w; at-- {
			if v := b.worth[at-n*w] + n*worth; v > b.worth[at] {
				b.worth[at] = v
				took[at] = true
			}
		}
		b.s.work += int64(len(b.worth))
		b.lots = append(b.lots, lot{kind: k, many: int(n), w: n * w})
		b.took = append(b.took, took)
	}
}

// best returns how many of each kind make the most of a width in a strip of heights[level], which must be
// the last level filled so far or an earlier one.
func (b *sack) best(level int, width int64) []int {
	many := make([]int, len(b.s.kinds))
	for l := b.after[level] - 1; l >= 0; l-- {
		if b.took[l][width] {
			many[b.lots[l].kind] += b.lots[l].many
			width -= b.lots[l].w
		}
	}
	return many
}

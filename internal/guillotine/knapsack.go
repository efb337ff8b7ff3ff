package guillotine

// sack is a bounded knapsack over the width of a strip, filled kind by kind in ascending height, so that
// one table answers for every height of strip.
type sack struct {
	s     *stock
	worth []int64 // by width used at most
	lots  []lot   // what was offered, in order
	took  []bool  // by lot, then by width: it is taken there
	after []int   // after[k]: how many lots were offered once heights[k] was done
}

// lot is several of a kind taken together: 1, 2, 4 ... and a rest, which make any number.
type lot struct {
	kind int
	many int
	w    int64
	more bool // as often as there is room, one by one
}

// fill offers each kind no higher than heights[top] up to limit[item] times at its worth, in a width.
// Kinds of no worth are left out. each, where given, is told what a strip of each height is worth.
func (s *stock) fill(width int64, worth []int64, limit []int, top int, each func(level int, worth int64)) *sack {
	b := s.emptySack(int(width) + 1)
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

// emptySack is a table of n widths without lots, with the memory of one that was given back.
func (s *stock) emptySack(n int) *sack {
	if last := len(s.sacks) - 1; last >= 0 {
		b := s.sacks[last]
		s.sacks = s.sacks[:last]
		b.worth = grown(b.worth, n)
		clear(b.worth)
		b.lots, b.took, b.after = b.lots[:0], b.took[:0], b.after[:0]
		return b
	}
	return &sack{s: s, worth: make([]int64, n)}
}

// giveBack says that the table is no longer used.
func (b *sack) giveBack() { b.s.sacks = append(b.s.sacks, b) }

// offer offers a kind up to most times.
func (b *sack) offer(k int, worth, most int64) {
	w := b.s.kinds[k].w
	room := int64(len(b.worth)) - 1
	if most > 0 && most == room/w {
		t := b.lot(lot{kind: k, many: 1, w: w, more: true})
		above, took := b.worth[w:], t[w:]
		for at, v := range b.worth[:len(above)] {
			if v += worth; v > above[at] {
				above[at], took[at] = v, true
			}
		}
		return
	}
	for many := int64(1); most > 0; many *= 2 {
		n := min(many, most)
		most -= n
		took := b.lot(lot{kind: k, many: int(n), w: n * w})
		for at := room; at >= n*w; at-- {
			if v := b.worth[at-n*w] + n*worth; v > b.worth[at] {
				b.worth[at] = v
				took[at] = true
			}
		}
	}
}

// lot adds a lot that is taken nowhere yet.
func (b *sack) lot(l lot) []bool {
	b.s.work += int64(len(b.worth))
	b.lots = append(b.lots, l)
	from := len(b.took)
	b.took = grown(b.took, from+len(b.worth))
	took := b.took[from:]
	clear(took)
	return took
}

// best returns how many of each kind make the most of a width in a strip of heights[level], which must be
// the last level filled so far or an earlier one.
func (b *sack) best(level int, width int64) []int {
	many := make([]int, len(b.s.kinds))
	for l := b.after[level] - 1; l >= 0; l-- {
		took := b.took[l*len(b.worth):]
		for took[width] {
			many[b.lots[l].kind] += b.lots[l].many
			width -= b.lots[l].w
			if !b.lots[l].more {
				break
			}
		}
	}
	return many
}

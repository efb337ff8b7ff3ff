package weigh

import "slices"

// improver holds the cheapest choice known for a part and makes it cheaper: it frees a neighbourhood
// of variables at a time and decides them exactly while the rest stays as it is.
type improver struct {
	size   []int
	tables []*table
	at     [][]int
	value  []int
	cost   int64
	work   int64
}

func newImprover(size []int, tables []*table) *improver {
	im := &improver{size: size, tables: tables, at: make([][]int, len(size)), cost: infinite}
	for i, t := range tables {
		for _, v := range t.over {
			im.at[v] = append(im.at[v], i)
		}
	}
	return im
}

// start takes a choice over if it is cheaper than the one it has.
func (im *improver) start(value []int) {
	if c := im.price(value); c < im.cost {
		im.value, im.cost = slices.Clone(value), c
	}
}

// from improves another choice, and takes it over if it ends up cheaper.
func (im *improver) from(value []int, work int64) {
	had, cost := im.value, im.cost
	im.value, im.cost = slices.Clone(value), im.price(value)
	im.run(work)
	if im.cost >= cost {
		im.value, im.cost = had, cost
	}
}

func (im *improver) price(value []int) int64 {
	var sum int64
	for i := range im.tables {
		sum += im.read(i, value)
	}
	return sum
}

func (im *improver) read(i int, value []int) int64 {
	k := 0
	for _, v := range im.tables[i].over {
		k = k*im.size[v] + value[v]
	}
	return im.tables[i].cost[k]
}

// run frees neighbourhoods around every variable in turn, larger ones once smaller ones gain nothing.
func (im *improver) run(work int64) {
	end := im.work + work
	wide := make([]bool, len(im.size)) // around these a larger neighbourhood is too wide
	for many := 12; many <= 96; many *= 2 {
		for gain := true; gain; {
			gain = false
			for v := range im.size {
				if wide[v] && many > 12 {
					continue
				}
				if im.work >= end {
					return
				}
				better, whole := im.free(im.ball(v, many))
				gain, wide[v] = gain || better, !whole
			}
		}
		if many >= len(im.size) {
			return
		}
	}
}

// ball returns v and the variables nearest to it, many in all.
func (im *improver) ball(v, many int) []int {
	ball := []int{v}
	in := make([]bool, len(im.size))
	in[v] = true
	for i := 0; i < len(ball); i++ {
		for _, t := range im.at[ball[i]] {
			for _, w := range im.tables[t].over {
				if len(ball) == many {
					return ball
				}
				if !in[w] {
					in[w] = true
					ball = append(ball, w)
				}
			}
		}
	}
	return ball
}

// free decides the given variables anew, exactly, and says whether that made the choice cheaper, and whether it freed all of them: of
// too wide a neighbourhood only the inner half is freed.
func (im *improver) free(ball []int) (better, whole bool) {
	var sub *part
	var o *order
	for whole = true; ; whole = false {
		sub = im.sub(ball)
		o = minFill(sub.size, sub.tables)
		im.work += 4*o.work + int64(16*len(ball))
		if o.work <= 1<<12 || len(ball) <= 2 {
			break
		}
		im.work += int64(16*len(ball)) - 4*o.work
		ball = ball[:len(ball)/2]
	}
	var before int64
	for _, t := range sub.tables {
		before += t.cost[sub.index(t, im.value)]
	}
	found := eliminate(sub.size, sub.tables, o)
	after := sub.cost(found)
	if after >= before {
		return false, whole
	}
	for i, v := range sub.vars {
		im.value[v] = found[i]
	}
	im.cost -= before - after
	return true, whole
}

// index is the place in a table of the part of the states that the whole has.
func (p *part) index(t *table, value []int) int {
	k := 0
	for _, v := range t.over {
		k = k*p.size[v] + value[p.vars[v]]
	}
	return k
}

// sub is the part of the net that the variables of ball decide, the others held.
func (im *improver) sub(ball []int) *part {
	p := &part{vars: ball}
	number := make([]int, len(im.size))
	for i, v := range ball {
		number[v] = i + 1
		p.size = append(p.size, im.size[v])
	}
	seen := make([]bool, len(im.tables))
	for _, v := range ball {
		for _, i := range im.at[v] {
			if seen[i] {
				continue
			}
			seen[i] = true
			t := im.tables[i]
			base, out := 0, &table{}
			stride := t.stride(im.size)
			var steps []int
			for j, w := range t.over {
				if number[w] == 0 {
					base += stride[j] * im.value[w]
					continue
				}
				out.over = append(out.over, number[w]-1)
				steps = append(steps, stride[j])
			}
			out.cost = t.slice(base, out.over, steps, p.sizes(im.size, ball, out.over))
			p.tables = append(p.tables, out)
		}
	}
	return p
}

// sizes returns the number of states of each variable in over.
func (p *part) sizes(size, ball, over []int) []int {
	out := make([]int, len(over))
	for i, v := range over {
		out[i] = size[ball[v]]
	}
	return out
}

// slice reads the entries at base plus every combination of steps, the last fastest.
func (t *table) slice(base int, over, steps, sizes []int) []int64 {
	n := 1
	for _, s := range sizes {
		n *= s
	}
	out := make([]int64, 0, n)
	state := make([]int, len(over))
	at := base
	for {
		out = append(out, t.cost[at])
		i := len(over) - 1
		for ; i >= 0; i-- {
			state[i]++
			at += steps[i]
			if state[i] < sizes[i] {
				break
			}
			at -= steps[i] * state[i]
			state[i] = 0
		}
		if i < 0 {
			return out
		}
	}
}

// lower gives variables smaller states where that costs nothing, until nothing changes.
func (im *improver) lower() {
	for again := true; again; {
		again = false
		for v := range im.size {
			had := im.value[v]
			before := im.around(v)
			for k := range had {
				im.value[v] = k
				if after := im.around(v); after <= before {
					im.cost += after - before
					again = true
					break
				}
				im.value[v] = had
			}
		}
	}
}

// around is the cost of the tables over v.
func (im *improver) around(v int) int64 {
	var sum int64
	for _, i := range im.at[v] {
		sum += im.read(i, im.value)
	}
	return sum
}

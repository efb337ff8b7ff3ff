package guillotine

import (
	"cmp"
	"fmt"
	"slices"
)

// stock is a problem prepared: what can lie in a strip, by height.
type stock struct {
	full    int64 // the whole width
	width   int64 // of it in steps of unit, as far as they go
	unit    int64 // what all widths that matter are multiples of
	items   []Item
	kinds   []kind  // ascending by height, then by width
	heights []int64 // of kinds, ascending, each once
	first   []int   // first[k]: number of the first kind of heights[k]; one more at the end
	step    int64   // what all heights are multiples of
	tallest int64   // of heights
	byWidth []int   // kinds, ascending by width
	stages  int
	piles   []*pile // to be used again
	sacks   []*sack // to be used again
	work    int64
}

// kind is an item lying one way.
type kind struct {
	item   int
	w, h   int64 // w in steps of the stock's unit
	level  int   // of h in heights
	turned bool
}

// newStock checks the items and turns them into kinds. Items of count 0 have none.
func newStock(width int64, items []Item) (*stock, error) {
	if width < 1 || width > mostWidth {
		return nil, fmt.Errorf("stock %d wide; 1 to %d are possible", width, mostWidth)
	}
	s := &stock{items: items, full: width, stages: 2}
	total := 0
	for i, it := range items {
		if it.W < 1 || it.H < 1 || it.W > mostSide || it.H > mostSide {
			return nil, fmt.Errorf("rectangle %d is %d by %d; sides of 1 to %d are possible", i, it.W, it.H, mostSide)
		}
		if it.Count < 0 || it.Count > mostCount-total {
			return nil, fmt.Errorf("rectangle %d is wanted %d times; 0 to %d in all are possible", i, it.Count, mostCount)
		}
		total += it.Count
		if it.Count == 0 {
			continue
		}
		fits := false
		if it.W <= width {
			s.kinds = append(s.kinds, kind{item: i, w: it.W, h: it.H})
			fits = true
		}
		if it.Turn && it.H <= width && it.W != it.H {
			s.kinds = append(s.kinds, kind{item: i, w: it.H, h: it.W, turned: true})
			fits = true
		}
		if !fits {
			return nil, &TooWide{Item: i, W: it.W, H: it.H, Width: width}
		}
	}
	slices.SortStableFunc(s.kinds, func(a, b kind) int {
		return cmp.Or(cmp.Compare(a.h, b.h), cmp.Compare(a.w, b.w), cmp.Compare(a.item, b.item))
	})
	for _, k := range s.kinds {
		s.unit = gcd(s.unit, k.w)
		s.step = gcd(s.step, k.h)
	}
	s.unit, s.step = max(s.unit, 1), max(s.step, 1)
	s.width = width / s.unit
	for i := range s.kinds {
		k := &s.kinds[i]
		k.w /= s.unit
		if len(s.heights) == 0 || s.heights[len(s.heights)-1] != k.h {
			s.heights = append(s.heights, k.h)
			s.first = append(s.first, i)
		}
		k.level = len(s.heights) - 1
	}
	s.first = append(s.first, len(s.kinds))
	s.byWidth = make([]int, len(s.kinds))
	for k, kd := range s.kinds {
		s.byWidth[k] = k
		s.tallest = max(s.tallest, kd.h)
	}
	slices.SortStableFunc(s.byWidth, func(a, b int) int { return cmp.Compare(s.kinds[a].w, s.kinds[b].w) })
	return s, nil
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// plan is strips in the making: any number of each pattern.
type plan struct {
	strips []strip
}

// strip is a pattern laid count times.
type strip struct {
	height int64
	count  int
	cuts   []segment
}

// segment is a stack of kinds, of one kind in two stages, laid count times side by side.
type segment struct {
	width int64
	count int
	stack []int // kinds, from the top
}

func (p plan) length() int64 {
	var sum int64
	for _, st := range p.strips {
		sum += st.height * int64(st.count)
	}
	return sum
}

// count is how many strips there are.
func (p plan) count() int {
	n := 0
	for _, st := range p.strips {
		n += st.count
	}
	return n
}

// layout orders the strips, groups equal ones and puts measures back on the grid.
func (p plan) layout(s *stock) Layout {
	var l Layout
	for _, st := range p.strips {
		if st.count == 0 {
			continue
		}
		out := Strip{Height: st.height, Count: st.count, Left: s.full}
		cuts := slices.Clone(st.cuts)
		slices.SortStableFunc(cuts, func(a, b segment) int {
			ka, kb := s.kinds[a.stack[0]], s.kinds[b.stack[0]]
			return cmp.Or(cmp.Compare(kb.h, ka.h), cmp.Compare(b.width, a.width), cmp.Compare(ka.item, kb.item), slices.Compare(a.stack, b.stack))
		})
		for _, c := range cuts {
			cut := Cut{Width: c.width * s.unit, Count: c.count}
			for _, k := range c.stack {
				part := Part{Item: s.kinds[k].item, Turned: s.kinds[k].turned, Count: 1}
				if n := len(cut.Parts); n > 0 && cut.Parts[n-1].Item == part.Item && cut.Parts[n-1].Turned == part.Turned {
					cut.Parts[n-1].Count++
					continue
				}
				cut.Parts = append(cut.Parts, part)
			}
			out.Left -= cut.Width * int64(cut.Count)
			if n := len(out.Cuts); n > 0 && out.Cuts[n-1].Width == cut.Width && slices.Equal(out.Cuts[n-1].Parts, cut.Parts) {
				out.Cuts[n-1].Count += cut.Count
				continue
			}
			out.Cuts = append(out.Cuts, cut)
		}
		l.Length += out.Height * int64(out.Count)
		l.Strips = append(l.Strips, out)
	}
	slices.SortStableFunc(l.Strips, compareStrips)
	grouped := l.Strips[:0]
	for _, st := range l.Strips {
		if n := len(grouped); n > 0 && compareStrips(grouped[n-1], st) == 0 {
			grouped[n-1].Count += st.Count
			continue
		}
		grouped = append(grouped, st)
	}
	l.Strips = grouped
	return l
}

// compareStrips orders strips from high to low, then by what is cut from them.
func compareStrips(a, b Strip) int {
	if c := cmp.Compare(b.Height, a.Height); c != 0 {
		return c
	}
	return slices.CompareFunc(a.Cuts, b.Cuts, func(a, b Cut) int {
		return cmp.Or(
			cmp.Compare(b.Width, a.Width),
			cmp.Compare(b.Count, a.Count),
			slices.CompareFunc(a.Parts, b.Parts, func(a, b Part) int {
				turned := 0
				if a.Turned != b.Turned {
					turned = 1
					if b.Turned {
						turned = -1
					}
				}
				return cmp.Or(cmp.Compare(a.Item, b.Item), turned, cmp.Compare(b.Count, a.Count))
			}))
	})
}

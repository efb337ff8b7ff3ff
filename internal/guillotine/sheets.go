package guillotine

import (
	"fmt"
	"slices"
)

// SheetProblem is a list of rectangles to be laid on equal sheets, as few as possible.
type SheetProblem struct {
	Width, Length int64
	Items         []Item
	Effort        Effort
}

// Sheets is how they are laid, in two stages.
type Sheets struct {
	Sheets  []Sheet // fullest first
	Count   int     // of all sheets
	Bound   int     // no two-stage layout takes fewer
	Optimal bool    // Bound equals Count
	Work    int64   // counted work
}

// Sheet is Count sheets cut alike. Strips run across the width, or, where Along is set, along the
// length: then their heights lie across and their widths along. Left is what no strip takes.
type Sheet struct {
	Count  int
	Along  bool
	Strips []Strip
	Left   int64
}

// LaySheets lays all items on as few sheets as it finds. A *TooWide error names an item that fits
// neither way; its Width is the sheet's.
//
// Properties: as of Lay, (1) to (4), with sheets for length.
func LaySheets(p SheetProblem) (Sheets, error) {
	d, err := newDesk(p)
	if err != nil {
		return Sheets{}, err
	}
	need := d.counts()
	var out Sheets
	if slices.Max(append(need, 0)) == 0 {
		out.Optimal = true
		return out, nil
	}
	passes := 4
	if p.Effort > Quick {
		passes = 30
	}
	out.Bound = d.bound(need)
	worth := d.area()
	for pass := 0; pass < passes && (out.Count == 0 || out.Count > out.Bound); pass++ {
		laid := d.pass(need, worth)
		n := 0
		for _, sh := range laid {
			n += sh.count
		}
		if out.Count == 0 || n < out.Count {
			out.Count = n
			out.Sheets = d.sheets(laid)
		}
		d.revalue(laid, worth)
	}
	if p.Effort > Quick && out.Bound < out.Count {
		out.Bound = max(out.Bound, min(d.relax(need, p.Effort), out.Count))
	}
	out.Optimal = out.Bound == out.Count
	out.Work = d.ways[0].work + d.ways[1].work
	return out, nil
}

// FillSheet lays as much area as it finds room for on one sheet, and says how many of each item that
// is. Items that do not fit are left out.
func FillSheet(p SheetProblem) (Sheet, []int, error) {
	fits := slices.Clone(p.Items)
	for i, it := range fits {
		if !(it.W <= p.Width && it.H <= p.Length || it.Turn && it.H <= p.Width && it.W <= p.Length) {
			fits[i].Count = 0
		}
	}
	p.Items = fits
	d, err := newDesk(p)
	if err != nil {
		return Sheet{}, nil, err
	}
	need := d.counts()
	laid := d.one(need, d.area())
	got := make([]int, len(need))
	for i, n := range laid.used(d) {
		got[i] = n
	}
	out := d.sheets([]sheet{laid})
	if len(out) == 0 {
		return Sheet{Count: 1, Left: p.Length}, got, nil
	}
	return out[0], got, nil
}

// desk is the sheet seen both ways: strips across its width, and strips along its length.
type desk struct {
	ways   [2]*stock
	length [2]int64
	items  []Item
}

func newDesk(p SheetProblem) (*desk, error) {
	if p.Length < 1 || p.Length > mostWidth {
		return nil, fmt.Errorf("sheets %d long; 1 to %d are possible", p.Length, mostWidth)
	}
	d := &desk{length: [2]int64{p.Length, p.Width}, items: p.Items}
	for way, width := range [2]int64{p.Width, p.Length} {
		items := slices.Clone(p.Items)
		for i, it := range items {
			if it.Count > 0 && !(it.W <= p.Width && it.H <= p.Length || it.Turn && it.H <= p.Width && it.W <= p.Length) {
				return nil, &TooWide{Item: i, W: it.W, H: it.H, Width: p.Width}
			}
			if way == 1 {
				items[i].W, items[i].H = it.H, it.W
			}
			// A way of lying that is too long for the sheet is none.
			w, h, l := items[i].W, items[i].H, d.length[way]
			switch {
			case it.Turn && h > l:
				items[i].Turn = false
				items[i].W, items[i].H = h, w
			case it.Turn && w > l:
				items[i].Turn = false
			}
		}
		s, err := newStock(width, items)
		if err != nil {
			return nil, err
		}
		// What was turned for good is named as turned.
		for k := range s.kinds {
			kd := &s.kinds[k]
			it := p.Items[kd.item]
			across := it.W
			if way == 1 {
				across = it.H
			}
			kd.turned = kd.w*s.unit != across
		}
		d.ways[way] = s
	}
	return d, nil
}

func (d *desk) counts() []int { return d.ways[0].counts() }

func (d *desk) area() []int64 {
	out := make([]int64, len(d.items))
	for i, it := range d.items {
		out[i] = it.W * it.H
	}
	return out
}

// sheet is a sheet in the making.
type sheet struct {
	way    int
	count  int
	strips []strip
}

// used is how many of each item one such sheet holds.
func (sh sheet) used(d *desk) []int {
	out := make([]int, len(d.items))
	for _, st := range sh.strips {
		for _, c := range st.cuts {
			out[d.ways[sh.way].kinds[c.stack[0]].item] += c.count * st.count
		}
	}
	return out
}

// pass lays everything, one sheet after the other, each with the most worth in it.
func (d *desk) pass(need []int, worth []int64) []sheet {
	need = slices.Clone(need)
	var laid []sheet
	for slices.Max(need) > 0 {
		sh := d.one(need, worth)
		used := sh.used(d)
		sh.count = mostCount
		for i, n := range used {
			if n > 0 {
				sh.count = min(sh.count, need[i]/n)
			}
		}
		for i, n := range used {
			need[i] -= n * sh.count
		}
		laid = append(laid, sh)
	}
	return laid
}

// one fills a sheet, in the way that gives more worth.
func (d *desk) one(need []int, worth []int64) sheet {
	var best sheet
	most := int64(-1)
	for way, s := range d.ways {
		strips := s.fillLength(d.length[way], need, worth)
		sh := sheet{way: way, count: 1, strips: strips}
		var got int64
		for i, n := range sh.used(d) {
			got += int64(n) * worth[i]
		}
		if got > most {
			best, most = sh, got
		}
	}
	return best
}

// fillLength lays strips on a length: again and again the highest one of the best mixture.
func (s *stock) fillLength(length int64, need []int, worth []int64) []strip {
	rest := slices.Clone(need)
	var strips []strip
	for length > 0 {
		top := len(s.heights) - 1
		for top >= 0 && s.heights[top] > length {
			top--
		}
		if top < 0 {
			break
		}
		levels := make([]int64, top+1)
		b := s.fill(s.width, worth, rest, top, func(level int, w int64) { levels[level] = w })
		_, mix := s.mix(length, levels)
		level, times := -1, 0
		for k, n := range mix {
			if n > 0 {
				level, times = k, n
			}
		}
		if level < 0 {
			break
		}
		many := b.best(level, s.width)
		s.within(many, rest)
		c := s.row(many)
		count := max(min(c.often(rest), times), 1)
		c.take(count, rest)
		st := c.strip(count)
		length -= st.height * int64(count)
		strips = append(strips, st)
	}
	return strips
}

// mix returns the most worth of strips, worth[level] each, in a length, and how many of each level
// make it, as if needs had no end.
func (s *stock) mix(length int64, worth []int64) (int64, []int) {
	n := length / s.step
	best := make([]int64, n+1)
	with := make([]int, n+1)
	for at := int64(1); at <= n; at++ {
		best[at], with[at] = best[at-1], -1
		for level, w := range worth {
			h := s.heights[level] / s.step
			if h > at {
				break
			}
			if v := best[at-h] + w; w > 0 && v > best[at] {
				best[at], with[at] = v, level
			}
		}
	}
	s.work += n * int64(len(worth))
	many := make([]int, len(worth))
	for at := n; at > 0; {
		if level := with[at]; level >= 0 {
			many[level]++
			at -= s.heights[level] / s.step
		} else {
			at--
		}
	}
	return best[n], many
}

// revalue makes items worth more that came to lie on sheets with much waste.
func (d *desk) revalue(laid []sheet, worth []int64) {
	full := d.length[0] * d.length[1]
	for _, sh := range laid {
		used := sh.used(d)
		var area int64
		for i, n := range used {
			area += int64(n) * d.items[i].W * d.items[i].H
		}
		for i, n := range used {
			if n > 0 {
				base := d.items[i].W * d.items[i].H
				waste := (full - area) * 64 / full
				worth[i] = min((worth[i]*3+worth[i]*(64+waste)/64)/4+1, 8*base)
			}
		}
	}
}

// bound is the area of all items over that of a sheet, or the number of items that no two of share a
// sheet, whichever is more.
func (d *desk) bound(need []int) int {
	var area int64
	alone := 0
	w, l := d.length[1], d.length[0]
	for i, n := range need {
		it := d.items[i]
		area += it.W * it.H * int64(n)
		if low := min(it.W, it.H); 2*low > w && 2*low > l || !it.Turn && 2*it.W > w && 2*it.H > l {
			alone += n
		}
	}
	return max(int(ceil(area, w*l)), alone)
}

// sheets puts measures back on the grid and groups equal sheets.
func (d *desk) sheets(laid []sheet) []Sheet {
	var out []Sheet
	for _, sh := range laid {
		l := plan{strips: sh.strips}.layout(d.ways[sh.way])
		s := Sheet{Count: sh.count, Along: sh.way == 1, Strips: l.Strips, Left: d.length[sh.way] - l.Length}
		if len(s.Strips) > 0 {
			out = append(out, s)
		}
	}
	return out
}

package guillotine

import (
	"fmt"
	"slices"
)

// SheetProblem is a list of rectangles to be laid on sheets: as few equal ones as possible, or the least area
// of sheets of several sizes.
type SheetProblem struct {
	Width, Length int64
	Others        [][2]int64 // further sizes, width and length
	Items         []Item
	Stages        int     // 2 or 3; 0 means 2
	Across        bool    // strips run across the width, never along the length
	Worth         []int64 // of one of each item, for FillSheet; nil: its area
	Effort        Effort
}

// Sheets is how they are laid.
type Sheets struct {
	Sheets    []Sheet // fullest first
	Count     int     // of all sheets
	Bound     int     // no layout of as many stages takes fewer; of several sizes: no fewer than this
	Area      int64   // of all sheets
	AreaBound int64   // no layout of as many stages takes less
	Optimal   bool    // AreaBound equals Area
	Work      int64   // counted work
}

// Sheet is Count sheets cut alike. Strips run across the width, or, where Along is set, along the
// length: then their heights lie across and their widths along. Left is what no strip takes.
type Sheet struct {
	Count  int
	Size   int // 0 is the problem's own size, 1 the first of the others
	Along  bool
	Strips []Strip
	Left   int64
}

// LaySheets lays all items on as few sheets as it finds. A *TooWide error names an item that fits
// on no sheet; its Width is the first sheet's.
//
// Properties: as of Lay, (1) to (4), with sheets for length.
func LaySheets(p SheetProblem) (Sheets, error) {
	d, err := newDesk(p)
	if err != nil {
		return Sheets{}, err
	}
	need := counts(p.Items)
	if slices.Max(append(need, 0)) == 0 {
		return Sheets{Optimal: true}, nil
	}
	passes := 4
	if p.Effort > Quick {
		passes = 30
	}
	bound := d.bound(need)
	var best []sheet
	if d.large() {
		best = d.shelves(need)
	}
	worth := d.area()
	work := p.Effort.work()
	if best != nil {
		passes = 0
	}
	for pass := 0; pass < passes && (best == nil || d.cost(best) > bound && (pass < 4 || d.work() < work/8)); pass++ {
		laid := d.pass(need, worth)
		if best == nil || d.cost(laid) < d.cost(best) {
			best = laid
		}
		d.revalue(laid, worth)
	}
	if p.Effort > Quick && bound < d.cost(best) && !d.large() {
		best, bound = d.generate(need, best, bound, work)
	}
	out := Sheets{Sheets: d.sheets(best), Area: d.cost(best) * d.unit, AreaBound: bound * d.unit, Optimal: d.cost(best) == bound, Work: d.work()}
	for _, sh := range best {
		out.Count += sh.count
	}
	var largest int64
	for _, c := range d.price {
		largest = max(largest, c)
	}
	out.Bound = min(int(ceil(bound, largest)), out.Count)
	return out, nil
}

// FillSheet lays items of as much area, or worth, as it finds room for on one sheet, and says how many of each item that
// is. Items that do not fit are left out. Beyond Quick, what is laid in two stages is mostly the most that is possible.
func FillSheet(p SheetProblem) (Sheet, []int, error) {
	fits := slices.Clone(p.Items)
	for i, it := range fits {
		if !it.fits(p.Width, p.Length) {
			fits[i].Count = 0
		}
	}
	p.Items = fits
	d, err := newDesk(p)
	if err != nil {
		return Sheet{}, nil, err
	}
	worth := p.Worth
	if worth == nil {
		worth = d.area()
	}
	laid := d.one(counts(p.Items), worth)
	if p.Effort > Quick && p.Stages != 3 && !d.large() {
		for n, w := range d.ways {
			strips, _ := w.fullest(counts(w.items), worth, w.fillLength(w.length, counts(w.items), worth), w.work+p.Effort.work()/int64(len(d.ways)))
			if sh := (sheet{way: n, count: 1, strips: strips, used: w.used(strips)}); sh.worth(worth) > laid.worth(worth) {
				laid = sh
			}
		}
	}
	out := d.sheets([]sheet{laid})
	if len(out) == 0 {
		return Sheet{Count: 1, Left: p.Length}, laid.used, nil
	}
	return out[0], laid.used, nil
}

// fits says whether the item fits on a sheet.
func (it Item) fits(width, length int64) bool {
	return it.W <= width && it.H <= length || it.Turn && it.H <= width && it.W <= length
}

// counts is how often each item is wanted.
func counts(items []Item) []int {
	need := make([]int, len(items))
	for i, it := range items {
		need[i] = it.Count
	}
	return need
}

// desk is all sizes of sheet, each seen both ways: strips across its width, and strips along its length.
type desk struct {
	ways  []way
	price []int64 // of each size, in units of area
	unit  int64   // what the areas of all sizes are multiples of
	items []Item
}

// way is a size of sheet seen one way.
type way struct {
	*stock
	length int64
	size   int
	along  bool
}

func newDesk(p SheetProblem) (*desk, error) {
	if p.Stages != 0 && p.Stages != 2 && p.Stages != 3 {
		return nil, fmt.Errorf("%d stages; 2 or 3 are possible", p.Stages)
	}
	sizes := append([][2]int64{{p.Width, p.Length}}, p.Others...)
	d := &desk{items: p.Items}
	for _, z := range sizes {
		if z[1] < 1 || z[1] > mostWidth {
			return nil, fmt.Errorf("sheets %d long; 1 to %d are possible", z[1], mostWidth)
		}
		if z[0] < 1 || z[0] > mostWidth {
			return nil, fmt.Errorf("stock %d wide; 1 to %d are possible", z[0], mostWidth)
		}
		d.unit = gcd(z[0]*z[1], d.unit)
	}
	for i, it := range p.Items {
		if it.Count > 0 && !slices.ContainsFunc(sizes, func(z [2]int64) bool { return it.fits(z[0], z[1]) }) {
			return nil, &TooWide{Item: i, W: it.W, H: it.H, Width: p.Width}
		}
	}
	for n, z := range sizes {
		d.price = append(d.price, z[0]*z[1]/d.unit)
		for _, along := range []bool{false, true} {
			if along && p.Across {
				continue
			}
			w, err := newWay(z, along, p)
			if err != nil {
				return nil, err
			}
			w.size = n
			d.ways = append(d.ways, w)
		}
	}
	return d, nil
}

// newWay sees a size of sheet one way.
func newWay(size [2]int64, along bool, p SheetProblem) (way, error) {
	w := way{length: size[1], along: along}
	width := size[0]
	if along {
		width, w.length = w.length, width
	}
	items := slices.Clone(p.Items)
	for i, it := range items {
		if along {
			it.W, it.H = it.H, it.W
		}
		// A way of lying that is too long for the sheet is none.
		switch {
		case it.Count == 0:
		case !it.fits(width, w.length):
			it.Count = 0
		case it.Turn && it.H > w.length:
			it.Turn = false
			it.W, it.H = it.H, it.W
		case it.Turn && it.W > w.length:
			it.Turn = false
		}
		items[i] = it
	}
	s, err := newStock(width, items)
	if err != nil {
		return way{}, err
	}
	s.stages = max(p.Stages, 2)
	// What was turned for good is named as turned.
	for k := range s.kinds {
		kd := &s.kinds[k]
		across := p.Items[kd.item].W
		if along {
			across = p.Items[kd.item].H
		}
		kd.turned = kd.w*s.unit != across
	}
	w.stock = s
	return w, nil
}

func (d *desk) area() []int64 {
	out := make([]int64, len(d.items))
	for i, it := range d.items {
		out[i] = it.W * it.H
	}
	return out
}

// large says that the desk is only filled sheet by sheet.
func (d *desk) large() bool {
	return slices.ContainsFunc(d.ways, func(w way) bool { return w.large() })
}

func (d *desk) work() int64 {
	var sum int64
	for _, w := range d.ways {
		sum += w.stock.work
	}
	return sum
}

// sheet is a sheet in the making.
type sheet struct {
	way    int
	count  int
	strips []strip
	used   []int // of each item
}

// worth is that of all items on the sheet.
func (sh sheet) worth(of []int64) int64 {
	var sum int64
	for i, n := range sh.used {
		sum += int64(n) * of[i]
	}
	return sum
}

func (d *desk) cost(laid []sheet) int64 {
	var sum int64
	for _, sh := range laid {
		sum += d.price[d.ways[sh.way].size] * int64(sh.count)
	}
	return sum
}

// pass lays everything, one sheet after the other, each with the most worth in it for its area.
func (d *desk) pass(need []int, worth []int64) []sheet {
	need = slices.Clone(need)
	var laid []sheet
	for slices.Max(need) > 0 {
		sh := d.one(need, worth)
		sh.count = mostCount
		for i, n := range sh.used {
			if n > 0 {
				sh.count = min(sh.count, need[i]/n)
			}
		}
		for i, n := range sh.used {
			need[i] -= n * sh.count
		}
		laid = append(laid, sh)
	}
	return laid
}

// one fills a sheet, of the size and in the way that give the most worth for its area.
func (d *desk) one(need []int, worth []int64) sheet {
	var best sheet
	most := -1.0
	for n, w := range d.ways {
		sh := sheet{way: n, count: 1, strips: w.fillLength(w.length, need, worth)}
		sh.used = w.used(sh.strips)
		if share := float64(sh.worth(worth)) / float64(d.price[w.size]); share > most {
			best, most = sh, share
		}
	}
	return best
}

// used is how many of each item the strips hold.
func (s *stock) used(strips []strip) []int {
	out := make([]int, len(s.items))
	for _, st := range strips {
		for _, c := range st.cuts {
			for _, k := range c.stack {
				out[s.kinds[k].item] += c.count * st.count
			}
		}
	}
	return out
}

// revalue makes items worth more that came to lie on sheets with much waste.
func (d *desk) revalue(laid []sheet, worth []int64) {
	for _, sh := range laid {
		full := d.price[d.ways[sh.way].size] * d.unit
		var area int64
		for i, n := range sh.used {
			area += int64(n) * d.items[i].W * d.items[i].H
		}
		for i, n := range sh.used {
			if n > 0 {
				base := d.items[i].W * d.items[i].H
				waste := (full - area) * 64 / full
				worth[i] = min((worth[i]*3+worth[i]*(64+waste)/64)/4+1, 8*base)
			}
		}
	}
}

// bound is the area of all items, as sheets, or, of one size, the number of items that no two of share a
// sheet, whichever is more.
func (d *desk) bound(need []int) int64 {
	var area int64
	alone := 0
	w, l := d.ways[0].full, d.ways[0].length
	for i, n := range need {
		it := d.items[i]
		area += it.W * it.H * int64(n)
		if low := min(it.W, it.H); 2*low > w && 2*low > l || !it.Turn && 2*it.W > w && 2*it.H > l {
			alone += n
		}
	}
	if len(d.price) > 1 {
		return d.priced(ceil(area, d.unit))
	}
	return max(d.priced(ceil(area, d.unit)), int64(alone)*d.price[0])
}

// priced rounds a bound up to what sheets can cost together.
func (d *desk) priced(bound int64) int64 {
	if len(d.price) == 1 {
		return ceil(bound, d.price[0]) * d.price[0]
	}
	return bound
}

// sheets puts measures back on the grid.
func (d *desk) sheets(laid []sheet) []Sheet {
	var out []Sheet
	for _, sh := range laid {
		w := d.ways[sh.way]
		l := plan{strips: sh.strips}.layout(w.stock)
		s := Sheet{Count: sh.count, Size: w.size, Along: w.along, Strips: l.Strips, Left: w.length - l.Length}
		if len(s.Strips) > 0 {
			out = append(out, s)
		}
	}
	return out
}

package cut

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"

	"quiltwright/internal/guillotine"
	"quiltwright/internal/measure"
)

// Blank is a line of the cutting list as far as laying it on cloth goes. Lengths are cut lengths.
type Blank struct {
	Label         string
	Width, Height float64    // across the cloth and along the selvage, unless turned
	Months        []int      // how many are cut in each month
	Turn          bool       // it may also lie a quarter turn round
	Across        bool       // its longer side lies across the cloth
	Row           row        // how it lies end to end with others of its kind; none: as a rectangle
	Joined        bool       // longer than the cloth is wide: joined from strips, or cut along the selvage
	Directed      bool       // a print runs with its height
	Measured      bool       // its length is measured through one's own top, so what is laid is longer
	Centred       bool       // on a motif
	Motif         [2]float64 // where that stands in it
	Along         bool       // off the bolt it is cut along the selvage
}

// Cloth is a fabric as it is sold.
type Cloth struct {
	Width    float64      // usable
	Sheet    [2]float64   // sold in sheets of this width and length; zero: from the bolt
	Have     [][2]float64 // pieces on the shelf, used first
	Motifs   lattice      // of the motifs that its blanks are centred on
	Assorted int          // so many different cloths share the blanks; 0 and 1: one cloth
}

// sold says whether the cloth is sold in sheets.
func (c Cloth) inSheets() bool { return c.Sheet[0] > 0 && c.Sheet[1] > 0 }

// Rules are what holds for all cloth of a document.
type Rules struct {
	Unit     measure.Unit
	Ruler    float64
	Seam     float64
	Squaring float64 // bought for squaring up
	Miscut   bool    // the largest strip is bought once more
	MiscutBy float64 // or so much
	Shrink   float64 // the part of its length that the cloth loses
	Diagonal bool    // strips are joined by diagonal seams
	Effort   guillotine.Effort
	Memory   *guillotine.Memory // nil: none

	along  bool  // what is longer than the cloth is wide is cut along it
	stages int   // 3: segments may be cut again; else 2
	goal   int64 // in steps of the grid: only a layout no longer than this is of use; 0: any is
}

// inch is an inch in the document's unit, or the round number of centimetres used for it.
func (r Rules) inch(in, cm float64) float64 {
	if r.Unit == measure.Centimetre {
		return cm
	}
	return in
}

// bit is a rectangle to be laid: a blank, a run of blanks with slanted ends, or a strip of a joined one.
type bit struct {
	label  string
	w, h   float64
	turned bool // it lies turned as it is
	turn   bool
	along  bool // cut along the selvage from a stretch of cloth: w across it, h along
	count  int
	run    int        // blanks in it, end to end in a row
	row    row        // only of a run
	piece  [2]float64 // of a run: what each measures as printed

	centred bool // on a motif
	motif   [2]float64
}

// slip is a bit where it lies in a strip: w along the strip, h across it.
type slip struct {
	bit    int
	turned bool
	w, h   float64
	wide   float64 // the segment it is cut from
	below  bool    // under the slip before it, in the same segment
	gap    float64 // passed over beside it, to what is cut about the next motif
	drop   float64 // passed over above it
	months []int   // of each blank in it
}

// band is a strip as it is cut off.
type band struct {
	height float64
	length float64
	along  bool // it runs along the selvage
	slips  []slip
	gap    float64 // passed over below it, to the next row of motifs that is cut
	pitch  float64 // how far one such row is from the next; 0: it is about no motifs
}

// segments are the slips of a band side by side, each with those below it.
func (b *band) segments() [][]slip {
	var out [][]slip
	for i, s := range b.slips {
		if !s.below {
			out = append(out, b.slips[i:i:len(b.slips)])
		}
		last := &out[len(out)-1]
		*last = (*last)[:len(*last)+1]
	}
	return out
}

// stock is a piece of cloth that is cut up: one band off the bolt, or a sheet and its bands. A sheet that is a stretch of the bolt, as wide as
// that, has bands along its length; what they leave of its width is cut up too.
type stock struct {
	sheet  *[2]float64 // nil: one band off the bolt
	bands  []band
	along  bool   // of a sheet: its bands run along its length
	bolt   bool   // the sheet is a stretch of the bolt
	motif  bool   // all on it is centred on motifs
	rest   *stock // what is cut from the rest of a stretch; nil: nothing
	cloth  int    // which of the assorted cloths
	bought bool
}

// laid is how a fabric's blanks lie.
type laid struct {
	bits    []bit
	stocks  []stock
	length  float64 // off the bolt
	bound   float64
	optimal bool
	sheets  int            // bought
	joined  map[string]int // strips for one blank
	turning bool
	stages  int // 3: a segment is cut again; else 2
	along   bool
	rows    bool // of motifs
	cloths  int
	due     bool      // its strips say when they are cut
	each    []float64 // length off each cloth's bolt
}

// rules says by which rules it is laid.
func (l *laid) rules() string {
	says := rulesSay(l.stages, l.sheets > 0, l.turning)
	if l.along {
		says += ", long strips along the length"
	}
	if slices.ContainsFunc(l.bits, func(b bit) bool { return b.row.pitch > 0 }) {
		says += inRows
	}
	if l.rows {
		says += ", strips about rows of motifs, equal pieces lying alike"
	}
	return says
}

// inRows says that pieces with slanted ends lie end to end, as many as the cloth is wide.
const inRows = ", slanted pieces in full rows"

// rulesSay says by which rules a layout is the shortest, or takes the fewest sheets.
func rulesSay(stages int, sheets, turning bool) string {
	says := "two stages"
	if stages == 3 {
		says = "three stages"
		if !sheets {
			says += ", no strip higher than the tallest piece"
		}
	}
	if turning {
		says += ", turning"
	}
	return says
}

// TooLarge says that a blank does not fit on the cloth.
type TooLarge struct {
	Label         string
	Width, Height float64
	Across        float64
	Turn          bool // it may also lie a quarter turn round
}

func (e *TooLarge) Error() string {
	return fmt.Sprintf("%s of %g by %g does not fit on cloth %g wide", e.Label, e.Width, e.Height, e.Across)
}

// lay finds out how the blanks lie on the cloth. strips are more blanks as wide as the cloth that carry no month
// of their own (binding). A *TooLarge error names a blank that fits no way.
func lay(c Cloth, blanks []Blank, rules Rules) (laid, error) {
	out := laid{joined: map[string]int{}, optimal: true, stages: 2}
	for _, b := range blanks {
		out.bits = append(out.bits, bits(b, c, rules, out.joined)...)
	}
	for _, b := range out.bits {
		out.turning = out.turning || b.turn && math.Abs(b.w-b.h) > 1e-9
	}
	need := make([]int, len(out.bits))
	total := 0
	for i, b := range out.bits {
		need[i] = b.count
		total += b.count
	}
	if total == 0 {
		return out, nil
	}
	g := rules.grid(c)
	for _, have := range c.Have {
		out.shelf(g, have, c.Motifs, need, rules)
	}
	out.cloths = max(1, min(c.Assorted, total))
	shares := share(need, out.cloths)
	for k, part := range shares {
		if slices.Max(part) == 0 {
			out.each = append(out.each, 0)
			continue
		}
		var err error
		if c.inSheets() {
			err = out.onSheets(g, c, part, k, rules)
		} else {
			err = out.onBolt(g, c, part, k, rules)
		}
		if err != nil {
			return out, err
		}
	}
	out.months(blanks)
	return out, nil
}

// bits turns a blank into rectangles.
func bits(b Blank, c Cloth, rules Rules, joined map[string]int) []bit {
	count := 0
	for _, n := range b.Months {
		count += n
	}
	if count == 0 {
		return nil
	}
	one := bit{label: b.Label, w: b.Width, h: b.Height, turn: b.Turn, count: count, run: 1, centred: b.Centred, motif: b.Motif}
	if b.Centred {
		return []bit{one}
	}
	if b.Across || b.Joined {
		one.turn = false
		if b.Height > b.Width {
			one.w, one.h, one.turned = b.Height, b.Width, true
		}
	}
	across := c.Width
	if c.inSheets() {
		across = math.Max(c.Sheet[0], c.Sheet[1])
	}
	extra := 0.0
	if b.Measured {
		extra = rules.inch(1, 2.5)
	}
	switch {
	case b.Along && !c.inSheets():
		one.turn, one.along = false, true
	case b.Joined && !c.inSheets() && (rules.along && !b.Directed || b.Directed && b.Height > b.Width):
		one.w, one.h, one.turned, one.along = one.h, one.w+extra, b.Width > b.Height, true
	case b.Joined:
		need := one.w + extra
		loss := 2 * rules.Seam
		if rules.Diagonal {
			loss = one.h
		}
		n := 2
		if across > loss {
			n = max(n, int(math.Ceil((need-loss)/(across-loss)-1e-9)))
		}
		joined[b.Label] = n
		rest := need - (across-loss)*float64(n-1)
		rest = math.Min(across, measure.Ceil(math.Max(rest, one.h), rules.Ruler))
		full := one
		full.w, full.count = across, count*(n-1)
		one.w = rest
		return []bit{full, one}
	case b.Measured:
		// As much longer as the cloth allows.
		if one.turned {
			one.w += math.Max(0, math.Min(extra, across-one.w))
		} else {
			one.h += extra
			if one.turn && one.h > across {
				one.h = math.Max(b.Height, across)
			}
		}
	case b.Row.pitch > 0:
		most := max(1, b.Row.most(across))
		if c.inSheets() {
			most = 1 // the strips of a sheet may run along it, and then a row would lie across them
		}
		run := func(k, count int) bit {
			x := one
			if k == 1 && b.boxed() {
				x.count = count
				return x
			}
			x.w, x.run, x.count, x.row, x.piece, x.turn = b.Row.of(k), k, count, b.Row, [2]float64{b.Width, b.Height}, false
			return x
		}
		var out []bit
		if n := count / most; n > 0 {
			out = append(out, run(most, n))
		}
		if k := count % most; k > 0 {
			out = append(out, run(k, 1))
		}
		return out
	}
	return []bit{one}
}

// boxed says whether the rectangle that it is printed as holds it, so that it may lie as one.
func (b Blank) boxed() bool { return b.Width >= b.Row.of(1)-1e-6 }

// share deals bits out to cloths, as evenly as can be.
func share(need []int, cloths int) [][]int {
	out := make([][]int, cloths)
	for k := range out {
		out[k] = make([]int, len(need))
	}
	next := 0
	for i, n := range need {
		for k := range out {
			out[k][i] = n / cloths
		}
		for range n % cloths {
			out[next][i]++
			next = (next + 1) % cloths
		}
	}
	return out
}

// grid turns lengths into whole steps.
type grid struct{ step float64 }

// grid is the one on which a cloth is laid.
func (r Rules) grid(c Cloth) grid {
	g := grid{step: r.Ruler / 8}
	for c.Width/g.step > 50_000 {
		g.step *= 2
	}
	return g
}

func (g grid) up(x float64) int64   { return int64(math.Ceil(x/g.step - 1e-6)) }
func (g grid) down(x float64) int64 { return int64(math.Floor(x/g.step + 1e-6)) }

// items are the bits, so many of each.
func (l *laid) items(g grid, count []int) []guillotine.Item {
	out := make([]guillotine.Item, len(l.bits))
	for i, b := range l.bits {
		out[i] = guillotine.Item{W: g.up(b.w), H: g.up(b.h), Count: count[i], Turn: b.turn}
		if b.along || b.centred {
			out[i].Count = 0
		}
	}
	return out
}

// shelf lays as much as there is room for on a piece of cloth at hand.
func (l *laid) shelf(g grid, have [2]float64, m lattice, need []int, rules Rules) {
	if st := l.aboutMotifs(have, m, need); st != nil {
		l.rows = true
		l.stocks = append(l.stocks, *st)
		return
	}
	if st := l.fill(g, have, need, false, rules); st != nil {
		l.stocks = append(l.stocks, *st)
	}
}

// fill lays as much as there is room for on a rectangle of cloth, across it only where that is said, and counts it off. It returns nil
// for cloth that is too small, or too large to count.
func (l *laid) fill(g grid, size [2]float64, need []int, across bool, rules Rules) *stock {
	items := l.items(g, need)
	for i, b := range l.bits {
		if b.run > 1 {
			items[i].Count = 0 // as on sheets
		}
	}
	sh, got, err := rules.Memory.FillSheet(guillotine.SheetProblem{Width: g.down(size[0]), Length: g.down(size[1]), Items: items, Across: across, Effort: rules.Effort})
	if err != nil || len(sh.Strips) == 0 {
		return nil
	}
	for i, n := range got {
		need[i] -= n
	}
	st := l.sheet(sh, size, 0, false)
	return &st
}

// sheet is one sheet cut up.
func (l *laid) sheet(sh guillotine.Sheet, size [2]float64, cloth int, bought bool) stock {
	length := size[0]
	if sh.Along {
		length = size[1]
	}
	st := stock{sheet: &size, along: sh.Along, cloth: cloth, bought: bought}
	for _, s := range sh.Strips {
		for range s.Count {
			st.bands = append(st.bands, l.band(s, length, sh.Along, nil))
		}
	}
	return st
}

// onSheets lays bits on sheets of one cloth.
func (l *laid) onSheets(g grid, c Cloth, count []int, cloth int, rules Rules) error {
	count = slices.Clone(count)
	for {
		st := l.aboutMotifs(c.Sheet, c.Motifs, count)
		if st == nil {
			break
		}
		st.cloth, st.bought, l.rows = cloth, true, true
		l.stocks = append(l.stocks, *st)
		l.sheets++
	}
	if err := l.noMotif(c, count); err != nil {
		return err
	}
	s, err := rules.Memory.LaySheets(guillotine.SheetProblem{Width: g.down(c.Sheet[0]), Length: g.down(c.Sheet[1]), Items: l.items(g, count), Stages: rules.stages, Effort: rules.Effort})
	if err != nil {
		return l.tooLarge(err, c)
	}
	for _, sh := range s.Sheets {
		for range sh.Count {
			l.stocks = append(l.stocks, l.sheet(sh, c.Sheet, cloth, true))
			l.sheets++
		}
	}
	l.each = append(l.each, 0)
	l.optimal = l.optimal && s.Optimal
	return nil
}

// onBolt lays bits on one cloth off the bolt. Where the largest strip is bought once more, a slightly longer layout
// of lower strips, with everything lying down, may be the one that takes less cloth to buy.
func (l *laid) onBolt(g grid, c Cloth, count []int, cloth int, rules Rules) error {
	count = slices.Clone(count)
	least, rows := l.motifLength(c.Width, c.Motifs, count), 0.0
	if st := l.aboutMotifs([2]float64{c.Width, 0}, c.Motifs, count); st != nil {
		st.cloth, st.bought, st.bolt, l.rows = cloth, true, true, true
		l.stocks = append(l.stocks, *st)
		rows = st.sheet[1]
	}
	if err := l.noMotif(c, count); err != nil {
		return err
	}
	all := slices.Clone(count)
	long := l.stretches(g, c, count, cloth, rules)
	items := l.items(g, count)
	problem := guillotine.Problem{Width: g.down(c.Width), Items: items, Stages: rules.stages, Effort: rules.Effort}
	if rules.goal > 0 {
		problem.Goal = max(1, rules.goal-g.up(long+rows))
	}
	got, err := rules.Memory.Lay(problem)
	if err != nil {
		return l.tooLarge(err, c)
	}
	bands, length := l.bands(got, c.Width, nil)
	bound := math.Min(float64(got.Bound)*g.step, length)
	if got.Optimal {
		bound = length
	}
	if flat, down := layDown(items, problem.Width); rules.Miscut && rules.stages != 3 && flat != nil {
		problem.Items = flat
		if got, err = rules.Memory.Lay(problem); err != nil {
			return l.tooLarge(err, c)
		}
		if b, n := l.bands(got, c.Width, down); n+highest(b) < length+highest(bands)-1e-9 {
			bands, length = b, n
		}
	}
	for _, b := range bands {
		l.stocks = append(l.stocks, stock{bands: []band{b}, cloth: cloth, bought: true})
	}
	if long > 0 {
		// What lies beside the long strips is not searched for the best.
		l.along = true
		length += long
		if bound, err = l.alongBound(g, c, all, rules); err != nil {
			return l.tooLarge(err, c)
		}
	}
	l.length += length + rows
	l.each = append(l.each, length+rows)
	l.bound += math.Min(bound, length) + math.Min(least, rows)
	l.optimal = l.optimal && length+rows-bound-least < 1e-6
	return nil
}

// layDown returns the items with those that may turn lying with their longer side across, where that fits, and which of
// them are thereby turned; nil where none may turn.
func layDown(items []guillotine.Item, width int64) (flat []guillotine.Item, down []bool) {
	flat, down = slices.Clone(items), make([]bool, len(items))
	any := false
	for i, it := range items {
		if !it.Turn || it.W == it.H {
			continue
		}
		any = true
		flat[i].Turn = false
		if it.H > it.W && it.H <= width || it.W > width {
			flat[i].W, flat[i].H, down[i] = it.H, it.W, true
		}
	}
	if !any {
		return nil, nil
	}
	return flat, down
}

// bands are the strips of a layout one by one, and how long they are together. down names the items that were turned
// before.
func (l *laid) bands(got guillotine.Layout, width float64, down []bool) ([]band, float64) {
	var out []band
	sum := 0.0
	for _, s := range got.Strips {
		for range s.Count {
			b := l.band(s, width, false, down)
			sum += b.height
			out = append(out, b)
		}
	}
	return out, sum
}

func highest(bands []band) float64 {
	h := 0.0
	for _, b := range bands {
		h = math.Max(h, math.Max(b.height, b.pitch))
	}
	return h
}

func (l *laid) tooLarge(err error, c Cloth) error {
	var wide *guillotine.TooWide
	if !errors.As(err, &wide) {
		return err
	}
	b := l.bits[wide.Item]
	across := c.Width
	if c.inSheets() {
		across = c.Sheet[0]
	}
	return &TooLarge{Label: b.label, Width: b.w, Height: b.h, Across: across, Turn: b.turn}
}

// band is a strip with the true sizes of what lies in it.
func (l *laid) band(s guillotine.Strip, length float64, along bool, down []bool) band {
	out := band{length: length, along: along}
	for _, c := range s.Cuts {
		var stack []slip
		wide, high := 0.0, 0.0
		for _, part := range c.Parts {
			b := l.bits[part.Item]
			w, h := b.w, b.h
			turned := part.Turned != (down != nil && down[part.Item])
			if turned {
				w, h = h, w
			}
			if along {
				w, h = h, w
			}
			for range part.Count {
				stack = append(stack, slip{bit: part.Item, turned: turned != b.turned, w: w, h: h, below: len(stack) > 0})
				wide, high = math.Max(wide, w), high+h
			}
		}
		if len(stack) > 1 {
			l.stages = 3
		}
		for k := range stack {
			stack[k].wide = wide
		}
		for range c.Count {
			out.slips = append(out.slips, stack...)
		}
		out.height = math.Max(out.height, high)
	}
	return out
}

// months gives every blank laid a month: the earliest that still wants one, in the order in which strips are
// cut; then puts the stocks in the order of their first months, large strips first.
func (l *laid) months(blanks []Blank) {
	left := map[string][]int{}
	for _, b := range blanks {
		n := 1
		if b.Joined {
			n = max(1, l.joined[b.Label])
		}
		months := make([]int, len(b.Months))
		for m, k := range b.Months {
			months[m] = k * n
		}
		left[b.Label] = months
	}
	sort.SliceStable(l.stocks, func(a, b int) bool { return l.stocks[a].before(&l.stocks[b]) })
	for s := range l.stocks {
		l.stocks[s].each(func(b *band) {
			for p := range b.slips {
				sl := &b.slips[p]
				months := left[l.bits[sl.bit].label]
				for range l.bits[sl.bit].run {
					m := 0
					for m < len(months)-1 && months[m] == 0 {
						m++
					}
					months[m]--
					sl.months = append(sl.months, m)
				}
			}
		})
	}
	sort.SliceStable(l.stocks, func(a, b int) bool { return l.stocks[a].first() < l.stocks[b].first() })
}

// before is the order in which stocks are cut, apart from months: shelf, sheets, then strips from high to low.
func (s *stock) before(t *stock) bool {
	if (s.sheet != nil) != (t.sheet != nil) {
		return s.sheet != nil
	}
	if s.bought != t.bought {
		return !s.bought
	}
	if s.sheet == nil {
		return s.bands[0].height > t.bands[0].height+1e-9
	}
	return false
}

// each does something for every band of a stock.
func (s *stock) each(do func(*band)) {
	for k := range s.bands {
		do(&s.bands[k])
	}
	if s.rest != nil {
		s.rest.each(do)
	}
}

// first is the earliest month in which something is cut from it.
func (s *stock) first() int {
	first := math.MaxInt
	s.each(func(b *band) { first = min(first, b.first()) })
	return first
}

func (b *band) first() int {
	first := math.MaxInt
	for _, sl := range b.slips {
		for _, m := range sl.months {
			first = min(first, m)
		}
	}
	return first
}

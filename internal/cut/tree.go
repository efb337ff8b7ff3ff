package cut

import (
	"math"
	"slices"

	"quiltwright/internal/plan"
)

// Where a rectangle of cloth comes from that is neither off the bolt nor a sheet bought: it is at hand, or an earlier month has
// left it over.
const (
	onShelf  = "shelf"
	leftOver = "left"
)

// tree is the layout as the plan has it: every cut of every stretch of cloth.
func (l *laid) tree() []plan.Stock {
	out := make([]plan.Stock, 0, len(l.stocks))
	for i := range l.stocks {
		s := &l.stocks[i]
		if s.sheet == nil {
			b := &s.bands[0]
			n := l.bandNode(b)
			out = append(out, plan.Stock{Stock: "bolt", Cut: "across", At: plan.Num(b.height), First: &n})
			continue
		}
		out = append(out, l.sheetNode(s, s.from()))
		if s.rest != nil {
			out = append(out, l.sheetNode(s.rest, leftOver))
		}
	}
	return out
}

// from is the cloth that a stock is.
func (s *stock) from() string {
	switch {
	case s.bolt || s.sheet == nil:
		return "bolt"
	case s.bought:
		return "sheet"
	}
	return onShelf
}

// sheetNode is a sheet cut up.
func (l *laid) sheetNode(s *stock, from string) plan.Stock {
	// Seen so that the bands lie across; turned back at the end where they run along.
	w, h := s.sheet[0], s.sheet[1]
	if s.along {
		w, h = h, w
	}
	n := plan.Node{Width: plan.Num(w), Height: plan.Num(h), Cut: "across"}
	free := h
	for k := range s.bands {
		b := &s.bands[k]
		n.Parts = append(n.Parts, l.bandNode(b))
		n.Parts = withLeft(n.Parts, w, b.gap)
		free -= b.height + b.gap
	}
	n.Parts = withLeft(n.Parts, w, free)
	cut := "across"
	if s.along {
		n, cut = flip(n), "along"
	}
	return plan.Stock{Stock: from, Cut: cut, At: plan.Num(s.sheet[1]), Motif: s.motif, First: &n}
}

// sliver is a remainder too thin to name.
const sliver = 1e-6

func withLeft(parts []plan.Node, w, h float64) []plan.Node {
	if w > sliver && h > sliver {
		parts = append(parts, plan.Node{Width: plan.Num(w), Height: plan.Num(h), Left: &[2]plan.Num{plan.Num(w), plan.Num(h)}})
	}
	return parts
}

// bandNode is a band lying across, cut into what lies in it.
func (l *laid) bandNode(b *band) plan.Node {
	n := plan.Node{Width: plan.Num(b.length), Height: plan.Num(b.height), Cut: "along"}
	free := b.length
	segments := b.segments()
	for i, seg := range segments {
		n.Parts = append(n.Parts, l.segmentNode(seg, b))
		free -= seg[0].wide
		if gap := seg[0].gap; i+1 < len(segments) {
			n.Parts = withLeft(n.Parts, gap, b.height)
			free -= gap
		}
	}
	n.Parts = withLeft(n.Parts, free, b.height)
	return n
}

// segmentNode is a segment of a band: a slip, or several one below the other, each trimmed to its own width.
func (l *laid) segmentNode(seg []slip, b *band) plan.Node {
	if len(seg) == 1 {
		return l.slipNode(&seg[0], b)
	}
	n := plan.Node{Width: plan.Num(seg[0].wide), Height: plan.Num(b.height), Cut: "across"}
	free := b.height
	for i := range seg {
		s := &seg[i]
		x := plan.Node{Width: plan.Num(s.w), Height: plan.Num(s.h), Piece: l.bits[s.bit].label, Month: s.months[0] + 1, Turned: s.turned}
		if rest := s.wide - s.w; rest > sliver {
			x = plan.Node{Width: n.Width, Height: x.Height, Cut: "along", Parts: withLeft([]plan.Node{x}, rest, s.h)}
		}
		n.Parts = append(n.Parts, x)
		free -= s.h
	}
	n.Parts = withLeft(n.Parts, seg[0].wide, free)
	return n
}

// slipNode is what one slip takes of a band: as high as the band, with what is trimmed off below.
func (l *laid) slipNode(s *slip, b *band) plan.Node {
	t := l.bits[s.bit]
	n := plan.Node{Width: plan.Num(s.w), Height: plan.Num(s.h)}
	switch {
	case t.row.pitch > 0:
		n.Cut = "nested"
		w, h := t.piece[0], t.piece[1]
		if b.along { // to be turned back
			w, h = h, w
		}
		for i, m := range s.months {
			n.Parts = append(n.Parts, plan.Node{Width: plan.Num(w), Height: plan.Num(h), Piece: t.label, Month: m + 1, Turned: s.turned, Round: t.row.turned(i, t.run)})
		}
	default:
		n.Piece, n.Month, n.Turned = t.label, s.months[0]+1, s.turned
	}
	if b.height-s.h > sliver {
		parts := append(withLeft(nil, s.w, s.drop), n)
		return plan.Node{Width: plan.Num(s.w), Height: plan.Num(b.height), Cut: "across", Parts: withLeft(parts, s.w, b.height-s.h-s.drop)}
	}
	return n
}

// flip exchanges across and along.
func flip(n plan.Node) plan.Node {
	n.Width, n.Height = n.Height, n.Width
	switch n.Cut {
	case "across":
		n.Cut = "along"
	case "along":
		n.Cut = "across"
	}
	if n.Left != nil {
		n.Left = &[2]plan.Num{n.Left[1], n.Left[0]}
	}
	for i, p := range n.Parts {
		n.Parts[i] = flip(p)
	}
	return n
}

// strips is the layout as a person cuts it: equal strips of a month together, months earliest first, high strips first
// within one.
func (l *laid) strips() []plan.Strip {
	type line struct {
		strip plan.Strip
		first int
		rank  int // a stretch of the bolt is cut before what it leaves
	}
	var lines []line
	add := func(b *band, from string, of *[2]float64, first, rank int) {
		s := l.read(b)
		if from != "bolt" {
			s.From, s.Of = from, &[2]plan.Num{plan.Num(of[0]), plan.Num(of[1])}
		}
		same := slices.IndexFunc(lines, func(o line) bool {
			return o.first == first && o.rank == rank && o.strip.Along == s.Along && o.strip.From == s.From && equal(o.strip.Of, s.Of) && o.strip.Height == s.Height && o.strip.Length == s.Length && slices.Equal(o.strip.Cuts, s.Cuts)
		})
		if l.due {
			s.Month, s.Later = first+1, l.later(b, first)
		}
		if same >= 0 {
			o := &lines[same].strip
			o.Count++
			for _, label := range s.Later {
				if !slices.Contains(o.Later, label) {
					o.Later = append(o.Later, label)
				}
			}
			return
		}
		lines = append(lines, line{s, first, rank})
	}
	for i := range l.stocks {
		s := &l.stocks[i]
		for k := range s.bands {
			b := &s.bands[k]
			if s.bolt {
				add(b, s.from(), s.sheet, s.first(), 0)
			} else {
				add(b, s.from(), s.sheet, b.first(), 1)
			}
		}
		if s.rest != nil {
			s.rest.each(func(b *band) { add(b, leftOver, s.rest.sheet, s.first(), 1) })
		}
	}
	slices.SortStableFunc(lines, func(a, b line) int {
		switch {
		case a.first != b.first:
			return a.first - b.first
		case a.rank != b.rank:
			return a.rank - b.rank
		case a.strip.Height > b.strip.Height+1e-9:
			return -1
		case a.strip.Height < b.strip.Height-1e-9:
			return 1
		}
		return 0
	})
	out := make([]plan.Strip, len(lines))
	for i, x := range lines {
		out[i] = x.strip
	}
	return out
}

// later are the labels of what a band yields for months after that, in its order.
func (l *laid) later(b *band, month int) []string {
	var out []string
	for i := range b.slips {
		if label := l.bits[b.slips[i].bit].label; slices.Max(b.slips[i].months) > month && !slices.Contains(out, label) {
			out = append(out, label)
		}
	}
	return out
}

func equal(a, b *[2]plan.Num) bool { return a == nil && b == nil || a != nil && b != nil && *a == *b }

// read is one band as a strip of equal cuts.
func (l *laid) read(b *band) plan.Strip {
	out := plan.Strip{Along: "width", Height: plan.Num(b.height), Length: plan.Num(b.length), Count: 1}
	if b.along {
		out.Along = "length"
	}
	left := b.length
	last := 0 // where the cuts of the last segments begin
	for _, seg := range b.segments() {
		cuts := l.cuts(seg, b.along)
		left -= float64(cuts[0].Takes())
		if alike(out.Cuts[last:], cuts) {
			for k := range cuts {
				out.Cuts[last+k].Count += cuts[k].Count
			}
			continue
		}
		last = len(out.Cuts)
		out.Cuts = append(out.Cuts, cuts...)
	}
	if left > sliver {
		out.Left = plan.Num(math.Round(left*1e6) / 1e6)
	}
	return out
}

// cuts are a segment as a person cuts it.
func (l *laid) cuts(seg []slip, along bool) []plan.Cuts {
	var out []plan.Cuts
	for i := range seg {
		s := &seg[i]
		t := l.bits[s.bit]
		c := plan.Cuts{Label: t.label, Count: t.run, Turned: s.turned, Width: plan.Num(s.wide), Gap: plan.Num(s.gap), Below: s.below}
		if t.row.pitch > 0 && !along {
			c.Width, c.Row, c.Round = plan.Num(t.piece[0]), plan.Num(s.w), t.row.round && t.run > 1
		}
		if len(seg) > 1 {
			c.Height = plan.Num(s.h)
		}
		out = append(out, c)
	}
	return out
}

// alike says whether two segments are cut alike, however often.
func alike(a, b []plan.Cuts) bool {
	return slices.EqualFunc(a, b, func(x, y plan.Cuts) bool {
		x.Count = y.Count
		return x == y && x.Row == 0
	})
}

package prove

import (
	"fmt"
	"math"
	"slices"

	"quiltwright/internal/plan"
)

// checkFabrics checks the cutting of every fabric: the layout fits the cloth and yields every blank as often as the
// cutting list says; the strips say the same; what is to be bought is enough.
func (v *prover) checkFabrics() {
	for i := range v.p.Fabrics {
		f := &v.p.Fabrics[i]
		want := map[string]int{}
		for l, x := range v.pieces {
			if x.Fabric == f.Letter && x.Cut > 0 {
				want[l] = x.Cut
			}
		}
		if len(want) == 0 && len(f.Layout) == 0 && len(f.Strips) == 0 {
			continue
		}
		if !v.expect(f.Width > 0) {
			v.fault("layout", "", "", "", "fabric %s is %s wide", f.Letter, v.long(float64(f.Width)))
			continue
		}
		if b := v.p.Finish.Binding; b != nil && b.Fabric == f.Letter {
			want["binding"] = b.Strips
			if b.Square > 0 {
				want["binding"] = 1
			}
		}
		if !v.expect(slices.Contains([]string{"", "plain", "two-way", "one-way"}, f.Print)) {
			v.fault("print", "", "", "", "fabric %s has a print that is “%s”", f.Letter, f.Print)
		}
		if m := f.Motif; m != nil && !v.expect(m.Size > 0 && m.Every[0] >= 0 && m.Every[1] >= 0) {
			v.fault("layout", "", "", "", "fabric %s has motifs of %s every %s and %s", f.Letter, v.long(float64(m.Size)), v.long(float64(m.Every[0])), v.long(float64(m.Every[1])))
			continue
		}
		v.checkStages(f)
		v.checkLeft("fabric "+f.Letter, f.Layout, map[[2]int64]int{})
		got, length := v.checkLayout(f, want, 0)
		v.checkStrips(f, want, got, length)
		if len(v.p.Months) > 1 {
			v.checkDue(f)
		}
		v.checkBuy(f)
		v.checkMonthly(f, want)
	}
}

// pieces are the words for cloth that is sold in pieces of one size.
var pieces = []string{"fat quarter", "fat eighth", "sheet"}

// counted is what a layout yields.
type counted struct {
	pieces map[string]int
	turned map[string]int
	length map[string]float64 // of strips that are joined
	months map[string]map[int]int
	round  map[string]bool // some lie half a turn round in a row
}

// checkMonthly checks the cutting of those who learn of one month after the other: every month gives its own pieces, from what the
// months before have left and from new cloth, and what is bought is enough for it.
func (v *prover) checkMonthly(f *plan.Fabric, whole map[string]int) {
	if !v.expect(len(v.p.Months) < 2 || len(whole) == 0 || len(f.Monthly) > 0) {
		v.fault("layout", "", "", "", "fabric %s: nothing says how it is cut month by month", f.Letter)
	}
	left := map[[2]int64]int{}
	yields := map[string]int{}
	length, sheets, last := 0.0, 0, 0
	for i := range f.Monthly {
		m := &f.Monthly[i]
		if !v.expect(m.Month > last && v.month(m.Month)) {
			v.fault("layout", "", "", "", "fabric %s: month %d is cut after month %d", f.Letter, m.Month, last)
			continue
		}
		last = m.Month
		want := map[string]int{}
		for label := range whole {
			if x := v.pieces[label]; x == nil {
				if m.Month == len(v.p.Months) { // the binding is cut last
					want[label] = whole[label]
				}
			} else {
				for _, k := range x.Months {
					if k.Month == m.Month {
						want[label] = k.Cut
					}
				}
			}
			yields[label] += want[label]
		}
		for k := range m.Layout {
			if m.Layout[k].Stock == "sheet" {
				sheets++
			}
		}
		v.checkLeft(fmt.Sprintf("fabric %s, month %d", f.Letter, m.Month), m.Layout, left)
		one := plan.Fabric{Letter: f.Letter, Width: f.Width, Print: f.Print, Motif: f.Motif, Length: m.Length, Layout: m.Layout, Strips: m.Strips}
		for k := range m.Layout {
			if m.Layout[k].Stock == "sheet" {
				one.Sheets++
			}
		}
		got, across := v.checkLayout(&one, want, m.Month)
		v.checkStrips(&one, want, got, across)
		length += float64(m.Length)
	}
	for label, n := range whole {
		if !v.expect(len(f.Monthly) == 0 || yields[label] == n) {
			v.fault("layout", "", label, "", "fabric %s: the months cut %d of piece %s, not %d", f.Letter, yields[label], label, n)
		}
	}
	more := math.Max(0, length-float64(f.Length))
	if v.shop(f.Buy.Unit) == 0 {
		more = math.Max(0, float64(sheets-f.Sheets))
	}
	if !v.expect(len(f.Monthly) == 0 || same(float64(f.Buy.Monthly), more, 1e-3)) {
		v.fault("buy", "", "", v.long(more), "fabric %s: cutting month by month is said to take %s more", f.Letter, v.long(float64(f.Buy.Monthly)))
	}
}

// checkStages checks that the layout is cut in as many stages as the plan says, and that month by month nobody cuts a segment again.
func (v *prover) checkStages(f *plan.Fabric) {
	most := func(layout []plan.Stock) int {
		most := 2
		for i := range layout {
			if s := &layout[i]; s.First != nil && s.Stock == "bolt" && s.Cut == "across" {
				most = max(most, stages(s.First, s.Cut, 1, 0))
			} else if s.First != nil {
				most = max(most, stages(s.First, "", 0, 0))
			}
		}
		return most
	}
	if got := most(f.Layout); !v.expect(got == f.Stages || f.Stages == 0 && got == 2) {
		v.fault("layout", "", "", "", "fabric %s: its layout is cut in %d stages, the plan says %d", f.Letter, got, f.Stages)
	}
	for i := range f.Monthly {
		if got := most(f.Monthly[i].Layout); !v.expect(got == 2) {
			v.fault("layout", "", "", "", "fabric %s, month %d: the layout is cut in %d stages", f.Letter, f.Monthly[i].Month, got)
		}
	}
}

// stages is in how many stages a rectangle is cut up that a cut one way gave in stage so. Cuts the same way belong to one stage; once
// there are segments, a cut that gives a single blank only trims it.
func stages(n *plan.Node, cut string, so, depth int) int {
	if depth >= 100 || n.Cut == "nested" { // a row that is cut end to end
		return so
	}
	solid := 0
	for i := range n.Parts {
		if n.Parts[i].Left == nil {
			solid++
		}
	}
	if solid > 0 && n.Cut != cut && (so < 2 || solid > 1) {
		cut, so = n.Cut, so+1
	}
	most := so
	for i := range n.Parts {
		most = max(most, stages(&n.Parts[i], cut, so, depth+1))
	}
	return most
}

// checkLeft checks that what is cut from cloth left over was left before, and notes what is left. Sizes are in hundred thousandths.
func (v *prover) checkLeft(where string, layout []plan.Stock, left map[[2]int64]int) {
	size := func(n *plan.Node) [2]int64 {
		return [2]int64{int64(math.Round(float64(n.Width) * 1e5)), int64(math.Round(float64(n.Height) * 1e5))}
	}
	for k := range layout {
		n := layout[k].First
		if n == nil {
			continue // checkLayout says so
		}
		if layout[k].Stock == "left" {
			if !v.expect(left[size(n)] > 0) {
				v.fault("layout", "", "", "", "%s: nothing of %s by %s is left over from before", where, v.long(float64(n.Width)), v.long(float64(n.Height)))
			}
			left[size(n)]--
		}
		if !layout[k].Motif { // where what is left between motifs lies is not known
			remains(n, func(n *plan.Node) { left[size(n)]++ })
		}
	}
}

// remains calls do with every rectangle that is left over.
func remains(n *plan.Node, do func(*plan.Node)) {
	if n == nil {
		return
	}
	if n.Left != nil {
		do(n)
	}
	for i := range n.Parts {
		remains(&n.Parts[i], do)
	}
}

// checkLayout returns what the layout yields, and how much of its length is strips across the cloth; month is 0 for all of them
// together, else the only one that the layout is for.
func (v *prover) checkLayout(f *plan.Fabric, want map[string]int, month int) (got counted, across float64) {
	got = counted{map[string]int{}, map[string]int{}, map[string]float64{}, map[string]map[int]int{}, map[string]bool{}}
	length, sheets := 0.0, 0
	for i := range f.Layout {
		s := &f.Layout[i]
		if !v.expect(s.First != nil && s.At > 0) {
			v.fault("layout", "", "", "", "fabric %s, cut %d: nothing is cut", f.Letter, i+1)
			continue
		}
		switch s.Stock {
		case "bolt":
			length += float64(s.At)
			switch {
			case s.Motif:
				for k := range s.First.Parts {
					if p := &s.First.Parts[k]; p.Left == nil {
						across += float64(p.Height)
					}
				}
			case s.Cut == "across":
				across += float64(s.At)
			}
			if !v.expect(same(float64(s.First.Width), float64(f.Width), 1e-4) && same(float64(s.First.Height), float64(s.At), 1e-4)) {
				v.fault("layout", "", "", "", "fabric %s, cut %d: %s by %s is taken from a strip of %s by %s", f.Letter, i+1,
					v.long(float64(s.First.Width)), v.long(float64(s.First.Height)), v.long(float64(f.Width)), v.long(float64(s.At)))
			}
		case "sheet", "shelf", "left":
			if s.Stock == "sheet" {
				sheets++
				if month == 0 && !v.expect(v.shop(f.Buy.Unit) == 0 && slices.Contains(pieces, f.Buy.Unit) && same(float64(s.First.Width), float64(f.Width), 1e-4)) {
					v.fault("layout", "", "", v.long(float64(f.Width)), "fabric %s, sheet %d: a sheet %s wide is bought by the %s", f.Letter, sheets, v.long(float64(s.First.Width)), f.Buy.Unit)
				}
			}
			if !v.expect(same(float64(s.First.Height), float64(s.At), 1e-4)) {
				v.fault("layout", "", "", "", "fabric %s, sheet %d: %s is cut from a sheet %s high", f.Letter, sheets, v.long(float64(s.First.Height)), v.long(float64(s.At)))
			}
		default:
			v.fault("layout", "", "", "", "fabric %s, cut %d is taken from “%s”", f.Letter, i+1, s.Stock)
		}
		if !v.expect(s.Cut == "across" || s.Cut == "along") {
			v.fault("layout", "", "", "", "fabric %s, cut %d runs “%s”", f.Letter, i+1, s.Cut)
		}
		v.node(f, s.First, &got, 0)
		v.checkMotifs(f, s, i+1)
	}
	if !v.expect(same(length, float64(f.Length), 1e-3)) {
		v.fault("layout", "", "", v.long(length), "fabric %s: the cuts take %s of cloth, the plan says %s", f.Letter, v.long(length), v.long(float64(f.Length)))
	}
	if !v.expect(sheets == f.Sheets) {
		v.fault("layout", "", "", "", "fabric %s: %d sheets are cut, the plan says %d", f.Letter, sheets, f.Sheets)
	}
	for l, n := range want {
		x := v.pieces[l]
		per := n
		if x != nil {
			per = n * max(1, x.JoinedFrom)
		}
		if !v.expect(got.pieces[l] == per) {
			v.fault("layout", "", l, "", "the layout of fabric %s yields %d of piece %s, the cutting list cuts %d", f.Letter, got.pieces[l], l, per)
		}
		if x == nil {
			v.checkBinding(f, v.p.Finish.Binding, got.length[l])
			continue
		}
		if x.JoinedFrom > 1 {
			v.checkJoined(f, x, got.length[l], n)
		}
		for _, m := range x.Months {
			if month > 0 && m.Month != month {
				continue
			}
			if !v.expect(got.months[l][m.Month] == m.Cut*max(1, x.JoinedFrom)) {
				v.fault("layout", "", l, "", "the layout of fabric %s yields %d of piece %s for month %d, the cutting list cuts %d", f.Letter, got.months[l][m.Month], l, m.Month, m.Cut)
			}
		}
	}
	return got, across
}

// checkJoined checks that the strips of so many joined pieces are long enough: of each pair a straight seam takes its allowances,
// a diagonal one as much as the strip is wide.
func (v *prover) checkJoined(f *plan.Fabric, x *plan.Piece, length float64, n int) {
	long, wide := math.Max(float64(x.Width), float64(x.Height)), math.Min(float64(x.Width), float64(x.Height))
	lost := 2 * float64(v.p.Seam)
	if x.JoinedBy == "diagonal" {
		lost = wide
	}
	if !v.expect(x.JoinedBy == "" || x.JoinedBy == "straight" || x.JoinedBy == "diagonal") { // not said: straight
		v.fault("shape", "", x.Label, "", "piece %s is joined by “%s” seams", x.Label, x.JoinedBy)
	}
	if least := float64(n) * (long + lost*float64(x.JoinedFrom-1)); !v.expect(length > least-1e-3) {
		v.fault("layout", "", x.Label, v.long(least), "fabric %s: the strips of piece %s are %s together", f.Letter, x.Label, v.long(length))
	}
}

// ofBinding says whether a rectangle, across and along the cloth, is what the binding is cut from: its square, or a strip.
func ofBinding(b *plan.Binding, w, h float64) bool {
	switch {
	case b.Square > 0:
		return same(w, float64(b.Square), 1e-4) && same(h, float64(b.Square), 1e-4)
	case b.Along > 0:
		return same(w, float64(b.Strip), 1e-4) && same(h, float64(b.Along), 1e-4)
	}
	return same(math.Min(w, h), float64(b.Strip), 1e-4)
}

// checkBinding checks that the strips of a straight binding that are laid, joined end to end, are long enough, and that one fewer would not
// do: each join is on the slant, and takes as much length as the strip is wide.
func (v *prover) checkBinding(f *plan.Fabric, b *plan.Binding, laid float64) {
	if b.Square > 0 {
		return
	}
	n, lost := float64(b.Strips), float64(b.Strip)
	if long := laid - lost*(n-1); !v.expect(long > float64(b.Length)-1e-3 && (b.Strips == 1 || long-laid/n+lost < float64(b.Length))) {
		v.fault("layout", "", "", v.long(float64(b.Length)), "fabric %s: %d strips of binding, %s together, joined", f.Letter, b.Strips, v.long(laid))
	}
}

// node checks a rectangle of the layout: its parts fill it, one kind of cut at a time, and a blank fits where it stands.
func (v *prover) node(f *plan.Fabric, n *plan.Node, got *counted, depth int) {
	w, h := float64(n.Width), float64(n.Height)
	if !v.expect(depth < 100 && w > 0 && h > 0) {
		v.fault("layout", "", n.Piece, "", "fabric %s: a rectangle of %s by %s", f.Letter, v.long(w), v.long(h))
		return
	}
	switch {
	case len(n.Parts) > 0 && n.Cut == "nested":
		v.nested(f, n, got, depth)
	case len(n.Parts) > 0:
		if !v.expect(n.Cut == "across" || n.Cut == "along") {
			v.fault("layout", "", "", "", "fabric %s: a rectangle is cut “%s”", f.Letter, n.Cut)
			return
		}
		sum := 0.0
		for i := range n.Parts {
			c := &n.Parts[i]
			size, other, whole := float64(c.Width), float64(c.Height), h
			if n.Cut == "across" {
				size, other, whole = other, size, w
			}
			sum += size
			if !v.expect(same(other, whole, 1e-4)) {
				v.fault("layout", "", c.Piece, v.long(whole), "fabric %s: a part of a rectangle is %s where that is %s", f.Letter, v.long(other), v.long(whole))
			}
			v.node(f, c, got, depth+1)
		}
		whole := w
		if n.Cut == "across" {
			whole = h
		}
		if !v.expect(same(sum, whole, 1e-3)) {
			v.fault("layout", "", "", v.long(whole), "fabric %s: the parts of a rectangle are %s together", f.Letter, v.long(sum))
		}
	case n.Piece == "binding":
		got.pieces[n.Piece]++
		if n.Turned {
			got.turned[n.Piece]++
		}
		got.length[n.Piece] += math.Max(w, h)
		b := v.p.Finish.Binding
		if !v.expect(b != nil && b.Fabric == f.Letter && v.month(n.Month) && n.Month == v.p.Months[len(v.p.Months)-1].Number && ofBinding(b, w, h)) {
			v.fault("layout", "", "", "", "fabric %s: the binding is cut %s by %s in month %d", f.Letter, v.long(w), v.long(h), n.Month)
		}
	case n.Piece != "":
		x := v.pieces[n.Piece]
		if !v.expect(x != nil && x.Fabric == f.Letter) {
			v.fault("layout", "", n.Piece, "", "fabric %s: piece “%s” is cut, which it does not have", f.Letter, n.Piece)
			return
		}
		got.pieces[x.Label]++
		if got.months[x.Label] == nil {
			got.months[x.Label] = map[int]int{}
		}
		got.months[x.Label][n.Month]++
		pw, ph := float64(x.Width), float64(x.Height)
		if n.Turned {
			pw, ph = ph, pw
			got.turned[x.Label]++
		}
		if x.JoinedFrom > 1 { // strips of any length
			long, wide, across := w, h, ph
			if ph > pw {
				long, wide, across = h, w, pw
			}
			got.length[x.Label] += long
			if !v.expect(same(wide, across, 1e-4)) {
				v.fault("layout", "", x.Label, v.long(across), "fabric %s: a strip of piece %s is cut %s wide", f.Letter, x.Label, v.long(wide))
			}
		} else if !v.expect(same(pw, w, 1e-4) && same(ph, h, 1e-4) || x.Measured && pw <= w+1e-4 && ph <= h+1e-4) {
			v.fault("layout", "", x.Label, v.long(pw)+" by "+v.long(ph), "fabric %s: piece %s is cut %s by %s", f.Letter, x.Label, v.long(w), v.long(h))
		}
		if !v.expect(x.Turnable || !n.Turned || x.Grain == "across") {
			v.fault("layout", "", x.Label, "", "fabric %s: piece %s is turned, which its grain or print forbids", f.Letter, x.Label)
		}
		if up, ok := v.printUp(x); ok && !same(pw, ph, 1e-4) { // the print runs with the length of the cloth
			if n.Turned {
				up += 90
			}
			if !v.expect(turns(up, 0, 180, 1e-5)) {
				v.fault("print", "", x.Label, "", "fabric %s: piece %s is cut with its print %g° from the length of the cloth", f.Letter, x.Label, math.Mod(up, 360))
			}
		}
	default:
		if !v.expect(n.Left != nil && same(float64(n.Left[0]), w, 1e-4) && same(float64(n.Left[1]), h, 1e-4)) {
			v.fault("layout", "", "", "", "fabric %s: a rectangle of %s by %s is neither cut nor left", f.Letter, v.long(w), v.long(h))
		}
	}
}

// checkStrips checks the layout as a person reads it: strips of equal blanks.
func (v *prover) checkStrips(f *plan.Fabric, want map[string]int, laid counted, across float64) {
	got, turned := map[string]int{}, laid.turned
	pieced := slices.ContainsFunc(f.Layout, func(s plan.Stock) bool { return s.Stock != "bolt" || s.Cut == "along" })
	high, area := 0.0, 0.0
	for i := range f.Strips {
		s := &f.Strips[i]
		if !v.expect(s.Count > 0 && s.Height > 0 && s.Length > 0 && (s.Along == "width" || s.Along == "length")) {
			v.fault("strips", "", "", "", "fabric %s: %d strips of %s, %s long, along its %s", f.Letter, s.Count, v.long(float64(s.Height)), v.long(float64(s.Length)), s.Along)
			continue
		}
		if s.Along == "width" {
			high += float64(s.Count) * float64(s.Height)
		}
		area += float64(s.Count) * float64(s.Height) * float64(s.Length)
		if s.From != "" || s.Of != nil {
			cloth := func(k plan.Stock) bool {
				return k.Stock == s.From && k.First != nil && s.Of != nil && same(float64(k.First.Width), float64(s.Of[0]), 1e-4) && same(float64(k.First.Height), float64(s.Of[1]), 1e-4)
			}
			if !v.expect(s.From != "bolt" && slices.ContainsFunc(f.Layout, cloth)) {
				v.fault("strips", "", "", "", "fabric %s: a strip is cut from a %s that the layout does not have", f.Letter, s.From)
			}
		}
		// A strip off a piece from the shelf is as long as that piece.
		if !v.expect(s.Along != "width" || pieced || same(float64(s.Length), float64(f.Width), 1e-4)) {
			v.fault("strips", "", "", v.long(float64(f.Width)), "fabric %s: a strip across it is %s long", f.Letter, v.long(float64(s.Length)))
		}
		v.stripRow(f, s)
		sum := float64(s.Left)
		for k, c := range s.Cuts {
			got[c.Label] += c.Count * s.Count
			if c.Turned {
				turned[c.Label] -= c.Count * s.Count
			}
			// What is cut from one segment is as often there, and all of it no higher than the strip.
			room := float64(s.Height)
			stack := c.Below || k+1 < len(s.Cuts) && s.Cuts[k+1].Below
			if stack {
				room = float64(c.Height)
			}
			if !c.Below {
				sum += float64(c.Takes())
				high := 0.0
				for below := k; below < len(s.Cuts) && (below == k || s.Cuts[below].Below); below++ {
					b := s.Cuts[below]
					high += float64(b.Height)
					if !v.expect(b.Count == c.Count && same(float64(b.Width), float64(c.Width), 1e-4)) {
						v.fault("strips", "", b.Label, "", "fabric %s: %d of piece %s, %s wide, are cut below %d of %s, %s wide", f.Letter, b.Count, b.Label, v.long(float64(b.Width)), c.Count, c.Label, v.long(float64(c.Width)))
					}
				}
				if !v.expect(high <= float64(s.Height)+1e-4 && stack == (high > 0)) {
					v.fault("strips", "", c.Label, "", "fabric %s: a segment of a strip of %s is cut into %s", f.Letter, v.long(float64(s.Height)), v.long(high))
				}
			} else if !v.expect(k > 0) {
				v.fault("strips", "", c.Label, "", "fabric %s: piece %s lies below nothing", f.Letter, c.Label)
			}
			x := v.pieces[c.Label]
			if x == nil {
				across, along := float64(c.Width), float64(s.Height)
				if s.Along == "length" {
					across, along = along, across
				}
				b := v.p.Finish.Binding
				if !v.expect(c.Label == "binding" && b != nil && (stack || ofBinding(b, across, along))) {
					v.fault("strips", "", c.Label, "", "fabric %s: piece “%s” is cut from a strip, which the plan does not have", f.Letter, c.Label)
				}
				continue
			}
			sides := [2]float64{float64(x.Width), float64(x.Height)}
			if c.Turned != (s.Along == "length") {
				sides[0], sides[1] = sides[1], sides[0]
			}
			fits := same(sides[0], float64(c.Width), 1e-4) && sides[1] <= room+1e-4
			switch {
			case c.Row > 0:
				fits = s.Along == "width" && !stack && v.rowOf(x, c, laid.round[c.Label], room)
			case stack:
				fits = sides[0] <= float64(c.Width)+1e-4 && same(sides[1], room, 1e-4)
			}
			if !v.expect(c.Count > 0 && (fits || x.JoinedFrom > 1 || x.Measured)) {
				v.fault("strips", "", c.Label, "", "fabric %s: %d of piece %s, %s wide, are cut from a strip of %s", f.Letter, c.Count, c.Label, v.long(float64(c.Width)), v.long(room))
			}
		}
		if !v.expect(same(sum, float64(s.Length), 1e-3)) {
			v.fault("strips", "", "", v.long(float64(s.Length)), "fabric %s: what is cut from a strip and what is left are %s together", f.Letter, v.long(sum))
		}
	}
	if !v.expect(pieced || same(high, across, 1e-3)) {
		v.fault("strips", "", "", v.long(across), "fabric %s: the strips across it are %s together", f.Letter, v.long(high))
	}
	if bands := banded(f.Layout); !v.expect(same(area, bands, 1e-2)) {
		v.fault("strips", "", "", "", "fabric %s: the strips are %.4f square, those of its layout %.4f", f.Letter, area, bands)
	}
	for l, n := range want {
		if !v.expect(turned[l] == 0) {
			v.fault("strips", "", l, "", "fabric %s: piece %s is turned in the layout and not in the strips, or the other way round", f.Letter, l)
		}
		per := n
		if x := v.pieces[l]; x != nil {
			per = n * max(1, x.JoinedFrom)
		}
		if !v.expect(got[l] == per) {
			v.fault("strips", "", l, "", "the strips of fabric %s yield %d of piece %s, the cutting list cuts %d", f.Letter, got[l], l, per)
		}
	}
}

// checkDue checks when strips of a programme that is cut all at once are cut: in the first month that needs anything of them, and all strips along a
// stretch of the bolt and of what it leaves in the first that needs anything of any; and what of them waits for later months.
func (v *prover) checkDue(f *plan.Fabric) {
	type kind struct {
		month  int
		along  bool
		height float64
	}
	round := func(x plan.Num) float64 { return math.Round(float64(x) * 1e4) }
	count := map[kind]int{}
	waits := map[kind]map[string]int{}
	note := func(k kind, by int, labels []string) {
		if count[k] += by; waits[k] == nil {
			waits[k] = map[string]int{}
		}
		for _, l := range labels {
			if by < 0 {
				waits[k][l] |= 1 // said
			} else {
				waits[k][l] |= 2 // and so
			}
		}
	}
	for i := range f.Strips {
		s := &f.Strips[i]
		for range min(s.Count, 1<<12) {
			note(kind{s.Month, s.Along == "length", round(s.Height)}, -1, s.Later)
		}
	}
	stretch := 0 // the month of what is cut along the bolt just before
	for i := range f.Layout {
		s := &f.Layout[i]
		if s.First == nil {
			return // said
		}
		bands := []*plan.Node{s.First}
		if s.Stock != "bolt" || s.Cut != "across" || s.Motif {
			bands = nil
			for k := range s.First.Parts {
				if s.First.Parts[k].Left == nil {
					bands = append(bands, &s.First.Parts[k])
				}
			}
		}
		whole := 0
		if s.Stock == "bolt" && (s.Cut == "along" || s.Motif) {
			if whole = months(s.First, nil); i+1 < len(f.Layout) && f.Layout[i+1].Stock == "left" {
				whole = min(whole, months(f.Layout[i+1].First, nil))
			}
			stretch = whole
		} else if s.Stock == "left" {
			whole = stretch
		}
		for _, b := range bands {
			month := whole
			if month == 0 {
				month = months(b, nil)
			}
			var labels []string
			months(b, func(n *plan.Node) {
				if n.Month > month {
					labels = append(labels, n.Piece)
				}
			})
			k := kind{month, s.Cut == "along", round(b.Height)}
			if k.along {
				k.height = round(b.Width)
			}
			note(k, 1, labels)
		}
	}
	for k, n := range count {
		ok := n == 0
		for _, how := range waits[k] {
			ok = ok && how == 3
		}
		if !v.expect(ok) {
			v.fault("strips", "", "", "", "fabric %s: strips %s high are said to be cut for month %d, or something of them to wait, otherwise than the layout has it", f.Letter, v.long(k.height/1e4), k.month)
			return
		}
	}
}

// months is the first month that needs anything of a rectangle; do is called with every blank of it.
func months(n *plan.Node, do func(*plan.Node)) int {
	if n == nil {
		return math.MaxInt
	}
	first := math.MaxInt
	if n.Piece != "" {
		if first = n.Month; do != nil {
			do(n)
		}
	}
	for i := range n.Parts {
		first = min(first, months(&n.Parts[i], do))
	}
	return first
}

// banded is the area of the strips of a layout: each strip off the bolt, and what each sheet is first cut into, but for what is left.
func banded(layout []plan.Stock) float64 {
	sum := 0.0
	for i := range layout {
		n := layout[i].First
		switch {
		case n == nil:
		case layout[i].Stock == "bolt" && layout[i].Cut == "across" && !layout[i].Motif || len(n.Parts) == 0:
			sum += float64(n.Width) * float64(n.Height)
		default:
			for _, part := range n.Parts {
				if part.Left == nil {
					sum += float64(part.Width) * float64(part.Height)
				}
			}
		}
	}
	return sum
}

// shop is the length of a unit in which cloth is sold; 0 for cloth sold in pieces.
func (v *prover) shop(unit string) float64 {
	inch, cm := 1.0, 1/2.54
	if v.p.Measure == "cm" {
		inch, cm = 2.54, 1
	}
	switch unit {
	case "yd", "yard":
		return 36 * inch
	case "in":
		return inch
	case "m":
		return 100 * cm
	case "cm":
		return cm
	}
	return 0
}

// checkBuy checks that what is bought is enough, and at most one step of the shop more: an eighth of a yard, ten centimetres.
func (v *prover) checkBuy(f *plan.Fabric) {
	b := &f.Buy
	motifs := 0.0
	for i := range f.Layout {
		if s := &f.Layout[i]; s.Motif && s.Stock == "bolt" && f.Motif != nil {
			motifs += float64(f.Motif.Every[1])
		}
	}
	if !v.expect(same(float64(b.Motif), motifs, 1e-4)) {
		v.fault("buy", "", "", v.long(motifs), "fabric %s: for where its first motif stands, %s is said to be in its length", f.Letter, v.long(float64(b.Motif)))
	}
	for _, x := range []plan.Num{b.Monthly, b.Squaring, b.Miscut, b.Shrink, b.Binding, f.Length, f.Bound} {
		if !v.expect(x >= 0) {
			v.fault("buy", "", "", "", "fabric %s: a length or margin below nothing", f.Letter)
			return
		}
	}
	if !v.expect(f.Bound <= f.Length+1e-6 && f.Optimal == same(float64(f.Bound), float64(f.Length), 1e-3)) {
		v.fault("buy", "", "", "", "fabric %s: %s is used, proven is %s, optimal %v", f.Letter, v.long(float64(f.Length)), v.long(float64(f.Bound)), f.Optimal)
	}
	per := v.shop(b.Unit)
	by := plan.Num(0) // of the length for the binding: strips across the cloth, or the square
	if x := v.p.Finish.Binding; x != nil && x.Fabric == f.Letter && per > 0 {
		if by = x.Square; by == 0 && x.Along == 0 {
			by = plan.Num(x.Strips) * x.Strip
		}
	}
	if !v.expect(same(float64(b.Binding), float64(by), 1e-3)) {
		v.fault("buy", "", "", v.long(float64(by)), "fabric %s: its binding takes %s of cloth", f.Letter, v.long(float64(b.Binding)))
	}
	if per == 0 {
		if !v.expect(same(float64(b.Amount), float64(f.Sheets)+float64(b.Monthly), 1e-6)) {
			v.fault("buy", "", "", "", "fabric %s: %g of %s are bought, %d sheets are cut", f.Letter, float64(b.Amount), b.Unit, f.Sheets)
		}
		return
	}
	need := float64(f.Length + b.Monthly + b.Squaring + b.Miscut + b.Shrink)
	if least := v.shopped(need, per); !v.expect(same(float64(b.Amount), least, 1e-6)) {
		v.fault("buy", "", "", fmt.Sprintf("%g %s", least, b.Unit), "fabric %s: %g %s are bought, %s are needed, margins included", f.Letter, float64(b.Amount), b.Unit, v.long(need))
	}
}

// shopped is the least that a shop measures out for a length, in its unit: eighths of a yard, or ten centimetres.
func (v *prover) shopped(need, per float64) float64 {
	step := per / 8
	if math.Abs(per-v.shop("m")) < 1e-9 || math.Abs(per-v.shop("cm")) < 1e-9 {
		step = 10 * v.shop("cm")
	}
	return math.Ceil(need/step-1e-6) * step / per
}

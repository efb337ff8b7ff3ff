package cut

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"quiltwright/internal/diag"
	"quiltwright/internal/guillotine"
	"quiltwright/internal/measure"
	"quiltwright/internal/method"
	"quiltwright/internal/plan"
	"quiltwright/internal/quilt"
)

// BindingLabel stands for the strips of the binding in layouts and strips: they are no piece of the top.
const BindingLabel = "binding"

// Materials lays every fabric's pieces, and the binding, on its cloth and says what to buy and what finishes a top of the
// given size. months is how many the programme has; the binding is cut in the last. joined says of pieces longer than their
// cloth is wide from how many strips each is joined. A piece that no cloth is wide enough for is an error in found, and its
// fabric has no layout; sizes that are easily taken for one another are a hint. memory may be nil.
func Materials(doc *quilt.Document, pieces []Piece, finished plan.Size, months int, effort guillotine.Effort, memory *guillotine.Memory) (fabrics []plan.Fabric, finish plan.Finish, joined map[string]int, found diag.List) {
	rules := rulesOf(doc)
	rules.Effort, rules.Memory = effort, memory
	finish = Finish(doc, float64(finished.Width), float64(finished.Height))
	joined = map[string]int{}
	all := make([]fabricLaid, len(doc.Fabrics))
	listed := Listed(pieces)
	side(len(all), func(i int) { all[i] = layFabric(doc, pieces, listed, i, finish.Binding, months, rules) })
	for _, l := range all {
		fabrics = append(fabrics, l.fabric)
		for label, n := range l.joined {
			joined[label] = n
		}
		if l.binding != nil {
			finish.Binding = l.binding
		}
		found.Add(l.found...)
	}
	found.Add(nearlyAlike(doc, pieces)...)
	return fabrics, finish, joined, found
}

// fabricLaid is what Materials finds out about one fabric.
type fabricLaid struct {
	fabric  plan.Fabric
	joined  map[string]int
	binding *plan.Binding // where it is of this fabric: how it is cut
	along   bool          // something is cut along the selvage
	found   diag.List
}

// allLaying is all that laying a fabric depends on.
type allLaying struct {
	cloth   Cloth
	blanks  []Blank
	monthly bool
	rules   Rules
}

// allLaid is a fabric laid, month by month and at once.
type allLaid struct {
	laid
	monthly []plan.MonthCutting
	least   float64 // that is bought in any case
	sheets  int
}

// lay lays the fabric by the rules, which have a memory. What may lie as a rectangle lies end to end in rows where that takes less.
func (a allLaying) lay(rules Rules) (allLaid, error) {
	out, err := a.once(rules)
	boxes := a
	boxes.blanks = slices.Clone(a.blanks)
	rows := false
	for i, b := range boxes.blanks {
		if b.Row.pitch > 0 && b.boxed() {
			boxes.blanks[i].Row, rows = row{}, true
		}
	}
	if !rows {
		return out, err
	}
	if other, errOther := boxes.once(rules); errOther == nil && (err != nil || !out.less(&other, rules)) {
		return other, nil
	}
	return out, err
}

// less says whether less is bought of one than of the other, or less is used of as much.
func (a *allLaid) less(b *allLaid, rules Rules) bool {
	bought := func(l *allLaid) float64 {
		return rules.margins(math.Max(l.length, l.least), l.highest()).amount + float64(max(l.laid.sheets, l.sheets))
	}
	return cmp.Or(cmp.Compare(bought(a), bought(b)), cmp.Compare(a.length, b.length)) < 0
}

// once lays the fabric.
func (a allLaying) once(rules Rules) (out allLaid, err error) {
	if a.monthly {
		if out.monthly, out.least, out.sheets, err = monthly(a.cloth, a.blanks, rules); err != nil {
			return out, err
		}
	}
	out.laid, err = thrifty(a.cloth, a.blanks, rules, out.least, out.sheets)
	return out, err
}

// layFabric lays the pieces of fabric i of the document, and the binding where it is of this fabric.
func layFabric(doc *quilt.Document, pieces []Piece, listed []int, i int, binding *plan.Binding, months int, rules Rules) fabricLaid {
	w := clothsOf(doc, pieces, listed, i, binding, rules)
	w.months = months
	// What takes no joins, or fewer, is looked for where there is time, or where the writer asks for it.
	way := doc.Make.LongStrips
	along := way == "along" || way == "auto" && rules.Effort != guillotine.Quick && !w.c.inSheets()
	w.freely = along && w.binding != nil && w.binding.Square == 0 && !w.c.inSheets() && w.c.Assorted <= 1
	joined, errJoined := fabricLaid{}, errNotAsked
	if way != "along" {
		joined, errJoined = w.best(false)
	}
	whole, errWhole := fabricLaid{}, errNotAsked
	if way == "along" || along && slices.ContainsFunc(w.blanks, Blank.long) {
		whole, errWhole = w.best(true)
	}
	switch {
	case errWhole == nil && (errJoined != nil || !dearer(&whole, &joined)): // no more cloth, and no joins
		whole.instead("joined", &joined, errJoined)
		return whole
	case errJoined == nil:
		joined.instead("along", &whole, errWhole)
		return joined
	case errJoined == errNotAsked:
		errJoined = errWhole
	}
	out := fabricLaid{fabric: w.empty()}
	tooLarge(&out.found, w.f, w.c, errJoined, doc.Measure)
	return out
}

// clothsOf is fabric i of the document and all that is cut of it.
func clothsOf(doc *quilt.Document, pieces []Piece, listed []int, i int, binding *plan.Binding, rules Rules) cloths {
	f := doc.Fabrics[i]
	w := cloths{f: f, c: clothOf(doc, f), rules: rules}
	for _, p := range listed {
		if pieces[p].Blank.Fabric == i {
			w.blanks = append(w.blanks, blankOf(&pieces[p]))
			w.months = max(w.months, len(pieces[p].Months))
		}
	}
	if binding != nil && binding.Fabric == f.Letter {
		w.binding = binding
	}
	return w
}

// cloths is a fabric of the document and all that is cut of it.
type cloths struct {
	f       quilt.Fabric
	c       Cloth
	blanks  []Blank // without the binding
	binding *plan.Binding
	freely  bool // the binding may be cut along the selvage
	months  int
	rules   Rules
}

// errNotAsked stands for a way of cutting that is not looked at.
var errNotAsked = errors.New("not asked for")

// long says whether it is joined from strips, or cut along the selvage, as the writer likes.
func (b Blank) long() bool { return b.Joined && !b.Directed }

// dearer says whether more is bought of one than of the other.
func dearer(one, other *fabricLaid) bool {
	return one.fabric.Buy.Amount > other.fabric.Buy.Amount+1e-9
}

// instead notes what would be bought if long strips, or the binding, were cut the other way.
func (l *fabricLaid) instead(way string, other *fabricLaid, err error) {
	if err != nil {
		return
	}
	x := plan.Instead{Way: way, Amount: other.fabric.Buy.Amount, Unit: other.fabric.Buy.Unit}
	if strings.HasPrefix(way, "binding") {
		x.Joins = other.binding.Joins
	}
	l.fabric.Instead = append(l.fabric.Instead, x)
}

// best lays the fabric, what is longer than it is wide along the selvage or joined; the binding, too, along the selvage where less is bought then,
// or no more and there are strips along the selvage anyway, for it has fewer joins so. How many strips are best is found with little
// effort; what those take, with all of it.
func (w cloths) best(along bool) (fabricLaid, error) {
	across, err := w.lay(along)
	if err != nil || !w.freely {
		return across, err
	}
	quick := w
	quick.rules.Effort = guillotine.Quick
	var fewest *plan.Binding
	var least fabricLaid
	const most, tries = 16, 4 // strips; with more of them there is little to gain
	tried := 0
	for n := 1; n < min(w.binding.Strips, most+1) && tried < tries; n++ {
		b := w.rules.lengthwise(*w.binding, n)
		if float64(b.Along) > float64(across.fabric.Length)+1e-6 {
			continue // longer than all the cloth that is cut with the binding across
		}
		tried++
		quick.binding = &b
		if l, err := quick.lay(along); err == nil && (fewest == nil || dearer(&least, &l)) {
			fewest, least = &b, l
		}
	}
	if fewest == nil {
		return across, nil
	}
	lengthwise := w
	lengthwise.binding = fewest
	out, err := lengthwise.lay(along)
	switch {
	case err != nil:
	case dearer(&across, &out) || across.along && !dearer(&out, &across):
		out.instead("binding across", &across, nil)
		return out, nil
	default:
		across.instead("binding along", &out, nil)
	}
	return across, nil
}

// empty is the fabric with nothing cut from it.
func (w cloths) empty() plan.Fabric {
	f := w.f
	out := plan.Fabric{Letter: f.Letter, Name: f.Name, Color: f.Color, Swatch: f.Swatch, Value: string(f.Value), Print: string(f.Print),
		Width: plan.Num(w.c.Width), Assorted: f.Assorted, Rules: rulesSay(2, false, false)}
	if f.Motif != nil {
		out.Motif = &plan.Motif{Size: plan.Num(f.Motif.Size.Float()), Every: [2]plan.Num{plan.Num(w.c.Motifs[0]), plan.Num(w.c.Motifs[1])}}
	}
	return out
}

// lay lays the fabric, what is longer than it is wide along the selvage or joined.
func (w cloths) lay(along bool) (fabricLaid, error) {
	out := fabricLaid{fabric: w.empty(), binding: w.binding}
	blanks, c, rules := w.blanks, w.c, w.rules
	if w.binding != nil {
		blanks = append(slices.Clone(blanks), bindingBlank(w.binding, c, max(1, w.months)))
	}
	rules.along = along
	known := rules
	known.Memory = nil
	all, err := guillotine.Remembered(rules.Memory, allLaying{c, blanks, w.months > 1, known}, func(p allLaying) (allLaid, error) { return p.lay(rules) })
	out.fabric.Monthly = all.monthly
	if err != nil {
		return out, err
	}
	got, least, sheets := all.laid, all.least, all.sheets
	l := &out.fabric
	out.joined, out.along = got.joined, got.along
	got.due = w.months > 1
	l.Length, l.Bound, l.Optimal = plan.Num(got.length), plan.Num(got.bound), got.optimal
	if got.optimal {
		l.Bound = l.Length
	}
	if c.inSheets() {
		l.Width = plan.Num(c.Sheet[0]) // a piece on the shelf may be wider
	}
	if l.Rules = got.rules(); w.binding != nil && w.binding.Along > 0 {
		l.Rules += fmt.Sprintf(", the binding in %d", w.binding.Strips)
		if l.Rules += " strips"; w.binding.Strips == 1 {
			l.Rules = strings.TrimSuffix(l.Rules, "s")
		}
	}
	if len(got.stocks) > 0 {
		l.Stages = got.stages
	}
	l.Sheets, l.Layout, l.Strips = got.sheets, got.tree(), got.strips()
	more := math.Max(0, math.Max(least-got.length, float64(sheets-got.sheets)))
	l.Buy = buy(w.f, c, &got, w.binding, more, rules)
	return out, nil
}

// side does n things side by side, on as many cores as there are. A panic in one is passed on when all have ended.
func side(n int, do func(i int)) {
	var all sync.WaitGroup
	var next atomic.Int64
	var broken atomic.Value
	for range min(n, runtime.GOMAXPROCS(0)) {
		all.Go(func() {
			defer func() {
				if r := recover(); r != nil {
					broken.CompareAndSwap(nil, fmt.Sprint(r))
				}
			}()
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				do(i)
			}
		})
	}
	all.Wait()
	if r := broken.Load(); r != nil {
		panic(r)
	}
}

// blankOf is a piece as far as laying it goes.
func blankOf(p *Piece) Blank {
	b := p.Blank
	out := Blank{Label: p.Label, Width: b.Width, Height: b.Height, Months: p.Months, Turn: b.Turnable, Across: b.Grain == "across", Joined: b.Joined, Measured: b.Measured, Directed: b.Directed, Centred: b.Centred, Motif: b.Motif}
	if (b.Shape == method.Parallelogram || b.Shape == method.Template) && !b.Centred {
		// To lie half a turn round it must be free to.
		if r, ok := rowOf(b.Outline); ok && (!r.round || b.Turnable) {
			out.Row = r
		}
	}
	return out
}

// bindingBlank is the binding's strips, or its square, cut in the last month.
func bindingBlank(b *plan.Binding, c Cloth, months int) Blank {
	out := Blank{Label: BindingLabel, Width: float64(b.Strip), Height: c.Width, Across: true, Months: make([]int, months)}
	n := b.Strips
	if b.Square > 0 {
		out.Width, out.Height, out.Across, n = float64(b.Square), float64(b.Square), false, 1
	} else if b.Along > 0 {
		out.Height, out.Across, out.Along = float64(b.Along), false, true
	} else if c.inSheets() {
		out.Height = math.Max(c.Sheet[0], c.Sheet[1])
		out.Turn, out.Across = true, false
	}
	out.Months[months-1] = n
	return out
}

// clothOf is how a fabric is sold, and what of it is on the shelf.
func clothOf(doc *quilt.Document, f quilt.Fabric) Cloth {
	c := Cloth{Width: f.Width.Float(), Assorted: f.Assorted}
	if f.Motif != nil {
		c.Motifs = lattice{f.Motif.Every[0].Float(), f.Motif.Every[1].Float()}
	}
	if w, h, ok := doc.Sheet(f); ok {
		c.Sheet = [2]float64{w.Float(), h.Float()}
		c.Width = c.Sheet[0]
	}
	for _, h := range f.Have {
		have := [2]float64{h[0].Float(), h[1].Float()}
		if c.inSheets() {
			c.Width = math.Max(c.Width, have[0])
		}
		c.Have = append(c.Have, [2]float64{math.Min(have[0], c.Width), have[1]})
	}
	return c
}

// buy is what to ask for: what is laid, what cutting month by month takes more, squaring up, the largest strip once more, what the cloth shrinks by, each a number,
// and all together up to what a shop measures out. Of assorted cloths each is bought as long as the longest of them needs;
// what that is more than all need together is the margin for a miscut.
func buy(f quilt.Fabric, c Cloth, l *laid, binding *plan.Binding, more float64, rules Rules) plan.Buy {
	out := plan.Buy{Monthly: plan.Num(more), Motif: plan.Num(l.motifs(c.Motifs))}
	if binding != nil && !c.inSheets() && binding.Along == 0 {
		out.Binding = plan.Num(float64(binding.Strips) * float64(binding.Strip))
		if binding.Square > 0 {
			out.Binding = binding.Square
		}
	}
	switch {
	case c.inSheets():
		out.Amount, out.Unit = plan.Num(float64(l.sheets)+more), f.Sold.Form
	case l.length+more == 0:
		_, out.Unit = rules.shop(0)
	case l.cloths > 1:
		longest := more / float64(l.cloths)
		if len(l.each) > 0 {
			longest += slices.Max(l.each)
		}
		longest += rules.Squaring
		each, unit := rules.shop(longest + rules.shrunk(longest))
		n := float64(l.cloths)
		out.Amount, out.Unit = plan.Num(each*n), unit
		total := each * n
		if unit == "yd" {
			total *= 36
		}
		out.Squaring = plan.Num(rules.Squaring * n)
		out.Shrink = plan.Num(rules.shrunk(l.length + more + rules.Squaring*n))
		out.Miscut = plan.Num(math.Max(0, total-l.length-more-float64(out.Squaring)-float64(out.Shrink)))
	default:
		m := rules.margins(l.length+more, l.highest())
		out.Squaring, out.Miscut, out.Shrink = plan.Num(m.squaring), plan.Num(m.miscut), plan.Num(m.shrink)
		out.Amount, out.Unit = plan.Num(m.amount), m.unit
	}
	return out
}

// tooLarge says which piece does not fit.
func tooLarge(found *diag.List, f quilt.Fabric, c Cloth, err error, unit measure.Unit) {
	var none *NoMotif
	if errors.As(err, &none) {
		size := measure.FormatWith(none.Across, unit) + " wide"
		if none.Along > 0 {
			size = measure.Format(none.Across, unit) + " by " + measure.FormatWith(none.Along, unit)
		}
		found.Errorf(f.At, "motif", "fabric %s is %s, and wherever its motifs stand, there must be one with room for piece %s, %s by %s, about it", f.Letter, size, none.Label,
			measure.Format(none.Width, unit), measure.FormatWith(none.Height, unit)).Remedy = "buy it larger, or take “motif” out and choose by eye"
		return
	}
	var large *TooLarge
	if !errors.As(err, &large) {
		found.Errorf(f.At, "cloth", "fabric %s cannot be laid out: %v", f.Letter, err)
		return
	}
	what := "piece " + large.Label
	if large.Label == BindingLabel {
		what = "the square for the bias binding"
	}
	e := found.Errorf(f.At, "too-wide", "%s, %s by %s, does not fit on fabric %s, which is %s wide", what, measure.Format(large.Width, unit),
		measure.FormatWith(large.Height, unit), f.Letter, measure.FormatWith(large.Across, unit))
	least := large.Width
	if large.Turn {
		least = math.Min(large.Width, large.Height)
	}
	e.Remedy = "give the fabric a “width” of at least " + measure.FormatWith(least, unit) + ", or divide the patch"
	switch {
	case c.inSheets():
		e.Remedy = "buy it off the bolt, or divide the patch"
	case !large.Turn && f.Print != quilt.Plain && large.Height <= large.Across+1e-9:
		e.Remedy = "it would fit if its print ran the other way; or " + e.Remedy
	}
}

// nearlyAlike names sizes of one fabric that are easily taken for one another: both sides within 1/4 in (6 mm).
func nearlyAlike(doc *quilt.Document, pieces []Piece) diag.List {
	near := rulesOf(doc).inch(0.25, 0.6)
	var found diag.List
	by := make([][]string, len(doc.Fabrics))
	order := Listed(pieces)
	for x, i := range order {
		for _, j := range order[x+1:] {
			a, b := pieces[i].Blank, pieces[j].Blank
			dw, dh := math.Abs(a.Width-b.Width), math.Abs(a.Height-b.Height)
			if a.Fabric == b.Fabric && dw <= near+1e-9 && dh <= near+1e-9 && dw+dh > 1e-9 {
				by[a.Fabric] = append(by[a.Fabric], pieces[i].Label+" and "+pieces[j].Label)
			}
		}
	}
	for i, f := range doc.Fabrics {
		if list := by[i]; len(list) > 0 {
			if len(list) > 6 {
				list = append(list[:6:6], fmt.Sprintf("%d more", len(list)-6))
			}
			found.Hintf(f.At, "alike", "pieces of fabric %s that are nearly the same size: %s", f.Letter, strings.Join(list, ", ")).Remedy = "label them as they are cut"
		}
	}
	return found
}

package words

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// CutLine is a line of the cutting list in its fixed form, such as
// "Cut 12 squares 3 7/8 in [A2]; cut each once corner to corner: 24 triangles".
func (t *Teller) CutLine(p *plan.Piece) Text { return t.cutLine(p, p.Cut, true) }

// CutIn is the line for what is cut of the piece in one month; empty where nothing is.
func (t *Teller) CutIn(p *plan.Piece, month int) Text {
	for _, m := range p.Months {
		if m.Month == month && m.Cut > 0 {
			return t.cutLine(p, m.Cut, m.Cut == p.Cut)
		}
	}
	return ""
}

func (t *Teller) cutLine(p *plan.Piece, blanks int, all bool) Text {
	noun := t.in.noun(blanks, t.blank(p))
	side, size := t.length(p.Width), t.by(p.Width, p.Height)
	if near(p.Width, p.Height) {
		size = side
	}
	each := max(p.Each, 1)
	count := func(key string) string {
		switch key {
		case "cut.square":
			return t.in.say(key, "count", blanks, "noun", noun, "side", side, "label", label(p.Label))
		case "cut.half square", "cut.quarter square":
			return t.in.say(key, "count", blanks, "noun", noun, "side", side, "label", label(p.Label),
				"yields", blanks*each, "triangles", t.in.noun(blanks*each, "triangle"))
		case "cut.half rectangle", "cut.half rectangle.R":
			return t.in.say(key, "count", blanks, "noun", noun, "size", size, "label", label(p.Label),
				"yields", blanks*each, "triangles", t.in.noun(blanks*each, "triangle"))
		default:
			return t.in.say(key, "count", blanks, "noun", noun, "size", size, "label", label(p.Label))
		}
	}
	var line string
	switch p.Shape {
	case "half square", "quarter square":
		line = count("cut." + p.Shape)
	case "half rectangle":
		key := "cut.half rectangle"
		if p.Hand == "R" {
			key += ".R"
		}
		line = count(key)
	case "strip":
		long, wide := max(p.Width, p.Height), min(p.Width, p.Height)
		if f := t.fabrics[p.Fabric]; f != nil && near(long, f.Width) {
			line = t.in.say("cut.strip", "count", blanks, "noun", noun, "height", t.length(wide), "label", label(p.Label))
		} else {
			line = t.in.say("cut.rectangle", "count", blanks, "noun", noun, "size", t.by(wide, long), "label", label(p.Label))
		}
	case "joined strip":
		key := "cut.joined.straight"
		if p.JoinedBy == "diagonal" {
			key = "cut.joined.diagonal"
		}
		if p.JoinedFrom > 2 {
			key += ".several"
		}
		line = t.in.say(key, "count", blanks, "noun", noun, "size", t.by(min(p.Width, p.Height), max(p.Width, p.Height)),
			"label", label(p.Label), "from", t.number(p.JoinedFrom))
	case "parallelogram":
		apart, angle := Slant(p)
		line = t.in.say("cut.parallelogram", "count", blanks, "noun", noun, "label", label(p.Label), "height", t.length(p.Height),
			"angle", strconv.FormatFloat(math.Round(angle*10)/10, 'f', -1, 64), "apart", t.length(plan.Num(apart)))
	case "triangle 60":
		line = t.in.say("cut.triangle 60", "count", blanks, "noun", noun, "label", label(p.Label), "height", t.length(p.Height))
	case "template":
		key := "cut.template"
		if p.Hand == "R" {
			key += ".R"
		}
		line = t.in.say(key, "count", blanks, "noun", noun, "label", label(p.Label))
	default:
		key := "cut.rectangle"
		if near(p.Width, p.Height) {
			key = "cut.square"
		}
		line = count(key)
	}
	if p.Measured {
		if more := t.beyond(p); more > 0 {
			line += "; " + t.in.say("cut.measured.more", "more", t.length(more))
		} else {
			line += "; " + t.in.say("cut.measured")
		}
	}
	if p.Motif != nil {
		key := "cut.motif"
		if f := t.fabrics[p.Fabric]; f != nil && f.Motif != nil && stripe(f.Motif) {
			key = "cut.stripe"
		}
		line += "; " + t.in.say(key, "noun", t.in.noun(blanks, "each"))
	}
	var extra []string
	if all && p.Spare > 0 {
		extra = append(extra, t.in.say("cut.spare", "count", p.Spare))
	}
	if all && p.Samples > 0 {
		extra = append(extra, t.in.say("cut.samples", "count", p.Samples))
	}
	if all && p.Surplus > 0 {
		extra = append(extra, t.in.say("cut.surplus", "count", p.Surplus))
	}
	if len(extra) > 0 {
		line += " (" + strings.Join(extra, ", ") + ")"
	}
	return Text(line)
}

// beyond is how much longer a strip of a border with mitred corners is cut than the top is that the border goes round: that of the innermost
// edge of what is sewn to it with the strip, and a seam at both ends. 0 of any other piece.
func (t *Teller) beyond(p *plan.Piece) plan.Num {
	if !p.Trimmed || len(p.ForUnits) == 0 {
		return 0
	}
	strip := p.ForUnits[0]
	inner, ok := shorter(outline(t.units[strip].Outline))
	if !ok {
		return 0
	}
	for i := range t.p.Units {
		side := &t.p.Units[i]
		if least, ok := shorter(outline(side.Outline)); ok && slices.ContainsFunc(side.Parts, func(q plan.Part) bool { return q.Unit == strip }) {
			inner = min(inner, least)
		}
	}
	return max(p.Width, p.Height) - plan.Num(inner) - 2*t.p.Seam
}

// blank is the word for what is cut first: a square that becomes triangles is a square.
func (t *Teller) blank(p *plan.Piece) string {
	switch p.Shape {
	case "half square", "quarter square":
		return "square"
	case "half rectangle":
		return "rectangle"
	case "joined strip":
		return "strip"
	case "triangle 60":
		return "triangle"
	case "rectangle":
		if near(p.Width, p.Height) {
			return "square"
		}
	}
	return p.Shape
}

// Slant is how far apart the parallel cuts across a strip are that make a parallelogram, measured
// square to the cuts, and their angle to the strip in degrees; 0 of any other shape.
func Slant(p *plan.Piece) (apart, angle float64) {
	ps := places(p.Raw())
	if p.Shape != "parallelogram" || len(ps) != 4 {
		return 0, 0
	}
	base, cut := flat.Sub(ps[1], ps[0]), flat.Sub(ps[2], ps[1])
	if math.Abs(base[1]) > math.Abs(cut[1]) {
		base, cut = cut, base
	}
	cross := math.Abs(base[0]*cut[1] - base[1]*cut[0])
	return cross / flat.Length(cut), math.Asin(cross/flat.Length(base)/flat.Length(cut)) * 180 / math.Pi
}

// CutSize is the size of a blank for a table: "3 7/8 in square", "2 1/2 × 4 1/2 in", "2 1/2 in × width".
func (t *Teller) CutSize(p *plan.Piece) Text {
	if p.Shape == "strip" || p.Shape == "joined strip" {
		long, wide := max(p.Width, p.Height), min(p.Width, p.Height)
		return Text(t.by(wide, long))
	}
	return Text(t.Size(p.Width, p.Height))
}

// Becomes is what comes of n blanks of a piece in a month: its own shape where a blank is cut further ("24 triangles"), and the
// units of that month that use it.
func (t *Teller) Becomes(p *plan.Piece, n, month int) Text {
	var to []string
	if p.Each > 1 {
		to = append(to, t.in.say("becomes", "count", n*p.Each, "noun", t.in.noun(n*p.Each, "triangle")))
	}
	seen := map[string]bool{}
	for _, id := range p.ForUnits {
		u := t.units[id]
		if u == nil || u.Piece != "" || !t.sewnIn(u, month) {
			continue
		}
		noun := t.in.noun(2, u.Kind)
		if u.Name != "" {
			noun = u.Name
		}
		if !seen[noun] {
			seen[noun] = true
			to = append(to, noun)
		}
	}
	return Text(strings.Join(to, ", "))
}

// sewnIn reports whether a unit is sewn in a month.
func (t *Teller) sewnIn(u *plan.Unit, month int) bool {
	for i := range t.p.Recipes {
		r := &t.p.Recipes[i]
		if r.Unit == u.ID && slices.ContainsFunc(r.Months, func(m plan.BatchMonth) bool { return m.Month == month && m.Batches > 0 }) {
			return true
		}
	}
	return false
}

// Strip is one line of how strips are cut: "Cut 3 strips 3 7/8 in; cut into 27 squares A2", and
// what is left at their end, empty where nothing is.
func (t *Teller) Strip(f *plan.Fabric, s *plan.Strip) (does, left Text) {
	if down, _, is := t.Row(s); is {
		return t.ofCloth(s, t.rowStrip(f, s, down)), ""
	}
	strips := t.count(s.Count, "strip")
	whole := len(s.Cuts) == 1 && s.Cuts[0].Count == 1
	var runs []string
	for i, g := range s.Segments() {
		if len(g) == 1 {
			says := t.run(g[0].Label, g[0].Count*s.Count)
			switch {
			case g[0].Round:
				says = t.in.say("strips.run.row.round", "run", says)
			case g[0].Row > 0 && g[0].Count > 1:
				says = t.in.say("strips.run.row", "run", says)
			}
			runs = append(runs, says)
			p := t.pieces[g[0].Label]
			whole = whole && (p == nil || p.Shape == "strip" || p.Shape == "joined strip")
			continue
		}
		var again []string
		parts := plan.Runs(g)
		for k, run := range parts {
			says := t.run(run[0].Label, len(run))
			if len(parts) > 1 {
				says = t.in.say("strips.again.run", "run", says, "number", t.CutMark(i, k))
			}
			again = append(again, says)
		}
		key := "strips.again"
		if g[0].Count*s.Count == 1 {
			key = "strips.again.one"
		}
		runs = append(runs, t.in.say(key, "segments", t.count(g[0].Count*s.Count, "segment"), "width", t.length(g[0].Width), "runs", t.list(again)))
	}
	list := strings.Join(runs, ", "+t.in.say("then")+" ")
	switch {
	case s.Along == "length" && whole && t.pieces[s.Cuts[0].Label] != nil:
		does = Text(t.in.say("strips.along.whole", "strips", strips, "height", t.length(s.Height), "length", t.length(s.Length), "label", label(s.Cuts[0].Label)))
	case s.Along == "length" && whole:
		does = Text(t.in.say("strips.along.whole.other", "strips", strips, "height", t.length(s.Height), "length", t.length(s.Length), "label", label(s.Cuts[0].Label)))
	case s.Along == "length":
		does = Text(t.in.say("strips.along", "strips", strips, "height", t.length(s.Height), "length", t.length(s.Length), "runs", list))
	case whole && t.pieces[s.Cuts[0].Label] == nil:
		does = Text(t.in.say("strips.whole.other", "strips", strips, "height", t.length(s.Height), "label", label(s.Cuts[0].Label)))
	case whole:
		does = Text(t.in.say("strips.whole", "strips", strips, "height", t.length(s.Height), "label", label(s.Cuts[0].Label)))
	default:
		does = Text(t.in.say("strips.into", "strips", strips, "height", t.length(s.Height), "runs", list))
	}
	if s.From == "left" && s.Along == "width" && !whole && s.Of != nil {
		does = Text(t.in.say("strips.left.into", "size", t.by(s.Of[0], s.Of[1]), "runs", list))
	} else {
		does = t.ofCloth(s, does)
	}
	does += t.folded(s) + t.due(s)
	if s.Left > 0 && s.Count == 1 {
		left = Text(t.in.say("strips.left.one", "length", t.by(s.Left, s.Height)))
	} else if s.Left > 0 {
		left = Text(t.in.say("strips.left", "length", t.by(s.Left, s.Height)))
	}
	return does, left
}

// ofCloth adds to the line of a strip from which cloth that is cut, where it is not new.
func (t *Teller) ofCloth(s *plan.Strip, does Text) Text {
	switch {
	case s.Of == nil:
	case s.From == "left":
		return Text(t.in.say("strips.of.left", "size", t.by(s.Of[0], s.Of[1]), "does", does))
	case s.From == "shelf":
		return Text(t.in.say("strips.of.shelf", "size", t.by(s.Of[0], s.Of[1]), "does", does))
	}
	return does
}

// due says of a strip of a programme that is cut all at once when it is cut, and what of it is labelled and waits.
func (t *Teller) due(s *plan.Strip) Text {
	if s.Month == 0 {
		return ""
	}
	labels := make([]string, len(s.Later))
	for i, l := range s.Later {
		labels[i] = label(l)
		if t.pieces[l] == nil {
			labels[i] = t.in.say("strips.the", "thing", label(l))
		}
	}
	if len(labels) == 0 {
		return Text("; " + t.in.say("strips.due", "month", s.Month))
	}
	return Text("; " + t.in.say("strips.due.later", "month", s.Month, "labels", t.list(labels)))
}

// run is n blanks of a piece, or of what is no piece: the binding.
func (t *Teller) run(of string, n int) string {
	p := t.pieces[of]
	if p == nil {
		return t.in.say("strips.run.other", "count", n, "noun", t.in.noun(n, "strip"), "label", label(of))
	}
	return t.in.say("strips.run", "count", n, "noun", t.in.noun(n, t.blank(p)), "label", label(of))
}

// Amount is a quantity as a shop sells it: "5/8 yd", "90 cm", "3 fat quarters".
func (t *Teller) Amount(amount plan.Num, unit string) string {
	switch unit {
	case "yd", "cm", "in", "m":
		return t.bare(amount) + "\u00a0" + unit
	}
	n := int(math.Round(float64(amount)))
	if n != 1 && !strings.HasSuffix(unit, "s") {
		unit += "s"
	}
	return strconv.Itoa(n) + " " + unit
}

// Buy is what to ask for in a shop.
func (t *Teller) Buy(f *plan.Fabric) Text { return Text(t.Amount(f.Buy.Amount, f.Buy.Unit)) }

// Uses is how much of a fabric the cutting takes: "uses 20 1/4 in of 42 in cloth", what cutting month by month takes, and what
// binding takes of it.
func (t *Teller) Uses(f *plan.Fabric) Text {
	says := t.in.say("materials.used", "length", t.length(f.Length), "width", t.length(f.Width))
	if f.Buy.Monthly > 0 && f.Length > 0 {
		says += ", " + t.in.say("materials.monthly", "length", t.length(f.Length+f.Buy.Monthly))
	}
	if f.Buy.Binding > 0 {
		says += ", " + t.in.say("materials.binding", "length", t.length(f.Buy.Binding))
	}
	if f.Buy.Motif > 0 {
		says += ", " + t.in.say("materials.motif", "length", t.length(f.Buy.Motif))
	}
	if f.Assorted > 1 {
		says += ", " + t.in.say("materials.assorted", "count", f.Assorted)
	}
	return Text(says)
}

// Instead says what would be bought of a fabric, or of the backing, if it were cut or made otherwise.
func (t *Teller) Instead(ways []plan.Instead) []Text {
	var out []Text
	for _, x := range ways {
		amount := t.Amount(x.Amount, x.Unit)
		switch x.Way {
		case "along":
			out = append(out, Text(t.in.say("instead.along", "amount", amount)))
		case "joined":
			out = append(out, Text(t.in.say("instead.joined", "amount", amount)))
		case "pieced":
			out = append(out, Text(t.in.say("instead.pieced", "amount", amount)))
		case "binding along":
			out = append(out, Text(t.in.say("instead.binding.along", "joins", t.joinedBy(x.Joins), "amount", amount)))
		case "binding across":
			out = append(out, Text(t.in.say("instead.binding.across", "joins", t.joinedBy(x.Joins), "amount", amount)))
		case "width":
			out = append(out, Text(t.in.say("instead.width", "width", t.length(x.Width), "amount", amount)))
		case "make":
			out = append(out, Text(t.in.say("instead.make", "make", x.Make, "amount", amount)))
		}
	}
	return out
}

// joinedBy says how often a binding is joined.
func (t *Teller) joinedBy(seams int) string {
	if seams == 0 {
		return t.in.say("instead.no joins")
	}
	return t.in.say("instead.joins", "seams", t.count(seams, "join"))
}

// Precut says whether a fabric's pieces come out of a precut.
func (t *Teller) Precut(x *plan.Precut) Text {
	name := x.Of
	switch x.Of {
	case "strip":
		name = t.in.say("precut.strip", "size", t.length(x.Size[1]))
	case "square":
		name = t.in.say("precut.square", "size", t.length(x.Size[1]))
	}
	if x.TooLarge != "" {
		return Text(t.in.say("precut.not", "precuts", t.in.noun(2, name), "label", label(x.TooLarge)))
	}
	return Text(t.in.say("precut.of", "count", x.Count, "precuts", t.in.noun(2, name)))
}

// LeftOver is what is left of a fabric when all is cut, the largest first; empty where nothing is large enough to keep: 1 1/2 in (4 cm) either way.
func (t *Teller) LeftOver(f *plan.Fabric) Text {
	keep := plan.Num(1.5)
	if t.p.Measure == "cm" {
		keep = 4
	}
	var left [][2]plan.Num
	var walk func(n *plan.Node)
	walk = func(n *plan.Node) {
		if n.Left != nil && n.Left[0] > keep && n.Left[1] > keep {
			left = append(left, *n.Left)
		}
		for i := range n.Parts {
			walk(&n.Parts[i])
		}
	}
	for _, s := range f.Layout {
		if s.First == nil || s.Motif { // what is left between motifs is seen when they are
			continue
		}
		if s.Stock == "left" { // it was left before, and is cut up now
			if i := slices.IndexFunc(left, func(x [2]plan.Num) bool { return near(x[0], s.First.Width) && near(x[1], s.First.Height) }); i >= 0 {
				left = slices.Delete(left, i, i+1)
			}
		}
		walk(s.First)
	}
	slices.SortStableFunc(left, func(a, b [2]plan.Num) int {
		return cmp.Or(cmp.Compare(b[0]*b[1], a[0]*a[1]), cmp.Compare(b[0], a[0]))
	})
	var list []string
	for i := 0; i < len(left); {
		n := 1
		for i+n < len(left) && left[i+n] == left[i] {
			n++
		}
		says := t.by(left[i][0], left[i][1])
		if n > 1 {
			says = t.in.say("left.over.several", "count", n, "size", says)
		}
		list = append(list, says)
		i += n
	}
	if len(list) == 0 {
		return ""
	}
	return Text(t.in.say("left.over", "list", t.list(list)))
}

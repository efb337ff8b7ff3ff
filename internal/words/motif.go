package words

import (
	"math"
	"slices"

	"quiltwright/internal/plan"
)

// stripe says whether what pieces are centred on runs on, across the cloth or along it.
func stripe(m *plan.Motif) bool { return m.Every[0] == 0 || m.Every[1] == 0 }

// Row is where the motifs stand in a strip that is cut about a row of them: so far below its upper edge, the first so far from its left end. False of
// any other strip.
func (t *Teller) Row(s *plan.Strip) (down, first plan.Num, is bool) {
	for i, c := range s.Cuts {
		at, is := t.MotifIn(c)
		if !is {
			return 0, 0, false
		}
		down = max(down, at[1])
		if i == 0 {
			first = at[0]
		}
	}
	return down, first, len(s.Cuts) > 0
}

// Drop is how far below the upper edge of a strip about motifs a blank of it begins.
func (t *Teller) Drop(s *plan.Strip, c plan.Cuts) plan.Num {
	down, _, is := t.Row(s)
	if !is {
		return 0
	}
	return down - motifIn(t.pieces[c.Label], c.Turned)[1]
}

// MotifIn is where the motif stands in a blank of a strip; false of one that is not cut about a motif.
func (t *Teller) MotifIn(c plan.Cuts) (at plan.Point, is bool) {
	p := t.pieces[c.Label]
	if p == nil || p.Motif == nil {
		return at, false
	}
	return motifIn(p, c.Turned), true
}

// motifIn is where the motif stands in a blank as it lies.
func motifIn(p *plan.Piece, turned bool) plan.Point {
	if turned {
		return plan.Point{p.Motif[1], p.Motif[0]}
	}
	return *p.Motif
}

// rowStrip is the line of a strip that is cut about motifs.
func (t *Teller) rowStrip(f *plan.Fabric, s *plan.Strip, down plan.Num) Text {
	count := map[string]int{}
	var labels []string
	for _, c := range s.Cuts {
		if count[c.Label] += c.Count * s.Count; !slices.Contains(labels, c.Label) {
			labels = append(labels, c.Label)
		}
	}
	var runs []string
	for _, l := range labels {
		runs = append(runs, t.run(l, count[l]))
	}
	key := "strips.motif"
	switch m := f.Motif; {
	case m.Every[0] == 0:
		key = "strips.stripe.across"
	case m.Every[1] == 0:
		return Text(t.in.say("strips.stripe.along", "strips", t.count(s.Count, "strip"), "height", t.length(s.Height), "runs", t.list(runs)))
	}
	return Text(t.in.say(key, "strips", t.count(s.Count, "strip"), "height", t.length(s.Height), "down", t.length(down), "runs", t.list(runs)))
}

// Centre says what the circle on the template of a piece is for that is centred on a motif.
func (t *Teller) Centre(p *plan.Piece) string {
	if f := t.fabrics[p.Fabric]; f != nil && f.Motif != nil && stripe(f.Motif) {
		return t.in.say("template.stripe")
	}
	return t.in.say("template.motif")
}

// Motifs says how the motifs stand that pieces of a fabric are centred on in a month, 0 for all of them, and of how many of each a width is sure; empty
// where there are none.
func (t *Teller) Motifs(f *plan.Fabric, month int) Text {
	if f.Motif == nil {
		return ""
	}
	var each []string
	for i := range t.p.Pieces {
		p := &t.p.Pieces[i]
		if p.Fabric != f.Letter || p.Motif == nil || p.Cut == 0 || month > 0 && t.CutIn(p, month) == "" {
			continue
		}
		wide, every := p.Width, f.Motif.Every[0]
		if turnedIn(f.StripsOf(month), p.Label) {
			wide = p.Height
		}
		step := wide
		if every > 0 {
			step = every * plan.Num(math.Ceil(float64(wide/every)-1e-6))
		}
		n := 1 + int(math.Floor(float64((f.Width-every-wide)/step)+1e-6))
		each = append(each, t.in.say("motif.each", "count", n, "label", label(p.Label)))
	}
	if len(each) == 0 {
		return ""
	}
	size := t.length(f.Motif.Size)
	gives := t.list(each)
	switch m := f.Motif; {
	case m.Every[0] == 0:
		return Text(t.in.say("motif.across", "along", t.length(m.Every[1]), "gives", gives))
	case m.Every[1] == 0:
		return Text(t.in.say("motif.along", "across", t.length(m.Every[0]), "gives", gives))
	default:
		return Text(t.in.say("motif.stand", "size", size, "across", t.length(m.Every[0]), "along", t.length(m.Every[1]), "gives", gives))
	}
}

// turnedIn says whether a piece lies a quarter turn round in the strips that it is cut from.
func turnedIn(strips []plan.Strip, label string) bool {
	return slices.ContainsFunc(strips, func(s plan.Strip) bool {
		return slices.ContainsFunc(s.Cuts, func(c plan.Cuts) bool { return c.Label == label && c.Turned })
	})
}

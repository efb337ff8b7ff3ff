package words

import (
	"math"
	"slices"
	"strings"

	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// Fold is how a strip lies when it is cut up.
type Fold int

// Folds.
const (
	Flat   Fold = iota // in one layer, either way up
	Folded             // as it came from the folded cloth, in two layers: the same is cut from either end
	Open               // in one layer, right side up: a fold would give mirror images that nobody needs
)

// Fold says how a strip lies when it is cut up. Across the cloth it comes folded, and two layers cut at a time give mirror images: that is no
// matter for a rectangle, and welcome where a left and a right are needed alike. Of what stands once, an odd one, is cut from the fold.
func (t *Teller) Fold(s *plan.Strip) Fold {
	count := map[string]int{}
	odd, pieces := 0, 0
	for _, c := range s.Cuts {
		count[c.Label] += c.Count
		odd += c.Count % 2
		pieces += c.Count
	}
	if slices.ContainsFunc(s.Cuts, func(c plan.Cuts) bool { return c.Row > 0 }) { // a row is cut end to end, in one layer
		if slices.ContainsFunc(s.Cuts, func(c plan.Cuts) bool { p := t.pieces[c.Label]; return p != nil && handed(p) }) {
			return Open
		}
		return Flat
	}
	for label, n := range count {
		p := t.pieces[label]
		if p != nil && p.Motif != nil {
			return Flat // the motifs of two layers do not lie on one another
		}
		if p != nil && handed(p) {
			if count[twin(label)] != n {
				return Open
			}
			odd -= n % 2 // each cut gives one of both
		}
	}
	if !offBolt(s) || len(s.Segments()) < len(s.Cuts) || odd > 1 || pieces < 2 {
		return Flat
	}
	return Folded
}

// offBolt says whether a strip is as wide as the cloth, and comes folded.
func offBolt(s *plan.Strip) bool { return s.Along == "width" && s.From == "" }

// folded says of a strip with pieces that have a left and a right whether it stays folded.
func (t *Teller) folded(s *plan.Strip) Text {
	var labels []string
	for _, c := range s.Cuts {
		if p := t.pieces[c.Label]; p != nil && handed(p) && !slices.Contains(labels, label(c.Label)) {
			labels = append(labels, label(c.Label))
		}
	}
	switch fold := t.Fold(s); {
	case len(labels) == 0 || fold == Flat:
		return ""
	case fold == Open && offBolt(s):
		return Text("; " + t.in.say("strips.open", "labels", t.list(labels)))
	case fold == Open:
		return Text("; " + t.in.say("strips.face", "labels", t.list(labels)))
	}
	return Text("; " + t.in.say("strips.pairs", "labels", t.list(labels)))
}

// twin is the label of a piece's mirror image.
func twin(label string) string {
	if of, is := strings.CutSuffix(label, "R"); is {
		return of
	}
	return label + "R"
}

// handed says whether a piece is cut from its strip to an outline that is not its own mirror image. A rectangle that is cut corner to
// corner afterwards is a rectangle as long as it is in the strip.
func handed(p *plan.Piece) bool {
	if p.Shape != "parallelogram" && p.Shape != "template" {
		return false
	}
	ps := places(p.Raw())
	type corner struct{ side, angle float64 }
	walk := make([]corner, len(ps))
	for i, q := range ps {
		before, after := ps[(i+len(ps)-1)%len(ps)], ps[(i+1)%len(ps)]
		in, out := flat.Sub(q, before), flat.Sub(after, q)
		walk[i] = corner{flat.Length(out), math.Atan2(in[0]*out[1]-in[1]*out[0], in[0]*out[0]+in[1]*out[1])}
	}
	// The mirror image is walked the other way: from each corner the side that came before.
	back := make([]corner, len(walk))
	for i := range walk {
		k := len(walk) - 1 - i
		back[i] = corner{walk[(k+len(walk)-1)%len(walk)].side, walk[k].angle}
	}
	for from := range back {
		if slices.EqualFunc(walk, append(slices.Clone(back[from:]), back[:from]...), func(a, b corner) bool {
			return math.Abs(a.side-b.side) < 1e-4 && math.Abs(a.angle-b.angle) < 1e-4
		}) {
			return false
		}
	}
	return len(ps) > 2
}

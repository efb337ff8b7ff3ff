package prove

import (
	"math"
	"strings"

	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// balance is how far the centre of gravity of an outline lies from a place.
func balance(p []pt, at pt) pt {
	var moment pt
	area := 0.0
	for i := range p { // triangles from the place
		a, b := flat.Sub(p[i], at), flat.Sub(p[(i+1)%len(p)], at)
		x := flat.Cross(a, b)
		area += x
		moment = flat.Add(moment, flat.Scale(flat.Add(a, b), x/3))
	}
	return flat.Scale(moment, 1/area)
}

// shows says whether a patch is large enough for the motif of its cloth.
func (v *prover) shows(f *plan.Fabric, outline []pt) bool {
	at := flat.Add(outline[0], balance(outline, outline[0]))
	return outside(outline, at) <= -float64(f.Motif.Size)/2+1e-6
}

// pieceMotif checks that a piece that is centred on a motif can be.
func (v *prover) pieceMotif(x *plan.Piece, raw []pt) {
	if x.Motif == nil {
		return
	}
	f := v.fabrics[x.Fabric]
	if !v.expect(f == nil || f.Motif != nil && f.Motif.Size > 0) {
		v.fault("motif", "", x.Label, "", "piece %s is centred on a motif, which fabric %s does not have", x.Label, x.Fabric)
	}
	if !v.expect((x.Shape == "rectangle" || x.Shape == "template") && x.Each == 1 && outside(raw, flat.At(*x.Motif)) < 0) {
		v.fault("motif", "", x.Label, "", "piece %s, a %s, cannot be centred on a motif at %s", x.Label, x.Shape, v.point(flat.At(*x.Motif)))
	}
	for i := range v.p.Recipes {
		for _, from := range v.p.Recipes[i].From {
			if !v.expect(from.Piece != x.Label) {
				v.fault("motif", v.p.Recipes[i].Unit, x.Label, "", "recipe %s sews or cuts through piece %s, which is centred on a motif", v.p.Recipes[i].ID, x.Label)
			}
		}
	}
}

// patchMotif checks that a motif stands in the middle of a patch whose piece is centred on one.
func (v *prover) patchMotif(u *unit, x *plan.Piece) {
	f := v.fabrics[u.Fabric]
	if x.Motif == nil || f.Motif == nil {
		return
	}
	off := balance(u.outline, flat.Apply(*u.Lie, flat.At(*x.Motif)))
	if !v.expect(flat.Length(off) < 1e-4) {
		v.fault("motif", u.ID, x.Label, "", "patch %s: the motif of piece %s stands %s out of its middle", u.ID, x.Label, v.long(flat.Length(off)))
	}
	if !v.expect(v.shows(f, u.outline)) {
		v.fault("motif", u.ID, x.Label, "", "patch %s is centred on a motif that it is too small for", u.ID)
	}
}

// drawnMotif checks that a patch of a block that is large enough for the motif of its cloth is centred on one.
func (v *prover) drawnMotif(of string, u *unit) {
	f := v.fabrics[u.Fabric]
	if f == nil || f.Motif == nil || !strings.HasPrefix(of, "block ") || len(u.outline) < 3 || !v.shows(f, u.outline) {
		return
	}
	if x := v.pieces[u.Piece]; !v.expect(x != nil && x.Motif != nil) {
		v.fault("motif", u.ID, u.Piece, "", "%s: patch %s has room for the motif of fabric %s and is not centred on one", of, u.ID, u.Fabric)
	}
}

// motifAt is where the motif stands in a piece as it lies on the cloth, and how large that is.
func motifAt(x *plan.Piece, turned bool) (at, size pt) {
	at, size = flat.At(*x.Motif), pt{float64(x.Width), float64(x.Height)}
	if turned {
		at, size = pt{at[1], at[0]}, pt{size[1], size[0]}
	}
	return at, size
}

// checkMotifs checks one cut of a layout: motifs stand in rows as on the cloth, those of a strip side by side as there, and whatever is centred on
// them is on the cloth wherever the first one stands: all rows may lie a repeat further down, and what is cut from one a repeat further to the right.
func (v *prover) checkMotifs(f *plan.Fabric, s *plan.Stock, n int) {
	var first [2]*float64 // the first motif of the strip, and that of all strips
	plain, centred := 0, 0
	wide, high := float64(s.First.Width), float64(s.First.Height)
	var walk func(n *plan.Node, at pt, depth int)
	walk = func(node *plan.Node, at pt, depth int) {
		if depth >= 100 {
			return // node says so
		}
		for i := range node.Parts {
			p := &node.Parts[i]
			if depth == 0 {
				first[0] = nil // each strip is slid to its motifs by itself
			}
			walk(p, at, depth+1)
			if node.Cut == "across" {
				at[1] += float64(p.Height)
			} else {
				at[0] += float64(p.Width)
			}
		}
		if node.Piece == "" {
			return
		}
		x := v.pieces[node.Piece]
		if x == nil || x.Motif == nil || f.Motif == nil {
			plain++
			return
		}
		centred++
		in, size := motifAt(x, node.Turned)
		if !v.expect(!node.Turned || x.Shape == "rectangle") {
			v.fault("motif", "", x.Label, "", "fabric %s, cut %d: piece %s is turned about its motif", f.Letter, n, x.Label)
		}
		motif := flat.Add(at, in)
		for way, every := range f.Motif.Every {
			if first[way] == nil {
				first[way] = &motif[way]
			}
			word := [2]string{"across", "along"}[way]
			off := 0.0
			if every > 0 {
				off = math.Abs(math.Remainder(motif[way]-*first[way], float64(every)))
			}
			if !v.expect(off < 1e-4) {
				v.fault("motif", "", x.Label, "", "fabric %s, cut %d: a piece %s at %s lies %s off its motif %s the cloth", f.Letter, n, x.Label, v.point(at), v.long(off), word)
			}
			if room := [2]float64{wide, high}[way] - at[way] - size[way]; !v.expect(room >= float64(every)-1e-4) {
				v.fault("motif", "", x.Label, v.long(float64(every)), "fabric %s, cut %d: beyond a piece %s at %s there is %s of cloth %s, so it may find no motif", f.Letter, n, x.Label, v.point(at), v.long(room), word)
			}
		}
	}
	walk(s.First, pt{}, 0)
	if !v.expect(s.Motif == (centred > 0) && (centred == 0 || plain == 0)) {
		v.fault("motif", "", "", "", "fabric %s, cut %d: %d blanks are centred on motifs, %d are not", f.Letter, n, centred, plain)
	}
}

// stripRow checks that all blanks of a strip about a row of motifs are: none reaches beyond the strip's edges, and there is a repeat of cloth beside them.
func (v *prover) stripRow(f *plan.Fabric, s *plan.Strip) {
	above, below, row := 0.0, 0.0, false
	x, left := 0.0, 0.0
	var at pt
	var size pt
	for i := range s.Cuts {
		c := &s.Cuts[i]
		p := v.pieces[c.Label]
		if p == nil || p.Motif == nil || f.Motif == nil {
			if !v.expect(!row && c.Gap == 0) {
				v.fault("strips", "", c.Label, "", "fabric %s: piece %s is cut from a strip about motifs", f.Letter, c.Label)
			}
			continue
		}
		every := float64(f.Motif.Every[0])
		for range c.Count {
			next, box := motifAt(p, c.Turned)
			if row && every > 0 {
				apart := x + next[0] - left - at[0]
				if off := math.Abs(math.Remainder(apart, every)); !v.expect(off < 1e-4) {
					v.fault("strips", "", c.Label, "", "fabric %s: in a strip piece %s lies %s off its motif", f.Letter, c.Label, v.long(off))
				}
			}
			row, at, size, left = true, next, box, x
			x += size[0] + float64(c.Gap)
			above, below = math.Max(above, at[1]), math.Max(below, size[1]-at[1])
		}
		if room := float64(s.Length) - left - size[0]; !v.expect(room >= every-1e-4) {
			v.fault("strips", "", c.Label, v.long(every), "fabric %s: beyond the last of piece %s a strip has %s", f.Letter, c.Label, v.long(room))
		}
	}
	if row && !v.expect(same(above+below, float64(s.Height), 1e-4)) {
		v.fault("strips", "", "", v.long(above+below), "fabric %s: a strip about a row of motifs is %s high", f.Letter, v.long(float64(s.Height)))
	}
}

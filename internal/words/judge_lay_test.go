package words

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"quiltwright/internal/cloth"
	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// How cloth is laid: which part on which, at which side, turned how.

// laid judges what is laid where.
func (j *judge) laid(is []int, form string, s map[string]value) int {
	op, i := j.r.Do[is[0]], is[0]
	of, under := s["laid"].ref, s["under"].ref
	if (op.Face == "up") != (form == "up") || under.how+under.id != "" && form != "seams" && !j.refers(under, i, op.Work) {
		return 0
	}
	// What is laid one after the other on the same work, all of it the same.
	n := 0
	var corners []string
	var at []flat.Pt
	for ; n < len(is) && j.r.Do[is[n]].Op == "lay"; n++ {
		part := j.r.Do[is[n]].Part
		if id := j.tables[is[n]].Look(part).Layers[0].Part; of.id != "" && form != "seams" && (j.id(id) != of.id || j.cuts[is[n]][part] > 0) {
			break
		}
		c, q, ok := j.corner(is[n])
		if !ok && n > 0 || n > 0 && len(corners) == 0 {
			break
		}
		if ok {
			corners, at = append(corners, c), append(at, q)
		}
		if form == "free" {
			n++
			break
		}
	}
	if n == 0 {
		return 0
	}
	mid := j.base(i, op.Work)
	opposite := len(at) == 2 && flat.Distance(flat.Scale(flat.Add(at[0], at[1]), 0.5), mean(mid.Cloth)) < slack
	quarter := math.Abs(flat.Area2(j.laidCloth(i))) > 0.25*math.Abs(flat.Area2(mid.Cloth))
	ok := false
	switch form {
	case "on", "up":
		ok = n == 1 && len(corners) == 0 && (of.how == "" || j.refers(of, i, op.Part)) && !(of.id != "" && under.id == of.id)
	case "pair", "crossed":
		ok = n == 1 && len(corners) == 0 && of.how == "many" && of.n == 2 && j.id(mid.Part) == of.id && (form == "crossed") == (j.by.Units[of.id] != nil && j.by.Units[of.id].Piece == "")
	case "seams":
		up, down := j.tables[i].Look(op.Part).Layers, j.tables[i].Look(op.Work).Layers
		// Turned over, what lies lowest comes to lie on top; each half shows one cloth on either side of its seam.
		ok = len(up) > 1 && len(down) > 1 && j.cuts[i][op.Part] > 0 && j.cuts[i][op.Work] > 0 &&
			of.id == j.id(up[len(up)-1].Part) && under.id == j.id(down[0].Part) && s["one"].ref.id == j.id(up[0].Part) && s["other"].ref.id == j.id(down[len(down)-1].Part)
	case "corner":
		ok = n == 1 && len(corners) == 1 && s["corner"].word == corners[0]
	case "opposite", "overlap":
		ok = n == 2 && of.how == "many" && of.n == 2 && opposite && quarter == (form == "overlap")
	case "each":
		ok = n == len(mid.Cloth) && len(corners) == n
	case "corners":
		words := make([]string, 0, n)
		for _, v := range s["corners"].list {
			words = append(words, v.word)
		}
		ok = of.how == "many" && of.n == n && slices.Equal(words, corners)
	case "free":
		ok = n == 1 && len(corners) == 1 && j.cuts[i][op.Work] > 0 && !j.covers(i)
	case "across":
		// It lies over all of a half, whose seam the line drawn next crosses.
		next := j.tables[i+1].Look(op.Work)
		ok = of.id == j.id(j.tables[i].Look(op.Part).Layers[0].Part) && j.cuts[i][op.Work] == 1 && j.covers(i) && j.r.Do[i+1].Op == "mark" && j.r.Do[i+1].Work == op.Work &&
			slices.ContainsFunc(next.Seams, func(m cloth.Seam) bool { return m.N >= 0 && wide([2]flat.Pt{m.A, m.B}, lineOf(j.r.Do[i+1].Line)) })
		n = 1
	}
	if ok {
		return n
	}
	return 0
}

// covers says whether what operation i lays is as large as what it lies on, as that is by then.
func (j *judge) covers(i int) bool {
	var below []flat.Pt
	for _, l := range j.tables[i].Look(j.r.Do[i].Work).Layers {
		below = append(below, l.Cloth...)
	}
	span := func(ps []flat.Pt) (w, h float64) {
		lo, hi := ps[0], ps[0]
		for _, p := range ps {
			lo, hi = flat.Pt{math.Min(lo[0], p[0]), math.Min(lo[1], p[1])}, flat.Pt{math.Max(hi[0], p[0]), math.Max(hi[1], p[1])}
		}
		return hi[0] - lo[0], hi[1] - lo[1]
	}
	w, h := span(below)
	a, b := span(j.laidCloth(i))
	return math.Min(a, b) > 0.75*math.Max(w, h)
}

func (j *judge) laidCloth(i int) []flat.Pt {
	return j.tables[i].Look(j.r.Do[i].Part).Layers[0].Cloth
}

// beside judges seams by drawn lines.
func (j *judge) beside(is []int, form string, s map[string]value) int {
	n := 1
	for n < len(is) && is[n] == is[n-1]+1 {
		n++
	}
	// How far to either side of each line, seen as if it ran to the right or down.
	type sides struct{ left, right float64 }
	lines := map[string]sides{}
	for _, i := range is[:n] {
		l, offset := lineOf(j.r.Do[i].Along), float64(j.r.Do[i].Offset)
		d := flat.Direction(l[0], l[1])
		if d[0] < -1e-6 || d[0] < 1e-6 && d[1] < 0 {
			d, offset = flat.Scale(d, -1), -offset
		}
		key := fmt.Sprintf("%.2f %.2f %.2f", math.Abs(d[0]), d[1], flat.Cross(d, l[0]))
		at := lines[key]
		if offset > 0 {
			at.right = offset
		} else {
			at.left = math.Max(at.left, -offset)
		}
		lines[key] = at
	}
	var all []sides
	for _, l := range lines {
		all = append(all, l)
	}
	same := !slices.ContainsFunc(all, func(l sides) bool { return math.Abs(l.left-all[0].left)+math.Abs(l.right-all[0].right) > 1e-4 })
	x, first := s["offset"].n, all[0]
	both := nearly(x, first.left) && nearly(x, first.right)
	ok := false
	switch form {
	case "either":
		ok = same && both && len(all) == 1
	case "either.lines":
		ok = same && both && len(all) == int(s["count"].n) && len(all) > 1
	case "on":
		ok = same && first == sides{} && len(all) == 1
	case "on.lines":
		ok = same && first == sides{} && len(all) > 1
	case "beside":
		ok = same && !both && nearly(x, math.Max(first.left, first.right))
	case "drawn":
		ok = !same
	}
	if ok {
		return n
	}
	return 0
}

// sides are the parts whose edges stitch i has sewn, what lay below and what was laid, and the direction from the one to the other as
// looked at.
func (j *judge) sides(i int) (below, above []int, way flat.Pt) {
	op, n := j.r.Do[i], j.number(i)
	w := j.tables[i+1].Look(op.Work)
	a, b := flat.At(op.Along[0]), flat.At(op.Along[1])
	across := flat.Outward(flat.Direction(a, b))
	out := 0.0
	for k := range w.Layers {
		l := &w.Layers[k]
		for k, e := range l.Edges {
			if !e.Sewn || e.Seam != n {
				continue
			}
			if e.Side == 1 {
				above = append(above, l.Part)
			} else {
				below = append(below, l.Part)
				out -= flat.Dot(flat.Outward(flat.Direction(l.Cloth[k], l.Cloth[(k+1)%len(l.Cloth)])), across)
			}
			break
		}
	}
	if out > 0 {
		across = flat.Scale(across, -1)
	}
	return below, above, j.seen(i, op.Work, across)
}

// number is the number of the stitch that operation i is.
func (j *judge) number(i int) int {
	n := 0
	for _, op := range j.r.Do[:i] {
		if op.Op == "stitch" {
			n++
		}
	}
	return n
}

// hasID says whether a part of these is of this id.
func (j *judge) hasID(parts []int, id string) bool {
	return slices.ContainsFunc(parts, func(p int) bool { return j.id(p) == id })
}

// names says whether a reference is to one of these parts, of which there may be several, sewn together.
func (j *judge) names(r ref, parts []int, i int) bool {
	switch r.how {
	case "the joined parts":
		return true
	case "the other part":
		return len(parts) == 0
	}
	return j.hasID(parts, r.id)
}

// joined judges seams by the raw edge, and where they stop at dots.
func (j *judge) joined(is []int, form string, s map[string]value) int {
	op := j.r.Do[is[0]]
	switch form {
	case "to dot", "dot to dot":
		said := s["sew"].said
		if op.Fold || (form == "to dot") != (len(op.Dots) == 1) || form == "to dot" && s["end"].word != j.dotEnd(is[0]) {
			return 0
		}
		return j.seam(is[:1], strings.TrimPrefix(said.key, "join."), said.slots)
	case "set", "set.both":
		if (form == "set") != (len(op.Dots) == 1) || form == "set" && s["end"].word != j.lies(is[0]) {
			return 0
		}
		one, other := s["one"].ref.id, s["other"].ref.id
		below, above, _ := j.sides(is[0])
		if !(j.hasID(below, one) && j.hasID(above, other) || j.hasID(below, other) && j.hasID(above, one)) {
			return 0
		}
		return j.seam(is[:1], "finish", s)
	}
	for k, i := range is {
		if len(j.r.Do[i].Dots) > 0 {
			is = is[:k]
			break
		}
	}
	if len(is) == 0 {
		return 0
	}
	return j.seam(is, form, s)
}

// dotEnd is the end at which a seam stops at its one dot, as looked at.
func (j *judge) dotEnd(i int) string {
	op := j.r.Do[i]
	a, b := flat.At(op.Along[op.Dots[0]]), flat.At(op.Along[1-op.Dots[0]])
	return pointing(j.seen(i, op.Work, flat.Sub(a, b)))
}

// lies is where a seam lies in its work, as looked at; a seam through the middle, where its dot is.
func (j *judge) lies(i int) string {
	op := j.r.Do[i]
	lo, hi := flat.Pt{math.Inf(1), math.Inf(1)}, flat.Pt{math.Inf(-1), math.Inf(-1)}
	for _, l := range j.tables[i].Look(op.Work).Layers {
		for _, p := range l.Cloth {
			q := j.seen(i, op.Work, p)
			lo, hi = flat.Pt{math.Min(lo[0], q[0]), math.Min(lo[1], q[1])}, flat.Pt{math.Max(hi[0], q[0]), math.Max(hi[1], q[1])}
		}
	}
	at := j.seen(i, op.Work, flat.Scale(flat.Add(flat.At(op.Along[0]), flat.At(op.Along[1])), 0.5))
	way := flat.Sub(at, flat.Scale(flat.Add(lo, hi), 0.5))
	if flat.Length(way) < 0.1*flat.Distance(lo, hi) {
		return j.dotEnd(i)
	}
	return pointing(way)
}

// trimsLater reports whether the step sews strips, one to another, whose slanted ends a later step trims.
func (j *judge) trimsLater() bool {
	last := j.r.Do[len(j.r.Do)-1]
	if last.Op != "trim" || j.last == len(j.r.Do)-1 {
		return false
	}
	return slices.ContainsFunc(j.r.From, func(f plan.From) bool {
		k := slices.IndexFunc(j.p.Pieces, func(q plan.Piece) bool { return slices.Contains(q.ForUnits, f.Unit) })
		return k >= 0 && j.p.Pieces[k].Trimmed && (j.p.Pieces[k].Shape == "rectangle" || j.p.Pieces[k].Shape == "joined strip")
	})
}

// clipped are the parts whose own outlines turn inward where a seam of the step is the first to stop at a dot.
func (j *judge) clipped() (out []int, first bool) {
	seen := map[string]bool{}
	for i := 0; i <= j.last; i++ {
		op := j.r.Do[i]
		for _, e := range op.Dots {
			at := flat.At(op.Along[e])
			key := fmt.Sprintf("%d %.2f %.2f", op.Work, at[0], at[1])
			if i >= j.first && !seen[key] {
				first = first || len(seen) == 0
				below, above, _ := j.sides(i)
				for _, p := range append(below, above...) {
					for _, l := range j.tables[i+1].Look(op.Work).Layers {
						n := len(l.Cloth)
						for k, c := range l.Cloth {
							in, on := flat.Sub(c, l.Cloth[(k+n-1)%n]), flat.Sub(l.Cloth[(k+1)%n], c)
							if l.Part == p && flat.Distance(c, at) < 1.5*float64(j.p.Seam) && flat.Cross(in, on)*flat.Area2(l.Cloth) < 0 && !slices.Contains(out, p) {
								out = append(out, p)
							}
						}
					}
				}
			}
			seen[key] = true
		}
	}
	return out, first
}

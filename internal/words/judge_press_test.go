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

// How it is pressed, what is watched, and what passes what.

// pressed judges which way seams are pressed.
func (j *judge) pressed(is []int, form string, s map[string]value) int {
	n := 1
	for n < len(is) && j.r.Do[is[n]].Work == j.r.Do[is[0]].Work {
		n++
	}
	all := strings.HasSuffix(form, ".all")
	if strings.HasPrefix(form, "hand") {
		work := j.r.Do[is[0]].Work
		if !slices.ContainsFunc(j.r.Gives, func(g plan.Gives) bool { return g.Work == work && g.Unit == s["thing"].ref.id }) {
			return 0
		}
		if form = "toward"; s["target"].text == "" {
			form = "open"
		}
	}
	switch {
	case form == "turns", form == "spins.turns":
		n = min(n, len(s["turns"].list))
		if n != len(s["turns"].list) {
			return 0
		}
	case !all:
		n = 1
	case s["seams"].word == "both":
		if n = min(n, 2); n < 2 {
			return 0
		}
	case n < 3:
		return 0
	}
	type pressing struct {
		to  string // an id; "" for open
		way string
		at  flat.Pt
		two bool // that side of the seam is two cloths, the other one
		// Of a seam that is spun: at how many crossings, and which way it lies at both its ends, from the left or from the top.
		spun int
		ends [2]string
		end  string // where the first of them is
	}
	var ps []pressing
	marks := 0
	for _, i := range is[:n] {
		op := j.r.Do[i]
		p := pressing{}
		w := j.tables[i+1].Look(op.Work)
		for _, m := range w.Seams {
			if m.N != op.Seam {
				continue
			}
			p.at = j.seen(i, op.Work, flat.Scale(flat.Add(m.A, m.B), 0.5))
			if op.Toward == nil {
				break
			}
			p.to = j.id(*op.Toward)
			sewn := map[int]map[int]bool{0: {}, 1: {}}
			side := -1
			for k := range w.Layers {
				for _, e := range w.Layers[k].Edges {
					if e.Sewn && e.Seam == op.Seam {
						sewn[e.Side][w.Layers[k].Part] = true
						if w.Layers[k].Part == *op.Toward {
							side = e.Side
						}
					}
				}
			}
			p.two = side >= 0 && len(sewn[side]) == 2 && len(sewn[1-side]) == 1
			across := flat.Outward(flat.Direction(m.A, m.B))
			for k := range w.Layers {
				if l := &w.Layers[k]; l.Part == *op.Toward && slices.ContainsFunc(l.Edges, func(e cloth.Edge) bool { return e.Sewn && e.Seam == op.Seam }) {
					if flat.Dot(flat.Sub(mean(l.Cloth), m.A), across) < 0 {
						across = flat.Scale(across, -1)
					}
					p.way = pointing(j.seen(i, op.Work, across))
				}
			}
			back := pointing(j.seen(i, op.Work, flat.Scale(across, -1)))
			p.spun, p.ends = len(op.Spun), [2]string{p.way, p.way}
			if p.spun%2 == 1 {
				p.ends[1] = back
			}
			if from := j.seen(i, op.Work, flat.Sub(m.A, m.B)); from[0] < -slack || from[0] < slack && from[1] < 0 {
				p.end = pointing(from)
			} else {
				p.end, p.ends = pointing(flat.Scale(from, -1)), [2]string{p.ends[1], p.ends[0]}
			}
		}
		marks += p.spun
		ps = append(ps, p)
	}
	if n := s["marks"].n; n != float64(marks) {
		return 0
	}
	slices.SortStableFunc(ps, func(a, b pressing) int {
		if d := a.at[0] - b.at[0]; math.Abs(d) > slack {
			return int(math.Copysign(1, d))
		}
		return int(math.Copysign(1, a.at[1]-b.at[1]))
	})
	for k, p := range ps {
		ok := false
		switch strings.TrimSuffix(form, ".all") {
		case "open":
			ok = p.to == ""
		case "toward":
			ok = p.to == s["target"].ref.id && p.to != "" || s["target"].ref.how == "the pieced side" && p.two
		case "way":
			ok = p.to != "" && p.way == s["way"].word
		case "spin":
			ok = p.spun == 1 && p.ends == [2]string{s["way"].word, s["back"].word} && p.end == s["end"].word
		case "spins":
			ok = p.spun > 0 && (all || p.spun > 1) && p.ends[0] == s["way"].word && p.end == s["end"].word
		case "turns", "spins.turns":
			t := s["turns"].list[k]
			if t.said != nil {
				ok = p.ends[0] == t.said.slots["way"].word && p.end == t.said.slots["end"].word &&
					(t.said.key == "turn.spin" && p.spun == 1 || t.said.key == "turn.spins" && float64(p.spun) == t.said.slots["count"].n)
				break
			}
			ok = p.spun == 0 && (t.word == "turn.open" && p.to == "" || t.word != "" && t.word == p.way || t.ref.id != "" && t.ref.id == p.to)
		}
		if !ok {
			return 0
		}
	}
	return n
}

// meets are the joins that the step sews and whose raw edges pass one another.
func (j *judge) meets() []*plan.Join {
	return j.sewn(func(m *plan.Join) bool { return len(m.Align) > 0 })
}

// isTop reports whether a reference is to the part that a join has on top, and other, if given, to the one below.
func (j *judge) isTop(m *plan.Join, top ref, under *ref) bool {
	u := j.by.Units[j.r.Unit]
	is := func(r ref, part int) bool {
		return r.id == u.Parts[part].Unit || r.id == j.by.Units[u.Parts[part].Unit].Piece
	}
	return is(top, m.Top) && (under == nil || is(*under, m.Parts[0]+m.Parts[1]-m.Top))
}

// watched judges what is said to lie on top because of its points: all joins of the step that have it on top for that are such as it says, and of several points
// on a seam it says “every”. Without a name it is said of every part that has crossings on the seam.
func (j *judge) watched(form string, s map[string]value) bool {
	pointed := j.sewn(func(m *plan.Join) bool { return m.Watched == "points" })
	if form == "each" {
		for _, m := range j.sewn(func(*plan.Join) bool { return true }) {
			j.watching[m] = true
		}
		parts := j.by.Units[j.r.Unit].Parts
		turns := slices.ContainsFunc(pointed, func(m *plan.Join) bool { // what lies on top at one seam lies below at another
			return slices.ContainsFunc(j.sewn(func(o *plan.Join) bool { return o.Watched != "" }), func(o *plan.Join) bool {
				return parts[m.Top].Unit == parts[o.Parts[0]+o.Parts[1]-o.Top].Unit
			})
		})
		return turns && !slices.ContainsFunc(pointed, func(m *plan.Join) bool {
			return slices.ContainsFunc(m.Watch, func(q plan.Point) bool { return j.crossing(m.Top, flat.At(q)) < 2 })
		})
	}
	refs := []ref{s["thing"].ref}
	if form == "all" {
		refs = nil
		for _, v := range s["list"].list {
			refs = append(refs, v.ref)
		}
	}
	for _, r := range refs {
		found, most := false, 0
		for _, m := range pointed {
			if j.isTop(m, r, nil) {
				found, most = true, max(most, len(m.Watch))
				j.watching[m] = true
			}
		}
		if !found || form == "one" && most > 1 || form == "every" && most == 1 {
			return false
		}
	}
	return true
}

// seams calls do with every seam under a part, its ends in the frame of what the part is in.
func (j *judge) seams(p plan.Part, move func(flat.Pt) flat.Pt, do func(a, b flat.Pt)) {
	in := func(q flat.Pt) flat.Pt {
		return move(flat.Apply(plan.Pose{At: p.At, Turn: p.Turn, Mirror: p.Mirror}, q))
	}
	u := j.by.Units[p.Unit]
	for _, m := range u.Joins {
		do(in(flat.At(m.Seam[0])), in(flat.At(m.Seam[1])))
	}
	for _, q := range u.Parts {
		j.seams(q, in, do)
	}
}

// crossing is how many seams of a part of the recipe's unit end at a place of the unit.
func (j *judge) crossing(part int, at flat.Pt) int {
	n := 0
	j.seams(j.by.Units[j.r.Unit].Parts[part], func(q flat.Pt) flat.Pt { return q }, func(a, b flat.Pt) {
		for _, end := range []flat.Pt{a, b} {
			if flat.Distance(end, at) < 1e-4 {
				n++
			}
		}
	})
	return n
}

// chart is where the seams of a rectangle leave it when it is trimmed: for each that ends alone how far from the nearest corner, whether all of those leave it on its
// shorter sides, and at how many places between the corners several end.
func (j *judge) chart(u *plan.Unit) (meets []float64, points int, short bool) {
	w, h, s := float64(u.Size.Width), float64(u.Size.Height), float64(j.p.Seam)
	short = true
	var ends [][2]flat.Pt // where, and where from
	j.seams(plan.Part{Unit: u.ID}, func(q flat.Pt) flat.Pt { return q }, func(a, b flat.Pt) {
		for _, e := range [][2]flat.Pt{{a, b}, {b, a}} {
			if p := e[0]; math.Min(math.Min(math.Abs(p[0]), math.Abs(w-p[0])), math.Min(math.Abs(p[1]), math.Abs(h-p[1]))) < 1e-4 {
				ends = append(ends, e)
			}
		}
	})
	several := map[string]bool{}
	for k, e := range ends {
		corner := math.Min(math.Abs(e[0][0]), math.Abs(w-e[0][0])) < 1e-4 && math.Min(math.Abs(e[0][1]), math.Abs(h-e[0][1])) < 1e-4
		if alike := slices.ContainsFunc(ends[:k], func(o [2]flat.Pt) bool { return flat.Distance(o[0], e[0]) < 1e-4 }) ||
			slices.ContainsFunc(ends[k+1:], func(o [2]flat.Pt) bool { return flat.Distance(o[0], e[0]) < 1e-4 }); alike && !corner {
			several[fmt.Sprintf("%.2f %.2f", e[0][0]+1e-9, e[0][1]+1e-9)] = true
			continue
		}
		// A little at a time, out to the raw edge.
		d, q := flat.Scale(flat.Direction(e[1], e[0]), s/1000), e[0]
		for q[0] > -s && q[0] < w+s && q[1] > -s && q[1] < h+s {
			q = flat.Add(q, d)
		}
		upright := math.Min(math.Abs(q[0]+s), math.Abs(w+s-q[0]))
		level := math.Min(math.Abs(q[1]+s), math.Abs(h+s-q[1]))
		meets = append(meets, math.Max(upright, level))
		short = short && (level < upright) == (w < h)
	}
	return meets, len(several), short
}

// sewn are the joins that the step sews and that are wanted.
func (j *judge) sewn(want func(m *plan.Join) bool) []*plan.Join {
	u := j.by.Units[j.r.Unit]
	var out []*plan.Join
	for i := j.first; i <= j.last; i++ {
		if op := j.r.Do[i]; op.Op != "stitch" || op.Allowance == 0 {
			continue
		}
		below, above, _ := j.sides(i)
		for k := range u.Joins {
			m := &u.Joins[k]
			a, b := m.Parts[0], m.Parts[1]
			if want(m) && !slices.Contains(out, m) && (slices.Contains(below, a) && slices.Contains(above, b) || slices.Contains(below, b) && slices.Contains(above, a)) {
				out = append(out, m)
			}
		}
	}
	return out
}

// passes says whether a remark on edges that pass one another is about this join.
func (j *judge) passes(m *plan.Join, key string, s map[string]value) bool {
	u := j.by.Units[j.r.Unit]
	called := func(r ref, part int) bool {
		return r.id == u.Parts[part].Unit || r.id == j.by.Units[u.Parts[part].Unit].Piece
	}
	ends := 0
	for _, a := range m.Align {
		other := m.Parts[0] + m.Parts[1] - a.Part
		end := pointing(flat.Sub(flat.At(m.Seam[a.End]), flat.At(m.Seam[1-a.End])))
		if called(s["one"].ref, a.Part) && called(s["other"].ref, other) && math.Abs(s["past"].n-float64(a.Past)) < 1.0/31 && (key == "align.both" || s["end"].word == end) {
			ends++
		}
	}
	return ends == 2 || key == "align" && ends == 1
}

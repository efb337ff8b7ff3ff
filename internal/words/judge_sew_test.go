package words

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"quiltwright/internal/cloth"
	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// How it is sewn, cut and trimmed.

// seam judges what is sewn to what, on which side.
func (j *judge) seam(is []int, form string, s map[string]value) int {
	i := is[0]
	op := j.r.Do[i]
	below, above, way := j.sides(i)
	length := flat.Distance(flat.At(op.Along[0]), flat.At(op.Along[1]))
	laid, under := s["laid"].ref, s["under"].ref
	side := func() bool {
		return j.names(laid, above, i) && j.names(under, below, i) && s["side"].word == pointing(way) ||
			j.names(laid, below, i) && j.names(under, above, i) && s["side"].word == pointing(flat.Scale(way, -1))
	}
	twins := laid.how == "many" && laid.n == 2 && j.hasID(above, laid.id) && j.hasID(below, laid.id) && !op.Partial && !op.Fold
	ok := false
	switch form {
	case "side":
		ok = side() && !op.Partial && !op.Fold
	case "twins.right":
		ok = twins && math.Abs(way[0]) >= math.Abs(way[1])-1e-9
	case "twins.down":
		ok = twins && math.Abs(way[1]) > math.Abs(way[0])
	case "twins.long":
		ok = twins && j.long(i, below) && j.long(i, above)
	case "long":
		ok = j.names(laid, above, i) && j.names(under, below, i) && j.long(i, below) && j.long(i, above) || j.names(laid, below, i) && j.names(under, above, i) && j.long(i, below) && j.long(i, above)
	case "run", "run.right", "run.down", "numbered.right", "numbered.down":
		return j.run(is, form, s)
	case "partial":
		// The other end of the join is open.
		ok = side() && op.Partial && nearly(s["length"].n, length) && j.opens(i, s["end"].word)
	case "finish":
		ok = op.Fold && nearly(s["length"].n, length)
	}
	if ok {
		return 1
	}
	return 0
}

// long says whether a seam runs along the longest edge of a triangle that it sews.
func (j *judge) long(i int, parts []int) bool {
	for _, p := range parts {
		ps := j.tables[0].Look(p).Layers[0].Cloth
		longest := 0.0
		for k := range ps {
			longest = math.Max(longest, flat.Distance(ps[k], ps[(k+1)%len(ps)]))
		}
		op := j.r.Do[i]
		if length := flat.Distance(flat.At(op.Along[0]), flat.At(op.Along[1])); len(ps) != 3 || length > longest || length < longest-6*float64(j.p.Seam) {
			return false
		}
	}
	return len(parts) > 0
}

// opens says whether a partial seam is left open at this end: whether the join goes on there beyond the stitches.
func (j *judge) opens(i int, end string) bool {
	op := j.r.Do[i]
	g, u := j.gives[op.Work], j.by.Units[j.r.Unit]
	place := func(p plan.Point) flat.Pt {
		q := flat.At(p)
		if g.Mirror {
			q[0] = -q[0]
		}
		s, c := math.Sincos(float64(g.Turn) * math.Pi / 180)
		return flat.Add(flat.Pt{q[0]*c - q[1]*s, q[0]*s + q[1]*c}, flat.At(g.At))
	}
	a, b := place(op.Along[0]), place(op.Along[1])
	for _, join := range u.Joins {
		for k := range 2 {
			near, far := flat.At(join.Seam[k]), flat.At(join.Seam[1-k])
			if math.Min(flat.Distance(a, near), flat.Distance(b, near)) < slack && flat.Distance(near, far) > flat.Distance(a, b)+slack &&
				math.Abs(flat.Cross(flat.Direction(near, far), flat.Direction(a, b))) < 0.02 && flat.Dot(flat.Sub(far, near), flat.Sub(flat.Scale(flat.Add(a, b), 0.5), near)) > 0 {
				return pointing(flat.Sub(far, near)) == end
			}
		}
	}
	return false
}

// run judges several seams in one direction: what stands in the work once they are sewn, in the order said.
func (j *judge) run(is []int, form string, s map[string]value) int {
	want := s["list"].list
	n := len(want) - 1
	if noun, numbered := s["noun"]; numbered {
		n = int(s["last"].n - s["first"].n)
		want = nil
		for k := int(s["first"].n); k <= int(s["last"].n); k++ {
			of := j.l.refs(fmt.Sprintf("%s %d", noun.word, k))
			if len(of) != 1 {
				return 0
			}
			want = append(want, of[0])
		}
	}
	if n < 1 || n > len(is) {
		return 0
	}
	// After the last of these seams, each part's place along the direction: the seams' own.
	i := is[n-1]
	work := j.r.Do[i].Work
	_, _, way := j.sides(is[0])
	for _, k := range is[1:n] {
		if _, _, w := j.sides(k); math.Abs(flat.Cross(way, w)) > 0.1 {
			return 0
		}
	}
	d := flat.Pt{1, 0}
	switch slope := math.Abs(way[0]) - math.Abs(way[1]); {
	case slope < -0.2:
		d = flat.Pt{0, 1}
	case slope <= 0.2:
		d = way
		if d[0] < 0 {
			d = flat.Scale(d, -1)
		}
	}
	if right := strings.HasSuffix(form, ".right"); right != (d == flat.Pt{1, 0}) || strings.HasSuffix(form, ".down") != (d == flat.Pt{0, 1}) {
		return 0
	}
	// Opened: press whatever the step leaves for later.
	t := j.tables[i+1].Clone()
	for k := i + 1; k < len(j.r.Do); k++ {
		if op := j.r.Do[k]; op.Op == "press" && op.Work == work && slices.ContainsFunc(is[:n], func(m int) bool { return j.number(m) == op.Seam }) {
			_ = t.Do(op) // one that is pressed already refuses
		}
	}
	type standing struct {
		at   float64
		part int
	}
	var row []standing
	for _, l := range t.Look(work).Layers {
		row = append(row, standing{flat.Dot(j.seen(i, work, mean(l.Cloth)), d), l.Part})
	}
	slices.SortStableFunc(row, func(a, b standing) int { return int(math.Copysign(1, a.at-b.at)) })
	if len(row) != len(want) {
		return 0
	}
	for k, st := range row {
		if r := want[k].ref; r.id != j.id(st.part) || r.way != "" && r.way != j.way(st.part) {
			return 0
		}
	}
	return n
}

// way is which pressing a part is made by.
func (j *judge) way(part int) string {
	return [2]string{"way.first", "way.second"}[j.by.Units[j.r.Unit].Parts[part].Way^j.r.Way]
}

// cut judges one cut.
func (j *judge) cut(i int, form string, s map[string]value) bool {
	op := j.r.Do[i]
	if op.Times > 0 || form == "segments" {
		return form == "segments" && op.Times == int(s["times"].n) && nearly(s["every"].n, float64(op.Every)) && s["noun"].word == "segment"
	}
	l := lineOf(op.Line)
	w := j.tables[i].Look(op.Work)
	apart := func(m [2]flat.Pt) (float64, bool) { // how far the line lies from another that runs with it
		d0, d1 := flat.Cross(flat.Direction(m[0], m[1]), flat.Sub(l[0], m[0])), flat.Cross(flat.Direction(m[0], m[1]), flat.Sub(l[1], m[0]))
		return math.Abs(d0), math.Abs(d0-d1) < slack
	}
	next := len(j.ids)
	for _, o := range j.r.Do[:i] {
		if o.Op == "cut" && o.Times == 0 {
			next++
		}
	}
	waste := !j.used(next)
	lo := flat.Pt{math.Inf(1), math.Inf(1)}
	for _, p := range j.base(i, op.Work).Cloth {
		lo = flat.Pt{math.Min(lo[0], p[0]), math.Min(lo[1], p[1])}
	}
	upright, level := math.Abs(l[0][0]-l[1][0]) < 1e-4, math.Abs(l[0][1]-l[1][1]) < 1e-4
	x := s["distance"].n
	on := slices.ContainsFunc(w.Marks, func(m [2]flat.Pt) bool { d, runs := apart(m); return runs && d < slack })
	switch form {
	case "on":
		return on
	case "off":
		return waste && slices.ContainsFunc(w.Seams, func(m cloth.Seam) bool { d, runs := apart([2]flat.Pt{m.A, m.B}); return runs && nearly(d, x) })
	case "square end":
		return waste && upright && nearly(x, l[0][0]-lo[0])
	case "down":
		return upright && nearly(x, l[0][0]-lo[0])
	case "across":
		return level && nearly(x, l[0][1]-lo[1])
	case "drawn":
		return !upright && !level && !on
	}
	return false
}

// trimmed judges what a work is cut down to.
func (j *judge) trimmed(i int, form string, s map[string]value) bool {
	op := j.r.Do[i]
	lo, hi := flat.Pt{math.Inf(1), math.Inf(1)}, flat.Pt{math.Inf(-1), math.Inf(-1)}
	var to []flat.Pt
	for _, p := range op.To {
		q := j.seen(i, op.Work, flat.At(p))
		to = append(to, q)
		lo, hi = flat.Pt{math.Min(lo[0], q[0]), math.Min(lo[1], q[1])}, flat.Pt{math.Max(hi[0], q[0]), math.Max(hi[1], q[1])}
	}
	square := math.Abs(flat.Area2(to))/2 > 0.999*(hi[0]-lo[0])*(hi[1]-lo[1])
	fits := nearly(s["size"].box[0], hi[0]-lo[0]) && nearly(s["size"].box[1], hi[1]-lo[1])
	meets, points, short := j.chart(j.by.Units[j.r.Unit])
	all := func(want float64) bool {
		return len(meets) > 0 && !slices.ContainsFunc(meets, func(m float64) bool { return math.Abs(m-want) > 1.0/16 })
	}
	switch form {
	case "":
		return square && fits
	case "corners":
		return square && fits && len(meets) == 2 && all(0)
	case "corners.all":
		return square && fits && len(meets) > 2 && all(0)
	case "short":
		return square && fits && s["distance"].n > 1.0/16 && len(meets) == 2 && all(s["distance"].n) && short
	case "point":
		return square && fits && nearly(s["seam"].n, float64(j.p.Seam)) && points == 1
	case "points":
		return square && fits && nearly(s["seam"].n, float64(j.p.Seam)) && points > 1
	case "shape":
		return !square && fits
	case "mitre", "mitre.own":
		// Both ends at 45 degrees to the long edge, of strips cut square: what is made, or one that is at hand.
		w, long, longest := j.tables[i].Look(op.Work), 0.0, 0.0
		for k, p := range to {
			long = math.Max(long, flat.Distance(p, to[(k+1)%4]))
		}
		slants := 0
		for k, p := range to {
			d := flat.Direction(p, to[(k+1)%len(to)])
			if math.Abs(math.Abs(d[0])-math.Abs(d[1])) < 1e-6 {
				slants++
			}
		}
		own := false
		for _, l := range w.Layers {
			piece := j.p.Pieces[slices.IndexFunc(j.p.Pieces, func(q plan.Piece) bool { return q.Label == j.id(l.Part) })]
			own = own || piece.Measured
			for k, p := range l.Cloth {
				longest = math.Max(longest, flat.Distance(p, l.Cloth[(k+1)%len(l.Cloth)]))
			}
		}
		named := s["thing"].ref.id == j.r.Unit || len(w.Layers) == 1 && s["thing"].ref.id == j.id(w.Layers[0].Part)
		return len(to) == 4 && slants == 2 && named && own == (form == "mitre.own") && (own && nearly(longest, long) || !own && nearly(s["length"].n, long))
	case "even":
		return !square && s["thing"].ref.id == j.r.Unit
	}
	return false
}

// tips judges which points are cut off, of which parts, how far in and at which angle.
func (j *judge) tips(form string, s map[string]value) bool {
	of, angle := s["thing"].ref, 90.0
	if form == "tips.angle" {
		angle = s["angle"].n
	}
	want, _ := strconv.Atoi(s["points"].word)
	here := func(p flat.Pt, ps []flat.Pt) bool {
		return slices.ContainsFunc(ps, func(q flat.Pt) bool { return flat.Distance(p, q) < 1e-3 })
	}
	works := 0
	for i := j.first; i <= j.last; i++ {
		op := j.r.Do[i]
		if op.Op != "trim" || len(j.tables[i].Look(op.Work).Layers) != 1 || j.id(op.Work) != of.id {
			continue
		}
		before := j.tables[i].Look(op.Work).Layers[0].Cloth
		if u := j.by.Units[j.by.Units[j.r.Unit].Parts[op.Work].Unit]; u.Lie != nil { // as it is cut
			before = flat.Each(*u.Lie, j.by.Pieces[u.Piece].Raw())
		}
		table := cloth.New([]cloth.Work{{Layers: []cloth.Layer{{Cloth: before}}}})
		if op.Work = 0; table.Do(op) != nil {
			continue
		}
		after := table.Look(0).Layers[0].Cloth
		off, so := 0, 0 // points that fall, and those of them that fall as it says
		for k, p := range before {
			if here(p, after) {
				continue
			}
			off++
			// The cut: the two corners that are new, on the edges that met in the point.
			var ends []flat.Pt
			for _, o := range []flat.Pt{before[(k+len(before)-1)%len(before)], before[(k+1)%len(before)]} {
				near := o
				for _, q := range after {
					if d := flat.Direction(p, o); math.Abs(flat.Cross(d, flat.Sub(q, p))) < 1e-3 && flat.Dot(d, flat.Sub(q, p)) > 0 && flat.Distance(p, q) < flat.Distance(p, near) {
						near = q
					}
				}
				ends = append(ends, near)
			}
			for n := range 2 {
				a, b := ends[n], ends[1-n]
				turn := math.Acos(flat.Dot(flat.Direction(p, a), flat.Direction(a, b))) * 180 / math.Pi
				if math.Abs(turn-angle) < 2 && math.Abs(flat.Distance(p, a)-s["past"].n) < 1.0/28 {
					so++
					break
				}
			}
		}
		if so == want {
			works++
			if j.tipped[i] += so; j.tipped[i] == off {
				j.told[i] = true
			}
		}
	}
	all := 0
	for _, id := range j.ids {
		if id == of.id {
			all++
		}
	}
	switch of.how {
	case "":
		return works == 1 && all == 1
	case "each":
		return works == all && all > 1
	case "one of them":
		return works == 1 && all > 1
	}
	return of.how == "many" && works == of.n && works < all
}

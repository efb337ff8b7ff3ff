package prove

import (
	"math"
	"slices"

	"quiltwright/internal/cloth"
	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// reach is how far out the raw edges beside one edge of a unit lie from the finished edge, least and most.
type reach struct{ lo, hi, cover float64 }

// sheet is a layer of a finished work, in the unit's frame.
type sheet struct {
	cloth.Layer
	fin  []pt  // what shows of it once every raw edge is sewn
	edge []int // for each edge of fin, the edge of the cloth
	mid  pt
	part int // part of the unit that it is, or is in; -1: nothing that was drawn
}

// fitting compares one work with the unit that it is to be.
type fitting struct {
	*prover
	r      *plan.Recipe
	u      *unit
	w      *cloth.Work
	m      plan.Pose
	sheets []sheet
	near   float64 // how far a corner may lie from its place
	drift  float64 // how far rounding may have pushed something on
	first  bool    // of the works that the recipe gives as this unit
	ok     bool
	next   int
	seams  map[int]cloth.Seam // of the work, by number
	panels bool               // the recipe only joins units: then its seams are the joins of the unit. A strip set or a square cut up later is sewn along more than that
}

// fit compares a work, one of those that the recipe gives, laid in the unit's frame, with the unit, and returns how far its raw edges reach on every side.
func (v *prover) fit(r *plan.Recipe, u *unit, w *cloth.Work, m plan.Pose, gives int, round float64, first bool) ([]reach, bool) {
	most := math.Max(math.Abs(float64(u.Excess.Width)), math.Abs(float64(u.Excess.Height)))
	f := &fitting{prover: v, r: r, u: u, w: w, m: m, first: !slices.ContainsFunc(r.Gives[:gives], func(g plan.Gives) bool { return g.Unit == u.ID }), ok: true, seams: make(map[int]cloth.Seam, len(w.Seams)),
		panels: !slices.ContainsFunc(r.Do, func(o plan.Op) bool { return o.Op == "cut" })}
	for _, q := range w.Seams {
		f.seams[q.N] = q
	}
	for i := range w.Layers {
		s := sheet{Layer: cloth.Place(w.Layers[i], m), part: -1}
		if s.fin, s.edge = cloth.Finished(&s.Layer, v.seam); len(s.fin) > 0 {
			s.mid = centre(s.fin)
			f.sheets = append(f.sheets, s)
		}
	}
	f.drift = 1e-4 + 2e-6*float64(len(f.sheets)) + 2*round
	f.near = 1e-4 + 2e-6*float64(len(f.sheets)) + math.Min(1.5*round, v.eased(u)+most)
	for k, p := range u.parts {
		f.match(p.unit, p.pose, k)
	}
	for i := range f.sheets {
		// What rounding pushed on lies a little off; more than that was laid in a wrong place, which sliding made good.
		if s := &f.sheets[i]; !v.expect(flat.Length(s.Drift) <= f.drift) {
			f.fault("place", u.ID, s.Label, "", "recipe %s lays %s of unit %s %s from where it belongs", r.ID, s.Label, u.ID, v.long(flat.Length(s.Drift)))
			break
		}
	}
	for i := range f.sheets {
		if s := &f.sheets[i]; s.part < 0 && !v.expect(false) {
			f.fault("parts", u.ID, s.Label, "", "recipe %s leaves cloth of %s in unit %s where none was drawn, about %s", r.ID, s.Label, u.ID, v.point(s.mid))
		}
	}
	if !f.ok {
		return nil, false
	}
	reaches := f.edges()
	if f.ok && first {
		f.points(reaches)
		f.joins()
	}
	return reaches, f.ok
}

func (f *fitting) fault(code, unit, piece, remedy, says string, args ...any) {
	f.ok = false
	f.prover.fault(code, unit, piece, remedy, says, args...)
}

// match finds the cloth that is unit k lying by m: a sheet of that very unit, else the sheets of its parts.
func (f *fitting) match(k int, m plan.Pose, part int) {
	n := &f.units[k]
	is := func(s *sheet) bool {
		if s.part >= 0 {
			return false
		}
		if s.Piece == "" && s.Label == n.ID {
			return true
		}
		return len(n.parts) == 0 && s.Fabric == n.Fabric
	}
	want := flat.Posed(n.outline, m)
	mid := centre(want)
	best, far := -1, math.Inf(1)
	if f.next < len(f.sheets) && is(&f.sheets[f.next]) && flat.Distance(f.sheets[f.next].mid, mid) <= f.near {
		best, far = f.next, 0
	}
	for i := 0; best < 0 && i < len(f.sheets) || far > 0 && i < len(f.sheets); i++ {
		if s := &f.sheets[i]; is(s) {
			if d := flat.Distance(s.mid, mid); d < far {
				best, far = i, d
			}
		}
	}
	if len(n.parts) > 0 && (best < 0 || far > 2*f.seam+f.near) {
		for _, p := range n.parts {
			f.match(p.unit, flat.Then(p.pose, m), part)
		}
		return
	}
	if !f.expect(best >= 0) {
		f.fault("parts", f.u.ID, n.Piece, "", "recipe %s leaves no cloth of fabric %s for the patch at %s of unit %s", f.r.ID, n.Fabric, f.point(mid), f.u.ID)
		return
	}
	s := &f.sheets[best]
	s.part = part
	f.next = best + 1
	if !f.expect(s.FaceUp) {
		f.fault("hand", f.u.ID, s.Label, "", "recipe %s: %s lies face down in unit %s", f.r.ID, s.Label, f.u.ID)
		return
	}
	if s.Up != nil {
		up, want, period := *s.Up, float64(m.Turn), 360.0
		switch {
		case len(n.parts) > 0:
		case n.Up == nil:
			up = want
		default:
			period = f.period(n.Fabric)
			want += float64(*n.Up)
			if k, ok := f.byID[s.Label]; ok && s.Piece == "" && f.units[k].Up != nil {
				up += float64(*f.units[k].Up)
			}
		}
		if !f.expect(turns(up, want, period, 1)) {
			f.fault("turn", f.u.ID, s.Label, "", "recipe %s: %s lies turned by %g° in unit %s, not by %g°", f.r.ID, s.Label, math.Mod(up+360, 360), f.u.ID, math.Mod(want, 360))
		}
	}
	f.shape(s, want)
}

// shape compares what shows of a sheet with the outline that was drawn.
func (f *fitting) shape(s *sheet, want []pt) {
	got := make([]pt, len(want))
	for i, c := range want {
		far := math.Inf(1)
		for _, q := range s.fin {
			if d := flat.Distance(c, q); d < far {
				far, got[i] = d, q
			}
		}
		if !f.expect(far <= f.near) {
			f.fault("place", f.u.ID, s.Label, f.prover.point(c), "recipe %s: in unit %s a corner of %s comes to lie at %s, %s from its place", f.r.ID, f.u.ID, s.Label, f.prover.point(got[i]), f.long(far))
			return
		}
	}
	for _, q := range s.fin {
		if out := outside(want, q); !f.expect(out <= f.near) {
			f.fault("place", f.u.ID, s.Label, "", "recipe %s: in unit %s %s shows %s beyond its outline at %s", f.r.ID, f.u.ID, s.Label, f.long(out), f.prover.point(q))
			return
		}
	}
	for i := range want {
		j := (i + 1) % len(want)
		is, should := flat.Distance(got[i], got[j]), flat.Distance(want[i], want[j])
		short := should - is - narrows(want, got, i)
		f.proof.Short = plan.Num(math.Max(float64(f.proof.Short), short))
		if !f.expect(short <= f.eased(f.u)+1e-5) {
			f.fault("short", f.u.ID, s.Label, f.long(should), "recipe %s: in unit %s the edge of %s from %s to %s is %s long", f.r.ID, f.u.ID, s.Label, f.prover.point(want[i]), f.prover.point(want[j]), f.long(is))
			return
		}
	}
}

// narrows is how much shorter than drawn edge i of an outline is because it came to lie further out between corners wider than square: it
// reaches from one of its neighbours to the other all the same.
func narrows(want, got []pt, i int) (sum float64) {
	n := len(want)
	j := (i + 1) % n
	d := flat.Direction(want[i], want[j])
	out := flat.Outward(d)
	by := math.Min(flat.Dot(flat.Sub(got[i], want[i]), out), flat.Dot(flat.Sub(got[j], want[j]), out))
	if by <= 0 {
		return 0
	}
	for _, e := range [2]pt{flat.Direction(want[(i+n-1)%n], want[i]), flat.Direction(want[j], want[(j+1)%n])} {
		if across := math.Abs(flat.Cross(d, e)); flat.Dot(d, e) > 0 && across > 1e-6 {
			sum += by * flat.Dot(d, e) / across
		}
	}
	return sum
}

// edges finds the raw edges beside every edge of the unit, checks that no other raw edge shows and that all seams have their allowance.
func (f *fitting) edges() []reach {
	rs := make([]reach, len(f.u.outline))
	for i := range rs {
		rs[i] = reach{math.Inf(1), math.Inf(-1), 0}
	}
	for i := range f.sheets {
		s := &f.sheets[i]
		for k, e := range s.edge {
			p, q := s.fin[k], s.fin[(k+1)%len(s.fin)]
			run := flat.Distance(p, q)
			if run < 1e-6 {
				continue
			}
			if s.Edges[e].Sewn {
				if d := math.Min(s.Edges[e].D0, s.Edges[e].D1); !f.expect(d >= f.seam-f.ease-1e-6) {
					f.fault("seam", f.u.ID, s.Label, f.long(f.seam), "recipe %s: %s has %s beyond a seam of unit %s, about %s", f.r.ID, s.Label, f.long(d), f.u.ID, f.prover.point(p))
				}
				continue
			}
			best, off := -1, math.Inf(1)
			lo, hi := 0.0, 0.0
			for j, a := range f.u.outline {
				b := f.u.outline[(j+1)%len(f.u.outline)]
				d := flat.Direction(a, b)
				n := flat.Outward(d)
				if math.Abs(flat.Cross(flat.Direction(p, q), d)) > 0.02 || flat.Dot(flat.Direction(p, q), d) < 0 {
					continue
				}
				if t := flat.Dot(flat.Sub(flat.Scale(flat.Add(p, q), 0.5), a), d); t < -f.near || t > flat.Distance(a, b)+f.near {
					continue
				}
				o0, o1 := flat.Dot(flat.Sub(p, a), n), flat.Dot(flat.Sub(q, a), n)
				if o := math.Abs(o0+o1) / 2; o < off {
					best, off, lo, hi = j, o, math.Min(o0, o1), math.Max(o0, o1)
				}
			}
			if best < 0 || off > 0.9*f.seam {
				if !f.expect(run <= f.ease) {
					f.fault("unsewn", f.u.ID, s.Label, "", "recipe %s: an edge of %s in unit %s is never sewn, from %s to %s", f.r.ID, s.Label, f.u.ID, f.prover.point(p), f.prover.point(q))
				}
				continue
			}
			rs[best].lo, rs[best].hi = math.Min(rs[best].lo, f.seam+lo), math.Max(rs[best].hi, f.seam+hi)
			rs[best].cover += run
		}
	}
	for i := range rs {
		a, b := f.u.outline[i], f.u.outline[(i+1)%len(rs)]
		if run := flat.Distance(a, b); !f.expect(rs[i].cover >= run-f.ease-f.near) {
			f.fault("short", f.u.ID, "", f.long(run), "recipe %s: the edge of unit %s from %s to %s is %s long", f.r.ID, f.u.ID, f.prover.point(a), f.prover.point(b), f.long(rs[i].cover))
		}
	}
	return rs
}

// points checks that no corner that was drawn on the edge of the unit is lost in the seam along it.
func (f *fitting) points(rs []reach) {
	for j, a := range f.u.outline {
		d := flat.Direction(a, f.u.outline[(j+1)%len(rs)])
		n, run := flat.Outward(d), flat.Distance(a, f.u.outline[(j+1)%len(rs)])
		for i := range f.sheets {
			s := &f.sheets[i]
			for _, q := range s.fin {
				t := flat.Dot(flat.Sub(q, a), d)
				over := flat.Dot(flat.Sub(q, a), n) - (rs[j].lo - f.seam)
				if t > f.near && t < run-f.near && over < f.seam && !f.expect(over <= f.eased(f.u)+1e-5) {
					f.fault("point", f.u.ID, s.Label, "", "recipe %s: a point of %s at %s is cut off by %s when unit %s is sewn on", f.r.ID, s.Label, f.prover.point(q), f.long(over), f.u.ID)
					return
				}
			}
		}
	}
}

// stretch is the part of a seam that one sheet has.
type stretch struct {
	seam, part, side int
	a, b             pt
}

// joins compares the seams that were sewn with the joins of the unit.
func (f *fitting) joins() {
	var all []stretch
	byPart := make([][]stretch, len(f.u.parts))
	length := map[int]*[2]float64{}
	for i := range f.sheets {
		s := &f.sheets[i]
		for k, e := range s.edge {
			if !s.Edges[e].Sewn || s.Edges[e].Seam < 0 {
				continue
			}
			x := stretch{s.Edges[e].Seam, s.part, s.Edges[e].Side, s.fin[k], s.fin[(k+1)%len(s.fin)]}
			all = append(all, x)
			byPart[s.part] = append(byPart[s.part], x)
			if length[x.seam] == nil {
				length[x.seam] = &[2]float64{}
			}
			length[x.seam][x.side] += flat.Distance(x.a, x.b)
		}
	}
	bySeam := map[int][]stretch{}
	for _, x := range all {
		bySeam[x.seam] = append(bySeam[x.seam], x)
	}
	partial := map[int]bool{}
	n := 0
	for _, op := range f.r.Do {
		if op.Op == "stitch" {
			partial[n] = op.Partial || op.Fold
			n++
		}
	}
	for _, s := range f.w.Seams {
		if l := length[s.N]; l != nil && !partial[s.N] && !f.expect(math.Abs(l[0]-l[1]) <= 2*f.ease+1e-4) {
			f.fault("seam", f.u.ID, "", "", "recipe %s: the two sides of seam %d of unit %s are %s and %s long", f.r.ID, s.N, f.u.ID, f.long(l[0]), f.long(l[1]))
		}
	}
	sewn := make([]int, len(f.u.Joins)) // which seam, and how many joins it sews
	laid := make([]int, len(f.u.Joins))
	shared := map[int]int{}
	for k := range f.u.Joins {
		sewn[k], laid[k] = f.join(k, byPart, bySeam)
		shared[sewn[k]]++
	}
	for k, n := range sewn {
		if n >= 0 {
			f.top(k, laid[k], shared[n] == 1 && !f.seams[n].Fold)
		}
	}
	f.lines()
	f.dots()
}

// lines checks that the seams by the raw edge are meant to lie where the unit has its joins: each begins and ends where a join does, or
// where another seam goes on from it, and together they sew every join on their line once.
func (f *fitting) lines() {
	off := func(p pt, l [2]pt) float64 {
		return math.Abs(flat.Cross(flat.Direction(l[0], l[1]), flat.Sub(p, l[0])))
	}
	var meant [][2]pt
	var ops []int
	n := 0
	for i, op := range f.r.Do {
		if op.Op == "stitch" {
			if q, ok := f.seams[n]; ok && op.Allowance != 0 {
				if lies := [2]pt{q.A, q.B}; !f.expect(off(q.Meant[0], lies) <= f.drift && off(q.Meant[1], lies) <= f.drift) {
					f.fault("seam", f.u.ID, "", "", "operation %d of recipe %s means the seam from %s to %s, the raw edges lead it elsewhere", i, f.r.ID, f.prover.point(q.Meant[0]), f.prover.point(q.Meant[1]))
				}
				meant = append(meant, [2]pt{flat.Apply(f.m, q.Meant[0]), flat.Apply(f.m, q.Meant[1])})
				ops = append(ops, i)
			}
			n++
		}
	}
	type joinLine struct {
		a, b, d pt
		run     float64
	}
	var joins []joinLine
	sewn := make([]float64, len(f.u.Joins))
	for _, j := range f.u.Joins {
		a, b := flat.At(j.Seam[0]), flat.At(j.Seam[1])
		joins = append(joins, joinLine{a, b, flat.Direction(a, b), flat.Distance(a, b)})
	}
	for i, s := range meant {
		ends, beside := [2]bool{}, false
		for k, j := range joins {
			if math.Abs(flat.Cross(j.d, flat.Sub(s[0], j.a))) > f.near || math.Abs(flat.Cross(j.d, flat.Sub(s[1], j.a))) > f.near {
				continue
			}
			t0, t1 := flat.Dot(flat.Sub(s[0], j.a), j.d), flat.Dot(flat.Sub(s[1], j.a), j.d)
			if c := math.Min(math.Max(t0, t1), j.run) - math.Max(math.Min(t0, t1), 0); c > 1e-4 {
				sewn[k] += c
				beside = true
			}
			for e := range ends {
				ends[e] = ends[e] || flat.Distance(s[e], j.a) <= f.near || flat.Distance(s[e], j.b) <= f.near
			}
		}
		stops := !ends[0] || !ends[1]
		for k, o := range meant {
			if !stops {
				break
			}
			for e := range ends {
				ends[e] = ends[e] || k != i && off(o[0], s) <= f.near && off(o[1], s) <= f.near && (flat.Distance(s[e], o[0]) <= f.near || flat.Distance(s[e], o[1]) <= f.near)
			}
		}
		if !f.expect(beside && ends[0] && ends[1] || !f.panels) {
			f.fault("seam", f.u.ID, "", "", "operation %d of recipe %s sews from %s to %s in unit %s, where no join begins and ends", ops[i], f.r.ID, f.prover.point(s[0]), f.prover.point(s[1]), f.u.ID)
			return
		}
		if op := f.r.Do[ops[i]]; f.panels && !f.expect(op.Fold || op.Partial == stops) {
			f.fault("seam", f.u.ID, "", "", "operation %d of recipe %s: the seam stops half way, or is said to and does not", ops[i], f.r.ID)
		}
	}
	for k, j := range joins {
		if sewn[k] > 0 && !f.expect(same(sewn[k], j.run, 2*f.near)) {
			f.fault("seam", f.u.ID, "", "", "recipe %s sews %s of join %d of unit %s, which is %s long", f.r.ID, f.long(sewn[k]), k, f.u.ID, f.long(j.run))
		}
	}
}

// join checks that a join was sewn and is pressed as it says. It returns the number of its seam, -1 where it has none, and the part that was laid, -1 where
// that does not matter.
func (f *fitting) join(k int, byPart [][]stretch, bySeam map[int][]stretch) (sewn, laid int) {
	j := &f.u.Joins[k]
	a, b := j.Parts[0], j.Parts[1]
	if a < 0 || b < 0 || a >= len(byPart) || b >= len(byPart) {
		return -1, -1 // said before
	}
	s, e := flat.At(j.Seam[0]), flat.At(j.Seam[1])
	d, run := flat.Direction(s, e), flat.Distance(s, e)
	off := f.near + f.ease
	on := func(part int) (cover float64, seams []int) {
		for _, x := range byPart[part] {
			if math.Abs(flat.Cross(d, flat.Sub(x.a, s))) > off || math.Abs(flat.Cross(d, flat.Sub(x.b, s))) > off {
				continue
			}
			t0, t1 := flat.Dot(flat.Sub(x.a, s), d), flat.Dot(flat.Sub(x.b, s), d)
			if t0 > t1 {
				t0, t1 = t1, t0
			}
			if c := math.Min(t1, run) - math.Max(t0, 0); c > 1e-3 {
				cover += c
				if !slices.Contains(seams, x.seam) {
					seams = append(seams, x.seam)
				}
			}
		}
		return cover, seams
	}
	ca, sa := on(a)
	cb, sb := on(b)
	seam := -1
	for _, n := range sa {
		if slices.Contains(sb, n) && (seam < 0 || n < seam) {
			seam = n
		}
	}
	if !f.expect(seam >= 0 && ca >= run-off-f.near && cb >= run-off-f.near) {
		f.fault("join", f.u.ID, "", "", "recipe %s does not sew join %d of unit %s, between parts %d and %d from %s to %s", f.r.ID, k, f.u.ID, a, b, f.prover.point(s), f.prover.point(e))
		return -1, -1
	}
	q := f.seams[seam]
	sideOf := func(is func(x stretch) bool) int {
		for _, x := range bySeam[seam] {
			if is(x) {
				return x.side
			}
		}
		return -1
	}
	sideA := sideOf(func(x stretch) bool { return x.part == a })
	sideB := sideOf(func(x stretch) bool { return x.part == b })
	if !f.expect(sideA+sideB == 1) {
		f.fault("join", f.u.ID, "", "", "recipe %s: parts %d and %d of unit %s lie on the same side of seam %d", f.r.ID, a, b, f.u.ID, seam)
		return -1, -1
	}
	// Of what comes out of a batch, the first has on top what the join says: the other of a pair may have been turned.
	if laid = -1; !q.Fold && f.first {
		laid = j.Parts[sideB]
	}
	f.align(k, q)
	side, spun := f.spun(j, q)
	is := "open"
	if q.State == "toward" {
		if is = toward(b); side == sideA {
			is = toward(a)
		}
	}
	want := j.Press
	if way := f.r.Way; way >= 0 && way < len(j.Split) {
		want = j.Split[way].Press
	}
	if !f.expect(want == is) {
		f.fault("press", f.u.ID, "", "", "recipe %s presses join %d of unit %s %s, the join says %s", f.r.ID, k, f.u.ID, is, want)
	}
	if !f.expect(spun) {
		f.fault("press", f.u.ID, "", "", "recipe %s does not spin join %d of unit %s where the join says", f.r.ID, k, f.u.ID)
	}
	return seam, laid
}

// spun checks that a seam is spun where its join says. It returns the side on which it lies where the join begins, and that it agrees.
func (f *fitting) spun(j *plan.Join, q cloth.Seam) (side int, agrees bool) {
	side = q.Side
	var at []float64 // how far along the join
	a, b := flat.Apply(f.m, q.A), flat.Apply(f.m, q.B)
	from, d := flat.At(j.Seam[0]), flat.Direction(flat.At(j.Seam[0]), flat.At(j.Seam[1]))
	for _, t := range q.Spun {
		at = append(at, flat.Dot(flat.Sub(flat.Add(a, flat.Scale(flat.Direction(a, b), t)), from), d))
	}
	if flat.Dot(d, flat.Sub(b, a)) < 0 { // sewn from its end to where it begins
		slices.Reverse(at)
		side = (side + len(at)) % 2
	}
	said := spunAt(j, f.r.Way)
	return side, slices.EqualFunc(at, said, func(t float64, p plan.Point) bool {
		return same(t, flat.Dot(flat.Sub(flat.At(p), from), d), f.near+f.ease)
	})
}

// align checks that a join says which raw edge passes the other at its ends, and by how much; what the ease takes up may go unsaid.
func (f *fitting) align(k int, q cloth.Seam) {
	j := &f.u.Joins[k]
	said := [2]*plan.Align{}
	for i := range j.Align {
		a := &j.Align[i]
		if !f.expect(a.End >= 0 && a.End <= 1 && said[a.End] == nil && a.Part >= 0 && a.Part < len(f.u.parts) && a.Past > 0) {
			f.fault("align", f.u.ID, "", "", "join %d of unit %s: part %d passes by %s at end %d", k, f.u.ID, a.Part, f.long(float64(a.Past)), a.End)
			return
		}
		said[a.End] = a
	}
	if q.Fold || !f.panels || j.Kind != "straight" {
		if !f.expect(len(j.Align) == 0) {
			f.fault("align", f.u.ID, "", "", "join %d of unit %s is not aligned by raw edges", k, f.u.ID)
		}
		return
	}
	from, to := flat.At(j.Seam[0]), flat.At(j.Seam[1])
	for e, end := range []pt{flat.Apply(f.m, q.A), flat.Apply(f.m, q.B)} {
		which := 0
		if flat.Distance(end, to) < flat.Distance(end, from) {
			which = 1
		}
		if flat.Distance(end, [2]pt{from, to}[which]) > f.near+f.ease {
			continue // several joins sewn in one go: it is not this one's end
		}
		a, past := said[which], q.Ends[e]
		switch {
		case a == nil:
			if !f.expect(past.Past <= 2*f.eased(f.u)+1e-6) {
				f.fault("align", f.u.ID, "", "", "join %d of unit %s does not say that part %d passes by %s at end %d", k, f.u.ID, past.Part, f.long(past.Past), which)
			}
		default:
			if !f.expect(past.Part == a.Part && same(past.Past, float64(a.Past), 1.5*f.ease)) {
				f.fault("align", f.u.ID, "", "", "join %d of unit %s: part %d passes by %s at end %d, not part %d by %s", k, f.u.ID, past.Part, f.long(past.Past), which, a.Part, f.long(float64(a.Past)))
			}
		}
		said[which] = nil
	}
}

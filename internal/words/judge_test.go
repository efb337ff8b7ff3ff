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

// judge carries a recipe out on a table of cloth and says of each sentence whether that is what was done. It asks the cloth where things
// lie and the plan what is meant; it has nothing of the narrator's but the names of units.
type judge struct {
	p        *plan.Plan
	by       plan.Index
	r        *plan.Recipe
	l        *listener
	ids      []string            // of the recipe's parts
	tables   []*cloth.Table      // before each operation, and after the last
	cuts     []map[int]int       // likewise: how often each work was cut into works that are all used
	stitch   map[int]plan.Op     // by the number of the stitch
	gives    map[int]flatPose    // of works that are given
	told     map[int]bool        // operations that a sentence has told
	watching map[*plan.Join]bool // joins of which is said what lies on top
	tipped   map[int]int         // by operation: how many points that it cuts off a sentence has told
	first    int                 // of the step
	last     int
}

// flatPose moves a work into its unit.
type flatPose = plan.Pose

func newJudge(p *plan.Plan, r *plan.Recipe) (*judge, error) {
	j := &judge{p: p, by: p.Index(), r: r, stitch: map[int]plan.Op{}, gives: map[int]flatPose{}, told: map[int]bool{}, watching: map[*plan.Join]bool{}}
	var works []cloth.Work
	for _, f := range r.From {
		for range f.Count {
			id, raw := f.Piece, []flat.Pt(nil)
			if q := j.by.Pieces[f.Piece]; q != nil {
				raw = append(raw, q.Raw()...)
			} else if u := j.by.Units[f.Unit]; u != nil {
				if id = f.Unit; u.Piece != "" {
					id = u.Piece
				}
				raw = widened(flat.Outline(u.Outline), float64(p.Seam))
			}
			j.ids = append(j.ids, id)
			works = append(works, cloth.Work{Layers: []cloth.Layer{{Cloth: raw}}})
		}
	}
	for _, g := range r.Gives {
		j.gives[g.Work] = g.Pose
	}
	table, next, cuts := cloth.New(works), len(works), map[int]int{}
	j.tables, j.cuts = []*cloth.Table{table.Clone()}, []map[int]int{{}}
	stitches := 0
	for i, op := range r.Do {
		if err := table.Do(op); err != nil {
			return nil, fmt.Errorf("recipe %s, operation %d: %w", r.ID, i, err)
		}
		switch {
		case op.Op == "stitch":
			j.stitch[stitches] = op
			stitches++
		case op.Op == "cut" && op.Times == 0:
			if j.used(next) {
				cuts[op.Work]++
			}
			cuts[next] = cuts[op.Work]
			next++
		}
		c := map[int]int{}
		for k, v := range cuts {
			c[k] = v
		}
		j.tables, j.cuts = append(j.tables, table.Clone()), append(j.cuts, c)
	}
	return j, nil
}

// used says whether a work is given or laid on another.
func (j *judge) used(work int) bool {
	_, given := j.gives[work]
	return given || slices.ContainsFunc(j.r.Do, func(op plan.Op) bool { return op.Op == "lay" && op.Part == work })
}

// widened is an outline with a seam round it.
func widened(ps []flat.Pt, seam float64) []flat.Pt {
	var out []flat.Pt
	for i := range ps {
		a, b, c := ps[(i+len(ps)-1)%len(ps)], ps[i], ps[(i+1)%len(ps)]
		u, v := flat.Direction(a, b), flat.Direction(b, c)
		p, q := flat.Add(b, flat.Scale(flat.Outward(u), seam)), flat.Add(b, flat.Scale(flat.Outward(v), seam))
		if k := flat.Cross(u, v); math.Abs(k) > 1e-9 {
			p = flat.Add(p, flat.Scale(u, flat.Cross(flat.Sub(q, p), v)/k))
		}
		out = append(out, p)
	}
	return out
}

// seen turns a direction in the frame of a work as one looks at it: as its unit stands once no cut takes it apart, else as it lies.
func (j *judge) seen(i, work int, d flat.Pt) flat.Pt {
	pose, given := j.gives[work]
	next := len(j.ids)
	for k, op := range j.r.Do {
		if op.Op == "cut" && op.Times == 0 {
			if k >= i && op.Work == work && j.used(next) {
				given = false
			}
			next++
		}
	}
	if !given {
		return d
	}
	if pose.Mirror {
		d[0] = -d[0]
	}
	s, c := math.Sincos(float64(pose.Turn) * math.Pi / 180)
	return flat.Pt{d[0]*c - d[1]*s, d[0]*s + d[1]*c}
}

// pointing is the word for a direction.
func pointing(d flat.Pt) string {
	h := math.Sqrt2 / 2
	best, most := "", 0.0
	for word, w := range map[string]flat.Pt{"right": {1, 0}, "left": {-1, 0}, "top": {0, -1}, "bottom": {0, 1}, "upper right": {h, -h}, "upper left": {-h, -h}, "lower right": {h, h}, "lower left": {-h, h}} {
		if x := flat.Dot(d, w) / flat.Length(d); x > most {
			best, most = word, x
		}
	}
	return best
}

func (j *judge) id(part int) string { return j.ids[part] }

// ops are the step's operations of a kind that are not told yet, by work in the order of the first.
func (j *judge) ops(kind string, want func(op plan.Op) bool) [][]int {
	var order []int
	of := map[int][]int{}
	for i := j.first; i <= j.last; i++ {
		if op := j.r.Do[i]; op.Op == kind && !j.told[i] && (want == nil || want(op)) {
			if of[op.Work] == nil {
				order = append(order, op.Work)
			}
			of[op.Work] = append(of[op.Work], i)
		}
	}
	out := make([][]int, len(order))
	for k, w := range order {
		out[k] = of[w]
	}
	return out
}

// tell marks what a sentence tells: of each work as many operations as holds returns. It is false where that is none of any.
func (j *judge) tell(groups [][]int, holds func(is []int) int) bool {
	some := false
	for _, is := range groups {
		n := holds(is)
		for _, i := range is[:n] {
			j.told[i], some = true, true
		}
	}
	return some
}

// does finds the operations that a sentence tells; it is false where there is none.
func (j *judge) does(key string, s map[string]value) bool {
	one := func(ok bool) int {
		if ok {
			return 1
		}
		return 0
	}
	switch kind, form, _ := strings.Cut(key, "."); kind {
	case "mark":
		some := false
		for j.tell(j.ops("mark", nil), func(is []int) int { return j.marked(is, form, s) }) {
			some = true // drawn on several alike, it is said once
		}
		return some
	case "lay":
		return j.tell(j.ops("lay", nil), func(is []int) int { return j.laid(is, form, s) })
	case "sew":
		return j.tell(j.ops("stitch", func(op plan.Op) bool { return op.Allowance == 0 }), func(is []int) int { return j.beside(is, form, s) })
	case "join":
		if form == "turned" {
			return true // it says no more than to look at the drawing
		}
		// What is laid to be sewn by the raw edge is told with its seam.
		ok := j.tell(j.ops("stitch", func(op plan.Op) bool { return op.Allowance > 0 }), func(is []int) int { return j.joined(is, form, s) })
		for i := j.first; i <= j.last; i++ {
			if op := j.r.Do[i]; op.Op == "lay" && i < j.last && j.told[i+1] && j.r.Do[i+1].Op == "stitch" && j.r.Do[i+1].Allowance > 0 {
				j.told[i] = true
			}
		}
		return ok
	case "cut":
		return j.tell(j.ops("cut", nil), func(is []int) int { return one(j.cut(is[0], form, s)) })
	case "trim":
		if strings.HasPrefix(form, "tips") {
			return j.tips(form, s)
		}
		return j.tell(j.ops("trim", nil), func(is []int) int { return one(j.trimmed(is[0], form, s)) })
	case "watch":
		return j.watched(form, s)
	case "press":
		return j.tell(j.ops("press", nil), func(is []int) int { return j.pressed(is, form, s) })
	}
	panic("no one judges sentences like “" + key + "”")
}

// base is the part whose frame a work has, as it was before anything was done to it.
func (j *judge) base(i, work int) *cloth.Layer {
	part := j.tables[i].Look(work).Layers[0].Part
	return &j.tables[0].Look(part).Layers[0]
}

// refers says whether a reference is to this part, or to what a work is once it was cut.
func (j *judge) refers(r ref, i, work int) bool {
	w, cuts := j.tables[i].Look(work), j.cuts[i][work]
	switch r.how {
	case "each half":
		return cuts == 1
	case "each part":
		return cuts > 1
	case "the other half":
		return cuts == 1 || len(w.Layers) > 1
	case "":
		return r.id == j.id(w.Layers[0].Part)
	case "one of them":
		return cuts > 0 || r.id != "" && r.id == j.id(w.Layers[0].Part)
	}
	return false
}

// diagonal says whether a line runs through two corners of four-sided cloth.
func diagonal(ps []flat.Pt, line *[2]plan.Point) bool {
	a, b := flat.At(line[0]), flat.At(line[1])
	on := 0
	for _, p := range ps {
		if math.Abs(flat.Cross(flat.Direction(a, b), flat.Sub(p, a))) < slack {
			on++
		}
	}
	return len(ps) == 4 && on == 2
}

// wide says whether two lines cross at a wide angle.
func wide(a, b [2]flat.Pt) bool {
	return math.Abs(flat.Cross(flat.Direction(a[0], a[1]), flat.Direction(b[0], b[1]))) > 0.7
}

func lineOf(l *[2]plan.Point) [2]flat.Pt { return [2]flat.Pt{flat.At(l[0]), flat.At(l[1])} }

// marked judges lines drawn on what was laid last.
func (j *judge) marked(is []int, form string, s map[string]value) int {
	i := is[0]
	op := j.r.Do[i]
	w := j.tables[i+1].Look(op.Work)
	of := s["laid"].ref
	on := 0 // layers of that name on whose diagonal the line runs
	for k := range w.Layers {
		l := &w.Layers[k]
		if j.id(l.Part) == of.id && diagonal(l.Cloth, op.Line) {
			on++
		}
	}
	named := on > 0 && (of.how == "each") == (on > 1)
	switch form {
	case "plain":
		if !slices.ContainsFunc(w.Layers, func(l cloth.Layer) bool { return diagonal(l.Cloth, op.Line) }) {
			return 1
		}
	case "corner":
		if named && !(len(is) > 1 && wide(lineOf(op.Line), lineOf(j.r.Do[is[1]].Line)) && is[1] == i+1) {
			return 1
		}
	case "both":
		if named && len(is) > 1 && wide(lineOf(op.Line), lineOf(j.r.Do[is[1]].Line)) {
			return 2
		}
	case "across":
		crossed := slices.ContainsFunc(w.Seams, func(m cloth.Seam) bool { return wide([2]flat.Pt{m.A, m.B}, lineOf(op.Line)) })
		if u := j.by.Units[of.id]; of.id != "" && u != nil {
			for k := range w.Layers {
				crossed = crossed || j.id(w.Layers[k].Part) == of.id && diagonal(w.Layers[k].Cloth, op.Line) && len(u.Joins) > 0
			}
		}
		if of.how == "one of them" && crossed {
			return 1
		}
	}
	return 0
}

// corners are the corners of what it lies on where laid cloth has a corner too, as looked at; the middle of each pair is kept as well.
func (j *judge) corner(i int) (string, flat.Pt, bool) {
	op := j.r.Do[i]
	base := j.base(i, op.Work).Cloth
	layers := j.tables[i+1].Look(op.Work).Layers
	top := layers[len(layers)-1].Cloth
	if math.Abs(flat.Area2(top)) > 0.9*math.Abs(flat.Area2(base)) {
		return "", flat.Pt{}, false
	}
	mid := mean(base)
	for _, q := range base {
		if slices.ContainsFunc(top, func(p flat.Pt) bool { return flat.Distance(p, q) < slack }) {
			return pointing(j.seen(i, op.Work, flat.Sub(q, mid))), q, true
		}
	}
	return "", flat.Pt{}, false
}

func mean(ps []flat.Pt) flat.Pt {
	var m flat.Pt
	for _, p := range ps {
		m = flat.Add(m, flat.Scale(p, 1/float64(len(ps))))
	}
	return m
}

// mirrored says whether a unit is the mirror image of another: patches of the same cloths, as large, go round its middle the other way.
func (j *judge) mirrored(one, two string) bool {
	round := func(id string) []string {
		u := j.by.Units[id]
		at := map[string]float64{} // by cloth and size: the direction from the middle
		var names []string
		for _, p := range u.Parts {
			l := flat.Outline(j.by.Units[p.Unit].Outline)
			mid := flat.Sub(mean(flat.Posed(l, plan.Pose{At: p.At, Turn: p.Turn})), flat.Pt{float64(u.Size.Width) / 2, float64(u.Size.Height) / 2})
			name := fmt.Sprintf("%s %.4f", j.by.Units[p.Unit].Fabric, math.Abs(flat.Area2(l)))
			at[name] = math.Atan2(mid[1], mid[0])
			names = append(names, name)
		}
		slices.SortFunc(names, func(a, b string) int { return int(math.Copysign(1, at[a]-at[b])) })
		return names
	}
	a, b := round(one), round(two)
	slices.Reverse(b)
	return len(a) == len(b) && strings.Contains(strings.Join(append(b, b...), "|"), strings.Join(a, "|"))
}

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

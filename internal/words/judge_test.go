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

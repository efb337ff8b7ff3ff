package method

import "quiltwright/internal/plan"

// seamLine is a join of a unit as the plain recipe needs it: in the unit's frame.
type seamLine struct {
	join    int   // of the unit
	also    []int // joins that the same seam sews in one go
	a, b    int   // parts
	from    pt
	to      pt
	partial bool
	finish  bool // both sides already lie in place
	dots    []int
}

// joined is the plain recipe: parts are laid one on another, right sides together, sewn by the raw edge and opened, in the order of the
// joins. poses are the parts' in the unit's frame. grown is how far the middle of what comes out lies from where the
// finished places put it, because blanks are a little larger than exact.
// before is what is done to parts first, in a step of its own.
func joined(parts []Source, poses []move, before []plan.Op, seams []seamLine, seam float64, grown pt) Recipe {
	p := newProgram("joined", seam, parts)
	if p.r.Do = before; len(before) > 0 {
		p.stop()
	}
	g := together(len(poses))
	run := true // a run of parts side by side is one step
	for k, s := range seams {
		run = run && s.a == k && s.b == k+1 && !s.partial && !s.finish
	}
	for k, s := range seams {
		if k > 0 && !run {
			p.stop()
		}
		below, above := g.leader[s.a], g.leader[s.b]
		if below > above {
			below, above = above, below
		}
		in := poses[below].back() // the frame of the work below is that of the part that began it
		from, to := in.apply(s.from), in.apply(s.to)
		if below != above && !s.finish {
			p.lay(above, below, poses[above].then(mirrored(s.from, s.to)).then(in))
			g.merge(above, below)
		}
		n := p.edge(below, from, to, s)
		p.press(below, n, s.join, s.a, s.b)
	}
	m := poses[0]
	m.t = m.t.sub(grown)
	p.give(0, m)
	p.r.Yield = 1
	return p.r
}

// groups are parts that have been sewn together: each has the least of its group for a leader.
type groups struct {
	leader []int
	parts  [][]int // of the leaders: their groups
}

// together is n parts, each by itself.
func together(n int) groups {
	g := groups{make([]int, n), make([][]int, n)}
	all := make([]int, n)
	for k := range n {
		g.leader[k], all[k] = k, k
		g.parts[k] = all[k : k+1 : k+1]
	}
	return g
}

// merge puts the group of leader above to that of leader below and returns what it put there.
func (g groups) merge(above, below int) []int {
	moved := g.parts[above]
	for _, k := range moved {
		g.leader[k] = below
	}
	g.parts[below], g.parts[above] = append(g.parts[below], moved...), nil
	return moved
}

// trimTo cuts the finished work down to the unit's raw outline, just before the recipe ends.
func (r *Recipe) trimTo(u *Unit, seam float64) {
	g := &r.Gives[0]
	m := turned(float64(g.Pose.Turn), pt{float64(g.Pose.At[0]), float64(g.Pose.At[1])}).back()
	op := plan.Op{Op: "trim", Work: g.Work}
	for _, p := range evenly(floats(u.Outline), seam) {
		op.To = append(op.To, m.apply(p).plan())
	}
	r.Stops = append(r.Stops, len(r.Do))
	r.Do = append(r.Do, op)
}

package press

import "slices"

// Why a meeting is not nested.
const (
	Ring   = "ring"   // an odd ring of meetings
	Writer = "writer" // a ring that is closed by what the writer says
	Dearer = "dearer" // it could nest; but something else would cost more
)

// rings finds why meetings are not nested.
//
// A meeting asks its two seams for states: the same, or one each way. Where meetings follow one another from seam to seam and come back to the
// first seam, and ask it to lie both ways, one of them must give way: a ring. The shortest that holds a meeting explains it.
type rings struct {
	next   [][]link // of each seam
	ground int      // stands for what the writer says: every seam that is fixed is linked to it
	known  map[[3]int]answer
}

type link struct {
	to    int
	other int // 1: in the other state
}

type answer struct {
	seams []int
	why   string
}

// mostRings is for how many meetings a ring is looked for, where a large quilt has more.
const mostRings = 500

func (p *presser) rings(value []int) *rings {
	n := len(p.net.Size)
	r := &rings{next: make([][]link, n+1), ground: n, known: map[[3]int]answer{}}
	add := func(a, b, other int) {
		for _, l := range r.next[a] {
			if l == (link{b, other}) {
				return
			}
		}
		r.next[a] = append(r.next[a], link{b, other})
	}
	for _, m := range p.meet {
		if m.p != m.q {
			add(m.p, m.q, one(m.facing))
			add(m.q, m.p, one(m.facing))
		}
	}
	for i := range p.units {
		for way, seams := range p.seams[i] {
			for k, v := range seams {
				for _, t := range p.turns[i][way][k] { // a seam is one from crossing to crossing, and turns where it is spun
					turns := one(value[t.before] != value[t.v])
					add(t.before, t.v, turns)
					add(t.v, t.before, turns)
				}
				if s, ok := p.fixed[[2]int{i, k}]; ok && s != Open && p.seams[i][way] != nil {
					add(v, n, s)
					add(n, v, s)
				}
			}
		}
	}
	return r
}

func one(b bool) int {
	if b {
		return 1
	}
	return 0
}

// why is the shortest ring that holds a meeting of seams p and q: the seams in order, from one of the meeting's to its other.
func (r *rings) why(p, q int, facing bool) answer {
	key := [3]int{p, q, one(facing)}
	if a, ok := r.known[key]; ok {
		return a
	}
	if len(r.known) == mostRings {
		return answer{why: Dearer}
	}
	a := r.find(p, q, one(facing))
	r.known[key] = a
	return a
}

// find goes from p, lying one way, to q lying as the meeting does not ask for.
func (r *rings) find(p, q, other int) answer {
	if p == q && other == 1 {
		return answer{[]int{p}, Ring}
	}
	from := map[link]link{{p, 0}: {-1, 0}}
	queue := []link{{p, 0}}
	for len(queue) > 0 {
		at := queue[0]
		queue = queue[1:]
		if at == (link{q, 1 - other}) && p != q {
			a := answer{why: Ring}
			for ; at.to >= 0; at = from[at] {
				if at.to == r.ground {
					a.why = Writer
					continue
				}
				a.seams = append(a.seams, at.to)
			}
			slices.Reverse(a.seams)
			return a
		}
		for _, l := range r.next[at.to] {
			to := link{l.to, at.other ^ l.other}
			if _, seen := from[to]; !seen {
				from[to] = at
				queue = append(queue, to)
			}
		}
	}
	return answer{why: Dearer}
}

// names is the unit and the join of each variable.
func (p *presser) names() [][2]int {
	out := make([][2]int, len(p.net.Size))
	for i := range p.units {
		for way, seams := range p.seams[i] {
			for k := len(seams) - 1; k >= 0; k-- {
				out[seams[k]] = [2]int{i, k}
				for _, t := range p.turns[i][way][k] {
					out[t.v] = [2]int{i, k}
				}
			}
		}
	}
	return out
}

package weigh

import (
	"slices"
)

// grain is by how much costs are multiplied inside bounds, so that shifting costs between tables
// loses little to whole numbers.
const grain = 64

// mostCached is for how many choices above it what is known of a subtree is kept in a table; for more it is kept in a map.
const mostCached = 1 << 11

// mostKept is how many choices are kept in maps.
const mostKept = 1 << 19

// mostOwn is how large the tables are that a node's tables are added up to.
const mostOwn = 1 << 10

// rooms is how large the tables are that costs are shifted between, one after the other: about 5, 7, 9 and 10 variables of three states.
var rooms = [...]int64{1 << 8, 1 << 12, 20_000, 60_000, 180_000}

// search is a depth-first search with bounds over a part that is too wide to eliminate.
//
// The variables form a tree: above each stand those it hangs together with when it is taken out, so
// that its subtrees are independent once all above it are decided. messages holds, for each
// subtree, tables over the variables above that bound from below what the subtree costs.
type search struct {
	p      *part
	o      *order
	unit   int64 // every cost is a multiple of it, less base
	base   int64
	nodes  []node // by place: a subtree is a run of places, its root first
	place  []int  // place[v] of each variable
	sol    []int  // states by place
	value  []int  // the cheapest choice that look has found
	limit  int64
	work   int64
	visits int64
	kept   int // choices kept in maps
}

// node is a variable in the tree of the search.
type node struct {
	v        int
	size     int
	until    int // end of its subtree's run of places
	children []int
	own      []*lookup // tables decided with this variable
	bound    []*lookup // messages out of its subtree
	near     []int     // places of the variables above that matter below
	reach    []int     // and their multipliers in cache
	known    int       // how many choices above it are told apart in cache; 0: too many
	cache    []cached  // made when first needed
	wide     map[uint64]*cached
	buffer   []int
}

// lookup is a table read by places in the tree. The node's own variable, where it has it, is last.
type lookup struct {
	place []int
	size  []int
	cost  []int64
}

// cached is what is known of a subtree for one choice above it.
type cached struct {
	bound int64   // at least so much; -infinite at first
	value []uint8 // the states of the subtree where bound is its exact cost, else nil
}

// write copies the states out.
func (c *cached) write(to []int) {
	for i, k := range c.value {
		to[i] = int(k)
	}
}

func states(value []int) []uint8 {
	out := make([]uint8, len(value))
	for i, k := range value {
		out[i] = uint8(k)
	}
	return out
}

// newSearch prepares the search: scales the costs, finds a start, builds the tree and its bounds.
func newSearch(p *part, o *order, work int64) *search {
	s := &search{p: p, o: o, limit: work}
	s.scale()
	s.tree()
	return s
}

// scale finds the least entry of each table and what all differences are multiples of.
func (s *search) scale() {
	for _, t := range s.p.tables {
		lo := slices.Min(t.cost)
		s.base += lo
		for _, c := range t.cost {
			s.unit = gcd(s.unit, c-lo)
		}
	}
	s.unit = max(s.unit, 1)
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// run improves a first solution, then raises the bound and searches until they meet or the work is done.
func (s *search) run() solution {
	scaled := s.scaled()
	im := newImprover(s.p.size, scaled)
	im.start(make([]int, len(s.p.size)))
	out := solution{width: s.o.width}
	finish := func(bound int64) solution {
		im.lower()
		out.value, out.nodes, out.work = im.value, s.visits, s.work+im.work
		out.bound = s.base + min(bound, im.cost)*s.unit
		out.optimal = bound >= im.cost
		return out
	}
	fine := make([]*table, len(scaled))
	for i, t := range scaled {
		fine[i] = t.times(grain)
	}
	s.work += tighten(s.p.size, fine, s.limit/16)
	var bound int64
	for _, room := range rooms {
		c := newClusters(s.p.size, fine, s.o, room)
		most := s.limit / 2
		if im.cost-bound > im.cost/8 {
			most = s.limit * 7 / 8 // far from met: a search would not end
		}
		if s.work+im.work+4*c.work() > most {
			break
		}
		s.work += c.run(most-s.work-im.work, im.cost*grain)
		fine = c.tables
		if !s.messages(fine, room) {
			break
		}
		bound = max(bound, up(s.above(0)))
		im.from(s.dive(), s.limit/16)
		if bound >= im.cost {
			return finish(bound)
		}
		// A short search may do it before larger bounds are made.
		bound = max(bound, s.look(im, s.limit/32))
		if bound >= im.cost {
			return finish(bound)
		}
	}
	bound = max(bound, s.look(im, s.limit-s.work-im.work))
	return finish(bound)
}

// scaled returns the tables with their least entries taken off, in units.
func (s *search) scaled() []*table {
	out := make([]*table, len(s.p.tables))
	for i, t := range s.p.tables {
		lo := slices.Min(t.cost)
		c := &table{over: t.over, cost: make([]int64, len(t.cost))}
		for k, x := range t.cost {
			c.cost[k] = (x - lo) / s.unit
		}
		out[i] = c
	}
	return out
}

// tree hangs each variable under the next one it is connected with when it is taken out.
func (s *search) tree() {
	n := len(s.p.size)
	under := make([][]int, n)
	root := s.o.vars[n-1]
	for i := n - 2; i >= 0; i-- {
		v := s.o.vars[i]
		under[s.o.near[v][0]] = append(under[s.o.near[v][0]], v)
	}
	s.place = make([]int, n)
	s.sol = make([]int, n)
	s.nodes = make([]node, 0, n)
	var hang func(v int) int
	hang = func(v int) int {
		at := len(s.nodes)
		s.place[v] = at
		s.nodes = append(s.nodes, node{v: v, size: s.p.size[v]})
		var children []int
		for _, w := range under[v] {
			children = append(children, hang(w))
		}
		s.nodes[at].children = children
		s.nodes[at].until = len(s.nodes)
		s.nodes[at].buffer = make([]int, len(s.nodes)-at)
		return at
	}
	hang(root)
	for i := range s.nodes {
		nd := &s.nodes[i]
		reach := 1
		for _, w := range s.o.near[nd.v] {
			nd.near = append(nd.near, s.place[w])
			nd.reach = append(nd.reach, reach)
			if reach > 1<<56 {
				reach = 0
				break
			}
			reach *= s.p.size[w]
		}
		if reach > mostCached && nd.until-i > 1 {
			nd.wide = map[uint64]*cached{}
		}
		if reach > 0 && reach <= mostCached {
			nd.known = reach
		}
	}
}

// lookup turns a table into one read by places, with x last where the table has it.
func (s *search) lookup(t *table, x int) *lookup {
	over := slices.DeleteFunc(slices.Clone(t.over), func(v int) bool { return v == x })
	if len(over) < len(t.over) {
		over = append(over, x)
	}
	l := &lookup{}
	for _, v := range over {
		l.place = append(l.place, s.place[v])
		l.size = append(l.size, s.p.size[v])
	}
	l.cost = add(over, s.p.size, []*table{t}).cost
	return l
}

// messages fills the nodes' tables and bounds by mini-buckets: like elimination, but where a joint
// table would have more than room entries the tables are handled in several groups, each at its own best.
// It returns false when the work is spent.
func (s *search) messages(tables []*table, room int64) bool {
	size, rank := s.p.size, s.o.rank
	n := len(size)
	type letter struct {
		t     *table
		given bool // not a message
	}
	bucket := make([][]letter, n)
	leaves := make([][]*table, n) // messages out of the subtree of each variable
	own := make([][]*table, n)
	put := func(l letter) {
		first := l.t.over[0]
		for _, v := range l.t.over[1:] {
			if rank[v] < rank[first] {
				first = v
			}
		}
		bucket[first] = append(bucket[first], l)
	}
	for i := range s.nodes {
		nd := &s.nodes[i]
		nd.own, nd.bound, nd.cache = nil, nil, nil
		clear(nd.wide)
	}
	s.kept = 0
	for _, t := range tables {
		put(letter{t: t, given: true})
	}
	for _, x := range s.o.vars {
		slices.SortStableFunc(bucket[x], func(a, b letter) int { return len(b.t.over) - len(a.t.over) })
		var groups [][]*table
		var overs [][]int
		for _, l := range bucket[x] {
			t := l.t
			if l.given {
				own[x] = append(own[x], t)
			}
			home := -1
			var over []int
			for g := range groups {
				over = union([]*table{{over: overs[g]}, t}, rank)
				if entries(over, size) <= max(room, entries(overs[g], size)) {
					home = g
					break
				}
			}
			if home < 0 {
				groups, overs = append(groups, []*table{t}), append(overs, union([]*table{t}, rank))
				continue
			}
			groups[home], overs[home] = append(groups[home], t), over
		}
		joint := make([]*table, len(groups))
		for g := range groups {
			over := append(slices.DeleteFunc(slices.Clone(overs[g]), func(v int) bool { return v == x }), x)
			joint[g] = add(over, size, groups[g])
			s.work += int64(len(joint[g].cost) * len(groups[g]))
		}
		if s.work > s.limit {
			return false
		}
		balance(joint, x, size)
		for _, j := range joint {
			m := j.least(size)
			if len(m.over) == 0 {
				m = &table{cost: m.cost}
			}
			// The message bounds every subtree it leaves on its way up.
			target := -1
			if len(m.over) > 0 {
				first := m.over[0]
				for _, v := range m.over[1:] {
					if rank[v] < rank[first] {
						first = v
					}
				}
				target = first
				put(letter{t: m})
			}
			for c := x; c != target; {
				leaves[c] = append(leaves[c], m)
				if len(s.o.near[c]) == 0 {
					break
				}
				c = s.o.near[c][0]
			}
		}
	}
	for x, ms := range leaves {
		nd := &s.nodes[s.place[x]]
		nd.own = nil
		for _, m := range s.gather(own[x], 4*mostOwn) {
			nd.own = append(nd.own, s.lookup(m, x))
			s.work += int64(2 * len(m.cost))
		}
		for _, m := range s.gather(ms, room) {
			nd.bound = append(nd.bound, s.lookup(m, -1))
			s.work += int64(2 * len(m.cost))
		}
	}
	return true
}

// gather adds tables up where their sum has at most room entries, or no more than the larger one.
func (s *search) gather(tables []*table, room int64) []*table {
	tables = slices.Clone(tables)
	slices.SortStableFunc(tables, func(a, b *table) int { return len(b.cost) - len(a.cost) })
	var groups [][]*table
	var overs [][]int
next:
	for _, t := range tables {
		for g := range groups {
			over := union([]*table{{over: overs[g]}, t}, s.o.rank)
			if entries(over, s.p.size) <= max(room/4, entries(overs[g], s.p.size)) {
				groups[g], overs[g] = append(groups[g], t), over
				continue next
			}
		}
		groups, overs = append(groups, []*table{t}), append(overs, union([]*table{t}, s.o.rank))
	}
	out := make([]*table, len(groups))
	for g := range groups {
		out[g] = add(overs[g], s.p.size, groups[g])
	}
	return out
}

// read returns the entry for the states decided so far.
func (l *lookup) read(sol []int) int64 {
	k := 0
	for i, p := range l.place {
		k = k*l.size[i] + sol[p]
	}
	return l.cost[k]
}

// above bounds from below what the subtree at a place costs, given the states above it.
func (s *search) above(at int) int64 {
	var sum int64
	for _, l := range s.nodes[at].bound {
		sum += l.read(s.sol)
	}
	s.work += int64(len(s.nodes[at].bound))
	return sum
}

// up turns a bound in grains into one in whole units.
func up(grains int64) int64 {
	if grains <= 0 {
		return 0 // the units are counted from the least entries, so no choice costs less than none
	}
	return (grains + grain - 1) / grain
}

// dive decides the variables from the top, each for its least bound.
func (s *search) dive() []int {
	for at := range s.nodes {
		nd := &s.nodes[at]
		best, cost := 0, int64(infinite)
		for k := range nd.size {
			s.sol[at] = k
			if f := s.price(at); f < cost {
				best, cost = k, f
			}
		}
		s.sol[at] = best
	}
	return s.byVariable(s.sol)
}

// price is the least that the subtree can cost with the state that its root has in sol.
func (s *search) price(at int) int64 {
	nd := &s.nodes[at]
	var sum int64
	for _, l := range nd.own {
		sum += l.read(s.sol)
	}
	for _, c := range nd.children {
		sum += s.above(c)
	}
	s.work += int64(len(nd.own) + 1)
	return sum
}

// byVariable returns states by place as states by variable.
func (s *search) byVariable(sol []int) []int {
	out := make([]int, len(sol))
	for v, at := range s.place {
		out[v] = sol[at]
	}
	return out
}

// look searches for a choice cheaper than the improver's, spending at most work, hands it over and
// returns a proven bound.
func (s *search) look(im *improver, work int64) int64 {
	keep := s.limit
	s.limit = min(keep, s.work+work)
	s.value = nil
	got, _ := s.solve(0, im.cost*grain-grain+1)
	s.limit = keep
	if s.value != nil {
		im.start(s.value)
	}
	return min(up(got), im.cost)
}

// solve returns the cost of the subtree at a place, exactly and with its states in sol, if it is less
// than limit; else a lower bound, which is at least limit unless the work ran out.
func (s *search) solve(at int, limit int64) (int64, bool) {
	nd := &s.nodes[at]
	s.visits++
	var known *cached
	if nd.wide != nil {
		k := 0
		for i, p := range nd.near {
			k += nd.reach[i] * s.sol[p]
		}
		known = nd.wide[uint64(k)]
		if known == nil && s.kept < mostKept {
			known = &cached{bound: -infinite}
			nd.wide[uint64(k)] = known
			s.kept++
		}
		s.work += 8
		if known != nil {
			if known.value != nil {
				known.write(s.sol[at:nd.until])
				return known.bound, known.bound < limit
			}
			if known.bound >= limit {
				return known.bound, false
			}
		}
	} else if nd.known > 0 {
		if nd.cache == nil {
			nd.cache = make([]cached, nd.known)
			for k := range nd.cache {
				nd.cache[k].bound = -infinite
			}
		}
		k := 0
		for i, p := range nd.near {
			k += nd.reach[i] * s.sol[p]
		}
		known = &nd.cache[k]
		if known.value != nil {
			known.write(s.sol[at:nd.until])
			return known.bound, known.bound < limit
		}
		if known.bound >= limit {
			return known.bound, false
		}
	}
	type option struct {
		state int
		cost  int64
	}
	var room [8]option
	options := room[:0]
	for k := range nd.size {
		s.sol[at] = k
		f := s.price(at)
		options = append(options, option{k, f})
	}
	slices.SortStableFunc(options, func(a, b option) int {
		switch {
		case a.cost < b.cost:
			return -1
		case a.cost > b.cost:
			return 1
		}
		return 0
	})
	best, floor := limit, int64(infinite)
	found := false
	for _, op := range options {
		if op.cost >= best || s.work >= s.limit {
			floor = min(floor, op.cost)
			continue
		}
		s.sol[at] = op.state
		total, done := op.cost, true
		for _, c := range nd.children {
			h := s.above(c)
			got, exact := s.solve(c, best-(total-h))
			total += max(got-h, 0)
			if !exact {
				done = false
				if total >= best || s.work >= s.limit {
					break
				}
			}
		}
		if done && total < best {
			best, found = total, true
			copy(nd.buffer, s.sol[at:nd.until])
			if at == 0 {
				s.value = s.byVariable(s.sol)
			}
		} else {
			floor = min(floor, total)
		}
	}
	if found && floor >= best {
		copy(s.sol[at:nd.until], nd.buffer)
		if known != nil {
			known.bound, known.value = best, states(nd.buffer)
		}
		return best, true
	}
	floor = min(floor, best)
	if known != nil {
		known.bound = max(known.bound, floor)
	}
	return floor, false
}

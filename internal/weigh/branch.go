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

// rooms is how large the tables are that costs are shifted between, one after the other: about 5, 7, 10, 11 and 12 variables of three states.
var rooms = [...]int64{1 << 8, 1 << 12, 60_000, 180_000, 540_000}

// search is a depth-first search with bounds over a part that is too wide to eliminate.
//
// The variables form a tree: above each stand those it hangs together with when it is taken out, so
// that its subtrees are independent once all above it are decided. They are numbered by their places in it.
type search struct {
	place  []int // place[v] of each variable of the part
	size   []int
	tables []*table // with least entry 0, in units
	unit   int64    // every cost is a multiple of it, less base
	base   int64
	width  int
	nodes  []node // by place: a subtree is a run of places, its root first
	floor  int64  // in grains: what every choice costs beside the nodes' tables
	sol    []int
	value  []int // the cheapest choice that look has found
	limit  int64
	work   int64
	visits int64
	kept   int // choices kept in maps
}

// node is a variable in the tree of the search.
type node struct {
	until    int // end of its subtree's run of places
	children []int
	own      []*table // decided with this variable, which comes last in them; none of their entries is less than 0
	near     []int    // places of the variables above that matter below
	reach    []int    // and their multipliers in cache
	known    int      // how many choices above it are told apart in cache; 0: too many
	cache    []cached // made when first needed
	wide     map[uint64]*cached
	buffer   []int
	options  []option
}

// option is a state and what it adds to the bound.
type option struct {
	state int
	cost  int64
}

// cached is what is known of a subtree for one choice above it.
type cached struct {
	bound int64   // at least so much
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

// newSearch builds the tree and numbers the variables by their places in it.
func newSearch(p *part, o *order, work int64) *search {
	s := &search{width: o.width, limit: work}
	s.tree(p, o)
	for _, t := range p.tables {
		lo := slices.Min(t.cost)
		s.base += lo
		for _, c := range t.cost {
			s.unit = gcd(s.unit, c-lo)
		}
	}
	s.unit = max(s.unit, 1)
	for _, t := range p.tables {
		lo := slices.Min(t.cost)
		moved := &table{over: make([]int, len(t.over)), cost: make([]int64, len(t.cost))}
		for i, v := range t.over {
			moved.over[i] = s.place[v]
		}
		for k, c := range t.cost {
			moved.cost[k] = (c - lo) / s.unit
		}
		s.tables = append(s.tables, add(slices.Sorted(slices.Values(moved.over)), s.size, []*table{moved}))
	}
	return s
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// tree hangs each variable under the next one it is connected with when it is taken out.
func (s *search) tree(p *part, o *order) {
	n := len(p.size)
	under := make([][]int, n)
	root := o.vars[n-1]
	for i := n - 2; i >= 0; i-- {
		v := o.vars[i]
		under[o.near[v][0]] = append(under[o.near[v][0]], v)
	}
	s.place = make([]int, n)
	s.sol = make([]int, n)
	s.nodes = make([]node, 0, n)
	var hang func(v int) int
	hang = func(v int) int {
		at := len(s.nodes)
		s.place[v] = at
		s.size = append(s.size, p.size[v])
		s.nodes = append(s.nodes, node{})
		var children []int
		for _, w := range under[v] {
			children = append(children, hang(w))
		}
		nd := &s.nodes[at]
		nd.children, nd.until, nd.buffer = children, len(s.nodes), make([]int, len(s.nodes)-at)
		nd.options = make([]option, p.size[v])
		reach := 1
		for _, w := range o.near[v] {
			nd.near, nd.reach = append(nd.near, s.place[w]), append(nd.reach, reach)
			if reach > 1<<56 {
				reach = 0
				break
			}
			reach *= p.size[w]
		}
		if reach > mostCached && nd.until-at > 1 {
			nd.wide = map[uint64]*cached{}
		}
		if reach > 0 && reach <= mostCached {
			nd.known = reach
		}
		return at
	}
	hang(root)
}

// run improves a first solution, then raises the bound and searches until they meet or the work is done.
func (s *search) run() solution {
	im := newImprover(s.size, s.tables)
	im.start(make([]int, len(s.size)))
	var bound int64
	tables := make([]*table, len(s.tables))
	for i, t := range s.tables {
		tables[i] = t.times(grain)
	}
	for k, room := range rooms {
		c := newClusters(s.size, tables, room)
		if k > 0 && s.work+im.work+2*c.work() > s.limit*7/8 {
			break
		}
		s.work += c.run(s.limit*7/8-s.work-im.work, im.cost*grain-s.floor)
		tables = c.tables
		s.take(c)
		bound = max(bound, up(s.floor))
		im.from(s.dive(), s.limit/16)
		if bound = max(bound, s.look(im, bound, s.limit/64)); bound >= im.cost {
			break
		}
	}
	if bound < im.cost {
		bound = max(bound, s.look(im, bound, s.limit-s.work-im.work))
	}
	im.lower()
	out := solution{bound: s.base + min(bound, im.cost)*s.unit, optimal: bound >= im.cost, width: s.width, nodes: s.visits, work: s.work + im.work}
	for _, at := range s.place {
		out.value = append(out.value, im.value[at])
	}
	return out
}

// take makes the tables of the clusters those of the search. What was known by others is forgotten.
func (s *search) take(c *clusters) {
	s.floor, s.kept = s.floor+c.floor, 0
	for i := range s.nodes {
		nd := &s.nodes[i]
		nd.own, nd.cache = c.of[i], nil
		clear(nd.wide)
	}
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
		s.sol[at] = s.options(at)[0].state
	}
	return slices.Clone(s.sol)
}

// options are the states of the variable at a place with what each adds to the bound, given those above, the least first.
func (s *search) options(at int) []option {
	nd := &s.nodes[at]
	n := s.size[at]
	out := nd.options[:n]
	for k := range out {
		out[k] = option{state: k}
	}
	for _, t := range nd.own {
		row := 0
		for _, p := range t.over[:len(t.over)-1] {
			row = row*s.size[p] + s.sol[p]
		}
		for k, c := range t.cost[row*n : row*n+n] {
			out[k].cost += c
		}
	}
	for k := 1; k < n; k++ {
		for i := k; i > 0 && out[i].cost < out[i-1].cost; i-- {
			out[i], out[i-1] = out[i-1], out[i]
		}
	}
	s.work += int64(len(nd.own) + 1)
	return out
}

// look searches for a choice cheaper than the improver's, spending at most work, hands it over and
// returns a proven bound. It asks for little above the bound first: what is proven stays known.
func (s *search) look(im *improver, bound, work int64) int64 {
	keep := s.limit
	s.limit = min(keep, s.work+work)
	for bound < im.cost && s.work < s.limit {
		goal := min(im.cost, bound+(im.cost-bound+3)/4)
		s.value = nil
		got, found := s.solve(0, goal*grain-grain+1-s.floor)
		bound = max(bound, min(goal, up(got+s.floor)))
		if s.value != nil {
			im.start(s.value)
		}
		if found {
			bound = im.cost
		}
	}
	s.limit = keep
	return min(bound, im.cost)
}

// solve returns the cost of the subtree at a place, exactly and with its states in sol, if it is less
// than limit; else a lower bound, which is at least limit unless the work ran out.
func (s *search) solve(at int, limit int64) (int64, bool) {
	nd := &s.nodes[at]
	s.visits++
	known := s.known(nd)
	if known != nil {
		if known.value != nil {
			known.write(s.sol[at:nd.until])
			return known.bound, known.bound < limit
		}
		if known.bound >= limit {
			return known.bound, false
		}
	}
	best, floor := limit, int64(infinite)
	found := false
	for _, op := range s.options(at) {
		if op.cost >= best || s.work >= s.limit {
			floor = min(floor, op.cost)
			continue
		}
		s.sol[at] = op.state
		total, done := op.cost, true
		for _, c := range nd.children {
			got, exact := s.solve(c, best-total)
			total += got
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
				s.value = slices.Clone(s.sol)
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

// known is what is known of the node's subtree for the choice above it, nil where that is not kept.
func (s *search) known(nd *node) *cached {
	if nd.wide == nil && nd.known == 0 {
		return nil
	}
	k := 0
	for i, p := range nd.near {
		k += nd.reach[i] * s.sol[p]
	}
	if nd.wide == nil {
		if nd.cache == nil {
			nd.cache = make([]cached, nd.known)
		}
		return &nd.cache[k]
	}
	s.work += 8
	known := nd.wide[uint64(k)]
	if known == nil && s.kept < mostKept {
		known = &cached{}
		nd.wide[uint64(k)] = known
		s.kept++
	}
	return known
}

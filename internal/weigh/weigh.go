// Package weigh finds the cheapest joint choice in a network of small choices and costs.
//
// What goes in is a Net: variables with a few states each, and tables that give a cost for every
// combination of states of a few variables. What comes out is one state for every variable, the
// sum of all costs, and a lower bound that is proven. It knows nothing of what the choices are
// about; package press uses it to choose which way seams are pressed.
//
// The work is limited by counting it, never by time, so the same net gives the same answer on every
// machine. The steps, each in a file of its own:
//
//  1. reduce: tables over the same variables are added up, states that another state is never worse
//     than are dropped, decided variables are taken out, what does not hang together is split.
//  2. eliminate: a part whose tables stay small along a min-fill order is solved by eliminating one
//     variable after the other (chains and trees included).
//  3. branch: any other part is searched depth first along a tree of variables, starting from a solution that improve has found.
//     Before, clusters shifts costs between larger and larger tables, which bound every subtree from below.
//
// Two variables that would rather differ:
//
//	var n weigh.Net
//	a, b := n.Variable(2), n.Variable(2)
//	n.Add([]int{a, b}, []int64{5, 0, 0, 5}) // rows: a = 0, then a = 1
//	r := weigh.Solve(&n, weigh.Normal)      // r.Value is [0 1], r.Cost 0, r.Optimal true
package weigh

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Net is a cost network. The zero value has no variables and costs nothing.
type Net struct {
	Size   []int // how many states each variable has, at least one
	Tables []Table
}

// Table gives a cost for each combination of states of the variables it is over. Cost is in
// counting order: the state of the last variable changes fastest.
type Table struct {
	Over []int // variable numbers, each at most once; any order
	Cost []int64
}

// Never is a cost that no choice of lesser costs outweighs. A result that costs Never or more has
// broken a rule because it had to. Costs above it count as Never.
const Never int64 = 1 << 40

// Effort is how much counted work Solve may spend: roughly, table entries looked at.
type Effort int64

// The usual efforts: a tenth of a second, two seconds, a minute at most on a slow machine.
const (
	Quick    Effort = 1_250_000
	Normal   Effort = 60_000_000
	Thorough Effort = 1_200_000_000
)

// Result is a choice of states and what is known about it.
type Result struct {
	Value   []int // state of each variable
	Cost    int64 // the sum of all tables at Value
	Bound   int64 // proven: no choice costs less
	Optimal bool  // Bound equals Cost
	Width   int   // most variables that hung together when one was taken out, over all parts
	Nodes   int64 // search nodes visited; 0 where no search was needed
	Work    int64 // counted work
}

// Variable adds a variable with the given number of states and returns its number.
func (n *Net) Variable(states int) int {
	if states < 1 {
		panic(fmt.Sprintf("weigh: a variable needs at least one state, not %d", states))
	}
	n.Size = append(n.Size, states)
	return len(n.Size) - 1
}

// Add adds a table of costs over variables: len(cost) is the product of their sizes, the state of
// the last variable changes fastest. Both slices are kept, not copied.
func (n *Net) Add(over []int, cost []int64) {
	n.Tables = append(n.Tables, Table{Over: over, Cost: cost})
	if err := n.checkTable(len(n.Tables) - 1); err != nil {
		panic("weigh: " + err.Error())
	}
}

// Check says what is wrong with the shape of the net: nil when Solve can take it.
func (n *Net) Check() error {
	for i, s := range n.Size {
		if s < 1 || s > 255 {
			return fmt.Errorf("variable %d has %d states; 1 to 255 are possible", i, s)
		}
	}
	for i := range n.Tables {
		if err := n.checkTable(i); err != nil {
			return err
		}
	}
	return nil
}

func (n *Net) checkTable(i int) error {
	t := n.Tables[i]
	want := 1
	for k, v := range t.Over {
		if v < 0 || v >= len(n.Size) {
			return fmt.Errorf("table %d is over variable %d; there are %d", i, v, len(n.Size))
		}
		for _, w := range t.Over[:k] {
			if w == v {
				return fmt.Errorf("table %d names variable %d twice", i, v)
			}
		}
		want *= n.Size[v]
		if want > 1<<24 {
			return fmt.Errorf("table %d over %d variables is too large", i, len(t.Over))
		}
	}
	if len(t.Cost) != want {
		return fmt.Errorf("table %d has %d costs; its variables have %d combinations", i, len(t.Cost), want)
	}
	return nil
}

// Cost is what a choice of states costs. Never stands for any single cost above it.
func (n *Net) Cost(value []int) int64 {
	var sum int64
	for _, t := range n.Tables {
		k := 0
		for _, v := range t.Over {
			k = k*n.Size[v] + value[v]
		}
		sum += min(t.Cost[k], Never)
	}
	return sum
}

// Solve finds a cheapest choice of states for the whole net within the effort.
//
// Properties: (1) Cost is the cost of Value; (2) no choice costs less than Bound; (3) Optimal says
// that Bound equals Cost, and holds wherever the effort sufficed; (4) among equally cheap choices
// the one with the smaller states, earlier variables first, is preferred: strictly so in parts with
// few combinations (their product fits the spare bits of a cost), roughly so elsewhere; (5) equal
// nets and efforts give equal results.
//
// A net that Check refuses is a programming error and panics.
func Solve(n *Net, effort Effort) Result {
	if err := n.Check(); err != nil {
		panic("weigh: " + err.Error())
	}
	res := Result{Value: make([]int, len(n.Size)), Optimal: true}
	r := newReduced(n)
	r.run()
	bound := r.constant
	parts := r.parts()
	var easy, hard []int
	orders := make([]*order, len(parts))
	for i, p := range parts {
		if orders[i] = minFill(p.size, p.tables); orders[i].easy(int64(effort)) {
			easy = append(easy, i)
		} else {
			hard = append(hard, i)
		}
	}
	slices.SortStableFunc(hard, func(a, b int) int { return cmp.Compare(orders[a].work, orders[b].work) })
	left := int64(effort)
	for k, i := range append(easy, hard...) {
		// Parts that need a search share what is left; one may use what the ones before it left over.
		share := left
		if k >= len(easy) {
			share /= int64(len(parts) - k)
		}
		p, s := parts[i], parts[i].solve(orders[i], share)
		left = max(left-s.work, int64(effort)/64)
		for k, v := range p.vars {
			res.Value[v] = r.state[v][s.value[k]]
		}
		bound += s.bound
		res.Optimal = res.Optimal && s.optimal
		res.Width = max(res.Width, s.width)
		res.Nodes += s.nodes
		res.Work += s.work
	}
	for v := range n.Size {
		if len(r.state[v]) == 1 {
			res.Value[v] = r.state[v][0]
		}
	}
	res.Cost = n.Cost(res.Value)
	res.Bound = min(bound, res.Cost)
	if res.Optimal {
		res.Bound = res.Cost
	}
	res.Optimal = res.Bound == res.Cost
	return res
}

// infinite is larger than any sum of costs that can occur.
const infinite = math.MaxInt64 / 4

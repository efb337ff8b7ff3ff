// Package guillotine lays rectangles on a strip of fixed width, or on sheets, so that a blade that
// only cuts from edge to edge can take them off.
//
// All measures are whole numbers of some grid; it knows nothing of what is cut. In two stages the
// stock is first cut across into strips, then each strip into segments; a rectangle lower than its
// strip is trimmed. In three stages a segment may be cut across once more, into rectangles one above the
// other, each trimmed in width, and no strip is higher than the tallest rectangle as it may lie. Lay wants the
// shortest length, LaySheets the fewest sheets. Both state a lower bound that is proven for exactly these rules.
//
// The work is limited by counting it, so that equal problems have equal layouts everywhere:
//
//   - a layout is built strip by strip, each the fullest that still holds the tallest rectangle left;
//   - column generation prices strips (the duals of a linear program set the worth of each rectangle, a
//     knapsack finds the strips worth more than their height) and proves the bound;
//   - a dive rounds what the program says and prices again for what is left;
//   - branching on the number of strips of a height or more raises the bound;
//   - a few strips at a time are taken out of the best layout and laid anew;
//   - among layouts as long, one that is easier to cut: fewer strips, fewer heights, fewer trims (two stages).
//
// A bound never rests on the program's floating numbers: its duals are rounded to whole numbers, the knapsack says in
// whole numbers by how much they are too high, and they are divided by that. Lists of more than 250 kinds are laid
// by shelves, with the area as their bound.
//
// Two rectangles side by side on cloth 42 wide:
//
//	l, err := guillotine.Lay(guillotine.Problem{Width: 42, Items: []guillotine.Item{{W: 20, H: 30, Count: 2}}})
//	// l.Length is 30, l.Optimal true
package guillotine

import (
	"fmt"
	"math"
)

// Item is Count equal rectangles, W across the width and H along the length. Turn says that each may
// also lie a quarter turn round.
type Item struct {
	W, H  int64
	Count int
	Turn  bool
}

// Effort is how much counted work may be spent: one of those named here, or, above them, the work itself.
type Effort int64

// Quick is for answers while someone is drawing (about a millisecond), Normal for a result (half a second at most), Thorough for a
// proof. Second is about a second's work.
const (
	Quick    Effort = 0
	Normal   Effort = 1
	Thorough Effort = 2
	Second   Effort = 120_000_000
)

// work is how much is counted at most.
func (e Effort) work() int64 {
	switch e {
	case Quick:
		return 100_000
	case Normal:
		return int64(Second / 2)
	case Thorough:
		return int64(20 * Second)
	}
	return max(0, int64(e))
}

// Problem is a list of rectangles to be laid on a strip Width wide.
type Problem struct {
	Width  int64
	Items  []Item
	Stages int   // 2 or 3; 0 means 2
	Goal   int64 // only a layout no longer than this is of use, so that the search ends where there is none; 0: any is
	Effort Effort
}

// Layout is how they are laid.
type Layout struct {
	Strips  []Strip // highest first
	Length  int64   // the sum of all strips' heights
	Bound   int64   // no layout of as many stages is shorter
	Optimal bool    // Bound equals Length
	Work    int64   // counted work
	Shelves bool    // there are so many kinds that they are laid by shelves only
}

// Strip is Count equal strips across the width.
type Strip struct {
	Height int64
	Count  int
	Cuts   []Cut // from the left, the highest first
	Left   int64 // width left over at the right
}

// Cut is Count equal segments side by side, each Width wide.
type Cut struct {
	Width int64
	Count int
	Parts []Part // from the top; what is left below them is waste
}

// Part is Count equal rectangles one above the other in a segment. A part narrower than its segment,
// and a single one lower than its strip, is trimmed.
type Part struct {
	Item   int
	Turned bool
	Count  int
}

// TooWide says that a rectangle fits across the stock neither way.
type TooWide struct {
	Item  int
	W, H  int64
	Width int64
}

func (e *TooWide) Error() string {
	return fmt.Sprintf("rectangle %d of %d by %d does not fit across %d", e.Item, e.W, e.H, e.Width)
}

// The largest numbers that are taken.
const (
	mostWidth = 1 << 16
	mostSide  = 1 << 20
	mostCount = 1 << 20
)

// Lay lays all items on a strip of the problem's width and free length.
//
// Properties: (1) every item is laid exactly Count times; (2) Bound is at least the area bound, never
// above the least length possible in as many stages; (3) equal problems give equal layouts; (4) no
// item gives no strips and length 0. A *TooWide error names an item that fits neither way.
func Lay(p Problem) (Layout, error) {
	s, err := newStock(p.Width, p.Items)
	if err != nil {
		return Layout{}, err
	}
	if p.Stages != 0 && p.Stages != 2 && p.Stages != 3 {
		return Layout{}, fmt.Errorf("%d stages; 2 or 3 are possible", p.Stages)
	}
	if len(s.kinds) == 0 {
		return Layout{Optimal: true}, nil
	}
	need := counts(p.Items)
	if s.large() {
		l := s.finish(s.shelves(need), s.areaBound(need))
		l.Shelves = true
		return l, nil
	}
	best := s.build(need)
	bound := s.stripBound(need)
	if p.Stages == 3 {
		s.stages = 3
		bound = s.areaBound(need)
		if three := s.buildThree(need); three.length() < best.length() {
			best = three
		}
	}
	if bound < best.length() {
		goal := int64(math.MaxInt64 - 1)
		if p.Goal > 0 {
			goal = p.Goal
		}
		best, bound = s.generate(need, best, bound, goal, p.Effort.work())
	}
	return s.finish(s.tidy(best), bound), nil
}

// finish is the layout of a plan, with what is proven about it.
func (s *stock) finish(p plan, bound int64) Layout {
	l := s.split(p).layout(s)
	l.Bound = min(bound, l.Length)
	l.Optimal = l.Bound == l.Length
	l.Work = s.work
	return l
}

// Package forecast sews a plan many times, as people do: cut a little wrong, sewn a little too deep or not deep enough, and pressed so
// that each fold takes up some cloth. It says what size the blocks come out, how often they are near enough, and what would help.
//
// It reads a plan and carries its recipes out on the table of internal/cloth, as prove does; it knows no method by name and no formula of
// a cut size. What can go wrong:
//
//   - Cutting: every raw edge of a piece lies out of its printed place by an error of its own, so that the size between two edges has the
//     spread Options.Cutting. Cuts through sewn cloth, and the ruler that trims, have the same.
//   - Sewing: every stitch lies SeamBias deeper than printed, and by an error of its own with the spread SeamScatter.
//   - Pressing: every pressed seam loses TakeUp over its fold, half on either side, so that it comes out as if sewn half of that deeper.
//
// How uneven edges are eased: two sides of a seam that are not as long as each other are matched at the places that belong together, and
// the longer one is eased in over the whole length. So where two rows are joined, the block is as wide as they are in the mean, by their
// heights. Where several raw edges along one side are uneven, the seam keeps its distance from their mean. A seam whose two sides lie in
// place already (the rest of a partial seam, a later side of a set-in patch) draws both sides together, and the edges beside it in by as much,
// in the mean over their length.
// A unit that is trimmed comes out at its size if it was large enough; one that is too small stays as small as it is.
//
// For speed a recipe is carried out on the table only once for every number it depends on. All of them are displacements of straight edges
// that stay parallel, so what comes out depends on them in proportion, except where a trim has nothing to cut off, and that is decided anew
// in each sewing. The tests sew 200 blocks of each example through on the table itself and compare.
//
// Sizes are those of sewn blocks that are not yet in the quilt, raw edge to raw edge. Errors come from a seeded generator and sewings are
// counted: equal plans and options give equal forecasts.
package forecast

import (
	"math"
	"slices"

	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// Options say how well someone works. Lengths are in the plan's measure; spreads are standard deviations.
type Options struct {
	Cutting     float64 `json:"cutting"`     // spread of a cut size
	SeamBias    float64 `json:"seamBias"`    // every seam is so much deeper than printed
	SeamScatter float64 `json:"seamScatter"` // spread from seam to seam
	TakeUp      float64 `json:"takeUp"`      // what a pressed seam loses over its fold, both sides together
	Near        float64 `json:"near"`        // how far out of its size a block may be
	Sewings     int     `json:"sewings"`     // of each block
	Seed        uint64  `json:"seed"`
}

// Defaults are the options for a plan. docs/craft.md, "Human error", says where they come from.
func Defaults(p *plan.Plan) Options {
	o := Options{Cutting: 1.0 / 64, SeamScatter: 1.0 / 64, TakeUp: 1.0 / 32, Near: 1.0 / 8, Sewings: 10_000, Seed: 1}
	if p != nil && p.Measure == "cm" {
		o.Cutting, o.SeamScatter, o.TakeUp, o.Near = 0.04, 0.04, 0.08, 0.3
	}
	return o
}

// Forecast is what is to be expected of a plan.
type Forecast struct {
	Options Options `json:"options"`
	Measure string  `json:"measure"`
	Seam    float64 `json:"seam"`  // as printed
	Scant   float64 `json:"scant"` // sewn so deep, the blocks come out at their size in the mean
	Blocks  []Block `json:"blocks"`
}

// Block is what is to be expected of one block.
type Block struct {
	ID         string   `json:"id"`
	Name       string   `json:"name"`
	Unit       string   `json:"unit"`
	Made       int      `json:"made"`
	Width      Size     `json:"width"`
	Height     Size     `json:"height"`
	Within     float64  `json:"within"`           // the chance that width and height are both within Near of their size
	Scant      float64  `json:"scant"`            // the seam that brings this block to its size in the mean
	WithScant  float64  `json:"withScant"`        // the chance with the seam that the forecast as a whole names
	TypicalOut float64  `json:"typicallyOut"`     // how far out a side is: the root of the mean square
	Steps      []Effect `json:"steps"`            // what is done wrong, the one that matters most first
	MakeLarge  []Larger `json:"makeLarge"`        // units that should be made large and trimmed, the one that helps most first
	Failed     string   `json:"failed,omitempty"` // why this block could not be sewn; then the rest is nothing
}

// Size is one direction of a block, raw edge to raw edge.
type Size struct {
	Exact  float64 `json:"exact"`
	Mean   float64 `json:"mean"`
	Spread float64 `json:"spread"`
	Low    float64 `json:"p05"` // one in twenty is smaller
	High   float64 `json:"p95"` // and one in twenty larger
}

// Does says what a step is.
type Does string

// What can be done wrong.
const (
	Cutting  Does = "cut"       // cutting the piece
	Sewing   Does = "sew"       // sewing and pressing the seams of the unit
	Apart    Does = "cut apart" // cutting what was sewn, to get the unit
	Trimming Does = "trim"      // trimming the unit
)

// Step is one kind of work of a block.
type Step struct {
	Does  Does   `json:"does"`
	Unit  string `json:"unit,omitempty"`
	Piece string `json:"piece,omitempty"`
}

// Effect is what a step does to the size of the block, width and height in the mean.
type Effect struct {
	Step
	Seams   int     `json:"seams,omitempty"` // that are sewn in the step, in one block
	Shift   float64 `json:"shift"`           // how much larger the block would come out if only this step were done wrong
	Spread  float64 `json:"spread"`          // and the spread from that alone
	Without float64 `json:"without"`         // what TypicalOut would be if this step alone were done exactly
}

// Larger is a unit that should be made large and trimmed.
type Larger struct {
	Unit    string  `json:"unit"`
	Within  float64 `json:"within"` // the chance when it is
	Without float64 `json:"typicallyOut"`
}

// comparisons are how many sewings it takes to compare one way of working with another: both are sewn with the same errors.
const comparisons = 600

// Of forecasts a plan: every block, in the plan's order. A block that cannot be sewn says why. Of a plan without blocks nothing is said;
// a nil plan counts as such. Options below zero count as zero, no sewings as one.
func Of(p *plan.Plan, o Options) *Forecast {
	o.Cutting, o.SeamScatter, o.TakeUp = max(o.Cutting, 0), max(o.SeamScatter, 0), max(o.TakeUp, 0)
	o.Sewings = max(o.Sewings, 1)
	out := &Forecast{Options: o, Blocks: []Block{}}
	if p == nil {
		return out
	}
	out.Measure, out.Seam = p.Measure, float64(p.Seam)
	s := newShop(p, o)
	var works []*work
	sum, weight := 0.0, 0.0
	for i := range p.Blocks {
		b := &p.Blocks[i]
		w, err := s.block(b)
		if err != nil {
			works = append(works, nil)
			out.Blocks = append(out.Blocks, Block{ID: b.ID, Name: b.Name, Unit: b.Unit, Made: b.Made, Failed: err.Error(), Steps: []Effect{}, MakeLarge: []Larger{}})
			continue
		}
		works = append(works, w)
		one := w.forecast()
		out.Blocks = append(out.Blocks, one)
		made := float64(max(b.Made, 1))
		sum, weight = sum+made*one.Scant, weight+made
	}
	if weight > 0 {
		out.Scant = sum / weight
	}
	for i, w := range works {
		if w != nil {
			out.Blocks[i].WithScant = w.try(way{scant: out.Scant - out.Seam, sewings: comparisons}).within
		}
	}
	return out
}

// work is a block in the shop.
type work struct {
	s     *shop
	b     *plan.Block
	u     *unit
	seams map[int]int  // of one block: seams by step
	steps []int        // that it has, rising
	sides [2][]float64 // how much each edge of the unit counts for the width, the height
	units []*unit      // in it, without patches and itself
}

// block sets a block up.
func (s *shop) block(b *plan.Block) (*work, error) {
	u, err := s.unit(b.Unit)
	if err != nil {
		return nil, err
	}
	w := &work{s: s, b: b, u: u, seams: map[int]int{}}
	w.walk(u)
	for k := range w.seams {
		w.steps = append(w.steps, k)
	}
	slices.Sort(w.steps)
	for k := range w.sides {
		w.sides[k] = make([]float64, len(u.outline))
	}
	var long [2][2]float64
	for pass := range 2 {
		for i, a := range u.outline {
			c := u.outline[(i+1)%len(u.outline)]
			n := flat.Outward(flat.Direction(a, c))
			for k := range w.sides {
				far := 0
				if n[k] > 0 {
					far = 1
				}
				if math.Abs(n[k]) < 0.999 {
					continue
				}
				if pass == 0 {
					long[k][far] += flat.Distance(a, c)
				} else {
					w.sides[k][i] = flat.Distance(a, c) / long[k][far]
				}
			}
		}
	}
	if b.Lie != nil {
		if turn := math.Mod(math.Abs(float64(b.Lie.Turn)), 180); turn > 45 && turn < 135 {
			w.sides[0], w.sides[1] = w.sides[1], w.sides[0]
		}
	}
	return w, nil
}

// walk counts what is in a unit, every time that it is.
func (w *work) walk(u *unit) {
	if u.m == nil {
		w.seams[u.cut] += 0
		return
	}
	if u != w.u && !slices.Contains(w.units, u) {
		w.units = append(w.units, u)
	}
	w.seams[u.trimming] += 0
	for i, part := range u.m.parts {
		if part.unit != nil {
			w.walk(part.unit)
		} else {
			w.seams[u.cuts[i]] += 0
		}
	}
	for _, in := range u.m.inputs {
		switch in.kind {
		case ofSeam:
			w.seams[u.seams]++
		case ofCut, ofWidth:
			w.seams[u.apart] += 0
		}
	}
}

// way is a way of working.
type way struct {
	scant   float64 // the needle is moved by so much
	only    int     // step that is done wrong, counted from 1, where no other is; 0: all are
	but     int     // step that is done exactly, counted from 1
	large   string  // unit that is made large and trimmed
	sewings int
	table   bool
}

// tried is what came out.
type tried struct {
	mean   float64 // of width and height: how much larger
	spread float64
	out    float64 // root of the mean square
	within float64
	sizes  [2][]float64 // of every sewing: how much wider, how much higher
	err    error
}

// try sews the block.
func (w *work) try(how way) tried {
	seamstress := &sewer{shop: w.s, chance: chance{w.s.o.Seed}, table: how.table, scant: how.scant, wrong: make([]float64, len(w.s.steps))}
	for k := range seamstress.wrong {
		if how.only == 0 || how.only == k+1 {
			seamstress.wrong[k] = 1
		}
	}
	if how.but > 0 {
		seamstress.wrong[how.but-1] = 0
	}
	if how.large != "" {
		seamstress.large = map[string]bool{how.large: true}
	}
	var t tried
	edges := make([]float64, len(w.u.outline))
	sum, square, near := 0.0, 0.0, 0
	for k := range t.sizes {
		t.sizes[k] = make([]float64, 0, how.sewings)
	}
	for range how.sewings {
		seamstress.make(w.u, edges)
		var by [2]float64
		for k, side := range w.sides {
			for i, part := range side {
				by[k] += part * edges[i]
			}
			t.sizes[k] = append(t.sizes[k], by[k])
		}
		sum += by[0] + by[1]
		square += by[0]*by[0] + by[1]*by[1]
		if math.Abs(by[0]) <= w.s.o.Near && math.Abs(by[1]) <= w.s.o.Near {
			near++
		}
	}
	n := float64(how.sewings)
	t.mean, t.out, t.within = sum/2/n, math.Sqrt(square/2/n), float64(near)/n
	t.spread = math.Sqrt(max(0, square/2/n-t.mean*t.mean))
	t.err = seamstress.err
	return t
}

// forecast sews the block as it is, and in all the ways that may be better.
func (w *work) forecast() Block {
	s := w.s
	all := w.try(way{sewings: s.o.Sewings})
	b := Block{ID: w.b.ID, Name: w.b.Name, Unit: w.b.Unit, Made: w.b.Made, Within: all.within, TypicalOut: all.out, Steps: []Effect{}, MakeLarge: []Larger{}}
	b.Width = sizeOf(float64(w.b.Finished.Width)+2*s.seam, all.sizes[0])
	b.Height = sizeOf(float64(w.b.Finished.Height)+2*s.seam, all.sizes[1])
	exact := w.try(way{only: -1, sewings: 1}).mean // what only rounding does
	usual := w.try(way{sewings: comparisons})
	b.Scant = s.seam + w.correct(usual.mean)
	for _, k := range w.steps {
		alone := w.try(way{only: k + 1, sewings: comparisons})
		if alone.spread < 1e-9 && math.Abs(alone.mean-exact) < 1e-9 {
			continue
		}
		b.Steps = append(b.Steps, Effect{Step: s.steps[k], Seams: w.seams[k], Shift: alone.mean - exact, Spread: alone.spread, Without: w.try(way{but: k + 1, sewings: comparisons}).out})
	}
	slices.SortStableFunc(b.Steps, func(x, y Effect) int { return compare(x.Without, y.Without) })
	for _, u := range w.units {
		if u.m.trims || u.Kind == "row" || len(u.outline) != 4 || slices.Contains(u.against, -1) {
			continue // a ruler squares up a rectangle; a row is only as large as its units
		}
		if t := w.try(way{large: u.ID, sewings: comparisons}); t.out < worth*usual.out {
			b.MakeLarge = append(b.MakeLarge, Larger{Unit: u.ID, Within: t.within, Without: t.out})
		}
	}
	slices.SortStableFunc(b.MakeLarge, func(x, y Larger) int { return compare(x.Without, y.Without) })
	return b
}

// worth: a unit is worth trimming where that takes a tenth off what the block is typically out.
const worth = 0.9

// correct is how much deeper to sew, so that the block comes out at its size in the mean. It is nothing where that has no effect, and never
// more than half a seam.
func (w *work) correct(mean float64) float64 {
	by, step := 0.0, -w.s.o.TakeUp/2-w.s.seam/64
	for range 6 {
		if math.Abs(mean) < 1e-6 {
			break
		}
		now := w.try(way{scant: by + step, sewings: comparisons}).mean
		if math.Abs(now-mean) < 1e-9 {
			break
		}
		next := by + step - now*step/(now-mean)
		by, mean = by+step, now
		if step = next - by; math.Abs(step) < 1e-7 {
			break
		}
	}
	return max(-w.s.seam/2, min(w.s.seam/2, by))
}

// sizeOf sums up how much larger than exact each sewing came out.
func sizeOf(exact float64, by []float64) Size {
	sorted := slices.Clone(by)
	slices.Sort(sorted)
	n := len(sorted)
	sum, square := 0.0, 0.0
	for _, x := range sorted {
		sum += x
	}
	mean := sum / float64(n)
	for _, x := range sorted {
		square += (x - mean) * (x - mean)
	}
	return Size{Exact: exact, Mean: exact + mean, Spread: math.Sqrt(square / float64(n)), Low: exact + sorted[n/20], High: exact + sorted[n-1-n/20]}
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

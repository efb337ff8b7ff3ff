package piecing

import (
	"slices"

	"quiltwright/internal/diag"
	"quiltwright/internal/draft"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
	"quiltwright/internal/set"
	"quiltwright/internal/unit"
)

// Memory keeps what was found out about blocks for the next Take, by their content: a block that has not changed is not
// searched again. It changes how long Take works, and nothing else. It serves one pricer, whose prices may depend on which fabrics
// are the same, not on their numbers; and one Take at a time. A Take that panics leaves it unfit for another one.
//
// The zero value is empty.
type Memory struct {
	res     *residues
	savings map[digest]int
	works   map[digest]*work
	takes   int
}

// Limits on what is kept. What is above them is forgotten.
const (
	mostKept    = 200_000 // patches, and regions that were looked at
	mostNumbers = 200_000
	keptFor     = 32 // takes in which a block may be missing
)

// Take is Take with a memory; nil has none.
func (m *Memory) Take(doc *quilt.Document, blocks []*draft.Block, top *set.Top, price Pricer, effort Effort) (*Result, diag.List) {
	b := newBuilder(doc, price, effort)
	if m == nil {
		return b.take(blocks, top)
	}
	if m.works == nil {
		m.res, m.savings, m.works = b.res, b.savings, map[digest]*work{}
	}
	b.memory, b.res, b.savings = m, m.res, m.savings
	m.takes++
	r, found := b.take(blocks, top)
	m.forget()
	return r, found
}

// forget drops the blocks that have not been met for long; all but the last, or the last too, when there are too many.
func (m *Memory) forget() {
	for _, without := range []int{keptFor, 1, 0} {
		kept := 0
		for key, w := range m.works {
			if m.takes-w.met >= without {
				delete(m.works, key)
				continue
			}
			kept += len(w.class) + w.looked
		}
		if kept <= mostKept {
			break
		}
	}
	if len(m.savings) > mostNumbers {
		clear(m.savings)
	}
	if len(m.res.known)+len(m.res.inverse) > mostNumbers {
		clear(m.res.known)
		clear(m.res.inverse)
	}
}

// work returns the work on a block that was met before, as good as new.
func (m *Memory) work(b *builder, patches []draft.Patch, first []plane.Segment) *work {
	key := b.keyOf(patches, first)
	w, ok := m.works[key]
	if !ok {
		w = b.newWork(patches, first)
		w.solved, w.facts, w.cores = map[string]*solved{}, map[string]*facts{}, map[string]*grown{}
		m.works[key] = w
	}
	w.b, w.met, w.left, w.large = b, m.takes, 2*b.most(), false
	for i := range patches {
		w.fabric[i] = patches[i].Fabric // by number, which another document may give to another letter
	}
	for i := range w.first {
		w.first[i].granted = false
	}
	return w
}

// keyOf condenses all that newWork and what follows depend on.
func (b *builder) keyOf(patches []draft.Patch, first []plane.Segment) digest {
	key := mix(uint64(b.most()), uint64(len(patches)), uint64(len(first)))
	put := func(words ...uint64) { key = mix(append(words, key.hi, key.lo)...) }
	for _, p := range patches {
		f := b.fabrics[p.Fabric]
		put(uint64(len(p.Outline)), f.word, uint64(f.every), uint64(p.Up), uint64(p.Cell))
		for _, v := range p.Outline {
			at := b.res.spot(v)
			put(at.x, at.y)
		}
	}
	for _, l := range first {
		from, to := b.res.spot(l.A), b.res.spot(l.B)
		put(from.x, from.y, to.x, to.y)
	}
	return key
}

// solved is a solver that has done its work, and what that changed.
type solved struct {
	sv      *solver // nil: it was too much work
	looked  int     // regions
	granted []int   // wishes
}

// facts are what does not depend on how a region is put together.
type facts struct {
	outline plane.Polygon
	class   class
	shape   unit.Shape
	named   bool // shape is known
}

// grown is a core with its blobs.
type grown struct {
	blobs []blob
	edges []contact
	order *tree // nil: not needed so far
}

// facts returns what is known of a region of several patches.
func (w *work) factsOf(region []int32) *facts {
	if w.facts != nil {
		if f, ok := w.facts[string(w.keyOf(region))]; ok {
			return f
		}
	}
	f := &facts{}
	f.outline, _ = w.s.outline(region)
	f.class = w.content(region, evenRightTriangle(f.outline))
	if w.facts != nil {
		w.facts[string(w.keyOf(region))] = f
	}
	return f
}

// recognise returns what a region is. Its lists are the caller's own.
func (w *work) recognise(region []int32, f *facts) unit.Shape {
	if !f.named {
		var patches []unit.Patch
		if len(region) <= mostRecognised {
			patches = w.patches(region)
		}
		f.shape, f.named = unit.Recognise(f.outline, patches), true
	}
	s := f.shape
	s.Roles, s.Measures = slices.Clone(s.Roles), slices.Clone(s.Measures)
	return s
}

// remembered returns the solver that solve finds for the region within the limit, found before or now.
func (w *work) remembered(region []int32, limit int, solve func() *solver) (*solver, int) {
	if w.solved == nil {
		return solve().done()
	}
	key := string(append(w.keyOf(region), byte(limit), byte(limit>>8), byte(limit>>16), byte(limit>>24)))
	s, ok := w.solved[key]
	if !ok {
		before := slices.Clone(w.first)
		for i := range w.first {
			w.first[i].granted = false
		}
		s = &solved{}
		s.sv, s.looked = solve().done()
		w.looked += s.looked
		for i := range w.first {
			if w.first[i].granted {
				s.granted = append(s.granted, i)
			}
			w.first[i].granted = before[i].granted
		}
		w.solved[key] = s
	}
	for _, i := range s.granted {
		w.first[i].granted = true
	}
	return s.sv, s.looked
}

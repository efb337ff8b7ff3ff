package piecing

import (
	"slices"

	"quiltwright/internal/diag"
	"quiltwright/internal/draft"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
	"quiltwright/internal/set"
)

// Take takes blocks and top apart. blocks is by the drafter's index; nil, broken and empty ones are left out. Without a top, or
// with one that does not fit together or holds a block that was left out, Top is -1 and the blocks are there. price may be nil:
// the price list Usual.
//
// The findings are warnings: a line that the writer wants taken first and that does not come apart.
//
// Properties: (1) the parts under a block's unit, posed, are exactly the block's patches, each once; the same for the top;
// (2) equal regions are one unit; (3) no part is mirrored; (4) the same input gives the same result.
func Take(doc *quilt.Document, blocks []*draft.Block, top *set.Top, price Pricer, effort Effort) (*Result, diag.List) {
	return (*Memory)(nil).Take(doc, blocks, top, price, effort)
}

func (b *builder) take(blocks []*draft.Block, top *set.Top) (*Result, diag.List) {
	r := &Result{Top: -1, Blocks: make([]Use, len(blocks)), BlockLeaves: make([][][]int, len(blocks))}
	order := make([]int, 0, len(blocks))
	for i, block := range blocks {
		r.Blocks[i].Unit = -1
		if block != nil && !block.Broken && len(block.Patches) > 0 {
			order = append(order, i)
		}
	}
	// The small first: a block that stands within another is a unit in its own frame by then.
	slices.SortStableFunc(order, func(i, j int) int { return len(blocks[i].Patches) - len(blocks[j].Patches) })
	for _, i := range order {
		r.Blocks[i] = b.block(blocks[i], i)
	}
	if top != nil && top.Root != nil {
		if u, pose, ok := b.node(top, top.Root, r.Blocks); ok {
			if m := b.made[u]; m.Role < Block || m.Role == Setting {
				m.Role = Top
			}
			r.Top = u
			b.placed(r, top, u, pose)
		}
	}
	for _, i := range order {
		r.BlockLeaves[i] = b.leaves(r.Blocks[i], blocks[i].Patches)
	}
	b.twins()
	b.finish(r)
	return r, b.found
}

// block returns the unit of a block.
func (b *builder) block(block *draft.Block, index int) Use {
	w := b.work(block.Patches, block.First)
	all := make([]int32, len(block.Patches))
	for i := range all {
		all[i] = int32(i)
	}
	u, pose := w.build(all, plane.Pose{}, assembler{whole: true})
	m := b.made[u]
	if m.Leaf == nil {
		m.Role = max(m.Role, Block)
		if m.Block < 0 {
			m.Name, m.Block = block.Name, index
		}
	}
	for _, f := range w.first {
		if f.granted || m.Block >= 0 && m.Block != index {
			continue
		}
		var at diag.Pos
		if block.Def != nil && len(block.Def.First) > 0 {
			at = block.Def.First[0].At
		}
		found := b.found.Warnf(at, "first-line", "%s: the line from %v to %v cannot be taken apart first", block.Name, f.line.A, f.line.B)
		found.Remedy = "name a line that runs from edge to edge along sides of patches, of the block or of what an earlier line leaves"
		found.Block = block.Name
	}
	return Use{Unit: u, Pose: pose}
}

// walk calls do for every unit under u that stop accepts or that is a patch, with its path and how it lies. The path is only
// good during the call.
func (b *builder) walk(u int, at lie, path []int, stop func(u int, at lie) bool, do func(u int, at lie, path []int)) {
	m := b.made[u]
	if m.Leaf != nil || stop(u, at) {
		do(u, at, path)
		return
	}
	for i, p := range m.Parts {
		b.walk(p.Unit, m.lies[i].then(at), append(path, i), stop, do)
	}
}

// leaves returns the path to each of the patches from the unit that they are.
func (b *builder) leaves(use Use, patches []draft.Patch) [][]int {
	number := make(map[spot]int, len(patches))
	for i, p := range patches {
		number[b.middle(p.Outline)] = i
	}
	paths := make([][]int, len(patches))
	never := func(int, lie) bool { return false }
	b.walk(use.Unit, b.res.lie(use.Pose), nil, never, func(u int, at lie, path []int) {
		i, ok := number[at.apply(b.made[u].ref)]
		if !ok || paths[i] != nil {
			panic("piecing: parts and patches are the same")
		}
		paths[i] = append([]int{}, path...)
	})
	return paths
}

// middle returns the mean of an outline's corners.
func (b *builder) middle(pg plane.Polygon) spot {
	var sum spot
	for _, p := range pg {
		sum = sum.add(b.res.spot(p))
	}
	return sum.times(b.res.inv(uint64(len(pg))))
}

// placed fills in the paths from the top to its blocks and patches.
func (b *builder) placed(r *Result, top *set.Top, u int, pose plane.Pose) {
	type place struct {
		unit int
		at   spot
	}
	middles := map[int]spot{} // of units' outlines
	here := func(u int, at lie) place {
		m, ok := middles[u]
		if !ok {
			m = b.middle(b.made[u].Outline)
			middles[u] = m
		}
		return place{u, at.apply(m)}
	}
	blocks, patches := map[place]int{}, map[spot]int{}
	for i, p := range top.Placed {
		use := r.Blocks[p.Block]
		if use.Unit >= 0 {
			blocks[here(use.Unit, b.res.lie(use.Pose.Then(p.Pose)))] = i
		}
	}
	for i, p := range top.Patches {
		patches[b.middle(p.Outline)] = i
	}
	r.PlacedLeaves, r.TopLeaves = make([][]int, len(top.Placed)), make([][]int, len(top.Patches))
	stop := func(u int, at lie) bool {
		_, ok := blocks[here(u, at)]
		return ok
	}
	b.walk(u, b.res.lie(pose), nil, stop, func(u int, at lie, path []int) {
		if i, ok := blocks[here(u, at)]; ok {
			r.PlacedLeaves[i] = append([]int{}, path...)
			return
		}
		i, ok := patches[at.apply(b.made[u].ref)]
		if !ok {
			panic("piecing: parts and patches of the top are the same")
		}
		r.TopLeaves[i] = append([]int{}, path...)
	})
}

// finish moves the units into the result, patches first.
func (b *builder) finish(r *Result) {
	place := make([]int, len(b.made))
	next := 0
	for _, patch := range []bool{true, false} {
		for i := range b.made {
			if (b.made[i].Leaf != nil) == patch {
				place[i] = next
				next++
			}
		}
	}
	r.Units = make([]Unit, len(b.made))
	for i := range b.made {
		u := b.made[i].Unit
		for k := range u.Parts {
			u.Parts[k].Unit = place[u.Parts[k].Unit]
		}
		if u.Twin >= 0 {
			u.Twin = place[u.Twin]
		}
		r.Units[place[i]] = u
	}
	for i := range r.Blocks {
		if r.Blocks[i].Unit >= 0 {
			r.Blocks[i].Unit = place[r.Blocks[i].Unit]
		}
	}
	if r.Top >= 0 {
		r.Top = place[r.Top]
	}
}

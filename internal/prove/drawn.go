package prove

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// checkDrawn compares the patches of the sewn blocks and of the top with what the document draws, one by one.
func (v *prover) checkDrawn() {
	top, ok := v.byID[v.p.Top]
	if !v.expect(ok && v.units[top].outline != nil) {
		v.fault("drawn", v.p.Top, "", "", "the top is unit “%s”, which the plan does not have", v.p.Top)
		return
	}
	if u := &v.units[top]; !v.expect(same(float64(v.p.Finished.Width), float64(u.Size.Width), exactly) && same(float64(v.p.Finished.Height), float64(u.Size.Height), exactly)) {
		v.fault("drawn", u.ID, "", v.long(float64(u.Size.Width))+" by "+v.long(float64(u.Size.Height)), "the quilt is said to be %s by %s finished", v.long(float64(v.p.Finished.Width)), v.long(float64(v.p.Finished.Height)))
	}
	if u := &v.units[top]; !v.expect(u.panel != nil) {
		v.fault("recipe", u.ID, "", "", "nothing makes the top, or what makes it does not come out")
	}
	known := map[string]bool{"top": true}
	of := map[string][]*plan.Drawn{}
	for i := range v.p.Drawn {
		d := &v.p.Drawn[i]
		of[d.Of] = append(of[d.Of], d)
	}
	for i := range v.p.Blocks {
		b := &v.p.Blocks[i]
		name := "block " + b.ID
		known[name] = true
		k, ok := v.byID[b.Unit]
		if !v.expect(ok && v.units[k].outline != nil) {
			v.fault("drawn", b.Unit, "", "", "block %s is unit “%s”, which the plan does not have", b.Name, b.Unit)
			continue
		}
		lie := plan.Pose{}
		if b.Lie != nil {
			lie = *b.Lie
		}
		v.checkBlock(b, k, lie)
		v.checkPatches(name, k, lie, of[name], nil)
	}
	for i := range v.p.Drawn { // of a block that is drawn but not made, nothing is sewn
		if of := v.p.Drawn[i].Of; !v.expect(known[of] || strings.HasPrefix(of, "block ")) {
			v.fault("drawn", "", "", "", "a patch is drawn of “%s”: the top, or a block", of)
		}
	}
	v.checkPlaced(top)
	var placed [][]int
	for i := range v.p.Placed {
		placed = append(placed, v.p.Placed[i].Leaf)
	}
	v.checkPatches("top", top, plan.Pose{}, of["top"], placed)
}

// checkBlock checks what a block says of itself.
func (v *prover) checkBlock(b *plan.Block, k int, lie plan.Pose) {
	u := &v.units[k]
	out := flat.Posed(u.outline, lie)
	lo, hi := flat.Box(out)
	if !v.expect(flat.Length(lo) < exactly && same(hi[0], float64(b.Finished.Width), exactly) && same(hi[1], float64(b.Finished.Height), exactly)) {
		v.fault("drawn", u.ID, "", "", "block %s is %s by %s finished, its unit does not lie so", b.Name, v.long(float64(b.Finished.Width)), v.long(float64(b.Finished.Height)))
	}
	if !v.expect(!lie.Mirror) {
		v.fault("hand", u.ID, "", "", "block %s is its unit mirrored: sewn cloth cannot be", b.Name)
	}
	if !v.expect(b.Patches == u.leaves) {
		v.fault("count", u.ID, "", "", "block %s has %d patches, not %d", b.Name, u.leaves, b.Patches)
	}
	n := v.joinCounts(k, map[int][4]int{})
	if !v.expect(n == [4]int{b.Straight, b.Partial, b.SetIn, b.Curved}) {
		v.fault("count", u.ID, "", "", "block %s has %d straight, %d partial, %d set-in and %d curved seams, not %d, %d, %d and %d",
			b.Name, n[0], n[1], n[2], n[3], b.Straight, b.Partial, b.SetIn, b.Curved)
	}
}

// joinCounts counts the joins of each kind under a unit. Joins that one straight seam makes in one go count once, and so
// do the two halves of a partial seam.
func (v *prover) joinCounts(k int, known map[int][4]int) [4]int {
	if n, ok := known[k]; ok {
		return n
	}
	u := &v.units[k]
	var n [4]int
	leader := make([]int, len(u.parts))
	for i := range leader {
		leader[i] = i
	}
	find := func(i int) int {
		for leader[i] != i {
			i = leader[i]
		}
		return i
	}
	var apart []int // the leaders before what was joined last: along one seam, several parts of one group may meet several of another
	sameGroups := func(p, q int) bool {
		root := func(i int) int {
			for apart[i] != i {
				i = apart[i]
			}
			return i
		}
		return p >= 0 && p < len(apart) && root(p) == root(q)
	}
	for i, j := range u.Joins {
		a, b := j.Parts[0], j.Parts[1]
		if a < 0 || b < 0 || a >= len(leader) || b >= len(leader) {
			continue
		}
		again := find(a) == find(b)
		if !again {
			apart = slices.Clone(leader)
		}
		leader[find(b)] = find(a)
		kind := map[string]int{"straight": 0, "partial": 1, "set in": 2, "curved": 3}[j.Kind]
		if again && (kind == 1 || i > 0 && goesOn(&u.Joins[i-1], &u.Joins[i], sameGroups)) {
			continue
		}
		n[kind]++
	}
	for _, p := range u.parts {
		for i, m := range v.joinCounts(p.unit, known) {
			n[i] += m
		}
	}
	known[k] = n
	return n
}

// goesOn reports whether join b goes straight on from join a, along a part of both or along parts that were sewn together before.
func goesOn(a, b *plan.Join, together func(p, q int) bool) bool {
	p, q := a.Parts, b.Parts
	share := p[0] == q[0] || p[1] == q[1] || p[0] == q[1] || p[1] == q[0]
	if !share && !(together(p[0], q[0]) && together(p[1], q[1])) && !(together(p[0], q[1]) && together(p[1], q[0])) {
		return false
	}
	s, e := flat.At(a.Seam[0]), flat.At(a.Seam[1])
	d := flat.Direction(s, e)
	for _, p := range b.Seam {
		if c := flat.Cross(d, flat.Sub(flat.At(p), s)); c > exactly || c < -exactly {
			return false
		}
	}
	for _, p := range a.Seam {
		for _, q := range b.Seam {
			if flat.Distance(flat.At(p), flat.At(q)) < exactly {
				return true
			}
		}
	}
	return false
}

// checkPatches checks that every drawn patch is a patch of the unit, where it was drawn, and that every patch of the unit was
// drawn once. What lies under one of the stops was drawn elsewhere.
func (v *prover) checkPatches(of string, root int, pose plan.Pose, drawn []*plan.Drawn, stops [][]int) {
	// The tree of the unit, walked along every path.
	seen := map[string]bool{}
	for _, d := range drawn {
		path := fmt.Sprint(d.Leaf)
		if !v.expect(!seen[path]) {
			v.fault("drawn", v.units[root].ID, "", "", "two patches of %s lead to the same place, %s", of, path)
			continue
		}
		seen[path] = true
		k, m, ok := v.walk(root, pose, d.Leaf)
		if !v.expect(ok && len(v.units[k].parts) == 0) {
			v.fault("drawn", v.units[root].ID, "", "", "the path %s of a patch of %s leads to no patch", path, of)
			continue
		}
		u := &v.units[k]
		if !v.expect(u.Fabric == d.Fabric) {
			v.fault("drawn", u.ID, "", d.Fabric, "%s: the patch at %s is sewn of fabric %s, drawn in %s", of, path, u.Fabric, d.Fabric)
		}
		v.drawnMotif(of, u)
		want, got := flat.Outline(d.Outline), flat.Posed(u.outline, m)
		if !v.expect(len(want) > 2 && flat.Area2(want) > 0 && coincide(want, got, exactly)) {
			where := "no place"
			if len(want) > 0 {
				where = v.point(centre(want))
			}
			v.fault("drawn", u.ID, "", "", "%s: the patch drawn about %s is sewn about %s, or with another outline", of, where, v.point(centre(got)))
		}
		if !v.expect((d.Up == nil) == (u.Up == nil)) {
			v.fault("print", u.ID, "", "", "%s: the print of the patch at %s has a direction in one place and not in the other", of, path)
		} else if d.Up != nil {
			up := float64(*u.Up) + float64(m.Turn)
			if m.Mirror {
				up = float64(m.Turn) - float64(*u.Up)
			}
			if !v.expect(turns(up, float64(*d.Up), v.period(u.Fabric), 1e-5)) {
				v.fault("print", u.ID, "", "", "%s: the print of the patch at %s points %g° from up, drawn %d°", of, path, up, *d.Up)
			}
		}
	}
	n := v.units[root].leaves
	for _, path := range stops {
		if k, _, ok := v.walk(root, pose, path); ok {
			n -= v.units[k].leaves
		}
	}
	if !v.expect(n == len(drawn)) {
		v.fault("drawn", v.units[root].ID, "", "", "%s: %d patches are drawn, %d are sewn", of, len(drawn), n)
	}
}

// walk follows part numbers from a unit that lies by pose.
func (v *prover) walk(k int, m plan.Pose, path []int) (int, plan.Pose, bool) {
	for _, i := range path {
		if i < 0 || i >= len(v.units[k].parts) {
			return 0, m, false
		}
		p := v.units[k].parts[i]
		k, m = p.unit, flat.Then(p.pose, m)
	}
	return k, m, true
}

// checkPlaced checks that every placed block is the block's unit, where it is said to be, and that no two share a place.
func (v *prover) checkPlaced(top int) {
	seen := map[string]bool{}
	count := map[string]int{}
	type cell struct{ row, column int }
	cells := map[cell]bool{}
	rows, columns := 0, 0
	for i := range v.p.Placed {
		x := &v.p.Placed[i]
		path := fmt.Sprint(x.Leaf)
		b := v.blocks[x.Block]
		if !v.expect(b != nil && !seen[path]) {
			v.fault("place", "", "", "", "block “%s” at row %d, column %d is not known, or shares the place of another", x.Block, x.Row, x.Column)
			continue
		}
		seen[path] = true
		count[x.Block]++
		k, m, ok := v.walk(top, plan.Pose{}, x.Leaf)
		if !v.expect(ok && v.units[k].ID == b.Unit) {
			v.fault("place", b.Unit, "", "", "block %s at row %d, column %d: the path %s does not lead to its unit %s", b.Name, x.Row, x.Column, path, b.Unit)
			continue
		}
		lie := plan.Pose{}
		if b.Lie != nil {
			lie = *b.Lie
		}
		want := flat.Then(lie, plan.Pose{At: x.At, Turn: plan.Num(x.Turn), Mirror: x.Mirror})
		if !v.expect(turns(float64(want.Turn), float64(m.Turn), 360, 1e-5) && want.Mirror == m.Mirror && flat.Distance(flat.At(want.At), flat.At(m.At)) < exactly) {
			v.fault("place", b.Unit, "", "", "block %s at row %d, column %d lies at %s turned by %d°, it is sewn at %s turned by %g°",
				b.Name, x.Row, x.Column, v.point(flat.At(x.At)), x.Turn, v.point(flat.At(m.At)), float64(m.Turn-lie.Turn))
		}
		c := cell{x.Row, x.Column}
		if !v.expect(x.Row >= 1 && x.Column >= 1 && !cells[c]) {
			v.fault("place", b.Unit, "", "", "row %d, column %d stands twice on the layout, or is none", x.Row, x.Column)
		}
		cells[c] = true
		rows, columns = max(rows, x.Row), max(columns, x.Column)
	}
	for i := range v.p.Blocks {
		b := &v.p.Blocks[i]
		if !v.expect(b.Made == count[b.ID]) {
			v.fault("count", b.Unit, "", "", "%d of block %s are made, %d are placed", b.Made, b.Name, count[b.ID])
		}
	}
	if !v.expect(v.p.Layout.Rows == rows && v.p.Layout.Columns == columns) {
		v.fault("place", "", "", fmt.Sprintf("%d by %d", rows, columns), "the layout is said to have %d rows and %d columns", v.p.Layout.Rows, v.p.Layout.Columns)
	}
	style := v.p.Layout.Style
	if !v.expect(style == "straight" || style == "on point" || style == "one block" && len(v.p.Placed) <= 1) {
		v.fault("place", "", "", "", "the layout is “%s”", style)
	}
	v.inOrder()
}

// inOrder checks that rows run from the top down and columns from left to right.
func (v *prover) inOrder() {
	by := make([]*plan.Placed, len(v.p.Placed))
	for i := range by {
		by[i] = &v.p.Placed[i]
	}
	middle := func(x *plan.Placed) pt {
		b := v.blocks[x.Block]
		if b == nil {
			return flat.At(x.At)
		}
		m := plan.Pose{At: x.At, Turn: plan.Num(x.Turn), Mirror: x.Mirror}
		w, h := float64(b.Finished.Width), float64(b.Finished.Height)
		return centre(flat.Posed([]pt{{0, 0}, {w, 0}, {w, h}, {0, h}}, m))
	}
	sort.SliceStable(by, func(i, j int) bool {
		if by[i].Row != by[j].Row {
			return by[i].Row < by[j].Row
		}
		return by[i].Column < by[j].Column
	})
	for i, b := range by {
		if i == 0 {
			if !v.expect(b.Row == 1 && b.Column == 1) {
				v.fault("place", "", "", "", "the first block stands at row %d, column %d", b.Row, b.Column)
			}
			continue
		}
		a := by[i-1]
		d := flat.Sub(middle(b), middle(a))
		beside := a.Row == b.Row && b.Column == a.Column+1 && d[0] > 1e-3 && same(d[1], 0, 1e-3)
		below := b.Row == a.Row+1 && b.Column == 1 && d[1] > 1e-3
		if !v.expect(beside || below) {
			v.fault("place", "", "", "", "row %d, column %d and row %d, column %d do not lie as they are numbered", a.Row, a.Column, b.Row, b.Column)
			return
		}
	}
}

package press

import (
	"slices"

	"quiltwright/internal/exact"
	"quiltwright/internal/method"
	"quiltwright/internal/piecing"
	"quiltwright/internal/plane"
	"quiltwright/internal/set"
)

// Alternate colours the placed blocks like a chessboard, so that no two that touch have the same colour, and says for
// every part of the setting whether it differs in colour from what it is part of; inside blocks every second one of parts side by
// side may be pressed the other way. Where blocks do not touch, or cannot be
// coloured so, or equal rows would need different patterns, everything has one colour and the second result is all 0.
func Alternate(pieced *piecing.Result, top *set.Top, sizes func(block int) (w, h exact.Num)) (method.Ways, []int) {
	n := len(top.Placed)
	colour := make([]int, n)
	inside := runs(pieced)
	one := func() (method.Ways, []int) {
		return method.Ways{Other: inside}, make([]int, n)
	}
	if pieced.Top < 0 || n < 2 {
		return one()
	}
	if !chessboard(top, sizes, colour) {
		return one()
	}
	w := method.Ways{Other: slices.Clone(inside)}
	// The colour of a part of the setting is that of the first block in it.
	var walk func(i int, path []int, first map[string]int) bool
	walk = func(i int, path []int, first map[string]int) bool {
		u := &pieced.Units[i]
		if u.Role < piecing.Setting {
			return true
		}
		own, ok := first[pathKey(path)]
		if !ok {
			return true // no block in it
		}
		other := make([]int, len(u.Parts))
		for k, p := range u.Parts {
			at := append(path, k)
			if c, ok := first[pathKey(at)]; ok {
				other[k] = c ^ own
			}
			if !walk(p.Unit, at, first) {
				return false
			}
		}
		if have := w.Other[i]; have != nil {
			for k := range have {
				if have[k] != other[k] {
					return false
				}
			}
		}
		w.Other[i] = other
		return true
	}
	first := map[string]int{}
	for p, path := range pieced.PlacedLeaves {
		for l := 0; l <= len(path); l++ {
			if _, ok := first[pathKey(path[:l])]; !ok {
				first[pathKey(path[:l])] = colour[p]
			}
		}
	}
	if !walk(pieced.Top, nil, first) {
		return one()
	}
	if base := first[pathKey(nil)]; base == 1 { // the top itself is of the first colour
		for p := range colour {
			colour[p] ^= 1
		}
	}
	return w, colour
}

// runs says, for every unit inside the blocks, which of its parts may be pressed the other way: every second one of parts sewn side
// by side.
func runs(pieced *piecing.Result) [][]int {
	out := make([][]int, len(pieced.Units))
	for i := range pieced.Units {
		u := &pieced.Units[i]
		if u.Role >= piecing.Setting || len(u.Joins) != len(u.Parts)-1 {
			continue
		}
		for k, j := range u.Joins {
			if j.A != k || j.B != k+1 {
				out[i] = nil
				break
			}
			if pieced.Units[u.Parts[k].Unit].Leaf == nil && pieced.Units[u.Parts[k+1].Unit].Leaf == nil {
				if out[i] == nil {
					out[i] = make([]int, len(u.Parts))
				}
				out[i][k+1] = 1 - out[i][k]
			}
		}
	}
	return out
}

func pathKey(path []int) string {
	b := make([]byte, 0, 3*len(path))
	for _, k := range path {
		b = append(b, byte(k), byte(k>>8), byte(k>>16))
	}
	return string(b)
}

// chessboard colours blocks that touch along a side differently; false where none touch or a ring of an odd number does.
func chessboard(top *set.Top, sizes func(block int) (w, h exact.Num), colour []int) bool {
	n := len(top.Placed)
	sides := make(map[string][]int) // middle of a side -> blocks
	for i, p := range top.Placed {
		w, h := sizes(p.Block)
		box := plane.Rectangle(w, h)
		for _, e := range p.Pose.ApplyPolygon(box).Edges() {
			k := string(e.Mid().AppendKey(nil))
			sides[k] = append(sides[k], i)
		}
	}
	next := make([][]int, n)
	touch := false
	for i, p := range top.Placed {
		w, h := sizes(p.Block)
		for _, e := range p.Pose.ApplyPolygon(plane.Rectangle(w, h)).Edges() {
			for _, j := range sides[string(e.Mid().AppendKey(nil))] {
				if j != i {
					next[i] = append(next[i], j)
					touch = true
				}
			}
		}
	}
	if !touch {
		return false
	}
	for i := range colour {
		colour[i] = -1
	}
	for i := range colour {
		if colour[i] >= 0 {
			continue
		}
		colour[i] = 0
		queue := []int{i}
		for len(queue) > 0 {
			a := queue[0]
			queue = queue[1:]
			for _, b := range next[a] {
				if colour[b] < 0 {
					colour[b] = 1 - colour[a]
					queue = append(queue, b)
				} else if colour[b] == colour[a] {
					return false
				}
			}
		}
	}
	return true
}

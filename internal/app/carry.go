package app

import (
	"slices"

	"quiltwright/internal/draft"
	"quiltwright/internal/edit"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
)

// redraws are the operations after which patches are others than before, on the same grid.
var redraws = []string{(*edit.DrawLine).Name(nil), (*edit.ReshapeLine).Name(nil), (*edit.MovePoint).Name(nil), (*edit.RemoveLine).Name(nil), (*edit.SetSymmetry).Name(nil)}

// carry gives the patches of a block whose lines were changed the fabrics that lay in their places before: cloth stays where it is when a line is drawn
// across it. It returns the content after, unchanged where nothing has to be carried.
func carry(before, after *content, ops []edit.Op) *content {
	for _, name := range drawnOn(ops) {
		old, def := before.doc.Named(name), after.doc.Named(name)
		if old == nil || def == nil || !old.Drawn() || !def.Drawn() || old.Columns != def.Columns || old.Rows != def.Rows {
			continue
		}
		was, is := before.sheet(old), after.sheet(def)
		if next, err := after.source.Apply(carried(def, &was, &is)...); err == nil && next != after.source {
			after = newContent(next) // an error leaves what was asked for as it is: the sheet marks what is wrong
		}
	}
	return after
}

// sheet is the sheet of a block drawn by lines.
func (s *content) sheet(def *quilt.Block) draft.Sheet {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.drafter.Sheet(def)
}

// drawnOn are the blocks whose lines the operations change, each once.
func drawnOn(ops []edit.Op) []string {
	var out []string
	for _, op := range ops {
		if !slices.Contains(redraws, op.Name()) {
			continue
		}
		if name := blockOf(op); name != "" && !slices.Contains(out, name) {
			out = append(out, name)
		}
	}
	return out
}

// carried are the operations that fill the new patches as the old ones were.
func carried(def *quilt.Block, was, is *draft.Sheet) []edit.Op {
	gone := &edit.Unfill{Block: def.Name}
	var fills []edit.Op
	done := make([]bool, len(is.Faces))
	for i, f := range is.Faces {
		if done[i] {
			continue
		}
		for _, image := range f.Images {
			done[image] = true
		}
		fabric := f.Fabric // where patches have grown together over a line, that of the one that is named first
		if in := was.At(f.Inside); in >= 0 {
			fabric = was.Faces[in].Fabric
		}
		wrong := func(p plane.Point) bool { return is.At(p) < 0 || filledBy(def, p) != fabric } // on a line, or of another patch that is gone
		if fabric == "" || f.Fabric == fabric && !slices.ContainsFunc(f.Fills, wrong) {
			continue
		}
		for _, p := range f.Fills {
			if at := draft.GridPoint(p); !slices.Contains(gone.Points, at) {
				gone.Points = append(gone.Points, at)
			}
		}
		if fabric != def.Ground {
			fills = append(fills, &edit.Fill{Block: def.Name, Fabric: fabric, Points: edit.Words{draft.GridPoint(f.Inside)}})
		}
	}
	if len(gone.Points) == 0 {
		return fills
	}
	return append([]edit.Op{gone}, fills...)
}

// filledBy is the fabric that a fill point of the block names.
func filledBy(def *quilt.Block, p plane.Point) string {
	for _, f := range def.Fill {
		if slices.ContainsFunc(f.Points, p.Equal) {
			return f.Fabric
		}
	}
	return ""
}

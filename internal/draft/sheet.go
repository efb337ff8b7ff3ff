package draft

import (
	"slices"

	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
)

// Sheet is a block drawn by lines as it lies before its writer, in steps of its grid, however much of it is still missing.
type Sheet struct {
	Motions []Motion      // what the symmetry repeats: the one that changes nothing first
	Lines   []SheetLine   // the writer's own, each segment once, then their images
	Faces   []SheetFace   // the patches that the lines make
	Inner   []plane.Point // where lines meet off the grid's points, each once, in the order found

	where *locator
}

// Motion carries a point of the sheet to its image: x' = A x + C y + E, y' = B x + D y + F, as an SVG matrix has it.
type Motion struct{ A, B, C, D, E, F int }

// SheetLine is a segment of a line, or an image of one.
type SheetLine struct {
	plane.Segment
	Run, Step int // which of Block.Lines, and which of its points it ends at
	Image     int // index into Motions
}

// SheetFace is a patch on the sheet.
type SheetFace struct {
	Outline plane.Polygon
	Fabric  string // letters; "" where nothing fills it
	Filled  bool   // by a point, not by the ground
	Inside  plane.Point
	Images  []int         // the faces that the symmetry makes of it, itself first, each once
	Fills   []plane.Point // the writer's own fill points that are in it or in an image of it, or on the outline of one
}

// Sheet returns the sheet of a block drawn by lines; an empty one for a block of cells or one whose grid could not be read. What is wrong with
// the block is reported as Draw reports it.
func (d *Drafter) Sheet(def *quilt.Block) Sheet {
	var out Sheet
	if !def.Drawn() || def.Rows <= 0 {
		return out
	}
	motions := group(def.Symmetry)
	w, h := exact.Int(int64(def.Columns)), exact.Int(int64(def.Rows))
	for _, m := range motions {
		out.Motions = append(out.Motions, m.matrix(def.Columns, def.Rows))
	}
	for _, l := range allLines(def, motions, w, h) {
		image := 0
		for k, m := range motions {
			if m == l.by {
				image = k
			}
		}
		out.Lines = append(out.Lines, SheetLine{l.Segment, l.run, l.step, image})
	}
	seen := map[string]bool{}
	faces := d.plot(def).faces
	for _, f := range faces {
		out.Faces = append(out.Faces, SheetFace{Outline: f.outline, Fabric: f.letter,
			Filled: f.letter != "" && f.at != firstOf(def.GroundAt, def.At), Inside: pointInside(f.outline)})
		for _, v := range f.outline {
			if whole(v.X) && whole(v.Y) {
				continue
			}
			if key := gridPoint(v); !seen[key] {
				seen[key] = true
				out.Inner = append(out.Inner, v)
			}
		}
	}
	out.where = newLocator(faces, w.Float(), h.Float())
	d.images(def, motions, &out, out.where)
	return out
}

// At returns the face that holds a point inside, or -1 for a point on a line or off the sheet.
func (s *Sheet) At(p plane.Point) int {
	if s.where == nil {
		return -1
	}
	in, _ := s.where.find(p)
	return in
}

// images fills in the images of each face and its fill points.
func (d *Drafter) images(def *quilt.Block, motions []motion, out *Sheet, where *locator) {
	w, h := exact.Int(int64(def.Columns)), exact.Int(int64(def.Rows))
	fills := make([][]plane.Point, len(out.Faces)) // of each face alone
	for _, fill := range def.Fill {
		for _, own := range fill.Points {
			for _, m := range motions {
				in, touches := where.find(m.apply(own, w, h))
				if in >= 0 {
					touches = []int{in}
				}
				for _, f := range touches {
					if !slices.ContainsFunc(fills[f], own.Equal) {
						fills[f] = append(fills[f], own)
					}
				}
			}
		}
	}
	for i := range out.Faces {
		f := &out.Faces[i]
		for _, m := range motions {
			in, _ := where.find(m.apply(f.Inside, w, h))
			if in < 0 || slices.Contains(f.Images, in) {
				continue
			}
			f.Images = append(f.Images, in)
			for _, own := range fills[in] {
				if !slices.ContainsFunc(f.Fills, own.Equal) {
					f.Fills = append(f.Fills, own)
				}
			}
		}
	}
}

func whole(x exact.Num) bool {
	_, den, ok := x.Rat()
	return ok && den == 1
}

// matrix is the motion of a rectangle of w by h.
func (m motion) matrix(w, h int) Motion {
	out := Motion{A: 1, D: 1}
	if m.swap {
		out = Motion{B: 1, C: 1}
	}
	if m.flipX {
		out.A, out.C, out.E = -out.A, -out.C, w
	}
	if m.flipY {
		out.B, out.D, out.F = -out.B, -out.D, h
	}
	return out
}

// GridPoint writes a point of the grid as the format does: 3/2,4.
func GridPoint(p plane.Point) string { return gridPoint(p) }

package plan

// Raw is the outline of one piece in its own frame, allowances included, as docs/plan.md fixes it for each shape; nil for a shape
// that is not known and has no outline.
func (p *Piece) Raw() [][2]float64 {
	w, h := float64(p.Width), float64(p.Height)
	switch p.Shape {
	case "half square":
		return [][2]float64{{0, 0}, {w, 0}, {0, w}}
	case "quarter square":
		return [][2]float64{{0, 0}, {w, 0}, {w / 2, w / 2}}
	case "half rectangle":
		if p.Hand == "R" {
			return [][2]float64{{0, 0}, {w, 0}, {w, h}}
		}
		return [][2]float64{{0, 0}, {w, 0}, {0, h}}
	case "rectangle", "strip", "joined strip":
		return [][2]float64{{0, 0}, {w, 0}, {w, h}, {0, h}}
	}
	var out [][2]float64
	for _, v := range p.Outline {
		out = append(out, [2]float64{float64(v.X), float64(v.Y)})
	}
	return out
}

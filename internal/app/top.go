package app

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"quiltwright/internal/diag"
	"quiltwright/internal/draft"
	"quiltwright/internal/exact"
	"quiltwright/internal/measure"
	"quiltwright/internal/quilt"
	"quiltwright/internal/set"
)

// topView is the quilt as it lies, in finished lengths. Blocks are drawn once, however often they are placed.
type topView struct {
	Width   float64      `json:"width"`
	Height  float64      `json:"height"`
	Blocks  []drawnView  `json:"blocks"`
	Placed  []placedView `json:"placed"`
	Patches []pieceView  `json:"patches"` // sashing, posts, triangles, borders
	Fits    bool         `json:"fits"`    // false: the blocks do not fit together, and lie side by side as they are
}

// drawnView is a block in its own frame.
type drawnView struct {
	Width   float64     `json:"width"`
	Height  float64     `json:"height"`
	Patches []pieceView `json:"patches"`
}

type pieceView struct {
	Points [][2]float64 `json:"points"`
	Fabric int          `json:"fabric"` // in the list of fabrics
	Up     int          `json:"up,omitempty"`
}

// placedView is a block in the quilt: its frame is turned clockwise and moved then. A mirrored block is drawn mirrored.
type placedView struct {
	Block  int     `json:"block"`
	X      float64 `json:"x"`
	Y      float64 `json:"y"`
	Turn   float64 `json:"turn"`
	Row    int     `json:"row"` // as the quilt counts; 0 in the corner of a border
	Column int     `json:"column"`
	Of     [2]int  `json:"of"`   // the row and column of the text that it repeats
	Says   string  `json:"says"` // "Ferry Light, turned 90"
}

// topOf lays the quilt; it returns what set.Lay found, too. Blocks that do not fit together are laid side by side, so that what is wrong
// can be seen. The caller holds mu.
func (s *state) topOf() (topView, diag.List) {
	top, found := set.Lay(s.doc, s.drafter)
	v := topView{Width: top.Width.Float(), Height: top.Height.Float(), Blocks: []drawnView{}, Placed: []placedView{}, Patches: []pieceView{}, Fits: top.Root != nil}
	drawn := map[int]int{}
	place := func(block int, p placedView) {
		at, ok := drawn[block]
		if !ok {
			at = len(v.Blocks)
			drawn[block] = at
			v.Blocks = append(v.Blocks, drawing(s.drafter.Blocks()[block]))
		}
		p.Block = at
		v.Placed = append(v.Placed, p)
	}
	if top.Root == nil {
		s.aside(&v, place)
		return v, found
	}
	for _, p := range top.Placed {
		out := placedView{X: p.Pose.At.X.Float(), Y: p.Pose.At.Y.Float(), Turn: float64(p.Pose.Turn), Row: p.Row, Column: p.Column, Of: s.written(p.Row, p.Column)}
		out.Says = s.drafter.Blocks()[p.Block].Name
		if c := s.cell(out.Of); c != nil {
			out.Says = cellSays(*c)
		}
		place(p.Block, out)
	}
	for _, p := range top.Patches {
		v.Patches = append(v.Patches, pieceView{Points: corners(p.Outline), Fabric: p.Fabric, Up: int(p.Up)})
	}
	return v, found
}

// draw is a block drawn. The caller holds mu.
func (s *state) draw(use draft.Use) *draft.Block {
	i := s.drafter.Draw(use)
	return s.drafter.Blocks()[i]
}

// drawing is the view of a block as it is drawn.
func drawing(b *draft.Block) drawnView {
	v := drawnView{Width: b.Width.Float(), Height: b.Height.Float(), Patches: []pieceView{}}
	for _, p := range b.Patches {
		v.Patches = append(v.Patches, pieceView{Points: corners(p.Outline), Fabric: p.Fabric, Up: int(p.Up)})
	}
	return v
}

// written is the row and column of the text that the quilt's row and column repeat; zeros where there is none.
func (s *state) written(row, column int) [2]int {
	if s.doc.Set == nil || row < 1 || len(s.doc.Set.Rows) == 0 {
		return [2]int{}
	}
	r, c := s.doc.Set.Written(row-1, max(0, column-1))
	if column < 1 || c >= len(s.doc.Set.Rows[r]) {
		return [2]int{}
	}
	return [2]int{r + 1, c + 1}
}

// cell is the cell of the text, or nil.
func (s *state) cell(at [2]int) *quilt.Cell {
	if at[0] < 1 || s.doc.Set == nil || at[0] > len(s.doc.Set.Rows) || at[1] > len(s.doc.Set.Rows[at[0]-1]) {
		return nil
	}
	return &s.doc.Set.Rows[at[0]-1][at[1]-1]
}

// cellSays is what stands in a cell, as one says it.
func cellSays(c quilt.Cell) string {
	turn, mirror, recolor := c.Turn.Norm(), c.Mirror, c.Recolor
	c.Turn, c.Mirror, c.Recolor = 0, false, nil
	says := spell(c)
	if mirror {
		says += ", mirrored"
	}
	if turn != 0 {
		says += fmt.Sprintf(", turned %d", turn)
	}
	for _, from := range slices.Sorted(maps.Keys(recolor)) {
		says += ", " + recolor[from] + " for " + from
	}
	return says
}

// aside lays blocks that do not fit together in rows as they are written, each at its own size.
func (s *state) aside(v *topView, place func(int, placedView)) {
	if s.doc.Set == nil {
		return
	}
	var most exact.Num
	size := func(c quilt.Cell) (w, h exact.Num) {
		if b := s.doc.Named(c.Block); b != nil && b.Width.Sign() > 0 && b.Height.Sign() > 0 {
			return b.Width, b.Height
		}
		return most, most
	}
	for _, row := range s.doc.Set.Rows {
		for _, c := range row {
			w, h := size(c)
			most = exact.Max(most, exact.Max(w, h))
		}
	}
	if most.Sign() <= 0 {
		return
	}
	onPoint := s.doc.Set.Style == set.OnPoint
	step := most.Float() / math.Sqrt2
	y := 0.0
	for r, row := range s.doc.Set.Rows {
		x, high := 0.0, 0.0
		for c, cell := range row {
			w, h := size(cell)
			turn := float64(cell.Turn.Norm())
			wide, tall := w.Float(), h.Float()
			if int(turn)%180 != 0 {
				wide, tall = tall, wide
			}
			middle := [2]float64{x + wide/2, y + tall/2}
			if onPoint {
				turn += 45
				middle = [2]float64{float64(2*c+1+r%2) * step, float64(r+1) * step}
				v.Width, v.Height = max(v.Width, middle[0]+step), max(v.Height, middle[1]+step)
			}
			p := placedView{Turn: turn, Row: r + 1, Column: c + 1, Of: [2]int{r + 1, c + 1}, Says: cellSays(cell)}
			offX, offY := inQuilt(p, w.Float()/2, h.Float()/2)
			p.X, p.Y = middle[0]-offX, middle[1]-offY
			place(s.drafter.DrawCell(cell, w, h, cell.Turn.Norm()), p)
			x += wide
			high = max(high, tall)
		}
		if !onPoint {
			y += high
			v.Width, v.Height = max(v.Width, x), y
		}
	}
}

// inQuilt is a point of a placed block in the quilt.
func inQuilt(p placedView, x, y float64) (float64, float64) {
	sin, cos := math.Sincos(p.Turn * math.Pi / 180)
	return p.X + cos*x - sin*y, p.Y + sin*x + cos*y
}

// sizeSays is a finished size as one reads it: "12 in", "52 × 68 in".
func sizeSays(w, h float64, unit measure.Unit) string {
	if math.Abs(w-h) < 1e-9 {
		return measure.FormatWith(w, unit)
	}
	return measure.Format(w, unit) + " × " + measure.FormatWith(h, unit)
}

// sectionOf is the key at the head of the part of the document in which a line stands, or "".
func (s *state) sectionOf(at diag.Pos) string {
	key, n := "", 0
	for line := range strings.Lines(string(s.text)) {
		if n++; n > at.Line {
			break
		}
		if word, _, ok := strings.Cut(line, ":"); ok && word != "" && !strings.ContainsAny(word[:1], " \t#-\"'") {
			key = word
		}
	}
	return key
}

// lettersOf are the fabrics that the text of a block, or of what stands in a cell, names: in the order of the document.
func (s *state) lettersOf(c quilt.Cell) []string {
	out := []string{}
	used := map[int]bool{}
	if c.Block == "" {
		for i, f := range s.doc.Fabrics {
			used[i] = f.Letter == c.Fabric || slices.Contains(c.Fabrics, f.Letter)
		}
	} else {
		for _, p := range s.draw(draft.Use{Block: c.Block, At: c.At}).Patches {
			used[p.Fabric] = true
		}
	}
	for i, f := range s.doc.Fabrics {
		if used[i] {
			out = append(out, f.Letter)
		}
	}
	return out
}

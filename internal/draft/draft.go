// Package draft has one job: to turn the blocks of a document into patches that cover each block exactly.
//
// A block is drawn by lines on a grid (lines.go, fill.go) or laid out of cells (cells.go), and cells hold fabrics, units in
// the trade's words (units.go) and other blocks. In goes a quilt.Document, as quilt.Read returns it, so that names are known and no block contains itself;
// out come Blocks: each drawn once for every size, recolouring, hand and print direction that the quilt asks for, and each
// with its patches in exact finished measure. Package set asks for the blocks and places them; package piecing takes them
// apart. Nothing here knows seams, allowances or cloth, except the warnings about patches too thin to sew (sizes.go).
//
// What is wrong with a block becomes a finding, and the block is marked Broken and goes on with the patches so far.
//
//	d := draft.New(doc)
//	i := d.Draw(draft.Use{Block: "Paper Lantern"})
//	for _, p := range d.Blocks()[i].Patches { ... }
package draft

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"quiltwright/internal/diag"
	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
)

// MaxPatches is the most patches that one block may have. Blocks within blocks multiply: a short document could ask for more
// than fits any memory.
const MaxPatches = 250_000

// mostDrawn bounds the patches of all drawings together: a block drawn in a thousand colourings is a thousand drawings.
const mostDrawn = 1_000_000

// Patch is one patch, in finished measure.
type Patch struct {
	Outline plane.Polygon // clockwise as seen, a vertex at every true corner and nowhere else
	Fabric  int           // index into Document.Fabrics
	Up      plane.Turn    // where the print points, clockwise from up; 0 for a plain print, 0..135 for a two-way one
	At      diag.Pos      // the fill, ground or cell that names its fabric
	Cell    int           // patches of a unit that the writer put in a cell have the same number, from 1; 0: of none
}

// Arrow is quilt.Arrow in finished measure.
type Arrow = quilt.Arrow

// Block is a block as it is drawn once: one name, size, recolouring, hand and print direction.
type Block struct {
	Name    string
	Def     *quilt.Block // nil: a fabric or a unit that stands in the set like a block
	Recolor map[string]string
	Mirror  bool       // the patches are mirrored already
	Upright plane.Turn // where the quilt's up points in this block, clockwise; 0 where no print of the block stays up in the quilt
	Width   exact.Num
	Height  exact.Num
	Patches []Patch
	First   []plane.Segment // lines that the writer wants taken apart first, in this frame
	Press   []Arrow         // which way the writer wants seams pressed, in this frame
	Make    *quilt.Make     // choices of construction: the quilt's, overlaid by the block's own
	Broken  bool            // there are errors; Patches holds what came out well
}

// Use asks for a block.
type Use struct {
	Block         string
	Width, Height exact.Num         // finished, in the block's own frame; both zero: the size that the block names
	Recolor       map[string]string // fabric letter in the block's text -> letter here
	Mirror        bool
	Turn          plane.Turn // how the block lies in the quilt; matters only to prints that stay up in the quilt
	At            diag.Pos   // who asks, for findings
}

// Drafter draws blocks on demand and remembers them.
type Drafter struct {
	doc      *quilt.Document
	byName   map[string]*quilt.Block
	fabrics  map[string]int
	blocks   []*Block
	known    map[string]int      // key of a use -> index into blocks
	drawings map[string]*drawing // key of a drawing -> what it draws
	plots    map[*quilt.Block]*plot
	letters  map[string][]string // block's name -> letters that it draws with
	drawn    int                 // patches in all drawings
	found    diag.List
	said     map[string]bool
}

// drawing is a block drawn at one size, not mirrored, its box at 0,0.
type drawing struct {
	patches []Patch
	cells   int // units in cells so far
	broken  bool
	full    bool // more patches than can be drawn: broken, and so is every block around it
}

// New returns a Drafter for the document. It draws nothing yet.
func New(doc *quilt.Document) *Drafter {
	d := &Drafter{
		doc:      doc,
		byName:   map[string]*quilt.Block{},
		fabrics:  map[string]int{},
		known:    map[string]int{},
		drawings: map[string]*drawing{},
		plots:    map[*quilt.Block]*plot{},
		letters:  map[string][]string{},
		said:     map[string]bool{},
	}
	for _, b := range doc.Blocks {
		d.byName[b.Name] = b
	}
	for i, f := range doc.Fabrics {
		if _, twice := d.fabrics[f.Letter]; !twice {
			d.fabrics[f.Letter] = i
		}
	}
	return d
}

// Blocks returns every block asked for so far, in the order asked.
func (d *Drafter) Blocks() []*Block { return d.blocks }

// Findings returns what was found so far, each finding once, in the order found.
func (d *Drafter) Findings() diag.List { return d.found }

// Draw returns the index into Blocks of the block asked for. Equal requests give the same index. A block that cannot be drawn is
// Broken and has findings; its size is still the size asked for.
func (d *Drafter) Draw(use Use) int {
	def := d.byName[use.Block]
	if def == nil {
		b := &Block{Name: use.Block, Recolor: map[string]string{}, Mirror: use.Mirror,
			Width: use.Width, Height: use.Height, Make: d.choices(nil), Broken: true}
		return d.keep("?"+strconv.Quote(use.Block)+sizeKey(use.Width, use.Height), b, func() {
			d.report(diag.Finding{Code: "unknown-block", At: use.At, Says: fmt.Sprintf("there is no block “%s”", use.Block)})
		})
	}
	w, h := use.Width, use.Height
	if w.IsZero() && h.IsZero() {
		w, h = def.Width, def.Height
	}
	recolor := d.recolouring(use.Block, use.Recolor)
	// In the block's own frame, before it is mirrored, the quilt's up is found by undoing first the turn and then the mirror.
	up := d.upright(use.Block, recolor, hand(undo(use.Turn), use.Mirror))
	b := &Block{Name: use.Block, Def: def, Recolor: recolor, Mirror: use.Mirror, Upright: hand(up, use.Mirror),
		Width: w, Height: h, Make: d.choices(def.Make)}
	key := drawingKey(use.Block, w, h, recolor, up)
	if use.Mirror {
		key += "|m"
	}
	return d.keep(key, b, func() {
		drawn := d.draw(use.Block, w, h, recolor, up, use.At)
		b.Patches, b.Broken = drawn.patches, drawn.broken
		b.First = firstLines(def, w, h)
		b.Press = arrows(def, w, h)
		if use.Mirror {
			d.mirror(b)
		}
		d.checkSizes(b)
	})
}

// DrawCell returns the index into Blocks of what stands in a cell of the set: a block, a unit or a plain patch, of the given
// finished size in its own frame, before any turn. Turn is how it lies in the quilt, the cell's own turn included. The caller
// turns it; a mirrored cell is drawn mirrored.
func (d *Drafter) DrawCell(cell quilt.Cell, w, h exact.Num, turn plane.Turn) int {
	if cell.Block != "" {
		return d.Draw(Use{Block: cell.Block, Width: w, Height: h, Recolor: cell.Recolor, Mirror: cell.Mirror, Turn: turn, At: cell.At})
	}
	name, letters := cell.Fabric, []string{cell.Fabric}
	if cell.Unit != "" {
		name, letters = cell.Unit+" "+strings.Join(cell.Fabrics, " "), cell.Fabrics
	}
	// A patch or a unit is no block that could be recoloured again: the recolouring is carried out here.
	recolor := map[string]string{}
	for _, l := range letters {
		if to, ok := cell.Recolor[l]; ok && to != l {
			recolor[l] = to
		}
	}
	up := d.uprightOf(letters, recolor, hand(undo(turn), cell.Mirror))
	b := &Block{Name: name, Recolor: recolor, Mirror: cell.Mirror, Upright: hand(up, cell.Mirror), Width: w, Height: h, Make: d.choices(nil)}
	key := drawingKey("="+name, w, h, recolor, up)
	if cell.Mirror {
		key += "|m"
	}
	return d.keep(key, b, func() {
		upright := cell
		upright.Turn, upright.Mirror = 0, false
		drawn := &drawing{}
		d.drawCell(drawn, upright, plane.Point{}, w, h, recolor, up)
		b.Patches, b.Broken = drawn.patches, drawn.broken
		if cell.Mirror {
			d.mirror(b)
		}
		d.checkSizes(b)
	})
}

// keep returns the index of the block with this key; a new one is remembered and then finished by make.
func (d *Drafter) keep(key string, b *Block, finish func()) int {
	if i, ok := d.known[key]; ok {
		return i
	}
	d.known[key] = len(d.blocks)
	d.blocks = append(d.blocks, b)
	i := len(d.blocks) - 1
	finish()
	return i
}

// mirror turns the block over, left to right, in its own box.
func (d *Drafter) mirror(b *Block) {
	pose := plane.Pose{At: plane.Pt(b.Width, exact.Num{}), Mirror: true}
	patches := make([]Patch, len(b.Patches)) // the drawing is shared
	for i, p := range b.Patches {
		p.Outline = pose.ApplyPolygon(p.Outline)
		p.Up = d.asPrinted(hand(p.Up, true), p.Fabric)
		patches[i] = p
	}
	b.Patches = patches
	for i, s := range b.First {
		b.First[i] = plane.Segment{A: pose.Apply(s.A), B: pose.Apply(s.B)}
	}
	for i, a := range b.Press {
		b.Press[i].From, b.Press[i].To = pose.Apply(a.From), pose.Apply(a.To)
	}
}

// draw draws a block at a size, not mirrored, up being where the quilt's up points in it. Drawings are remembered.
func (d *Drafter) draw(name string, w, h exact.Num, recolor map[string]string, up plane.Turn, at diag.Pos) *drawing {
	def := d.byName[name]
	if def == nil {
		d.report(diag.Finding{Code: "unknown-block", At: at, Says: fmt.Sprintf("there is no block “%s”", name)})
		return &drawing{broken: true}
	}
	key := drawingKey(name, w, h, recolor, up)
	if known := d.drawings[key]; known != nil {
		return known
	}
	out := &drawing{}
	switch {
	case w.Sign() <= 0 || h.Sign() <= 0: // quilt.Read has said why
		out.broken = true
	case !sameShape(w, h, def.Width, def.Height):
		d.report(diag.Finding{Code: "wrong-shape", At: at, Block: name,
			Says:   fmt.Sprintf("“%s” is %s and cannot be drawn %s", name, d.size(def.Width, def.Height), d.size(w, h)),
			Remedy: "give it a place of its own shape, or draw the block again in this shape"})
		out.broken = true
	case d.drawn > mostDrawn:
		d.tooMany(out, at)
	case def.Drawn():
		d.drawLines(out, def, w, h, recolor, up)
	default:
		d.drawCells(out, def, w, h, recolor, up)
	}
	out.broken = out.broken || def.Broken
	d.drawings[key] = out
	d.drawn += len(out.patches)
	return out
}

// tooMany reports that a drawing is full.
func (d *Drafter) tooMany(out *drawing, at diag.Pos) {
	out.broken, out.full = true, true
	out.patches = nil
	d.report(diag.Finding{Code: "too-many-patches", At: at,
		Says:   fmt.Sprintf("this makes too many patches: a block has at most %d, all different blocks together %d", MaxPatches, mostDrawn),
		Remedy: "blocks within blocks multiply: nest them less deep, or recolour them less"})
}

// report adds a finding unless the same was said before: a block drawn twice has its faults once.
func (d *Drafter) report(f diag.Finding) {
	key := fmt.Sprint(f.At, f.Code, f.Says)
	if !d.said[key] {
		d.said[key] = true
		d.found.Add(f)
	}
}

// recolouring returns the part of a recolouring that changes anything in the block.
func (d *Drafter) recolouring(block string, recolor map[string]string) map[string]string {
	out := map[string]string{}
	if len(recolor) == 0 {
		return out
	}
	for _, l := range d.lettersOf(block) {
		if to, ok := recolor[l]; ok && to != l {
			out[l] = to
		}
	}
	return out
}

// lettersOf returns the letters of the fabrics that a block draws with, blocks within it included.
func (d *Drafter) lettersOf(name string) []string {
	known, ok := d.letters[name]
	if !ok {
		known = d.doc.Letters(name)
		d.letters[name] = known
	}
	return known
}

// upright returns up where a print of the block stays up in the quilt, else 0, so that the block is drawn once however it lies.
func (d *Drafter) upright(block string, recolor map[string]string, up plane.Turn) plane.Turn {
	if up == 0 {
		return 0
	}
	return d.uprightOf(d.lettersOf(block), recolor, up)
}

func (d *Drafter) uprightOf(letters []string, recolor map[string]string, up plane.Turn) plane.Turn {
	matters := plane.Turn(0) // the turn after which every print of the block looks the same
	for _, l := range letters {
		i, ok := d.fabrics[swap(recolor, l)]
		if !ok || d.doc.Fabrics[i].Upright != quilt.UprightQuilt {
			continue
		}
		switch d.doc.Fabrics[i].Print {
		case quilt.OneWay:
			return up
		case quilt.TwoWay:
			matters = 180
		}
	}
	if matters == 0 {
		return 0
	}
	return up % matters
}

// patch makes a patch of the fabric with this letter, in a frame where the quilt's up points to up. An unknown fabric makes
// the drawing broken: quilt.Read has reported it.
func (d *Drafter) patch(out *drawing, outline plane.Polygon, letter string, up plane.Turn, at diag.Pos) {
	i, ok := d.fabrics[letter]
	if !ok {
		out.broken = true
		return
	}
	p := Patch{Outline: outline, Fabric: i, At: at}
	if d.doc.Fabrics[i].Upright == quilt.UprightQuilt {
		p.Up = up
	}
	p.Up = d.asPrinted(p.Up, i)
	out.patches = append(out.patches, p)
}

// asPrinted reduces a direction to what can be told apart in the fabric.
func (d *Drafter) asPrinted(up plane.Turn, fabric int) plane.Turn {
	return AsPrinted(up, d.doc.Fabrics[fabric].Print)
}

// AsPrinted reduces the direction of a print to what can be told apart: 0 for a plain one, 0..135 for a two-way one.
func AsPrinted(up plane.Turn, print quilt.Print) plane.Turn {
	up = (up%360 + 360) % 360
	switch print {
	case quilt.OneWay:
		return up
	case quilt.TwoWay:
		return up % 180
	default:
		return 0
	}
}

// choices overlays the quilt's choices of construction by a block's own.
func (d *Drafter) choices(own *quilt.Make) *quilt.Make {
	out := d.doc.Make
	out.FitBy = maps.Clone(out.FitBy)
	if own == nil {
		return &out
	}
	for _, c := range []struct{ to, from *string }{
		{&out.HalfSquares, &own.HalfSquares}, {&out.Hourglass, &own.Hourglass}, {&out.Three, &own.Three}, {&out.Geese, &own.Geese},
		{&out.InSquare, &own.InSquare},
		{&out.StripSets, &own.StripSets}, {&out.Corners, &own.Corners}, {&out.Fit, &own.Fit}, {&out.Press, &own.Press},
	} {
		if *c.from != "" {
			*c.to = *c.from
		}
	}
	if own.Fit != "" {
		out.FitBy = nil // the block's own word for all its units comes before the quilt's word for one kind
	}
	if len(own.FitBy) > 0 {
		if out.FitBy == nil {
			out.FitBy = map[string]string{}
		}
		maps.Copy(out.FitBy, own.FitBy)
	}
	if own.Spare.Sign() >= 0 {
		out.Spare = own.Spare
	}
	return &out
}

// hand returns a direction as it is after mirroring left to right, if mirrored.
func hand(t plane.Turn, mirrored bool) plane.Turn {
	if mirrored {
		return undo(t)
	}
	return (t%360 + 360) % 360
}

// undo returns the turn that undoes t.
func undo(t plane.Turn) plane.Turn { return (360 - t%360) % 360 }

func swap(recolor map[string]string, letter string) string {
	if to, ok := recolor[letter]; ok {
		return to
	}
	return letter
}

// sameShape reports whether two rectangles differ in size only.
func sameShape(w, h, w2, h2 exact.Num) bool { return w.Mul(h2).Equal(h.Mul(w2)) }

func drawingKey(name string, w, h exact.Num, recolor map[string]string, up plane.Turn) string {
	var b strings.Builder
	b.WriteString(strconv.Quote(name))
	b.WriteString(sizeKey(w, h))
	for _, l := range slices.Sorted(maps.Keys(recolor)) {
		fmt.Fprintf(&b, "|%s>%s", l, recolor[l])
	}
	if up != 0 {
		fmt.Fprintf(&b, "|up %d", int(up))
	}
	return b.String()
}

func sizeKey(w, h exact.Num) string { return "|" + w.Key() + "|" + h.Key() }

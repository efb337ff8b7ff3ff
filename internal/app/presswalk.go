package app

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"quiltwright/internal/compile"
	"quiltwright/internal/draft"
	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
	"quiltwright/internal/press"
	"quiltwright/internal/words"
)

// presswalk looks at every seam of a block, or of the top.
type presswalk struct {
	r     *compile.Result
	b     int    // compile.Whole of the top
	name  string // "" of the top
	title string
	block *draft.Block // nil of the top
	press []draft.Arrow
	areas []plane.Polygon // what an arrow goes from and to: patches; in the top blocks, too
	paths [][]int         // part numbers down to each of them
	ids   []string
	whole map[string]bool // paths to what is not looked into
	seams []foundSeam
	meets []pressMeet
	units []int                  // that are met, each once
	meet  map[[2]int][]pressMeet // of the quilt, by unit and way
	spins [][][]press.Point      // of the quilt
}

// foundSeam is a join of a unit where it lies in the block.
type foundSeam struct {
	unit, join, way int
	line            plane.Segment
	path            []int
	spins           []foundSpin
}

// foundSpin is a crossing of a seam at which it can be spun.
type foundSpin struct {
	in press.Point // in its unit
	at [2]float64  // in the block
}

// newBlockwalk walks through a block.
func newBlockwalk(r *compile.Result, b int, meet map[[2]int][]pressMeet) *presswalk {
	block := r.Blocks[b]
	w := &presswalk{r: r, b: b, meet: meet, block: block, name: block.Name, title: block.Name, press: block.Press, ids: r.UnitIDs(), spins: press.Spins(r.Units)}
	for _, p := range block.Patches {
		w.areas = append(w.areas, p.Outline)
	}
	use := r.Pieced.Blocks[b]
	way := 0
	if u := &r.Units[use.Unit]; u.BatchesWay(0) == 0 && u.BatchesWay(1) > 0 {
		way = 1
	}
	w.walk(use.Unit, use.Pose, way, nil)
	return w
}

// newTopwalk walks through the top, and not into its blocks.
func newTopwalk(r *compile.Result, meet map[[2]int][]pressMeet) *presswalk {
	w := &presswalk{r: r, b: compile.Whole, meet: meet, title: "Quilt top", ids: r.UnitIDs(), spins: press.Spins(r.Units), whole: map[string]bool{}}
	if r.Doc.Set == nil || r.Pieced.Top < 0 {
		return w
	}
	w.press = r.Doc.Set.Press
	placed, patches := r.TopLeaves()
	for i, p := range r.Top.Placed {
		b := r.Blocks[p.Block]
		w.areas = append(w.areas, p.Pose.ApplyPolygon(plane.Rectangle(b.Width, b.Height)))
		w.whole[fmt.Sprint(placed[i])] = true
	}
	for _, p := range r.Top.Patches {
		w.areas = append(w.areas, p.Outline)
	}
	w.paths = append(placed, patches...)
	w.walk(r.Pieced.Top, plane.Pose{}, 0, nil)
	return w
}

func (w *presswalk) walk(u int, pose plane.Pose, way int, path []int) {
	unit := &w.r.Units[u]
	if unit.Leaf != nil || w.whole != nil && w.whole[fmt.Sprint(path)] {
		return
	}
	if !slices.Contains(w.units, u) {
		w.units = append(w.units, u)
	}
	for k, part := range unit.Parts {
		w.walk(part.Unit, part.Pose.Then(pose), w.r.Ways.Of(u, k, way), append(slices.Clone(path), k))
	}
	for k, j := range unit.Joins {
		f := foundSeam{unit: u, join: k, way: way, line: plane.Segment{A: pose.Apply(j.Seam.A), B: pose.Apply(j.Seam.B)}, path: path}
		for _, x := range w.spins[u][k] {
			f.spins = append(f.spins, foundSpin{x, applied(pose, [2]float64{x.X, x.Y})})
		}
		w.seams = append(w.seams, f)
	}
	for _, m := range w.meet[[2]int{u, way}] {
		w.meets = append(w.meets, pressMeet{applied(pose, m.At), m.Is})
	}
}

// applied is where a point of a unit lies in the block.
func applied(p plane.Pose, at [2]float64) [2]float64 {
	x, y := at[0], at[1]
	if p.Mirror {
		x = -x
	}
	s, c := math.Sincos(float64(p.Turn) * math.Pi / 180)
	return [2]float64{c*x - s*y + p.At.X.Float(), s*x + c*y + p.At.Y.Float()}
}

// unmet counts the meetings that do not nest.
func (w *presswalk) unmet() int {
	n := 0
	for _, m := range w.meets {
		if m.Is != "nested" {
			n++
		}
	}
	return n
}

// mostUnmet is how many meetings that do not nest are told one by one.
const mostUnmet = 20

// same says what cannot nest in the block, meeting by meeting, and why.
func (w *presswalk) same(all []words.Text) []string {
	out := []string{}
	unmet := w.r.Plan.Press.Unmet
	if len(all) < len(unmet) {
		return out
	}
	all = all[len(all)-len(unmet):] // after what sums them up
	left := 0
	for i, m := range unmet {
		switch at := slices.Index(w.ids, m.Unit); {
		case !slices.Contains(w.units, at):
		case len(out) == mostUnmet:
			left++
		default:
			out = append(out, string(all[i]))
		}
	}
	if left > 0 {
		out = append(out, fmt.Sprintf("And %d more.", left))
	}
	return out
}

// view is what the page draws.
func (w *presswalk) view(say *words.Teller) *pressBlock {
	v := &pressBlock{Name: w.name, Title: w.title, Meets: w.meets, Patches: []pressPatch{}, Seams: []pressSeam{}, First: []string{}, Many: len(w.seams) > mostSeams}
	if v.Meets == nil {
		v.Meets = []pressMeet{}
	}
	if w.b == compile.Whole {
		w.drawTop(v)
	} else {
		w.drawBlock(v)
	}
	if v.Many {
		return v
	}
	insides := make([]*plane.Point, len(w.areas))
	for i, a := range w.areas {
		if in, ok := w.inside(a); ok {
			insides[i] = &in
		}
	}
	said, spun := w.arrows()
	lines := w.straight()
	pressing := map[int][]words.Text{}
	for order, f := range w.seams {
		out := pressSeam{Spins: []pressSpin{}, Name: w.ids[f.unit] + "." + strconv.Itoa(f.join+1), From: pointOf(f.line.A), To: pointOf(f.line.B), Kind: w.r.Units[f.unit].Joins[f.join].Kind.String(), Order: order + 1}
		if _, known := pressing[f.unit]; !known {
			pressing[f.unit] = say.Pressing(w.ids[f.unit])
		}
		if all := pressing[f.unit]; f.join < len(all) {
			out.Is = string(all[f.join])
		}
		for _, x := range f.spins {
			s := pressSpin{At: x.at, Spun: slices.Contains(w.r.Spun(f.unit, f.way, f.join), x.in), Point: w.written(x.at)}
			if a, ok := spun[spinAt{f.unit, f.join, x.in}]; ok && s.Spun {
				s.Said, s.Of, s.Arrow = true, a.block, a.arrow
			}
			out.Spins = append(out.Spins, s)
		}
		if a, ok := said[[2]int{f.unit, f.join}]; ok {
			out.Said, out.Of, out.Arrow = true, a.block, a.arrow
		}
		out.First = lines(f.line)
		w.point(f, insides, &out)
		v.Seams = append(v.Seams, out)
	}
	return v
}

// drawBlock draws the patches of the block.
func (w *presswalk) drawBlock(v *pressBlock) {
	from := originsOf(w.r)
	v.Width, v.Height, v.Cells = w.block.Width.Float(), w.block.Height.Float(), !w.block.Def.Drawn()
	for _, run := range w.block.Def.First {
		var at []string
		for _, p := range run.Points {
			at = append(at, draft.GridPoint(p))
		}
		v.First = append(v.First, strings.Join(at, " "))
	}
	for i, p := range w.block.Patches {
		out := w.patch(p.Fabric, p.Outline)
		if !v.Many {
			w.paths = append(w.paths, w.r.Leaf(w.b, i))
			out.Labels = from.labels(w.r.Pieced.Blocks[w.b].Unit, w.paths[i])
			if in, ok := w.inside(p.Outline); ok {
				out.At = pointOf(w.laid(in))
			}
		}
		v.Patches = append(v.Patches, out)
	}
}

// drawTop draws the patches of the top: those of its blocks, too.
func (w *presswalk) drawTop(v *pressBlock) {
	r, from := w.r, originsOf(w.r)
	v.Width, v.Height = r.Top.Width.Float(), r.Top.Height.Float()
	put := func(fabric int, outline plane.Polygon, labels func() []string) {
		out := w.patch(fabric, outline)
		if !v.Many {
			out.Labels = labels()
			if in, ok := w.inside(outline); ok {
				out.At = pointOf(in)
			}
		}
		v.Patches = append(v.Patches, out)
	}
	known := map[[2]int][]string{}
	for _, placed := range r.Top.Placed {
		for i, p := range r.Blocks[placed.Block].Patches {
			put(p.Fabric, placed.Pose.ApplyPolygon(p.Outline), func() []string {
				at := [2]int{placed.Block, i}
				if known[at] == nil {
					known[at] = from.ofBlock(placed.Block, i)
				}
				return known[at]
			})
		}
	}
	for i, p := range r.Top.Patches {
		put(p.Fabric, p.Outline, func() []string { return from.labels(r.Pieced.Top, w.paths[len(r.Top.Placed)+i]) })
	}
}

// patch is a patch to be drawn.
func (w *presswalk) patch(fabric int, outline plane.Polygon) pressPatch {
	f := w.r.Doc.Fabrics[fabric]
	return pressPatch{Fabric: f.Letter, Color: f.Color, Dark: f.Value == "dark", Labels: []string{}, Points: outlineOf(outline)}
}

// point finds the arrows over a seam, and the way that it is pressed.
func (w *presswalk) point(f foundSeam, insides []*plane.Point, out *pressSeam) {
	j := w.r.Units[f.unit].Joins[f.join]
	a, b := w.beside(f, j.A), w.beside(f, j.B)
	if a < 0 || b < 0 {
		return
	}
	toward, ok := w.r.Toward(f.unit, f.way, f.join)
	if !ok {
		return
	}
	to, from := b, a
	if toward == j.A {
		to, from = a, b
	}
	// Square to the seam, toward the patch.
	dx, dy := out.To[0]-out.From[0], out.To[1]-out.From[1]
	l := math.Hypot(dx, dy)
	nx, ny := -dy/l, dx/l
	if w.sideOf(f.line, to) < 0 {
		nx, ny = -nx, -ny
	}
	if toward >= 0 {
		out.Way = [2]float64{nx, ny}
	}
	if insides[from] == nil || insides[to] == nil {
		return
	}
	keep, turn := draft.GridPoint(*insides[from])+" "+draft.GridPoint(*insides[to]), draft.GridPoint(*insides[to])+" "+draft.GridPoint(*insides[from])
	if unit, joins, _ := w.r.Seam(w.b, draft.Arrow{From: w.laid(*insides[from]), To: w.laid(*insides[to])}); unit == f.unit && slices.Contains(joins, f.join) {
		out.Keep, out.Turn = keep, turn
	}
}

// beside is the patch under a part of the seam's unit that lies at the seam nearest its middle, -1 for none.
func (w *presswalk) beside(f foundSeam, part int) int {
	prefix := append(slices.Clone(f.path), part)
	best, far := -1, 0.0
	mid := f.line.Mid()
	mx, my := mid.X.Float(), mid.Y.Float()
	for i, leaf := range w.paths {
		if len(leaf) < len(prefix) || !slices.Equal(leaf[:len(prefix)], prefix) {
			continue
		}
		for _, e := range w.areas[i].Edges() {
			if plane.Orient(f.line.A, f.line.B, e.A) != 0 || plane.Orient(f.line.A, f.line.B, e.B) != 0 {
				continue
			}
			em := e.Mid()
			if d := math.Hypot(em.X.Float()-mx, em.Y.Float()-my); best < 0 || d < far-1e-9 {
				best, far = i, d
			}
		}
	}
	return best
}

// sideOf is 1 where the patch lies to the right of the line, walking along it, and -1 to the left: by the corner furthest from it.
func (w *presswalk) sideOf(line plane.Segment, patch int) int {
	ax, ay := line.A.X.Float(), line.A.Y.Float()
	dx, dy := line.B.X.Float()-ax, line.B.Y.Float()-ay
	most := 0.0
	for _, p := range w.areas[patch] {
		if d := dx*(p.Y.Float()-ay) - dy*(p.X.Float()-ax); math.Abs(d) > math.Abs(most) {
			most = d
		}
	}
	if most < 0 {
		return -1
	}
	return 1
}

// saidArrow is an arrow that decides a seam.
type saidArrow struct {
	block string // "": the set
	arrow int
}

// spinAt is a crossing of a join.
type spinAt struct {
	unit, join int
	at         press.Point
}

// arrows are the joins that the writer decides, in any block and in the set, and the crossings that are to be spun.
func (w *presswalk) arrows() (map[[2]int]saidArrow, map[spinAt]saidArrow) {
	out, spun := map[[2]int]saidArrow{}, map[spinAt]saidArrow{}
	read := func(of int, name string, all []draft.Arrow) {
		for i, a := range all {
			if a.Spun {
				unit, join, at := w.r.Crossing(of, a.From, w.spins)
				if _, ok := spun[spinAt{unit, join, at}]; unit >= 0 && (!ok || name == w.name) {
					spun[spinAt{unit, join, at}] = saidArrow{name, i + 1}
				}
				continue
			}
			unit, joins, _ := w.r.Seam(of, a)
			for _, k := range joins {
				if _, ok := out[[2]int{unit, k}]; !ok || name == w.name {
					out[[2]int{unit, k}] = saidArrow{name, i + 1}
				}
			}
		}
	}
	for b, block := range w.r.Blocks {
		read(b, block.Name, block.Press)
	}
	if w.r.Doc.Set != nil {
		read(compile.Whole, "", w.r.Doc.Set.Press)
	}
	return out, spun
}

// written is a crossing as the document writes it, "" where it cannot.
func (w *presswalk) written(at [2]float64) string {
	at = w.stepsAt(at)
	var n [2]exact.Num
	for k, x := range at {
		den := int64(1)
		for ; den <= 400 && math.Abs(x*float64(den)-math.Round(x*float64(den))) > 1e-6; den++ {
		}
		if den > 400 {
			return ""
		}
		n[k] = exact.Frac(int64(math.Round(x*float64(den))), den)
	}
	p := plane.Pt(n[0], n[1])
	if unit, _, _ := w.r.Crossing(w.b, w.laid(p), w.spins); unit < 0 {
		return ""
	}
	return draft.GridPoint(p)
}

// inside is a point as the document writes it that lies well inside a patch, with numbers as short as can be: in the block's own steps, or of
// the top in finished lengths.
func (w *presswalk) inside(pg plane.Polygon) (plane.Point, bool) {
	var middles [][2]float64
	var sum [2]float64
	for _, p := range pg {
		sum[0], sum[1] = sum[0]+p.X.Float()/float64(len(pg)), sum[1]+p.Y.Float()/float64(len(pg))
	}
	middles = append(middles, sum)
	for i := range pg { // of a patch that is not convex: in one of its corners
		a, b, c := pg[i], pg[(i+1)%len(pg)], pg[(i+2)%len(pg)]
		middles = append(middles, [2]float64{(a.X.Float() + b.X.Float() + c.X.Float()) / 3, (a.Y.Float() + b.Y.Float() + c.Y.Float()) / 3})
	}
	for _, m := range middles {
		at := w.stepsAt(m)
		for den := int64(2); den <= 512; den *= 2 {
			p := plane.Pt(exact.Frac(int64(math.Round(at[0]*float64(den))), den), exact.Frac(int64(math.Round(at[1]*float64(den))), den))
			if pg.Contains(w.laid(p)) > 0 {
				return p, true
			}
		}
	}
	return plane.Point{}, false
}

// laid is where a point that the document writes lies in what is drawn here; a block may be mirrored.
func (w *presswalk) laid(p plane.Point) plane.Point {
	if w.b == compile.Whole {
		return p
	}
	at := w.block.Def.Laid(p, w.block.Width, w.block.Height)
	if w.block.Mirror {
		at.X = w.block.Width.Sub(at.X)
	}
	return at
}

// stepsAt is a point of what is drawn here as the document counts.
func (w *presswalk) stepsAt(m [2]float64) [2]float64 {
	if w.b == compile.Whole {
		return m
	}
	if w.block.Mirror {
		m[0] = w.block.Width.Float() - m[0]
	}
	def := w.block.Def
	if def.Drawn() {
		return [2]float64{m[0] / w.block.Width.Float() * float64(def.Columns), m[1] / w.block.Height.Float() * float64(def.Rows)}
	}
	along := func(x, length float64, sizes []exact.Num) float64 {
		sum := 0.0
		for _, s := range sizes {
			sum += s.Float()
		}
		for i, s := range sizes {
			own := s.Float() / sum * length
			if x <= own || i == len(sizes)-1 {
				return float64(i) + x/own
			}
			x -= own
		}
		return 0
	}
	return [2]float64{along(m[0], w.block.Width.Float(), def.ColumnSizes), along(m[1], w.block.Height.Float(), def.RowSizes)}
}

// straight returns what finds the line, as long as sides of patches go on, that holds a seam: as a line of the document, for a drawn block.
func (w *presswalk) straight() func(plane.Segment) string {
	if w.b == compile.Whole || !w.block.Def.Drawn() {
		return func(plane.Segment) string { return "" }
	}
	var edges []plane.Segment
	for _, p := range w.block.Patches {
		edges = append(edges, p.Outline.Edges()...)
	}
	known := map[plane.Segment]string{}
	return func(s plane.Segment) string {
		if says, ok := known[s]; ok {
			return says
		}
		line := s
		for grown := true; grown; {
			grown = false
			for _, e := range edges {
				if plane.Orient(line.A, line.B, e.A) != 0 || plane.Orient(line.A, line.B, e.B) != 0 {
					continue
				}
				for _, two := range [][2]plane.Point{{e.A, e.B}, {e.B, e.A}} {
					in, out := two[0], two[1]
					if !line.Contains(in) || line.Contains(out) {
						continue
					}
					if (plane.Segment{A: line.A, B: out}).Contains(line.B) {
						line.B, grown = out, true
					} else {
						line.A, grown = out, true
					}
				}
			}
		}
		says := ""
		a, okA := w.gridPoint(line.A)
		b, okB := w.gridPoint(line.B)
		if okA && okB {
			says = a + " " + b
		}
		known[s] = says
		return says
	}
}

// gridPoint is a point of the block as the document writes it; ok is false where it cannot be written.
func (w *presswalk) gridPoint(p plane.Point) (string, bool) {
	x := p.X
	if w.block.Mirror {
		x = w.block.Width.Sub(x)
	}
	x, y := x.Mul(exact.Int(int64(w.block.Def.Columns))).Div(w.block.Width), p.Y.Mul(exact.Int(int64(w.block.Def.Rows))).Div(w.block.Height)
	for _, n := range []exact.Num{x, y} {
		if _, den, ok := n.Rat(); !ok || den > 1000 {
			return "", false
		}
	}
	return draft.GridPoint(plane.Pt(x, y)), true
}

func outlineOf(pg plane.Polygon) [][2]float64 {
	out := make([][2]float64, len(pg))
	for i, p := range pg {
		out[i] = pointOf(p)
	}
	return out
}

func pointOf(p plane.Point) [2]float64 { return [2]float64{p.X.Float(), p.Y.Float()} }

// layers is how thick the cloth lies at the crossings of the block, or of the top, where it stands; none where the plan was made in haste.
func (w *presswalk) layers(say *words.Teller) ([]pressLayers, string) {
	unit, pose := w.r.Pieced.Top, plane.Pose{}
	if w.b != compile.Whole {
		unit, pose = w.r.Pieced.Blocks[w.b].Unit, w.r.Pieced.Blocks[w.b].Pose
	}
	out := []pressLayers{}
	s, c := math.Sincos(float64(pose.Turn) * math.Pi / 180)
	for _, x := range say.Crossings(w.ids[unit]) {
		at := [2]float64{float64(x.At[0]), float64(x.At[1])}
		if pose.Mirror {
			at[0] = -at[0]
		}
		out = append(out, pressLayers{[2]float64{c*at[0] - s*at[1] + pose.At.X.Float(), s*at[0] + c*at[1] + pose.At.Y.Float()}, x.Layers})
	}
	return out, string(say.Bulk(w.ids[unit]))
}

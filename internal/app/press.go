package app

import (
	"fmt"
	"math"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"quiltwright/internal/compile"
	"quiltwright/internal/draft"
	"quiltwright/internal/exact"
	"quiltwright/internal/plan"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
	"quiltwright/internal/set"
	"quiltwright/internal/words"
)

// pressView is which way seams are pressed, in one block.
type pressView struct {
	planView
	Blocks  []pressName `json:"blocks"`
	Block   *pressBlock `json:"block"` // null where there is none
	Sums    string      `json:"sums"`  // of the whole quilt
	Unmet   []string    `json:"unmet"` // what cannot nest, in words, in this block
	Found   []foundView `json:"found"`
	Fabrics []string    `json:"fabrics"` // letters and names, to read the block by
}

func (v pressView) about() string {
	if v.Block == nil {
		return ""
	}
	return v.Block.Name
}

// pressName is a block in the list of blocks.
type pressName struct {
	Name string `json:"name"`
	Says string `json:"says"` // how many seams of it do not nest, and how many are pressed as the writer says
}

// pressBlock is a block with its seams, in finished lengths.
type pressBlock struct {
	Name    string       `json:"name"`
	Width   float64      `json:"width"`
	Height  float64      `json:"height"`
	Month   int          `json:"month"`
	Cells   bool         `json:"cells"`
	Patches []pressPatch `json:"patches"`
	Seams   []pressSeam  `json:"seams"`
	Meets   []pressMeet  `json:"meets"`
	Many    bool         `json:"many"`  // more seams than can be pointed at
	First   []string     `json:"first"` // lines along which it is taken apart first, as they are written
}

// mostSeams is how many seams of a block can be pointed at.
const mostSeams = 2000

// pressPatch is a patch and the pieces that it comes from.
type pressPatch struct {
	Points [][2]float64 `json:"points"`
	Fabric string       `json:"fabric"`
	Color  string       `json:"color"`
	Dark   bool         `json:"dark"`
	Labels []string     `json:"labels"`
	At     [2]float64   `json:"at"` // a point inside
}

// pressSeam is a seam where it lies in the block. Seams of one unit share a name and are pressed alike.
type pressSeam struct {
	Name  string     `json:"name"`
	From  [2]float64 `json:"from"`
	To    [2]float64 `json:"to"`
	Way   [2]float64 `json:"way"`  // the direction that it is pressed in; 0,0 is open
	Is    string     `json:"is"`   // "toward the light" in words
	Keep  string     `json:"keep"` // the arrow that says how it is pressed now; "" where none can
	Turn  string     `json:"turn"` // and the one that presses it the other way
	Arrow int        `json:"arrow"`
	Of    string     `json:"of"`    // the block whose arrow decides, "" where the plan does
	First string     `json:"first"` // the line through the block that holds it, as it is written; "" where none can be
	Kind  string     `json:"kind"`  // straight | partial | set in
	Order int        `json:"order"` // in the order of sewing
}

// pressMeet is a point where seams meet.
type pressMeet struct {
	At [2]float64 `json:"at"`
	Is string     `json:"is"` // nested | open | same
}

// viewPress makes the view.
func viewPress(s *state, q url.Values) any {
	common, r := s.common(q)
	v := pressView{planView: common, Blocks: []pressName{}, Unmet: []string{}, Found: []foundView{}, Fabrics: []string{}}
	if r == nil {
		v.Found = s.findingsOf("")
		return v
	}
	say := words.Of(r.Plan)
	sums := say.Meetings()
	v.Sums = string(sums[0])
	for _, f := range r.Plan.Fabrics {
		v.Fabrics = append(v.Fabrics, f.Letter+" "+f.Name)
	}
	meet := map[[2]int][]pressMeet{}
	for _, m := range r.Press.Meetings {
		meet[[2]int{m.Unit, m.Way}] = append(meet[[2]int{m.Unit, m.Way}], pressMeet{[2]float64{m.X, m.Y}, m.Is})
	}
	at := -1
	var walks []*presswalk
	for b, block := range r.Blocks {
		if block.Def == nil || r.Pieced.Blocks[b].Unit < 0 || len(block.Patches) < 2 || slices.ContainsFunc(v.Blocks, func(n pressName) bool { return n.Name == block.Name }) {
			continue
		}
		if !slices.ContainsFunc(r.Top.Placed, func(p set.Placed) bool { return p.Block == b }) {
			continue // it is sewn within others, and pressed there
		}
		w := newPresswalk(r, b, meet)
		if block.Name == q.Get("block") {
			at = len(walks)
		}
		says := ""
		if n := w.unmet(); n > 0 {
			says = counted(n, "meeting") + " that cannot nest"
		}
		if n := len(block.Def.Press); n > 0 {
			says = strings.TrimPrefix(says+" · "+counted(n, "seam")+" as you say", " · ")
		}
		v.Blocks = append(v.Blocks, pressName{block.Name, says})
		walks = append(walks, w)
	}
	if len(walks) == 0 {
		return v
	}
	w := walks[max(at, 0)]
	v.Block = w.view(say)
	v.Block.Month = 1 + slices.IndexFunc(s.doc.Months, func(m quilt.Month) bool {
		return slices.ContainsFunc(m.Blocks, func(b quilt.MonthBlock) bool { return b.Block == v.Block.Name })
	})
	v.Found = slices.DeleteFunc(s.findingsOf(v.Block.Name), func(f foundView) bool { return f.Block == "" && f.Severity != "error" })
	v.Unmet = w.same(sums)
	return v
}

// presswalk looks at every seam of a block.
type presswalk struct {
	r      *compile.Result
	b      int
	block  *draft.Block
	ids    []string
	leaves [][]int // part numbers down to each patch
	seams  []foundSeam
	meets  []pressMeet
	units  []int                  // that are met, each once
	meet   map[[2]int][]pressMeet // of the quilt, by unit and way
}

// foundSeam is a join of a unit where it lies in the block.
type foundSeam struct {
	unit, join, way int
	line            plane.Segment
	path            []int
}

func newPresswalk(r *compile.Result, b int, meet map[[2]int][]pressMeet) *presswalk {
	w := &presswalk{r: r, b: b, meet: meet, block: r.Blocks[b], ids: r.UnitIDs()}
	use := r.Pieced.Blocks[b]
	way := 0
	if u := &r.Units[use.Unit]; u.BatchesWay(0) == 0 && u.BatchesWay(1) > 0 {
		way = 1
	}
	w.walk(use.Unit, use.Pose, way, nil)
	return w
}

func (w *presswalk) walk(u int, pose plane.Pose, way int, path []int) {
	unit := &w.r.Units[u]
	if unit.Leaf != nil {
		return
	}
	if !slices.Contains(w.units, u) {
		w.units = append(w.units, u)
	}
	for k, part := range unit.Parts {
		w.walk(part.Unit, part.Pose.Then(pose), w.r.Ways.Of(u, k, way), append(slices.Clone(path), k))
	}
	for k, j := range unit.Joins {
		w.seams = append(w.seams, foundSeam{u, k, way, plane.Segment{A: pose.Apply(j.Seam.A), B: pose.Apply(j.Seam.B)}, path})
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
	r, block := w.r, w.block
	v := &pressBlock{Name: block.Name, Width: block.Width.Float(), Height: block.Height.Float(), Cells: !block.Def.Drawn(), Patches: []pressPatch{}, Seams: []pressSeam{}, Meets: w.meets, First: []string{}}
	if v.Meets == nil {
		v.Meets = []pressMeet{}
	}
	for _, run := range block.Def.First {
		var at []string
		for _, p := range run.Points {
			at = append(at, draft.GridPoint(p))
		}
		v.First = append(v.First, strings.Join(at, " "))
	}
	v.Many = len(w.seams) > mostSeams
	insides := make([]*plane.Point, len(block.Patches))
	for i, p := range block.Patches {
		f := r.Doc.Fabrics[p.Fabric]
		out := pressPatch{Fabric: f.Letter, Color: f.Color, Dark: f.Value == "dark", Labels: []string{}, Points: outlineOf(p.Outline)}
		if !v.Many {
			w.leaves = append(w.leaves, r.Leaf(w.b, i))
			out.Labels = w.labels(w.leaves[i])
			if in, ok := w.inside(p.Outline); ok {
				insides[i] = &in
				laid := w.laid(in)
				out.At = [2]float64{laid.X.Float(), laid.Y.Float()}
			}
		}
		v.Patches = append(v.Patches, out)
	}
	if v.Many {
		return v
	}
	said := w.arrows()
	lines := w.straight()
	pressing := map[int][]words.Text{}
	for order, f := range w.seams {
		out := pressSeam{Name: w.ids[f.unit] + "." + strconv.Itoa(f.join+1), From: pointOf(f.line.A), To: pointOf(f.line.B), Kind: r.Units[f.unit].Joins[f.join].Kind.String(), Order: order + 1}
		if _, known := pressing[f.unit]; !known {
			pressing[f.unit] = say.Pressing(w.ids[f.unit])
		}
		if all := pressing[f.unit]; f.join < len(all) {
			out.Is = string(all[f.join])
		}
		if a, ok := said[[2]int{f.unit, f.join}]; ok {
			out.Of, out.Arrow = a.block, a.arrow
		}
		out.First = lines(f.line)
		w.point(f, insides, &out)
		v.Seams = append(v.Seams, out)
	}
	return v
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
	for i, leaf := range w.leaves {
		if len(leaf) < len(prefix) || !slices.Equal(leaf[:len(prefix)], prefix) {
			continue
		}
		for _, e := range w.block.Patches[i].Outline.Edges() {
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
	for _, p := range w.block.Patches[patch].Outline {
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
	block string
	arrow int
}

// arrows are the joins that the writer decides, in any block.
func (w *presswalk) arrows() map[[2]int]saidArrow {
	out := map[[2]int]saidArrow{}
	for b, block := range w.r.Blocks {
		for i, a := range block.Press {
			unit, joins, _ := w.r.Seam(b, a)
			for _, k := range joins {
				if _, ok := out[[2]int{unit, k}]; !ok || block.Name == w.block.Name {
					out[[2]int{unit, k}] = saidArrow{block.Name, i + 1}
				}
			}
		}
	}
	return out
}

// inside is a point in the block's own steps that lies well inside a patch: with numbers as short as can be.
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

// laid is where a point of the block's steps lies in the block as it is drawn here, mirrored or not.
func (w *presswalk) laid(p plane.Point) plane.Point {
	at := w.block.Def.Laid(p, w.block.Width, w.block.Height)
	if w.block.Mirror {
		at.X = w.block.Width.Sub(at.X)
	}
	return at
}

// stepsAt is a point of the block as it is drawn here in the block's own steps.
func (w *presswalk) stepsAt(m [2]float64) [2]float64 {
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
	if !w.block.Def.Drawn() {
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

// labels are the pieces that a patch comes from: its own, or those of its fabric that the method cuts it out of.
func (w *presswalk) labels(leaf []int) []string {
	p := w.r.Plan
	u := w.r.Pieced.Blocks[w.b].Unit
	chain := []int{u}
	for _, k := range leaf {
		u = w.r.Units[u].Parts[k].Unit
		chain = append(chain, u)
	}
	fabric := w.r.Doc.Fabrics[w.r.Units[u].Leaf.Fabric].Letter
	unit := func(i int) *plan.Unit {
		if at := slices.IndexFunc(p.Units, func(x plan.Unit) bool { return x.ID == w.ids[i] }); at >= 0 {
			return &p.Units[at]
		}
		return &plan.Unit{}
	}
	own := unit(u)
	for i := len(chain) - 2; i >= 0; i-- {
		recipe := slices.IndexFunc(p.Recipes, func(r plan.Recipe) bool { return r.ID == unit(chain[i]).Recipe })
		if recipe < 0 {
			continue
		}
		out := []string{}
		for _, f := range p.Recipes[recipe].From {
			if own.Piece != "" && (f.Piece == own.Piece || f.Unit == own.ID) {
				return []string{own.Piece}
			}
			k := slices.IndexFunc(p.Pieces, func(q plan.Piece) bool { return q.Label == f.Piece })
			if k >= 0 && p.Pieces[k].Fabric == fabric && !slices.Contains(out, f.Piece) {
				out = append(out, f.Piece)
			}
		}
		if len(out) > 0 {
			return out
		}
	}
	if own.Piece != "" {
		return []string{own.Piece}
	}
	return []string{}
}

func outlineOf(pg plane.Polygon) [][2]float64 {
	out := make([][2]float64, len(pg))
	for i, p := range pg {
		out[i] = pointOf(p)
	}
	return out
}

func pointOf(p plane.Point) [2]float64 { return [2]float64{p.X.Float(), p.Y.Float()} }

package app

import (
	"net/url"
	"slices"
	"strings"

	"quiltwright/internal/compile"
	"quiltwright/internal/quilt"
	"quiltwright/internal/set"
	"quiltwright/internal/words"
)

// pressView is which way seams are pressed, in one block or in the top.
type pressView struct {
	planView
	Blocks  []pressName `json:"blocks"`
	Block   *pressBlock `json:"block"` // null where there is none
	Sums    string      `json:"sums"`  // of the whole quilt
	Unmet   []string    `json:"unmet"` // what cannot nest, in words, in this block
	Found   []foundView `json:"found"`
	Fabrics []string    `json:"fabrics"` // letters and names, to read the block by

	Layers []pressLayers `json:"layers"` // how thick the cloth lies, where that is asked for
	Thick  string        `json:"thick"`  // and in words
	Expect []string      `json:"expect"` // what size the block comes out, where that is asked for
}

// pressLayers is a crossing and the layers of cloth that lie there.
type pressLayers struct {
	At     [2]float64 `json:"at"`
	Layers int        `json:"layers"`
}

func (v pressView) about() string {
	if v.Block == nil {
		return ""
	}
	return v.Block.Name
}

// pressName is a block in the list of blocks, or the top.
type pressName struct {
	Name  string `json:"name"` // "" of the top
	Title string `json:"title"`
	Says  string `json:"says"` // how many seams of it do not nest, and how many are pressed as the writer says
}

// pressBlock is a block, or the top, with its seams, in finished lengths.
type pressBlock struct {
	Name    string       `json:"name"` // "" of the top
	Title   string       `json:"title"`
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
	Name  string      `json:"name"`
	From  [2]float64  `json:"from"`
	To    [2]float64  `json:"to"`
	Way   [2]float64  `json:"way"`   // the direction that it is pressed in where it begins; 0,0 is open
	Spins []pressSpin `json:"spins"` // where it is spun or can be, in order
	Is    string      `json:"is"`    // "toward the light" in words
	Keep  string      `json:"keep"`  // the arrow that says how it is pressed now; "" where none can
	Turn  string      `json:"turn"`  // and the one that presses it the other way
	Arrow int         `json:"arrow"`
	Said  bool        `json:"said"`  // by an arrow of the document, not by the plan
	Of    string      `json:"of"`    // the block whose arrow it is; "" where it is the set's
	First string      `json:"first"` // the line through the block that holds it, as it is written; "" where none can be
	Kind  string      `json:"kind"`  // straight | partial | set in
	Order int         `json:"order"` // in the order of sewing
}

// pressSpin is a crossing at which a seam is spun, turning over to its other side, or can be.
type pressSpin struct {
	At    [2]float64 `json:"at"`
	Spun  bool       `json:"spun"`
	Point string     `json:"point"` // as the document writes it; "" where it cannot
	Said  bool       `json:"said"`  // by the document, not by the plan
	Of    string     `json:"of"`    // the block that says so; "" where it is the set
	Arrow int        `json:"arrow"`
}

// pressMeet is a point where seams meet.
type pressMeet struct {
	At [2]float64 `json:"at"`
	Is string     `json:"is"` // nested | open | same
}

// viewPress makes the view.
func viewPress(s *state, q url.Values) any {
	common, r := s.common(q)
	common.Terms = s.pressTerms()
	v := pressView{planView: common, Blocks: []pressName{}, Unmet: []string{}, Found: []foundView{}, Fabrics: []string{}, Layers: []pressLayers{}, Expect: []string{}}
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
	list := func(w *presswalk, chosen bool) {
		if chosen {
			at = len(walks)
		}
		says := ""
		if n := w.unmet(); n > 0 {
			says = counted(n, "meeting") + " that cannot nest"
		}
		if n := len(w.press); n > 0 {
			says = strings.TrimPrefix(says+" · "+counted(n, "seam")+" as you say", " · ")
		}
		v.Blocks = append(v.Blocks, pressName{w.name, w.title, says})
		walks = append(walks, w)
	}
	for b, block := range r.Blocks {
		if block.Def == nil || r.Pieced.Blocks[b].Unit < 0 || len(block.Patches) < 2 || slices.ContainsFunc(v.Blocks, func(n pressName) bool { return n.Name == block.Name }) {
			continue
		}
		if !slices.ContainsFunc(r.Top.Placed, func(p set.Placed) bool { return p.Block == b }) {
			continue // it is sewn within others, and pressed there
		}
		list(newBlockwalk(r, b, meet), block.Name == q.Get("block"))
	}
	if w := newTopwalk(r, meet); len(w.seams) > 0 {
		list(w, q.Get("of") == "top")
	}
	if len(walks) == 0 {
		return v
	}
	w := walks[max(at, 0)]
	v.Block = w.view(say)
	v.Block.Month = 1 + slices.IndexFunc(s.doc.Months, func(m quilt.Month) bool {
		return w.b == compile.Whole && m.Set || slices.ContainsFunc(m.Blocks, func(b quilt.MonthBlock) bool { return b.Block == w.name })
	})
	v.Found = slices.DeleteFunc(s.findingsOf(w.name), func(f foundView) bool {
		return f.Block != "" && f.Block != w.name || f.Block == "" && (f.Severity == "hint" || w.name != "" && f.Severity != "error")
	})
	v.Unmet = w.same(sums)
	if q.Get("layers") != "" {
		v.Layers, v.Thick = w.layers(say)
	}
	if q.Get("expect") != "" && w.name != "" {
		v.Expect = expectations(s.expect(r.Plan), w.name, say)
	}
	return v
}

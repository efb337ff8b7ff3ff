package compile

import (
	"fmt"
	"math/rand/v2"
	"strings"

	"quiltwright/internal/draft"
	"quiltwright/internal/exact"
	"quiltwright/internal/method"
	"quiltwright/internal/piecing"
	"quiltwright/internal/press"
	"quiltwright/internal/quilt"
	"quiltwright/internal/set"
	"quiltwright/internal/weigh"
)

// mostSeams is how many distinct seams a quilt of the pressing corpus has at most; with fewSeams or less it has few blocks, so that a MIP solver can
// do it without sashing, too.
const (
	mostSeams = 400
	fewSeams  = 100
)

// pressed is a random quilt, as far as its pressing needs it.
type pressed struct {
	number   int
	unsashed bool
	src      string
	doc      *quilt.Document
	units    []method.Unit
	top      int
	ways     method.Ways
	seams    int
}

func (q *pressed) net() *weigh.Net {
	return press.Net(q.doc, q.units, q.top, q.ways, press.Said{}, press.Usual())
}

func (q *pressed) solve(effort weigh.Effort) press.Result {
	return press.Solve(q.doc, q.units, q.top, q.ways, press.Said{}, press.Usual(), effort)
}

// randomQuilt is quilt number k of the pressing corpus of a seed: the same for the same two numbers, everywhere.
//
// Even numbers are set edge to edge, with 6 to 9 distinct blocks, each in three turns or more; odd ones have sashing, with or
// without posts and borders, or stand on point, with 3 to 9 distinct blocks in any turn. A block is 12 in and laid out of 2, 3, 4 or
// 6 rows of cells: in every second quilt all blocks alike, so that all seams of neighbours meet, else at some places and not at others. A cell holds a patch or a unit of the trade,
// in any turn, and two of three blocks are the same after half a turn, or have only two kinds of rows. A quilt of more than most distinct seams is drawn anew; one of few seams has 3 or 4 distinct blocks.
func randomQuilt(seed uint64, k, most int) *pressed {
	for try := uint64(0); ; try++ {
		r := rand.New(rand.NewPCG(seed, uint64(k)<<16|try))
		q := &pressed{number: k, unsashed: k%2 == 0}
		q.src = randomDocument(r, k, q.unsashed, most <= fewSeams)
		if q.pieced(); q.seams <= most {
			return q
		}
	}
}

// pieced runs the phases before pressing.
func (q *pressed) pieced() {
	doc, found := quilt.Read("random.yaml", []byte(q.src))
	if found.HasErrors() {
		panic(fmt.Sprint(found, "\n", q.src))
	}
	drafter := draft.New(doc)
	top, found := set.Lay(doc, drafter)
	if found.HasErrors() {
		panic(fmt.Sprint(found, "\n", q.src))
	}
	r := &Result{Doc: doc, Blocks: drafter.Blocks(), Top: top}
	r.Pieced, found = piecing.Take(doc, r.Blocks, top, method.Price, piecing.Quick)
	if found.HasErrors() {
		panic(fmt.Sprint(found, "\n", q.src))
	}
	ways, colour := press.Alternate(r.Pieced, top, func(b int) (w, h exact.Num) { return r.Blocks[b].Width, r.Blocks[b].Height })
	months, setMonth := schedule(doc, r.Blocks, top, colour)
	q.units, _ = method.Choose(method.Input{Doc: doc, Pieced: r.Pieced, Blocks: r.Blocks, Months: months, SetMonth: setMonth, Ways: ways})
	q.doc, q.top, q.ways = doc, r.Pieced.Top, ways
	q.seams = len(q.net().Size)
}

func randomDocument(r *rand.Rand, k int, unsashed, few bool) string {
	var b strings.Builder
	fmt.Fprintf(&b, "quilt: Corpus %d\nfabrics:\n", k)
	for i, c := range []string{"#f1ead8", "#2f3b4a", "#c8502b", "#7fa3a0"} {
		fmt.Fprintf(&b, "  %c: {name: Cloth %d, color: %q}\n", 'A'+i, i+1, c)
	}
	blocks := 6 + r.IntN(4)
	if few {
		blocks = 3 + r.IntN(2)
	} else if !unsashed {
		blocks = 3 + r.IntN(7)
	}
	b.WriteString("blocks:\n")
	grids := []int{2, 3, 3, 4, 4, 6}
	if r.IntN(2) == 0 {
		grids = grids[r.IntN(6):][:1]
	}
	for n := range blocks {
		fmt.Fprintf(&b, "  Block %d:\n    size: 12\n    rows:\n", n+1)
		for _, row := range randomCells(r, grids[r.IntN(len(grids))]) {
			fmt.Fprintf(&b, "      - [%s]\n", strings.Join(row, ", "))
		}
	}
	point := !unsashed && r.IntN(4) == 0
	b.WriteString("set:\n")
	if point {
		b.WriteString("  style: on point\n  triangles: A\n")
	} else if !unsashed {
		b.WriteString("  sashing: {width: 2, fabric: B")
		if r.IntN(2) == 0 {
			b.WriteString(", posts: C")
		}
		if r.IntN(2) == 0 {
			b.WriteString(", outside: true")
		}
		b.WriteString("}\n")
	}
	if r.IntN(2) == 0 {
		b.WriteString("  borders: [{width: 3, fabric: D, corners: {fabric: C}}]\n")
	}
	// Every block stands in three turns or more: they are dealt out, then the places left are filled.
	high, wide := 5+r.IntN(4), 5+r.IntN(4)
	var deal []string
	for n := range blocks {
		turns := r.Perm(4)
		for _, t := range turns[:3+r.IntN(2)] {
			deal = append(deal, turned(fmt.Sprintf("Block %d", n+1), t*90))
		}
	}
	for len(deal) < 2*high*wide {
		deal = append(deal, turned(fmt.Sprintf("Block %d", 1+r.IntN(blocks)), 90*r.IntN(4)))
	}
	if !unsashed {
		r.Shuffle(len(deal), func(i, j int) { deal[i], deal[j] = deal[j], deal[i] })
	} else {
		for high*wide < blocks*4 {
			high++
		}
		deal = deal[:high*wide]
		r.Shuffle(len(deal), func(i, j int) { deal[i], deal[j] = deal[j], deal[i] })
	}
	b.WriteString("  rows:\n")
	rows := high
	if point {
		rows = 2*min(high, 3) - 1
	}
	for y := range rows {
		n := wide
		if point && y%2 == 1 {
			n--
		}
		fmt.Fprintf(&b, "    - [%s]\n", strings.Join(deal[:n], ", "))
		deal = deal[n:]
	}
	return b.String()
}

func turned(what string, turn int) string {
	if turn == 0 {
		return what
	}
	return fmt.Sprintf("%s@%d", what, turn)
}

// randomCells is n rows of n cells, for a block.
func randomCells(r *rand.Rand, n int) [][]string {
	type cell struct {
		what string
		turn int
	}
	fabric := func() string { return string("ABCD"[r.IntN(4)]) }
	two := func() string {
		p := r.Perm(4)
		return string([]byte{"ABCD"[p[0]], ' ', "ABCD"[p[1]]})
	}
	draw := func() cell {
		plain := 2
		if n == 6 {
			plain = 5
		}
		switch pick := r.IntN(8 + plain); pick {
		case 0, 1:
			return cell{"half square " + two(), 90 * r.IntN(4)}
		case 2:
			return cell{"goose " + two(), 90 * r.IntN(4)}
		case 3:
			return cell{"four-patch " + two(), 90 * r.IntN(2)}
		case 4:
			return cell{"rail " + two(), 90 * r.IntN(4)}
		case 5:
			return cell{"hourglass " + two(), 90 * r.IntN(2)}
		case 6:
			return cell{"rail " + two() + " " + fabric(), 90 * r.IntN(4)}
		case 7:
			return cell{"square in square " + two(), 0}
		}
		return cell{fabric(), 0}
	}
	cells := make([][]cell, n)
	for y := range cells {
		cells[y] = make([]cell, n)
		for x := range cells[y] {
			cells[y][x] = draw()
		}
	}
	switch r.IntN(3) {
	case 0: // the same after half a turn
		for y := range n {
			for x := range n {
				if y*n+x > n*n/2 {
					c := cells[n-1-y][n-1-x]
					if len(c.what) > 1 {
						c.turn = (c.turn + 180) % 360
					}
					cells[y][x] = c
				}
			}
		}
	case 1: // rows alike
		for y := range n {
			cells[y] = cells[y%2]
		}
	}
	out := make([][]string, n)
	for y := range cells {
		for _, c := range cells[y] {
			out[y] = append(out[y], turned(c.what, c.turn))
		}
	}
	return out
}

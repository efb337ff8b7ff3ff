package cut

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"sort"

	"quiltwright/internal/method"
	"quiltwright/internal/quilt"
)

// Piece is a line of the cutting list: equal blanks, however many units they go into.
type Piece struct {
	Label   string
	Key     string
	Blank   method.Blank
	Months  []int // blanks cut in each month
	Needed  int   // pieces
	Spare   int
	Samples int // for what is shown in a class
	Surplus int
	Units   []int // that take it, in order
}

// Cut is how many blanks are cut in all.
func (p *Piece) Cut() int {
	n := 0
	for _, m := range p.Months {
		n += m
	}
	return n
}

// Source names a blank: that of a patch (Blank -1), or one of the blanks of a unit's recipe.
type Source struct{ Unit, Blank int }

// Extra is so many pieces more of a blank, cut in a month for the samples to show.
type Extra struct {
	Source
	Month, Count int
}

// Pieces makes the cutting list: equal blanks are one piece, labels are a fabric's letters and a number, in the order of
// months, largest first within a month, so that a later month never renames an earlier one. former gives the labels of
// an earlier version of the pattern by key; what keeps its key keeps its label. The second result names the piece of
// every blank, as an index into the first.
func Pieces(doc *quilt.Document, units []method.Unit, samples []Extra, former map[string]string) ([]Piece, map[Source]int) {
	var pieces []Piece
	byKey := map[string]int{}
	of := map[Source]int{}
	want := map[int][]int{} // pieces taken in each month
	take := func(s Source, b method.Blank, months []method.Count, each, spare int) {
		k := key(doc, b)
		p, ok := byKey[k]
		if !ok {
			p = len(pieces)
			byKey[k] = p
			pieces = append(pieces, Piece{Key: k, Blank: b, Months: make([]int, len(months))})
			want[p] = make([]int, len(months))
		}
		of[s] = p
		if n := len(pieces[p].Units); n == 0 || pieces[p].Units[n-1] != s.Unit {
			pieces[p].Units = append(pieces[p].Units, s.Unit)
		}
		pieces[p].Spare += spare
		for m, c := range months {
			want[p][m] += (c.Batches[0] + c.Batches[1]) * each
		}
	}
	for i := range units {
		u := &units[i]
		if !u.Made {
			continue
		}
		if u.Single != nil {
			take(Source{i, -1}, *u.Single, u.Months, 1, u.Spare)
			continue
		}
		if u.Maker != i {
			continue
		}
		count := make([]int, len(u.Recipe.Blanks))
		for _, f := range u.Recipe.From {
			if f.Blank >= 0 {
				count[f.Blank] += f.Count
			}
		}
		for b, n := range count {
			take(Source{i, b}, u.Recipe.Blanks[b], u.Months, n, 0)
		}
	}
	for _, e := range samples {
		p := of[e.Source]
		pieces[p].Samples += e.Count
		want[p][e.Month] += e.Count
	}
	for p := range pieces {
		x := &pieces[p]
		over := 0
		for m, n := range want[p] {
			x.Needed += n
			if more := n - over; more > 0 {
				x.Months[m] = (more + x.Blank.Each - 1) / x.Blank.Each
				over += x.Months[m] * x.Blank.Each
			}
			over -= n
		}
		x.Surplus = over
		x.Needed -= x.Spare + x.Samples
	}
	label(doc, pieces, former)
	return pieces, of
}

// key is a short hash of what makes two blanks the same.
func key(doc *quilt.Document, b method.Blank) string {
	h := sha256.New()
	fmt.Fprintf(h, "%s|%s|%s|%.6f|%.6f|%s|%v|%d|%v|%v|%v|%d", doc.Fabrics[b.Fabric].Letter, b.Shape, b.Hand, b.Width, b.Height, b.Use, b.Directed, b.Up,
		b.Joined, b.Measured, b.Trimmed, b.Each)
	if b.Centred { // what is not keeps the key that it had before there were motifs
		fmt.Fprint(h, "|motif")
	}
	for _, p := range b.Outline {
		fmt.Fprintf(h, "|%.6f,%.6f", p[0]+0, p[1]+0)
	}
	return hex.EncodeToString(h.Sum(nil)[:6])
}

// label names the pieces.
func label(doc *quilt.Document, pieces []Piece, former map[string]string) {
	order := make([]int, len(pieces))
	for i := range order {
		order[i] = i
	}
	first := func(p *Piece) int {
		for m, n := range p.Months {
			if n > 0 {
				return m
			}
		}
		return len(p.Months)
	}
	sort.SliceStable(order, func(x, y int) bool {
		a, b := &pieces[order[x]], &pieces[order[y]]
		if a.Blank.Fabric != b.Blank.Fabric {
			return a.Blank.Fabric < b.Blank.Fabric
		}
		if f, g := first(a), first(b); f != g {
			return f < g
		}
		if d := a.Blank.Height - b.Blank.Height; d > 1e-9 || d < -1e-9 {
			return d > 0
		}
		if d := a.Blank.Width - b.Blank.Width; d > 1e-9 || d < -1e-9 {
			return d > 0
		}
		if a.Blank.Hand != b.Blank.Hand {
			return a.Blank.Hand < b.Blank.Hand
		}
		return a.Key < b.Key
	})
	taken := map[string]bool{}
	for _, p := range pieces {
		if l, ok := former[p.Key]; ok {
			taken[l] = true
		}
	}
	next := map[int]int{}
	pairs := map[string]string{} // a left form's label, for its mirror image
	for _, i := range order {
		p := &pieces[i]
		letter := doc.Fabrics[p.Blank.Fabric].Letter
		twin := fmt.Sprintf("%s|%.6f|%.6f|%s|%s|%v", letter, p.Blank.Width, p.Blank.Height, p.Blank.Shape, p.Blank.Use, p.Blank.Directed)
		if l, ok := former[p.Key]; ok {
			p.Label = l
			continue
		}
		if p.Blank.Shape == method.HalfRectangle {
			if l, ok := pairs[twin]; ok {
				p.Label = l + "R"
				if p.Blank.Hand == "" {
					p.Label = l
				}
				continue
			}
		}
		for {
			next[p.Blank.Fabric]++
			p.Label = fmt.Sprintf("%s%d", letter, next[p.Blank.Fabric])
			if !taken[p.Label] && !taken[p.Label+"R"] {
				break
			}
		}
		pairs[twin] = p.Label
		if p.Blank.Hand == "R" {
			p.Label += "R"
		}
	}
}

// Listed is the order of the cutting list: by fabric, largest first, then by label.
func Listed(pieces []Piece) []int {
	order := make([]int, len(pieces))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(x, y int) bool {
		a, b := &pieces[order[x]], &pieces[order[y]]
		if a.Blank.Fabric != b.Blank.Fabric {
			return a.Blank.Fabric < b.Blank.Fabric
		}
		if p, q := a.Blank.Width*a.Blank.Height, b.Blank.Width*b.Blank.Height; p-q > 1e-9 || q-p > 1e-9 {
			return p > q
		}
		return a.Label < b.Label
	})
	return order
}

package prove_test

import (
	"slices"
	"strings"
	"testing"

	"quiltwright/internal/plan"
	"quiltwright/internal/prove"
)

// harbour is the blocks of quilts with a cloth C that its patches are centred on: squares, triangles, squares on their point.
const harbour = `quilt: Lantern Row
fabrics:
  A: {name: Fog, color: "#e8e3d6"}
  B: {name: Slate, color: "#45505c"}
  C: {name: Harbour, color: "#c8502b", CLOTH}
blocks:
  Paper Lantern:
    size: 12
    columns: [1, 2, 1]
    heights: [1, 2, 1]
    rows:
      - [half square A B, goose A B, half square A B@90]
      - [goose A B@270, C, goose A B@90]
      - [half square A B@270, goose A B@180, half square A B@180]
  Star Window:
    size: 16
    columns: [1, 2, 1]
    heights: [1, 2, 1]
    rows:
      - [A, goose C A, C]
      - [A, square in square C A, C]
      - [B, half rectangle A C, C]
  Gable: {size: 16, rows: [[half square C B]]}
`

// What is centred on motifs is proven, whatever its print, how it is sold and how it is set.
func TestMotifsAreProven(t *testing.T) {
	for _, set := range []string{
		"set: {rows: [[Paper Lantern, Paper Lantern], [Paper Lantern, Paper Lantern]], borders: [{width: 2, fabric: C}]}\n" +
			"months: [{title: One, blocks: {Paper Lantern: 1}}, {title: Two, blocks: {Paper Lantern: 3}, set: true}]\n",
		"set: {rows: [[Star Window, Gable], [Gable, Star Window]], sashing: {width: 4, fabric: B, posts: C}}\nfinish: {binding: {fabric: C}}\n",
		"set: {style: on point, triangles: C, rows: [[Star Window, Gable], [Gable], [Gable, Star Window]]}\n",
	} {
		for _, cloth := range []string{
			"motif: {size: 4, every: [6, 8]}",
			"print: one-way, motif: {size: 2, every: 5}, have: [[20, 30]]",
			"print: two-way, upright: quilt, motif: {size: 4, every: [9 1/2, 7]}, assorted: 2",
			"print: two-way, motif: {size: 1, every: [3, 0]}",
			"print: one-way, motif: {size: 1, every: [0, 3 1/2]}, width: 42",
			"motif: {size: 4, every: [6, 8]}, sold: {sheet: [42, 36]}",
		} {
			p := compiledText(t, strings.Replace(harbour, "CLOTH", cloth, 1)+set)
			if !slices.ContainsFunc(p.Pieces, func(x plan.Piece) bool { return x.Motif != nil }) {
				t.Errorf("nothing is centred with %s\n%s", cloth, set)
			}
		}
	}
}

// find is the first rectangle of a layout that do accepts.
func find(n *plan.Node, do func(*plan.Node) bool) bool {
	if do(n) {
		return true
	}
	for i := range n.Parts {
		if find(&n.Parts[i], do) {
			return true
		}
	}
	return false
}

// A blank that is moved off its motif, cloth that does not reach for every place of the first motif, and whatever else would cut
// through a motif is found.
func TestMotifErrorsAreFound(t *testing.T) {
	src := strings.Replace(harbour, "CLOTH", "motif: {size: 4, every: [6, 8]}", 1) + "set: {rows: [[Paper Lantern, Paper Lantern, Paper Lantern], [Paper Lantern, Paper Lantern, Paper Lantern]]}\n"
	const c = 2
	piece := func(p *plan.Plan) *plan.Piece {
		return &p.Pieces[slices.IndexFunc(p.Pieces, func(x plan.Piece) bool { return x.Motif != nil })]
	}
	for _, e := range []struct {
		name, says string
		do         func(p *plan.Plan)
	}{
		{"a blank is moved along its strip", "off its motif across", func(p *plan.Plan) {
			row := &p.Fabrics[c].Layout[0].First.Parts[0]
			row.Parts[1].Width += 0.5
			row.Parts[1].Left[0] += 0.5
			row.Parts[len(row.Parts)-1].Width -= 0.5
			row.Parts[len(row.Parts)-1].Left[0] -= 0.5
		}},
		{"a strip is moved down", "off its motif along", func(p *plan.Plan) {
			parts := p.Fabrics[c].Layout[0].First.Parts
			for _, k := range []int{1, len(parts) - 1} {
				by := plan.Num(1 - 2*(k-1)/max(1, len(parts)-2))
				parts[k].Height += by
				parts[k].Left[1] += by
			}
		}},
		{"no repeat for the first row", "may find no motif", func(p *plan.Plan) {
			f := &p.Fabrics[c]
			n := f.Layout[0].First
			n.Parts = n.Parts[:len(n.Parts)-1]
			n.Height -= 8
			f.Layout[0].At -= 8
			f.Length, f.Bound = f.Length-8, f.Bound-8
		}},
		{"one more in a strip than are sure of a motif", "may find no motif", func(p *plan.Plan) {
			row := &p.Fabrics[c].Layout[0].First.Parts[0]
			last := row.Parts[len(row.Parts)-1]
			row.Parts = row.Parts[:len(row.Parts)-1]
			row.Parts = append(row.Parts, row.Parts[1], row.Parts[0])
			if last.Width -= row.Parts[0].Width + row.Parts[1].Width; last.Width > 0 {
				row.Parts = append(row.Parts, plan.Node{Width: last.Width, Height: last.Height, Left: &[2]plan.Num{last.Width, last.Height}})
			}
		}},
		{"the motifs stand closer", "off its motif", func(p *plan.Plan) { p.Fabrics[c].Motif.Every[0] = 5 }},
		{"the motif is larger than its patch", "too small for", func(p *plan.Plan) { p.Fabrics[c].Motif.Size = 6.5 }},
		{"a motif without a size", "has motifs of", func(p *plan.Plan) { p.Fabrics[c].Motif.Size = 0 }},
		{"no motif", "does not have", func(p *plan.Plan) { p.Fabrics[c].Motif = nil }},
		{"the motif stands out of the middle", "out of its middle", func(p *plan.Plan) { piece(p).Motif[0] += 0.25 }},
		{"a piece that is not centred", "is not centred on one", func(p *plan.Plan) { piece(p).Motif = nil }},
		{"a recipe that cuts a motif up", "sews or cuts through", func(p *plan.Plan) { p.Recipes[0].From[0].Piece = piece(p).Label }},
		{"a stock that says nothing of motifs", "are centred on motifs", func(p *plan.Plan) { p.Fabrics[c].Layout[0].Motif = false }},
		{"a gap in a strip", "lies", func(p *plan.Plan) {
			s := &p.Fabrics[c].Strips[0]
			s.Cuts[0].Gap -= 0.5
			s.Left += 0.5 * plan.Num(s.Cuts[0].Count)
		}},
		{"a strip that is higher", "is 7", func(p *plan.Plan) { p.Fabrics[c].Strips[0].Height += 0.5 }},
		{"what is bought for the first row", "for where its first motif stands", func(p *plan.Plan) { p.Fabrics[c].Buy.Motif = 6 }},
	} {
		t.Run(e.name, func(t *testing.T) {
			p := compiledText(t, src)
			e.do(p)
			proof := prove.Prove(p)
			if proof.Holds || !slices.ContainsFunc(proof.Findings, func(f plan.Finding) bool { return strings.Contains(f.Says, e.says) }) {
				t.Errorf("holds %v: %v", proof.Holds, proof.Findings)
			}
		})
	}
	p := compiledText(t, src)
	if !find(p.Fabrics[c].Layout[0].First, func(n *plan.Node) bool { return n.Piece == piece(p).Label }) {
		t.Error("the first cut has no piece about a motif")
	}
}

package app

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"quiltwright/internal/draft"
	"quiltwright/internal/edit"
	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
)

// mostSteps is the finest grid that a block of cells is drawn on by lines.
const mostSteps = 96

// turnedAnswer is the operations that turn a block of lines into one of cells, or the other way round; or why that cannot be.
type turnedAnswer struct {
	Revision int               `json:"revision"`
	Ops      []json.RawMessage `json:"ops"`
	Why      string            `json:"why,omitempty"`
}

// turned answers with the operations that turn the block that the query names.
func (s *server) turned(w http.ResponseWriter, r *http.Request) {
	at := s.session.current()
	a := turnedAnswer{Revision: at.revision, Ops: []json.RawMessage{}}
	ops, err := turned(at.text, r.URL.Query().Get("block"))
	if err != nil {
		a.Why = err.Error()
	}
	for _, op := range ops {
		a.Ops = append(a.Ops, edit.Encode(op))
	}
	send(w, http.StatusOK, a)
}

// turned are the operations that turn a block of lines into one of cells, or one of cells into lines: the same patches of the same cloth,
// which is checked. The error says why there are none.
func turned(src []byte, name string) ([]edit.Op, error) {
	text := edit.Open(src)
	doc, _ := text.Read()
	def := doc.Named(name)
	if def == nil {
		return nil, fmt.Errorf("there is no block “%s”", name)
	}
	if len(def.First) > 0 || len(def.Press) > 0 {
		return nil, errors.New("what you overruled of its seams is said in its present form; take that back first")
	}
	before, err := wholePatches(doc, name)
	if err != nil {
		return nil, err
	}
	var ops []edit.Op
	if def.Drawn() {
		ops, err = intoCells(doc, def, before)
	} else {
		ops, err = intoLines(text, doc, def, before)
	}
	if err != nil {
		return nil, err
	}
	after, err := text.Apply(ops...)
	if err != nil {
		return nil, err
	}
	doc, _ = after.Read()
	same, err := wholePatches(doc, name)
	if err != nil || !slices.Equal(keys(before), keys(same)) {
		return nil, errors.New("a print would point another way")
	}
	return ops, nil
}

// wholePatches are the patches of a block that has all of them.
func wholePatches(doc *quilt.Document, name string) ([]draft.Patch, error) {
	d := draft.New(doc)
	n := d.Draw(draft.Use{Block: name})
	b := d.Blocks()[n]
	if b.Broken || len(b.Patches) == 0 || d.Findings().HasErrors() {
		return nil, errors.New("there is something to mend in it first")
	}
	return b.Patches, nil
}

// keys are the patches, each as a text, sorted.
func keys(patches []draft.Patch) []string {
	out := make([]string, len(patches))
	for i, p := range patches {
		out[i] = fmt.Sprintf("%s %d %d", p.Outline.Canonical().AppendKey(nil), p.Fabric, p.Up)
	}
	slices.Sort(out)
	return out
}

// at is the place of a key of the block.
func at(def *quilt.Block, key string) edit.Path { return edit.Path{"blocks", def.Name, key} }

// value is anything as a value of the document.
func value(v any) edit.Value {
	b, _ := json.Marshal(v) // words and lists of words
	return edit.JSON(string(b))
}

// intoCells cuts the block along every line that goes from edge to edge and through no patch.
func intoCells(doc *quilt.Document, def *quilt.Block, patches []draft.Patch) ([]edit.Op, error) {
	if len(def.Arcs) > 0 {
		return nil, errors.New("it has curves, and no cell has")
	}
	xs := through(patches, func(p plane.Point) exact.Num { return p.X })
	ys := through(patches, func(p plane.Point) exact.Num { return p.Y })
	rows := make([][]string, len(ys)-1)
	for r := range rows {
		for c := range len(xs) - 1 {
			says, ok := cellOf(doc, patches, plane.Pt(xs[c], ys[r]), plane.Pt(xs[c+1], ys[r+1]))
			if !ok {
				return nil, fmt.Errorf("what lies in row %d, column %d, cut along its straight lines, is no unit that a cell can hold", r+1, c+1)
			}
			rows[r] = append(rows[r], says)
		}
	}
	ops := []edit.Op{&edit.Drop{At: at(def, "grid")}}
	if len(def.Symmetry) > 0 {
		ops = append(ops, &edit.Drop{At: at(def, "symmetry")})
	}
	if len(def.Lines) > 0 {
		ops = append(ops, &edit.Drop{At: at(def, "lines")})
	}
	if len(def.Fill) > 0 {
		ops = append(ops, &edit.Drop{At: at(def, "fill")})
	}
	if def.Ground != "" {
		ops = append(ops, &edit.Drop{At: at(def, "ground")})
	}
	ops = append(ops, &edit.Put{At: at(def, "rows"), Value: value(rows)})
	for _, k := range []struct {
		key  string
		cuts []exact.Num
	}{{"columns", xs}, {"heights", ys}} {
		if parts := proportions(k.cuts); parts != nil {
			ops = append(ops, &edit.Put{At: at(def, k.key), Value: value(parts)})
		}
	}
	return ops, nil
}

// through are the places of the lines across the block that go through no patch, its edges included, in order.
func through(patches []draft.Patch, of func(plane.Point) exact.Num) []exact.Num {
	var all []exact.Num
	for _, p := range patches {
		for _, q := range p.Outline {
			all = append(all, of(q))
		}
	}
	slices.SortFunc(all, exact.Num.Cmp)
	all = slices.CompactFunc(all, exact.Num.Equal)
	return slices.DeleteFunc(all, func(x exact.Num) bool {
		return slices.ContainsFunc(patches, func(p draft.Patch) bool {
			least, most := p.Outline.Box()
			return of(least).Less(x) && x.Less(of(most))
		})
	})
}

// proportions are the distances between the cuts in whole parts; nil where they are equal or cannot be said.
func proportions(cuts []exact.Num) []string {
	whole := cuts[len(cuts)-1].Sub(cuts[0])
	n, ok := steps(whole, cuts)
	if !ok {
		return nil
	}
	var out []string
	for i := range len(cuts) - 1 {
		out = append(out, cuts[i+1].Sub(cuts[i]).Mul(exact.Int(n)).Div(whole).String())
	}
	if len(slices.Compact(slices.Clone(out))) == 1 {
		return nil
	}
	return out
}

// steps is the least number of equal steps in a length so that all the places in it are on one.
func steps(whole exact.Num, places []exact.Num) (int64, bool) {
	n := int64(1)
	for _, x := range places {
		_, den, ok := x.Div(whole).Rat()
		if !ok || den > mostSteps {
			return 0, false
		}
		a, b := n, den
		for b != 0 {
			a, b = b, a%b
		}
		if n = n / a * den; n > mostSteps {
			return 0, false
		}
	}
	return n, true
}

// cellOf is what stands in a part of the block, as a document writes it: a fabric, or a unit.
func cellOf(doc *quilt.Document, patches []draft.Patch, from, to plane.Point) (string, bool) {
	var in []draft.Patch
	for _, p := range patches {
		if least, most := p.Outline.Box(); !least.X.Less(from.X) && !least.Y.Less(from.Y) && !to.X.Less(most.X) && !to.Y.Less(most.Y) {
			in = append(in, p)
		}
	}
	letters := map[string]string{} // by the outline
	for _, p := range in {
		letters[string(p.Outline.Translate(plane.Pt(from.X.Neg(), from.Y.Neg())).Canonical().AppendKey(nil))] = doc.Fabrics[p.Fabric].Letter
	}
	w, h := to.X.Sub(from.X), to.Y.Sub(from.Y)
	if len(in) == 1 {
		letter, whole := letters[string(plane.Rectangle(w, h).Canonical().AppendKey(nil))]
		return letter, whole
	}
	for _, u := range quilt.Units() {
		fabrics := u.Long(slices.Repeat([]string{doc.Fabrics[0].Letter}, len(in)))
		if fabrics == nil {
			continue
		}
		for _, lies := range []plane.Pose{{}, {Turn: 90}, {Turn: 180}, {Turn: 270}, {Mirror: true}, {Turn: 90, Mirror: true}, {Turn: 180, Mirror: true}, {Turn: 270, Mirror: true}} {
			cell := quilt.Cell{Unit: u.Name, Fabrics: slices.Clone(fabrics)}
			cw, ch := w, h
			if lies.Turn%180 != 0 {
				cw, ch = h, w
			}
			d := draft.New(doc)
			n := d.DrawCell(cell, cw, ch, 0)
			drawn := d.Blocks()[n]
			if drawn.Broken || len(drawn.Patches) != len(in) {
				continue
			}
			corner, _ := lies.ApplyPolygon(plane.Rectangle(cw, ch)).Box()
			lies.At = plane.Pt(corner.X.Neg(), corner.Y.Neg())
			all := true
			for i, p := range drawn.Patches {
				letter, ok := letters[string(lies.ApplyPolygon(p.Outline).Canonical().AppendKey(nil))]
				if all = all && ok; ok {
					cell.Fabrics[i] = letter
				}
			}
			if all {
				for n := 2; n < len(in); n++ { // said with as few fabrics as it can be
					if short := cell.Fabrics[:n]; slices.Equal(u.Long(short), cell.Fabrics) {
						cell.Fabrics = short
						break
					}
				}
				if two := []string{cell.Fabrics[0], other(cell.Fabrics)}; slices.Equal(u.Long(two), cell.Fabrics) {
					cell.Fabrics = two
				}
				cell.Turn, cell.Mirror = lies.Turn, lies.Mirror
				return spell(cell), true
			}
		}
	}
	return "", false
}

// other is the first fabric that is not the first one, or the first.
func other(fabrics []string) string {
	for _, f := range fabrics {
		if f != fabrics[0] {
			return f
		}
	}
	return fabrics[0]
}

// intoLines draws the outlines of the patches as lines on the coarsest grid that has all their corners.
func intoLines(text *edit.Text, doc *quilt.Document, def *quilt.Block, patches []draft.Patch) ([]edit.Op, error) {
	var xs, ys []exact.Num
	for _, p := range patches {
		for _, q := range p.Outline {
			xs, ys = append(xs, q.X), append(ys, q.Y)
		}
	}
	nx, okX := steps(def.Width, xs)
	ny, okY := steps(def.Height, ys)
	if okX && okY && def.Width.Equal(def.Height) {
		nx, okX = steps(exact.Int(1), []exact.Num{exact.Frac(1, nx), exact.Frac(1, ny)})
		ny = nx
	}
	if !okX || !okY {
		return nil, fmt.Errorf("the corners of its patches lie on no grid of up to %d steps", mostSteps)
	}
	toSteps := func(p plane.Point) plane.Point {
		return plane.Pt(p.X.Mul(exact.Int(nx)).Div(def.Width), p.Y.Mul(exact.Int(ny)).Div(def.Height))
	}
	ops := []edit.Op{&edit.Drop{At: at(def, "rows")}}
	for _, key := range []string{"columns", "heights"} {
		drop := &edit.Drop{At: at(def, key)}
		if _, err := text.Apply(drop); err == nil { // an error: there is none
			ops = append(ops, drop)
		}
	}
	ops = append(ops, &edit.Put{At: at(def, "grid"), Value: value([]int64{nx, ny})})
	if nx == ny {
		ops[len(ops)-1] = &edit.Put{At: at(def, "grid"), Value: value(nx)}
	}
	for _, l := range runs(def, patches) {
		ops = append(ops, &edit.DrawLine{Block: def.Name, Points: edit.Words{draft.GridPoint(toSteps(l.A)), draft.GridPoint(toSteps(l.B))}})
	}
	drawn, err := text.Apply(ops...)
	if err != nil {
		return nil, err
	}
	fabrics := map[string]string{}
	counts := make([]int, len(doc.Fabrics))
	most := 0
	for _, p := range patches {
		outline := make(plane.Polygon, len(p.Outline))
		for i, q := range p.Outline {
			outline[i] = toSteps(q)
		}
		fabrics[string(outline.Canonical().AppendKey(nil))] = doc.Fabrics[p.Fabric].Letter
		if counts[p.Fabric]++; counts[p.Fabric] > counts[most] {
			most = p.Fabric
		}
	}
	ground := doc.Fabrics[most].Letter
	ops = append(ops, &edit.Put{At: at(def, "ground"), Value: value(ground)})
	fresh, _ := drawn.Read()
	points := map[string][]string{}
	for _, f := range draft.New(fresh).Sheet(fresh.Named(def.Name)).Faces {
		if letter := fabrics[string(f.Outline.Canonical().AppendKey(nil))]; letter != ground {
			points[letter] = append(points[letter], draft.GridPoint(f.Inside))
		}
	}
	for _, f := range doc.Fabrics {
		if len(points[f.Letter]) > 0 {
			ops = append(ops, &edit.Fill{Block: def.Name, Fabric: f.Letter, Points: edit.Words{strings.Join(points[f.Letter], " ")}})
		}
	}
	return ops, nil
}

// runs are the edges of the patches that lie within the block, each line as long as it goes straight on.
func runs(def *quilt.Block, patches []draft.Patch) []plane.Segment {
	var out []plane.Segment
	zero := exact.Num{}
	for _, p := range patches {
		for _, e := range p.Outline.Edges() {
			if e.A.X.Equal(e.B.X) && (e.A.X.Equal(zero) || e.A.X.Equal(def.Width)) || e.A.Y.Equal(e.B.Y) && (e.A.Y.Equal(zero) || e.A.Y.Equal(def.Height)) {
				continue
			}
			if e.B.Cmp(e.A) < 0 {
				e.A, e.B = e.B, e.A
			}
			for i := 0; i < len(out); { // what it goes on from, or lies on, grows
				l := out[i]
				if plane.Orient(l.A, l.B, e.A) != 0 || plane.Orient(l.A, l.B, e.B) != 0 || e.B.Cmp(l.A) < 0 || l.B.Cmp(e.A) < 0 {
					i++
					continue
				}
				if l.A.Cmp(e.A) < 0 {
					e.A = l.A
				}
				if l.B.Cmp(e.B) > 0 {
					e.B = l.B
				}
				out = slices.Delete(out, i, i+1)
				i = 0
			}
			out = append(out, e)
		}
	}
	slices.SortFunc(out, func(a, b plane.Segment) int {
		if c := a.A.Cmp(b.A); c != 0 {
			return c
		}
		return a.B.Cmp(b.B)
	})
	return out
}

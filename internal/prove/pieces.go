package prove

import (
	"fmt"
	"math"
	"slices"

	"quiltwright/internal/cloth"
	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// each is how many pieces come from a blank of a shape; 0 where the shape does not fix it.
func each(shape string) int {
	switch shape {
	case "rectangle", "strip", "joined strip", "template":
		return 1
	case "half square", "half rectangle":
		return 2
	case "quarter square":
		return 4
	}
	return 0
}

// checkPieces checks the cutting list: shapes, counts, sizes on the ruler.
func (v *prover) checkPieces() {
	for i := range v.p.Pieces {
		x := &v.p.Pieces[i]
		f := v.fabrics[x.Fabric]
		if !v.expect(f != nil) {
			v.fault("fabric", "", x.Label, "", "piece %s is of fabric “%s”, which the plan does not have", x.Label, x.Fabric)
		}
		p := flat.Raw(x)
		if !v.expect(p != nil) {
			v.fault("shape", "", x.Label, "", "piece %s: a %s of %s by %s has no outline", x.Label, x.Shape, v.long(float64(x.Width)), v.long(float64(x.Height)))
			continue
		}
		if !v.expect(x.Hand == "" || x.Hand == "R" && (x.Shape == "half rectangle" || x.Outline != nil)) {
			v.fault("shape", "", x.Label, "", "piece %s: hand “%s” means nothing for a %s", x.Label, x.Hand, x.Shape)
		}
		if x.Shape == "half square" || x.Shape == "quarter square" {
			if !v.expect(same(float64(x.Width), float64(x.Height), 1e-6)) {
				v.fault("shape", "", x.Label, "", "piece %s: a %s is cut from a square, not from %s by %s", x.Label, x.Shape, v.long(float64(x.Width)), v.long(float64(x.Height)))
			}
		}
		v.pieceBias(x, p)
		v.pieceCounts(x)
		v.pieceSize(x, p)
		v.piecePrint(x)
		v.pieceMotif(x, p)
	}
}

// piecePrint checks that all pieces of a blank have their print alike.
func (v *prover) piecePrint(x *plan.Piece) {
	if _, ok := v.printUp(x); !ok || x.Each < 2 {
		return
	}
	between := 180.0 // from one piece to the next
	if x.Shape == "quarter square" {
		between = 90
	}
	if !v.expect(turns(between, 0, v.period(x.Fabric), 1e-5)) {
		v.fault("print", "", x.Label, "", "piece %s: of the %d from each blank some have their print turned by %g°", x.Label, x.Each, between)
	}
}

func (v *prover) pieceCounts(x *plan.Piece) {
	if n := each(x.Shape); !v.expect(x.Each >= 1 && (n == 0 || n == x.Each)) {
		v.fault("count", "", x.Label, "", "piece %s: %d from each blank, a %s gives %d", x.Label, x.Each, x.Shape, max(n, 1))
	}
	if !v.expect(x.Cut >= 0 && x.Cut*x.Each == x.Yields) {
		v.fault("count", "", x.Label, "", "piece %s: %d cut, %d from each, make %d, not %d", x.Label, x.Cut, x.Each, x.Cut*x.Each, x.Yields)
	}
	if !v.expect(x.Needed >= 0 && x.Spare >= 0 && x.Samples >= 0 && x.Surplus >= 0 && x.Needed+x.Spare+x.Samples+x.Surplus == x.Yields) {
		v.fault("count", "", x.Label, "", "piece %s: needed %d, spare %d, for samples %d and surplus %d are not the %d that are cut", x.Label, x.Needed, x.Spare, x.Samples, x.Surplus, x.Yields)
	}
	cut, last := 0, 0
	for _, m := range x.Months {
		cut += m.Cut
		if !v.expect(m.Cut > 0 && m.Month > last && v.month(m.Month)) {
			v.fault("count", "", x.Label, "", "piece %s: %d to cut in month %d", x.Label, m.Cut, m.Month)
		}
		last = m.Month
	}
	if !v.expect(cut == x.Cut) {
		v.fault("count", "", x.Label, "", "piece %s: the months cut %d, the cutting list %d", x.Label, cut, x.Cut)
	}
	if x.JoinedFrom != 0 && !v.expect(x.Shape == "joined strip" && x.JoinedFrom > 1) {
		v.fault("shape", "", x.Label, "", "piece %s: a %s is not joined from %d strips", x.Label, x.Shape, x.JoinedFrom)
	}
}

// pieceSize checks that what is printed can be measured, is as large as geometry asks, and is not generous without a reason.
func (v *prover) pieceSize(x *plan.Piece, p []pt) {
	for k, printed := range []float64{float64(x.Width), float64(x.Height)} {
		exact := float64(x.Exact[k])
		over := printed - exact
		word := [2]string{"wide", "high"}[k]
		if !v.expect(over >= -v.ease-1e-6) {
			v.fault("short", "", x.Label, v.long(exact), "piece %s is %s %s, geometry asks for %s", x.Label, v.long(printed), word, v.long(exact))
			continue
		}
		if x.Shape == "template" {
			// It is traced, not measured: its exact outline is what counts.
			continue
		}
		// A ruler shows its marks and half way between them. How long a strip is does not matter to what is cut from it.
		if half := printed * 2 / v.mark; !x.Measured && !(x.Shape == "strip" && k == 0) && !v.expect(same(half, math.Round(half), 1e-4)) {
			v.fault("ruler", "", x.Label, "", "piece %s is %s %s, which a ruler marked every %s does not show", x.Label, v.long(printed), word, v.long(v.mark))
		}
		if x.Shape == "strip" && k == 0 && !v.expect(same(over, 0, 1e-4)) {
			v.fault("exact", "", x.Label, "", "strip %s is %s long, exactly %s", x.Label, v.long(printed), v.long(exact))
		}
		if !v.expect(over <= 2*v.mark+1e-6) || !x.Trimmed && !v.expect(over < v.mark+1e-6) {
			v.fault("generous", "", x.Label, v.long(exact), "piece %s is %s %s, %s more than geometry asks, and nothing trims it", x.Label, v.long(printed), word, v.long(over))
		}
	}
	if x.Outline != nil {
		lo, hi := flat.Box(p)
		if !v.expect(flat.Length(lo) < 1e-4) {
			v.fault("shape", "", x.Label, "", "piece %s: the box of its outline begins at %.4f, %.4f, not at 0, 0", x.Label, lo[0], lo[1])
		}
		if x.Shape == "template" && !v.expect(same(hi[0], float64(x.Exact[0]), 1e-4) && same(hi[1], float64(x.Exact[1]), 1e-4)) {
			v.fault("shape", "", x.Label, "", "piece %s: its outline is %s by %s, its exact size %s by %s", x.Label, v.long(hi[0]), v.long(hi[1]), v.long(float64(x.Exact[0])), v.long(float64(x.Exact[1])))
		}
	}
}

// rounding is how much a blank is larger or smaller than geometry asks.
func rounding(x *plan.Piece) float64 {
	switch x.Shape {
	case "template":
		return 0
	case "strip": // how long it is does not matter to what is cut from it
		return math.Abs(float64(x.Height - x.Exact[1]))
	}
	return math.Max(math.Abs(float64(x.Width-x.Exact[0])), math.Abs(float64(x.Height-x.Exact[1])))
}

// pieceBias checks which edges of a piece are off the grain: those that run neither along nor across the frame in which it is cut.
func (v *prover) pieceBias(x *plan.Piece, p []pt) {
	var want []int
	for k := range p {
		d := flat.Direction(p[k], p[(k+1)%len(p)])
		if slope := math.Atan2(math.Abs(d[1]), math.Abs(d[0])) * 180 / math.Pi; slope > 1.15 && slope < 90-1.15 {
			want = append(want, k)
		}
	}
	if !v.expect(slices.Equal(want, x.Bias)) {
		v.fault("grain", "", x.Label, fmt.Sprint(want), "piece %s has the edges %v off the grain", x.Label, x.Bias)
	}
}

// pieceWork is a piece on the table.
func (v *prover) pieceWork(x *plan.Piece) (cloth.Work, bool) {
	p := flat.Raw(x)
	if p == nil {
		return cloth.Work{}, false
	}
	l := cloth.Layer{Cloth: p, Fabric: x.Fabric, Label: x.Label, Piece: x.Label}
	if up, ok := v.printUp(x); ok {
		l.Up = &up
	}
	return cloth.Work{Layers: []cloth.Layer{l}, Count: 1}, true
}

// printUp is where the print of a piece points in its frame; false for a plain print.
func (v *prover) printUp(x *plan.Piece) (float64, bool) {
	f := v.fabrics[x.Fabric]
	if f == nil || f.Print == "plain" || f.Print == "" {
		return 0, false
	}
	if x.Up == nil {
		return 0, true
	}
	return float64(*x.Up), true
}

// period is after how many degrees a print looks the same.
func (v *prover) period(fabric string) float64 {
	if f := v.fabrics[fabric]; f != nil && f.Print == "two-way" {
		return 180
	}
	return 360
}

// month reports whether the plan has a month of that number.
func (v *prover) month(n int) bool {
	for _, m := range v.p.Months {
		if m.Number == n {
			return true
		}
	}
	return false
}

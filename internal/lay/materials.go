package cut

import (
	"fmt"
	"math"
	"strings"

	"quiltwright/internal/diag"
	"quiltwright/internal/guillotine"
	"quiltwright/internal/measure"
	"quiltwright/internal/method"
	"quiltwright/internal/plan"
	"quiltwright/internal/quilt"
)

// sizes of the trade in the document's measure. Sources: docs/craft.md#cloth.
type trade struct {
	step        float64    // the shop's step
	unit        string     // in which it is told
	per         float64    // how long one of the unit is
	bindExtra   float64    // more binding than the way round
	panelSeam   float64    // what a seam of the backing takes off its two panels
	overMeasure float64    // laid more than computed where a strip is cut to one's own top
	fatQuarter  [2]float64 // across, along
	fatEighth   [2]float64
	grid        float64 // of the layout
}

func tradeOf(doc *quilt.Document) trade {
	if doc.Measure == measure.Centimetre {
		return trade{step: 10, unit: "cm", per: 1, bindExtra: 25, panelSeam: 2.5, overMeasure: 5, fatQuarter: [2]float64{55, 50}, fatEighth: [2]float64{55, 25}, grid: 0.05}
	}
	return trade{step: 4.5, unit: "yd", per: 36, bindExtra: 10, panelSeam: 1, overMeasure: 2, fatQuarter: [2]float64{21, 18}, fatEighth: [2]float64{21, 9}, grid: 1.0 / 32}
}

// Materials lays every fabric's pieces out and says what to buy: the length laid, and the margins, rounded up to the shop's
// step. joined gives, for pieces longer than the cloth is wide, from how many strips each is joined.
func Materials(doc *quilt.Document, pieces []Piece, finished plan.Size, months int, effort guillotine.Effort) (fabrics []plan.Fabric, finish plan.Finish, joined map[string]int, found diag.List) {
	t := tradeOf(doc)
	joined = map[string]int{}
	bench := bench{step: t.grid, effort: effort}
	if r := doc.Ruler.Float(); r/2 < t.grid || math.Abs(r/2/t.grid-math.Round(r/2/t.grid)) > 1e-9 {
		bench.step = r / 2 / math.Max(1, math.Round(r/2/t.grid))
	}
	finish.Binding = binding(doc, t, finished)
	finish.Backing, finish.Batting = backing(doc, t, finished)
	for i, f := range doc.Fabrics {
		out := plan.Fabric{Letter: f.Letter, Name: f.Name, Color: f.Color, Swatch: f.Swatch, Value: string(f.Value), Print: string(f.Print),
			Width: plan.Num(f.Width.Float()), Assorted: f.Assorted}
		var blanks []blank
		for p := range pieces {
			if pieces[p].Blank.Fabric == i && pieces[p].Cut() > 0 {
				blanks = append(blanks, split(doc, t, &pieces[p], f, joined)...)
			}
		}
		bind := 0.0
		if b := finish.Binding; b != nil && b.Fabric == f.Letter {
			n := make([]int, months)
			k := blank{label: "binding", w: f.Width.Float(), h: float64(b.Strip), months: n, turned: true}
			n[months-1] = b.Strips
			bind = float64(b.Strips) * float64(b.Strip)
			if b.Cut == "bias" {
				k.w, k.h = float64(b.Square), float64(b.Square)
				n[months-1], bind = 1, float64(b.Square)
			}
			blanks = append(blanks, k)
		}
		if err := layFabric(bench, t, doc, f, &out, blanks); err != nil {
			found.Errorf(f.At, "too-wide", "%v", err).Remedy = "use wider cloth, or draw the piece as several"
		}
		buy(doc, t, f, &out, bind)
		if len(f.Have) > 0 {
			found.Warnf(f.At, "have", "cloth on the shelf is not laid out yet: fabric %s is all counted as bought", f.Letter)
		}
		fabrics = append(fabrics, out)
	}
	found.Add(alike(doc, pieces)...)
	return fabrics, finish, joined, found
}

func layFabric(b bench, t trade, doc *quilt.Document, f quilt.Fabric, out *plan.Fabric, blanks []blank) error {
	if len(blanks) == 0 {
		out.Optimal, out.Rules = true, "nothing is cut"
		return nil
	}
	if w, h, ok := sheet(t, f); ok {
		return b.sheets(out, w, h, blanks)
	}
	return b.lay(out, blanks)
}

// sheet is the size of what a fabric is sold in, across and along; false for cloth off the bolt.
func sheet(t trade, f quilt.Fabric) (w, h float64, ok bool) {
	switch f.Sold.Form {
	case "fat quarter":
		return t.fatQuarter[0], t.fatQuarter[1], true
	case "fat eighth":
		return t.fatEighth[0], t.fatEighth[1], true
	case "sheet":
		return f.Sold.Sheet[0].Float(), f.Sold.Sheet[1].Float(), true
	}
	return 0, 0, false
}

// split is a piece as it is laid: one longer than the cloth is wide is joined from strips, which lie across.
func split(doc *quilt.Document, t trade, p *Piece, f quilt.Fabric, joined map[string]int) []blank {
	b := &p.Blank
	k := blank{label: p.Label, w: b.Width, h: b.Height, months: p.Months, turn: b.Turnable && !b.Directed}
	width := f.Width.Float()
	long := b.Height
	if b.Measured {
		long += t.overMeasure
		k.h = long
		if long > width-1e-9 {
			k.h = math.Max(b.Height, width)
		}
	}
	if b.Shape != method.JoinedStrip {
		return []blank{k}
	}
	// Every seam between strips takes two allowances.
	lost := 2 * doc.Seam.Float()
	n := max(2, int(math.Ceil((long-lost)/(width-lost)-1e-9)))
	joined[p.Label] = n
	rest := long - float64(n-1)*(width-lost)
	times := func(k int) []int {
		out := make([]int, len(p.Months))
		for m, c := range p.Months {
			out[m] = c * k
		}
		return out
	}
	return []blank{
		{label: p.Label, w: width, h: b.Width, months: times(n - 1), turned: true},
		{label: p.Label, w: rest, h: b.Width, months: times(1), turned: true},
	}
}

// buy adds the margins and rounds up to what the shop sells.
func buy(doc *quilt.Document, t trade, f quilt.Fabric, out *plan.Fabric, bind float64) {
	out.Buy.Unit = t.unit
	if out.Sheets > 0 {
		out.Buy = plan.Buy{Amount: plan.Num(out.Sheets), Unit: f.Sold.Form}
		return
	}
	if out.Length == 0 {
		return
	}
	highest := 0.0
	for _, s := range out.Strips {
		highest = math.Max(highest, float64(s.Height))
	}
	b := &out.Buy
	b.Squaring, b.Binding = plan.Num(doc.Make.Squaring.Float()), plan.Num(bind)
	b.Miscut = plan.Num(doc.Make.Miscut.Float())
	if doc.Make.MiscutStrip {
		b.Miscut = plan.Num(highest)
	}
	need := float64(out.Length + b.Squaring + b.Miscut)
	if s := doc.Shrink.Float(); s > 0 {
		b.Shrink = plan.Num(need*s/(1-s) + 5e-7)
		need += float64(b.Shrink)
	}
	b.Amount = plan.Num(math.Ceil(need/t.step-1e-6) * t.step / t.per)
}

// binding is the strips that go round the quilt.
func binding(doc *quilt.Document, t trade, size plan.Size) *plan.Binding {
	d := doc.Finish.Binding
	if d == nil {
		return nil
	}
	w := 0.0
	for _, f := range doc.Fabrics {
		if f.Letter == d.Fabric {
			w = f.Width.Float()
		}
	}
	b := &plan.Binding{Fabric: d.Fabric, Cut: d.Cut, Strip: plan.Num(d.Strip.Float()), Extra: plan.Num(t.bindExtra)}
	b.Length = plan.Num(2*float64(size.Width+size.Height) + t.bindExtra)
	strip, length := float64(b.Strip), float64(b.Length)
	if d.Cut == "bias" {
		// A square sewn into a tube and cut round: each turn gives √2 times its side, less a seam.
		lost := 2 * doc.Seam.Float()
		side := math.Ceil(math.Sqrt(length * strip))
		for ; ; side++ {
			n := math.Floor((side-lost)/(math.Sqrt2*strip) + 1e-9)
			if n*math.Sqrt2*(side-lost) >= length {
				b.Square, b.Strips, b.Joins = plan.Num(side), int(n), int(n)
				return b
			}
		}
	}
	// Strips joined with diagonal seams, each of which takes a strip's width.
	n := max(1, int(math.Ceil((length-strip)/(w-strip)-1e-9)))
	b.Strips, b.Joins = n, n-1
	return b
}

// backing is the cloth behind and the batting, each larger than the top on every side.
func backing(doc *quilt.Document, t trade, size plan.Size) (*plan.Backing, *plan.Batting) {
	var back *plan.Backing
	var batt *plan.Batting
	if d := doc.Finish.Batting; d != nil {
		o := plan.Num(d.Overhang.Float())
		batt = &plan.Batting{Overhang: o, Size: plan.Size{Width: size.Width + 2*o, Height: size.Height + 2*o}}
	}
	if d := doc.Finish.Backing; d != nil {
		o := plan.Num(d.Overhang.Float())
		back = &plan.Backing{Name: d.Name, Width: plan.Num(d.Width.Float()), Overhang: o, Size: plan.Size{Width: size.Width + 2*o, Height: size.Height + 2*o}, Unit: t.unit}
		w, h, cloth := float64(back.Size.Width), float64(back.Size.Height), d.Width.Float()
		panels := func(x float64) int { return max(1, int(math.Ceil((x-t.panelSeam)/(cloth-t.panelSeam)-1e-9))) }
		v, u := panels(w), panels(h)
		back.Panels, back.Panel, back.Seams = v, plan.Num(h), "vertical"
		if float64(u)*w < float64(v)*h-1e-9 {
			back.Panels, back.Panel, back.Seams = u, plan.Num(w), "horizontal"
		}
		if back.Panels == 1 {
			back.Seams = "none"
		}
		back.Length = plan.Num(float64(back.Panels)) * back.Panel
		back.Amount = plan.Num(math.Ceil(float64(back.Length)/t.step-1e-6) * t.step / t.per)
	}
	return back, batt
}

// alike flags sizes of one fabric that are easily taken for one another: both sides within 1/4 in (6 mm).
func alike(doc *quilt.Document, pieces []Piece) diag.List {
	near := 0.25
	if doc.Measure == measure.Centimetre {
		near = 0.6
	}
	var found diag.List
	order := Listed(pieces)
	by := map[int][]string{}
	for x, i := range order {
		for _, j := range order[x+1:] {
			a, b := pieces[i].Blank, pieces[j].Blank
			dw, dh := math.Abs(a.Width-b.Width), math.Abs(a.Height-b.Height)
			if a.Fabric == b.Fabric && dw <= near+1e-9 && dh <= near+1e-9 && dw+dh > 1e-9 {
				by[a.Fabric] = append(by[a.Fabric], pieces[i].Label+" and "+pieces[j].Label)
			}
		}
	}
	for i, f := range doc.Fabrics {
		if list := by[i]; len(list) > 0 {
			if len(list) > 6 {
				list = append(list[:6:6], fmt.Sprintf("%d more", len(list)-6))
			}
			found.Hintf(f.At, "alike", "pieces of fabric %s that are nearly the same size: %s", f.Letter, strings.Join(list, ", ")).Remedy = "label them as they are cut"
		}
	}
	return found
}

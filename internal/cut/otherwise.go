package cut

import (
	"cmp"
	"math"
	"slices"

	"quiltwright/internal/guillotine"
	"quiltwright/internal/plan"
	"quiltwright/internal/quilt"
)

// Otherwise says of each fabric off the bolt what would be bought if its borders and sashing were cut in a way that laying it has not looked at:
// long strips joined where the writer wants them along the selvage, or the other way round; and borders that are cut whole, those of these
// labels, joined from strips, too, where that takes less.
func Otherwise(doc *quilt.Document, pieces []Piece, borders map[string]bool, fabrics []plan.Fabric, binding *plan.Binding, effort guillotine.Effort, memory *guillotine.Memory) [][]plan.Instead {
	rules := rulesOf(doc)
	rules.Effort, rules.Memory = effort, memory
	out := make([][]plan.Instead, len(fabrics))
	listed := Listed(pieces)
	for i := range fabrics {
		w := clothsOf(doc, pieces, listed, i, binding, rules)
		if w.c.inSheets() {
			continue
		}
		try := func(way string, w cloths, along bool, most float64) {
			if got, err := w.lay(along); err == nil && float64(got.fabric.Buy.Amount) < most {
				out[i] = append(out[i], plan.Instead{Way: way, Amount: got.fabric.Buy.Amount, Unit: got.fabric.Buy.Unit})
			}
		}
		if slices.ContainsFunc(w.blanks, Blank.long) {
			switch doc.Make.LongStrips {
			case "along":
				try("joined", w, false, math.Inf(1))
			case "straight", "diagonal":
				try("along", w, true, math.Inf(1))
			}
		}
		if blanks, some := pieced(w.blanks, borders); some {
			w.blanks = blanks
			try("pieced", w, false, float64(fabrics[i].Buy.Amount)-1e-9)
		}
	}
	return out
}

// pieced are the blanks with those borders that are cut whole, though across the cloth would do, joined: those of one width and of one month
// from one long strip that is cut up again. It says whether there are any.
func pieced(blanks []Blank, borders map[string]bool) (out []Blank, some bool) {
	type run struct {
		wide  float64
		month int
	}
	long := map[run]float64{}
	for _, b := range blanks {
		if !borders[b.Label] || b.Joined || b.Directed {
			out = append(out, b)
			continue
		}
		for m, n := range b.Months {
			if n > 0 {
				long[run{math.Min(b.Width, b.Height), m}] += float64(n) * math.Max(b.Width, b.Height)
			}
		}
	}
	var runs []run
	for r := range long {
		runs = append(runs, r)
	}
	slices.SortFunc(runs, func(a, b run) int { return cmp.Or(cmp.Compare(b.wide, a.wide), cmp.Compare(a.month, b.month)) })
	for k, r := range runs {
		months := make([]int, r.month+1)
		months[r.month] = 1
		out = append(out, Blank{Label: "pieced " + string(rune('1'+k)), Width: r.wide, Height: long[r], Months: months, Joined: true, Measured: true})
	}
	return out, len(runs) > 0
}

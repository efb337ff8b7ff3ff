package main

import (
	"fmt"
	"strings"
	"text/tabwriter"

	"quiltwright/internal/plan"
	"quiltwright/internal/prove"
)

// sheetText prints the technical editor's sheet as tables: sizes with their formulas, labels where cut and where used, counts by fabric and
// month, units.
func sheetText(p *plan.Plan) string {
	var b strings.Builder
	s := prove.MakeSheet(p)
	num := func(x plan.Num) string {
		return strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.4f", float64(x)), "0"), ".")
	}
	numbers := func(list []int) string {
		out := make([]string, len(list))
		for i, n := range list {
			out[i] = fmt.Sprint(n)
		}
		return strings.Join(out, " ")
	}
	table := func(title, head string, rows func(w *tabwriter.Writer)) {
		fmt.Fprintf(&b, "%s\n\n", title)
		w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
		fmt.Fprintln(w, strings.ReplaceAll(head, "|", "\t"))
		rows(w)
		w.Flush()
		b.WriteString("\n")
	}
	table("Sizes", "piece|side|finished|added|exact|printed|over|formula", func(w *tabwriter.Writer) {
		for _, r := range s.Sizes {
			fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\n", r.Label, r.Side, num(r.Finished), num(r.Added), num(r.Exact), num(r.Printed), num(r.Over), r.Formula)
		}
	})
	table("Labels", "piece|fabric|shape|strips|recipes|units|yields|used|spare|over|months", func(w *tabwriter.Writer) {
		for _, r := range s.Labels {
			var months []string
			for _, m := range r.Months {
				months = append(months, fmt.Sprintf("%d:%d", m.Month, m.Cut))
			}
			fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\t%s\t%d\t%d\t%d\t%d\t%s\n", r.Label, r.Fabric, r.Shape, numbers(r.Strips), strings.Join(r.Recipes, " "),
				strings.Join(r.Units, " "), r.Yields, r.Used, r.Spare, r.Over, strings.Join(months, " "))
		}
	})
	table("Counts", "fabric|month|blanks|pieces|area", func(w *tabwriter.Writer) {
		for _, r := range s.Counts {
			fmt.Fprintf(w, "%s\t%d\t%d\t%d\t%s\n", r.Fabric, r.Month, r.Blanks, r.Pieces, num(r.Area))
		}
	})
	table("Units", "unit|kind|finished|raw|excess|recipe|steps|used in|needed|made|spare|surplus", func(w *tabwriter.Writer) {
		size := func(z plan.Size) string { return num(z.Width) + " x " + num(z.Height) }
		for _, r := range s.Units {
			fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%d\t%d\t%d\t%d\n", r.Unit, r.Kind, size(r.Finished), size(r.Raw), size(r.Excess), r.Recipe,
				numbers(r.Steps), strings.Join(r.UsedIn, " "), r.Needed, r.Made, r.Spare, r.Surplus)
		}
	})
	return b.String()
}

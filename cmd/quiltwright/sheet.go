package main

import (
	"fmt"
	"strings"
	"text/tabwriter"

	"quiltwright/internal/plan"
	"quiltwright/internal/prove"
)

// sheetText prints the technical editor's sheet.
func sheetText(p *plan.Plan) string {
	var b strings.Builder
	for _, t := range prove.MakeSheet(p).Tables() {
		fmt.Fprintf(&b, "%s\n\n", t.Title)
		w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
		fmt.Fprintln(w, strings.Join(t.Head, "\t"))
		for _, r := range t.Rows {
			fmt.Fprintln(w, strings.Join(r, "\t"))
		}
		w.Flush()
		b.WriteString("\n")
	}
	return b.String()
}

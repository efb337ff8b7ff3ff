package papertest

import (
	"strings"
	"testing"

	"quiltwright/internal/plan"
)

// A handout names no piece that is not cut by the end of its month, and where its sewing is told every piece that its month cuts.
func TestHandoutsUseWhatTheyCut(t *testing.T) {
	p, docs := books(t)
	checked := 0
	for _, d := range docs {
		if d.month == 0 {
			continue
		}
		text := tally.ReplaceAllString(d.text(), "")
		_, sewing, ok := strings.Cut(text, "The iron.") // the caution stands where sewing begins, after the cutting lists
		if !ok {
			t.Errorf("%s: the iron is never mentioned", d.name)
			continue
		}
		named := map[string]bool{}
		for _, k := range anyLabel.FindAllString(sewing, -1) {
			named[k] = true
		}
		by := cutBy(p, d.month)
		for _, k := range anyLabel.FindAllString(d.text(), -1) {
			if !by[k] {
				t.Errorf("%s: %s is printed and not cut by then", d.name, k)
			}
		}
		for _, k := range labels(planned(p, d.month)) {
			checked++
			if !named[k] {
				t.Errorf("%s: %s is cut and never sewn", d.name, k)
			}
		}
	}
	if checked < 100 {
		t.Errorf("only %d labels", checked)
	}
}

// cutBy is what has been cut by the end of a month.
func cutBy(p *plan.Plan, month int) map[string]bool {
	out := map[string]bool{}
	for _, q := range p.Pieces {
		for _, m := range q.Months {
			if m.Month <= month && m.Cut > 0 {
				out[q.Label] = true
			}
		}
	}
	return out
}

package compile

import (
	"fmt"
	"strings"
	"testing"
)

// A piece that no way of lying makes fit is an error that says which, and what would fit: wider cloth, the print the other way, a patch that is divided.
func TestPiecesThatFitNoCloth(t *testing.T) {
	doc := func(fabric, rows string) string {
		return fmt.Sprintf("quilt: Wide\nfabrics:\n  A: {name: Fog%s}\n  B: {name: Slate}\nblocks:\n  Plain:\n    size: 48\n    rows: %s\n", fabric, rows)
	}
	for name, c := range map[string]struct{ doc, says, remedy string }{
		"both ways":            {doc("", "[[A]]"), "piece A1, 48 1/2 by 48 1/2 in, does not fit on fabric A, which is 40 in wide", "give the fabric a “width” of at least 48 1/2 in, or divide the patch"},
		"as its print asks":    {doc(", print: one-way", "[[A], [B], [A], [B]]"), "piece A1, 48 1/2 by 12 1/2 in, does not fit", "it would fit if its print ran the other way; or give the fabric a “width” of at least 48 1/2 in, or divide the patch"},
		"on what it is cut of": {doc(", sold: fat quarter", "[[A], [B], [A], [B]]"), "piece A1, 12 1/2 by 48 1/2 in, does not fit on fabric A, which is 21 in wide", "buy it off the bolt, or divide the patch"},
	} {
		r := Compile(name, []byte(c.doc), Options{})
		found := r.Findings.String()
		found = strings.ReplaceAll(found, "\u00a0", " ")
		if r.Plan.Complete || !strings.Contains(found, c.says) || !strings.Contains(found, c.remedy) {
			t.Errorf("%s: complete %v: %s", name, r.Plan.Complete, found)
		}
	}
	// As wide as the remedy says it is complete.
	for _, fabric := range []string{", width: 48 1/2", ", print: two-way, width: 49"} {
		if r := Compile("wide", []byte(doc(fabric, "[[A]]")), Options{Proof: true}); !r.Plan.Complete || !r.Plan.Proof.Holds {
			t.Errorf("%s: %v", fabric, r.Findings)
		}
	}
}

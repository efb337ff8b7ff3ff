package main

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"

	"quiltwright/internal/book"
	"quiltwright/internal/compile"
	"quiltwright/internal/plan"
	"quiltwright/internal/words"
)

// upTo is what months 1 to last print: the pieces they cut, and their steps.
func upTo(p *plan.Plan, last int) string {
	var b strings.Builder
	for _, x := range p.Pieces {
		for _, m := range x.Months {
			if m.Month <= last {
				fmt.Fprintf(&b, "month %d: %d of %s, %s %g by %g\n", m.Month, m.Cut, x.Label, x.Shape, float64(x.Width), float64(x.Height))
			}
		}
	}
	sew, _, _ := strings.Cut(words.Sew(p), fmt.Sprintf("Month %d:", last+1))
	return b.String() + sew
}

// handouts are the files of months 1 to last on one paper.
func handouts(t *testing.T, p *plan.Plan, last int) map[string][]byte {
	files, err := book.Write(p, book.Options{Papers: []string{"letter"}})
	if err != nil {
		t.Fatal(err)
	}
	out := map[string][]byte{}
	for _, f := range files {
		for m := 1; m <= last; m++ {
			if f.Name == fmt.Sprintf("month-%02d.pdf", m) {
				out[f.Name] = f.Data
			}
		}
	}
	if len(out) != last {
		t.Fatalf("%d handouts of %d", len(out), last)
	}
	return out
}

// A change to a later month never renames or remakes what an earlier one prints.
func TestLaterMonthChangesNothingEarlier(t *testing.T) {
	src, err := os.ReadFile("../../examples/lantern-row.yaml")
	if err != nil {
		t.Fatal(err)
	}
	before := compile.Compile("before", src, compile.Options{Proof: true}).Plan
	pages := handouts(t, before, 8)
	for _, change := range [][2]string{
		{"[four-patch B A, Beam, four-patch A B]", "[nine-patch B D, Beam, A]"},
		{"[Beam@270, C, Beam@90]", "[Beam@270, hourglass C D, Beam@90]"},
		{"[half rectangle A D, half rectangle A D@m]", "[half rectangle A B, half rectangle A E@m]"},
	} {
		changed := strings.Replace(string(src), change[0], change[1], 1)
		r := compile.Compile("after", []byte(changed), compile.Options{Proof: true})
		if changed == string(src) || !r.Plan.Complete || !r.Plan.Proof.Holds {
			t.Fatalf("%s: %v", change[1], r.Findings)
		}
		if a, b := upTo(before, 8), upTo(r.Plan, 8); a != b {
			x, y := strings.Split(a, "\n"), strings.Split(b, "\n")
			for i := range x {
				if i >= len(y) || x[i] != y[i] {
					t.Errorf("%s: months 1 to 8 print\n%s\ninstead of\n%s", change[1], strings.Join(y[i:min(i+3, len(y))], "\n"), x[i])
					break
				}
			}
		}
		for name, data := range handouts(t, r.Plan, 8) {
			if !bytes.Equal(data, pages[name]) {
				t.Errorf("%s: %s is not the same file", change[1], name)
			}
		}
		if words.Sew(before) == words.Sew(r.Plan) {
			t.Errorf("%s changes nothing at all", change[1])
		}
	}
}

package words

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"quiltwright/internal/plan"
)

// What is said of motifs is so: as many to a width as are sure of one, and the row of motifs where every blank of the strip has its own.
func TestMotifsAreSaid(t *testing.T) {
	all := plans(t)
	for name, want := range map[string]string{
		// Of floor((40 - w)/6) = 5 motifs every second one: squares of 8 1/2 in and of 6 3/16 in, and rectangles that lie 8 1/2 in across.
		"motif": "Motifs of 3 in stand every 6 in across and 8 in along the cloth. Wherever the first one stands, a width gives 3 B2, 3 B4 and 3 B3.",
		// Of floor((40 - w)/3) = 10 stripes every third: 8 3/4 and 8 1/2 in; every fourth: geese cut 9 1/4 in across.
		"stripe along": "Stripes run along the cloth, 3 in from one to the next alike. Wherever the first one stands, a width gives 4 B1, 4 B2, 3 B3 and 4 B4.",
		// Side by side: floor(40/w).
		"stripe across": "Stripes run across the cloth, 3 in from one to the next alike. A width gives 4 B1, 4 B2, 4 B3 and 4 B4.",
	} {
		p := all[name]
		teller := Of(p)
		f := &p.Fabrics[1]
		if got := teller.Motifs(f, 0).Plain(); got != want {
			t.Errorf("%s: “%s”, want “%s”", name, got, want)
		}
		if got := teller.Motifs(&p.Fabrics[0], 0); got != "" {
			t.Errorf("%s: of cloth without motifs “%s”", name, got)
		}
		rows := 0
		for i := range f.Strips {
			s := &f.Strips[i]
			down, _, is := teller.Row(s)
			if !is {
				continue
			}
			rows++
			does, left := teller.Strip(f, s)
			if left != "" || !strings.HasPrefix(does.Plain(), "In one layer cut ") {
				t.Errorf("%s: “%s”, “%s”", name, does, left)
			}
			if m := regexp.MustCompile(`(?:motifs|stripe) (.*) below the upper edge`).FindStringSubmatch(does.Plain()); (m != nil) != (name != "stripe along") {
				t.Errorf("%s: “%s”", name, does)
			} else if m != nil && m[1] != strings.ReplaceAll(teller.length(down), "\u00a0", " ") {
				t.Errorf("%s: “%s”: the row is %v below the edge", name, does, down)
			}
			n := 0
			for _, m := range regexp.MustCompile(`(\d+) (?:squares?|rectangles?|template pieces?) B\d`).FindAllStringSubmatch(does.Plain(), -1) {
				k, _ := strconv.Atoi(m[1])
				n += k
			}
			cut := 0
			for _, c := range s.Cuts {
				cut += c.Count * s.Count
				in := *teller.pieces[c.Label].Motif
				if c.Turned {
					in[1] = in[0]
				}
				if at := teller.Drop(s, c) + in[1]; math.Abs(float64(at-down)) > 1e-6 {
					t.Errorf("%s: the motif of %s lies %v below the edge, the row %v", name, c.Label, at, down)
				}
			}
			if n != cut {
				t.Errorf("%s: “%s” cuts %d blanks, the plan %d", name, does, n, cut)
			}
			if teller.Fold(s) != Flat {
				t.Errorf("%s: a strip about motifs is folded", name)
			}
		}
		if rows == 0 {
			t.Errorf("%s: no strip is cut about motifs", name)
		}
		if left := teller.LeftOver(&plan.Fabric{Layout: f.Layout[:1]}); left != "" {
			t.Errorf("%s: %s", name, left)
		}
	}
}

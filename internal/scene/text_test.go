package scene

import (
	"strings"
	"testing"
)

func text(gs []Glyph) string {
	var b strings.Builder
	for _, g := range gs {
		b.WriteString(g.Text)
	}
	return b.String()
}

func TestFractionsAreGlyphsThatReadBack(t *testing.T) {
	for _, f := range Fonts {
		for _, c := range []struct {
			s      string
			glyphs int
		}{
			{"3 7/8", 3}, {"3\u00a07/8 in", 6}, {"1/16", 4}, {"1/2/2027", 8}, {"13/64", 5}, {"fish", 3}, {"4 1/2 × 2 1/2", 9},
		} {
			gs := Shape(f, c.s)
			if len(gs) != c.glyphs {
				t.Errorf("%s: %q has %d glyphs, want %d", f.Name(), c.s, len(gs), c.glyphs)
			}
			if got, want := text(gs), strings.ReplaceAll(c.s, "\u00a0", " "); got != want {
				t.Errorf("%s: %q reads back as %q", f.Name(), want, got)
			}
			for _, g := range gs {
				if g.ID == 0 {
					t.Errorf("%s: %q: no glyph for %q", f.Name(), c.s, g.Text)
				}
			}
		}
	}
}

func TestKerning(t *testing.T) {
	if apart, together := Width(Heading, 100, "A")+Width(Heading, 100, "V"), Width(Heading, 100, "AV"); together >= apart {
		t.Errorf("AV is %v wide, its letters %v: not kerned", together, apart)
	}
}

func TestBreak(t *testing.T) {
	runs := Rich("Lay two **A4** on opposite corners of **B2**, cut 3 7/8\u00a0in wide.\nThen press.")
	for w := Pt(20); w < 400; w += 7 {
		var got []string
		for _, l := range Break(10, w, runs) {
			s := Text{Runs: l}.String()
			if m := Measure(10, l); m > w && strings.ContainsRune(s, ' ') && s != "3 7/8\u00a0in" {
				t.Errorf("width %v: line %q is %v wide", w, s, m)
			}
			got = append(got, s)
		}
		all := strings.Join(got, " ")
		if all != "Lay two A4 on opposite corners of B2, cut 3 7/8\u00a0in wide. Then press." {
			t.Fatalf("width %v: %q", w, all)
		}
		for _, l := range got {
			if strings.HasSuffix(l, " 3") || strings.HasPrefix(l, "7/8") {
				t.Errorf("width %v: a measure is broken: %q", w, got)
			}
		}
	}
}

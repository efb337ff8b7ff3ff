package cut

import (
	"math"
	"testing"

	"quiltwright/internal/measure"
)

// Source: the guild's rule (S42, S44b): once round and 10 in, strips of 2 1/2 from cloth 40 wide, each diagonal join takes a
// strip's width; worked through for usual sizes.
func TestBindingStrips(t *testing.T) {
	for _, c := range []struct {
		w, h, need float64
		strips     int
		cloth      float64
	}{
		{36, 48, 178, 5, 12.5}, {50, 65, 240, 7, 17.5}, {60, 72, 274, 8, 20}, {68, 86, 318, 9, 22.5}, {90, 90, 370, 10, 25}, {90, 108, 406, 11, 27.5},
	} {
		b := binding(inches, c.w, c.h, 2.5, 40, false)
		if float64(b.Length) != c.need || b.Strips != c.strips || b.Joins != c.strips-1 || float64(b.Strips)*2.5 != c.cloth {
			t.Errorf("%g by %g: %+v; want %d strips for %g", c.w, c.h, b, c.strips, c.need)
		}
	}
}

// Strips of one length along the selvage, joined on the slant, are as long as the binding, to the ruler's mark for each.
func TestBindingAlongTheSelvage(t *testing.T) {
	across := binding(inches, 60, 72, 2.5, 40, false)
	for n := 1; n < across.Strips; n++ {
		b := inches.lengthwise(across, n)
		if long := float64(n)*float64(b.Along) - 2.5*float64(n-1); b.Strips != n || b.Joins != n-1 || long < 274-1e-9 || long >= 274+0.125*float64(n) {
			t.Errorf("%d strips of %g, joined %d times, are %g", b.Strips, float64(b.Along), b.Joins, long)
		}
	}
}

// Source: geometry of the continuous method: floor((a - 2s) / (√2 w)) strips of √2 (a - 2s); the square root alone is too small.
func TestBiasBindingSquare(t *testing.T) {
	for _, c := range []struct{ length, strip, side float64 }{{274, 2.25, 26}, {274, 2.5, 29}, {406, 2.5, 33}} {
		around := c.length - 10
		b := binding(inches, around/4, around/4, c.strip, 40, true)
		if float64(b.Square) != c.side || float64(b.Length) != c.length {
			t.Errorf("%g of %g: a square of %v; want %g", c.length, c.strip, b.Square, c.side)
		}
		if got := float64(b.Strips) * math.Sqrt2 * (c.side - 0.5); got < c.length {
			t.Errorf("%d strips make %g of %g", b.Strips, got, c.length)
		}
	}
}

// Source: geometry: n panels of 42 usable span 42 n - (n-1), seams of 1/2 in, 4 in more on each side; yards in eighths.
func TestBackingPanels(t *testing.T) {
	for _, c := range []struct {
		w, h          float64
		seams         string
		panels        int
		length, yards float64
	}{
		{36, 48, "horizontal", 2, 88, 2.5},
		{50, 65, "horizontal", 2, 116, 3.25},
		{60, 72, "horizontal", 2, 136, 3.875},
		{68, 86, "vertical", 2, 188, 5.25},
		{80, 88, "horizontal", 3, 264, 7.375},
		{90, 108, "horizontal", 3, 294, 8.25},
		{34, 60, "none", 1, 68, 2},
		{75, 90, "vertical", 2, 196, 5.5},
	} {
		b := backing(inches, c.w, c.h, 42, 4)
		if b.Seams != c.seams || b.Panels != c.panels || float64(b.Length) != c.length || float64(b.Amount) != c.yards || b.Unit != "yd" {
			t.Errorf("%g by %g: %+v; want %d panels, %s, %g, %g yd", c.w, c.h, b, c.panels, c.seams, c.length, c.yards)
		}
	}
	for _, c := range []struct{ w, h, run, yards float64 }{{36, 48, 44, 1.25}, {50, 65, 58, 1.625}, {60, 72, 68, 2}, {68, 86, 76, 2.125}, {80, 88, 88, 2.5}, {90, 108, 116, 3.25}} {
		b := backing(inches, c.w, c.h, 108, 4)
		if b.Panels != 1 || b.Seams != "none" || float64(b.Panel) != c.run || float64(b.Amount) != c.yards {
			t.Errorf("%g by %g on wide cloth: %+v; want a run of %g, %g yd", c.w, c.h, b, c.run, c.yards)
		}
	}
}

func TestShopSteps(t *testing.T) {
	for _, c := range []struct {
		unit   measure.Unit
		length float64
		want   float64
		in     string
	}{{measure.Inch, 4.5, 0.125, "yd"}, {measure.Inch, 4.6, 0.25, "yd"}, {measure.Inch, 112, 3.125, "yd"}, {measure.Centimetre, 90, 90, "cm"}, {measure.Centimetre, 90.1, 100, "cm"}} {
		if got, in := (Rules{Unit: c.unit}).shop(c.length); got != c.want || in != c.in {
			t.Errorf("%g: %g %s; want %g %s", c.length, got, in, c.want, c.in)
		}
	}
}

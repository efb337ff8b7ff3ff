package cut

import (
	"errors"
	"fmt"
	"math"
	"math/rand"
	"testing"

	"quiltwright/internal/plan"
)

// square is so many squares about motifs in their middles.
func square(label string, side float64, n int) Blank {
	return Blank{Label: label, Width: side, Height: side, Months: []int{n}, Turn: true, Centred: true, Motif: [2]float64{side / 2, side / 2}}
}

// Worked by hand: of a width of 40 in, floor((40 - w)/every) motifs are sure to have a blank w wide about them; rows are a repeat apart, and one
// repeat more is bought for where the first one stands.
func TestMotifsByHand(t *testing.T) {
	quarter := [2]float64{21, 18}
	for _, c := range []struct {
		name   string
		cloth  Cloth
		blanks []Blank
		length float64
		strips []int // blanks in each strip, one by one
		sheets int
	}{
		// floor(35 1/2 / 6) = 5 to a row, 24 in 5 rows: 4 x 8 + 4 1/2 + 8.
		{"squares of 4 1/2", Cloth{Width: 40, Motifs: lattice{6, 8}}, []Blank{square("A1", 4.5, 24)}, 44.5, []int{5, 5, 5, 5, 4}, 0},
		// One row: 4 1/2 + 8.
		{"one square", Cloth{Width: 40, Motifs: lattice{6, 8}}, []Blank{square("A1", 4.5, 1)}, 12.5, []int{1}, 0},
		// 8 1/2 takes every second motif, 12 in apart: floor(31 1/2 / 6) = 5 motifs, 3 blanks. Down every second row: 3 x 16 + 8 1/2 + 8.
		{"larger than the repeat", Cloth{Width: 40, Motifs: lattice{6, 8}}, []Blank{square("A1", 8.5, 12)}, 64.5, []int{3, 3, 3, 3}, 0},
		// The blank is as wide as a repeat: floor(34 / 6) = 5.
		{"as wide as the repeat", Cloth{Width: 40, Motifs: lattice{6, 6}}, []Blank{square("A1", 6, 10)}, 18, []int{5, 5}, 0},
		// Stripes along the selvage: floor((40 - 4 1/2) / 3) = 11 stripes, every second one; rows one after the other: 4 x 4 1/2.
		{"stripes along", Cloth{Width: 40, Motifs: lattice{3, 0}}, []Blank{square("A1", 4.5, 24)}, 18, []int{6, 6, 6, 6}, 0},
		// Stripes across: 8 to a strip, every second stripe, 6 in apart: 2 x 6 + 4 1/2 + 3.
		{"stripes across", Cloth{Width: 40, Motifs: lattice{0, 3}}, []Blank{square("A1", 4.5, 24)}, 19.5, []int{8, 8, 8}, 0},
		// Two sizes: 2 large ones, then 3 of the small ones in the same row, 2 in the next: 8 + 4 1/2 / 2 + ... the middles 8 in apart.
		{"two sizes in a row", Cloth{Width: 40, Motifs: lattice{6, 8}}, []Blank{square("A1", 5.5, 2), square("A2", 4.5, 5)}, 2.75 + 8 + 2.25 + 8, []int{5, 2}, 0},
		// A fat quarter has 21 in across: floor(16 1/2 / 6) = 2, and floor(13 1/2 / 8) = 1 row.
		{"fat quarters", Cloth{Width: 21, Sheet: quarter, Motifs: lattice{6, 8}}, []Blank{square("A1", 4.5, 24)}, 0, []int{2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2}, 12},
		// On the shelf floor(15 1/2 / 6) = 2 by floor(25 1/2 / 8) = 3; 18 are left: 3 x 8 + 4 1/2 + 8.
		{"a piece at hand", Cloth{Width: 40, Have: [][2]float64{{20, 30}}, Motifs: lattice{6, 8}}, []Blank{square("A1", 4.5, 24)}, 36.5, []int{2, 2, 2, 5, 5, 5, 3}, 0},
		// Twelve of each of two cloths: 2 x 8 + 4 1/2 + 8 twice.
		{"two cloths", Cloth{Width: 40, Assorted: 2, Motifs: lattice{6, 8}}, []Blank{square("A1", 4.5, 24)}, 57, []int{5, 5, 2, 5, 5, 2}, 0},
		// Twenty plain squares are cut after them, 8 to a strip: 3 x 4 1/2 more than 12 1/2.
		{"plain ones besides", Cloth{Width: 40, Motifs: lattice{6, 8}}, []Blank{square("A1", 4.5, 5), {Label: "A2", Width: 4.5, Height: 4.5, Months: []int{20}}}, 26, []int{5, 8, 8, 4}, 0},
		// Upright 3 to a row, floor(36 1/2 / 10), and rows 12 in apart; lying down 3, floor(30 1/2 / 10), and rows 4 in apart: 2 x 4 + 3 1/2 + 4.
		{"a rectangle", Cloth{Width: 40, Motifs: lattice{10, 4}}, []Blank{{Label: "A1", Width: 3.5, Height: 9.5, Months: []int{9}, Turn: true, Centred: true, Motif: [2]float64{1.75, 4.75}}}, 15.5, []int{3, 3, 3}, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			l, err := lay(c.cloth, c.blanks, inches)
			if err != nil {
				t.Fatal(err)
			}
			if err := check(c.cloth, c.blanks, l); err != nil {
				t.Fatal(err)
			}
			if err := anywhere(c.cloth, c.blanks, &l); err != nil {
				t.Fatal(err)
			}
			var strips []int
			for i := range l.stocks {
				for _, b := range l.stocks[i].bands {
					strips = append(strips, len(b.slips))
				}
			}
			if !near(l.length, c.length) || fmt.Sprint(strips) != fmt.Sprint(c.strips) || l.sheets != c.sheets {
				t.Errorf("%g in %v, %d sheets; want %g in %v, %d sheets", l.length, strips, l.sheets, c.length, c.strips, c.sheets)
			}
		})
	}
}

// anywhere tries offsets of the first motif: every strip finds its row, and every blank in it a motif, before the cloth ends. It knows the layout by
// its tree alone.
func anywhere(c Cloth, blanks []Blank, l *laid) error {
	by := map[string]Blank{}
	for _, b := range blanks {
		by[b.Label] = b
	}
	type blank struct{ motif, from, to [2]float64 }
	for n, s := range l.tree() {
		var rows [][]blank
		var walk func(n *plan.Node, x, y float64, depth int)
		walk = func(n *plan.Node, x, y float64, depth int) {
			if b := by[n.Piece]; b.Centred {
				at := b.Motif
				if n.Turned {
					at = [2]float64{at[1], at[0]}
				}
				k := len(rows) - 1
				rows[k] = append(rows[k], blank{[2]float64{x + at[0], y + at[1]}, [2]float64{x, y}, [2]float64{x + float64(n.Width), y + float64(n.Height)}})
			}
			for i := range n.Parts {
				if depth == 0 {
					rows = append(rows, nil)
				}
				p := &n.Parts[i]
				walk(p, x, y, depth+1)
				if n.Cut == "along" {
					x += float64(p.Width)
				} else {
					y += float64(p.Height)
				}
			}
		}
		walk(s.First, 0, 0, 0)
		found := false
		for k := range 7 {
			for way, every := range c.Motifs {
				if every == 0 {
					continue
				}
				first := every * float64(k) / 7 // where the first motif stands
				slide := math.Inf(-1)
				for _, row := range rows {
					for _, b := range row {
						found = true
						if slide < 0 || way == 0 && b.motif == row[0].motif {
							slide = math.Mod(first-b.motif[way], every)
							if slide < 0 {
								slide += every
							}
						}
						if off := math.Abs(math.Remainder(b.motif[way]+slide-first, every)); off > 1e-6 {
							return fmt.Errorf("cut %d: a blank at %v lies %g off a motif", n, b.from, off)
						}
						if end := [2]float64{float64(s.First.Width), float64(s.First.Height)}[way]; b.to[way]+slide > end+1e-6 {
							return fmt.Errorf("cut %d: with the first motif at %g a blank at %v ends at %g of %g", n, first, b.from, b.to[way]+slide, end)
						}
					}
				}
			}
		}
		if found != s.Motif {
			return fmt.Errorf("cut %d says %v of motifs", n, s.Motif)
		}
	}
	return nil
}

// Random lists: what is laid is what was asked for, wherever the first motif stands, and a single kind takes what the formula says.
func TestMotifsOfRandomLists(t *testing.T) {
	r := rand.New(rand.NewSource(11))
	eighth := func(lo, hi int) float64 { return float64(lo+r.Intn(hi-lo+1)) / 8 }
	laidOut, refused := 0, 0
	for n := range 400 {
		c := Cloth{Width: eighth(160, 352), Motifs: lattice{eighth(8, 120), eighth(8, 120)}}
		if k := r.Intn(4); k < 2 {
			c.Motifs[k] = 0
		}
		switch r.Intn(5) {
		case 0:
			c.Sheet = [2]float64{21, 18}
			c.Width = 21
		case 1:
			c.Have = [][2]float64{{eighth(80, 200), eighth(80, 300)}}
		case 2:
			c.Assorted = 1 + r.Intn(3)
		}
		var blanks []Blank
		for k := range 1 + r.Intn(4) {
			b := Blank{Label: fmt.Sprintf("A%d", k+1), Width: eighth(12, 100), Height: eighth(12, 100), Months: []int{r.Intn(12), r.Intn(12)}, Centred: r.Intn(4) > 0}
			if b.Centred {
				b.Motif = [2]float64{b.Width / 2, b.Height / 2}
				if b.Turn = r.Intn(2) == 0; !b.Turn {
					b.Motif = [2]float64{b.Width * (0.2 + 0.6*r.Float64()), b.Height * (0.2 + 0.6*r.Float64())}
				}
			}
			blanks = append(blanks, b)
		}
		l, err := lay(c, blanks, inches)
		if err != nil {
			var none *NoMotif
			var large *TooLarge
			if !errors.As(err, &none) && !errors.As(err, &large) {
				t.Fatalf("%d: %v", n, err)
			}
			if none != nil && none.Width+c.Motifs[0] <= c.Width && (none.Along == 0 || none.Height+c.Motifs[1] <= none.Along) {
				t.Errorf("%d: %v refused on %+v", n, none, c)
			}
			refused++
			continue
		}
		laidOut++
		if err := check(c, blanks, l); err != nil {
			t.Fatalf("%d: %v\n%+v %+v", n, err, c, blanks)
		}
		if err := anywhere(c, blanks, &l); err != nil {
			t.Fatalf("%d: %v\n%+v %+v", n, err, c, blanks)
		}
		if b := blanks[0]; len(blanks) == 1 && b.Centred && !b.Turn && c.Sheet[0] == 0 && c.Have == nil && c.Assorted < 2 && b.Months[0]+b.Months[1] > 0 {
			row := math.Floor(c.Width/b.Width + 1e-9)
			if e := c.Motifs[0]; e > 0 {
				row = math.Ceil(math.Floor((c.Width-b.Width)/e+1e-9) / math.Ceil(b.Width/e-1e-9))
			}
			rows := math.Ceil(float64(b.Months[0]+b.Months[1]) / row)
			want := rows * b.Height
			if e := c.Motifs[1]; e > 0 {
				want = (rows-1)*e*math.Ceil(b.Height/e-1e-9) + b.Height + e
			}
			if !near(l.length, want) || !l.optimal {
				t.Errorf("%d: %g long, optimal %v, want %g\n%+v %+v", n, l.length, l.optimal, want, c, b)
			}
		}
	}
	if laidOut < 200 || refused < 10 {
		t.Errorf("%d lists were laid, %d refused", laidOut, refused)
	}
}

// Where no motif is sure to have room the blank is named.
func TestNoMotif(t *testing.T) {
	for _, c := range []Cloth{
		{Width: 40, Motifs: lattice{36, 8}},                                  // 35 1/2 in are between the two
		{Width: 4, Motifs: lattice{1, 1}},                                    // narrower than the blank
		{Width: 21, Sheet: [2]float64{21, 12}, Motifs: lattice{6, 8}},        // 7 1/2 in along
		{Width: 21, Sheet: [2]float64{10, 18}, Motifs: lattice{6, 8}},        // 5 1/2 in across
		{Width: 40, Assorted: 3, Motifs: lattice{36, 8}},                     // each of several
		{Width: 4, Motifs: lattice{0, 8}}, {Width: 4, Motifs: lattice{8, 0}}, // stripes
	} {
		_, err := lay(c, []Blank{square("A1", 4.5, 5)}, inches)
		var none *NoMotif
		if !errors.As(err, &none) || none.Label != "A1" {
			t.Errorf("%+v: %v", c, err)
		}
	}
}

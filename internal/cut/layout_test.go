package cut

import (
	"fmt"
	"math"
	"math/rand"
	"testing"

	"quiltwright/internal/guillotine"
	"quiltwright/internal/measure"
	"quiltwright/internal/plan"
)

var inches = Rules{Unit: measure.Inch, Ruler: 0.125, Seam: 0.25, Miscut: true}

func near(a, b float64) bool { return math.Abs(a-b) < 1e-6 }

// reader walks a layout by its own rules: a rectangle is a piece, is left, or is cut into parts that fill it.
type reader struct {
	got    map[string]int
	months map[string][]int
	size   map[string]Blank
	joined map[string]int
}

func (r *reader) node(n plan.Node) error {
	w, h := float64(n.Width), float64(n.Height)
	switch {
	case n.Piece != "":
		b := r.size[n.Piece]
		pw, ph := b.Width, b.Height
		if n.Turned {
			pw, ph = ph, pw
		}
		if r.joined[n.Piece] == 0 && !b.Measured && (!near(pw, w) || !near(ph, h)) {
			return fmt.Errorf("piece %s of %g by %g is cut %g by %g", n.Piece, pw, ph, w, h)
		}
		if b.Measured && (w < pw-1e-6 || h < ph-1e-6) {
			return fmt.Errorf("piece %s of %g by %g is cut %g by %g", n.Piece, pw, ph, w, h)
		}
		r.got[n.Piece]++
		for len(r.months[n.Piece]) < n.Month {
			r.months[n.Piece] = append(r.months[n.Piece], 0)
		}
		r.months[n.Piece][n.Month-1]++
	case n.Left != nil:
	case n.Cut == "nested":
		first := r.size[n.Parts[0].Piece]
		if need := first.Row.of(len(n.Parts)); !near(need, w) || !near(first.Height, h) {
			return fmt.Errorf("a row of %d of %s is %g by %g, and takes %g", len(n.Parts), first.Label, w, h, need)
		}
		for i, p := range n.Parts {
			if p.Round != first.Row.turned(i, len(n.Parts)) || p.Piece != first.Label {
				return fmt.Errorf("part %d of a row: %+v", i, p)
			}
			if err := r.node(p); err != nil {
				return err
			}
		}
	case len(n.Parts) > 0:
		sum := 0.0
		for _, p := range n.Parts {
			if n.Cut == "along" {
				sum += float64(p.Width)
				if !near(float64(p.Height), h) {
					return fmt.Errorf("a part %v high in one of %g", p.Height, h)
				}
			} else {
				sum += float64(p.Height)
				if !near(float64(p.Width), w) {
					return fmt.Errorf("a part %v wide in one of %g", p.Width, w)
				}
			}
			if err := r.node(p); err != nil {
				return err
			}
		}
		if n.Cut == "along" && !near(sum, w) || n.Cut == "across" && !near(sum, h) {
			return fmt.Errorf("parts of %g in %g by %g cut %s", sum, w, h, n.Cut)
		}
	default:
		return fmt.Errorf("a rectangle of %g by %g that is nothing", w, h)
	}
	return nil
}

// check reads the layout and the strips and compares both with what was asked for.
func check(c Cloth, blanks []Blank, l laid) error {
	r := reader{map[string]int{}, map[string][]int{}, map[string]Blank{}, l.joined}
	for _, b := range blanks {
		r.size[b.Label] = b
	}
	sum, sheets := 0.0, 0
	for _, s := range l.tree() {
		if s.Stock == "bolt" {
			sum += float64(s.At)
			if !near(float64(s.First.Width), c.Width) || !near(float64(s.First.Height), float64(s.At)) {
				return fmt.Errorf("a strip of %v by %v off cloth %g wide", s.First.Width, s.First.Height, c.Width)
			}
		} else if s.Stock == "sheet" {
			sheets++
		}
		if err := r.node(*s.First); err != nil {
			return err
		}
	}
	if !near(sum, l.length) || sheets != l.sheets || l.bound > l.length+1e-6 {
		return fmt.Errorf("%g off the bolt and %d sheets, said to be %g (bound %g) and %d", sum, sheets, l.length, l.bound, l.sheets)
	}
	read := map[string]int{}
	for _, s := range l.strips() {
		used, high := float64(s.Left), 0.0
		for _, cut := range s.Cuts {
			read[cut.Label] += cut.Count * s.Count
			if !cut.Below {
				used += float64(cut.Takes())
				high = 0
			}
			if high += float64(cut.Height); high > float64(s.Height)+1e-6 {
				return fmt.Errorf("a segment of a strip of %v is cut into %g", s.Height, high)
			}
		}
		if !near(used, float64(s.Length)) {
			return fmt.Errorf("strip %+v adds up to %g", s, used)
		}
	}
	for _, b := range blanks {
		for m, want := range b.Months {
			got := 0
			if m < len(r.months[b.Label]) {
				got = r.months[b.Label][m]
			}
			if want *= max(1, l.joined[b.Label]); got != want {
				return fmt.Errorf("%d of %s in month %d, want %d", got, b.Label, m+1, want)
			}
		}
		if read[b.Label] != r.got[b.Label] {
			return fmt.Errorf("strips have %d of %s, the layout %d", read[b.Label], b.Label, r.got[b.Label])
		}
	}
	return nil
}

// cutAgain says whether a segment of a strip is cut again.
func cutAgain(l laid) bool {
	for _, s := range l.strips() {
		for _, c := range s.Cuts {
			if c.Below {
				return true
			}
		}
	}
	return false
}

// Segments are cut again only where less is bought for it, and what is laid so is all that is asked for.
func TestSegmentsAreCutAgainWhereThatSavesCloth(t *testing.T) {
	r := rand.New(rand.NewSource(5))
	rules, again := inches, 0
	rules.Squaring, rules.Effort = 1, 2_000_000
	for n := range 150 {
		c := Cloth{Width: 40}
		if n%3 == 0 {
			c = Cloth{Width: 21, Sheet: [2]float64{21, 18}}
		}
		var blanks []Blank
		for k := range 2 + r.Intn(5) {
			b := Blank{Label: fmt.Sprintf("A%d", k+1), Width: 1.5 + float64(r.Intn(60))/8, Height: 1.5 + float64(r.Intn(120))/8, Turn: r.Intn(2) == 0, Months: []int{1 + r.Intn(8)}}
			blanks = append(blanks, b)
		}
		two, err := lay(c, blanks, rules)
		if err != nil {
			t.Fatal(err)
		}
		l, err := thrifty(c, blanks, rules, 0, 0)
		if err != nil {
			t.Fatal(err)
		}
		if err := check(c, blanks, l); err != nil {
			t.Fatalf("%d: %v", n, err)
		}
		a, b := rules.margins(two.length, two.highest()).amount, rules.margins(l.length, l.highest()).amount
		if fewer := b < a || l.sheets < two.sheets; cutAgain(l) && !fewer || b > a || l.sheets > two.sheets {
			t.Errorf("%d: %g and %d sheets in two stages, %g and %d cut again", n, a, two.sheets, b, l.sheets)
		} else if fewer {
			again++
		}
		if (l.stages == 3) != cutAgain(l) {
			t.Errorf("%d: %d stages", n, l.stages)
		}
		rules.Effort = guillotine.Quick
		if quick, _ := thrifty(c, blanks, rules, 0, 0); quick.stages != 2 {
			t.Errorf("%d: quick effort cuts again", n)
		}
		rules.Effort = 2_000_000
	}
	if again < 10 {
		t.Errorf("cloth is saved %d times only", again)
	}
}

// Where so much is bought in any case, nothing is cut again.
func TestNothingIsCutAgainForClothThatIsBoughtAnyway(t *testing.T) {
	blanks := []Blank{
		{Label: "A1", Width: 15, Height: 15, Months: []int{2}, Turn: true},
		{Label: "A2", Width: 5, Height: 5, Months: []int{6}, Turn: true},
	}
	rules := inches
	rules.Effort = guillotine.Normal
	l, err := thrifty(Cloth{Width: 40}, blanks, rules, 0, 0)
	if err != nil || l.stages != 3 || l.length != 15 {
		t.Fatalf("%g long in %d stages: %v", l.length, l.stages, err)
	}
	if l, err = thrifty(Cloth{Width: 40}, blanks, rules, 20, 0); err != nil || l.stages != 2 {
		t.Errorf("%g long in %d stages, where 20 is bought: %v", l.length, l.stages, err)
	}
}

func TestRandomClothIsCutUp(t *testing.T) {
	r := rand.New(rand.NewSource(3))
	for n := range 1500 {
		c := Cloth{Width: 36 + float64(r.Intn(20))/2, Assorted: r.Intn(3) * r.Intn(4)}
		switch r.Intn(4) {
		case 0:
			c.Sheet = [2]float64{21, 18}
			c.Width = 21
		case 1:
			c.Have = [][2]float64{{18, 21}, {c.Width, 6.5}}
		}
		var blanks []Blank
		for k := range 1 + r.Intn(6) {
			b := Blank{Label: fmt.Sprintf("A%d", k+1), Width: 1.5 + float64(r.Intn(100))/8, Height: 1.5 + float64(r.Intn(100))/8, Turn: r.Intn(2) == 0}
			for range 1 + r.Intn(3) {
				b.Months = append(b.Months, r.Intn(8))
			}
			switch r.Intn(8) {
			case 0:
				b.Row, b.Turn = row{pitch: b.Width * 1.4142, ends: [2]float64{b.Height, b.Height}}, true
			case 1:
				b.Width, b.Height, b.Joined = 2.5, 50+float64(r.Intn(40)), true
			case 2:
				b.Measured = true
			case 3:
				b.Width = 3.5147186 // a template's
			}
			if b.Row.pitch > 0 && b.Row.of(1) > 21 {
				b.Row = row{}
			}
			if c.inSheets() {
				b.Height = min(b.Height, 17)
				b.Joined = false
			}
			blanks = append(blanks, b)
		}
		l, err := lay(c, blanks, inches)
		if err != nil {
			t.Fatalf("cloth %d: %v", n, err)
		}
		if err := check(c, blanks, l); err != nil {
			t.Fatalf("cloth %d %+v %+v: %v", n, c, blanks, err)
		}
	}
}

// Source: yields of an 18 x 22 fat quarter as printed in charts of the trade, checked as floor(18/n) x floor(22/n);
// from 18 x 21 one column of 2 in squares less.
func TestYieldOfAFatQuarter(t *testing.T) {
	for side, want := range map[float64][2]int{2: {99, 90}, 2.5: {56, 56}, 3: {42, 42}, 3.5: {30, 30}, 4: {20, 20}} {
		for k, width := range []float64{22, 21} {
			for more, sheets := range []int{1, 2} {
				c := Cloth{Width: width, Sheet: [2]float64{width, 18}}
				blanks := []Blank{{Label: "A1", Width: side, Height: side, Months: []int{want[k] + more}, Turn: true}}
				l, err := lay(c, blanks, inches)
				if err != nil {
					t.Fatal(err)
				}
				if err := check(c, blanks, l); err != nil {
					t.Fatal(err)
				}
				if l.sheets != sheets {
					t.Errorf("%d squares of %g from %g by 18: %d sheets, want %d", want[k]+more, side, width, l.sheets, sheets)
				}
			}
		}
	}
}

// Strips from cloth of the usual widths. Source: counts per width in guild and magazine patterns (S42 to S44).
func TestSquaresFromAStrip(t *testing.T) {
	for _, c := range []struct {
		width, side float64
		in          int
	}{{42, 2.5, 16}, {40, 2.5, 16}, {42, 3.5, 12}, {40, 3.5, 11}} {
		for more, strips := range []int{1, 2} {
			l, err := lay(Cloth{Width: c.width}, []Blank{{Label: "A1", Width: c.side, Height: c.side, Months: []int{c.in + more}}}, inches)
			if err != nil || !near(l.length, c.side*float64(strips)) || !l.optimal {
				t.Errorf("%d squares of %g from %g: %g long, optimal %v, %v", c.in+more, c.side, c.width, l.length, l.optimal, err)
			}
		}
	}
}

func TestJoinedStrips(t *testing.T) {
	// 60 1/2 from cloth 40 wide: two strips, less one seam of two allowances: 40 + 21.
	blanks := []Blank{{Label: "A1", Width: 2.5, Height: 60.5, Months: []int{2}, Joined: true}}
	l, err := lay(Cloth{Width: 40}, blanks, inches)
	if err != nil {
		t.Fatal(err)
	}
	if err := check(Cloth{Width: 40}, blanks, l); err != nil {
		t.Error(err)
	}
	if l.joined["A1"] != 2 || !near(l.length, 10) {
		t.Errorf("joined from %d, %g long", l.joined["A1"], l.length)
	}
	for length, want := range map[float64]int{40.5: 2, 79.5: 2, 79.625: 3, 119: 3, 119.125: 4} {
		l, _ := lay(Cloth{Width: 40}, []Blank{{Label: "A1", Width: 2.5, Height: length, Months: []int{1}, Joined: true}}, inches)
		if l.joined["A1"] != want {
			t.Errorf("%g joined from %d, want %d", length, l.joined["A1"], want)
		}
	}
}

func TestParallelogramsShareTheirSlant(t *testing.T) {
	// Diamonds of 45 degrees, 3 high, cut 3 apart: 4.243 along the strip each, and 3 once.
	pitch := 3 * math.Sqrt2
	blanks := []Blank{{Label: "A1", Width: 3, Height: 3, Row: row{pitch: pitch, ends: [2]float64{3, 3}}, Months: []int{9}, Turn: true}}
	l, err := lay(Cloth{Width: 40}, blanks, inches)
	if err != nil {
		t.Fatal(err)
	}
	if err := check(Cloth{Width: 40}, blanks, l); err != nil {
		t.Error(err)
	}
	if s := l.strips(); len(s) != 2 || s[0].Cuts[0].Count != 8 || s[1].Cuts[0].Count != 1 {
		t.Errorf("%+v: (40 - 3) / %g is 8", s, pitch)
	}
	// What is left is what the row does not take.
	if s := l.strips()[0]; !near(float64(s.Left), 40-8*pitch-3) {
		t.Errorf("%g left", float64(s.Left))
	}
}

func TestMonthsComeEarliestFirst(t *testing.T) {
	blanks := []Blank{
		{Label: "A1", Width: 5.5, Height: 5.5, Months: []int{0, 0, 14}},
		{Label: "A2", Width: 3.5, Height: 3.5, Months: []int{11, 0, 11}},
		{Label: "A3", Width: 2.5, Height: 2.5, Months: []int{16}},
	}
	l, err := lay(Cloth{Width: 40}, blanks, inches)
	if err != nil {
		t.Fatal(err)
	}
	if err := check(Cloth{Width: 40}, blanks, l); err != nil {
		t.Fatal(err)
	}
	var order []string
	for _, s := range l.strips() {
		order = append(order, fmt.Sprintf("%v x%d", s.Height, s.Count))
	}
	if got := fmt.Sprint(order); got != "[3.5 x1 2.5 x1 5.5 x2 3.5 x1]" {
		t.Errorf("strips in the order %s", got)
	}
}

func TestClothOnTheShelfIsUsedFirst(t *testing.T) {
	c := Cloth{Width: 40, Have: [][2]float64{{18, 21}, {6.5, 40}, {1, 1}}}
	blanks := []Blank{{Label: "A1", Width: 6, Height: 6, Months: []int{12}}}
	l, err := lay(c, blanks, inches)
	if err != nil {
		t.Fatal(err)
	}
	if err := check(c, blanks, l); err != nil {
		t.Error(err)
	}
	if len(l.stocks) != 2 || l.sheets != 0 || l.length != 0 {
		t.Errorf("%d pieces of cloth and %g off the bolt; 9 and 3 of the 12 fit on the shelf", len(l.stocks), l.length)
	}
	blanks[0].Months[0] = 16
	if l, _ = lay(c, blanks, inches); len(l.stocks) != 3 || l.length != 6 {
		t.Errorf("%d pieces of cloth and %g off the bolt; 15 fit on the shelf", len(l.stocks), l.length)
	}
}

func TestAssortedClothsShareTheBlanks(t *testing.T) {
	c := Cloth{Width: 21, Sheet: [2]float64{21, 18}, Assorted: 5}
	blanks := []Blank{{Label: "A1", Width: 3.5, Height: 3.5, Months: []int{23}}}
	l, err := lay(c, blanks, inches)
	if err != nil {
		t.Fatal(err)
	}
	if err := check(c, blanks, l); err != nil {
		t.Error(err)
	}
	if l.sheets != 5 || l.cloths != 5 {
		t.Errorf("%d sheets of %d cloths", l.sheets, l.cloths)
	}
	if l, _ = lay(c, []Blank{{Label: "A1", Width: 3.5, Height: 3.5, Months: []int{3}}}, inches); l.cloths != 3 {
		t.Errorf("3 blanks of %d cloths", l.cloths)
	}
}

func TestLowStripsWhereAMiscutIsDear(t *testing.T) {
	// Standing, 16 pieces fit in one strip of 20; lying, in eight of 2 1/2: as long, but a miscut costs 2 1/2.
	blanks := []Blank{{Label: "A1", Width: 2.5, Height: 20, Months: []int{16}, Turn: true}}
	l, err := lay(Cloth{Width: 40}, blanks, inches)
	if err != nil || !near(l.length, 20) || !l.optimal {
		t.Fatalf("%g long, optimal %v, %v", l.length, l.optimal, err)
	}
	if s := l.strips(); len(s) != 1 || s[0].Height != 2.5 || s[0].Count != 8 || !s[0].Cuts[0].Turned {
		t.Errorf("%+v", s)
	}
}

func TestWhatFitsNoCloth(t *testing.T) {
	_, err := lay(Cloth{Width: 40}, []Blank{{Label: "A1", Width: 44, Height: 44, Months: []int{1}, Turn: true}}, inches)
	if err == nil || err.Error() != "A1 of 44 by 44 does not fit on cloth 40 wide" {
		t.Errorf("got %v", err)
	}
	l, err := lay(Cloth{Width: 40}, nil, inches)
	if err != nil || l.length != 0 || len(l.tree()) != 0 || len(l.strips()) != 0 {
		t.Errorf("nothing: %+v, %v", l, err)
	}
}

func BenchmarkLay(b *testing.B) {
	rules := inches
	rules.Effort = guillotine.Quick
	blanks := []Blank{
		{Label: "A1", Width: 3.875, Height: 3.875, Months: []int{12, 8}, Turn: true},
		{Label: "A2", Width: 2.5, Height: 4.5, Months: []int{30, 12}, Turn: true},
		{Label: "A3", Width: 2, Height: 2, Months: []int{60}, Turn: true},
		{Label: "A4", Width: 6.5, Height: 6.5, Months: []int{4, 4}, Turn: true},
	}
	for b.Loop() {
		if _, err := lay(Cloth{Width: 40}, blanks, rules); err != nil {
			b.Fatal(err)
		}
	}
}

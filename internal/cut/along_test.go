package cut

import (
	"fmt"
	"math"
	"math/rand"
	"testing"
)

// borders are four strips longer than the cloth is wide, and squares.
func borders(wide float64) []Blank {
	return []Blank{
		{Label: "A1", Width: wide, Height: 61.5, Months: []int{2}, Joined: true, Measured: true},
		{Label: "A2", Width: wide, Height: 47.5, Months: []int{2}, Joined: true, Measured: true},
		{Label: "A3", Width: 4.5, Height: 4.5, Months: []int{20}, Turn: true},
	}
}

// Long strips are cut side by side from one stretch, and small pieces from what is left beside them.
func TestLongStripsAlongTheSelvage(t *testing.T) {
	rules := inches
	rules.along = true
	c := Cloth{Width: 40}
	l, err := lay(c, borders(8), rules)
	if err != nil {
		t.Fatal(err)
	}
	if err := check(c, borders(8), l); err != nil {
		t.Fatal(err)
	}
	// 61 1/2 in and the inch for measuring; the 8 in beside four strips hold 13 squares, the other 7 are one strip.
	if len(l.joined) != 0 || l.length != 62.5+4.5 || l.stages != 2 {
		t.Errorf("%g long in %d stages, joined %v", l.length, l.stages, l.joined)
	}
	strips := l.strips()
	if s := strips[0]; s.Along != "length" || s.From != "" || s.Height != 8 {
		t.Errorf("the first strip is %+v", s)
	}
	if s := strips[2]; s.From != leftOver || s.Of == nil || s.Of[0] != 8 {
		t.Errorf("after the long strips %+v", s)
	}
}

// A print that runs along a strip is never laid across, and strips whose print crosses them are always joined.
func TestLongStripsOfAPrint(t *testing.T) {
	along := Blank{Label: "A1", Width: 6.5, Height: 64.5, Months: []int{2}, Joined: true, Directed: true}
	across := Blank{Label: "A2", Width: 64.5, Height: 6.5, Months: []int{2}, Joined: true, Directed: true}
	for _, rules := range []Rules{inches, {Unit: inches.Unit, Ruler: inches.Ruler, Seam: inches.Seam, along: true}} {
		l, err := lay(Cloth{Width: 40}, []Blank{along, across}, rules)
		if err != nil {
			t.Fatal(err)
		}
		if err := check(Cloth{Width: 40}, []Blank{along, across}, l); err != nil {
			t.Fatal(err)
		}
		if l.joined["A1"] != 0 || l.joined["A2"] != 2 {
			t.Errorf("joined %v", l.joined)
		}
		for _, s := range l.strips() {
			for _, k := range s.Cuts {
				if k.Turned || (s.Along == "length") != (k.Label == "A1") {
					t.Errorf("%s of a print, turned %v, in a strip along the %s", k.Label, k.Turned, s.Along)
				}
			}
		}
	}
}

// Joined strips are long enough, whatever the seam: straight ones take two allowances each, diagonal ones a strip's width.
func TestJoinedStripsAreLongEnough(t *testing.T) {
	for _, diagonal := range []bool{false, true} {
		for long := 40.5; long < 200; long += 3.25 {
			rules := inches
			rules.Diagonal = diagonal
			b := Blank{Label: "A1", Width: 2.5, Height: long, Months: []int{1}, Joined: true}
			l, err := lay(Cloth{Width: 40}, []Blank{b}, rules)
			if err != nil {
				t.Fatal(err)
			}
			sum := 0.0
			for _, x := range l.bits {
				sum += x.w * float64(x.count)
			}
			loss := 0.5
			if diagonal {
				loss = 2.5
			}
			n := float64(l.joined["A1"])
			if got := sum - loss*(n-1); got < long-1e-9 || got > long+2.5 {
				t.Errorf("%g from %g strips, diagonal %v: %g", long, n, diagonal, got)
			}
			if fewer := n - 1; 40*fewer-loss*(fewer-1) >= long {
				t.Errorf("%g from %g strips, diagonal %v: one fewer would do", long, n, diagonal)
			}
		}
	}
}

func TestRandomLongStrips(t *testing.T) {
	r := rand.New(rand.NewSource(11))
	for n := range 300 {
		rules := inches
		rules.along = true
		c := Cloth{Width: 36 + float64(r.Intn(20))/2}
		blanks := []Blank{}
		for k := range 1 + r.Intn(4) {
			blanks = append(blanks, Blank{Label: fmt.Sprintf("A%d", k+1), Width: 1.5 + float64(r.Intn(80))/8, Height: c.Width + float64(1+r.Intn(200))/8,
				Months: []int{r.Intn(4), 1 + r.Intn(4)}, Joined: true, Measured: r.Intn(2) == 0})
		}
		for k := range r.Intn(4) {
			blanks = append(blanks, Blank{Label: fmt.Sprintf("B%d", k+1), Width: 1.5 + float64(r.Intn(80))/8, Height: 1.5 + float64(r.Intn(80))/8, Turn: true, Months: []int{r.Intn(9), r.Intn(9)}})
		}
		l, err := lay(c, blanks, rules)
		if err != nil {
			t.Fatal(err)
		}
		if err := check(c, blanks, l); err != nil {
			t.Fatalf("%d: %v", n, err)
		}
		if l.optimal && math.Abs(l.bound-l.length) > 1e-6 {
			t.Errorf("%d: %g said to be least, proven %g", n, l.length, l.bound)
		}
		if _, _, _, err := monthly(c, blanks, rules); err != nil {
			t.Fatal(err)
		}
	}
}

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

// shortest tries every way to cut a few strips along the selvage from stretches, and rectangles from strips across what they leave or the cloth.
func shortest(wide float64, long, small []bit) float64 {
	type strip struct {
		in         int // a stretch, or -1: off the bolt
		used, high float64
	}
	type lane struct{ wide, long float64 }
	best := math.Inf(1)
	var bands [][]lane
	var strips []strip
	var put func(k int)
	put = func(k int) {
		if k == len(small) {
			length, room := 0.0, make([]float64, len(bands))
			for s, in := range bands {
				for _, b := range in {
					room[s] = math.Max(room[s], b.long)
				}
				length += room[s]
			}
			for _, x := range strips {
				if x.in < 0 {
					length += x.high
				} else if room[x.in] -= x.high; room[x.in] < 0 {
					return
				}
			}
			best = math.Min(best, length)
			return
		}
		for turn := range 2 {
			w, h := small[k].w, small[k].h
			if turn == 1 {
				w, h = h, w
			}
			if turn == 1 && !small[k].turn {
				continue
			}
			for i := range strips {
				was := strips[i]
				left := wide - was.used
				if was.in >= 0 {
					for _, b := range bands[was.in] {
						left -= b.wide
					}
				}
				if w <= left {
					strips[i].used, strips[i].high = was.used+w, math.Max(was.high, h)
					put(k + 1)
					strips[i] = was
				}
			}
			for in := -1; in < len(bands); in++ {
				left := wide
				if in >= 0 {
					for _, b := range bands[in] {
						left -= b.wide
					}
				}
				if w <= left {
					strips = append(strips, strip{in, w, h})
					put(k + 1)
					strips = strips[:len(strips)-1]
				}
			}
		}
	}
	var cut func(k int)
	cut = func(k int) {
		if k == len(long) {
			put(0)
			return
		}
		b := lane{long[k].w, long[k].h}
		for s := range bands {
			used := 0.0
			for i, x := range bands[s] {
				used += x.wide
				if x.wide == b.wide { // one after the other
					bands[s][i].long += b.long
					cut(k + 1)
					bands[s][i].long -= b.long
				}
			}
			if used+b.wide <= wide {
				bands[s] = append(bands[s], b)
				cut(k + 1)
				bands[s] = bands[s][:len(bands[s])-1]
			}
		}
		bands = append(bands, []lane{b})
		cut(k + 1)
		bands = bands[:len(bands)-1]
	}
	cut(0)
	return best
}

// No way of cutting is shorter than what is proven, and often none is longer than need be; area and the longest strip alone prove less.
func TestBoundAlongTheSelvage(t *testing.T) {
	r := rand.New(rand.NewSource(17))
	met, better := 0, 0
	for n := range 400 {
		rules := inches
		rules.along = true
		c := Cloth{Width: 40}
		var blanks []Blank
		for k := range 1 + r.Intn(2) {
			blanks = append(blanks, Blank{Label: fmt.Sprintf("A%d", k+1), Width: float64(3 + r.Intn(16)), Height: float64(41 + r.Intn(40)), Months: []int{1 + r.Intn(2)}, Joined: true})
		}
		for k := range 1 + r.Intn(3) {
			blanks = append(blanks, Blank{Label: fmt.Sprintf("B%d", k+1), Width: float64(3 + r.Intn(37)), Height: float64(3 + r.Intn(30)), Turn: r.Intn(2) == 0, Months: []int{1}})
		}
		l, err := lay(c, blanks, rules)
		if err != nil {
			t.Fatal(err)
		}
		var long, small []bit
		area, longest := 0.0, 0.0
		for _, b := range l.bits {
			for range b.count {
				if area += b.w * b.h; b.along {
					long, longest = append(long, b), math.Max(longest, b.h)
				} else {
					small = append(small, b)
				}
			}
		}
		least := shortest(c.Width, long, small)
		if l.bound > least+1e-6 || l.length < least-1e-6 {
			t.Fatalf("%d: %g long, proven %g, and %g is possible: %+v", n, l.length, l.bound, least, l.bits)
		}
		if l.bound > least-1e-6 {
			met++
		}
		if l.bound > math.Max(longest, area/c.Width)+1e-6 {
			better++
		}
	}
	t.Logf("%d of 400 proven least, %d more than area and length prove", met, better)
	if met < 200 || better < 200 {
		t.Errorf("%d of 400 proven least, %d more than area and length prove", met, better)
	}
}

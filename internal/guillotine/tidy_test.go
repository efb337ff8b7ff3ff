package guillotine

import (
	"math/rand"
	"testing"
)

// toilOf is what a layout means for the one who cuts it, counted anew from the layout: length, strips, heights, trims and ends, kinds side by side.
func toilOf(p Problem, l Layout) [5]int64 {
	var t [5]int64
	heights := map[int64]bool{}
	for _, s := range l.Strips {
		n := int64(s.Count)
		t[0] += s.Height * n
		t[1] += n
		heights[s.Height] = true
		if s.Left > 0 {
			t[3] += n
		}
		for _, c := range s.Cuts {
			h := p.Items[c.Parts[0].Item].H
			if c.Parts[0].Turned {
				h = p.Items[c.Parts[0].Item].W
			}
			if h < s.Height {
				t[3] += n * int64(c.Count)
			}
			t[4] += n
		}
	}
	t[2] = int64(len(heights))
	return t
}

// What is tidied holds the same rectangles, is never longer, and is never more toil.
func TestTidy(t *testing.T) {
	r := rand.New(rand.NewSource(4))
	var before, after [5]int64
	for n := range 400 {
		p := Problem{Width: 160 + int64(r.Intn(200))}
		for range 2 + r.Intn(9) {
			p.Items = append(p.Items, Item{W: 10 + int64(r.Intn(120)), H: 10 + int64(r.Intn(60)), Count: 1 + r.Intn(9), Turn: r.Intn(2) == 0})
		}
		s, err := newStock(p.Width, p.Items)
		if err != nil {
			t.Fatal(err)
		}
		need := counts(p.Items)
		built := s.build(need)
		a, b := s.finish(built, s.stripBound(need)), s.finish(s.tidy(built), s.stripBound(need))
		if err := check(p, b); err != nil {
			t.Fatalf("%d: %v", n, err)
		}
		x, y := toilOf(p, a), toilOf(p, b)
		for k := range x {
			if y[k] < x[k] {
				break
			}
			if y[k] > x[k] {
				t.Fatalf("%d: toil %v became %v", n, x, y)
			}
		}
		for k := range x {
			before[k], after[k] = before[k]+x[k], after[k]+y[k]
		}
	}
	t.Logf("length, strips, heights, trims, kinds: %v became %v", before, after)
	if after[3] >= before[3] || after[4] >= before[4] {
		t.Errorf("nothing is tidied: %v became %v", before, after)
	}
}

// Two strips that each end in a small piece of another height become one of each.
func TestTidySortsStrips(t *testing.T) {
	p := Problem{Width: 100, Items: []Item{{W: 40, H: 20, Count: 4}, {W: 20, H: 10, Count: 2}, {W: 60, H: 10, Count: 1}}}
	l, err := Lay(p)
	if err != nil {
		t.Fatal(err)
	}
	if got := toilOf(p, l); got != [5]int64{50, 3, 2, 2, 4} {
		t.Errorf("%v: %+v", got, l.Strips)
	}
}

package cut

import (
	"fmt"
	"math/rand"
	"reflect"
	"testing"
)

// What is cut by month gives each month's blanks, and never depends on a month to come.
func TestMonthsAreCutWithoutKnowingTheNext(t *testing.T) {
	r := rand.New(rand.NewSource(7))
	for range 200 {
		c := Cloth{Width: 36 + float64(r.Intn(20))/2}
		if r.Intn(3) == 0 {
			c.Have = [][2]float64{{18, 21}}
		}
		var blanks []Blank
		for k := range 1 + r.Intn(5) {
			b := Blank{Label: fmt.Sprintf("A%d", k+1), Width: 1.5 + float64(r.Intn(60))/8, Height: 1.5 + float64(r.Intn(60))/8, Turn: r.Intn(2) == 0, Months: make([]int, 6)}
			for m := range b.Months {
				b.Months[m] = r.Intn(5)
			}
			blanks = append(blanks, b)
		}
		before, _, _, err := monthly(c, blanks, inches)
		if err != nil {
			t.Fatal(err)
		}
		at := 1 + r.Intn(5)
		for k := range blanks {
			blanks[k].Months[at] += r.Intn(3)
		}
		blanks = append(blanks, Blank{Label: "A9", Width: 5.5, Height: 3.5, Months: append(make([]int, at), 7)})
		after, length, _, err := monthly(c, blanks, inches)
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for i := range after {
			sum += float64(after[i].Length)
			if after[i].Month <= at && !reflect.DeepEqual(before[i], after[i]) {
				t.Fatalf("month %d is cut otherwise because month %d changed", after[i].Month, at+1)
			}
		}
		if !near(sum, length) {
			t.Errorf("months of %g together, said to be %g", sum, length)
		}
	}
}

// A remainder large enough is cut before new cloth.
func TestRemaindersAreUsed(t *testing.T) {
	blanks := []Blank{
		{Label: "A1", Width: 4.5, Height: 4.5, Months: []int{2, 0}},
		{Label: "A2", Width: 4, Height: 4, Months: []int{0, 7}}, // 31 in are left of the first strip
	}
	got, length, _, err := monthly(Cloth{Width: 40}, blanks, inches)
	if err != nil {
		t.Fatal(err)
	}
	if length != 4.5 || got[1].Length != 0 || len(got[1].Layout) != 1 || got[1].Layout[0].Stock != leftOver {
		t.Errorf("%g off the bolt; the second month takes %+v", length, got[1])
	}
}

// Where a programme is cut all at once, a strip is cut in the first month that needs anything of it, and what waits is named.
func TestStripsSayWhenTheyAreDue(t *testing.T) {
	blanks := []Blank{
		{Label: "A1", Width: 3.5, Height: 3.5, Months: []int{0, 5, 0}},
		{Label: "A2", Width: 3.5, Height: 3.5, Months: []int{0, 2, 3}},
		{Label: "A3", Width: 9.5, Height: 9.5, Months: []int{0, 0, 4}},
	}
	l, err := lay(Cloth{Width: 40}, blanks, inches)
	if err != nil {
		t.Fatal(err)
	}
	if s := l.strips()[0]; s.Month != 0 || s.Later != nil {
		t.Errorf("what is due is said unasked: %+v", s)
	}
	l.due = true
	strips := l.strips()
	if s := strips[0]; s.Month != 2 || len(s.Later) != 1 || s.Later[0] != "A2" {
		t.Errorf("%+v", s)
	}
	if s := strips[len(strips)-1]; s.Month != 3 || len(s.Later) != 0 {
		t.Errorf("%+v", s)
	}
}

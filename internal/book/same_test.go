package book

import (
	"slices"
	"testing"
)

// What is sewn in the same way from other pieces is told once; what differs by a hand or a direction is told again.
func TestToldOnce(t *testing.T) {
	k := share(lantern(t), Options{})
	for month, want := range map[int][]int{8: {7, 0}, 9: {0, 0, 0, 0, 0}, 10: {0, 0, 0}} { // more kinds of each section
		var got []int
		for _, s := range k.told(k.sections(month)) {
			got = append(got, len(s.like))
		}
		if !slices.Equal(got, want) {
			t.Errorf("month %d: %v more kinds, want %v", month, got, want)
		}
	}
	told := k.told(k.sections(8))[0]
	if !slices.Equal(told.labels, []string{"D9", "A20"}) {
		t.Errorf("the half squares are told of %v", told.labels)
	}
	for i, want := range []likeness{ // each of the four cloths pressed one way, then the other
		{from: []string{"D9", "A20"}, toward: "D9"}, {from: []string{"E7", "D9"}, toward: "D9"}, {from: []string{"E7", "D9"}, toward: "E7"},
	} {
		if got := told.like[i]; !slices.Equal(got.from, want.from) || got.toward != want.toward {
			t.Errorf("kind %d is made of %v pressed toward %s, want %v toward %s", i+2, got.from, got.toward, want.from, want.toward)
		}
	}
}

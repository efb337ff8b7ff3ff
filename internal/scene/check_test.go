package scene

import (
	"strings"
	"testing"
)

func at(x, y, size Pt, s string) Text {
	return Label(Point{x, y}, size, Body, Ink, Left, s)
}

func TestCheck(t *testing.T) {
	para := func(its ...Item) Group { return Group{Tag: Paragraph, Items: its} }
	for _, c := range []struct {
		name  string
		items []Item
		want  string // part of the only finding; "": none
	}{
		{"apart", []Item{at(10, 20, 11, "one"), at(10, 34, 11, "two")}, ""},
		{"overlap", []Item{at(10, 20, 11, "one"), at(12, 22, 11, "two")}, "overlap"},
		{"overlap, turned", []Item{at(50, 50, 11, "sideways"), Text{At: Point{60, 70}, Turn: -90, Size: 11, Runs: Rich("upward")}}, "overlap"},
		{"turned, clear", []Item{at(50, 50, 11, "sideways"), Text{At: Point{45, 70}, Turn: -90, Size: 11, Runs: Rich("upward")}}, ""},
		{"off the page", []Item{at(180, 20, 11, "a long line")}, "leaves"},
		{"off its frame", []Item{Group{At: Point{10, 10}, W: 20, H: 20, Items: []Item{at(0, 12, 11, "too long")}}}, "leaves"},
		{"small", []Item{at(10, 20, 7.5, "small")}, "under 8"},
		{"small by scale", []Item{Group{Scale: 0.5, Items: []Item{at(10, 20, 12, "small")}}}, "under 8"},
		{"small paragraph", []Item{para(at(10, 20, 9, "body"))}, "under 10.5"},
		{"no glyph", []Item{at(10, 20, 11, "漢")}, "no glyph"},
	} {
		got := Check(200, 100, c.items)
		if c.want == "" && len(got) != 0 || c.want != "" && (len(got) != 1 || !strings.Contains(got[0], c.want)) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

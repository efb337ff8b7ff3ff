package book

import (
	"fmt"
	"testing"

	"quiltwright/internal/scene"
	_ "quiltwright/internal/seed"

	"pgregory.net/rapid"
)

// laid returns, for each page, the ids of the boxes on it; a box's id is its item's Mark.
func laid(f flow, depth scene.Pt) [][]string {
	var out [][]string
	for _, p := range f.lay(depth) {
		var ids []string
		for _, b := range p.boxes {
			ids = append(ids, b.item.Mark)
		}
		out = append(out, ids)
	}
	return out
}

func id(s string, h scene.Pt) box { return box{item: scene.Group{Mark: s}, h: h} }

func equal(a [][]string, b ...[]string) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if len(a[i]) != len(b[i]) {
			return false
		}
		for j := range a[i] {
			if a[i][j] != b[i][j] {
				return false
			}
		}
	}
	return true
}

func TestHeadingGoesWithWhatFollows(t *testing.T) {
	h := id("head", 20)
	h.stick = true
	got := laid(flow{[]chunk{{boxes: []box{id("a", 70), h, id("b", 30)}}}}, 100)
	if !equal(got, []string{"a"}, []string{"head", "b"}) {
		t.Errorf("%q", got)
	}
}

func TestWholeChunkTurnsThePage(t *testing.T) {
	got := laid(flow{[]chunk{{boxes: []box{id("a", 60)}}, {whole: true, boxes: []box{id("b", 30), id("c", 30)}}}}, 100)
	if !equal(got, []string{"a"}, []string{"b", "c"}) {
		t.Errorf("%q", got)
	}
}

// A unit that needs two pages begins on a left one, so that both lie open together.
func TestTwoPagesFaceEachOther(t *testing.T) {
	long := chunk{whole: true, boxes: []box{id("b", 50), id("c", 50), id("d", 40)}}
	got := laid(flow{[]chunk{{boxes: []box{id("a", 20)}}, long}}, 100)
	if !equal(got, []string{"a"}, []string{"b", "c"}, []string{"d"}) {
		t.Errorf("%q", got)
	}
	got = laid(flow{[]chunk{{boxes: []box{id("z", 90)}}, {boxes: []box{id("a", 20)}}, long}}, 100)
	if !equal(got, []string{"z"}, []string{"a", "b"}, []string{"c", "d"}) {
		t.Errorf("begun on a left page: %q", got)
	}
}

func TestTableHeadIsRepeated(t *testing.T) {
	f := &frame{tag: scene.Table}
	h := id("head", 10)
	h.stick, h.in = true, f
	f.head = []box{h}
	row := func(s string) box { b := id(s, 40); b.in = f; return b }
	got := laid(flow{[]chunk{{boxes: []box{h, row("1"), row("2"), row("3")}}}}, 100)
	if !equal(got, []string{"head", "1", "2"}, []string{"head", "3"}) {
		t.Errorf("%q", got)
	}
}

func TestNothingIsLostOrBroken(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var f flow
		n := 0
		for range rapid.IntRange(1, 8).Draw(t, "chunks") {
			c := chunk{whole: rapid.Bool().Draw(t, "whole"), fresh: rapid.Bool().Draw(t, "fresh")}
			for range rapid.IntRange(1, 6).Draw(t, "boxes") {
				b := id("", scene.Pt(rapid.IntRange(1, 60).Draw(t, "h")))
				b.gap = scene.Pt(rapid.IntRange(0, 9).Draw(t, "gap"))
				n++
				c.boxes = append(c.boxes, b)
			}
			// A chunk never ends in a heading.
			for i := range len(c.boxes) - 1 {
				c.boxes[i].stick = i%3 == 0
			}
			f.chunks = append(f.chunks, c)
		}
		got := 0
		for i, p := range f.lay(100) {
			got += len(p.boxes)
			if p.y > 100+1e-9 {
				t.Fatalf("page %d is %v deep", i+1, p.y)
			}
			if len(p.boxes) == 0 {
				t.Fatalf("page %d is empty", i+1)
			}
			if last := p.boxes[len(p.boxes)-1]; last.stick && last.h+60+9 <= 100 && len(p.boxes) > 1 {
				t.Fatalf("page %d ends in a heading", i+1)
			}
		}
		if got != n {
			t.Fatalf("%d of %d boxes are on the pages", got, n)
		}
	})
}

// A chunk in several sizes takes the largest that fits where it comes, else the largest that fits a page.
func TestSizes(t *testing.T) {
	sizes := func() chunk {
		c := chunk{whole: true, boxes: []box{id("h", 10)}}
		for _, h := range []scene.Pt{60, 40, 20} {
			c.sizes = append(c.sizes, func() []box { return []box{id(fmt.Sprint(h), h)} })
		}
		return c
	}
	for used, want := range map[scene.Pt][][]string{
		20: {{"a", "h", "60"}},
		50: {{"a", "h", "40"}},
		70: {{"a", "h", "20"}},
		80: {{"a"}, {"h", "60"}},
	} {
		if got := laid(flow{[]chunk{{boxes: []box{id("a", used)}}, sizes()}}, 100); !equal(got, want...) {
			t.Errorf("after %v points: %q, want %q", used, got, want)
		}
	}
}

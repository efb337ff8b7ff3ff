package app

import (
	"math"
	"net/url"
	"slices"
	"strings"
	"testing"

	"quiltwright/internal/edit"
)

// TestDraftMarks holds what the sheet marks, and where, as it is drawn.
func TestDraftMarks(t *testing.T) {
	head := strings.Replace(blank, "    size: 8\n    grid: 4\n    ground: A\n", "", 1)
	for name, c := range map[string]struct {
		block string
		code  string
		says  string // in what is found or its remedy
		at    *[2]float64
	}{
		"a five-grid at 12 in": {"    size: 12\n    grid: 5\n    lines:\n      - 1,0 1,5\n    ground: A\n", "awkward-size", "12 1/2", nil},
		"a loose end":          {"    size: 12\n    grid: 4\n    lines:\n      - 0,2 3,2\n    ground: A\n", "loose-end", "4,2", &[2]float64{3, 2}},
		"an unfilled patch":    {"    size: 12\n    grid: 4\n    lines:\n      - 2,0 2,4\n    fill:\n      B: 1,1\n", "unfilled", "around 3,2", &[2]float64{3, 2}},
		"a thin patch":         {"    size: 4\n    grid: 16\n    lines:\n      - 1,0 1,16\n    ground: A\n", "thin-patch", "8 x 8", &[2]float64{1.0 / 3, 16.0 / 3}},
	} {
		t.Run(name, func(t *testing.T) {
			s := newState(1, "quilt.yaml", edit.Open([]byte(head+c.block)))
			v := viewDraft(s, url.Values{}).(draftView)
			i := slices.IndexFunc(v.Block.Findings, func(f findingView) bool { return f.Code == c.code })
			if i < 0 {
				t.Fatalf("%s is not found: %+v", c.code, v.Block.Findings)
			}
			f := v.Block.Findings[i]
			if !strings.Contains(f.Says+"; "+f.Remedy, c.says) {
				t.Errorf("it says %q; %q, without %q", f.Says, f.Remedy, c.says)
			}
			if (f.Point == nil) != (c.at == nil) || c.at != nil && math.Hypot(f.Point[0]-c.at[0], f.Point[1]-c.at[1]) > 1e-9 {
				t.Errorf("it is marked at %v, not %v", f.Point, c.at)
			}
		})
	}

	five := viewDraft(newState(1, "quilt.yaml", edit.Open([]byte(head+"    size: 12\n    grid: 5\n    ground: A\n"))), url.Values{}).(draftView)
	good := map[string]bool{}
	for _, size := range five.Block.Sizes {
		good[size.Value] = size.Good
	}
	if is, offered := good["12"]; is || !offered || !good["10"] || !good["12 1/2"] {
		t.Errorf("on a grid of five the sizes are %+v", five.Block.Sizes)
	}

	// Corners set in, which straight seams cannot sew, shows before it is filled or compiled.
	corner := viewDraft(newState(1, "quilt.yaml", edit.Open([]byte(head+"    size: 12\n    grid: 3\n    lines:\n      - 0,1 2,1 2,3\n      - 1,0 1,2 3,2\n"))), url.Values{}).(draftView)
	if len(corner.Block.Seams) == 0 || !slices.ContainsFunc(corner.Block.Seams, func(s seamView) bool { return s.Kind == "set in" }) {
		t.Errorf("the seams that light up are %+v", corner.Block.Seams)
	}
}

package app

import (
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"quiltwright/internal/compile"
	"quiltwright/internal/edit"
)

// compiled is a state of a document with a quick plan.
func compiledState(t *testing.T, path string) *state {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	s := newState(1, filepath.Base(path), edit.Open(text))
	s.compile(compile.Quick, nil)
	return s
}

// TestPlanViews makes every view of the plan of every example: each seam that is sewn straight can be turned by the arrow that the view
// gives, every patch knows a piece it comes from, every step has a sentence and most have a drawing.
func TestPlanViews(t *testing.T) {
	paths, _ := filepath.Glob("../../examples/*.yaml")
	if len(paths) < 4 {
		t.Fatal("no examples")
	}
	for _, path := range paths {
		s := compiledState(t, path)
		viewBook(s, url.Values{})
		viewMonths(s, url.Values{})
		names := viewPress(s, url.Values{}).(pressView).Blocks
		seams, turned := 0, 0
		for _, b := range names {
			v := viewPress(s, url.Values{"block": {b.Name}}).(pressView)
			for _, p := range v.Block.Patches {
				if len(p.Labels) == 0 {
					t.Errorf("%s: a patch of %s comes from no piece", path, b.Name)
				}
			}
			for _, m := range v.Block.Seams {
				seams++
				if m.Turn != "" {
					turned++
				} else {
					t.Logf("%s: %s of %s cannot be turned: %+v", path, m.Name, b.Name, m)
				}
				if m.Is == "" {
					t.Errorf("%s: seam %s of %s is not said", path, m.Name, b.Name)
				}
			}
		}
		if seams == 0 && len(names) > 0 || turned*100 < seams*95 {
			t.Errorf("%s: %d of %d seams can be turned", path, turned, seams)
		}
		for month := 0; month <= len(s.doc.Months); month++ {
			q := url.Values{"month": {strconv.Itoa(month)}}
			cut := viewCut(s, q).(cutView)
			if cut.Month != month && len(cut.Months) > 0 {
				t.Errorf("%s: month %d is cut as %d", path, month, cut.Month)
			}
			for _, u := range viewSew(s, q).(sewView).Units {
				for _, step := range u.Steps {
					if step.Do == "" {
						t.Errorf("%s: a step of %s says nothing", path, u.Head)
					}
				}
			}
		}
	}
}

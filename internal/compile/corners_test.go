package compile

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// With trimmed corners every seam of the catalogue's blocks that is sewn by its raw edges is flush at both ends, and the proof finds a whole seam about every
// corner still. Without them the same seams say what passes.
func TestTrimmedCornersAreFlush(t *testing.T) {
	files, err := filepath.Glob("../../blocks/*.yaml")
	if err != nil || len(files) < 20 {
		t.Fatalf("%v: %d blocks", err, len(files))
	}
	tips, passing := 0, 0
	for _, file := range files {
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(string(src), "make:") {
			continue
		}
		for _, corners := range []string{"trimmed", "passing"} {
			doc := string(src) + "make: {corners: " + corners + ", geese: singles, half squares: singles}\n"
			r := Compile(file, []byte(doc), Options{Effort: Quick, Proof: corners == "trimmed"})
			if !r.Plan.Complete || corners == "trimmed" && !r.Plan.Proof.Holds {
				t.Errorf("%s: %v %v", file, r.Findings, r.Plan.Proof)
				continue
			}
			for _, u := range r.Plan.Units {
				for _, j := range u.Joins {
					switch {
					case corners == "passing":
						passing += len(j.Align)
					case len(j.Align) > 0:
						t.Errorf("%s: part %d of a %s passes all the same: %v", file, j.Align[0].Part, u.Kind, j.Align)
					}
				}
				if tips += len(u.Tips); corners == "passing" && len(u.Tips) > 0 {
					t.Errorf("%s: tips of a %s are trimmed", file, u.Kind)
				}
			}
		}
	}
	if tips < 40 || tips < passing/2 {
		t.Errorf("%d tips are trimmed, %d pass where they are not", tips, passing)
	}
}

// A tip of 45 degrees at a square corner is cut off 3/8 in from its point: s(cot 22.5° - 1), 0.3536 at s = 1/4, and what the triangle's blank is larger than exact
// along that edge; at a corner of 135 degrees 2s.
func TestTipsAreTrimmedByThePublishedFigures(t *testing.T) {
	r := Compile("tips.yaml", []byte(`format: 1
quilt: Tips
make: {corners: trimmed}
ruler: 1/8
fabrics:
  A: {name: Pale, color: "#f4efe2"}
  B: {name: Deep, color: "#2b3a45"}
blocks:
  Trial: {size: 8, rows: [[square in square A B]]}
`), Options{Proof: true})
	if !r.Plan.Complete || !r.Plan.Proof.Holds {
		t.Fatal(r.Findings, r.Plan.Proof)
	}
	seen := map[float64]int{}
	for _, u := range r.Plan.Units {
		for _, tip := range u.Tips {
			want := map[float64]float64{90: 0.3536, 135: 0.5}[float64(tip.Angle)]
			if seen[float64(tip.Angle)]++; math.Abs(float64(tip.In)-want) > 1.0/32 {
				t.Errorf("a tip is cut off %.4f in from its point at %.1f degrees, want %.4f", tip.In, tip.Angle, want)
			}
		}
	}
	if seen[90] != 4 || seen[135] != 4 {
		t.Errorf("tips by the angle of the cut: %v", seen)
	}
	// In a block alone, where the quilt says otherwise; a batch has nothing to trim.
	for doc, want := range map[string]bool{
		"  Trial: {size: 8, make: {corners: trimmed}, rows: [[square in square A B]]}\n":         true,
		"  Trial: {size: 8, rows: [[square in square A B]]}\n":                                   false,
		"  Trial: {size: [8, 4], make: {corners: trimmed, geese: flips}, rows: [[goose A B]]}\n": false,
	} {
		r := Compile("tips.yaml", []byte("quilt: Tips\nfabrics: {A: {name: Pale}, B: {name: Deep}}\nblocks:\n"+doc), Options{Proof: true})
		has := false
		for _, u := range r.Plan.Units {
			has = has || len(u.Tips) > 0
		}
		if !r.Plan.Complete || !r.Plan.Proof.Holds || has != want {
			t.Errorf("%s: tips are trimmed: %t, want %t; %v", doc, has, want, r.Plan.Proof)
		}
	}
}

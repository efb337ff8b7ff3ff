package compile

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"quiltwright/internal/cloth"
	"quiltwright/internal/plan"
)

// tip is a block whose first seam joins patches with corners of different angles, and how far the raw edge of one passes the
// other's at the ends of the seam.
//
// Sources: S35 for the 3/8 in of a corner of 45 degrees; the exact 0.3536 in, the 0.8090 in and 0.1545 in of a half rectangle's
// corners (26.57 and 63.43 degrees) and the edge of 135 degrees that ends 0.1464 in short are geometry (docs/craft.md, Tips).
type tip struct {
	name   string
	block  string
	past   [2]float64 // inches for a seam of 1/4 in; the greater first
	metric [2]float64 // cm for a seam of 0.75 cm
}

var tips = []tip{
	{"45 on a square's 90, both ends", "grid: 4\n    lines: [\"2,0 4,2 2,4 0,2 2,0\"]\n    fill:\n      A: 2,2", [2]float64{0.3536, 0.3536}, [2]float64{1.061, 1.061}},
	{"45 on 45", "grid: 4\n    lines: [\"0,0 4,4\"]\n    fill:\n      A: 3,1", [2]float64{0, 0}, [2]float64{0, 0}},
	{"45 on a square's 90, and 90 on 90", "grid: [6, 4]\n    lines: [\"2,0 6,4\", \"2,0 2,4\"]\n    first: 2,0 6,4\n    fill:\n      A: 1,1", [2]float64{0.3536, 0}, [2]float64{1.061, 0}},
	{"26.57 on 90, and 90 on 90", "grid: 4\n    lines: [\"2,0 4,4\", \"2,0 2,4\"]\n    first: 2,0 4,4\n    fill:\n      A: 1,1", [2]float64{0.8090, 0}, [2]float64{2.427, 0}},
	{"63.43 on 90, and 90 on 90", "grid: [2, 6]\n    lines: [\"0,2 2,6\", \"0,2 2,2\"]\n    first: 0,2 2,6\n    fill:\n      A: 1,1", [2]float64{0.1545, 0}, [2]float64{0.464, 0}},
	{"45 on 135, whose edge ends short", "grid: [6, 4]\n    lines: [\"0,2 2,0\", \"0,4 4,0\"]\n    first: 0,4 4,0\n    fill:\n      A: 2,1", [2]float64{0.3536 + 0.1464, 0.3536 + 0.1464}, [2]float64{1.061 + 0.439, 1.061 + 0.439}},
}

// firstSeam carries out the plan's first recipe up to its first seam, and returns the work and the seam's line.
func firstSeam(t *testing.T, p *plan.Plan) (w *cloth.Work, from, to cloth.Pt) {
	t.Helper()
	pieces := map[string]*plan.Piece{}
	for i := range p.Pieces {
		pieces[p.Pieces[i].Label] = &p.Pieces[i]
	}
	raw := map[string][][2]float64{}
	for i := range p.Units {
		if u := &p.Units[i]; u.Piece != "" {
			raw[u.ID] = lying(pieces[u.Piece].Raw(), u.Lie)
		}
	}
	r := p.Recipes[0]
	var parts []cloth.Work
	for _, f := range r.From {
		if raw[f.Unit] == nil {
			t.Fatalf("the first recipe takes %+v, which is no patch cut as a piece of its own", f)
		}
		for range f.Count {
			parts = append(parts, cloth.Work{Layers: []cloth.Layer{{Cloth: raw[f.Unit]}}})
		}
	}
	table := cloth.New(parts)
	for _, op := range r.Do {
		if err := table.Do(op); err != nil {
			t.Fatal(err)
		}
		if op.Op == "stitch" {
			at := func(i int) cloth.Pt { return cloth.Pt{float64(op.Along[i][0]), float64(op.Along[i][1])} }
			return table.Work(op.Work), at(0), at(1)
		}
	}
	t.Fatal("nothing is sewn")
	return nil, from, to
}

// ends is how far along the seam the raw edge of a layer that lies beside it reaches, at both ends past the seam's.
func ends(l cloth.Layer, from, to cloth.Pt, seam float64) (before, after float64, ok bool) {
	length := math.Hypot(to[0]-from[0], to[1]-from[1])
	dx, dy := (to[0]-from[0])/length, (to[1]-from[1])/length
	for i, a := range l.Cloth {
		b := l.Cloth[(i+1)%len(l.Cloth)]
		off := func(p cloth.Pt) float64 { return math.Abs((p[0]-from[0])*dy - (p[1]-from[1])*dx) }
		if math.Abs(off(a)-seam) > 1e-5 || math.Abs(off(b)-seam) > 1e-5 {
			continue
		}
		along := func(p cloth.Pt) float64 { return (p[0]-from[0])*dx + (p[1]-from[1])*dy }
		return -min(along(a), along(b)), max(along(a), along(b)) - length, true
	}
	return 0, 0, false
}

// Patches that meet at a slant are laid so that their seam lines meet, and the tip of one passes the raw edge of the other by what the
// trade's tables say.
func TestTipsPassByThePublishedFigures(t *testing.T) {
	for _, c := range tips {
		for _, unit := range []struct {
			measure string
			size    float64
			seam    float64
			past    [2]float64
			within  float64
		}{{"inch", 1, 0.25, c.past, 6e-5}, {"cm", 2.5, 0.75, c.metric, 6e-4}} {
			var w, h float64
			if n, _ := fmt.Sscanf(c.block, "grid: [%g, %g]", &w, &h); n != 2 {
				w, h = 4, 4
			}
			doc := fmt.Sprintf("measure: %s\nseam: %g\nruler: 1/100000\n%smake: {half squares: singles}\nblocks:\n  Tip:\n    size: [%g, %g]\n    %s\n    ground: B\n", unit.measure, unit.seam, threeFabrics, w*unit.size, h*unit.size, c.block)
			r := Compile("tip.yaml", []byte(doc), Options{Proof: true})
			if !r.Plan.Complete || !r.Plan.Proof.Holds {
				t.Fatalf("%s: %v %v\n%s", c.name, r.Findings, r.Plan.Proof, doc)
			}
			work, from, to := firstSeam(t, r.Plan)
			if len(work.Layers) < 2 {
				t.Fatalf("%s: %d layers", c.name, len(work.Layers))
			}
			var reach [][2]float64
			for _, l := range work.Layers {
				if a, b, ok := ends(l, from, to, unit.seam); ok {
					reach = append(reach, [2]float64{a, b})
				}
			}
			if len(reach) != 2 {
				t.Fatalf("%s: %d raw edges beside the seam", c.name, len(reach))
			}
			got := [2]float64{math.Abs(reach[0][0] - reach[1][0]), math.Abs(reach[0][1] - reach[1][1])}
			if got[0] < got[1] {
				got[0], got[1] = got[1], got[0]
			}
			for i := range got {
				if math.Abs(got[i]-unit.past[i]) > unit.within {
					t.Errorf("%s, %s: tips pass by %.4f, the tables say %.4f", strings.TrimSpace(c.name), unit.measure, got, unit.past)
					break
				}
			}
		}
	}
}

package prove

import (
	"fmt"
	"math"
	"testing"
	"time"

	"quiltwright/internal/plan"
)

// grid is a quilt of n by n squares of two fabrics in which every row is a unit of its own.
func grid(size int) *plan.Plan {
	p := head("Grid", float64(2*size))
	count := map[string]int{}
	fabric := func(r, c int) string { return []string{"A", "B"}[(r*r+c*(r+1)+r/7)%2] }
	for r := range size {
		for c := range size {
			count[fabric(r, c)]++
		}
	}
	ids := map[string]string{"A": "u1", "B": "u2"}
	p.Units = []plan.Unit{patch("u1", "A", "A1", box0(2, 2), 2, 2, count["A"]), patch("u2", "B", "B1", box0(2, 2), 2, 2, count["B"])}
	p.Pieces = []plan.Piece{square("A1", "A", 2.5, 2.5, count["A"], false, "u1"), square("B1", "B", 2.5, 2.5, count["B"], false, "u2")}
	run := func(unit, recipe string, from []string, across bool) plan.Recipe {
		r := plan.Recipe{ID: recipe, Method: "joined", Unit: unit, Batches: 1, Makes: []plan.Makes{{Unit: unit, Count: 1}}, Gives: []plan.Gives{{Unit: unit}},
			Months: []plan.BatchMonth{{Month: 1, Batches: 1}}}
		for k, f := range from {
			r.From = append(r.From, plan.From{Unit: f, Count: 1})
			if k == 0 {
				continue
			}
			x, turn, along, to := xy(float64(2*k), 0), plan.Num(0), ends(float64(2*k), 0, float64(2*k), 2), k
			if !across {
				x, turn, along = xy(0, float64(2*k)), 180, ends(0, float64(2*k), float64(2*size), float64(2*k))
			}
			r.Do = append(r.Do, plan.Op{Op: "lay", Part: k, At: &x, Turn: turn, Face: "down"}, plan.Op{Op: "stitch", Along: &along, Allowance: .25}, plan.Op{Op: "press", Seam: k - 1, Toward: &to})
		}
		return r
	}
	var rows []string
	whole := sewn("top", "top", float64(2*size), float64(2*size), 1, "rtop", nil, nil)
	for r := range size {
		id := fmt.Sprintf("row%d", r)
		u := sewn(id, "row", float64(2*size), 2, 1, "r"+id, nil, nil)
		var from []string
		for c := range size {
			f := fabric(r, c)
			from = append(from, ids[f])
			u.Parts = append(u.Parts, use(ids[f], float64(2*c), 0, 0))
			if c > 0 {
				u.Joins = append(u.Joins, join(c-1, c, ends(float64(2*c), 0, float64(2*c), 2), toward(c)))
			}
			p.Drawn = append(p.Drawn, drawn(f, []int{r, c}, box4(float64(2*c), float64(2*r), 2, 2)...))
		}
		p.Units = append(p.Units, u)
		p.Recipes = append(p.Recipes, run(id, "r"+id, from, true))
		rows = append(rows, id)
		whole.Parts = append(whole.Parts, use(id, 0, float64(2*r), 0))
		if r > 0 {
			whole.Joins = append(whole.Joins, join(r-1, r, ends(0, float64(2*r), float64(2*size), float64(2*r)), toward(r)))
		}
	}
	p.Units = append(p.Units, whole)
	p.Recipes = append(p.Recipes, run("top", "rtop", rows, false))
	for i := range p.Recipes {
		r := &p.Recipes[i]
		s := step(r, 1, 1, 1, float64(2*size), 2) // all rows are one chain
		if r.Unit == "top" {
			s = step(r, 2, 1, 1, float64(2*size), float64(2*size))
		}
		p.Steps = append(p.Steps, s)
	}
	p.Top = "top"
	p.Blocks = []plan.Block{{ID: "b1", Name: "Grid", Finished: p.Finished, Made: 1, Patches: size * size, Straight: size*size - 1, Unit: "top"}}
	p.Press = plan.Press{Optimal: true}
	p.Fabrics = []plan.Fabric{bolt("A", p.Pieces[0]), bolt("B", p.Pieces[1])}
	return p
}

// bolt cuts squares from as many strips of 16 as it takes.
func bolt(letter string, x plan.Piece) plan.Fabric {
	f := cloth40(letter, 0)
	for left := x.Cut; left > 0; left -= 16 {
		y := x
		y.Cut = min(left, 16)
		g := cloth40(letter, 0, y)
		f.Layout, f.Strips, f.Length = append(f.Layout, g.Layout...), append(f.Strips, g.Strips...), f.Length+g.Length
	}
	f.Bound = f.Length
	f.Buy.Amount = plan.Num(math.Ceil(float64(f.Length+1)/4.5) / 8)
	return f
}

// 100,000 patches, every row a unit of its own, are proven in about a second.
func TestLargeGrid(t *testing.T) {
	p := grid(316)
	start := time.Now()
	proof := Prove(p)
	t.Logf("%d checks in %v", proof.Checked, time.Since(start))
	if !proof.Holds {
		for _, f := range proof.Findings[:min(5, len(proof.Findings))] {
			t.Errorf("%s %s: %s", f.Code, f.Unit, f.Says)
		}
	}
	// A guard against quadratic work, not a measurement: the machine may be busy.
	if d := time.Since(start); d > Slower*2*time.Minute {
		t.Errorf("it took %v", d)
	}
}

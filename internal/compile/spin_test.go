package compile

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"quiltwright/internal/plan"
	"quiltwright/internal/press"
	"quiltwright/internal/weigh"
)

// spunIn lists where joins of a plan are spun, in the first way of each unit.
func spunIn(p *plan.Plan) (out []string) {
	for _, u := range p.Units {
		for _, j := range u.Joins {
			for _, at := range j.Spun {
				out = append(out, fmt.Sprintf("%v,%v", at[0], at[1]))
			}
		}
	}
	return out
}

// thickest is the most layers of cloth at a point of any unit.
func thickest(p *plan.Plan, at plan.Point) int {
	n := 0
	for _, u := range p.Units {
		for _, c := range u.Bulk {
			if math.Hypot(float64(c.At[0]-at[0]), float64(c.At[1]-at[1])) < 1e-6 {
				n = max(n, c.Layers)
			}
		}
	}
	return n
}

// pressedAs is a quilt of one block, pressed as the writer says, one wish after each |.
func pressedAs(block, wishes string) string {
	src := threeFabrics + "blocks:\n  Block:\n" + block
	if wishes != "" {
		src += "    press:\n      - " + strings.ReplaceAll(wishes, "|", "\n      - ") + "\n"
	}
	return src
}

// A crossing that the writer names is spun, its halves turned opposite ways: 4 layers in place of 7 (S68, and counted again by the proof). Nothing else is.
func TestSpunCrossings(t *testing.T) {
	const four, nine = "    size: 2\n    rows: [[A, B], [B, A]]\n", "    size: 3\n    rows: [[A, B, A], [B, A, B], [A, B, A]]\n"
	const grid = "    size: 2\n    grid: 2\n    lines: [\"0,1 2,1\", \"1,0 1,2\"]\n    fill: {A: \"1/2,1/2 3/2,3/2\", B: \"3/2,1/2 1/2,3/2\"}\n"
	for name, c := range map[string]struct {
		block, press string
		want         string
	}{
		"as computed":          {four, "", ""},
		"a four-patch":         {four, "1,1 spun", "1,1"},
		"drawn by lines":       {grid, "1,1 spun", "1,1"},
		"one of a nine-patch":  {nine, "2,1 spun", "2,1"},
		"two, along a seam":    {nine, "1,1 spun|2,1 spun", "1,1 2,1"},
		"all of a nine-patch":  {nine, "1,1 spun|2,1 spun|1,2 spun|2,2 spun", "1,1 2,1 1,2 2,2"},
		"and an arrow besides": {nine, "1/2,1/2 3/2,1/2|1,1 spun", "1,1"},
	} {
		r := Compile(name, []byte(pressedAs(c.block, c.press)), Options{Proof: true})
		if !r.Plan.Complete || !r.Plan.Proof.Holds || strings.Contains(fmt.Sprint(r.Findings), "press-") {
			t.Errorf("%s: %v %v", name, r.Findings, r.Plan.Proof.Findings)
			continue
		}
		if got := strings.Join(spunIn(r.Plan), " "); got != c.want {
			t.Errorf("%s: spun at %s, not %s", name, got, c.want)
		}
		for _, x := range [][2]int{{1, 1}, {2, 1}, {1, 2}, {2, 2}} {
			want := 7
			if strings.Contains(c.want, fmt.Sprintf("%d,%d", x[0], x[1])) {
				want = 4
			}
			if got := thickest(r.Plan, plan.Point{plan.Num(x[0]), plan.Num(x[1])}); got != want && got > 0 {
				t.Errorf("%s: %d layers at %v, not %d", name, got, x, want)
			}
		}
		if r.Plan.Press.Same+r.Plan.Press.Open > 0 {
			t.Errorf("%s: %+v", name, r.Plan.Press)
		}
	}
}

// A crossing of the top's own seams is spun at a point of the top; those inside its blocks are the blocks' to name. A mirrored block is spun where it lies mirrored.
func TestSpunCrossingsOfTheTop(t *testing.T) {
	const top = `blocks:
  Odd: {size: 6, columns: [1, 2], rows: [[A, B], [B, A]], press: "1,1 spun"}
  Plain: {size: 6, rows: [[C]]}
set:
  rows: [[Odd, Plain, Odd@m], [Plain, Odd, Plain], [Odd@m, Plain, Odd]]
  press:
`
	for says, want := range map[string]string{"6,6 spun": "", "12,6 spun": "", "8,9 spun": "press-nothing", "6,9 spun": "press-nothing"} {
		r := Compile("top", []byte(threeFabrics+top+"    - "+says+"\n"), Options{Proof: true})
		if !r.Plan.Complete || !r.Plan.Proof.Holds {
			t.Fatalf("%s: %v %v", says, r.Findings, r.Plan.Proof.Findings)
		}
		if got := fmt.Sprint(r.Findings); strings.Contains(got, "this point") != (want != "") || strings.Contains(got, "not spun") {
			t.Errorf("%s: %s", says, got)
		}
		spun := spunIn(r.Plan)
		if ofTop := want == ""; len(spun) < 2 || slices.Contains(spun, strings.TrimSuffix(says, " spun")) != ofTop {
			t.Errorf("%s: spun at %v", says, spun)
		}
	}
}

// What cannot be spun is told, and the plan goes without it.
func TestWhatCannotBeSpun(t *testing.T) {
	const nine, bow = "    size: 3\n    rows: [[A, B, A], [B, A, B], [A, B, A]]\n", "    size: 4\n    rows: [[goose A B, A], [B, A]]\n"
	for name, c := range map[string]struct{ block, press, want string }{
		"no crossing":               {nine, "3/2,1 spun", "press-nothing"},
		"on the edge":               {nine, "0,1 spun", "press-nothing"},
		"one seam ends":             {"    size: 3\n    rows: [[A, B], [four-patch A B, A]]\n", "1/2,1 spun", "press-nothing"},
		"an arrow for all of it":    {nine, "1/2,1/2 1/2,3/2|1,1 spun", "press-twice"},
		"and after it":              {nine, "1,1 spun|1/2,1/2 1/2,3/2", "press-twice"},
		"rows pressed alike":        {nine, "1/2,1/2 3/2,1/2|1/2,3/2 3/2,3/2|1,1 spun", "press-unspun"},
		"both turning the same way": {nine, "1/2,1/2 3/2,1/2|3/2,1/2 5/2,1/2|1,1 spun|2,1 spun", "press-unspun"},
		"pressed open":              {nine, "1/2,1/2 3/2,1/2 open|1,1 spun", "press-unspun"},
		"two points":                {nine, "1,1 2,1 spun", "bad-point"},
		"no word":                   {nine, "1,1 spin", "bad-point"},
		"a crossing outside":        {nine, "5,1 spun", "bad-point"},
		"without a point":           {nine, "spun", "bad-point"},
		"square to none":            {bow, "1,0 spun", "press-nothing"},
	} {
		r := Compile(name, []byte(pressedAs(c.block, c.press)), Options{Proof: true})
		var codes []string
		for _, f := range r.Findings {
			if strings.HasPrefix(f.Code, "press-") || f.Code == "bad-point" {
				codes = append(codes, f.Code)
			}
		}
		if got := strings.Join(codes, " "); got != c.want {
			t.Errorf("%s: “%s”, not “%s”", name, got, c.want)
		}
		if c.want != "bad-point" && (!r.Plan.Complete || !r.Plan.Proof.Holds) {
			t.Errorf("%s: %v %v", name, r.Findings, r.Plan.Proof.Findings)
		}
	}
	if r := Compile("near", []byte(threeFabrics+"blocks:\n  Block:\n"+nine+"    press: 1,1 spin\n"), Options{}); len(r.Findings) != 1 || r.Findings[0].Remedy != "did you mean “spun”?" {
		t.Errorf("%v", r.Findings)
	}
}

// Every block is as proven where as many crossings as can be are spun, and none of them is thicker than the trade counts: 4 layers where four plain patches meet.
func TestBlocksHoldWhereAllIsSpun(t *testing.T) {
	files, err := filepath.Glob("../../blocks/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatal(err)
	}
	spun := 0
	for _, file := range files {
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		r := Compile(file, append(src, "\nmake: {press: spin}\n"...), Options{Proof: true})
		if !r.Plan.Complete || !r.Plan.Proof.Holds {
			t.Errorf("%s: %v %v", file, r.Findings, r.Plan.Proof.Findings)
		}
		spun += len(spunIn(r.Plan))
	}
	for file, want := range map[string]int{"pinwheel": 10, "four-patch": 4, "nine-patch": 4, "ohio-star": 8} { // once 15, 7, 7, 13
		src, err := os.ReadFile("../../blocks/" + file + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		r := Compile(file, append(src, "\nmake: {press: spin}\n"...), Options{})
		most := 0
		for _, u := range r.Plan.Units {
			for _, c := range u.Bulk {
				most = max(most, c.Layers)
			}
		}
		if most != want {
			t.Errorf("%s: %d layers at most, not %d", file, most, want)
		}
	}
	if spun < 100 {
		t.Errorf("%d crossings are spun, which tells little", spun)
	}
}

// spunCrossings counts the crossings that are spun, in each way of each unit.
func spunCrossings(r press.Result) (n int) {
	for i, u := range r.Spun {
		for way := range u {
			for _, at := range u[way] {
				if way == 1 || !r.Second[i] {
					n += len(at)
				}
			}
		}
	}
	return n
}

// pressable is a document as far as its pressing needs it.
func pressable(src string) *pressed {
	q := &pressed{src: src}
	q.pieced()
	return q
}

// A crossing is spun where that costs less than the bulk that it saves, and not where it costs more: one seam ends there on either side of a four-patch's,
// three of a pinwheel's (docs/craft.md#pressing). As the costs stand neither is.
func TestSpinningIsWeighed(t *testing.T) {
	four := threeFabrics + "blocks:\n  Block:\n    size: 2\n    rows: [[A, B], [B, A]]\n"
	wheel := threeFabrics + "blocks:\n  Block:\n    size: 8\n    rows: [[half square A B@90, half square A B@180], [half square A B, half square A B@270]]\n"
	for _, c := range []struct {
		src   string
		saved int64
	}{{four, 20}, {wheel, 60}} {
		q := pressable(c.src)
		for _, w := range []struct {
			cost int64
			spun int
		}{{c.saved - 5, 1}, {c.saved + 5, 0}, {press.Usual().Spin, 0}} {
			weights := press.Usual()
			weights.Spin = w.cost
			got := press.Solve(q.doc, q.units, q.top, q.ways, press.Said{}, weights, weigh.Normal)
			if spun := spunCrossings(got); spun != w.spun || !got.Optimal {
				t.Errorf("at %d, where %d is saved, %d crossings are spun, not %d; optimal %v", w.cost, c.saved, spun, w.spun, got.Optimal)
			}
		}
	}
}

// Where crossings may be spun, too, no choice of all that there are costs less than the one that is found.
func TestSpinningEqualsBruteForce(t *testing.T) {
	blocks := []string{
		"    size: 3\n    rows: [[A, B, A], [B, A, B], [A, B, A]]\n",
		"    size: 3\n    rows: [[A, B, C], [A, C, B]]\n",
		"    size: 4\n    rows: [[four-patch A B, C], [C, four-patch A B]]\n",
		"    size: 8\n    rows: [[half square A B@90, half square A B@180], [half square A B, half square A B@270]]\n",
		"    size: 8\n    rows: [[hourglass A B, A], [A, hourglass B A]]\n",
		"    size: 4\n    rows: [[goose A B, A], [A, goose A B@180]]\n",
	}
	for i, block := range blocks {
		for _, spin := range []int64{0, 15, 50} {
			q := pressable(threeFabrics + "make: {press: spin, half squares: singles, hourglass: singles}\nblocks:\n  Block:\n" + block)
			if spin > 0 {
				q.doc.Make.Press = "nest"
			}
			weights := press.Usual()
			weights.Spin = spin
			net := press.Net(q.doc, q.units, q.top, q.ways, press.Said{}, weights)
			if len(net.Size) > 12 {
				t.Fatalf("block %d has %d variables", i, len(net.Size))
			}
			value, least := make([]int, len(net.Size)), int64(math.MaxInt64)
			for more := true; more; {
				least = min(least, net.Cost(value))
				more = false
				for v := range value {
					if value[v]++; value[v] < net.Size[v] {
						more = true
						break
					}
					value[v] = 0
				}
			}
			got := press.Solve(q.doc, q.units, q.top, q.ways, press.Said{}, weights, weigh.Normal)
			if got.Cost != least || !got.Optimal || got.Cost >= 1<<30 {
				t.Errorf("block %d, a spin at %d: costs %d, of all choices the cheapest %d", i, spin, got.Cost, least)
			}
		}
	}
}

package piecing

import (
	"math/rand"
	"reflect"
	"testing"

	"quiltwright/internal/draft"
	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
	"quiltwright/internal/set"
	"quiltwright/internal/unit"
)

// What is ruled out by counting is no unit of the trade: every region that the solver reaches is looked at again.
func TestSavesMissesNothing(t *testing.T) {
	price := func(unit.Shape, []int) int { return 7 }
	text := cloths + `
blocks:
  Cabin: {size: 9, rows: [[log cabin A B B C C B B C C]]}
  Steps: {size: 5, columns: [1, 3, 1], heights: [1, 3, 1], rows: [[A, A, A], [A, A, A], [A, A, A]]}
  Many: {size: 24, rows: [[goose A B, hourglass A B, nine-patch A B, Cabin], [snowball A B, rail A B C, four-patch A B, half square A B],
    [square in square A B, three triangles A B C, half rectangle A B, log cabin A B B C C], [rail A B, rail A B C D A B, A, B]]}
set: {rows: [[Many]]}`
	doc, found := quilt.Read("test.yaml", []byte(text))
	if found.HasErrors() {
		t.Fatal(found)
	}
	d := draft.New(doc)
	set.Lay(doc, d)
	var all [][]draft.Patch
	for _, b := range d.Blocks() {
		all = append(all, b.Patches)
	}
	rng := rand.New(rand.NewSource(1))
	for range 60 {
		var patches []draft.Patch
		for _, pg := range randomFloor(rng.Intn, 2+rng.Intn(4)) {
			patches = append(patches, draft.Patch{Outline: pg, Fabric: rng.Intn(2)})
		}
		all = append(all, patches)
	}
	kinds := map[unit.Kind]bool{}
	for _, patches := range all {
		b := newBuilder(doc, price, Full)
		w := b.newWork(patches, nil)
		region := make([]int32, len(patches))
		for i := range region {
			region[i] = int32(i)
		}
		sv := w.solver(region)
		if sv == nil {
			t.Fatalf("%d patches are too many", len(patches))
		}
		for _, n := range sv.memo {
			if n.n == 1 || len(n.runs) == 0 {
				continue
			}
			cuts := 0
			for i := range sv.lines {
				if sv.lines[i].cuts(n.set) {
					cuts++
				}
			}
			r := sv.region(n.set)
			outline, _ := w.s.outline(r)
			shape := unit.Recognise(outline, w.patches(r))
			want := 0
			if shape.Kind.Trade() {
				want = 7
				kinds[shape.Kind] = true
			}
			if got := w.savesUndrawn(sv, n, cuts); got != want {
				t.Errorf("a %s of %d patches and %d cuts saves %d", shape.Kind, n.n, cuts, got)
			}
		}
	}
	for _, k := range []unit.Kind{unit.HalfSquare, unit.Hourglass, unit.ThreeTriangles, unit.HalfRectangle, unit.SquareInSquare,
		unit.Snowball, unit.FourPatch, unit.NinePatch, unit.RailFence, unit.LogCabin} {
		if !kinds[k] {
			t.Errorf("no %s was reached", k)
		}
	}
}

// Which units a region keeps whole is the Pricer's choice.
func TestPricer(t *testing.T) {
	doc := docOf()
	b := &draft.Block{Name: "Block"}
	for i, pg := range grid(4, 4) {
		b.Patches = append(b.Patches, draft.Patch{Outline: pg, Fabric: (i + i/4) % 2})
	}
	for _, c := range []struct {
		price Pricer
		want  string
	}{
		{func(unit.Shape, []int) int { return 0 }, "piecework[piecework[A B A B] piecework[B A B A] piecework[A B A B] piecework[B A B A]]"},
		{func(s unit.Shape, f []int) int {
			if s.Kind == unit.FourPatch && f[0] == f[3] {
				return 100
			}
			return 0
		}, "piecework[piecework[four-patch[piecework[A B] piecework[B A]] four-patch[piecework[A B] piecework[B A]]] piecework[four-patch[piecework[A B] piecework[B A]] four-patch[piecework[A B] piecework[B A]]]]"},
	} {
		r := taken{blocks: []*draft.Block{b}}
		r.Result, r.found = Take(doc, r.blocks, nil, c.price, Full)
		check(t, r)
		if got := show(r, r.Blocks[0].Unit); len(got) != len(c.want) {
			t.Errorf("got  %s\nwant %s", got, c.want)
		}
	}
}

// The same input gives the same result, and the quick effort a right one.
func TestSameAgain(t *testing.T) {
	rng := rand.New(rand.NewSource(2))
	for range 20 {
		b := &draft.Block{Name: "Block"}
		for _, pg := range randomFloor(rng.Intn, 7) {
			b.Patches = append(b.Patches, draft.Patch{Outline: pg, Fabric: rng.Intn(3)})
		}
		first, _ := Take(docOf(), []*draft.Block{b}, nil, nil, Full)
		again, _ := Take(docOf(), []*draft.Block{b}, nil, nil, Full)
		if !reflect.DeepEqual(first, again) {
			t.Fatal("two runs differ")
		}
		r := taken{blocks: []*draft.Block{b}}
		r.Result, r.found = Take(docOf(), r.blocks, nil, nil, Quick)
		check(t, r)
	}
}

// A sheet keeps apart what is not equal, and residues respect arithmetic.
func TestResidues(t *testing.T) {
	r := newResidues()
	rng := rand.New(rand.NewSource(3))
	var points []plane.Point
	for range 60 {
		points = append(points, plane.Pt(randomNum(rng), randomNum(rng)))
	}
	for i, p := range points {
		q := points[(i+7)%len(points)]
		if got, want := r.spot(p).add(r.spot(q)), r.spot(p.Add(q)); got != want {
			t.Errorf("%v + %v", p, q)
		}
		if got, want := mulMod(r.of(p.X), r.of(q.Y)), r.of(p.X.Mul(q.Y)); got != want {
			t.Errorf("%v × %v: %d, want %d", p.X, q.Y, got, want)
		}
		for e := range 8 {
			if got, want := r.spot(p).turned(e), r.spot(plane.Pose{Turn: plane.Turn(45 * e)}.Apply(p)); got != want {
				t.Errorf("%v turned by %d eighths", p, e)
			}
		}
		if x := r.of(p.X); x != 0 && mulMod(x, r.inv(x)) != 1 {
			t.Errorf("1/%v", p.X)
		}
		for _, o := range points[:i] {
			if (r.spot(o) == r.spot(p)) != o.Equal(p) {
				t.Errorf("%v and %v", o, p)
			}
		}
	}
}

// randomNum returns a number a + b√2, sometimes one whose parts do not fit 64 bits.
func randomNum(rng *rand.Rand) exact.Num {
	x := exact.New(int64(rng.Intn(200)-100), int64(1+rng.Intn(16)), int64(rng.Intn(5)-2), int64(1+rng.Intn(3)))
	if rng.Intn(4) == 0 {
		huge := exact.Frac(rng.Int63(), 1+rng.Int63())
		x = x.Add(huge.Mul(huge).Mul(huge))
	}
	return x
}

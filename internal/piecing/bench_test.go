package piecing

import (
	"runtime"
	"testing"
	"time"

	"quiltwright/internal/draft"
	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
)

// grid returns n by m unit squares, row by row.
func grid(n, m int) []plane.Polygon {
	var all []plane.Polygon
	square := plane.Rectangle(exact.Int(1), exact.Int(1))
	for y := range m {
		for x := range n {
			all = append(all, square.Translate(plane.Pt(exact.Int(int64(x)), exact.Int(int64(y)))))
		}
	}
	return all
}

func docOf() *quilt.Document {
	doc := &quilt.Document{}
	for _, l := range []string{"A", "B", "C", "D"} {
		doc.Fabrics = append(doc.Fabrics, quilt.Fabric{Letter: l, Print: quilt.Plain})
	}
	return doc
}

// colours returns a block of n by n squares in four colours without a pattern.
func colours(n int) *draft.Block {
	b := &draft.Block{Name: "Colours", Width: exact.Int(int64(n)), Height: exact.Int(int64(n))}
	seed := uint64(1)
	for _, pg := range grid(n, n) {
		seed = scramble(seed)
		b.Patches = append(b.Patches, draft.Patch{Outline: pg, Fabric: int(seed >> 62)})
	}
	return b
}

func benchmark(b *testing.B, block *draft.Block) {
	doc := docOf()
	b.ReportAllocs()
	for b.Loop() {
		if r, _ := Take(doc, []*draft.Block{block}, nil, nil, Full); r.Blocks[0].Unit < 0 {
			b.Fatal("not taken apart")
		}
	}
}

func BenchmarkTakeTwelve(b *testing.B)       { benchmark(b, colours(12)) }
func BenchmarkTakeHundred(b *testing.B)      { benchmark(b, colours(100)) }
func BenchmarkTakeThreeHundred(b *testing.B) { benchmark(b, colours(316)) }

// The largest grid stays within its bounds: about one second on a slow machine, and 400 MB.
func TestLargeGrid(t *testing.T) {
	block := colours(316)
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	start := time.Now()
	r, _ := Take(docOf(), []*draft.Block{block}, nil, nil, Full)
	took := time.Since(start)
	runtime.ReadMemStats(&after)
	if took > slower*10*time.Second {
		t.Errorf("took %v", took)
	}
	if used := (after.HeapSys - before.HeapSys) >> 20; used > 400 {
		t.Errorf("used %d MB", used)
	}
	u := r.Units[r.Blocks[0].Unit]
	if len(u.Parts) != 316 || len(u.Joins) != 315 || u.Patches != 316*316 || len(r.Units) > 4+316+1 {
		t.Errorf("%d parts, %d joins, %d patches, %d units", len(u.Parts), len(u.Joins), u.Patches, len(r.Units))
	}
	t.Logf("%v, %d units, heap %d MB", took, len(r.Units), after.HeapSys>>20)
}

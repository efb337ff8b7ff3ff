//go:build unix

package compile

import (
	"bytes"
	"fmt"
	"os"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"quiltwright/internal/book"
	"quiltwright/internal/cut"
	"quiltwright/internal/draft"
	"quiltwright/internal/exact"
	"quiltwright/internal/guillotine"
	"quiltwright/internal/method"
	"quiltwright/internal/piecing"
	"quiltwright/internal/plan"
	"quiltwright/internal/plane"
	"quiltwright/internal/press"
	"quiltwright/internal/prove"
	"quiltwright/internal/quilt"
	"quiltwright/internal/scene/pdf"
	"quiltwright/internal/set"
	"quiltwright/internal/sew"
	"quiltwright/internal/weigh"
)

// squares is a document of one block of n by n one-inch squares, in four colours without a pattern.
func squares(n int) []byte {
	var b strings.Builder
	fmt.Fprintf(&b, "format: 1\nquilt: Squares %d\ndesigner: Pier Street Sewing Room\ndate: 2027-01-08\n\nfabrics:\n", n)
	for k, c := range []string{"#e8e3d6", "#45505c", "#c8502b", "#8aa29e"} {
		fmt.Fprintf(&b, "  %c: {name: Fabric %d, color: %q}\n", 'A'+k, k+1, c)
	}
	fmt.Fprintf(&b, "\nblocks:\n  Squares:\n    size: %d\n    rows:\n", n)
	seed := uint64(1)
	for range n {
		b.WriteString("      - [")
		for x := range n {
			seed = seed*6364136223846793005 + 1442695040888963407
			if x > 0 {
				b.WriteString(", ")
			}
			b.WriteByte("ABCD"[seed>>62])
		}
		b.WriteString("]\n")
	}
	return []byte(b.String())
}

// corpus are the documents that every phase is timed on, smallest first.
func corpus(t testing.TB) []sample {
	read := func(name string) []byte {
		src, err := os.ReadFile("../../examples/" + name + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		return src
	}
	return []sample{
		{"one-block", read("one-block"), true},
		{"lantern-row", read("lantern-row"), true},
		{"squares-100", squares(100), false},
		{"squares-316", squares(316), false},
	}
}

type sample struct {
	name    string
	src     []byte
	printed bool
}

// BenchmarkPhases times each phase on what the phases before it made, with quick effort but for whole-full; docs/benchmarks.md has
// the figures. Pages are drawn of quilts that are printed: a book of a hundred squares by a hundred is none.
//
//	go test ./internal/compile -run '^$' -bench . -benchmem -count 3
func BenchmarkPhases(b *testing.B) {
	for _, s := range corpus(b) {
		b.Run(s.name, func(b *testing.B) {
			for _, phase := range phases(b, s) {
				b.Run(phase.name, func(b *testing.B) {
					b.ReportAllocs()
					before := spent()
					for b.Loop() {
						phase.run()
					}
					b.ReportMetric(float64((spent()-before).Microseconds())/1000/float64(b.N), "cpu-ms/op")
				})
			}
		})
	}
}

type phase struct {
	name string
	run  func()
}

// phases is what is timed of one document.
func phases(b *testing.B, s sample) []phase {
	r := Compile(s.name, s.src, Options{Effort: Quick})
	if !r.Plan.Complete {
		b.Fatalf("%s: %v", s.name, r.Findings)
	}
	size := func(k int) (w, h exact.Num) { return r.Blocks[k].Width, r.Blocks[k].Height }
	ways, colour := press.Alternate(r.Pieced, r.Top, size)
	ways.Split = r.Press.Split
	months, setMonth := schedule(r.Doc, r.Blocks, r.Top, colour)
	in := method.Input{Doc: r.Doc, Pieced: r.Pieced, Blocks: r.Blocks, Months: months, SetMonth: setMonth, Ways: ways}
	_, of := cut.Pieces(r.Doc, r.Units, nil, nil)
	all := []phase{
		{"read", func() { quilt.Read(s.name, s.src) }},
		{"draw", func() { set.Lay(r.Doc, draft.New(r.Doc)) }},
		{"piecing", func() { piecing.Take(r.Doc, r.Blocks, r.Top, method.Price, piecing.Quick) }},
		{"method", func() { method.Choose(in) }},
		{"press", func() { press.Solve(r.Doc, r.Units, r.Pieced.Top, ways, press.Said{}, press.Usual(), weigh.Quick) }},
		{"sew", func() { sew.Order(r.Units, r.monthly(months), r.Pieced.Top, setMonth) }},
		{"cut", func() {
			pieces, _ := cut.Pieces(r.Doc, r.Units, nil, nil)
			cut.Materials(r.Doc, pieces, r.Plan.Finished, len(months), guillotine.Quick, nil)
		}},
		{"assemble-and-cut", func() {
			again := *r
			again.Plan, again.Findings = &plan.Plan{Format: 1}, nil
			again.assemble(of, months, setMonth, Options{Effort: Quick})
		}},
		{"prove", func() { prove.Prove(r.Plan) }},
		{"encode", func() {
			if _, err := plan.Encode(r.Plan); err != nil {
				b.Fatal(err)
			}
		}},
		{"whole-quick", func() { Compile(s.name, s.src, Options{Effort: Quick}) }},
		{"whole-full", func() { Compile(s.name, s.src, Options{}) }},
		{"edit", edits(s)},
	}
	if !s.printed {
		return all
	}
	return append(all, phase{"book", func() {
		for _, paper := range []string{"letter", "a4"} {
			for _, d := range book.Documents(r.Plan, book.Options{}, paper) {
				if _, err := pdf.Write(d.Pages); err != nil {
					b.Fatal(err)
				}
			}
		}
	}})
}

// BenchmarkArrange cuts the same squares up from the sides of all of them, one line a side: what geosop polygonize does in
// docs/benchmarks.md.
func BenchmarkArrange(b *testing.B) {
	for _, n := range []int64{100, 316} {
		var sides []plane.Segment
		for i := range n + 1 {
			for j := range n {
				p, q := exact.Int(i), exact.Int(j)
				r := exact.Int(j + 1)
				sides = append(sides, plane.Segment{A: plane.Pt(q, p), B: plane.Pt(r, p)}, plane.Segment{A: plane.Pt(p, q), B: plane.Pt(p, r)})
			}
		}
		b.Run(fmt.Sprint("squares-", n), func(b *testing.B) {
			before := spent()
			for b.Loop() {
				if a, err := plane.Arrange(exact.Int(n), exact.Int(n), sides); err != nil || len(a.Faces) != int(n*n) {
					b.Fatal(len(a.Faces), err)
				}
			}
			b.ReportMetric(float64((spent()-before).Microseconds())/1000/float64(b.N), "cpu-ms/op")
		})
	}
}

// spent is the processor time that this program has used, on all cores. Where others use the machine too it says more than the
// clock does.
func spent() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		panic(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// A block of 100,000 squares compiles, and needs no memory that a small machine lacks. How long it takes is the benchmarks' business.
func TestLargeBlock(t *testing.T) {
	r := Compile("squares-316", squares(316), Options{Effort: Quick})
	if !r.Plan.Complete {
		t.Fatal(r.Findings)
	}
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	t.Logf("heap %d MB", m.HeapSys>>20)
	if m.HeapSys>>20 > 1000 {
		t.Errorf("the heap grew to %d MB", m.HeapSys>>20)
	}
	if n := len(r.Plan.Drawn); n != 316*316 {
		t.Errorf("%d patches are drawn", n)
	}
}

// edits compiles a document again and again after an edit of one fabric in one block, with a memory.
func edits(s sample) func() {
	var memory Memory
	Compile(s.name, s.src, Options{Effort: Quick, Memory: &memory})
	next := edited(s)
	return func() { Compile(s.name, next(), Options{Effort: Quick, Memory: &memory}) }
}

// edited gives the document after an edit of one fabric in one block: what an editor asks for. No two in a row are the same, and none comes back.
func edited(s sample) func() []byte {
	from, to := bytes.Index(s.src, []byte("\nblocks:")), bytes.Index(s.src, []byte("\nset:"))
	if to < 0 {
		to = len(s.src)
	}
	places := regexp.MustCompile(`\b[A-D]\b`).FindAllIndex(s.src[from:to], -1)
	n := 0
	return func() []byte {
		src := bytes.Clone(s.src)
		at := from + places[n*7%len(places)][0]
		src[at] = 'A' + (src[at]-'A'+1+byte(n/len(places)%3))%4
		n++
		return src
	}
}

// BenchmarkEdit is what the board waits for after an edit of a block of Lantern Row, by the clock: its plan with quick effort, from the document
// that the edit has read already. Edits that make an error are not counted: they have no plan.
//
//	GOGC=400 go test ./internal/compile -run '^$' -bench Edit -benchtime 300x
func BenchmarkEdit(b *testing.B) {
	s := corpus(b)[1]
	var memory Memory
	Compile(s.name, s.src, Options{Effort: Quick, Memory: &memory})
	next := edited(s)
	var all []float64
	for b.Loop() {
		doc, found := quilt.Read(s.name, next())
		from := time.Now()
		if r := Document(doc, found, Options{Effort: Quick, Memory: &memory}); r.Plan.Complete {
			all = append(all, float64(time.Since(from).Microseconds())/1000)
		}
	}
	slices.Sort(all)
	b.ReportMetric(all[len(all)/2], "ms/median")
	b.ReportMetric(all[len(all)*95/100], "ms/95%")
}

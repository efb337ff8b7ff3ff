package compile

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/txtar"

	"quiltwright/internal/plan"
)

// soon is the time in which any document must be answered on a busy machine, with the race detector too. It guards against work
// without an end; how fast good documents are is measured by the benchmarks.
const soon = 3 * time.Minute

// refused compiles a document and demands what holds for all: no mistake of ours, and an answer soon.
func refused(t *testing.T, src []byte) *Result {
	t.Helper()
	start := time.Now()
	r := Compile("quilt.yaml", src, Options{Effort: Quick, Proof: true})
	if d := time.Since(start); d > soon {
		t.Errorf("it took %v", d)
	}
	for _, f := range r.Findings {
		if f.Code == "our-bug" {
			t.Errorf("%s", f.Says)
		}
	}
	return r
}

// Every broken document says the same when it goes through the whole compilation as when it is only read and laid, gives a plan that
// is not complete, and that plan can be printed.
func TestBrokenDocumentsAreRefused(t *testing.T) {
	files, err := filepath.Glob("../quilt/testdata/bad/*.txtar")
	if err != nil || len(files) < 60 {
		t.Fatalf("%v: %d documents", err, len(files))
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txtar"), func(t *testing.T) {
			raw, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			a := txtar.Parse(raw)
			src, want := a.Files[0].Data, string(a.Files[1].Data)
			r := refused(t, src)
			if r.Plan.Complete {
				t.Error("its plan is complete")
			}
			var got bytes.Buffer
			r.Findings.Print(&got, "quilt.yaml", src, false)
			if got.String() != want {
				t.Errorf("got\n%s\nwant\n%s", got.String(), want)
			}
			if _, err := plan.Encode(r.Plan); err != nil {
				t.Error(err)
			}
		})
	}
}

// hatch is a document of so many slanted lines, of which most cross.
func hatch(n int) string {
	var b strings.Builder
	b.WriteString(threeFabrics + "blocks:\n  Steps:\n    size: 400\n    grid: 400\n    ground: A\n    lines:\n")
	for i := range n {
		fmt.Fprintf(&b, "      - 0,%d/1000 400,%d/1000\n", i*7919%400_000, i*104_729%400_000)
	}
	return b.String()
}

// Documents that are made to cost time or memory are answered soon all the way; most are refused when they are read.
func TestHostileDocumentsEnd(t *testing.T) {
	deep := "blocks:\n"
	for i := range 30 {
		deep += fmt.Sprintf("  Block %d: {size: 1024, rows: [[Block %d, Block %d], [Block %d, Block %d]]}\n", i, i+1, i+1, i+1, i+1)
	}
	deep += "  Block 30: {size: 1024, rows: [[A]]}\n"
	for name, src := range map[string]string{
		"brackets":            strings.Repeat("[", 1<<19),
		"a hatch":             hatch(300),
		"a wide hatch":        hatch(9_000),
		"cells":               threeFabrics + "blocks:\n  Steps:\n    size: 1\n    rows:\n      - [" + strings.Repeat("A,", 100_001) + "A]\n",
		"a flood of errors":   threeFabrics + "blocks:\n  Steps:\n    rows:\n" + strings.Repeat("      - [Q, R]\n", 40_000),
		"blocks within":       threeFabrics + deep,
		"a set without end":   threeFabrics + "blocks:\n  Plain: {size: 1, rows: [[A, B], [B, A]]}\nset: {rows: [[Plain]], repeat: 100000 x 100000}\n",
		"a month without end": threeFabrics + "blocks:\n  Plain: {size: 8, rows: [[A, B], [B, A]]}\nset: {rows: [[Plain]]}\nmonths:\n" + strings.Repeat("  - {title: One, make: [Plain]}\n", 20_000),
	} {
		t.Run(name, func(t *testing.T) {
			if r := refused(t, []byte(src)); r.Plan.Complete {
				t.Error("its plan is complete")
			}
		})
	}
}

// FuzzCompile compiles anything without a mistake of ours, and what is complete is proven.
func FuzzCompile(f *testing.F) {
	for _, pattern := range []string{"../../blocks/*.yaml", "../../examples/o*.yaml", "../quilt/testdata/bad/*.txtar"} {
		files, err := filepath.Glob(pattern)
		if err != nil || len(files) == 0 {
			f.Fatalf("%s: %v", pattern, err)
		}
		for _, file := range files {
			src, err := os.ReadFile(file)
			if err != nil {
				f.Fatal(err)
			}
			if strings.HasSuffix(file, ".txtar") {
				src = txtar.Parse(src).Files[0].Data
			}
			if len(src) < 4<<10 {
				f.Add(src)
			}
		}
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		if len(src) > 8<<10 {
			return
		}
		r := refused(t, src)
		if r.Plan.Complete && !r.Plan.Proof.Holds {
			t.Errorf("the proof fails: %v", r.Plan.Proof.Findings)
		}
	})
}

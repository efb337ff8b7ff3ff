package book

import (
	"os"
	"testing"

	"quiltwright/internal/compile"
	"quiltwright/internal/plan"
)

// lantern is the plan of the largest example: a programme of twelve months.
func lantern(t testing.TB) *plan.Plan {
	t.Helper()
	const file = "../../examples/lantern-row.yaml"
	src, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return compile.Compile(file, src, compile.Options{}).Plan
}

// BenchmarkWrite writes the pattern and every handout of a programme on both papers, with its drawings and lists.
func BenchmarkWrite(b *testing.B) {
	p := lantern(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Write(p, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

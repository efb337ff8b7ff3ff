package prove_test

import (
	"os"
	"testing"

	"quiltwright/internal/compile"
	"quiltwright/internal/plan"
	"quiltwright/internal/prove"
)

// A figure of a sample that is wrong, and one that is missing, is found.
func TestSamplesAreProven(t *testing.T) {
	src, err := os.ReadFile("../../examples/centimetres.yaml")
	if err != nil {
		t.Fatal(err)
	}
	p := compile.Compile("samples", append(src, "\nmake: {samples: true}\n"...), compile.Options{Effort: compile.Quick}).Plan
	if proof := prove.Prove(p); !proof.Holds {
		t.Fatalf("the proof does not hold: %v", proof.Findings[0])
	}
	tried := 0
	wrong := func(what string, change, back func()) {
		t.Helper()
		tried++
		change()
		if prove.Prove(p).Holds {
			t.Errorf("the proof holds with %s", what)
		}
		back()
	}
	number := func(what string, at *int) {
		was := *at
		for _, n := range []int{was - 1, was + 1} {
			wrong(what, func() { *at = n }, func() { *at = was })
		}
	}
	for m := range p.Months {
		of := &p.Months[m]
		for i := range of.Samples {
			s := &of.Samples[i]
			was := *s
			number("other batches", &s.Batches)
			for k := range s.After {
				number("another operation", &s.After[k])
			}
			for k := range s.Pieces {
				number("another count", &s.Pieces[k].Count)
			}
			wrong("a piece less", func() { s.Pieces = s.Pieces[:len(s.Pieces)-1] }, func() { *s = was })
			wrong("a stage less", func() { s.After = s.After[1:] }, func() { *s = was })
			wrong("another recipe", func() { s.Recipe = p.Recipes[len(p.Recipes)-1].ID }, func() { *s = was })
			wrong("another unit", func() { s.Unit = p.Top }, func() { *s = was })
		}
		if all := of.Samples; len(all) > 0 {
			wrong("a sample less", func() { of.Samples = all[1:] }, func() { of.Samples = all })
			wrong("a sample twice", func() { of.Samples = append([]plan.Sample{all[0]}, all...) }, func() { of.Samples = all })
		}
	}
	for i := range p.Pieces {
		number("another number for samples", &p.Pieces[i].Samples)
	}
	if tried < 30 {
		t.Errorf("only %d changes were tried", tried)
	}
}

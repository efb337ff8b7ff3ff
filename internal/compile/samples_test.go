package compile

import (
	"os"
	"slices"
	"testing"

	"quiltwright/internal/plan"
)

// shown is Lantern Row with and without the samples to show.
func shown(t *testing.T) (with, without *plan.Plan) {
	t.Helper()
	src, err := os.ReadFile("../../examples/lantern-row.yaml")
	if err != nil {
		t.Fatal(err)
	}
	opt := Options{Effort: Quick, Proof: true}
	return Compile("with", append(src[:len(src):len(src)], "\nmake: {samples: true}\n"...), opt).Plan, Compile("without", src, opt).Plan
}

// Each month's kinds of units are shown after each of their steps; a pair and a goose block are begun twice, since what is cut from the second
// batch is shown at the later stages (counted by hand).
func TestSamplesToShow(t *testing.T) {
	p, without := shown(t)
	if !p.Proof.Holds {
		t.Fatalf("the proof does not hold: %v", p.Proof.Findings[0])
	}
	by := p.Index()
	for _, want := range []struct {
		month                  int
		kind                   string
		stages, batches, taken int // taken: pieces
	}{
		{1, "half square", 3, 2, 4},         // sewn; cut and pressed, trimmed: two of one pair
		{1, "hexagon", 1, 1, 3},             // one step
		{1, "square in a square", 2, 2, 10}, // a centre and four corners each
		{2, "rail fence", 2, 2, 4},          // a strip set, and another cut up
		{3, "flying geese", 4, 2, 10},       // one large and four small squares each; three stages from the second
	} {
		found := false
		for _, s := range p.Months[want.month-1].Samples {
			if by.Units[s.Unit].Kind != want.kind {
				continue
			}
			found = true
			n := 0
			for _, x := range s.Pieces {
				n += x.Count
			}
			if len(s.After) != want.stages || s.Batches != want.batches || n != want.taken {
				t.Errorf("month %d, %s: %d stages from %d batches and %d pieces, want %v", want.month, want.kind, len(s.After), s.Batches, n, want)
			}
		}
		if !found {
			t.Errorf("month %d shows no %s", want.month, want.kind)
		}
	}
	// A log cabin is shown after every log.
	rounds := 0
	for _, s := range p.Months[6].Samples {
		if by.Units[s.Unit].Kind == "log cabin" {
			rounds++
		}
	}
	logs := 0
	for _, s := range p.Steps {
		if s.Month == 7 && s.Stage == "unit" && by.Units[s.Unit].Kind == "log cabin" {
			logs++
		}
	}
	if rounds == 0 || rounds != logs {
		t.Errorf("%d of %d logs are shown", rounds, logs)
	}
	// Every sample's pieces are cut besides the quilt's, and their cloth is bought.
	was := without.Index().Pieces
	more := 0
	for _, x := range p.Pieces {
		o := was[x.Label]
		if o == nil || o.Needed != x.Needed || o.Spare != x.Spare || x.Cut < o.Cut || x.Yields != x.Needed+x.Spare+x.Samples+x.Surplus {
			t.Errorf("piece %s: %d needed, %d for samples, %d surplus of %d; without samples %+v", x.Label, x.Needed, x.Samples, x.Surplus, x.Yields, o)
		}
		more += x.Samples
	}
	for i, f := range p.Fabrics {
		if f.Length+f.Buy.Monthly < without.Fabrics[i].Length {
			t.Errorf("fabric %s: samples take %v of cloth, the quilt alone %v", f.Letter, f.Length, without.Fabrics[i].Length)
		}
	}
	if more == 0 || slices.ContainsFunc(without.Months, func(m plan.Month) bool { return len(m.Samples) > 0 }) {
		t.Errorf("%d pieces for samples; none without the key", more)
	}
}

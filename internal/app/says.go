package app

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"quiltwright/internal/diag"
	"quiltwright/internal/measure"
	"quiltwright/internal/quilt"
)

// verdict is what the proof says, in a line that is always in sight.
type verdict struct {
	Tone string `json:"tone"` // proven | working | wrong
	Says string `json:"says"`
}

// title is the quilt's title, or what the file is called.
func (s *state) title() string {
	if s.doc.Title != "" {
		return s.doc.Title
	}
	return s.name
}

// verdict is of the whole quilt, as far as the stage that is returned with it; what it says beside is about the block that a view is about, where
// the plan makes it.
func (s *state) verdict(view any) (verdict, stage) {
	s.mu.Lock()
	defer s.mu.Unlock()
	block := ""
	if v, ok := view.(interface{ about() string }); ok {
		block = v.about()
	}
	return s.judge(block), s.stage
}

// judge is the verdict. The caller holds mu.
func (s *state) judge(block string) verdict {
	found := s.found
	if s.compiled != nil {
		found = s.compiled.Findings
	}
	if n := found.Count(diag.Error); n > 0 {
		if n == 1 {
			return verdict{"wrong", "not yet a pattern · 1 thing to mend"}
		}
		return verdict{"wrong", fmt.Sprintf("not yet a pattern · %d things to mend", n)}
	}
	if s.compiled == nil {
		return verdict{"working", "planning …"}
	}
	p := s.compiled.Plan
	if len(p.Recipes) == 0 {
		return verdict{"working", "one patch, nothing to sew yet"}
	}
	says := ""
	for _, b := range p.Blocks {
		if b.Name != block {
			continue
		}
		w, h := float64(b.Finished.Width+2*p.Seam), float64(b.Finished.Height+2*p.Seam)
		says = " · " + measure.FormatWith(w, s.doc.Measure)
		if math.Abs(w-h) > 1e-6 {
			says = " · " + measure.Format(w, s.doc.Measure) + " × " + measure.FormatWith(h, s.doc.Measure)
		}
		says += " · " + seams(b.Straight+b.Partial+b.SetIn+b.Curved, b.Straight)
		break
	}
	switch {
	case s.proof == nil || s.stage != proven:
		return verdict{"working", "proving …" + says}
	case s.proof.Holds:
		return verdict{"proven", "proven" + says}
	default:
		return verdict{"wrong", fmt.Sprintf("the proof fails · %d findings", len(s.proof.Findings))}
	}
}

// seams counts seams, and those that are straight from edge to edge.
func seams(all, straight int) string {
	switch {
	case all == 0:
		return "one patch"
	case all == 1 && straight == 1:
		return "1 seam, straight"
	case all == 1:
		return "1 seam, not straight"
	}
	return fmt.Sprintf("%d seams, %d straight", all, straight)
}

// symmetries are the ways in which a block may repeat, in words of the sheet; those after the first four need a square.
var symmetries = []symmetryName{
	{[]string{}, "no repeats"},
	{[]string{"left-right"}, "left is right"},
	{[]string{"top-bottom"}, "top is bottom"},
	{[]string{"half turn"}, "half turn"},
	{[]string{"left-right", "top-bottom"}, "left is right, top is bottom"},
	{[]string{"quarter turns"}, "four quarter turns"},
	{[]string{"falling diagonal"}, "over the falling diagonal"},
	{[]string{"rising diagonal"}, "over the rising diagonal"},
	{[]string{"falling diagonal", "rising diagonal"}, "over both diagonals"},
	{[]string{"quarter turns", "left-right"}, "all eight ways"},
}

func offered(square bool) []symmetryName {
	if square {
		return symmetries
	}
	return symmetries[:5]
}

// repeats says a symmetry in words.
func repeats(words []string) string {
	sorted := slices.Sorted(slices.Values(words))
	for _, s := range symmetries {
		if slices.Equal(sorted, slices.Sorted(slices.Values(s.Words))) {
			return s.Says
		}
	}
	return strings.Join(words, ", ")
}

// sizes are square-up sizes near the block's own, each with the step that its grid then has. A step is good where it is a whole number of
// quarter inches, or of half centimetres: a five-grid at 12 in has steps of 2.4 in, which no ruler shows.
func sizes(doc *quilt.Document, def *quilt.Block) []sizeView {
	out := []sizeView{}
	if !def.Drawn() || !def.Width.Equal(def.Height) || def.Columns != def.Rows {
		return out
	}
	unit, mark, half := doc.Measure, 0.25, 0.5
	if unit == measure.Centimetre {
		mark, half = 0.5, 1
	}
	now := def.Width.Float()
	if now <= 0 {
		now = 12
	}
	good := func(size float64) bool {
		steps := size / float64(def.Columns) / mark
		return math.Abs(steps-math.Round(steps)) < 1e-9 && steps > 0.5
	}
	var near []float64
	for i := 1; i <= 200; i++ {
		if size := float64(i) * half; good(size) && size != now {
			near = append(near, size)
		}
	}
	slices.SortStableFunc(near, func(a, b float64) int {
		far := func(x float64) float64 {
			d := math.Abs(x - now)
			if x != math.Trunc(x) {
				d += half // whole sizes first
			}
			return d
		}
		switch {
		case far(a) < far(b):
			return -1
		case far(a) > far(b):
			return 1
		}
		return 0
	})
	list := append([]float64{now}, near[:min(6, len(near))]...)
	slices.Sort(list)
	for _, size := range list {
		step := size / float64(def.Columns)
		says := fmt.Sprintf("%s: steps of %s", measure.FormatWith(size, unit), measure.FormatWith(step, unit))
		if !good(size) {
			says = fmt.Sprintf("%s: steps of %.4g %s, off the ruler", measure.FormatWith(size, unit), step, unit.Abbrev())
		}
		out = append(out, sizeView{measure.Format(size, unit), says, good(size)})
	}
	return out
}

// spell writes a cell as the document does.
func spell(c quilt.Cell) string {
	var s string
	switch {
	case c.Fabric != "":
		s = c.Fabric
	case c.Unit != "":
		s = c.Unit + " " + strings.Join(c.Fabrics, " ")
	case c.Block != "":
		s = c.Block
	default:
		return ""
	}
	if c.Turn != 0 || c.Mirror {
		s += "@"
		if c.Turn != 0 || !c.Mirror {
			s += fmt.Sprint(int(c.Turn))
		}
		if c.Mirror {
			s += "m"
		}
	}
	for _, from := range slices.Sorted(maps.Keys(c.Recolor)) {
		s += ", " + from + " as " + c.Recolor[from]
	}
	return s
}

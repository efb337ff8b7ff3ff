package prove

import (
	"testing"

	"quiltwright/internal/plan"
)

func TestHandWrittenPlansHold(t *testing.T) {
	for name, p := range map[string]*plan.Plan{"nine-patch": ninePatch(), "star": star()} {
		proof := Prove(p)
		if !proof.Holds || proof.Checked < 200 {
			t.Errorf("%s does not hold, %d checks", name, proof.Checked)
		}
		for _, f := range proof.Findings {
			t.Logf("%s: %s %s %s %s | %s", name, f.Code, f.Unit, f.Piece, f.Says, f.Remedy)
		}
	}
}

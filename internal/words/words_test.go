package words

import (
	"encoding/json"
	"os"
	"testing"

	"quiltwright/internal/plan"
)

func sample(t testing.TB, name string) *plan.Plan {
	t.Helper()
	src, err := os.ReadFile("testdata/" + name + ".json")
	if err != nil {
		t.Fatal(err)
	}
	p := &plan.Plan{}
	if err := json.Unmarshal(src, p); err != nil {
		t.Fatal(err)
	}
	return p
}

func TestPrint(t *testing.T) {
	for _, n := range []string{"star", "units"} {
		p := sample(t, n)
		t.Log("\n" + Draft(p) + "\n-----\n" + Cut(p) + "\n-----\n" + Press(p) + "\n-----\n" + Sew(p))
	}
}

package compile

import (
	"reflect"
	"testing"

	"quiltwright/internal/exact"
	"quiltwright/internal/method"
	"quiltwright/internal/press"
)

// Units that are chosen again, because some are pressed both ways, are the same whether or not what was chosen before is taken over.
func TestFormer(t *testing.T) {
	split := 0
	for k := range 24 {
		src := randomQuilt(2027, k, mostSeams).src
		r := Compile("random", []byte(src), Options{Effort: Quick})
		if r.Units == nil {
			t.Fatal(r.Findings)
		}
		ways, colour := press.Alternate(r.Pieced, r.Top, func(b int) (w, h exact.Num) { return r.Blocks[b].Width, r.Blocks[b].Height })
		months, setMonth := schedule(r.Doc, r.Blocks, r.Top, colour)
		in := method.Input{Doc: r.Doc, Pieced: r.Pieced, Blocks: r.Blocks, Months: months, SetMonth: setMonth, Ways: ways}
		former, _ := method.Choose(in)
		in.Ways.Split = r.Press.Split
		anew, found := method.Choose(in)
		in.Former = former
		units, again := method.Choose(in)
		if !reflect.DeepEqual(anew, units) || !reflect.DeepEqual(found, again) {
			t.Errorf("quilt %d: the units differ for\n%s", k, src)
		}
		for i := range units {
			if units[i].BothWays() {
				split++
				break
			}
		}
	}
	if split < 6 {
		t.Errorf("only %d quilts have units that are made both ways", split)
	}
}

package audit

import (
	"fmt"
	"strings"
	"testing"
)

// The longest list that is read, every line of another size, is compared too.
func TestLongestList(t *testing.T) {
	p := compiled(t, "../../examples/lantern-row.yaml")
	var b strings.Builder
	b.WriteString("fabric,width,height,count\n")
	for i := range MostLines {
		fmt.Fprintf(&b, "%c,%.3f,%.3f,%d\n", 'A'+i%6, 1+float64(i)/50, 2+float64(i%77)/10, 1+i%50)
	}
	r := compared(t, p, []byte(b.String()))
	if len(r.Lines) != MostLines || len(r.Findings) < MostLines || r.Holds {
		t.Errorf("%d lines, %d findings, holds %v", len(r.Lines), len(r.Findings), r.Holds)
	}
}

package compile

import (
	"flag"
	"fmt"
	"sort"
	"strings"
	"testing"
	"time"

	"quiltwright/internal/weigh"
)

var quilts = flag.Int("quilts", 12, "how many random quilts are pressed; 200 is the corpus")

// pressingSeed is the seed of the corpus.
const pressingSeed = 20261125

// TestRandomQuiltsPressExactly presses random quilts (randomQuilt) within the usual work: at least four in five are proven to be the best, and of no
// more than one in forty the gap is larger than one failing meeting in twenty. It prints what was met.
//
//	go test ./internal/compile -run TestRandomQuiltsPressExactly -quilts 200 -v
func TestRandomQuiltsPressExactly(t *testing.T) {
	t.Logf("seed %d, %d quilts", pressingSeed, *quilts)
	proven, wide := 0, 0
	widths := map[int]int{}
	var longest time.Duration
	for k := range *quilts {
		q := randomQuilt(pressingSeed, k, mostSeams)
		start := time.Now()
		got := q.solve(weigh.Normal)
		took := time.Since(start)
		longest = max(longest, took)
		widths[got.Width]++
		if got.Optimal {
			proven++
		}
		fails := got.Same + got.Flat
		t.Logf("%3d unsashed %-5v seams %3d meetings %4d fail %3d cost %6d bound %6d optimal %-5v width %2d work %9d %v", k, q.unsashed, got.Seams, len(got.Meetings), fails, got.Cost, got.Bound, got.Optimal, got.Width, got.Work, took.Round(time.Millisecond))
		if gap := got.Cost - got.Bound; 20*gap > 1000*int64(fails) {
			wide++
			t.Logf("quilt %d: costs %d, proven is %d: more than one of its %d failing meetings in twenty", k, got.Cost, got.Bound, fails)
		}
	}
	var met []string
	for w := range widths {
		met = append(met, fmt.Sprintf("%3d: %d", w, widths[w]))
	}
	sort.Strings(met)
	t.Logf("%d of %d proven; longest %v; widths met: %s", proven, *quilts, longest.Round(time.Millisecond), strings.Join(met, ", "))
	if 40*(wide-1) >= *quilts {
		t.Errorf("of %d of %d the gap is larger than that", wide, *quilts)
	}
	if 5*proven < 4**quilts {
		t.Errorf("%d of %d are proven", proven, *quilts)
	}
}

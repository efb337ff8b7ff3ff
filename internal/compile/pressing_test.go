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

// widest are the quilts of the corpus whose seams hang together the most.
var widest = []int{24, 130, 160}

// TestRandomQuiltsPressExactly presses random quilts (randomQuilt) and the widest of the corpus within the usual work: at least four in five
// are proven to be the best, and of none the gap is larger than one failing meeting in twenty. It prints what was met.
//
//	go test ./internal/compile -run TestRandomQuiltsPressExactly -quilts 200 -v
//	go test ./internal/compile -run TestRandomQuiltsPressExactly/^160$ -v
func TestRandomQuiltsPressExactly(t *testing.T) {
	most := *quilts / fewer
	t.Logf("seed %d, %d quilts", pressingSeed, most)
	var numbers []int
	for k := range most {
		numbers = append(numbers, k)
	}
	for _, k := range widest {
		if k >= most && fewer == 1 {
			numbers = append(numbers, k)
		}
	}
	met, proven := 0, 0
	widths := map[int]int{}
	var longest time.Duration
	for _, k := range numbers {
		t.Run(fmt.Sprint(k), func(t *testing.T) {
			q := randomQuilt(pressingSeed, k, mostSeams)
			start := time.Now()
			got := q.solve(weigh.Normal)
			took := time.Since(start)
			longest = max(longest, took)
			widths[got.Width]++
			if k < most {
				met++
				if got.Optimal {
					proven++
				}
			}
			fails := got.Same + got.Flat
			t.Logf("unsashed %-5v seams %3d meetings %4d fail %3d cost %6d bound %6d optimal %-5v width %2d work %9d %v", q.unsashed, got.Seams, len(got.Meetings), fails, got.Cost, got.Bound, got.Optimal, got.Width, got.Work, took.Round(time.Millisecond))
			if gap := got.Cost - got.Bound; 20*gap > 1000*int64(fails) {
				t.Errorf("costs %d, proven is %d: more than one of its %d failing meetings in twenty", got.Cost, got.Bound, fails)
			}
		})
	}
	var wide []string
	for w := range widths {
		wide = append(wide, fmt.Sprintf("%3d: %d", w, widths[w]))
	}
	sort.Strings(wide)
	t.Logf("%d of %d proven; longest %v; widths met: %s", proven, met, longest.Round(time.Millisecond), strings.Join(wide, ", "))
	if 5*proven < 4*met {
		t.Errorf("%d of %d are proven", proven, met)
	}
}

package compile

import (
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"quiltwright/internal/weigh"
)

var cbc = flag.Bool("cbc", false, "ask cbc, a MIP solver, what the quilts of testdata/pressing/optima.txt cost at least, and rewrite it")

// TestPressingEqualsMIP compares what pressing costs with what a MIP solver finds for the same choices, on random quilts: those that it
// could do in time. The solver's answers are kept; -cbc asks it again for every quilt that is kept (Debian: coinor-cbc).
//
//	go test ./internal/compile -run TestPressingEqualsMIP -cbc -timeout 60m -v
func TestPressingEqualsMIP(t *testing.T) {
	file := filepath.Join("testdata", "pressing", "optima.txt")
	kept, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var again strings.Builder
	count, unsashed := 0, 0
	for _, line := range strings.Split(strings.TrimSpace(string(kept)), "\n") {
		if strings.HasPrefix(line, "#") {
			again.WriteString(line + "\n")
			continue
		}
		var k, most int
		var want int64
		if _, err := fmt.Sscanf(line, "quilt %d of %d seams at most costs %d", &k, &most, &want); err != nil {
			t.Fatalf("%q: %v", line, err)
		}
		q := randomQuilt(pressingSeed, k, most)
		if *cbc {
			cost, ok := ask(t, q.net())
			if !ok {
				t.Fatalf("%q: cbc does not end in time", line)
			}
			want = cost
			fmt.Fprintf(&again, "quilt %d of %d seams at most costs %d\n", k, most, want)
		}
		got := q.solve(weigh.Normal)
		if !got.Optimal || got.Cost != want {
			t.Errorf("quilt %d of %d seams at most: costs %d, bound %d; the MIP solver finds %d", k, most, got.Cost, got.Bound, want)
		}
		if got.Seams < 50 || q.unsashed && got.Same+got.Flat == 0 {
			t.Errorf("quilt %d of %d seams at most tells little: %d seams, %d meetings fail", k, most, got.Seams, got.Same+got.Flat)
		}
		count++
		if q.unsashed {
			unsashed++
		}
	}
	t.Logf("%d quilts, %d of them without sashing", count, unsashed)
	if count < 40 || unsashed < 20 {
		t.Error("too few to tell anything")
	}
	if *cbc {
		if err := os.WriteFile(file, []byte(again.String()), 0o666); err != nil {
			t.Fatal(err)
		}
	}
}

// ask is what cbc finds for a net, false where it takes longer than ten seconds: a 0/1 choice for each state of a variable, and for
// tables over two variables a share for each pair of states, whose sums are the choices.
func ask(t *testing.T, n *weigh.Net) (int64, bool) {
	var goal, rows, whole strings.Builder
	single := make([][]int64, len(n.Size))
	for _, table := range n.Tables {
		if len(table.Over) == 1 {
			v := table.Over[0]
			single[v] = append(single[v], make([]int64, n.Size[v]-len(single[v]))...)
			for s, c := range table.Cost {
				single[v][s] += c
			}
		}
	}
	for v, size := range n.Size {
		for s, c := range single[v] {
			fmt.Fprintf(&goal, " + %d x%d_%d\n", c, v, s)
		}
		for s := range size {
			fmt.Fprintf(&rows, " + x%d_%d", v, s)
			fmt.Fprintf(&whole, " x%d_%d\n", v, s)
		}
		rows.WriteString(" = 1\n")
	}
	for k, table := range n.Tables {
		switch len(table.Over) {
		case 1:
		case 2:
			a, b := table.Over[0], table.Over[1]
			for e, c := range table.Cost {
				fmt.Fprintf(&goal, " + %d y%d_%d\n", c, k, e)
			}
			for s := range n.Size[a] {
				for u := range n.Size[b] {
					fmt.Fprintf(&rows, " + y%d_%d", k, s*n.Size[b]+u)
				}
				fmt.Fprintf(&rows, " - x%d_%d = 0\n", a, s)
			}
			for u := range n.Size[b] {
				for s := range n.Size[a] {
					fmt.Fprintf(&rows, " + y%d_%d", k, s*n.Size[b]+u)
				}
				fmt.Fprintf(&rows, " - x%d_%d = 0\n", b, u)
			}
		default:
			t.Fatalf("a table over %d variables", len(table.Over))
		}
	}
	dir := t.TempDir()
	in, out := filepath.Join(dir, "net.lp"), filepath.Join(dir, "net.sol")
	text := "Minimize\n obj:" + goal.String() + "Subject To\n" + rows.String() + "Binaries\n" + whole.String() + "End\n"
	if err := os.WriteFile(in, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	said, err := exec.Command("cbc", in, "sec", "10", "ratio", "0", "allow", "0.5", "solve", "solu", out).CombinedOutput()
	if err != nil {
		t.Fatalf("cbc: %v\n%s", err, said)
	}
	answer, err := os.ReadFile(out)
	if err != nil {
		t.Fatalf("%v\n%s", err, said)
	}
	var cost float64
	if _, err := fmt.Sscanf(string(answer), "Optimal - objective value %g", &cost); err != nil {
		return 0, false
	}
	return int64(cost + 0.5), true
}

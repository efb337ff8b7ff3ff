package compile

import (
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"quiltwright/internal/press"
	"quiltwright/internal/weigh"
)

var cbc = flag.Bool("cbc", false, "ask cbc, a MIP solver, what the quilts of testdata/pressing/optima.txt cost at least, and rewrite it")

// TestPressingEqualsMIP compares what pressing costs with what a MIP solver finds for the same choices, on random quilts: those that it
// could do in time. The solver's answers are kept; -cbc asks it again for every quilt that is kept (Debian: coinor-cbc).
//
//	go test ./internal/compile -run TestPressingEqualsMIP -cbc -timeout 60m -v
func TestPressingEqualsMIP(t *testing.T) {
	count, unsashed := equalsMIP(t, "optima.txt", func(q *pressed, got press.Result) {
		if got.Seams < 50 || q.unsashed && got.Same+got.Flat == 0 {
			t.Errorf("quilt %d tells little: %d seams, %d meetings fail", q.number, got.Seams, got.Same+got.Flat)
		}
	})
	if fewer*count < 40 || fewer*unsashed < 20 {
		t.Errorf("%d, %d of them without sashing: too few to tell anything", count, unsashed)
	}
}

// TestSpinningEqualsMIP does the same where as many crossings as can be are spun.
func TestSpinningEqualsMIP(t *testing.T) {
	spun := 0
	count, unsashed := equalsMIP(t, "spun.txt", func(_ *pressed, got press.Result) { spun += spunCrossings(got) })
	if fewer*count < 10 || fewer*unsashed < 5 || fewer*spun < 500 {
		t.Errorf("%d crossings are spun in %d quilts, %d of them without sashing: too few to tell anything", spun, count, unsashed)
	}
}

// equalsMIP compares the quilts of a file, and hands on each with what was found.
func equalsMIP(t *testing.T, name string, also func(*pressed, press.Result)) (count, unsashed int) {
	t.Helper()
	file := filepath.Join("testdata", "pressing", name)
	kept, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var again strings.Builder
	n := -1
	for _, line := range strings.Split(strings.TrimSpace(string(kept)), "\n") {
		if strings.HasPrefix(line, "#") {
			again.WriteString(line + "\n")
			continue
		}
		if n++; n%fewer != 0 && !*cbc {
			continue
		}
		var k, most int
		var want int64
		if _, err := fmt.Sscanf(line, "quilt %d of %d seams at most costs %d", &k, &most, &want); err != nil {
			t.Fatalf("%q: %v", line, err)
		}
		q := randomQuilt(pressingSeed, k, most)
		if name == "spun.txt" {
			q.doc.Make.Press = "spin"
		}
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
		also(q, got)
		count++
		if q.unsashed {
			unsashed++
		}
	}
	t.Logf("%d quilts, %d of them without sashing", count, unsashed)
	if *cbc {
		if err := os.WriteFile(file, []byte(again.String()), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	return count, unsashed
}

// ask is what cbc finds for a net, false where it takes longer than ten seconds: a 0/1 choice for each state of a variable, and for
// larger tables a share for each combination of states that can be, whose sums are the choices.
func ask(t *testing.T, net *weigh.Net) (int64, bool) {
	var goal, rows, whole strings.Builder
	single := make([][]int64, len(net.Size))
	for _, table := range net.Tables {
		if len(table.Over) == 1 {
			v := table.Over[0]
			single[v] = append(single[v], make([]int64, net.Size[v]-len(single[v]))...)
			for s, c := range table.Cost {
				single[v][s] += c
			}
		}
	}
	for v, size := range net.Size {
		for s, c := range single[v] {
			fmt.Fprintf(&goal, " + %d x%d_%d\n", c, v, s)
		}
		for s := range size {
			fmt.Fprintf(&rows, " + x%d_%d", v, s)
			fmt.Fprintf(&whole, " x%d_%d\n", v, s)
		}
		rows.WriteString(" = 1\n")
	}
	for k, table := range net.Tables {
		if len(table.Over) == 1 {
			continue
		}
		// The share of a combination is taken from each of the states that it is of.
		of := make([][]strings.Builder, len(table.Over))
		for n, v := range table.Over {
			of[n] = make([]strings.Builder, net.Size[v])
		}
		for e, c := range table.Cost {
			if c >= weigh.Never { // it cannot be
				continue
			}
			fmt.Fprintf(&goal, " + %d y%d_%d\n", c, k, e)
			for n, rest := len(table.Over)-1, e; n >= 0; n-- {
				size := net.Size[table.Over[n]]
				fmt.Fprintf(&of[n][rest%size], " + y%d_%d", k, e)
				rest /= size
			}
		}
		for n, v := range table.Over {
			for s := range of[n] {
				fmt.Fprintf(&rows, "%s - x%d_%d = 0\n", of[n][s].String(), v, s)
			}
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

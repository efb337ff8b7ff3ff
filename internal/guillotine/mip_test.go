package guillotine

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// cbc is a program that solves the same model from a file, for comparison: go test -run MIP -cbc /usr/bin/cbc.
var (
	cbc     = flag.String("cbc", "", "compare with this CBC")
	seconds = flag.Int("seconds", 60, "that CBC may take for a list")
)

// model writes the two-stage problem in the LP format: strips in descending height, each of one of the heights of kinds, with so
// many of each kind in it. strips is how many there may be.
func model(p Problem, strips int) (string, error) {
	s, err := newStock(p.Width, p.Items)
	if err != nil {
		return "", err
	}
	var b strings.Builder
	b.WriteString("Minimize\n obj:")
	for n := range strips {
		for l, h := range s.heights {
			fmt.Fprintf(&b, " + %d z%d_%d\n", h, n, l)
		}
	}
	b.WriteString("\nSubject To\n")
	for n := range strips {
		for l := range s.heights {
			fmt.Fprintf(&b, " + z%d_%d", n, l)
		}
		b.WriteString(" <= 1\n")
		for k, kd := range s.kinds {
			fmt.Fprintf(&b, " + %d y%d_%d", kd.w, n, k)
		}
		for l := range s.heights {
			fmt.Fprintf(&b, " - %d z%d_%d", s.width, n, l)
		}
		b.WriteString(" <= 0\n")
		for k, kd := range s.kinds {
			most := min(s.width/kd.w, int64(p.Items[kd.item].Count))
			fmt.Fprintf(&b, " y%d_%d", n, k)
			for l := kd.level; l < len(s.heights); l++ {
				fmt.Fprintf(&b, " - %d z%d_%d", most, n, l)
			}
			b.WriteString(" <= 0\n")
		}
		if n > 0 {
			for l, h := range s.heights {
				fmt.Fprintf(&b, " + %d z%d_%d - %d z%d_%d", h, n-1, l, h, n, l)
			}
			b.WriteString(" >= 0\n")
		}
	}
	for i, it := range p.Items {
		if it.Count == 0 {
			continue
		}
		for n := range strips {
			for k, kd := range s.kinds {
				if kd.item == i {
					fmt.Fprintf(&b, " + y%d_%d", n, k)
				}
			}
			b.WriteByte('\n')
		}
		fmt.Fprintf(&b, " = %d\n", it.Count)
	}
	b.WriteString("Generals\n")
	for n := range strips {
		for k := range s.kinds {
			fmt.Fprintf(&b, " y%d_%d", n, k)
		}
		b.WriteByte('\n')
	}
	b.WriteString("Binaries\n")
	for n := range strips {
		for l := range s.heights {
			fmt.Fprintf(&b, " z%d_%d", n, l)
		}
		b.WriteByte('\n')
	}
	b.WriteString("End\n")
	return b.String(), nil
}

// TestAgainstMIP lays lists here and by CBC in the same run. CBC's optimum and bound may not contradict what is found here.
func TestAgainstMIP(t *testing.T) {
	if *cbc == "" {
		return
	}
	var names []string
	lists := map[string]Problem{}
	for _, name := range []string{"F01", "F02", "F04", "F06"} {
		p, _ := list(t, name)
		names, lists[name] = append(names, name), p
	}
	for _, name := range names {
		p := lists[name]
		p.Effort = Second
		start := time.Now()
		l, err := Lay(p)
		if err != nil {
			t.Fatal(err)
		}
		here := time.Since(start)
		strips := 1
		for _, st := range l.Strips {
			strips += st.Count
		}
		text, err := model(p, strips)
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), name+".lp")
		if err := os.WriteFile(file, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
		start = time.Now()
		out, err := exec.Command(*cbc, file, "sec", strconv.Itoa(*seconds), "solve", "quit").CombinedOutput()
		if err != nil {
			t.Fatalf("%s: %v\n%s", name, err, out)
		}
		there := time.Since(start)
		var best, bound float64
		for _, line := range bytes.Split(out, []byte("\n")) {
			f := strings.Fields(string(line))
			switch {
			case strings.HasPrefix(string(line), "Objective value:"):
				best, _ = strconv.ParseFloat(f[len(f)-1], 64)
			case strings.HasPrefix(string(line), "Lower bound:"):
				bound, _ = strconv.ParseFloat(f[len(f)-1], 64)
			}
		}
		proven := bytes.Contains(out, []byte("Optimal solution found"))
		t.Logf("%s: here %.3f, bound %.3f, %v; CBC %.3f, bound %.3f, proven %v, %v", name, float64(l.Length)/8, float64(l.Bound)/8, here.Round(time.Millisecond),
			best/8, bound/8, proven, there.Round(100*time.Millisecond))
		if proven && (float64(l.Bound) > best+1e-6 || float64(l.Length) < best-1e-6) {
			t.Errorf("%s: length %d, bound %d; CBC proves %.3f", name, l.Length, l.Bound, best)
		}
		if best > 0 && float64(l.Length) > best+1e-6 {
			t.Errorf("%s: length %d; CBC finds %.3f", name, l.Length, best)
		}
	}
}

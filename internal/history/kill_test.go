//go:build unix

package history

import (
	"bufio"
	"bytes"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

var kills = flag.Int("kills", 100, "how many programs TestKill ends")

const childOf = "QUILTWRIGHT_HISTORY_CHILD"

func TestMain(m *testing.M) {
	if path := os.Getenv(childOf); path != "" {
		save(path)
		return
	}
	os.Exit(m.Run())
}

// numbered is a text that shows whether it is whole: its number, filler that depends on it, and a checksum.
func numbered(n int) []byte {
	if text := made[n]; text != nil {
		return text
	}
	r := rand.New(rand.NewPCG(uint64(n), 1))
	var b bytes.Buffer
	fmt.Fprintf(&b, "number: %d\n", n)
	for range r.IntN(60) {
		fmt.Fprintf(&b, "  - %d\n", r.Uint64())
	}
	fmt.Fprintf(&b, "sum: %s\n", sum(b.Bytes()))
	made[n] = b.Bytes()
	return made[n]
}

// made are the texts made so far.
var made = map[int][]byte{}

// numberOf is a text's number, -1 where it is not whole.
func numberOf(text []byte) int {
	line, _, _ := strings.Cut(string(text), "\n")
	n, err := strconv.Atoi(strings.TrimPrefix(line, "number: "))
	if err != nil || !bytes.Equal(text, numbered(n)) {
		return -1
	}
	return n
}

// save is the child: it saves one text after the other, says so on its output once each is safe, and now and then goes back and forth.
func save(path string) {
	h, err := Open(path, numbered(0))
	for err == nil && h.at < len(h.steps) {
		err = h.Redo() // a former child was ended between taking back and making again
	}
	r := rand.New(rand.NewPCG(uint64(os.Getpid()), 2))
	for n := numberOf(h.Text()) + 1; err == nil; n++ {
		if err = h.Save(numbered(n), "step"); err == nil {
			fmt.Println(n)
		}
		if err == nil && r.IntN(4) == 0 {
			if err = h.Undo(); err == nil {
				err = h.Redo()
			}
		}
	}
	fmt.Fprintln(os.Stderr, err)
	os.Exit(1)
}

// TestKill ends a program by SIGKILL in the middle of its saves, again and again: the file is whole each time, and nothing that was
// acknowledged is missing.
func TestKill(t *testing.T) {
	path := filepath.Join(memory(t), "lantern-row.yaml")
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 3))
	saved, midway := 0, 0
	for range *kills {
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), childOf+"="+path)
		var complaint bytes.Buffer
		cmd.Stderr = &complaint
		out, err := cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		acknowledged := saved
		lines := bufio.NewScanner(out)
		after := time.Duration(r.IntN(4_000)) * time.Microsecond
		started := false
		for lines.Scan() {
			if n, err := strconv.Atoi(lines.Text()); err == nil {
				acknowledged = n
			}
			if !started {
				started = true
				go func() {
					time.Sleep(after)
					cmd.Process.Kill()
				}()
			}
		}
		cmd.Wait()
		if complaint.Len() > 0 || !started {
			t.Fatalf("the child says: %s", complaint.String())
		}
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		n := numberOf(text)
		if n < 0 {
			t.Fatalf("the file is not whole: %q", text[:min(len(text), 200)])
		}
		// A child that was ended while it went back has acknowledged that, too, though it does not say so.
		if n < acknowledged-1 || n > acknowledged+1 {
			t.Fatalf("%d was acknowledged, the file holds %d", acknowledged, n)
		}
		h, err := Open(path, nil)
		if err != nil {
			t.Fatal(err)
		}
		now := numberOf(h.Text())
		if now != n {
			midway++
		}
		file, _ := os.ReadFile(path)
		if !bytes.Equal(file, h.Text()) {
			t.Fatal("the file and the journal differ after Open")
		}
		for _, s := range h.steps {
			if s.Says == Outside {
				t.Fatal("a change of ours is taken for one of another program")
			}
		}
		if err := chain(h, acknowledged); err != nil {
			t.Fatal(err)
		}
		saved = max(acknowledged, now)
		if h.at < len(h.steps) {
			saved = max(saved, now+1)
		}
		h.Close()
	}
	t.Logf("%d texts saved, %d of %d programs ended between the journal and the file", saved, midway, *kills)
	if saved < *kills {
		t.Errorf("only %d texts were saved", saved)
	}
}

// memory is a folder in memory where there is one: what a program has handed to the system outlives it there, too, and no disk is waited for.
func memory(t *testing.T) string {
	dir, err := os.MkdirTemp("/dev/shm", "quiltwright-history-")
	if err != nil {
		return t.TempDir()
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	return dir
}

// chain checks that every text up to number n can be had by taking back or making again.
func chain(h *History, n int) error {
	text := h.Text()
	for _, s := range h.steps[h.at:] {
		text, _ = s.forward(text)
	}
	if numberOf(text) < n {
		return fmt.Errorf("%d was acknowledged, the past ends with %d", n, numberOf(text))
	}
	want := numberOf(text)
	for i := len(h.steps) - 1; i >= 0; i-- {
		if got := numberOf(text); got != want {
			return fmt.Errorf("the past has %d where %d was", got, want)
		}
		want--
		text, _ = h.steps[i].back(text)
	}
	if want != -1 || len(text) != 0 {
		return fmt.Errorf("the past ends before %d", want)
	}
	return nil
}

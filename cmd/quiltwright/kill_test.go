//go:build unix

package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"quiltwright/internal/edit"
)

var kills = flag.Int("kills", 12, "how many times TestKillBoard ends the board's program")

// program is a running quiltwright open, and a window on it.
type program struct {
	t        *testing.T
	cmd      *exec.Cmd
	said     bytes.Buffer
	base     string
	client   *http.Client
	revision int
}

// start starts the program and opens the address that it prints.
func start(t *testing.T, binary, file string) *program {
	t.Helper()
	p := &program{t: t, cmd: exec.Command(binary, "open", "--no-browser", file)}
	p.cmd.Stderr = &p.said
	out, err := p.cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := p.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	address := ""
	for lines := bufio.NewScanner(out); address == "" && lines.Scan(); {
		if strings.HasPrefix(lines.Text(), "http://") {
			address = lines.Text()
		}
	}
	at, err := url.Parse(address)
	if err != nil || address == "" {
		p.end()
		t.Fatalf("the program says no address but: %s", p.said.String())
	}
	p.base = "http://" + at.Host
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	p.client = &http.Client{Jar: jar, Timeout: 20 * time.Second, Transport: &http.Transport{}}
	r, err := p.client.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	r.Body.Close()
	if err := p.ask("GET", "/view/draft", nil); err != nil {
		t.Fatal(err)
	}
	return p
}

// end ends the program by SIGKILL and waits for it.
func (p *program) end() {
	_ = p.cmd.Process.Kill()
	_ = p.cmd.Wait()
}

// ask asks what a window asks. Without an error the answer has been read whole, as what a window shows as saved.
func (p *program) ask(method, path string, ops []json.RawMessage) error {
	body, err := json.Marshal(map[string]any{"revision": p.revision, "window": "w", "place": "draft", "query": "", "ops": ops})
	if err != nil {
		return err
	}
	r, err := http.NewRequest(method, p.base+path, bytes.NewReader(body))
	if err != nil {
		return err
	}
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("Origin", p.base)
	got, err := p.client.Do(r)
	if err != nil {
		return err
	}
	defer got.Body.Close()
	text, err := io.ReadAll(got.Body)
	if err != nil {
		return err
	}
	var a struct {
		Revision int
		Problem  string
	}
	if err := json.Unmarshal(text, &a); err != nil || got.StatusCode != http.StatusOK {
		p.t.Errorf("%s %s: %d %.300s", method, path, got.StatusCode, text)
		return fmt.Errorf("refused")
	}
	p.revision = a.Revision
	return nil
}

// TestKillBoard ends the program of the board by SIGKILL in the middle of its saves, again and again: the file is whole each time, nothing that
// was answered is lost, and in the end everything can be taken back. -kills=200 for all of it.
func TestKillBoard(t *testing.T) {
	binary := filepath.Join(t.TempDir(), "quiltwright")
	if out, err := exec.Command("go", "build", "-o", binary, ".").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	dir, err := os.MkdirTemp("/dev/shm", "quiltwright-board-") // in memory, which outlives the program as the disk does
	if err != nil {
		dir = t.TempDir()
	}
	defer os.RemoveAll(dir)
	file := filepath.Join(dir, "pier.yaml")
	if out, err := exec.Command(binary, "new", file).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	first, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 4))

	past := [][]byte{first} // the texts that can be taken back and made again
	at := 0                 // which of them the file holds, as far as was answered
	saved, ahead := 0, 0
	from := time.Now()
	for range *kills {
		p := start(t, binary, file)
		go func(after time.Duration) {
			time.Sleep(after)
			_ = p.cmd.Process.Kill()
		}(time.Duration(r.IntN(150_000)) * time.Microsecond)
		to, next := at, past // where the file may be besides, and the past then
		for {
			to, next = at, past
			var err error
			switch step := r.IntN(10); {
			case step == 0 && at > 0:
				to = at - 1
				err = p.ask("POST", "/undo", nil)
			case step <= 2 && at < len(past)-1:
				to = at + 1
				err = p.ask("POST", "/redo", nil)
			default:
				ops := change(r, past[at], saved)
				next = append(append([][]byte{}, past[:at+1]...), apply(t, past[at], ops))
				to = at + 1
				err = p.ask("POST", "/do", ops)
			}
			if err != nil {
				break
			}
			at, past = to, next
			saved++
		}
		p.end()
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(text, past[at]) && !bytes.Equal(text, next[to]) {
			t.Fatalf("the file is neither what was answered last nor what was asked for then:\n%s\nanswered:\n%s\nasked:\n%s", text, past[at], next[to])
		}
		// Whoever opens it again finds the same, or what was asked for last and not answered any more.
		p = start(t, binary, file)
		if text, err = os.ReadFile(file); err != nil {
			t.Fatal(err)
		}
		switch {
		case bytes.Equal(text, past[at]):
		case bytes.Equal(text, next[to]):
			at, past = to, next
			ahead++
		default:
			t.Fatalf("opened again, the file is\n%s", text)
		}
		if at > 0 {
			if err := p.ask("POST", "/undo", nil); err != nil {
				t.Fatal(err)
			}
			if text, _ = os.ReadFile(file); !bytes.Equal(text, past[at-1]) {
				t.Fatalf("after taking back, the file is\n%s\nwas\n%s", text, past[at-1])
			}
			if err := p.ask("POST", "/redo", nil); err != nil {
				t.Fatal(err)
			}
		}
		p.end()
	}
	t.Logf("%d changes answered and %d programs ended in %.0f s; %d changes were made and not answered any more", saved, 2**kills, time.Since(from).Seconds(), ahead)
	if saved < *kills {
		t.Errorf("only %d changes were answered", saved)
	}
	p := start(t, binary, file)
	defer p.end()
	for ; at > 0; at-- {
		if err := p.ask("POST", "/undo", nil); err != nil {
			t.Fatal(err)
		}
	}
	if text, _ := os.ReadFile(file); !bytes.Equal(text, first) {
		t.Errorf("with everything taken back, the file is\n%s", text)
	}
}

// change is a step of two operations: a line comes, or goes where there are many, and a note makes every text another one.
func change(r *rand.Rand, text []byte, n int) []json.RawMessage {
	line := fmt.Appendf(nil, `{"do": "draw line", "block": "Block 1", "points": "%d,0 %d,4"}`, 1+r.IntN(3), 1+r.IntN(3))
	if lines := bytes.Count(text, []byte("\n      - ")); lines > 20 {
		line = fmt.Appendf(nil, `{"do": "remove line", "block": "Block 1", "line": %d}`, 1+r.IntN(lines))
	}
	return []json.RawMessage{line, fmt.Appendf(nil, `{"do": "put", "at": ["note"], "value": "change %d.%d"}`, n, r.IntN(1000))}
}

func apply(t *testing.T, text []byte, raw []json.RawMessage) []byte {
	t.Helper()
	ops := make([]edit.Op, len(raw))
	for i := range raw {
		op, err := edit.Decode(raw[i])
		if err != nil {
			t.Fatal(err)
		}
		ops[i] = op
	}
	next, err := edit.Open(text).Apply(ops...)
	if err != nil {
		t.Fatal(err)
	}
	return next.Bytes()
}

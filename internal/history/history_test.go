package history

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"

	_ "quiltwright/internal/seed"
)

func open(t testing.TB, path string) *History {
	t.Helper()
	h, err := Open(path, []byte("quilt: x\n"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { h.Close() })
	return h
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func holds(t testing.TB, h *History, want string) {
	t.Helper()
	file, err := os.ReadFile(h.path)
	if err != nil || string(file) != want || string(h.Text()) != want {
		t.Fatalf("file %q (%v), text %q; want %q", file, err, h.Text(), want)
	}
}

func TestBackAndForth(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lantern-row.yaml")
	h := open(t, path)
	holds(t, h, "quilt: x\n")
	if err := h.Undo(); err == nil {
		t.Error("the first text was taken back")
	}
	must(t, h.Save([]byte("quilt: y\n"), "rename"))
	must(t, h.Save([]byte("quilt: y\nseam: 1\n"), "set the seam"))
	must(t, h.Undo())
	holds(t, h, "quilt: y\n")
	if undo, redo := h.Can(); undo != "rename" || redo != "set the seam" {
		t.Errorf("undo %q, redo %q", undo, redo)
	}
	before := h.Revision()
	h.Close()
	h = open(t, path) // a reload
	if h.Revision() != before {
		t.Errorf("revision %d after a reload, %d before", h.Revision(), before)
	}
	must(t, h.Redo())
	holds(t, h, "quilt: y\nseam: 1\n")
	must(t, h.Undo())
	must(t, h.Undo())
	holds(t, h, "quilt: x\n")
	must(t, h.Save([]byte("quilt: z\n"), "rename"))
	if _, redo := h.Can(); redo != "" || h.Redo() == nil {
		t.Error("what was left can be made again")
	}
	if got := h.Past(1); string(got) != "quilt: x\n" || h.Past(2) != nil {
		t.Errorf("past %q, %q", got, h.Past(2))
	}
	if r := h.Revision(); h.Save([]byte("quilt: z\n"), "nothing") != nil || h.Revision() != r {
		t.Error("saving the same text is a change")
	}
}

func TestOutside(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lantern-row.yaml")
	h := open(t, path)
	must(t, h.Save([]byte("quilt: ours\n"), "rename"))
	must(t, os.WriteFile(path, []byte("quilt: hers\n"), 0o666))
	for name, change := range map[string]func() error{
		"save": func() error { return h.Save([]byte("quilt: more\n"), "rename") }, "undo": func() error { return h.Undo() }, "redo": func() error { h.past.at--; defer func() { h.past.at++ }(); return h.Redo() },
	} {
		if err := change(); !errors.Is(err, ErrConflict) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if changed, err := h.Look(); !changed || err != nil {
		t.Fatal(changed, err)
	}
	if changed, err := h.Look(); changed || err != nil {
		t.Fatal(changed, err)
	}
	holds(t, h, "quilt: hers\n")
	if undo, _ := h.Can(); undo != Outside {
		t.Errorf("undo %q", undo)
	}
	must(t, h.Undo())
	holds(t, h, "quilt: ours\n")
	must(t, h.Redo())
	h.Close()

	must(t, os.WriteFile(path, []byte("quilt: his\n"), 0o666)) // while nobody looks
	h = open(t, path)
	holds(t, h, "quilt: his\n")
	must(t, h.Undo())
	holds(t, h, "quilt: hers\n")

	must(t, os.Remove(path))
	if changed, err := h.Look(); changed || err != nil {
		t.Error(changed, err)
	}
	must(t, h.Save([]byte("quilt: again\n"), "rename"))
	holds(t, h, "quilt: again\n")
	var kept []string
	for _, v := range h.Versions() {
		text, err := h.Version(v.Number)
		must(t, err)
		kept = append(kept, strings.TrimSpace(string(text)))
	}
	if got := strings.Join(kept, ", "); got != "quilt: his, quilt: hers, quilt: ours" {
		t.Errorf("kept: %s", got)
	}
}

// TestTorn cuts the journal off at every byte, as a crash may: what is whole before the cut is there, and the file's own text is never lost.
func TestTorn(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.yaml")
	h := open(t, path)
	texts := []string{"quilt: x\n", "quilt: y\n", "quilt: y\nseam: 1/4\n"}
	for _, s := range texts[1:] {
		must(t, h.Save([]byte(s), "step"))
	}
	h.Close()
	journal, err := os.ReadFile(h.beside(".journal"))
	must(t, err)
	for n := range journal {
		must(t, os.WriteFile(h.beside(".journal"), journal[:n], 0o666))
		must(t, os.WriteFile(path, []byte(texts[2]), 0o666))
		h := open(t, path)
		holds(t, h, texts[2])
		if want := bytes.Count(journal[:n], []byte("\n")); h.records != want+1 {
			t.Fatalf("cut at %d: %d records, want %d and the file", n, h.records, want)
		}
		h.Close()
		if _, err := os.Stat(h.beside(".journal.damaged")); err == nil {
			t.Fatalf("cut at %d: a torn end is taken for damage", n)
		}
	}
}

// TestDamaged changes a byte in the middle of the journal: what comes after is set aside, and the file's text stays.
func TestDamaged(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.yaml")
	h := open(t, path)
	for i := range 5 {
		must(t, h.Save(fmt.Appendf(nil, "quilt: %d\n", i), "step"))
	}
	h.Close()
	journal, err := os.ReadFile(h.beside(".journal"))
	must(t, err)
	damaged := bytes.Clone(journal)
	damaged[len(damaged)/2] ^= 1
	must(t, os.WriteFile(h.beside(".journal"), damaged, 0o666))
	h = open(t, path)
	holds(t, h, "quilt: 4\n")
	if aside, err := os.ReadFile(h.beside(".journal.damaged")); err != nil || !bytes.Equal(aside, damaged) {
		t.Errorf("set aside: %v", err)
	}
	must(t, h.Undo())
}

// TestMeanwhile looks at what there is while one waits for the disk: a program that is ended there has made the change.
func TestMeanwhile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.yaml")
	h := open(t, path)
	var ended *History
	must(t, h.Save([]byte("quilt: y\n"), "step", func() {
		if undo, _ := h.Can(); string(h.Text()) != "quilt: y\n" || undo != "step" || h.Revision() != 2 {
			t.Errorf("meanwhile it is revision %d, %q, and undo takes back %q", h.Revision(), h.Text(), undo)
		}
		journal, err := os.ReadFile(h.beside(".journal"))
		must(t, err)
		other := filepath.Join(t.TempDir(), "a.yaml")
		must(t, os.WriteFile(other, []byte("quilt: x\n"), 0o666))
		must(t, os.Mkdir(filepath.Join(filepath.Dir(other), folder), 0o777))
		must(t, os.WriteFile(filepath.Join(filepath.Dir(other), folder, "a.yaml.journal"), journal, 0o666))
		ended = open(t, other)
	}))
	holds(t, ended, "quilt: y\n")
	must(t, os.WriteFile(path, []byte("quilt: hers\n"), 0o666))
	if err := h.Undo(func() { t.Error("a refused change is shown") }); !errors.Is(err, ErrConflict) {
		t.Error(err)
	}
}

func TestFails(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.yaml")
	h := open(t, path)
	must(t, h.Save([]byte("quilt: y\n"), "step"))
	before, err := os.ReadFile(h.beside(".journal"))
	must(t, err)
	must(t, os.Mkdir(h.beside(".new"), 0o777)) // the new file cannot be written
	must(t, os.WriteFile(filepath.Join(h.beside(".new"), "x"), nil, 0o666))
	for _, change := range []func() error{func() error { return h.Save([]byte("quilt: z\n"), "step") }, func() error { return h.Undo() }} {
		if err := change(); err == nil || !strings.HasPrefix(err.Error(), path) {
			t.Errorf("error %v", err)
		}
		holds(t, h, "quilt: y\n")
	}
	if after, _ := os.ReadFile(h.beside(".journal")); !bytes.Equal(after, before) {
		t.Error("the journal has a change that was not made")
	}
	must(t, os.RemoveAll(h.beside(".new")))
	must(t, h.Undo())
	holds(t, h, "quilt: x\n")

	if _, err := Open(path, nil); err == nil || !strings.Contains(err.Error(), "is open in another window") {
		t.Errorf("opened twice: %v", err)
	}
	if _, err := Open(t.TempDir(), nil); err == nil || !strings.HasSuffix(err.Error(), "is not a file") {
		t.Errorf("a folder: %v", err)
	}
	if _, err := Open(filepath.Join(path, "b.yaml"), nil); err == nil {
		t.Error("a file below a file")
	}
}

// TestLink saves through a link: what it points to changes and the link stays. Permissions stay, too.
func TestLink(t *testing.T) {
	dir := t.TempDir()
	real, link := filepath.Join(dir, "real.yaml"), filepath.Join(t.TempDir(), "link.yaml")
	must(t, os.WriteFile(real, []byte("quilt: x\n"), 0o640))
	if err := os.Symlink(real, link); err != nil {
		t.Log("no links here:", err)
		return
	}
	h := open(t, link)
	must(t, h.Save([]byte("quilt: y\n"), "step"))
	holds(t, h, "quilt: y\n")
	if to, err := os.Readlink(link); err != nil || to != real {
		t.Error(to, err)
	}
	if info, err := os.Stat(real); err != nil || info.Mode().Perm() != 0o640 {
		t.Error(info.Mode(), err)
	}
}

func TestVersions(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.yaml")
	for i := range 2 * versionsKept {
		h := open(t, path)
		must(t, h.Save(fmt.Appendf(nil, "quilt: %d\n", i), "step"))
		h.Close()
	}
	h := open(t, path)
	all := h.Versions()
	if len(all) != versionsKept {
		t.Fatalf("%d versions", len(all))
	}
	for i, v := range all {
		text, err := os.ReadFile(v.Path)
		if want := fmt.Sprintf("quilt: %d\n", 2*versionsKept-1-i); err != nil || string(text) != want {
			t.Errorf("version %d is %q, want %q", v.Number, text, want)
		}
	}
	if _, err := h.Version(1); err == nil {
		t.Error("version 1 is still kept")
	}
}

// TestModel does anything in any order and compares with a list of texts.
func TestModel(t *testing.T) {
	dir := t.TempDir()
	file := 0
	rapid.Check(t, func(r *rapid.T) {
		file++
		path := filepath.Join(dir, fmt.Sprint(file, ".yaml"))
		h, err := Open(path, []byte("quilt: x\n"))
		if err != nil {
			r.Fatal(err)
		}
		defer func() { h.Close() }()
		texts, at := []string{"quilt: x\n"}, 0
		push := func(s string) {
			if s != texts[at] {
				texts = append(texts[:at+1:at+1], s)
				at++
			}
		}
		word := rapid.StringMatching(`[ab\n]{0,6}`)
		for range 8 {
			switch rapid.SampledFrom([]string{"save", "save", "undo", "redo", "reload", "outside", "fail"}).Draw(r, "do") {
			case "save":
				s := word.Draw(r, "text")
				err = h.Save([]byte(s), "step")
				push(s)
			case "undo":
				if at > 0 {
					at--
					err = h.Undo()
				}
			case "redo":
				if at+1 < len(texts) {
					at++
					err = h.Redo()
				}
			case "reload":
				h.Close()
				h, err = Open(path, nil)
			case "outside":
				s := word.Draw(r, "text")
				must(t, os.WriteFile(path, []byte(s), 0o666))
				h.seen = nil // it may be the same size in the same instant
				_, err = h.Look()
				push(s)
			case "fail":
				must(t, os.MkdirAll(filepath.Join(h.beside(".new"), "x"), 0o777))
				if failed := h.Save([]byte(texts[at]+"more"), "step"); failed == nil {
					r.Fatal("saved where nothing can be written")
				}
				must(t, os.RemoveAll(h.beside(".new")))
			}
			if err != nil {
				r.Fatal(err)
			}
			on, _ := os.ReadFile(path)
			if string(h.Text()) != texts[at] || string(on) != texts[at] {
				r.Fatalf("text %q, file %q, want %q", h.Text(), on, texts[at])
			}
			if undo, redo := h.Can(); (undo != "") != (at > 0) || (redo != "") != (at+1 < len(texts)) {
				r.Fatalf("at %d of %d: undo %q, redo %q", at, len(texts), undo, redo)
			}
			for i := 0; i <= at; i++ {
				if got := h.Past(i); string(got) != texts[at-i] {
					r.Fatalf("%d ago: %q, want %q", i, got, texts[at-i])
				}
			}
		}
	})
}

func FuzzReplay(f *testing.F) {
	a := step(nil, []byte("quilt: x\n"), "")
	b := step([]byte("quilt: x\n"), []byte("quilt: y\n"), "rename")
	f.Add(append(a.line(), b.line()...))
	f.Add(append(a.line(), record{Do: doUndo}.line()...))
	f.Add([]byte("00000000 {}\n"))
	f.Fuzz(func(t *testing.T, journal []byte) {
		p, whole := replay(journal)
		again, n := replay(journal[:whole])
		if n != whole || !bytes.Equal(again.text, p.text) || again.at != p.at {
			t.Fatalf("%d bytes are whole, then %d", whole, n)
		}
	})
}

var sink *History

func BenchmarkSave(b *testing.B) {
	path := filepath.Join(b.TempDir(), "a.yaml")
	h := open(b, path)
	text := bytes.Repeat([]byte("  - [Paper Lantern, Ferry Light]\n"), 300)
	i := 0
	for b.Loop() {
		i++
		must(b, h.Save(fmt.Appendf(nil, "quilt: %d\n%s", i, text), "step"))
	}
	sink = h
}

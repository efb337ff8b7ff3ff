package files_test

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quiltwright/internal/files"
)

func ours(name string) bool { return strings.HasSuffix(name, ".pdf") || name == "plan.json" }

// tree lists the files below dir with their contents.
func tree(t *testing.T, dir string) string {
	t.Helper()
	var b strings.Builder
	err := fs.WalkDir(os.DirFS(dir), ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(filepath.Join(dir, path))
		b.WriteString(path + "=" + string(data) + "\n")
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestReplaceMakesTheFolder(t *testing.T) {
	parent := t.TempDir()
	out := filepath.Join(parent, "deep", "out")
	for _, round := range []string{"one", "two"} {
		err := files.Replace(context.Background(), out, []files.File{{"a.pdf", []byte(round)}, {"drawings/b.pdf", nil}}, ours)
		if err != nil {
			t.Fatal(err)
		}
		if got, want := tree(t, parent), "deep/out/a.pdf="+round+"\ndeep/out/drawings/b.pdf=\n"; got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
	if err := files.Replace(context.Background(), out, []files.File{{"plan.json", nil}}, ours); err != nil {
		t.Fatal(err)
	}
	if got := tree(t, parent); got != "deep/out/plan.json=\n" {
		t.Errorf("files of the former run are left: %q", got)
	}
}

func TestReplaceLeavesTheFormerWhole(t *testing.T) {
	stop := errors.New("stopped")
	ended, cancel := context.WithCancelCause(context.Background())
	cancel(stop)
	for name, c := range map[string]struct {
		ctx   context.Context
		files []files.File
		says  string
	}{
		"stopped":             {ended, []files.File{{"a.pdf", []byte("new")}}, "stopped"},
		"leads out":           {context.Background(), []files.File{{"a.pdf", []byte("new")}, {"../b.pdf", nil}}, "leads out"},
		"a file and a folder": {context.Background(), []files.File{{"a.pdf", []byte("new")}, {"a.pdf/b.pdf", nil}}, "a.pdf"},
	} {
		t.Run(name, func(t *testing.T) {
			parent := t.TempDir()
			out := filepath.Join(parent, "out")
			if err := files.Replace(context.Background(), out, []files.File{{"a.pdf", []byte("former")}}, ours); err != nil {
				t.Fatal(err)
			}
			err := files.Replace(c.ctx, out, c.files, ours)
			if err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("error %v, want %s", err, c.says)
			}
			if got := tree(t, parent); got != "out/a.pdf=former\n" {
				t.Errorf("left %q", got)
			}
		})
	}
}

func TestReplaceKeepsForeignFiles(t *testing.T) {
	parent := t.TempDir()
	write := func(name string) {
		path := filepath.Join(parent, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte("mine"), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	write("folder/deep/letters.txt")
	write("file")
	for out, says := range map[string]string{"folder": "deep/letters.txt", "file": "is a file", "file/below": "not a folder"} {
		err := files.Replace(context.Background(), filepath.Join(parent, out), []files.File{{"a.pdf", nil}}, ours)
		if err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: error %v, want %s", out, err, says)
		}
	}
	if err := files.Replace(context.Background(), "/", nil, ours); err == nil {
		t.Error("the root was replaced")
	}
	if got := tree(t, parent); got != "file=mine\nfolder/deep/letters.txt=mine\n" {
		t.Errorf("left %q", got)
	}
}

func TestReplaceBehindALink(t *testing.T) {
	parent := t.TempDir()
	if err := os.Mkdir(filepath.Join(parent, "real"), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("real", filepath.Join(parent, "link")); err != nil {
		t.Fatal(err)
	}
	if err := files.Replace(context.Background(), filepath.Join(parent, "link"), []files.File{{"a.pdf", []byte("x")}}, ours); err != nil {
		t.Fatal(err)
	}
	if target, err := os.Readlink(filepath.Join(parent, "link")); err != nil || target != "real" {
		t.Errorf("the link is %q, %v", target, err)
	}
	if got := tree(t, filepath.Join(parent, "real")); got != "a.pdf=x\n" {
		t.Errorf("real holds %q", got)
	}
}

func TestRead(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "quilt.yaml")
	if err := os.WriteFile(path, []byte("0123456789"), 0o666); err != nil {
		t.Fatal(err)
	}
	in, err := files.Read(path, nil, 4)
	if err != nil || string(in.Bytes) != "01234" || in.Dir != dir {
		t.Errorf("read %q in %s, %v", in.Bytes, in.Dir, err)
	}
	in, err = files.Read("-", strings.NewReader("abc"), 4)
	if err != nil || string(in.Bytes) != "abc" {
		t.Errorf("read %q, %v", in.Bytes, err)
	}
	for p, says := range map[string]string{filepath.Join(dir, "none"): "no such file", dir: "is a folder", filepath.Join(path, "x"): "not a folder"} {
		if _, err := files.Read(p, nil, 4); err == nil || !strings.HasPrefix(err.Error(), p+": ") || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: error %v, want %s", p, err, says)
		}
	}
}

func TestBesideStaysInTheFolder(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "secret.jpg"), []byte("x"), 0o666); err != nil {
		t.Fatal(err)
	}
	below := filepath.Join(dir, "below")
	if err := os.Mkdir(below, 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("../secret.jpg", filepath.Join(below, "link.jpg")); err != nil {
		t.Fatal(err)
	}
	if b, err := files.Beside(dir, "secret.jpg"); err != nil || string(b) != "x" {
		t.Errorf("read %q, %v", b, err)
	}
	for _, name := range []string{"../secret.jpg", "link.jpg", "none.jpg", "."} {
		if _, err := files.Beside(below, name); err == nil {
			t.Errorf("%s was read", name)
		}
	}
}

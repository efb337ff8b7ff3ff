package edit_test

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"quiltwright/internal/edit"
	"quiltwright/internal/quilt"
)

func lantern(t testing.TB) []byte {
	t.Helper()
	b, err := os.ReadFile("../../examples/lantern-row.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// documents are every document of the examples and the block library.
func documents(t testing.TB) map[string][]byte {
	t.Helper()
	out := map[string][]byte{}
	for _, dir := range []string{"../../examples/*.yaml", "../../blocks/*.yaml"} {
		files, err := filepath.Glob(dir)
		if err != nil || len(files) == 0 {
			t.Fatal(dir, err)
		}
		for _, f := range files {
			b, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			out[filepath.Base(f)] = b
		}
	}
	return out
}

func decode(t interface{ Fatalf(string, ...any) }, s string) edit.Op {
	op, err := edit.Decode([]byte(s))
	if err != nil {
		t.Fatalf("%s: %v", s, err)
	}
	return op
}

// changed are the lines that differ, old ones with - and new ones with +, by the longest common run of lines.
func changed(a, b []byte) string {
	x, y := strings.SplitAfter(string(a), "\n"), strings.SplitAfter(string(b), "\n")
	long := make([][]int, len(x)+1)
	for i := range long {
		long[i] = make([]int, len(y)+1)
	}
	for i := len(x) - 1; i >= 0; i-- {
		for j := len(y) - 1; j >= 0; j-- {
			if x[i] == y[j] {
				long[i][j] = long[i+1][j+1] + 1
			} else {
				long[i][j] = max(long[i+1][j], long[i][j+1])
			}
		}
	}
	var out strings.Builder
	i, j := 0, 0
	for i < len(x) || j < len(y) {
		switch {
		case i < len(x) && j < len(y) && x[i] == y[j]:
			i, j = i+1, j+1
		case j == len(y) || i < len(x) && long[i+1][j] >= long[i][j+1]:
			out.WriteString("-" + strings.TrimSuffix(x[i], "\n") + "\n")
			i++
		default:
			out.WriteString("+" + strings.TrimSuffix(y[j], "\n") + "\n")
			j++
		}
	}
	return out.String()
}

// TestNothing applies no operation, and operations that change nothing, to every document: the bytes are the same.
func TestNothing(t *testing.T) {
	for name, src := range documents(t) {
		doc, _ := quilt.Read(name, src)
		first := doc.Blocks[0].Name
		for _, ops := range [][]edit.Op{
			nil,
			{&edit.RenameBlock{Block: first, To: first}},
			{&edit.Put{At: edit.Path{"quilt"}, Value: edit.Word(doc.Title)}},
			{&edit.RenameFabric{Fabric: doc.Fabrics[0].Letter, To: doc.Fabrics[0].Letter}},
			{&edit.RenameBlock{Block: first, To: "Zz Top Zz"}, &edit.RenameBlock{Block: "Zz Top Zz", To: first}},
			{&edit.RenameFabric{Fabric: doc.Fabrics[0].Letter, To: "ZZ"}, &edit.RenameFabric{Fabric: "ZZ", To: doc.Fabrics[0].Letter}},
		} {
			out, err := edit.Apply(src, ops...)
			if err != nil {
				t.Errorf("%s: %v", name, err)
			} else if !bytes.Equal(out, src) {
				t.Errorf("%s: changed\n%s", name, changed(src, out))
			}
		}
	}
}

// TestLanternRow applies every operation to Lantern Row; each changes the lines that are shown and no other.
func TestLanternRow(t *testing.T) {
	src := lantern(t)
	var b strings.Builder
	done := map[string]bool{}
	cases, err := os.ReadFile("testdata/lantern-row.ops")
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range strings.Split(string(cases), "\n") {
		if !strings.HasPrefix(line, "{") {
			continue
		}
		op := decode(t, line)
		done[op.Name()] = true
		b.WriteString(line + "\n")
		out, err := edit.Apply(src, op)
		if err != nil {
			b.WriteString("! " + err.Error() + "\n\n")
			continue
		}
		again := decode(t, string(edit.Encode(op)))
		if o, err := edit.Apply(src, again); err != nil || !bytes.Equal(o, out) {
			t.Errorf("%s: written and read again it does something else (%v)", line, err)
		}
		b.WriteString(changed(src, out) + "\n")
	}
	for _, name := range edit.Names() {
		if !done[name] {
			t.Errorf("“%s” is not tried", name)
		}
	}
	golden(t, "testdata/lantern-row.txt", b.String())
}

// TestDoc holds the list in doc.go to the operations that there are.
func TestDoc(t *testing.T) {
	b, err := os.ReadFile("doc.go")
	if err != nil {
		t.Fatal(err)
	}
	_, list, _ := strings.Cut(string(b), "# Operations")
	var listed []string
	for _, line := range strings.Split(list, "\n") {
		rest, ok := strings.CutPrefix(line, "//\t")
		if !ok || strings.HasPrefix(rest, " ") {
			continue
		}
		names, _, _ := strings.Cut(rest, "  ")
		listed = append(listed, strings.Split(strings.TrimSpace(names), ", ")...)
	}
	slices.Sort(listed)
	if got, want := strings.Join(listed, "\n"), strings.Join(edit.Names(), "\n"); got != want {
		t.Errorf("doc.go lists\n%s\nthere are\n%s", got, want)
	}
}

var sink []byte

func BenchmarkApply(b *testing.B) {
	src := lantern(b)
	for name, op := range map[string]edit.Op{
		"move point":    &edit.MovePoint{Block: "Window", Line: 1, Point: 2, To: "1,3/2"},
		"rename fabric": &edit.RenameFabric{Fabric: "C", To: "R"},
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				out, err := edit.Apply(src, op)
				if err != nil {
					b.Fatal(err)
				}
				sink = out
			}
		})
	}
}

package app

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quiltwright/internal/edit"
)

// TestTurned turns every block of the library and of the examples into the other form and back: the patches stay what they are.
func TestTurned(t *testing.T) {
	var files []string
	for _, pattern := range []string{"../../blocks/*.yaml", "../../examples/*.yaml"} {
		found, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, found...)
	}
	all, there, back := 0, 0, 0
	for _, file := range files {
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		doc, _ := edit.Open(src).Read()
		for _, b := range doc.Blocks {
			all++
			ops, err := turned(src, b.Name)
			if err != nil {
				t.Logf("%s, %s: %v", filepath.Base(file), b.Name, err)
				continue
			}
			there++
			text, err := edit.Open(src).Apply(ops...)
			if err != nil {
				t.Fatalf("%s, %s: %v", file, b.Name, err)
			}
			now, _ := text.Read()
			if now.Named(b.Name).Drawn() == b.Drawn() {
				t.Errorf("%s, %s is as it was:\n%s", file, b.Name, text.Bytes())
			}
			if again, err := turned(text.Bytes(), b.Name); err == nil {
				back++
				if _, err := text.Apply(again...); err != nil {
					t.Errorf("%s, %s: back: %v", file, b.Name, err)
				}
			} else {
				t.Logf("%s, %s: back: %v", filepath.Base(file), b.Name, err)
			}
		}
	}
	t.Logf("%d blocks, %d turned, %d of them back", all, there, back)
	if there < all/2 || back < there/2 {
		t.Errorf("of %d blocks %d could be turned, %d of them back", all, there, back)
	}
}

// TestTurnedStar turns a star of lines into three by three cells, which anyone would write so.
func TestTurnedStar(t *testing.T) {
	star := strings.Replace(blank, "    grid: 4\n    ground: A\n", `    grid: 4
    symmetry: quarter turns
    lines:
      - 1,0 1,4
      - 1,1 2,0 3,1
    fill:
      C: 2,2
      B: 4/3,1/3 8/3,1/3
    ground: A
`, 1)
	ops, err := turned([]byte(star), "Star")
	if err != nil {
		t.Fatal(err)
	}
	text, err := edit.Apply([]byte(star), ops...)
	if err != nil {
		t.Fatal(err)
	}
	want := `  Star:
    size: 8
    columns: [1, 2, 1]
    heights: [1, 2, 1]
    rows:
      - [A, goose A B, A]
      - [goose A B@270, C, goose A B@90]
      - [A, goose A B@180, A]
`
	if !strings.HasSuffix(string(text), want) {
		t.Errorf("the star is\n%s\nwant\n%s", text, want)
	}
}

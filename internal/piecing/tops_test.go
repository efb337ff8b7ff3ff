package piecing

import (
	"os"
	"path/filepath"
	"testing"
)

// Every document of the project comes apart and goes together again.
func TestDocuments(t *testing.T) {
	var files []string
	for _, pattern := range []string{"../../examples/*.yaml", "../../blocks/*.yaml"} {
		found, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, found...)
	}
	if len(files) == 0 {
		t.Fatal("no documents")
	}
	for _, f := range files {
		t.Run(filepath.Base(f), func(t *testing.T) {
			text, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			r := takeText(t, string(text))
			if r.Top < 0 {
				t.Error("the top was not taken apart")
			}
		})
	}
}

// Rows of a repeated setting are found once, also where one is another turned.
func TestEqualRows(t *testing.T) {
	r := takeText(t, `
blocks:
  Chain: {size: 6, rows: [[A, B], [B, A]]}
  Field: {size: 6, rows: [[A, C], [C, A]]}
set: {rows: [[Chain, Field], [Field, Chain]], repeat: 2 x 2}`)
	top := r.Units[r.Top]
	if top.Role != Top || len(top.Parts) != 4 {
		t.Fatalf("%v of %d parts", top.Role, len(top.Parts))
	}
	// Chain Field Chain Field, turned by 180 degrees, is Field Chain Field Chain.
	for _, p := range top.Parts[1:] {
		if p.Unit != top.Parts[0].Unit {
			t.Errorf("rows are units %d and %d", top.Parts[0].Unit, p.Unit)
		}
	}
	if top.Parts[1].Pose.Turn == top.Parts[0].Pose.Turn {
		t.Errorf("rows 1 and 2 both turned by %d", top.Parts[0].Pose.Turn)
	}
}

func TestSettings(t *testing.T) {
	for name, text := range map[string]string{
		"on point": `
blocks:
  Block: {size: 6, rows: [[A, B], [B, A]]}
set: {style: on point, rows: [[Block, Block], [Block], [Block, Block]], triangles: C, borders: [{width: 2, fabric: D, corners: butted}]}`,
		"sashing": `
blocks:
  Block: {size: 6, rows: [[A, B], [B, A]]}
set: {rows: [[Block, Block], [Block, Block]], sashing: {width: 1, fabric: C, posts: D, outside: true}, borders: [{width: 2, fabric: D, corners: {fabric: A}}]}`,
		"plain cells": `
blocks:
  Block: {size: 6, rows: [[A, B], [B, A]]}
set: {rows: [[Block, C], [C, Block@90]]}`,
	} {
		t.Run(name, func(t *testing.T) {
			if r := takeText(t, text); r.Top < 0 || r.Units[r.Top].Role != Top {
				t.Error("no top")
			}
		})
	}
}

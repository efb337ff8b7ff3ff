package quilt_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/txtar"

	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
)

const head = "quilt: Lantern Row\nfabrics:\n  A: {name: Fog}\n  B: {name: Slate}\n"

// hatch is a document of so many slanted lines, of which most cross.
func hatch(n int) string {
	var b strings.Builder
	b.WriteString(head + "blocks:\n  Steps:\n    size: 400\n    grid: 400\n    ground: A\n    lines:\n")
	for i := range n {
		fmt.Fprintf(&b, "      - 0,%d/1000 400,%d/1000\n", i*7919%400_000, i*104_729%400_000)
	}
	return b.String()
}

// TestHostile reads files that are made to cost time, memory or a panic. Each must be answered by an error, soon.
func TestHostile(t *testing.T) {
	keys := func(n int) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, "k%d: 1\n", i)
		}
		return b.String()
	}
	for name, c := range map[string]struct{ src, says string }{
		"two megabytes":       {strings.Repeat("# x\n", 500_000), "larger than 1 MB"},
		"brackets":            {strings.Repeat("[", 1<<19), "nested more than 32"},
		"braces":              {strings.Repeat("{a: ", 1<<18), "nested more than 32"},
		"dashes":              {strings.Repeat("- ", 1<<19), "nested more than 32"},
		"question marks":      {strings.Repeat("? ", 1<<19), "nested more than 32"},
		"keys":                {keys(80_000), "more than 1000 keys"},
		"keys in a bracket":   {"a: {" + strings.ReplaceAll(keys(50_000), "\n", ", ") + "}", "no key"},
		"not UTF-8":           {"quilt: \xff\xfe", "1:8: byte 0xff is not UTF-8"},
		"UTF-16":              {"\xff\xfeq\x00u\x00", "1:1: byte 0xff"},
		"NUL":                 {"quilt: a\nfabrics:\x00", "2:9: control character U+0000"},
		"old line ends":       {"quilt: a\rfabrics: b\r", "control character U+000D"},
		"nothing":             {"", "the document is empty"},
		"one space":           {" ", "the document is empty"},
		"a mark of order":     {"\ufeff", "the document is empty"},
		"one megabyte of A":   {head + "blocks: " + strings.Repeat("A", 1<<20-100), "blocks is a mapping"},
		"cells":               {head + "blocks:\n  Steps:\n    size: 1\n    rows:\n      - [" + strings.Repeat("A,", 100_001) + "A]\n", "more than 100000 cells"},
		"digits":              {head + "blocks:\n  Steps: {size: " + strings.Repeat("9", 100_000) + ", grid: 1, ground: A}\n", "size"},
		"a long denominator":  {head + "blocks:\n  Steps: {size: 1, grid: 1, ground: A, first: \"0,0 1,1/" + strings.Repeat("9", 100_000) + "\"}\n", "too many digits"},
		"lines":               {head + "blocks:\n  Steps: {size: 1, grid: 6, ground: A, first: \"" + strings.Repeat("0,0 1,1 ", 5_002) + "\"}\n", "more than 10000 lines"},
		"a hatch":             {hatch(300), "cross more than 10000 times"},
		"a wide hatch":        {hatch(9_000), "cross more than 10000 times"},
		"lines and symmetry":  {strings.Replace(hatch(2_000), "grid:", "symmetry: [quarter turns, left-right]\n    grid:", 1), "its symmetry included"},
		"the letter of color": {head + "  C: {color: \"#+12345\"}\n  D: {color: \"#ééé\"}\n", "not a colour"},
		"a negative repeat":   {head + "blocks:\n  Steps: {size: 1, grid: 1, ground: A}\nset:\n  rows: [[Steps]]\n  repeat: -1 x 5\n", "must be from 1"},
		"a flood of errors":   {head + "blocks:\n  Steps:\n    rows:\n" + strings.Repeat("      - [Q, R]\n", 40_000), "no fabric"},
	} {
		t.Run(name, func(t *testing.T) {
			start := time.Now()
			doc, found := quilt.Read("quilt.yaml", []byte(c.src))
			var says bytes.Buffer
			found.Print(&says, "quilt.yaml", []byte(c.src), false)
			if d := time.Since(start); d > slower*10*time.Second {
				t.Errorf("took %v", d)
			}
			if doc == nil {
				t.Fatal("no document")
			}
			if !found.HasErrors() || !strings.Contains(says.String(), c.says) {
				t.Errorf("says %.400s\nwant %s", says.String(), c.says)
			}
			if says.Len() > 20_000 {
				t.Errorf("%d bytes of messages", says.Len())
			}
		})
	}
}

// TestLargeAndGood reads the largest documents that a quilter could mean.
func TestLargeAndGood(t *testing.T) {
	var grid strings.Builder
	grid.WriteString(head + "blocks:\n  Steps:\n    size: 316\n    grid: 316\n    ground: A\n    lines:\n")
	for i := 1; i < 316; i++ {
		fmt.Fprintf(&grid, "      - 0,%d 316,%d\n      - %d,0 %d,316\n", i, i, i, i)
	}
	row := "        - [" + strings.Repeat("goose A B@90, ", 99) + "A]\n"
	cells := head + "blocks:\n  Steps:\n    size: 400\n    rows:\n" + strings.Repeat(row, 100)
	for name, src := range map[string]string{"a grid of 316": grid.String(), "10,000 cells": cells} {
		t.Run(name, func(t *testing.T) {
			start := time.Now()
			doc, found := quilt.Read("quilt.yaml", []byte(src))
			if len(found) > 0 {
				t.Fatalf("findings:\n%v", found)
			}
			if d := time.Since(start); d > slower*5*time.Second {
				t.Errorf("took %v", d)
			}
			if b := doc.Blocks[0]; len(b.Lines) != 630 && len(b.Cells) != 100 {
				t.Errorf("%d lines, %d rows", len(b.Lines), len(b.Cells))
			}
		})
	}
}

// TestLineEnds reads the same from a file with a byte order mark, the line ends of Windows, or no line end at the end.
func TestLineEnds(t *testing.T) {
	src, err := os.ReadFile("testdata/good/lantern-row.yaml")
	if err != nil {
		t.Fatal(err)
	}
	plain, _ := quilt.Read("", src)
	for name, s := range map[string]string{
		"windows":      strings.ReplaceAll(string(src), "\n", "\r\n"),
		"mark":         "\ufeff" + string(src),
		"no final one": strings.TrimRight(string(src), "\n"),
	} {
		doc, found := quilt.Read("", []byte(s))
		if len(found) > 0 {
			t.Errorf("%s: %v", name, found)
		}
		if dump(doc) != dump(plain) {
			t.Errorf("%s reads otherwise", name)
		}
	}
}

func TestCentimetres(t *testing.T) {
	doc, found := quilt.Read("", []byte("measure: cm\n"+head+"blocks: {Steps: {size: 30, grid: 1, ground: A}}\nfinish: {binding: {fabric: A}}\n"))
	if len(found) > 0 {
		t.Fatalf("findings:\n%v", found)
	}
	// The defaults that format.md states for a document in centimetres.
	for name, c := range map[string][2]exact.Num{
		"seam": {doc.Seam, exact.Frac(3, 4)}, "ruler": {doc.Ruler, exact.Frac(1, 10)}, "width": {doc.Width, exact.Int(100)},
		"squaring": {doc.Make.Squaring, exact.Frac(5, 2)}, "binding": {doc.Finish.Binding.Strip, exact.Frac(13, 2)},
	} {
		if !c[0].Equal(c[1]) {
			t.Errorf("%s is %v, want %v", name, c[0], c[1])
		}
	}
}

// TestUnitsLong deals two fabrics out as the page on the format says.
func TestUnitsLong(t *testing.T) {
	for unit, want := range map[string]string{
		"half square": "A B", "half rectangle": "A B", "goose": "A B B", "hourglass": "A B A B", "square in square": "A B B B B",
		"snowball": "A B B B B", "four-patch": "A B B A", "nine-patch": "A B A B A B A B A", "rail": "A B", "three triangles": "", "log cabin": "",
	} {
		u, ok := quilt.UnitNamed(unit)
		if got := strings.Join(u.Long([]string{"A", "B"}), " "); !ok || got != want {
			t.Errorf("%s A B is %q, want %q", unit, got, want)
		}
	}
	if len(quilt.Units()) != 11 {
		t.Errorf("%d units; add the new one above", len(quilt.Units()))
	}
	if _, ok := quilt.UnitNamed("zigzag"); ok {
		t.Error("zigzag is a unit")
	}
}

// sound reports what a document from Read must never have, even with errors: names that nothing has, blocks that contain
// themselves, numbers out of range.
func sound(doc *quilt.Document) error {
	fabrics := map[string]bool{}
	for _, f := range doc.Fabrics {
		fabrics[f.Letter] = true
		if len(f.Color) != 7 || f.Value == "" || f.Assorted < 1 || f.Width.Sign() <= 0 {
			return fmt.Errorf("fabric %+v", f)
		}
	}
	depth := map[string]int{}
	var of func(name string, level int) error
	cell := func(c quilt.Cell, level int) error {
		for _, l := range append([]string{c.Fabric}, c.Fabrics...) {
			if l != "" && !fabrics[l] {
				return fmt.Errorf("fabric %q in a cell", l)
			}
		}
		if c.Turn%90 != 0 || c.Turn < 0 || c.Turn > 270 {
			return fmt.Errorf("turn %d", c.Turn)
		}
		if u, ok := quilt.UnitNamed(c.Unit); c.Unit != "" && (!ok || u.Long(c.Fabrics) == nil) {
			return fmt.Errorf("unit %q", c.Unit)
		}
		if c.Block != "" {
			return of(c.Block, level+1)
		}
		return nil
	}
	of = func(name string, level int) error {
		b := doc.Named(name)
		if b == nil || level > len(doc.Blocks) {
			return fmt.Errorf("block %q at level %d", name, level)
		}
		if depth[name] > level {
			return nil
		}
		depth[name] = level + 1
		for _, row := range b.Cells {
			for _, c := range row {
				if err := cell(c, level); err != nil {
					return err
				}
			}
		}
		return nil
	}
	for _, b := range doc.Blocks {
		if err := of(b.Name, 0); err != nil {
			return err
		}
		if !b.Broken && (b.Width.Sign() <= 0 || b.Height.Sign() <= 0) {
			return fmt.Errorf("block %s is %v x %v", b.Name, b.Width, b.Height)
		}
		if !b.Broken && !b.Drawn() && len(b.Cells) == 0 {
			return fmt.Errorf("block %s is empty", b.Name)
		}
		inside := func(p plane.Point) bool {
			w, h := exact.Int(int64(b.Columns)), exact.Int(int64(b.Rows))
			return p.X.Sign() >= 0 && p.Y.Sign() >= 0 && !w.Less(p.X) && !h.Less(p.Y)
		}
		for _, run := range append(b.Lines, b.First...) {
			for _, p := range run.Points {
				if len(run.Points) < 2 || len(run.Places) != len(run.Points) || !b.Broken && !inside(p) {
					return fmt.Errorf("line %v", run)
				}
			}
		}
		for _, f := range b.Fill {
			if !fabrics[f.Fabric] || len(f.Places) != len(f.Points) {
				return fmt.Errorf("fill %v", f)
			}
		}
	}
	if doc.Set != nil {
		for _, row := range doc.Set.Rows {
			for _, c := range row {
				if err := cell(c, 0); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// FuzzRead reads anything without a panic; what comes out is sound, and its places lie in the file.
func FuzzRead(f *testing.F) {
	good, _ := filepath.Glob("testdata/good/*.yaml")
	for _, file := range good {
		src, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(src)
	}
	bad, _ := filepath.Glob("testdata/bad/*.txtar")
	for _, file := range bad {
		src, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(txtar.Parse(src).Files[0].Data)
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		doc, found := quilt.Read("quilt.yaml", src)
		if doc == nil {
			t.Fatal("no document")
		}
		if err := sound(doc); err != nil {
			t.Errorf("not sound: %v", err)
		}
		lines := bytes.Count(src, []byte("\n")) + 1
		for _, d := range found {
			if d.Says == "" || d.At.Line > lines+1 || d.At.Line < 0 || d.At.Line > 0 && d.At.Column < 1 {
				t.Errorf("finding %+v in %d lines", d, lines)
			}
		}
		if !found.HasErrors() {
			for _, b := range doc.Blocks {
				if b.Broken {
					t.Errorf("block %s is broken and there is no error", b.Name)
				}
			}
		}
		found.Print(new(bytes.Buffer), "quilt.yaml", src, true)
	})
}

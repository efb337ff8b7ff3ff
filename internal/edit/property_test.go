package edit_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"pgregory.net/rapid"

	"quiltwright/internal/diag"
	"quiltwright/internal/edit"
	"quiltwright/internal/quilt"
	_ "quiltwright/internal/seed"
)

// corpus are the documents that operations are tried on: the examples and those written in awkward ways.
func corpus(t testing.TB) [][]byte {
	t.Helper()
	docs := documents(t)
	var out [][]byte
	for _, name := range slices.Sorted(maps.Keys(docs)) {
		out = append(out, docs[name])
	}
	files, err := filepath.Glob("testdata/awkward/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatal("no awkward documents", err)
	}
	for _, f := range files {
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		// Given more often than the tame ones.
		for range 4 {
			out = append(out, txtar.Parse(b).Files[0].Data)
		}
	}
	return out
}

// drawer draws operations that fit a document, more or less.
type drawer struct {
	t   *rapid.T
	doc *quilt.Document
}

func (d drawer) of(label string, words ...string) string {
	return rapid.SampledFrom(words).Draw(d.t, label)
}

func (d drawer) number(label string, most int) int { return rapid.IntRange(0, most).Draw(d.t, label) }

func (d drawer) block() string {
	var names []string
	for _, b := range d.doc.Blocks {
		names = append(names, b.Name)
	}
	return d.of("block", append(names, "Nowhere")...)
}

func (d drawer) fabric() string {
	var names []string
	for _, f := range d.doc.Fabrics {
		names = append(names, f.Letter)
	}
	return d.of("fabric", append(names, "Q")...)
}

func (d drawer) point() string {
	return fmt.Sprintf("%s,%s", d.of("x", "0", "1", "2", "3/2", "1/2", "2.5", "3"), d.of("y", "0", "1", "2", "3/2", "1/2", "3"))
}

func (d drawer) points() edit.Words {
	var out edit.Words
	for range 1 + d.number("points", 3) {
		out = append(out, d.point())
	}
	return out
}

func (d drawer) title() string {
	return d.of("title", "Night", "Pane, small", "It's: late", "# 1", "“Harbour”", "a\nb\n\n- c", " spaced ", "12", "null", "[x]", "key: value", "tab\there", "-", "goose", "AB", "end #x", `back\slash "quoted"`)
}

func (d drawer) cell() edit.Value {
	switch d.number("cell", 4) {
	case 0:
		return edit.Word(d.fabric())
	case 1:
		return edit.Word(d.block() + d.of("turn", "", "@90", "@m", "@270m"))
	case 2:
		return edit.Word(d.of("unit", "goose ", "rail ", "half square ") + d.fabric() + " " + d.fabric())
	case 3:
		return edit.JSON(fmt.Sprintf(`{"block": %q, "turn": 90, "recolor": {%q: %q}}`, d.block(), d.fabric(), d.fabric()))
	default:
		return edit.JSON(fmt.Sprintf(`{"goose": "%s %s"}`, d.fabric(), d.fabric()))
	}
}

// where is the name of a block, or "" for the set.
func (d drawer) where() string {
	if rapid.Bool().Draw(d.t, "set") {
		return ""
	}
	return d.block()
}

func (d drawer) op() edit.Op {
	row, column, before := d.number("row", 4), d.number("column", 4), d.number("before", 3)
	month := func() int { return d.number("month", len(d.doc.Months)+1) }
	switch d.of("op", edit.Names()...) {
	case "put":
		at := d.of("at", `["quilt"]`, `["note"]`, `["contact"]`, `["make","press"]`, `["make","fit","geese"]`, `["set","sashing","posts"]`,
			`["set","sashing"]`, `["set","borders",1,"width"]`, `["set","triangles","float"]`, `["months",1,"title"]`, `["months",1,"note"]`, `["width"]`,
			`["finish","batting","overhang"]`, "block", "fabric", "palette", "block note", "block make")
		value := d.of("value", `"x"`, `2`, `"1 1/2"`, `"open"`, `"trim"`, `{"width": 2, "fabric": "B"}`, `["1","2"]`, "text")
		if value == "text" {
			b, _ := json.Marshal(d.title())
			value = string(b)
		}
		switch at {
		case "block":
			at = fmt.Sprintf(`["blocks", %q, %q]`, d.block(), d.of("key", "size", "ground", "columns", "symmetry"))
		case "palette":
			return &edit.Put{At: edit.Path{"palettes", "Night", d.fabric(), "name"}, Value: edit.Word(d.title())}
		case "fabric":
			at = fmt.Sprintf(`["fabrics", %q, %q]`, d.fabric(), d.of("key", "name", "width", "have", "color"))
		case "block note":
			at = fmt.Sprintf(`["blocks", %q, "note"]`, d.block())
		case "block make":
			at = fmt.Sprintf(`["blocks", %q, "make", "fit"]`, d.block())
		}
		return decode(d.t, fmt.Sprintf(`{"do": "put", "at": %s, "value": %s}`, at, value))
	case "drop":
		at := d.of("at", `["note"]`, `["set","sashing","posts"]`, `["set","borders",1]`, `["set","sashing"]`, `["months"]`, `["months",1,"note"]`, `["finish","batting"]`, "note", "fill", "make")
		if !strings.HasPrefix(at, "[") {
			at = fmt.Sprintf(`["blocks", %q, %q]`, d.block(), at)
		}
		return decode(d.t, fmt.Sprintf(`{"do": "drop", "at": %s}`, at))
	case "add block":
		return &edit.AddBlock{Block: d.title(), Size: edit.Words{"12"}, Columns: d.number("columns", 4), Rows: 3, Cells: column > 1}
	case "copy block":
		return &edit.CopyBlock{Block: d.block(), To: d.title()}
	case "rename block":
		return &edit.RenameBlock{Block: d.block(), To: d.title()}
	case "remove block":
		return &edit.RemoveBlock{Block: d.block(), Instead: d.of("instead", "", "A", "rail A B", d.block())}
	case "move block":
		return &edit.MoveBlock{Block: d.block(), Before: d.of("before", "", d.block())}
	case "set grid":
		return &edit.SetGrid{Block: d.block(), Columns: 1 + column, Rows: 1 + row, Scale: before > 1}
	case "set size":
		return &edit.SetSize{Block: d.block(), Size: edit.Words{"9", "12"}[:1+row%2]}
	case "set symmetry":
		return &edit.SetSymmetry{Block: d.block(), Symmetry: edit.Words{"half turn", "left-right"}[:row%3]}
	case "draw line":
		return &edit.DrawLine{Block: d.block(), Points: d.points()}
	case "reshape line":
		return &edit.ReshapeLine{Block: d.block(), Line: row, Points: d.points()}
	case "move point":
		return &edit.MovePoint{Block: d.block(), Line: row, Point: column, To: d.point()}
	case "remove line":
		return &edit.RemoveLine{Block: d.block(), Line: row}
	case "fill":
		return &edit.Fill{Block: d.block(), Fabric: d.fabric(), Points: d.points(), Clear: d.points()}
	case "unfill":
		return &edit.Unfill{Block: d.block(), Points: d.points()[:1]}
	case "take apart first":
		return &edit.TakeFirst{Block: d.block(), Points: d.points()}
	case "take apart as computed":
		return &edit.LeaveFirst{Block: d.block(), Line: row}
	case "press seam":
		how := d.number("how", 2)
		return &edit.PressSeam{Block: d.where(), Points: d.points(), Open: how == 1, Spun: how == 2, Arrow: row / 2}
	case "press as computed":
		return &edit.PressComputed{Block: d.where(), Arrow: row}
	case "put cell":
		return &edit.PutCell{Block: d.where(), Row: row, Column: column, Cell: d.cell()}
	case "turn cell":
		return &edit.TurnCell{Block: d.where(), Row: row, Column: column, By: 90 * before}
	case "mirror cell":
		return &edit.MirrorCell{Block: d.where(), Row: row, Column: column, Upside: before > 1}
	case "recolor cell":
		recolor := map[string]string{}
		for range before {
			recolor[d.fabric()] = d.fabric()
		}
		return &edit.RecolorCell{Block: d.where(), Row: row, Column: column, Recolor: recolor}
	case "exchange cells":
		return &edit.ExchangeCells{Block: d.where(), Row: row, Column: column, WithRow: 1 + before, WithColumn: 1}
	case "exchange block":
		return &edit.ExchangeBlock{Block: d.where(), From: d.block(), To: d.block()}
	case "add row":
		return &edit.AddRow{Block: d.where(), Before: before}
	case "add column":
		return &edit.AddColumn{Block: d.where(), Before: before}
	case "remove row":
		return &edit.RemoveRow{Block: d.where(), Row: row}
	case "remove column":
		return &edit.RemoveColumn{Block: d.where(), Column: column}
	case "lay rows":
		return &edit.LayRows{Rows: row, Columns: column, Cell: d.cell()}
	case "lay on point":
		return &edit.LayOnPoint{Triangles: d.fabric()}
	case "lay straight":
		return &edit.LayStraight{}
	case "add border":
		return &edit.AddBorder{Before: before, Is: edit.JSON(fmt.Sprintf(`{"width": 2, "fabric": %q}`, d.fabric()))}
	case "remove border":
		return &edit.RemoveBorder{Border: row}
	case "move border":
		return &edit.MoveBorder{Border: row, Before: before}
	case "add fabric":
		b, _ := json.Marshal(d.title())
		return &edit.AddFabric{Fabric: d.of("letters", "Q", "QQ", "q", "A"), Is: edit.JSON(fmt.Sprintf(`{"name": %s}`, b))}
	case "rename fabric":
		return &edit.RenameFabric{Fabric: d.fabric(), To: d.of("letters", "Q", "QQ", "q", "A")}
	case "remove fabric":
		return &edit.RemoveFabric{Fabric: d.fabric(), Instead: d.of("instead", "", d.fabric())}
	case "move fabric":
		return &edit.MoveFabric{Fabric: d.fabric(), Before: d.of("before", "", d.fabric())}
	case "adopt palette":
		return &edit.AdoptPalette{Palette: d.of("palette", "Night", "Day"), Keep: d.of("keep", "", "Night", "Noon")}
	case "add month":
		return &edit.AddMonth{Title: d.title(), Before: month()}
	case "remove month":
		return &edit.RemoveMonth{Month: month()}
	case "move month":
		return &edit.MoveMonth{Month: month(), Before: month()}
	case "move to month":
		return &edit.MoveToMonth{Block: d.block(), Mirror: before > 2, From: month(), To: month(), Count: d.number("count", 2)}
	default:
		d.t.Fatal("the test does not know an operation")
		return nil
	}
}

// errorsOf are the codes of the errors of a text, but for those that a text may have while it is worked on.
func errorsOf(found diag.List) map[string]int {
	out := map[string]int{}
	for _, f := range found {
		if f.Severity == diag.Error && f.Code != "missing" && f.Code != "programme" {
			out[f.Code]++
		}
	}
	return out
}

var comment = regexp.MustCompile(`(?m)(^|\s)#[^"\n]*?$`)

// TestRandom applies random operations one after the other. After each, the text still reads; no comment is lost unless something is
// taken out; and what comes out does not depend on how lines end, on a last line end, or on what stands above the document.
func TestRandom(t *testing.T) {
	docs := corpus(t)
	rapid.Check(t, func(t *rapid.T) {
		src := rapid.SampledFrom(docs).Draw(t, "document")
		for range 4 {
			doc, found := quilt.Read("", src)
			before := errorsOf(found)
			op := drawer{t, doc}.op()
			out, err := edit.Apply(src, op)
			if err != nil {
				if e := (*edit.Error)(nil); !errors.As(err, &e) || e.Op != op.Name() || e.Says == "" {
					t.Fatalf("%s: %v", edit.Encode(op), err)
				}
				if strings.Contains(err.Error(), "changed in place") || strings.Contains(err.Error(), "meet in one place") {
					t.Fatalf("%s: %v\n%s", edit.Encode(op), err, src)
				}
				continue
			}
			_, found = quilt.Read("", out)
			for code, n := range errorsOf(found) {
				if n > before[code] {
					t.Fatalf("%s: %d more of %s\n%s\n%v", edit.Encode(op), n-before[code], code, changed(src, out), found)
				}
			}
			takes := strings.HasPrefix(op.Name(), "remove") || op.Name() == "drop" || op.Name() == "put" || strings.HasPrefix(op.Name(), "lay") || op.Name() == "unfill" ||
				op.Name() == "fill" || op.Name() == "take apart as computed" || op.Name() == "press as computed" || op.Name() == "move to month"
			if adopts, is := op.(*edit.AdoptPalette); is { // without a name to keep what was, the palette goes
				takes = adopts.Keep == ""
			}
			if !takes {
				has := map[string]int{}
				for _, c := range comment.FindAll(out, -1) {
					has[string(bytes.TrimSpace(c))]++
				}
				for _, c := range comment.FindAll(src, -1) {
					if has[string(bytes.TrimSpace(c))]--; has[string(bytes.TrimSpace(c))] < 0 {
						t.Fatalf("%s loses the comment %q\n%s", edit.Encode(op), c, changed(src, out))
					}
				}
			}
			for name, as := range map[string]func([]byte) []byte{
				"with CRLF":                 crlf,
				"without a last line end":   func(b []byte) []byte { return bytes.TrimRight(b, "\n") },
				"under a comment":           func(b []byte) []byte { return append([]byte("# mine\n\n"), b...) },
				"after a mark of the order": func(b []byte) []byte { return append([]byte("\ufeff"), b...) },
			} {
				if bytes.HasPrefix(src, []byte("\ufeff")) || bytes.Contains(src, []byte("\r\n")) {
					break
				}
				got, err := edit.Apply(as(src), op)
				if err != nil {
					t.Fatalf("%s %s: %v", edit.Encode(op), name, err)
				}
				if want := as(out); !bytes.Equal(bytes.TrimRight(got, "\r\n"), bytes.TrimRight(want, "\r\n")) {
					t.Fatalf("%s %s differs:\n%s", edit.Encode(op), name, changed(want, got))
				}
			}
			src = out
		}
	})
}

func crlf(b []byte) []byte { return bytes.ReplaceAll(b, []byte("\n"), []byte("\r\n")) }

package diag_test

import (
	"encoding/json"
	"strings"
	"testing"

	"quiltwright/internal/diag"
)

const source = "quilt: Lantern Row\n\tfabrics: é x\r\n\n" + "long: "

func print(l diag.List, src string, color bool) string {
	var b strings.Builder
	l.Print(&b, "lantern.yaml", []byte(src), color)
	return b.String()
}

func TestPrintShowsPlaceExcerptNotesRemedy(t *testing.T) {
	var l diag.List
	f := l.Errorf(diag.Pos{Line: 2, Column: 13}, "x", "no “%s” here", "x")
	f.Remedy = "did you mean “y”?"
	f.Notes = []diag.Note{{At: diag.Pos{Line: 1, Column: 1}, Says: "the first is here"}}
	l.Warnf(diag.Pos{}, "w", "dull")
	want := "lantern.yaml:2:13: no “x” here\n" +
		"    2 |  fabrics: é x\n" +
		"      |             ^\n" +
		"  1:1: the first is here\n" +
		"  did you mean “y”?\n" +
		"lantern.yaml: warning: dull\n"
	if got := print(l, source, false); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

func TestPrintClipsLongLinesAroundTheCaret(t *testing.T) {
	var l diag.List
	l.Errorf(diag.Pos{Line: 1, Column: 5001}, "x", "here")
	src := strings.Repeat("a", 5000) + "Z" + strings.Repeat("b", 5000)
	lines := strings.Split(print(l, src, false), "\n")
	text, caret := []rune(lines[1]), []rune(lines[2])
	if len(text) > 120 {
		t.Fatalf("excerpt of %d characters", len(text))
	}
	if at := len(caret) - 1; text[at] != 'Z' {
		t.Errorf("caret under %q, want Z", text[at])
	}
}

func TestPrintStopsAtTwentyErrors(t *testing.T) {
	var l diag.List
	for i := range 27 {
		l.Errorf(diag.Pos{Line: i + 1, Column: 1}, "x", "wrong")
	}
	got := print(l, "", false)
	if n := strings.Count(got, "wrong"); n != 20 {
		t.Errorf("%d errors printed, want 20", n)
	}
	if !strings.HasSuffix(got, "and 7 more\n") {
		t.Errorf("ends %q", got[len(got)-20:])
	}
}

func TestPrintNeverLetsTheDocumentSteerTheTerminal(t *testing.T) {
	var l diag.List
	l.Errorf(diag.Pos{Line: 1, Column: 1}, "x", "unknown key “%s”", "\x1b[2J\u202e")
	got := print(l, "\x1b]0;title\x07: 1", false)
	if strings.ContainsAny(got, "\x1b\x07\u202e") {
		t.Errorf("control characters in %q", got)
	}
	if colored := print(l, "", true); !strings.Contains(colored, "\x1b[1m") {
		t.Errorf("no colour in %q", colored)
	}
}

func TestPrintOutsideTheSource(t *testing.T) {
	for _, at := range []diag.Pos{{}, {Line: 99, Column: 1}, {Line: 3, Column: 1}, {Line: 1, Column: 999}, {Line: -1, Column: -1}} {
		l := diag.List{{At: at, Says: "x"}}
		print(l, source, false) // must not panic
	}
}

func TestSortByPlaceAndDropTwins(t *testing.T) {
	l := diag.List{
		{At: diag.Pos{Line: 2, Column: 1}, Says: "c"},
		{At: diag.Pos{Line: 1, Column: 9}, Says: "b"},
		{At: diag.Pos{Line: 2, Column: 1}, Says: "c"},
		{At: diag.Pos{}, Says: "a"},
	}
	l.Sort()
	got := ""
	for _, f := range l {
		got += f.Says
	}
	if got != "abc" {
		t.Errorf("order %q, want abc", got)
	}
}

func TestJSONRoundTrip(t *testing.T) {
	empty, err := json.Marshal(diag.List(nil))
	if err != nil || string(empty) != "[]" {
		t.Errorf("empty list is %s, %v", empty, err)
	}
	l := diag.List{{Severity: diag.Hint, Code: "c", At: diag.Pos{Line: 1, Column: 2}, Says: "s", Point: &[2]float64{1, 2}}}
	text, err := json.Marshal(l)
	if err != nil {
		t.Fatal(err)
	}
	want := `[{"severity":"hint","code":"c","at":{"line":1,"column":2},"says":"s","point":[1,2]}]`
	if string(text) != want {
		t.Errorf("got %s, want %s", text, want)
	}
	var back diag.List
	if err := json.Unmarshal(text, &back); err != nil || back[0].Severity != diag.Hint {
		t.Errorf("back: %v, %v", back, err)
	}
	if err := json.Unmarshal([]byte(`[{"severity":"dire"}]`), &back); err == nil {
		t.Error("an unknown severity was read")
	}
}

func TestSuggest(t *testing.T) {
	keys := []string{"fabrics", "finish", "format", "color", "half square", "flying geese", "A", "B"}
	for word, want := range map[string]string{
		"fabric": "fabrics", "flyi": "flying geese", "fnish": "finish", "colour": "color", "half sqaure": "half square", "Color": "color",
		"C": "", "zebra": "", "": "", "a": "A", strings.Repeat("x", 9999): "", "color": "",
	} {
		if got := diag.Suggest(word, keys); got != want {
			t.Errorf("Suggest(%.20q) = %q, want %q", word, got, want)
		}
	}
}

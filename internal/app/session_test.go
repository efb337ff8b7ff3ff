package app

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"quiltwright/internal/compile"
	"quiltwright/internal/edit"
	"quiltwright/internal/plan"
)

// hung is how long a test waits for what must come, before it takes it for hung. The race detector makes a full plan and a forecast take
// many times as long.
const hung = time.Minute

// read decodes an answer.
func read(t *testing.T, r *http.Response) answer {
	t.Helper()
	var a answer
	if err := json.Unmarshal([]byte(bodyOf(r)), &a); err != nil {
		t.Fatal(err)
	}
	return a
}

// TestConflict lets two windows change the same revision: the second is told, and nothing of either is lost.
func TestConflict(t *testing.T) {
	s := serve(t, blank)
	both := s.do(drawn)
	other := strings.Replace(both, drawn, `{"do": "draw line", "block": "Star", "points": "2,0 2,4"}`, 1)
	if r := s.send("POST", "/do", both, nil); r.StatusCode != http.StatusOK {
		t.Fatalf("%d %s", r.StatusCode, bodyOf(r))
	}
	r := s.send("POST", "/do", other, nil)
	a := read(t, r)
	if r.StatusCode != http.StatusConflict || !a.Conflict || !strings.Contains(a.Problem, "another window") {
		t.Errorf("%d %+v", r.StatusCode, a)
	}
	again := s.do(`{"do": "draw line", "block": "Star", "points": "2,0 2,4"}`)
	if r := s.send("POST", "/do", again, nil); r.StatusCode != http.StatusOK {
		t.Fatalf("%d %s", r.StatusCode, bodyOf(r))
	}
	if b, _ := os.ReadFile(s.file); !strings.Contains(string(b), "- 0,2 4,2") || !strings.Contains(string(b), "- 2,0 2,4") {
		t.Errorf("a line is lost:\n%s", b)
	}
}

// TestOutside changes the file as another program does, while the board is open.
func TestOutside(t *testing.T) {
	s := serve(t, blank)
	outside := strings.Replace(blank, "quilt: Try", "quilt: Tried", 1) + "# a note\n"
	asked := s.do(drawn)
	if err := os.WriteFile(s.file, []byte(outside), 0o644); err != nil {
		t.Fatal(err)
	}
	r := s.send("POST", "/do", asked, nil)
	a := read(t, r)
	if r.StatusCode != http.StatusConflict || a.Title != "Tried" {
		t.Errorf("%d %+v", r.StatusCode, a)
	}
	if r := s.send("POST", "/do", s.do(drawn), nil); r.StatusCode != http.StatusOK {
		t.Fatalf("%d %s", r.StatusCode, bodyOf(r))
	}
	for range 2 { // the line, and then what the other program did
		if r := s.send("POST", "/undo", s.do(``), nil); r.StatusCode != http.StatusOK {
			t.Fatalf("%d %s", r.StatusCode, bodyOf(r))
		}
	}
	if b, _ := os.ReadFile(s.file); string(b) != blank {
		t.Errorf("taken back, the document is\n%s", b)
	}
}

// TestUnsaved has a change that is shown fail on the disk: a second answer shows things as they were, and why.
func TestUnsaved(t *testing.T) {
	s := serve(t, blank)
	at := s.board.server.session.current().revision
	stuck := filepath.Join(filepath.Dir(s.file), ".quiltwright", "quilt.yaml.new")
	if err := os.Mkdir(stuck, 0o777); err != nil { // where the new file is to be written
		t.Fatal(err)
	}
	d := json.NewDecoder(strings.NewReader(bodyOf(s.send("POST", "/do", s.do(drawn), nil))))
	var shown, after answer
	if err := errors.Join(d.Decode(&shown), d.Decode(&after)); err != nil || d.More() {
		t.Fatal("there should be two answers: ", err)
	}
	if shown.Revision != at+1 || shown.Problem != "" || shown.Undo == "" {
		t.Errorf("shown is %+v", shown)
	}
	if after.Revision != at || !strings.HasPrefix(after.Problem, "the change is not saved") || after.Undo != "" {
		t.Errorf("after it is %+v", after)
	}
	if b, _ := os.ReadFile(s.file); string(b) != blank || s.board.server.session.current().revision != at {
		t.Errorf("the document is\n%s", b)
	}
	if err := os.RemoveAll(stuck); err != nil {
		t.Fatal(err)
	}
	if a := read(t, s.send("POST", "/do", s.do(drawn), nil)); a.Revision != at+1 || a.Problem != "" {
		t.Errorf("later it is %+v", a)
	}
}

// TestBrokenView has a mistake of ours in a view: it ends the answer, and the change is made all the same.
func TestBrokenView(t *testing.T) {
	former := places
	defer func() { places = former }()
	places = append(slices.Clone(places), place{name: "broken", view: func(*state, url.Values) any { panic("a mistake") }})
	s := serve(t, blank)
	asked := strings.Replace(s.do(drawn), `"place": "draft"`, `"place": "broken"`, 1)
	if r := s.send("POST", "/do", asked, nil); r.StatusCode != http.StatusInternalServerError {
		t.Errorf("%s: %d %s", asked, r.StatusCode, bodyOf(r))
	}
	if b, _ := os.ReadFile(s.file); !strings.Contains(string(b), "- 0,2 4,2") {
		t.Errorf("the change is not made:\n%s", b)
	}
	if a := read(t, s.send("POST", "/undo", s.do(""), nil)); a.Problem != "" {
		t.Error(a.Problem)
	}
	if b, _ := os.ReadFile(s.file); string(b) != blank {
		t.Errorf("taken back, the document is\n%s", b)
	}
}

// TestTakenBack takes a change back and makes it again: plans that were there are there at once, and what is then shown is what is in the file.
func TestTakenBack(t *testing.T) {
	s := serve(t, blank)
	now := s.board.server.session
	ready := func() *state {
		t.Helper()
		for end := time.Now().Add(hung); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
			if at := now.current(); at.reached() == proven {
				return at
			}
		}
		t.Fatal("no proof came")
		return nil
	}
	if r := s.send("POST", "/do", s.do(drawn), nil); r.StatusCode != http.StatusOK {
		t.Fatalf("%d %s", r.StatusCode, bodyOf(r))
	}
	before := ready()
	if r := s.send("POST", "/do", s.do(`{"do": "fill", "block": "Star", "fabric": "B", "points": "1,1"}`), nil); r.StatusCode != http.StatusOK {
		t.Fatalf("%d %s", r.StatusCode, bodyOf(r))
	}
	after := ready()
	for _, c := range []struct {
		path string
		was  *state
	}{{"/undo", before}, {"/redo", after}} {
		a := read(t, s.send("POST", c.path, s.do(""), nil))
		at := now.current()
		if a.Stage != proven || a.Revision != at.revision || at.result() != c.was.result() {
			t.Errorf("%s: stage %d of revision %d", c.path, a.Stage, a.Revision)
		}
		if b, _ := os.ReadFile(s.file); string(b) != string(at.text) {
			t.Errorf("%s: the document is\n%s", c.path, b)
		}
	}
}

// TestRecent keeps few contents, and of large quilts fewer, but always the newest.
func TestRecent(t *testing.T) {
	var r recent
	made := func(n, patches int) *content {
		c := newContent(edit.Open([]byte(fmt.Sprintf("quilt: %d\n", n))))
		c.compiled = &compile.Result{Plan: &plan.Plan{Drawn: make([]plan.Drawn, patches)}}
		return c
	}
	for n := range 20 {
		r.keep(made(n, 1))
	}
	again := r.of(edit.Open([]byte("quilt: 15\n")))
	if len(r) != mostRecent || again != r[4] {
		t.Errorf("%d are kept", len(r))
	}
	if r.keep(again); len(r) != mostRecent || r[0] != again {
		t.Error("what is met again is not in front")
	}
	r.keep(made(20, mostRecentPatches-4))
	if len(r) != 5 {
		t.Errorf("of a large quilt %d are kept", len(r))
	}
	if r.keep(made(21, mostRecentPatches+1)); len(r) != 1 {
		t.Errorf("of a quilt that is too large %d are kept", len(r))
	}
}

// TestPlanFollows waits for the proof of a change, and for pages that hold it.
func TestPlanFollows(t *testing.T) {
	s := serve(t, blank)
	if r := s.send("POST", "/do", s.do(drawn), nil); r.StatusCode != http.StatusOK {
		t.Fatalf("%d %s", r.StatusCode, bodyOf(r))
	}
	var a answer
	for end := time.Now().Add(hung); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if a = read(t, s.send("GET", "/view/draft", "", nil)); a.Stage == proven {
			break
		}
	}
	if a.Verdict.Tone != "proven" || !strings.Contains(a.Verdict.Says, "1 seam, straight") {
		t.Errorf("the verdict is %+v", a.Verdict)
	}
	var p pagesAnswer
	if err := json.Unmarshal([]byte(bodyOf(s.send("GET", "/pages?month=1", "", nil))), &p); err != nil || len(p.Pages) == 0 || p.Stage != "proven" {
		t.Fatalf("%v %+v", err, p)
	}
	first := p.Pages[0].Hash
	r := s.send("GET", "/page/"+first, "", nil)
	if body := bodyOf(r); r.StatusCode != http.StatusOK || !strings.HasPrefix(body, "<svg") || strings.Contains(body, "style=") || strings.Contains(body, "<script") {
		t.Errorf("%d %.300s", r.StatusCode, body)
	}
	// The same text again has the same pages.
	for _, path := range []string{"/undo", "/redo"} {
		s.send("POST", path, s.do(``), nil)
	}
	for end := time.Now().Add(hung); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if err := json.Unmarshal([]byte(bodyOf(s.send("GET", "/pages?month=1", "", nil))), &p); err == nil && p.Stage == "proven" {
			break
		}
	}
	if len(p.Pages) == 0 || p.Pages[0].Hash != first {
		t.Errorf("the page is %+v, was %s", p.Pages, first)
	}
}

// TestSameBytes opens every document of the examples and of the blocks: the file stays as it is when it is looked at, when a change is made that
// changes nothing, and when one is made, taken back, made again and taken back.
func TestSameBytes(t *testing.T) {
	var files []string
	for _, pattern := range []string{"../../examples/*.yaml", "../../blocks/*.yaml"} {
		found, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, found...)
	}
	if len(files) < 40 {
		t.Fatalf("only %d documents are found", len(files))
	}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) { sameBytes(t, file) })
	}
}

func sameBytes(t *testing.T, file string) {
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	s := serve(t, string(text))
	same := func(what string) {
		if b, err := os.ReadFile(s.file); err != nil || string(b) != string(text) {
			t.Errorf("%s: %s, it is\n%s", file, what, b)
		}
	}
	a := read(t, s.send("GET", "/view/draft", "", nil))
	if a.View == nil || a.Problem != "" {
		t.Errorf("%s: %+v", file, a)
	}
	same("opened")
	title, err := json.Marshal(a.Title)
	if err != nil {
		t.Fatal(err)
	}
	for _, step := range []struct{ path, ops string }{
		{"/do", `{"do": "put", "at": ["quilt"], "value": ` + string(title) + `}`}, {"/do", `{"do": "put", "at": ["quilt"], "value": "Another"}`},
		{"/undo", ""}, {"/redo", ""}, {"/undo", ""},
	} {
		if r := s.send("POST", step.path, s.do(step.ops), nil); r.StatusCode != http.StatusOK {
			t.Fatalf("%s: %s: %d %s", file, step.path, r.StatusCode, bodyOf(r))
		}
		if !strings.Contains(step.ops, "Another") && step.path != "/redo" {
			same(step.path)
		}
	}
}

// TestBlockOfItsOwn prints a block that the quilt does not have yet.
func TestBlockOfItsOwn(t *testing.T) {
	text, err := os.ReadFile("../../examples/lantern-row.yaml")
	if err != nil {
		t.Fatal(err)
	}
	s := serve(t, string(text))
	if r := s.send("POST", "/do", s.do(`{"do": "add block", "block": "Lone", "size": "6", "columns": 2, "rows": 2}, {"do": "draw line", "block": "Lone", "points": "1,0 1,2"}`), nil); r.StatusCode != http.StatusOK {
		t.Fatalf("%d %s", r.StatusCode, bodyOf(r))
	}
	var p pagesAnswer
	for end := time.Now().Add(hung); time.Now().Before(end) && len(p.Pages) == 0; time.Sleep(20 * time.Millisecond) {
		if err := json.Unmarshal([]byte(bodyOf(s.send("GET", "/pages?month=12&block=Lone", "", nil))), &p); err != nil {
			t.Fatal(err)
		}
	}
	if len(p.Pages) == 0 {
		t.Fatalf("%+v", p)
	}
	if page := bodyOf(s.send("GET", "/page/"+p.Pages[0].Hash, "", nil)); !strings.Contains(page, "Lone") || strings.Contains(page, "Paper Lantern") {
		t.Error("the page is not the block's own")
	}
}

package app

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"quiltwright/internal/book"
	"quiltwright/internal/files"
	"quiltwright/internal/forecast"
	"quiltwright/internal/words"
)

// bookView is the pages, and what is made of them.
type bookView struct {
	planView
	Documents []documentView `json:"documents"`
	Document  int            `json:"document"` // the month that is looked at, 0: the whole pattern
	Paper     string         `json:"paper"`    // letter | a4
	Proof     []string       `json:"proof"`    // the verdict, in words
	Holds     bool           `json:"holds"`
	Found     []foundView    `json:"found"`
	Folder    string         `json:"folder"` // where the files go
	Made      []string       `json:"made"`   // files that are there already, of an earlier making perhaps
	Fresh     bool           `json:"fresh"`  // they are of this revision
	Note      string         `json:"note"`   // the writer's words about the quilt
}

// documentView is a document of the book.
type documentView struct {
	Month int    `json:"month"`
	Says  string `json:"says"`
}

// viewBook makes the view.
func viewBook(s *state, q url.Values) any {
	common, r := s.common(q)
	common.Terms = s.bookTerms()
	v := bookView{planView: common, Documents: []documentView{{0, "the whole pattern"}}, Paper: "letter", Proof: []string{}, Found: s.findingsOf(""), Note: s.doc.Note, Made: []string{}}
	if q.Get("paper") == "a4" {
		v.Paper = "a4"
	}
	for _, m := range v.Months {
		v.Documents = append(v.Documents, documentView{m.Number, m.Says})
	}
	if i := slices.IndexFunc(v.Documents, func(d documentView) bool { return fmt.Sprint(d.Month) == q.Get("month") }); i >= 0 {
		v.Document = v.Documents[i].Month
	}
	v.Made, v.Fresh = s.making.files(s.revision)
	if s.making != nil {
		v.Folder = s.making.folder
	}
	if r == nil || r.Plan.Proof == nil {
		return v
	}
	proof, say := r.Plan.Proof, words.Of(r.Plan)
	v.Holds = proof.Holds
	if v.Holds {
		v.Proof = append(v.Proof, "Proven: every step was sewn in mind, in "+thousands(proof.Checked)+" checks.")
		if proof.Short < 1e-6 {
			v.Proof = append(v.Proof, "Nothing comes out short.")
		} else {
			v.Proof = append(v.Proof, fmt.Sprintf("Nothing is short by more than %.3f %s; %s are eased in.", float64(proof.Short), s.doc.Measure.Abbrev(), say.Length(proof.Ease)))
		}
	} else {
		v.Proof = append(v.Proof, fmt.Sprintf("The proof fails: %s in %d checks.", counted(len(proof.Findings), "finding"), proof.Checked))
	}
	return v
}

// thousands is a count as one reads it: 43,332.
func thousands(n int) string {
	s := strconv.Itoa(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}

// making is the folder of the files that are made: beside the document, and called after it.
type making struct {
	mu       sync.Mutex
	folder   string
	revision int // that was made last, 0 for none yet
}

// madeOf matches the files that are made, and nothing else.
var madeOf = regexp.MustCompile(`^((pattern|month-\d+)(-a4|-letter)?\.pdf|drawings/[^/]+\.svg|cutting\.csv|plan\.json)$`)

func newMaking(path string) *making {
	return &making{folder: strings.TrimSuffix(path, filepath.Ext(path)) + " pattern"}
}

// files lists what lies in the folder, but for the drawings, and whether it is of the revision.
func (m *making) files(revision int) (names []string, fresh bool) {
	names = []string{}
	if m == nil {
		return names, false
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	entries, err := os.ReadDir(m.folder)
	if err != nil {
		return names, false // there is none yet
	}
	for _, e := range entries {
		if madeOf.MatchString(e.Name()) {
			names = append(names, e.Name())
		}
	}
	return names, m.revision == revision
}

// make writes the whole book of the revision into its folder, all of it or nothing. Only a proven plan is made.
func (s *session) make(ctx context.Context, revision int) (*state, error) {
	at := s.current()
	r := at.result()
	switch {
	case revision != at.revision:
		return at, conflict{"the quilt was changed meanwhile; nothing was written, and the book shows the quilt as it is"}
	case r == nil || at.reached() != proven && r.Plan.Complete:
		return at, errors.New("the plan is not proven yet; nothing was written: wait for the word “proven” above and make them then")
	case !r.Plan.Complete || r.Plan.Proof == nil:
		return at, errors.New("there is no plan until what is wrong is mended; nothing was written")
	case !r.Plan.Proof.Holds:
		return at, errors.New("the proof fails, and a pattern that does not hold is not written; what fails is said below")
	}
	pages, err := book.Write(r.Plan, book.Options{Pictures: s.pictures(r.Plan), Expect: forecast.Of(r.Plan, forecast.Defaults(r.Plan))})
	if err != nil {
		return at, err
	}
	out := make([]files.File, len(pages))
	for i, f := range pages {
		out[i] = files.File{Name: f.Name, Data: f.Data}
	}
	s.making.mu.Lock()
	defer s.making.mu.Unlock()
	if err := files.Replace(ctx, s.making.folder, out, madeOf.MatchString); err != nil {
		return at, fmt.Errorf("nothing was written: %w", err)
	}
	s.making.revision = revision
	return at, nil
}

// made sends a file that was made.
func (s *server) made(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("file")
	kind := map[string]string{".pdf": "application/pdf", ".csv": "text/csv; charset=utf-8", ".json": "application/json", ".svg": "image/svg+xml"}[filepath.Ext(name)]
	if kind == "" || !madeOf.MatchString(name) {
		http.NotFound(w, r)
		return
	}
	s.session.making.mu.Lock()
	defer s.session.making.mu.Unlock()
	folder, err := os.OpenRoot(s.session.making.folder) // no link leads out of it
	if err != nil {
		http.Error(w, "nothing has been made yet", http.StatusNotFound)
		return
	}
	defer folder.Close()
	b, err := folder.ReadFile(filepath.FromSlash(name))
	if err != nil {
		http.Error(w, "this file is not there; make it again", http.StatusNotFound)
		return
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Disposition", "attachment")
	_, _ = w.Write(b)
}

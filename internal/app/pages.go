package app

import (
	"bytes"
	"container/list"
	"crypto/sha256"
	"encoding/hex"
	"net/http"
	"slices"
	"strconv"
	"sync"

	"quiltwright/internal/book"
	"quiltwright/internal/measure"
	"quiltwright/internal/quilt"
	"quiltwright/internal/scene"
	"quiltwright/internal/scene/svg"
)

// printing is which pages are wanted.
type printing struct {
	paper string // letter | a4
	month int    // 0: the whole pattern
	block string // alone, where the quilt does not have it yet; else it does not matter
}

// sheet is a page, known by its content: a window that has it is not sent it again.
type sheet struct {
	Hash   string  `json:"hash"`
	Width  float64 `json:"width"`
	Height float64 `json:"height"`
}

// pagesAnswer is the pages that will be printed, as far as the plan has come.
type pagesAnswer struct {
	Revision int     `json:"revision"`
	Stage    string  `json:"stage"`
	Paper    string  `json:"paper"`
	Why      string  `json:"why,omitempty"` // there are none
	Pages    []sheet `json:"pages"`
}

// shelf keeps pages by their content, the last used longest. One shelf serves all files and windows.
type shelf struct {
	mu    sync.Mutex
	bytes int
	order list.List // of *leaf, the last used first
	by    map[string]*list.Element
}

type leaf struct {
	hash string
	svg  []byte
}

// mostShelved is how many bytes of pages are kept: several times the longest pattern.
const mostShelved = 64 << 20

func (s *shelf) put(b []byte) string {
	sum := sha256.Sum256(b)
	hash := hex.EncodeToString(sum[:12])
	s.mu.Lock()
	defer s.mu.Unlock()
	if e := s.by[hash]; e != nil {
		s.order.MoveToFront(e)
		return hash
	}
	if s.by == nil {
		s.by = map[string]*list.Element{}
	}
	s.by[hash] = s.order.PushFront(&leaf{hash, b})
	s.bytes += len(b)
	for s.bytes > mostShelved && s.order.Len() > 1 {
		last := s.order.Remove(s.order.Back()).(*leaf)
		delete(s.by, last.hash)
		s.bytes -= len(last.svg)
	}
	return hash
}

func (s *shelf) get(hash string) []byte {
	s.mu.Lock()
	defer s.mu.Unlock()
	e := s.by[hash]
	if e == nil {
		return nil
	}
	s.order.MoveToFront(e)
	return e.Value.(*leaf).svg
}

// has reports whether all the pages are kept.
func (s *shelf) has(pages []sheet) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return !slices.ContainsFunc(pages, func(p sheet) bool { return s.by[p.Hash] == nil })
}

// paperOf is the paper that is in the drawer where one measures as the document does.
func paperOf(doc *quilt.Document) string {
	if doc.Measure == measure.Centimetre {
		return "a4"
	}
	return "letter"
}

// pages lists the pages of a month, or of the whole pattern.
func (s *server) pages(w http.ResponseWriter, r *http.Request) {
	at := s.session.current()
	what := printing{paper: r.URL.Query().Get("paper"), block: r.URL.Query().Get("block")}
	if what.paper != "a4" && what.paper != "letter" {
		what.paper = paperOf(at.doc)
	}
	what.month, _ = strconv.Atoi(r.URL.Query().Get("month")) // anything else is the whole pattern
	send(w, http.StatusOK, s.print(at, what))
}

// print lays the pages, or knows them already.
func (s *server) print(at *state, what printing) pagesAnswer {
	sole := at.sole(what.block)
	at.mu.Lock()
	result, stage := at.compiled, at.stage
	if sole != nil {
		result, what.month = sole, 1
	} else {
		what.block = ""
	}
	known, ok := at.printed[what]
	at.mu.Unlock()
	a := pagesAnswer{Revision: at.revision, Stage: stage.String(), Paper: what.paper, Pages: []sheet{}}
	switch {
	case result == nil:
		a.Why = "planning …"
		return a
	case !result.Plan.Complete:
		a.Why = "The page follows when what is marked on the sheet is mended."
		return a
	case ok && s.shelf.has(known):
		a.Pages = known
		return a
	}
	d := book.Pages(result.Plan, book.Options{Pictures: s.session.pictures(result.Plan)}, what.paper, what.month)
	for _, p := range d.Pages {
		drawn := svg.Inline(scene.Drawing{W: p.W, H: p.H, Items: p.Items})
		// The policy of the page allows no styles within it; its style sheet knows the class.
		drawn = bytes.ReplaceAll(drawn, []byte(`style="font-feature-settings:'frac'"`), []byte(`class="frac"`))
		a.Pages = append(a.Pages, sheet{s.shelf.put(drawn), float64(p.W), float64(p.H)})
	}
	at.mu.Lock()
	defer at.mu.Unlock()
	if at.compiled == result || sole != nil {
		at.printed[what] = a.Pages
	}
	return a
}

// page sends a page by its content.
func (s *server) page(w http.ResponseWriter, r *http.Request) {
	b := s.shelf.get(r.PathValue("hash"))
	if b == nil {
		http.Error(w, "this page is no longer kept; ask for the list again", http.StatusNotFound)
		return
	}
	w.Header().Set("Content-Type", "image/svg+xml")
	w.Header().Set("Cache-Control", "private, max-age=31536000, immutable")
	_, _ = w.Write(b)
}

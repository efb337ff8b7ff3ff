package app

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"runtime/debug"
	"strings"
	"sync"
	"time"
)

// maxRequest is the most bytes of an operation: a document may have 1 MB, and an operation says less than a document.
const maxRequest = 1 << 20

// server answers the requests of the app's page. It stands behind a guard.
type server struct {
	session *session
	shelf   shelf
	quit    chan struct{}
	swatch  sync.Mutex // one photograph is decoded at a time
}

// Board is an open file, served on a port of this machine.
type Board struct {
	Address  string // to open, with the key
	listener net.Listener
	http     *http.Server
	server   *server
}

// garbage is how much is thrown away before it is collected, in percent of what is kept: a plan is made anew after every change, and of what
// that takes nearly nothing is kept.
const garbage = 400

// Open begins to serve the file on a free port of 127.0.0.1, or on the port that is given. A file that is not there is begun.
func Open(path string, port int) (*Board, error) {
	opened, err := open(path)
	if err != nil {
		return nil, err
	}
	listener, err := net.Listen("tcp4", fmt.Sprintf("127.0.0.1:%d", port))
	if err != nil {
		_ = opened.file.Close()
		return nil, fmt.Errorf("the board cannot be served: %w", err)
	}
	debug.SetGCPercent(garbage)
	s := &server{session: opened, quit: make(chan struct{})}
	g := &guard{host: listener.Addr().String(), key: secret(), cookie: secret(), next: s.routes()}
	b := &Board{Address: "http://" + g.host + "/?key=" + g.key, listener: listener, server: s,
		http: &http.Server{Handler: g, ReadHeaderTimeout: 10 * time.Second, ReadTimeout: time.Minute, MaxHeaderBytes: 64 << 10}}
	go s.session.work(s.quit)
	go s.session.watch(s.quit)
	return b, nil
}

// Serve answers until Close.
func (b *Board) Serve() error {
	if err := b.http.Serve(b.listener); !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

// Close ends the service. What was shown as saved is on the disk already.
func (b *Board) Close() error {
	close(b.server.quit)
	err := b.http.Close()
	b.server.session.mu.Lock()
	defer b.server.session.mu.Unlock()
	return errors.Join(err, b.server.session.file.Close())
}

// routes are all that the app answers. Every other path is not found.
func (s *server) routes() http.Handler {
	m := http.NewServeMux()
	m.HandleFunc("GET /{$}", s.asset)
	m.HandleFunc("GET /web/{file...}", s.asset)
	m.HandleFunc("GET /font/{file}", font)
	m.HandleFunc("GET /events", s.events)
	m.HandleFunc("GET /view/{place}", s.view)
	m.HandleFunc("GET /pages", s.pages)
	m.HandleFunc("GET /page/{hash}", s.page)
	m.HandleFunc("POST /do", s.post(func(r request, show func(*state)) (*state, error) {
		return s.session.do(r.Revision, r.Ops, r.Window, show)
	}))
	m.HandleFunc("GET /turned", s.turned)
	m.HandleFunc("GET /versions", s.listVersions)
	m.HandleFunc("GET /versions/{number}", s.showVersion)
	m.HandleFunc("POST /version", s.post(func(r request, _ func(*state)) (*state, error) {
		return s.session.restore(r.Revision, r.Version, r.Window)
	}))
	m.HandleFunc("GET /swatch/{fabric}", s.swatchOf)
	m.HandleFunc("POST /swatch", s.addSwatch)
	m.HandleFunc("POST /make", s.post(func(r request, _ func(*state)) (*state, error) {
		return s.session.make(context.Background(), r.Revision)
	}))
	m.HandleFunc("GET /made/{file...}", s.made)
	m.HandleFunc("POST /undo", s.post(func(r request, show func(*state)) (*state, error) {
		return s.session.step(r.Revision, true, r.Window, show)
	}))
	m.HandleFunc("POST /redo", s.post(func(r request, show func(*state)) (*state, error) {
		return s.session.step(r.Revision, false, r.Window, show)
	}))
	return m
}

// request is what a window sends to change something.
type request struct {
	Revision int               `json:"revision"` // that the window shows
	Window   string            `json:"window"`   // a word of its own, so that it knows its own changes
	Ops      []json.RawMessage `json:"ops"`      // to do: all or none, one step to take back
	Version  int               `json:"version"`  // that is taken back
	Place    string            `json:"place"`    // whose view is the answer
	Query    string            `json:"query"`    // and what of it is looked at
}

// answer is what every request for a view gets, and every change.
type answer struct {
	Revision int     `json:"revision"`
	Title    string  `json:"title"`
	File     string  `json:"file"`
	Undo     string  `json:"undo,omitempty"` // what would be taken back, in words; empty where there is nothing
	Redo     string  `json:"redo,omitempty"`
	Verdict  verdict `json:"verdict"`
	Stage    stage   `json:"stage"` // how far the plan has come, so that a window knows whether it has missed an event
	Places   []named `json:"places"`
	Place    string  `json:"place"`
	View     any     `json:"view"`
	Problem  string  `json:"problem,omitempty"`  // why what was asked was not done
	Conflict bool    `json:"conflict,omitempty"` // because the document is another by now: asking again may do
}

// named is a place and how it is called.
type named struct {
	Place string `json:"place"`
	Says  string `json:"says"`
}

// view answers with the view of a place.
func (s *server) view(w http.ResponseWriter, r *http.Request) {
	a, code := s.answer(s.session.current(), r.PathValue("place"), r.URL.Query())
	send(w, code, a)
}

// doing does what a request asks, and returns the state after it. It may show that state before, when all but the disk is done.
type doing func(r request, show func(*state)) (*state, error)

// post answers a request that changes something with the view after it.
func (s *server) post(do doing) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		var asked request
		if receive(w, r, maxRequest, &asked) {
			s.change(w, asked, do)
		}
	}
}

// change does what was asked and answers: with the view as soon as there is one. The answer ends when the change is on the disk; where it does
// not get there, a second one, on a line of its own, is the view as it was, with the problem.
func (s *server) change(w http.ResponseWriter, asked request, do doing) {
	query, err := url.ParseQuery(asked.Query)
	if err != nil {
		http.Error(w, "the query cannot be read", http.StatusBadRequest)
		return
	}
	var shown chan struct{}
	show := func(at *state) {
		// A mistake of ours must not end the change: it is met again below. Nor does the change wait for a window that is slow to read.
		defer func() { _ = recover() }()
		a, code := s.answer(at, asked.Place, query)
		shown = make(chan struct{})
		go func() {
			defer close(shown)
			send(w, code, a)
			if f, ok := w.(http.Flusher); ok {
				f.Flush()
			}
		}()
	}
	at, err := do(asked, show)
	if shown != nil {
		<-shown
		if err == nil {
			return
		}
	}
	a, code := s.answer(at, asked.Place, query)
	if err != nil {
		a.Problem = err.Error()
		code = http.StatusUnprocessableEntity
		if c := (conflict{}); errors.As(err, &c) {
			a.Conflict, code = true, http.StatusConflict
		}
	}
	if shown != nil {
		more(w, a)
		return
	}
	send(w, code, a)
}

// answer is the view of a place of a state.
func (s *server) answer(at *state, name string, query url.Values) (answer, int) {
	a := answer{Revision: at.revision, File: at.name, Title: at.title(), Place: name, Undo: at.undo, Redo: at.redo}
	for _, p := range places {
		if p.says != "" {
			a.Places = append(a.Places, named{p.name, p.says})
		}
	}
	for _, p := range places {
		if p.name == name {
			a.View = p.view(at, query)
			a.Verdict, a.Stage = at.verdict(a.View)
			return a, http.StatusOK
		}
	}
	a.Problem = fmt.Sprintf("there is no place “%s”", name)
	return a, http.StatusNotFound
}

// receive reads the JSON of a request, no more than most bytes, and answers itself where that fails.
func receive(w http.ResponseWriter, r *http.Request, most int64, into any) bool {
	body := http.MaxBytesReader(w, r.Body, most)
	d := json.NewDecoder(body)
	err := d.Decode(into)
	if err == nil {
		if _, more := d.Token(); more != io.EOF {
			err = errors.New("there is more after it")
		}
	}
	if tooLong := (*http.MaxBytesError)(nil); errors.As(err, &tooLong) {
		http.Error(w, "this is too long", http.StatusRequestEntityTooLarge)
		return false
	}
	if err != nil {
		http.Error(w, "this is no request of the board: "+strings.TrimPrefix(err.Error(), "json: "), http.StatusBadRequest)
		return false
	}
	return true
}

// send writes JSON, on a line.
func send(w http.ResponseWriter, code int, v any) {
	b, err := json.Marshal(v)
	if err != nil {
		http.Error(w, "a mistake of the program, not yours: "+err.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(code)
	_, _ = w.Write(append(b, '\n'))
}

// more writes one more line of JSON.
func more(w http.ResponseWriter, v any) {
	if b, err := json.Marshal(v); err == nil {
		_, _ = w.Write(append(b, '\n'))
	}
}

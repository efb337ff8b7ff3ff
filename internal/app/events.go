package app

import (
	"encoding/json"
	"fmt"
	"net/http"
	"sync"
	"time"
)

// event is something a window should know: a word for the program and, where the word needs one, the revision.
type event struct {
	Kind     string `json:"kind"` // plan | changed | outside | moved
	Revision int    `json:"revision"`
	Stage    stage  `json:"stage"`
	Window   string `json:"window,omitempty"` // that made the change
	Says     string `json:"says,omitempty"`
}

// hub passes events on to every open window.
type hub struct {
	mu      sync.Mutex
	windows map[chan event]bool
}

// mostWindows is how many windows are told; one more is refused.
const mostWindows = 64

func (h *hub) join() (chan event, bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if len(h.windows) >= mostWindows {
		return nil, false
	}
	if h.windows == nil {
		h.windows = map[chan event]bool{}
	}
	c := make(chan event, 16)
	h.windows[c] = true
	return c, true
}

func (h *hub) leave(c chan event) {
	h.mu.Lock()
	defer h.mu.Unlock()
	delete(h.windows, c)
}

// tell never waits: a window that does not listen misses events and finds out by the next revision that it is told.
func (h *hub) tell(e event) {
	h.mu.Lock()
	defer h.mu.Unlock()
	for c := range h.windows {
		select {
		case c <- e:
		default:
		}
	}
}

// events is the stream of events, until the window closes.
func (s *server) events(w http.ResponseWriter, r *http.Request) {
	flusher, ok := w.(http.Flusher)
	c, room := s.session.hub.join()
	if !ok || !room {
		http.Error(w, "too many windows are open", http.StatusServiceUnavailable)
		return
	}
	defer s.session.hub.leave(c)
	w.Header().Set("Content-Type", "text/event-stream")
	fmt.Fprint(w, "retry: 1000\n\n")
	send := func(e event) {
		b, err := json.Marshal(e)
		if err == nil {
			fmt.Fprintf(w, "data: %s\n\n", b)
			flusher.Flush()
		}
	}
	send(event{Kind: "hello", Revision: s.session.current().revision})
	alive := time.NewTicker(20 * time.Second)
	defer alive.Stop()
	for {
		select {
		case e := <-c:
			send(e)
		case <-alive.C:
			fmt.Fprint(w, ": still here\n\n")
			flusher.Flush()
		case <-r.Context().Done():
			return
		case <-s.quit:
			return
		}
	}
}

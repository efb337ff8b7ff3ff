package app

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"os"
	"strconv"
	"time"

	"quiltwright/internal/edit"
	"quiltwright/internal/history"
)

// versionView is a version of the file that is kept.
type versionView struct {
	Number int    `json:"number"`
	When   string `json:"when"` // as RFC 3339 writes it
	Now    bool   `json:"now"`  // the file is this version
}

// pastView is a version to look at.
type pastView struct {
	Number  int          `json:"number"`
	Title   string       `json:"title"`
	Blocks  []string     `json:"blocks"`
	Top     topView      `json:"top"`
	Fabrics []fabricView `json:"fabrics"`
	Wrong   string       `json:"wrong,omitempty"` // what keeps it from being read
}

// versions lists the versions that are kept, the newest first.
func (s *session) versions() []versionView {
	s.mu.Lock()
	defer s.mu.Unlock()
	out := []versionView{}
	for _, v := range s.file.Versions() {
		info, err := os.Stat(v.Path)
		text, failed := s.file.Version(v.Number)
		if err == nil && failed == nil { // one that is gone by now is none
			out = append(out, versionView{v.Number, info.ModTime().Format(time.RFC3339), string(text) == string(s.now.text)})
		}
	}
	return out
}

// version is a version to look at.
func (s *session) version(number int) (pastView, error) {
	s.mu.Lock()
	text, err := s.file.Version(number)
	name := s.now.name
	s.mu.Unlock()
	if err != nil {
		return pastView{}, fmt.Errorf("version %d is not kept", number)
	}
	at := newState(0, name, edit.Open(text))
	v := pastView{Number: number, Title: at.title(), Blocks: []string{}, Fabrics: viewDraft(at, url.Values{}).(draftView).Fabrics}
	for _, b := range at.doc.Blocks {
		v.Blocks = append(v.Blocks, b.Name)
	}
	if len(at.doc.Blocks) == 0 && at.found.HasErrors() {
		v.Wrong = at.found[0].Says
	}
	at.mu.Lock()
	defer at.mu.Unlock()
	v.Top, _ = at.topOf()
	return v, nil
}

// restore makes an earlier version the document: a change like any other, which can be taken back.
func (s *session) restore(revision, number int, window string) (*state, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.agree(revision); err != nil {
		return s.now, err
	}
	text, err := s.file.Version(number)
	if err != nil {
		return s.now, fmt.Errorf("version %d is not kept", number)
	}
	if string(text) == string(s.now.text) {
		return s.now, nil
	}
	if err := s.file.Save(text, "an earlier version"); errors.Is(err, history.ErrConflict) { // between the look and the save
		if err := s.agree(revision); err != nil {
			return s.now, err
		}
		return s.now, s.saving(err)
	} else if err != nil {
		return s.now, s.saving(err)
	}
	return s.turn(s.reread(), window), nil
}

// listVersions answers with the list.
func (s *server) listVersions(w http.ResponseWriter, _ *http.Request) {
	send(w, http.StatusOK, s.session.versions())
}

// showVersion answers with one of them.
func (s *server) showVersion(w http.ResponseWriter, r *http.Request) {
	n, err := strconv.Atoi(r.PathValue("number"))
	if err != nil {
		http.NotFound(w, r)
		return
	}
	v, err := s.session.version(n)
	if err != nil {
		http.Error(w, err.Error(), http.StatusNotFound)
		return
	}
	send(w, http.StatusOK, v)
}

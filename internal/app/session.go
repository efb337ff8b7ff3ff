package app

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"path/filepath"
	"sync"
	"time"

	"quiltwright/internal/compile"
	"quiltwright/internal/edit"
	"quiltwright/internal/files"
	"quiltwright/internal/history"
	"quiltwright/internal/plan"
)

// session is one file that is open, whoever looks at it.
type session struct {
	path string
	file *history.History // under mu
	hub  hub

	making *making

	mu     sync.Mutex // held while the document changes: one change after the other
	now    *state
	recent recent

	fresh chan struct{} // there is a revision to compile; holds one
	full  chan struct{} // there is a revision to compile with full effort; holds one

	// What compilations know of blocks that did not change. One each, so that the quick plan does not wait for the other.
	quickMemory, fullMemory compile.Memory
}

// open opens the file, or begins it.
func open(path string) (*session, error) {
	if err := able(path); err != nil {
		return nil, err
	}
	file, err := history.Open(path, fresh(path))
	if err != nil {
		return nil, err
	}
	s := &session{path: path, file: file, making: newMaking(path), fresh: make(chan struct{}, 1), full: make(chan struct{}, 1)}
	s.read(s.revised(newContent(edit.Open(file.Text()))))
	return s, nil
}

// revised is the revision that the content, whose text is the file's, begins. The caller holds mu.
func (s *session) revised(c *content) *state {
	at := &state{revision: s.file.Revision(), name: filepath.Base(s.path), content: c, begun: time.Now(), before: s.now.reckonings(), making: s.making}
	at.undo, at.redo = s.file.Can()
	return at
}

// reread is the revision that the file holds now. The caller holds mu.
func (s *session) reread() *state { return s.revised(s.recent.of(edit.Open(s.file.Text()))) }

// read makes a revision the newest. The caller holds mu.
func (s *session) read(at *state) {
	s.now = at
	s.recent.keep(at.content)
	wake(s.fresh)
}

func wake(c chan struct{}) {
	select {
	case c <- struct{}{}:
	default:
	}
}

// current is the newest revision.
func (s *session) current() *state {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.now
}

// conflict says that a change was not made because the document is another by now. The change is not lost: it is still in the window that
// asked for it, which shows the newer document and offers to do it again.
type conflict struct{ says string }

func (c conflict) Error() string { return c.says }

// do carries operations out, all or none, on the revision that the window shows, and returns the state after them. When it returns without an
// error the new text is safe on the disk. The state is shown before, while one waits for the disk; after an error it is none.
func (s *session) do(revision int, raw []json.RawMessage, window string, show func(*state)) (*state, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(raw) == 0 {
		return s.now, errors.New("there is no operation")
	}
	ops := make([]edit.Op, len(raw))
	for i := range raw {
		op, err := edit.Decode(raw[i])
		if err != nil {
			return s.now, err
		}
		ops[i] = op
	}
	if err := s.agree(revision); err != nil {
		return s.now, err
	}
	text, err := s.now.source.Apply(ops...)
	if err != nil {
		return s.now, err
	}
	next := carry(s.now.content, s.recent.of(text), ops)
	if bytes.Equal(next.text, s.now.text) {
		return s.now, nil
	}
	var at *state
	meanwhile := func() {
		at = s.revised(next)
		show(at)
	}
	if err := s.file.Save(next.text, wording(ops), meanwhile); errors.Is(err, history.ErrConflict) { // between the look and the save
		if err := s.agree(revision); err != nil {
			return s.now, err
		}
		return s.now, s.saving(err)
	} else if err != nil {
		return s.now, s.saving(err)
	}
	return s.turn(at, window), nil
}

// wording says what operations change, for the list of what can be taken back.
func wording(ops []edit.Op) string {
	says := ops[0].Name()
	if block := blockOf(ops[0]); block != "" {
		says += ", " + block
	}
	return says
}

// blockOf is the block that an operation is about, or "".
func blockOf(op edit.Op) string {
	var about struct{ Block string }
	if json.Unmarshal(edit.Encode(op), &about) != nil {
		return ""
	}
	return about.Block
}

// step takes the last change back, or makes it again where back is false. The state is shown as do shows it.
func (s *session) step(revision int, back bool, window string, show func(*state)) (*state, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.agree(revision); err != nil {
		return s.now, err
	}
	move := s.file.Redo
	if back {
		move = s.file.Undo
	}
	var at *state
	if err := move(func() {
		at = s.reread()
		show(at)
	}); err != nil {
		return s.now, s.saving(err)
	}
	return s.turn(at, window), nil
}

// agree takes in what others did to the file, and reports a conflict where the window shows another revision.
func (s *session) agree(revision int) error {
	if changed, err := s.file.Look(); err != nil {
		return s.saving(err)
	} else if changed {
		s.turn(s.reread(), "")
		return conflict{"the file was changed by another program just now; your change was not made, and the sheet shows the file as it is"}
	}
	if revision != s.now.revision {
		return conflict{"another window changed the quilt meanwhile; your change was not made, and the sheet shows the quilt as it is"}
	}
	return nil
}

// saving says of an error that nothing was changed.
func (s *session) saving(err error) error {
	return fmt.Errorf("the change is not saved, and the sheet shows the file as it was: %w", err)
}

// turn makes a revision the newest and tells everyone. The caller holds mu.
func (s *session) turn(at *state, window string) *state {
	s.read(at)
	kind := "changed"
	if window == "" {
		kind = "outside"
	}
	s.hub.tell(event{Kind: kind, Revision: s.now.revision, Window: window})
	return s.now
}

// watch looks for changes that other programs made to the file, until quit.
func (s *session) watch(quit <-chan struct{}) {
	tick := time.NewTicker(time.Second)
	defer tick.Stop()
	for {
		select {
		case <-quit:
			return
		case <-tick.C:
			s.mu.Lock()
			if changed, err := s.file.Look(); err == nil && changed {
				s.turn(s.reread(), "")
			}
			s.mu.Unlock()
		}
	}
}

// breath is how long the plan of a revision waits from when it begins: the sheet is shown first, and the cores are few.
const breath = 30 * time.Millisecond

// rest is how long the hand must rest before the search for the best plan begins.
const rest = 400 * time.Millisecond

// patience is how long a plan with full effort waits for its proof before windows are told of it.
const patience = 200 * time.Millisecond

// work compiles every revision: at once with quick effort, and when no newer one waits with full effort and the proof. The newest revision
// wins: one that is overtaken is left where it stands between two phases.
func (s *session) work(quit <-chan struct{}) {
	go func() {
		for {
			select {
			case <-quit:
				return
			case <-s.full:
			}
			at := s.current()
			select { // whoever draws on does not wait for a core
			case <-quit:
				return
			case <-time.After(rest):
			}
			tell := func() { s.hub.tell(event{Kind: "plan", Revision: at.revision, Stage: at.reached()}) }
			if s.current() != at {
				continue
			}
			if at.reached() < full {
				at.compile(compile.Full, &s.fullMemory)
			}
			if s.current() != at {
				continue
			}
			soon := time.AfterFunc(patience, tell) // a short proof is told of with its plan
			at.prove()
			soon.Stop()
			tell()
		}
	}()
	for {
		select {
		case <-quit:
			return
		case <-s.fresh:
		}
		time.Sleep(breath - time.Since(s.current().begun))
		at := s.current()
		if at.reached() == written { // else it is a text that was here before
			at.compile(compile.Quick, &s.quickMemory)
			s.hub.tell(event{Kind: "plan", Revision: at.revision, Stage: at.reached()})
		}
		if s.current() == at && at.reached() < proven {
			wake(s.full)
		}
	}
}

// pictures reads the swatches that the plan names and that lie beside the document or deeper; for one that cannot be read, its colour
// stands in the pages.
func (s *session) pictures(p *plan.Plan) map[string][]byte {
	out := map[string][]byte{}
	for _, f := range p.Fabrics {
		if f.Swatch == "" {
			continue
		}
		if b, err := files.Beside(filepath.Dir(s.path), f.Swatch); err == nil {
			out[f.Swatch] = b
		}
	}
	return out
}

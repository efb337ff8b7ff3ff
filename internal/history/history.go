package history

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sync"

	"quiltwright/internal/files"
)

// folder is where everything of ours lies, beside the file.
const folder = ".quiltwright"

// Outside is what a change by another program says.
const Outside = "changed by another program"

// most is the largest file that is kept.
const most = 4 << 20

// ErrConflict says that the file is not what was last read or saved, so that nothing was written. Look takes in what it is now.
var ErrConflict = errors.New("the file was changed by another program")

// History is one file and its past. It is for use by one goroutine at a time; the file is locked against other programs that use this
// package, where the system can.
type History struct {
	path    string
	journal *os.File
	size    int64 // of the journal
	past
	seen    os.FileInfo    // the file as it was when last read or written; nil where that is not known
	settled sync.WaitGroup // whether the name of the file that was written last is on the disk
}

// Open opens the file at path and its past. A file that is not there is made, with the text fresh. The text is what the file holds, but
// for a change that was on its way when a program ended: that is carried out.
func Open(path string, fresh []byte) (*History, error) {
	abs, err := filepath.Abs(path)
	if err != nil {
		return nil, err
	}
	if real, err := filepath.EvalSymlinks(abs); err == nil {
		abs = real // so that the new file can be moved to where the former one is
	}
	h := &History{path: abs}
	if err := os.MkdirAll(h.beside(""), 0o777); err != nil {
		return nil, said(h.beside(""), err)
	}
	h.journal, err = os.OpenFile(h.beside(".journal"), os.O_RDWR|os.O_CREATE|os.O_APPEND, 0o666)
	if err != nil {
		return nil, said(h.beside(".journal"), err)
	}
	if err := h.open(fresh); err != nil {
		h.journal.Close()
		return nil, err
	}
	return h, nil
}

func (h *History) open(fresh []byte) error {
	if err := lock(h.journal); err != nil {
		return fmt.Errorf("%s: is open in another window of quiltwright already; close it there first", h.path)
	}
	written, err := os.ReadFile(h.beside(".journal"))
	if err != nil {
		return said(h.beside(".journal"), err)
	}
	var whole int
	h.past, whole = replay(written)
	if whole < len(written) {
		if bytes.IndexByte(written[whole:], '\n') >= 0 {
			// More than the torn end of a last line: what cannot be read is set aside, for a person to look at.
			if err := files.Save(h.beside(".journal.damaged"), h.beside(".new"), written); err != nil {
				return err
			}
		}
		if err := h.journal.Truncate(int64(whole)); err != nil {
			return said(h.beside(".journal"), err)
		}
	}
	h.size = int64(whole)
	text, err := h.read()
	switch {
	case errors.Is(err, fs.ErrNotExist) && h.records == 0:
		return h.change(step(nil, fresh, ""))
	case errors.Is(err, fs.ErrNotExist):
		// The file was taken away; what it was can be taken back.
		return h.change(step(h.text, fresh, Outside))
	case err != nil:
		return err
	case h.records == 0:
		if err := h.append(step(nil, text, "")); err != nil {
			return err
		}
	case bytes.Equal(text, h.text):
	case sum(text) == h.before:
		if err := h.write(); err != nil {
			return err
		}
	default:
		if err := h.append(step(h.text, text, Outside)); err != nil {
			return err
		}
	}
	return h.version()
}

// said is an error about a path, in few words.
func said(path string, err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		err = p.Err
	}
	return fmt.Errorf("%s: %w", path, err)
}

// beside is a file of ours for the file, or the folder where what is "".
func (h *History) beside(what string) string {
	dir := filepath.Join(filepath.Dir(h.path), folder)
	if what == "" {
		return dir
	}
	return filepath.Join(dir, filepath.Base(h.path)+what)
}

// read reads the file and remembers what it looked like.
func (h *History) read() ([]byte, error) {
	info, err := os.Stat(h.path)
	if err != nil {
		return nil, said(h.path, err)
	}
	if !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%s: is not a file", h.path)
	}
	if info.Size() > most {
		return nil, fmt.Errorf("%s: is larger than %d MB", h.path, most>>20)
	}
	text, err := os.ReadFile(h.path)
	if err != nil {
		return nil, said(h.path, err)
	}
	h.seen = info
	return text, nil
}

// Text is the text as it is now. The caller must not change it.
func (h *History) Text() []byte { return h.text }

// Revision grows by one with every change, whoever makes it, and with every one that is taken back or made again; it goes on where it
// was after Open.
func (h *History) Revision() int { return h.records }

// Can says what Undo would take back and what Redo would make again, in the words of Save; "" where there is nothing.
func (h *History) Can() (undo, redo string) {
	if h.at > 1 {
		undo = h.steps[h.at-1].Says
	}
	if h.at < len(h.steps) {
		redo = h.steps[h.at].Says
	}
	return undo, redo
}

// Past is the text as it was so many changes ago, 0 for now; nil where there were not so many. What was taken back and then left by another
// change is not among them.
func (h *History) Past(changes int) []byte {
	if changes < 0 || changes >= h.at {
		return nil
	}
	text := h.text
	for i := range changes {
		text, _ = h.steps[h.at-1-i].back(text) // it fitted when it was read
	}
	return text
}

// Save makes text the file's new text, with words for what has changed that are not empty. When it returns nil the change is on the disk.
// After an error the file and its past are as they were; ErrConflict says that another program has changed the file.
//
// What is to be done meanwhile is called while one waits for the disk, with the change made already: it stands in the journal, which outlives
// the program and not yet a power cut. It is not called where the change is refused before.
func (h *History) Save(text []byte, says string, meanwhile ...func()) error {
	if bytes.Equal(text, h.text) {
		return nil
	}
	if says == "" {
		says = "a change"
	}
	if len(text) > most {
		return fmt.Errorf("%s: would be larger than %d MB", h.path, most>>20)
	}
	if err := h.unchanged(); err != nil {
		return err
	}
	return h.change(step(h.text, text, says), meanwhile...)
}

// Undo takes the last change back. Of meanwhile see Save.
func (h *History) Undo(meanwhile ...func()) error {
	if h.at <= 1 {
		return errors.New("there is nothing to take back")
	}
	if err := h.unchanged(); err != nil {
		return err
	}
	text, _ := h.steps[h.at-1].back(h.text)
	return h.change(record{Do: doUndo, Sum: sum(text)}, meanwhile...)
}

// Redo makes the change again that was taken back last. Of meanwhile see Save.
func (h *History) Redo(meanwhile ...func()) error {
	if h.at >= len(h.steps) {
		return errors.New("there is nothing to make again")
	}
	if err := h.unchanged(); err != nil {
		return err
	}
	text, _ := h.steps[h.at].forward(h.text)
	return h.change(record{Do: doRedo, Sum: sum(text)}, meanwhile...)
}

// unchanged is ErrConflict where the file does not hold the text.
func (h *History) unchanged() error {
	text, err := h.read()
	if errors.Is(err, fs.ErrNotExist) {
		return nil // there is nothing to overwrite
	}
	if err == nil && !bytes.Equal(text, h.text) {
		h.seen = nil
		return ErrConflict
	}
	return err
}

// Look takes in what another program has done to the file; changed is true where it has changed it. It can be taken back like any change. A
// file that is gone is no change: the next Save writes it again.
func (h *History) Look() (changed bool, err error) {
	info, err := os.Stat(h.path)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	if err == nil && h.seen != nil && os.SameFile(info, h.seen) && info.Size() == h.seen.Size() && info.ModTime().Equal(h.seen.ModTime()) {
		return false, nil
	}
	text, err := h.read()
	if err != nil || bytes.Equal(text, h.text) {
		return false, err
	}
	h.version() // the journal has it, too
	if err := h.append(step(h.text, text, Outside)); err != nil {
		return false, err
	}
	h.version()
	return true, nil
}

// change appends the record, and writes the file after it. If that fails, the record is taken out again. The disk writes both at the same
// time; the file is put in its place when it has both.
func (h *History) change(r record, meanwhile ...func()) error {
	h.settled.Wait() // so that the file is never more than one change behind the journal
	former, size := h.past, h.size
	fail := func(err error) error {
		h.past, h.size = former, size
		return errors.Join(err, h.journal.Truncate(size))
	}
	if err := h.note(r); err != nil {
		return err
	}
	var disk sync.WaitGroup
	var failed, err error
	var ready files.Ready
	text := h.text
	disk.Go(func() { failed = h.journal.Sync() })
	disk.Go(func() { ready, err = files.Prepare(h.path, h.beside(".new"), text) })
	for _, do := range meanwhile {
		do()
	}
	disk.Wait()
	if failed != nil {
		if err == nil {
			ready.Drop()
		}
		err = said(h.beside(".journal"), failed)
	}
	if err != nil {
		return fail(err)
	}
	if err := ready.Put(); err != nil {
		return fail(err)
	}
	h.settled.Go(ready.Settle)
	h.seen, _ = os.Stat(h.path)
	if h.records%versionEvery == 0 {
		h.version() // the change is safe without it
	}
	return nil
}

// append puts a record on the disk and carries it out on the text.
func (h *History) append(r record) error {
	former, size := h.past, h.size
	if err := h.note(r); err != nil {
		return err
	}
	if err := h.journal.Sync(); err != nil {
		h.past, h.size = former, size
		return errors.Join(said(h.beside(".journal"), err), h.journal.Truncate(size))
	}
	return nil
}

// note writes a record and carries it out on the text; it is not yet on the disk.
func (h *History) note(r record) error {
	former := h.past
	if !h.do(r) {
		return fmt.Errorf("%s: the change does not fit the text", h.path)
	}
	line := r.line()
	if _, err := h.journal.Write(line); err != nil {
		h.past = former
		h.journal.Truncate(h.size)
		return said(h.beside(".journal"), err)
	}
	h.size += int64(len(line))
	return nil
}

// write puts the text into the file.
func (h *History) write() error {
	if err := files.Save(h.path, h.beside(".new"), h.text); err != nil {
		return err
	}
	h.seen, _ = os.Stat(h.path)
	return nil
}

// Close gives the file free. Everything is on the disk already.
func (h *History) Close() error {
	h.settled.Wait()
	return h.journal.Close()
}

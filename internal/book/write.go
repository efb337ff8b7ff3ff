package book

import (
	"fmt"
	"runtime"
	"sync"
)

// writers turn what has been laid into files, on every core while the next is being laid. The files do not depend on how many cores
// there are: each is made of its own document alone, and they keep the order in which they were asked for.
type writers struct {
	busy sync.WaitGroup
	free chan struct{}
	made []*made
}

type made struct {
	File
	err error
}

func newWriters() *writers { return &writers{free: make(chan struct{}, runtime.GOMAXPROCS(0))} }

// write makes a file; it does not wait for it.
func (w *writers) write(name string, data func() ([]byte, error)) {
	f := &made{File: File{Name: name}}
	w.made = append(w.made, f)
	w.busy.Go(func() {
		w.free <- struct{}{}
		f.Data, f.err = data()
		<-w.free
	})
}

// files returns all files once they are made, or the first error.
func (w *writers) files() ([]File, error) {
	w.busy.Wait()
	var out []File
	for _, f := range w.made {
		if f.err != nil {
			return nil, fmt.Errorf("%s: %w", f.Name, f.err)
		}
		out = append(out, f.File)
	}
	return out, nil
}

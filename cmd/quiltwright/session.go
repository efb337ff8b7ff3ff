package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"strings"
	"sync"
	"time"

	"quiltwright/internal/compile"
	"quiltwright/internal/diag"
	"quiltwright/internal/files"
	"quiltwright/internal/guillotine"
	"quiltwright/internal/plan"
	"quiltwright/internal/prove"
)

// maxDocument is one byte more than a document may have; the reader says what is wrong with a larger one.
const maxDocument = 1<<20 + 1

// session is one run of the command: where it reads and writes, and the flags that all commands share.
type session struct {
	stdin          io.Reader
	stdout, stderr *os.File
	json           bool
	effort         guillotine.Effort
	former         string
	otherwise      bool // what would be bought if it were cut otherwise is worked out too
}

// failure is an error that has been shown already.
type failure struct{ code int }

func (failure) Error() string { return "" }

// work is what a command works on.
type work struct {
	files.Input
	plan *plan.Plan
}

// load reads and compiles the document, or reads the plan, and shows what was found. The work has a plan whenever there is anything in
// it, also beside an error.
func (s *session) load(file string, proof bool) (work, error) {
	most := int64(maxDocument)
	if strings.HasSuffix(file, ".json") || file == "-" {
		most = plan.MaxBytes
	}
	in, err := files.Read(file, s.stdin, most)
	if err != nil {
		return work{}, err
	}
	if strings.HasSuffix(file, ".json") || file == "-" && isPlan(in.Bytes) {
		return s.loadPlan(in, proof)
	}
	opt := compile.Options{Proof: proof}
	switch s.effort {
	case guillotine.Normal:
	case guillotine.Quick:
		opt.Effort = compile.Quick
	default:
		opt.Cloth = s.effort
	}
	if s.former != "" {
		if opt.Former, err = s.labels(); err != nil {
			return work{}, err
		}
	}
	stop := s.progress("compiling " + in.Name)
	r := compile.Compile(in.Name, in.Bytes, opt)
	if s.otherwise {
		r.Otherwise(opt)
	}
	stop()
	w := work{in, r.Plan}
	if s.report(w, r.Findings); r.Findings.HasErrors() || !r.Plan.Complete {
		return w, failure{wrong}
	}
	return w, nil
}

// isPlan reports whether the bytes are a plan: JSON with units. A quilt document may be written as JSON too, and has none.
func isPlan(b []byte) bool {
	var p struct{ Units json.RawMessage }
	return bytes.HasPrefix(bytes.TrimSpace(b), []byte("{")) && json.Unmarshal(b, &p) == nil && p.Units != nil
}

// loadPlan reads a plan that an earlier run has written.
func (s *session) loadPlan(in files.Input, proof bool) (work, error) {
	p, err := plan.Decode(in.Bytes)
	if err != nil {
		s.report(work{Input: files.Input{Name: in.Name}}, diag.List{{Code: "plan", Says: err.Error()}})
		return work{}, failure{wrong}
	}
	w := work{files.Input{Name: in.Name, Dir: in.Dir}, p}
	if !p.Complete {
		found := ofPlan(p.Findings)
		found.Add(diag.Finding{Code: "plan", Says: "the plan is not complete", Remedy: "mend its document first"})
		s.report(w, found)
		return w, failure{wrong}
	}
	if proof {
		stop := s.progress("proving " + in.Name)
		held := prove.Prove(p)
		p.Proof = &held
		stop()
	}
	s.report(w, nil)
	return w, nil
}

// labels are those of the plan of an earlier version, by the key of the piece.
func (s *session) labels() (map[string]string, error) {
	in, err := files.Read(s.former, s.stdin, plan.MaxBytes)
	if err != nil {
		return nil, err
	}
	p, err := plan.Decode(in.Bytes)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", s.former, err)
	}
	labels := map[string]string{}
	for _, piece := range p.Pieces {
		labels[piece.Key] = piece.Label
	}
	return labels, nil
}

// show prints a plan as text.
func (s *session) show(file string, tell func(*plan.Plan) string) error {
	w, err := s.load(file, false)
	if err != nil {
		return err
	}
	return s.print(tell(w.plan))
}

// print writes to standard output; a full disk is an error.
func (s *session) print(text string) error {
	if _, err := io.WriteString(s.stdout, text); err != nil {
		return fmt.Errorf("standard output: %w", err)
	}
	return nil
}

// unproven shows why the proof does not hold, and is the failure that ends the command.
func (s *session) unproven(w work) error {
	found := ofPlan(w.plan.Proof.Findings)
	if !found.HasErrors() {
		found.Add(diag.Finding{Code: "proof", Says: "the proof does not hold"})
	}
	s.report(w, found)
	return failure{fails}
}

// ofPlan turns the findings of a plan into those that can be printed.
func ofPlan(from []plan.Finding) diag.List {
	var out diag.List
	for _, f := range from {
		g := diag.Finding{Code: f.Code, Says: f.Says, Remedy: f.Remedy, Block: f.Block}
		if g.Severity.UnmarshalText([]byte(f.Severity)) != nil {
			g.Severity = diag.Error
		}
		if f.At != nil {
			g.At = diag.Pos{Line: f.At.Line, Column: f.At.Column}
		}
		out.Add(g)
	}
	return out
}

// report writes findings to standard error, as JSON where that is wanted, then also where there are none.
func (s *session) report(w work, found diag.List) {
	if s.json {
		e := json.NewEncoder(s.stderr)
		e.SetEscapeHTML(false)
		e.SetIndent("", "  ")
		_ = e.Encode(found)
		return
	}
	found.Print(s.stderr, w.Name, w.Bytes, colored(s.stderr))
}

// complain shows an error that is not about the document.
func (s *session) complain(err error) {
	if s.json {
		s.report(work{}, diag.List{{Code: "file", Says: err.Error()}})
		return
	}
	fmt.Fprintf(s.stderr, "quiltwright: %v\n", err)
}

// pictures reads the swatches that lie beside the document; for one that cannot be read, its colour stands in the pages.
func (s *session) pictures(w work) map[string][]byte {
	out := map[string][]byte{}
	for _, f := range w.plan.Fabrics {
		if f.Swatch == "" {
			continue
		}
		b, err := files.Beside(w.Dir, f.Swatch)
		if err != nil {
			fmt.Fprintf(s.stderr, "quiltwright: warning: swatch %s of fabric %s %v; its colour is printed\n", f.Swatch, f.Letter, err)
			continue
		}
		out[f.Swatch] = b
	}
	return out
}

// terminal reports whether someone reads f as it is written.
func terminal(f *os.File) bool {
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0 && os.Getenv("TERM") != "dumb"
}

// colored reports whether f may have colours: a terminal, and NO_COLOR (no-color.org) is not set.
func colored(f *os.File) bool { return terminal(f) && os.Getenv("NO_COLOR") == "" }

// progress says on a terminal what takes longer than a second, and how long it has taken. The function that it returns ends that and
// wipes the line; it may be called again.
func (s *session) progress(what string) (stop func()) {
	if !terminal(s.stderr) {
		return func() {}
	}
	quit, ended := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(ended)
		start, tick := time.Now(), time.NewTicker(time.Second)
		defer tick.Stop()
		shown := false
		for {
			select {
			case <-tick.C:
				fmt.Fprintf(s.stderr, "\r\x1b[K%s ... %d s", what, int(time.Since(start).Seconds()))
				shown = true
			case <-quit:
				if shown {
					fmt.Fprint(s.stderr, "\r\x1b[K")
				}
				return
			}
		}
	}()
	return sync.OnceFunc(func() { close(quit); <-ended })
}

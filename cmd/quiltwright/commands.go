package main

import (
	"context"
	"fmt"
	"os/signal"
	"regexp"
	"strings"
	"syscall"

	"quiltwright/internal/book"
	"quiltwright/internal/files"
	"quiltwright/internal/forecast"
	"quiltwright/internal/plan"
	"quiltwright/internal/words"
)

// source is the argument that every command has.
type source struct {
	File string `arg:"" help:"The quilt document, a plan, or - for standard input."`
}

// target is the folder of the commands that write files.
type target struct {
	Out   string   `required:"" placeholder:"DIR" help:"The folder to write; what an earlier run wrote there is replaced."`
	Brief bool     `help:"Say the steps in fewer words, for those who sew a lot."`
	Paper []string `enum:"letter,a4" help:"Papers: ${enum}; both unless one is named."`
}

type draftCommand struct{ source }

// Help shows an example.
func (draftCommand) Help() string { return "Example:  quiltwright draft lantern-row.yaml" }

// Run carries the command out.
func (c draftCommand) Run(s *session) error { return s.show(c.File, words.Draft) }

type cutCommand struct {
	File string `arg:"" optional:"" help:"The quilt document, a plan, or - for standard input; none with --list."`
	listFlags
}

// Help shows examples.
func (cutCommand) Help() string {
	return "Example:  quiltwright cut lantern-row.yaml --former last-year/plan.json\n\n" +
		"Example:  quiltwright cut --list lantern-row/cutting.csv --width 42 --stages 3"
}

// Run carries the command out.
func (c cutCommand) Run(s *session) error {
	switch {
	case c.List != "" && c.File != "":
		return fmt.Errorf("a document and --list: name one of them")
	case c.List != "":
		return s.layList(c.listFlags)
	case c.listFlags != listFlags{}:
		return fmt.Errorf("--width, --sheet, --stages and --grain say how a --list is laid; a document says that itself")
	case c.File == "":
		return fmt.Errorf("name a document, or a cutting list with --list")
	}
	s.otherwise = true
	if s.json {
		return s.printCutting(c.File)
	}
	return s.show(c.File, words.Cut)
}

type pressCommand struct{ source }

// Help shows an example.
func (pressCommand) Help() string {
	return "Example:  quiltwright press --effort quick lantern-row.yaml"
}

// Run carries the command out.
func (c pressCommand) Run(s *session) error { return s.show(c.File, words.Press) }

type sewCommand struct {
	source
	Brief bool `help:"Say the steps in fewer words, for those who sew a lot."`
}

// Help shows an example.
func (sewCommand) Help() string { return "Example:  quiltwright sew - < lantern-row.yaml" }

// Run carries the command out.
func (c sewCommand) Run(s *session) error {
	if c.Brief {
		return s.show(c.File, words.SewBrief)
	}
	return s.show(c.File, words.Sew)
}

type planCommand struct{ source }

// Help shows an example.
func (planCommand) Help() string {
	return "A document with errors gives the plan as far as it came, and exit code 1.\n\nExample:  quiltwright plan lantern-row.yaml > plan.json"
}

// Run carries the command out.
func (c planCommand) Run(s *session) error {
	w, err := s.load(c.File, true)
	if w.plan == nil {
		return err
	}
	text, encodeErr := plan.Encode(w.plan)
	if encodeErr != nil {
		return encodeErr
	}
	if printErr := s.print(string(text)); printErr != nil {
		return printErr
	}
	if err == nil && !w.plan.Proof.Holds {
		return s.unproven(w)
	}
	return err
}

type bookCommand struct {
	source
	target
}

// Help shows an example.
func (bookCommand) Help() string {
	return "Example:  quiltwright book lantern-row.yaml --out pages --paper a4"
}

// Run carries the command out.
func (c bookCommand) Run(s *session) error {
	return s.build(c.File, c.target, func(name string) bool { return strings.HasSuffix(name, ".pdf") })
}

type buildCommand struct {
	source
	target
}

// Help shows an example.
func (buildCommand) Help() string {
	return "A plan whose proof does not hold is not written.\n\nExample:  quiltwright build lantern-row.yaml --out lantern-row"
}

// Run carries the command out.
func (c buildCommand) Run(s *session) error {
	return s.build(c.File, c.target, func(string) bool { return true })
}

// ours matches the files that a build writes, and nothing else.
var ours = regexp.MustCompile(`^((pattern|month-\d+)(-a4|-letter)?\.pdf|drawings/[^/]+\.svg|cutting\.csv|plan\.json)$`)

// build writes the files of the book that are wanted, all of them or none.
func (s *session) build(file string, to target, wanted func(name string) bool) error {
	w, err := s.load(file, true)
	if err != nil {
		return err
	}
	if !w.plan.Proof.Holds {
		return s.unproven(w)
	}
	stop := s.progress("writing " + to.Out)
	defer stop()
	made, err := book.Write(w.plan, book.Options{Papers: to.Paper, Brief: to.Brief, Expect: forecast.Of(w.plan, forecast.Defaults(w.plan)), Pictures: s.pictures(w)})
	if err != nil {
		return err
	}
	var out []files.File
	for _, f := range made {
		if wanted(f.Name) {
			out = append(out, files.File{Name: f.Name, Data: f.Data})
		}
	}
	ctx, release := signal.NotifyContext(context.Background(), syscall.SIGINT, syscall.SIGTERM)
	defer release()
	return files.Replace(ctx, to.Out, out, ours.MatchString)
}

// Command quiltwright compiles a quilt document to a proven, printed sewing pattern. This package holds flags, exit codes and what
// is shown meanwhile, and nothing of the craft.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"strconv"

	"github.com/alecthomas/kong"

	"quiltwright/internal/guillotine"
)

// Exit codes.
const (
	done  = 0
	wrong = 1 // the document is wrong
	usage = 2 // the command is, or a file cannot be read or written
	fails = 3 // the proof does not hold
)

// commands are what the command line may say.
type commands struct {
	Open   openCommand   `cmd:"" help:"Open the board: draw the quilt in your browser and watch its pattern follow."`
	New    newCommand    `cmd:"" help:"Begin a quilt document."`
	Draft  draftCommand  `cmd:"" help:"Show the blocks and how many patches and seams they have."`
	Cut    cutCommand    `cmd:"" help:"Show what to buy and the cutting list."`
	Press  pressCommand  `cmd:"" help:"Show which way every seam is pressed."`
	Sew    sewCommand    `cmd:"" help:"Show the order of work."`
	Prove  proveCommand  `cmd:"" help:"Sew the plan in mind, and say whether everything fits."`
	Plan   planCommand   `cmd:"" help:"Write the plan as JSON."`
	Book   bookCommand   `cmd:"" help:"Write the pages of the pattern as PDF."`
	Build  buildCommand  `cmd:"" help:"Write everything: pages, drawings, cutting list and plan."`
	Schema schemaCommand `cmd:"" help:"Print the JSON Schema of a quilt document, for editors."`

	Effort  effortFlag  `default:"full" placeholder:"EFFORT" help:"How long to look for better answers: quick, full (default), or a number: full, and so many million steps for the cloth of each fabric; 120 take about a second."`
	JSON    bool        `name:"json" help:"Write errors and warnings as JSON."`
	Former  string      `placeholder:"PLAN" help:"The plan of an earlier version (plan.json); pieces that are in both keep their labels."`
	Version versionFlag `help:"Show the version."`
}

// effortFlag is quick, full or the number of steps.
type effortFlag struct{ effort guillotine.Effort }

// UnmarshalText reads the flag.
func (e *effortFlag) UnmarshalText(text []byte) error {
	n, err := strconv.Atoi(string(text))
	switch {
	case string(text) == "quick":
		e.effort = guillotine.Quick
	case string(text) == "full":
		e.effort = guillotine.Normal
	case err == nil && n >= 1 && n <= 1_000_000:
		e.effort = guillotine.Effort(n) * 1_000_000
	default:
		return fmt.Errorf("must be quick, full or a number from 1 to 1000000, but is %q", text)
	}
	return nil
}

type versionFlag bool

// BeforeReset prints the version and ends.
func (versionFlag) BeforeReset(app *kong.Kong) error {
	version := "(devel)"
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" {
		version = info.Main.Version
	}
	fmt.Fprintln(app.Stdout, "quiltwright", version)
	app.Exit(done)
	return nil
}

// exit carries a code out of kong, which ends the program for help and the version.
type exit int

func main() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }

// run is the whole command; it returns the exit code.
func run(args []string, stdin io.Reader, stdout, stderr *os.File) (code int) {
	defer func() {
		switch r := recover().(type) {
		case nil:
		case exit:
			code = int(r)
		default:
			fmt.Fprintf(stderr, "quiltwright: a mistake of the program, not yours: %v\nplease report it with the document\n\n%s", r, debug.Stack())
			code = usage
		}
	}()
	var c commands
	parser, err := kong.New(&c,
		kong.Name("quiltwright"),
		kong.Description("Compiles a quilt document to a proven, printed sewing pattern.\n\n"+
			"FILE is a quilt document (docs/format.md), a plan that the command plan has written (ending in .json), or - for standard input.\n\n"+
			"Exit codes: 0 done, 1 the document is wrong, 2 the command or a file is, 3 the proof does not hold.\n\n"+
			"Example:  quiltwright build lantern-row.yaml --out lantern-row"),
		kong.Writers(stdout, stderr),
		kong.Exit(func(code int) { panic(exit(code)) }),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, WrapUpperBound: 100}),
	)
	if err != nil {
		panic(err)
	}
	ctx, err := parser.Parse(args)
	if err != nil {
		fmt.Fprintf(stderr, "quiltwright: %v\nquiltwright --help shows the commands\n", err)
		return usage
	}
	s := &session{stdin: stdin, stdout: stdout, stderr: stderr, json: c.JSON, effort: c.Effort.effort, former: c.Former}
	err = ctx.Run(s)
	var failed failure
	switch {
	case err == nil:
		return done
	case errors.As(err, &failed):
		return failed.code
	default:
		s.complain(err)
		return usage
	}
}

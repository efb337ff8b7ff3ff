package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"quiltwright": main})
}

// TestScripts runs the command as a person would: testdata/*.txtar.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata",
		Setup: func(e *testscript.Env) error {
			src, err := os.ReadFile(filepath.FromSlash("../../examples/lantern-row.yaml"))
			if err != nil {
				return err
			}
			if err := os.WriteFile(filepath.Join(e.WorkDir, "lantern-row.yaml"), src, 0o666); err != nil {
				return err
			}
			schema, err := os.ReadFile(filepath.FromSlash("../../docs/quilt.schema.json"))
			if err != nil {
				return err
			}
			return os.WriteFile(filepath.Join(e.WorkDir, "quilt.schema.json"), schema, 0o666)
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"exits": exits,
			"large": large,
		},
	})
}

// exits runs the command and demands an exit code: exits 2 quiltwright draft none.yaml
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits code command [argument ...]")
	}
	err := ts.Exec(args[1], args[2:]...)
	code := "0"
	if err != nil {
		coded, ok := err.(interface{ ExitCode() int })
		if !ok {
			ts.Fatalf("%v", err)
		}
		code = strconv.Itoa(coded.ExitCode())
	}
	if code != args[0] {
		ts.Fatalf("exit code %s, want %s", code, args[0])
	}
}

// large writes a file of so many megabytes: large 50 big.yaml
func large(ts *testscript.TestScript, neg bool, args []string) {
	n, err := strconv.Atoi(args[0])
	ts.Check(err)
	f, err := os.Create(ts.MkAbs(args[1]))
	ts.Check(err)
	defer f.Close()
	line := fmt.Sprintf("%-1023s\n", "# a long document")
	for range n << 10 {
		_, err := f.WriteString(line)
		ts.Check(err)
	}
}

// Package seed makes random tests draw the same on every run and machine. Tests that use rapid import it for that alone; -rapid.seed=0 on
// the command line draws anew, and -rapid.checks=N more.
package seed

import (
	"flag"

	_ "pgregory.net/rapid" // has the flag
)

func init() {
	if err := flag.Set("rapid.seed", "2027"); err != nil {
		panic(err)
	}
}

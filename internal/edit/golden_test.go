package edit_test

import (
	"flag"
	"os"
	"testing"
)

var update = flag.Bool("update", false, "write the expected files anew")

func golden(t *testing.T, path, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o666); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s differs; -update writes it anew:\n%s", path, changed(want, []byte(got)))
	}
}

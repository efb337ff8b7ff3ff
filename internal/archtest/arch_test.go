// Package archtest holds the imports between packages to docs/architecture.md. It has nothing but its test.
package archtest

import (
	"fmt"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// rule says what a package may import of this module, and why no more.
type rule struct {
	of     string
	may    string
	reason string
}

// rules has every package, those further down first. A package imports what stands here and nothing else of the module.
var rules = []rule{
	{"internal/exact", "", "numbers know nothing of what they measure"},
	{"internal/diag", "", "findings know no quilts, so that every phase can report"},
	{"internal/rows", "diag", "it reads values, whatever they mean"},
	{"internal/seed", "", "random tests draw from it, and nothing else imports it"},
	{"internal/weigh", "", "a solver for small choices knows no quilts"},
	{"internal/guillotine", "", "a solver for rectangles knows no quilts"},
	{"internal/files", "", "reading and writing know no quilts"},
	{"internal/plan", "", "the plan is data that another program can read without this one"},
	{"internal/measure", "exact", "lengths are numbers that people write"},
	{"internal/plane", "exact", "geometry knows no cloth and no seams"},
	{"internal/quilt", "diag exact measure plane", "the document says only what the writer decides"},
	{"internal/edit", "diag exact measure quilt", "an operation changes the text; what the text means is the reader's business"},
	{"internal/history", "files", "versions of a file, whatever is in it"},
	{"internal/unit", "exact plane", "a unit is recognised from its geometry alone"},
	{"internal/draft", "diag exact measure plane quilt", "patches come before the seams that join them"},
	{"internal/set", "diag draft exact measure plane quilt", "a top is laid before it is taken apart"},
	{"internal/piecing", "diag draft exact plane quilt set unit", "piecing is handed the price of a region; it knows no method"},
	{"internal/method", "diag draft exact measure piecing plan plane quilt set unit", "a method makes units that piecing has found"},
	{"internal/press", "exact method piecing plan plane quilt set unit weigh", "pressing chooses directions for seams that are already there"},
	{"internal/sew", "exact method piecing plane press", "the order of work follows from what is made"},
	{"internal/cut", "diag exact guillotine measure method plan quilt rows", "the cutting list counts blanks that methods have named"},
	{"internal/flat", "plan", "it is the plane for what reads a plan"},
	{"internal/cloth", "flat plan", "layers on a table follow a recipe and know no method by name"},
	{"internal/prove", "cloth exact flat measure plan plane", "the proof shares no formula with what it proves, and reads a plan only"},
	{"internal/forecast", "cloth flat plan", "the forecast sews what the plan says, and reads a plan only"},
	{"internal/audit", "diag measure plan rows", "someone's cutting list is compared with a plan, and a plan only"},
	{"internal/words", "flat measure plan", "sentences tell a plan and nothing else"},
	{"internal/scene", "", "a drawing knows paths, text and hatches, no quilts"},
	{"internal/scene/svg", "scene", "a back end of drawings"},
	{"internal/scene/pdf", "scene", "a back end of drawings"},
	{"internal/figure", "cloth flat measure plan scene words", "pictures are drawn from a plan"},
	{"internal/book", "figure forecast measure plan scene scene/pdf scene/svg words", "pages are laid out from a plan, words and drawings"},
	{"internal/compile", "cut diag draft exact guillotine measure method piecing plan plane press prove quilt set sew unit weigh",
		"the driver runs the phases; nothing is written or drawn there"},
	{"internal/app", "book compile diag draft edit exact figure files forecast history measure method piecing plan plane press prove quilt scene scene/svg set words",
		"the app shows what is below it and holds no craft of its own; nothing imports it but the command"},
	{"docs", "", "pages that the program prints"},
	{"cmd/quiltwright", "app audit book compile cut diag docs files forecast guillotine measure plan prove words", "flags, exit codes and files"},
}

// outside says which packages may use which module that is not ours; docs/architecture.md says what for.
var outside = map[string]string{
	"internal/quilt":     "github.com/goccy/go-yaml",
	"internal/edit":      "github.com/goccy/go-yaml",
	"internal/scene":     "golang.org/x/image",
	"internal/seed":      "pgregory.net/rapid",
	"internal/scene/pdf": "github.com/carlos7ags/folio",
	"cmd/quiltwright":    "github.com/alecthomas/kong",
}

// impure are packages of the standard library that would let a phase see the world: files, the clock, chance, the network.
var impure = []string{"os", "os/exec", "time", "math/rand", "math/rand/v2", "net", "net/http"}

// worldly may see the world, and why.
var worldly = map[string]string{
	"cmd/quiltwright os":          "it is the command",
	"cmd/quiltwright time":        "progress on a terminal",
	"cmd/quiltwright os/exec":     "it opens the person's browser",
	"internal/app os":             "photographs are laid beside the document",
	"internal/app net":            "it listens on this machine",
	"internal/app net/http":       "it is a server",
	"internal/app time":           "it looks now and then whether the file was changed outside",
	"internal/files os":           "it reads and writes",
	"internal/history os":         "it keeps a file safe",
	"internal/quilt time":         "a date is checked against the calendar; no clock is read",
	"internal/scene/svg net/http": "it tells a picture's type from its bytes; nothing is fetched",
}

const module = "quiltwright/"

func TestImports(t *testing.T) {
	cmd := exec.Command("go", "list", "-e", "-f", `{{.ImportPath}}{{range .Imports}} {{.}}{{end}}`, "./...")
	cmd.Dir = "../.."
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	known := map[string]rule{}
	for _, r := range rules {
		known[r.of] = r
	}
	seen := 0
	for _, line := range strings.Split(strings.TrimSpace(string(out)), "\n") {
		fields := strings.Fields(line)
		name := strings.TrimPrefix(fields[0], module)
		if len(fields) == 1 {
			continue // only tests, or nothing of anyone's
		}
		r, ok := known[name]
		if !ok {
			t.Errorf("%s stands in no rule; add it to the table above and to docs/architecture.md", name)
			continue
		}
		seen++
		for _, imported := range fields[1:] {
			if why := refused(r, imported); why != "" {
				t.Errorf("%s imports %s: %s", name, imported, why)
			}
		}
	}
	if seen < len(rules)/2 {
		t.Errorf("%d packages seen, %d rules", seen, len(rules))
	}
}

// refused says why the package may not import the other; "" where it may.
func refused(r rule, imported string) string {
	if short, ours := strings.CutPrefix(imported, module); ours {
		if slices.Contains(strings.Fields(r.may), strings.TrimPrefix(short, "internal/")) {
			return ""
		}
		return r.reason
	}
	if slices.Contains(impure, imported) {
		if worldly[r.of+" "+imported] != "" {
			return ""
		}
		return "a phase is a pure function: no files, no clock, no chance, no network"
	}
	if first, _, _ := strings.Cut(imported, "/"); !strings.Contains(first, ".") {
		return "" // the standard library
	}
	if may := outside[r.of]; may != "" && strings.HasPrefix(imported, may) {
		return ""
	}
	return fmt.Sprintf("this package may use %s of others; a dependency needs a line in docs/architecture.md", or(outside[r.of], "nothing"))
}

func or(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// TestRulesGoDown holds the table itself to one direction: a package imports only what stands above it.
func TestRulesGoDown(t *testing.T) {
	above := map[string]bool{}
	for _, r := range rules {
		for _, imported := range strings.Fields(r.may) {
			if !above[imported] {
				t.Errorf("%s may import %s, which does not stand above it", r.of, imported)
			}
		}
		above[strings.TrimPrefix(r.of, "internal/")] = true
	}
}

// TestRefused shows that the rules can refuse.
func TestRefused(t *testing.T) {
	plane := rule{"internal/plane", "exact", "geometry knows no cloth"}
	for imported, want := range map[string]bool{
		module + "internal/exact": false, module + "internal/plan": true, "fmt": false, "os": true, "math/rand": true, "example.org/x": true,
	} {
		if got := refused(plane, imported) != ""; got != want {
			t.Errorf("refused(plane, %s) = %v, want %v", imported, got, want)
		}
	}
}

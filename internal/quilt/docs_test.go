package quilt_test

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"quiltwright/internal/quilt"
)

// TestFormatPage holds docs/format.md to what is read: its example has no finding, and its table of units names every unit and no other.
func TestFormatPage(t *testing.T) {
	page, err := os.ReadFile("../../docs/format.md")
	if err != nil {
		t.Fatal(err)
	}
	examples := regexp.MustCompile("(?s)```yaml\n(.*?)```").FindAllSubmatch(page, -1)
	if len(examples) == 0 {
		t.Fatal("no example")
	}
	for _, e := range examples {
		if found := findings(e[1]); len(found) > 0 {
			t.Errorf("findings in\n%s\n%v", e[1], found)
		}
	}
	_, table, _ := strings.Cut(string(page), "| unit | fabrics |")
	table, _, _ = strings.Cut(table, "\n#")
	var named []string
	for _, row := range regexp.MustCompile("(?m)^\\| `([^`]+)`").FindAllStringSubmatch(table, -1) {
		named = append(named, row[1])
	}
	var units []string
	for _, u := range quilt.Units() {
		units = append(units, u.Name)
	}
	if got, want := strings.Join(named, ", "), strings.Join(units, ", "); got != want {
		t.Errorf("the page names %s\nthe reader knows %s", got, want)
	}
}

package quilt_test

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/rogpeppe/go-internal/txtar"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"quiltwright/internal/quilt"
)

// valid says what the schema finds wrong with the document; nil where nothing is.
func valid(t *testing.T, schema *jsonschema.Schema, src []byte) error {
	t.Helper()
	var v any
	if err := yaml.Unmarshal(src, &v); err != nil {
		return err
	}
	return schema.Validate(v)
}

// TestSchema holds docs/quilt.schema.json to what is read: every document without an error is valid, and documents with errors of form are not.
func TestSchema(t *testing.T) {
	schema, err := jsonschema.NewCompiler().Compile("../../docs/quilt.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	good := 0
	for _, pattern := range []string{"../../examples/*.yaml", "../../blocks/*.yaml", "testdata/good/*.yaml"} {
		files, _ := filepath.Glob(pattern)
		for _, f := range files {
			src, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			good++
			if err := valid(t, schema, src); err != nil {
				t.Errorf("%s: %v", f, err)
			}
		}
	}
	if good < 20 {
		t.Errorf("%d documents", good)
	}
	for _, name := range []string{"unknown-key", "fabric-keys", "border-keys", "months-keys", "palettes", "make", "grid", "lengths", "block-both", "cell-turn", "measure", "block-neither"} {
		raw, err := os.ReadFile("testdata/bad/" + name + ".txtar")
		if err != nil {
			t.Fatal(err)
		}
		if err := valid(t, schema, txtar.Parse(raw).Files[0].Data); err == nil {
			t.Errorf("%s is valid", name)
		}
	}
}

// TestSchemaKeys holds the keys of the schema to those of the page on the format and of the reader.
func TestSchemaKeys(t *testing.T) {
	raw, err := os.ReadFile("../../docs/quilt.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	var schema struct {
		Properties map[string]any
		Defs       struct {
			Cell struct {
				AnyOf []struct{ Properties map[string]any } `yaml:"anyOf"`
			}
		} `yaml:"$defs"`
	}
	if err := yaml.Unmarshal(raw, &schema); err != nil {
		t.Fatal(err)
	}
	_, found := quilt.Read("", []byte("nothing: 1\n"))
	var said []string
	for _, f := range found {
		if keys, ok := strings.CutPrefix(f.Remedy, "keys: "); ok {
			said = strings.Split(keys, ", ")
		}
	}
	var has []string
	for k := range schema.Properties {
		has = append(has, k)
	}
	slices.Sort(said)
	slices.Sort(has)
	if !slices.Equal(said, has) {
		t.Errorf("the reader knows %v\nthe schema has %v", said, has)
	}
	for _, u := range quilt.Units() {
		for _, name := range append([]string{u.Name}, u.Aliases...) {
			if schema.Defs.Cell.AnyOf[1].Properties[name] == nil {
				t.Errorf("the schema has no unit %q", name)
			}
		}
	}
	page, err := os.ReadFile("../../docs/format.md")
	if err != nil {
		t.Fatal(err)
	}
	page, _, _ = bytes.Cut(page, []byte("## Reserved"))
	for _, row := range regexp.MustCompile("(?m)^\\| (`[^|]*) \\|").FindAllStringSubmatch(string(page), -1) {
		for _, key := range regexp.MustCompile("`([a-z][a-z ]*)`").FindAllStringSubmatch(row[1], -1) {
			if k := key[1]; !strings.Contains(string(raw), "\""+k+"\": ") && k != "arcs" {
				t.Errorf("the page on the format has the key %q, the schema has not", k)
			}
		}
	}
}

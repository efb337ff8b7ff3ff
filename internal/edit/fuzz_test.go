package edit_test

import (
	"errors"
	"strings"
	"testing"

	"quiltwright/internal/edit"
	"quiltwright/internal/quilt"
)

// FuzzApply applies any operation to any text: it never panics, and what comes out can be read as YAML.
func FuzzApply(f *testing.F) {
	for _, src := range corpus(f) {
		f.Add(src, []byte(`{"do": "rename block", "block": "Star", "to": "Night"}`))
		f.Add(src, []byte(`{"do": "put", "at": ["note"], "value": "two\nlines"}`))
	}
	f.Add([]byte("quilt: x\n\tfabrics: y\n"), []byte(`{"do": "drop", "at": ["set", 1]}`))
	f.Add([]byte("quilt: &a x\nnote: *a\n"), []byte(`{"do": "put", "at": ["quilt"], "value": "y"}`))
	f.Add([]byte("---\nquilt: x\n---\nquilt: y\n"), []byte(`{"do": "put", "at": ["quilt"], "value": {"a": [1]}}`))
	f.Add([]byte(""), []byte(`{"do": "lay straight"}`))
	f.Fuzz(func(t *testing.T, src, js []byte) {
		op, err := edit.Decode(js)
		if err != nil {
			return
		}
		out, err := edit.Apply(src, op)
		if err != nil {
			if e := (*edit.Error)(nil); !errors.As(err, &e) || e.Says == "" {
				t.Fatalf("%v", err)
			}
			return
		}
		_, before := quilt.Read("", src)
		_, after := quilt.Read("", out)
		syntax := errorsOf(before)["syntax"]
		if errorsOf(after)["syntax"] > syntax {
			t.Fatalf("%s\n%s\n%v", js, changed(src, out), after)
		}
	})
}

// TestRefused decodes and applies what cannot be: the errors say what would be right.
func TestRefused(t *testing.T) {
	for _, c := range [][2]string{
		{`[]`, "operation: it is not a JSON object: json: cannot unmarshal array into Go value of type map[string]json.RawMessage; for example  {\"do\": \"rename block\", \"block\": \"Beam\", \"to\": \"Ray\"}"},
		{`{"do": "rename blok"}`, "operation: no operation is called “rename blok”; did you mean “rename block”?"},
		{`{"do": "rename block", "blok": "Beam"}`, "rename block: it has no field “blok”; did you mean “block”?"},
		{`{"do": "set grid", "block": "Beam", "columns": "six"}`, "set grid: cannot unmarshal string into Go struct field SetGrid.columns of type int; fields: block, columns, rows, scale"},
		{`{"do": "set grid"} {}`, "operation: it is not a JSON object: something follows the object; for example  {\"do\": \"rename block\", \"block\": \"Beam\", \"to\": \"Ray\"}"},
	} {
		if _, err := edit.Decode([]byte(c[0])); err == nil || err.Error() != c[1] {
			t.Errorf("%s\ngot  %v\nwant %s", c[0], err, c[1])
		}
	}
	op := &edit.Put{At: edit.Path{"quilt"}, Value: edit.Word("Other")}
	for _, c := range [][2]string{
		{"quilt: x\n\tseam: 1\n", "put: the document cannot be read as YAML; put the text right first: line 2: not YAML: found a tab that cannot start any token; indent with spaces, not with tabs"},
		{"quilt: " + strings.Repeat("[", 1<<16), "put: nested more than 32 deep"},
		{strings.Repeat("# x\n", 1<<19), "put: the document is larger than 1 MB"},
		{"quilt: &a x\n", "put: line 1: anchors, aliases, tags and other uncommon parts of YAML have no place in a quilt document; write the value out"},
		{"", "put: the document has no keys; it begins with  quilt: and a title"},
		{"quilt: x\nquilt: y\n", "put: line 2: “quilt” is written twice; take one of them out"},
		{"quilt: x\n---\nquilt: y\n", "put: the file holds a second document; put it in a file of its own and take out the line ---"},
	} {
		if _, err := edit.Apply([]byte(c[0]), op); err == nil || err.Error() != c[1] {
			t.Errorf("%q\ngot  %v\nwant %s", c[0], err, c[1])
		}
	}
	large := "quilt: x\nnote: " + strings.Repeat("x", 1<<20-len("quilt: x\nnote: \n")) + "\n"
	if _, err := edit.Apply([]byte(large), op); err == nil || err.Error() != "put: the document is larger than 1 MB" { // by four letters
		t.Errorf("a change that makes the document too large: %v", err)
	}
}

// TestNew makes documents that have nothing missing.
func TestNew(t *testing.T) {
	for _, title := range []string{"", "Lantern Row", "# It's: \"late\"", "12", " a\nb"} {
		doc, found := quilt.Read("", edit.New(title))
		if found.HasErrors() {
			t.Errorf("%q: %v", title, found)
		}
		if title != "" && title[0] != ' ' && doc.Title != title {
			t.Errorf("title %q, want %q", doc.Title, title)
		}
	}
}

package plan_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"reflect"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"quiltwright/internal/plan"
)

var update = flag.Bool("update", false, "rewrite plan.schema.json from the types")

// words lists the values of keys that know only a few, by type and key.
var words = map[string][]string{
	"Plan.measure":     {"inch", "cm"},
	"Finding.severity": {"error", "warning", "hint"},
	"Join.kind":        {"straight", "partial", "set in", "curved"},
	"Op.op":            {"lay", "mark", "stitch", "cut", "press", "trim"},
	"Op.face":          {"down", "up"},
	"Piece.hand":       {"", "R"},
	"Meeting.is":       {"nested", "open", "same"},
	"Stock.stock":      {"bolt", "sheet", "shelf", "left"},
	"Stock.cut":        {"across", "along"},
	"Strip.along":      {"width", "length"},
	"Instead.way":      {"along", "joined", "width", "make"},
	"Precut.of":        {"strip", "square", "fat quarter"},
	"Piece.joinedBy":   {"straight", "diagonal"},
	"Layout.style":     {"", "straight", "on point", "one block"},
	"Piece.grain":      {"along", "across", "either", "bias"},
}

// schemaOf writes the JSON Schema of a Go type as encoding/json prints it.
func schemaOf(t reflect.Type, defs map[string]any) any {
	switch t {
	case reflect.TypeFor[plan.Num]():
		return map[string]any{"type": "number"}
	case reflect.TypeFor[plan.Point]():
		return map[string]any{"type": "array", "items": map[string]any{"type": "number"}, "minItems": 2, "maxItems": 2}
	case reflect.TypeFor[plan.Vertex]():
		return map[string]any{"type": "array", "items": map[string]any{"type": "number"}, "minItems": 2, "maxItems": 3}
	}
	switch t.Kind() {
	case reflect.Pointer:
		return schemaOf(t.Elem(), defs)
	case reflect.String:
		return map[string]any{"type": "string"}
	case reflect.Bool:
		return map[string]any{"type": "boolean"}
	case reflect.Int:
		return map[string]any{"type": "integer"}
	case reflect.Map:
		return map[string]any{"type": "object", "additionalProperties": schemaOf(t.Elem(), defs)}
	case reflect.Slice:
		return map[string]any{"type": "array", "items": schemaOf(t.Elem(), defs)}
	case reflect.Array:
		return map[string]any{"type": "array", "items": schemaOf(t.Elem(), defs), "minItems": t.Len(), "maxItems": t.Len()}
	case reflect.Struct:
		if _, known := defs[t.Name()]; !known {
			defs[t.Name()] = nil
			properties, required := map[string]any{}, []string{}
			fieldsOf(t, t.Name(), defs, properties, &required)
			defs[t.Name()] = map[string]any{"type": "object", "properties": properties, "required": required}
		}
		return map[string]any{"$ref": "#/$defs/" + t.Name()}
	}
	panic("no schema for " + t.String())
}

func fieldsOf(t reflect.Type, name string, defs, properties map[string]any, required *[]string) {
	for i := range t.NumField() {
		f := t.Field(i)
		if f.Anonymous {
			fieldsOf(f.Type, name, defs, properties, required)
			continue
		}
		key, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		s := schemaOf(f.Type, defs)
		if among, ok := words[name+"."+key]; ok {
			s.(map[string]any)["enum"] = among
		}
		properties[key] = s
		if options != "omitempty" {
			*required = append(*required, key)
		}
	}
}

func TestSchemaFollowsTypes(t *testing.T) {
	defs := map[string]any{}
	root := map[string]any{
		"$schema": "https://json-schema.org/draft/2020-12/schema",
		"title":   "Plan of a quilt, format 1",
		"$ref":    schemaOf(reflect.TypeFor[plan.Plan](), defs).(map[string]any)["$ref"],
		"$defs":   defs,
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetIndent("", " ")
	if err := e.Encode(root); err != nil {
		t.Fatal(err)
	}
	if *update {
		if err := os.WriteFile("plan.schema.json", b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if !bytes.Equal(b.Bytes(), plan.Schema) {
		t.Error("plan.schema.json does not follow the types; run go test ./internal/plan -update")
	}
}

func compiled(t *testing.T) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(plan.Schema))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("plan.schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("plan.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func validate(t *testing.T, s *jsonschema.Schema, src []byte) error {
	t.Helper()
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(src))
	if err != nil {
		t.Fatal(err)
	}
	return s.Validate(v)
}

func TestSchemaTakesPlans(t *testing.T) {
	s := compiled(t)
	for name, p := range map[string]plan.Plan{
		"empty": {Format: 1, Measure: "inch"},
		"small": sample(),
	} {
		src, err := json.Marshal(p)
		if err != nil {
			t.Fatal(err)
		}
		if err := validate(t, s, src); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestSchemaRefuses(t *testing.T) {
	s := compiled(t)
	src, err := json.Marshal(sample())
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range [][2]string{
		{`"measure":"inch"`, `"measure":"ell"`},
		{`"units":[`, `"units":null,"was":[`},
		{`"op":"lay"`, `"op":"throw"`},
		{`"outline":[[0,0],`, `"outline":[[0],`},
		{`"seam":0.25,`, ``},
	} {
		bad := bytes.Replace(src, []byte(c[0]), []byte(c[1]), 1)
		if bytes.Equal(bad, src) {
			t.Errorf("%s does not stand in the sample", c[0])
		} else if validate(t, s, bad) == nil {
			t.Errorf("%s instead of %s is taken", c[1], c[0])
		}
	}
	more := bytes.Replace(src, []byte(`"format":1`), []byte(`"format":1,"more":[1]`), 1)
	if err := validate(t, s, more); err != nil {
		t.Errorf("a further key is refused: %v", err)
	}
}

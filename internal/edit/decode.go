package edit

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"

	"quiltwright/internal/diag"
)

// kinds has a fresh operation by its name.
var kinds = map[string]func() Op{}

// register makes the operation known to Decode.
func register[T any, P interface {
	*T
	Op
}]() {
	kinds[P(new(T)).Name()] = func() Op { return P(new(T)) }
}

// Names are the names of all operations, sorted.
func Names() []string {
	var out []string
	for k := range kinds {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

// Decode reads an operation from JSON: an object with the operation's name under "do" and its fields, as in
// {"do": "rename block", "block": "Beam", "to": "Ray"}. A name or field that is not known is an error, as is anything after the object.
func Decode(data []byte) (Op, error) {
	var fields map[string]json.RawMessage
	if err := whole(data, &fields, false); err != nil {
		return nil, &Error{Op: "operation", Says: "it is not a JSON object: " + err.Error(), Remedy: `for example  {"do": "rename block", "block": "Beam", "to": "Ray"}`}
	}
	var name string
	if err := json.Unmarshal(fields["do"], &name); err != nil {
		return nil, &Error{Op: "operation", Says: `it has no name under "do"`, Remedy: "names: " + strings.Join(Names(), ", ")}
	}
	fresh := kinds[name]
	if fresh == nil {
		e := &Error{Op: "operation", Says: fmt.Sprintf("no operation is called “%s”", shorten(name)), Remedy: "names: " + strings.Join(Names(), ", ")}
		if near := diag.Suggest(name, Names()); near != "" {
			e.Remedy = fmt.Sprintf("did you mean “%s”?", near)
		}
		return nil, e
	}
	op := fresh()
	known := fieldsOf(op)
	for k := range fields {
		if k != "do" && !slices.Contains(known, k) {
			e := &Error{Op: name, Says: fmt.Sprintf("it has no field “%s”", shorten(k)), Remedy: "fields: " + strings.Join(known, ", ")}
			if near := diag.Suggest(k, known); near != "" {
				e.Remedy = fmt.Sprintf("did you mean “%s”?", near)
			}
			return nil, e
		}
	}
	delete(fields, "do")
	rest, err := json.Marshal(fields)
	if err == nil {
		err = whole(rest, op, true)
	}
	if err != nil {
		return nil, &Error{Op: name, Says: strings.TrimPrefix(err.Error(), "json: "), Remedy: "fields: " + strings.Join(known, ", ")}
	}
	return op, nil
}

// whole decodes data and nothing after it.
func whole(data []byte, to any, strict bool) error {
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	if strict {
		d.DisallowUnknownFields()
	}
	if err := d.Decode(to); err != nil {
		return err
	}
	if _, err := d.Token(); err != io.EOF {
		return fmt.Errorf("something follows the object")
	}
	return nil
}

// fieldsOf are the JSON names of the operation's fields, in their order.
func fieldsOf(op Op) []string {
	var out []string
	t := reflect.TypeOf(op).Elem()
	for i := range t.NumField() {
		name, _, _ := strings.Cut(t.Field(i).Tag.Get("json"), ",")
		out = append(out, name)
	}
	return out
}

// Encode writes the operation as Decode reads it.
func Encode(op Op) []byte {
	body, err := json.Marshal(op)
	if err != nil {
		panic("edit: operation cannot be written: " + err.Error()) // its fields are all data
	}
	name, _ := json.Marshal(op.Name())
	out := append([]byte(`{"do":`), name...)
	if len(body) > 2 {
		out = append(out, ',')
	}
	return append(out, body[1:]...)
}

// Words are text that JSON may give as one word, a number, true or false, or a list of them: a size "12" or ["12", "8"], points "0,2 6,2" or
// ["0,2", "6,2"].
type Words []string

// UnmarshalJSON reads one word or a list.
func (w *Words) UnmarshalJSON(data []byte) error {
	v, err := decodeValue(data)
	if err != nil {
		return err
	}
	*w = nil
	switch {
	case v.kind == nothing:
		return nil
	case v.kind == scalar:
		*w = Words{v.text}
		return nil
	case v.kind == sequence:
		for _, i := range v.items {
			if i.value.kind != scalar {
				return fmt.Errorf("a list of words holds something else")
			}
			*w = append(*w, i.value.text)
		}
		return nil
	}
	return fmt.Errorf("one word or a list of words is wanted, not an object")
}

// Value is any value of a document: a word, a number, true or false, a list or a mapping, in the order written.
type Value struct{ raw json.RawMessage }

// Word is a word as a value.
func Word(s string) Value {
	raw, _ := json.Marshal(s)
	return Value{raw}
}

// JSON is JSON as a value.
func JSON(s string) Value { return Value{json.RawMessage(s)} }

// UnmarshalJSON keeps the value as it is written.
func (v *Value) UnmarshalJSON(data []byte) error {
	v.raw = slices.Clone(data)
	_, err := decodeValue(data)
	return err
}

// MarshalJSON is the value as it was written.
func (v Value) MarshalJSON() ([]byte, error) {
	if len(v.raw) == 0 {
		return []byte("null"), nil
	}
	return v.raw, nil
}

// node is the value as it is to be written; nothing for null and for no value. Everything is in brackets.
func (v Value) node() (*node, error) {
	if len(v.raw) == 0 {
		return &node{}, nil
	}
	return decodeValue(v.raw)
}

const maxValueDepth = 20

// decodeValue reads JSON into nodes, keeping the order of keys and numbers as written.
func decodeValue(data []byte) (*node, error) {
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	n, err := decodeNext(d, 1)
	if err != nil {
		return nil, err
	}
	if _, err := d.Token(); err != io.EOF {
		return nil, fmt.Errorf("something follows the value")
	}
	return n, nil
}

func decodeNext(d *json.Decoder, depth int) (*node, error) {
	if depth > maxValueDepth {
		return nil, fmt.Errorf("the value is nested more than %d deep", maxValueDepth)
	}
	t, err := d.Token()
	if err != nil {
		return nil, err
	}
	switch t := t.(type) {
	case nil:
		return &node{}, nil
	case bool:
		return text(fmt.Sprint(t)), nil
	case json.Number:
		return text(t.String()), nil
	case string:
		return text(t), nil
	case json.Delim:
		n := list(true)
		if t == '{' {
			n = dict(true)
		}
		for d.More() {
			key := ""
			if n.kind == mapping {
				k, err := d.Token()
				if err != nil {
					return nil, err
				}
				if key, _ = k.(string); key == "" {
					return nil, fmt.Errorf("a key is empty")
				}
				if e, _ := n.get(key); e != nil {
					return nil, fmt.Errorf("the key “%s” is written twice", shorten(key))
				}
			}
			v, err := decodeNext(d, depth+1)
			if err != nil {
				return nil, err
			}
			if v.kind == nothing {
				return nil, fmt.Errorf("null has no place inside a value")
			}
			if n.kind == mapping {
				n.with(key, v)
			} else {
				n.items = append(n.items, &item{value: v, dash: -1})
			}
		}
		_, err := d.Token()
		return n, err
	}
	return nil, fmt.Errorf("the value is not JSON")
}

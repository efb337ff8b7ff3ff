package plan

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"reflect"
	"strconv"
)

// Format is the number of the plan's form; a plan of another format is refused.
const Format = 1

// Limits of what Decode reads. A plan of 100,000 patches takes about 60 MB.
const (
	MaxBytes   = 128 << 20
	MaxNesting = 256
)

// Schema is the JSON Schema (draft 2020-12) of a plan. Keys beyond those it names are allowed.
//
//go:embed plan.schema.json
var Schema []byte

// MarshalJSON prints at most six decimals and no negative zero. It fails on a number that is not
// finite.
func (n Num) MarshalJSON() ([]byte, error) {
	f := float64(n)
	if math.IsNaN(f) || math.IsInf(f, 0) {
		return nil, fmt.Errorf("a length is not a finite number")
	}
	return appendNum(nil, f), nil
}

func appendNum(b []byte, f float64) []byte {
	if f == math.Trunc(f) && math.Abs(f) < 1e15 {
		return strconv.AppendInt(b, int64(f), 10)
	}
	start := len(b)
	b = strconv.AppendFloat(b, f, 'f', 6, 64)
	for b[len(b)-1] == '0' {
		b = b[:len(b)-1]
	}
	if b[len(b)-1] == '.' {
		b = b[:len(b)-1]
	}
	if string(b[start:]) == "-0" {
		return append(b[:start], '0')
	}
	return b
}

// MarshalJSON prints [x, y], or [x, y, bulge] where the edge that follows is an arc.
func (v Vertex) MarshalJSON() ([]byte, error) {
	if v.Bulge == 0 {
		return json.Marshal([2]Num{v.X, v.Y})
	}
	return json.Marshal([3]Num{v.X, v.Y, v.Bulge})
}

// UnmarshalJSON reads [x, y] or [x, y, bulge].
func (v *Vertex) UnmarshalJSON(src []byte) error {
	var at []Num
	if err := json.Unmarshal(src, &at); err != nil {
		return err
	}
	switch len(at) {
	case 2:
		*v = Vertex{X: at[0], Y: at[1]}
	case 3:
		*v = Vertex{X: at[0], Y: at[1], Bulge: at[2]}
	default:
		return &json.UnmarshalTypeError{Value: fmt.Sprintf("array of %d numbers", len(at)), Type: reflect.TypeFor[Vertex]()}
	}
	return nil
}

// UnmarshalJSON reads [x, y]; another count of numbers is an error.
func (p *Point) UnmarshalJSON(src []byte) error {
	var at []Num
	if err := json.Unmarshal(src, &at); err != nil {
		return err
	}
	if len(at) != 2 {
		return &json.UnmarshalTypeError{Value: fmt.Sprintf("array of %d numbers", len(at)), Type: reflect.TypeFor[Point]()}
	}
	*p = Point{at[0], at[1]}
	return nil
}

// MarshalJSON prints the plan with empty arrays and objects where a list or a map is nil and its
// key is never left out. The plan itself is not changed.
func (p Plan) MarshalJSON() ([]byte, error) {
	type bare Plan
	full, _ := filled(reflect.ValueOf(p))
	return json.Marshal(bare(full.Interface().(Plan)))
}

// wide is the longest list or object that is printed on one line, in bytes.
const wide = 120

// Encode returns the plan as JSON with a final line feed: what is short on one line, what is long with each of its members on a line of its own.
func Encode(p *Plan) ([]byte, error) {
	src, err := json.Marshal(p)
	if err != nil {
		return nil, err
	}
	return append(indent(make([]byte, 0, 5*len(src)/4), src), '\n'), nil
}

// indent appends compact JSON to b, broken into lines.
func indent(b, src []byte) []byte {
	depth, flat, quoted := 0, 0, false // flat counts the brackets open in a member that stands on one line
	line := func() { b = append(append(b, '\n'), bytes.Repeat([]byte{' '}, depth)...) }
	for i := 0; i < len(src); i++ {
		c := src[i]
		switch {
		case quoted:
			if b = append(b, c); c == '\\' {
				i++
				b = append(b, src[i])
			}
			quoted = c != '"'
		case c == '"':
			b, quoted = append(b, c), true
		case c == '[' || c == '{':
			b = append(b, c)
			if flat > 0 || short(src[i:]) {
				flat++
				break
			}
			depth++
			line()
		case c == ']' || c == '}':
			if flat > 0 {
				flat--
			} else {
				depth--
				line()
			}
			b = append(b, c)
		case c == ',' && flat == 0:
			b = append(b, c)
			line()
		case c == ',' || c == ':':
			b = append(b, c, ' ')
		default:
			b = append(b, c)
		}
	}
	return b
}

// short reports whether the list or object that src begins with fits on a line.
func short(src []byte) bool {
	depth, quoted := 0, false
	for i := 0; i < min(len(src), wide); i++ {
		switch c := src[i]; {
		case quoted && c == '\\':
			i++
		case c == '"':
			quoted = !quoted
		case quoted:
		case c == '[' || c == '{':
			depth++
		case c == ']' || c == '}':
			if depth--; depth == 0 {
				return true
			}
		}
	}
	return false
}

// filled returns a value in which no list or map is nil, and whether it differs from v. What does
// not differ is shared with v.
func filled(v reflect.Value) (reflect.Value, bool) {
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() {
			return v, false
		}
		if e, changed := filled(v.Elem()); changed {
			p := reflect.New(e.Type())
			p.Elem().Set(e)
			return p, true
		}
	case reflect.Map:
		if v.IsNil() {
			return reflect.MakeMap(v.Type()), true
		}
	case reflect.Slice:
		if v.IsNil() {
			return reflect.MakeSlice(v.Type(), 0, 0), true
		}
		if k := v.Type().Elem().Kind(); k != reflect.Struct && k != reflect.Slice && k != reflect.Pointer {
			return v, false
		}
		var c reflect.Value
		for i := range v.Len() {
			e, changed := filled(v.Index(i))
			if changed && !c.IsValid() {
				c = reflect.MakeSlice(v.Type(), v.Len(), v.Len())
				reflect.Copy(c, v)
			}
			if changed {
				c.Index(i).Set(e)
			}
		}
		if c.IsValid() {
			return c, true
		}
	case reflect.Struct:
		var c reflect.Value
		for i := range v.NumField() {
			e, changed := filled(v.Field(i))
			if !changed {
				continue
			}
			if !c.IsValid() {
				c = reflect.New(v.Type()).Elem()
				c.Set(v)
			}
			c.Field(i).Set(e)
		}
		if c.IsValid() {
			return c, true
		}
	}
	return v, false
}

// Decode reads a plan. Keys it does not know are passed over. An error says where: the line and
// column of the text, and the path of keys where there is one.
func Decode(src []byte) (*Plan, error) {
	if len(src) > MaxBytes {
		return nil, fmt.Errorf("the plan has %d bytes, the limit is %d", len(src), MaxBytes)
	}
	if at := tooDeep(src); at >= 0 {
		return nil, fmt.Errorf("%s: nested deeper than %d", place(src, int64(at)), MaxNesting)
	}
	d := json.NewDecoder(bytes.NewReader(src))
	var p Plan
	if err := d.Decode(&p); err != nil {
		return nil, explain(src, d, err)
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return nil, fmt.Errorf("%s: something follows the plan", place(src, d.InputOffset()))
	}
	if p.Format != Format {
		return nil, fmt.Errorf("format: %d is not known, this program reads format %d", p.Format, Format)
	}
	return &p, nil
}

// explain says where reading failed and what would be right.
func explain(src []byte, d *json.Decoder, err error) error {
	var syntax *json.SyntaxError
	var wrong *json.UnmarshalTypeError
	switch {
	case errors.As(err, &wrong):
		path := wrong.Field
		if path == "" {
			path = "the plan"
		}
		return fmt.Errorf("%s: %s: %s found, %s expected", place(src, wrong.Offset), path, wrong.Value, expected(wrong.Type))
	case errors.As(err, &syntax):
		return fmt.Errorf("%s: not JSON: %s", place(src, syntax.Offset), syntax)
	case errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF):
		return fmt.Errorf("%s: the plan ends too soon", place(src, int64(len(src))))
	}
	return fmt.Errorf("%s: %w", place(src, d.InputOffset()), err)
}

// expected names a type in words.
func expected(t reflect.Type) string {
	switch t {
	case reflect.TypeFor[Vertex]():
		return "[x, y] or [x, y, bulge]"
	case reflect.TypeFor[Point]():
		return "[x, y]"
	}
	switch t.Kind() {
	case reflect.String:
		return "text"
	case reflect.Bool:
		return "true or false"
	case reflect.Int:
		return "a whole number"
	case reflect.Float64:
		return "a number"
	case reflect.Slice, reflect.Array:
		return "an array"
	}
	return "an object"
}

// place is the line and column of an offset, both from 1.
func place(src []byte, offset int64) string {
	offset = max(0, min(offset, int64(len(src))))
	before := src[:offset]
	return fmt.Sprintf("line %d, column %d", 1+bytes.Count(before, []byte{'\n'}), len(before)-bytes.LastIndexByte(before, '\n'))
}

// tooDeep returns where brackets nest deeper than the limit, or -1.
func tooDeep(src []byte) int {
	depth, quoted := 0, false
	for i := 0; i < len(src); i++ {
		switch c := src[i]; {
		case quoted && c == '\\':
			i++
		case c == '"':
			quoted = !quoted
		case quoted:
		case c == '{' || c == '[':
			if depth++; depth > MaxNesting {
				return i
			}
		case c == '}' || c == ']':
			depth--
		}
	}
	return -1
}

package quilt_test

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"quiltwright/internal/diag"
	"quiltwright/internal/exact"
)

// dump writes any value of a document as readable lines; what is zero is left out, and a place stands as line:column.
func dump(v any) string {
	var b strings.Builder
	dumpValue(&b, reflect.ValueOf(v), "")
	return b.String() + "\n"
}

func dumpValue(b *strings.Builder, v reflect.Value, indent string) {
	switch x := v.Interface().(type) {
	case exact.Num:
		fmt.Fprintf(b, " %v", x)
		return
	case diag.Pos:
		fmt.Fprintf(b, " %d:%d", x.Line, x.Column)
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		dumpValue(b, v.Elem(), indent)
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Field(i); !f.IsZero() {
				fmt.Fprintf(b, "\n%s%s", indent, v.Type().Field(i).Name)
				dumpValue(b, f, indent+"  ")
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			fmt.Fprintf(b, "\n%s-", indent)
			dumpValue(b, v.Index(i), indent+"  ")
		}
	case reflect.Map:
		var lines []string
		for _, k := range v.MapKeys() {
			lines = append(lines, fmt.Sprintf("\n%s%v: %v", indent, k, v.MapIndex(k)))
		}
		slices.Sort(lines)
		b.WriteString(strings.Join(lines, ""))
	default:
		fmt.Fprintf(b, " %v", v)
	}
}

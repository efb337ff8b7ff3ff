package edit_test

import (
	"reflect"
	"testing"

	"quiltwright/internal/edit"
	"quiltwright/internal/quilt"
)

const dressed = `format: 1
quilt: Try
fabrics:
  A: {name: Fog, color: "#e8e3d6", value: light} # the sky
  B: {name: Slate, color: "#45505c", swatch: slate.jpg, width: 42}
  C: {name: Ember}
palettes:
  Night:
    A: {name: Ink, color: "#1d2433"}
    B: {name: Moon, color: "#f0ead0", value: medium}
    C: {color: "#000000"}
  Dusk:
    A: {name: Rose}
blocks:
  One:
    size: 8
    grid: 1
    ground: A
`

// TestAdoptPalette makes palettes the quilt's own, and its own a palette; what a palette says stands in the order of a fabric.
func TestAdoptPalette(t *testing.T) {
	for _, c := range []struct{ op, want string }{
		{`{"do": "adopt palette", "palette": "Night"}`, `-  A: {name: Fog, color: "#e8e3d6", value: light} # the sky
-  B: {name: Slate, color: "#45505c", swatch: slate.jpg, width: 42}
-  C: {name: Ember}
+  A: {name: Ink, color: "#1d2433"} # the sky
+  B: {name: Moon, color: "#f0ead0", value: medium, width: 42}
+  C: {name: Ember, color: "#000000"}
-  Night:
-    A: {name: Ink, color: "#1d2433"}
-    B: {name: Moon, color: "#f0ead0", value: medium}
-    C: {color: "#000000"}
`},
		{`{"do": "put", "at": ["palettes", "Night", "C", "name"], "value": "Coal"}`, `-    C: {color: "#000000"}
+    C: {name: Coal, color: "#000000"}
`},
		{`{"do": "adopt palette", "palette": "Dusk"}`, `-  A: {name: Fog, color: "#e8e3d6", value: light} # the sky
+  A: {name: Rose, color: "#e8e3d6", value: light} # the sky
-  Dusk:
-    A: {name: Rose}
`},
	} {
		out, err := edit.Apply([]byte(dressed), decode(t, c.op))
		if err != nil {
			t.Fatal(err)
		}
		if got := changed([]byte(dressed), out); got != c.want {
			t.Errorf("%s changes\n%s", c.op, got)
		}
	}

	// What the quilt was is kept: in the palette that keeps it, it looks as before.
	before, _ := quilt.Read("", []byte(dressed))
	tried, _ := before.In("Night")
	out, err := edit.Apply([]byte(dressed), &edit.AdoptPalette{Palette: "Night", Keep: "Day"})
	if err != nil {
		t.Fatal(err)
	}
	after, found := quilt.Read("", out)
	if len(found) > 0 {
		t.Fatal(found)
	}
	if got, want := looks(after), looks(tried); !reflect.DeepEqual(got, want) {
		t.Errorf("the quilt looks like %v, the palette looked like %v", got, want)
	}
	kept, ok := after.In("Day")
	if !ok || !reflect.DeepEqual(looks(kept), looks(before)) {
		t.Errorf("what is kept looks like %v, it was %v", looks(kept), looks(before))
	}
	for _, op := range []string{`{"do": "adopt palette", "palette": "Noon"}`, `{"do": "adopt palette", "palette": "Night", "keep": "Dusk"}`} {
		if _, err := edit.Apply([]byte(dressed), decode(t, op)); err == nil {
			t.Errorf("%s is no error", op)
		}
	}
}

// looks is how the fabrics of a document look.
func looks(d *quilt.Document) (out [][4]string) {
	for _, f := range d.Fabrics {
		out = append(out, [4]string{f.Name, f.Color, string(f.Value), f.Swatch})
	}
	return out
}

package edit_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"quiltwright/internal/diag"
	"quiltwright/internal/edit"
	"quiltwright/internal/quilt"
)

// meaning is all that the reader takes from a text, without places, as text.
func meaning(t *testing.T, src []byte) string {
	t.Helper()
	doc, found := quilt.Read("", src)
	for _, f := range found {
		if f.Severity == diag.Error && f.Code != "programme" {
			t.Fatalf("%v\n%s", found, src)
		}
	}
	b, err := json.Marshal(doc)
	if err != nil {
		t.Fatal(err)
	}
	var v any
	if err := json.Unmarshal(b, &v); err != nil {
		t.Fatal(err)
	}
	var strip func(v any)
	strip = func(v any) {
		switch v := v.(type) {
		case map[string]any:
			for k, x := range v {
				if k == "At" || strings.HasSuffix(k, "At") || strings.HasSuffix(k, "Places") {
					delete(v, k)
				} else {
					strip(x)
				}
			}
		case []any:
			for _, x := range v {
				strip(x)
			}
		}
	}
	strip(v)
	out, _ := json.Marshal(v)
	return string(out)
}

// TestMeaning renames and says what the reader must read then, found without this package; and does things that take each other back.
func TestMeaning(t *testing.T) {
	for name, src := range documents(t) {
		doc, _ := quilt.Read("", src)
		before := meaning(t, src)
		for _, b := range doc.Blocks {
			out, err := edit.Apply(src, &edit.RenameBlock{Block: b.Name, To: "Zz, Top"})
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			was, _ := json.Marshal(b.Name)
			want := before
			for _, key := range []string{"Name", "Block"} {
				want = strings.ReplaceAll(want, fmt.Sprintf("%q:%s", key, was), fmt.Sprintf("%q:%q", key, "Zz, Top"))
			}
			if got := meaning(t, out); got != want {
				t.Errorf("%s: renaming %s changes what else it says\n%s", name, b.Name, changed(src, out))
			}
		}
		for _, f := range doc.Fabrics {
			out, err := edit.Apply(src, &edit.RenameFabric{Fabric: f.Letter, To: "ZZ"})
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			back, err := edit.Apply(out, &edit.RenameFabric{Fabric: "ZZ", To: f.Letter})
			if err != nil || string(back) != string(src) {
				t.Errorf("%s: renaming fabric %s there and back: %v\n%s", name, f.Letter, err, changed(src, back))
			}
			if doc, _ := quilt.Read("", out); strings.Contains(meaning(t, out), fmt.Sprintf("%q:%q", "Fabric", f.Letter)) || len(doc.Fabrics) == 0 {
				t.Errorf("%s: fabric %s is still used", name, f.Letter)
			}
		}
		var there, back []edit.Op
		if doc.Set != nil {
			for r, row := range doc.Set.Rows {
				for c := range row {
					there = append(there, &edit.TurnCell{Row: r + 1, Column: c + 1, By: 90}, &edit.MirrorCell{Row: r + 1, Column: c + 1})
					back = append(back, &edit.TurnCell{Row: r + 1, Column: c + 1, By: 90}, &edit.MirrorCell{Row: r + 1, Column: c + 1})
				}
			}
		}
		for _, b := range doc.Blocks {
			if b.Drawn() && len(b.Symmetry) == 0 {
				there = append(there, &edit.SetGrid{Block: b.Name, Columns: 3 * b.Columns, Rows: 3 * b.Rows, Scale: true}, &edit.DrawLine{Block: b.Name, Points: edit.Words{"0,0", "1,1"}})
				back = append(back, &edit.RemoveLine{Block: b.Name, Line: len(b.Lines) + 1}, &edit.SetGrid{Block: b.Name, Columns: b.Columns, Rows: b.Rows, Scale: true})
			}
		}
		out, err := edit.Apply(src, append(there, back...)...)
		if err != nil {
			t.Errorf("%s: %v", name, err)
		} else if got := meaning(t, out); got != before {
			t.Errorf("%s: there and back is something else\n%s", name, changed(src, out))
		}
	}
}

// A repeat stays one when the set is laid on point: every gap is written, also those between one laying and the next. Laid straight
// again, the set means what it meant.
func TestLayOnPointKeepsRepeat(t *testing.T) {
	const head = "quilt: Q\nfabrics: {A: {name: Fog}}\nblocks:\n  Lamp: {size: 6, grid: 1, ground: A}\n  Mast: {size: 6, grid: 2, ground: A}\nset:\n"
	for _, c := range []struct{ set, want string }{
		{"  rows: [[Lamp, Mast], [Mast, Lamp]]\n  repeat: 2 x 3\n", "Lamp Mast; Lamp Mast; Mast Lamp; Mast Lamp"},
		{"  rows: [[Lamp, Mast], [Mast, Lamp]]\n  repeat: 1 x 3\n", "Lamp Mast; Lamp; Mast Lamp; Mast"},
		{"  rows: [[Lamp, Mast], [Mast, Lamp]]\n  repeat: 3 x 1\n", "Lamp Mast; Lamp Mast; Mast Lamp"},
		{"  rows: [[Lamp]]\n  repeat: 3 x 2\n", "Lamp; Lamp"},
		{"  rows: [[Lamp]]\n  repeat: 1 x 2\n", "Lamp"},
	} {
		text, err := edit.Apply([]byte(head+c.set), &edit.LayOnPoint{Triangles: "A"})
		if err != nil {
			t.Fatal(err)
		}
		doc, found := quilt.Read("q.yaml", text)
		if len(found) > 0 {
			t.Fatalf("%s\n%v", text, found)
		}
		var rows []string
		for _, row := range doc.Set.Rows {
			var cells []string
			for _, cell := range row {
				cells = append(cells, cell.Block)
			}
			rows = append(rows, strings.Join(cells, " "))
		}
		if got := strings.Join(rows, "; "); got != c.want {
			t.Errorf("%s is on point %s, want %s", c.set, got, c.want)
		}
		straight, err := edit.Apply(text, &edit.LayStraight{})
		if err != nil {
			t.Fatal(err)
		}
		if got, want := meaning(t, straight), meaning(t, []byte(head+c.set)); got != want {
			t.Errorf("%s was laid straight again as\n%s", c.set, straight)
		}
	}
}

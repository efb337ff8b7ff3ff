package guillotine_test

import (
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"quiltwright/internal/guillotine"
)

// What is remembered is what would be found: no two problems are taken for one.
func TestMemory(t *testing.T) {
	var memory guillotine.Memory
	rapid.Check(t, func(t *rapid.T) {
		p := guillotine.Problem{Width: rapid.Int64Range(10, 12).Draw(t, "width"), Stages: rapid.IntRange(2, 3).Draw(t, "stages"),
			Effort: guillotine.Effort(rapid.IntRange(0, 1).Draw(t, "effort"))}
		for range rapid.IntRange(0, 2).Draw(t, "items") {
			p.Items = append(p.Items, guillotine.Item{W: rapid.Int64Range(4, 6).Draw(t, "w"), H: rapid.Int64Range(4, 11).Draw(t, "h"),
				Count: rapid.IntRange(0, 3).Draw(t, "count"), Turn: rapid.Bool().Draw(t, "turn")})
		}
		want, err := guillotine.Lay(p)
		for range 2 {
			got, again := memory.Lay(p)
			if !reflect.DeepEqual(got, want) || !reflect.DeepEqual(err, again) {
				t.Fatalf("%v is laid %v %v, want %v %v", p, got, again, want, err)
			}
		}
		q := guillotine.SheetProblem{Width: p.Width, Length: rapid.Int64Range(10, 12).Draw(t, "length"), Items: p.Items, Effort: p.Effort}
		sheets, err := guillotine.LaySheets(q)
		for range 2 {
			got, again := memory.LaySheets(q)
			if !reflect.DeepEqual(got, sheets) || !reflect.DeepEqual(err, again) {
				t.Fatalf("%v takes %v %v, want %v %v", q, got, again, sheets, err)
			}
		}
		sheet, count, err := guillotine.FillSheet(q)
		for range 2 {
			got, n, again := memory.FillSheet(q)
			if !reflect.DeepEqual(got, sheet) || !reflect.DeepEqual(n, count) || !reflect.DeepEqual(err, again) {
				t.Fatalf("%v is filled %v %v %v, want %v %v %v", q, got, n, again, sheet, count, err)
			}
		}
	})
}

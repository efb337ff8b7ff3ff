package app

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// unlaid is a quilt of two blocks that are drawn and lie in no rows yet.
const unlaid = twoFabrics + `  C: {name: Ember, color: "#c8502b"}
` + kiteAndPlain

// laid is what both hands must leave of the set, pointer and keys.
const laid = `
set:
  rows:
    - [Plain, Kite, Kite@90]
    - [Kite, Kite@m, Plain]
  sashing: {width: 1 1/2, fabric: B, posts: C, outside: true}
`

// openPlace opens a document at a place.
func openPlace(t testing.TB, text, address string) *window {
	t.Helper()
	w := openWindow(t, text, 1280, 720)
	w.goTo(address)
	return w
}

// fieldAt is where the middle of a field of the quilt is in the window.
func (w *window) fieldAt(row, column int) (float64, float64) {
	w.t.Helper()
	p := eval[[]float64](w, fmt.Sprintf(`(() => {
		const l = window.quiltwright.shown.lay, i = l.fields.findIndex(p => p.row === %d && p.column === %d), b = document.getElementById('field-' + i).getBoundingClientRect();
		return [b.x + b.width / 2, b.y + b.height / 2]; })()`, row, column))
	return p[0], p[1]
}

// pullFields drags from field to field.
func (w *window) pullFields(fields ...[2]int) {
	w.t.Helper()
	var points [][2]float64
	for _, f := range fields {
		x, y := w.fieldAt(f[0], f[1])
		points = append(points, [2]float64{x, y})
	}
	w.pull(points...)
}

// TestSetByPointer lays a quilt of two rows from none, and puts sashing between.
func TestSetByPointer(t *testing.T) {
	w := openPlace(t, unlaid, "set")
	w.shot("set-empty")
	w.accessible("no set yet")
	w.press("other rows")
	w.fillIn("2 x 3")
	w.until("- [Kite, Kite, Kite]")
	w.pull(w.middleOf(`[data-focus="block Plain"]`), func() [2]float64 { x, y := w.fieldAt(2, 3); return [2]float64{x, y} }()) // dragged out of the list
	w.until("- [Kite, Kite, Plain]")
	w.press("Plain")
	w.wait(`window.quiltwright.shown.lay.hand === 'Plain' && location.hash.includes('hand=Plain')`)
	w.pullFields([2]int{1, 1}) // pointed at with a block in hand
	w.until("- [Plain, Kite, Kite]")
	w.press("put it down")
	w.pullFields([2]int{1, 3})
	w.press("turn")
	w.until("- [Plain, Kite, Kite@90]")
	w.shot("set-chosen")
	if got := eval[string](w, `document.querySelector('[role=option][aria-selected=true]').getAttribute('aria-label')`); got != "row 1, column 3: Kite, turned 90" {
		t.Errorf("the field is called %q", got)
	}
	w.pullFields([2]int{2, 2})
	w.press("mirror")
	w.until("- [Kite, Kite@m, Plain]")
	w.press("Sashing: ")
	w.press("B Slate")
	w.until("sashing: {width: 2, fabric: B}")
	w.press("Width of the sashing")
	w.fillIn("1 1/2")
	w.until("width: 1 1/2")
	w.press("no posts")
	w.press("C Ember")
	w.until("posts: C")
	w.press("only between")
	w.until("outside: true")
	if !strings.HasSuffix(w.text(), laid) {
		t.Errorf("the document is\n%s", w.text())
	}
	w.wait(`document.querySelector('.set .values').textContent.replaceAll('\u00a0', ' ').includes('30 × 20 1/2 in finished')`)
	w.wait(`document.querySelector('#verdict.proven') && document.querySelector('.pages svg')`)
	w.shot("set-by-pointer")

	// A block dragged onto another changes places with it; all of one are exchanged for another; one is recolored.
	w.pullFields([2]int{1, 1}, [2]int{2, 1})
	w.until("- [Kite, Kite, Kite@90]\n    - [Plain, Kite@m, Plain]")
	w.press("recolor")
	w.press("C Ember")
	w.press("B Slate")
	w.until("- [{block: Plain, recolor: {C: B}}, Kite@m, Plain]")
	w.press("all of Plain for another")
	w.press("Kite")
	w.until("- [Kite, Kite@m, Kite]")
	w.press("rows and columns")
	w.press("another row below")
	w.until("- [Kite, Kite@m, Kite]\n    - [Kite, Kite@m, Kite]")
	w.press("rows and columns")
	w.press("without this column")
	w.until("- [Kite, Kite@90]\n    - [Kite@m, Kite]\n    - [Kite@m, Kite]")
	w.press("Plain")
	w.wait(`window.quiltwright.shown.lay.hand === 'Plain'`)
	w.pullFields([2]int{1, 1}, [2]int{1, 2}, [2]int{2, 2}) // a stroke across several is one step
	w.until("- [Plain, Plain]\n    - [Kite@m, Plain]\n    - [Kite@m, Kite]")
	w.undone(unlaid)
	w.quiet()
}

// TestSetByKeys lays the same without the pointer.
func TestSetByKeys(t *testing.T) {
	w := openPlace(t, unlaid, "set")
	w.tabTo("other rows")
	w.keys(kb.Enter)
	w.fillIn("2 x 3")
	w.until("- [Kite, Kite, Kite]")
	w.tabTo("quilt")
	w.keys(kb.ArrowDown, "2")
	w.enter()
	w.until("- [Plain, Kite, Kite]")
	w.keys(kb.ArrowRight, kb.ArrowRight, kb.ArrowDown)
	w.wait(`document.querySelector('#doing').textContent === 'laying Plain; on row 2, column 3: Kite'`)
	w.enter()
	w.until("- [Kite, Kite, Plain]")
	w.keys("0", kb.ArrowUp, "t")
	w.until("- [Plain, Kite, Kite@90]")
	w.keys(kb.ArrowLeft, kb.ArrowDown, "m")
	w.until("- [Kite, Kite@m, Plain]")
	w.tabTo("sashing")
	w.keys(kb.Enter)
	w.wait(`document.querySelector("dialog[open]")`)
	w.keys(kb.Tab, kb.Enter)
	w.until("sashing: {width: 2, fabric: B}")
	w.tabTo("sashing")
	w.keys(kb.Enter)
	w.fillIn("1 1/2")
	w.until("width: 1 1/2")
	w.tabTo("posts")
	w.keys(kb.Enter)
	w.wait(`document.querySelector("dialog[open]")`)
	w.keys(kb.Tab, kb.Tab, kb.Enter)
	w.until("posts: C")
	w.tabTo("outside")
	w.keys(kb.Enter)
	w.until("outside: true")
	if !strings.HasSuffix(w.text(), laid) {
		t.Errorf("the document is\n%s", w.text())
	}
	// The other keys.
	w.tabTo("quilt")
	w.keys("x", kb.ArrowUp)
	w.enter()
	w.until("- [Plain, Kite@m, Kite@90]\n    - [Kite, Kite, Plain]")
	w.keys("M", "R")
	w.until("- [Kite, Kite, Plain]\n  sash")
	w.keys("k")
	w.wait(`window.quiltwright.answer.view.columns === 4`)
	w.keys("K")
	w.wait(`window.quiltwright.answer.view.columns === 3`)
	w.enter()
	w.press("lay another")
	w.press("Plain")
	w.until("[Kite, Plain, Plain]")
	w.keys("e")
	w.press("Kite")
	w.wait(`window.quiltwright.answer.view.blocks[1].placed === 0`)
	w.keys("?")
	w.wait(`document.querySelector('dialog[open] table')`)
	w.accessible("the keys of Set")
	w.keys(kb.Escape)
	w.undone(unlaid)
	w.quiet()
}

// TestSetParts lays a quilt on point and straight again, with borders and repeats, and shows where what does not fit is.
func TestSetParts(t *testing.T) {
	text := unlaid + "  Wide:\n    size: [12, 8]\n    grid: 1\n    ground: B\nset:\n  rows:\n    - [Kite, Plain]\n    - [Plain, Kite]\n"
	w := openPlace(t, text, "set")
	w.press("straight")
	w.press("on point")
	w.press("B Slate")
	w.until("style: on point")
	w.until("triangles: B")
	w.wait(`window.quiltwright.shown.lay.fields.length === 5`)
	w.press("no float")
	w.fillIn("1/2")
	w.until("triangles: {fabric: B, float: 1/2}")
	w.press("Rows: 2 rows of 2")
	w.fillIn("3 x 2")
	w.wait(`window.quiltwright.shown.lay.fields.length === 8`)
	w.shot("set-on-point")
	w.press("on point")
	w.press("straight")
	w.wait(`window.quiltwright.shown.lay.fields.length === 6`)
	w.press("not repeated")
	w.fillIn("2 x 1")
	w.until("repeat: 2 x 1")
	w.wait(`window.quiltwright.shown.lay.fields.length === 12`)
	w.press("add a border")
	w.press("B Slate")
	w.until("{width: 4, fabric: B}")
	w.press("another border")
	w.press("C Ember")
	w.until("{width: 4, fabric: C}")
	w.press("Width of border 2")
	w.fillIn("5")
	w.until("{width: 5, fabric: C}")
	w.press("Corners of border 2")
	w.press("mitred: at 45 degrees")
	w.until("{width: 5, fabric: C, corners: mitred}")
	w.press("Corners of border 2")
	w.press("A Fog")
	w.until("{width: 5, fabric: C, corners: {fabric: A}}")
	w.press("outermost")
	w.press("one further in")
	w.until("borders:\n    - {width: 5, fabric: C, corners: {fabric: A}}\n    - {width: 4, fabric: B}")
	w.press("Binding: ")
	w.press("C Ember")
	w.until("binding: {fabric: C}")
	w.press("Backing: none")
	w.fillIn("Pebble")
	w.until("backing: {name: Pebble}")
	w.press("Width of the backing")
	w.fillIn("60")
	w.until("backing: {name: Pebble, width: 60}")
	w.press("Batting: none")
	w.until("batting: {overhang: 4}")
	w.wait(`document.querySelector('#verdict.proven')`)
	w.shot("set-parts")
	w.accessible("a set with all parts")
	w.press("outermost")
	w.press("remove it")
	w.until("borders:\n    - {width: 5, fabric: C, corners: {fabric: A}}\n")

	// A block that does not fit is laid all the same, and what is wrong is said and marked.
	w.press("Wide")
	w.wait(`window.quiltwright.shown.lay.hand === 'Wide'`)
	w.pullFields([2]int{2, 1})
	w.until("- [Wide, Kite]")
	w.wait(`document.querySelector('.found li.error') && document.querySelector('.quilt text.mark')`)
	if got := eval[string](w, `document.querySelector('.found li.error').textContent.replaceAll('\u00a0', ' ')`); !strings.HasPrefix(got, "Row 2 is 40 in wide and row 1 is 32 in") {
		t.Errorf("it is said that %q", got)
	}
	w.press("put it down")
	w.shot("set-misfit")
	w.accessible("a set that does not fit")
	w.undone(text)
	w.quiet()
}

// TestSetFresh begins with the file that open makes.
func TestSetFresh(t *testing.T) {
	w := openPlace(t, string(fresh("quilt.yaml")), "set")
	w.press("3 rows of 3")
	w.until("- [Block 1, Block 1, Block 1]")
	w.wait(`window.quiltwright.shown.lay.fields.length === 9`)
	w.undone(string(fresh("quilt.yaml")))
	w.quiet()
}

// TestSetLook looks at the quilts of the examples.
func TestSetLook(t *testing.T) {
	for _, name := range []string{"lantern-row", "on-point", "centimetres"} {
		text, err := os.ReadFile("../../examples/" + name + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		w := openPlace(t, string(text), "set")
		w.wait(`document.querySelector('#verdict.proven') && document.querySelector('.pages svg')`)
		w.shot("set-" + name)
		if got := eval[int](w, `window.quiltwright.answer.view.findings.filter(f => f.severity === 'error').length`); got != 0 {
			t.Errorf("%s: %d errors are said", name, got)
		}
		w.quiet()
	}
}

// TestSetByTouch lays and drags blocks with a finger.
func TestSetByTouch(t *testing.T) {
	text := unlaid + "set:\n  rows:\n    - [Kite, Kite]\n    - [Kite, Kite]\n"
	w := openWindow(t, text, 1024, 768)
	w.goTo("set")
	at := func(row, column int) [2]float64 { x, y := w.fieldAt(row, column); return [2]float64{x, y} }
	w.finger(w.middleOf(`[data-focus="block Plain"]`), at(1, 2))
	w.until("- [Kite, Plain]\n    - [Kite, Kite]")
	w.finger(at(1, 2), at(2, 1))
	w.until("- [Kite, Kite]\n    - [Plain, Kite]")
	w.finger(at(2, 2))
	w.press("turn")
	w.until("- [Plain, Kite@90]")
	w.undone(text)
	w.quiet()
}

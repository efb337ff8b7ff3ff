package app

import (
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// blank is a quilt with cloth and nothing drawn.
const blank = twoFabrics + `  C: {name: Ember, color: "#c8502b"}
blocks:
  Star:
    size: 8
    grid: 4
    ground: A
`

// starDrawn is what both hands must leave behind, keys and pointer: a star of four geese and four squares around one.
var starDrawn = []string{"size: 12", "symmetry: quarter turns", "- 1,0 1,4", "- 1,1 2,0 3,1"}

// TestDrawByPointer draws a sawtooth star from nothing.
func TestDrawByPointer(t *testing.T) {
	w := openWindow(t, blank, 1280, 720)
	w.press("8 in")
	w.fillIn("12")
	w.until("size: 12")
	w.press("no repeats")
	w.press("four quarter turns")
	w.until("symmetry: quarter turns")
	w.drag([2]float64{1, 0}, [2]float64{1, 4}) // a drag is a line
	w.until("- 1,0 1,4")
	w.click(1, 1) // clicks are a run
	w.click(2, 0)
	w.click(3, 1)
	w.click(3, 1)
	w.until("- 1,1 2,0 3,1")
	w.press("Fabric C Ember")
	w.click(2, 2)
	w.until("C: 2,2")
	w.press("Fabric B Slate")
	w.click(1.2, 0.2)
	w.until("B: 4/3,1/3")
	w.click(2.8, 0.2)
	w.until("B: 4/3,1/3 8/3,1/3")
	star(t, w)
	w.shot("star-by-pointer")
	w.drag([2]float64{0.5, 0.5}, [2]float64{1.1, 0.5}, [2]float64{2, 0.5}) // across a corner, a sky that has the fabric already, and a goose
	w.until("B: 4/3,1/3 8/3,1/3 1/2,1/2 2,1/2")

	// A point is moved, the line goes, and all of it is taken back.
	w.press("draw lines")
	w.click(1, 2.25)
	w.wait(`window.quiltwright.shown.sheet.chosen === 0`)
	w.drag([2]float64{1, 4}, [2]float64{1, 3})
	w.until("- 1,0 1,3")
	w.press("remove this line")
	w.wait(`window.quiltwright.answer.view.block.lines.length === 1`)
	w.idle()
	for eval[bool](w, `Boolean(window.quiltwright.answer.undo)`) {
		w.ctrl("z")
	}
	w.wait(`!window.quiltwright.answer.undo`)
	if w.text() != blank {
		t.Errorf("after taking everything back the document is\n%s", w.text())
	}
	w.quiet()
}

// TestDrawByKeys draws the same without the pointer.
func TestDrawByKeys(t *testing.T) {
	w := openWindow(t, blank, 1280, 720)
	w.tabTo("size")
	w.keys(kb.Enter)
	w.fillIn("12")
	w.until("size: 12")
	w.tabTo("symmetry")
	w.keys(kb.Enter)
	w.wait(`document.querySelector('dialog[open]')`)
	for range 5 {
		w.keys(kb.Tab)
	}
	w.keys(kb.Enter)
	w.until("symmetry: quarter turns")
	w.tabTo("sheet")
	w.keys(kb.ArrowRight, kb.ArrowRight, kb.Enter, kb.ArrowDown, kb.ArrowDown, kb.ArrowDown, kb.ArrowDown, kb.Enter, kb.Enter)
	w.until("- 1,0 1,4")
	w.keys(kb.ArrowUp, kb.ArrowUp, kb.ArrowUp, kb.Enter, kb.ArrowRight, kb.ArrowUp, kb.Enter, kb.ArrowRight, kb.ArrowDown, kb.Enter, kb.Enter)
	w.until("- 1,1 2,0 3,1")
	w.keys("3")
	w.patch(2, 2)
	w.keys(kb.Enter)
	w.until("C: 2,2")
	w.keys("2")
	for _, x := range []float64{1.25, 2.75} {
		w.patch(x, 0.25)
		w.keys(kb.Enter)
		w.until("B: 4/3,1/3")
	}
	w.until("B: 4/3,1/3 8/3,1/3")
	star(t, w)
	w.quiet()
}

// TestBegunThroughPlan: what a hand has begun on the sheet is not lost when a plan comes meanwhile.
func TestBegunThroughPlan(t *testing.T) {
	w := openWindow(t, blank, 1280, 720)
	comes := func() { eval[any](w, `window.quiltwright.look()`) }
	w.press("Fabric C Ember")
	x, y := w.sheetAt(2, 2)
	w.hold([2]float64{x, y})
	eval[any](w, `void window.quiltwright.look()`) // is shown when the pointer is up
	time.Sleep(300 * time.Millisecond)
	w.letGo([2]float64{x, y})
	w.until("C: 2,2")

	w.press("draw lines")
	w.click(1, 0)
	w.hold([2]float64{x, y})
	eval[any](w, `void window.quiltwright.look()`)
	time.Sleep(300 * time.Millisecond)
	w.letGo([2]float64{x, y})
	w.click(2, 2)
	w.until("- 1,0 2,2")

	w.tabTo("sheet")
	w.keys("n", kb.ArrowDown)
	comes()
	w.enter()
	w.until("- 1,1 2,2")
	w.quiet()
}

// star fails where the document is not the star.
func star(t *testing.T, w *window) {
	t.Helper()
	for _, want := range starDrawn {
		if !strings.Contains(w.text(), want) {
			t.Errorf("the document has no %q:\n%s", want, w.text())
		}
	}
	w.wait(`document.querySelector('#verdict.proven')`)
	if got := eval[string](w, `document.querySelector('#verdict').textContent`); !strings.Contains(got, "proven") || !strings.Contains(got, "12 1/2") {
		t.Errorf("the verdict is %q", got)
	}
	fabrics := eval[string](w, `window.quiltwright.answer.view.block.patches.map(p => p.fabric).sort().join('')`)
	if fabrics != "AAAAAAAABBBBBBBBC" {
		t.Errorf("the patches are %s\n%s", fabrics, w.text())
	}
	w.wait(`document.querySelector('.pages svg')`)
}

// TestBlocks begins, renames, copies, recolors and removes blocks by what one clicks, and changes a cell.
func TestBlocks(t *testing.T) {
	w := openWindow(t, blank, 1280, 720)
	w.press("Star")
	w.press("begin another block")
	w.fillIn("Ray")
	w.until("  Ray:\n    size: 12\n    grid: 4\n")
	w.wait(`window.quiltwright.answer.view.block.name === 'Ray' && location.hash.includes('Ray')`)
	w.press("4 × 4 grid")
	w.fillIn("2")
	w.until("grid: 2")
	w.drag([2]float64{0, 0}, [2]float64{2, 2})
	w.until("- 0,0 2,2")
	w.press("Fabric B Slate")
	w.click(1.5, 0.5)
	w.until("B: 1,1/2")
	w.press("recolor")
	w.press("B Slate")
	w.press("C Ember")
	w.until("C: 1,1/2")
	w.press("the rest is A")
	w.press("B Slate")
	w.until("ground: B")
	w.press("Ray")
	w.press("copy Ray")
	w.fillIn("Beam")
	w.until("  Beam:\n")
	w.wait(`window.quiltwright.answer.view.block.name === 'Beam'`)
	w.press("Beam")
	w.press("call Beam something else")
	w.fillIn("Gleam")
	w.until("  Gleam:\n")
	w.wait(`window.quiltwright.answer.view.block.name === 'Gleam'`)
	w.press("Gleam")
	w.press("remove Gleam")
	w.wait(`window.quiltwright.answer.view.blocks.length === 2`)
	if strings.Contains(w.text(), "Gleam") {
		t.Errorf("Gleam is still there:\n%s", w.text())
	}
	// What cannot be done is said, and nothing is lost.
	before := w.text()
	eval[string](w, `location.hash = 'draft?block=Ray'`)
	w.wait(`window.quiltwright.answer.view.block.name === 'Ray'`)
	w.press("12 in")
	w.fillIn("twelve")
	w.wait(`document.querySelector('#says.wrong')`)
	w.accessible("a refusal")
	w.shot("refusal")
	if w.text() != before {
		t.Errorf("a refused change was made:\n%s", w.text())
	}
	// After a reload everything can still be taken back.
	w.must(chromedp.Reload())
	w.wait(`window.quiltwright?.answer?.undo`)
	for eval[bool](w, `Boolean(window.quiltwright.answer.undo)`) {
		w.ctrl("z")
	}
	if w.text() != blank {
		t.Errorf("after taking everything back the document is\n%s", w.text())
	}
}

// TestCells changes what stands in a cell, by the pointer and by keys.
func TestCells(t *testing.T) {
	w := openWindow(t, strings.Replace(blank, "    grid: 4\n    ground: A\n", "    rows:\n      - [A, B]\n      - [B, A]\n", 1), 1280, 720)
	w.click(2, 2) // cells are measured in inches
	w.fillIn("half square A C")
	w.until("- [half square A C, B]")
	w.tabTo("sheet")
	w.keys(kb.ArrowDown, kb.ArrowRight)
	w.enter()
	w.fillIn("goose A C")
	w.until("- [B, goose A C]")
	w.wait(`window.quiltwright.answer.view.block.findings.length > 0 || window.quiltwright.answer.view.block.patches.length > 4`)
	w.enter()
	w.press("turn it a quarter")
	w.until("goose A C@90")
	w.quiet()
}

// TestTouch draws and fills with a finger on a tablet, and lets the page slide over the sheet.
func TestTouch(t *testing.T) {
	w := openWindow(t, strings.Replace(strings.Replace(blank, "grid: 4", "grid: [6, 3]", 1), "size: 8", "size: [12, 6]", 1), 1024, 768)
	touch := func(points ...[2]float64) {
		for i, p := range points {
			x, y := w.sheetAt(p[0], p[1])
			kind := input.DispatchTouchEventTypeTouchMove
			if i == 0 {
				kind = input.DispatchTouchEventTypeTouchStart
			}
			w.touch(kind, x, y)
		}
		w.touch(input.DispatchTouchEventTypeTouchEnd)
	}
	touch([2]float64{3, 0}, [2]float64{3, 1}, [2]float64{3, 3})
	w.until("- 3,0 3,3")
	w.press("Fabric C Ember")
	touch([2]float64{1, 1})
	w.until("C: ")
	if got := eval[bool](w, `getComputedStyle(document.getElementById('page')).visibility === 'hidden'`); !got {
		t.Error("the page covers the sheet")
	}
	w.press("page")
	w.wait(`getComputedStyle(document.getElementById('page')).visibility === 'visible' && document.querySelector('.pages svg')`)
	w.accessible("the page over the sheet")
	w.shot("touch")
	w.keys(kb.Escape)
	w.wait(`getComputedStyle(document.getElementById('page')).visibility === 'hidden'`)
	w.quiet()
}

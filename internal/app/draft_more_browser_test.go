package app

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// TestCellsGrow gives a block of cells rows and columns and takes them out again, turns it into lines and back.
func TestCellsGrow(t *testing.T) {
	cells := strings.Replace(blank, "    grid: 4\n    ground: A\n", "    rows:\n      - [A, half square A B]\n      - [B, A]\n", 1)
	w := openWindow(t, cells, 1280, 720)
	w.press("2 × 2 cells")
	w.press("one row more, at the bottom")
	w.wait(`window.quiltwright.answer.view.block.layout.length === 3`)
	w.press("rows and columns")
	w.press("one column more, on the right")
	w.wait(`window.quiltwright.answer.view.block.layout[0].length === 3`)
	w.click(1, 1)
	w.press("take its row out")
	w.wait(`window.quiltwright.answer.view.block.layout.length === 2`)
	w.tabTo("sheet")
	w.keys(kb.ArrowRight)
	w.enter()
	w.press("take its column out")
	w.wait(`window.quiltwright.answer.view.block.layout[0].length === 2`)
	w.undone(cells)

	w.press("2 × 2 cells")
	w.press("draw it by lines instead, as it is")
	w.until("grid: 2")
	w.until("- 1,0 1,2")
	w.wait(`window.quiltwright.answer.view.block.patches.length === 5`)
	w.shot("turned-into-lines")
	w.press("2 × 2 grid")
	w.press("lay it out in cells instead, as it is")
	w.until("- [A, half square A B]")
	w.undone(cells)

	w.press("Star")
	w.press("begin another block")
	w.must(chromedp.Click(`//input[@id="of-cells"]`), chromedp.Click(`//dialog//form//input`))
	w.fillIn("Ray")
	w.until("  Ray:\n    size: 12\n    rows:\n")
	w.quiet()
}

// TestCrossingByKeys draws a line to a point off the grid, where two others meet, without the pointer; and says why a block cannot be laid out in cells.
func TestCrossingByKeys(t *testing.T) {
	w := openWindow(t, strings.Replace(blank, "    ground: A\n", "    lines:\n      - 0,0 4,3\n      - 0,3 4,0\n      - 0,1 4,1\n    ground: A\n", 1), 1280, 720)
	w.tabTo("sheet")
	w.keys(kb.ArrowRight, "x")
	w.wait(`document.getElementById('doing').textContent === 'at 4/3,1'`)
	w.keys("x", "X", "x", "x")
	w.wait(`document.getElementById('doing').textContent === 'at 2,3/2'`)
	w.keys(kb.Enter, kb.ArrowDown, kb.ArrowDown, kb.ArrowDown, kb.Enter, kb.Enter)
	w.until("- 2,3/2 2,")
	before := w.text()
	w.press("4 × 4 grid")
	w.press("lay it out in cells instead, as it is")
	w.wait(`document.querySelector('#says.wrong')?.textContent.includes('stays drawn by lines')`)
	w.accessible("why it stays")
	if w.text() != before {
		t.Errorf("the document was changed:\n%s", w.text())
	}
	w.quiet()
}

// TestPaper shows the pages of a centimetre quilt on A4, and on letter where that is chosen.
func TestPaper(t *testing.T) {
	text, err := os.ReadFile("../../examples/centimetres.yaml")
	if err != nil {
		t.Fatal(err)
	}
	w := openWindow(t, string(text), 1280, 720)
	w.wait(`Math.abs(document.querySelector('.pages svg')?.viewBox.baseVal.width - 595) < 1`)
	w.press("A4")
	w.press("US letter")
	w.wait(`Math.abs(document.querySelector('.pages svg')?.viewBox.baseVal.width - 612) < 1 && location.hash.includes('paper=letter')`)
	w.quiet()
}

// TestVersions looks at an earlier version, takes it back, and takes that back.
func TestVersions(t *testing.T) {
	w := openWindow(t, blank, 1280, 720)
	w.drag([2]float64{1, 0}, [2]float64{1, 4})
	w.until("- 1,0 1,4")
	changed := w.text()
	w.press("Try")
	w.fillIn("Tried")
	w.until("quilt: Tried")
	w.must(chromedp.Click(`//*[@data-focus="title"]`))
	w.wait(`document.querySelectorAll('dialog .choice').length > 0`)
	w.accessible("the versions")
	w.shot("versions")
	w.must(chromedp.Click(`//dialog//li[last()]//button[@class="choice"]`))
	w.wait(`document.querySelector('dialog .past')`)
	w.accessible("an earlier version")
	w.shot("version")
	w.press("take this version back")
	w.until("quilt: Try\n")
	if w.text() != blank {
		t.Errorf("the version is not what was opened:\n%s", w.text())
	}
	w.ctrl("z")
	w.until("quilt: Tried")
	w.ctrl("z")
	w.until("quilt: Try\n")
	if w.text() != changed {
		t.Errorf("taken back, it is\n%s", w.text())
	}
	w.quiet()
}

// TestOutsideInBrowser changes the file as another program does: it is said, nobody's change is lost, and what cannot be read can be taken back.
func TestOutsideInBrowser(t *testing.T) {
	w := openWindow(t, blank, 1280, 720)
	outside := strings.Replace(blank, "quilt: Try", "quilt: Elsewhere", 1)
	w.write(outside)
	w.wait(`document.getElementById('title').textContent === 'Elsewhere' && document.getElementById('says').textContent.includes('another program')`)

	// Both at once: the other's change is shown, and ours is offered again.
	for n := 1; ; n++ {
		w.write(strings.Replace(outside, "Elsewhere", "Elsewhere "+strings.Repeat("I", n), 1))
		eval[bool](w, `(window.quiltwright.do({do: 'draw line', block: 'Star', points: '2,0 2,4'}), true)`)
		w.wait(`document.querySelector('#says.wrong') || window.quiltwright.answer.view.block.lines.length > 0`)
		if eval[bool](w, `document.querySelector('#says.wrong') !== null`) {
			break
		}
		if n == 5 { // the watch came first each time
			t.Fatal("the change was never refused")
		}
		w.ctrl("z")
	}
	w.accessible("a conflict")
	w.shot("conflict")
	w.press("do it again")
	w.until("- 2,0 2,4")
	if !strings.Contains(w.text(), "Elsewhere I") {
		t.Errorf("the other program's change is lost:\n%s", w.text())
	}

	ours := w.text()
	w.write("quilt: [")
	w.wait(`document.querySelector('.bare .error')?.textContent.includes('not YAML')`)
	w.accessible("a file that cannot be read")
	w.shot("unreadable")
	w.ctrl("z")
	w.until("- 2,0 2,4")
	if w.text() != ours {
		t.Errorf("taken back, it is\n%s", w.text())
	}
}

// write changes the file as another program does.
func (w *window) write(text string) {
	w.t.Helper()
	if err := os.WriteFile(w.file, []byte(text), 0o644); err != nil {
		w.t.Fatal(err)
	}
}

// TestUnsavedShows has a line fail on the disk: the sheet shows what is in the file again, says why, and goes on when the disk does.
func TestUnsavedShows(t *testing.T) {
	w := openWindow(t, blank, 1280, 720)
	stuck := filepath.Join(filepath.Dir(w.file), ".quiltwright", "quilt.yaml.new")
	if err := os.Mkdir(stuck, 0o777); err != nil { // where the new file is to be written
		t.Fatal(err)
	}
	w.drag([2]float64{0, 2}, [2]float64{4, 2})
	w.wait(`document.querySelector('#says.wrong')?.textContent.includes('not saved')`)
	if n := eval[int](w, `document.querySelectorAll('.draft .line').length`); n != 0 || w.text() != blank {
		t.Errorf("%d lines are shown, the document is\n%s", n, w.text())
	}
	if err := os.RemoveAll(stuck); err != nil {
		t.Fatal(err)
	}
	w.drag([2]float64{0, 2}, [2]float64{4, 2})
	w.until("- 0,2 4,2")
	w.wait(`document.querySelectorAll('.draft .line').length === 1 && !document.querySelector('#says.wrong')`)
	w.undone(blank)
}

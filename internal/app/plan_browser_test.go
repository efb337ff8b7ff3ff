package app

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// lantern is the example that has everything.
func lantern(t *testing.T) string {
	t.Helper()
	b, err := os.ReadFile("../../examples/lantern-row.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// look goes to an address, and waits until it is shown.
func (w *window) look(address string) {
	w.t.Helper()
	w.goTo(address)
	w.wait(`(() => {
		const [place, query] = location.hash.slice(1).split('?'), q = new URLSearchParams(query), a = window.quiltwright.answer;
		return a.place === place && (q.get('piece') ?? '') === (a.view.piece?.label ?? '') && (!q.get('block') || a.view.block?.name === q.get('block'))
			&& (!q.get('month') || a.view.month === undefined || String(a.view.month) === q.get('month'));
	})()`)
}

// planLooks are the addresses of the places of the plan.
var planLooks = []struct{ name, address, ready string }{
	{"cut", "cut?month=1", `document.querySelectorAll('.cut .strips svg').length > 2`},
	{"cut-month", "cut?month=3&piece=B1", `document.querySelectorAll('.cut .strips svg').length > 1`},
	{"press", "press?block=Ferry+Light", `document.querySelectorAll('.press .way').length > 20`},
	{"press-layers", "press?block=Ferry+Light&layers=1&expect=1", `document.querySelectorAll('.press .layers text').length > 10 && document.querySelectorAll('.press .expect li').length > 3`},
	{"press-top", "press?of=top", `document.querySelectorAll('.press .way').length > 20 && document.querySelectorAll('.press .patch').length > 300`},
	{"press-piece", "press?block=Paper+Lantern&piece=B1&seam=u20.1", `document.querySelectorAll('.press .way').length > 10`},
	{"sew", "sew?month=3", `document.querySelectorAll('.sew .step svg').length > 2`},
	{"book", "book?month=3", `document.querySelectorAll('.book .sheet').length === 4`},
	{"months", "months?month=4", `document.querySelectorAll('.months .chip').length === 12`},
}

// TestLookAtPlan looks at the places of the plan as TestLook does.
func TestLookAtPlan(t *testing.T) {
	for _, size := range []struct {
		name          string
		width, height int64
	}{{"desk", 1280, 720}, {"tablet", 1024, 768}} {
		w := openWindow(t, lantern(t), size.width, size.height)
		w.wait(`document.querySelector('#verdict.proven')`)
		for _, scheme := range []string{"light", "dark"} {
			w.scheme(scheme)
			for _, look := range planLooks {
				w.look(look.address)
				w.wait(look.ready)
				name := look.name + "-" + size.name + "-" + scheme
				w.shot(name)
				w.accessible(name)
			}
		}
		w.quiet()
	}
}

// stars is a small programme: geese in two blocks, and a nine-patch whose seams nest.
const stars = `format: 1
quilt: Two by Two # ours
fabrics:
  A: {name: Fog, color: "#e8e3d6"}
  B: {name: Slate, color: "#45505c"}
blocks:
  Star:
    size: 12
    columns: [1, 2, 1]
    heights: [1, 2, 1]
    rows:
      - [A, goose A B, A]
      - [goose A B@270, B, goose A B@90]
      - [A, goose A B@180, A]
  Nine:
    size: 12
    grid: 3
    lines:
      - 0,1 3,1
      - 0,2 3,2
      - 1,0 1,3
      - 2,0 2,3
    fill:
      B: 1/2,1/2 5/2,1/2 3/2,3/2 1/2,5/2 5/2,5/2
    ground: A
set:
  rows:
    - [Star, Nine]
    - [Nine, Star]
months:
  - {title: Stars, opens: 2027-01-08, blocks: {Star: 2}}
  - {title: Nines, opens: 2027-02-05, blocks: {Nine: 2}}
  - {title: Together, opens: 2027-03-05, set: true}
`

// at is the middle of an element in the window.
// TestPressTop presses a seam of the top the other way, by the pointer, and leaves it to the plan again.
func TestPressTop(t *testing.T) {
	w := openWindow(t, stars, 1280, 720)
	w.wait(`document.querySelector('#verdict.proven')`)
	w.look("press?block=Nine")
	w.press("Nine")
	w.press("Quilt top")
	w.wait(`window.quiltwright.answer.view.block?.title === 'Quilt top' && document.querySelectorAll('.press .seam').length > 0`)
	x, y := w.at(`document.querySelector('.press .seam .hit')`)
	w.must(chromedp.MouseClickXY(x, y))
	w.press("press it the other way")
	w.until("  press: ")
	w.wait(`document.querySelector('#verdict.proven') && document.querySelector('.press .seam.chosen.said')`)
	w.shot("press-top-overruled")
	w.press("as the plan finds best")
	w.wait(`document.querySelector('#verdict.proven') && !document.querySelector('.press .seam.said')`)
	w.undone(stars)
}

// TestPressSpun spins a seam at its crossings, by a word, by its mark and by a key: the document says so, the drawing turns with it, and the plan is proven.
func TestPressSpun(t *testing.T) {
	w := openWindow(t, stars, 1280, 720)
	w.wait(`document.querySelector('#verdict.proven')`)
	w.look("press?block=Nine")
	w.wait(`window.quiltwright.answer.view.block?.title === 'Nine'`)
	w.look("press?block=Nine&seam=" + eval[string](w, `window.quiltwright.answer.view.block.seams.find((m) => m.spins.length === 2).name`))
	w.wait(`document.querySelectorAll('.press .spin').length >= 2`)
	arrows := eval[int](w, `document.querySelectorAll('.press .way').length`)
	at := eval[string](w, `window.quiltwright.answer.view.block.seams.find((m) => m.spins.length === 2).spins[0].point`)
	w.press("spin it at " + at)
	w.until("    press: " + at + " spun")
	w.wait(`document.querySelector('#verdict.proven') && document.querySelectorAll('.press .pinwheel').length > 0`)
	if n := eval[int](w, `document.querySelectorAll('.press .way').length`); n <= arrows {
		t.Errorf("%d arrows, before it was spun %d", n, arrows)
	}
	x, y := w.at(`document.querySelector('.press .spin')`)
	w.must(chromedp.MouseClickXY(x, y))
	w.until("spun\n      - ")
	w.wait(`document.querySelector('#verdict.proven') && document.querySelectorAll('.press .doing-seam .word').length > 0 && window.quiltwright.answer.view.block.seams.find((m) => m.spins.length === 2).spins.every((x) => x.spun && x.said)`)
	w.shot("press-spun")
	w.accessible("a seam that is spun")
	w.keys("s")
	w.wait(`document.querySelector('#verdict.proven') && window.quiltwright.answer.view.block.seams.find((m) => m.spins.length === 2).spins.some((x) => !x.spun)`)
	w.undone(stars)
}

// TestPressOtherwise overrules seams, by the pointer and by keys: the document says so, the plan is proven, what it costs is said.
func TestPressOtherwise(t *testing.T) {
	w := openWindow(t, stars, 1280, 720)
	w.wait(`document.querySelector('#verdict.proven')`)
	w.look("press?block=Nine")
	before := eval[string](w, `document.querySelector('.press .values').textContent`)
	x, y := w.at(`document.querySelector('.press .seam .hit')`)
	w.must(chromedp.MouseClickXY(x, y))
	w.wait(`document.querySelector('.doing-seam')`)
	name := eval[string](w, `document.querySelector('.press .seam.chosen').dataset.seam`)
	is := eval[string](w, `document.querySelector('.doing-seam p').textContent`)
	w.press("press it the other way")
	w.until("    press: ")
	w.wait(`document.querySelector('.doing-seam p')?.textContent !== ` + strconv.Quote(is))
	w.wait(`document.querySelector('.cost')`)
	w.wait(`document.querySelector('#verdict.proven')`)
	if !eval[bool](w, `document.querySelector('.press .seam.chosen.said') !== null`) {
		t.Errorf("the seam %s is not marked as the writer's", name)
	}
	// Every seam of the rows the same way: meetings that do not nest are said, and marked.
	for range 12 {
		w.keys("n", "t")
		time.Sleep(150 * time.Millisecond)
		w.settled()
		w.wait(`window.quiltwright.answer.stage >= 1`)
		if eval[bool](w, `document.querySelectorAll('.press .meet').length > 0 && document.querySelectorAll('.press .unmet li').length > 0`) {
			break
		}
	}
	w.wait(`document.querySelector('.press .meet')`)
	w.wait(`document.querySelector('.press .unmet li')`)
	w.wait(`/fewer nest/.test(document.querySelector('.cost')?.textContent ?? '') || document.querySelector('.press .values').textContent !== ` + strconv.Quote(before))
	w.wait(`document.querySelector('#verdict.proven')`)
	w.shot("press-overruled")
	w.accessible("an overruled seam")
	w.keys("c")
	w.wait(`!document.querySelector('.press .seam.chosen.said')`)
	w.settled()
	w.shot("press-computed")
	w.keys("f")
	w.until("    first: ")
	w.wait(`document.querySelector('#verdict.proven')`)
	w.press("as the plan finds best")
	w.undone(stars)
}

// TestMakeOtherwise chooses another method for geese.
func TestMakeOtherwise(t *testing.T) {
	w := openWindow(t, stars, 1280, 720)
	w.wait(`document.querySelector('#verdict.proven')`)
	w.look("sew?month=1")
	w.press("four at a time, from one large")
	w.wait(`document.querySelector('dialog[open]')`)
	w.shot("sew-ways")
	w.accessible("the ways to make geese")
	w.press("corners flipped from squares")
	w.until("make: {geese: flips}")
	w.wait(`document.querySelectorAll('.cost li').length > 1`)
	if says := eval[string](w, `document.querySelector('.cost').textContent`); !strings.Contains(says, "to cut") {
		t.Errorf("the cost says nothing of pieces: %s", says)
	}
	w.wait(`[...document.querySelectorAll('.sew .how')].some(e => e.textContent.includes('corners flipped') && e.textContent.includes('you chose it'))`)
	w.wait(`document.querySelector('#verdict.proven')`)
	w.shot("sew-flips")
	w.undone(stars)
}

// TestMonths gives blocks to other months: by dragging, by keys, from the list; and writes notes.
func TestMonths(t *testing.T) {
	w := openWindow(t, stars, 1280, 720)
	w.wait(`document.querySelector('#verdict.proven')`)
	w.look("months")
	x, y := w.at(`document.querySelector('.months .chip[data-block="Nine"]')`)
	tx, ty := w.at(`document.querySelector('.months [data-month="1"] .number')`)
	w.hold([2]float64{x, y}, [2]float64{tx, ty})
	w.shot("months-dragged")
	w.letGo([2]float64{tx, ty})
	w.until("blocks: {Star: 2, Nine: 2}")
	w.wait(`document.querySelector('.months [data-month="1"] .chip[data-block="Nine"]')`)
	// By keys: back again. The focus goes with the block.
	eval[bool](w, `(document.querySelector('.months .chip[data-block="Nine"]').focus(), true)`)
	w.must(chromedp.KeyEvent(kb.ArrowDown, chromedp.KeyModifiers(chromedp.ModifierAlt)))
	w.wait(`document.activeElement?.dataset?.block === 'Nine' && document.activeElement.closest('[data-month="2"]')`)
	if got := w.text(); !strings.Contains(got, "{title: Nines, opens: 2027-02-05, blocks: {Nine: 2}}") {
		t.Errorf("month 2 is not as it was:\n%s", got)
	}
	// One of two, from the list.
	w.keys(kb.Enter)
	w.wait(`document.querySelector('dialog[open]')`)
	eval[bool](w, `([...document.querySelectorAll('dialog .choices')].at(-1).querySelector('button').focus(), true)`)
	w.keys(kb.Enter)
	w.until("blocks: {Star: 2, Nine: 1}")
	w.wait(`document.querySelectorAll('.months .chip[data-block="Nine"]').length === 2`)
	eval[bool](w, `(document.querySelector('.months [data-month="1"] .chip[data-block="Nine"]').focus(), true)`)
	w.keys(kb.Delete)
	w.wait(`document.querySelector('.months .waiting .chip[data-block="Nine"]')`)
	w.wait(`document.querySelector('#verdict.wrong')`)
	w.wait(`document.querySelectorAll('.months .found li').length > 0`)
	w.shot("months-waiting")
	w.accessible("a block that no month makes")
	w.ctrl("z")
	w.ctrl("z")
	w.settled()
	w.wait(`document.querySelector('#verdict.proven')`)
	w.press("add a month")
	w.fillIn("Leisure")
	w.until("title: Leisure")
	w.press("opens 8 January 2027")
	w.fillIn("2027-01-15")
	w.until("opens: 2027-01-15")
	w.press("Note of the quilt")
	w.wait(`document.activeElement instanceof HTMLTextAreaElement`)
	w.keys("For the pier.")
	w.press("write it")
	w.until("note: For the pier.")
	w.undone(stars)
}

// TestMonthsByTouch drags a block onto a month with a finger.
func TestMonthsByTouch(t *testing.T) {
	w := openWindow(t, stars, 1024, 768)
	w.wait(`document.querySelector('#verdict.proven')`)
	w.look("months")
	x, y := w.at(`document.querySelector('.months .chip[data-block="Star"]')`)
	tx, ty := w.at(`document.querySelector('.months [data-month="2"] .number')`)
	w.finger([2]float64{x, y}, [2]float64{tx, ty})
	w.until("blocks: {Nine: 2, Star: 2}")
	w.undone(stars)
}

// TestMonthsFromNothing makes a programme of a quilt without months.
func TestMonthsFromNothing(t *testing.T) {
	whole, _, _ := strings.Cut(stars, "months:")
	w := openWindow(t, whole, 1280, 720)
	w.look("months")
	w.shot("months-none")
	w.accessible("no months")
	w.press("make it a programme of months")
	w.until("blocks: {Star: 2, Nine: 2}")
	w.wait(`document.querySelector('#verdict.proven')`)
	w.wait(`document.querySelectorAll('.months .chip').length === 2`)
	w.undone(whole)
}

// TestPieceEverywhere lights a piece up in the list, on the strip, in the block and in the steps.
func TestPieceEverywhere(t *testing.T) {
	w := openWindow(t, stars, 1280, 720)
	w.wait(`document.querySelector('#verdict.proven')`)
	w.look("cut")
	label := eval[string](w, `document.querySelector('.cut .list .label').dataset.piece`)
	w.press(label)
	w.wait(`window.quiltwright.answer.view.piece?.label === ` + strconv.Quote(label))
	w.wait(`document.querySelector('.cut .list li.lit')`)
	w.wait(`document.querySelector('.cut .strips .box.lit')`)
	w.shot("piece-cut")
	eval[bool](w, `(document.querySelector('.lit-piece a[href^="#press"]').click(), true)`)
	w.wait(`document.querySelector('.press .patch.lit')`)
	if got := eval[string](w, `document.querySelector('.press .patch.lit').dataset.piece`); !strings.Contains(got, label) {
		t.Errorf("the patch that is lit is of %s, not of %s", got, label)
	}
	w.shot("piece-press")
	eval[bool](w, `(document.querySelector('.lit-piece a[href^="#sew"]').click(), true)`)
	w.wait(`document.querySelector('.sew .step.lit')`)
	w.shot("piece-sew")
	w.accessible("a step with a piece lit up")
	w.press("Cut") // the places in the head keep it
	w.wait(`window.quiltwright.answer.place === 'cut' && document.querySelector('.cut .strips .box.lit')`)
	w.keys("?")
	w.wait(`document.querySelector('dialog[open]')?.textContent.includes('light up the next')`)
	w.keys(kb.Escape)
	w.wait(`!document.querySelector('dialog[open]')`)
	if !eval[bool](w, `Boolean(window.quiltwright.answer.view.piece)`) {
		t.Error("Escape in the list of keys lets the piece go")
	}
	w.keys("]")
	w.wait(`window.quiltwright.answer.view.piece && window.quiltwright.answer.view.piece.label !== ` + strconv.Quote(label))
	w.keys("[")
	w.wait(`window.quiltwright.answer.view.piece?.label === ` + strconv.Quote(label))
	w.keys(kb.Escape)
	w.wait(`!window.quiltwright.answer.view.piece && !document.querySelector('.cut .lit')`)
	x, y := w.at(`document.querySelector('.cut .strips .box[data-piece] rect')`)
	w.must(chromedp.MouseClickXY(x, y))
	w.wait(`document.querySelector('.cut .strips .box.lit')`)
	w.quiet()
}

// TestMakePDF writes the book by its one word.
func TestMakePDF(t *testing.T) {
	w := openWindow(t, stars, 1280, 720)
	w.look("book")
	w.press("make the PDFs")
	w.wait(`document.querySelector('.book .files')`)
	folder := strings.TrimSuffix(w.file, ".yaml") + " pattern"
	if says := eval[string](w, `document.querySelector('.book .files').textContent`); !strings.Contains(says, folder) {
		t.Errorf("it is not said where the files are: %s", says)
	}
	for name, begins := range map[string]string{"pattern.pdf": "%PDF-", "pattern-a4.pdf": "%PDF-", "month-02.pdf": "%PDF-", "plan.json": "{", "cutting.csv": ""} {
		b, err := os.ReadFile(filepath.Join(folder, name))
		if err != nil {
			t.Error(err)
		} else if len(b) < 100 || !strings.HasPrefix(string(b), begins) {
			t.Errorf("%s has %d bytes and begins with %.20q", name, len(b), b)
		}
	}
	w.shot("book-made")
	w.accessible("the book, made")
	if got := eval[string](w, `fetch('/made/pattern.pdf').then(r => r.text()).then(t => t.slice(0, 5))`); got != "%PDF-" {
		t.Errorf("the link gives %q", got)
	}
	w.press("letter paper")
	w.wait(`window.quiltwright.answer.view.paper === 'a4'`)
	w.press("The whole pattern")
	w.press("Month 2: Nines")
	w.wait(`window.quiltwright.answer.view.document === 2 && document.querySelectorAll('.book .sheet').length > 0`)
	if got := w.text(); got != stars {
		t.Error("the document is another after the book was made")
	}
	w.quiet()
}

// TestLitOnTheSheet carries a piece that is lit into Draft and Set: it is seen there, keys go on to the next, and it stays lit while the quilt is changed.
func TestLitOnTheSheet(t *testing.T) {
	w := openWindow(t, lantern(t), 1280, 720)
	w.wait(`document.querySelector('#verdict.proven')`)
	w.look("cut?piece=B1")
	w.press("Draft")
	w.look("draft?block=Paper+Lantern&piece=B1")
	w.wait(`document.querySelectorAll('.draft .drawing .lit').length > 0 && document.querySelector('.draft .lit-piece').textContent.includes('B1')`)
	lit := eval[int](w, `document.querySelectorAll('.draft .drawing .lit').length`)
	w.shot("lit-draft")
	w.accessible("a piece lit in Draft")
	w.keys("]")
	w.wait(`window.quiltwright.query.get('piece') === 'B3' && document.querySelector('.draft .lit-piece').textContent.includes('B3')`)
	w.keys("[")
	w.wait(`document.querySelectorAll('.draft .drawing .lit').length === ` + strconv.Itoa(lit))

	// A change leaves the words where they are.
	w.drag([2]float64{0, 3}, [2]float64{2, 3})
	w.until("- 0,3 2,3")
	w.wait(`window.quiltwright.answer.stage > 0 && document.querySelector('.draft .lit-piece')`)
	w.ctrl("z")
	w.wait(`document.querySelectorAll('.draft .drawing .lit').length === ` + strconv.Itoa(lit))

	w.press("Set")
	w.wait(`document.querySelectorAll('.set .quilt .lit').length > 0 && document.querySelector('.set .lit-piece').textContent.includes('B1')`)
	w.shot("lit-set")
	w.accessible("a piece lit in Set")
	w.keys(kb.Escape)
	w.wait(`!document.querySelector('.set .quilt .lit') && !document.querySelector('.set .lit-piece') && !window.quiltwright.query.has('piece')`)
	w.quiet()
}

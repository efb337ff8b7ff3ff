package app

import (
	"os"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// TestLook walks through the places at two sizes, by day and by night: nothing that axe-core objects to, nothing on the console. With
// QUILTWRIGHT_SHOTS=DIR it keeps pictures.
func TestLook(t *testing.T) {
	lantern, err := os.ReadFile("../../examples/lantern-row.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, size := range []struct {
		name          string
		width, height int64
	}{{"desk", 1280, 720}, {"tablet", 1024, 768}} {
		w := openWindow(t, string(lantern), size.width, size.height)
		w.wait(`document.querySelector('#verdict.proven')`)
		for _, scheme := range []string{"light", "dark"} {
			w.scheme(scheme)
			for _, look := range []struct{ name, address string }{
				{"lines", "draft?block=Paper+Lantern"}, {"cells", "draft?block=Ferry+Light"}, {"filling", "draft?block=Window&hand=E"},
			} {
				eval[string](w, `location.hash = '`+look.address+`'`)
				w.wait(`new URLSearchParams('` + look.address + `'.split('?')[1]).get('block') === window.quiltwright.answer.view.block.name`)
				w.wait(`document.querySelector('.pages .sheet') || innerWidth < 1100`)
				name := "draft-" + look.name + "-" + size.name + "-" + scheme
				w.shot(name)
				w.accessible(name)
			}
		}
		w.quiet()
	}
}

// TestLookAtMistakes looks at a block with everything that can be wrong with it, and at the panels.
func TestLookAtMistakes(t *testing.T) {
	w := openWindow(t, `format: 1
quilt: Try
fabrics:
  A: {name: Fog, color: "#e8e3d6"}
  B: {name: Slate, color: "#45505c"}
blocks:
  Tangle:
    size: 12
    grid: 5
    lines:
      - 0,1 3,1
      - 1,2 1,5
      - 0,2 5,2
      - 3,2 3,4 5,4
      - 19/10,2 19/10,5
      - 2,2 2,5
    fill:
      B: 1/2,3 4,3
      A: 3,3
  Plain:
    size: 12
    grid: 4
    ground: A
`, 1280, 720)
	w.wait(`document.querySelectorAll('.found li').length >= 2`)
	for _, scheme := range []string{"light", "dark"} {
		w.scheme(scheme)
		w.shot("mistakes-" + scheme)
		w.accessible("mistakes " + scheme)
		for _, open := range []string{"Tangle", "12 in", "5 × 5 grid", "no repeats", "the rest is open", "recolor", "keys"} {
			w.press(open)
			w.wait(`document.querySelector('dialog[open]')`)
			w.shot("panel-" + open + "-" + scheme)
			w.accessible(open + " " + scheme)
			w.keys(kb.Escape)
			w.wait(`!document.querySelector('dialog[open]')`)
		}
	}
	w.quiet()
}

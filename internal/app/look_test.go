package app

import (
	"os"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// night is another set of fabrics, to look at.
const night = `
palettes:
  Night:
    A: {name: Ink, color: "#1d2433"}
    B: {name: Moon, color: "#e9dfc4"}
    E: {name: Deep, color: "#31506b"}
`

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
		w := openWindow(t, string(lantern)+night, size.width, size.height)
		w.wait(`document.querySelector('#verdict.proven')`)
		for _, scheme := range []string{"light", "dark"} {
			w.scheme(scheme)
			for _, look := range []struct{ name, address, shows string }{
				{"draft-lines", "draft?block=Paper+Lantern", `view.block?.name === 'Paper Lantern'`},
				{"draft-cells", "draft?block=Ferry+Light", `view.block?.name === 'Ferry Light'`},
				{"draft-filling", "draft?block=Window&hand=E", `view.block?.name === 'Window'`},
				{"set", "set", `place === 'set'`},
				{"set-chosen", "set?at=4,2", `place === 'set' && document.querySelector('.quilt .here')`},
				{"set-laying", "set?hand=Beacon", `place === 'set' && document.querySelector('.block[aria-pressed=true]')`},
				{"cloth", "cloth", `place === 'cloth' && !document.querySelector('.alike[d*=M]')`},
				{"cloth-grey", "cloth?grey=1", `view.grey && document.querySelector('.alike[d*=M]')`},
				{"cloth-tried", "cloth?palette=Night", `view.tried === 'Night' && !document.querySelector('.alike[d*=M]') && document.querySelector('figure + figure')`},
			} {
				eval[string](w, `location.hash = '`+look.address+`'`)
				w.wait(`window.quiltwright.answer.` + look.shows)
				w.wait(`document.querySelector('.pages .sheet') || innerWidth < 1100`)
				name := look.name + "-" + size.name + "-" + scheme
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

package app

import (
	"os"
	"testing"
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

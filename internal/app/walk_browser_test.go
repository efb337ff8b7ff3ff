package app

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
)

// TestWalk goes the way of docs/walk.md: from a file that is not there to the printed pattern of a quilt of one block. It counts what the hand does.
func TestWalk(t *testing.T) {
	w := openWindow(t, string(fresh("pier-light.yaml")), 1280, 720)
	actions := 0
	press := func(words string) { actions++; w.press(words) }
	click := func(x, y float64) { actions++; w.click(x, y) }
	w.shot("walk-1-opened")
	press("say how") // it repeats
	press("four quarter turns")
	w.until("symmetry: quarter turns")
	actions++
	w.drag([2]float64{1, 0}, [2]float64{1, 4})
	w.until("- 1,0 1,4")
	click(1, 1)
	w.wait(`document.querySelector('.draft .next').textContent.includes('once more ends it')`)
	w.shot("walk-2-drawing")
	click(2, 0)
	click(3, 1)
	press("end it here")
	w.until("- 1,1 2,0 3,1")
	press("Fabric C Ember")
	click(2, 2)
	w.until("C: 2,2")
	press("Fabric B Slate")
	click(1.2, 0.2)
	w.until("B: 4/3,1/3")
	click(2.8, 0.2)
	w.until("B: 4/3,1/3 8/3,1/3")
	w.shot("walk-3-filled")
	press("Book")
	press("make the PDFs")
	w.wait(`[...document.querySelectorAll('.book .files a')].some((a) => a.textContent === 'pattern.pdf')`)
	w.shot("walk-4-made")
	pattern, err := os.ReadFile(filepath.Join(filepath.Dir(w.file), "quilt pattern", "pattern.pdf"))
	if err != nil || !bytes.HasPrefix(pattern, []byte("%PDF-")) {
		t.Errorf("the pattern is %.20q: %v", pattern, err)
	}
	if actions != 14 {
		t.Errorf("%d actions; docs/walk.md says 14", actions)
	}
	w.quiet()
}

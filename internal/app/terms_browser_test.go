package app

import (
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// TestTerms sets what the whole quilt is made by, in each place that has such terms, and takes all of it back.
func TestTerms(t *testing.T) {
	w := openWindow(t, stars, 1280, 720)
	w.wait(`document.querySelector('#verdict.proven')`)
	w.look("cut")
	set := func(what string, answer func(string), said, want string) {
		t.Helper()
		w.press(what)
		answer(said)
		w.until(want)
		w.wait(`document.querySelector('#verdict.proven')`)
	}
	set("seams 1/4 in", w.fillIn, "3/8 in", "seam: 3/8\n")
	set("ruler to 1/8 in", w.fillIn, "1/4", "ruler: 1/4\n")
	set("cut unwashed", w.fillIn, "4%", "prewash: {shrink: 4%}\n")
	w.shot("terms-cut")
	set("washed first, shrinks 4%", w.press, "it is not washed", "ruler: 1/4\nfabrics")
	set("no spare pieces", w.fillIn, "5%", "spare: 5%\n")
	set("1 in to square up", w.fillIn, "2", "squaring: 2")
	set("a strip for a miscut", w.fillIn, "6", "miscut: 6")
	set("long strips as less has to be bought", w.press, "long strips joined by diagonal seams", "long strips: diagonal")
	set("6 in for a miscut", w.press, "the largest strip once more", "miscut: one strip")
	w.look("press?block=Nine")
	set("that seams nest", w.press, "toward the darker cloth", "press: dark")
	w.look("sew?month=1")
	set("cut to size", w.press, "made large and trimmed", "fit: trim")
	set("points pass", w.press, "points trimmed", "corners: trimmed")
	w.look("book")
	set("no samples to show", w.press, "one of every unit", "samples: ")
	set("samples to show", w.press, "none", "corners: trimmed")
	set("no designer", w.fillIn, "Pier Street", "designer: Pier Street\n")
	set("no version", w.fillIn, "2", "version: ")
	set("no date", w.fillIn, "2027-03-01", "date: 2027-03-01\n")
	set("no line of rights", w.fillIn, "Ours", "rights: Ours\n")
	set("no contact", w.fillIn, "the counter", "contact: the counter\n")
	w.shot("terms-book")
	w.accessible("terms of the book")
	w.press("the counter")
	w.fillIn(kb.Delete)
	w.wait(`document.body.textContent.includes("no contact")`)
	w.look("cut")
	w.shot("terms-cut-after")
	w.undone(stars)
}

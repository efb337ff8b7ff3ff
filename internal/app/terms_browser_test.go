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
	typed := func(what, text, want string) {
		t.Helper()
		w.press(what)
		w.fillIn(text)
		w.until(want)
		w.wait(`document.querySelector('#verdict.proven')`)
	}
	picked := func(what, choice, want string) {
		t.Helper()
		w.press(what)
		w.press(choice)
		w.until(want)
		w.wait(`document.querySelector('#verdict.proven')`)
	}
	typed("seams 1/4 in", "3/8 in", "seam: 3/8\n")
	typed("ruler to 1/8 in", "1/4", "ruler: 1/4\n")
	typed("cut unwashed", "4%", "prewash: {shrink: 4%}\n")
	w.shot("terms-cut")
	picked("washed first, shrinks 4%", "it is not washed", "ruler: 1/4\nfabrics")
	typed("no spare pieces", "5%", "spare: 5%\n")
	typed("1 in to square up", "2", "squaring: 2")
	typed("a strip for a miscut", "6", "miscut: 6")
	picked("long strips as less has to be bought", "long strips joined by diagonal seams", "long strips: diagonal")
	picked("6 in for a miscut", "the largest strip once more", "miscut: one strip")
	w.look("press?block=Nine")
	picked("that seams nest", "toward the darker cloth", "press: dark")
	w.look("sew?month=1")
	picked("cut to size", "made large and trimmed", "fit: trim")
	w.look("book")
	picked("no samples to show", "one of every unit", "samples: ")
	picked("samples to show", "none", "fit: trim")
	typed("no designer", "Pier Street", "designer: Pier Street\n")
	typed("no version", "2", "version: ")
	typed("no date", "2027-03-01", "date: 2027-03-01\n")
	typed("no line of rights", "Ours", "rights: Ours\n")
	typed("no contact", "the counter", "contact: the counter\n")
	w.shot("terms-book")
	w.accessible("terms of the book")
	w.press("the counter")
	w.fillIn(kb.Delete)
	w.wait(`document.body.textContent.includes("no contact")`)
	w.look("cut")
	w.shot("terms-cut-after")
	w.undone(stars)
}

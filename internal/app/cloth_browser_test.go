package app

import (
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// clothed is a quilt whose fabrics are needed in lengths, over two months.
const clothed = twoFabrics + `  C: {name: Swell, color: "#2b5a68"} # from the chest
` + kiteAndPlain + `set:
  rows:
    - [Plain, Kite, Kite]
    - [Kite, Kite, Plain]
  borders:
    - {width: 4, fabric: B}
`

// colour gives a fabric another colour, as one who has chosen one does.
func (w *window) colour(focus, to string) {
	w.t.Helper()
	w.wait(`document.querySelector('[data-focus="` + focus + `"]')`)
	eval[bool](w, fmt.Sprintf(`(() => { const i = document.querySelector('[data-focus=%q]'); i.value = %q; i.dispatchEvent(new Event('change')); return true; })()`, focus, to))
}

// bought is what stands beside a fabric, once it is planned.
func (w *window) bought(fabric int) string {
	w.t.Helper()
	w.wait(fmt.Sprintf(`document.querySelectorAll('.cloth .fabrics li')[%d]?.querySelector('.needs strong')`, fabric))
	return eval[string](w, fmt.Sprintf(`document.querySelectorAll('.cloth .fabrics li')[%d].querySelector('.needs').textContent.replaceAll('\u00a0', ' ')`, fabric))
}

// TestClothNeeds changes a cloth and sees how much of it is needed.
func TestClothNeeds(t *testing.T) {
	w := openPlace(t, clothed, "cloth")
	before := w.bought(1)
	if !strings.Contains(before, "yd") || !strings.Contains(before, "cutting takes") {
		t.Errorf("of Slate is needed %q", before)
	}
	w.shot("cloth")
	w.press("Width of B Slate")
	w.fillIn("22")
	w.until("B: {name: Slate, color: \"#45505c\", width: 22}")
	w.wait(fmt.Sprintf(`window.quiltwright.answer.stage > 0 && document.querySelectorAll('.cloth .fabrics li')[1].querySelector('.needs').textContent.replaceAll('\u00a0', ' ') !== %q && document.querySelectorAll('.cloth .fabrics li')[1].querySelector('.needs strong')`, before))
	if after := w.bought(1); after <= before && len(after) <= len(before) {
		t.Errorf("of narrow Slate is needed %q, of the wide %q", after, before)
	}

	// Every value of a fabric, by what one clicks.
	w.press("Width of B Slate")
	w.press("as the quilt’s: 40 in")
	w.until("B: {name: Slate, color: \"#45505c\"}")
	w.press("Name of B Slate")
	w.fillIn("Night Slate")
	w.until("B: {name: Night Slate, color")
	w.press("More of B Night Slate")
	w.press("its key letter is B")
	w.fillIn("n")
	w.until("  N: {name: Night Slate")
	w.until("      N: 1/2,1/2")
	w.press("Print of N")
	w.press("with a top")
	w.until("print: one-way}")
	w.press("What its print does of N")
	w.until("print: one-way, upright: quilt}")
	w.press("Print of N")
	w.press("plain")
	w.until("  N: {name: Night Slate, color: \"#45505c\"}")
	w.press("How it is sold of C")
	w.press("in fat quarters")
	w.until("sold: fat quarter}")
	w.wait(`document.querySelectorAll('.cloth .fabrics li')[2].querySelector('.needs strong')?.textContent.includes('fat quarter')`)
	w.press("How it is sold of C")
	w.wait(`document.querySelector('dialog[open] form')`)
	w.keys(kb.Tab, kb.Tab, kb.Tab)
	w.fillIn("20 x 20")
	w.until("sold: {sheet: [20, 20]}")
	w.press("More of A")
	w.press("pieces of it are on the shelf")
	w.fillIn("18 x 21, 6 1/2 x 40")
	w.until("have: [[18, 21], [6 1/2, 40]]")
	w.press("More of A")
	w.press("several cloths")
	w.fillIn("3")
	w.until("assorted: 3")
	w.press("More of A")
	w.press("its pieces are centred on a motif")
	w.fillIn("3 1/2, 6 x 8")
	w.until("assorted: 3, motif: {size: 3 1/2, every: [6, 8]}")
	w.press("Motif of A")
	w.press("pieces are cut as they come")
	w.until("assorted: 3}")
	w.press("More of A")
	w.press("it counts as light")
	w.press("dark")
	w.until("value: dark")
	w.colour("A color", "#ffeedd")
	w.until("color: \"#ffeedd\"")
	w.shot("cloth-changed")
	w.accessible("cloth")
	w.press("add a fabric")
	w.fillIn("Sea")
	w.until("  B: {name: Sea, color: \"")
	w.press("More of B Sea")
	w.press("remove it")
	w.press("it is used nowhere")
	w.wait(`window.quiltwright.answer.view.fabrics.length === 3`)
	w.press("More of C Swell")
	w.press("remove it")
	w.press("A Fog takes its place")
	w.until("    ground: A\nset:")
	w.press("cloth 40 in wide")
	w.fillIn("42")
	w.until("width: 42\n")
	w.undone(clothed)
	w.quiet()
}

// TestClothPalette tries another set of fabrics and goes back, then takes it.
func TestClothPalette(t *testing.T) {
	w := openPlace(t, clothed, "cloth")
	w.press("begin another set")
	w.fillIn("Night")
	w.until("palettes:\n  Night: {}\n")
	w.wait(`location.hash === '#cloth?palette=Night' && document.querySelectorAll('.cloth figure').length === 2`)
	w.colour("A tried color", "#1d2433")
	w.until("  Night: {A: {color: \"#1d2433\"}}")
	w.press("Name of A Fog in Night")
	w.fillIn("Ink")
	w.until("A: {name: Ink, color: \"#1d2433\"}")
	w.colour("B tried color", "#f0ead0")
	w.until("B: {color: \"#f0ead0\"}")
	w.wait(`document.querySelector('.cloth figure:last-child [fill="#1d2433"]') && !document.querySelector('.cloth figure:first-child [fill="#1d2433"]')`)
	w.shot("cloth-tried")
	w.accessible("a palette is tried")
	text := w.text()
	w.press("go back")
	w.wait(`document.querySelectorAll('.cloth figure').length === 1`)
	w.press("try another set")
	w.press("try Night")
	w.wait(`document.querySelectorAll('.cloth figure').length === 2`)
	w.press("Set of fabrics: ")
	w.press("the quilt’s own")
	w.wait(`document.querySelectorAll('.cloth figure').length === 1`)
	if w.text() != text {
		t.Errorf("trying a set of fabrics and going back has changed the document:\n%s", w.text())
	}
	w.press("try another set")
	w.press("try Night")
	w.wait(`document.querySelectorAll('.cloth figure').length === 2`)
	w.press("Back to Slate")
	w.wait(`window.quiltwright.answer.view.in[1].changed === false`)
	w.press("take it for the quilt")
	w.until("  A: {name: Ink, color: \"#1d2433\"}\n")
	w.until("  Before Night: {A: {name: Fog, color: \"#e8e3d6\"}}\n")
	w.wait(`location.hash === '#cloth'`)
	w.press("try another set")
	w.press("try Before Night")
	w.wait(`document.querySelectorAll('.cloth figure').length === 2`)
	w.press("remove Before Night")
	w.wait(`window.quiltwright.answer.view.palettes.length === 0`)
	w.undone(clothed)
	w.quiet()
}

// TestClothGrey looks at the quilt in grey: neighbours that are alike are named and marked.
func TestClothGrey(t *testing.T) {
	w := openPlace(t, clothed, "cloth")
	w.press("look at it in grey")
	w.wait(`location.hash === '#cloth?grey=1' && document.querySelector('.cloth .found li')`)
	if got := eval[string](w, `document.querySelector('.cloth .found').textContent`); !strings.HasPrefix(got, "B Slate and C Swell lie side by side") {
		t.Errorf("in grey it is said that %q", got)
	}
	if got := eval[bool](w, `[...document.querySelectorAll('.cloth figure [fill]')].every(e => /^#(..)\1\1$/.test(e.getAttribute('fill')))`); !got {
		t.Error("the quilt is not all grey")
	}
	if got := eval[int](w, `document.querySelector('.alike').getAttribute('d').split('M').length - 1`); got < 2 {
		t.Errorf("%d seams between them are marked", got)
	}
	w.shot("cloth-grey")
	w.accessible("in grey")
	w.press("look at it in colour")
	w.wait(`location.hash === '#cloth' && !document.querySelector('.alike').getAttribute('d')`)
	w.quiet()
}

// scan is a photograph of stripes, so many dots to an inch and four inches wide; without a resolution where dots is 0.
func scan(t *testing.T, dots int) string {
	t.Helper()
	m := image.NewRGBA(image.Rect(0, 0, 800, 400))
	for x := range 800 {
		for y := range 400 {
			c := color.RGBA{0x45, 0x50, 0x5c, 255}
			if x/100%2 == 1 {
				c = color.RGBA{0xd0, 0xd6, 0xdc, 255}
			}
			m.Set(x, y, c)
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, m); err != nil {
		t.Fatal(err)
	}
	out := b.Bytes()
	if dots > 0 { // a chunk pHYs after the head: dots to the metre
		chunk := append([]byte("pHYs"), make([]byte, 9)...)
		perMetre := uint32(float64(dots)/0.0254 + 0.5)
		binary.BigEndian.PutUint32(chunk[4:], perMetre)
		binary.BigEndian.PutUint32(chunk[8:], perMetre)
		chunk[12] = 1
		whole := binary.BigEndian.AppendUint32(nil, 9)
		whole = binary.BigEndian.AppendUint32(append(whole, chunk...), crc32.ChecksumIEEE(chunk))
		out = append(append(append([]byte{}, out[:33]...), whole...), out[33:]...)
	}
	return base64.StdEncoding.EncodeToString(out)
}

// TestClothPhotograph lays a photograph on a fabric: in the quilt it is as large as the cloth is.
func TestClothPhotograph(t *testing.T) {
	for _, c := range []struct {
		dots int
		wide float64
		says string
	}{{200, 4, "photograph of 4 in of it"}, {0, 6, "photograph, taken to show 6 in"}} {
		w := openPlace(t, clothed, "cloth")
		w.press("More of B Slate")
		w.press("a photograph of it")
		w.wait(`document.querySelector('dialog[open] input[type=file]')`)
		eval[bool](w, `(() => {
			const bytes = Uint8Array.from(atob('`+scan(t, c.dots)+`'), c => c.charCodeAt(0)), all = new DataTransfer(), i = document.querySelector('dialog[open] input[type=file]');
			all.items.add(new File([bytes], 'slate.png', {type: 'image/png'}));
			i.files = all.files;
			i.dispatchEvent(new Event('change'));
			return true; })()`)
		w.until("swatch: swatch-b-")
		w.wait(`document.querySelector('.cloth figure pattern')`)
		if got := eval[float64](w, `Number(document.querySelector('.cloth figure pattern').getAttribute('width'))`); math.Abs(got-c.wide) > 0.001 {
			t.Errorf("the photograph is %v in wide in the quilt, and not %v", got, c.wide)
		}
		w.wait(fmt.Sprintf(`document.querySelector('[data-focus="B photograph"]').textContent.includes(%q)`, c.says))
		w.shot(fmt.Sprintf("cloth-photograph-%d", c.dots))
		w.goTo("set")
		w.wait(`document.querySelector('.quilt pattern image')`)
		w.shot(fmt.Sprintf("set-photograph-%d", c.dots))
		w.goTo("cloth")
		w.press("Photograph of B Slate") // the document says how much cloth it shows
		w.fillIn("9 in")
		w.until("shows: 9")
		w.wait(`document.querySelector('.cloth figure pattern').getAttribute('width') === '9'`)
		w.wait(`document.querySelector('[data-focus="B photograph"]').textContent.includes('photograph of 9 in of it')`)
		w.press("Photograph of B Slate")
		w.press("without a photograph")
		w.wait(`!document.querySelector('.cloth figure pattern')`)
		w.quiet()
	}
}

// TestPalettePhotograph: a set that is tried has photographs of its own.
func TestPalettePhotograph(t *testing.T) {
	w := openPlace(t, clothed+"palettes:\n  Night:\n    B: {name: Ink, swatch: ink.png, shows: 5}\n", "cloth")
	b, err := base64.StdEncoding.DecodeString(scan(t, 0))
	if err == nil {
		err = os.WriteFile(filepath.Join(filepath.Dir(w.file), "ink.png"), b, 0o644)
	}
	if err != nil {
		t.Fatal(err)
	}
	w.goTo("cloth?palette=Night")
	w.wait(`document.querySelectorAll('.cloth figure').length === 2 && document.querySelectorAll('.cloth figure pattern').length === 1`)
	if got := eval[string](w, `document.querySelector('.cloth figure pattern').getAttribute('width')`); got != "5" {
		t.Errorf("the photograph shows %s in, not 5", got)
	}
	w.wait(`fetch(document.querySelector('.cloth figure pattern image').getAttribute('href')).then((r) => r.ok)`)
	w.shot("cloth-palette-photograph")
	w.quiet()
}

// TestClothMonths says both lengths of a quilt that is made month by month.
func TestClothMonths(t *testing.T) {
	lantern, err := os.ReadFile("../../examples/lantern-row.yaml")
	if err != nil {
		t.Fatal(err)
	}
	w := openPlace(t, string(lantern), "cloth?grey=1")
	w.wait(`document.querySelector('#verdict.proven')`)
	if got := w.bought(0); !strings.Contains(got, "at once") || !strings.Contains(got, "month by month") {
		t.Errorf("of Fog is needed %q", got)
	}
	w.shot("cloth-lantern-row")
	w.quiet()
}

// TestClothByKeys changes a colour, a width and the direction of a print by keys alone.
func TestClothByKeys(t *testing.T) {
	w := openPlace(t, clothed, "cloth")
	w.bought(2)
	open := func(name string) {
		t.Helper()
		w.tabTo(name)
		w.keys(kb.Enter)
	}
	choose := func(words string) {
		t.Helper()
		w.wait(`document.querySelector('dialog[open]')`)
		for range 20 {
			if strings.Contains(eval[string](w, `document.activeElement.closest('dialog[open]') ? document.activeElement.textContent : ''`), words) {
				w.keys(kb.Enter)
				return
			}
			w.keys(kb.Tab)
		}
		t.Fatalf("Tab never gets to %s", words)
	}
	open("A more")
	choose("its colour is #e8e3d6")
	w.fillIn("dfe7ea")
	w.until("A: {name: Fog, color: \"#dfe7ea\"}")
	open("B width")
	w.fillIn("42 1/2")
	w.until("B: {name: Slate, color: \"#45505c\", width: 42 1/2}")
	open("C print")
	choose("with a top")
	w.until("C: {name: Swell, color: \"#2b5a68\", print: one-way} # from the chest")
	open("C upright")
	w.until("print: one-way, upright: quilt}")
	open("C print")
	choose("striped")
	w.until("print: two-way, upright: quilt}")
	open("B width")
	w.wait(`document.querySelector('dialog[open]')`)
	w.keys(kb.Escape) // nothing is changed, and the focus is back where it was
	if at := eval[string](w, `document.activeElement.dataset.focus`); at != "B width" {
		t.Errorf("the focus is on %q", at)
	}
	w.undone(clothed)
}

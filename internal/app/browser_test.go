package app

import (
	"compress/gzip"
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// window is the board in a browser, for the tests of every place.
type window struct {
	t     testing.TB
	ctx   context.Context
	board *Board
	file  string

	mu     sync.Mutex
	errors []string // that the page wrote to the console
}

// browser finds the browser. Without one the tests are left out, unless QUILTWRIGHT_BROWSER demands them, as make check does.
func browser(t testing.TB) string {
	t.Helper()
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	if os.Getenv("QUILTWRIGHT_BROWSER") != "" {
		t.Fatal("QUILTWRIGHT_BROWSER demands the browser tests, and no Chromium was found")
	}
	t.Skip("no Chromium was found")
	return ""
}

// What several documents begin with: their third fabric is their own.
const (
	twoFabrics = `format: 1
quilt: Try
fabrics:
  A: {name: Fog, color: "#e8e3d6"}
  B: {name: Slate, color: "#45505c"}
`
	kiteAndPlain = `blocks:
  Kite:
    size: 8
    grid: 2
    lines:
      - 0,2 2,0
    fill:
      B: 1/2,1/2
    ground: A
  Plain:
    size: 8
    grid: 1
    ground: C
`
)

// openWindow opens a document with this text on the board, in a window of the size.
func openWindow(t testing.TB, text string, width, height int64) *window {
	t.Helper()
	path := browser(t)
	w := &window{t: t, file: filepath.Join(t.TempDir(), "quilt.yaml")}
	if err := os.WriteFile(w.file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	board, err := Open(w.file, 0)
	if err != nil {
		t.Fatal(err)
	}
	w.board = board
	go func() { _ = board.Serve() }()
	t.Cleanup(func() { _ = board.Close() })
	allocator, cancel := chromedp.NewExecAllocator(context.Background(),
		chromedp.ExecPath(path), chromedp.Headless, chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-component-update", true),
		chromedp.Flag("disable-sync", true), chromedp.UserDataDir(t.TempDir()))
	t.Cleanup(cancel)
	ctx, cancel := chromedp.NewContext(allocator)
	t.Cleanup(cancel)
	w.ctx = ctx
	w.must(chromedp.EmulateViewport(width, height))
	go func() {
		for m, err := range chromedp.Console(ctx) {
			if err != nil {
				return
			}
			if m.IsException() || m.Type == "error" {
				w.mu.Lock()
				w.errors = append(w.errors, m.String())
				w.mu.Unlock()
			}
		}
	}()
	w.must(chromedp.Navigate(board.Address))
	w.wait(`document.querySelector('#place > *') !== null`)
	return w
}

// must does one thing within half a minute.
func (w *window) must(a ...chromedp.Action[chromedp.Void]) {
	w.t.Helper()
	if err := chromedp.Do(w.ctx, a...); err != nil {
		w.t.Fatal(err)
	}
}

// eval is the value of an expression in the page.
func eval[T any](w *window, expression string) T {
	w.t.Helper()
	v, err := chromedp.Run(w.ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		w.t.Fatalf("%s: %v", expression, err)
	}
	return v
}

// wait waits until the expression holds.
func (w *window) wait(expression string) {
	w.t.Helper()
	for end := time.Now().Add(hung); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if eval[bool](w, `Boolean(`+expression+`)`) {
			return
		}
	}
	w.t.Fatalf("waited in vain for %s; the page says: %s\n%s", expression, eval[string](w, `document.body.innerText`), w.complaints())
}

func (w *window) complaints() string {
	w.mu.Lock()
	defer w.mu.Unlock()
	return strings.Join(w.errors, "\n")
}

// quiet fails where the page wrote an error to the console.
func (w *window) quiet() {
	w.t.Helper()
	if c := w.complaints(); c != "" {
		w.t.Errorf("the page complains:\n%s", c)
	}
}

// text is the document as it lies on the disk.
func (w *window) text() string {
	w.t.Helper()
	b, err := os.ReadFile(w.file)
	if err != nil {
		w.t.Fatal(err)
	}
	return string(b)
}

// until waits for the document to hold a text.
func (w *window) until(want string) {
	w.t.Helper()
	for end := time.Now().Add(hung); time.Now().Before(end); time.Sleep(10 * time.Millisecond) {
		if strings.Contains(w.text(), want) {
			w.settled()
			return
		}
	}
	w.t.Fatalf("the document never got\n%s\nit is\n%s\nthe page says: %s\n%s", want, w.text(), eval[string](w, `document.body.innerText`), w.complaints())
}

// settled waits until the window shows the newest revision.
func (w *window) settled() {
	w.t.Helper()
	w.wait(fmt.Sprintf(`window.quiltwright.answer.revision >= %d`, w.board.server.session.current().revision))
}

// press presses the button, link or choice that says these words, by the pointer, when it stands still: no hand presses what moves.
func (w *window) press(words string) {
	w.t.Helper()
	find := fmt.Sprintf(`[...document.querySelectorAll('dialog[open] button, dialog[open] a')].concat(document.querySelector('dialog[open]') ? [] : [...document.querySelectorAll('button, a')]).find(e => (e.getAttribute('aria-label') ?? e.textContent).replaceAll('\u00a0', ' ').includes(%q) && e.offsetParent)`, words)
	var at []float64
	for end := time.Now().Add(hung); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		w.wait(find)
		now := eval[[]float64](w, `(() => { const b = (`+find+`)?.getBoundingClientRect(); return b ? [b.x + b.width / 2, b.y + b.height / 2] : []; })()`)
		if len(now) == 2 && slices.Equal(at, now) {
			w.must(chromedp.MouseClickXY(at[0], at[1]))
			return
		}
		at = now
	}
	w.t.Fatalf("“%s” never stood still", words)
}

// fillIn types a text into the open panel in the place of what stands there, and ends with Enter.
func (w *window) fillIn(text string) {
	w.t.Helper()
	w.wait(`document.activeElement instanceof HTMLInputElement`)
	w.must(chromedp.KeyEvent("a", chromedp.KeyModifiers(chromedp.ModifierCtrl)), chromedp.KeyEvent(text), chromedp.KeyEvent(kb.Enter))
}

// keys presses keys one after the other.
func (w *window) keys(keys ...string) {
	w.t.Helper()
	for _, k := range keys {
		w.must(chromedp.KeyEvent(k))
	}
}

// enter presses Enter as a keyboard does: a page that takes the key down gets no character after it, which KeyEvent would send all the same.
func (w *window) enter() {
	w.t.Helper()
	for _, kind := range []input.DispatchKeyEventType{input.DispatchKeyEventTypeRawKeyDown, input.DispatchKeyEventTypeKeyUp} {
		w.must(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
			_, err := chromedp.Call(ctx, input.DispatchKeyEvent, input.DispatchKeyEventParams{Type: kind, Key: "Enter", Code: "Enter", WindowsVirtualKeyCode: 13})
			return err
		}))
	}
}

// touch is one event of a finger; at no point where it is lifted.
func (w *window) touch(kind input.DispatchTouchEventType, at ...float64) {
	w.t.Helper()
	points := []*input.TouchPoint{}
	if len(at) == 2 {
		points = append(points, &input.TouchPoint{X: at[0], Y: at[1]})
	}
	w.must(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := chromedp.Call(ctx, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: points})
		return err
	}))
}

// sheetAt is where a point of the sheet's grid is in the window.
func (w *window) sheetAt(x, y float64) (float64, float64) {
	w.t.Helper()
	p := eval[[]float64](w, fmt.Sprintf(`(() => { const s = window.quiltwright.shown.sheet, p = new DOMPoint(%v, %v * s.k).matrixTransform(s.svg.getScreenCTM()); return [p.x, p.y]; })()`, x, y))
	return p[0], p[1]
}

// hold moves the pointer with the button down along the points of the window.
func (w *window) hold(points ...[2]float64) {
	w.t.Helper()
	x, y := points[0][0], points[0][1]
	w.must(chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, x, y), chromedp.MouseEvent(input.DispatchMouseEventTypeMousePressed, x, y, chromedp.ButtonLeft, chromedp.ClickCount(1)))
	for _, p := range points[1:] {
		for i := 1.0; i <= 4; i++ {
			w.must(chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, x+(p[0]-x)*i/4, y+(p[1]-y)*i/4, chromedp.ButtonLeft))
		}
		x, y = p[0], p[1]
	}
}

// letGo lets the button go at a point of the window.
func (w *window) letGo(at [2]float64) {
	w.t.Helper()
	w.must(chromedp.MouseEvent(input.DispatchMouseEventTypeMouseReleased, at[0], at[1], chromedp.ButtonLeft, chromedp.ClickCount(1)))
}

// pull holds the pointer along the points, and lets it go at the last of them.
func (w *window) pull(points ...[2]float64) {
	w.t.Helper()
	w.hold(points...)
	w.letGo(points[len(points)-1])
}

// drag draws with the pointer from one point of the grid to the next and on.
func (w *window) drag(points ...[2]float64) {
	w.t.Helper()
	at := make([][2]float64, len(points))
	for i, p := range points {
		at[i][0], at[i][1] = w.sheetAt(p[0], p[1])
	}
	w.pull(at...)
}

// finger drags a finger along the points.
func (w *window) finger(points ...[2]float64) {
	w.t.Helper()
	w.touch(input.DispatchTouchEventTypeTouchStart, points[0][0], points[0][1])
	for i, p := range points[1:] {
		from := points[i]
		for k := 1.0; k <= 4; k++ {
			w.touch(input.DispatchTouchEventTypeTouchMove, from[0]+(p[0]-from[0])*k/4, from[1]+(p[1]-from[1])*k/4)
		}
	}
	w.touch(input.DispatchTouchEventTypeTouchEnd)
}

// goTo looks at an address of the board.
func (w *window) goTo(address string) {
	w.t.Helper()
	place, _, _ := strings.Cut(address, "?")
	eval[string](w, `location.hash = '`+address+`'`)
	w.wait(`window.quiltwright.answer.place === '` + place + `' && document.querySelector('#place > .` + place + `')`)
}

// middleOf is where the middle of what a selector names is.
func (w *window) middleOf(selector string) [2]float64 {
	w.t.Helper()
	p := eval[[]float64](w, fmt.Sprintf(`(() => { const b = document.querySelector(%q).getBoundingClientRect(); return [b.x + b.width / 2, b.y + b.height / 2]; })()`, selector))
	return [2]float64{p[0], p[1]}
}

func (w *window) at(find string) (x, y float64) {
	w.t.Helper()
	w.wait(find)
	p := eval[[]float64](w, `(() => { const e = `+find+`; e.scrollIntoView({block: 'nearest'}); const b = e.getBoundingClientRect(); return [b.x + b.width / 2, b.y + b.height / 2]; })()`)
	return p[0], p[1]
}

// undone takes everything back and compares the document with what it was.
func (w *window) undone(text string) {
	w.t.Helper()
	eval[bool](w, `(document.activeElement?.blur?.(), true)`) // out of what is typed in, which has a taking back of its own
	w.idle()
	for range 100 {
		if !eval[bool](w, `Boolean(window.quiltwright.answer.undo)`) {
			break
		}
		w.ctrl("z")
	}
	w.settled()
	if got := w.text(); got != text {
		w.t.Errorf("after everything is taken back the document is\n%s", got)
	}
	w.quiet()
}

// click clicks on a point of the grid.
func (w *window) click(x, y float64) {
	w.t.Helper()
	w.drag([2]float64{x, y})
}

// scheme shows the board by day or by night.
func (w *window) scheme(scheme string) {
	w.t.Helper()
	w.must(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
		return err
	}))
}

// shot keeps a picture of the window where QUILTWRIGHT_SHOTS names a folder.
func (w *window) shot(name string) {
	w.t.Helper()
	dir := os.Getenv("QUILTWRIGHT_SHOTS")
	if dir == "" {
		return
	}
	b, err := chromedp.Run(w.ctx, chromedp.CaptureScreenshot())
	if err == nil {
		err = os.WriteFile(filepath.Join(dir, name+".png"), b, 0o644)
	}
	if err != nil {
		w.t.Fatal(err)
	}
}

// accessible fails on every violation that axe-core finds (Deque Systems, MPL 2.0; testdata/axe-LICENSE.txt).
func (w *window) accessible(what string) {
	w.t.Helper()
	f, err := os.Open("testdata/axe.min.js.gz")
	if err != nil {
		w.t.Fatal(err)
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		w.t.Fatal(err)
	}
	src, err := io.ReadAll(z)
	if err != nil {
		w.t.Fatal(err)
	}
	w.must(chromedp.Evaluate[chromedp.Void](string(src)))
	found := eval[[]string](w, `axe.run(document).then(r => [String(r.passes.length)].concat(r.violations.flatMap(v => v.nodes.map(n => v.id + ': ' + n.failureSummary + '\n' + n.html))))`)
	if n, err := strconv.Atoi(found[0]); err != nil || n < 10 {
		w.t.Errorf("%s: axe-core passed %s rules only: it has not looked", what, found[0])
	}
	for _, v := range found[1:] {
		w.t.Errorf("%s: %s", what, v)
	}
}

// ctrl presses a key with Ctrl, after every change that was begun, and waits for the change that it makes.
func (w *window) ctrl(key string) {
	w.t.Helper()
	w.idle()
	w.must(chromedp.KeyEvent(key, chromedp.KeyModifiers(chromedp.ModifierCtrl)))
	w.idle()
}

// idle waits until every change that was begun is made and shown.
func (w *window) idle() {
	w.t.Helper()
	eval[bool](w, `window.quiltwright.queue.then(() => true)`)
}

// tabTo presses Tab until what has this name has the focus.
func (w *window) tabTo(name string) {
	w.t.Helper()
	for range 60 {
		if eval[string](w, `document.activeElement?.dataset?.focus ?? ''`) == name {
			return
		}
		w.keys(kb.Tab)
	}
	w.t.Fatalf("Tab never gets to %s", name)
}

// patch goes by arrows to the patch around a point, as one does who looks at the sheet.
func (w *window) patch(x, y float64) {
	w.t.Helper()
	w.keys(kb.ArrowRight)
	for range 40 {
		at := eval[[]float64](w, `(() => { const s = window.quiltwright.shown.sheet, p = s.block.patches[s.patch]; return [p.x, p.y]; })()`)
		dx, dy := x-at[0], y-at[1]
		if dx*dx+dy*dy < 0.12 {
			return
		}
		switch {
		case dx*dx > dy*dy && dx > 0:
			w.keys(kb.ArrowRight)
		case dx*dx > dy*dy:
			w.keys(kb.ArrowLeft)
		case dy > 0:
			w.keys(kb.ArrowDown)
		default:
			w.keys(kb.ArrowUp)
		}
	}
	w.t.Fatalf("arrows never get to the patch at %v,%v", x, y)
}

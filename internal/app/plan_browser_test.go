package app

import (
	"os"
	"testing"
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
	eval[string](w, `location.hash = '`+address+`'`)
	w.wait(`(() => {
		const [place, query] = location.hash.slice(1).split('?'), q = new URLSearchParams(query), a = window.quiltwright.answer;
		return a.place === place && (q.get('piece') ?? '') === (a.view.piece?.label ?? '') && (!q.get('block') || a.view.block?.name === q.get('block'))
			&& (!q.get('month') || a.view.month === undefined || String(a.view.month) === q.get('month'));
	})()`)
}

// planLooks are the addresses of the places of the plan.
var planLooks = []struct{ name, address, ready string }{
	{"cut", "cut", `document.querySelectorAll('.cut .strips svg').length > 5`},
	{"cut-month", "cut?month=3&piece=B1", `document.querySelectorAll('.cut .strips svg').length > 1`},
	{"press", "press?block=Ferry+Light", `document.querySelectorAll('.press .way').length > 20`},
	{"press-piece", "press?block=Paper+Lantern&piece=B1&seam=u20.1", `document.querySelectorAll('.press .way').length > 10`},
	{"sew", "sew?month=3", `document.querySelectorAll('.sew .step svg').length > 2`},
	{"book", "book", `document.querySelectorAll('.book .sheet').length > 5 || innerWidth < 1100`},
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

package app

import (
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// BenchmarkEditToPicture draws a line in a block of Lantern Row, fills a patch and takes both back, in the browser. It reports how long it takes from the
// gesture until the frame that shows it is painted: the median and the time that 95 of 100 edits keep, of which the goal is 50 ms; and until the change
// is on the disk, and until the page beside the sheet follows.
func BenchmarkEditToPicture(b *testing.B) {
	text, err := os.ReadFile("../../examples/lantern-row.yaml")
	if err != nil {
		b.Fatal(err)
	}
	w := openWindow(b, string(text), 1280, 720)
	w.wait(`window.quiltwright.answer.view.block.name === 'Paper Lantern'`)
	w.wait(`window.quiltwright.printed.revision > 0`)
	var painted, kept, printed []float64
	for n := 0; b.Loop(); n++ {
		for _, edit := range append(others(n), "") {
			call := "do(" + edit + ")"
			if edit == "" {
				call = "undo()"
			}
			took := eval[[]float64](w, `(async () => {
				const board = window.quiltwright, show = board.show, from = performance.now();
				const since = () => performance.now() - from;
				const painted = new Promise((done) => { board.show = (answer) => {
					board.show = show;
					board.show(answer);
					requestAnimationFrame(() => { const c = new MessageChannel(); c.port1.onmessage = () => done(since()); c.port2.postMessage(0); });
				}; });
				const kept = board.`+call+`.then(since);
				const out = [await painted, await kept];
				while (board.printed.revision !== board.answer.revision) await new Promise((done) => setTimeout(done, 5));
				return [...out, since()];
			})()`)
			painted, kept, printed = append(painted, took[0]), append(kept, took[1]), append(printed, took[2])
			time.Sleep(200 * time.Millisecond) // as a hand needs at least
		}
		w.must(chromedp.Evaluate[chromedp.Void](`window.quiltwright.undo()`, chromedp.EvalAwaitPromise))
		time.Sleep(200 * time.Millisecond)
	}
	for name, all := range map[string][]float64{"painted": painted, "kept": kept, "printed": printed} {
		slices.Sort(all)
		b.ReportMetric(all[len(all)/2], name+"-ms/median")
		b.ReportMetric(all[len(all)*95/100], name+"-ms/95%")
	}
}

// BenchmarkDo is the server's part: an operation, its save and the view after it.
func BenchmarkDo(b *testing.B) {
	text, err := os.ReadFile("../../examples/lantern-row.yaml")
	if err != nil {
		b.Fatal(err)
	}
	path := b.TempDir() + "/quilt.yaml"
	if err := os.WriteFile(path, text, 0o644); err != nil {
		b.Fatal(err)
	}
	s, err := open(path)
	if err != nil {
		b.Fatal(err)
	}
	defer s.file.Close()
	show := func(at *state) { viewDraft(at, nil) }
	for n := 0; b.Loop(); n++ {
		for _, op := range others(n) {
			if _, err := s.do(s.now.revision, []json.RawMessage{json.RawMessage(op)}, "", show); err != nil {
				b.Fatal(err)
			}
		}
		for range 2 {
			if _, err := s.step(s.now.revision, true, "", show); err != nil {
				b.Fatal(err)
			}
		}
	}
}

// others are two changes of a block of Lantern Row, a line drawn and a patch filled: other ones for every n of 29, so that what is remembered of the
// last changes does not help.
func others(n int) []string {
	quarter := 9 + n%29 + n%29/3 // between the whole steps from 2 to 12
	return []string{
		fmt.Sprintf(`{"do": "draw line", "block": "Paper Lantern", "points": "0,%d/4 2,%d/4"}`, quarter, quarter),
		fmt.Sprintf(`{"do": "fill", "block": "Paper Lantern", "fabric": "%s", "points": "6,7", "clear": "6,7"}`, "BDE"[n%3:][:1]),
	}
}

package svg

import (
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"quiltwright/internal/scene"
)

func TestWrite(t *testing.T) {
	d := scene.Drawing{W: 100, H: 60, Alt: "B2 & its line"}
	sq := scene.Rect(10, 10, 40, 40).Filled(scene.Hex("#46525f")).Hatched(scene.WrongSide).Stroked(scene.Ink, 0.6)
	clip := scene.Circle(scene.Point{X: 5, Y: 5}, 4)
	d.Add(sq, sq,
		scene.Label(scene.Point{X: 30, Y: 33}, 9, scene.Bold, scene.White, scene.Middle, "3\u00a07/8\u00a0in <"),
		scene.Text{At: scene.Point{X: 3, Y: 3}, Size: 10.5, Turn: -90, Runs: scene.Rich("Lay **A4**")},
		scene.Group{At: scene.Point{X: 1, Y: 2}, Scale: 0.5, Clip: &clip, Tag: scene.Figure, Alt: "x", Items: []scene.Item{sq.Dashed(2, 1)}},
		scene.Group{Tag: scene.Link, Link: "#a", Items: []scene.Item{scene.Circle(scene.Point{}, 1).Stroked(scene.Ember, 1).Dotted(2)}})
	out := string(Write(d))
	dec := xml.NewDecoder(strings.NewReader(out))
	for {
		if _, err := dec.Token(); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatalf("%v in\n%s", err, out)
		}
	}
	for _, want := range []string{
		`width="100pt" height="60pt" viewBox="0 0 100 60" role="img"`, "<title>B2 &amp; its line</title>",
		`font-weight="700"`, `text-anchor="middle"`, `<tspan style="font-feature-settings:'frac'">7/8</tspan>`,
		`rotate(-90 3 3)`, `scale(0.5)`, `aria-label="x"`, `<a href="#a">`, `stroke-dasharray="2 1"`, `stroke-linecap="round"`,
	} {
		if !strings.Contains(out, want) {
			t.Errorf("no %s in\n%s", want, out)
		}
	}
	if n := strings.Count(out, "<pattern"); n != 1 {
		t.Errorf("%d patterns, want one for equal hatches", n)
	}
	if out != string(Write(d)) {
		t.Error("the same drawing gave other bytes")
	}
}

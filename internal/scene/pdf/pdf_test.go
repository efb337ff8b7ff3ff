package pdf

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"quiltwright/internal/scene"
)

// sample is a document with every kind of item.
func sample(t *testing.T) scene.Document {
	t.Helper()
	m := image.NewRGBA(image.Rect(0, 0, 4, 4))
	m.Set(1, 1, color.RGBA{200, 80, 40, 255})
	var pic bytes.Buffer
	if err := png.Encode(&pic, m); err != nil {
		t.Fatal(err)
	}
	fig := scene.Drawing{W: 120, H: 80, Alt: "a square of Slate, wrong side up"}
	fig.Add(scene.Rect(10, 10, 60, 60).Filled(scene.Hex("#e8e4da")).Hatched(scene.WrongSide).Stroked(scene.Ink, 0.7),
		scene.Line(scene.Point{X: 10, Y: 10}, scene.Point{X: 70, Y: 70}).Stroked(scene.Ember, 1.2).Dotted(2.4),
		scene.Arrow(scene.Point{X: 80, Y: 40}, scene.Point{X: 110, Y: 40}, 6, scene.Ink, 1),
		scene.Label(scene.Point{X: 90, Y: 60}, 9, scene.Bold, scene.Ink, scene.Left, "A4"))
	clip := scene.Circle(scene.Point{X: 30, Y: 30}, 20)
	line := func(y scene.Pt, f scene.Font, size scene.Pt, s string) scene.Text {
		return scene.Label(scene.Point{X: 60, Y: y}, size, f, scene.Ink, scene.Left, s)
	}
	cell := func(x scene.Pt, tag scene.Tag, s string) scene.Group {
		return scene.Group{Tag: tag, Items: []scene.Item{scene.Label(scene.Point{X: x, Y: 300}, 11, scene.Body, scene.Ink, scene.Left, s)}}
	}
	page := func(mark string) scene.Page {
		return scene.Page{W: 612, H: 792, Items: []scene.Item{
			scene.Group{Tag: scene.Heading1, Mark: mark, Items: []scene.Item{line(80, scene.Heading, 26, "Ferry Light")}},
			scene.Group{Tag: scene.Paragraph, Items: []scene.Item{
				scene.Text{At: scene.Point{X: 60, Y: 110}, Size: 11, Color: scene.Ink, Runs: scene.Rich("Cut **A4** 3\u00a07/8\u00a0in wide, 13/64\u00a0in more, 4\u00a01/2\u00a0×\u00a02\u00a01/2\u00a0in; first fish.")}}},
			scene.Group{Tag: scene.Link, Link: "#two", Items: []scene.Item{line(140, scene.Body, 11, "see the next page")}},
			fig.Placed(60, 160),
			scene.Group{Clip: &clip, At: scene.Point{X: 300, Y: 160}, Items: []scene.Item{scene.Rect(0, 0, 60, 60).Filled(scene.Ember)}},
			scene.Group{Tag: scene.Table, Items: []scene.Item{
				scene.Group{Tag: scene.TableRow, Items: []scene.Item{cell(60, scene.TableHead, "Piece"), cell(160, scene.TableHead, "Size")}},
			}},
			scene.Image{X: 400, Y: 160, W: 40, H: 40, Data: pic.Bytes()},
			scene.Text{At: scene.Point{X: 500, Y: 400}, Size: 11, Turn: -90, Color: scene.Grey, Anchor: scene.Middle, Runs: []scene.Run{{Text: "12\u00a01/2\u00a0in"}}},
			scene.Group{Tag: scene.Artifact, Items: []scene.Item{line(760, scene.Italic, 9, "page foot")}},
		}}
	}
	return scene.Document{Title: "Lantern Row", Author: "Pier Street Sewing Room", Lang: "en", Date: "2027-01-08",
		Pages:    []scene.Page{page("one"), page("two")},
		Contents: []scene.Bookmark{{Title: "One", Mark: "one", Level: 1}, {Title: "Two", Mark: "two", Level: 2}}}
}

func write(t *testing.T, doc scene.Document) string {
	t.Helper()
	b, err := Write(doc)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "sample.pdf")
	if err := os.WriteFile(path, b, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func tool(t *testing.T, name string, args ...string) string {
	t.Helper()
	out, err := exec.Command(name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %v: %v\n%s", name, args, err, out)
	}
	return string(out)
}

func TestReadsBack(t *testing.T) {
	path := write(t, sample(t))
	text := tool(t, "pdftotext", "-layout", path, "-")
	for _, want := range []string{"Ferry Light", "Cut A4 3 7/8 in wide, 13/64 in more, 4 1/2 × 2 1/2 in; first fish.", "see the next page", "12 1/2 in"} {
		if !strings.Contains(text, want) {
			t.Errorf("the text has no %q:\n%s", want, text)
		}
	}
	fonts := tool(t, "pdffonts", path)
	for _, l := range strings.Split(strings.TrimSpace(fonts), "\n")[2:] {
		f := strings.Fields(l)
		if !strings.Contains(l, "+Alegreya") || f[len(f)-5] != "yes" || f[len(f)-4] != "yes" || f[len(f)-3] != "yes" {
			t.Errorf("not embedded, subset and readable: %s", l)
		}
	}
}

func TestTags(t *testing.T) {
	path := write(t, sample(t))
	info := tool(t, "pdfinfo", path)
	for _, want := range []string{"Tagged:          yes", "Title:           Lantern Row", "Author:          Pier Street Sewing Room"} {
		if !strings.Contains(info, want) {
			t.Errorf("no %q:\n%s", want, info)
		}
	}
	tree := tool(t, "pdfinfo", "-struct-text", path)
	for _, want := range []string{"Document", "H1", "Table", "TR", "TH", "Figure", "Link", "\"see the next page\""} {
		if !strings.Contains(tree, want) {
			t.Errorf("the structure has no %s:\n%s", want, tree)
		}
	}
	if strings.Contains(tree, "page foot") {
		t.Errorf("the foot is read out:\n%s", tree)
	}
}

func TestSound(t *testing.T) {
	path := write(t, sample(t))
	if out := tool(t, "qpdf", "--check", path); !strings.Contains(out, "No syntax or stream encoding errors found") {
		t.Error(out)
	}
}

func TestSameBytes(t *testing.T) {
	a, err := Write(sample(t))
	if err != nil {
		t.Fatal(err)
	}
	for range 5 {
		b, err := Write(sample(t))
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(a, b) {
			t.Fatal("the same document gave other bytes")
		}
	}
}

func TestRefuses(t *testing.T) {
	doc := sample(t)
	doc.Contents[0].Mark = "nowhere"
	if _, err := Write(doc); err == nil || !strings.Contains(err.Error(), `"nowhere"`) {
		t.Errorf("a bookmark that leads nowhere: %v", err)
	}
	if _, err := Write(scene.Document{}); err == nil {
		t.Error("a document without pages was written")
	}
	doc = sample(t)
	doc.Pages[1].Items = append(doc.Pages[1].Items, scene.Image{W: 1, H: 1, Data: []byte("no picture")})
	if _, err := Write(doc); err == nil || !strings.Contains(err.Error(), "page 2") {
		t.Errorf("a broken picture: %v", err)
	}
}

func TestPaints(t *testing.T) {
	path := write(t, sample(t))
	tool(t, "pdftoppm", "-r", "72", "-png", path, path)
	f, err := os.Open(path + "-1.png")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	m, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	if r, g, b, _ := m.At(330, 190).RGBA(); r>>8 != 0xc8 || g>>8 != 0x50 || b>>8 != 0x2a {
		t.Errorf("inside the clip: %x %x %x", r>>8, g>>8, b>>8)
	}
	if r, g, b, _ := m.At(303, 163).RGBA(); r>>8 != 255 || g>>8 != 255 || b>>8 != 255 {
		t.Errorf("outside the clip: %x %x %x", r>>8, g>>8, b>>8)
	}
}

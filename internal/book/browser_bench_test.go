package book

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"quiltwright/internal/scene"
	"quiltwright/internal/scene/pdf"
	"quiltwright/internal/scene/svg"
)

// BenchmarkBrowser prints the pages of Lantern Row's pattern, letter, here and from HTML with the same pages as SVG by headless
// Chromium, and reports both per page. It needs a chromium on the path.
func BenchmarkBrowser(b *testing.B) {
	browser, err := exec.LookPath("chromium")
	if err != nil {
		b.Skip("no chromium on the path to compare with")
	}
	p := lantern(b)
	var pages scene.Document
	for _, d := range Documents(p, Options{}, "letter") {
		if d.Name == "pattern" {
			pages = d.Pages
		}
	}
	dir := b.TempDir()
	var html bytes.Buffer
	html.WriteString("<!doctype html><style>@page{size:8.5in 11in;margin:0}body{margin:0}svg{display:block;page-break-after:always}</style>")
	const some = 16 // pages for the browser: all of them take minutes
	for _, g := range pages.Pages[:some] {
		d := scene.Drawing{W: g.W, H: g.H, Alt: "page"}
		d.Add(g.Items...)
		html.Write(svg.Write(d))
	}
	from, to := filepath.Join(dir, "pattern.html"), filepath.Join(dir, "pattern.pdf")
	if err := os.WriteFile(from, html.Bytes(), 0o644); err != nil {
		b.Fatal(err)
	}
	here, there := time.Duration(0), time.Duration(0)
	for b.Loop() {
		began := time.Now()
		if _, err := pdf.Write(pages); err != nil {
			b.Fatal(err)
		}
		here += time.Since(began)
		began = time.Now()
		cmd := exec.Command(browser, "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
			"--disable-component-update", "--disable-sync", "--user-data-dir="+filepath.Join(dir, "profile"), "--no-pdf-header-footer", "--print-to-pdf="+to, "file://"+from)
		if out, err := cmd.CombinedOutput(); err != nil {
			b.Fatalf("%v\n%s", err, out)
		}
		there += time.Since(began)
	}
	printed, err := os.ReadFile(to)
	if err != nil {
		b.Fatal(err)
	}
	if n := bytes.Count(printed, []byte("/Type /Page\n")); n > 0 && n != some {
		b.Fatalf("the browser printed %d pages of %d", n, some)
	}
	ours, theirs := here.Seconds()*1000/float64(b.N*len(pages.Pages)), there.Seconds()*1000/float64(b.N*some)
	b.ReportMetric(ours, "ms/page")
	b.ReportMetric(theirs, "browser-ms/page")
	b.ReportMetric(theirs/ours, "ratio")
}

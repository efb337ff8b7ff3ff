package app

import (
	"embed"
	"io/fs"
	"net/http"
	"path"

	"quiltwright/internal/scene"
)

//go:embed web
var web embed.FS

// asset serves the page and its modules and style sheets, and no other file.
func (s *server) asset(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("file")
	if r.URL.Path == "/" {
		name = "index.html"
	}
	b, err := fs.ReadFile(web, path.Join("web", path.Clean("/"+name)))
	kind := map[string]string{".html": "text/html; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8"}[path.Ext(name)]
	if err != nil || kind == "" {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Content-Type", kind)
	_, _ = w.Write(b)
}

// fonts are those of the printed pages.
var fonts = map[string]scene.Font{"body.ttf": scene.Body, "bold.ttf": scene.Bold, "italic.ttf": scene.Italic, "heading.ttf": scene.Heading}

func font(w http.ResponseWriter, r *http.Request) {
	f, ok := fonts[r.PathValue("file")]
	if !ok {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Content-Type", "font/ttf")
	w.Header().Set("Cache-Control", "private, max-age=86400")
	_, _ = w.Write(f.File())
}

package app

import (
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// TestEveryRoute asks every route that the server has as another page would: none answers.
func TestEveryRoute(t *testing.T) {
	src, err := os.ReadFile("server.go")
	if err != nil {
		t.Fatal(err)
	}
	routes := regexp.MustCompile(`HandleFunc\("(GET|POST) ([^"]+)"`).FindAllStringSubmatch(string(src), -1)
	if len(routes) < 15 {
		t.Fatalf("only %d routes are found in server.go", len(routes))
	}
	s := serve(t, blank)
	for _, route := range routes {
		method := route[1]
		path := strings.NewReplacer("{$}", "", "{place}", "draft", "{hash}", "00", "{fabric}", "A", "{number}", "1", "{file...}", "board.js", "{file}", "body.ttf").Replace(route[2])
		if strings.Contains(path, "{") {
			t.Fatalf("%s: what stands for %s is not known", route[2], path)
		}
		for name, change := range map[string]func(*http.Request){
			"without the cookie":        func(r *http.Request) { r.Header.Del("Cookie") },
			"from another page":         func(r *http.Request) { r.Header.Set("Origin", "https://quilts.example") },
			"within another page":       func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") },
			"under another name":        func(r *http.Request) { r.Host = "quilts.example" },
			"with the cookie's name":    func(r *http.Request) { r.Header.Set("Cookie", s.cookie.Name+"=") },
			"posted as a form would be": func(r *http.Request) { r.Method = "POST"; r.Header.Set("Content-Type", "text/plain") },
		} {
			if r := s.send(method, path, s.do(drawn), change); r.StatusCode < 400 {
				t.Errorf("%s %s %s: %d", method, path, name, r.StatusCode)
			}
		}
	}
	if b, err := os.ReadFile(s.file); err != nil || string(b) != blank {
		t.Errorf("the document was changed:\n%s", b)
	}
}

// TestNoOtherVersion asks for versions, patterns and blocks that are none.
func TestNoOtherVersion(t *testing.T) {
	s := serve(t, blank)
	secret := filepath.Join(filepath.Dir(filepath.Dir(s.file)), "secret.pdf")
	if err := os.WriteFile(secret, []byte("secret"), 0o644); err != nil {
		t.Fatal(err)
	}
	defer os.Remove(secret)
	for _, path := range []string{"/versions/0", "/versions/-1", "/versions/99", "/versions/1e9", "/versions/..%2f..%2fsecret.pdf", "/versions/000001.yaml",
		"/made/..%2f..%2fsecret.pdf", "/made/../secret.pdf", "/made/%2e%2e/%2e%2e/secret.pdf", "/made//etc/passwd", "/made/.quiltwright/quilt.yaml.journal", "/made/quilt.yaml"} {
		if r := s.send("GET", path, "", nil); r.StatusCode == http.StatusOK {
			t.Errorf("%s: %.200s", path, bodyOf(r))
		}
	}
	for _, block := range []string{"", "None", "..%2fsecret", strings.Repeat("a", 5000)} {
		if r := s.send("GET", "/turned?block="+block, "", nil); !strings.Contains(bodyOf(r), "there is no block") {
			t.Errorf("block %.20q: %d", block, r.StatusCode)
		}
	}
	for _, version := range []string{"0", "-1", "99"} {
		body := fmt.Sprintf(`{"revision": %d, "place": "draft", "version": %s}`, s.board.server.session.current().revision, version)
		if r := s.send("POST", "/version", body, nil); r.StatusCode != http.StatusUnprocessableEntity {
			t.Errorf("version %s: %d %s", version, r.StatusCode, bodyOf(r))
		}
	}
	if b, err := os.ReadFile(s.file); err != nil || string(b) != blank {
		t.Errorf("the document was changed:\n%s", b)
	}
}

// TestManyWindows refuses the window that is one too many, and takes another when one has gone.
func TestManyWindows(t *testing.T) {
	var h hub
	var all []chan event
	for range mostWindows {
		c, ok := h.join()
		if !ok {
			t.Fatalf("window %d is refused", len(all)+1)
		}
		all = append(all, c)
	}
	if _, ok := h.join(); ok {
		t.Error("one window too many is let in")
	}
	for range 100 {
		h.tell(event{Kind: "plan"}) // nobody listens, and nobody waits
	}
	h.leave(all[0])
	if _, ok := h.join(); !ok {
		t.Error("a window is refused though there is room")
	}
}

package app

import (
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"hash/crc32"
	"image"
	"image/png"
	"io"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// served is a board without a browser: what a test sends is what is sent.
type served struct {
	t      *testing.T
	board  *Board
	host   string
	cookie *http.Cookie
	file   string
}

func serve(t *testing.T, text string) *served {
	t.Helper()
	s := &served{t: t, file: filepath.Join(t.TempDir(), "quilt.yaml")}
	if err := os.WriteFile(s.file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	var err error
	if s.board, err = Open(s.file, 0); err != nil {
		t.Fatal(err)
	}
	go func() { _ = s.board.Serve() }()
	t.Cleanup(func() { _ = s.board.Close() })
	at, err := url.Parse(s.board.Address)
	if err != nil {
		t.Fatal(err)
	}
	s.host = at.Host
	r := s.send("GET", "/?"+at.RawQuery, "", func(r *http.Request) { r.Header.Del("Cookie") })
	if r.StatusCode != http.StatusSeeOther || len(r.Cookies()) != 1 {
		t.Fatalf("the address gives %d and %d cookies", r.StatusCode, len(r.Cookies()))
	}
	s.cookie = r.Cookies()[0]
	return s
}

// send sends what the board's own page would, changed by change; the answer's body is read into Body.
func (s *served) send(method, path, body string, change func(*http.Request)) *http.Response {
	s.t.Helper()
	r, err := http.NewRequest(method, "http://"+s.host+path, strings.NewReader(body))
	if err != nil {
		s.t.Fatal(err)
	}
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	if s.cookie != nil {
		r.AddCookie(s.cookie)
	} else {
		r.Header.Set("Sec-Fetch-Site", "none")
	}
	if method == "POST" {
		r.Header.Set("Content-Type", "application/json")
		r.Header.Set("Origin", "http://"+s.host)
	}
	if change != nil {
		change(r)
	}
	client := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	answer, err := client.Do(r)
	if err != nil {
		s.t.Fatal(err)
	}
	b, err := io.ReadAll(answer.Body)
	if err != nil {
		s.t.Fatal(err)
	}
	_ = answer.Body.Close()
	answer.Body = io.NopCloser(bytes.NewReader(b))
	return answer
}

func bodyOf(r *http.Response) string {
	b, _ := io.ReadAll(r.Body)
	return string(b)
}

// do is the body of a request to do operations.
func (s *served) do(ops string) string {
	return fmt.Sprintf(`{"revision": %d, "window": "w", "place": "draft", "query": "", "ops": [%s]}`, s.board.server.session.current().revision, ops)
}

const drawn = `{"do": "draw line", "block": "Star", "points": "0,2 4,2"}`

// TestOnlyTheBoardsPage attacks the board as another page, another program's page, or a form would.
func TestOnlyTheBoardsPage(t *testing.T) {
	s := serve(t, blank)
	set := func(name, value string) func(*http.Request) {
		return func(r *http.Request) { r.Header.Set(name, value) }
	}
	del := func(name string) func(*http.Request) { return func(r *http.Request) { r.Header.Del(name) } }
	port := s.host[strings.LastIndexByte(s.host, ':'):]
	for _, attack := range []struct {
		name         string
		method, path string
		change       func(*http.Request)
		want         int
	}{
		{"a name that leads to this machine", "POST", "/do", func(r *http.Request) { r.Host = "quilts.example" + port }, http.StatusMisdirectedRequest},
		{"localhost", "GET", "/view/draft", func(r *http.Request) { r.Host = "localhost" + port }, http.StatusMisdirectedRequest},
		{"another port", "GET", "/view/draft", func(r *http.Request) { r.Host = "127.0.0.1:1" }, http.StatusMisdirectedRequest},
		{"another page posts", "POST", "/do", set("Origin", "https://quilts.example"), http.StatusForbidden},
		{"a page without an origin", "POST", "/do", set("Origin", "null"), http.StatusForbidden},
		{"no origin at all", "POST", "/do", del("Origin"), http.StatusForbidden},
		{"a page on another port of this machine", "POST", "/do", set("Origin", "http://127.0.0.1:1"), http.StatusForbidden},
		{"a picture in another page", "GET", "/view/draft", set("Sec-Fetch-Site", "cross-site"), http.StatusForbidden},
		{"a neighbour's page", "GET", "/view/draft", set("Sec-Fetch-Site", "same-site"), http.StatusForbidden},
		{"a link in another page", "GET", "/", set("Sec-Fetch-Site", "cross-site"), http.StatusForbidden},
		{"an address typed that is no page", "GET", "/view/draft", set("Sec-Fetch-Site", "none"), http.StatusForbidden},
		{"a form", "POST", "/do", set("Content-Type", "application/x-www-form-urlencoded"), http.StatusUnsupportedMediaType},
		{"a form that posts text", "POST", "/do", set("Content-Type", "text/plain; application/json"), http.StatusUnsupportedMediaType},
		{"no type", "POST", "/undo", del("Content-Type"), http.StatusUnsupportedMediaType},
		{"no cookie", "POST", "/do", del("Cookie"), http.StatusForbidden},
		{"no cookie, reading", "GET", "/pages?month=1", del("Cookie"), http.StatusForbidden},
		{"no cookie, the page", "GET", "/", del("Cookie"), http.StatusForbidden},
		{"no cookie, events", "GET", "/events", del("Cookie"), http.StatusForbidden},
		{"another cookie", "POST", "/do", set("Cookie", s.cookie.Name+"=00"), http.StatusForbidden},
		{"the key for the cookie", "POST", "/do", set("Cookie", s.cookie.Name+"="+s.board.Address[strings.Index(s.board.Address, "key=")+4:]), http.StatusForbidden},
		{"a wrong key", "GET", "/?key=00", nil, http.StatusForbidden},
		{"a change by GET", "GET", "/do", nil, http.StatusMethodNotAllowed},
		{"PUT", "PUT", "/do", nil, http.StatusMethodNotAllowed},
		{"OPTIONS", "OPTIONS", "/do", set("Access-Control-Request-Method", "POST"), http.StatusMethodNotAllowed},
	} {
		r := s.send(attack.method, attack.path, s.do(drawn), attack.change)
		if r.StatusCode != attack.want {
			t.Errorf("%s: %d %s, want %d", attack.name, r.StatusCode, bodyOf(r), attack.want)
		}
		if r.Header.Get("Access-Control-Allow-Origin") != "" {
			t.Errorf("%s: other pages are let in", attack.name)
		}
	}
	if b, err := os.ReadFile(s.file); err != nil || string(b) != blank {
		t.Errorf("the document was changed:\n%s", b)
	}
	if r := s.send("POST", "/do", s.do(drawn), nil); r.StatusCode != http.StatusOK {
		t.Errorf("the board's own page is refused: %d %s", r.StatusCode, bodyOf(r))
	}
}

// TestHeaders holds what every answer carries, and the cookie.
func TestHeaders(t *testing.T) {
	s := serve(t, blank)
	if c := s.cookie; !c.HttpOnly || c.SameSite != http.SameSiteStrictMode || c.Path != "/" || len(c.Value) < 32 || c.Domain != "" {
		t.Errorf("the cookie is %s", c)
	}
	for _, path := range []string{"/", "/view/draft", "/web/board.js", "/web/board.css", "/font/body.ttf", "/nothing", "/page/00", "/pages?month=1"} {
		h := s.send("GET", path, "", nil).Header
		if h.Get("X-Content-Type-Options") != "nosniff" {
			t.Errorf("%s may be taken for what it is not", path)
		}
		csp := h.Get("Content-Security-Policy")
		if !strings.HasPrefix(csp, "default-src 'none'") || !strings.Contains(csp, "frame-ancestors 'none'") || strings.Contains(csp, "unsafe") {
			t.Errorf("%s has the policy %q", path, csp)
		}
	}
	page := bodyOf(s.send("GET", "/", "", nil))
	if strings.Contains(page, "<style") || strings.Contains(page, " style=") || strings.Contains(page, " onclick=") || strings.Count(page, "<script") != strings.Count(page, `<script type="module" src=`) {
		t.Errorf("the page has something inline:\n%s", page)
	}
	host, _, err := net.SplitHostPort(s.host)
	if ip := net.ParseIP(host); err != nil || ip == nil || !ip.IsLoopback() {
		t.Errorf("the board is served at %s", s.host)
	}
}

// TestNoOtherFile asks for files that are not the board's.
func TestNoOtherFile(t *testing.T) {
	s := serve(t, strings.Replace(blank, `color: "#e8e3d6"}`, `color: "#e8e3d6", swatch: ../secret.png}`, 1))
	dir := filepath.Dir(s.file)
	var secretPicture bytes.Buffer
	if err := png.Encode(&secretPicture, image.NewGray(image.Rect(0, 0, 2, 2))); err != nil {
		t.Fatal(err)
	}
	secret := filepath.Join(filepath.Dir(dir), "secret.png")
	if err := os.WriteFile(secret, secretPicture.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{"/web/../server.go", "/web/%2e%2e/server.go", "/web/..%2fserver.go", "/web/fonts", "/web/", "/web/index.html/", "/quilt.yaml", "/web/quilt.yaml",
		"/font/../secret", "/font/OFL-Alegreya.txt", "/page/..%2f..%2fsecret.png", "/swatch/A", "/swatch/..%2fsecret.png", "/.quiltwright/", "/events/x", "/debug/pprof/"} {
		if r := s.send("GET", path, "", nil); r.StatusCode == http.StatusOK {
			t.Errorf("%s: %d\n%.200s", path, r.StatusCode, bodyOf(r))
		}
	}
	// A link that leads out of the folder leads nowhere.
	if err := os.Symlink(secret, filepath.Join(dir, "inside.png")); err != nil {
		t.Skip("no links on this system")
	}
	r := s.send("POST", "/do", s.do(`{"do": "put", "at": ["fabrics", "A", "swatch"], "value": "inside.png"}`), nil)
	if r.StatusCode != http.StatusOK {
		t.Fatalf("%d %s", r.StatusCode, bodyOf(r))
	}
	if r := s.send("GET", "/swatch/A", "", nil); r.StatusCode == http.StatusOK {
		t.Error("a link leads out of the folder")
	}
}

// TestHostileRequests sends what is no request.
func TestHostileRequests(t *testing.T) {
	s := serve(t, blank)
	for name, attack := range map[string]struct {
		path, body string
		want       int
	}{
		"too long":             {"/do", `{"ops": ["` + strings.Repeat("a", maxRequest) + `"]}`, http.StatusRequestEntityTooLarge},
		"no JSON":              {"/do", `draw a line`, http.StatusBadRequest},
		"empty":                {"/do", ``, http.StatusBadRequest},
		"two values":           {"/do", s.do(drawn) + s.do(drawn), http.StatusBadRequest},
		"deep":                 {"/do", strings.Repeat(`{"ops":[`, 100_000), http.StatusBadRequest},
		"no operation":         {"/do", s.do(``), http.StatusUnprocessableEntity},
		"an unknown operation": {"/do", s.do(`{"do": "burn"}`), http.StatusUnprocessableEntity},
		"half of it":           {"/do", s.do(drawn + `, {"do": "remove line", "block": "Star", "line": 9}`), http.StatusUnprocessableEntity},
		"a query that is none": {"/do", `{"query": "%zz"}`, http.StatusBadRequest},
		"a text no file takes": {"/do", s.do(`{"do": "put", "at": ["note"], "value": "` + strings.Repeat("a", 900_000) + `"}`), http.StatusUnprocessableEntity},
		"nothing to take back": {"/undo", s.do(``), http.StatusUnprocessableEntity},
		"nothing to redo":      {"/redo", s.do(``), http.StatusUnprocessableEntity},
	} {
		if r := s.send("POST", attack.path, attack.body, nil); r.StatusCode != attack.want {
			t.Errorf("%s: %d %.300s, want %d", name, r.StatusCode, bodyOf(r), attack.want)
		}
	}
	if b, err := os.ReadFile(s.file); err != nil || string(b) != blank {
		t.Errorf("the document was changed:\n%.2000s", b)
	}
}

// aPicture is a PNG of a size.
func aPicture(t *testing.T, w, h int) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, w, h))); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// claimed is the PNG with another size in its head: a few bytes that ask for gigabytes.
func claimed(t *testing.T, w, h uint32) []byte {
	b := aPicture(t, 2, 2)
	binary.BigEndian.PutUint32(b[16:], w)
	binary.BigEndian.PutUint32(b[20:], h)
	binary.BigEndian.PutUint32(b[29:], crc32.ChecksumIEEE(b[12:29]))
	return b
}

// TestPhotographs lays photographs beside the document, and what only looks like one.
func TestPhotographs(t *testing.T) {
	s := serve(t, blank)
	lay := func(fabric string, data []byte) *http.Response {
		body, err := json.Marshal(map[string]any{"revision": s.board.server.session.current().revision, "place": "draft", "fabric": fabric, "data": base64.StdEncoding.EncodeToString(data)})
		if err != nil {
			t.Fatal(err)
		}
		return s.send("POST", "/swatch", string(body), nil)
	}
	for name, data := range map[string][]byte{
		"text": []byte("not a picture"), "nothing": nil, "GIF": []byte("GIF89a\x01\x00\x01\x00\x00\x00\x00;"), "SVG": []byte(`<svg xmlns="http://www.w3.org/2000/svg"/>`),
		"a bomb": claimed(t, 60_000, 60_000), "a long bomb": claimed(t, 1<<31-1, 1), "many dots": claimed(t, 10_000, 10_000), "torn": aPicture(t, 64, 64)[:60],
	} {
		if r := lay("A", data); r.StatusCode != http.StatusUnprocessableEntity {
			t.Errorf("%s: %d %.200s", name, r.StatusCode, bodyOf(r))
		}
	}
	for _, fabric := range []string{"", "Z", "../A", "a"} {
		if r := lay(fabric, aPicture(t, 8, 8)); r.StatusCode != http.StatusUnprocessableEntity {
			t.Errorf("fabric %q: %d %.200s", fabric, r.StatusCode, bodyOf(r))
		}
	}
	if r := lay("A", aPicture(t, 8, 8)); r.StatusCode != http.StatusOK {
		t.Fatalf("%d %s", r.StatusCode, bodyOf(r))
	}
	if b, err := os.ReadFile(s.file); err != nil || !strings.Contains(string(b), "swatch: swatch-a-") {
		t.Errorf("the document does not name the photograph:\n%s", b)
	}
	r := s.send("GET", "/swatch/A", "", nil)
	if r.StatusCode != http.StatusOK || r.Header.Get("Content-Type") != "image/png" || bodyOf(r) != string(aPicture(t, 8, 8)) {
		t.Errorf("the photograph does not come back: %d %s", r.StatusCode, r.Header)
	}
}

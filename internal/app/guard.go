package app

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/hex"
	"fmt"
	"mime"
	"net/http"
	"strings"
)

// policy is what a page of the app may load and run: its own modules, style sheet and fonts, nothing inline, nothing from elsewhere.
// Pictures of swatches stand in the drawings as data.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; connect-src 'self'; " +
	"base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// secret is a random word that cannot be guessed.
func secret() string {
	var b [24]byte
	_, _ = rand.Read(b[:]) // never fails
	return hex.EncodeToString(b[:])
}

// guard lets through what the app's own page asks, and nothing else: another web page, another program's page under another name,
// a page in a frame, a form. Each check alone would do against most of it.
type guard struct {
	host   string // the only name under which the app answers: 127.0.0.1 and its port
	key    string // in the address that is opened, exchanged for the cookie
	cookie string // its value
	next   http.Handler
}

// name of the cookie. Cookies do not know ports, so the port is in the name and two apps do not log each other out.
func (g *guard) name() string { return "quiltwright-" + g.host[strings.LastIndexByte(g.host, ':')+1:] }

func (g *guard) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Content-Security-Policy", policy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cache-Control", "no-store")
	refuse := func(code int, says string) { http.Error(w, says, code) }
	if r.Host != g.host {
		refuse(http.StatusMisdirectedRequest, "this address is not the board's")
		return
	}
	origin, site := r.Header.Get("Origin"), r.Header.Get("Sec-Fetch-Site")
	if origin != "" && origin != "http://"+g.host {
		refuse(http.StatusForbidden, "another page may not drive the board")
		return
	}
	// A browser says "none" where the person opened the address; only the page itself is opened so.
	if site != "" && site != "same-origin" && !(site == "none" && r.URL.Path == "/") {
		refuse(http.StatusForbidden, "another page may not drive the board")
		return
	}
	switch r.Method {
	case http.MethodGet, http.MethodHead:
	case http.MethodPost:
		// A form of another page can post text, never JSON; and a browser names the origin of every post.
		if kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || kind != "application/json" {
			refuse(http.StatusUnsupportedMediaType, "what changes something is sent as application/json")
			return
		}
		if origin == "" {
			refuse(http.StatusForbidden, "what changes something says where it comes from")
			return
		}
	default:
		h.Set("Allow", "GET, HEAD, POST")
		refuse(http.StatusMethodNotAllowed, "the board is read by GET and changed by POST")
		return
	}
	if key := r.URL.Query().Get("key"); key != "" && r.URL.Path == "/" && r.Method == http.MethodGet {
		if !same(key, g.key) {
			refuse(http.StatusForbidden, wrongAddress)
			return
		}
		http.SetCookie(w, &http.Cookie{Name: g.name(), Value: g.cookie, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
		http.Redirect(w, r, "/", http.StatusSeeOther) // the key leaves the address bar and the browser's history of it
		return
	}
	if c, err := r.Cookie(g.name()); err != nil || !same(c.Value, g.cookie) {
		refuse(http.StatusForbidden, wrongAddress)
		return
	}
	defer func() {
		if broken := recover(); broken != nil { // a broken invariant of ours ends a request, not the board
			http.Error(w, fmt.Sprintf("a mistake of the program, not yours: %v; please report it with the document", broken), http.StatusInternalServerError)
		}
	}()
	g.next.ServeHTTP(w, r)
}

const wrongAddress = "this is not the address that quiltwright printed; open the whole of it, or run quiltwright open again"

func same(a, b string) bool { return subtle.ConstantTimeCompare([]byte(a), []byte(b)) == 1 }

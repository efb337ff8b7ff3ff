package app

import "net/url"

// bookView is the pages.
type bookView struct{}

// viewBook makes the view.
func viewBook(s *state, q url.Values) any {
	return bookView{}
}

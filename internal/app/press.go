package app

import "net/url"

// pressView is which way seams are pressed.
type pressView struct{}

// viewPress makes the view.
func viewPress(s *state, q url.Values) any {
	return pressView{}
}

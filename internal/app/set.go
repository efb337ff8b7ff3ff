package app

import "net/url"

// setView is the quilt.
type setView struct{}

// viewSet makes the view.
func viewSet(s *state, q url.Values) any {
	return setView{}
}

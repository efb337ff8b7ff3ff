package app

import "net/url"

// cutView is what is cut.
type cutView struct{}

// viewCut makes the view.
func viewCut(s *state, q url.Values) any {
	return cutView{}
}

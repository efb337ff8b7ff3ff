package app

import "net/url"

// clothView is the fabrics.
type clothView struct{}

// viewCloth makes the view.
func viewCloth(s *state, q url.Values) any {
	return clothView{}
}

package app

import "net/url"

// sewView is the steps.
type sewView struct{}

// viewSew makes the view.
func viewSew(s *state, q url.Values) any {
	return sewView{}
}

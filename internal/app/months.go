package app

import "net/url"

// monthsView is the months.
type monthsView struct{}

// viewMonths makes the view.
func viewMonths(s *state, q url.Values) any {
	return monthsView{}
}

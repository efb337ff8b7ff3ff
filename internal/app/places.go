package app

import "net/url"

// place is one of the places of the board: its name in addresses, the verb it is called by, and what makes its view. A view is plain data; it
// is made of a state and of what the address says is looked at, and holds everything that the page shows, in words where there are words.
type place struct {
	name string
	says string // "" where it is reached from another place
	view func(s *state, q url.Values) any
}

// places are all places, in the order of work.
var places = []place{
	{"draft", "Draft", viewDraft},
	{"set", "Set", viewSet},
	{"cut", "Cut", viewCut},
	{"press", "Press", viewPress},
	{"sew", "Sew", viewSew},
	{"book", "Book", viewBook},
	{"cloth", "", viewCloth},
	{"months", "", viewMonths},
}

package app

import (
	"bytes"
	"slices"

	"quiltwright/internal/edit"
)

// recent are the contents that the document had last, the newest first: what is taken back, or made again, is there at once with its plan.
type recent []*content

// Limits on what is kept.
const (
	mostRecent        = 8
	mostRecentPatches = 20_000
)

// of is the content of the text: one that is kept, or a new one.
func (r recent) of(text *edit.Text) *content {
	if i := slices.IndexFunc(r, func(c *content) bool { return bytes.Equal(c.text, text.Bytes()) }); i >= 0 {
		return r[i]
	}
	return newContent(text)
}

// keep puts a content in front, and forgets those that are too many.
func (r *recent) keep(c *content) {
	all := append(recent{c}, slices.DeleteFunc(*r, func(old *content) bool { return old == c })...)
	patches := 0
	for i, c := range all {
		if patches += c.patches(); i > 0 && (i == mostRecent || patches > mostRecentPatches) {
			all = slices.Clone(all[:i])
			break
		}
	}
	*r = all
}

// patches is how large the plan is, as far as there is one.
func (s *content) patches() int {
	p := s.plan()
	if p == nil {
		return 0
	}
	return len(p.Drawn)
}

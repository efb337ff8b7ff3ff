//go:build race

package guillotine

// The race detector makes laying several times as slow, so fewer lists are laid here. make check lays all of them
// without it.
const (
	sample = 10 // one in so many random lists is laid
)

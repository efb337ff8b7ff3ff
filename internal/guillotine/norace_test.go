//go:build !race

package guillotine

// All lists are laid; see race_test.go.
const (
	sample = 1
)

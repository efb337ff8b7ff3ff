//go:build !race

package prove

// Slower is how much longer a test may take than its limit; see race_test.go.
const Slower = 1

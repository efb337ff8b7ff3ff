//go:build !race

package prove

// slower is how much longer a test may take than its limit; see race_test.go.
const slower = 1

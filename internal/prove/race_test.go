//go:build race

package prove

// Slower is how much longer a test may take with the race detector. make check runs these tests without it, too.
const Slower = 10

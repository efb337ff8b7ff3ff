//go:build race

package quilt_test

// slower is how much longer a test may take with the race detector. make goldens runs these tests without it, too.
const slower = 10

//go:build !race

package compile

// fewer is by how much samples are smaller; see race_test.go.
const fewer = 1

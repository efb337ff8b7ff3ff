//go:build race

package compile

// fewer is by how much samples of what takes long are smaller with the race detector. make check runs these tests without it, too.
const fewer = 4

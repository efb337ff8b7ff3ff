//go:build linux || darwin || freebsd || netbsd || openbsd || dragonfly

package history

import (
	"os"
	"syscall"
)

// lock holds the file until it is closed or the program ends; an error where another one holds it.
func lock(f *os.File) error { return syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB) }

//go:build linux && (amd64 || arm64)

package files

import (
	"runtime"
	"syscall"
	"unsafe"
)

// exchange swaps two folders in one step, by renameat2 with RENAME_EXCHANGE. Not every file system can; then it is an error and
// nothing has changed.
func exchange(a, b string) error {
	// The numbers are those of the kernel's system call tables; RENAME_EXCHANGE is from linux/fs.h.
	const (
		here           = ^uintptr(99) // AT_FDCWD, -100
		renameExchange = 2
	)
	call := uintptr(316)
	if runtime.GOARCH == "arm64" {
		call = 276
	}
	pa, err := syscall.BytePtrFromString(a)
	if err != nil {
		return err
	}
	pb, err := syscall.BytePtrFromString(b)
	if err != nil {
		return err
	}
	if _, _, no := syscall.Syscall6(call, here, uintptr(unsafe.Pointer(pa)), here, uintptr(unsafe.Pointer(pb)), renameExchange, 0); no != 0 {
		return no
	}
	return nil
}

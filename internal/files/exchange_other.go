//go:build !linux || !(amd64 || arm64)

package files

import "errors"

// exchange is for systems that swap two folders in one step.
func exchange(_, _ string) error { return errors.ErrUnsupported }

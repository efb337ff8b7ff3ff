// Package files reads what a command is given and writes what it makes: input of a limited size, with errors that say what is
// wrong in a person's words, and output folders that are replaced whole or not at all.
//
// The commands stand above it; it knows nothing of quilts.
package files

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
)

// Input is where a command reads from.
type Input struct {
	Name  string // for messages: the path as given, or "standard input"
	Bytes []byte
	Dir   string // folder that files beside it lie in
}

// Read reads path, or stdin for "-". No more than most + 1 bytes are read, so that whoever parses them can say that they are too many.
// The error names the path and says what is wrong with it.
func Read(path string, stdin io.Reader, most int64) (Input, error) {
	if path == "-" {
		b, err := io.ReadAll(io.LimitReader(stdin, most+1))
		if err != nil {
			return Input{}, fmt.Errorf("standard input: %s", why(err))
		}
		return Input{"standard input", b, "."}, nil
	}
	f, err := os.Open(path)
	if err != nil {
		return Input{}, fmt.Errorf("%s: %s", path, why(err))
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return Input{}, fmt.Errorf("%s: is a folder, not a file", path)
	}
	b, err := io.ReadAll(io.LimitReader(f, most+1))
	if err != nil {
		return Input{}, fmt.Errorf("%s: %s", path, why(err))
	}
	return Input{path, b, filepath.Dir(path)}, nil
}

// maxPicture is the most bytes of a picture that is put into pages.
const maxPicture = 20 << 20

// Beside reads a file in the folder dir, or deeper in it; a name or a link that leads out of it is an error. The error does not
// repeat the name.
func Beside(dir, name string) ([]byte, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, errors.New(why(err))
	}
	defer root.Close()
	f, err := root.Open(filepath.FromSlash(name))
	if err != nil {
		return nil, errors.New(why(err))
	}
	defer f.Close()
	if info, err := f.Stat(); err != nil || !info.Mode().IsRegular() {
		return nil, errors.New("is not a file")
	}
	b, err := io.ReadAll(io.LimitReader(f, maxPicture+1))
	if err != nil {
		return nil, errors.New(why(err))
	}
	if len(b) > maxPicture {
		return nil, fmt.Errorf("is larger than %d MB", maxPicture>>20)
	}
	return b, nil
}

// why is the cause of an error of the file system, without the call and the path.
func why(err error) string {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "no such file"
	case errors.Is(err, fs.ErrPermission):
		return "may not be opened by you"
	case errors.Is(err, syscall.ENOTDIR):
		return "no such file; part of the path is not a folder"
	case errors.Is(err, syscall.ENOSPC):
		return "the disk is full"
	}
	var path *fs.PathError
	if errors.As(err, &path) {
		err = path.Err
	}
	var link *os.LinkError
	if errors.As(err, &link) {
		err = link.Err
	}
	return strings.TrimSuffix(err.Error(), ".")
}

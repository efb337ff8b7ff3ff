package files

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// Save puts data in the place of the file at path in one step: whoever reads it, and whatever ends this program, finds the former file or
// the new one, whole. It is on the disk when Save returns. A link is followed, and the file keeps its permissions. by is where the
// new file is written first; it lies on the same disk, in a folder that is there, and nobody else uses it.
func Save(path, by string, data []byte) error {
	target := path
	if real, err := filepath.EvalSymlinks(path); err == nil {
		target = real
	}
	mode := fs.FileMode(0o666)
	info, err := os.Stat(target)
	if err == nil && info.IsDir() {
		return fmt.Errorf("%s: is a folder, not a file", path)
	}
	if err := writeWhole(by, data, mode); err != nil {
		os.Remove(by)
		return fmt.Errorf("%s: %s", path, why(err))
	}
	if info != nil {
		err = os.Chmod(by, info.Mode().Perm())
	} else if !errors.Is(err, fs.ErrNotExist) {
		os.Remove(by)
		return fmt.Errorf("%s: %s", path, why(err))
	} else {
		err = nil
	}
	if err == nil {
		err = os.Rename(by, target)
	}
	if err != nil {
		os.Remove(by)
		return fmt.Errorf("%s: %s", path, why(err))
	}
	syncDir(filepath.Dir(target))
	return nil
}

// writeWhole writes a new file and waits until it is on the disk.
func writeWhole(path string, data []byte, mode fs.FileMode) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, mode)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Sync(), f.Close())
}

// syncDir puts the names of a folder on the disk, where the system can.
func syncDir(dir string) {
	if d, err := os.Open(dir); err == nil {
		d.Sync()
		d.Close()
	}
}

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
	ready, err := Prepare(path, by, data)
	if err != nil {
		return err
	}
	if err := ready.Put(); err != nil {
		return err
	}
	ready.Settle()
	return nil
}

// Ready is a new file that is whole and on the disk, and not yet in its place.
type Ready struct{ path, by, target string }

// Prepare is the first part of Save, which takes most of its time: Put ends it.
func Prepare(path, by string, data []byte) (Ready, error) {
	r := Ready{path, by, path}
	if real, err := filepath.EvalSymlinks(path); err == nil {
		r.target = real
	}
	info, err := os.Stat(r.target)
	if err == nil && info.IsDir() {
		return r, fmt.Errorf("%s: is a folder, not a file", path)
	}
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return r, fmt.Errorf("%s: %s", path, why(err))
	}
	err = writeWhole(by, data, 0o666)
	if err == nil && info != nil {
		err = os.Chmod(by, info.Mode().Perm())
	}
	if err != nil {
		r.Drop()
		return r, fmt.Errorf("%s: %s", path, why(err))
	}
	return r, nil
}

// Put puts the file in its place, in one step. Whether that outlives a power cut is settled by Settle.
func (r Ready) Put() error {
	if err := os.Rename(r.by, r.target); err != nil {
		r.Drop()
		return fmt.Errorf("%s: %s", r.path, why(err))
	}
	return nil
}

// Settle waits until the file's name is on the disk too, where the system can say so.
func (r Ready) Settle() { syncDir(filepath.Dir(r.target)) }

// Drop takes the new file away; the former one stays.
func (r Ready) Drop() { os.Remove(r.by) }

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

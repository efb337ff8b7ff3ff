package files

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// File is a file to write: a path with forward slashes below the folder, and its bytes.
type File struct {
	Name string
	Data []byte
}

// Replace makes dir a folder with exactly these files. They are written into a new folder beside it, which then takes its place; until
// then, and whenever anything fails or ctx ends, dir stays as it was. An existing dir is replaced only where ours says of every file
// in it (a path with forward slashes) that it comes from an earlier run; else the error names one that does not.
func Replace(ctx context.Context, dir string, files []File, ours func(name string) bool) error {
	dir, err := place(dir)
	if err != nil {
		return err
	}
	if err := replaceable(dir, ours); err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(dir), 0o777); err != nil {
		return fmt.Errorf("%s: %s", dir, why(err))
	}
	fresh := beside(dir, "new")
	if err := os.RemoveAll(fresh); err != nil {
		return fmt.Errorf("%s: %s", fresh, why(err))
	}
	defer os.RemoveAll(fresh)
	if err := os.Mkdir(fresh, 0o777); err != nil {
		return fmt.Errorf("%s: %s", fresh, why(err))
	}
	for _, f := range files {
		if err := ctx.Err(); err != nil {
			return context.Cause(ctx)
		}
		if !filepath.IsLocal(filepath.FromSlash(f.Name)) {
			return fmt.Errorf("%s: leads out of the folder", f.Name)
		}
		path := filepath.Join(fresh, filepath.FromSlash(f.Name))
		err := os.MkdirAll(filepath.Dir(path), 0o777)
		if err == nil {
			err = os.WriteFile(path, f.Data, 0o666)
		}
		if err != nil {
			return fmt.Errorf("%s: %s", filepath.Join(dir, f.Name), why(err))
		}
	}
	if ctx.Err() != nil {
		return context.Cause(ctx)
	}
	if err := swap(fresh, dir); err != nil {
		return fmt.Errorf("%s: %s", dir, why(err))
	}
	return nil
}

// place is dir without links, so that the folder and not the link to it is replaced.
func place(dir string) (string, error) {
	abs, err := filepath.Abs(dir)
	if err != nil {
		return "", fmt.Errorf("%s: %s", dir, why(err))
	}
	if real, err := filepath.EvalSymlinks(abs); err == nil {
		abs = real
	}
	if filepath.Dir(abs) == abs {
		return "", fmt.Errorf("%s: cannot be replaced", dir)
	}
	return abs, nil
}

// beside is a name next to dir that no one else uses.
func beside(dir, what string) string {
	return filepath.Join(filepath.Dir(dir), fmt.Sprintf(".%s.%s-%d", filepath.Base(dir), what, os.Getpid()))
}

// replaceable says why dir may not be replaced; nil where it may, or is not there yet.
func replaceable(dir string, ours func(string) bool) error {
	info, err := os.Stat(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("%s: %s", dir, why(err))
	}
	if !info.IsDir() {
		return fmt.Errorf("%s: is a file, not a folder", dir)
	}
	return filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return fmt.Errorf("%s: %s", path, why(err))
		}
		name, err := filepath.Rel(dir, path)
		if err != nil || d.IsDir() {
			return err
		}
		if !ours(filepath.ToSlash(name)) {
			return fmt.Errorf("%s holds %s, which an earlier run did not write; name a new or empty folder", dir, filepath.ToSlash(name))
		}
		return nil
	})
}

// swap puts fresh in the place of dir. Where the system can exchange two folders in one step it does; else the former folder is moved
// away first, and back if the second step fails.
func swap(fresh, dir string) error {
	if _, err := os.Stat(dir); errors.Is(err, fs.ErrNotExist) {
		return os.Rename(fresh, dir)
	}
	if exchange(fresh, dir) == nil {
		return nil // fresh is the former folder now, and goes away
	}
	former := beside(dir, "former")
	if err := os.Rename(dir, former); err != nil {
		return err
	}
	if err := os.Rename(fresh, dir); err != nil {
		return errors.Join(err, os.Rename(former, dir))
	}
	return os.RemoveAll(former)
}

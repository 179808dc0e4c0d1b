package combination

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// hold takes the lock of a memory file: that of a file beside it, since the
// memory file itself is another one after every save. Who holds it takes it
// away at the end; a lock file that a killed process left is nobody's.
func hold(path string) (*os.File, error) {
	name := path + ".lock"
	for {
		lock, err := os.OpenFile(name, os.O_RDWR|os.O_CREATE, 0o666)
		if err != nil {
			return nil, unwritable(path, err)
		}
		if err := lockFile(lock); err != nil {
			lock.Close()
			if errors.Is(err, errLocked) {
				return nil, fmt.Errorf("%s: another program has this memory file open; close it there first", path)
			}
			return nil, fmt.Errorf("%s: cannot be held against a second writer: %w", path, err)
		}
		if isNamed(lock, name) {
			return lock, nil
		}
		lock.Close() // the one who held it has taken it away, between the two lines
	}
}

// isNamed reports whether a name is still that of an open file.
func isNamed(file *os.File, name string) bool {
	ours, err := file.Stat()
	if err != nil {
		return false
	}
	named, err := os.Stat(name)
	return err == nil && os.SameFile(ours, named)
}

// unwritable says why nothing can be written beside a memory file.
func unwritable(path string, err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%s: there is no folder %s; make it first", path, filepath.Dir(path))
	}
	return fmt.Errorf("%s: nothing can be saved in its folder: %w; take a file in another folder, or a copy of this one there", path, cause(err))
}

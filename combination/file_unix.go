//go:build !windows

package combination

import (
	"os"
	"path/filepath"

	"github.com/google/renameio/v2"
	"golang.org/x/sys/unix"
)

// lockFile takes an advisory lock, which the kernel releases when the process
// ends, or fails at once when another holds it.
func lockFile(f *os.File) error {
	return unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
}

// errLocked is the error of lockFile where another holds the lock.
const errLocked = unix.EWOULDBLOCK

// letGo takes a lock file away and lets its lock go, in this order: nobody else
// can hold a lock on the name while it is removed.
func letGo(lock *os.File) error {
	os.Remove(lock.Name()) // if that fails the file stays, and is nobody's
	return lock.Close()
}

// replace puts data in the place of a file: written and synced under another
// name, renamed, and the directory synced.
func replace(path string, data []byte) error {
	dir := filepath.Dir(path)
	pending, err := renameio.NewPendingFile(path, renameio.WithTempDir(dir), renameio.WithPermissions(0o644), renameio.WithExistingPermissions())
	if err != nil {
		return err
	}
	defer pending.Cleanup()
	if _, err := pending.Write(data); err != nil {
		return err
	}
	if err := pending.CloseAtomicallyReplace(); err != nil {
		return err
	}
	return syncDir(dir)
}

func syncDir(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer d.Close()
	return d.Sync()
}

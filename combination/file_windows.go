package combination

import (
	"os"
	"path/filepath"

	"golang.org/x/sys/windows"
)

// lockFile takes a lock, which the system releases when the process ends, or
// fails at once when another holds it.
func lockFile(f *os.File) error {
	return windows.LockFileEx(windows.Handle(f.Fd()),
		windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0, &windows.Overlapped{})
}

// errLocked is the error of lockFile where another holds the lock.
const errLocked = windows.ERROR_LOCK_VIOLATION

// letGo lets a lock go and takes its file away, which Windows refuses while
// another has it open, and then leaves to that.
func letGo(lock *os.File) error {
	err := lock.Close()
	os.Remove(lock.Name())
	return err
}

// replace puts data in the place of a file: written and synced under another
// name, then moved over it, with a move that returns when it is on disk. There
// is no directory to be synced.
func replace(path string, data []byte) error {
	pending, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+"*")
	if err != nil {
		return err
	}
	defer os.Remove(pending.Name()) // fails after the move, when nothing is left of it
	_, err = pending.Write(data)
	if err == nil {
		err = pending.Sync()
	}
	if closing := pending.Close(); err == nil {
		err = closing
	}
	if err != nil {
		return err
	}
	from, err := windows.UTF16PtrFromString(pending.Name())
	if err != nil {
		return err
	}
	to, err := windows.UTF16PtrFromString(path)
	if err != nil {
		return err
	}
	return windows.MoveFileEx(from, to, windows.MOVEFILE_REPLACE_EXISTING|windows.MOVEFILE_WRITE_THROUGH)
}

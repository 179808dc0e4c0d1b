package midiio

import (
	"os"

	"golang.org/x/sys/windows"
)

// lockFile takes a lock, which the system releases when the process ends, or
// fails at once when another holds it.
func lockFile(f *os.File) error {
	return windows.LockFileEx(windows.Handle(f.Fd()),
		windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0, &windows.Overlapped{})
}

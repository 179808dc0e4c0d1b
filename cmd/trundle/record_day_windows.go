package main

import (
	"os"

	"golang.org/x/sys/windows"
)

const farBeyond = 1 << 30 // times 4 GiB

// lockDay waits until nobody else writes on a record. The system lets the lock go
// when the process ends. What is locked here nobody may read, so it is a byte that
// no record reaches.
func lockDay(f *os.File) error {
	return windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK, 0, 1, 0, &windows.Overlapped{OffsetHigh: farBeyond})
}

func unlockDay(f *os.File) error {
	return windows.UnlockFileEx(windows.Handle(f.Fd()), 0, 1, 0, &windows.Overlapped{OffsetHigh: farBeyond})
}

//go:build !windows

package main

import (
	"os"

	"golang.org/x/sys/unix"
)

// lockDay waits until nobody else writes on a record. The kernel lets the lock go
// when the process ends.
func lockDay(f *os.File) error {
	for {
		if err := unix.Flock(int(f.Fd()), unix.LOCK_EX); err != unix.EINTR {
			return err
		}
	}
}

func unlockDay(f *os.File) error { return unix.Flock(int(f.Fd()), unix.LOCK_UN) }

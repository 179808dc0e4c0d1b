//go:build !windows

package midiio

import (
	"os"

	"golang.org/x/sys/unix"
)

// lockFile takes a lock, which the kernel releases when the process ends, or
// fails at once when another holds it.
func lockFile(f *os.File) error { return unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB) }

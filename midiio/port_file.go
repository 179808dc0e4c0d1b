package midiio

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"syscall"
	"time"
)

// stream is a port over an open file.
type stream struct {
	*os.File
	regular bool // it waits to be read
	device  bool
}

func (stream) ByteTime() time.Duration { return 0 }

// openFile opens a file of bytes to read, or makes one to write; or a device.
func openFile(path string, direction Direction) (Port, error) {
	mode := os.O_RDONLY
	if direction == Out {
		mode = os.O_WRONLY | os.O_CREATE | os.O_TRUNC
	}
	info, err := os.Stat(path)
	regular := err == nil && info.Mode().IsRegular()
	device := err == nil && info.Mode()&fs.ModeCharDevice != 0
	if device {
		mode = mode&os.O_WRONLY | syscall.O_NONBLOCK // a device that is taken is an error at once
	}
	f, err := os.OpenFile(path, mode, 0o644)
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be opened: %w", path, reason(err))
	}
	if head := make([]byte, 4); regular && direction == In {
		if n, _ := f.ReadAt(head, 0); string(head[:n]) == "MThd" {
			return nil, errors.Join(fmt.Errorf("%s: is a standard MIDI file, and not bytes as they come from a port; trundle play plays it", path), f.Close())
		}
	}
	return stream{f, regular, device}, nil
}

// reason is an error without the path, which stands before it.
func reason(err error) error {
	if of, ok := errors.AsType[*fs.PathError](err); ok {
		return of.Err
	}
	return err
}

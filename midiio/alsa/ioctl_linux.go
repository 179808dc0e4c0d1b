package alsa

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"strings"
	"unicode"
	"unsafe"

	"golang.org/x/sys/unix"
)

// Requests of ioctl without the size of their argument, which ask adds:
// direction (bits 30 and 31), family, number (asm-generic/ioctl.h, that of all
// processors but MIPS, PowerPC and SPARC).
const (
	write = 1 << 30
	read  = 2 << 30

	clientID      = read | 'S'<<8 | 0x01
	getClient     = read | write | 'S'<<8 | 0x10
	setClient     = write | 'S'<<8 | 0x11
	createPort    = read | write | 'S'<<8 | 0x20
	subscribePort = write | 'S'<<8 | 0x30
	getPool       = read | write | 'S'<<8 | 0x4B
	setPool       = write | 'S'<<8 | 0x4C
	nextClient    = read | write | 'S'<<8 | 0x51
	nextPort      = read | write | 'S'<<8 | 0x52

	rawParams = read | write | 'W'<<8 | 0x10
	rawStatus = read | write | 'W'<<8 | 0x20

	nextRaw      = read | write | 'U'<<8 | 0x40
	rawOfCard    = read | write | 'U'<<8 | 0x41
	preferRawSub = write | 'U'<<8 | 0x42
)

// ask asks an open device for something, or tells it.
func ask[T any](f *os.File, request uintptr, argument *T) error {
	raw, err := f.SyscallConn()
	if err != nil {
		return err
	}
	var number unix.Errno
	err = raw.Control(func(fd uintptr) {
		_, _, number = unix.Syscall(unix.SYS_IOCTL, fd, request|unsafe.Sizeof(*argument)<<16, uintptr(unsafe.Pointer(argument)))
	})
	if err == nil && number != 0 {
		err = number
	}
	return err
}

// text is a C string in its place, without blanks around it; what cannot be
// printed, which a device may have in its name, is a question mark.
func text(from []byte) string {
	from, _, _ = bytes.Cut(from, []byte{0})
	return strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return '?'
		}
		return r
	}, strings.TrimSpace(string(from)))
}

// reason is why a device fails, without its path.
func reason(err error) error {
	if of, ok := errors.AsType[*fs.PathError](err); ok {
		err = of.Err
	}
	switch {
	case errors.Is(err, unix.ENODEV), errors.Is(err, unix.ENXIO):
		return ErrGone
	case errors.Is(err, unix.EACCES):
		return errors.New("you may not open it; its group may, which is audio on most systems")
	}
	return err
}

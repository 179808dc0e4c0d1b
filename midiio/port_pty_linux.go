package midiio

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"time"

	"golang.org/x/sys/unix"
)

// pty is a pseudo-terminal, whose other end a link points to. That end is
// held open here as well: what is written waits for a program to open it.
type pty struct {
	*os.File
	other *os.File
	link  string
}

func (*pty) ByteTime() time.Duration { return 0 }

func (p *pty) Close() error {
	return errors.Join(p.File.Close(), p.other.Close(), os.Remove(p.link))
}

// openPTY makes a pseudo-terminal that passes bytes as they are, and the link.
func openPTY(link string) (Port, error) {
	file, err := os.OpenFile("/dev/ptmx", os.O_RDWR|unix.O_NOCTTY|unix.O_NONBLOCK, 0)
	if err != nil {
		return nil, fmt.Errorf("no pseudo-terminal: %w", reason(err))
	}
	p, err := otherEnd(file, link)
	if err != nil {
		return nil, errors.Join(err, file.Close())
	}
	return p, nil
}

func otherEnd(file *os.File, link string) (Port, error) {
	raw, err := file.SyscallConn()
	if err != nil {
		return nil, err
	}
	var number int
	var failed error
	err = raw.Control(func(fd uintptr) {
		if failed = unix.IoctlSetPointerInt(int(fd), unix.TIOCSPTLCK, 0); failed == nil {
			number, failed = unix.IoctlGetInt(int(fd), unix.TIOCGPTN)
		}
	})
	if err := errors.Join(err, failed); err != nil {
		return nil, fmt.Errorf("no pseudo-terminal: %w", err)
	}
	path := fmt.Sprintf("/dev/pts/%d", number)
	other, err := os.OpenFile(path, os.O_RDWR|unix.O_NOCTTY, 0)
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be opened: %w", path, reason(err))
	}
	if err := passBytes(int(other.Fd())); err != nil {
		return nil, errors.Join(fmt.Errorf("%s: cannot be set up: %w", path, err), other.Close())
	}
	err = os.Symlink(path, link)
	if errors.Is(err, fs.ErrExist) {
		err = fmt.Errorf("%s: no link can be made there: something has this name; if it is the link of another program, name it as serial:%s", link, link)
		return nil, errors.Join(err, other.Close())
	}
	if err != nil {
		return nil, errors.Join(fmt.Errorf("%s: no link can be made there: %w", link, errors.Unwrap(err)), other.Close())
	}
	return &pty{file, other, link}, nil
}

// passBytes turns off all that a terminal does to bytes.
func passBytes(fd int) error {
	t, err := unix.IoctlGetTermios(fd, unix.TCGETS)
	if err != nil {
		return err
	}
	t.Iflag, t.Oflag, t.Lflag = 0, 0, 0
	t.Cflag = unix.CS8 | unix.CREAD | unix.CLOCAL | unix.B38400
	t.Cc[unix.VMIN], t.Cc[unix.VTIME] = 1, 0
	return unix.IoctlSetTermios(fd, unix.TCSETS, t)
}

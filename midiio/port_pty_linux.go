package midiio

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
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
	err := os.Remove(p.link) // while the number is ours
	return errors.Join(p.File.Close(), p.other.Close(), err)
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
	err = makeLink(path, link)
	if errors.Is(err, fs.ErrExist) {
		err = fmt.Errorf("%s: no link can be made there: something has this name; if it is the link of another program, name it as serial:%s", link, link)
		return nil, errors.Join(err, other.Close())
	}
	if err != nil {
		return nil, errors.Join(fmt.Errorf("%s: no link can be made there: %w", link, errors.Unwrap(err)), other.Close())
	}
	return &pty{file, other, link}, nil
}

// makeLink makes the link, in the place of one that a killed program left: its
// pseudo-terminal is gone, or is ours now, since numbers are given again. Of several
// programs at once one has the name then.
func makeLink(path, link string) error {
	dir, err := os.Open(filepath.Dir(link))
	if err != nil {
		return os.Symlink(path, link) // which says what is wrong
	}
	defer dir.Close()
	if err := unix.Flock(int(dir.Fd()), unix.LOCK_EX); err == nil && isLeft(link, path) {
		_ = os.Remove(link)
	}
	return os.Symlink(path, link)
}

// isLeft reports a link to a pseudo-terminal that no program has any more, or we.
func isLeft(link, ours string) bool {
	to, err := os.Readlink(link)
	if err != nil || filepath.Dir(to) != filepath.Dir(ours) {
		return false
	}
	_, err = os.Stat(to)
	return to == ours || errors.Is(err, fs.ErrNotExist)
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

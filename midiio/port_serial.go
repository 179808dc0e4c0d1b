package midiio

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"
	"syscall"
	"time"

	"go.bug.st/serial"
)

// line is a serial line.
type line struct {
	serial.Port
	baud int
}

// Write writes all of the bytes, which a signal can interrupt.
func (l line) Write(p []byte) (n int, err error) {
	for n < len(p) && err == nil {
		var part int
		if part, err = l.Port.Write(p[n:]); errors.Is(err, syscall.EINTR) {
			err = nil
		}
		n += part
	}
	return n, err
}

func (l line) ByteTime() time.Duration { return ByteTime(l.baud) }

// openSerial opens DEVICE or DEVICE@BAUD, 8 data bits, no parity, 1 stop bit.
func openSerial(name string) (Port, error) {
	baud := 31250
	device, rate, found := strings.Cut(name, "@")
	if found {
		var err error
		if baud, err = ParseBaud(rate); err != nil {
			return nil, err
		}
	}
	port, err := serial.Open(device, &serial.Mode{BaudRate: baud})
	if _, gone := os.Stat(device); err != nil && errors.Is(gone, fs.ErrNotExist) { // a link to nothing too
		return nil, fmt.Errorf("%s: cannot be opened: it is not there; plug it in, or start the program at its other end (pty:%s) first", device, device)
	}
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be opened: %w", device, err)
	}
	return line{port, baud}, nil
}

func serialPorts() ([]Listed, error) {
	devices, err := serial.GetPortsList()
	if err != nil {
		return nil, fmt.Errorf("serial lines cannot be listed: %w", err)
	}
	var list []Listed
	for _, device := range devices {
		list = append(list, Listed{"serial:" + device, true, true})
	}
	return list, nil
}

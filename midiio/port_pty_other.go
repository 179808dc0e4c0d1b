//go:build !linux

package midiio

import "errors"

func openPTY(string) (Port, error) {
	return nil, errors.New("a pty port is made on Linux only")
}

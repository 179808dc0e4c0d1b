//go:build !linux

package midiio

import "errors"

// Raw MIDI devices and ports of our own are reached on Linux only.

func rawDevices() ([]Listed, error) { return nil, nil }

func openRaw(string, Direction) (Port, error) {
	return nil, errors.New("raw: reaches the MIDI devices of Linux; this is another system")
}

func openOwn(string, Direction) (Port, error) {
	return nil, errors.New("own: makes a MIDI port on Linux; this is another system")
}

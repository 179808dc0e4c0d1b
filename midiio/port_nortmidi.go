//go:build !rtmidi && !linux

package midiio

import "errors"

// The MIDI ports of the system need a C compiler: they are in a build with
// the tag rtmidi.

func midiPorts() ([]Listed, error) { return nil, nil }

func openMIDI(string, Direction) (Port, error) {
	return nil, errors.New("this trundle has no driver for the system's MIDI ports; build it with -tags rtmidi, or name a serial line (trundle ports)")
}

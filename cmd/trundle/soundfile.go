package main

import (
	"path/filepath"
	"strings"

	"trundle/console"
	"trundle/midiio/voices"
)

// writeChord writes the pipes that speak in a state as a new MIDI file.
func writeChord(path string, in *console.Instrument, state console.State) error {
	switch strings.ToLower(filepath.Ext(path)) {
	case "", ".mid", ".midi":
	default:
		return complaint{path + ": what is written is MIDI", "let its name end in .mid"}
	}
	sounding := console.NewSounding(in)
	sounding.Set(state)
	var speaking []int
	for v := range in.Valves {
		if sounding.Speaks(v) {
			speaking = append(speaking, v)
		}
	}
	data, err := voices.Chord(in, speaking).Bytes()
	if err != nil {
		return err
	}
	return writeNew(path, data)
}

package main

import (
	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
)

// loadMap reads an instrument file for a command that needs its map of MIDI
// messages.
func loadMap(path string) (*console.Instrument, *mapping.Map, error) {
	in, _, err := loadInstrument(path)
	if err != nil {
		return nil, nil, err
	}
	m, found := mapping.Load(in)
	if m == nil {
		return nil, nil, broken{found, checkCommandFor(path, "")}
	}
	return in, m, nil
}

// keysOf tells the notes that are keys in the map of an instrument from those
// that are not; nil, which every note is for, without an instrument.
func keysOf(path string) (func(midiio.Message) bool, error) {
	if path == "" {
		return nil, nil
	}
	_, m, err := loadMap(path)
	if err != nil {
		return nil, err
	}
	return m.IsKey, nil
}

// listener puts messages into the words of a console. It listens to a cable from
// aside, so it hears both ends: what the console says, and what it is told.
type listener struct{ console, organ *mapping.End }

func newListener(m *mapping.Map) *listener {
	return &listener{m.End(mapping.AtOrgan, "console"), m.End(mapping.AtConsole, "organ")}
}

// words are what a message says, and whether it means anything.
func (l *listener) words(t midiio.Timed) (words string, known bool) {
	heard, told := l.console.Hear(t), l.organ.Hear(t)
	if words = l.console.Words(t.Message); words == "" {
		words = l.organ.Words(t.Message)
	}
	return words, heard.Known || told.Known
}

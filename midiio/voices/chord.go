package voices

import (
	"trundle/console"
	"trundle/midiio"
)

// A chord sounds for so long, in ticks; a file that gives no tempo has two
// quarters a second (RP-001).
const (
	quarter = 480
	length  = 8 * quarter // four seconds
)

// Chord is the pipes on some valves of an instrument, sounding together, as a
// file.
func Chord(in *console.Instrument, valves []int) *midiio.File {
	player := New(in)
	var track midiio.Track
	add := func(tick int64, messages []midiio.Message) {
		for _, m := range messages {
			track = append(track, midiio.FileEvent{Tick: tick, Message: m})
		}
	}
	add(0, player.Begin(nil))
	for _, v := range valves {
		add(0, player.Open(nil, v))
	}
	for _, v := range valves {
		add(length, player.Shut(nil, v))
	}
	return &midiio.File{Division: midiio.Division{PerQuarter: quarter}, Tracks: []midiio.Track{track}}
}

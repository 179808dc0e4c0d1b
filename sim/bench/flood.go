package bench

import (
	"fmt"
	"time"

	"trundle/midiio"
)

// often is how often a second one message must come to be a flood. A full MIDI
// cable carries it some 1,560 times: 31,250 baud, 10 bits a byte, two bytes a note
// (MIDI 1.0). One key that is worked as fast as that takes gives half.
const often = 1000

// flood notices that one message comes again and again.
type flood struct {
	since time.Duration
	times map[[3]byte]int
}

// hear takes a message, and says so when it is a flood.
func (f *flood) hear(t midiio.Timed) (why string) {
	if f.times == nil || t.At > f.since+time.Second {
		f.since, f.times = t.At, map[[3]byte]int{}
	}
	m := [3]byte{t.Message.Status, t.Message.A, t.Message.B}
	if f.times[m]++; f.times[m] < often {
		return ""
	}
	return fmt.Sprintf("it is flooded: %s came %d times within a second", t.Message, often)
}

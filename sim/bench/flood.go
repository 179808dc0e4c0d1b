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
	since  time.Duration
	times  map[repeated]int
	chosen [16][2][3]byte // by channel: what chose the non-registered parameter, its high bits and its low ones
}

// repeated is a message, and of the value of a parameter what chose that: all of
// them have the same controllers.
type repeated struct {
	message   [3]byte
	parameter [2][3]byte
}

// The controllers of non-registered parameters (MIDI 1.0 table III).
const (
	controlChange = 0xB0
	dataEntry     = 6
	dataEntryLow  = 38
	choosesLow    = 98
	choosesHigh   = 99
)

// hear takes a message, and says so when it is a flood. What chooses a parameter
// comes with every value of all that have it in common, and is counted only where
// no value follows.
func (f *flood) hear(t midiio.Timed) (why string) {
	if f.times == nil || t.At > f.since+time.Second {
		f.since, f.times = t.At, map[repeated]int{}
	}
	m := t.Message
	is := repeated{message: [3]byte{m.Status, m.A, m.B}}
	if c := m.Channel(); c > 0 && m.Status&0xF0 == controlChange {
		chosen := &f.chosen[c-1]
		switch m.A {
		case choosesHigh:
			chosen[0] = is.message
		case choosesLow:
			chosen[1] = is.message
		case dataEntry, dataEntryLow:
			for _, message := range chosen {
				delete(f.times, repeated{message: message})
			}
			is.parameter = *chosen
		}
	}
	if f.times[is]++; f.times[is] < often {
		return ""
	}
	return fmt.Sprintf("it is flooded: %s came %d times within a second", m, often)
}

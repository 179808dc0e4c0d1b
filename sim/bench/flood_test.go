package bench

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/midiio"
)

// parameter is what says a value of a non-registered parameter: 99 and 98 choose it,
// 6 is the value (MIDI 1.0 table III).
func parameter(channel, number, value int) []midiio.Message {
	return []midiio.Message{midiio.ControlChange(channel, 99, byte(number>>7)), midiio.ControlChange(channel, 98, byte(number&0x7F)), midiio.ControlChange(channel, 6, byte(value))}
}

// A fast link carries thousands of reports a second, all of which choose their
// parameters with a few messages.
func TestManyParametersAreNoFloodAndOneIs(t *testing.T) {
	var f flood
	hear := func(at time.Duration, messages ...midiio.Message) (why string) {
		for _, m := range messages {
			if w := f.hear(midiio.Timed{At: at, Message: m}); w != "" {
				why = w
			}
		}
		return why
	}
	for n := range 10 * often {
		require.Empty(t, hear(time.Duration(n)*time.Microsecond, parameter(16, n%5000, 127*(n/5000%2))...))
	}
	f = flood{}
	for n := range often - 1 {
		require.Empty(t, hear(time.Duration(n)*time.Microsecond, parameter(16, 300, 127)...))
	}
	require.Equal(t, "it is flooded: control-change 16 6 127 came 1000 times within a second", hear(0, parameter(16, 300, 127)...))
	f = flood{}
	for n := range often - 1 {
		require.Empty(t, hear(time.Duration(n)*time.Microsecond, midiio.ControlChange(16, 99, 2)), "it chooses, and nothing comes of it")
	}
	require.Equal(t, "it is flooded: control-change 16 99 2 came 1000 times within a second", hear(0, midiio.ControlChange(16, 99, 2)))
}

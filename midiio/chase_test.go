package midiio

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// What stands at a place in a file is what a player that began at its
// beginning would have sent last.
func TestChasingSendsTheLastOfEach(t *testing.T) {
	var messages []Timed
	for i, text := range []string{
		"program-change 1 7", "control-change 1 7 1", "pitch-bend 1 0", "control-change 2 7 9", "control-change 1 7 2",
		"note-on 1 60 1", "control-change 1 123 0",
		// Two parameters of one channel (MIDI 1.0: NRPN by 99 and 98, data by 6).
		"control-change 3 99 0", "control-change 3 98 5", "control-change 3 6 127",
		"control-change 3 98 6", "control-change 3 6 1", "control-change 3 6 2", "control-change 3 96 0",
		"note-on 1 62 1",
	} {
		m, err := ParseMessage(text)
		require.NoError(t, err)
		messages = append(messages, Timed{time.Duration(i) * time.Second, m})
	}
	got := Chase(messages, 14*time.Second)
	require.Equal(t, []string{
		"program-change 1 7", "pitch-bend 1 0", "control-change 2 7 9", "control-change 1 7 2",
		"control-change 3 99 0", "control-change 3 98 5", "control-change 3 6 127",
		"control-change 3 99 0", "control-change 3 98 6", "control-change 3 6 2",
		"control-change 3 99 0", "control-change 3 98 6",
		"note-on 1 62/D4 1",
	}, texts(got))
	require.Zero(t, got[len(got)-1].At)
}

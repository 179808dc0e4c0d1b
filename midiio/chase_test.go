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

// A program is of the bank that was chosen before it (MIDI 1.0, bank select:
// controllers 0 and 32 take effect at the next program change).
func TestAProgramIsChosenInItsBank(t *testing.T) {
	for name, c := range map[string]struct{ sent, want []string }{
		"the bank that stands": {
			[]string{"control-change 1 0 1", "control-change 1 32 2", "program-change 1 5"},
			[]string{"control-change 1 0 1", "control-change 1 32 2", "program-change 1 5"},
		},
		"a bank that waits for the next program": {
			[]string{"control-change 1 0 1", "control-change 1 32 2", "program-change 1 5", "control-change 1 0 3", "control-change 2 0 4"},
			[]string{"control-change 1 32 2", "control-change 1 0 1", "program-change 1 5", "control-change 1 0 3", "control-change 2 0 4"},
		},
		"no bank before the program": {
			[]string{"program-change 1 5", "control-change 1 0 3"},
			[]string{"program-change 1 5", "control-change 1 0 3"},
		},
	} {
		t.Run(name, func(t *testing.T) {
			var s standing
			for _, text := range c.sent {
				m, err := ParseMessage(text)
				require.NoError(t, err)
				s.hear(m)
			}
			var got []string
			for _, m := range s.messages() {
				got = append(got, m.String())
			}
			require.Equal(t, c.want, got)
		})
	}
}
